package pipeline

import (
	"context"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/ladder"
)

// boxedIn is a row house roof of 24 x 22 ft that an addition has boxed in: it
// lies all but level, lowest in the middle of its south parapet, and the one
// drain that is left stands in the north, 4 in above the lowest place, and
// cannot be reset. Nothing thicker than 6-1/2 in fits.
func boxedIn() *survey.Job {
	job := shotRoof(24, 22, func(p geom.Pt) float64 { return 1200 + 0.02*math.Abs(p.X-12) + 0.02*p.Y })
	a := &job.Areas[0]
	a.Edges[3].Kind = survey.Parapet
	a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 12, Y: 18}, Edge: -1, Reset: survey.ResetNo,
		Inlet: survey.Height{Value: unit.Inches(1204), Above: survey.AboveElevation}}}
	job.Taper.Scheme, job.Taper.Thickest = survey.FourWay, unit.Inches(6.5)
	return job
}

// TestLadder_BoxedIn: water stands, and 4 in are needed before the drain runs.
// Neither a sump nor a local fill nor a new outlet alone does; taper of 1/2 to 6
// in, 22 ft at 1/4 in/ft, toward a new scupper through the parapet does.
func TestLadder_BoxedIn(t *testing.T) {
	a := runJob(t, boxedIn()).Areas[0]
	near := func(what string, got, want, tol float64) {
		if math.Abs(got-want) > tol {
			t.Errorf("%s %g, want %g within %g", what, got, want, tol)
		}
	}
	if len(a.Existing.Ponds) != 1 {
		t.Fatalf("%d ponds", len(a.Existing.Ponds))
	}
	near("depth in", a.Existing.Ponds[0].DepthIn, 4, 0.1)
	if a.Rung != ladder.Taper {
		t.Errorf("rung %v because %s", a.Rung, a.Why)
	}
	for _, s := range a.Ladder {
		t.Logf("%v %v: %s | %s", s.Rung, s.Outcome, s.Do, s.Why)
		switch s.Rung {
		case ladder.Outlet:
			if s.Outcome != ladder.Refused || len(s.Places) != 1 || s.Left.Ponds != 0 || !strings.Contains(s.Do, "a scupper through edge") {
				t.Errorf("new outlet: %+v", s)
			}
			at := a.Site.Frame.ToJob(s.Places[0].At)
			near("its x", at.X, 12, 0.5)
			near("its y", at.Y, 0, 1e-6)
		case ladder.Taper:
			if s.Outcome != ladder.Kept || len(s.Places) != 1 || !strings.Contains(s.Do, "1/2\" to 6\" thick toward a new outlet: a scupper through edge") {
				t.Errorf("taper: %+v", s)
			}
		case ladder.PartTaper:
		default:
			if s.Outcome != ladder.Refused {
				t.Errorf("%v is %v", s.Rung, s.Outcome)
			}
		}
	}
	if a.Proof.Passes {
		t.Error("the design toward the old drain passes")
	}
}

// TestLadder_Part: of a job that tapers a part the part's design is the rung,
// and the whole is not tested.
func TestLadder_Part(t *testing.T) {
	a := runJob(t, partJob(func(p geom.Pt) float64 { return 1200 + 0.1*p.X })).Areas[0]
	by := map[ladder.Rung]ladder.Step{}
	for _, s := range a.Ladder {
		by[s.Rung] = s
	}
	if s := by[ladder.PartTaper]; s.Outcome == ladder.NotTested || s.Do == "" {
		t.Errorf("part: %+v", s)
	}
	if s := by[ladder.Taper]; s.Outcome != ladder.NotTested {
		t.Errorf("whole: %+v", s)
	}
}

// halfGood is a roof of 60 x 30 ft: the west half slopes 1/20 in/ft to a drain
// in its middle, the east half 1/2 in/ft away from it to a gutter.
func halfGood() *survey.Job {
	drain := geom.Pt{X: 15, Y: 15}
	job := shotRoof(60, 30, func(p geom.Pt) float64 {
		if p.X > 30 {
			return 1200.75 - 0.5*(p.X-30)
		}
		return 1200 + 0.05*math.Max(math.Abs(p.X-drain.X), math.Abs(p.Y-drain.Y))
	})
	a := &job.Areas[0]
	a.Edges[3].Kind, a.Edges[1].Kind = survey.Parapet, survey.GutterEdge
	a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: drain, Edge: -1}, {ID: "A-1", Kind: survey.GutterOutlet, Edge: 1}}
	job.Taper.Scheme = survey.FourWay
	return job
}

// TestLadder_PartFound: of a roof of which one half is sound the other is
// tapered alone: 30 ft square round its drain, 1/2 to 4-1/4 in at 1/4 in/ft,
// 4 planes of mean 1/2 + 2/3 x 15/4 = 3 in; it ends above the half that stays,
// from which no water comes. With `taper:` or without, at every stage.
func TestLadder_PartFound(t *testing.T) {
	bare := halfGood()
	bare.Taper = nil
	turn := func(p geom.Pt) geom.Pt { return geom.Pt{X: 500 + 0.8*p.X - 0.6*p.Y, Y: 0.6*p.X + 0.8*p.Y} }
	mirror := func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} }
	for _, c := range []struct {
		story string
		job   *survey.Job
		last  Stage
	}{
		{"all of it", halfGood(), Taper},
		{"drainage alone", halfGood(), Drainage},
		{"no taper asked for", bare, Drainage},
		{"turned", moved(halfGood(), turn, false, 0), Drainage},
		{"mirrored", moved(halfGood(), mirror, true, 100*unit.Foot), Drainage},
	} {
		t.Run(c.story, func(t *testing.T) {
			r, err := Run(context.Background(), c.job, c.last, nil)
			if err != nil {
				t.Fatal(err)
			}
			a := r.Areas[0]
			s := a.Ladder[ladder.PartTaper-ladder.DrainsAsIs]
			t.Logf("%v: %s | %s", s.Outcome, s.Do, s.Why)
			if a.Rung != ladder.PartTaper || s.Outcome != ladder.Kept || len(s.Places) != 1 {
				for _, s := range a.Ladder {
					t.Logf("%v %v: %s | %s", s.Rung, s.Outcome, s.Do, s.Why)
				}
				t.Fatalf("rung %v because %s", a.Rung, a.Why)
			}
			sqft := 0.0
			for _, p := range s.Places[0].Shape {
				sqft += p.Area()
			}
			if math.Abs(sqft-900) > 50 {
				t.Errorf("%g sq ft, want 900", sqft)
			}
			mid := a.Site.Frame.ToJob(s.Places[0].At)
			if d := mid.Dist(a.Area.Outlets[0].At); d > 1 {
				t.Errorf("it lies round %v, %g ft from the drain", mid, d)
			}
			for _, want := range []string{"what drains to D1", "toward A-1, stays", "no water is dammed", "1/2\" to 4"} {
				if !strings.Contains(s.Do+s.Why, want) {
					t.Errorf("%q does not say %q", s.Do+"; "+s.Why, want)
				}
			}
			if a.Ladder[6].Outcome != ladder.NotTested {
				t.Errorf("full taper is %v", a.Ladder[6].Outcome)
			}
		})
	}
}

// BenchmarkLadder_Large: a roof of 100,000 sq ft with some seventy dishes and
// nine drains, run to its drainage, the ladder up to full taper within.
func BenchmarkLadder_Large(b *testing.B) {
	job := shotRoof(400, 250, func(p geom.Pt) float64 {
		return 1200 + 2*math.Sin(p.X/9)*math.Cos(p.Y/11) + 0.02*math.Hypot(p.X-200, p.Y-125)
	})
	a := &job.Areas[0]
	a.Edges[3].Kind, a.Outlets = survey.Parapet, nil
	for i := range 9 {
		a.Outlets = append(a.Outlets, survey.Outlet{ID: "D" + string(rune('1'+i)), Kind: survey.Drain, Edge: -1,
			At: geom.Pt{X: 200 + float64(i%3-1)*130, Y: 125 + float64(i/3-1)*80}})
	}
	job.Taper.Scheme = survey.FourWay
	bare := *job
	bare.Taper = nil
	for _, c := range []struct {
		story string
		job   *survey.Job
	}{{"with full taper", job}, {"without", &bare}} {
		b.Run(c.story, func(b *testing.B) {
			for b.Loop() {
				r, err := Run(context.Background(), c.job, Drainage, nil)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(r.Areas[0].Existing.Ponds)), "ponds")
				for _, s := range r.Areas[0].Ladder {
					b.Logf("%v %v %.80s", s.Rung, s.Outcome, s.Why)
				}
			}
		})
	}
}
