package drainage

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// TestPathsEndWhereAreasSay: two unrelated ways to follow water agree. Paths run
// over the triangles of the mesh, areas share out each cell's water downhill
// (Tarboton 1997); the outlet that a path ends at is the one that takes its
// start cell, but near the border of two areas, where a cell's water is shared.
func TestPathsEndWhereAreasSay(t *testing.T) {
	inFull(t)
	t.Parallel()
	t.Logf("seed %d", *seedFlag)
	rnd := rand.New(rand.NewPCG(*seedFlag, 6))
	var sum agreement
	for range 30 {
		w, d := 30+40*rnd.Float64(), 30+30*rnd.Float64()
		var outlets []survey.Outlet
		for n := range 2 + rnd.IntN(3) {
			outlets = append(outlets, drainAt(string(rune('A'+n)), geom.Pt{X: (rnd.Float64() - 0.5) * w, Y: (rnd.Float64() - 0.5) * d}))
		}
		s, surf := roofOf(t, box(w, d), outlets, 0.5, bumpy(rnd))
		sum.add(t, s, surf, usual(t))
	}
	sum.tell(t)
}

// agreement counts starts by what paths and areas say of them.
type agreement struct{ starts, other, atBorder int }

// add follows the water from every twentieth cell that is dry.
func (a *agreement) add(t *testing.T, s *survey.Site, surf *survey.Surface, opt Options) {
	t.Helper()
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
	label, end := c.gather(shares), c.endOfHollows()
	pond := map[string]int32{}
	for n := range c.hollow {
		if c.named[n] >= 0 {
			pond[pondName(c.named[n])] = end[c.hollow[n].first]
		}
	}
	outlet := map[string]int32{}
	for n, o := range s.Outlets {
		outlet[o.ID] = int32(n)
	}
	for k := 0; k < surf.Len(); k += 20 {
		if !surf.Roof[k] || c.pondOf[k] >= 0 {
			continue
		}
		ends := tr.follow(k).endsAt
		n, ok := outlet[ends]
		if !ok {
			n, ok = pond[ends]
		}
		if !ok {
			t.Fatalf("the path from cell %d ends at %q", k, ends)
		}
		a.starts++
		if n != label[k] {
			a.other++
			if nearBorder(surf, label, k, n) {
				a.atBorder++
			}
		}
	}
}

// nearBorder says whether a cell within 2 cells of k belongs to outlet n.
func nearBorder(surf *survey.Surface, label []int32, k int, n int32) bool {
	i, j := k%surf.NX, k/surf.NX
	for b := j - 2; b <= j+2; b++ {
		for a := i - 2; a <= i+2; a++ {
			if surf.Holds(a, b) && label[b*surf.NX+a] == n {
				return true
			}
		}
	}
	return false
}

func (a agreement) tell(t *testing.T) {
	t.Helper()
	t.Logf("%d starts, %d end elsewhere, %d of them within two cells of that outlet's area", a.starts, a.other, a.atBorder)
	if a.starts < 500 {
		t.Errorf("only %d starts: the test shows nothing", a.starts)
	}
	if off := a.other - a.atBorder; float64(off) > 0.001*float64(a.starts) {
		t.Errorf("%d of %d paths end where the areas do not say, off every border", off, a.starts)
	}
	if float64(a.other) > 0.01*float64(a.starts) {
		t.Errorf("%d of %d paths end elsewhere", a.other, a.starts)
	}
}

// TestAccumulation_Published: the specific catchment area, what drains through a
// foot of contour, by the shares of D-infinity, of surfaces as in Tarboton 1997:
// on an outward cone r/2, on an inward cone of rim R (R^2 - r^2)/(2r), on a plane
// the length upslope, here of a disc. Check values 9.4.9: R 16, r 2, 5, 10: 63.0,
// 23.1, 7.8. Read in twelve sectors of the contour, since the sum over all of it
// is no more than that no water is lost.
func TestAccumulation_Published(t *testing.T) {
	t.Parallel()
	const rim, sectors = 16.0, 12
	sector := func(p geom.Pt) int {
		return int((math.Atan2(p.Y, p.X)/(2*math.Pi) + 0.5) * sectors * (1 - 1e-12))
	}
	inward := func(p geom.Pt) float64 { return 0.25 * p.Norm() }
	outward := func(p geom.Pt) float64 { return 10 - 0.25*p.Norm() }
	for _, c := range []struct{ r, want float64 }{{2, 63.0}, {5, 23.1}, {10, 7.8}} {
		in := func(p geom.Pt) bool { return p.Norm() <= c.r }
		ft := 2 * math.Pi * c.r / sectors
		for n, sqft := range through(t, rim, inward, in, sector, sectors) {
			within(t, fmt.Sprintf("inward cone, r %g, sector %d", c.r, n), sqft/ft, c.want, 0.08*c.want)
		}
		for n, sqft := range through(t, rim, outward, in, sector, sectors) {
			within(t, fmt.Sprintf("outward cone, r %g, sector %d", c.r, n), sqft/ft, c.r/2, 0.15*c.r/2)
		}
	}
	for _, deg := range []float64{0, 22.5, 30, 45} {
		f := geom.Frame{Turn: deg * math.Pi / 180} // water runs along its x
		plane := func(p geom.Pt) float64 { return 10 - 0.25*f.ToLocal(p).X }
		passed := func(p geom.Pt) bool { return f.ToLocal(p).X > 0 }
		strip := func(p geom.Pt) int { return min(max(int(f.ToLocal(p).Y/4+4), 0), 7) }
		for n, sqft := range through(t, rim, plane, passed, strip, 8) {
			// The disc's chord over a strip of 4 ft, by its antiderivative.
			half := func(u float64) float64 { return (u*math.Sqrt(rim*rim-u*u) + rim*rim*math.Asin(u/rim)) / 2 }
			want := (half(float64(4*n-12)) - half(float64(4*n-16))) / 4
			within(t, fmt.Sprintf("plane at %g, strip %d", deg, n), sqft/4, want, 0.1*want)
		}
	}
}

// through is the area in sq ft that drains over the border of a region, in each
// of n parts of it, on a disc of a radius with half-foot cells.
func through(t *testing.T, rimFt float64, z func(p geom.Pt) float64, in func(p geom.Pt) bool, part func(p geom.Pt) int, n int) []float64 {
	t.Helper()
	s, surf := roofOf(t, box(2*rimFt+2, 2*rimFt+2), nil, 0.5, z)
	c := &check{site: s, surf: surf, pondOf: make([]int32, surf.Len())}
	tr := &tracer{c: c, mesh: mesh{surf, surf.ElevIn}, endsAt: make([]int32, surf.Len()), over: make([]int32, surf.Len())}
	for k := range surf.ElevIn {
		surf.Roof[k] = tr.at(k).Norm() <= rimFt
		c.pondOf[k], tr.endsAt[k], tr.over[k] = -1, -1, -1
	}
	sqft := make([]float64, n)
	for k := range surf.Roof {
		if surf.Roof[k] {
			tr.crossing(k, in, func(at geom.Pt, w float64) {
				sqft[part(at)] += w * surf.CellFt * surf.CellFt
			})
		}
	}
	return sqft
}

// crossing follows the water of cell k by its shares until it crosses the border
// of a region, and tells where and how much of it does.
func (t *tracer) crossing(k int, in func(p geom.Pt) bool, tell func(at geom.Pt, w float64)) {
	from, part := in(t.at(k)), map[int]float64{k: 1}
	for len(part) > 0 {
		next := map[int]float64{}
		for _, q := range slices.Sorted(maps.Keys(part)) {
			s := t.shareOf(q)
			if s.a < 0 {
				continue
			}
			for n, to := range [2]int{int(s.a), int(s.b)} {
				w := part[q] * math.Abs(float64(1-n)-float64(s.toB))
				switch {
				case w < 1e-6:
				case in(t.at(to)) != from:
					tell(t.at(q).Lerp(t.at(to), 0.5), w)
				default:
					next[to] += w
				}
			}
		}
		part = next
	}
}
