package pipeline

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/read"
	"runnel/taper/ladder"
)

// written is a job read from text, its one area shot every stepFt by z in
// inches.
func written(t testing.TB, text string, w, d, stepFt float64, z func(p geom.Pt) float64) *survey.Job {
	t.Helper()
	var b strings.Builder
	b.WriteString("x,y,z\n")
	for x := 0.0; x <= w; x += stepFt {
		for y := 0.0; y <= d; y += stepFt {
			fmt.Fprintf(&b, "%g,%g,%.7f\n", x, y, 100+z(geom.Pt{X: x, Y: y})/12)
		}
	}
	fsys := fstest.MapFS{"job.yaml": {Data: []byte(text)}, "shots.csv": {Data: []byte(b.String())}}
	job, found := read.Job(fsys, "job.yaml", nil)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return job
}

const shotAt = "survey: {shots: shots.csv, surface: membrane, reading: elevation, unit: ft, reading_error: 1/32 in}\n"

// lacks names the first of some words that a text does not hold; "" if none.
func lacks(text string, words ...string) string {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return w
		}
	}
	return ""
}

// TestExceptionThroughTheRun: a roof of 1/8 in/ft to a gutter, which its owner
// saw dry after 48 h, is below the design slope of 1/4, the re-roof exception may
// apply, taper is optional, and nothing is said to fail. With a pond of 60 sq ft
// and 1 in the exception is not supported, and the smallest fix comes first: a
// local fill, or, where a drain stands proud in it, that drain.
func TestExceptionThroughTheRun(t *testing.T) {
	const text = "job: {name: Wren yard, units: us}\n" + shotAt + "rules: us-reroof-drained\n%s" +
		"areas:\n  - name: A\n    outline: [[0,0], [60,0], [60,40], [0,40]]\n    edges: [{edge: 0, kind: gutter}]\n%s"
	eighth := func(p geom.Pt) float64 { return p.Y / 8 }
	radius := math.Sqrt(60 / math.Pi)
	at := geom.Pt{X: 30, Y: 20}
	dish := func(p geom.Pt) float64 { // its water's edge where the plane is lowest
		d := p.Dist(at) / radius
		return math.Min(eighth(p), eighth(geom.Pt{Y: at.Y - radius})-1+d*d)
	}
	const sawDry = "seen: [{pond: [[20,10], [40,10], [40,30], [20,30]], depth: 0 in, hours: 48}]\n"
	job := written(t, fmt.Sprintf(text, sawDry, ""), 60, 40, 5, eighth)
	a := runJob(t, job).Areas[0]
	told := reportOf(t, job)
	if a.Existing.MeetsDesign != drainage.FallsShort || a.Existing.PondsFree != drainage.Meets || a.Rung != ladder.DrainsAsIs {
		t.Errorf("dry: slope %v, water %v, rung %v", a.Existing.MeetsDesign, a.Existing.PondsFree, a.Rung)
	}
	if w := lacks(told, "below the design slope of 1/4 in/ft", "re-roof exception", "may apply", "taper is optional", "seen dry"); w != "" {
		t.Errorf("dry: the report lacks %q:\n%s", w, told)
	}
	head, _, _ := strings.Cut(told, "Cautions")
	if strings.Contains(head, "fails") {
		t.Errorf("dry: it is said to fail:\n%s", head)
	}
	for _, c := range []struct {
		outlets, says string
		rung          ladder.Rung
	}{
		{"", "fill", ladder.FillLows},
		{"    outlets: [{id: D1, kind: drain, at: [30, 20], flange: 1 in, above: membrane}]\n", "set D1", ladder.Sump},
	} {
		job = written(t, fmt.Sprintf(text, "", c.outlets), 60, 40, 2, dish)
		a, told = runJob(t, job).Areas[0], reportOf(t, job)
		if a.Rung != c.rung || len(a.Existing.Ponds) != 1 {
			t.Fatalf("wet: rung %v, %d ponds: %s", a.Rung, len(a.Existing.Ponds), a.Why)
		}
		if p := a.Existing.Ponds[0]; math.Abs(p.DepthIn-1) > 0.15 || math.Abs(p.SqFt-60) > 10 {
			t.Errorf("a pond of %g sq ft, %g in", p.SqFt, p.DepthIn)
		}
		if w := lacks(told, "is not supported", c.says); w != "" || strings.Contains(told, "taper is optional") {
			t.Errorf("wet: the report lacks %q:\n%s", w, told)
		}
	}
}

// TestLevelGutterThroughTheRun: a valley that lies level between two drains,
// under the set that forbids level gutters: it falls short, and the report names
// the set and quotes its source.
func TestLevelGutterThroughTheRun(t *testing.T) {
	const text = "job: {name: Wren yard, units: us}\n" + shotAt + "rules: no-level-gutter\nareas:\n  - name: A\n" +
		"    outline: [[0,0], [60,0], [60,40], [0,40]]\n    outlets:\n      - {id: D1, kind: drain, at: [15,20]}\n      - {id: D2, kind: drain, at: [45,20]}\n"
	job := written(t, text, 60, 40, 5, func(p geom.Pt) float64 { return 0.25 * math.Abs(p.Y-20) })
	f := judgedBy(t, runJob(t, job).Areas[0].Existing.Findings, "gutter")
	if f.Verdict != drainage.FallsShort || f.Where != "D1 to D2" {
		t.Errorf("%+v", f)
	}
	if told := reportOf(t, job); lacks(told, "gutter D1 to D2: needs", "(no-level-gutter)", "falls short", "no level gutter lines between drains") != "" {
		t.Errorf("the report lacks %q:\n%s", lacks(told, "gutter D1 to D2: needs", "(no-level-gutter)", "falls short",
			"no level gutter lines between drains"), told)
	}
}

// TestOverflowUnderADesign: an overflow scupper 2 in above an old level roof.
// Taper of so much there, toward a drain that is set anew, brings the roof to
// the scupper's height or buries it: as the roof is it protects, as designed it
// does not, and the depth to the parapet of 12 in and 5.2 psf an inch are told.
func TestOverflowUnderADesign(t *testing.T) {
	const text = "job: {name: Wren yard, units: us}\n" + shotAt + "scope: recover\nrules: us-reroof\nrain: {rate: 3.2 in/h, overflow_rate: 6.4 in/h}\n" +
		"taper: {scheme: four-way, slope: 1/4 in/ft, start: %s}\nareas:\n  - name: A\n    outline: [[0,0], [12,0], [12,12], [0,12]]\n" +
		"    edges: [{edge: 0, kind: parapet, height: 12 in, above: membrane}, {edge: 1, kind: parapet, height: 12 in, above: membrane},\n" +
		"      {edge: 2, kind: parapet, height: 12 in, above: membrane}, {edge: 3, kind: parapet, height: 12 in, above: membrane}]\n" +
		"    outlets:\n      - {id: D1, kind: drain, at: [6,6], size: 4 in, reset: yes}\n" +
		"      - {id: O1, kind: scupper, edge: 0, along: 6 ft, width: 12 in, height: 4 in, inlet: 2 in, above: membrane, overflow: true}\n"
	for _, c := range []struct {
		start   string
		startIn float64
		words   string
	}{
		{"1/2 in", 0.5, "whose inlet lies at the surface beside it"}, // 1/2 in + 6 ft at 1/4 in/ft: 2 in there
		{"2 in", 2, "O1 is buried: its inlet lies 1 "},               // 3-1/2 in, up to 1-1/2 over it
	} {
		job := written(t, fmt.Sprintf(text, c.start), 12, 12, 3, func(geom.Pt) float64 { return 0 })
		a := runJob(t, job).Areas[0]
		was, now := a.Rain[0].Bays[0], a.Rain[1].Bays[0]
		near(t, "ds as it is", was.DsIn, 2)
		near(t, "depth to the parapet as it is", was.ParapetIn, 12)
		near(t, "psf to the parapet as it is", was.ParapetPsf, 62.4)
		// The lowest roof lies at the drain, c.startIn up.
		if math.Abs(now.ParapetIn-(12-c.startIn)) > 1./16 || math.Abs(now.ParapetPsf-5.2*now.ParapetIn) > 1e-9 {
			t.Errorf("start %s: %g in to the parapet, %g psf", c.start, now.ParapetIn, now.ParapetPsf)
		}
		// A height that is exactly the least allowed is too close to call on shots.
		if was.Protects != drainage.TooClose || now.Protects != drainage.FallsShort || !strings.Contains(now.Why, c.words) {
			t.Errorf("start %s: %v as it is, as designed %v: %s", c.start, was.Protects, now.Protects, now.Why)
		}
		if !strings.Contains(reportOf(t, job), c.words) {
			t.Errorf("start %s: the report lacks %q", c.start, c.words)
		}
	}
}

// TestOverflowsOfFourWay: 40 x 60 ft, four planes of 1/4 in/ft from 1/2 in at
// the middle drain, 6.4 in/h on 2,400 sq ft: 159.6 gpm. An overflow of 12 x 4 in
// in the middle of a long wall stands flush with the finished surface there, 5.0
// in over the drain: dh 2.76, 40.4 psf; 2 in above it 50.8; an overflow drain 2 in above
// the low point: dh 1.88, 20.2. The wall scuppers do not protect; all of it goes
// to the engineer.
func TestOverflowsOfFourWay(t *testing.T) {
	const text = "job: {name: Wren yard, units: us}\nsurvey: {shots: shots.csv, surface: deck, reading: elevation, unit: ft}\n" +
		"rules: us-reroof\nrain: {rate: 3.2 in/h, overflow_rate: 6.4 in/h}\n" +
		"taper: {scheme: four-way, slope: 1/4 in/ft, start: 1/2 in}\nareas:\n  - name: A\n    outline: [[0,0], [60,0], [60,40], [0,40]]\n" +
		"    outlets:\n      - {id: D1, kind: drain, at: [30,20], size: 4 in, reset: yes}\n      - {id: O1, %s, overflow: true}\n"
	const scupper = "kind: scupper, edge: 0, along: 30 ft, width: 12 in, height: 4 in, inlet: %g in, above: deck"
	for _, c := range []struct {
		overflow    string
		ds, dh, psf float64
		verdict     drainage.Verdict
		words       string
	}{
		{fmt.Sprintf(scupper, 5.5), 5, 2.76, 40.4, drainage.FallsShort, "does not protect"},
		{fmt.Sprintf(scupper, 7.5), 7, 2.76, 50.8, drainage.FallsShort, "does not protect"},
		{"kind: drain, at: [32,20], size: 4 in, flange: 2.5 in, above: deck, reset: no", 2, 1.88, 20.2, drainage.Meets, "protects"},
	} {
		job := written(t, fmt.Sprintf(text, c.overflow), 60, 40, 10, func(geom.Pt) float64 { return 0 })
		a := runJob(t, job).Areas[0]
		out := a.Rain[1]
		if len(out.Bays) != 1 {
			t.Fatalf("%s: bays %+v", c.overflow, out.Bays)
		}
		b := out.Bays[0]
		for what, v := range map[string][3]float64{"gpm": {out.Outlets[1].Gpm, 159.6, 0.05}, "ds": {b.DsIn, c.ds, 0.02},
			"dh": {b.DhIn, c.dh, 0.005}, "psf": {b.LoadPsf, c.psf, 0.15}} {
			if math.Abs(v[0]-v[1]) > v[2] {
				t.Errorf("%s: %s %g, want %g", c.overflow, what, v[0], v[1])
			}
		}
		if page := strings.Join(a.Structure.Findings, "\n"); b.Protects != c.verdict || !strings.Contains(page, c.words) {
			t.Errorf("%s: %v, the page for the engineer says\n%s", c.overflow, b.Protects, page)
		}
	}
}

// TestCoveredOverflows: the overflow scuppers are covered and the one drain takes
// a quarter of what it must; 12,000 sq ft at 3.2 in/h are 399 gpm. Uncovered, the
// scuppers stand 12 in up, three times the 4 that the rules allow. The report
// and the page for the engineer say both, with the depth and load to the parapet.
func TestCoveredOverflows(t *testing.T) {
	const text = "job: {name: Wren yard, units: us}\n" + shotAt + "rules: us-reroof\nrain: {rate: 3.2 in/h, overflow_rate: 6.4 in/h}\n" +
		"areas:\n  - name: A\n    outline: [[0,0], [120,0], [120,100], [0,100]]\n" +
		"    edges: [{edge: 0, kind: parapet, height: 1224 in, above: elevation}]\n" +
		"    outlets:\n      - {id: D1, kind: drain, at: [60,50], capacity: [[1 in, 50 gpm], [2 in, 99.7 gpm]]}\n" +
		"      - {id: O1, kind: scupper, edge: 0, along: 60 ft, width: 24 in, height: 6 in, inlet: 1212 in, above: elevation, overflow: true, state: %s}\n"
	z := func(p geom.Pt) float64 { return 0.05 * math.Max(math.Abs(p.X-60), math.Abs(p.Y-50)) }
	for state, words := range map[string][]string{
		"blocked": {"no overflow lets the water go: O1 is blocked; it would run over the lowest parapet", "99.7 gpm at most"},
		"works":   {"O1 does not protect, ", "over the lowest outlet for the 4\" that us-reroof allows", "99.7 gpm at most"},
	} {
		job := written(t, fmt.Sprintf(text, state), 120, 100, 10, z)
		a := runJob(t, job).Areas[0]
		d1 := a.Rain[0].Outlets[0]
		if r := d1.Gpm / d1.CapacityGpm; math.Abs(r-4) > 0.02 || d1.Verdict != drainage.FallsShort {
			t.Errorf("%s: %g gpm for %g, %v", state, d1.Gpm, d1.CapacityGpm, d1.Verdict)
		}
		// The shots round off the funnel at the drain by an eighth of an inch.
		b := a.Rain[0].Bays[0]
		if b.Protects != drainage.FallsShort || math.Abs(b.ParapetIn-24) > 0.2 || math.Abs(b.ParapetPsf-5.2*b.ParapetIn) > 1e-9 ||
			state == "works" && math.Abs(b.DsIn-12) > 0.2 {
			t.Errorf("%s: %+v", state, b)
		}
		told := reportOf(t, job)
		for _, w := range words {
			if !strings.Contains(told, w) {
				t.Errorf("%s: the report lacks %q:\n%s", state, w, told)
			}
		}
		if page := strings.Join(a.Structure.Findings, "\n"); !strings.Contains(page, words[0]) {
			t.Errorf("%s: the page for the engineer lacks %q:\n%s", state, words[0], page)
		}
	}
}
