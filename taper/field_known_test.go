package taper

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/lower"
)

// slopeStock has one tapered board a slope.
func slopeStock(slopes ...float64) *survey.Stock {
	s := &survey.Stock{Name: "of slopes"}
	for _, v := range slopes {
		s.Tapered = append(s.Tapered, survey.TaperedBoard{Slope: unit.InchesPerFoot(v)})
	}
	return s
}

// valleySlopes gives the slopes of the valleys, rising, each once.
func valleySlopes(lines []Line) []float64 {
	var out []float64
	for _, l := range lines {
		if l.Kind == Valley {
			out = append(out, math.Round(l.Slope.InchesPerFoot()*1e6)/1e6)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func wantSlopes(t *testing.T, got []float64, want ...float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("valleys %v, want %v", got, want)
		return
	}
	for i := range got {
		nearly(t, "valley", got[i], want[i], 5e-5)
	}
}

func thicknessAt(t *testing.T, f []Facet, p geom.Pt, want float64) {
	t.Helper()
	got, ok := ThicknessAt(f, p)
	if !ok || math.Abs(got-want) > 1e-9 {
		t.Errorf("thickness at %v: %.9g %v, want %.9g", p, got, ok, want)
	}
}

// A roof of 40 x 60 ft with a drain in the middle: by hand, 1/4 in/ft for 20
// and 30 ft above 1/2 in.
func TestFieldOf_CentreDrain(t *testing.T) {
	f, lines, _ := mustField(t, roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), quarterIn(survey.FourWay))
	thicknessAt(t, f, geom.Pt{Y: 20}, 5.5)
	thicknessAt(t, f, geom.Pt{X: 20, Y: 20}, 5.5)
	thicknessAt(t, f, geom.Pt{X: 25, Y: 20}, 6.75)
	thicknessAt(t, f, geom.Pt{X: 30, Y: 20}, 8)
	thicknessAt(t, f, geom.Pt{X: 30}, 8)
	thicknessAt(t, f, geom.Pt{}, 0.5)
	nearly(t, "board feet", MeasureInsulation(f).CuFt*12, 11533.33, 0.01)
	wantSlopes(t, valleySlopes(lines), 0.176777)
}

// Two drains on 120 x 60 ft: 39,600 board feet by hand, four squares of 60 x
// 60 ft and mean 5.5 in.
func TestFieldOf_TwoSquares(t *testing.T) {
	f, lines, _ := mustField(t, roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30}), quarterIn(survey.FourWay))
	nearly(t, "board feet", MeasureInsulation(f).CuFt*12, 39600, 1e-6)
	wantSlopes(t, valleySlopes(lines), 0.176777)
}

// 60 x 40 ft, the deck rising 1/8 in/ft along the 60 ft, finished at 1/4: the
// boards are 1/8, 3/8, 1/4 and 1/4, the valleys (1 + gx/sx + gy/sy) over
// sqrt(1/sx^2 + 1/sy^2), integrated apart from this program.
func TestFieldOf_SlopedDeck(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.Deck = survey.Plane{CIn: 40, GX: 0.125}
	in.Stock, in.ValleyMin = slopeStock(0.125, 0.25, 0.375, 0.5), unit.InchesPerFoot(0.125)
	f, lines, _ := mustField(t, roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), in)
	m := MeasureInsulation(f)
	nearly(t, "mean", m.AverageIn, 4.982, 5e-4)
	nearly(t, "board feet", m.CuFt*12, 11956.9, 0.05)
	thicknessAt(t, f, geom.Pt{X: 30}, 4.25)
	thicknessAt(t, f, geom.Pt{X: -30}, 11.75)
	wantSlopes(t, valleySlopes(lines), 0.1387, 0.2236)
	var steep []float64
	for _, c := range f {
		steep = append(steep, c.Plane.Add(in.Deck).Slope().InchesPerFoot())
	}
	nearly(t, "flattest finish", slices.Min(steep), 0.25, 1e-12)
	nearly(t, "cross planes", slices.Max(steep), 0.2795, 5e-5)
	for _, e := range []float64{-30, 30} { // both short edges end 8 in over the deck at the drain
		for _, c := range f {
			if p := (geom.Pt{X: e}); c.Poly.Dist(p) < 1e-9 {
				nearly(t, "finished over the deck at the drain", c.Plane.At(p)+in.Deck.At(p)-in.Deck.At(geom.Pt{}), 8, 1e-9)
			}
		}
	}
	// The flatter valley passes a limit of 1/8 and fails one of 0.150 in/ft.
	for limit, want := range map[float64]drainage.Verdict{0.125: drainage.Meets, 0.150: drainage.FallsShort} {
		rules := drainage.Rules{Name: "own", Valley: drainage.Limit{Min: unit.InchesPerFoot(limit)}}
		got, why := judgeValleys(roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), &Design{Facets: f, Lines: lines}, Trial{Rules: rules}, nil)
		if got != want || (len(why) > 0) != (want == drainage.FallsShort) {
			t.Errorf("limit %g: %v (%v), want %v", limit, got, why, want)
		}
	}
}

// A deck of 1/4 in/ft along both axes needs no boards uphill of the drain and
// leaves a level valley downhill until boards are raised.
func TestFieldOf_RaisesBoardsForValleys(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.Deck = survey.Plane{GX: 0.25, GY: 0.25}
	in.ValleyMin = unit.InchesPerFoot(0.125)
	s := roof(rect(40, 40), geom.Pt{X: 20, Y: 20})
	in.Stock = slopeStock(0.125, 0.25, 0.375, 0.5, 0.625, 0.75)
	_, lines, notes := mustField(t, s, in)
	if v := valleySlopes(lines); v[0] < 0.125-1e-6 {
		t.Errorf("valleys %v after raising: %q", v, notes)
	}
	in.Stock = slopeStock(0.125, 0.25, 0.375, 0.5)
	_, lines, notes = mustField(t, s, in)
	if v := valleySlopes(lines); v[0] > 1e-6 || !strings.Contains(strings.Join(notes, "\n"), "no board in stock brings it") {
		t.Errorf("valleys %v, notes %q", v, notes)
	}
	in.Deck.GX = 0.3
	in.Stock = slopeStock(0.125, 0.25, 0.5)
	_, err := FieldOf(context.Background(), s, in)
	if err == nil || !strings.Contains(err.Error(), "0.55 in/ft") {
		t.Errorf("error %v does not name the slope that nobody can make", err)
	}
}

// Two planes of slopes s1 and s2 whose uphill directions differ by T meet in a
// line of slope s1 s2 sin T / sqrt(s1^2 + s2^2 - 2 s1 s2 cos T); figures
// computed apart from this program.
func TestLineOf_TwoPlanes(t *testing.T) {
	for _, c := range []struct{ s1, s2, deg, want float64 }{
		{0.25, 0.25, 90, 0.176777}, {0.5, 0.5, 90, 0.353553}, {0.25, 0.5, 90, 0.223607},
		{0.125, 0.25, 90, 0.111803}, {0.25, 0.25, 60, 0.216506}, {0.25, 0.25, 120, 0.125},
		{0.25, 0.5, 120, 0.163663}, {0.25, 0.125, 45, 0.119960}, {0.25, 0.25, 180, 0},
	} {
		rad := c.deg * math.Pi / 180
		a, b := geom.Pt{X: c.s1}, geom.Pt{X: c.s2 * math.Cos(rad), Y: c.s2 * math.Sin(rad)}
		d := b.Sub(a) // across the line; where the greater plane lies, b is beyond
		along := geom.Pt{X: -d.Y, Y: d.X}
		facets := []Facet{{Plane: survey.Plane{GX: a.X, GY: a.Y}}, {Plane: survey.Plane{GX: b.X, GY: b.Y}}}
		l, ok := lineOf(lower.Crease{B: along.Mul(40), Left: 0, Right: 1}, facets)
		if !ok {
			t.Fatalf("no line for %v", c)
		}
		nearly(t, "line slope", l.Slope.InchesPerFoot(), c.want, 5e-7)
		want, other := Valley, Hip
		if c.deg == 45 {
			want = Hip // the flatter plane's water runs on across the line
		}
		if c.deg == 180 {
			other = Ridge
		}
		// The other way round the crease sheds.
		r, _ := lineOf(lower.Crease{B: along.Mul(40), Left: 1, Right: 0}, facets)
		if l.Kind != want || r.Kind != other {
			t.Errorf("%v: %s and %s, want %s and %s", c, l.Kind, r.Kind, want, other)
		}
		v, _ := valleyInPerFt(c.s1, c.s2, 0, 0)
		if c.deg == 90 {
			nearly(t, "valley of boards", v, c.want, 5e-7)
		}
	}
}

// A place behind a re-entrant corner is served round it, level with what the
// corner is given: thickness there by hand, 1/4 in/ft along the axes.
func TestFieldOf_BehindCorner(t *testing.T) {
	// An L of two arms 40 ft long and 10 ft wide; the drain stands near the
	// end of one, so that the other is out of its sight.
	l := geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 10}, {X: 10, Y: 10}, {X: 10, Y: 40}, {X: 0, Y: 40}}
	zero := 0.0
	s := survey.SiteOf(roofArea(l, geom.Pt{X: 35, Y: 5}), &zero)
	f, lines, _ := mustField(t, s, quarterIn(survey.FourWay))
	at := func(x, y float64) geom.Pt { return s.Frame.ToLocal(geom.Pt{X: x, Y: y}) }
	corner := 0.5 + 0.25*25
	thicknessAt(t, f, at(10, 10), corner)
	thicknessAt(t, f, at(10, 40), corner+0.25*30)
	thicknessAt(t, f, at(0, 40), corner+0.25*30)
	thicknessAt(t, f, at(0, 12), corner+0.25*10)
	thicknessAt(t, f, at(0, 0), 0.5+0.25*35)
	wantSlopes(t, valleySlopes(lines), 0.176777)
	wantPartition(t, s, f, 1)
	wantContinuous(t, f, lines)
}

// One way toward a gutter on an L: straight rise behind the gutter, round the
// corner for the rest.
func TestFieldOf_OneWayL(t *testing.T) {
	a := roofArea(geom.Ring{{X: 0, Y: 0}, {X: 30, Y: 0}, {X: 30, Y: 20}, {X: 50, Y: 20}, {X: 50, Y: 40}, {X: 0, Y: 40}})
	a.Edges[0].Kind = survey.GutterEdge
	a.Outlets = []survey.Outlet{{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}}
	zero := 0.0
	s := survey.SiteOf(a, &zero)
	f, lines, _ := mustField(t, s, quarterIn(survey.OneWay))
	at := func(x, y float64) geom.Pt { return s.Frame.ToLocal(geom.Pt{X: x, Y: y}) }
	thicknessAt(t, f, at(15, 40), 10.5)
	thicknessAt(t, f, at(30, 20), 5.5)
	thicknessAt(t, f, at(50, 20), 10.5)
	wantPartition(t, s, f, 1)
	wantContinuous(t, f, lines)
}

// A gutter off the building axes is met by a facet square to it; a one-way
// slope is refused there until the axes lie along it.
func TestFieldOf_SkewGutter(t *testing.T) {
	a := roofArea(geom.Ring{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 30}, {X: 20, Y: 50}, {X: 0, Y: 50}})
	a.Edges[2].Kind = survey.GutterEdge
	a.Outlets = []survey.Outlet{{ID: "A-2", Kind: survey.GutterOutlet, Edge: 2}}
	s := survey.SiteOf(a, nil)
	f, lines, _ := mustField(t, s, quarterIn(survey.FourWay))
	wantPartition(t, s, f, 1)
	wantContinuous(t, f, lines)
	for _, c := range f {
		if c.Plane.Slope().InchesPerFoot() < 0.25-1e-9 {
			t.Errorf("facet %d slopes %v", c.ID, c.Plane.Slope())
		}
	}
	if _, err := FieldOf(context.Background(), s, quarterIn(survey.OneWay)); err == nil || !strings.Contains(err.Error(), "axes") {
		t.Errorf("error %v", err)
	}
	deg := math.Atan2(20, -40) * 180 / math.Pi
	s = survey.SiteOf(a, &deg)
	f, lines, _ = mustField(t, s, quarterIn(survey.OneWay))
	wantPartition(t, s, f, 1)
	wantContinuous(t, f, lines)
}

// Curbs cut facets and leave thickness alone; one stands across the outline.
func TestFieldOf_Curbs(t *testing.T) {
	a := roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20})
	a.Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 45, Y: 20}, W: 8, D: 6}, {ID: "U2", At: geom.Pt{X: 15, Y: 10}, W: 5, D: 5, Turn: 30}}
	s := survey.SiteOf(a, nil)
	f, lines, _ := mustField(t, s, quarterIn(survey.FourWay))
	wantPartition(t, s, f, 1)
	wantContinuous(t, f, lines)
	if _, ok := ThicknessAt(f, s.Curbs[0].Box().Centre()); ok {
		t.Error("a facet lies under a curb")
	}
	corner := s.Outline[0]
	thicknessAt(t, f, corner, 8)
}

func TestFieldOf_Refuses(t *testing.T) {
	drain := geom.Pt{X: 30, Y: 20}
	many := geom.Ring{}
	for i := range 1200 {
		many = append(many, geom.Pt{X: 30 * math.Cos(float64(i)*math.Pi/600), Y: 30 * math.Sin(float64(i)*math.Pi/600)})
	}
	ok := quarterIn(survey.FourWay)
	for name, c := range map[string]struct {
		s    *survey.Site
		in   FieldInput
		want string
	}{
		"no scheme":           {roof(rect(60, 40), drain), FieldInput{Slope: ok.Slope}, "scheme"},
		"no slope":            {roof(rect(60, 40), drain), FieldInput{Scheme: survey.FourWay}, "above 0"},
		"thickness below 0":   {roof(rect(60, 40), drain), FieldInput{Scheme: survey.FourWay, Slope: ok.Slope, T0In: -1}, "below 0"},
		"thickness no number": {roof(rect(60, 40), drain), FieldInput{Scheme: survey.FourWay, Slope: ok.Slope, T0In: math.NaN()}, "below 0"},
		"no outlet":           {roof(rect(60, 40)), ok, "no primary outlet"},
		"drain outside":       {roof(rect(60, 40), geom.Pt{X: 90, Y: 20}), ok, "outside"},
		"one-way to a drain":  {roof(rect(60, 40), drain), quarterIn(survey.OneWay), "no gutter edge"},
		"too many corners":    {roof(many, geom.Pt{}), ok, "1200 corners"},
	} {
		_, err := FieldOf(context.Background(), c.s, c.in)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := FieldOf(stopped, roof(rect(60, 40), drain), ok); err == nil {
		t.Error("no error after the context ended")
	}
}

// ThicknessIn gives what ThicknessAt gives, to every cell.
func TestThicknessIn_AgreesWithThicknessAt(t *testing.T) {
	for seed := range uint64(8) {
		c := randomCase(500 + seed)
		s := c.s
		f, _, _ := mustField(t, s, c.in)
		l := survey.LatticeOf(s, 1)
		cells := survey.RoofCells(s, l)
		for k, got := range ThicknessIn(f, l, cells) {
			want, ok := ThicknessAt(f, l.Centre(k%l.NX, k/l.NX))
			if cells[k] && (!ok || math.Abs(got-want) > 1e-6) {
				t.Errorf("seed %d cell %d: %.9g, at its middle %.9g %v", 500+seed, k, got, want, ok)
			}
		}
	}
}

// The way round the inner corner of an L from one arm to the other:
// sqrt(125) twice.
func TestGeodesicFt_RoundCorner(t *testing.T) {
	l := geom.Ring{{X: -20, Y: 0}, {X: 0, Y: 0}, {X: 0, Y: -20}, {X: 20, Y: -20}, {X: 20, Y: 20}, {X: -20, Y: 20}}
	zero := 0.0
	s := survey.SiteOf(roofArea(l, geom.Pt{X: -10, Y: 5}), &zero)
	from, to := s.Frame.ToLocal(geom.Pt{X: -10, Y: 5}), s.Frame.ToLocal(geom.Pt{X: 5, Y: -10})
	nearly(t, "round the corner", GeodesicFt(s, from, to), 22.360680, 5e-7)
	nearly(t, "back", GeodesicFt(s, to, from), 22.360680, 5e-7)
	nearly(t, "in sight", GeodesicFt(s, from, s.Frame.ToLocal(geom.Pt{X: 10, Y: 5})), 20, 1e-9)
	if !math.IsInf(GeodesicFt(s, from, s.Frame.ToLocal(geom.Pt{X: -10, Y: -10})), 1) {
		t.Error("a way to a place off the roof")
	}
}

// Row B: the cone over a rectangle with a drain in its middle holds the mean
// s [d/3 + (a^2/(6b)) asinh(b/a) + (b^2/(6a)) asinh(a/b)]; volumes integrated
// apart from this program.
func TestLeastVolumeCuFt_Cones(t *testing.T) {
	for _, c := range []struct {
		name   string
		l, w   float64
		drains []geom.Pt
		want   float64
	}{
		{"40 x 40", 40, 40, []geom.Pt{{X: 20, Y: 20}}, 576.797},
		{"60 x 40", 60, 40, []geom.Pt{{X: 30, Y: 20}}, 1068.106},
		{"100 x 50", 100, 50, []geom.Pt{{X: 50, Y: 25}}, 3298.091},
		{"120 x 80", 120, 80, []geom.Pt{{X: 60, Y: 40}}, 8144.849},
		{"drain off the middle", 60, 40, []geom.Pt{{X: 15, Y: 10}}, 1335.413},
		{"two drains", 60, 40, []geom.Pt{{X: 15, Y: 20}, {X: 45, Y: 20}}, 773.694},
	} {
		s := roof(rect(c.l, c.w), c.drains...)
		l := survey.LatticeOf(s, 0)
		got := LeastVolumeCuFt(s, &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l)}, unit.InchesPerFoot(0.25), 0.5)
		nearly(t, c.name, got, c.want, 1e-3*c.want)
	}
	if got := LeastVolumeCuFt(roof(rect(9, 9)), &survey.Surface{}, unit.InchesPerFoot(1), 1); got != 0 {
		t.Errorf("without an outlet %v", got)
	}
}

// level is a level base over a site.
func level(s *survey.Site, atIn float64) *survey.Surface {
	l := survey.LatticeOf(s, 0)
	surf := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	for k := range surf.ElevIn {
		surf.ElevIn[k] = atIn
	}
	return surf
}

func TestFinishedInlets_Stories(t *testing.T) {
	outlet := func(kind survey.OutletKind, reset survey.Reset, overflow bool) survey.Outlet {
		return survey.Outlet{Kind: kind, At: geom.Pt{X: 30, Y: 20}, Edge: -1, Reset: reset, Overflow: overflow}
	}
	a := roofArea(rect(60, 40))
	a.Edges[2].Kind = survey.GutterEdge
	wall := outlet(survey.Scupper, survey.ResetAsk, false)
	wall.At, wall.Edge, wall.Width = geom.Pt{X: 30}, 0, 1*unit.Foot
	gutter := outlet(survey.GutterOutlet, survey.ResetAsk, false)
	gutter.Edge = 2
	scupperReset := wall
	scupperReset.Reset = survey.ResetYes
	a.Outlets = []survey.Outlet{
		outlet(survey.Drain, survey.ResetAsk, false), outlet(survey.Drain, survey.ResetYes, false),
		outlet(survey.Drain, survey.ResetNo, false), outlet(survey.Drain, survey.ResetAsk, true),
		wall, scupperReset, gutter,
	}
	s := survey.SiteOf(a, nil)
	deck, top := level(s, 100), level(s, 104)
	old := []float64{101, 101, 101, 103, 102, 102, 100}
	got := FinishedInlets(s, top, deck, deck, old)
	for i, want := range []float64{104, 104, 101, 103, 102, 104, 104} {
		nearly(t, s.Outlets[i].Kind.String(), got[i], want, 1e-9)
	}
}

// proven designs the field of a site and proves it on a level deck.
func proven(t *testing.T, s *survey.Site, in FieldInput, rules drainage.Rules, inletIn func(top, deck *survey.Surface) []float64) *Proof {
	t.Helper()
	f, lines, notes := mustField(t, s, in)
	d := &Design{Scheme: in.Scheme, Slope: in.Slope, Deck: in.Deck, Facets: f, Lines: lines, Notes: notes}
	deck := level(s, 100)
	p, err := Prove(context.Background(), s, d, Trial{Base: deck, InletIn: inletIn(Finish(deck, f, 0), deck), Rules: rules,
		Limits: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The four-way roof of 1/4 in/ft meets 1/4 in its facets and 1/8 in its
// valleys; where every path must slope 1/4 its valleys fail by geometry, and
// planes of 1/4 sqrt 2 would pass.
func TestProve_Rules(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	atTop := func(top, deck *survey.Surface) []float64 { return FinishedInlets(s, top, deck, deck, []float64{100}) }
	rules, err := drainage.RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	p := proven(t, s, quarterIn(survey.FourWay), rules, atTop)
	if !p.Passes || p.Field != drainage.Meets || p.Valley != drainage.Meets || len(p.Report.Ponds) != 0 {
		t.Errorf("planes: %v %v %v %s, %d ponds", p.Passes, p.Field, p.Valley, p.Why, len(p.Report.Ponds))
	}
	rules, err = drainage.RuleSet(survey.RuleChoice{Name: "every-path"})
	if err != nil {
		t.Fatal(err)
	}
	p = proven(t, s, quarterIn(survey.FourWay), rules, atTop)
	if p.Passes || p.Field != drainage.Meets || p.Valley != drainage.FallsShort || !strings.Contains(p.Why, "0.3536 in/ft") {
		t.Errorf("every path: %v %v %v %s", p.Passes, p.Field, p.Valley, p.Why)
	}
	in := quarterIn(survey.FourWay)
	in.Slope = drainage.FieldSlopeThatPasses(rules.Field.Min)
	if p = proven(t, s, in, rules, atTop); !p.Passes {
		t.Errorf("the slope that passes does not: %s", p.Why)
	}
}

// Two drains in line on 60 x 40 ft drain half of it each, the equal triangles
// between them shared.
func TestProve_TwoDrainsShare(t *testing.T) {
	a := roofArea(rect(60, 40), geom.Pt{X: 15, Y: 20}, geom.Pt{X: 45, Y: 20})
	s := survey.SiteOf(a, nil)
	rules, err := drainage.RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	p := proven(t, s, quarterIn(survey.FourWay), rules, func(top, deck *survey.Surface) []float64 {
		return FinishedInlets(s, top, deck, deck, []float64{100, 100})
	})
	if !p.Passes {
		t.Error(p.Why)
	}
	for _, d := range p.Report.Areas {
		nearly(t, d.Outlet, d.SqFt, 1200, 2)
	}
}

// A drain left with its flange 1 in above the deck keeps 1/2 in of water on a
// roof that starts at 1/2 in: 4 x 4 ft, 0.222 cu ft by hand. Starting at 1 in
// clears it.
func TestProve_ProudFlange(t *testing.T) {
	a := roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20})
	a.Outlets[0].Reset = survey.ResetNo
	s := survey.SiteOf(a, nil)
	rules, err := drainage.RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	flange := func(top, deck *survey.Surface) []float64 { return FinishedInlets(s, top, deck, deck, []float64{101}) }
	p := proven(t, s, quarterIn(survey.FourWay), rules, flange)
	if p.Passes || len(p.Report.Ponds) != 1 || !strings.Contains(p.Why, "deeper than") {
		t.Fatalf("%v %s, %d ponds", p.Passes, p.Why, len(p.Report.Ponds))
	}
	pond := p.Report.Ponds[0]
	nearly(t, "depth", pond.DepthIn, 0.5, 0.07)
	nearly(t, "area", pond.SqFt, 16, 0.5)
	nearly(t, "volume", pond.CuFt, 0.2222, 0.01)
	in := quarterIn(survey.FourWay)
	in.T0In = 1
	if p = proven(t, s, in, rules, flange); !p.Passes {
		t.Errorf("start of 1 in: %s", p.Why)
	}
}
