package render

import (
	"math"
	"math/rand/v2"
	"testing"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
)

func hillOf(nx, ny int, cellFt float64, f func(p geom.Pt) float64) *survey.Surface {
	l := survey.Lattice{NX: nx, NY: ny, CellFt: cellFt}
	s := &survey.Surface{Lattice: l, Roof: make([]bool, l.Len()), ElevIn: make([]float64, l.Len())}
	for k := range s.ElevIn {
		s.Roof[k] = true
		s.ElevIn[k] = f(l.Centre(k%nx, k/nx))
	}
	return s
}

// A contour's elevation equals the surface's along its length, and no contour
// crosses a cell that is not roof.
func TestContourLines_LieOnTheSurface(t *testing.T) {
	const seed = 3
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	s := hillOf(40, 30, 0.5, func(p geom.Pt) float64 { return 3*math.Sin(p.X) + p.Y/2 + rnd.NormFloat64() })
	for k := range s.Roof {
		s.Roof[k] = rnd.IntN(20) > 0
	}
	n := 0
	for _, c := range ContourLines(s, []float64{-3, -1, 0, 0.25, 2}) {
		for _, p := range c.Pts {
			n++
			if v, ok := s.Elevation(p); !ok || math.Abs(v-c.LevelIn) > 1e-9 {
				t.Fatalf("contour %v at %v: surface %v %v", c.LevelIn, p, v, ok)
			}
		}
	}
	if n < 500 {
		t.Errorf("%d places", n)
	}
}

// Contours of a cone are circles of the radius that its slope gives; of a
// plane, straight lines from border to border.
func TestContourLines_ClosedForms(t *testing.T) {
	cone := hillOf(81, 81, 0.25, func(p geom.Pt) float64 { return p.Norm() / 4 }) // 1/4 in/ft
	for _, level := range []float64{0.5, 1, 2} {
		cs := ContourLines(cone, []float64{level})
		if len(cs) != 1 || !cs[0].Closed {
			t.Fatalf("level %v: %d lines", level, len(cs))
		}
		for _, p := range cs[0].Pts {
			// A chord between cells lies inside the circle by at most the square
			// of the cell's diagonal over 8 radii.
			if r := p.Norm(); math.Abs(r-4*level) > 0.125/8/(4*level)+1e-9 {
				t.Errorf("level %v: radius %v", level, r)
			}
		}
	}
	plane := hillOf(40, 20, 0.5, func(p geom.Pt) float64 { return p.X/4 + p.Y/8 })
	cs := ContourLines(plane, []float64{0.3})
	if len(cs) != 1 || cs[0].Closed {
		t.Fatalf("%d lines on a plane", len(cs))
	}
	for _, p := range cs[0].Pts {
		if math.Abs(p.X/4+p.Y/8-0.3) > 1e-12 {
			t.Errorf("%v off the line", p)
		}
	}
	level := hillOf(10, 10, 1, func(geom.Pt) float64 { return 5 })
	if got := ContourLines(level, []float64{5, 4, 6}); len(got) != 0 {
		t.Errorf("%d contours on a level surface", len(got))
	}
}

// The region above a level is as large as the share of nodes above it says,
// and turning the surface turns the contours.
func TestGrid_AboveAndTurned(t *testing.T) {
	const seed = 5
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	phase := rnd.Float64()
	f := func(p geom.Pt) float64 { return math.Sin(p.X/3+phase) + math.Cos(p.Y/4) }
	s := hillOf(120, 100, 0.25, f)
	turned := hillOf(100, 120, 0.25, func(p geom.Pt) float64 { return f(geom.Pt{X: p.Y, Y: -p.X}) })
	for _, level := range []float64{-1, 0, 0.5, 1.2} {
		want := 0.0
		for _, v := range s.ElevIn {
			if v >= level {
				want += 0.25 * 0.25
			}
		}
		got := oddEven(gridOf(s, 1).above(level))
		if math.Abs(got-want) > 0.03*want+1 {
			t.Errorf("above %v: %v sq ft by rings, %v by cells", level, got, want)
		}
		if again := oddEven(gridOf(turned, 1).above(level)); math.Abs(again-got) > 1e-9 {
			t.Errorf("above %v: %v sq ft, turned %v", level, got, again)
		}
		if a, b := total(ContourLines(s, []float64{level})), total(ContourLines(turned, []float64{level})); math.Abs(a-b) > 1e-9 {
			t.Errorf("level %v: contours of %v ft, turned %v", level, a, b)
		}
	}
}

// oddEven is the area of disjoint or nested rings: a ring in an odd number of
// others is a hole.
func oddEven(rings []geom.Ring) float64 {
	sum := 0.0
	for i, r := range rings {
		sign := 1.0
		for j, o := range rings {
			if i != j && o.Has(r[0]) {
				sign = -sign
			}
		}
		sum += sign * r.Area()
	}
	return sum
}

func total(cs []ContourLine) float64 {
	sum := 0.0
	for _, c := range cs {
		for i := 1; i < len(c.Pts); i++ {
			sum += c.Pts[i].Dist(c.Pts[i-1])
		}
		if c.Closed {
			sum += c.Pts[0].Dist(c.Pts[len(c.Pts)-1])
		}
	}
	return sum
}

// Coarser grids keep a plane a plane: blocks have the mean of their cells at
// their middle.
func TestGridOf_StrideKeepsPlanes(t *testing.T) {
	plane := func(p geom.Pt) float64 { return 7 + p.X/4 - p.Y/3 }
	for _, n := range [][2]int{{40, 30}, {41, 29}, {7, 100}} {
		s := hillOf(n[0], n[1], 0.5, plane)
		for _, stride := range []int{1, 2, 3, 4, 7} {
			g := gridOf(s, stride)
			for j := 1; j < g.ny-1; j++ { // blocks at the border may be partly off
				for i := 1; i < g.nx-1; i++ {
					if want := plane(g.node(i, j)); math.Abs(g.v[j*g.nx+i]-want) > 1e-9 {
						t.Fatalf("%v cells, stride %d, block %d,%d: %v, plane %v", n, stride, i, j, g.v[j*g.nx+i], want)
					}
				}
			}
		}
	}
}

func TestInsideCells_AgreesWithHas(t *testing.T) {
	l := survey.Lattice{NX: 60, NY: 50, CellFt: 0.5}
	p := geom.Poly{Outer: geom.Ring{{X: -12, Y: -9}, {X: 11, Y: -8}, {X: 3, Y: 2}, {X: 10, Y: 11}, {X: -9, Y: 8}},
		Holes: []geom.Ring{{{X: -5, Y: -3}, {X: -5, Y: 3}, {X: 0, Y: 3}, {X: 0, Y: -3}}}}
	got := make([]bool, l.Len())
	insideCells(l, p.Rings(), func(k int) { got[k] = true })
	for k, in := range got {
		if c := l.Centre(k%l.NX, k/l.NX); in != p.Has(c) {
			t.Fatalf("cell at %v: %v, by Has %v", c, in, p.Has(c))
		}
	}
}

func TestThicker_CutsAPlane(t *testing.T) {
	ring := geom.Box{Min: geom.Pt{X: 0, Y: 0}, Max: geom.Pt{X: 12, Y: 8}}.Ring()
	plane := survey.Plane{CIn: 1, GX: 0.25}
	for level, want := range map[float64]float64{0: 96, 1: 96, 2: 64, 3.5: 16, 4: 0, 9: 0} {
		if got := thicker(ring, plane, level).Area(); math.Abs(got-want) > 1e-9 {
			t.Errorf("thicker than %v: %v sq ft, want %v", level, got, want)
		}
	}
}

func TestThinned_StaysNear(t *testing.T) {
	var pts []scene.Pt
	for k := range 200 {
		x := float64(k) / 40
		pts = append(pts, scene.Pt{X: x, Y: math.Sin(x)})
	}
	out := thinned(pts, 0.01)
	if len(out) >= len(pts)/3 {
		t.Errorf("%d of %d places kept", len(out), len(pts))
	}
	for _, p := range pts {
		near := math.Inf(1)
		for i := 1; i < len(out); i++ {
			near = math.Min(near, offLine(p, out[i-1], out[i]))
		}
		if near > 0.01+1e-9 {
			t.Errorf("%v is %v off", p, near)
		}
	}
}
