package drainage

import (
	"context"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// roofOf is a rectangular area w x d ft round the frame's origin with the
// given outlets, and a raster of cellFt over it.
func roofOf(t testing.TB, outline geom.Ring, outlets []survey.Outlet, cellFt float64, z func(p geom.Pt) float64) (*survey.Site, *survey.Surface) {
	t.Helper()
	s := &survey.Site{Name: "A", Outline: outline}
	for n := range outline {
		s.Edges = append(s.Edges, survey.SiteEdge{A: outline[n], B: outline.At(n + 1)})
	}
	for _, o := range outlets {
		so := survey.SiteOutlet{Outlet: o, P: o.At, A: o.At, B: o.At}
		if o.Edge >= 0 {
			so.A, so.B = s.Edges[o.Edge].A, s.Edges[o.Edge].B
			so.P = so.A.Lerp(so.B, 0.5)
		}
		s.Outlets = append(s.Outlets, so)
	}
	return s, surfaceOf(s, cellFt, z)
}

func surfaceOf(s *survey.Site, cellFt float64, z func(p geom.Pt) float64) *survey.Surface {
	l := survey.LatticeOf(s, cellFt)
	surf := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	for k, roof := range surf.Roof {
		if roof {
			surf.ElevIn[k] = z(l.Centre(k%l.NX, k/l.NX))
		}
	}
	return surf
}

func box(w, d float64) geom.Ring {
	return geom.Box{Min: geom.Pt{X: -w / 2, Y: -d / 2}, Max: geom.Pt{X: w / 2, Y: d / 2}}.Ring()
}

// openAllRound are the four open edges of a box.
func openAllRound() []survey.Outlet {
	var o []survey.Outlet
	for n := range 4 {
		o = append(o, survey.Outlet{ID: "A-" + string(rune('0'+n)), Kind: survey.OpenOutlet, Edge: n})
	}
	return o
}

func drainAt(id string, p geom.Pt) survey.Outlet {
	return survey.Outlet{ID: id, Kind: survey.Drain, At: p, Edge: -1}
}

func usual(t testing.TB) Options {
	t.Helper()
	rules, err := RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	return Options{
		Rules:  rules,
		Ponds:  survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)},
		Window: unit.Feet(4),
	}
}

func checked(t testing.TB, s *survey.Site, surf *survey.Surface, opt Options) *Report {
	t.Helper()
	if opt.InletIn == nil {
		opt.InletIn = Inlets(s, surf, nil)
	}
	r, err := Check(context.Background(), s, surf, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Check(); err != nil {
		t.Fatal(err)
	}
	return r
}

func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, tol)
	}
}
