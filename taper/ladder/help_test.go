package ladder

import (
	"context"
	"math"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// roof is a w x d ft roof round the frame's origin, exactly known, with a ring
// of parapets and a roof of so much thickness everywhere, as a core tells.
type roof struct {
	w, d    float64
	outlets []survey.Outlet
	z       func(p geom.Pt) float64
	oldIn   float64 // thickness of the old roof; 0: no core
	rules   string
	inletIn map[string]float64 // where not flush
	cellFt  float64
}

func drainAt(id string, x, y float64) survey.Outlet {
	return survey.Outlet{ID: id, Kind: survey.Drain, At: geom.Pt{X: x, Y: y}, Edge: -1}
}

// in is what the roof is climbed with.
func (r roof) in(t testing.TB) In {
	t.Helper()
	s := &survey.Site{Name: "A", Outline: geom.Box{Min: geom.Pt{X: -r.w / 2, Y: -r.d / 2}, Max: geom.Pt{X: r.w / 2, Y: r.d / 2}}.Ring()}
	for n := range s.Outline {
		s.Edges = append(s.Edges, survey.SiteEdge{A: s.Outline[n], B: s.Outline.At(n + 1)})
	}
	for _, o := range r.outlets {
		so := survey.SiteOutlet{Outlet: o, P: o.At, A: o.At, B: o.At}
		if o.Edge >= 0 {
			so.A, so.B = s.Edges[o.Edge].A, s.Edges[o.Edge].B
			so.P = so.A.Lerp(so.B, 0.5)
			s.Edges[o.Edge].Kind = survey.OpenEdge
		}
		s.Outlets = append(s.Outlets, so)
	}
	l := survey.LatticeOf(s, r.cellFt)
	surf := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	deckIn := make([]float64, l.Len())
	for k := range surf.ElevIn {
		surf.ElevIn[k] = r.z(l.Centre(k%l.NX, k/l.NX))
		deckIn[k] = surf.ElevIn[k] - r.oldIn
	}
	in := In{Site: s, Stock: taper.DefaultStock(unit.US), Units: unit.US, NoDesign: "not designed",
		Levels: fit.Levels{Kind: survey.Membrane, Existing: surf, Units: unit.US}}
	if r.oldIn > 0 {
		s.Cores = []survey.SiteCore{{ID: "C1", ThicknessIn: r.oldIn}}
		in.Levels.Cores, in.Levels.Reach, in.Levels.Deck = s.Cores, 100*unit.Foot, surf.With(deckIn)
	}
	rules, err := drainage.RuleSet(survey.RuleChoice{Name: r.rules})
	if err != nil {
		t.Fatal(err)
	}
	in.Options = drainage.Options{Rules: rules, Window: 4 * unit.Foot, InletIn: drainage.Inlets(s, surf, nil),
		Ponds: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}}
	for n, o := range s.Outlets {
		if z, ok := r.inletIn[o.ID]; ok {
			in.Options.InletIn[n] = z
		}
	}
	if in.Existing, err = drainage.Check(context.Background(), s, surf, in.Options); err != nil {
		t.Fatal(err)
	}
	return in
}

// on is a climb that stands at the foot of the ladder.
func on(in In) *climb {
	return &climb{In: in, surf: in.Existing.Surface, inletIn: in.Options.InletIn, now: in.Existing}
}

// climbed climbs and holds the steps to what every climb keeps.
func climbed(t testing.TB, in In) (map[Rung]Step, Rung) {
	t.Helper()
	steps, rung, why, err := Climb(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if why == "" || len(steps) != 7 {
		t.Fatalf("%d steps, because %q", len(steps), why)
	}
	by, kept := map[Rung]Step{}, false
	for n, s := range steps {
		if s.Rung != DrainsAsIs+Rung(n) || s.Why == "" {
			t.Errorf("step %d is rung %v because %q", n, s.Rung, s.Why)
		}
		if kept && s.Outcome != NotTested {
			t.Errorf("rung %v is %v above one that does", s.Rung, s.Outcome)
		}
		if s.Outcome == Kept {
			kept = true
			if rung != s.Rung {
				t.Errorf("the answer is %v, the first kept %v", rung, s.Rung)
			}
		}
		by[s.Rung] = s
		t.Logf("%v %v: %s | %s", s.Rung, s.Outcome, s.Do, s.Why)
	}
	return by, rung
}

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, tol)
	}
}
