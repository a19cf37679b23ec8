package lower

import (
	"math"
	"testing"

	"runnel/survey/geom"
)

// A ridge with two hips at either end divides a rectangle into the four planes
// of a hipped deck; areas by the triangle and trapezoid formulas. A line that
// ends inside divides nothing.
func TestParts(t *testing.T) {
	area := geom.Poly{Outer: geom.Box{Max: geom.Pt{X: 60, Y: 40}}.Ring()}
	ridge := []geom.Pt{{X: 20, Y: 20}, {X: 40, Y: 20}}
	hips := [][]geom.Pt{
		{{X: 0, Y: 0}, {X: 20, Y: 20}}, {{X: 0, Y: 40}, {X: 20, Y: 20}},
		{{X: 60, Y: 0}, {X: 40, Y: 20}}, {{X: 60, Y: 40}, {X: 40, Y: 20}},
	}
	parts, err := Parts(area, append(hips, ridge))
	if err != nil {
		t.Fatal(err)
	}
	if len(parts) != 4 {
		t.Fatalf("%d parts, want 4", len(parts))
	}
	triangles, trapezoids := 0, 0
	for _, p := range parts {
		switch a := p.Area(); {
		case math.Abs(a-400) < 1e-9:
			triangles++
		case math.Abs(a-800) < 1e-9:
			trapezoids++
		}
	}
	if triangles != 2 || trapezoids != 2 {
		t.Errorf("%d parts of 400 and %d of 800 sq ft, want 2 and 2", triangles, trapezoids)
	}
	for name, lines := range map[string][][]geom.Pt{
		"none": nil, "ends inside": {{{X: 10, Y: -1}, {X: 10, Y: 30}}}, "ridge alone": {ridge}, "along the wall": {{{X: 0, Y: 0}, {X: 60, Y: 0}}},
	} {
		if parts, err = Parts(area, lines); err != nil || len(parts) != 1 || math.Abs(parts[0].Area()-2400) > 1e-9 {
			t.Errorf("%s: %d parts, %v", name, len(parts), err)
		}
	}
	court := area
	court.Holes = []geom.Ring{geom.Box{Min: geom.Pt{X: 25, Y: 15}, Max: geom.Pt{X: 35, Y: 25}}.Ring().Reversed()}
	ring := geom.Box{Min: geom.Pt{X: 5, Y: 5}, Max: geom.Pt{X: 15, Y: 15}}.Ring()
	parts, err = Parts(court, [][]geom.Pt{append(ring, ring[0]), {{X: 30, Y: -1}, {X: 30, Y: 41}}})
	if err != nil || len(parts) != 3 {
		t.Fatalf("%d parts round a court, %v", len(parts), err)
	}
	sum := 0.0
	for _, p := range parts {
		sum += p.Area()
	}
	if math.Abs(sum-2300) > 1e-9 {
		t.Errorf("parts cover %g of 2300 sq ft", sum)
	}
}

// A line parts an area the same whichever way it runs: the lowest part first, of
// two on one level the left one.
func TestParts_Order(t *testing.T) {
	area := geom.Poly{Outer: geom.Box{Max: geom.Pt{X: 60, Y: 40}}.Ring()}
	across, up := []geom.Pt{{X: -1, Y: 10}, {X: 61, Y: 10}}, []geom.Pt{{X: 20, Y: -1}, {X: 20, Y: 41}}
	back := func(l []geom.Pt) []geom.Pt { return []geom.Pt{l[1], l[0]} }
	for n, lines := range [][][]geom.Pt{{across, up}, {up, across}, {back(across), up}, {back(up), back(across)}} {
		parts, err := Parts(area, lines)
		if err != nil || len(parts) != 4 {
			t.Fatalf("%d: %d parts, %v", n, len(parts), err)
		}
		for i, sqft := range []float64{200, 400, 600, 1200} {
			if math.Abs(parts[i].Area()-sqft) > 1e-9 {
				t.Errorf("%d: part %d has %g sq ft, want %g", n, i+1, parts[i].Area(), sqft)
			}
		}
	}
}
