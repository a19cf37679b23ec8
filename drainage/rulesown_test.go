package drainage

import (
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/read"
	"runnel/survey/unit"
)

// TestRuleSets_Figures: the limits of the built-in sets against what codes and
// owners say. 1/4:12 is printed as 2 percent by one code (0.24 in/ft): the sets
// hold 1/4 in/ft, 4 percent more, so that 2 percent exactly falls short.
func TestRuleSets_Figures(t *testing.T) {
	for _, c := range []struct {
		name                          string
		mode                          survey.Mode
		field, valley, gutter, design float64 // in/ft, by its ratio where it is one
		leastIn, mostIn, flashingIn   float64
		source, edition               string
		drained                       bool
	}{
		// 1/4:12: IBC 1507.10.1 to 1507.15.1 (2006 family). 8 in: manual, from
		// memory. 2 to 4 in: common practice, no source.
		{"us-reroof", survey.Planes, 12. / 48, 12. / 96, 0, 0, 2, 4, 8, "1507.10.1", "2006", false},
		// The re-roof exception: IBC 2021 family 1512.1, exception 1.
		{"us-reroof-drained", survey.Planes, 12. / 48, 12. / 96, 0, 0, 2, 4, 8, "1507.10.1", "1512.1 Exc. 1", true},
		{"every-path", survey.EveryPath, 12. / 48, 12. / 48, 0, 0, 2, 4, 8, "1507.10.1", "strictly", false},
		// An owner's guide: 1:50, no level gutter lines between drains.
		{"no-level-gutter", survey.Planes, 12. / 50, 12. / 96, 12. / 50, 0, 2, 4, 8, "1:50", "owner", false},
		// BS 6229:2018: designed 1:40, finished 1:80, gutters included.
		{"metric-falls", survey.Planes, 12. / 80, 12. / 80, 12. / 80, 12. / 40, 50 / 25.4, 100 / 25.4, 150 / 25.4, "1:40", "6229", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := RuleSet(survey.RuleChoice{Name: c.name})
			if err != nil {
				t.Fatal(err)
			}
			for what, v := range map[string][2]float64{
				"field": {r.Field.Min.InchesPerFoot(), c.field}, "valley": {r.Valley.Min.InchesPerFoot(), c.valley},
				"gutter": {r.Gutter.Min.InchesPerFoot(), c.gutter}, "design": {r.Design.Min.InchesPerFoot(), c.design},
				"overflow, least": {r.OverflowLeast.Inches(), c.leastIn}, "overflow, most": {r.OverflowMost.Inches(), c.mostIn},
				"flashing": {r.Flashing.Inches(), c.flashingIn}, "hours": {r.DryHours, 48},
			} {
				within(t, what, v[0], v[1], 1e-12)
			}
			if r.Mode != c.mode || r.DrainedException != c.drained || !strings.Contains(r.Field.Source, c.source) ||
				!strings.Contains(r.Edition, c.edition) {
				t.Errorf("%+v", r)
			}
			for what, source := range map[string]string{"valley": r.Valley.Source, "pond": r.PondSource, "dry": r.DrySource,
				"overflow": r.OverflowSource, "flashing": r.FlashingSource} {
				if source == "" {
					t.Errorf("the limit of %s has no source", what)
				}
			}
			if r.Gutter.Min > 0 && r.Gutter.Source == "" || r.Design.Min > 0 && r.Design.Source == "" {
				t.Error("the limit of gutters or the slope to design for has no source")
			}
		})
	}
	us, err := RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	if got := us.Field.Judge(unit.SlopeOfRatio(0.02), 0); got != FallsShort {
		t.Errorf("2 percent against 1/4:12: %v", got)
	}
	if !slices.Equal(RuleNames(), read.RuleNames()) {
		t.Errorf("drainage knows %v, a job may name %v", RuleNames(), read.RuleNames())
	}
}

// TestRuleSet_Own: own figures stand over those of the set that they are like,
// each with its source; the rest stays.
func TestRuleSet_Own(t *testing.T) {
	no := false
	half, eighth := unit.InchesPerFoot(0.5), unit.InchesPerFoot(0.125)
	r, err := RuleSet(survey.RuleChoice{Name: "own", Like: "us-reroof-drained", Called: "harbour", Edition: "1", Source: "sheet A3",
		Field: half, Gutter: eighth, Pond: unit.Inches(0.5), DryHours: 24, OverflowLeast: unit.Inches(1), OverflowMost: unit.Inches(3),
		Flashing: unit.Inches(12), Drained: &no})
	if err != nil {
		t.Fatal(err)
	}
	if r.Name != "harbour" || r.Edition != "1" || r.Field != (Limit{half, "sheet A3"}) || r.Gutter != (Limit{eighth, "sheet A3"}) ||
		r.Valley != (Limit{eighth, eighthSource}) || r.Mode != survey.Planes || r.Pond != unit.Inches(0.5) || r.DryHours != 24 ||
		r.OverflowMost != unit.Inches(3) || r.OverflowSource != "sheet A3" || r.Flashing != unit.Inches(12) || r.DrainedException {
		t.Errorf("%+v", r)
	}
	r, err = RuleSet(survey.RuleChoice{Name: "own", Like: "us-reroof", Mode: survey.EveryPath})
	if err != nil || r.Name != "us-reroof, changed" || r.Valley != r.Field {
		t.Errorf("every path of us-reroof: %+v, %v", r, err)
	}
	r, err = RuleSet(survey.RuleChoice{Name: "own", Mode: survey.Planes, Field: half, Valley: eighth})
	if err != nil || r.Name != "own" || r.Field.Source != ownSource || r.OverflowMost != 0 || r.Flashing != 0 || r.DryHours != 48 ||
		r.Worth.Depth != unit.Inches(0.125) || r.Worth.Area != unit.SquareFeet(4) {
		t.Errorf("own figures alone: %+v, %v", r, err)
	}
	for name, c := range map[string]survey.RuleChoice{
		"like an unknown set": {Name: "own", Like: "us-rerof"},
		"no field":            {Name: "own", Mode: survey.Planes},
		"designed for less":   {Name: "own", Like: "us-reroof", Design: eighth},
	} {
		if r, err := RuleSet(c); err == nil {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

// TestRules_WorthOf: what the job states of ponds counts, each figure apart.
func TestRules_WorthOf(t *testing.T) {
	r := Rules{Worth: survey.PondLimits{Depth: unit.Inches(1), Area: unit.SquareFeet(9)}}
	if got := r.WorthOf(survey.PondLimits{}); got != r.Worth {
		t.Errorf("nothing stated: %+v", got)
	}
	want := survey.PondLimits{Depth: unit.Inches(0.5), Area: unit.SquareFeet(9)}
	if got := r.WorthOf(survey.PondLimits{Depth: unit.Inches(0.5)}); got != want {
		t.Errorf("a depth stated: %+v", got)
	}
}
