package pipeline

import (
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
