package taper

import (
	"context"
	"flag"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Closed forms of the schemes, check values of taper geometry (mathematics,
// derived beside each): mean and highest over t0 on a rectangle of half
// lengths a >= b with its drain in the middle, slope s.
func TestFieldOf_Schemes(t *testing.T) {
	const s = 0.25
	for _, size := range [][2]float64{{40, 40}, {60, 40}, {100, 50}, {120, 80}} {
		a, b := size[0]/2, size[1]/2
		site := roof(rect(size[0], size[1]), geom.Pt{X: a, Y: b})
		equal := quarterIn(survey.FourWay)
		equal.EqualEdges = true
		eight := quarterIn(survey.EightWay)
		for name, c := range map[string]struct {
			in            FieldInput
			meanIn, topIn float64
		}{
			// Two ramps to the level line along the long way: the mean of s |y|.
			"two-way": {quarterIn(survey.TwoWayCrickets), s * b / 2, s * b},
			// Level perimeter: a pyramid turned over, the mean 2/3 of its height.
			"equal edges": {equal, 2 * s * a / 3, s * a},
			"eight-way":   {eight, eightMean(a, b, s), eightNorm(a, b) * s},
		} {
			f, err := FieldOf(context.Background(), site, c.in)
			if err != nil {
				t.Fatal(err)
			}
			m := MeasureInsulation(f.Facets)
			nearly(t, name+" mean", m.AverageIn, c.in.T0In+c.meanIn, 1e-6)
			nearly(t, name+" highest", m.ThickestIn, c.in.T0In+c.topIn, 1e-6)
			nearly(t, name+" least", m.ThinnestIn, c.in.T0In, 1e-9)
		}
	}
}

// eightNorm is the greatest of |x|, |y| and (|x| + |y|)/sqrt 2.
func eightNorm(x, y float64) float64 {
	return math.Max(math.Max(x, y), (x+y)/math.Sqrt2)
}

// eightMean is the mean of s times eightNorm over a quarter, by the midpoints of
// strips along y, each exact: the norm is piecewise linear in x.
func eightMean(a, b, s float64) float64 {
	const strips = 20000
	k := math.Sqrt2 - 1 // the norm changes its plane at x = k y and at y = k x
	sum := 0.0
	for i := range strips {
		y := (float64(i) + 0.5) * b / strips
		cuts := []float64{0, math.Min(a, k*y), math.Min(a, y/k), a}
		for n := 1; n < len(cuts); n++ {
			sum += (eightNorm(cuts[n-1], y) + eightNorm(cuts[n], y)) / 2 * (cuts[n] - cuts[n-1])
		}
	}
	return s * sum / strips / a
}

// Edges of one height, 40 x 60 ft at 1/4: boards of 1/4 and 3/8, valleys of
// 1/4 x 3/8 / sqrt(1/16 + 9/64) = 0.208 to the corners, 13,200 board feet for
// 11,533 of equal slopes (mathematics).
func TestFieldOf_EqualEdges(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.EqualEdges, in.Stock = true, slopeStock(0.125, 0.25, 0.375, 0.5)
	f, err := FieldOf(context.Background(), roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), in)
	if err != nil {
		t.Fatal(err)
	}
	m := MeasureInsulation(f.Facets)
	nearly(t, "board feet", m.CuFt*12, 13200, 1e-6)
	nearly(t, "highest", m.ThickestIn, 8, 1e-9)
	for _, l := range f.Lines {
		if l.Kind == Valley {
			nearly(t, "valley", l.Slope.InchesPerFoot(), 0.25*0.375/math.Hypot(0.25, 0.375), 1e-9)
		}
	}
	if !strings.Contains(strings.Join(f.Notes, "\n"), "one height all round") {
		t.Errorf("notes %q", f.Notes)
	}
	in.Stock = slopeStock(0.25, 0.5)
	if f, err = FieldOf(context.Background(), roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), in); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(f.Notes, "\n"), "with the boards to be had") {
		t.Errorf("notes %q", f.Notes)
	}
}

// A sump of 4 ft at 1/2 in/ft under the 40 x 60 ft roof: the field meets its rim
// at 1.5 in; 12,730.7 board feet for 11,533.3, 6.0 in at the middle of the long
// edge, 8.5 in the corner (mathematics: lifted by (1/2 - 1/4) x 2 ft, less the
// hollow of 16 sq ft, (1/2 - 1/4) x 2 x 16/3 under the lifted field).
func TestFieldOf_Sump(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.SumpFt, in.SumpBoard = 4, unit.InchesPerFoot(0.5)
	f, err := FieldOf(context.Background(), roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), in)
	if err != nil {
		t.Fatal(err)
	}
	m := MeasureInsulation(f.Facets)
	nearly(t, "board feet", m.CuFt*12, 2400*(1+17.222222222/4)-2.6666666667, 1e-5)
	nearly(t, "published board feet", m.CuFt*12, 12730.7, 0.05)
	nearly(t, "thinnest", m.ThinnestIn, 0.5, 1e-9)
	sumps, sqft := 0, 0.0
	for _, x := range f.Facets {
		if x.Role == SumpRole {
			sumps, sqft = sumps+1, sqft+x.Poly.Area()
			nearly(t, "sump board", x.Plane.Slope().InchesPerFoot(), 0.5, 1e-12)
		}
	}
	if sumps != 4 {
		t.Errorf("%d sump facets, want 4", sumps)
	}
	nearly(t, "sump area", sqft, 16, 1e-6)
	half, corner := geom.Pt{X: 0, Y: 20}, geom.Pt{X: -30, Y: 20}
	for _, c := range []struct {
		at     geom.Pt
		wantIn float64
	}{{half, 6}, {corner, 8.5}, {geom.Pt{X: 2}, 1.5}, {geom.Pt{}, 0.5}} {
		got, _ := ThicknessAt(f.Facets, c.at)
		nearly(t, "thickness", got, c.wantIn, 1e-9)
	}
	in.SumpBoard = unit.InchesPerFoot(0.25)
	if f, err = FieldOf(context.Background(), roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), in); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(f.Notes, "\n"), "no steeper than the field") || MeasureInsulation(f.Facets).ThickestIn != 8 {
		t.Errorf("a sump no steeper than the field: %q, %v", f.Notes, MeasureInsulation(f.Facets))
	}
}

// The two-way field of 120 x 60 ft with drains at (30,30) and (90,30) falls to
// one level line through both: 30,600 board feet from 1/2 in (mathematics).
func TestFieldOf_TwoWayLine(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	f, err := FieldOf(context.Background(), s, quarterIn(survey.TwoWayCrickets))
	if err != nil {
		t.Fatal(err)
	}
	nearly(t, "board feet", MeasureInsulation(f.Facets).CuFt*12, 30600, 1e-6)
	if len(f.Low) != 1 || len(f.Facets) != 2 {
		t.Fatalf("%d low lines, %d facets", len(f.Low), len(f.Facets))
	}
	l := f.Low[0]
	if got := strings.Join(l.Outlet, ","); got != ",A,B," && got != ",B,A," {
		t.Errorf("low line through %q", got)
	}
	nearly(t, "left", l.Left.InchesPerFoot(), 0.25, 1e-12)
	nearly(t, "right", l.Right.InchesPerFoot(), 0.25, 1e-12)
}

// Outlets a little out of line are still on one line, which bends at them: no
// place of it lies over t0, and the field is continuous.
func TestFieldOf_OutOfLine(t *testing.T) {
	s := roof(rect(150, 60), geom.Pt{X: 25, Y: 30}, geom.Pt{X: 75, Y: 33}, geom.Pt{X: 125, Y: 29})
	f, err := FieldOf(context.Background(), s, quarterIn(survey.TwoWayCrickets))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Low) != 1 || len(f.Low[0].At) != 5 {
		t.Fatalf("low lines %+v", f.Low)
	}
	at := f.Low[0].At
	for i := 1; i < len(at); i++ {
		for k := range 11 {
			in, ok := ThicknessAt(f.Facets, at[i-1].Lerp(at[i], float64(k)/10))
			if !ok {
				t.Fatal("a place of the low line off the roof")
			}
			nearly(t, "along the low line", in, 0.5, 1e-9)
		}
	}
	partition(t, s, f.Facets)
}

// partition holds facets to the law: they cover the area once, and thickness is
// the same on both sides of every line where two of them meet.
func partition(t testing.TB, s *survey.Site, facets []Facet) {
	t.Helper()
	sum := 0.0
	for _, f := range facets {
		sum += f.Poly.Area()
	}
	want := s.RoofArea().SquareFeet()
	if math.Abs(sum-want) > 1e-9*want {
		t.Errorf("facets cover %.12g of %.12g sq ft", sum, want)
	}
	for i, f := range facets {
		for _, p := range f.Poly.Outer {
			for _, g := range facets[i+1:] {
				if g.Poly.Dist(p) < 1e-7 && math.Abs(f.Plane.At(p)-g.Plane.At(p)) > 1e-6 {
					t.Errorf("facets %d and %d differ by %g in at %v", f.ID, g.ID, f.Plane.At(p)-g.Plane.At(p), p)
					return
				}
			}
		}
	}
}

var fieldRoofs = flag.Int("fieldroofs", 400, "how many random roofs fields of every scheme are designed on")

// Random roofs, rectilinear and not, under every scheme: the facets are a partition
// to 1e-9, thickness is continuous over every line, no place lies lower than t0,
// and a way that only goes down comes from any place to where the field begins.
// -fieldseed, -fieldroofs.
func TestFieldOf_SchemesRandom(t *testing.T) {
	rng := rand.New(rand.NewPCG(*fieldSeed, 77))
	made, roofs := 0, *fieldRoofs
	if testing.Short() {
		roofs = min(roofs, 100)
	}
	for n := range roofs {
		poly := blocks(rng)
		if n%2 == 1 {
			poly = star(rng)
		}
		a := &survey.Area{Name: "A", Outline: poly.Outer, Edges: make([]survey.Edge, len(poly.Outer))}
		a.Courts = append(a.Courts, poly.Holes...)
		for len(a.Outlets) < 1+n%6 {
			a.Outlets = append(a.Outlets, survey.Outlet{ID: string(rune('A' + len(a.Outlets))), Kind: survey.Drain, At: inside(rng, poly), Edge: -1})
		}
		s := survey.SiteOf(a, nil)
		in := quarterIn([]survey.Scheme{survey.TwoWayCrickets, survey.EightWay, survey.FourWay}[n%3])
		if n%4 == 0 {
			in.SumpFt, in.SumpBoard = 4, unit.InchesPerFoot(0.5)
		}
		f, err := FieldOf(context.Background(), s, in)
		if err != nil {
			t.Fatalf("roof %d of seed %d, %s: %v", n, *fieldSeed, in.Scheme, err)
		}
		partition(t, s, f.Facets)
		if m := MeasureInsulation(f.Facets); m.ThinnestIn < in.T0In-1e-9 {
			t.Errorf("roof %d of seed %d: %g in at the thinnest", n, *fieldSeed, m.ThinnestIn)
		}
		if n%5 == 0 {
			endsIn := in.T0In
			if in.SumpFt > 0 {
				endsIn += 0.5 // a level line at the rims of its sumps
			}
			downhill(t, f.Facets, s.Frame.ToLocal(inside(rng, poly)), endsIn)
		}
		if t.Failed() {
			t.Fatalf("roof %d of seed %d, %s", n, *fieldSeed, in.Scheme)
		}
		made++
	}
	if made != roofs {
		t.Errorf("%d of %d roofs", made, roofs)
	}
}

// downhill walks down from a place over the field, by what it looks up at places
// about it, and wants to end where the field begins.
func downhill(t *testing.T, facets []Facet, p geom.Pt, t0In float64) {
	t.Helper()
	at, ok := ThicknessAt(facets, p)
	stepFt := 0.5
	for ok && at > t0In+0.06 && stepFt > 0.01 {
		best, bestIn := p, at
		for k := range 32 {
			a := float64(k) * math.Pi / 16
			q := p.Add(geom.Pt{X: math.Cos(a), Y: math.Sin(a)}.Mul(stepFt))
			if in, on := ThicknessAt(facets, q); on && in < bestIn-1e-9 {
				best, bestIn = q, in
			}
		}
		if best == p {
			stepFt /= 2
			continue
		}
		p, at = best, bestIn
	}
	if at > t0In+0.06 {
		t.Errorf("a way down ends at %v, %.3f in over where the field begins", p, at-t0In)
	}
}

// A deck in two planes that fall 1/4 in/ft to a valley through two drains needs no
// field: one thickness all over, and a low line that both planes fall to.
func TestFieldOf_CricketsOnly(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	in := quarterIn(survey.CricketsOnly)
	half := func(y0, y1 float64) geom.Poly {
		return geom.Poly{Outer: geom.Box{Min: geom.Pt{X: -60, Y: y0}, Max: geom.Pt{X: 60, Y: y1}}.Ring()}
	}
	in.Decks = []DeckPart{{half(-30, 0), survey.Plane{GY: -0.25}}, {half(0, 30), survey.Plane{GY: 0.25}}}
	f, err := FieldOf(context.Background(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	partition(t, s, f.Facets)
	if len(f.Facets) != 2 || len(f.Low) != 1 {
		t.Fatalf("%d facets and %d low lines", len(f.Facets), len(f.Low))
	}
	nearly(t, "board feet", MeasureInsulation(f.Facets).CuFt*12, 7200*0.5, 1e-6)
	nearly(t, "left", f.Low[0].Left.InchesPerFoot(), 0.25, 1e-12)
	nearly(t, "right", f.Low[0].Right.InchesPerFoot(), 0.25, 1e-12)
	in.Decks = nil
	if f, err = FieldOf(context.Background(), s, in); err != nil || !strings.Contains(strings.Join(f.Notes, "\n"), "toward no line of outlets") {
		t.Errorf("a level deck: %q, %v", f.Notes, err)
	}
}

// On a deck in two planes that fall 1/8 in/ft to a valley through the drains,
// boards of 1/8 finish 1/4 toward it from both hands: each plane is designed on
// its own (the component rule, s = 1/4 - g.d). So it is on both hands of a ridge
// of the deck with drains at either eave; with drains at one eave alone boards go
// over the ridge, and are as steep as it takes beyond.
func TestFieldOf_TwoPlanes(t *testing.T) {
	half := func(y0, y1 float64) geom.Poly {
		return geom.Poly{Outer: geom.Box{Min: geom.Pt{X: -60, Y: y0}, Max: geom.Pt{X: 60, Y: y1}}.Ring()}
	}
	eaves := []geom.Pt{{X: 30}, {X: 90}, {X: 30, Y: 60}, {X: 90, Y: 60}}
	for _, c := range []struct {
		name        string
		at          []geom.Pt
		sign        float64
		wantInPerFt float64 // most board
	}{
		{"drains in the valley", []geom.Pt{{X: 30, Y: 30}, {X: 90, Y: 30}}, 1, 0.125},
		{"drains at the eaves of a ridge", eaves, -1, 0.125},
		{"drains at one eave", eaves[:2], -1, 0.375},
	} {
		s := roof(rect(120, 60), c.at...)
		s.Breaks = [][]geom.Pt{{{X: -60}, {X: 60}}}
		in := quarterIn(survey.TwoWayCrickets)
		in.Decks = []DeckPart{{half(-30, 0), survey.Plane{GY: -0.125 * c.sign}}, {half(0, 30), survey.Plane{GY: 0.125 * c.sign}}}
		f, err := DividedField(context.Background(), s, in, Own{})
		if err != nil {
			t.Fatal(err)
		}
		partition(t, s, f.Facets)
		least, _ := finishedSlopes(f.Facets)
		if least < 0.25-1e-9 {
			t.Errorf("%s: a facet finishes at %g in/ft", c.name, least)
		}
		most := 0.0
		for _, x := range f.Facets {
			most = math.Max(most, x.Plane.Slope().InchesPerFoot())
		}
		nearly(t, c.name+": steepest board", most, c.wantInPerFt, 1e-9)
	}
}

// Four planes of 1/8 that fall to one drain in the middle: boards of 1/8 in each of
// the four directions finish 1/4 all round, valleys 1/4 over the square root of 2.
func TestFieldOf_FourPlanes(t *testing.T) {
	s := roof(rect(60, 60), geom.Pt{X: 30, Y: 30})
	in := quarterIn(survey.FourWay)
	in.ValleyMin = unit.InchesPerFoot(0.125)
	for _, p := range [][3]geom.Pt{{{X: 30, Y: -30}, {X: 30, Y: 30}, {X: 0.125}}, {{X: 30, Y: 30}, {X: -30, Y: 30}, {Y: 0.125}},
		{{X: -30, Y: 30}, {X: -30, Y: -30}, {X: -0.125}}, {{X: -30, Y: -30}, {X: 30, Y: -30}, {Y: -0.125}}} {
		in.Decks = append(in.Decks, DeckPart{geom.Poly{Outer: geom.Ring{{}, p[0], p[1]}}, survey.Plane{GX: p[2].X, GY: p[2].Y}})
	}
	f, err := FieldOf(context.Background(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	partition(t, s, f.Facets)
	for _, x := range f.Facets {
		nearly(t, "board", x.Plane.Slope().InchesPerFoot(), 0.125, 1e-9)
		nearly(t, "finished", x.Top().Slope().InchesPerFoot(), 0.25, 1e-9)
	}
	for _, l := range f.Lines {
		if l.Kind == Valley {
			nearly(t, "valley", l.Slope.InchesPerFoot(), 0.25/math.Sqrt2, 1e-9)
		}
	}
}

// Water runs over the rim of a sump: it is no ridge. Nor is anything else of a roof
// with one drain in its middle.
func TestFieldOf_SumpRimIsNoRidge(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.SumpFt, in.SumpBoard = 4, unit.InchesPerFoot(0.5)
	f, err := FieldOf(context.Background(), roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), in)
	if err != nil {
		t.Fatal(err)
	}
	rim := 0.0
	for _, l := range f.Lines {
		if l.Kind == Ridge {
			t.Errorf("a ridge from %v to %v", l.A, l.B)
		}
		if l.Kind == Hip {
			rim += l.A.Dist(l.B)
		}
	}
	nearly(t, "rim", rim, 16, 1e-6)
}
