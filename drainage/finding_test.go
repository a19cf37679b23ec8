package drainage

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// found is the one finding of a rule at a place.
func found(t *testing.T, r *Report, rule, where string) Finding {
	t.Helper()
	var out []Finding
	for _, f := range r.Findings {
		if f.Rule == rule && f.Where == where {
			out = append(out, f)
		}
	}
	if len(out) != 1 {
		t.Fatalf("%d findings of %s at %q in %+v", len(out), rule, where, r.Findings)
	}
	return out[0]
}

func overflowAt(id string, p geom.Pt) survey.Outlet {
	o := drainAt(id, p)
	o.Overflow = true
	return o
}

// under gives the options of a named set.
func under(t *testing.T, name string) Options {
	t.Helper()
	opt := usual(t)
	var err error
	if opt.Rules, err = RuleSet(survey.RuleChoice{Name: name}); err != nil {
		t.Fatal(err)
	}
	return opt
}

// TestOverflow_Height: an overflow's inlet stands 2 to 4 in above the roof at
// the lowest primary outlet of its bay (common practice, no source).
//
// A level roof with an overflow 2 in up meets it. A board of 2 in all over, with
// the drain set anew and the overflow left, has the overflow at roof level; one
// of 3.5 in buries it. Primary and overflow flanges at one height: it runs first
// or never. On a plane that rises 5 in to the overflow, 2 in above the roof
// beside it is 7 in above the drain.
func TestOverflow_Height(t *testing.T) {
	for _, c := range []struct {
		name           string
		drainIn, overI float64 // inlets
		raiseIn, slope float64 // of the roof: all over, and from the drain
		sigmaIn        float64
		wantIn         float64
		want           Verdict
		why            string
	}{
		{"2 in up", 0, 2, 0, 0, 0, 2, Meets, "above the roof at D1"},
		{"4 in up", 0, 4, 0, 0, 0, 4, Meets, ""},
		{"a hair less than 2 in", 0, 1.99, 0, 0, 0, 1.99, FallsShort, ""},
		{"a hair more than 4 in", 0, 4.01, 0, 0, 0, 4.01, FallsShort, ""},
		{"2 in more roof", 2, 2, 2, 0, 0, 0, FallsShort, "first or never"},
		{"3-1/2 in more roof", 3.5, 2, 3.5, 0, 0, -1.5, FallsShort, "buried"},
		{"one height, both proud", 1, 1, 0, 0, 0, 1, FallsShort, "first or never"},
		{"on a high edge", 0, 7, 0, 0.25, 0, 7, FallsShort, ""},
		// Two standard errors of a difference: 2 sqrt(2) 0.25 = 0.707 in.
		{"in doubt", 0, 2.5, 0, 0, 0.25, 2.5, TooClose, ""},
		{"in doubt, but high enough", 0, 3, 0, 0, 0.25, 3, Meets, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{X: -10}), overflowAt("O1", geom.Pt{X: 10})}, 0.5,
				func(p geom.Pt) float64 { return c.raiseIn + c.slope*(p.X+10) })
			opt := usual(t)
			opt.InletIn, opt.SigmaIn = []float64{c.drainIn, c.overI}, c.sigmaIn
			f := found(t, checked(t, s, surf, opt), "overflow", "O1")
			figure, ok := f.Figure.(unit.Length)
			if !ok || f.Rules != "us-reroof" || f.Source == "" {
				t.Fatalf("%+v", f)
			}
			within(t, "height", figure.Inches(), c.wantIn, 1e-6)
			if f.Verdict != c.want || !strings.Contains(f.Why, c.why) {
				t.Errorf("%v (%s), want %v (%s)", f.Verdict, f.Why, c.want, c.why)
			}
			if c.sigmaIn > 0 {
				within(t, "doubt", f.Doubt.(unit.Length).Inches(), 2*math.Sqrt2*c.sigmaIn, 1e-9)
			}
		})
	}
}

// TestOverflow_LowestOfTheBay: two drains of one bay, the one beside the
// overflow 3 in higher: the lower one counts. With an overflow of its own beside
// the lower, each is judged by what reaches it.
func TestOverflow_LowestOfTheBay(t *testing.T) {
	step := func(p geom.Pt) float64 { // a slope of 0.1 in/ft from the low drain to the high one
		return 0.1 * (p.X + 15)
	}
	outlets := []survey.Outlet{drainAt("low", geom.Pt{X: -15}), drainAt("high", geom.Pt{X: 15}), overflowAt("O1", geom.Pt{X: 15, Y: 5})}
	s, surf := roofOf(t, box(60, 40), outlets, 0.5, step)
	opt := usual(t)
	opt.InletIn = []float64{0, 3, 5}
	f := found(t, checked(t, s, surf, opt), "overflow", "O1")
	if f.Verdict != FallsShort || !strings.Contains(f.Why, "low") {
		t.Errorf("%+v", f)
	}
	within(t, "above the lowest", f.Figure.(unit.Length).Inches(), 5, 1e-6)

	s, surf = roofOf(t, box(60, 40), append(outlets, overflowAt("O2", geom.Pt{X: -15, Y: 5})), 0.5, step)
	opt.InletIn = []float64{0, 3, 5, 2}
	r := checked(t, s, surf, opt)
	if f := found(t, r, "overflow", "O2"); f.Verdict != Meets {
		t.Errorf("%+v", f)
	}
	if f := found(t, r, "overflow", "O1"); f.Verdict != Unknown || f.Figure != nil {
		t.Errorf("nothing reaches it: %+v", f)
	}
}

// TestGutter_LevelValley: drains 30 ft apart on a level low line, planes of 1/4
// to it: under the no-level-gutter set it falls short, and the rule is named; the
// plain set says nothing of it. Crickets in the line leave no low line there: by
// H 15, W 8.66, 1/2 in/ft their top slopes 0.250 along and 0.183 away. A low
// line that falls 0.3 in/ft to either drain meets 1:50.
func TestGutter_LevelValley(t *testing.T) {
	drains := []survey.Outlet{drainAt("D1", geom.Pt{X: -15}), drainAt("D2", geom.Pt{X: 15})}
	valley := func(p geom.Pt) float64 { return 0.25 * math.Abs(p.Y) }
	of := func(z func(p geom.Pt) float64, rules string) (*Report, []Finding) {
		s, surf := roofOf(t, box(60, 40), drains, 0.5, z)
		r := checked(t, s, surf, under(t, rules))
		var out []Finding
		for _, f := range r.Findings {
			if f.Rule == "gutter" {
				out = append(out, f)
			}
		}
		return r, out
	}
	_, g := of(valley, "no-level-gutter")
	if len(g) != 1 || g[0].Verdict != FallsShort || g[0].Rules != "no-level-gutter" || g[0].Where != "D1 to D2" ||
		math.Abs(g[0].Figure.(unit.Slope).InchesPerFoot()) > 1e-9 || !strings.Contains(g[0].Source, "no level gutter lines") {
		t.Errorf("level valley: %+v", g)
	}
	if _, g := of(valley, "us-reroof"); len(g) != 0 {
		t.Errorf("us-reroof judges gutters: %+v", g)
	}
	k := 8.66 / 15
	crickets := func(p geom.Pt) float64 {
		u := 15 - math.Abs(p.X)
		if u < 0 {
			return valley(p)
		}
		return valley(p) + math.Max(0, 0.5*(k*math.Min(math.Abs(math.Abs(p.X)-15), 15)-math.Abs(p.Y))/math.Sqrt(1+k*k))
	}
	if _, g := of(crickets, "no-level-gutter"); len(g) != 0 {
		t.Errorf("crickets: %+v", g)
	}
	falling := func(p geom.Pt) float64 { return valley(p) - 0.3*math.Abs(p.X) + 9 }
	if r, g := of(falling, "no-level-gutter"); len(g) != 1 || g[0].Verdict != Meets || r.MeetsDesign != Meets {
		t.Errorf("a line that falls: %+v", g)
	}
}

// TestWithLowLines: paths that meet do not make a roof meet whose low line falls
// short; a gutter that nobody measured leaves it as it is.
func TestWithLowLines(t *testing.T) {
	of := func(v Verdict) Finding { return Finding{Rule: "gutter", Where: "D1 to D2", Verdict: v} }
	field := Finding{Rule: "field", Verdict: Meets}
	for _, c := range []struct {
		paths Verdict
		lines []Finding
		want  Verdict
	}{
		{Meets, []Finding{field}, Meets},
		{Meets, []Finding{field, of(Meets), of(Unknown)}, Meets},
		{Meets, []Finding{field, of(TooClose), of(Meets)}, TooClose},
		{Meets, []Finding{field, of(FallsShort), of(TooClose)}, FallsShort},
		{TooClose, []Finding{of(FallsShort)}, FallsShort},
		{FallsShort, []Finding{of(TooClose)}, FallsShort},
	} {
		if got := withLowLines(c.paths, c.lines); got != c.want {
			t.Errorf("paths %v, %+v: %v", c.paths, c.lines, got)
		}
	}
	r := &Report{MeetsDesign: FallsShort, Findings: []Finding{field, of(FallsShort)}}
	if text := r.DesignFinding(under(t, "no-level-gutter").Rules, unit.US); !r.OnlyLowLines() || !strings.Contains(text, "along the low line D1 to D2") {
		t.Error(text)
	}
	r.Findings[0].Verdict = FallsShort
	if text := r.DesignFinding(under(t, "no-level-gutter").Rules, unit.US); r.OnlyLowLines() || !strings.Contains(text, "below the design slope") {
		t.Error(text)
	}
	r.Findings[0] = Finding{Rule: "valley", Verdict: FallsShort}
	r.Valleys = []Valley{{ID: "V1", Verdict: FallsShort}, {ID: "V2", Verdict: Meets}}
	if names, only := r.ShortValleys(); !only || !slices.Equal(names, []string{"V1"}) {
		t.Error(names, only)
	}
	if text := r.DesignFinding(under(t, "us-reroof").Rules, unit.US); !strings.Contains(text, "below the 1/8 in/ft that valleys need") {
		t.Error(text)
	}
	r.Findings = append(r.Findings, Finding{Rule: "field", Verdict: FallsShort})
	if _, only := r.ShortValleys(); only {
		t.Error("a field falls short too")
	}
}

// TestGutter_Bent: a low line from drain to drain by way of a place 4 ft beside
// the straight way, with planes of 1/4 to it, rises 2 in over either half, 20.4
// ft long: 0.098 in/ft, which falls short of 1:50. Valleys of square funnels at
// 45 degrees meet at a ridge and are no low line between their drains.
func TestGutter_Bent(t *testing.T) {
	drains := []survey.Outlet{drainAt("D1", geom.Pt{X: -20}), drainAt("D2", geom.Pt{X: 20})}
	gutters := func(window unit.Length, z func(p geom.Pt) float64) (out []Finding) {
		s, surf := roofOf(t, box(80, 40), drains, 0.5, z)
		opt := under(t, "no-level-gutter")
		opt.Window = window
		for _, f := range checked(t, s, surf, opt).Findings {
			if f.Rule == "gutter" {
				out = append(out, f)
			}
		}
		return out
	}
	for _, bendFt := range []float64{4, -4, 6} {
		g := gutters(4*unit.Foot, func(p geom.Pt) float64 {
			u := math.Max(0, 1-math.Abs(p.X)/20)
			return 0.25*math.Abs(p.Y-bendFt*u) + 2*u
		})
		if len(g) != 1 || g[0].Verdict != FallsShort || g[0].Where != "D1 to D2" {
			t.Fatalf("bent by %g ft: %+v", bendFt, g)
		}
		within(t, "slope", g[0].Figure.(unit.Slope).InchesPerFoot(), 2/math.Hypot(20, bendFt), 0.004)
	}
	funnels := func(p geom.Pt) float64 { return 0.25 * math.Max(math.Abs(math.Abs(p.X)-20), math.Abs(p.Y)) }
	if g := gutters(10*unit.Foot, funnels); len(g) != 0 { // so far their valleys lie apart at the ridge
		t.Errorf("funnels: %+v", g)
	}
}

// TestException: a roof of 1/8 in/ft all over to a gutter, no pond, which its
// owner saw dry after 48 h, is under the design slope, and the exception may
// apply; with a pond of 60 sq ft, 1 in deep, it is not supported. Nothing of the
// first is said to fail.
func TestException(t *testing.T) {
	eighth := func(p geom.Pt) float64 { return 0.125 * (p.Y + 20) }
	radius := math.Sqrt(60 / math.Pi)
	dish := func(p geom.Pt) float64 { // a bowl in the plane, its water's edge where the plane is lowest
		d := p.Norm() / radius
		return math.Min(eighth(p), eighth(geom.Pt{Y: -radius})-1+d*d)
	}
	gutter := []survey.Outlet{{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}}
	opt := under(t, "us-reroof-drained")
	s, surf := roofOf(t, box(60, 40), gutter, 0.5, eighth)
	r := checked(t, s, surf, opt)
	f := found(t, r, "field", "")
	within(t, "slope", f.Figure.(unit.Slope).InchesPerFoot(), 0.125, 1e-6)
	words := r.DesignFinding(opt.Rules, unit.US)
	for _, want := range []string{"below the design slope of 1/4 in/ft", "re-roof exception", "may apply", "taper is optional"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q lacks %q", words, want)
		}
	}
	own := opt.Rules
	own.DryHours = 24
	if said := r.DesignFinding(own, unit.US); !strings.Contains(words, "dry 48 h after rain") || !strings.Contains(said, "dry 24 h after rain") {
		t.Errorf("%q, and within 24 h %q", words, said)
	}
	seen := []SeenFinding{{Seen: survey.SeenPond{Hours: 48}}}
	dry := r.DryFinding(opt.Rules, 0, seen)
	if f.Verdict != FallsShort || found(t, r, "water", "").Verdict != Meets || dry.Verdict != Meets ||
		strings.Contains(words+fmt.Sprint(r.Findings, dry), "fail") {
		t.Errorf("%+v, %+v", r.Findings, dry)
	}
	if d := r.DryFinding(opt.Rules, 0, nil); d.Verdict != Unknown || d.Figure != nil {
		t.Errorf("nobody looked: %+v", d)
	}
	s, surf = roofOf(t, box(60, 40), gutter, 0.5, dish)
	r = checked(t, s, surf, opt)
	water := found(t, r, "water", "P1")
	within(t, "depth", water.Figure.(unit.Length).Inches(), 1, 1./16)
	within(t, "area", r.Ponds[0].SqFt, 60, 3) // its lip is told by half-foot cells
	if words := r.DesignFinding(opt.Rules, unit.US); water.Verdict != FallsShort || !strings.Contains(words, "is not supported") ||
		strings.Contains(words, "optional") {
		t.Errorf("with a pond: %v, %q", water.Verdict, words)
	}
	if d := r.DryFinding(opt.Rules, 0, seen); d.Verdict != Unknown {
		t.Errorf("seen dry, pond computed: %+v", d)
	}
	wet := r.DryFinding(opt.Rules, 0, []SeenFinding{{Seen: survey.SeenPond{Depth: unit.Inch, Hours: 60}}})
	if wet.Verdict != FallsShort || wet.Figure != Hours(60) {
		t.Errorf("seen wet after 60 h: %+v", wet)
	}
}

// TestFindings_EveryPath: four-way planes of 1/4 fall short under the strict set
// by their valleys, 1/4 / sqrt(2); fields and valleys apart meet.
func TestFindings_EveryPath(t *testing.T) {
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.25, 0))
	f := found(t, checked(t, s, surf, under(t, "every-path")), "every path", "")
	within(t, "valley", f.Figure.(unit.Slope).InchesPerFoot(), 0.25/math.Sqrt2, 0.002)
	if f.Verdict != FallsShort || f.Doubt != nil {
		t.Errorf("%+v", f)
	}
	r := checked(t, s, surf, usual(t))
	within(t, "valley", found(t, r, "valley", "").Figure.(unit.Slope).InchesPerFoot(), 0.25/math.Sqrt2, 0.002)
	if found(t, r, "field", "").Verdict != Meets || found(t, r, "valley", "").Verdict != Meets {
		t.Errorf("%+v", r.Findings)
	}
}
