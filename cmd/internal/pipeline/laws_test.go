package pipeline

import (
	"context"
	"math"
	"os"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/read"
	"runnel/survey/unit"
	"runnel/taper/ladder"
)

const (
	jobsDir = "../../../testdata/jobs/"
	zooDir  = "../../../testdata/zoo/"
)

// jobNames are the jobs that every law is held against.
var jobNames = []string{"heron-wharf", "apartment-l", "ridge-valley", "bare-rectangle", "plan-only", "sorrel-garage"}

func readJob(t testing.TB, name string) *survey.Job {
	t.Helper()
	return jobIn(t, jobsDir+name)
}

// zooJob reads a roof of the zoo.
func zooJob(t testing.TB, name string) *survey.Job {
	t.Helper()
	return jobIn(t, zooDir+name)
}

func jobIn(t testing.TB, dir string) *survey.Job {
	t.Helper()
	job, problems := read.Job(os.DirFS(dir), "job.yaml", nil)
	if err := problems.Err(); err != nil {
		t.Fatalf("job %s: %v", dir, err)
	}
	return job
}

func runJob(t testing.TB, job *survey.Job) *render.Result {
	t.Helper()
	r, err := Run(context.Background(), job, Taper, nil)
	if err != nil {
		t.Fatalf("run %s: %v", job.Name, err)
	}
	return r
}

// moved is a job with every place done through f and every elevation raised.
func moved(job *survey.Job, f func(geom.Pt) geom.Pt, mirror bool, rise unit.Length) *survey.Job {
	out := *job
	out.Areas, out.Seen, out.Part = nil, nil, job.Part.Map(f)
	for _, s := range job.Seen {
		s.Outline = s.Outline.Map(f)
		out.Seen = append(out.Seen, s)
	}
	out.Sections = nil
	for _, c := range job.Sections {
		c.From, c.To = f(c.From), f(c.To)
		out.Sections = append(out.Sections, c)
	}
	for _, a := range job.Areas {
		out.Areas = append(out.Areas, movedArea(a, f, mirror, rise))
	}
	return &out
}

func movedArea(a survey.Area, f func(geom.Pt) geom.Pt, mirror bool, rise unit.Length) survey.Area {
	b := a
	b.Outline = a.Outline.Map(f)
	b.DeckShots, b.AsBuilt = nil, nil
	for _, s := range a.DeckShots {
		s.At, s.Elev = f(s.At), s.Elev+rise
		b.DeckShots = append(b.DeckShots, s)
	}
	for _, s := range a.AsBuilt {
		s.At, s.Elev = f(s.At), s.Elev+rise
		b.AsBuilt = append(b.AsBuilt, s)
	}
	b.Laid = nil
	for _, r := range a.Laid {
		rad := r.ThickDeg * math.Pi / 180
		way := f(geom.Pt{X: math.Cos(rad), Y: math.Sin(rad)}).Sub(f(geom.Pt{}))
		r.ThickDeg = math.Atan2(way.Y, way.X) * 180 / math.Pi
		var outline []geom.Poly
		for _, p := range r.Outline {
			outline = append(outline, p.Map(f))
		}
		r.Outline = outline
		b.Laid = append(b.Laid, r)
	}
	b.Courts, b.Outlets, b.Curbs, b.Shots, b.Cores = nil, nil, nil, nil, nil
	for _, c := range a.Courts {
		b.Courts = append(b.Courts, c.Map(f))
	}
	b.Breaks = nil
	for _, l := range a.Breaks {
		b.Breaks = append(b.Breaks, geom.Ring(l).Map(f))
	}
	quarter := math.Abs(f(geom.Pt{X: 1}).Sub(f(geom.Pt{})).X) < 0.5
	for _, o := range a.Outlets {
		o.At = f(o.At)
		if o.Inlet.Above == survey.AboveElevation {
			o.Inlet.Value += rise
		}
		b.Outlets = append(b.Outlets, o)
	}
	for _, c := range a.Curbs {
		c.At = f(c.At)
		if quarter {
			c.W, c.D = c.D, c.W
		}
		if mirror {
			c.Turn = -c.Turn
		}
		b.Curbs = append(b.Curbs, c)
	}
	items := func(all []survey.WallItem) (out []survey.WallItem) {
		for _, d := range all {
			d.At = f(d.At)
			out = append(out, d)
		}
		return out
	}
	b.Doors, b.Sills, b.Weeps = items(a.Doors), items(a.Sills), items(a.Weeps)
	b.Ducts = nil
	for _, d := range a.Ducts {
		d.From, d.To = f(d.From), f(d.To)
		b.Ducts = append(b.Ducts, d)
	}
	for _, s := range a.Shots {
		s.At, s.Elev = f(s.At), s.Elev+rise
		b.Shots = append(b.Shots, s)
	}
	for _, c := range a.Cores {
		c.At = f(c.At)
		b.Cores = append(b.Cores, c)
	}
	return b
}

// moves are what may not change a verdict or a count.
var moves = []struct {
	story  string
	f      func(geom.Pt) geom.Pt
	mirror bool
	rise   unit.Length
}{
	{"turned by a quarter", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} }, false, 0},
	{"mirrored", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} }, true, 0},
	{"shifted", func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X + 1234.5, Y: p.Y - 777} }, false, 0},
	{"raised", func(p geom.Pt) geom.Pt { return p }, false, 37 * unit.Foot},
}

// TestLaws: turning by a quarter, mirroring, shifting and raising a job change
// no verdict and no count, and no pond figure by more than 1e-6.
func TestLaws(t *testing.T) {
	for _, name := range jobNames {
		obeys(t, name, readJob(t, name))
	}
}

// TestLaws_PartAndDeckShots: so they do on a roof that is torn off in part, with
// deck shots, heights and a curb.
func TestLaws_PartAndDeckShots(t *testing.T) {
	job := partJob(func(p geom.Pt) float64 { return 1200 + 0.1*p.X + 0.03*p.Y })
	a := &job.Areas[0]
	a.Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 15, Y: 9}, W: 4, D: 3,
		Height: survey.Height{Value: 12 * unit.Inch, Above: survey.AboveMembrane}}}
	sill := survey.Height{Value: 9 * unit.Inch, Above: survey.AboveMembrane}
	a.Doors = []survey.WallItem{{ID: "E1", Edge: 0, Along: unit.Feet(9), At: geom.Pt{X: 9}, Width: unit.Feet(3), Height: sill},
		{ID: "E2", Edge: -1, At: geom.Pt{X: 13.2, Y: 9.5}, Height: sill}}
	a.Ducts = []survey.Duct{{ID: "M1", From: geom.Pt{X: 3, Y: 5}, To: geom.Pt{X: 14, Y: 7}, Height: sill}}
	for _, s := range a.Shots {
		if s.At.X < 20 {
			s.Elev -= 4 * unit.Inch
			a.DeckShots = append(a.DeckShots, s)
		}
	}
	obeys(t, "part", job)
}

func obeys(t *testing.T, name string, job *survey.Job) {
	want := runJob(t, job)
	for _, m := range moves {
		t.Run(name+" "+m.story, func(t *testing.T) {
			got := runJob(t, moved(job, m.f, m.mirror, m.rise))
			for i := range want.Areas {
				sameArea(t, &got.Areas[i], &want.Areas[i])
				sameDeck(t, &got.Areas[i], &want.Areas[i])
			}
		})
	}
}

// sameDeck compares what is told of the deck and of heights.
func sameDeck(t *testing.T, got, want *render.AreaResult) {
	t.Helper()
	if got.Deck.Slope != want.Deck.Slope || got.Deck.Inferred != want.Deck.Inferred || len(got.Heights) != len(want.Heights) {
		t.Fatalf("deck %+v, %d heights, want %+v, %d", got.Deck, len(got.Heights), want.Deck, len(want.Heights))
	}
	near(t, "error of the deck in", got.Deck.SigmaIn, want.Deck.SigmaIn)
	for i, h := range got.Heights {
		w := want.Heights[i]
		if h.Item != w.Item || h.Verdict != w.Verdict {
			t.Errorf("height %s %v, want %s %v", h.Item, h.Verdict, w.Item, w.Verdict)
		}
		near(t, "left in", h.Left.Inches(), w.Left.Inches())
	}
	if (got.Change == nil) != (want.Change == nil) {
		t.Fatalf("change told: %v, want %v", got.Change != nil, want.Change != nil)
	}
	if want.Change != nil {
		near(t, "greatest difference of the deck in", got.Change.Most.Inches(), want.Change.Most.Inches())
		if len(got.Change.Marks) != len(want.Change.Marks) {
			t.Errorf("%d marks changed, want %d", len(got.Change.Marks), len(want.Change.Marks))
		}
	}
}

func sameArea(t *testing.T, got, want *render.AreaResult) {
	t.Helper()
	sameLadder(t, got.Ladder, want.Ladder)
	if got.Rung != want.Rung {
		t.Errorf("rung %v, want %v", got.Rung, want.Rung)
	}
	sameReport(t, "existing", got, want, false)
	if (got.Design == nil) != (want.Design == nil) {
		t.Fatalf("design made: %v, want %v", got.Design != nil, want.Design != nil)
	}
	if want.Design == nil {
		return
	}
	sameReport(t, "finished", got, want, true)
	sameCounts(t, got, want)
}

// sameCounts compares a design's verdict and its schedule.
func sameCounts(t *testing.T, got, want *render.AreaResult) {
	t.Helper()
	if g, w := got.Proof.Passes, want.Proof.Passes; g != w {
		t.Errorf("passes %v, want %v (%s / %s)", g, w, got.Proof.Why, want.Proof.Why)
	}
	g, w := got.Design.Totals, want.Design.Totals
	if g.Pieces != w.Pieces || g.ToOrder != w.ToOrder || g.Spares != w.Spares ||
		g.AreaBound != w.AreaBound || g.CutBound != w.CutBound {
		t.Errorf("totals %+v, want %+v", g, w)
	}
	if g, w := len(got.Design.Facets), len(want.Design.Facets); g != w {
		t.Errorf("%d facets, want %d", g, w)
	}
	if g, w := len(got.Design.Counts), len(want.Design.Counts); g != w {
		t.Fatalf("%d schedule lines, want %d", g, w)
	}
	for i, c := range got.Design.Counts {
		w := want.Design.Counts[i]
		c.SqFt, w.SqFt = 0, 0
		if c != w {
			t.Errorf("schedule line %+v, want %+v", c, w)
		}
	}
}

func sameReport(t *testing.T, what string, got, want *render.AreaResult, finished bool) {
	t.Helper()
	g, w := got.Existing, want.Existing
	if finished {
		g, w = got.Proof.Report, want.Proof.Report
	}
	if g.PondsFree != w.PondsFree || g.MeetsDesign != w.MeetsDesign {
		t.Errorf("%s verdicts %v %v, want %v %v", what, g.PondsFree, g.MeetsDesign,
			w.PondsFree, w.MeetsDesign)
	}
	if len(g.Ponds) != len(w.Ponds) {
		t.Fatalf("%s: %d ponds, want %d", what, len(g.Ponds), len(w.Ponds))
	}
	for i, p := range g.Ponds {
		q := w.Ponds[i]
		near(t, what+" pond area sq ft", p.SqFt, q.SqFt)
		near(t, what+" pond depth in", p.DepthIn, q.DepthIn)
		near(t, what+" pond volume cu ft", p.CuFt, q.CuFt)
	}
	near(t, what+" share below the minimum", g.BelowMinimumPct, w.BelowMinimumPct)
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-6*math.Max(1, math.Abs(want)) {
		t.Errorf("%s %.9g, want %.9g", what, got, want)
	}
}

// sameLadder: every rung has the same outcome and leaves and takes the same.
func sameLadder(t *testing.T, got, want []ladder.Step) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d rungs, want %d", len(got), len(want))
	}
	for n, w := range want {
		g := got[n]
		if g.Outcome != w.Outcome || g.Boards != w.Boards || len(g.Places) != len(w.Places) || (g.Left == nil) != (w.Left == nil) {
			t.Errorf("rung %v: %+v, want %+v", w.Rung, g, w)
			continue
		}
		near(t, w.Rung.String()+" fill", g.FillCuFt, w.FillCuFt)
		if w.Left != nil && (g.Left.Ponds != w.Left.Ponds || math.Abs(g.Left.DepthIn-w.Left.DepthIn) > 1e-6) {
			t.Errorf("rung %v leaves %+v, want %+v", w.Rung, *g.Left, *w.Left)
		}
	}
}
