package render

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
	"runnel/taper"
	"runnel/taper/ladder"
)

// tblTold is a result made by hand: one area with everything that the report
// can tell, one with nothing but a plan. Its counts follow from its boards.
func tblTold(sys unit.System) *Result {
	a := survey.Area{Name: "A", Outline: geom.Ring{{}, {X: 12}, {X: 12, Y: 4}, {Y: 4}},
		Edges: make([]survey.Edge, 4),
		Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 2, Y: 2}, Edge: -1, State: survey.Untested},
			{ID: "S1", Kind: survey.Scupper, At: geom.Pt{X: 6}, Edge: 0, Width: unit.Inches(12), Overflow: true}},
		Shots: []survey.Shot{{ID: "1", At: geom.Pt{X: 1, Y: 1}}, {ID: "2", At: geom.Pt{X: 9, Y: 1}},
			{ID: "3", At: geom.Pt{X: 9, Y: 3}, File: "shots.csv", Line: 4, Left: "12\" below its neighbours"}}}
	site := survey.SiteOf(&a, nil)
	ponds := []drainage.Pond{{ID: "P1", SqFt: 1240, DepthIn: 1.375, CuFt: 61.2, SpillsTo: "D1", Misses: "D1", RiseIn: 1.375, HeldIn: 1.375, AwayFt: 23},
		{ID: "P2", SqFt: 40, DepthIn: 0.5, CuFt: 0.8, SpillsTo: "S1", Misses: "D1", RiseIn: 1.375, HeldIn: 1.375, AwayFt: 23, Overflow: true},
		{ID: "P3", SqFt: 9, DepthIn: 0.25, CuFt: 0.1}}
	surveyed := AreaResult{Area: a, Site: site,
		Fit: &fit.Result{Method: "smoothing surface", HasRMSE: true, RMSEIn: 0.134, SigmaIn: 0.09, SpacingFt: 8.1},
		Existing: &drainage.Report{Ponds: ponds, RoofSqft: 48, BelowMinimumPct: 61.8, UnknownPct: 2.25,
			Areas:     []drainage.DrainageArea{{Outlet: "D1", SqFt: 44}, {Outlet: "S1", SqFt: 4}},
			PondsFree: drainage.FallsShort, MeetsDesign: drainage.TooClose, Conditional: []string{"D1"}},
		Deck: fit.DeckReport{Words: "deck inferred: membrane less core thickness"},
		Seen: []drainage.SeenFinding{{Seen: survey.SeenPond{Depth: unit.Inches(1.25), Hours: 60}, Pond: "P1", DepthIn: 1.375,
			Agrees: true, Words: "seen and computed agree"}},
		Design: tblToldDesign(),
		Proof: &taper.Proof{Report: &drainage.Report{Ponds: ponds[1:2], BelowMinimumPct: 3.25, PondsFree: drainage.FallsShort,
			MeetsDesign: drainage.Meets, Areas: []drainage.DrainageArea{{Outlet: "D1", SqFt: 48}}},
			Field: drainage.Meets, Valley: drainage.FallsShort, Why: "water 1/2 in deep is left, 1/4 in is allowed"},
		Rung: ladder.Taper, Why: "3 ponds, the deepest 1.38 in", Ladder: []ladder.Step{
			{Rung: ladder.DrainsAsIs, Outcome: ladder.Refused, Why: "3 ponds"},
			{Rung: ladder.Sump, Outcome: ladder.Refused, Why: "no pond lies beside a drain"},
			{Rung: ladder.FillLows, Outcome: ladder.Open, Do: "fill P1", Why: "whether it holds water is too close to call"},
			{Rung: ladder.Crickets, Outcome: ladder.NotTested, Why: "not needed"},
			{Rung: ladder.Outlet, Outcome: ladder.NotTested, Why: "not needed"},
			{Rung: ladder.Taper, Outcome: ladder.Kept, Do: "taper", Why: "it passes"}}}
	plan := AreaResult{Area: survey.Area{Name: "B", Outline: a.Outline}, Existing: &drainage.Report{},
		Design: tblToldDesign(), Proof: &taper.Proof{Report: &drainage.Report{}, Field: drainage.Meets, Valley: drainage.Meets, Passes: true},
		Why: "it is not known whether the roof holds water"}
	plan.Site = survey.SiteOf(&plan.Area, nil)
	rules := drainage.Rules{Name: "us-reroof", Edition: "an edition", Mode: survey.Planes,
		Field:  drainage.Limit{Min: unit.InchesPerFoot(0.25), Source: "a code, section 1"},
		Valley: drainage.Limit{Min: unit.InchesPerFoot(0.125), Source: "common practice, no source"}, Pond: unit.Inches(0.25)}
	job := &survey.Job{Name: "Osier Lane depot", Units: sys, Scope: survey.TearOff,
		Areas: []survey.Area{a, plan.Area}, Notes: problem.List{{File: "job.yaml", Line: 12, Field: "deck", Why: "no core lies within 50 ft",
			Mend: "cut one", Grade: problem.Note}}}
	return &Result{Job: job, Rules: rules, Areas: []AreaResult{surveyed, plan}}
}

// tblToldDesign is three whole tapered boards of 4 x 4 ft over fill in a row.
func tblToldDesign() *taper.Design {
	d := &taper.Design{Scheme: survey.FourWay, Slope: unit.InchesPerFoot(0.25), Cover: unit.Inches(0.5),
		Lines: []taper.Line{{Kind: taper.Valley, B: geom.Pt{X: 30, Y: 40}, Slope: unit.InchesPerFoot(0.1768)}},
		Notes: []string{"fill steps lie right under tapered joints"}}
	for i := range 3 {
		x := 4*float64(i) - 6
		for layer, kind := range []taper.BoardType{taper.FillType, taper.TaperedType} {
			b := taper.Board{Layer: layer + 1, Type: kind, Mark: "2", Piece: string(rune('a' + 2*i + layer)), Uphill: geom.Pt{Y: 1},
				Poly:  geom.Poly{Outer: geom.Box{Min: geom.Pt{X: x, Y: -2}, Max: geom.Pt{X: x + 4, Y: 2}}.Ring()},
				Plane: survey.Plane{CIn: 2}, ThinIn: 2, ThickIn: 2, Along: unit.Feet(4), Depth: unit.Feet(4),
				Stock: taper.Placement{No: 2*i + layer + 1, W: 4, D: 4}}
			if kind == taper.TaperedType {
				b.Mark, b.ThinIn, b.ThickIn, b.Plane = "1/2 to 1-1/2", 0.5, 1.5, survey.Plane{CIn: 1, GY: 0.25}
			}
			d.Boards = append(d.Boards, b)
		}
	}
	d.Counts, d.Totals = taper.CountBoards(d.Boards)
	d.Insulation = taper.Insulation{CuFt: 12, LeastCuFt: 9.6, AverageIn: 3, ThinnestIn: 2.5, ThickestIn: 3.5}
	d.Thermal = &taper.Thermal{Wanted: survey.Thermal{RequiredR: 17, Rule: survey.AverageR, RPerInch: 5.7},
		LeastR: 14.25, AverageR: 17.1, HeatFlowR: 16.9411, UnderPct: 48.25}
	d.Totals.SolidBoardFeet = 144
	return d
}

// TestText_Golden holds the report to what it said when it was last read by a
// person; -update writes it anew.
func TestText_Golden(t *testing.T) {
	for _, sys := range []unit.System{unit.US, unit.Metric} {
		got := tblText(t, func(w io.Writer) error { return WriteText(w, tblTold(sys)) })
		path := filepath.Join("testdata", "report-"+sys.String()+".golden")
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs, first at line %d:\n%s", path, tblFirstDiff(got, string(want)), got)
		}
	}
}

func tblFirstDiff(got, want string) int {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range a {
		if i >= len(b) || a[i] != b[i] {
			return i + 1
		}
	}
	return len(a) + 1
}

// TestText_Says: the findings that must stand in the report, each by itself.
func TestText_Says(t *testing.T) {
	text := tblText(t, func(w io.Writer) error { return WriteText(w, tblTold(unit.US)) })
	flat := strings.Join(strings.Fields(text), " ")
	for story, want := range map[string]string{
		"holds water":              "Holds water? Yes: 3 ponds",
		"design slope apart":       "Design slope? Too close to call",
		"left-out shot":            `shot 3 (shots.csv:4): 12" below its neighbours.`,
		"overflow pond":            "S1 (by an overflow only)",
		"untested drain":           "Only true if D1 lets water go (untested).",
		"does not pass":            "Does not pass. Water 1/2 in deep",
		"banner":                   "LEVEL DECK ASSUMED, NOT SURVEYED",
		"unknown without a survey": "Unknown: nothing was surveyed.",
		"area count":               "Counted by area alone (48 sq ft, 3 boards of taper) it would be 48 board feet: that count misses the fill, 96 board feet or 67 % of the whole.",
		"problem of the job":       "job.yaml:12: deck: no core lies within 50 ft; cut one",
		"first caution":            "1. Drainage geometry, not structure",
		"last caution":             "12. Measure again before ordering",
	} {
		if !strings.Contains(flat, want) {
			t.Errorf("%s: the report does not say %q", story, want)
		}
	}
	if strings.Contains(text, "not susceptible") {
		t.Error("the report judges structure")
	}
}

// TestText_Width: no line is wider than 100 columns, on a real design too.
func TestText_Width(t *testing.T) {
	for _, r := range []*Result{tblTold(unit.US), tblTold(unit.Metric), tblResult(t, tblWays[0])} {
		text := tblText(t, func(w io.Writer) error { return WriteText(w, r) })
		for _, l := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(l); n > 100 || strings.HasSuffix(l, " ") {
				t.Errorf("%d columns: %q", n, l)
			}
		}
	}
}

// TestFold folds at blanks and never loses a word.
func TestFold(t *testing.T) {
	long := strings.Repeat("x", 120)
	cases := []struct {
		story, text string
		cols        int
		want        []string
	}{
		{"short", "a b", 10, []string{"a b"}},
		{"empty", "", 10, []string{""}},
		{"two lines", strings.Repeat("ab ", 40), 50, []string{strings.TrimSpace(strings.Repeat("ab ", 33)), strings.Repeat("ab ", 7)}},
		{"a word longer than the line", long + " y", 10, []string{long, "y"}},
		{"leading blanks", "    " + long, 10, []string{"    " + long}},
	}
	for _, c := range cases {
		got := fold(c.text, c.cols)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.story, got, c.want)
		}
		if a, b := strings.Fields(strings.Join(got, " ")), strings.Fields(c.text); !slices.Equal(a, b) {
			t.Errorf("%s: words lost", c.story)
		}
	}
}

func tblSummary(t *testing.T, r *Result) (areas []map[string]any, doc map[string]any) {
	t.Helper()
	text := tblText(t, func(w io.Writer) error { return WriteSummary(w, r) })
	tblDecode(t, json.RawMessage(text), &doc)
	for _, a := range doc["areas"].([]any) {
		areas = append(areas, a.(map[string]any))
	}
	return areas, doc
}

// TestSummary_Keys: the stable keys are there with their kinds, and what was
// not made is absent, not 0.
func TestSummary_Keys(t *testing.T) {
	told := tblTold(unit.Metric)
	told.Areas[0].Options = []taper.Option{{OptionChoice: taper.OptionChoice{Name: "four-way 1/4 in/ft"}}}
	told.Areas[0].Recommended = -1
	areas, doc := tblSummary(t, told)
	if doc["job"] != "Osier Lane depot" || len(doc["cautions"].([]any)) != 12 {
		t.Errorf("job %v, cautions %v", doc["job"], doc["cautions"])
	}
	a := areas[0]
	for path, want := range map[string]any{
		"name": "A", "area_sqft": 48.0, "rung": "taper", "chosen": "four-way 1/4 in/ft", "recommended": nil,
		"survey.shots": 2.0, "survey.refused": 1.0, "survey.rmse_in": 0.134,
		"existing.ponds": 3.0, "existing.pond_area_sqft": 1289.0, "existing.pond_volume_cuft": 62.1,
		"existing.max_depth_in": 1.375, "existing.below_minimum_pct": 61.8,
		"existing.ponds_free_by_survey": "falls-short", "existing.meets_design_slope": "too-close",
		"finished.ponds": 1.0, "finished.pond_area_sqft": 40.0, "finished.pond_volume_cuft": 0.8, "finished.max_depth_in": 0.5,
		"finished.below_minimum_pct": 3.25, "finished.ponds_free_by_survey": "falls-short", "finished.meets_design_slope": "meets",
		"boards.pieces": 6.0, "boards.to_order": 6.0, "boards.spares": 2.0, "boards.area_bound": 6.0, "boards.cut_bound": 6.0,
		"boards.waste_pct": 0.0, "insulation.volume_cuft": 12.0, "insulation.least_volume_cuft": 9.6,
		"thermal.least_r": 14.25, "thermal.average_r": 17.1, "thermal.heat_flow_r": 16.9411, "thermal.required_r": 17.0,
		"thermal.r_per_inch": 5.7, "thermal.rule": "average", "thermal.meets": true, "thermal.under_required_pct": 48.25,
		"insulation.average_in": 3.0, "insulation.thinnest_in": 2.5, "insulation.thickest_in": 3.5,
	} {
		if got, ok := tblAt(a, path); !ok || got != want {
			t.Errorf("%s: %v (there: %v), want %v", path, got, ok, want)
		}
	}
	b := areas[1]
	for path, want := range map[string]any{"assumption": assumedDeck, "existing.ponds_free_by_survey": "unknown",
		"existing.meets_design_slope": "unknown", "finished.ponds": 0.0, "boards.pieces": 6.0} {
		if got, ok := tblAt(b, path); !ok || got != want {
			t.Errorf("without a survey, %s: %v (there: %v), want %v", path, got, ok, want)
		}
	}
	for _, path := range []string{"survey", "rung", "existing.ponds", "existing.pond_area_sqft", "existing.max_depth_in", "existing.below_minimum_pct"} {
		if got, ok := tblAt(b, path); ok {
			t.Errorf("without a survey, %s: %v, want no such key", path, got)
		}
	}
}

// TestSummary_NoDesign: without a design there is nothing of one.
func TestSummary_NoDesign(t *testing.T) {
	r := tblTold(unit.US)
	r.Areas[0].Design, r.Areas[0].Proof = nil, nil
	areas, _ := tblSummary(t, r)
	for _, key := range []string{"finished", "boards", "insulation", "thermal", "chosen", "proof"} {
		if got, ok := areas[0][key]; ok {
			t.Errorf("%s: %v, want no such key", key, got)
		}
	}
	if _, ok := areas[0]["recommended"]; !ok {
		t.Error("recommended is to be null, not absent")
	}
	r.Areas[1].Design.Thermal = nil // no R was asked for
	if areas, _ = tblSummary(t, r); areas[1]["thermal"] != nil {
		t.Errorf("thermal: %v, want no such key", areas[1]["thermal"])
	}
	text := tblText(t, func(w io.Writer) error { return WriteText(w, r) })
	if strings.Contains(text, "Insulates") {
		t.Error("the report tells of an R that was not asked for")
	}
	if a, _, _ := strings.Cut(text, "AREA B"); strings.Contains(a, "The design") || strings.Contains(a, "Boards") {
		t.Error("the report tells of a design that was not made")
	}
}

func tblAt(m map[string]any, path string) (any, bool) {
	key, rest, more := strings.Cut(path, ".")
	v, ok := m[key]
	if !more {
		return v, ok
	}
	inner, isMap := v.(map[string]any)
	if !isMap {
		return nil, false
	}
	return tblAt(inner, rest)
}

// TestOutputs_Names: one pair of grids an area, with the area's name where
// there are several; nothing of a design that was not made.
func TestOutputs_Names(t *testing.T) {
	names := func(r *Result) (out []string) {
		for _, f := range Outputs(r) {
			out = append(out, f.Name)
		}
		slices.Sort(out)
		return out
	}
	one := tblResult(t, tblWays[0])
	want := []string{"boards.csv", "cuts.csv", "edges.csv", "existing.asc", "finished.asc", "options.csv", "plan.geojson", "summary.json"}
	if got := names(one); !slices.Equal(got, want) {
		t.Errorf("one area: %q, want %q", got, want)
	}
	two := &Result{Job: one.Job, Rules: one.Rules, Areas: []AreaResult{one.Areas[0], one.Areas[0]}}
	two.Areas[1].Area.Name = "roof 2/b"
	two.Areas[1].Design, two.Areas[1].Proof = nil, nil
	want = []string{"boards.csv", "cuts.csv", "edges.csv", "existing-North.asc", "existing-roof-2-b.asc", "finished-North.asc", "options.csv", "plan.geojson", "summary.json"}
	if got := names(two); !slices.Equal(got, want) {
		t.Errorf("two areas: %q, want %q", got, want)
	}
	two.Areas[1].Area.Name = "north"
	if a, b := Suffix(two, 0), Suffix(two, 1); strings.EqualFold(a, b) {
		t.Errorf("two areas share the suffix %q, %q", a, b)
	}
	one.Areas[0].Design, one.Areas[0].Proof = nil, nil
	if got, want := names(one), []string{"existing.asc", "plan.geojson", "summary.json"}; !slices.Equal(got, want) {
		t.Errorf("no design: %q, want %q", got, want)
	}
}

// TestOutputs_SameBytes: two runs write the same bytes.
func TestOutputs_SameBytes(t *testing.T) {
	a, b := Outputs(tblResult(t, tblWays[4])), Outputs(tblResult(t, tblWays[4]))
	for i := range a {
		if tblText(t, a[i].Write) != tblText(t, b[i].Write) {
			t.Errorf("%s differs from run to run", a[i].Name)
		}
	}
}
