package taper

import (
	"context"
	"slices"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// mustRules are the built-in rules of a name.
func mustRules(t *testing.T, name string) drainage.Rules {
	t.Helper()
	rules, err := drainage.RuleSet(survey.RuleChoice{Name: name})
	if err != nil {
		t.Fatal(err)
	}
	return rules
}

// provenOn designs the field of a site, with drains set at the finish and all
// else at the inlets given, and proves it on a base.
func provenOn(t *testing.T, s *survey.Site, in FieldInput, base *survey.Surface, inletIn []float64) *Proof {
	t.Helper()
	f, lines, notes := mustField(t, s, in)
	d := &Design{Scheme: in.Scheme, Slope: in.Slope, Deck: in.Deck, Facets: f, Lines: lines, Notes: notes}
	p, err := Prove(context.Background(), s, d, Trial{
		Base: base, InletIn: FinishedInlets(s, Finish(base, f, 0), base, nil, inletIn), Rules: mustRules(t, ""),
		Limits: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}, Units: in.Units,
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A roof known but for a strip: under a twentieth unknown passes, more does
// not, and a base without a survey passes by its geometry.
func TestProve_UnknownShare(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	for name, c := range map[string]struct {
		stripFt float64 // of 60
		why     string
	}{
		"all known":   {0, ""},
		"a thirtieth": {2, ""},
		"a twentieth": {3, "5.0 % of the area is too far from a shot to tell"},
		"four tenths": {24, "40.0 % of the area is too far from a shot to tell"},
		"all unknown": {60, "100.0 % of the area is too far from a shot to tell"},
		"no survey":   {-1, ""},
	} {
		base := level(s, 100)
		if c.stripFt >= 0 {
			base.Known = make([]bool, base.Len())
			for k := range base.Known {
				base.Known[k] = base.Centre(k%base.NX, k/base.NX).X > -30+c.stripFt
			}
		}
		p := provenOn(t, s, quarterIn(survey.FourWay), base, []float64{100})
		if p.Passes != (c.why == "") || p.Why != c.why {
			t.Errorf("%s: passes %v, %q", name, p.Passes, p.Why)
		}
	}
}

// Outlets that are blocked or untested make conditions; the field counts on the
// blocked ones that it runs to, and on no other.
func TestProve_Conditions(t *testing.T) {
	blocked, untested := "only once %s is cleared: it is blocked now", "only if %s lets water go: it is untested"
	for name, c := range map[string]struct {
		states   [2]survey.OutletState
		overflow bool // the second outlet
		want     []string
	}{
		"both work":                {},
		"one untested":             {states: [2]survey.OutletState{survey.Works, survey.Untested}, want: []string{strings.Replace(untested, "%s", "B", 1)}},
		"one blocked":              {states: [2]survey.OutletState{survey.Blocked}, want: []string{strings.Replace(blocked, "%s", "A", 1)}},
		"all blocked":              {states: [2]survey.OutletState{survey.Blocked, survey.Blocked}, want: []string{strings.Replace(blocked, "%s", "A", 1), strings.Replace(blocked, "%s", "B", 1)}},
		"an overflow is blocked":   {states: [2]survey.OutletState{survey.Works, survey.Blocked}, overflow: true},
		"a dry overflow, untested": {states: [2]survey.OutletState{survey.Works, survey.Untested}, overflow: true},
	} {
		a := roofArea(rect(60, 40), geom.Pt{X: 15, Y: 20}, geom.Pt{X: 45, Y: 20})
		for n := range a.Outlets {
			a.Outlets[n].State = c.states[n]
		}
		a.Outlets[1].Overflow = c.overflow
		s := survey.SiteOf(a, nil)
		p := provenOn(t, s, quarterIn(survey.FourWay), level(s, 100), []float64{100, 130})
		if !p.Passes || !slices.Equal(p.Findings, c.want) {
			t.Errorf("%s: passes %v (%s), findings %q", name, p.Passes, p.Why, p.Findings)
		}
		for n, st := range c.states {
			listed := slices.Contains(p.Report.Conditional, a.Outlets[n].ID)
			if a.Outlets[n].State != st || listed != (st != survey.Works) {
				t.Errorf("%s: outlet %d is %v in the job, conditional %q", name, n, a.Outlets[n].State, p.Report.Conditional)
			}
			if !c.overflow {
				nearly(t, name+": share of an outlet", p.Report.Areas[n].SqFt, 1200, 2)
			}
		}
	}
}

// tilted is a base that rises by a plane in job inches a foot, and the plane in
// the frame.
func tilted(s *survey.Site, rise geom.Pt) (*survey.Surface, survey.Plane) {
	base := level(s, 100)
	at := func(p geom.Pt) float64 { return s.Frame.ToJob(p).Dot(rise) }
	for k := range base.ElevIn {
		base.ElevIn[k] += at(base.Centre(k%base.NX, k/base.NX))
	}
	o := at(geom.Pt{})
	return base, survey.Plane{GX: at(geom.Pt{X: 1}) - o, GY: at(geom.Pt{Y: 1}) - o}
}

// One way to the scuppers of a wall: the low line between them is level, or
// slopes what the deck gives along it; over a gutter or an open edge water
// leaves anywhere. The limit on valleys is 1/8 in/ft.
func TestProve_LowLineAlongScuppers(t *testing.T) {
	two := func(edge int, kind survey.EdgeKind) *survey.Area {
		a := roofArea(rect(60, 40))
		a.Edges[edge].Kind = kind
		switch kind {
		case survey.GutterEdge:
			a.Outlets = []survey.Outlet{{ID: "G", Kind: survey.GutterOutlet, Edge: edge}}
		case survey.OpenEdge:
			a.Outlets = []survey.Outlet{{ID: "O", Kind: survey.OpenOutlet, Edge: edge}}
		default:
			for n, x := range []float64{2, 58} {
				a.Outlets = append(a.Outlets, survey.Outlet{ID: []string{"S1", "S2"}[n], Kind: survey.Scupper,
					At: geom.Pt{X: x}, Edge: edge, Width: unit.Foot, Reset: survey.ResetYes})
			}
		}
		return a
	}
	one := two(0, survey.Parapet)
	one.Outlets = one.Outlets[:1]
	for name, c := range map[string]struct {
		a      *survey.Area
		riseX  float64
		units  unit.System
		valley drainage.Verdict
		whyHas string
	}{
		"level deck":              {a: two(0, survey.Parapet), valley: drainage.FallsShort, whyHas: "the low line along the wall toward S1 and S2 is level"},
		"level deck, one":         {a: one, valley: drainage.FallsShort, whyHas: "the low line along the wall toward S1 is level"},
		"deck of 1/16 along it":   {a: one, riseX: 0.0625, valley: drainage.FallsShort, whyHas: "the wall toward S1 slopes 0.0625 in/ft, under the 0.125 in/ft of us-reroof"},
		"the same in millimetres": {a: one, riseX: 0.0625, units: unit.Metric, valley: drainage.FallsShort, whyHas: "the wall toward S1 slopes 1:192, under the 1:96 of us-reroof"},
		"deck of 1/8 along it":    {a: one, riseX: 0.125, valley: drainage.Meets},
		"gutter":                  {a: two(0, survey.GutterEdge), valley: drainage.Meets},
		"open edge":               {a: two(0, survey.OpenEdge), valley: drainage.Meets},
	} {
		s := survey.SiteOf(c.a, nil)
		in := quarterIn(survey.OneWay)
		in.Units = c.units
		var base *survey.Surface
		base, in.Deck = tilted(s, geom.Pt{X: c.riseX})
		p := provenOn(t, s, in, base, make([]float64, len(s.Outlets)))
		if p.Valley != c.valley || p.Passes != (c.valley == drainage.Meets) ||
			!strings.Contains(p.Why, c.whyHas) || strings.Contains(p.Why, "flattest valley") {
			t.Errorf("%s: valleys %v, passes %v, %q", name, p.Valley, p.Passes, p.Why)
		}
	}
}

// Inlets that keep their elevation on a level deck of 100 in. By hand: the roof
// starts at 1/2 in, and 20 ft from the drain at 1/4 in/ft it is 5 1/2 in
// thick.
func TestProve_KeptInlets(t *testing.T) {
	for name, c := range map[string]struct {
		overflow bool
		reset    survey.Reset
		inletIn  float64
		units    unit.System
		want     string
	}{
		"overflow in the insulation":  {overflow: true, inletIn: 102, want: `S1 (overflow): its inlet would lie 3 1/2" under the finished surface: raise or rebuild it`},
		"the same in millimetres":     {overflow: true, inletIn: 102, units: unit.Metric, want: "S1 (overflow): its inlet would lie 89 mm under the finished surface: raise or rebuild it"},
		"overflow 2 in over":          {overflow: true, inletIn: 107.5},
		"overflow under by 1/8":       {overflow: true, inletIn: 105.375},
		"overflow that is raised":     {overflow: true, inletIn: 102, reset: survey.ResetYes},
		"scupper at the old membrane": {inletIn: 100, want: `S1: its inlet would lie 1/2" under the finished surface: raise or rebuild it`},
		"scupper at the finish":       {inletIn: 100.5},
		"scupper 3/16 over":           {inletIn: 100.6875, want: `S1: its inlet would end 3/16" over the finished surface: lower it or start thicker`},
		"scupper that keeps a pond":   {inletIn: 101},
		"scupper that is reset":       {inletIn: 90, reset: survey.ResetYes},
	} {
		a := roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20})
		a.Outlets = append(a.Outlets, survey.Outlet{ID: "S1", Kind: survey.Scupper, At: geom.Pt{X: 30}, Edge: 0,
			Width: unit.Foot, Overflow: c.overflow, Reset: c.reset})
		in := quarterIn(survey.FourWay)
		in.Units = c.units
		s := survey.SiteOf(a, nil)
		p := provenOn(t, s, in, level(s, 100), []float64{100, c.inletIn})
		if got := strings.Join(p.Findings, "; "); got != c.want {
			t.Errorf("%s: %q", name, got)
		}
		if ponds := len(p.Report.Ponds) > 0; ponds != (c.inletIn == 101) {
			t.Errorf("%s: %d ponds", name, len(p.Report.Ponds))
		}
	}
}
