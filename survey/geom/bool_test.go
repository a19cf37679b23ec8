package geom_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey/geom"
)

func areas(ps []geom.Poly) float64 {
	sum := 0.0
	for _, p := range ps {
		sum += p.Area()
	}
	return sum
}

func hold(ps []geom.Poly, q geom.Pt) int {
	n := 0
	for _, p := range ps {
		if p.Has(q) {
			n++
		}
	}
	return n
}

// roof is the L with two courts, one of them against no wall.
func roof(t testing.TB) geom.Poly {
	return geom.Poly{Outer: ring(t, ell),
		Holes: []geom.Ring{ring(t, "10,10 30,10 30,20 10,20"), ring(t, "50,30 60,30 60,60 50,60")}}
}

// board draws a turned rectangle near the roof, now and then flush with its
// axes and corners.
func board(t *rapid.T) geom.Poly {
	f := geom.Frame{Origin: geom.Pt{X: rapid.Float64Range(-20, 140).Draw(t, "x"), Y: rapid.Float64Range(-20, 100).Draw(t, "y")},
		Turn: rapid.Float64Range(0, 7).Draw(t, "turn")}
	w, h := rapid.Float64Range(0.5, 90).Draw(t, "w"), rapid.Float64Range(0.5, 90).Draw(t, "h")
	if rapid.Bool().Draw(t, "flush") {
		f = geom.Frame{Origin: geom.Pt{X: float64(2 * rapid.IntRange(-5, 65).Draw(t, "x")), Y: float64(2 * rapid.IntRange(-5, 45).Draw(t, "y"))}}
		w, h = float64(2*rapid.IntRange(1, 30).Draw(t, "w")), float64(2*rapid.IntRange(1, 30).Draw(t, "h"))
	}
	return geom.Poly{Outer: geom.Box{Max: geom.Pt{X: w, Y: h}}.Ring().Map(f.ToJob)}
}

// TestOverlay_AreasAddUp: what a board covers and leaves of the roof is the
// roof, together they cover what both have, and every place is where it should
// be.
func TestOverlay_AreasAddUp(t *testing.T) {
	whole := roof(t)
	rapid.Check(t, func(t *rapid.T) {
		b := board(t)
		both, err := geom.Intersect(whole, b)
		if err != nil {
			t.Fatal(err)
		}
		left, err := geom.Subtract(whole, b)
		if err != nil {
			t.Fatal(err)
		}
		all, err := geom.Union([]geom.Poly{whole, b})
		if err != nil {
			t.Fatal(err)
		}
		tol := 1e-6 * whole.Area()
		if d := areas(both) + areas(left) - whole.Area(); math.Abs(d) > tol {
			t.Fatalf("covered and left differ from the roof by %v sq ft", d)
		}
		if d := areas(all) + areas(both) - whole.Area() - b.Area(); math.Abs(d) > tol {
			t.Fatalf("roof and board together differ by %v sq ft", d)
		}
		for range 20 {
			q := geom.Pt{X: rapid.Float64Range(-20, 140).Draw(t, "qx"), Y: rapid.Float64Range(-20, 100).Draw(t, "qy")}
			if whole.Dist(q) < 1e-6 || b.Dist(q) < 1e-6 {
				continue
			}
			in, on := whole.Has(q), b.Has(q)
			if hold(both, q) != count(in && on) || hold(left, q) != count(in && !on) || hold(all, q) != count(in || on) {
				t.Fatalf("%v: on the roof %v, on the board %v; covered %d, left %d, together %d",
					q, in, on, hold(both, q), hold(left, q), hold(all, q))
			}
		}
	})
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestOverlay_Stories(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) geom.Poly {
		return geom.Poly{Outer: geom.Box{Min: geom.Pt{X: x0, Y: y0}, Max: geom.Pt{X: x1, Y: y1}}.Ring()}
	}
	for name, c := range map[string]struct {
		op   func(a, b geom.Poly) ([]geom.Poly, error)
		a, b geom.Poly
		want []float64 // areas, largest first
	}{
		"half over":                 {geom.Intersect, box(0, 0, 4, 4), box(2, 0, 6, 4), []float64{8}},
		"edge to edge":              {geom.Intersect, box(0, 0, 4, 4), box(4, 0, 8, 4), nil},
		"corner to corner":          {geom.Intersect, box(0, 0, 4, 4), box(4, 4, 8, 8), nil},
		"apart":                     {geom.Intersect, box(0, 0, 4, 4), box(5, 0, 8, 4), nil},
		"nothing left":              {geom.Subtract, box(0, 0, 4, 4), box(-1, -1, 5, 5), nil},
		"a court cut out":           {geom.Subtract, box(0, 0, 10, 10), box(4, 4, 6, 6), []float64{96}},
		"cut in two":                {geom.Subtract, box(0, 0, 10, 4), box(6, -1, 8, 5), []float64{24, 8}},
		"board against nothing":     {geom.Intersect, box(0, 0, 4, 4), geom.Poly{}, nil},
		"a hair of a shared border": {geom.Intersect, box(0, 0, 4, 4), box(4-1e-9, 0, 8, 4), nil},
	} {
		got, err := c.op(c.a, c.b)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: %d parts, want %d", name, len(got), len(c.want))
			continue
		}
		for i, p := range got {
			if math.Abs(p.Area()-c.want[i]) > 1e-9 || p.Outer.SignedArea() <= 0 {
				t.Errorf("%s: part %d has area %v, signed %v, want %v", name, i, p.Area(), p.Outer.SignedArea(), c.want[i])
			}
		}
	}
	row := []geom.Poly{box(0, 0, 4, 4), box(4, 0, 8, 4), box(20, 0, 22, 4)}
	got, err := geom.Union(row)
	if err != nil || len(got) != 2 || math.Abs(got[0].Area()-32) > 1e-9 || math.Abs(got[1].Area()-8) > 1e-9 {
		t.Errorf("two boards that touch and one apart: %v, %v", got, err)
	}
	if got, err := geom.Union(nil); err != nil || got != nil {
		t.Errorf("no regions unite to %v, %v", got, err)
	}
}
