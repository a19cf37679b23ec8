package taper

import (
	"context"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// roof makes the site of an area with drains at the given places.
func roof(outline geom.Ring, drains ...geom.Pt) *survey.Site {
	return survey.SiteOf(roofArea(outline, drains...), nil)
}

func roofArea(outline geom.Ring, drains ...geom.Pt) *survey.Area {
	a := &survey.Area{Name: "A", Outline: outline, Edges: make([]survey.Edge, len(outline))}
	for i, p := range drains {
		a.Outlets = append(a.Outlets, survey.Outlet{ID: string(rune('A' + i)), Kind: survey.Drain, At: p, Edge: -1})
	}
	return a
}

func rect(w, h float64) geom.Ring { return geom.Box{Max: geom.Pt{X: w, Y: h}}.Ring() }

// quarterIn is the usual input: 1/4 in/ft from 1/2 in on a level deck.
func quarterIn(scheme survey.Scheme) FieldInput {
	return FieldInput{Scheme: scheme, Slope: unit.InchesPerFoot(0.25), T0In: 0.5}
}

func mustField(t testing.TB, s *survey.Site, in FieldInput) ([]Facet, []Line, []string) {
	t.Helper()
	f, err := FieldOf(context.Background(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	return f.Facets, f.Lines, f.Notes
}

func nearly(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// Rows A and E: a rectangle L x W, a = L/2 >= b = W/2, has the mean
// s (a/2 + b^2/(6a)) and the highest s a above a drain in its middle by equal
// planes, s W/2 and s W above a long edge. The figures were integrated apart
// from this program.
func TestFieldOf_Rectangles(t *testing.T) {
	for _, c := range []struct {
		l, w          float64
		meanIn, topIn float64 // row A
		cuFt          float64
		meanE, topE   float64 // row E
		cuFtE         float64
	}{
		{40, 40, 3.8333333, 5.5, 511.111111, 5.5, 10.5, 733.333333},
		{60, 40, 4.8055556, 8, 961.111111, 5.5, 10.5, 1100},
		{100, 50, 7.2708333, 13, 3029.513889, 6.75, 13, 2812.5},
		{120, 80, 9.1111111, 15.5, 7288.888889, 10.5, 20.5, 8400},
	} {
		s := roof(rect(c.l, c.w), geom.Pt{X: c.l / 2, Y: c.w / 2})
		f, lines, _ := mustField(t, s, quarterIn(survey.FourWay))
		m := MeasureInsulation(f)
		nearly(t, "A mean", m.AverageIn, c.meanIn, 1e-6)
		nearly(t, "A highest", m.ThickestIn, c.topIn, 1e-9)
		nearly(t, "A least", m.ThinnestIn, 0.5, 1e-9)
		nearly(t, "A volume", m.CuFt, c.cuFt, 1e-6*c.cuFt)
		if len(f) != 4 || len(lines) != 4 {
			t.Errorf("%gx%g: %d facets, %d lines", c.l, c.w, len(f), len(lines))
		}
		for _, l := range lines {
			nearly(t, "valley", l.Slope.InchesPerFoot(), 0.25/math.Sqrt2, 1e-9)
		}
		a := roofArea(rect(c.l, c.w))
		a.Edges[0].Kind = survey.GutterEdge
		a.Outlets = []survey.Outlet{{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}}
		f, _, _ = mustField(t, survey.SiteOf(a, nil), quarterIn(survey.OneWay))
		m = MeasureInsulation(f)
		nearly(t, "E mean", m.AverageIn, c.meanE, 1e-6)
		nearly(t, "E highest", m.ThickestIn, c.topE, 1e-9)
		nearly(t, "E volume", m.CuFt, c.cuFtE, 1e-6*c.cuFtE)
		if len(f) != 1 {
			t.Errorf("one-way %gx%g: %d facets", c.l, c.w, len(f))
		}
	}
}

// Two drains in line share the planes square to their line where these are
// equal: one facet each. 1,200 sq ft go to each drain.
func TestFieldOf_TwoDrains(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 15, Y: 20}, geom.Pt{X: 45, Y: 20})
	f, lines, _ := mustField(t, s, quarterIn(survey.FourWay))
	m := MeasureInsulation(f)
	nearly(t, "mean", m.AverageIn, 3.46875, 1e-9)
	nearly(t, "volume", m.CuFt, 693.75, 1e-6)
	if len(f) != 6 {
		t.Errorf("%d facets, want 6: %v", len(f), f)
	}
	for _, l := range lines {
		t.Log(l.Kind, l.A, l.B, l.Slope)
	}
	// The planes toward the long walls tie over a triangle of 10 x 5 ft at x = 30:
	// 25 sq ft that belong to one facet with both drains' own.
	for _, y := range []float64{2, 38} {
		var ids []int
		for _, x := range []float64{15, 30, 45} {
			for _, facet := range f {
				if facet.Poly.Has(s.Frame.ToLocal(geom.Pt{X: x, Y: y})) {
					ids = append(ids, facet.ID)
				}
			}
		}
		if len(ids) != 3 || ids[0] != ids[1] || ids[1] != ids[2] {
			t.Errorf("at y = %g the drains and the triangle between them lie in facets %v, want one", y, ids)
		}
	}
	s = roof(rect(60, 40), geom.Pt{X: 10, Y: 15}, geom.Pt{X: 50, Y: 25})
	f, _, _ = mustField(t, s, quarterIn(survey.FourWay))
	m = MeasureInsulation(f)
	nearly(t, "offset board feet", m.CuFt*12, 9054.2, 0.05)
	nearly(t, "offset highest", m.ThickestIn, 6.75, 1e-9)
}
