package lower

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

func box(x0, y0, x1, y1 float64) geom.Ring {
	return geom.Box{Min: geom.Pt{X: x0, Y: y0}, Max: geom.Pt{X: x1, Y: y1}}.Ring()
}

func regions(t *testing.T, e *Envelope) ([]Region, []Crease) {
	t.Helper()
	r, c, err := e.Regions()
	if err != nil {
		t.Fatal(err)
	}
	return r, c
}

// Two planes that fall toward each other's feet meet in the middle.
func TestRegions_TwoPlanes(t *testing.T) {
	area := geom.Poly{Outer: box(0, 0, 40, 10)}
	e := New(area, nil)
	e.Lower(area.Outer, survey.Plane{GX: 0.25})
	e.Lower(area.Outer, survey.Plane{CIn: 10, GX: -0.25})
	e.Lower(area.Outer, survey.Plane{CIn: 99}) // above both
	r, c := regions(t, e)
	if len(r) != 2 || r[0].Poly.Area() != 200 || r[1].Poly.Area() != 200 {
		t.Fatalf("%v", r)
	}
	inner := 0
	for _, k := range c {
		if k.Right >= 0 {
			inner++
			if k.A.X != 20 || k.B.X != 20 || k.A.Dist(k.B) != 10 {
				t.Errorf("crease %v", k)
			}
		}
	}
	if inner != 1 {
		t.Errorf("%d creases between two regions", inner)
	}
}

// A plane laid in pieces over old pieces is one region, however cut, after
// tidying as before; a hole in its middle stays one.
func TestRegions_UnitesPieces(t *testing.T) {
	area := geom.Poly{Outer: box(0, 0, 30, 30)}
	e := New(area, nil)
	for i := range 30 {
		for j := range 30 {
			x, y := float64(i), float64(j)
			e.Lower(geom.Ring{{X: x, Y: y}, {X: x + 1, Y: y}, {X: x + 1, Y: y + 1}}, survey.Plane{CIn: 5})
			e.Lower(geom.Ring{{X: x, Y: y}, {X: x + 1, Y: y + 1}, {X: x, Y: y + 1}}, survey.Plane{CIn: 5})
		}
	}
	if err := e.Tidy(); err != nil {
		t.Fatal(err)
	}
	if len(e.cells) != 1 {
		t.Errorf("%d cells of one plane after tidying", len(e.cells))
	}
	e.Drop(box(10, 10, 20, 20))
	r, _ := regions(t, e)
	if len(r) != 1 || len(r[0].Poly.Holes) != 1 || len(r[0].Poly.Outer) != 4 || r[0].Poly.Area() != 800 {
		t.Errorf("%v", r)
	}
}

// Regions that touch in a corner only stay apart.
func TestRegions_TouchingCorners(t *testing.T) {
	area := geom.Poly{Outer: box(0, 0, 20, 20)}
	e := New(area, nil)
	e.Lower(area.Outer, survey.Plane{CIn: 5})
	e.Lower(box(0, 0, 10, 10), survey.Plane{CIn: 1})
	e.Lower(box(10, 10, 20, 20), survey.Plane{CIn: 1})
	r, _ := regions(t, e)
	if len(r) != 4 {
		t.Errorf("%d regions, want 4: %v", len(r), r)
	}
	// A ring of one plane that closes in a corner has a hole that touches it.
	e = New(area, nil)
	e.Lower(area.Outer, survey.Plane{CIn: 5})
	e.Lower(box(5, 5, 10, 10), survey.Plane{CIn: 1})
	e.Drop(box(10, 10, 20, 20))
	r, _ = regions(t, e)
	if len(r) != 2 {
		t.Fatalf("%d regions, want 2: %v", len(r), r)
	}
	for _, k := range r {
		if _, _, crossed := geom.Crossing(k.Poly.Rings()...); crossed && len(k.Poly.Holes) == 0 {
			t.Errorf("%v", k)
		}
	}
}

func TestSqft_Bare(t *testing.T) {
	area := geom.Poly{Outer: box(0, 0, 20, 20), Holes: []geom.Ring{box(5, 5, 10, 10)}}
	e := New(area, nil)
	e.Lower(box(0, 0, 20, 10), survey.Plane{})
	all, bare := e.Sqft()
	if math.Abs(all-375) > 1e-9 || math.Abs(bare-200) > 1e-9 {
		t.Errorf("%g, bare %g", all, bare)
	}
}

// Trapezoids of a lozenge with a court cover it.
func TestTrapezoids_Cover(t *testing.T) {
	p := geom.Poly{
		Outer: geom.Ring{{X: 0, Y: -20}, {X: 30, Y: 0}, {X: 0, Y: 20}, {X: -30, Y: 0}},
		Holes: []geom.Ring{{{X: -5, Y: -5}, {X: 5, Y: -4}, {X: 0, Y: 6}}},
	}
	sum := 0.0
	for _, r := range trapezoids(p) {
		sum += r.SignedArea()
	}
	if math.Abs(sum-p.Area()) > 1e-9 {
		t.Errorf("%g of %g sq ft", sum, p.Area())
	}
}
