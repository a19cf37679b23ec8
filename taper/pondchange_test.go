package taper

import (
	"math"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// hollowRoof is 60 x 40 ft that falls 1/4 in/ft to a gutter, with a round hollow
// of a depth about a place; raisedIn lifts it.
func hollowRoof(t *testing.T, raisedIn float64, hollows map[geom.Pt]float64) *drainage.Report {
	t.Helper()
	zero := 0.0
	s := survey.SiteOf(gutterArea(rect(60, 40)), &zero)
	surf := deckOf(s, 0, func(p geom.Pt) float64 {
		z := 100 + raisedIn + p.Y/4
		for at, deepIn := range hollows {
			z -= deepIn * math.Max(0, 1-p.Dist(at)/6)
		}
		return z
	})
	r, err := drainage.Check(t.Context(), s, surf, drainage.Options{Ponds: survey.PondLimits{
		Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}, InletIn: []float64{100 + raisedIn}, Window: 4 * unit.Foot})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Ponds whose fates are known: hollows that are filled, half filled, left, dug
// and new. Board of one thickness all over moves none of them: a roof that ponds
// under 2 in of flat board ponds as it did (common sense: water sees slopes).
func TestComparePonds_Fates(t *testing.T) {
	p, q := geom.Pt{X: 15, Y: 20}, geom.Pt{X: 45, Y: 20}
	before := hollowRoof(t, 0, map[geom.Pt]float64{p: 4})
	if len(before.Ponds) != 1 {
		t.Fatalf("%d ponds", len(before.Ponds))
	}
	for name, c := range map[string]struct {
		raisedIn float64
		after    map[geom.Pt]float64
		want     []Fate
	}{
		"filled":             {2, nil, []Fate{PondGone}},
		"half filled":        {2, map[geom.Pt]float64{p: 3}, []Fate{PondSmaller}},
		"2 in of flat":       {2, map[geom.Pt]float64{p: 4}, []Fate{PondSame}},
		"dug":                {2, map[geom.Pt]float64{p: 6}, []Fate{PondDeeper}},
		"moved":              {2, map[geom.Pt]float64{q: 4}, []Fate{PondGone, NewPond}},
		"one more elsewhere": {2, map[geom.Pt]float64{p: 4, q: 4}, []Fate{PondSame, NewPond}},
	} {
		after := hollowRoof(t, c.raisedIn, c.after)
		got := ComparePonds(before, after)
		if len(got) != len(c.want) {
			t.Errorf("%s: %d changes, want %d", name, len(got), len(c.want))
			continue
		}
		for i, g := range got {
			if g.Fate != c.want[i] {
				t.Errorf("%s: %v, want %v", name, g.Fate, c.want[i])
			}
			if (g.After == nil) != (g.FillCuFt == 0) || g.After != nil && g.FillCuFt < g.After.CuFt {
				t.Errorf("%s: fill of %g cu ft", name, g.FillCuFt)
			}
		}
		if g := got[0]; g.Fate == PondSame {
			nearly(t, name+" area", g.After.SqFt, g.Before.SqFt, 1e-6)
			nearly(t, name+" depth", g.After.DepthIn, g.Before.DepthIn, 1e-6)
		}
	}
}
