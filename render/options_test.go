package render

import (
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// tblOptions is tblResult with options of one design: the one shown, one that is
// steeper and dearer, one toward a new drain and one that could not be made.
func tblOptions(t *testing.T, sys unit.System) *Result {
	r := tblResult(t, tblWays[0])
	r.Job.Units = sys
	a := &r.Areas[0]
	made := taper.Option{OptionChoice: taper.OptionChoice{Name: "four-way 3/8 in/ft, equal edges, crickets",
		Taper: survey.TaperChoice{Scheme: survey.FourWay, Slope: unit.InchesPerFoot(0.25)}}, Design: a.Design, Proof: a.Proof}
	made.Measure = taper.OptionMeasure{Marks: 12, AngledRows: 1234, Thickest: unit.Inches(123.4375), ThickestEdge: unit.Inches(123.4375),
		Cost: 123456, Priced: true, Ratio: 12.34, FlattestField: unit.InchesPerFoot(0.1768), FlattestValley: unit.InchesPerFoot(0.1768), HasValley: true}
	steep, drain, none := made, made, made
	steep.Name, steep.Taper.Slope, steep.Measure.Cost = "four-way 1/2 in/ft", unit.InchesPerFoot(0.5), 123466
	drain.Name += ", a new drain"
	drain.Added = []survey.SiteOutlet{{Outlet: survey.Outlet{At: geom.Pt{X: 12, Y: 7}}}}
	none.Name, none.Design, none.Proof, none.Why = "one-way 1/4 in/ft", nil, nil, "no edge lies along the axes"
	a.Options, a.Chosen, a.Recommended = []taper.Option{made, steep, drain, none}, 0, 0
	return r
}

// TestText_Options: the tables of options with the widest figures fit the report,
// and tell what is recommended, what one change does, where a new drain stands and
// why an option could not be made.
func TestText_Options(t *testing.T) {
	for _, sys := range []unit.System{unit.US, unit.Metric} {
		told := tblText(t, func(w io.Writer) error { return WriteText(w, tblOptions(t, sys)) })
		_, told, _ = strings.Cut(told, "Options, those")
		told, _, _ = strings.Cut(told, "The design\n")
		for _, l := range strings.Split(told, "\n") {
			if utf8.RuneCountInString(l) > textCols {
				t.Errorf("%d columns: %s", utf8.RuneCountInString(l), l)
			}
		}
		flat := strings.Join(strings.Fields(told), " ")
		for _, want := range []string{"option 1, the cheapest that passes", "not made", "+10", "123,456", "no edge lies along the axes.",
			"It is told and not chosen"} {
			if !strings.Contains(flat, want) {
				t.Errorf("the report does not say %q:\n%s", want, told)
			}
		}
	}
}

// TestSummary_Options: an option that could not be made has its reason and no
// figures; one changed thing has its differences.
func TestSummary_Options(t *testing.T) {
	areas, _ := tblSummary(t, tblOptions(t, unit.US))
	all := areas[0]["options"].([]any)
	made, steep, drain, none := all[0].(map[string]any), all[1].(map[string]any), all[2].(map[string]any), all[3].(map[string]any)
	if areas[0]["chosen"] != made["option"] || areas[0]["recommended"] != made["option"] || made["chosen"] != true {
		t.Errorf("chosen %v, recommended %v", areas[0]["chosen"], areas[0]["recommended"])
	}
	if got, _ := tblAt(steep, "against_chosen.cost"); got != 10.0 {
		t.Errorf("the steeper one costs %v more, want 10", got)
	}
	if got, ok := made["against_chosen"]; ok {
		t.Errorf("the one chosen differs from itself: %v", got)
	}
	if at := drain["new_outlets"].([]any)[0].(map[string]any); at["x_ft"] != 12.0 || at["y_ft"] != 7.0 {
		t.Errorf("the new drain stands at %v", at)
	}
	for _, key := range []string{"boards", "board_feet", "cost", "passes", "thickest_in"} {
		if got, ok := none[key]; ok {
			t.Errorf("not made, %s: %v", key, got)
		}
	}
	if none["why"] != "no edge lies along the axes" {
		t.Errorf("why %v", none["why"])
	}
}
