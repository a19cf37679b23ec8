package drainage

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

var seedFlag = flag.Uint64("seed", 1907, "seed of the random roofs")

// TestCheck_TwoHollowsInARow: a trough that falls to a drain with two dishes
// in it; the upper runs over into the lower, the lower to the drain.
func TestCheck_TwoHollowsInARow(t *testing.T) {
	dish := func(p, c geom.Pt, deep float64) float64 {
		r := p.Dist(c)
		if r >= 5 {
			return 0
		}
		return -deep * (1 + math.Cos(math.Pi*r/5)) / 2
	}
	a, b := geom.Pt{X: -12}, geom.Pt{X: 2}
	s, surf := roofOf(t, box(50, 12), []survey.Outlet{drainAt("D1", geom.Pt{X: 24})}, 0.5, func(p geom.Pt) float64 {
		return 10 - 0.02*p.X + 0.05*math.Abs(p.Y) + dish(p, a, 2) + dish(p, b, 1.5)
	})
	r := checked(t, s, surf, usual(t))
	if len(r.Ponds) != 2 {
		t.Fatalf("%d ponds, want 2", len(r.Ponds))
	}
	upper, lower := r.Ponds[0], r.Ponds[1]
	if upper.ID != "P1" || lower.ID != "P2" || upper.SpillsTo != "P2" || lower.SpillsTo != "D1" {
		t.Errorf("%s to %s, %s to %s", upper.ID, upper.SpillsTo, lower.ID, lower.SpillsTo)
	}
	within(t, "upper pond's place", upper.Deepest.Dist(a), 0, 1)
	within(t, "it runs over past its far end", upper.Spill.X, -7.5, 2)
	ends := map[string]int{}
	for _, p := range r.Paths {
		ends[p.EndsAt]++
	}
	if ends["P1"] == 0 || ends["P2"] == 0 || ends["D1"] == 0 || ends[""] > 0 {
		t.Errorf("paths end at %v", ends)
	}
}

// TestCheck_OverflowOnly: with the drain blocked the water leaves by the
// overflow scupper, 2 in up: a pond.
func TestCheck_OverflowOnly(t *testing.T) {
	drain := drainAt("D1", geom.Pt{})
	scupper := survey.Outlet{ID: "S1", Kind: survey.Scupper, Edge: 3, Overflow: true,
		Inlet: survey.Height{Value: unit.Inches(2), Above: survey.AboveMembrane}}
	for _, state := range []survey.OutletState{survey.Works, survey.Untested, survey.Blocked} {
		drain.State = state
		s, surf := roofOf(t, box(40, 30), []survey.Outlet{drain, scupper}, 0.5, fourWay(0.1, 0))
		// The scupper is a foot of the middle of its edge, not all of it.
		s.Outlets[1].A, s.Outlets[1].B = geom.Pt{X: -20, Y: 0.5}, geom.Pt{X: -20, Y: -0.5}
		r := checked(t, s, surf, usual(t))
		if got := len(r.Conditional) == 1; got != (state != survey.Works) {
			t.Errorf("%v: conditional on %v", state, r.Conditional)
		}
		if state != survey.Blocked {
			if len(r.Ponds) != 0 {
				t.Errorf("%v: %d ponds", state, len(r.Ponds))
			}
			continue
		}
		if len(r.Ponds) != 1 {
			t.Fatalf("blocked: %d ponds", len(r.Ponds))
		}
		// The edge lies 2 in above the drain, the inlet 2 in above the edge.
		p := r.Ponds[0]
		if !p.Overflow || p.SpillsTo != "S1" || p.Misses != "D1" {
			t.Errorf("%+v", p)
		}
		within(t, "spill elevation", p.SpillIn, 4, 0.05)
		within(t, "depth", p.DepthIn, 4, 0.1)
		within(t, "area", p.SqFt, 1200, 1e-6)
	}
}

// TestCheck_WallsHoldWater: a court and a curb are walls; what lies behind
// them is not reached across them.
func TestCheck_WallsHoldWater(t *testing.T) {
	s, _ := roofOf(t, box(60, 40), openAllRound(), 0.5, func(p geom.Pt) float64 { return 50 - 0.25*p.X })
	s.Curbs = []geom.Ring{geom.Box{Min: geom.Pt{X: 0, Y: -4}, Max: geom.Pt{X: 6, Y: 4}}.Ring()}
	s.Outlets = s.Outlets[1:2] // the low edge only
	surf := surfaceOf(s, 0.5, func(p geom.Pt) float64 { return 50 - 0.25*p.X })
	r := checked(t, s, surf, usual(t))
	if len(r.Ponds) != 0 {
		t.Errorf("%d ponds behind a curb on a plane that falls past it", len(r.Ponds))
	}
	for _, p := range r.Paths {
		if p.EndsAt != "A-1" {
			t.Errorf("path %s ends at %q", p.ID, p.EndsAt)
		}
		for _, q := range p.Points {
			if s.Curbs[0].Has(q) {
				t.Errorf("path %s runs through the curb", p.ID)
			}
		}
	}
	within(t, "roof", r.RoofSqft, 2400-48, 1e-9)
	within(t, "drained", r.Areas[0].SqFt, 2400-48, 1e-9)
}

// TestCheck_ClosedIn: a part of the roof that no outlet drains stands full,
// and its water is said to go nowhere.
func TestCheck_ClosedIn(t *testing.T) {
	outline := geom.Ring{{X: -20, Y: -10}, {X: 20, Y: -10}, {X: 20, Y: 10}, {X: -20, Y: 10}}
	z := func(p geom.Pt) float64 { return 0.1 * math.Abs(p.X-10) }
	s, _ := roofOf(t, outline, []survey.Outlet{drainAt("D1", geom.Pt{X: -15})}, 0.5, z)
	s.Courts = []geom.Ring{geom.Box{Min: geom.Pt{X: -1, Y: -10}, Max: geom.Pt{X: 1, Y: 10}}.Ring().Reversed()}
	r := checked(t, s, surfaceOf(s, 0.5, z), usual(t))
	if len(r.Ponds) == 0 {
		t.Fatal("no pond")
	}
	found := false
	for _, p := range r.Ponds {
		if p.Deepest.X > 1 {
			found = true
			if p.SpillsTo != "" || !p.ClosedIn {
				t.Errorf("runs over to %q, closed in: %v", p.SpillsTo, p.ClosedIn)
			}
		}
	}
	if !found {
		t.Error("the part behind the court is dry")
	}
	if r.Areas[0].SqFt >= r.RoofSqft {
		t.Errorf("D1 drains %g of %g sq ft", r.Areas[0].SqFt, r.RoofSqft)
	}
}

// TestCheck_ObliquePlane: the water of a plane falling at 22.5 degrees to a low
// edge runs straight down it, so the part left of the flow line through the
// middle of that edge drains to the left half. Steepest of eight neighbours
// would run square to the edge.
func TestCheck_ObliquePlane(t *testing.T) {
	outline := geom.Ring{{X: -30, Y: -20}, {X: 0, Y: -20}, {X: 30, Y: -20}, {X: 30, Y: 20}, {X: -30, Y: 20}}
	outlets := []survey.Outlet{
		{ID: "left", Kind: survey.GutterOutlet, Edge: 0}, {ID: "right", Kind: survey.GutterOutlet, Edge: 1},
	}
	tan := math.Tan(22.5 * math.Pi / 180)
	s, surf := roofOf(t, outline, outlets, 0.5, func(p geom.Pt) float64 { return 20 + 0.25*(p.Y-tan*p.X) })
	r := checked(t, s, surf, usual(t))
	// Flow runs along (tan, -1): the line through (0, -20) leans left going up,
	// and cuts the right half's share by a triangle of 40 x 40 tan.
	within(t, "right", r.Areas[1].SqFt, 1200+40*40*tan/2, 0.01*1200)
	within(t, "sum", r.Areas[0].SqFt+r.Areas[1].SqFt, 2400, 1e-9)
}

// TestCheck_UnderTheSlopeButDry: a roof at 1/8 in/ft without ponds is below
// the design slope, and the exception for roofs that drain is named; holding
// water is another finding.
func TestCheck_UnderTheSlopeButDry(t *testing.T) {
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.125, 0))
	opt := usual(t)
	opt.SigmaIn, opt.Window = 0.05, unit.Feet(10)
	for _, name := range []string{"us-reroof", "us-reroof-drained"} {
		var err error
		if opt.Rules, err = RuleSet(survey.RuleChoice{Name: name}); err != nil {
			t.Fatal(err)
		}
		r := checked(t, s, surf, opt)
		if r.PondsFree != Meets || r.MeetsDesign != FallsShort {
			t.Errorf("%s: ponds free %v, design %v", name, r.PondsFree, r.MeetsDesign)
		}
		if r.BelowMinimumPct < 99 {
			t.Errorf("%s: %g %% under the minimum", name, r.BelowMinimumPct)
		}
		text := r.DesignFinding(opt.Rules, unit.US)
		if !strings.Contains(text, "below the design slope of 1/4 in/ft") {
			t.Errorf("%s: %s", name, text)
		}
		if got := strings.Contains(text, "taper is optional"); got != (name == "us-reroof-drained") {
			t.Errorf("%s: %s", name, text)
		}
	}
}

// TestCheck_EveryPathNamesTheSlope: under every-path a four-way roof of 1/4
// planes fails on its valleys by geometry, and the slope that passes is named.
func TestCheck_EveryPathNamesTheSlope(t *testing.T) {
	rules, err := RuleSet(survey.RuleChoice{Name: "every-path"})
	if err != nil {
		t.Fatal(err)
	}
	for slope, want := range map[float64]Verdict{0.25: FallsShort, 0.354: Meets} {
		s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(slope, 0.5))
		opt := usual(t)
		opt.Rules = rules
		r := checked(t, s, surf, opt)
		text := r.DesignFinding(rules, unit.US)
		if r.MeetsDesign != want || strings.Contains(text, "0.354 in/ft") != (want == FallsShort) {
			t.Errorf("%g in/ft: %v, %s", slope, r.MeetsDesign, text)
		}
	}
}

// TestCheck_Doubt: what the survey cannot tell is not told.
func TestCheck_Doubt(t *testing.T) {
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.25, 0))
	opt := usual(t)
	opt.Window, opt.SigmaIn = unit.Feet(10), 0.125
	if r := checked(t, s, surf, opt); r.MeetsDesign != TooClose {
		t.Errorf("planes at the limit, read to 1/8 in: %v", r.MeetsDesign)
	}
	opt.Unsurveyed = true
	r := checked(t, s, surf, opt)
	if r.MeetsDesign != Unknown || r.PondsFree != Unknown {
		t.Errorf("not surveyed: %v, %v", r.MeetsDesign, r.PondsFree)
	}
	for _, p := range r.Paths {
		if p.Verdict != Unknown {
			t.Errorf("path %s: %v", p.ID, p.Verdict)
		}
	}
	opt.Unsurveyed, opt.SigmaIn = false, 0
	part := *surf
	part.Known = make([]bool, surf.Len())
	for k := range part.Known {
		part.Known[k] = surf.Centre(k%surf.NX, k/surf.NX).X < 15
	}
	r = checked(t, s, &part, opt)
	within(t, "unknown share", r.UnknownPct, 25, 1e-9)
	if r.PondsFree != Unknown || r.MeetsDesign != Unknown {
		t.Errorf("a quarter unknown: %v, %v", r.PondsFree, r.MeetsDesign)
	}
}

// TestCheck_PondDoubt: a pond of 1/4 in is clear at a standard error of
// 0.02 in, too close to call against 1/8 in at 0.1.
func TestCheck_PondDoubt(t *testing.T) {
	s, surf := roofOf(t, box(30, 30), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.1, 0))
	opt := usual(t)
	opt.InletIn = []float64{0.3}
	for sigma, want := range map[float64]Verdict{0: FallsShort, 0.02: FallsShort, 0.1: TooClose} {
		opt.SigmaIn = sigma
		if r := checked(t, s, surf, opt); r.PondsFree != want {
			t.Errorf("standard error %g in: %v, want %v", sigma, r.PondsFree, want)
		}
	}
}

// TestCheck_Refuses: what no reader lets through is an error, not a panic.
func TestCheck_Refuses(t *testing.T) {
	s, surf := roofOf(t, box(20, 20), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.25, 0))
	good := usual(t)
	good.InletIn = []float64{0}
	bad := surf.With(append([]float64(nil), surf.ElevIn...))
	bad.ElevIn[7] = math.NaN()
	none := *surf
	none.Roof = make([]bool, surf.Len())
	few := good
	few.InletIn = nil
	done, cancel := context.WithCancel(context.Background())
	cancel()
	for _, c := range []struct {
		name string
		ctx  context.Context
		s    *survey.Site
		surf *survey.Surface
		opt  Options
		say  string
	}{
		{"an elevation that is no number", t.Context(), s, bad, good, "not a number"},
		{"no roof cell", t.Context(), s, &none, good, "lies on the roof"},
		{"no surface", t.Context(), s, nil, good, "one elevation a cell"},
		{"inlets missing", t.Context(), s, surf, few, "0 inlets for 1 outlets"},
		{"stopped", done, s, surf, good, "canceled"},
	} {
		if _, err := Check(c.ctx, c.s, c.surf, c.opt); err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// bumpy is a random roof of a few waves, always the same for one source.
func bumpy(rnd *rand.Rand) func(p geom.Pt) float64 {
	type wave struct{ x, y, at, high float64 }
	waves := make([]wave, 6)
	for n := range waves {
		waves[n] = wave{rnd.Float64() * 0.6, rnd.Float64() * 0.6, rnd.Float64() * 6, 0.2 + rnd.Float64()}
	}
	return func(p geom.Pt) float64 {
		z := 0.0
		for _, w := range waves {
			z += w.high * math.Sin(w.x*p.X+w.y*p.Y+w.at)
		}
		return z
	}
}

// TestCheck_WaterBalance: on random roofs the water in the ponds is what the
// fill holds, and every sq ft of roof drains to one outlet.
func TestCheck_WaterBalance(t *testing.T) {
	t.Logf("seed %d", *seedFlag)
	rnd := rand.New(rand.NewPCG(*seedFlag, 2))
	for range 20 {
		s, surf := roofOf(t, box(30, 20), []survey.Outlet{
			drainAt("D1", geom.Pt{X: rnd.Float64()*20 - 10, Y: rnd.Float64()*16 - 8}),
			drainAt("D2", geom.Pt{X: rnd.Float64()*20 - 10, Y: rnd.Float64()*16 - 8}),
		}, 0.25, bumpy(rnd))
		opt := usual(t)
		opt.Ponds = survey.PondLimits{Depth: unit.Inches(1e-6), Area: unit.SquareFeet(1e-6)}
		r := checked(t, s, surf, opt)
		held, ponds, drained := 0.0, 0.0, 0.0
		for k := range r.FilledIn {
			held += (r.FilledIn[k] - surf.ElevIn[k]) / 12 * surf.CellFt * surf.CellFt
		}
		for _, p := range r.Ponds {
			ponds += p.CuFt
		}
		for _, a := range r.Areas {
			drained += a.SqFt
		}
		// Cells counted by their middles against water to the very edge.
		within(t, "water in ponds", ponds, held, 0.02*held+0.02)
		within(t, "drained", drained, r.RoofSqft, 1e-9*r.RoofSqft)
	}
}

// TestCheck_Laws: a shift, a raised datum, a quarter turn and a mirror of the
// job change no verdict, no count, and no figure of a pond by more than 1e-6.
func TestCheck_Laws(t *testing.T) {
	t.Logf("seed %d", *seedFlag)
	rnd := rand.New(rand.NewPCG(*seedFlag, 3))
	for range 6 {
		z := bumpy(rnd)
		at := geom.Pt{X: rnd.Float64()*20 - 10, Y: rnd.Float64()*16 - 8}
		run := func(f geom.Frame, raiseIn float64) *Report {
			area := &survey.Area{Name: "A", Outline: box(30, 20).Map(f.ToJob),
				Outlets: []survey.Outlet{drainAt("D1", f.ToJob(at))}}
			s := survey.SiteOf(area, nil)
			surf := surfaceOf(s, 0.5, func(p geom.Pt) float64 { return z(f.ToLocal(s.Frame.ToJob(p))) + raiseIn })
			return checked(t, s, surf, usual(t))
		}
		want := run(geom.Frame{}, 0)
		for name, got := range map[string]*Report{
			"raised by 100 ft":      run(geom.Frame{}, 1200),
			"shifted":               run(geom.Frame{Origin: geom.Pt{X: 812.25, Y: -40.5}}, 0),
			"turned by 90 degrees":  run(geom.Frame{Turn: math.Pi / 2}, 0),
			"turned by 180 degrees": run(geom.Frame{Turn: math.Pi}, 0),
			"mirrored":              run(geom.Frame{Mirror: true}, 0),
		} {
			same(t, name, want, got)
		}
	}
}

func same(t *testing.T, name string, want, got *Report) {
	t.Helper()
	if want.PondsFree != got.PondsFree || want.MeetsDesign != got.MeetsDesign ||
		len(want.Ponds) != len(got.Ponds) || len(want.Areas) != len(got.Areas) {
		t.Errorf("%s: %v %v %d ponds, want %v %v %d", name, got.PondsFree, got.MeetsDesign, len(got.Ponds),
			want.PondsFree, want.MeetsDesign, len(want.Ponds))
		return
	}
	within(t, name+": below minimum", got.BelowMinimumPct, want.BelowMinimumPct, 1e-6)
	for n := range want.Ponds {
		p, q := want.Ponds[n], got.Ponds[n]
		within(t, name+": area", q.SqFt, p.SqFt, 1e-6)
		within(t, name+": volume", q.CuFt, p.CuFt, 1e-6)
		within(t, name+": depth", q.DepthIn, p.DepthIn, 1e-6)
		within(t, name+": place of the deepest", q.Deepest.Norm(), p.Deepest.Norm(), 1e-6)
		if q.SpillsTo != p.SpillsTo {
			t.Errorf("%s: %s runs over to %s, want %s", name, q.ID, q.SpillsTo, p.SpillsTo)
		}
	}
}

// TestCheck_AnyRoof: whatever the shape of the roof, pinched, torn or one cell
// wide, and whatever the outlets, every law of the report holds and every path
// ends at an outlet, at a pond, or in a part that is closed in.
func TestCheck_AnyRoof(t *testing.T) {
	t.Logf("seed %d", *seedFlag)
	rnd := rand.New(rand.NewPCG(*seedFlag, 4))
	for n := range 400 {
		w, d := float64(2+rnd.IntN(12)), float64(2+rnd.IntN(12))
		var outlets []survey.Outlet
		for k := range 1 + rnd.IntN(3) {
			o := drainAt("D"+string(rune('1'+k)), geom.Pt{X: (rnd.Float64() - 0.5) * w, Y: (rnd.Float64() - 0.5) * d})
			if rnd.IntN(3) == 0 {
				o.Kind, o.Edge = survey.GutterOutlet, rnd.IntN(4)
			}
			if rnd.IntN(4) == 0 {
				o.State = survey.Blocked
			}
			outlets = append(outlets, o)
		}
		steps := float64(1 + rnd.IntN(5))
		s, surf := roofOf(t, box(w, d), outlets, 1, func(geom.Pt) float64 { return math.Round(rnd.Float64()*steps) / 2 })
		for k := range surf.Roof {
			surf.Roof[k] = surf.Roof[k] && (rnd.IntN(4) > 0 || k == 0)
		}
		opt := usual(t)
		opt.Ponds = survey.PondLimits{Depth: unit.Inches(0.3), Area: unit.SquareFeet(1)}
		opt.InletIn = Inlets(s, surf, nil)
		opt.InletIn[0] += float64(rnd.IntN(2))
		opt.SigmaIn = 0.1 * float64(rnd.IntN(2))
		r := checked(t, s, surf, opt)
		ends := map[string]bool{}
		for _, o := range s.Outlets {
			ends[o.ID] = o.State != survey.Blocked
		}
		closed := r.RoofSqft
		for _, a := range r.Areas {
			closed -= a.SqFt
		}
		for _, p := range r.Ponds {
			ends[p.ID] = true
			if p.ClosedIn != (p.SpillsTo == "") || p.ClosedIn && (closed < 1 || r.PondsFree != FallsShort) {
				t.Fatalf("roof %d of seed %d: pond %s runs over to nowhere", n, *seedFlag, p.ID)
			}
		}
		for _, p := range r.Paths {
			if !ends[p.EndsAt] && (p.EndsAt != "" || closed < 1) {
				t.Fatalf("roof %d of seed %d: path %s ends at %q", n, *seedFlag, p.ID, p.EndsAt)
			}
		}
	}
}

// TestCheck_AnyNumberOfWorkers: paths and areas are the same to the bit.
func TestCheck_AnyNumberOfWorkers(t *testing.T) {
	s, surf := noisyRoof(t, 310, 220)
	opt := usual(t)
	opt.Window, opt.SigmaIn = unit.Feet(20), 0.05
	opt.InletIn = Inlets(s, surf, nil)
	var want *Report
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 3} {
		runtime.GOMAXPROCS(n)
		c, r, err := prepared(s, surf, opt)
		if err != nil {
			t.Fatal(err)
		}
		tr := c.newTracer()
		if r.Paths, _, err = c.paths(t.Context(), tr, n); err != nil {
			t.Fatal(err)
		}
		if r.Areas, err = c.drainageAreas(t.Context(), tr, n); err != nil {
			t.Fatal(err)
		}
		if want == nil {
			want = r
		}
		if len(r.Paths) == 0 || !reflect.DeepEqual(want.Paths, r.Paths) || !reflect.DeepEqual(want.Areas, r.Areas) ||
			!reflect.DeepEqual(want.FilledIn, r.FilledIn) || !reflect.DeepEqual(want.Ponds, r.Ponds) {
			t.Errorf("%d workers: another answer", n)
		}
	}
}

// TestCheck_LevelRoof: a dead level roof holds no water that a survey could
// show, and slopes nowhere; every path finds the drain.
func TestCheck_LevelRoof(t *testing.T) {
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, func(geom.Pt) float64 { return 7 })
	r := checked(t, s, surf, usual(t))
	if len(r.Ponds) != 0 || r.MeetsDesign != FallsShort {
		t.Errorf("%d ponds, %v", len(r.Ponds), r.MeetsDesign)
	}
	within(t, "below minimum", r.BelowMinimumPct, 100, 0)
	for _, p := range r.Paths {
		if p.EndsAt != "D1" || p.DropIn != 0 {
			t.Errorf("path %s drops %g in to %q", p.ID, p.DropIn, p.EndsAt)
		}
		// The shortest way in steps of 5 and 7 is at most 8 % over the straight.
		straight := p.Points[0].Norm()
		if p.LengthFt > 1.09*straight+1 {
			t.Errorf("path %s: %g ft for %g", p.ID, p.LengthFt, straight)
		}
	}
}

// TestCompareSeen: ponds that people saw against those computed.
func TestCompareSeen(t *testing.T) {
	drain := drainAt("D1", geom.Pt{})
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drain}, 0.5, fourWay(0.25, 0))
	opt := usual(t)
	opt.InletIn = []float64{1}
	r := checked(t, s, surf, opt)
	square := func(c geom.Pt, half float64) geom.Ring {
		return geom.Box{Min: c.Sub(geom.Pt{X: half, Y: half}), Max: c.Add(geom.Pt{X: half, Y: half})}.Ring()
	}
	for _, c := range []struct {
		name    string
		at      geom.Pt
		depthIn float64
		pond    string
		agrees  bool
		n       int
		words   []string
	}{
		{"as computed", geom.Pt{X: 1}, 1, "P1", true, 1, []string{"agree", "best proof"}},
		{"deeper, within half of it", geom.Pt{X: 1}, 1.4, "P1", true, 1, []string{"agree"}},
		{"much deeper", geom.Pt{X: 1}, 4, "P1", false, 1, []string{"deeper than computed", "D1 is blocked, slow", "survey"}},
		{"much shallower", geom.Pt{X: 1}, 0.25, "P1", false, 1, []string{"shallower than computed", "not full", "survey"}},
		{"where none is computed", geom.Pt{X: 20, Y: 10}, 1, "", false, 1, []string{"none is computed", "D1 is blocked", "survey"}},
		{"on another area", geom.Pt{X: 200}, 1, "", false, 0, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := CompareSeen(s, r, []survey.SeenPond{{Outline: square(c.at, 3), Depth: unit.Inches(c.depthIn)}})
			if len(got) != c.n {
				t.Fatalf("%d findings, want %d", len(got), c.n)
			}
			if c.n == 1 && (got[0].Pond != c.pond || got[0].Agrees != c.agrees || got[0].Words == "") {
				t.Errorf("%+v", got[0])
			}
			for _, w := range c.words {
				if !strings.Contains(got[0].Words, w) {
					t.Errorf("%q does not say %q", got[0].Words, w)
				}
			}
		})
	}
	if got := CompareSeen(s, r, []survey.SeenPond{{}}); got != nil {
		t.Errorf("no outline: %v", got)
	}
}

// TestOutletCells: a drain on a corner of cells has four, on a side two,
// inside one; outside the roof the nearest.
func TestOutletCells(t *testing.T) {
	for _, c := range []struct {
		at   geom.Pt
		want int
	}{{geom.Pt{}, 4}, {geom.Pt{X: 0.2}, 2}, {geom.Pt{X: 0.2, Y: 0.3}, 1}, {geom.Pt{X: 400, Y: -7}, 1}} {
		s, surf := roofOf(t, box(10, 10), []survey.Outlet{drainAt("D1", c.at)}, 0.5, fourWay(0.25, 0))
		if got := OutletCells(s, surf)[0]; len(got) != c.want {
			t.Errorf("drain at %v: %d cells, want %d", c.at, len(got), c.want)
		}
	}
	s, surf := roofOf(t, box(10, 8), openAllRound(), 0.5, fourWay(0.25, 0))
	for n, cells := range OutletCells(s, surf) {
		if want := 20 - 4*(n%2); len(cells) != want {
			t.Errorf("edge %d: %d cells, want %d", n, len(cells), want)
		}
	}
}

func ExampleCheck() {
	s := &survey.Site{Name: "A", Outline: geom.Box{Min: geom.Pt{X: -30, Y: -20}, Max: geom.Pt{X: 30, Y: 20}}.Ring()}
	s.Outlets = []survey.SiteOutlet{{Outlet: survey.Outlet{ID: "D1", Kind: survey.Drain, Edge: -1}}}
	surf := surfaceOf(s, 0.5, fourWay(0.25, 0.5)) // four planes of 1/4 in/ft
	rules, _ := RuleSet(survey.RuleChoice{Name: "every-path"})
	r, err := Check(context.Background(), s, surf, Options{
		Rules: rules, InletIn: []float64{1}, Window: unit.Feet(4),
		Ponds: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d pond of %.0f sq ft, runs over to %s\n", len(r.Ponds), r.Ponds[0].SqFt, r.Ponds[0].SpillsTo)
	fmt.Println(r.DesignFinding(rules, unit.US))
	// Output:
	// 1 pond of 16 sq ft, runs over to D1
	// below the design slope of 1/4 in/ft on 114 of 114 paths, all in valleys: by geometry, equal planes would have to slope 0.354 in/ft for their valleys to reach it
}
