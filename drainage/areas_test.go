package drainage

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// facetOf is downFacet on 3 x 3 cells of 1 ft, rows from the top.
func facetOf(t *testing.T, z [9]float64) (towards geom.Pt, toB, slope float64, ok bool) {
	t.Helper()
	s, surf := roofOf(t, box(3, 3), nil, 1, func(p geom.Pt) float64 {
		return z[int(1-p.Y+0.5)*3+int(p.X+1.5)]
	})
	c := &check{site: s, surf: surf}
	tr := &tracer{c: c, mesh: mesh{surf, surf.ElevIn}}
	got, ok := tr.downFacet(4)
	if !ok {
		return geom.Pt{}, 0, 0, false
	}
	a, b := surf.Centre(int(got.a)%3, int(got.a)/3), surf.Centre(int(got.b)%3, int(got.b)/3)
	p := a.Lerp(b, float64(got.toB))
	fall := surf.ElevIn[4] - surf.ElevIn[got.a] + float64(got.toB)*(surf.ElevIn[got.a]-surf.ElevIn[got.b])
	return p, float64(got.toB), fall / p.Norm(), true
}

// TestDownFacet_Published: the definition of Tarboton 1997, worked on one
// facet: e0 10, e1 9.5, e2 9.2 slopes 0.583095 at 30.9638 degrees; with e1 9.8
// the raw angle is 71.565 degrees and the water runs to the corner, at 45
// degrees and 0.565685.
func TestDownFacet_Published(t *testing.T) {
	for _, c := range []struct{ e1, e2, slope, deg float64 }{
		{9.5, 9.2, 0.583095, 30.9638}, {9.8, 9.2, 0.565685, 45},
	} {
		p, _, slope, ok := facetOf(t, [9]float64{11, 11, c.e2, 11, 10, c.e1, 11, 11, 11})
		if !ok {
			t.Fatal("no way down")
		}
		within(t, "slope", slope, c.slope, 1e-6)
		within(t, "direction", math.Atan2(p.Y, p.X)*180/math.Pi, c.deg, 1e-4)
	}
	if _, _, _, ok := facetOf(t, [9]float64{9, 9, 9, 9, 9, 9, 9, 9, 9}); ok {
		t.Error("a level place leads down")
	}
}

// TestDownFacet_Planes: on a plane slope and direction are exact; the steepest
// of eight neighbours reads max(cos f, cos(45-f)) of the slope: 0.923880 at
// 22.5 degrees, 0.984808 at 10, 0.965926 at 30.
func TestDownFacet_Planes(t *testing.T) {
	for _, deg := range []float64{0, 10, 22.5, 30, 40, 45, 77, 123.4, 200, 300.5} {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		var z [9]float64
		for n := range z {
			z[n] = 10 - 0.25*(cos*float64(n%3-1)+sin*float64(1-n/3))
		}
		p, _, slope, ok := facetOf(t, z)
		if !ok {
			t.Fatal("no way down")
		}
		within(t, fmt.Sprintf("slope at %g", deg), slope, 0.25, 1e-7)
		within(t, fmt.Sprintf("off the direction at %g", deg), p.X*sin-p.Y*cos, 0, 1e-6)
		eight := 0.0
		for n, d := range around8 {
			eight = math.Max(eight, (cos*float64(d[0])+sin*float64(d[1]))/math.Sqrt(float64(1+n%2)))
		}
		if deg == 22.5 {
			within(t, "a true 1/4 in/ft by the steepest of eight", 0.25*eight, 0.23097, 1e-5)
		}
		f := math.Mod(deg, 90)
		want := math.Max(math.Max(math.Cos(f*math.Pi/180), math.Cos((45-f)*math.Pi/180)), math.Sin(f*math.Pi/180))
		within(t, fmt.Sprintf("steepest of eight at %g", deg), eight, want, 1e-9)
	}
}

// plainGather gives each cell its outlet by carrying all that its water is made
// of, one cell after another from the lowest up; margin is by how much the
// greatest part is more than that of the outlet got.
func plainGather(c *check, shares []share, got []int32) (label []int32, margin, mixed []float64) {
	end := c.endOfHollows()
	to := make([]map[int32]float64, len(shares))
	var tell func(k int32) map[int32]float64
	tell = func(k int32) map[int32]float64 {
		s := shares[k]
		switch {
		case to[k] != nil:
		case !c.surf.Roof[k]:
			to[k] = map[int32]float64{-1: 1}
		case s.a < 0:
			to[k] = map[int32]float64{end[c.fill.Of[k]]: 1}
		default:
			sum := map[int32]float64{}
			for n, part := range tell(s.a) {
				sum[n] += part * (1 - float64(s.toB))
			}
			for n, part := range tell(s.b) {
				sum[n] += part * float64(s.toB)
			}
			to[k] = sum
		}
		return to[k]
	}
	for k := range to {
		best := int32(-1)
		for n, part := range tell(int32(k)) {
			if part > to[k][best] {
				best = n
			}
		}
		label = append(label, best)
		margin, mixed = append(margin, to[k][best]-to[k][got[k]]), append(mixed, 1-to[k][best])
	}
	return label, margin, mixed
}

// TestGather_AsPlain: leaving out the parts where one outlet takes all, and the
// least of three, gives every cell the outlet that gets most of its water, but
// where two share it equally to a thousandth.
func TestGather_AsPlain(t *testing.T) {
	rough, roughSurf := roughRoof(t, 150, 120)
	noisy, noisySurf := noisyRoof(t, 430, 420)
	mixed := 0
	for n, s := range []*survey.Site{rough, noisy} {
		surf := []*survey.Surface{roughSurf, noisySurf}[n]
		opt := usual(t)
		opt.InletIn = Inlets(s, surf, nil)
		c, _, err := prepared(s, surf, opt)
		if err != nil {
			t.Fatal(err)
		}
		tr := c.newTracer()
		shares := make([]share, surf.Len())
		for k := range shares {
			shares[k] = tr.shareOf(k)
		}
		got := c.gather(shares)
		want, margin, rest := plainGather(c, shares, got)
		for k := range got {
			if rest[k] > 0.001 {
				mixed++
			}
			if got[k] != want[k] && margin[k] > 1e-3 {
				t.Fatalf("cell %d goes to %d, plainly to %d by %g more", k, got[k], want[k], margin[k])
			}
		}
	}
	if mixed < 100 {
		t.Errorf("the water of %d cells is shared", mixed)
	}
}
