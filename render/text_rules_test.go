package render

import (
	"encoding/json"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey/unit"
)

// TestFinding_Reads: a verdict is one line with rule, limit, figure and doubt, in
// the job's units, and one entry of the summary with units in its keys.
func TestFinding_Reads(t *testing.T) {
	slope := drainage.Finding{Rules: "us-reroof", Rule: "field", Limit: unit.InchesPerFoot(0.25), Figure: unit.InchesPerFoot(0.07),
		Doubt: unit.InchesPerFoot(0.03), Verdict: drainage.FallsShort, Source: "a code"}
	over := drainage.Finding{Rules: "metric-falls", Rule: "overflow", Where: "O1", Limit: unit.Millimetres(50), Most: unit.Millimetres(100),
		Figure: unit.Millimetres(20), Doubt: unit.Millimetres(4), Verdict: drainage.FallsShort, Why: "above the roof at D1"}
	dry := drainage.Finding{Rules: "own", Rule: "dry", Limit: drainage.Hours(48), AtMost: true}
	fall := slope
	fall.Limit, fall.Figure, fall.Doubt = unit.SlopeOfRatio(1./80), unit.SlopeOfRatio(1./100), unit.SlopeOfRatio(0.001)
	for _, c := range []struct {
		f    drainage.Finding
		sys  unit.System
		text string
		json string
	}{
		{slope, unit.US, "field: needs 1/4 in/ft (us-reroof), 0.070 in/ft found, ±0.030 in/ft: falls short",
			`{"rules":"us-reroof","rule":"field","sense":"at-least","limit_in_per_ft":0.25,"figure_in_per_ft":0.07,"doubt_in_per_ft":0.03,` +
				`"verdict":"falls-short","source":"a code"}`},
		{fall, unit.Metric, "field: needs 1:80 (us-reroof), 1:100 found, ±1.0 mm/m: falls short", ""},
		{over, unit.Metric, "overflow O1: needs 50 mm to 100 mm (metric-falls), 20 mm found, ±4.0 mm: falls short (above the roof at D1)", ""},
		{dry, unit.US, "dry: at most 48 h (own): unknown",
			`{"rules":"own","rule":"dry","sense":"at-most","limit_h":48,"verdict":"unknown"}`},
	} {
		if got := (say{c.sys}).finding(c.f); got != c.text {
			t.Errorf("%s\nwant %s", got, c.text)
		}
		got, err := json.Marshal(findingsOf([]drainage.Finding{c.f})[0])
		if err != nil || c.json != "" && string(got) != c.json {
			t.Errorf("%s, %v\nwant %s", got, err, c.json)
		}
	}
	got, err := json.Marshal(findingsOf([]drainage.Finding{over})[0])
	if err != nil || !strings.Contains(string(got), `"limit_in":1.968503`) || !strings.Contains(string(got), `"most_in":3.937007`) {
		t.Errorf("%s, %v", got, err)
	}
}
