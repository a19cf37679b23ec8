package drainage

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestBays_OneVerdict: what the rules say of an overflow and what rain says of
// its bay is one figure and one verdict, on rough roofs with overflows at all
// heights, shut, buried, and beside open edges.
func TestBays_OneVerdict(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 7))
	told := map[Verdict]int{}
	for range 60 {
		at := func() geom.Pt { return geom.Pt{X: 50*rnd.Float64() - 25, Y: 30*rnd.Float64() - 15} }
		outlets := []survey.Outlet{drainAt("D1", at()), drainAt("D2", at()), overflowAt("O1", at()), overflowAt("O2", at())}
		if rnd.IntN(4) == 0 {
			outlets[3].State = survey.Blocked
		}
		if rnd.IntN(4) == 0 {
			outlets = append(outlets, survey.Outlet{ID: "A-0", Kind: survey.OpenOutlet, Edge: 0})
		}
		a, b := rnd.Float64()*0.1, rnd.Float64()*0.1
		s, surf := roofOf(t, box(60, 40), outlets, 1, func(p geom.Pt) float64 {
			return a*p.X + b*p.Y + 1.5*math.Sin(p.X/7)*math.Cos(p.Y/6)
		})
		opt := usual(t)
		opt.InletIn = Inlets(s, surf, nil)
		for n := 2; n < 4; n++ {
			opt.InletIn[n] += 6*rnd.Float64() - 1
		}
		opt.SigmaIn = 0.1 * float64(rnd.IntN(3))
		r := checked(t, s, surf, opt)
		rain, err := RainOn(RainInput{Site: s, Report: r, Opt: opt, Existing: surf})
		if err != nil {
			t.Fatal(err)
		}
		for _, bay := range rain.Bays {
			if bay.Overflow == "" || bay.Overflow == "A-0" {
				continue
			}
			same := 0
			for _, f := range r.Findings {
				if f.Rule == "overflow" && f.Where == bay.Overflow && strings.HasPrefix(f.Why, "above the roof at "+bay.Lowest) &&
					f.Figure == Measure(unit.Inches(bay.DsIn)) && f.Verdict == bay.Protects {
					same++
				}
			}
			if same != 1 {
				t.Errorf("%d findings say %+v of %+v", same, bay, r.Findings)
			}
			told[bay.Protects]++
		}
	}
	if told[Meets] == 0 || told[FallsShort] < 10 || told[TooClose] == 0 {
		t.Errorf("bays %v", told)
	}
}

// TestOverflow_Shut: a blocked overflow protects nothing however it stands, one
// that is buried neither; where an open edge is lower than the overflow, the
// water leaves over that.
func TestOverflow_Shut(t *testing.T) {
	of := func(o survey.Outlet, overIn float64, more ...survey.Outlet) Finding {
		outlets := append([]survey.Outlet{drainAt("D1", geom.Pt{X: -10}), o}, more...)
		s, surf := roofOf(t, box(60, 40), outlets, 0.5, func(geom.Pt) float64 { return 5 })
		opt := usual(t)
		opt.InletIn = Inlets(s, surf, nil)
		opt.InletIn[1] = 5 + overIn
		return found(t, checked(t, s, surf, opt), "overflow", "O1")
	}
	o := overflowAt("O1", geom.Pt{X: 10})
	blocked := o
	blocked.State = survey.Blocked
	for _, c := range []struct {
		name string
		f    Finding
		want Verdict
		why  string
	}{
		{"open, 3 in up", of(o, 3), Meets, "above the roof at D1"},
		{"blocked", of(blocked, 3), FallsShort, "it is blocked"},
		{"buried", of(o, -2), FallsShort, "buried"},
		{"an open edge beside", of(o, 3, survey.Outlet{ID: "A-0", Kind: survey.OpenOutlet, Edge: 0}), Unknown, "another way out is lower"},
	} {
		if c.f.Verdict != c.want || !strings.Contains(c.f.Why, c.why) {
			t.Errorf("%s: %+v", c.name, c.f)
		}
	}
}

// TestInlets_ScupperAtWall: a height above the membrane at a wall stands on the
// plane at the wall itself, whichever way the plane falls and the wall runs.
func TestInlets_ScupperAtWall(t *testing.T) {
	outline := geom.Ring{{X: -30.2, Y: -20.1}, {X: 30.2, Y: -20.1}, {X: 22.3, Y: 19.4}, {X: -30.2, Y: 20.1}}
	for deg := 0.0; deg < 360; deg += 15 {
		g := geom.Pt{X: 0.25 * math.Cos(deg*math.Pi/180), Y: 0.25 * math.Sin(deg*math.Pi/180)}
		for edge := range outline {
			for _, cellFt := range []float64{0.25, 0.5, 1} {
				s, surf := roofOf(t, outline, nil, cellFt, func(p geom.Pt) float64 { return 20 + g.Dot(p) })
				a, b := outline[edge], outline.At(edge+1)
				p := a.Lerp(b, 0.37)
				half := b.Sub(a).Mul(0.5 / a.Dist(b))
				o := survey.Outlet{ID: "S1", Kind: survey.Scupper, Edge: edge}
				o.Inlet.Value, o.Inlet.Above = 2*unit.Inch, survey.AboveMembrane
				s.Outlets = []survey.SiteOutlet{{Outlet: o, P: p, A: p.Sub(half), B: p.Add(half)}}
				within(t, "inlet", Inlets(s, surf, nil)[0], 22+g.Dot(p), 1e-9)
			}
		}
	}
}

// TestDry_ByDryingDepth: a pond 1 in deep stands 1/r times 48 h where r in dry
// off in 48 h: 96 h at 1/2 in, 24 h at 2 in.
func TestDry_ByDryingDepth(t *testing.T) {
	dish := func(p geom.Pt) float64 { return math.Min(1, p.Norm()*p.Norm()/16) }
	s, surf := roofOf(t, box(60, 40), openAllRound(), 0.5, dish)
	opt := usual(t)
	for _, c := range []struct {
		drying, sigma, wantH float64
		seen                 []SeenFinding
		want                 Verdict
	}{
		{0.5, 0, 96, nil, FallsShort},
		{2, 0, 24, nil, Meets},
		{0.9, 0.25, 53.3, nil, TooClose},
		{2, 0, 36, []SeenFinding{{Seen: survey.SeenPond{Hours: 36}}}, Meets},                               // seen dry goes before
		{0.5, 0, 36, []SeenFinding{{Seen: survey.SeenPond{Hours: 36}}}, Unknown},                           // seen and computed disagree
		{2, 0, 60, []SeenFinding{{Seen: survey.SeenPond{Depth: unit.Inches(0.5), Hours: 60}}}, FallsShort}, // seen wet
	} {
		opt.SigmaIn, opt.Ponds.Drying = c.sigma, unit.Inches(c.drying)
		f := checked(t, s, surf, opt).DryFinding(opt.Rules, opt.Ponds.Drying, c.seen)
		if h, ok := f.Figure.(Hours); f.Verdict != c.want || !ok || math.Abs(float64(h)-c.wantH) > 1 {
			t.Errorf("%+v: %+v", c, f)
		}
		if c.sigma > 0 && math.Abs(float64(f.Doubt.(Hours))-2*math.Sqrt2*c.sigma/c.drying*48) > 0.1 {
			t.Errorf("doubt %v", f.Doubt)
		}
	}
}

// TestOverflow_Twins: two scuppers at one height over one water are both judged,
// though only one of them lets it go first.
func TestOverflow_Twins(t *testing.T) {
	for _, higherIn := range []float64{0, 0.01, 1} {
		s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{}), overflowAt("O1", geom.Pt{X: 10}), overflowAt("O2", geom.Pt{X: -10})},
			0.5, func(geom.Pt) float64 { return 5 })
		opt := usual(t)
		opt.InletIn = []float64{5, 11, 11 + higherIn}
		r := checked(t, s, surf, opt)
		for id, wantIn := range map[string]float64{"O1": 6, "O2": 6 + higherIn} {
			f := found(t, r, "overflow", id)
			if f.Verdict != FallsShort || f.Figure == nil || math.Abs(f.Figure.(unit.Length).Inches()-wantIn) > 1e-9 {
				t.Errorf("%s, %g in higher: %+v", id, higherIn, f)
			}
		}
	}
}
