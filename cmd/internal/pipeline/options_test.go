package pipeline

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/read"
	"runnel/survey/unit"
	"runnel/taper"
)

// jobOf reads a job from its text alone.
func jobOf(t testing.TB, text string) *survey.Job {
	t.Helper()
	job, found := read.Job(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml", nil)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return job
}

// twoDrains is a level roof of 120 x 60 ft with drains at (30,30) and (90,30).
func twoDrains(t testing.TB, rules string) *survey.Job {
	return jobOf(t, "job: {name: Kestrel store, units: us}\nsurvey: none\nrules: "+rules+"\n"+
		"taper: {scheme: compare, slope: 1/4 in/ft, start: 1/2 in}\nareas:\n  - name: A\n"+
		"    outline: [[0,0], [120,0], [120,60], [0,60]]\n"+
		"    outlets: [{id: D1, kind: drain, at: [30,30]}, {id: D2, kind: drain, at: [90,30]}]\n")
}

// optionNamed is an option of the first area by its name.
func optionNamed(t testing.TB, r *render.Result, name string) taper.Option {
	t.Helper()
	var names []string
	for _, o := range r.Areas[0].Options {
		if o.Name == name {
			return o
		}
		names = append(names, o.Name)
	}
	t.Fatalf("no option %q among %q", name, names)
	return taper.Option{}
}

// boardFeet of a design, by its planes.
func boardFeet(o taper.Option) float64 { return o.Design.Insulation.CuFt * 12 }

// TestOptions_TwoDrains: two drains in a roof of 120 x 60 ft. Four-way from 1/2
// in takes 7,200 (1/2 + 1/4 x 20) = 39,600 board feet, since the mean of max(|x|,
// |y|) over a square of half side 30 is 2/3 of 30. Two-way takes 7,200 (1/2 + 1/4
// x 15) = 30,600 and eight quarter crickets H = 30, W = 17.32 on top. Each is a
// pyramid over the triangle H W/2, c H sin a high, tan a = W/H: 5,196 for W = 30
// tan 30 and c = 1/2, 35,796 in all (published with the case). The program rounds W up to 17.5
// ft, and the valleys, s sin a, from 0.125 to 0.12597. Both pass 1/8 in valleys.
func TestOptions_TwoDrains(t *testing.T) {
	r := runJob(t, twoDrains(t, "us-reroof"))
	crickets := func(w float64) float64 { return 8 * 30 * w / 2 / 3 * 0.5 * 30 * w / math.Hypot(30, w) }
	near(t, "published crickets", math.Round(crickets(30*math.Tan(math.Pi/6))), 5196)
	near(t, "four-way", boardFeet(optionNamed(t, r, "four-way 1/4 in/ft")), 39600)
	near(t, "two-way bare", boardFeet(optionNamed(t, r, "two-way 1/4 in/ft, no crickets")), 30600)
	two := optionNamed(t, r, "two-way 1/4 in/ft, crickets")
	near(t, "two-way", boardFeet(two), 30600+crickets(17.5))
	near(t, "crickets' valleys", two.Measure.FlattestValley.InchesPerFoot(), 0.25*17.5/math.Hypot(30, 17.5))
	if two.Measure.AngledRows == 0 || optionNamed(t, r, "four-way 1/4 in/ft").Measure.AngledRows != 0 {
		t.Error("rows of crickets lie off the axes, those of four-way along them")
	}
	var order []string
	for _, o := range r.Areas[0].Options {
		order = append(order, fmt.Sprintf("%s %v", o.Name, o.Does()))
	}
	want := []string{"two-way 1/4 in/ft, crickets true", "four-way 1/4 in/ft true", "two-way 1/4 in/ft, no crickets false"}
	if !slices.Equal(order, want) || r.Areas[0].Chosen != 0 || r.Areas[0].Recommended != -1 {
		t.Errorf("%q, chosen %d, recommended %d", order, r.Areas[0].Chosen, r.Areas[0].Recommended)
	}
	told := reportOf(t, twoDrains(t, "us-reroof"))
	if w := lacks(told, "Of 3 ways to taper it that were tried 2 pass by geometry", "Options", "None: boards have no prices", "four-way -42 +3,709", "no crickets -296 -5,291"); w != "" {
		t.Errorf("the report lacks %q", w)
	}
}

// TestOptions_ValleyTarget: by rules that want 0.150 in valleys the two-way with
// crickets sized for 1/8 falls short; crickets sized for 0.150 pass.
func TestOptions_ValleyTarget(t *testing.T) {
	job := twoDrains(t, "{like: us-reroof, valley: 0.15 in/ft}")
	job.Taper.Scheme = survey.TwoWayCrickets
	job.Taper.Cricket.Valley = unit.InchesPerFoot(0.125)
	o := runJob(t, job).Areas[0].Options[0]
	if o.Proof.Valley != drainage.FallsShort || o.Passes() {
		t.Errorf("valleys of %v: %v", o.Measure.FlattestValley.InchesPerFoot(), o.Proof.Valley)
	}
	job.Taper.Cricket.Valley = 0
	if o = runJob(t, job).Areas[0].Options[0]; !o.Passes() {
		t.Errorf("valleys of %v: %s", o.Measure.FlattestValley.InchesPerFoot(), o.Why)
	}
}

// TestOptions_EveryPath: a roof of 40 x 60 ft with its drain in the middle. By the
// rule of every path planes of 1/4 fall short on their valleys by geometry, and
// the slope that would pass is named, 0.354; the least of the stock is 3/8. By
// the rule of planes, field 1/4 and valley 1/8, planes of 1/4 pass.
func TestOptions_EveryPath(t *testing.T) {
	text := func(rules string) string {
		return "job: {name: Kestrel store, units: us}\nsurvey: none\nrules: " + rules + "\n" +
			"taper: {scheme: compare, slope: 1/4 in/ft, start: 1/2 in}\nareas:\n  - name: A\n" +
			"    outline: [[0,0], [60,0], [60,40], [0,40]]\n    outlets: [{id: D1, kind: drain, at: [30,20]}]\n"
	}
	r := runJob(t, jobOf(t, text("every-path")))
	flat := optionNamed(t, r, "four-way 1/4 in/ft")
	if flat.Passes() || !strings.Contains(flat.Why, "would have to slope 0.3536 in/ft") || flat.Proof.Field != drainage.Meets {
		t.Errorf("passes %v: %s", flat.Passes(), flat.Why)
	}
	if o := optionNamed(t, r, "four-way 3/8 in/ft"); !o.Does() {
		t.Errorf("3/8: %s", o.Why)
	}
	if o := optionNamed(t, r, "eight-way 1/4 in/ft"); o.CanBeChosen() || o.Passes() {
		t.Error("eight-way of 1/4 is for comparison, and its valleys slope 0.231")
	}
	r = runJob(t, jobOf(t, text("us-reroof")))
	if o := optionNamed(t, r, "four-way 1/4 in/ft"); !o.Does() {
		t.Errorf("planes: %s", o.Why)
	}
	if o := optionNamed(t, r, "four-way 1/4 in/ft, equal edges"); math.Abs(boardFeet(o)-13200) > 1e-6 {
		t.Errorf("equal edges take %g board feet, want 13,200", boardFeet(o))
	}
}

// TestOptions_LeastPossible: by the rule of every path four-way planes of stock
// 3/8 take about 1.31 times the least possible above the start (1.5 times what
// equal planes take against a cone, 0.87124 on a square), and facets in eight directions,
// made to order so that their valleys have 1/4, at most 1.10 times.
func TestOptions_LeastPossible(t *testing.T) {
	r := runJob(t, twoDrains(t, "every-path"))
	startCuFt := 7200 * 0.5 / 12
	// A cone over a square of half side 30: mean distance 0.7651957 x 30 (mathematics).
	leastCuFt := 7200 * 0.25 * 0.7651957 * 30 / 12
	above := func(o taper.Option) float64 { return (o.Design.Insulation.CuFt - startCuFt) / leastCuFt }
	four := above(optionNamed(t, r, "four-way 3/8 in/ft"))
	if math.Abs(four-1.5*0.87124) > 1e-4 {
		t.Errorf("four-way of 3/8 takes %.5f times the least", four)
	}
	eight := optionNamed(t, r, "eight-way 0.271 in/ft")
	if !eight.Passes() || eight.CanBeChosen() {
		t.Errorf("eight-way: %s", eight.Why)
	}
	if x := above(eight); x >= 1.10 || x < 1 {
		t.Errorf("eight-way takes %.5f times the least", x)
	}
	best := r.Areas[0].Options[0]
	if !best.Does() || above(best) >= four+1e-9 && best.Name != "four-way 3/8 in/ft" {
		t.Errorf("the first is %s, %.3f times the least", best.Name, above(best))
	}
}

// TestOptions_Prices: with a price on every board the cheapest that passes is
// recommended and shown, by the sum of boards to order times price; one board
// without a price that is ordered, and nothing is.
func TestOptions_Prices(t *testing.T) {
	job := twoDrains(t, "us-reroof")
	stock := *taper.DefaultStock(unit.US)
	stock.Tapered, stock.Flats = slices.Clone(stock.Tapered), slices.Clone(stock.Flats)
	for n := range stock.Tapered {
		stock.Tapered[n].Price = 20
		if stock.Tapered[n].Slope == unit.InchesPerFoot(0.5) {
			stock.Tapered[n].Price = 100 // crickets are dear, so four-way is cheaper
		}
	}
	stock.Strips = slices.Clone(stock.Strips)
	for n := range stock.Strips {
		stock.Strips[n].Price = 5
	}
	for n := range stock.Flats {
		stock.Flats[n].Price = 12
	}
	job.Stock = &stock
	a := runJob(t, job).Areas[0]
	if a.Recommended < 0 || a.Chosen != a.Recommended || a.Options[a.Recommended].Name != "four-way 1/4 in/ft" {
		t.Fatalf("chosen %d, recommended %d", a.Chosen, a.Recommended)
	}
	sum := 0.0
	for _, c := range a.Design.Counts {
		sum += float64(c.ToOrder) * map[bool]float64{true: 20, false: 12}[c.Type == taper.TaperedType]
	}
	near(t, "cost", a.Options[a.Chosen].Measure.Cost, sum)
	stock.Flats = slices.Clone(stock.Flats)
	for n := range stock.Flats {
		stock.Flats[n].Price = 0
	}
	if a = runJob(t, job).Areas[0]; a.Recommended != -1 || a.Options[0].Measure.Priced {
		t.Errorf("recommended %d without the price of fill", a.Recommended)
	}
}

// TestOptions_NewDrain: a roof of 60 x 60 ft whose one drain stands in a corner
// gets thicker than allowed. One drain more, where it shortens the longest way
// most, is told beside the others and never chosen. Crickets between the two are
// thicker than what it saves: with them it is left out.
func TestOptions_NewDrain(t *testing.T) {
	with := func(crickets string) *render.Result {
		return runJob(t, jobOf(t, "job: {name: Kestrel store, units: us}\nsurvey: none\nrules: us-reroof\n"+
			"taper: {scheme: compare, slope: 1/4 in/ft, start: 1/2 in, thickest: 10 in"+crickets+"}\nareas:\n  - name: A\n"+
			"    outline: [[0,0], [60,0], [60,60], [0,60]]\n    outlets: [{id: D1, kind: drain, at: [10,10]}]\n"))
	}
	for _, o := range with("").Areas[0].Options {
		if len(o.Added) > 0 {
			t.Errorf("a drain that helps nothing is told: over by %v", o.Design.OverThickest)
		}
	}
	a := with(", cricket: none").Areas[0]
	n := slices.IndexFunc(a.Options, func(o taper.Option) bool { return len(o.Added) > 0 })
	if n < 0 || a.Chosen == n {
		t.Fatalf("new drain at %d, chosen %d", n, a.Chosen)
	}
	o := a.Options[n]
	if with, before := o.Design.Insulation.ThickestIn, a.Design.Insulation.ThickestIn; with >= before-1 {
		t.Errorf("the insulation is %.2f in thick with a drain more, %.2f before", with, before)
	}
	for _, p := range []geom.Pt{{}, {X: 60}, {X: 60, Y: 60}, {Y: 60}} {
		if o.Added[0].At.Dist(p) < 2 {
			t.Errorf("the new drain stands in a corner, at %v", o.Added[0].At)
		}
	}
}

// TestOptions_Table: the columns that are promised, the same bytes each time, and
// the same figures however the roof lies on the sheet.
func TestOptions_Table(t *testing.T) {
	table := func(job *survey.Job) (string, [][]string) {
		var b bytes.Buffer
		if err := render.WriteOptionsCSV(&b, runJob(t, job)); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return b.String(), rows
	}
	job := twoDrains(t, "us-reroof")
	text, rows := table(job)
	const promised = "area,option,scheme,slope_in_per_ft,boards,board_feet,cut_feet,cost,thickest_in,ponds_left,below_minimum_pct,passes"
	if !strings.HasPrefix(text, promised) || len(rows) != 4 {
		t.Fatalf("table:\n%s", text)
	}
	if again, _ := table(job); again != text {
		t.Errorf("another run gives\n%s\nfor\n%s", again, text)
	}
	for name, f := range map[string]func(geom.Pt) geom.Pt{
		"turned":   geom.Frame{Turn: math.Pi / 2, Origin: geom.Pt{X: 700, Y: 40}}.ToJob,
		"mirrored": func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} },
		"askew":    geom.Frame{Turn: 17 * math.Pi / 180}.ToJob,
	} {
		_, got := table(moved(job, f, name == "mirrored", 0))
		for i := range rows {
			if i < len(got) && !slices.Equal(got[i][:2], rows[i][:2]) || len(got) != len(rows) || got[i][4] != rows[i][4] ||
				got[i][16] != rows[i][16] || got[i][17] != rows[i][17] {
				t.Fatalf("%s: line %q, want %q", name, got[i], rows[i])
			}
		}
	}
}

// TestOptions_CricketsOnly: a deck that falls 1/4 in/ft from both long walls to a
// level line with two drains in it takes crickets on one layer of half an inch,
// 3,600 board feet and the eight quarter crickets of TestOptions_TwoDrains; boards
// two ways would come out as the same and are not told again. A level deck is
// not offered that.
func TestOptions_CricketsOnly(t *testing.T) {
	text := "job: {name: Kestrel store, units: us}\n" + strings.Replace(shotAt, "membrane", "deck", 1) +
		"rules: us-reroof\ntaper: {scheme: compare, slope: 1/4 in/ft, start: 1/2 in}\nareas:\n  - name: A\n" +
		"    outline: [[0,0], [120,0], [120,60], [0,60]]\n    breaklines: [[[0,30], [120,30]]]\n" +
		"    outlets: [{id: D1, kind: drain, at: [30,30]}, {id: D2, kind: drain, at: [90,30]}]\n"
	r := runJob(t, written(t, text, 120, 60, 5, func(p geom.Pt) float64 { return math.Abs(p.Y-30) / 4 }))
	a := r.Areas[0]
	o := optionNamed(t, r, "crickets-only")
	if !o.Does() || a.Options[a.Chosen].Name != o.Name || math.Abs(boardFeet(o)-3600-5290.65) > 1 {
		t.Errorf("%g board feet, shown %s: %s", boardFeet(o), a.Options[a.Chosen].Name, o.Why)
	}
	for _, o := range a.Options {
		if o.Name == "two-way 1/4 in/ft, crickets" {
			t.Error("two-way is told beside crickets alone, and is the same")
		}
	}
	for _, o := range runJob(t, twoDrains(t, "us-reroof")).Areas[0].Options {
		if o.Taper.Scheme == survey.CricketsOnly {
			t.Error("crickets alone on a level deck")
		}
	}
}

// TestOptions_Turned: a surveyed roof with drains, curbs and heights turned over
// and by a quarter has the same options in the same order.
func TestOptions_Turned(t *testing.T) {
	job := readJob(t, "heron-wharf")
	choice := *job.Taper
	choice.Scheme = survey.Compare
	job.Taper = &choice
	f := func(p geom.Pt) geom.Pt { return geom.Pt{X: 500 - p.Y, Y: -p.X} }
	want, got := runJob(t, job).Areas[0], runJob(t, moved(job, f, true, 0)).Areas[0]
	if len(want.Options) < 3 || len(got.Options) != len(want.Options) || got.Chosen != want.Chosen {
		t.Fatalf("%d options, want %d, three or more", len(got.Options), len(want.Options))
	}
	for n, w := range want.Options {
		g := got.Options[n]
		if g.Name != w.Name || g.Passes() != w.Passes() || g.Design.Totals.Pieces != w.Design.Totals.Pieces ||
			g.Design.Totals.ToOrder != w.Design.Totals.ToOrder || g.Measure.Marks != w.Measure.Marks ||
			g.Measure.AngledRows != w.Measure.AngledRows {
			t.Errorf("option %d is %s %v, want %s %v", n+1, g.Name, g.Design.Totals, w.Name, w.Design.Totals)
		}
		near(t, "board feet", boardFeet(g), boardFeet(w))
		near(t, "thickest edge", g.Measure.ThickestEdge.Inches(), w.Measure.ThickestEdge.Inches())
	}
}

// fortyDrains is a roof of 100,000 sq ft with forty drains, shot every 25 ft on a
// deck that rolls by an inch.
func fortyDrains(t testing.TB, rules string) *survey.Job {
	var b strings.Builder
	b.WriteString("job: {name: Kestrel store, units: us}\n" + strings.Replace(shotAt, "membrane", "deck", 1) +
		"rules: " + rules + "\ntaper: {scheme: compare, slope: 1/4 in/ft, start: 1/2 in}\nareas:\n  - name: A\n" +
		"    outline: [[0,0], [400,0], [400,250], [0,250]]\n    outlets:\n")
	for n := range 40 {
		fmt.Fprintf(&b, "      - {id: D%d, kind: drain, at: [%g, %g]}\n", n+1, 20+40*float64(n%10), 31.25+62.5*float64(n/10))
	}
	return written(t, b.String(), 400, 250, 25, func(p geom.Pt) float64 { return math.Sin(p.X/40) * math.Cos(p.Y/30) / 2 })
}

// BenchmarkOptions makes all options of a roof of 100,000 sq ft with forty
// drains, from its shots on, ladder and all.
func BenchmarkOptions(b *testing.B) {
	for _, rules := range []string{"us-reroof", "every-path"} {
		b.Run(rules, func(b *testing.B) {
			job := fortyDrains(b, rules)
			b.ReportAllocs()
			for b.Loop() {
				b.ReportMetric(float64(len(runJob(b, job).Areas[0].Options)), "options")
			}
		})
	}
}
