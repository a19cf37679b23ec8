package ask_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/ask"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// told is a job that states everything that is asked for: one drain with a
// shot beside it, an overflow, parapets, a curb, a core, a deck and a field
// book that closed.
func told() *survey.Job {
	high := survey.Height{Value: unit.Inches(14), Above: survey.AboveMembrane}
	span := 90.0
	a := survey.Area{
		Name:    "A",
		Outline: geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 60}, {X: 0, Y: 60}},
		Edges:   []survey.Edge{{Height: high}, {Height: high}, {Kind: survey.Wall, Height: high}, {Height: high}},
		Outlets: []survey.Outlet{
			{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 20, Y: 30}, Edge: -1, Size: unit.Inches(4), Inlet: high, Reset: survey.ResetYes},
			{ID: "S1", Kind: survey.Scupper, At: geom.Pt{X: 20}, Width: unit.Inches(12), Opening: unit.Inches(6), Inlet: high, Overflow: true},
		},
		Curbs: []survey.Curb{{ID: "U1", At: geom.Pt{X: 10, Y: 10}, W: 4, D: 4, Height: high}},
		Shots: []survey.Shot{{ID: "1", At: geom.Pt{X: 21, Y: 30}}, {ID: "2", At: geom.Pt{X: 20, Y: 3}}},
		Cores: []survey.Core{{ID: "C1", Thickness: unit.Inches(3), Layers: []survey.Layer{{Name: "board"}}, Roofs: 1, WetKnown: true}},
		Deck:  survey.DeckKind{Type: "steel", SpanDeg: &span, Framing: "joists along x"},
	}
	return &survey.Job{Name: "Told", Units: unit.US, Scope: survey.TearOff, Taper: &survey.TaperChoice{},
		Survey: survey.Source{Surface: survey.Membrane, ReadingError: unit.Inches(0.125),
			Closings: []survey.Closing{{SetUp: "1", On: "BM", Found: unit.Feet(100), Known: unit.Feet(100), Allowed: unit.Inches(0.25)}},
			Evidence: survey.Evidence{Method: "laser and rod", Instrument: "rotary laser", Checked: "that morning", Date: "2026-03-02", By: "crew 2"}},
		Seen:  []survey.SeenPond{{Depth: unit.Inches(1), Hours: 50}},
		Rain:  survey.Rain{Rate: unit.InchesPerHour(3.2), OverflowRate: unit.InchesPerHour(6.4)},
		Areas: []survey.Area{a}}
}

func questions(j *survey.Job, k ask.Known) []ask.Question { return ask.Questions(j, &j.Areas[0], k) }

func TestQuestions_NothingOpen(t *testing.T) {
	if q := questions(told(), ask.Known{SpacingFt: 8}); len(q) > 0 {
		t.Errorf("everything is stated, and %d questions are asked: %+v", len(q), q)
	}
}

// Each thing left out of a job that states all gives one question, about the
// right thing, urgent where a verdict hangs on it.
func TestQuestions_OneThingOpen(t *testing.T) {
	a := func(j *survey.Job) *survey.Area { return &j.Areas[0] }
	cases := []struct {
		story  string
		open   func(*survey.Job, *ask.Known)
		about  string
		words  string
		urgent bool
	}{
		{"no shot within 10 ft of a drain", func(j *survey.Job, _ *ask.Known) { a(j).Shots[0].At = geom.Pt{X: 30.1, Y: 30} },
			"drain D1", "none lies within 10 ft", true},
		{"the only shot near a drain is left out, and asked about too", func(j *survey.Job, _ *ask.Known) { a(j).Shots[0].Left = "in the bowl" },
			"drain D1", "none lies within 10 ft", true},
		{"no shot near a scupper", func(j *survey.Job, _ *ask.Known) { a(j).Shots = a(j).Shots[:1] }, "scupper S1", "none lies within", true},
		{"an untested drain", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[0].State = survey.Untested }, "drain D1", "Test drain D1", true},
		{"a drain of which nobody says whether it works", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[0].Unstated = true }, "outlet D1", "does it go", false},
		{"a survey in doubt as a whole", func(j *survey.Job, _ *ask.Known) {
			a(j).Doubts = []survey.Doubt{{Why: "the drains stand high", Mend: "look at the rod"}}
		}, "survey", "The drains stand high. Look at the rod.", true},
		{"a blocked drain", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[0].State = survey.Blocked }, "drain D1", "cleared", true},
		{"no outlet at all", func(j *survey.Job, _ *ask.Known) { a(j).Outlets = nil }, "outlets", "Where does water leave", true},
		{"no overflow", func(j *survey.Job, _ *ask.Known) { a(j).Outlets = a(j).Outlets[:1] }, "overflows", "drains are blocked", true},
		{"a drain without a bore", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[0].Size = 0 }, "drain D1", "bore", false},
		{"a scupper without an opening", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[1].Opening = 0 }, "scupper S1", "How wide and how high", false},
		{"a flange of unknown height", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[0].Inlet = survey.Height{} }, "drain D1", "flange", false},
		{"a scupper's inlet", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[1].Inlet = survey.Height{} }, "scupper S1", "inlet", false},
		{"who resets the drain", func(j *survey.Job, _ *ask.Known) { a(j).Outlets[0].Reset = survey.ResetAsk }, "drain D1", "plumber", false},
		{"no survey", func(j *survey.Job, _ *ask.Known) { j.Survey = survey.Source{None: true}; a(j).Shots = nil }, "survey", "Survey the roof", true},
		{"gaps between the shots", func(_ *survey.Job, k *ask.Known) { k.UnknownPct = 3 }, "gaps", "3.0 %", true},
		{"shots far apart", func(_ *survey.Job, k *ask.Known) { k.SpacingFt = 25 }, "spacing", "25'-0\" apart", false},
		{"shots of one name left out, and one that only repeats another", func(j *survey.Job, _ *ask.Known) {
			a(j).Shots = append(a(j).Shots, survey.Shot{ID: "TP3", Left: "disputed"}, survey.Shot{ID: "TP3", Left: "disputed"},
				survey.Shot{ID: "TP4", Left: "a second reading", Again: true})
		}, "shot TP3", "Read shot TP3 again, or", false},
		{"a shot left out", func(j *survey.Job, _ *ask.Known) {
			a(j).Shots = append(a(j).Shots, survey.Shot{ID: "9", Left: "1 ft off"})
		}, "shot 9", "again", false},
		{"tear-off without a core", func(j *survey.Job, _ *ask.Known) { a(j).Cores = nil }, "cores", "Cut cores at high", true},
		{"bare deck without a core", func(j *survey.Job, _ *ask.Known) { a(j).Cores = nil; j.Survey.Surface = survey.Deck }, "cores", "Cut cores", false},
		{"laying over without a core", func(j *survey.Job, _ *ask.Known) { a(j).Cores = nil; j.Scope = survey.Recover }, "cores", "one roof or two", true},
		{"a core without layers", func(j *survey.Job, _ *ask.Known) { a(j).Cores[0].Layers = nil }, "core C1", "Which layers", false},
		{"laying over an unknown number of roofs", func(j *survey.Job, _ *ask.Known) { a(j).Cores[0].Roofs = 0; j.Scope = survey.Recover }, "core C1", "How many old roofs", true},
		{"a core neither wet nor dry", func(j *survey.Job, _ *ask.Known) { a(j).Cores[0].WetKnown = false }, "core C1", "wet or dry", false},
		{"laying over a core neither wet nor dry", func(j *survey.Job, _ *ask.Known) {
			a(j).Cores[0].WetKnown, j.Scope = false, survey.Recover
		}, "core C1", "wet or dry", true},
		{"a wet core, torn off", func(j *survey.Job, _ *ask.Known) { a(j).Cores[0].Wet = true }, "core C1", "moisture survey", false},
		{"a wet core, laid over", func(j *survey.Job, _ *ask.Known) { a(j).Cores[0].Wet = true; j.Scope = survey.Recover }, "core C1", "moisture survey", true},
		{"a parapet without a height", func(j *survey.Job, _ *ask.Known) { a(j).Edges[1] = survey.Edge{} }, "edge 1", "Is there a parapet along edge 1", false},
		{"a wall without sills", func(j *survey.Job, _ *ask.Known) { a(j).Edges[2].Height = survey.Height{} }, "edge 2", "door sill", false},
		{"a curb without a datum", func(j *survey.Job, _ *ask.Known) { a(j).Curbs[0].Height.Above = survey.UnsetDatum }, "curb U1", "above what", false},
		{"deck of unknown framing", func(j *survey.Job, _ *ask.Known) { a(j).Deck.Framing = "unknown" }, "deck", "how joists and beams run", false},
		{"deck of unknown make", func(j *survey.Job, _ *ask.Known) { a(j).Deck.Type = "" }, "deck", "of what make", false},
		{"deck of unknown span", func(j *survey.Job, _ *ask.Known) { a(j).Deck.SpanDeg = nil }, "deck", "which way it spans", false},
		{"no reading error", func(j *survey.Job, _ *ask.Known) { j.Survey.ReadingError = 0 }, "reading error", "How near", false},
		{"no instrument and no date", func(j *survey.Job, _ *ask.Known) {
			j.Survey.Evidence.Instrument, j.Survey.Evidence.Date = "", ""
		}, "field book", "instrument and date", false},
		{"a benchmark not read again", func(j *survey.Job, _ *ask.Known) { j.Survey.Closings = nil }, "benchmark", "at the end", false},
		{"a benchmark that did not close", func(j *survey.Job, _ *ask.Known) {
			j.Survey.Closings[0].Found = unit.Feet(100) - unit.Inches(0.5)
		}, "set-up 1", "by 0.042 ft where 0.021 ft is allowed", true},
		{"a line that did not close", func(j *survey.Job, _ *ask.Known) {
			j.Survey.Closings[0].SetUp, j.Survey.Closings[0].Found = "", unit.Feet(100.1)
		}, "closing on BM", "Run the levels again: on BM they close", true},
		{"no ponds seen", func(j *survey.Job, _ *ask.Known) { j.Seen = nil }, "ponds seen", "hours since the rain", false},
		{"a pond seen at no hour", func(j *survey.Job, _ *ask.Known) { j.Seen[0].Hours = 0 }, "pond seen 1", "How many hours", false},
		{"ponds, and no word of how fast they dry", func(_ *survey.Job, k *ask.Known) { k.Ponds = 2 }, "drying", "48 hours", false},
		{"no rain", func(j *survey.Job, _ *ask.Known) { j.Rain = survey.Rain{} }, "rain", "and which the overflows", false},
		{"no rain for the drains", func(j *survey.Job, _ *ask.Known) { j.Rain.Rate = 0 }, "rain", "the drains have to take?", false},
		{"no rain for the overflows", func(j *survey.Job, _ *ask.Known) { j.Rain.OverflowRate = 0 }, "rain", "twice the hourly rate, 6.4 in/h", false},
		{"a sag without bays", func(j *survey.Job, _ *ask.Known) { a(j).Deck.SagOf = 240 }, "deck", "Where do its bays lie", false},
	}
	for _, c := range cases {
		j, k := told(), ask.Known{SpacingFt: 8}
		c.open(j, &k)
		q := questions(j, k)
		at := slices.IndexFunc(q, func(q ask.Question) bool { return q.About == c.about && strings.Contains(q.Ask, c.words) })
		if at < 0 {
			t.Errorf("%s: no question about %q with %q in %+v", c.story, c.about, c.words, q)
			continue
		}
		if q[at].Urgent != c.urgent || q[at].Why == "" {
			t.Errorf("%s: urgent %v, want %v; why %q", c.story, q[at].Urgent, c.urgent, q[at].Why)
		}
		if len(q) > 1 && !strings.HasSuffix(c.story, "asked about too") {
			t.Errorf("%s: one thing is open, %d questions: %+v", c.story, len(q), q)
		}
	}
}

// A drain without a shot beside it leads the list, whatever else is open.
func TestQuestions_UnshotDrainFirst(t *testing.T) {
	j := told()
	*j = survey.Job{Units: unit.Metric, Scope: survey.TearOff, Areas: j.Areas, Survey: survey.Source{Surface: survey.Membrane}}
	a := &j.Areas[0]
	a.Cores, a.Deck, a.Edges = nil, survey.DeckKind{}, nil
	a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 20, Y: 30}, Edge: -1, State: survey.Untested},
		{ID: "D2", Kind: survey.Drain, At: geom.Pt{X: 20, Y: 50}, Edge: -1}}
	q := questions(j, ask.Known{SpacingFt: 30, UnknownPct: 20})
	if len(q) < 12 || q[0].About != "drain D2" || !strings.Contains(q[0].Ask, "within 3 m") {
		t.Fatalf("%d questions, the first about %q: %q", len(q), q[0].About, q[0].Ask)
	}
	for n := 1; n < len(q); n++ {
		if q[n].Urgent && !q[n-1].Urgent {
			t.Errorf("urgent %q after %q", q[n].Ask, q[n-1].Ask)
		}
	}
	for _, x := range q {
		whole := x.About == "field book" || x.About == "reading error" || x.About == "benchmark" || x.About == "ponds seen" || x.About == "rain"
		if (x.Area == "") != whole {
			t.Errorf("%s is asked of area %q", x.About, x.Area)
		}
	}
}

// A thing is asked once however many lack it, and long lists of names are cut.
func TestQuestions_Grouped(t *testing.T) {
	j := told()
	a := &j.Areas[0]
	a.Outline, a.Edges = nil, nil
	for n := range 300 {
		a.Outline = append(a.Outline, geom.Pt{X: float64(n)})
	}
	a.Outlets[0].Size = 0
	a.Outlets = append(a.Outlets, a.Outlets[0])
	a.Outlets[2].ID = "D2"
	got := ""
	for _, q := range questions(j, ask.Known{}) {
		got += q.About + "; "
	}
	if want := "drains D1 and D2; edges 0, 1, 2, 3, 4, 5, 6, 7 and 292 more; "; got != want {
		t.Errorf("asked of %q, want %q", got, want)
	}
}

// Drains without a shot are found by squares of the plan: on random roofs the
// answer is that of trying every pair.
func TestQuestions_NearAgreesWithTryingAll(t *testing.T) {
	const seed = 20260302
	r := rand.New(rand.NewPCG(seed, 0))
	for n := range 200 {
		j := told()
		a := &j.Areas[0]
		a.Shots, a.Outlets = nil, a.Outlets[1:]
		for k := range r.IntN(12) {
			a.Shots = append(a.Shots, survey.Shot{ID: fmt.Sprint(k), At: geom.Pt{X: 60*r.Float64() - 30, Y: 60*r.Float64() - 30}})
		}
		want := map[string]bool{}
		for k := range 6 {
			o := survey.Outlet{ID: fmt.Sprint("D", k), Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 60*r.Float64() - 30, Y: 60*r.Float64() - 30}}
			a.Outlets = append(a.Outlets, o)
		}
		for _, o := range a.Outlets {
			want[o.Kind.String()+" "+o.ID] = !slices.ContainsFunc(a.Shots, func(s survey.Shot) bool { return s.At.Dist(o.At) <= 10 })
		}
		got := map[string]bool{}
		for _, q := range questions(j, ask.Known{}) {
			if strings.Contains(q.Ask, "none lies within") {
				got[q.About] = true
			}
		}
		for name, far := range want {
			if got[name] != far {
				t.Fatalf("seed %d, roof %d: %s far from every shot: %v, want %v", seed, n, name, got[name], far)
			}
		}
	}
}

// Points of a cloud count as shots.
func TestQuestions_Cloud(t *testing.T) {
	j := told()
	a := &j.Areas[0]
	a.Shots = a.Shots[1:]
	a.Cloud = &survey.Cloud{Origin: geom.Pt{X: 1000}, Pts: []survey.CloudPt{{X: -975, Y: 28}}}
	if q := questions(j, ask.Known{}); len(q) > 0 {
		t.Errorf("a point 5 ft from the drain, and asked: %+v", q)
	}
}

func ExampleQuestions() {
	j := told()
	j.Areas[0].Shots = nil
	j.Areas[0].Outlets[0].State = survey.Untested
	for _, q := range ask.Questions(j, &j.Areas[0], ask.Known{}) {
		fmt.Println(q.Ask)
	}
	// Output:
	// Take shots on the rim of drain D1 and round it: none lies within 10 ft.
	// Take shots on the rim of scupper S1 and round it: none lies within 10 ft.
	// Test drain D1 with water: does it let it go?
}
