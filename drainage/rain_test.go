package drainage

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// rainRoof is a roof of these tests: an area in job coordinates and its surface
// as a function of place.
type rainRoof struct {
	area survey.Area
	z    func(p geom.Pt) float64 // finished or existing, inches
	was  func(p geom.Pt) float64 // what heights above the membrane stand on; nil: z
	rain survey.Rain
	onto []PassedOn
	// untold: why neither the inlets of overflows nor parapets are known over the
	// surface; "": they are.
	untold string
}

func rectangle(w, d float64) survey.Area {
	return survey.Area{Name: "A", Outline: geom.Ring{{}, {X: w}, {X: w, Y: d}, {Y: d}}, Edges: make([]survey.Edge, 4)}
}

func (r rainRoof) run(t testing.TB) (*survey.Site, *RainReport) {
	t.Helper()
	s := survey.SiteOf(&r.area, nil)
	inJob := func(z func(p geom.Pt) float64) func(p geom.Pt) float64 {
		return func(p geom.Pt) float64 { return z(s.Frame.ToJob(p)) }
	}
	surf := surfaceOf(s, 0, inJob(r.z))
	old := surf
	if r.was != nil {
		old = surfaceOf(s, 0, inJob(r.was))
	}
	opt := usual(t)
	opt.Rules.OverflowLeast, opt.Rules.OverflowMost = 2*unit.Inch, 4*unit.Inch
	opt.InletIn = Inlets(s, old, nil)
	for n, o := range s.Outlets { // drains are set to the surface
		if o.Kind == survey.Drain && !o.Inlet.Stated() {
			opt.InletIn[n] = Lowest(surf, OutletCells(s, surf)[n])
		}
	}
	if r.untold != "" {
		opt.InletWhy = make([]string, len(s.Outlets))
		for n, o := range s.Outlets {
			if o.Overflow {
				opt.InletWhy[n] = r.untold
			}
		}
	}
	rep, err := Check(context.Background(), s, surf, opt)
	if err != nil {
		t.Fatal(err)
	}
	out, err := RainOn(RainInput{Site: s, Report: rep, Opt: opt, Rain: r.rain, Existing: old, Onto: r.onto, Units: unit.US,
		TopsWhy: r.untold})
	if err != nil {
		t.Fatal(err)
	}
	return s, out
}

var stormy = survey.Rain{Rate: 3.2 * unit.InchPerHour, OverflowRate: 6.4 * unit.InchPerHour}

// ofN7 is A9's roof: 40 x 60 ft, 1/4 in/ft on four planes to the middle.
func ofN7(p geom.Pt) float64 {
	return 0.25 * math.Max(math.Abs(p.X-30), math.Abs(p.Y-20))
}

func at(in float64) survey.Height {
	return survey.Height{Value: unit.Inches(in), Above: survey.AboveElevation}
}

// N7. 40 x 60, 6.4 in/h: 159.6 gpm. A scupper of 12 x 4 in at mid long wall,
// flush with the finished surface there: ds 5.0, dh 2.76, 40.4 psf; 2 in above
// it 50.8. An overflow drain (4 in, 80 and 170 gpm) 2 in above the low point: dh
// 1.88, 20.2 psf.
func TestRainOn_N7(t *testing.T) {
	for _, c := range []struct {
		what        string
		overflow    survey.Outlet
		ds, dh, psf float64
		verdict     Verdict
	}{
		{"flush scupper", survey.Outlet{Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 30}, Width: unit.Feet(1), Opening: 4 * unit.Inch,
			Inlet: at(5)}, 5, 2.76, 40.4, FallsShort},
		{"scupper 2 in above", survey.Outlet{Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 30}, Width: unit.Feet(1), Opening: 4 * unit.Inch,
			Inlet: at(7)}, 7, 2.76, 50.8, FallsShort},
		{"drain 2 in above", survey.Outlet{Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 32, Y: 20}, Size: 4 * unit.Inch, Inlet: at(2)},
			2, 1.88, 20.2, Meets},
	} {
		a := rectangle(60, 40)
		c.overflow.ID, c.overflow.Overflow = "O1", true
		a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 30, Y: 20}, Size: 4 * unit.Inch}, c.overflow}
		_, out := rainRoof{area: a, z: ofN7, rain: stormy}.run(t)
		if len(out.Bays) != 1 {
			t.Fatalf("%s: bays %+v", c.what, out.Bays)
		}
		b := out.Bays[0]
		within(t, c.what+" gpm", out.Outlets[1].Gpm, 159.6, 0.05)
		within(t, c.what+" ds", b.DsIn, c.ds, 1.0/16)
		within(t, c.what+" dh", b.DhIn, c.dh, 0.005)
		within(t, c.what+" psf", b.LoadPsf, c.psf, 0.05)
		if b.Protects != c.verdict || b.AtLeast || b.Lowest != "D1" || b.Overflow != "O1" {
			t.Errorf("%s: %+v", c.what, b)
		}
		if c.verdict == FallsShort && (!strings.Contains(b.Why, "does not protect") || !strings.Contains(b.Why, fmt.Sprintf("%.1f psf", b.LoadPsf))) {
			t.Errorf("%s says %q", c.what, b.Why)
		}
		// The drain takes half of that in ordinary rain: 79.8 gpm, just under 1 in.
		within(t, c.what+" drain", out.Outlets[0].Gpm, 79.79, 0.05)
		within(t, c.what+" drain's head", out.Outlets[0].HeadIn, 79.79/80, 0.001)
	}
}

// A20. An overflow scupper 2 in above the old surface; the surface there rises
// 2 in, and the overflow lies at the roof; by 3.5 in, and it is buried. The depth
// to the parapet and its load are told.
func TestRainOn_A20(t *testing.T) {
	for _, c := range []struct {
		rise    float64
		words   string
		leaves  string
		parapet float64
	}{
		{0, "protects", "O1", 12},
		{1, "stands 1\" over the lowest outlet, under the 2\"", "O1", 11},
		{2, "no higher than D1", "O1", 10},
		{3.5, "O1 is buried: its inlet lies 1 1/2\" under", "", 8.5},
	} {
		a := rectangle(60, 40)
		for n := range a.Edges {
			a.Edges[n].Height = survey.Height{Value: 12 * unit.Inch, Above: survey.AboveMembrane}
		}
		a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 30, Y: 20}, Size: 4 * unit.Inch},
			{ID: "O1", Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 30}, Width: unit.Feet(1), Opening: 4 * unit.Inch, Overflow: true,
				Inlet: survey.Height{Value: 2 * unit.Inch, Above: survey.AboveMembrane}}}
		level := func(geom.Pt) float64 { return 100 }
		_, out := rainRoof{area: a, z: func(geom.Pt) float64 { return 100 + c.rise }, was: level, rain: stormy}.run(t)
		if len(out.Bays) != 1 {
			t.Fatalf("raised by %g: bays %+v", c.rise, out.Bays)
		}
		b := out.Bays[0]
		within(t, "depth to the parapet", b.ParapetIn, c.parapet, 1e-9)
		within(t, "load to the parapet", b.ParapetPsf, 5.2*c.parapet, 1e-9)
		if want := map[bool]Verdict{true: Meets, false: FallsShort}[c.rise == 0]; b.Protects != want || b.Overflow != c.leaves || !strings.Contains(b.Why, c.words) {
			t.Errorf("raised by %g: %v, leaves by %q, says %q", c.rise, b.Protects, b.Overflow, b.Why)
		}
		if c.rise > 0 && !strings.Contains(b.Why, unit.PoundsPerSquareFoot(5.2*c.parapet).Format(unit.US)) {
			t.Errorf("raised by %g: no load to the parapet in %q", c.rise, b.Why)
		}
	}
}

// A21. Primary and overflow drain flanges at one height.
func TestRainOn_A21(t *testing.T) {
	for _, flange := range []float64{0, 1} {
		a := rectangle(60, 40)
		for n, id := range []string{"D1", "O1"} {
			a.Outlets = append(a.Outlets, survey.Outlet{ID: id, Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 28 + 4*float64(n), Y: 20},
				Size: 4 * unit.Inch, Inlet: at(100 + flange), Overflow: n == 1})
		}
		_, out := rainRoof{area: a, z: func(geom.Pt) float64 { return 100 }, rain: stormy}.run(t)
		if len(out.Bays) != 1 || out.Bays[0].Protects != FallsShort || !strings.Contains(out.Bays[0].Why, "runs first or never") {
			t.Errorf("flanges at %g in: %+v", flange, out.Bays)
		}
	}
}

// C10. Overflow scuppers covered, primary a quarter of the size needed, and
// overflows that stand three times too high.
func TestRainOn_C10(t *testing.T) {
	a := rectangle(120, 100)
	for n := range a.Edges {
		a.Edges[n].Height = survey.Height{Value: 24 * unit.Inch, Above: survey.AboveElevation}
	}
	// A table a quarter of 12,000 sq ft x 3.2 in/h / 96.25 = 399 gpm.
	a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 60, Y: 50},
		Capacity: []survey.HeadFlow{{Head: unit.Inch, Flow: 50 * unit.GallonPerMinute}, {Head: 2 * unit.Inch, Flow: 99.7 * unit.GallonPerMinute}}},
		{ID: "O1", Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 60}, Width: unit.Feet(2), Opening: 6 * unit.Inch, Overflow: true,
			Inlet: at(12), State: survey.Blocked}}
	z := func(p geom.Pt) float64 { return 0.05 * math.Max(math.Abs(p.X-60), math.Abs(p.Y-50)) }
	roof := rainRoof{area: a, z: z, rain: stormy}
	_, out := roof.run(t)
	within(t, "flow over capacity", out.Outlets[0].Gpm/out.Outlets[0].CapacityGpm, 4, 0.01)
	if f := out.Outlets[0]; f.Verdict != FallsShort || f.HeadIn != -1 || !strings.Contains(f.Words, "99.7 gpm at most") {
		t.Errorf("the primary: %+v", f)
	}
	b := out.Bays[0]
	if b.Protects != FallsShort || b.Overflow != "" || !strings.Contains(b.Why, "O1 is blocked") {
		t.Errorf("covered overflows: %+v", b)
	}
	within(t, "depth to the parapet", b.ParapetIn, 24, 0.05)
	within(t, "load to the parapet", b.ParapetPsf, 124.8, 0.3)

	a.Outlets[1].State = survey.Works
	roof.area = a
	_, out = roof.run(t)
	b = out.Bays[0]
	// 399 x 2 gpm over 24 in at a head past 5 in: weir (798/69.6)^(2/3) = 5.08.
	if b.Protects != FallsShort || !strings.Contains(b.Why, "does not protect, 12\" over the lowest outlet for the 4\"") {
		t.Errorf("overflows three times too high: %+v", b)
	}
	within(t, "ds", b.DsIn, 12, 0.05)
	within(t, "dh", b.DhIn, math.Pow(2*12000*3.2/96.25/69.6, 2.0/3), 0.01)
	within(t, "psf", b.LoadPsf, 5.2*(b.DsIn+b.DhIn), 1e-9)
}

// Without rates nothing flows, and what lacks is asked for; depths are told.
func TestRainOn_NoRates(t *testing.T) {
	a := rectangle(60, 40)
	a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 30, Y: 20}, Size: 4 * unit.Inch},
		{ID: "O1", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 32, Y: 20}, Size: 4 * unit.Inch, Inlet: at(2), Overflow: true}}
	_, out := rainRoof{area: a, z: ofN7}.run(t)
	for _, f := range out.Outlets {
		if f.Gpm != -1 || f.HeadIn != -1 || f.Verdict != Unknown {
			t.Errorf("a flow without rain: %+v", f)
		}
	}
	if b := out.Bays[0]; b.DhIn != -1 || !b.AtLeast || math.Abs(b.LoadPsf-5.2*b.DsIn) > 1e-9 {
		t.Errorf("a head without rain: %+v", b)
	}
	if len(out.Asked) != 2 || !strings.Contains(out.Asked[0], "rain rate") || !strings.Contains(out.Asked[1], "parapet at edge 0, 1, 2, 3") {
		t.Errorf("asked %q", out.Asked)
	}
	_, out = rainRoof{area: a, z: ofN7, rain: survey.Rain{Rate: 3.2 * unit.InchPerHour}}.run(t)
	if out.Outlets[0].Gpm < 79 || out.Outlets[1].Gpm != -1 || !strings.Contains(out.Asked[0], "twice the hourly rate, 6.4 in/h") {
		t.Errorf("with the one rate: %+v, asked %q", out.Outlets, out.Asked)
	}
}

// Half of a wall counts as roof (IPC 1106.4), and an area that discharges here
// counts as it is.
func TestRainOn_WallsAndOtherAreas(t *testing.T) {
	a := rectangle(60, 40)
	a.Edges[2] = survey.Edge{Kind: survey.Wall, Height: at(100 + 12*20)} // 20 ft above the roof's level
	a.Edges[1] = survey.Edge{Kind: survey.Wall}
	a.Outlets = []survey.Outlet{
		{ID: "W", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 15, Y: 20}, Size: 6 * unit.Inch},
		{ID: "E", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 45, Y: 20}, Size: 6 * unit.Inch}}
	z := func(p geom.Pt) float64 {
		return 100 + 0.25*math.Max(math.Min(math.Abs(p.X-15), math.Abs(p.X-45)), math.Abs(p.Y-20))
	}
	_, out := rainRoof{area: a, z: z, rain: stormy,
		onto: []PassedOn{{At: geom.Pt{X: 62, Y: 10}, SqFt: 500, BlockedSqFt: 700}}}.run(t)
	w, e := out.Outlets[0], out.Outlets[1]
	// The wall stands 20 ft over level 100, the roof beside it up to 5 in higher:
	// less the mean of that, 60 ft x (20 ft - 5.0/12 ft) / 2.
	within(t, "walls", w.WallSqFt+e.WallSqFt, 60*(20-5.0/12)/2, 1)
	within(t, "equal halves", w.WallSqFt, e.WallSqFt, 1e-6)
	if w.OtherSqFt != 0 || e.OtherSqFt != 500 {
		t.Errorf("passed on %g and %g sq ft", w.OtherSqFt, e.OtherSqFt)
	}
	within(t, "flow", e.Gpm, (e.SqFt+e.WallSqFt+500)*3.2/96.25, 0.001)
	if !strings.Contains(strings.Join(out.Asked, " "), "wall at edge 1") {
		t.Errorf("a wall without height is not asked about: %q", out.Asked)
	}
}

// With the drains blocked an overflow takes half of the walls and what other
// areas let go then, too (ASCE 7-16 and 7-22: half of any wall that sheds onto
// the roof is part of A).
func TestRainOn_WallsOverTheOverflow(t *testing.T) {
	a := rectangle(60, 40)
	a.Edges[2] = survey.Edge{Kind: survey.Wall, Height: at(12 * 20)}
	a.Outlets = []survey.Outlet{
		{ID: "D", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 30, Y: 20}, Size: 4 * unit.Inch},
		{ID: "O", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 32, Y: 20}, Size: 4 * unit.Inch, Inlet: at(2), Overflow: true}}
	level := func(geom.Pt) float64 { return 0 }
	_, out := rainRoof{area: a, z: level, rain: stormy, onto: []PassedOn{{At: geom.Pt{X: 62, Y: 10}, SqFt: 500, BlockedSqFt: 700}}}.run(t)
	const wall = 60 * 20 / 2
	within(t, "the drain's flow", out.Outlets[0].Gpm, (2400+wall+500)*3.2/96.25, 0.01)
	within(t, "the overflow's roof", out.Outlets[1].SqFt, 2400+wall+700, 1e-6)
	within(t, "the overflow's flow", out.Outlets[1].Gpm, (2400+wall+700)*6.4/96.25, 0.01)
	within(t, "the bay's roof", out.Bays[0].SqFt, 2400+wall+700, 1e-6)
}

// An overflow onto another area lets water onto it only with the drains blocked.
func TestPasses_Overflow(t *testing.T) {
	a := rectangle(60, 40)
	a.Outlets = []survey.Outlet{
		{ID: "D", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 30, Y: 20}, Size: 4 * unit.Inch},
		{ID: "O", Kind: survey.Scupper, Edge: 1, At: geom.Pt{X: 60, Y: 20}, Width: unit.Feet(1), Opening: 4 * unit.Inch,
			Inlet: at(2), Overflow: true, Onto: "B"}}
	s, out := rainRoof{area: a, z: func(geom.Pt) float64 { return 0 }, rain: stormy}.run(t)
	got := out.Passes(s, "B")
	if len(got) != 1 || got[0].SqFt != 0 || got[0].At.Dist(geom.Pt{X: 60, Y: 20}) > 1e-9 {
		t.Fatalf("%+v", got)
	}
	within(t, "with the drains blocked", got[0].BlockedSqFt, 2400, 1e-6)
}

// What is let onto another area arrives there, all of it.
func TestPasses(t *testing.T) {
	a := rectangle(60, 40)
	a.Edges[1].Kind = survey.OpenEdge
	a.Outlets = []survey.Outlet{{ID: "A-1", Kind: survey.OpenOutlet, Edge: 1, At: geom.Pt{X: 60, Y: 20}, Onto: "B"}}
	s, out := rainRoof{area: a, z: func(p geom.Pt) float64 { return 10 - p.X/8 }, rain: stormy}.run(t)
	sum, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for _, p := range out.Passes(s, "B") {
		sum += p.SqFt
		low, high = math.Min(low, p.At.Y), math.Max(high, p.At.Y)
		within(t, "on the edge", p.At.X, 60, 1e-9)
	}
	within(t, "all of it", sum, 2400, 1e-6)
	within(t, "along the edge", low+high, 40, 1e-9)
	if len(out.Passes(s, "C")) > 0 || high-low < 38 {
		t.Error("passed on elsewhere, or in one place")
	}
	if f := out.Outlets[0]; f.HeadIn != 0 || f.Verdict != Meets {
		t.Errorf("an open edge: %+v", f)
	}
}

// Two bays that share an overflow over a ridge: the far one stands to the ridge
// and its head is not known, unless the water beyond stands higher than it.
func TestRainOn_OverARidge(t *testing.T) {
	for _, joined := range []bool{false, true} {
		ridgeIn, widthIn := 5.0, 24.0
		if joined {
			ridgeIn, widthIn = 3.2, 6
		}
		headIn := math.Pow(1600*6.4/96.25/(2.9*widthIn), 2.0/3) // all 1,600 sq ft leave by the one scupper
		a := rectangle(80, 20)
		a.Outlets = []survey.Outlet{
			{ID: "N", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 20, Y: 10}, Size: 4 * unit.Inch},
			{ID: "F", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 60, Y: 10}, Size: 4 * unit.Inch},
			{ID: "O", Kind: survey.Scupper, Edge: 3, At: geom.Pt{Y: 10}, Width: unit.Inches(widthIn), Opening: 6 * unit.Inch, Inlet: at(3), Overflow: true}}
		// A ridge across the middle, each half falling to its drain.
		z := func(p geom.Pt) float64 {
			if p.X < 20 {
				return (20 - p.X) / 20
			}
			return ridgeIn * math.Min(p.X-20, math.Abs(p.X-60)) / 20
		}
		_, out := rainRoof{area: a, z: z, rain: stormy}.run(t)
		if len(out.Bays) == 1 { // one water from the start
			t.Fatalf("one bay: %+v", out.Bays)
		}
		for _, b := range out.Bays {
			switch {
			case b.Lowest == "N":
				within(t, "head", b.DhIn, headIn, 0.01)
				within(t, "ds", b.DsIn, 3, 0.1)
			case joined:
				within(t, "level of the joined water", b.DsIn+b.DhIn, 3+headIn, 0.1)
			default:
				within(t, "ds to the ridge", b.DsIn, ridgeIn, 0.1)
				if !b.AtLeast || b.DhIn != -1 || !strings.Contains(b.Why, "over a ridge") {
					t.Errorf("%+v", b)
				}
			}
		}
	}
}
