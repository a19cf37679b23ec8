package drainage

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestSlopeDoubt_TwoReadings: two readings with a standard error of 1/8 in each,
// limit 1/4 in/ft, two standard errors: over 20 ft a drop of 5.5 in meets it,
// 5.0 and 4.8 are too close to call, 4.5 falls short; what can be called lies
// outside 0.2323 to 0.2677 in/ft at 20 ft, 0.2146 to 0.2854 at 10, 0.1616 to
// 0.3384 at 4. Worked by hand: 2 sqrt(2) / 8 over the run.
func TestSlopeDoubt_TwoReadings(t *testing.T) {
	limit := Limit{Min: unit.InchesPerFoot(0.25)}
	run := unit.Feet(20)
	for dropIn, want := range map[float64]Verdict{5.5: Meets, 5.0: TooClose, 4.8: TooClose, 4.5: FallsShort} {
		if got := limit.Judge(unit.SlopeOf(unit.Inches(dropIn), run), SlopeDoubt(0.125, run)); got != want {
			t.Errorf("a drop of %g in over 20 ft: %v, want %v", dropIn, got, want)
		}
	}
	for runFt, band := range map[float64][2]float64{20: {0.2323, 0.2677}, 10: {0.2146, 0.2854}, 4: {0.1616, 0.3384}} {
		doubt := SlopeDoubt(0.125, unit.Feet(runFt)).InchesPerFoot()
		within(t, "lower end", 0.25-doubt, band[0], 5e-5)
		within(t, "upper end", 0.25+doubt, band[1], 5e-5)
		for _, c := range []struct {
			slope float64
			want  Verdict
		}{{band[0] - 1e-3, FallsShort}, {band[0] + 1e-3, TooClose}, {band[1] - 1e-3, TooClose}, {band[1] + 1e-3, Meets}} {
			if got := limit.Judge(unit.InchesPerFoot(c.slope), SlopeDoubt(0.125, unit.Feet(runFt))); got != c.want {
				t.Errorf("%g in/ft over %g ft: %v, want %v", c.slope, runFt, got, c.want)
			}
		}
	}
	// One standard error of 0.01 ft each: 0.01697, 0.00849, 0.00424 in/ft.
	for runFt, want := range map[float64]float64{10: 0.01697, 20: 0.00849, 40: 0.00424} {
		within(t, "one standard error", SlopeDoubt(0.12, unit.Feet(runFt)).InchesPerFoot()/2, want, 5e-6)
	}
}

// knownTo gives a surface with an error of its own at each place.
func knownTo(surf *survey.Surface, sigmaIn func(p geom.Pt) float64) *survey.Surface {
	out := *surf
	out.SigmaIn = make([]float64, surf.Len())
	for k, roof := range surf.Roof {
		if roof {
			out.SigmaIn[k] = sigmaIn(surf.Centre(k%surf.NX, k/surf.NX))
		}
	}
	return &out
}

// TestPaths_DoubtOfThePlace: planes of 0.3 in/ft meet 1/4 where the surface is
// known to 0.02 in, and are too close to call where it is known to 0.4 in
// (2 sqrt(2) 0.4 / 10 = 0.113), whatever one error for all would say; planes of
// 0.2 fall short and are too close likewise.
func TestPaths_DoubtOfThePlace(t *testing.T) {
	gutter := []survey.Outlet{{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}}
	for slope, clear := range map[float64]Verdict{0.3: Meets, 0.2: FallsShort} {
		s, surf := roofOf(t, box(120, 40), gutter, 0.5, func(p geom.Pt) float64 { return slope * (p.Y + 20) })
		surf = knownTo(surf, func(p geom.Pt) float64 {
			if p.X < 0 {
				return 0.02
			}
			return 0.4
		})
		opt := usual(t)
		opt.Window, opt.SigmaIn = unit.Feet(10), 0.02
		r, seen := checked(t, s, surf, opt), map[Verdict]int{}
		for _, p := range r.Paths {
			want := clear
			if p.Points[0].X > 1 {
				want = TooClose
			}
			if math.Abs(p.Points[0].X) > 1 && p.LengthFt > 10 && p.Verdict != want {
				t.Errorf("%g in/ft, path %s from %v: %v, want %v", slope, p.ID, p.Points[0], p.Verdict, want)
			}
			seen[p.Verdict]++
		}
		if seen[clear] < 20 || seen[TooClose] < 20 {
			t.Errorf("%g in/ft: %v", slope, seen)
		}
		within(t, "thin share", r.ThinPct, 50, 1)
		opt.SigmaIn = 0 // exact: what the surface carries of its base does not count
		for _, p := range checked(t, s, surf, opt).Paths {
			if p.Verdict != clear {
				t.Errorf("exact, %g in/ft, path %s: %v", slope, p.ID, p.Verdict)
			}
		}
	}
}

// TestPonds_ThinShots: where shots are too thin to show a shallow pond on a
// material share of the roof, "no pond" is not said; a deep pond is still told.
func TestPonds_ThinShots(t *testing.T) {
	drain := []survey.Outlet{drainAt("D1", geom.Pt{})}
	s, surf := roofOf(t, box(60, 40), drain, 0.5, fourWay(0.3, 0))
	for _, c := range []struct {
		story  string
		edgeFt float64 // thin beyond this x
		wantIn float64 // inlet above the roof
		want   Verdict
	}{
		{"well known", 99, 0, Meets},
		{"thin in a corner", 29, 0, Meets},
		{"thin on a tenth", 24, 0, Unknown},
		{"thin, with a pond of 6 in", 24, 6, FallsShort},
	} {
		opt := usual(t)
		opt.Window, opt.SigmaIn, opt.InletIn = unit.Feet(10), 0.02, []float64{surf.ElevIn[nearestCell(surf, geom.Pt{})] + c.wantIn}
		r := checked(t, s, knownTo(surf, func(p geom.Pt) float64 {
			if p.X > c.edgeFt {
				return 0.5
			}
			return 0.02
		}), opt)
		if r.PondsFree != c.want {
			t.Errorf("%s: %v, want %v (%g %% thin)", c.story, r.PondsFree, c.want, r.ThinPct)
		}
	}
}

// TestCheck_NoShotNearADrain: of two drains one has no shot within 10 ft: the
// paths and the pond there are unknown, it is named, and the roof as a whole is
// not said to drain; a clear fault at the other drain is still told.
func TestCheck_NoShotNearADrain(t *testing.T) {
	drains := []survey.Outlet{drainAt("D1", geom.Pt{X: -30}), drainAt("D2", geom.Pt{X: 30})}
	of := func(slope, nearestFt, proudIn float64) *Report {
		s, surf := roofOf(t, box(120, 40), drains, 0.5, func(p geom.Pt) float64 {
			return fourWay(slope, 0)(geom.Pt{X: math.Abs(p.X) - 30, Y: p.Y})
		})
		s.Shots = []survey.SiteShot{{P: geom.Pt{X: -28}}, {P: geom.Pt{X: 30 + nearestFt}}}
		opt := usual(t)
		opt.Window, opt.SigmaIn, opt.SpacingFt = unit.Feet(16), 0.02, 8
		opt.InletIn = Inlets(s, surf, nil)
		opt.InletIn[1] += proudIn
		return checked(t, s, surf, opt)
	}
	r := of(0.5, 10, 0)
	if len(r.NoShotNear) != 0 || r.PondsFree != Meets || r.MeetsDesign != Meets {
		t.Errorf("a shot 10 ft off: %v, %v, %v", r.NoShotNear, r.PondsFree, r.MeetsDesign)
	}
	r = of(0.5, 10.1, 0)
	if len(r.NoShotNear) != 1 || r.NoShotNear[0] != "D2" || r.PondsFree != Unknown || r.MeetsDesign != Unknown {
		t.Errorf("a shot 10.1 ft off: %v, %v, %v", r.NoShotNear, r.PondsFree, r.MeetsDesign)
	}
	for _, p := range r.Paths {
		if got := p.Verdict == Unknown; got != (p.EndsAt == "D2") {
			t.Errorf("path %s to %s: %v", p.ID, p.EndsAt, p.Verdict)
		}
	}
	r = of(0.5, 12, 2) // a pond of 2 in at D2, as far as the surface goes
	if len(r.Ponds) != 1 || !r.Ponds[0].Unsure || r.PondsFree != Unknown {
		t.Errorf("a pond where no shot stands: %+v, %v", r.Ponds, r.PondsFree)
	}
	for _, p := range r.Paths {
		if p.EndsAt == r.Ponds[0].ID && p.Verdict != Unknown {
			t.Errorf("path %s to %s: %v", p.ID, p.EndsAt, p.Verdict)
		}
	}
	if r = of(0.1, 12, 0); r.MeetsDesign != FallsShort {
		t.Errorf("1/10 in/ft at D1: %v", r.MeetsDesign)
	}
}
