package taper

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// The stock of sixteenths: what noise could buy.
func sixteenths() *survey.Stock {
	return slopeStock(0.0625, 0.125, 0.1875, 0.25, 0.375, 0.5)
}

// Boards wanted by hand: a finished 1/4 in/ft less the deck's rise uphill, plus
// it downhill. All decks rise along +x.
func TestFieldOf_DoubtBuysNoBoards(t *testing.T) {
	for _, c := range []struct {
		name         string
		rise, doubt  float64
		plusX, minus float64 // boards uphill toward +x and -x
		taken        float64
		note         bool
	}{
		{"exactly 1/8", 0.125, 0, 0.125, 0.375, 0.125, false},
		{"exactly 1/8, doubt or not", 0.125, 0.001, 0.125, 0.375, 0.125, false},
		{"rounding above 1/8", 0.125004, 0.0000041, 0.125, 0.375, 0.125, false},
		{"noise above 1/8", 0.1252, 0.0005, 0.125, 0.375, 0.125, true},
		{"noise below 1/8", 0.1248, 0.0005, 0.125, 0.375, 0.125, true},
		{"noise above 1/8, no doubt given", 0.1252, 0, 0.125, 0.5, 0.1252, false},
		{"noise below 1/8, no doubt given", 0.1248, 0, 0.1875, 0.375, 0.1248, false},
		{"2.9 standard errors above", 0.125 + 2.9*0.0005, 0.0005, 0.125, 0.375, 0.125, true},
		{"3.1 standard errors above", 0.125 + 3.1*0.0005, 0.0005, 0.125, 0.5, 0.12655, false},
		{"noise above the steepest board", 0.2503, 0.0002, 0, 0.5, 0.25, true},
		{"noise below no board at all", 0.2497, 0.0002, 0, 0.5, 0.25, true},
		{"doubt that is no number", 0.1252, math.NaN(), 0.125, 0.5, 0.1252, false},
	} {
		in := quarterIn(survey.FourWay)
		in.Deck, in.Doubt = survey.Plane{CIn: 40, GX: c.rise}, unit.InchesPerFoot(c.doubt)
		in.Stock = sixteenths()
		s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
		deck, notes := in.takenDeck(s.Frame)
		in.Deck = deck
		g, _, err := deckGauge(in, s.Frame, in.ahead(geom.Pt{}))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		nearly(t, c.name+": deck", deck.GX, c.taken, 1e-9)
		nearly(t, c.name+": boards toward +x", g.plusX, c.plusX, 1e-12)
		nearly(t, c.name+": boards toward -x", g.minusX, c.minus, 1e-12)
		nearly(t, c.name+": boards across", math.Max(g.plusY, g.minusY), 0.25, 1e-12)
		if (len(notes) > 0) != c.note {
			t.Errorf("%s: notes %q", c.name, notes)
		}
		for _, n := range notes {
			if !strings.Contains(n, "within the doubt of the survey") {
				t.Errorf("%s: note %q", c.name, n)
			}
		}
	}
}

// A deck that is turned end for end or mirrored is taken as the same deck
// turned, and a second taking changes nothing.
func TestTakenDeck_Laws(t *testing.T) {
	for n := range 200 {
		x := float64(n)/400 - 0.25
		in := quarterIn(survey.FourWay)
		in.Stock, in.Doubt = sixteenths(), unit.InchesPerFoot(0.004)
		in.Deck = survey.Plane{GX: x, GY: 0.11}
		deck, _ := in.takenDeck(geom.Frame{})
		in.Deck = survey.Plane{GX: -x, GY: 0.11}
		back, _ := in.takenDeck(geom.Frame{})
		in.Deck = survey.Plane{GX: 0.11, GY: x}
		turned, _ := in.takenDeck(geom.Frame{})
		in.Deck = deck
		again, notes := in.takenDeck(geom.Frame{})
		if back.GX != -deck.GX || turned.GY != deck.GX || again != deck || len(notes) > 0 {
			t.Errorf("%g is taken as %g, mirrored %g, turned %g, again %g (%q)", x, deck.GX, back.GX, turned.GY, again.GX, notes)
		}
		if off := math.Abs(deck.GX - x); off > 0.012+1e-12 {
			t.Errorf("%g is taken as %g, further than three standard errors", x, deck.GX)
		}
	}
}

// The whole of a design: the boards of a noisy deck of 1/8 in/ft are those of
// the exact one, the design stands on the deck as taken, and its facets reach
// the slope asked for on it.
func TestMake_NoisyDeckAsExact(t *testing.T) {
	s := roof(rect(90, 50), geom.Pt{X: 30, Y: 20})
	choice := choiceOf(0.5)
	choice.Slope, choice.Scheme = unit.InchesPerFoot(0.25), survey.FourWay
	made := func(rise, doubt float64) *Design {
		d, err := Make(t.Context(), s, MakeInput{Choice: choice, Deck: survey.Plane{CIn: 9, GX: rise},
			Doubt: unit.InchesPerFoot(doubt), ValleyMin: unit.InchesPerFoot(0.125)})
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	exact, noisy, bought := made(0.125, 0), made(0.12518, 0.0005), made(0.12518, 0)
	if fmt.Sprint(exact.Counts) != fmt.Sprint(noisy.Counts) {
		t.Errorf("boards\n%v, of the exact deck\n%v", noisy.Counts, exact.Counts)
	}
	if fmt.Sprint(exact.Counts) == fmt.Sprint(bought.Counts) {
		t.Error("a deck of 0.12518 in/ft without doubt has the boards of one of 0.125: the test tells nothing")
	}
	nearly(t, "deck", noisy.Deck.GX, 0.125, 1e-15)
	least, _ := finishedSlopes(noisy.Facets)
	nearly(t, "flattest facet", least, 0.25, 1e-12)
}

// Only the direction that changed is named: on a deck of 1/8 in/ft along both
// axes the quadrant downhill of the drain has boards of 3/8 and a valley of
// (3/8 x 3/8 - 2 x 1/8 x 3/8) / (3/8 sqrt 2) = 0.0884, until one is raised.
func TestFieldOf_NamesRaisedBoardsOnly(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.Deck, in.ValleyMin = survey.Plane{GX: 0.125, GY: 0.125}, unit.InchesPerFoot(0.125)
	in.Stock = sixteenths()
	_, _, notes := mustField(t, roof(rect(40, 40), geom.Pt{X: 20, Y: 20}), in)
	var raised []string
	for _, n := range notes {
		if strings.HasPrefix(n, "boards raised") {
			raised = append(raised, n)
		}
	}
	if len(raised) != 1 || strings.Count(raised[0], "uphill") != 1 || !strings.Contains(raised[0], "from 0.375 in/ft to 0.5 in/ft") ||
		!strings.Contains(raised[0], "a valley sloped 0.08839 in/ft") {
		t.Errorf("%q", notes)
	}
}

// The slopes printed are those built: no board slopes 0.3, so 0.375 is laid, and
// its valley by hand slopes 0.375 / sqrt 2 = 0.2652.
func TestFieldOf_PrintsSlopesBuilt(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.Slope, in.Stock = unit.InchesPerFoot(0.3), slopeStock(0.25, 0.375)
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	_, _, notes := mustField(t, s, in)
	if want := "facets slope 0.375 in/ft and the flattest valley 0.2652 in/ft"; !strings.Contains(strings.Join(notes, "\n"), want) {
		t.Errorf("notes %q lack %q", notes, want)
	}
	in.Slope, in.Stock, in.Deck = unit.InchesPerFoot(0.25), sixteenths(), survey.Plane{GX: 0.125}
	_, _, notes = mustField(t, s, in)
	// Across: the hypotenuse of 0.25 of board and 0.125 of deck.
	if want := "facets slope 0.25 to 0.2795 in/ft and the flattest valley 0.1387"; !strings.Contains(strings.Join(notes, "\n"), want) {
		t.Errorf("notes %q lack %q", notes, want)
	}
}

// Every design is told the least volume for the slope asked for. Of a level deck
// it is the cone of row B, a fifth of 120 x 80 in every measure; where the deck
// rises by 1/8 along the roof, less than the slope, the finish is that cone still
// and the deck under it takes nothing of the mean.
func TestMake_LeastVolumeOfTheSlopeAskedFor(t *testing.T) {
	s := roof(rect(24, 16), geom.Pt{X: 12, Y: 8})
	for _, c := range []struct{ slope, rise float64 }{{0.25, 0}, {0.3, 0}, {0.25, 0.125}} {
		choice := choiceOf(0.5)
		choice.Scheme, choice.Slope = survey.FourWay, unit.InchesPerFoot(c.slope)
		d, err := Make(t.Context(), s, MakeInput{Choice: choice, Deck: survey.Plane{GX: c.rise}})
		if err != nil {
			t.Fatal(err)
		}
		// The deck's mean over its drain is nothing: the drain stands in the middle.
		want := 384.0 / 12 * (0.5 + c.slope*38.724244/5)
		nearly(t, "least volume", d.Insulation.LeastCuFt, want, 0.01*want)
	}
}

// 1/2 in at the drain and 1/4 in/ft over 12 ft: 3-1/2 in at the far walls.
func TestMake_OverThickest(t *testing.T) {
	s := roof(rect(24, 16), geom.Pt{X: 12, Y: 8})
	for thickest, want := range map[float64]float64{0: 0, 3: 0.5, 3.5: 0, 4: 0} {
		choice := choiceOf(0.5)
		choice.Scheme, choice.Slope = survey.FourWay, unit.InchesPerFoot(0.25)
		choice.Thickest = unit.Inches(thickest)
		d, err := Make(t.Context(), s, MakeInput{Choice: choice})
		if err != nil {
			t.Fatal(err)
		}
		nearly(t, fmt.Sprintf("over %g in", thickest), d.OverThickest.Inches(), want, 1e-9)
		if strings.Contains(strings.Join(d.Notes, "\n"), "more than the job allows") != (want > 0) {
			t.Errorf("over %g in: notes %q", thickest, d.Notes)
		}
	}
}

// Outlets on top of one another are named, three pairs at most; overflows
// beside their drain are as they should be.
func TestFieldOf_OutletsTooNear(t *testing.T) {
	at := func(x ...float64) (out []geom.Pt) {
		for _, x := range x {
			out = append(out, geom.Pt{X: x, Y: 20})
		}
		return out
	}
	for _, c := range []struct {
		name   string
		drains []geom.Pt
		want   string
	}{
		{"one foot apart", at(30, 31), ""},
		{"entered twice", at(30, 30), "A and B stand in one place:"},
		{"three inches apart", at(30, 10, 30.25), `A and C stand 3" apart:`},
		{"a cluster", at(30, 30.25, 30.5, 30.75), `A and C stand 6" apart, B and C stand 3" apart (and 3 pairs more):`},
	} {
		_, _, notes := mustField(t, roof(rect(60, 40), c.drains...), quarterIn(survey.FourWay))
		all := strings.Join(notes, "\n")
		if got := strings.Contains(all, "stand"); got != (c.want != "") || !strings.Contains(all, c.want) {
			t.Errorf("%s: notes %q, want %q", c.name, notes, c.want)
		}
	}
	a := roofArea(rect(60, 40), at(30, 30.5)...)
	a.Outlets[1].Overflow = true
	if _, _, notes := mustField(t, survey.SiteOf(a, nil), quarterIn(survey.FourWay)); strings.Contains(strings.Join(notes, "\n"), "stand") {
		t.Errorf("an overflow beside its drain: %q", notes)
	}
}

func TestFieldOf_MostPlaces(t *testing.T) {
	drains := func(n int) *survey.Site {
		var at []geom.Pt
		for i := range n {
			at = append(at, geom.Pt{X: 5 + 10*float64(i%30), Y: 5 + 10*float64(i/30)})
		}
		return roof(rect(300, 100), at...)
	}
	if _, err := FieldOf(context.Background(), drains(mostPlaces+1), quarterIn(survey.FourWay)); err == nil ||
		!strings.Contains(err.Error(), "has 201 primary drains and scuppers, more than the 200") {
		t.Errorf("201 drains: %v", err)
	}
	f, _, _ := mustField(t, drains(mostPlaces), quarterIn(survey.FourWay))
	m := MeasureInsulation(f)
	nearly(t, "area of 200 drains, sq ft", m.CuFt*12/m.AverageIn, 30000, 1e-3)
}

// Cutting ends with its context, not with its boards.
func TestCutBoards_Ends(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := cutBoards(ctx, make([]Board, 3), CutOptions{})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}
