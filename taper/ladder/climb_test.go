package ladder

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestNothing: two findings, water and slope, and what follows from them. That
// a roof under the slope may stay as it is where it drains is the re-roof
// exception of the model codes (IBC 2021 family 1512.1, exception 1).
func TestNothing(t *testing.T) {
	cases := []struct {
		story        string
		water, slope drainage.Verdict
		exception    bool
		want         Outcome
	}{
		{"holds water", drainage.FallsShort, drainage.Meets, false, Refused},
		{"holds water, with the exception", drainage.FallsShort, drainage.FallsShort, true, Refused},
		{"dry but flat", drainage.Meets, drainage.FallsShort, false, Refused},
		{"dry but flat, with the exception", drainage.Meets, drainage.FallsShort, true, Kept},
		{"flat, water too close to call", drainage.TooClose, drainage.FallsShort, false, Refused},
		{"flat, water too close to call, with the exception", drainage.TooClose, drainage.FallsShort, true, Open},
		{"dry and steep enough", drainage.Meets, drainage.Meets, false, Kept},
		{"dry, slope too close to call", drainage.Meets, drainage.TooClose, false, Open},
		{"dry, slope too close to call, with the exception", drainage.Meets, drainage.TooClose, true, Kept},
		{"steep enough, water not known", drainage.Unknown, drainage.Meets, false, Open},
		{"nothing known", drainage.Unknown, drainage.Unknown, false, Open},
	}
	for _, c := range cases {
		t.Run(c.story, func(t *testing.T) {
			rules, err := drainage.RuleSet(survey.RuleChoice{})
			if err != nil {
				t.Fatal(err)
			}
			rules.DrainedException = c.exception
			m := climb{In: In{Existing: &drainage.Report{PondsFree: c.water, MeetsDesign: c.slope},
				Options: drainage.Options{Rules: rules}, Units: unit.US}}
			if s := m.nothing(); s.Outcome != c.want || s.Why == "" {
				t.Errorf("%v because %q, want %v", s.Outcome, s.Why, c.want)
			}
		})
	}
}

// fall is a roof of 1/8 in/ft to its west edge, a gutter, with a round dish of
// so deep and wide in it.
func fall(at geom.Pt, deepIn, radiusFt float64) func(p geom.Pt) float64 {
	return func(p geom.Pt) float64 {
		z := 0.125 * (p.X + 30)
		if r := p.Dist(at); r < radiusFt {
			z -= deepIn * (1 + math.Cos(math.Pi*r/radiusFt)) / 2
		}
		return z
	}
}

var westGutter = survey.Outlet{ID: "A-3", Kind: survey.GutterOutlet, Edge: 3}

// TestSmallestFirst: a roof of 1/8 in/ft under the re-roof exception needs
// nothing; with a pond of some 60 sq ft and 1 in the exception is not
// supported, and the smallest fix comes first: a local fill where no drain is
// near, the drain where one stands in it. Under the plain rules no lesser work
// does, since the slope falls short, and each rung says so with its figure.
func TestSmallestFirst(t *testing.T) {
	dish := fall(geom.Pt{X: 5}, 1.95, 8)
	plain := roof{w: 60, d: 40, outlets: []survey.Outlet{westGutter}, z: fall(geom.Pt{}, 0, 1), rules: "us-reroof-drained"}
	if _, rung := climbed(t, plain.in(t)); rung != DrainsAsIs {
		t.Errorf("without a pond %v", rung)
	}
	pond := plain
	pond.z = dish
	in := pond.in(t)
	if p := in.Existing.Ponds; len(p) != 1 || math.Abs(p[0].DepthIn-1) > 0.1 || math.Abs(p[0].SqFt-60) > 10 {
		t.Fatalf("ponds %+v", p)
	}
	by, rung := climbed(t, in)
	if s := by[FillLows]; rung != FillLows || s.FillCuFt <= in.Existing.Ponds[0].CuFt || s.FillSqFt < 60 || s.FillSqFt > 300 || s.Left.Ponds != 0 {
		t.Errorf("%v: %+v", rung, by[FillLows])
	}
	drawn := 0.0 // the fill is drawn as large as it is told
	for _, poly := range by[FillLows].Places[0].Shape {
		drawn += poly.Area()
	}
	near(t, "sq ft of fill drawn", drawn, by[FillLows].FillSqFt, 1e-6)
	proud := pond
	proud.outlets = append(proud.outlets, drainAt("D1", 5, 0))
	proud.inletIn = map[string]float64{"D1": 5}
	by, rung = climbed(t, proud.in(t))
	if s := by[Sump]; rung != Sump || len(s.Places) != 1 || !strings.Contains(s.Do, "flush") {
		t.Errorf("with a proud drain in it %v: %+v", rung, s)
	}
	pond.rules = "us-reroof"
	by, rung = climbed(t, pond.in(t))
	if rung != Taper || by[Taper].Outcome != NotTested {
		t.Errorf("under the plain rules %v", rung)
	}
	for _, r := range []Rung{FillLows, Outlet} {
		if s := by[r]; s.Outcome != Refused || !strings.Contains(s.Why, "clears P1") || !strings.Contains(s.Why, "1/4 in/ft") {
			t.Errorf("%v is %v because %s", r, s.Outcome, s.Why)
		}
	}
}

// TestUniformBoard: a uniform 2 in board over a ponding roof with its drains
// left as they were: the ponds are the same, the drain stands 2 in low and wants
// a sump, which cures no pond.
func TestUniformBoard(t *testing.T) {
	dish := fall(geom.Pt{X: 5}, 1.95, 8)
	old := roof{w: 60, d: 40, outlets: []survey.Outlet{westGutter, drainAt("D1", -20, 12)}, z: dish, rules: "us-reroof-drained"}
	before := old.in(t)
	laid := old
	laid.z = func(p geom.Pt) float64 { return dish(p) + 2 }
	laid.inletIn = map[string]float64{"D1": before.Options.InletIn[1]}
	in := laid.in(t)
	if a, b := before.Existing.Ponds, in.Existing.Ponds; len(a) != 1 || len(b) != 1 ||
		math.Abs(a[0].SqFt-b[0].SqFt) > 1e-6 || math.Abs(a[0].DepthIn-b[0].DepthIn) > 1e-9 {
		t.Fatalf("ponds before %+v, after %+v", a, b)
	}
	by, rung := climbed(t, in)
	s := by[Sump]
	if s.Outcome != Refused || len(s.Places) != 1 || !strings.Contains(s.Do, "stands low") || s.Left.Ponds != 1 {
		t.Errorf("%+v", s)
	}
	if rung != FillLows {
		t.Errorf("the rest takes %v", rung)
	}
}

// TestDrainRowUpslope: drains 2 ft upslope of a low line, 1/4 in/ft both ways:
// a dead valley 1/2 in deep and 4 ft wide, 5.0 cu ft over 60 ft. A sump that
// reaches the low line, or a drain in it, clears it; a core must tell how deep
// the sump may go, and a thin old roof leaves no room for one.
func TestDrainRowUpslope(t *testing.T) {
	r := roof{w: 60, d: 40, outlets: []survey.Outlet{drainAt("D1", -15, 2), drainAt("D2", 15, 2)}, rules: "us-reroof-drained",
		z: func(p geom.Pt) float64 { return 0.25 * math.Abs(p.Y) }, oldIn: 4,
		inletIn: map[string]float64{"D1": 0.5, "D2": 0.5}, cellFt: 0.25}
	in := r.in(t)
	if len(in.Existing.Ponds) != 1 {
		t.Fatalf("%d ponds", len(in.Existing.Ponds))
	}
	near(t, "volume cu ft", in.Existing.Ponds[0].CuFt, 5, 0.05)
	by, rung := climbed(t, in)
	if s := by[Sump]; rung != Sump || !strings.Contains(s.Do, "sump 4'-0\" square") {
		t.Errorf("%v: %+v", rung, s)
	}
	in.SumpFt = 6
	by, _ = climbed(t, in)
	if s := by[Sump]; s.Outcome != Kept || !strings.Contains(s.Do, "sump 6'-0\" square") {
		t.Errorf("with sumps of 6 ft: %+v", s)
	}
	r.oldIn = 0
	by, _ = climbed(t, r.in(t))
	if s := by[Sump]; s.Outcome != Refused || !strings.Contains(s.Why, "no core") {
		t.Errorf("without a core: %+v", s)
	}
	// 1/2 in over the deck stays: a roof of 1 in leaves the inlet, at an old
	// surface of 1/2 in, no lower than the low line.
	r.oldIn = 1
	by, _ = climbed(t, r.in(t))
	if s := by[Sump]; s.Outcome != Refused || !strings.Contains(s.Why, "over the deck") {
		t.Errorf("on a thin roof: %+v", s)
	}
	s, err := on(r.in(t)).outlet(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if s.Outcome != Kept || len(s.Places) != 1 || math.Abs(s.Places[0].At.Y) > 0.3 {
		t.Errorf("a drain in the low line: %+v", s)
	}
}

// TestProudRim: an outlet welded 4 mm proud on a roof of four planes of 1:592
// holds a third of its square times 4 mm, 30 litres: (4/3) a^2 h with a = 592 h.
// Set flush it drains.
func TestProudRim(t *testing.T) {
	const slope = 1. / 592
	rimIn := unit.Millimetres(4).Inches()
	r := roof{w: 30, d: 30, outlets: []survey.Outlet{drainAt("D1", 0, 0)}, rules: "us-reroof-drained",
		z:       func(p geom.Pt) float64 { return 12 * slope * math.Max(math.Abs(p.X), math.Abs(p.Y)) },
		inletIn: map[string]float64{"D1": rimIn}, cellFt: 0.25}
	in := r.in(t)
	in.Units = unit.Metric
	a := unit.Millimetres(4).Metres() / slope
	near(t, "litres", unit.CubicFeet(in.Existing.Ponds[0].CuFt).Litres(), 1000*4./3*a*a*0.004, 0.3)
	near(t, "litres", unit.CubicFeet(in.Existing.Ponds[0].CuFt).Litres(), 30, 1)
	by, rung := climbed(t, in)
	if s := by[Sump]; rung != Sump || !strings.Contains(s.Do, "set D1 4 mm lower, flush") {
		t.Errorf("%v: %+v", rung, s)
	}
}

// TestProudFlange: four planes of 1/4 in/ft on 40 x 60 ft with 1/2 in at the
// drain and its flange 1.0 up: a pond 1/2 in deep, 4 x 4 ft, 16 sq ft, 0.222
// cu ft. Setting the flange flush cures it under the plain rules; were that
// refused, a fill round it would, of far less than the 100 cu ft (1,200 board
// feet) of another half inch of start all over.
func TestProudFlange(t *testing.T) {
	r := roof{w: 60, d: 40, outlets: []survey.Outlet{drainAt("D1", 0, 0)}, cellFt: 0.25,
		z:       func(p geom.Pt) float64 { return 0.5 + 0.25*math.Max(math.Abs(p.X), math.Abs(p.Y)) },
		inletIn: map[string]float64{"D1": 1}}
	in := r.in(t)
	p := in.Existing.Ponds[0]
	near(t, "depth in", p.DepthIn, 0.5, 0.04)
	near(t, "area sq ft", p.SqFt, 16, 0.2)
	near(t, "volume cu ft", p.CuFt, 2./9, 0.003)
	if by, rung := climbed(t, in); rung != Sump {
		t.Errorf("%v: %+v", rung, by[Sump])
	}
	r.outlets[0].Reset = survey.ResetNo
	c := on(r.in(t))
	s, err := c.sump(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if s.Outcome != Refused || !strings.Contains(s.Why, "not to be reset") {
		t.Errorf("not to be reset: %+v", s)
	}
	s, err = c.fill(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if s.Left == nil || s.Left.Ponds != 0 || s.FillCuFt < p.CuFt || s.FillCuFt > 10*p.CuFt {
		t.Errorf("fill: %+v", s)
	}
}

// TestFill_Volume: a trough that falls 1/20 in/ft away from the edge that
// drains it: what runs off at 1/8 in/ft toward the edge is thick by 0.175 in a
// foot, 1/2 x 0.175 x 20^2 x 10 / 12 = 29.17 cu ft over 20 x 10 ft.
func TestFill_Volume(t *testing.T) {
	r := roof{w: 20, d: 10, outlets: []survey.Outlet{westGutter}, z: func(p geom.Pt) float64 { return -(p.X + 10) / 20 },
		inletIn: map[string]float64{"A-3": 0}}
	c := on(r.in(t))
	top, err := c.filled(context.Background(), fillInPerFt)
	if err != nil {
		t.Fatal(err)
	}
	s := c.measureFill(top)
	near(t, "volume cu ft", s.FillCuFt, 0.5*0.175*20*20*10/12, 0.02*29.17)
	near(t, "area sq ft, but for a feather of a cell", s.FillSqFt, 200, 5+1e-9)
	// Boards of 4 ft lie -10..-10+4n from the middle: those with 1/2 in at
	// their thin edge, 0.5 / 0.175 = 2.9 ft from the drained edge, and whole:
	// squares from x = -6 up to 10 and from y = -2 to 2.
	if s.Boards != 4 {
		t.Errorf("%d boards, want 4", s.Boards)
	}
}

// TestFill_LeavesNoPond: whatever the roof, what is filled lies nowhere under
// it, and no pond worth reporting is left.
func TestFill_LeavesNoPond(t *testing.T) {
	ponds := 0
	for seed := range uint64(60) {
		rnd := rand.New(rand.NewPCG(seed, 4))
		a, b, e := rnd.Float64()*2, rnd.Float64()*2, rnd.Float64()*6
		r := roof{w: 30, d: 24, cellFt: 0.5, rules: "us-reroof-drained",
			outlets: []survey.Outlet{drainAt("D1", -9+18*rnd.Float64(), -6+12*rnd.Float64())},
			z: func(p geom.Pt) float64 {
				return a*math.Sin(p.X/4+e) + b*math.Cos(p.Y/5-e) + 0.05*p.X
			}}
		c := on(r.in(t))
		ponds += len(c.now.Ponds)
		top, err := c.filled(context.Background(), fillInPerFt)
		if err != nil {
			t.Fatal(err)
		}
		for k := range top {
			if top[k] < c.surf.ElevIn[k] {
				t.Fatalf("seed %d: cell %d is filled to %g under %g", seed, k, top[k], c.surf.ElevIn[k])
			}
		}
		left, err := c.standing(context.Background(), trial{c.Site, c.surf.With(top), c.inletIn})
		if err != nil {
			t.Fatal(err)
		}
		if len(left.Ponds) != 0 {
			t.Errorf("seed %d: %d ponds left of %d", seed, len(left.Ponds), len(c.now.Ponds))
		}
	}
	if ponds < 60 {
		t.Errorf("only %d ponds to fill", ponds)
	}
}

// TestCut_Volume: a sump 4 ft square and 1 in deep is a pyramid of
// 16 x 1/12 / 3 = 0.444 cu ft.
func TestCut_Volume(t *testing.T) {
	r := roof{w: 20, d: 20, outlets: []survey.Outlet{drainAt("D1", 0, 0)}, z: func(geom.Pt) float64 { return 0 }, cellFt: 0.1}
	c, cuft := on(r.in(t)), 0.0
	for _, z := range c.cut(geom.Pt{}, 2, -1) {
		cuft -= z / 12 * 0.01
	}
	near(t, "volume cu ft", cuft, 4./9, 0.005)
}

// TestCut_AboveTheDeck: a sump is cut no lower than half an inch over a deck that
// rises through it, and lies on it there.
func TestCut_AboveTheDeck(t *testing.T) {
	r := roof{w: 20, d: 20, outlets: []survey.Outlet{drainAt("D1", 0, 0)}, z: func(geom.Pt) float64 { return 0 }, cellFt: 0.1}
	c := on(r.in(t))
	deck := c.surf.With(append([]float64(nil), c.surf.ElevIn...))
	for k := range deck.ElevIn {
		deck.ElevIn[k] = -2 + 0.5*c.surf.Centre(k%c.surf.NX, k/c.surf.NX).X // -2.5 at x = -1, -1.5 at x = 1
	}
	c.Levels.Deck = deck
	onDeck := 0
	for k, z := range c.cut(geom.Pt{}, 2, -2) {
		if floor := deck.ElevIn[k] + 0.5; z < min(0, floor)-1e-9 {
			t.Fatalf("cut to %g, half an inch over the deck is %g", z, floor)
		} else if z < -1e-9 && z < floor+1e-9 {
			onDeck++
		}
	}
	if onDeck < 50 {
		t.Errorf("%d cells lie on the deck", onDeck)
	}
}

// TestOutlet_Best: of two ponds the one that holds more falls in two when an
// outlet stands in its deepest place. Where it would then keep more than the
// other holds, the first outlet is suggested in the other, else in it, though no
// pond is gone by that yet; three clear all.
func TestOutlet_Best(t *testing.T) {
	for depthIn, places := range map[float64][3]float64{3: {24, -22, -6}, 2.5: {-22, 24, -6}} {
		r := roof{w: 80, d: 30, outlets: []survey.Outlet{westGutter}, rules: "us-reroof-drained", z: func(p geom.Pt) float64 {
			cone := func(x, deepIn float64) float64 { return deepIn*p.Dist(geom.Pt{X: x})/9 - deepIn }
			return min(0, cone(-22, 2), cone(-6, 1.9), cone(24, depthIn))
		}}
		in := r.in(t)
		if p := in.Existing.Ponds; len(p) != 2 || p[1].CuFt < 1.2*p[0].CuFt {
			t.Fatalf("%d ponds: %+v", len(p), p)
		}
		s, err := on(in).outlet(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Places) != 3 || s.Left.Ponds != 0 || s.Outcome != Kept {
			t.Fatalf("%g in: %+v", depthIn, s)
		}
		for n, x := range places {
			near(t, "place of an outlet", s.Places[n].At.X, x, 1)
			want := map[float64]string{24: "clears P1", -22: "lets go a part of P2", -6: "clears P2"}[x]
			if do := strings.Split(s.Do, "; ")[n]; !strings.HasSuffix(do, want) {
				t.Errorf("%g in, outlet %d: %q does not say %q", depthIn, n+1, do, want)
			}
		}
	}
}

// TestClimb_Ends: a done context ends the climb.
func TestClimb_Ends(t *testing.T) {
	in := roof{w: 60, d: 40, outlets: []survey.Outlet{westGutter}, z: fall(geom.Pt{X: 5}, 1.95, 8)}.in(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, _, err := Climb(ctx, in); err == nil {
		t.Error("climbs on")
	}
}

// TestClosedIn: where the only drain is blocked no sump and no fill helps, and
// both say to clear it; a new outlet does.
func TestClosedIn(t *testing.T) {
	d := drainAt("D1", -12, 0)
	d.State = survey.Blocked
	r := roof{w: 30, d: 20, outlets: []survey.Outlet{d}, rules: "us-reroof-drained",
		z: func(p geom.Pt) float64 { return 0.25 * (p.X + 15) }}
	by, rung := climbed(t, r.in(t))
	for _, n := range []Rung{Sump, FillLows} {
		if s := by[n]; s.Outcome != Refused || !strings.Contains(s.Why, "D1 blocked: clear first") {
			t.Errorf("%v: %+v", n, s)
		}
	}
	if rung != Outlet || !strings.Contains(by[Outlet].Do, "a scupper through edge 3") {
		t.Errorf("%v: %+v", rung, by[Outlet])
	}
}

// BenchmarkClimb: a roof of 100,000 sq ft with some fifty dishes and nine
// drains, climbed up to the taper.
func BenchmarkClimb(b *testing.B) {
	var drains []survey.Outlet
	for i := range 9 {
		drains = append(drains, drainAt("D"+string(rune('1'+i)), float64(i%3-1)*130, float64(i/3-1)*80))
	}
	r := roof{w: 400, d: 250, outlets: drains, z: func(p geom.Pt) float64 {
		return 1.5*math.Sin(p.X/9)*math.Cos(p.Y/11) + 0.02*math.Hypot(p.X, p.Y)
	}}
	in := r.in(b)
	for b.Loop() {
		if _, _, _, err := Climb(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(in.Existing.Ponds)), "ponds")
}

// TestUntold_SaysSo: a rung that leaves no pond which the shots can show, on a
// survey that leaves a quarter unknown, does not speak of all clear and of not knowing side
// by side.
func TestUntold_SaysSo(t *testing.T) {
	r := roof{w: 60, d: 40, outlets: []survey.Outlet{westGutter}, z: fall(geom.Pt{X: 5}, 1.95, 8), rules: "us-reroof-drained"}
	in := r.in(t)
	c := on(in)
	c.surf.Known = make([]bool, c.surf.Len())
	for k := range c.surf.Known {
		c.surf.Known[k] = k%c.surf.NX < c.surf.NX*3/4
	}
	s, err := c.fill(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if s.Outcome != Open || !strings.Contains(s.Why, "clears P1, the only pond; but the shots are too few or too rough") {
		t.Errorf("%+v", s)
	}
}
