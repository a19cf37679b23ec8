package read

import (
	"fmt"
	"math"
	"os"
	"path"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

func pt(x, y float64) geom.Pt { return geom.Pt{X: x, Y: y} }

// mustRead reads a job that must have no fault.
func mustRead(t *testing.T, fsys fstest.MapFS, set ...Setting) (*survey.Job, problem.List) {
	t.Helper()
	job, found := Job(fsys, "job.yaml", set)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return job, found
}

func TestJob_ReadsEveryPart(t *testing.T) {
	text := soundJob
	for _, c := range [][2]string{
		{"north: 0 deg", "north: 12 deg"},
		{"  hi: 105 ft\n", "  benchmark: {elevation: 100.00, rod: 4.50}\n  reading_error: 1/8 in\n"},
		{"start: 1/2 in", "start: 1/2 in\n  base: {layers: 2, thickness: 2.6 in}\n  cover: 1/2 in\n  thickest: 9 in\n  axes: 30 deg\n  turn_boards: yes\n  cutting: tight\n  kerf: 1/8 in\n  bundles: loose\n  sliver: 4 in\n  most_layers: 7\n  sump: {size: 8 ft}"},
		{"rules: us-reroof", "rules: {mode: planes, field: 1/4 in/ft, valley: 1/8 in/ft}"},
		{"size: 4 in", "size: 4 in, flange: 1 in, above: deck, reset: yes, state: blocked"},
		{"above: membrane}\n    outlets", "above: membrane}\n      - {edge: 2, kind: gutter, height: 1 in, above: deck}\n      - {edge: 1, kind: open}\n    outlets"},
		{"stock: stock.csv", "stock: stock.csv\nseen: [{pond: [[1,1],[5,1],[5,5]], depth: 1-1/4 in, hours: 40}]\nponds: {depth: 1/4 in, area: 10 sq ft}"},
		{"    curbs:", "    doors:\n      - {id: E1, edge: 3, along: 5 ft, width: 3 ft, sill: 3 in, above: membrane}\n" +
			"      - {id: E2, at: [40, 15], sill: 9 in, above: deck}\n    curbs:"},
	} {
		text = with(text, c[0], c[1])
	}
	job, _ := mustRead(t, folder("job.yaml", text))
	a := job.Areas[0]
	tests := []struct {
		name      string
		got, want any
	}{
		{"name", job.Name, "Sound"}, {"units", job.Units, unit.US}, {"north", job.NorthDeg, 12.0},
		{"surface", job.Survey, survey.Source{Surface: survey.Membrane, ReadingError: unit.Inches(0.125),
			SetUps: []survey.SetUp{{ID: "1", On: "benchmark", From: unit.Feet(100), Backsight: unit.Feet(4.5), HI: unit.Feet(104.5)}}}},
		{"scope", job.Scope, survey.TearOff},
		{"rules", job.Rules, survey.RuleChoice{Name: "own", Mode: survey.Planes, Field: unit.InchesPerFoot(0.25), Valley: unit.InchesPerFoot(0.125)}},
		{"base", job.Taper.Base, survey.BaseChoice{Layers: 2, Thickness: unit.Inches(2.6)}},
		{"cover", job.Taper.Cover, unit.Inches(0.5)}, {"thickest", job.Taper.Thickest, unit.Inches(9)},
		{"axes", *job.Taper.AxesDeg, 30.0}, {"turn", job.Taper.TurnBoard, true}, {"tight", job.Taper.TightCut, true}, {"kerf", job.Taper.Kerf, unit.Inches(0.125)}, {"loose", job.Taper.LooseBoards, true}, {"sliver", job.Taper.Sliver, 4 * unit.Inch}, {"layers", job.Taper.MostLayers, 7}, {"sump", job.Taper.Sump, 8 * unit.Foot},
		{"ponds", job.Ponds, survey.PondLimits{Depth: unit.Inches(0.25), Area: unit.SquareFeet(10)}},
		{"seen depth", job.Seen[0].Depth, unit.Inches(1.25)}, {"seen hours", job.Seen[0].Hours, 40.0},
		{"edge 0", a.Edges[0], survey.Edge{Kind: survey.Parapet, Height: survey.Height{Value: unit.Inches(24), Above: survey.AboveMembrane}}},
		{"edge 1", a.Edges[1].Kind, survey.OpenEdge}, {"edge 3", a.Edges[3].Kind, survey.Parapet},
		{"outlets", len(a.Outlets), 4},
		{"gutter", a.Outlets[0], survey.Outlet{ID: "A-2", Kind: survey.GutterOutlet, At: pt(30, 40), Edge: 2,
			Inlet: survey.Height{Value: unit.Inches(1), Above: survey.AboveDeck}}},
		{"open edge", a.Outlets[1].ID, "A-1"},
		{"drain", a.Outlets[2], survey.Outlet{ID: "D1", Kind: survey.Drain, At: pt(30, 20), Edge: -1, Size: unit.Inches(4),
			Inlet: survey.Height{Value: unit.Inches(1), Above: survey.AboveDeck}, State: survey.Blocked, Reset: survey.ResetYes}},
		{"scupper", a.Outlets[3], survey.Outlet{ID: "S1", Kind: survey.Scupper, At: pt(0, 28), Edge: 3, Along: unit.Feet(12),
			Width: unit.Inches(12),
			Inlet: survey.Height{Value: unit.Inches(2), Above: survey.AboveMembrane}, Overflow: true, Unstated: true}},
		{"curb", a.Curbs[0], survey.Curb{ID: "U1", At: pt(10, 30), W: 8, D: 6, Height: survey.Height{Value: unit.Inches(14), Above: survey.AboveMembrane}}},
		{"door", a.Doors[0], survey.WallItem{ID: "E1", Edge: 3, At: pt(0, 35), Along: unit.Feet(5), Width: unit.Feet(3),
			Height: survey.Height{Value: unit.Inches(3), Above: survey.AboveMembrane}}},
		{"door of the court", a.Doors[1], survey.WallItem{ID: "E2", Edge: -1, At: pt(40, 15),
			Height: survey.Height{Value: unit.Inches(9), Above: survey.AboveDeck}}},
		{"core", a.Cores[0], survey.Core{ID: "C1", At: pt(20, 10), Thickness: unit.Inches(4.5), WetKnown: true, Roofs: 1}},
		{"shots", len(a.Shots), 4},
		{"tapered", job.Stock.Tapered[0], survey.TaperedBoard{Slope: unit.InchesPerFoot(0.25), Thin: unit.Inches(0.5), Thick: unit.Inches(1.5),
			Along: unit.Feet(4), Depth: unit.Feet(4), Price: 21.5}},
		{"flat", job.Stock.Flats[0], survey.FlatBoard{Thickness: unit.Inches(2), Along: unit.Feet(8), Depth: unit.Feet(4), Bundle: 24}},
		{"cover board", len(job.Stock.Covers), 1},
	}
	for _, c := range tests {
		if !reflect.DeepEqual(c.got, c.want) {
			t.Errorf("%s: %+v, want %+v", c.name, c.got, c.want)
		}
	}
	if e := a.Shots[0].Elev.Feet(); math.Abs(e-(100+4.50-4.80)) > 1e-9 {
		t.Errorf("shot 1 lies at %.4f ft, want 99.70", e)
	}
}

func TestJob_MetricPlan(t *testing.T) {
	text := with(soundJob, "units: us", "units: metric")
	text = with(text, "along: 12 ft", "along: 12")
	text = with(text, "rules: us-reroof", "rules: metric-falls")
	job, _ := mustRead(t, folder("job.yaml", text))
	a := job.Areas[0]
	if got, want := a.Outline[2], pt(60/0.3048, 40/0.3048); got.Dist(want) > 1e-9 {
		t.Errorf("60 x 40 m lies at %v ft, want %v", got, want)
	}
	if got, want := a.Outlets[1].At, pt(0, 28/0.3048); got.Dist(want) > 1e-9 {
		t.Errorf("12 m along lies at %v ft, want %v", got, want)
	}
	if got, want := a.Shots[1].At, pt(55/0.3048, 5/0.3048); got.Dist(want) > 1e-9 {
		t.Errorf("a shot at 55, 5 m lies at %v ft, want %v", got, want)
	}
}

func TestJob_Settings(t *testing.T) {
	job, _ := mustRead(t, folder(),
		Setting{"taper.slope", "1/8 in/ft", "flag --slope"},
		Setting{"taper.base.layers", "1", "flag --set"},
		Setting{"taper.base.thickness", "50 mm", "flag --set"},
		Setting{"survey.reading_error", "1/16 in", "environment RUNNEL_SURVEY_READING_ERROR"},
		Setting{"rules", "every-path", "flag --rules"},
		Setting{"scope", "recover", "environment RUNNEL_SCOPE"})
	if job.Taper.Slope != unit.InchesPerFoot(0.125) || job.Rules.Name != "every-path" || job.Scope != survey.Recover {
		t.Errorf("slope %v, rules %v, scope %v", job.Taper.Slope, job.Rules.Name, job.Scope)
	}
	if job.Taper.Base.Layers != 1 || math.Abs(job.Taper.Base.Thickness.Millimetres()-50) > 1e-9 {
		t.Errorf("base %+v", job.Taper.Base)
	}
	if job.Survey.ReadingError != unit.Inches(0.0625) {
		t.Errorf("reading error %v", job.Survey.ReadingError)
	}
	job, _ = mustRead(t, folder(), Setting{"survey", "none", "flag --set"})
	if !job.Survey.None || len(job.Areas[0].Shots) > 0 {
		t.Error("survey=none still has shots")
	}
}

func TestJob_BadSettings(t *testing.T) {
	for _, c := range []struct{ key, value, field, mend string }{
		{"taper.slope", "steep", "taper.slope", "write"},
		{"taper.slop", "1/4 in/ft", "taper.slop", "did you mean taper.slope"},
		{"areas", "B", "areas", "the keys are"},
		{"scope", "", "scope", "write a value"},
	} {
		job, found := Job(folder(), "job.yaml", []Setting{{c.key, c.value, "flag --set"}})
		if job != nil || len(found) != 1 {
			t.Errorf("%s=%s gave %v", c.key, c.value, found)
			continue
		}
		if p := found[0]; p.File != "flag --set" || p.Line != 0 || p.Field != c.field || !strings.Contains(p.Mend, c.mend) {
			t.Errorf("%s=%s gave %+v", c.key, c.value, p)
		}
	}
}

// A setting of a figure of rules changes the named set that the file has, as
// rules: {like: ...} does; a group that the file has no keys in takes none.
func TestJob_SettingsInAGroup(t *testing.T) {
	field := Setting{"rules.field", "3/8 in/ft", "flag --set"}
	for _, set := range [][]Setting{{field}, {{"rules", "us-reroof", "environment RUNNEL_RULES"}, field}} {
		job, _ := mustRead(t, folder(), set...)
		if r := job.Rules; r.Like != "us-reroof" || r.Field != unit.InchesPerFoot(0.375) {
			t.Errorf("rules %+v", r)
		}
	}
	hi := Setting{"survey.hi", "104 ft", "flag --set"}
	job, found := Job(folder(), "job.yaml", []Setting{{"survey", "none", "environment RUNNEL_SURVEY"}, hi})
	if job != nil || len(found) != 1 || found[0].Field != "survey.hi" || !strings.Contains(found[0].Mend, "only one of the two") {
		t.Errorf("survey=none and survey.hi gave %v", found)
	}
}

// Every key that may be set stands among the known keys of the job file.
func TestSettableKeys_AreKnown(t *testing.T) {
	for _, k := range SettableKeys() {
		parts, shapeName := strings.Split(k, "."), "file"
		for i, p := range parts {
			if !slices.Contains(strings.Fields(shapes[shapeName].now), p) {
				t.Errorf("%s: %s is no key of %s", k, p, shapeName)
			}
			if i+1 < len(parts) {
				shapeName = p
			}
		}
	}
}

// Keys of parts that are not built yet are known, and each gives one note.
func TestJob_LaterKeysGiveNotes(t *testing.T) {
	text := soundJob
	text = with(text, "scope:", "prices: p.csv\nscope:")
	text = with(text, "courts:", "walls: []\n    pipes: []\n    courts:")
	job, found := mustRead(t, folder("job.yaml", text))
	if len(found) != 3 || len(job.Notes) != 3 {
		t.Errorf("%d problems and %d notes, want 3: %v", len(found), len(job.Notes), found)
	}
	for _, p := range found {
		if !strings.Contains(p.Why, "not used yet") || p.Line == 0 || p.Grade != problem.Note {
			t.Errorf("note %+v", p)
		}
	}
}

func TestJob_WhatIsTakenForGrantedIsNoted(t *testing.T) {
	for _, c := range []struct {
		name, old, new, field, why string
		ok                         func(j *survey.Job) bool
	}{
		{"no scope", "scope: tear-off\n", "", "scope", "tear-off is taken", func(j *survey.Job) bool { return j.Scope == survey.TearOff }},
		{"no rules", "rules: us-reroof\n", "", "rules", "us-reroof is taken", func(j *survey.Job) bool { return j.Rules.Name == "us-reroof" }},
		{"no scheme", "  scheme: four-way\n", "", "taper.scheme", "four-way is laid out", func(j *survey.Job) bool { return j.Taper.Scheme == survey.FourWay }},
		{"no R of an inch", "scope: tear-off\n", "scope: tear-off\nthermal: {required_r: 30, r_rule: average}\n", "thermal.r_per_inch", "5.7 is taken",
			func(j *survey.Job) bool {
				return *j.Thermal == survey.Thermal{RequiredR: 30, Rule: survey.AverageR, RPerInch: 5.7}
			}},
		{"lines without taper", "taper:\n  scheme: four-way\n  slope: 1/4 in/ft\n  start: 1/2 in\n", "lines: [{kind: ridge, at: [[33,0], [33,40]]}]\n",
			"lines", "not used", func(j *survey.Job) bool { return len(j.Lines) == 1 }},
		{"no name", "name: Sound, ", "", "job.name", "no name", func(j *survey.Job) bool { return j.Name != "" }},
		{"scupper without width", "width: 12 in, ", "", "areas[0].outlets[1].width", "12 in is taken",
			func(j *survey.Job) bool { return j.Areas[0].Outlets[1].Width == unit.Inches(12) }},
		{"first vertex again", "[0,40]]", "[0,40], [0,0]]", "areas[0].outline[4]", "said again", func(j *survey.Job) bool { return len(j.Areas[0].Outline) == 4 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, found := mustRead(t, jobWith(c.old, c.new))
			if len(found) != 1 || found[0].Field != c.field || !strings.Contains(found[0].Why, c.why) {
				t.Errorf("problems %v", found)
			}
			if !c.ok(job) {
				t.Error("the job does not have it")
			}
		})
	}
}

func TestJob_NoSchemeTakesOneWayWhereNoDrainIs(t *testing.T) {
	text := with(soundJob, "  scheme: four-way\n", "")
	text = with(text, "      - {id: D1, kind: drain, at: [30,20], size: 4 in}\n", "      - {id: S2, kind: scupper, edge: 1, along: 12 ft, width: 12 in}\n")
	if job, _ := mustRead(t, folder("job.yaml", text)); job.Taper.Scheme != survey.OneWay {
		t.Errorf("scheme %v", job.Taper.Scheme)
	}
}

func TestJob_ShotsOffTheRoofAreKeptAndNoted(t *testing.T) {
	strays := "7,70,20,4.8,RF\n8,45,15,4.8,RF\n9,0,10,4.8,RF\n10,60.01,10,4.8,RF\n"
	job, found := mustRead(t, folder("shots.csv", soundShots+strays))
	var left []string
	for _, s := range job.Areas[0].Shots {
		if s.Left != "" {
			left = append(left, s.ID+" "+s.Left)
		}
	}
	want := []string{"7 lies outside the outline", "8 lies in court 0"}
	if !slices.Equal(left, want) || len(found) != 2 || len(job.Areas[0].Shots) != 8 {
		t.Errorf("left out %v of %d, want %v; %v", left, len(job.Areas[0].Shots), want, found)
	}
	many := strings.Builder{}
	for i := range 100 {
		fmt.Fprintf(&many, "%d,%d,90,4.8,RF\n", 100+i, i)
	}
	_, found = mustRead(t, folder("shots.csv", soundShots+many.String()))
	if len(found) != told+1 || !slices.ContainsFunc(found, func(p problem.Problem) bool { return strings.Contains(p.Why, "80 more shots") }) {
		t.Errorf("%d notes, want %d", len(found), told+1)
	}
}

func TestJob_TwoAreasShareTheShots(t *testing.T) {
	fsys := folder("job.yaml", soundJob+secondArea("B", 60),
		"shots.csv", "x,y,rod,area\n5,5,4.8,\n55,5,4.8,\n60,20,4.8,A\n60,20,5.1,B\n90,5,5,\n90,35,5.1,\n5,35,4.9,A\n")
	job, found := mustRead(t, fsys)
	if a, b := len(job.Areas[0].Shots), len(job.Areas[1].Shots); a != 4 || b != 3 || len(found) > 0 {
		t.Errorf("areas have %d and %d shots, want 4 and 3; %v", a, b, found)
	}
}

// The places that bands tell must be those that plain tests of the rings tell.
func TestBands_AgreeWithRings(t *testing.T) {
	a := &areaRead{Area: survey.Area{
		Outline: geom.Ring{pt(0, 0), pt(50, -5), pt(60, 40), pt(33, 18), pt(20, 44), pt(-7, 30)},
		Courts:  []geom.Ring{{pt(10, 10), pt(18, 9), pt(20, 20), pt(12, 18)}, {pt(40, 5), pt(45, 5), pt(44, 9)}},
	}}
	b := newBands(a, nearFt)
	count := map[string]int{}
	for i := range 200 {
		for j := range 160 {
			p := pt(-10+0.377*float64(i), -8+0.341*float64(j))
			if near := math.Min(a.Outline.Dist(p), math.Min(a.Courts[0].Dist(p), a.Courts[1].Dist(p))); math.Abs(near-nearFt) < 1e-9 {
				continue
			}
			got, want := b.off(p, nearFt), a.off(p)
			if got != want {
				t.Fatalf("(%.3f, %.3f): %q, by the rings %q", p.X, p.Y, got, want)
			}
			count[got]++
		}
	}
	if len(count) != 4 {
		t.Errorf("the lattice met %v, want all four answers", count)
	}
}

// A job file gives the same job twice, problems in the same order.
func TestJob_SameTwice(t *testing.T) {
	fsys := folder("job.yaml", with(soundJob, "at: [30,20]", "at: [30,90], colour: red"), "shots.csv", "x,y,rod\n1,2,a\n3,b,4\n")
	_, first := Job(fsys, "job.yaml", nil)
	for range 20 {
		if _, again := Job(fsys, "job.yaml", nil); !slices.Equal(first, again) {
			t.Fatalf("%v, then %v", first, again)
		}
	}
	if len(first) != 4 {
		t.Errorf("%d problems, want 4: %v", len(first), first)
	}
}

func TestJob_InAFolder(t *testing.T) {
	fsys := fstest.MapFS{}
	for name, f := range folder() {
		fsys["jobs/annex/"+name] = f
	}
	if _, found := Job(fsys, "jobs/annex/job.yaml", nil); len(found) > 0 {
		t.Error(found)
	}
}

func TestStarter_RunsWithoutProblems(t *testing.T) {
	fsys := fstest.MapFS{}
	err := WriteStarter(func(name string, data []byte) error {
		fsys[name] = &fstest.MapFile{Data: data}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	job, found := mustRead(t, fsys)
	if len(found) > 0 || job.Taper == nil {
		t.Errorf("the starter gives %v", found)
	}
	n, lowest := len(job.Areas[0].Shots), job.Areas[0].Shots[0]
	for _, s := range job.Areas[0].Shots {
		if s.Elev < lowest.Elev {
			lowest = s
		}
	}
	if n < 30 || n > 40 || lowest.At.Dist(pt(12, 12)) > 1 && lowest.At.Dist(pt(30, 20)) > 1 {
		t.Errorf("%d shots, the lowest at %v", n, lowest.At)
	}
}

func TestStarter_PassesOnAnError(t *testing.T) {
	if err := WriteStarter(func(string, []byte) error { return os.ErrPermission }); err != os.ErrPermission {
		t.Errorf("error %v", err)
	}
}

// The jobs of the repository are sound.
func TestRepositoryJobs_AreSound(t *testing.T) {
	root := os.DirFS("../../testdata/jobs")
	names, err := os.ReadDir("../../testdata/jobs")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		if _, found := Job(root, path.Join(n.Name(), "job.yaml"), nil); found.Err() != nil {
			t.Errorf("%s: %v", n.Name(), found)
		}
	}
}

// A header in words that are not known is no record where the job names the
// columns: nor is one before numbers with decimal commas.
func TestJob_ColumnsOverAForeignHeader(t *testing.T) {
	text := with(soundJob, "  reading: rod\n", "  reading: rod\n  columns: [point, x, y, rod]\n")
	for _, list := range []string{
		"Punkt;Rechtswert;Hochwert;Latte\n1;5;5;4,80\n2;55;5;4,82\n3;55;35;4,79\n4;5;20;4,85\n",
		"1;5;5;4,80\n2;55;5;4,82\n3;55;35;4,79\n4;5;20;4,85\n",
	} {
		job, found := mustRead(t, folder("job.yaml", text, "shots.csv", list))
		if n := len(job.Areas[0].Shots); n != 4 || len(found) > 0 {
			t.Errorf("%d shots of %q: %v", n, list, found)
		}
	}
	text = with(soundJob, "  reading: rod\n", "  reading: rod\n  columns: [point, up, y, rod]\n")
	if _, found := Job(folder("job.yaml", text), "job.yaml", nil); !strings.Contains(fmt.Sprint(found), "x (or e), y (or n)") {
		t.Errorf("an unknown column: %v", found)
	}
}
