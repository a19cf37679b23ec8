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
)

const jobsDir = "../../../testdata/jobs/"

// jobNames are the jobs that every law is held against.
var jobNames = []string{"heron-wharf", "apartment-l", "ridge-valley", "bare-rectangle", "plan-only", "sorrel-garage"}

func readJob(t testing.TB, name string) *survey.Job {
	t.Helper()
	job, problems := read.Job(os.DirFS(jobsDir+name), "job.yaml", nil)
	if err := problems.Err(); err != nil {
		t.Fatalf("job %s: %v", name, err)
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
	out.Areas, out.Seen = nil, nil
	for _, s := range job.Seen {
		s.Outline = s.Outline.Map(f)
		out.Seen = append(out.Seen, s)
	}
	for _, a := range job.Areas {
		out.Areas = append(out.Areas, movedArea(a, f, mirror, rise))
	}
	return &out
}

func movedArea(a survey.Area, f func(geom.Pt) geom.Pt, mirror bool, rise unit.Length) survey.Area {
	b := a
	b.Outline = a.Outline.Map(f)
	b.Courts, b.Outlets, b.Curbs, b.Shots, b.Cores = nil, nil, nil, nil, nil
	for _, c := range a.Courts {
		b.Courts = append(b.Courts, c.Map(f))
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

// TestLaws: turning by a quarter, mirroring, shifting and raising a job change
// no verdict and no count, and no pond figure by more than 1e-6.
func TestLaws(t *testing.T) {
	moves := []struct {
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
	for _, name := range jobNames {
		job := readJob(t, name)
		want := runJob(t, job)
		for _, m := range moves {
			t.Run(name+" "+m.story, func(t *testing.T) {
				got := runJob(t, moved(job, m.f, m.mirror, m.rise))
				for i := range want.Areas {
					sameArea(t, &got.Areas[i], &want.Areas[i])
				}
			})
		}
	}
}

func sameArea(t *testing.T, got, want *render.AreaResult) {
	t.Helper()
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
