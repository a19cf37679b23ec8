package taper

import (
	"fmt"
	"math"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// The built-in stock in inches. Sets: 1/8 in/ft of 1/2 to 1, 1 to 1-1/2, 1-1/2 to 2, 2
// to 2-1/2, as in trade notes; 1/4 of 1/2 to 1-1/2, 1-1/2 to 2-1/2 and 1/2 of 1/2 to
// 2-1/2 follow its rule (common practice, no source). Slopes sold are 1/16, 1/8, 3/16,
// 1/4, 3/8 and 1/2 in/ft (contents of a trade guide); the least thin edge is 1/2 in
// (trade notes); 4 ft boards rise 4 times the slope, 1/4 to 2 in (arithmetic). Flats are
// 4 x 4 and 4 x 8 ft (ANSI/SPRI WD-1 patterns), 1/2 to 4 in thick.
func TestDefaultStock_Sets(t *testing.T) {
	stock := DefaultStock(unit.US)
	sets, rise := map[float64]string{}, map[float64]float64{1. / 16: 0.25, 1. / 8: 0.5, 3. / 16: 0.75, 1. / 4: 1, 3. / 8: 1.5, 1. / 2: 2}
	for _, b := range stock.Tapered {
		s := b.Slope.InchesPerFoot()
		sets[s] += fmt.Sprintf("%g-%g ", b.Thin.Inches(), b.Thick.Inches())
		wantNear(t, fmt.Sprintf("rise at %g", s), (b.Thick - b.Thin).Inches(), rise[s], 1e-12)
		if b.Thin < unit.Inch/2 || b.Along != 4*unit.Foot || b.Depth != 4*unit.Foot {
			t.Errorf("board %+v", b)
		}
		if common := s == 1./8 || s == 1./4 || s == 1./2; b.ToOrder == common {
			t.Errorf("at %g in/ft: to order %v", s, b.ToOrder)
		}
	}
	wantEqual(t, "slopes", len(sets), len(rise))
	for s, want := range map[float64]string{1. / 8: "0.5-1 1-1.5 1.5-2 2-2.5 ", 1. / 4: "0.5-1.5 1.5-2.5 ", 1. / 2: "0.5-2.5 "} {
		wantEqual(t, fmt.Sprintf("set at %g", s), sets[s], want)
	}
	flats := map[string]bool{}
	for _, f := range stock.Flats {
		flats[fmt.Sprintf("%g %gx%g", f.Thickness.Inches(), f.Along.Feet(), f.Depth.Feet())] = true
		wantEqual(t, fmt.Sprintf("bundle of %g in", f.Thickness.Inches()), f.Bundle, int(math.Floor(48/f.Thickness.Inches()+1e-9)))
	}
	wantEqual(t, "flats", len(flats), 16)
	for in := 0.5; in <= 4; in += 0.5 {
		if !flats[fmt.Sprintf("%g 4x4", in)] || !flats[fmt.Sprintf("%g 8x4", in)] {
			t.Errorf("no flat of %g in in both sizes: %v", in, flats)
		}
	}
}

// Sets repeat on fill: after the last board of a set the first again, over 2 in. The
// eave of 60 ft with 40 ft of run at 1/8 in/ft from 1/2 in: ten rows that rise 1/2 in
// each, 5.5 in at the top, 3.0 on average, 600 cu ft; fill of 0, 2 and 4 in under rows
// 1-4, 5-8 and 9-10: 0, 60 and 30 boards twice: 120 of 2 in.
func TestLayOut_EaveDrainedEighth(t *testing.T) {
	s, f := oneWay(60, 40, 0.5, 0.125)
	choice := choiceOf(0.5)
	choice.Slope = unit.InchesPerFoot(0.125)
	stock := &survey.Stock{Tapered: boardSetOf(unit.InchesPerFoot(0.125), 4, unit.Inches(0.5), 4*unit.Foot, false), Flats: quarterStock(1, 2).Flats}
	d := laid(t, s, f, choice, stock)
	wantNear(t, "cu ft", d.Totals.BoardFeet/12, 600, 1e-6)
	wantEqual(t, "panels", tally(d.Counts, TaperedType, "", toOrder), 150)
	wantEqual(t, "fill of 2 in", tally(d.Counts, FillType, "2", toOrder), 120)
	var top, fillIn [10]float64
	for _, b := range d.Boards {
		if b.Type == FillType {
			fillIn[b.Row-1] += b.ThinIn * b.Poly.Area() / 240
		} else {
			top[b.Row-1] = b.ThickIn
		}
	}
	for k := range top {
		wantNear(t, fmt.Sprintf("top of row %d", k+1), fillIn[k]+top[k], 1+0.5*float64(k), 1e-9)
	}
}

// The same eave at 1/4 in/ft from four boards, to 4-1/2 in, over fill of 4 in: rows 1-4
// have none, 5-8 one board under each, 9 and 10 two: 60 + 60 = 120.
func TestLayOut_EaveDrainedFourBoards(t *testing.T) {
	s, f := oneWay(60, 40, 0.5, 0.25)
	d := laid(t, s, f, choiceOf(0.5), quarterStock(4, 4))
	wantEqual(t, "panels", tally(d.Counts, TaperedType, "", toOrder), 150)
	wantEqual(t, "fill of 4 in", tally(d.Counts, FillType, "4", toOrder), 120)
	wantNear(t, "board feet", d.Totals.BoardFeet, 13200, 1e-6)
}

// Foam of 2 lb/cu ft (common practice, no source): 4 x 8 ft x 2 in weigh 10.67 lb, 4 x 4
// half of that. As set down on the roof, and as the load of the report.
func TestWeightOfBoards(t *testing.T) {
	wantNear(t, "4 x 8 x 2", 32*drainage.BoardPsf(2), 10.67, 0.005)
	wantNear(t, "4 x 4 x 2", 16*drainage.BoardPsf(2), 5.33, 0.005)
	s := roof(rect(64, 32), geom.Pt{X: 32, Y: 16})
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 1, Thickness: 2 * unit.Inch}
	d, err := Make(t.Context(), s, MakeInput{Choice: choice})
	if err != nil {
		t.Fatal(err)
	}
	base := deckOf(s, 0.5, func(geom.Pt) float64 { return 0 })
	f, err := ForemanOf(t.Context(), ForemanIn{Site: s, Design: d, Base: base, Finished: Finish(base, d.Facets, 0)})
	if err != nil {
		t.Fatal(err)
	}
	boards := 0
	for _, l := range f.Lots {
		if l.Type == BaseType {
			boards += l.Boards
			wantNear(t, "lb of base", l.Lb, float64(l.Boards)*32.0/3, 1e-9)
		}
	}
	if boards < 64 {
		t.Errorf("%d boards of 4 x 8 ft of base on 2,048 sq ft", boards)
	}
}

// Boards are made to +-1/8 in (ASTM C1289, as quoted in Professional Roofing, April
// 2004), so that neighbours may differ by 1/4 in: a roof laid of boards that are 1/8 in
// thick and thin in turn is within tolerance and has nothing to mend; twice that is not.
func TestLaidAgainst_BoardsAsMade(t *testing.T) {
	for _, c := range []struct {
		offIn float64
		out   bool
	}{{0.125, false}, {0.26, true}} {
		a := heldAgainst(t, survey.AsBuilt{}, laidShots(4, func(p geom.Pt) float64 {
			return c.offIn * math.Copysign(1, math.Sin(math.Pi*(p.X+2)/4)*math.Cos(math.Pi*(p.Y+2)/4))
		}))
		if got := len(a.out())+len(a.Runs)+len(a.Mends) > 0; got != c.out {
			t.Errorf("%g in either way: %d places, %d runs, %d mends", c.offIn, len(a.out()), len(a.Runs), len(a.Mends))
		}
	}
}
