package taper

import (
	"cmp"
	"context"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// stripStock has the boards and the strip of a worked example: 1/4 and 1/2.
func stripStock() *survey.Stock {
	s := slopeStock(0.25, 0.5)
	for _, c := range []float64{0.25, 0.5} {
		s.Strips = append(s.Strips, survey.TaperedBoard{Slope: unit.InchesPerFoot(c), Thick: unit.Inch / 2})
	}
	return s
}

func cricketsOn(t *testing.T, s *survey.Site, in FieldInput, ci CricketInput) (Field, []Facet, []Cricket, []string) {
	t.Helper()
	in.Crickets = true
	f, err := FieldOf(context.Background(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	facets, crickets, notes, err := CricketsOf(s, f.Facets, f.Low, ci)
	if err != nil {
		t.Fatal(err)
	}
	return f, facets, crickets, notes
}

func wants(valley, field float64) CricketInput {
	return CricketInput{ValleyMin: unit.InchesPerFoot(valley), FieldMin: unit.InchesPerFoot(field), Stock: stripStock()}
}

// 120 x 60 ft, drains at (30,30) and (90,30), two-way at 1/4: eight quarter
// crickets, H 30. W 17.32 would do for 1/8 and is rounded up to 17'-6" (0 here). W
// 18: valleys 0.1286, peaks 7.72 in, 5,556.6 board feet. W 20: 0.1387, 8.32,
// 6,656.4. W 17.32 itself: 0.125, 7.5, 5,196.2; 15 ft along and 6 ft off the
// line field 2.000 and cricket 1.152 in; the top slopes 0.250 along and 0.183
// away, 0.310 in all. Figures of worked examples.
func TestCricketsOf_LowLine(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	for _, c := range []struct{ widthFt, valley, peakIn, boardFeet float64 }{
		{0, 0.25 * 17.5 / math.Hypot(30, 17.5), 0.5 * 30 * 17.5 / math.Hypot(30, 17.5), 5290.6}, {18, 0.1286, 7.72, 5556.6}, {20, 0.1387, 8.32, 6656.4}, {17.3205080757, 0.125, 7.5, 5196.2},
	} {
		ci := wants(0.125, 0.25)
		own := c.widthFt > 0
		if own {
			s.OwnCrickets, s.Crickets = true, nil
			for _, x := range [][2]float64{{-60, -30}, {-30, 30}, {30, 60}} {
				s.Crickets = append(s.Crickets, survey.CricketPlace{From: geom.Pt{X: x[0]}, To: geom.Pt{X: x[1]}, Width: unit.Feet(c.widthFt)})
			}
		}
		f, facets, crickets, notes := cricketsOn(t, s, quarterIn(survey.TwoWayCrickets), ci)
		if len(facets) != 8 || len(crickets) != 3 || len(notes) > 0 {
			t.Fatalf("%d facets, %d crickets, notes %q", len(facets), len(crickets), notes)
		}
		cuFt := 0.0
		for _, k := range crickets {
			cuFt += k.CuFt
			nearly(t, "valley", k.Valley.InchesPerFoot(), c.valley, 5e-5)
			nearly(t, "peak", k.Peak.Inches(), c.peakIn, 5e-3)
			nearly(t, "width", k.W.Feet(), cmp.Or(c.widthFt, 17.5), 1e-9)
			if k.Kind != FullCricket {
				t.Errorf("%s is %s", k.Name, k.Kind)
			}
		}
		nearly(t, "board feet of the crickets", cuFt*12, c.boardFeet, 0.06)
		all := append(f.Facets, facets...)
		nearly(t, "board feet", MeasureInsulation(all).CuFt*12, 30600+cuFt*12, 1e-6)
		flattest := math.Inf(1)
		lines, err := TopLines(s, all)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range lines {
			if l.Kind == Valley {
				flattest = math.Min(flattest, l.Slope.InchesPerFoot())
			}
		}
		nearly(t, "flattest valley of the finished top", flattest, c.valley, 5e-5)
		if c.valley == 0.125 {
			at, _ := ThicknessAt(all, geom.Pt{X: -15, Y: 6})
			nearly(t, "field and cricket", at, 3.152, 5e-4)
			for _, x := range facets {
				nearly(t, "top along", math.Abs(x.Top().GX), 0.25, 5e-4)
				nearly(t, "top away", math.Abs(x.Top().GY), 0.183, 5e-4)
				nearly(t, "top", x.Top().Slope().InchesPerFoot(), 0.310, 5e-4)
			}
		}
	}
}

// A field of 1/8 with crickets of 1/4 at 45 degrees: the valleys slope 1/8 over
// the square root of 2, 0.088, not the 1/8 hoped for; the note says so.
func TestCricketsOf_FlatField(t *testing.T) {
	s := roof(rect(60, 60), geom.Pt{X: 10, Y: 30}, geom.Pt{X: 50, Y: 30})
	in := quarterIn(survey.TwoWayCrickets)
	in.Slope = unit.InchesPerFoot(0.125)
	_, _, crickets, notes := cricketsOn(t, s, in, wants(0.125, 0.125))
	if len(crickets) != 3 {
		t.Fatalf("%d crickets", len(crickets))
	}
	for _, k := range crickets {
		nearly(t, "valley", k.Valley.InchesPerFoot(), 0.125/math.Sqrt2, 1e-9)
		nearly(t, "board", k.Board.InchesPerFoot(), 0.25, 1e-12)
	}
	if !strings.Contains(strings.Join(notes, "\n"), "valleys of 1/8 in/ft take a roof of 0.177 in/ft at least") {
		t.Errorf("notes %q", notes)
	}
}

// Boards no steeper than the field times sqrt(1 + k^2) leave the water running
// to the line: where the stock has nothing else that is said.
func TestCricketsOf_DoNotTurn(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	ci := wants(0.125, 0.25)
	ci.Stock = slopeStock(0.25)
	_, _, _, notes := cricketsOn(t, s, quarterIn(survey.TwoWayCrickets), ci)
	if !strings.Contains(strings.Join(notes, "\n"), "it takes more than 0.289 in/ft") {
		t.Errorf("notes %q", notes)
	}
	ci = wants(0.125, 0.25)
	ci.Choice.Board = unit.InchesPerFoot(0.25)
	_, _, _, notes = cricketsOn(t, s, quarterIn(survey.TwoWayCrickets), ci)
	if !strings.Contains(strings.Join(notes, "\n"), "boards of 1/4 in/ft do not turn the water") {
		t.Errorf("notes %q", notes)
	}
	ci.Choice.None = true
	if _, facets, _, _ := cricketsOn(t, s, quarterIn(survey.TwoWayCrickets), ci); len(facets) > 0 {
		t.Errorf("%d facets of crickets that are not wanted", len(facets))
	}
}

// Upslope of a unit 8 ft across on a field of 1/4, the ends 1 ft past its corners:
// at k = 0.577 2.887 ft out, valley 0.125, peak 1.25 in, 14.43 sq ft, 6.01 board
// feet (worked example); rounded up it is 3 ft out.
func TestCricketsOf_Curb(t *testing.T) {
	a := roofArea(rect(120, 60), geom.Pt{X: 60, Y: 0})
	a.Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 60, Y: 30}, W: 8, D: 6}, {ID: "U2", At: geom.Pt{X: 20, Y: 30}, W: 2, D: 2}}
	s := survey.SiteOf(a, nil)
	f, facets, crickets, notes := cricketsOn(t, s, quarterIn(survey.TwoWayCrickets), wants(0.125, 0.25))
	var curb *Cricket
	for i := range crickets {
		if crickets[i].Kind == CurbCricket {
			if curb != nil {
				t.Error("a cricket behind a curb of 2 ft")
			}
			curb = &crickets[i]
		}
	}
	if curb == nil {
		t.Fatalf("no cricket upslope of the curb: %v, %q", crickets, notes)
	}
	nearly(t, "out", curb.W.Feet(), 3, 1e-9)
	nearly(t, "area", curb.Sqft, 15, 1e-6)
	nearly(t, "peak", curb.Peak.Inches(), 0.5*5*3/math.Hypot(5, 3), 1e-9)
	w, why := WedgeOf(WedgeFor{Field: unit.InchesPerFoot(0.25), H: 5 * unit.Foot, MostW: 5 * unit.Foot}, stripStock().Tapered, unit.US)
	if why != "" {
		t.Fatal(why)
	}
	w.W = unit.Feet(5 / math.Sqrt(3))
	peak := 0.5 * 5 * w.W.Feet() / math.Hypot(5, w.W.Feet())
	nearly(t, "published peak", peak, 1.25, 1e-9)
	nearly(t, "published area", 5*w.W.Feet(), 14.43, 5e-3)
	nearly(t, "published board feet", 2*5*w.W.Feet()/2*peak/3, 6.01, 5e-3)
	if b := behindCurb(s.Curbs[0], topFacets(append(f.Facets, facets...)), 0.125); b.levelFt > 0.01 {
		t.Errorf("%.3f ft of level water are left behind the curb", b.levelFt)
	}
}

// Check values of crickets: D = 24, w = 8, field 1/4; boards of 1/2, 1/4, and what
// just stops the top from tipping to the wall (mathematics, published).
func TestWedgeOf_Worked(t *testing.T) {
	of := func(board float64) Wedge {
		w, _ := WedgeOf(WedgeFor{Field: unit.InchesPerFoot(0.25), ValleyMin: unit.InchesPerFoot(0.138), H: 12 * unit.Foot,
			Board: unit.InchesPerFoot(board)}, nil, unit.US)
		return w
	}
	w := of(0.5)
	nearly(t, "w", w.W.Feet(), 8, 1e-12)
	nearly(t, "valley", w.Valley.InchesPerFoot(), 0.138675, 5e-7)
	nearly(t, "along", w.Along.InchesPerFoot(), 0.27735, 5e-6)
	nearly(t, "away", w.AwayFrom.InchesPerFoot(), 0.16603, 5e-6)
	nearly(t, "top", w.Top.InchesPerFoot(), 0.32325, 5e-6)
	thick := 0.5 * 12 * 8 / math.Hypot(12, 8)
	nearly(t, "thickness at the wall", thick, 3.32820, 5e-6)
	nearly(t, "half-diamond", thick/12*24*8/2/3, 8.87520, 5e-6)
	w = of(0.25)
	nearly(t, "along, 1/4", w.Along.InchesPerFoot(), 0.13868, 5e-6)
	nearly(t, "still to the wall, 1/4", w.AwayFrom.InchesPerFoot(), -0.04199, 5e-6)
	nearly(t, "level", of(0.300463).AwayFrom.InchesPerFoot(), 0, 5e-7)
	for _, c := range []struct{ wOverD, valleyQuarter, needed float64 }{
		{1. / 2, 0.17678, 0.25 * math.Sqrt2}, {0.288675, 0.12500, 0.28868}, {1. / 3, 0.13868, 0.300463}, {1. / 4, 0.11180, 0.27951},
		{1. / 6, 0.07906, 0.26352}, {1. / 8, 0.06063, 0.25769},
	} {
		k := 2 * c.wOverD
		f := WedgeFor{Field: unit.InchesPerFoot(0.25), H: 100 * unit.Foot}
		nearly(t, "valley of the table", f.valley(k*100), c.valleyQuarter, 5e-6)
		w := Wedge{H: 100 * unit.Foot, W: unit.Feet(100 * k)}
		f.Board = unit.InchesPerFoot(c.needed)
		w.board(f, nil, unit.US)
		nearly(t, "just level", w.AwayFrom.InchesPerFoot(), 0, 5e-6)
	}
}

// A low line that falls 1/8 along by the deck wants no cricket: one would only
// flatten its valley.
func TestCricketsOf_LineFalls(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 0, Y: 20})
	in := quarterIn(survey.TwoWayCrickets)
	for _, c := range []struct {
		deck float64
		want int
	}{{0, 1}, {0.05, 1}, {0.125, 0}, {0.25, 0}} {
		in.Deck = survey.Plane{GX: -c.deck}
		if s.Outlets[0].P.X < 0 {
			in.Deck.GX = c.deck
		}
		if _, _, crickets, _ := cricketsOn(t, s, in, wants(0.125, 0.25)); len(crickets) != c.want {
			t.Errorf("deck of %g: %d crickets, want %d", c.deck, len(crickets), c.want)
		}
	}
}

// Two crickets of the designer's over one another: the first lies as drawn, 60 x 18 / 2
// sq ft, and the second says that it does not.
func TestCricketsOf_OwnOverlap(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	place := survey.CricketPlace{From: geom.Pt{X: -30}, To: geom.Pt{X: 30}, Width: 18 * unit.Foot, On: survey.OnLeft}
	s.OwnCrickets, s.Crickets = true, []survey.CricketPlace{place, place}
	_, _, crickets, notes := cricketsOn(t, s, quarterIn(survey.TwoWayCrickets), wants(0.125, 0.25))
	if len(crickets) != 2 || crickets[0].Sqft < 539.99 || crickets[1].Sqft > 0.01 {
		t.Errorf("crickets %+v", crickets)
	}
	if told := strings.Join(notes, "\n"); !strings.Contains(told, "cricket 2 of the job: 0 sq ft of the 540 sq ft drawn are laid") ||
		strings.Contains(told, "cricket 1") {
		t.Errorf("notes %q", notes)
	}
}

// A list of the designer's crickets stands for all of the program's: where one of its
// own is missing is told, and so is a cricket that leads to no way out; neither for
// those that lie as the program's would, nor for an empty list.
func TestCricketsOf_OwnInPlaceOfAll(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	s.OwnCrickets = true
	at := func(ax, ay, bx, by float64) survey.CricketPlace {
		return survey.CricketPlace{From: geom.Pt{X: ax, Y: ay}, To: geom.Pt{X: bx, Y: by}, Width: 18 * unit.Foot}
	}
	between, west, east := at(-30, 0, 30, 0), at(-60, 0, -30, 0), at(30, 0, 60, 0)
	const bare, nowhere = "no others are laid: there is none", "no end of its line lies at a way out"
	for _, c := range []struct {
		name     string
		crickets []survey.CricketPlace
		has      []string
		hasNot   []string
	}{
		{"all", []survey.CricketPlace{between, west, east}, nil, []string{bare, nowhere}},
		{"none", nil, nil, []string{bare, nowhere}},
		{"the middle", []survey.CricketPlace{between}, []string{bare + " from A to the wall, none from B to the wall"}, []string{nowhere, "between A and B"}},
		{"the ends", []survey.CricketPlace{west, east}, []string{bare + " between A and B"}, []string{nowhere, "to the wall"}},
		{"one nowhere", []survey.CricketPlace{between, west, east, at(-50, 20, -40, 25)}, []string{"cricket 4 of the job: " + nowhere}, []string{bare}},
	} {
		s.Crickets = c.crickets
		_, _, _, notes := cricketsOn(t, s, quarterIn(survey.TwoWayCrickets), wants(0.125, 0.25))
		told := strings.Join(notes, "\n")
		for _, w := range c.has {
			if !strings.Contains(told, w) {
				t.Errorf("%s: no %q in %q", c.name, w, told)
			}
		}
		for _, w := range c.hasNot {
			if strings.Contains(told, w) {
				t.Errorf("%s: %q in %q", c.name, w, told)
			}
		}
	}
}

// A curb half a foot off the wall lets no water past there: its cricket runs on to
// the wall, is highest there and turns all water to the other corner.
func TestCricketsOf_CurbBesideWall(t *testing.T) {
	a := roofArea(rect(60, 40), geom.Pt{X: 5, Y: 20})
	a.Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 40, Y: 37.5}, W: 4, D: 4}}
	s := survey.SiteOf(a, nil)
	_, _, crickets, notes := cricketsOn(t, s, quarterIn(survey.FourWay), wants(0.125, 0.25))
	if len(crickets) != 1 {
		t.Fatalf("%d crickets, notes %q", len(crickets), notes)
	}
	c := crickets[0]
	if d := s.Poly().Dist(c.Apex); d > 1e-6 {
		t.Errorf("highest %.3f ft off the wall", d)
	}
	nearly(t, "length of its line", c.A.Dist(c.B), 0.5+4+PastCurbFt, 1e-9)
}

// A curb whose corner stands in the valley of the field has water against two edges:
// its crickets meet on the bisector, each with its own low end, and hold nothing.
func TestCricketsOf_CurbInValley(t *testing.T) {
	a := roofArea(rect(72, 48), geom.Pt{X: 36, Y: 24})
	a.Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 52, Y: 40}, W: 8, D: 8}}
	s := survey.SiteOf(a, nil)
	f, facets, crickets, notes := cricketsOn(t, s, quarterIn(survey.FourWay), wants(0.125, 0.25))
	if len(crickets) != 2 || crickets[0].Apex.Dist(crickets[1].Apex) > 1e-9 {
		t.Fatalf("crickets %+v, notes %q", crickets, notes)
	}
	for _, c := range crickets {
		if c.Valley.InchesPerFoot() < 0.125-1e-9 {
			t.Errorf("%s: valley of %g", c.Name, c.Valley.InchesPerFoot())
		}
	}
	dams, err := damming(context.Background(), s, f.Facets, facets, crickets)
	if err != nil || len(dams) > 0 {
		t.Errorf("dams %+v, %v", dams, err)
	}
}
