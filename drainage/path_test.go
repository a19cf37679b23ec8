package drainage

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestPaths_PlaneReadsItsSlope holds that a plane of 1/4 in/ft reads 1/4 in/ft
// whichever way it faces. The steepest of eight neighbours reads
// max(cos f, cos(45-f)) of it, 0.231 at 22.5 degrees, and fails it.
func TestPaths_PlaneReadsItsSlope(t *testing.T) {
	for _, deg := range []float64{0, 10, 22.5, 40, 45, 77, 123.4, 200, 300.5} {
		t.Run(fmt.Sprint(deg), func(t *testing.T) {
			sin, cos := math.Sincos(deg * math.Pi / 180)
			s, surf := roofOf(t, box(40, 30), openAllRound(), 0.5, func(p geom.Pt) float64 {
				return 100 - 0.25*(p.X*cos+p.Y*sin)
			})
			r := checked(t, s, surf, usual(t))
			if len(r.Ponds) != 0 || r.PondsFree != Meets || r.MeetsDesign != Meets {
				t.Fatalf("ponds %d, %v, %v", len(r.Ponds), r.PondsFree, r.MeetsDesign)
			}
			within(t, "share under the minimum", r.BelowMinimumPct, 0, 0)
			if len(r.Paths) < 40 {
				t.Errorf("only %d paths", len(r.Paths))
			}
			for _, p := range r.Paths {
				within(t, "least in/ft "+p.ID, p.LeastField.InchesPerFoot(), 0.25, 0)
				within(t, "mean in/ft "+p.ID, p.Mean.InchesPerFoot(), 0.25, 1e-9)
				if p.LeastValley.InchesPerFoot() != -1 {
					t.Errorf("path %s has a valley on a plane", p.ID)
				}
				d := p.Points[len(p.Points)-1].Sub(p.Points[0])
				within(t, "off the way of steepest descent", d.X*sin-d.Y*cos, 0, 1e-6)
			}
		})
	}
}

// fourWay is the surface of equal planes toward a drain at the middle.
func fourWay(slope, atDrainIn float64) func(p geom.Pt) float64 {
	return func(p geom.Pt) float64 { return atDrainIn + slope*math.Max(math.Abs(p.X), math.Abs(p.Y)) }
}

func TestPaths_FourWayRoof(t *testing.T) {
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.25, 0.5))
	for _, c := range []struct {
		rules string
		want  Verdict
	}{{"us-reroof", Meets}, {"every-path", FallsShort}, {"metric-falls", Meets}} {
		opt := usual(t)
		var err error
		if opt.Rules, err = RuleSet(survey.RuleChoice{Name: c.rules}); err != nil {
			t.Fatal(err)
		}
		r := checked(t, s, surf, opt)
		if r.MeetsDesign != c.want || r.PondsFree != Meets {
			t.Errorf("%s: design %v, ponds free %v", c.rules, r.MeetsDesign, r.PondsFree)
		}
		field, valley := 9.0, 9.0
		for _, p := range r.Paths {
			if f := p.LeastField.InchesPerFoot(); f >= 0 {
				field = math.Min(field, f)
			}
			if v := p.LeastValley.InchesPerFoot(); v >= 0 {
				valley = math.Min(valley, v)
			}
			if p.EndsAt != "D1" {
				t.Errorf("path %s ends at %q", p.ID, p.EndsAt)
			}
		}
		within(t, "least field", field, 0.25, 0)
		within(t, "least valley", valley, 0.25/math.Sqrt2, 1e-9)
		within(t, "share under the minimum", r.BelowMinimumPct, 0, 0)
		within(t, "drainage area", r.Areas[0].SqFt, 2400, 1e-9)
	}
	// The valley of two equal planes at right angles is 1/sqrt(2) of theirs.
	within(t, "field that passes", FieldSlopeThatPasses(unit.InchesPerFoot(0.25)).InchesPerFoot(), 0.353553, 1e-6)
}
