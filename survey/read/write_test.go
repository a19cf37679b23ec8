package read

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// filesOf writes a job into a folder in memory.
func filesOf(t rapid.TB, job *survey.Job) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	err := WriteJob(job, func(name string, data []byte) error {
		if _, twice := out[name]; twice {
			return fmt.Errorf("%s is written twice", name)
		}
		out[name] = &fstest.MapFile{Data: data}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// sameJob holds two jobs to be one but for where things were read and what
// was noted in reading.
func sameJob(t rapid.TB, got, want *survey.Job, files fstest.MapFS) {
	t.Helper()
	a, b := bareJob(got), bareJob(want)
	if reflect.DeepEqual(a, b) {
		return
	}
	va, vb := reflect.ValueOf(*a), reflect.ValueOf(*b)
	for i := range va.NumField() {
		if x, y := va.Field(i).Interface(), vb.Field(i).Interface(); !reflect.DeepEqual(x, y) {
			t.Errorf("%s is\n%+v, was\n%+v", va.Type().Field(i).Name, x, y)
		}
	}
	t.Fatalf("written as\n%s", files[JobFile].Data)
}

// bareJob is a copy without files, lines and notes.
func bareJob(j *survey.Job) *survey.Job {
	c := *j
	c.Notes = nil
	c.Areas = append([]survey.Area(nil), j.Areas...)
	for i, a := range c.Areas {
		c.Areas[i].Laid, c.Areas[i].OnHand = append([]survey.LaidRow(nil), a.Laid...), append([]survey.OnHand(nil), a.OnHand...)
		for n := range a.Laid {
			c.Areas[i].Laid[n].File, c.Areas[i].Laid[n].Line = "", 0
		}
		for n := range a.OnHand {
			c.Areas[i].OnHand[n].File, c.Areas[i].OnHand[n].Line = "", 0
		}
		c.Areas[i].Shots, c.Areas[i].DeckShots, c.Areas[i].AsBuilt = bareShots(a.Shots), bareShots(a.DeckShots), bareShots(a.AsBuilt)
	}
	c.Survey.Closings = append([]survey.Closing(nil), j.Survey.Closings...)
	for i := range c.Survey.Closings {
		c.Survey.Closings[i].File, c.Survey.Closings[i].Line = "", 0
	}
	return &c
}

func bareShots(shots []survey.Shot) []survey.Shot {
	out := append([]survey.Shot(nil), shots...)
	for i := range out {
		out[i].File, out[i].Line = "", 0
	}
	return out
}

// again writes a job, reads it and holds it to be the same; what it notes must
// have been noted before.
func again(t rapid.TB, job *survey.Job) *survey.Job {
	t.Helper()
	files := filesOf(t, job)
	back, found := Job(files, JobFile, nil)
	if err := found.Err(); err != nil {
		t.Fatalf("%v\n%s", err, files[JobFile].Data)
	}
	sameJob(t, back, job, files)
	known := map[string]bool{}
	for _, p := range job.Notes {
		known[p.Why] = true
	}
	for _, p := range back.Notes {
		if !known[p.Why] {
			t.Errorf("a note is new: %v", p)
		}
	}
	return back
}

func TestWriteJob_EveryJobOfTheRepository(t *testing.T) {
	root := path.Join("..", "..", "testdata", "jobs")
	dirs, err := os.ReadDir(root)
	if err != nil || len(dirs) == 0 {
		t.Fatalf("no jobs in %s: %v", root, err)
	}
	for _, d := range dirs {
		t.Run(d.Name(), func(t *testing.T) {
			job, found := Job(os.DirFS(path.Join(root, d.Name())), "job.yaml", nil)
			if err := found.Err(); err != nil {
				t.Fatal(err)
			}
			for _, a := range job.Areas {
				if a.Cloud != nil {
					err := WriteJob(job, func(string, []byte) error { return nil })
					if err == nil || !strings.Contains(err.Error(), "point cloud") {
						t.Errorf("a job with a cloud gives %v", err)
					}
					return
				}
			}
			again(t, again(t, job))
		})
	}
}

func TestWriteJob_Stories(t *testing.T) {
	tied, _ := book(twoSetUps, "")
	beside, _ := book(strings.Replace(twoSetUps, "tied_to: west", "hi: 105.00", 1), "")
	closed, _ := book("  reading: rod\n  unit: ft\n  benchmark: {on: BM1, elevation: 100, rod: 4.503, close: 4.47}\n  allowed: 0.01 ft\n", "")
	deck := with(soundJob, "  hi: 105 ft\n", "  hi: 105 ft\n  deck_shots: {shots: deck.csv, set_ups: [{id: later, reading: direct, zero: 95.1 ft}]}\n")
	same := with(soundJob, "  hi: 105 ft\n", "  hi: 105 ft\n  deck_shots: deck.csv\n")
	const elevations = "shot,x,y,z\nD1,5,5,99.5\nD2,55,5,99.6\nD3,90,35,99.5\n"
	edges := with(soundJob, "above: membrane}\n    outlets", "above: membrane}\n      - {edge: 2, kind: gutter, height: 1 in, above: deck}\n      - {edge: 1, kind: open}\n    outlets")
	for _, c := range []struct {
		name string
		fsys fstest.MapFS
	}{
		{"the sound job", folder()},
		{"tied set-ups", folder("job.yaml", tied, "shots.csv", sharedShots("4.98", "4.48", "4.98"))},
		{"set-ups compared", folder("job.yaml", beside, "shots.csv", sharedShots("4.85", "4.35", "3.85"))},
		{"not closed", folder("job.yaml", closed)},
		{"deck shots from their own set-up", folder("job.yaml", deck, "deck.csv", "shot,x,y,rod\nD1,5,5,4.017\nD2,55,5,4.1\n")},
		{"deck shots from the survey's", folder("job.yaml", same, "deck.csv", "shot,x,y,rod,set_up\nD1,5,5,5.017,1\nD2,55,5,5.1,1\n")},
		{"deck shots as elevations", folder("job.yaml", same, "deck.csv", elevations)},
		{"shots as laid from their own set-up", folder("job.yaml", soundJob+"asbuilt: {shots: b.csv, set_ups: [{id: later, reading: direct, zero: 95.1 ft}], run: 1/2 in}\n", "b.csv", "shot,x,y,rod\nD1,5,5,4.017\nD2,55,5,4.1\n")},
		{"shots as laid from one beside the list", folder("job.yaml", soundJob+"asbuilt: {shots: b.csv, reading: rod, hi: 103 ft}\n", "b.csv", "shot,x,y,rod\nD1,5,5,4.017\nD2,55,5,4.1\n")},
		{"shots as laid from the survey's", folder("job.yaml", soundJob+"asbuilt: b.csv\n", "b.csv", "shot,x,y,rod,set_up\nD1,5,5,5.017,1\nD2,55,5,5.1,1\n")},
		{"shots as laid, with tolerances, from the survey's", folder("job.yaml", soundJob+"asbuilt: {shots: b.csv, place: 1/8 in, reading_error: 1/32 in}\n", "b.csv", "shot,x,y,rod,set_up\nD1,5,5,5.017,1\nD2,55,5,5.1,1\n")},
		{"shots as laid as elevations beside deck shots", folder("job.yaml", deck+"asbuilt: b.csv\n", "deck.csv", "shot,x,y,rod\nD1,5,5,4.017\nD2,55,5,4.1\n", "b.csv", elevations)},
		{"shots on the deck and as laid, set-ups each", folder("job.yaml", deck+"asbuilt: {shots: b.csv, set_ups: [{id: last, reading: rod, hi: 103 ft}]}\n", "deck.csv", "shot,x,y,rod\nD1,5,5,4.017\nD2,55,5,4.1\n", "b.csv", "shot,x,y,rod\nD1,5,5,4.017\nD2,55,5,4.1\n")},
		{"edges that let water go", folder("job.yaml", edges)},
		{"in part", jobWith("scope: tear-off", "scope: {partial: [[0,0], [20,0], [20.5,20]]}")},
		{"layers", folder("cores.csv", "id,x,y,layers,wet\nC1,20,10,1/2 in gravel + 2 in fibreboard wet,\n\"C,2\",21,10,2 in \"\"soft\"\" wool,no\n")},
		{"metric", folder("job.yaml", with(with(with(soundJob, "units: us", "units: metric"), "along: 12 ft", "along: 12"), "rules: us-reroof", "rules: metric-falls"))},
		{"odd names", folder("job.yaml", with(soundJob, "name: Sound", `name: "Roof: #1, [x] 'q' \"p\" 12"`),
			"shots.csv", "shot,x,y,rod,code\n\"#1\",5,5,4.80,\"a, b\"\n\"2\"\"\",55,5,4.82,5' up\n\"x,\"\"y\",55,35,4.79,\"say \"\"so\"\"\"\n4,5,20,4.85,\n")},
		{"shots off the roof", folder("shots.csv", soundShots+"9,90,90,4.8,RF\n10,45,15,4.8,RF\n")},
		{"two areas", folder("job.yaml", soundJob+secondArea("B", 60), "shots.csv",
			"x,y,rod,area\n90,5,5,\n5,5,4.8,\n60,20,4.8,A\n55,5,4.8,\n60,20,5.1,B\n90,35,5.1,\n5,35,4.9,A\n100,5,5.3,\n")},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, _ := mustRead(t, c.fsys)
			again(t, job)
		})
	}
}

// maker draws jobs that a reader could have given.
type maker struct {
	t   *rapid.T
	job *survey.Job
}

func (m maker) float(low, high float64, name string) float64 {
	x := rapid.Float64Range(low, high).Draw(m.t, name)
	if rapid.Bool().Draw(m.t, "short") { // as people write them
		x = float64(int(x*100)) / 100
	}
	return max(low, x)
}

func (m maker) length(low, high float64, name string) unit.Length {
	x := m.float(low, high, name)
	switch rapid.IntRange(0, 3).Draw(m.t, "unit") {
	case 0:
		return unit.Millimetres(x * 25.4)
	case 1:
		return unit.Feet(x / 12)
	}
	return unit.Inches(x)
}

// coord is a coordinate in feet as the reader makes it of a number.
func (m maker) coord(low, high float64, name string) float64 {
	x := m.float(low, high, name)
	if m.job.Units == unit.Metric {
		return unit.Metres(x / 3.25).Feet()
	}
	return unit.Feet(x).Feet()
}

func (m maker) at(name string) geom.Pt {
	return geom.Pt{X: m.coord(1, 59, name), Y: m.coord(1, 39, name)}
}

func (m maker) word(name string) string {
	s := rapid.StringMatching(`[a-zA-Z0-9#"',;:+ \[\]{}&*!|>%@é-]{0,12}[a-z0-9"#]`).Draw(m.t, name)
	return strings.TrimSpace(s)
}

func (m maker) height(name string) survey.Height {
	return survey.Height{Value: m.length(0, 40, name),
		Above: rapid.SampledFrom([]survey.Datum{survey.AboveMembrane, survey.AboveDeck, survey.AboveElevation}).Draw(m.t, "above")}
}

// make draws a job of one area of 60 by 40 ft or so.
func (m maker) make() {
	t, j := m.t, m.job
	j.Name, j.Units = m.word("name"), rapid.SampledFrom([]unit.System{unit.US, unit.Metric}).Draw(t, "units")
	j.NorthDeg = m.float(-180, 180, "north")
	j.Scope = survey.TearOff
	if rapid.Bool().Draw(t, "partial") {
		j.Scope, j.Part = survey.Partial, geom.Ring{{}, {X: m.coord(3, 20, "x")}, {Y: m.coord(3, 20, "y")}}
	}
	j.Rules = m.rules()
	deg := m.float(0, 90, "axes")
	j.Taper = &survey.TaperChoice{Scheme: m.scheme(), Slope: m.slope("slope"), Start: m.length(0, 4, "start"),
		Base: survey.BaseChoice{Layers: 2, Thickness: m.length(0.5, 4, "base")}, Cover: m.length(0, 1, "cover"), AxesDeg: &deg,
		EqualEdges: rapid.Bool().Draw(t, "edges"), TightCut: rapid.Bool().Draw(t, "tight"), Kerf: m.length(0, 1, "kerf"),
		LooseBoards: rapid.Bool().Draw(t, "loose"), Sliver: m.length(1.01, 11.9, "sliver"),
		MostLayers: rapid.IntRange(0, 30).Draw(t, "layers allowed")}
	m.crickets()
	m.lines()
	j.Stock = m.stock()
	j.Ponds = survey.PondLimits{Depth: m.length(0, 1, "depth"), Area: unit.SquareFeet(m.float(0, 50, "pond")),
		Drying: m.length(0.1, 1, "drying")}
	j.Seen = []survey.SeenPond{{Outline: geom.Ring{{}, {X: m.coord(3, 20, "x")}, {Y: m.coord(3, 20, "y")}},
		Depth: m.length(0, 5, "seen"), Hours: m.float(0, 100, "hours")}}
	j.Rain.Rate = unit.InchesPerHour(m.float(0.1, 5, "rain"))
	if rapid.Bool().Draw(t, "overflow rate") {
		j.Rain.OverflowRate = 2 * j.Rain.Rate
	}
	j.Sections = []survey.Section{{Name: rapid.StringMatching(`[A-Za-z0-9_-]{1,12}`).Draw(t, "section"),
		From: geom.Pt{X: m.coord(3, 20, "x"), Y: m.coord(3, 20, "y")}, To: geom.Pt{X: m.coord(30, 50, "x"), Y: m.coord(3, 20, "y")}}}
	if rapid.Bool().Draw(t, "foreman") {
		j.Foreman = survey.Foreman{HI: m.length(900, 1300, "hi"), Rate: unit.SquareFeet(m.float(10, 5000, "rate"))}
	}
	m.fastening()
	m.source()
	m.area()
}

// laid draws rows that are down and boards on hand.
func (m maker) laid(a *survey.Area) {
	for n := range rapid.IntRange(0, 2).Draw(m.t, "rows down") {
		r := survey.LaidRow{Layer: n + 1, Type: rapid.SampledFrom(laidTypes).Draw(m.t, "type"), Mark: m.word("mark"), Boards: n + 3,
			Outline: []geom.Poly{{Outer: geom.Ring{{}, {X: m.coord(3, 20, "x")}, {X: 1, Y: m.coord(3, 20, "y")}}, Holes: []geom.Ring{{{X: 1, Y: 1}, {X: 1, Y: 1.5}, {X: 1.5, Y: 1.5}}}},
				{Outer: geom.Ring{{X: 30}, {X: 40}, {X: 40, Y: m.coord(3, 20, "y")}}}}}
		if rapid.Bool().Draw(m.t, "named") {
			r.Facet, r.Row, r.Along, r.Depth = "F1", 2, m.length(20, 100, "along"), m.length(20, 100, "depth")
		}
		if r.Tapered() {
			r.ThickDeg, r.ThinEdge = m.float(-180, 180, "thick"), m.length(0, 4, "thin")
		}
		a.Laid = append(a.Laid, r)
	}
	if rapid.Bool().Draw(m.t, "on hand") {
		a.OnHand = []survey.OnHand{{Type: "base", Mark: m.word("mark"), Boards: 7, Along: m.length(20, 100, "along"), Depth: m.length(20, 100, "depth")},
			{Mark: "2", Boards: 1}}
	}
}

// fastening draws how boards are held, in each way.
func (m maker) fastening() {
	zones := survey.ZoneChoice{By: survey.ZonesByWidth, Height: m.length(100, 900, "height"), Width: m.length(100, 900, "width")}
	f := &survey.Fastening{Attach: survey.Attach(rapid.IntRange(0, 3).Draw(m.t, "attach"))}
	switch f.Attach {
	case survey.UnsetAttach:
		return
	case survey.Screws:
		f.Embed, f.Room, f.Step, f.Plates = m.length(0.5, 2, "embed"), m.length(0.5, 2, "room"), m.length(0.5, 2, "step"),
			[]unit.Length{m.length(1, 20, "plate"), m.length(21, 40, "plate")}
		n := rapid.IntRange(1, 20)
		f.PerBoard = survey.ByZone[int]{Field: n.Draw(m.t, "field"), Perimeter: n.Draw(m.t, "perimeter"), Corner: n.Draw(m.t, "corner")}
		f.Zones = zones
	case survey.BaseScrews:
		f.Lengths = []unit.Length{m.length(1, 6, "screw"), m.length(7, 9, "screw")}
		f.Pressure, f.Screw = survey.ByZone[unit.Load]{Field: unit.PoundsPerSquareFoot(m.float(1, 99, "psf"))}, unit.Force(m.float(10, 900, "lb"))*unit.Pound
	case survey.Adhesive:
		f.Beads, f.Kit = survey.ByZone[unit.Length]{Inner: m.length(9, 12, "bead"), Field: m.length(6, 12, "bead"), Perimeter: m.length(4, 6, "bead"),
			Corner: m.length(2, 4, "bead")}, m.length(100, 9000, "kit")
		zones.By, zones.Width = survey.ZonesByHeight, 0
		f.Zones = zones
	}
	m.job.Fastening = f
}

// scheme draws a scheme; compare is none of a region.
func (m maker) scheme() survey.Scheme {
	return survey.Scheme(rapid.IntRange(int(survey.FourWay), int(survey.EightWay)).Draw(m.t, "scheme"))
}

// crickets draws how sumps and crickets are made.
func (m maker) crickets() {
	c := m.job.Taper
	if rapid.Bool().Draw(m.t, "sump") {
		c.Sump, c.SumpBoard = m.length(1, 100, "sump"), c.Slope+m.slope("board")/2
	}
	switch rapid.IntRange(0, 2).Draw(m.t, "cricket") {
	case 0:
		c.Cricket.None = true
	case 1:
		c.Cricket.Board = m.slope("board")
		c.Cricket.Valley = c.Cricket.Board / 3
	}
}

// lines draws own lines, a region and an R to reach.
func (m maker) lines() {
	for range rapid.IntRange(0, 2).Draw(m.t, "lines") {
		m.job.Lines = append(m.job.Lines, survey.OwnLine{At: m.line(), Kind: survey.OwnLineKind(rapid.IntRange(1, 2).Draw(m.t, "kind"))})
	}
	if rapid.Bool().Draw(m.t, "region") {
		r := survey.Region{Outline: geom.Ring{{}, {X: m.coord(3, 20, "x")}, {Y: m.coord(3, 20, "y")}}}
		if rapid.Bool().Draw(m.t, "stated") {
			r.Scheme, r.Slope = m.scheme(), m.slope("slope")
		}
		m.job.Regions = []survey.Region{r}
	}
	if rapid.Bool().Draw(m.t, "thermal") {
		th := &survey.Thermal{RequiredR: m.float(1, 200, "r"), Rule: survey.RRule(rapid.IntRange(1, 4).Draw(m.t, "rule")), RPerInch: m.float(1, 60, "inch")}
		if m.job.Units == unit.Metric {
			th.RequiredR = unit.USRPerSI / m.float(0.03, 5.6, "u")
		}
		m.job.Thermal = th
	}
}

// line draws a line of two or three places that stand apart.
func (m maker) line() []geom.Pt {
	ft := func(lo, hi float64) float64 { return m.coord(lo, hi, "line") }
	l := []geom.Pt{{X: ft(1, 20), Y: ft(1, 39)}, {X: ft(21, 40), Y: ft(1, 39)}, {X: ft(41, 59), Y: ft(1, 39)}}
	return l[:rapid.IntRange(2, 3).Draw(m.t, "places")]
}

// rules draws own figures, in part like a named set and in part alone.
func (m maker) rules() survey.RuleChoice {
	c := survey.RuleChoice{Name: "own", Mode: survey.Planes, Field: m.slope("field"), Valley: m.slope("valley")}
	if rapid.Bool().Draw(m.t, "like") {
		yes := rapid.Bool().Draw(m.t, "exception")
		c = survey.RuleChoice{Name: "own", Like: rapid.SampledFrom(RuleNames()).Draw(m.t, "set"), Called: "Set " + m.word("name"),
			Edition: m.word("edition"), Source: m.word("source"), Gutter: m.slope("gutter"), Sump: m.slope("sump"), Drained: &yes}
	}
	if rapid.Bool().Draw(m.t, "depths") {
		c.Pond, c.Flashing, c.DryHours = m.length(0.01, 5, "pond"), m.length(1, 20, "flashing"), m.float(1, 200, "dry")
		c.OverflowLeast, c.Design = m.length(0.1, 4, "least"), max(c.Field, m.slope("design"))
		c.OverflowMost = c.OverflowLeast
	}
	return c
}

func (m maker) slope(name string) unit.Slope {
	if rapid.Bool().Draw(m.t, "ratio") {
		return unit.SlopeOfRatio(1 / float64(rapid.IntRange(20, 200).Draw(m.t, name)))
	}
	return unit.InchesPerFoot(m.float(0.01, 2, name))
}

func (m maker) stock() *survey.Stock {
	hold := func() survey.Attach {
		return rapid.SampledFrom([]survey.Attach{survey.UnsetAttach, survey.Screws, survey.Adhesive}).Draw(m.t, "attach")
	}
	s := m.slope("board")
	b := survey.TaperedBoard{Slope: s, Thin: m.length(0.2, 0.5, "thin"), Along: unit.Feet(4), Depth: m.length(20, 50, "depth"),
		ToOrder: rapid.Bool().Draw(m.t, "order"), Price: m.float(0, 100, "price"), Bundle: rapid.IntRange(0, 99).Draw(m.t, "bundle"), Attach: hold()}
	b.Thick = b.Thin + unit.Fall(s, b.Depth)
	if b.Thick > unit.Feet(2) {
		b.Thick, b.Slope = b.Thin+unit.Fall(unit.InchesPerFoot(0.25), b.Depth), unit.InchesPerFoot(0.25)
	}
	strip := survey.TaperedBoard{Slope: m.slope("strip"), Along: unit.Feet(4), Depth: m.length(6, 24, "strip")}
	strip.Thick = unit.Fall(strip.Slope, strip.Depth)
	return &survey.Stock{Strips: []survey.TaperedBoard{strip}, Name: rapid.SampledFrom([]string{"stock.csv", "shots.csv", "Boards, in.csv"}).Draw(m.t, "file"),
		Tapered: []survey.TaperedBoard{b},
		Flats:   []survey.FlatBoard{{Thickness: m.length(0.5, 4, "flat"), Along: unit.Feet(8), Depth: unit.Millimetres(1200), Bundle: rapid.IntRange(0, 99).Draw(m.t, "flats"), Attach: hold()}}}
}

// source draws set-ups of each kind but tied ones.
func (m maker) source() {
	s := &m.job.Survey
	s.Surface, s.ReadingError = survey.Membrane, m.length(0, 1, "error")
	s.Evidence = survey.Evidence{Method: m.word("method"), Date: m.word("date"), Weather: m.word("weather"), By: m.word("by")}
	s.Photos = []survey.Photo{{File: m.word("photo"), At: m.at("photo"), Note: m.word("note")}}
	for i := range rapid.IntRange(0, 3).Draw(m.t, "set-ups") {
		u := survey.SetUp{ID: fmt.Sprint(i, m.word("id")), Direct: rapid.Bool().Draw(m.t, "direct"), HI: m.length(1000, 1300, "hi")}
		if rapid.Bool().Draw(m.t, "benchmark") {
			u.On, u.From, u.Backsight = m.word("on"), m.length(900, 1200, "from"), m.length(0, 140, "rod")
			if u.HI = u.From + u.Backsight; u.Direct {
				u.HI = u.From - u.Backsight
			}
		}
		if rapid.Bool().Draw(m.t, "shifted") {
			u.Shift = m.length(0, 0.3, "shift")
		}
		s.SetUps = append(s.SetUps, u)
		s.Closings = append(s.Closings, survey.Closing{SetUp: u.ID, On: m.word("closes on"), Found: m.length(900, 1300, "found"),
			Known: m.length(900, 1300, "known"), Allowed: m.length(0.1, 1, "allowed"), By: m.word("rule")})
	}
}

func (m maker) shots(name string, first int) (out []survey.Shot) {
	for i := range rapid.IntRange(3, 6).Draw(m.t, name) {
		s := survey.Shot{ID: fmt.Sprint(i, m.word("shot")), At: m.at("shot"), Elev: m.length(1100, 1300, "z"), Code: m.word("code")}
		if i < 3 { // a triangle, so that they stand in no one line
			s.At = []geom.Pt{{X: 1, Y: 1}, {X: 12, Y: 1}, {X: 1, Y: 10}}[i]
		}
		s.ID = name + s.ID
		if n := len(m.job.Survey.SetUps); n > 0 {
			s.SetUp = rapid.IntRange(first, n).Draw(m.t, "from")
			s.Rod = m.length(0, 140, "rod")
			s.Elev = m.job.Survey.SetUps[s.SetUp-1].Elevation(s.Rod)
		}
		s.ID += fmt.Sprintf("-%d", s.SetUp) // no place is read twice
		out = append(out, s)
	}
	return out
}

func (m maker) area() {
	ft := func(x float64) float64 {
		if m.job.Units == unit.Metric {
			return unit.Metres(x / 3.25).Feet()
		}
		return x
	}
	a := survey.Area{Name: m.word("area"), Outline: geom.Ring{{}, {X: ft(60)}, {X: ft(60), Y: ft(40)}, {Y: ft(40)}}, Edges: make([]survey.Edge, 4)}
	a.Edges[1] = survey.Edge{Kind: survey.GutterEdge, Height: m.height("edge")}
	a.Edges[3] = survey.Edge{Kind: survey.Wall, Height: m.height("wall")}
	p, q := a.Outline[1], a.Outline[2]
	a.Outlets = []survey.Outlet{
		{ID: a.Name + "-1", Kind: survey.GutterOutlet, At: p.Lerp(q, 0.5), Edge: 1, Inlet: a.Edges[1].Height},
		{ID: m.word("drain"), Kind: survey.Drain, At: m.at("drain"), Edge: -1, Size: m.length(1, 8, "size"), Inlet: m.height("flange"),
			Bowl:     survey.Bowl{Size: m.length(12, 48, "bowl"), Depth: m.length(0.2, 3, "depth")},
			Strainer: m.length(1, 8, "strainer"), Dam: m.length(0.5, 4, "dam"),
			State: survey.Untested, Reset: survey.ResetNo}}
	s := survey.Outlet{ID: "S" + m.word("scupper"), Kind: survey.Scupper, Edge: 0, Along: m.length(40, 400, "along"), Width: m.length(2, 24, "width"),
		Opening: m.length(1, 8, "opening"), Inlet: m.height("inlet"), Overflow: true, State: survey.Blocked}
	s.At = a.Outline[0].Lerp(p, s.Along.Feet()/a.Outline[0].Dist(p))
	a.Outlets = append(a.Outlets, s)
	if a.Outlets[1].ID == s.ID || a.Outlets[1].ID == a.Outlets[0].ID {
		a.Outlets[1].ID = "D"
	}
	if m.float(0, 1, "unstated") > 0.5 {
		a.Outlets[1].State, a.Outlets[1].Unstated = survey.Works, true
	}
	a.Curbs = []survey.Curb{{ID: m.word("curb"), At: geom.Pt{X: ft(48), Y: ft(30)}, W: m.coord(1, 3, "w"), D: m.coord(1, 3, "d"),
		Turn: m.float(0, 90, "turn"), Height: m.height("curb")}}
	if geom.BoxOf(a.Outlets[1].At, a.Curbs[0].At).Max.Sub(geom.BoxOf(a.Outlets[1].At, a.Curbs[0].At).Min).Norm() < 6 {
		a.Outlets[1].At = geom.Pt{X: 3, Y: 3}
	}
	e := survey.WallItem{ID: "E" + m.word("door"), Edge: 2, Along: m.length(60, 300, "along"), Width: m.length(20, 60, "width"), Height: m.height("sill")}
	e.At = q.Lerp(a.Outline[3], e.Along.Feet()/q.Dist(a.Outline[3]))
	a.Doors = []survey.WallItem{e, {ID: m.word("door"), Edge: -1, At: a.Outline[2], Height: m.height("sill")}}
	if a.Doors[1].ID == e.ID {
		a.Doors[1].ID = "E"
	}
	e.ID = "W"
	a.Weeps, a.Sills = []survey.WallItem{e}, a.Doors[1:]
	a.Ducts = []survey.Duct{{ID: m.word("duct"), From: geom.Pt{X: ft(48), Y: ft(30)}, To: a.Outline[2], Height: m.height("duct")}}
	span := m.float(0, 180, "span")
	a.Deck = survey.DeckKind{Type: m.word("type"), SpanDeg: &span, Framing: m.word("framing")}
	if rapid.Bool().Draw(m.t, "bays") {
		a.Deck.Bays = &survey.BayGrid{From: m.at("bays"), W: m.coord(7, 40, "bay"), D: m.coord(7, 40, "bay")}
		if a.Deck.Camber = m.length(0.1, 3, "camber"); rapid.Bool().Draw(m.t, "sag") {
			a.Deck.Camber, a.Deck.SagOf = 0, m.float(30, 400, "sag")
		}
	}
	head, gpm := m.length(0.5, 2, "head"), m.float(1, 200, "gpm")
	a.Outlets[1].Capacity = []survey.HeadFlow{{Head: head, Flow: unit.GallonsPerMinute(gpm)},
		{Head: head + m.length(0.1, 2, "more"), Flow: unit.GallonsPerMinute(2 * gpm)}}
	a.Cores = []survey.Core{{ID: m.word("core"), At: geom.Pt{X: 2, Y: 2}, Thickness: m.length(0, 10, "thickness"), WetKnown: true, Roofs: 1}}
	layer := m.length(0, 10, "layer")
	wet := m.job.Scope == survey.TearOff // else the old roof could not stay
	a.Cores = append(a.Cores, survey.Core{ID: "L", At: geom.Pt{X: 5, Y: 2}, Thickness: layer, WetKnown: true, Wet: wet,
		Roofs: 1, Layers: []survey.Layer{{Name: "fibre board", Thickness: layer, Wet: wet}}})
	a.Shots = m.shots("s", 1)
	if rapid.Bool().Draw(m.t, "deck") {
		a.DeckShots = m.shots("d", max(1, len(m.job.Survey.SetUps)))
	}
	if rapid.Bool().Draw(m.t, "laid") {
		a.AsBuilt = m.shots("b", max(1, len(m.job.Survey.SetUps)))
		m.job.AsBuilt.Place, m.job.AsBuilt.ReadingError = m.length(0.1, 1, "place"), m.length(0.01, 1, "laid error")
	}
	m.laid(&a)
	a.Breaks, a.Joints = [][]geom.Pt{m.line(), m.line()}, [][]geom.Pt{m.line()}
	a.OwnCrickets = rapid.Bool().Draw(m.t, "own")
	for range rapid.IntRange(0, 2).Draw(m.t, "crickets") {
		if !a.OwnCrickets {
			break
		}
		l := m.line()
		c := survey.CricketPlace{From: l[0], To: l[1], On: survey.CricketOn(rapid.IntRange(0, 2).Draw(m.t, "on"))}
		if rapid.Bool().Draw(m.t, "sized") {
			c.Width, c.Board = m.length(1, 200, "width"), m.slope("board")
		}
		a.Crickets = append(a.Crickets, c)
	}
	m.job.Areas = []survey.Area{a}
}

// Random jobs, written and read, are the same to the last bit.
func TestWriteJob_RandomJobs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := maker{t, &survey.Job{}}
		m.make()
		m.job.Notes = problem.List{}
		files := filesOf(t, m.job)
		back, found := Job(files, JobFile, nil)
		if err := found.Err(); err != nil {
			t.Fatalf("%v\n%s", err, files[JobFile].Data)
		}
		sameJob(t, back, m.job, files)
	})
}

func TestWriteJob_PassesOnAnError(t *testing.T) {
	job, _ := mustRead(t, folder())
	for _, name := range []string{"job.yaml", "shots.csv", "cores.csv", "stock.csv"} {
		err := WriteJob(job, func(n string, _ []byte) error {
			if n == name {
				return fs.ErrPermission
			}
			return nil
		})
		if err != fs.ErrPermission {
			t.Errorf("%s: %v", name, err)
		}
	}
}
