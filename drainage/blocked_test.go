package drainage

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestCheck_AllOutletsBlocked: a clogged drain is a usual re-roof call. With
// no outlet that works the roof stands full to its highest place, and the
// report says that it may be more. The highest place is the middle of the
// highest cell, 1/4 ft from the wall. Volumes up to it: over a plane that rises
// h in from one wall, L W h/2; over an inverted pyramid, L W h/3.
func TestCheck_AllOutletsBlocked(t *testing.T) {
	const w, d = 40.0, 40.0
	for _, c := range []struct {
		name        string
		z           func(p geom.Pt) float64
		depth, cuft float64
	}{
		{"plane of 1/4 in/ft", func(p geom.Pt) float64 { return 50 + 0.25*p.X }, 9.9375, 39.75 * d * 9.9375 / 2 / 12},
		{"four-way, drain at the middle", fourWay(0.25, 3), 4.9375, 39.5 * 39.5 * 4.9375 / 3 / 12},
		{"level: as deep as ponds are reported from", func(geom.Pt) float64 { return 7 }, 0.125, w * d * 0.125 / 12},
		{"nearly level", func(p geom.Pt) float64 { return 7 + 0.001*p.X }, 0.125, w * d * (0.125 - 0.02) / 12},
	} {
		for _, state := range []survey.OutletState{survey.Works, survey.Blocked} {
			drain := drainAt("D1", geom.Pt{})
			drain.State = state
			s, surf := roofOf(t, box(w, d), []survey.Outlet{drain}, 0.5, c.z)
			opt := usual(t)
			opt.SigmaIn, opt.SpacingFt, opt.Window = 0.1, 8, unit.Feet(16)
			r := checked(t, s, surf, opt)
			if state == survey.Works {
				if len(r.Conditional) != 0 || len(r.Ponds) > 0 && r.Ponds[0].ClosedIn ||
					strings.Contains(r.WaterFinding(unit.US), "at least") {
					t.Errorf("%s, working drain: closed in", c.name)
				}
				continue
			}
			if len(r.Ponds) != 1 || r.PondsFree != FallsShort || len(r.Conditional) != 1 {
				t.Fatalf("%s: %d ponds, free of ponds: %v, conditional on %v", c.name, len(r.Ponds), r.PondsFree, r.Conditional)
			}
			p := r.Ponds[0]
			within(t, c.name+": depth in", p.DepthIn, c.depth, 1.0/16)
			within(t, c.name+": volume cu ft", p.CuFt, c.cuft, 0.01*c.cuft)
			if !p.ClosedIn || p.SpillsTo != "" || p.Overflow || p.Misses != "D1" || p.Spill != p.Deepest {
				t.Errorf("%s: %+v", c.name, p)
			}
			if text := r.WaterFinding(unit.US); !strings.Contains(text, "at least") {
				t.Errorf("%s: %s", c.name, text)
			}
			if r.Areas[0].SqFt != 0 || len(r.Areas[0].Regions) != 0 {
				t.Errorf("%s: a blocked drain takes %g sq ft", c.name, r.Areas[0].SqFt)
			}
			for _, q := range r.Paths {
				if q.EndsAt != "P1" {
					t.Errorf("%s: path %s ends at %q", c.name, q.ID, q.EndsAt)
				}
			}
		}
	}
}

// TestCheck_NearlyAllBlocked: the part behind a court whose one drain is
// blocked is closed in; the other part drains.
func TestCheck_NearlyAllBlocked(t *testing.T) {
	blocked := drainAt("D2", geom.Pt{X: 10})
	blocked.State = survey.Blocked
	z := func(p geom.Pt) float64 { return 0.1 * math.Abs(math.Abs(p.X)-10) }
	s, _ := roofOf(t, box(40, 20), []survey.Outlet{drainAt("D1", geom.Pt{X: -10}), blocked}, 0.5, z)
	s.Courts = []geom.Ring{geom.Box{Min: geom.Pt{X: -1, Y: -10}, Max: geom.Pt{X: 1, Y: 10}}.Ring().Reversed()}
	r := checked(t, s, surfaceOf(s, 0.5, z), usual(t))
	if len(r.Ponds) != 1 || !r.Ponds[0].ClosedIn || r.Ponds[0].Deepest.X < 1 || r.PondsFree != FallsShort {
		t.Errorf("%v, %+v", r.PondsFree, r.Ponds)
	}
	within(t, "D1 takes", r.Areas[0].SqFt, 380, 1e-9)
	within(t, "D2 takes", r.Areas[1].SqFt, 0, 0)
}

// TestCheck_BlockedSlopes: where all paths end in one pond the share of the roof
// under the limit tells of its slope, by more than the doubt: a plane at the limit
// but for 0.005 in/ft is too close to call, at half the limit it falls short. The
// doubt is 2 sqrt(2) 0.1 in over 16 ft, 0.018 in/ft.
func TestCheck_BlockedSlopes(t *testing.T) {
	for slope, want := range map[float64]Verdict{0.245: TooClose, 0.125: FallsShort, 0.3: Unknown} {
		drain := drainAt("D1", geom.Pt{X: -19.5})
		drain.State = survey.Blocked
		s, surf := roofOf(t, box(40, 40), []survey.Outlet{drain}, 0.5, func(p geom.Pt) float64 { return 50 + slope*p.X })
		opt := usual(t)
		opt.SigmaIn, opt.SpacingFt, opt.Window = 0.1, 8, unit.Feet(16)
		if r := checked(t, s, surf, opt); r.MeetsDesign != want {
			t.Errorf("%g in/ft: %v", slope, r.MeetsDesign)
		}
	}
}
