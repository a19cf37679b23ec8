package render

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/ask"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// evidenced is the L with everything that a survey can bring along: a field
// book, two set-ups that close, photos, a deck, drains in every state, layers
// of cores, an error place by place that is over 1/4 in beyond x = 80.
func evidenced() *Result {
	job := lJob()
	job.Survey = survey.Source{Surface: survey.Membrane, ReadingError: unit.Inches(0.125),
		SetUps: []survey.SetUp{{ID: "1", On: "door sill", From: unit.Feet(100), Backsight: unit.Feet(4.5), HI: unit.Feet(104.5)},
			{ID: "2", HI: unit.Feet(105.25), TiedTo: "1", Shared: 3, Direct: true}},
		Closings: []survey.Closing{{SetUp: "2", On: "door sill", Found: unit.Feet(100) + unit.Inches(0.125), Known: unit.Feet(100),
			Allowed: unit.Inches(0.25), By: "common practice"}},
		Evidence: survey.Evidence{Method: "laser and rod", Instrument: "rotary laser 7", Checked: "that morning",
			Date: "2026-03-02", By: "crew 2", Weather: "dry"},
		Photos: []survey.Photo{{File: "drain.jpg", At: geom.Pt{X: 36, Y: 24}, Note: "strainer gone"},
			{File: "far.jpg", At: geom.Pt{X: 4000, Y: 0}}}}
	a := &job.Areas[0]
	a.Outlets[2].State = survey.Blocked
	span := 30.0
	a.Deck = survey.DeckKind{Type: "steel", SpanDeg: &span, Framing: "joists along x"}
	a.Cores[0].Layers = []survey.Layer{{Name: "wood fibre", Thickness: unit.Inches(1.5), Wet: true}}
	a.Cores[0].Roofs = 2
	r := roofOf(job, 9)
	ar := &r.Areas[0]
	surf := *ar.Fit.Surface
	surf.SigmaIn = make([]float64, surf.Len())
	for k := range surf.SigmaIn {
		surf.SigmaIn[k] = 0.1
		if ar.Site.Frame.ToJob(surf.Centre(k%surf.NX, k/surf.NX)).X > 80 {
			surf.SigmaIn[k] = 0.3
		}
	}
	ar.Fit.Surface = &surf
	ar.Fit.Dishes.NarrowestFt = 18
	ar.Existing.ThinPct = 31
	ar.Deck.Inferred, ar.Deck.SigmaIn = true, 0.31
	ar.Asked = ask.Questions(job, &ar.Area, ask.Known{SpacingFt: 9, UnknownPct: 3})
	return r
}

// Lengths that are small for their unit never print as nothing, nor two that
// differ as one: a cloud's medians 0.3 m apart, a misclosure just over what is
// allowed, errors under half a millimetre.
func TestSurvey_SmallFigures(t *testing.T) {
	r := evidenced()
	r.Job.Units = unit.Metric
	a := &r.Areas[0]
	a.Fit.SpacingFt, a.Fit.Dishes.NarrowestFt, a.Fit.Dishes.GapFt = unit.Metres(0.3).Feet(), unit.Metres(0.6).Feet(), 0
	a.Cloud = &fit.CloudReport{NoiseIn: 0.3, CellErrorIn: 0.01, FloorIn: 0.125, CellFt: 1, DensityPerSqFt: 100,
		Checks: fit.CloudChecks{Compared: 5, OffsetIn: 1, ScatterIn: 0.012}}
	r.Job.Survey.ReadingError = unit.Millimetres(0.4)
	c := &r.Job.Survey.Closings[0]
	c.Found, c.Allowed = c.Known+unit.Millimetres(3.2), unit.Millimetres(2.9)
	var b strings.Builder
	if err := WriteSurvey(&b, r); err != nil {
		t.Fatal(err)
	}
	all := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{"about 0.3 m apart", "narrower than 0.6 m", "off by +3.2 mm, OVER the 2.9 mm allowed",
		"standard error of a reading 0.4 mm", "scatters by 7.6 mm about the roof, a median by 0.3 mm", "no better than 3.2 mm", "scatter by 0.3 mm"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in the report", want)
		}
	}
	r.Job.Units = unit.US
	c.Found, c.Allowed = c.Known+unit.Feet(0.010), unit.Feet(0.009)
	b.Reset()
	if err := WriteSurvey(&b, r); err != nil {
		t.Fatal(err)
	}
	all = strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{"about 1 ft apart", "narrower than 2 ft", "off by +0.010 ft, OVER the 0.009 ft allowed", "reading 0.02 in"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in the report", want)
		}
	}
}

// The sheet stands by itself as evidence: what a reader needs is on it.
func TestSurveySheet_Evidence(t *testing.T) {
	all := wordsOf(SurveySheet(evidenced(), 0))
	for _, want := range []string{
		"Kestrel Mill store", "Area Main roof", "shots stand on the membrane", "Method: laser and rod", "Instrument: rotary laser 7",
		"Last check: that morning", "Date: 2026-03-02", "Surveyed by: crew 2", "Weather: dry", `reading 1/8"`,
		"115 shots used, 1 left out", "Leave-one-out error 0.14 in", "one standard error of the surface 0.10 in",
		"0.10 in at the least", "0.30 in at the most", "in/ft over 10 ft", "narrower than 18 ft, twice the distance", "on 31.0 % of the area, where one standard error is 1/4\" or more",
		"0 is the surface at", "INFERRED DECK", "standard error of the deck", "Set-up 1: HI 104.500 ft from door sill",
		"tied to 1 by 3 shots", "direct rod", "off by +0.010 ft, within the 0.021 ft allowed", "D1 (works)", "D2 (untested)", "D3 (blocked)",
		`C1: 4 1/2", wet or dry not stated, 2 roofs`, "wood fibre (WET)", "WET, roofs not stated", "steel; spans 30 degrees from +x",
		"deck spans", "drain.jpg: strainer gone", "Not known, to ask the owner", "1. URGENT:", `8: 1'-2" off its neighbours`,
		"Drainage geometry, not structural design.",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q on the sheet", want)
		}
	}
	if strings.Contains(all, "far.jpg") {
		t.Error("a photo from elsewhere is on the sheet")
	}
}

// Every used shot is drawn once with its elevation, or counted as one that
// found no room; every one left out is a cross with its name and its reason.
func TestSurveySheet_EveryShot(t *testing.T) {
	r := evidenced()
	a := &r.Areas[0]
	for k := 10; k < 40; k += 3 {
		a.Area.Shots[k].Left = fmt.Sprintf("off by %d in", k)
	}
	a.Site = survey.SiteOf(&a.Area, nil)
	s := SurveySheet(r, 0)
	if err := s.Check(); err != nil {
		t.Fatal(err)
	}
	dots, crosses, labels := map[string]int{}, map[string]int{}, map[string]int{}
	for _, m := range s.Marks {
		switch m := m.(type) {
		case scene.Shape:
			dots[m.Name]++
		case scene.Line:
			crosses[m.Name]++
		case scene.Text:
			labels[m.Name]++
		}
	}
	all, missing := wordsOf(s), 0
	for _, sh := range a.Area.Shots {
		if sh.Left != "" {
			if crosses["left-out shot "+sh.ID] != 2 || !strings.Contains(all, sh.ID+": "+sh.Left) {
				t.Errorf("shot %s is left out: %d strokes, or no reason on the sheet", sh.ID, crosses["left-out shot "+sh.ID])
			}
			continue
		}
		if dots["shot "+sh.ID] != 1 {
			t.Errorf("shot %s is drawn %d times", sh.ID, dots["shot "+sh.ID])
		}
		if labels["shot "+sh.ID] != 1 {
			missing++
		}
	}
	told := fmt.Sprintf("no room for the elevation of %s", count(missing, "shot"))
	if missing > 0 && !strings.Contains(all, told) || missing == 0 && strings.Contains(all, "no room for") {
		t.Errorf("%d elevations found no room, and the sheet does not say so", missing)
	}
}

// A used shot that a note of the job names is ringed and told with its reason;
// a note on a shot that is left out, or on another area's, is not told twice.
func TestSurveySheet_Suspects(t *testing.T) {
	r := evidenced()
	shots := r.Areas[0].Area.Shots
	for k := range shots {
		shots[k].File, shots[k].Line = "shots.csv", k+2
	}
	note := func(line int, why string) problem.Problem {
		return problem.Problem{File: "shots.csv", Line: line, Field: "shot", Why: why, Mend: "read it again", Grade: problem.Note}
	}
	r.Job.Notes = problem.List{note(5, "stands in the bowl"), note(5, "reads with one decimal"), note(9, "left out already"), note(5000, "of another area"),
		{Field: "area", Value: "Main roof", Why: "the drains stand high", Grade: problem.Note}}
	s := SurveySheet(r, 0)
	all, rings := wordsOf(s), 0
	for _, m := range s.Marks {
		if sh, ok := m.(scene.Shape); ok && strings.HasPrefix(sh.Name, "suspect shot ") {
			rings++
		}
	}
	if rings != 1 || !strings.Contains(all, "4 (shots.csv:5): stands in the bowl; read it again") || !strings.Contains(all, "the drains stand high") {
		t.Errorf("%d rings; the sheet says %s", rings, all)
	}
	if strings.Contains(all, "left out already") || strings.Contains(all, "of another area") {
		t.Error("a note on a shot that is not used here is told as suspect")
	}
	if err := s.Check(); err != nil {
		t.Error(err)
	}
}

// The hatch for a large error lies where the error is large, and nowhere else.
func TestSurveySheet_ThinWhereThin(t *testing.T) {
	r := evidenced()
	thin := func() *scene.Shape {
		for _, m := range SurveySheet(r, 0).Marks {
			if sh, ok := m.(scene.Shape); ok && sh.Name == "thin" {
				return &sh
			}
		}
		return nil
	}
	sh := thin()
	if sh == nil {
		t.Fatal("no hatch where one standard error is 0.3 in")
	}
	s := newSheetOn(r, 0, tabloids(2))
	for _, c := range []struct {
		at   geom.Pt
		want bool
	}{{geom.Pt{X: 100, Y: 40}, true}, {geom.Pt{X: 84, Y: 4}, true}, {geom.Pt{X: 76, Y: 20}, false}, {geom.Pt{X: 10, Y: 70}, false}} {
		in := false
		for _, ring := range sh.Rings {
			r := make(geom.Ring, len(ring))
			for k, p := range ring {
				r[k] = geom.Pt(p)
			}
			in = in != r.Has(geom.Pt(s.at(c.at)))
		}
		if in != c.want {
			t.Errorf("%v hatched: %v, want %v", c.at, in, c.want)
		}
	}
	for k := range r.Areas[0].Fit.Surface.SigmaIn {
		r.Areas[0].Fit.Surface.SigmaIn[k] = 0.2
	}
	if thin() != nil {
		t.Error("a hatch where one standard error is 0.2 in")
	}
}

// The double line runs the way the deck spans, on the sheet as in the job.
func TestSurveySheet_Span(t *testing.T) {
	for _, deg := range []float64{0, 30, 90, 250} {
		r := evidenced()
		r.Areas[0].Area.Deck.SpanDeg = &deg
		met := 0
		for _, m := range SurveySheet(r, 0).Marks {
			l, ok := m.(scene.Line)
			if !ok || l.Name != "deck span" || l.Pen.WidthPt > 1 {
				continue
			}
			met++
			d := l.Pts[1].Sub(l.Pts[0])
			if off := math.Abs(math.Sin(math.Atan2(d.Y, d.X) - deg*math.Pi/180)); off > 1e-6 {
				t.Errorf("a deck that spans at %v is drawn at %v degrees", deg, math.Atan2(d.Y, d.X)*180/math.Pi)
			}
		}
		if met != 2 {
			t.Errorf("span at %v: %d lines", deg, met)
		}
	}
}

// A photo of a drain does not lie over the drain.
func TestSurveySheet_PhotoBesideDrain(t *testing.T) {
	r := evidenced()
	s := newSheetOn(r, 0, tabloids(2))
	drain := s.at(geom.Pt{X: 36, Y: 24})
	for _, m := range SurveySheet(r, 0).Marks {
		sh, ok := m.(scene.Shape)
		if ok && sh.Name == "photo drain.jpg" && boxOf(sh.Rings[0], sh.Rings[0][0]).Overlaps(boxAt(drain, drainIn)) {
			t.Error("the photo's mark lies over the drain")
		}
	}
}

// Drains that work, are blocked or untested look different without colour.
func TestDrainMarks_States(t *testing.T) {
	seen := map[string]survey.OutletState{}
	for _, state := range []survey.OutletState{survey.Works, survey.Blocked, survey.Untested} {
		text := ""
		for _, m := range drainMarks("d", scene.Pt{}, 0.06, drainLook{state: state}) {
			text += m.String()
		}
		if other, ok := seen[text]; ok {
			t.Errorf("%v looks like %v", state, other)
		}
		seen[text] = state
	}
}

// stuffed puts 600 shots on a roof, half of them left out, with long names
// everywhere.
func stuffed(r *Result) *Result {
	a := &r.Areas[0]
	_, high := a.Area.Outline.Box().Size()
	name := strings.Repeat("an uncommonly long name, ", 12)
	a.Area.Shots = nil
	for n := range 600 {
		sh := survey.Shot{ID: fmt.Sprint(name, n), At: geom.Pt{X: float64(n%30) / 30 * high, Y: float64(n/30) / 20 * high}, Elev: unit.Feet(100),
			File: name + ".csv", Line: n}
		if n%2 == 0 {
			sh.Left = name
		}
		a.Area.Shots = append(a.Area.Shots, sh)
	}
	for k := range a.Area.Outlets {
		a.Area.Outlets[k].ID = fmt.Sprint(name, k)
	}
	for k := range a.Area.Cores {
		a.Area.Cores[k].ID = fmt.Sprint(name, k)
	}
	r.Job.Survey.Evidence = survey.Evidence{Method: name, Instrument: name, Checked: name, Date: name, By: name, Weather: name}
	for n := range 300 {
		r.Job.Survey.Photos = append(r.Job.Survey.Photos, survey.Photo{File: fmt.Sprint(name, n), At: geom.Pt{X: float64(n % 60), Y: 20}, Note: name})
		r.Job.Survey.SetUps = append(r.Job.Survey.SetUps, survey.SetUp{ID: fmt.Sprint(name, n), On: name})
		r.Job.Survey.Closings = append(r.Job.Survey.Closings, survey.Closing{SetUp: name, On: name, Found: unit.Feet(float64(n))})
	}
	a.Area.Deck = survey.DeckKind{Type: name, Framing: name, SpanDeg: a.Area.Deck.SpanDeg}
	a.Deck.Warnings = []string{name, name}
	a.Cloud = &fit.CloudReport{File: name, Objects: make([]fit.CloudObject, 500)}
	a.Site = survey.SiteOf(&a.Area, nil)
	a.Asked = ask.Questions(r.Job, &a.Area, ask.Known{SpacingFt: 40})
	return r
}

func TestSurveySheet_Crowded(t *testing.T) {
	tiny, nan := tinyJob(), math.NaN()
	tiny.Areas[0].Area.Deck.SpanDeg = &nan
	for story, r := range map[string]*Result{"crowded": stuffed(evidenced()), "tiny": stuffed(tiny)} {
		s := SurveySheet(r, 0)
		if err := s.Check(); err != nil {
			t.Errorf("%s: %v", story, err)
		}
		if all := wordsOf(s); !strings.Contains(all, "see the report") {
			t.Errorf("%s: nothing says that lists go on", story)
		}
	}
}

// The report of a run tells the survey in at most twelve lines, whatever was
// stated.
func TestText_SurveyIsShort(t *testing.T) {
	text := tblText(t, func(w io.Writer) error { return WriteText(w, evidenced()) })
	_, rest, ok := strings.Cut(text, "\nThe survey\n")
	section, _, _ := strings.Cut(rest, "\n\n")
	if n := strings.Count(section, "\n") + 1; !ok || n > 12 {
		t.Errorf("the survey takes %d lines:\n%s", n, section)
	}
	for _, want := range []string{"Laser and rod; rotary laser 7", "2026-03-02", "115 shots used, 1 left out", "within the 0.021 ft allowed", "questions,", "urgent"} {
		if !strings.Contains(strings.Join(strings.Fields(section), " "), want) {
			t.Errorf("the short survey does not say %q:\n%s", want, section)
		}
	}
}

func TestWriteSurvey_Says(t *testing.T) {
	text := tblText(t, func(w io.Writer) error { return WriteSurvey(w, evidenced()) })
	flat := strings.Join(strings.Fields(text), " ")
	for story, want := range map[string]string{
		"method":         "Method laser and rod.",
		"set-up":         "1 door sill at 100.000 ft, 104.500 ft ordinary",
		"tied set-up":    "tied to 1 by 3 shots",
		"closing":        `Set-up 2 on door sill: 100.010 ft found, 100.000 ft known, off by +0.010 ft, within the 0.021 ft allowed (common practice).`,
		"shots":          "115 shots used, 1 left out",
		"left-out shot":  `1'-2" off its neighbours`,
		"error":          "one standard error 0.10 in at the least",
		"slope error":    "over 10 ft",
		"untested drain": `D2 drain untested 4" not stated`,
		"layers":         `1 1/2" wood fibre (WET)`,
		"deck":           "steel; spans 30 degrees from +x; framing: joists along x.",
		"inferred":       "INFERRED DECK",
		"questions":      "1. URGENT: Test drain D2 with water",
		"of the job":     "To ask of the whole job",
		"cautions":       "12. Measure again before ordering",
	} {
		if !strings.Contains(flat, want) {
			t.Errorf("%s: the survey does not say %q", story, want)
		}
	}
	if strings.Contains(flat, "Holds water?") {
		t.Error("the survey tells a verdict of a later stage")
	}
	metric := evidenced()
	metric.Job.Units = unit.Metric
	text += tblText(t, func(w io.Writer) error { return WriteSurvey(w, metric) })
	for _, l := range strings.Split(text, "\n") {
		if utf8.RuneCountInString(l) > 100 {
			t.Errorf("%d columns: %q", utf8.RuneCountInString(l), l)
		}
	}
}

// A survey of a plan alone has its questions and no accuracy.
func TestWriteSurvey_PlanOnly(t *testing.T) {
	r := roofOf(rectangleJob(), 5)
	r.Job.Survey.None = true
	r.Areas[0].Fit = nil
	r.Areas[0].Asked = ask.Questions(r.Job, &r.Areas[0].Area, ask.Known{})
	text := tblText(t, func(w io.Writer) error { return WriteSurvey(w, r) })
	if strings.Contains(text, "standard error") || !strings.Contains(text, "Survey the roof") || !strings.Contains(text, "NOT SURVEYED") {
		t.Errorf("a job without a survey tells:\n%s", text)
	}
}

func TestSummary_Survey(t *testing.T) {
	areas, _ := tblSummary(t, evidenced())
	a := areas[0]
	for path, want := range map[string]any{
		"survey.shots": 115.0, "survey.refused": 1.0, "survey.stands_on": "membrane", "survey.reading_error_in": 0.125,
		"survey.sigma_least_in": 0.1, "survey.sigma_most_in": 0.3, "survey.evidence.method": "laser and rod",
		"survey.deck.inferred": true, "survey.deck.span_deg": 30.0,
	} {
		if got, ok := tblAt(a, path); !ok || got != want {
			t.Errorf("%s: %v (there: %v), want %v", path, got, ok, want)
		}
	}
	lists := map[string]map[string]any{
		"survey.set_ups":  {"id": "1", "hi_ft": 104.5, "mark_ft": 100.0, "backsight_ft": 4.5},
		"survey.closings": {"set_up": "2", "misclosure_in": 0.125, "allowed_in": 0.25, "within": true},
		"survey.excluded": {"id": "8", "why": "1'-2\" off its neighbours"},
		"survey.cores":    {"id": "C1", "thickness_in": 4.5, "roofs": 2.0},
		"survey.photos":   {"file": "drain.jpg", "x_ft": 36.0},
		"questions":       {"about": "drain D2", "urgent": true},
	}
	for path, want := range lists {
		got, _ := tblAt(a, path)
		list, ok := got.([]any)
		if !ok || len(list) == 0 {
			t.Errorf("%s: %v", path, got)
			continue
		}
		for key, v := range want {
			if list[0].(map[string]any)[key] != v {
				t.Errorf("%s: first has %s %v, want %v", path, key, list[0].(map[string]any)[key], v)
			}
		}
	}
	if _, ok := tblAt(a, "survey.cloud"); ok {
		t.Error("a cloud of no cloud")
	}
}

// A survey in doubt as a whole says so before anything is claimed: in bold under
// the title of every sheet and first in the report.
func TestDoubt_StandsFirst(t *testing.T) {
	r := evidenced()
	r.Areas[0].Area.Doubts = []survey.Doubt{{Why: "the drains come out on top", Mend: "look at the rod"}}
	for name, sheet := range map[string]scene.Scene{"survey": SurveySheet(r, 0), "existing": ExistingSheet(r, 0)} {
		bold := ""
		for _, m := range sheet.Marks {
			if w, ok := m.(scene.Text); ok && w.Bold {
				bold += w.Words + " "
			}
		}
		if !strings.Contains(bold, "in doubt: the drains come out on top") {
			t.Errorf("%s does not say that the survey is in doubt", name)
		}
	}
	tell := &telling{say: say{r.Job.Units}}
	tell.inShort(&r.Areas[0], r)
	text := tell.out.String()
	doubt, claim := strings.Index(text, "Only true if the survey is right"), strings.Index(text, "We know this from")
	if doubt < 0 || claim < doubt {
		t.Errorf("the doubt does not come first in\n%s", text)
	}
}

// The words of a survey with many questions, cores and photos find a third column
// beside a plan of the same scale, and are all there.
func TestSurveySheet_MoreColumns(t *testing.T) {
	r := evidenced()
	a := &r.Areas[0]
	for n := range 20 {
		a.Asked = append(a.Asked, ask.Question{Ask: fmt.Sprintf("Is this question number %d of those that no two columns hold?", n)})
	}
	s := SurveySheet(r, 0)
	if err := s.Check(); err != nil {
		t.Fatal(err)
	}
	all := wordsOf(s)
	for _, want := range []string{"question number 19", "drain.jpg: strainer gone"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q on the sheet", want)
		}
	}
	if strings.Contains(all, "see the report") {
		t.Error("the sheet sends to the report")
	}
}

// A partial scope is told and its bound drawn, as far as it lies on the area.
func TestSurveySheet_PartialScope(t *testing.T) {
	r := evidenced()
	b := r.Areas[0].Area.Outline.Box()
	mid := b.Centre()
	r.Job.Scope, r.Job.Part = survey.Partial, geom.Ring{{X: b.Min.X - 50, Y: b.Min.Y - 50}, {X: mid.X, Y: b.Min.Y - 50}, {X: mid.X, Y: mid.Y}, {X: b.Min.X - 50, Y: mid.Y}}
	s := SurveySheet(r, 0)
	lines := 0
	for _, m := range s.Marks {
		if l, ok := m.(scene.Line); ok && l.Name == "partial scope" {
			lines++
		}
	}
	if all := wordsOf(s); lines != 1 || !strings.Contains(all, "Scope: partial: tear-off within the line") ||
		!strings.Contains(all, "bound of the partial scope") {
		t.Errorf("a partial scope is drawn %d times, or not told", lines)
	}
}

// Nothing is drawn off the frame of the plan, and a left-out shot that lies beyond
// it is counted.
func TestSurveySheet_LeftOutOffThePlan(t *testing.T) {
	r := evidenced()
	a := &r.Areas[0]
	b := a.Area.Outline.Box()
	for n := range 3 {
		a.Area.Shots = append(a.Area.Shots, survey.Shot{ID: fmt.Sprintf("far%d", n), Left: "lies outside the outline",
			At: geom.Pt{X: b.Max.X + 1000*float64(n), Y: b.Max.Y}})
	}
	if all := wordsOf(SurveySheet(r, 0)); !strings.Contains(all, "3 shots left out: lies outside the outline (2 off the plan, not drawn)") {
		t.Errorf("shots off the plan are not counted in %q", all)
	}
}

// People of a metric job read no feet, no rule of another country and their own
// words in notes; file names and what the crew wrote keep their letters.
func TestMetricWords(t *testing.T) {
	for _, c := range cautions(unit.Metric) {
		if strings.Contains(c, " ft") || strings.Contains(c, "CFR") {
			t.Errorf("a metric job is cautioned: %q", c)
		}
	}
	n := problem.Problem{File: "shots.csv", Line: 7, Field: "shot", Value: "shot 9", Why: "stands off the other shots", Grade: problem.Note}
	if got, want := (say{unit.Metric}).noted(n), `shots.csv:7: level "shot 9": stands off the other levels`; got != want {
		t.Errorf("noted as %s, want %s", got, want)
	}
	if got := (say{unit.US}).noted(n); got != n.Error() {
		t.Errorf("noted as %s, want %s", got, n.Error())
	}
}

// The datum of a sheet is no blocked drain where another lets water go.
func TestDatum_NotBlocked(t *testing.T) {
	r := evidenced()
	a := &r.Areas[0]
	s := newSheetOn(r, 0, tabloids(2))
	words := func() string { _, w := s.zero(a.Fit.Surface); return w }
	for n := range a.Site.Outlets {
		a.Site.Outlets[n].State = survey.Works
	}
	_, id, _ := strings.Cut(words(), "the surface at ")
	id, _, _ = strings.Cut(id, ",")
	for n := range a.Site.Outlets {
		if a.Site.Outlets[n].ID == id {
			a.Site.Outlets[n].State = survey.Blocked
		}
	}
	if w := words(); id == "" || strings.Contains(w, "the surface at "+id+",") {
		t.Errorf("%s is blocked, and %q", id, w)
	}
}
