package render

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

func TestTold(t *testing.T) {
	cases := []struct{ story, text, us, metric string }{
		{"a figure", "over 1743 sq ft (P1)", "over 1,743 sq ft (P1)", "over 1,743 sq ft (P1)"},
		{"millions", "1234567 gal, 999 gal", "1,234,567 gal, 999 gal", "1,234,567 gal, 999 gal"},
		{"commas stand already", "1,743 sq ft", "1,743 sq ft", "1,743 sq ft"},
		{"a year is no area", "IBC 2006 family", "IBC 2006 family", "IBC 2006 family"},
		{"decimals", "0.12345 m3", "0.12345 m3", "0.12345 m3"},
		{"litres", "1500 L, 1500 Long", "1,500 L, 1500 Long", "1,500 L, 1500 Long"},
		{"words", "Shots: 2 shots; slopes behind a curb", "Shots: 2 shots; slopes behind a curb",
			"Levels: 2 levels; falls behind a kerb"},
		{"file and key stay", "shots.csv: taper.slope", "shots.csv: taper.slope", "shots.csv: taper.slope"},
		{"the end of a sentence", "on a slope. Rod up.", "on a slope. Rod up.", "on a fall. Staff up."},
		{"part of a word", "slopeside overshots", "slopeside overshots", "slopeside overshots"},
		{"a kind of roof", "On low slopes", "On low slopes", "On low slopes"},
		{"empty", "", "", ""},
	}
	for _, c := range cases {
		if got := (say{unit.US}).told(c.text); got != c.us {
			t.Errorf("%s, us: %q, want %q", c.story, got, c.us)
		}
		if got := (say{unit.Metric}).told(c.text); got != c.metric {
			t.Errorf("%s, metric: %q, want %q", c.story, got, c.metric)
		}
	}
}

// Contours at eighths carry fractions, as a tape reads.
func TestSay_Fine(t *testing.T) {
	for in, want := range map[float64]string{0.125: "1/8", 0.375: "3/8", -0.625: "-5/8", 1.5: "1 1/2", 0: "0", 0.16: "0.16", 2: "2"} {
		if got := (say{unit.US}).fine(in); got != want {
			t.Errorf("%v: %q, want %q", in, got, want)
		}
	}
}

func TestConditions(t *testing.T) {
	outlets := []survey.SiteOutlet{{Outlet: survey.Outlet{ID: "D1"}}, {Outlet: survey.Outlet{ID: "D2", State: survey.Blocked}},
		{Outlet: survey.Outlet{ID: "D3", State: survey.Untested}}}
	got := strings.Join(conditions(outlets, []string{"D1", "D2", "D3"}), "|")
	if want := "D2 is blocked: counted as closed|Only true if D3 lets water go (untested)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What the report says of a proof, of a closed pond and of left-out shots.
func TestText_FindingsAndPonds(t *testing.T) {
	r := tblTold(unit.US)
	a := &r.Areas[0]
	a.Proof.Passes, a.Proof.Why = true, ""
	a.Proof.Findings = []string{"a level line of 1200 sq ft behind curb C1"}
	a.Existing.Ponds[2].ClosedIn = true
	a.Seen[0].Outline = geom.Ring{{}, {X: 2}, {X: 2, Y: 1}, {Y: 1}}
	a.Design.Lines = nil
	a.Design.Insulation.CuFt = 9
	for k := range 30 {
		a.Area.Shots = append(a.Area.Shots, survey.Shot{ID: fmt.Sprint("x", k), Left: "the same as shot 1"})
	}
	flat := func() string {
		return strings.Join(strings.Fields(tblText(t, func(w io.Writer) error { return WriteText(w, r) })), " ")
	}
	text := flat()
	mid := a.Site.Frame.ToJob(geom.Pt{X: 1, Y: 0.5})
	for _, want := range []string{"Passes, with findings: - a level line of 1,200 sq ft behind curb C1", `at least 1/4" `,
		"nothing lets it go", `at least 1 3/8" at the deepest`, "and 28 more: see survey.png and plan.geojson.",
		fmt.Sprintf("at x %.1f ft, y %.1f ft", mid.X, mid.Y)} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	for _, not := range []string{"Passes. ", "since valleys"} {
		if first, _, _ := strings.Cut(text, "AREA B"); strings.Contains(first, not) {
			t.Errorf("says %q", not)
		}
	}
	if n := strings.Count(text, "Left out"); n != 3 {
		t.Errorf("%d left-out lines", n)
	}
	areas, _ := tblSummary(t, r)
	if got, _ := tblAt(areas[0], "proof.findings"); fmt.Sprint(got) != "["+a.Proof.Findings[0]+"]" {
		t.Errorf("findings in summary.json: %v", got)
	}
	a.Design.OverThickest = unit.Inches(11.5)
	if text := flat(); !strings.Contains(text, `Passes, but is thicker than the job allows by 11 1/2", with findings: - a level`) {
		t.Error("too thick, and the verdict does not say so")
	}
	a.Fit.HasRMSE, a.Fit.Note = false, "thinned to one in 7"
	areas, _ = tblSummary(t, r)
	if got, ok := tblAt(areas[0], "survey.rmse_in"); ok {
		t.Errorf("no shot could be left out, and summary.json has an error of %v", got)
	}
	if text := flat(); !strings.Contains(text, "Too few shots to leave one out; ") || !strings.Contains(text, "Thinned to one in 7.") {
		t.Error("the report is silent on the fit")
	}
	r.Job.Survey.Surface = survey.Deck
	if text := flat(); !strings.Contains(text, "The deck as it is: shots stand on the deck") || strings.Contains(text, "The roof as it is") {
		t.Error("shots on the deck, and the heading does not say so")
	}
}

// The findings stand on taper.png, whole, and in no metric sheet a US word.
func TestSheets_Findings(t *testing.T) {
	r := roofOf(rectangleJob(), 6)
	a := &r.Areas[0]
	a.Proof.Passes = true
	a.Proof.Findings = []string{strings.Repeat("a long finding ", 20) + "ends here"}
	a.Design.Notes = []string{strings.Repeat("a long note ", 25) + "stops here"}
	all := wordsOf(TaperSheet(r, 0))
	for _, want := range []string{"with findings:", "ends here", "stops here"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q on the sheet", want)
		}
	}
	r.Job.Units = unit.Metric
	for _, s := range allSheets(r) {
		for _, w := range []string{"shot ", "shots ", "Shots", "slope", "curb "} {
			if strings.Contains(wordsOf(s.scene), w) {
				t.Errorf("metric %s says %q", s.name, w)
			}
		}
	}
}
