package taper

import (
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// An eave-drained roof, 60 ft of eave and 40 ft of run, 1/4 in/ft from 1/2 in.
// Stock: two boards, 1/2 to 1-1/2 and 1-1/2 to 2-1/2, over flats of 2 in, all
// 4 x 4 ft. Ten rows of 15 boards; fill of 0, 0, 1, 1, 2, 2, 3, 3, 4, 4 layers;
// 2,400 sq ft of 5.5 in on average. Worked by hand from the geometry.
func TestLayOut_EaveDrainedTwoBoards(t *testing.T) {
	s, f := oneWay(60, 40, 0.5, 0.25)
	d := laid(t, s, f, choiceOf(0.5), quarterStock(2, 2))
	wantEqual(t, "tapered boards", tally(d.Counts, TaperedType, "", toOrder), 150)
	wantEqual(t, "1/2 to 1-1/2", tally(d.Counts, TaperedType, "1/2 to 1-1/2", toOrder), 75)
	wantEqual(t, "1-1/2 to 2-1/2", tally(d.Counts, TaperedType, "1-1/2 to 2-1/2", toOrder), 75)
	wantEqual(t, "tapered pieces", tally(d.Counts, TaperedType, "", piecesOf), 150)
	wantEqual(t, "fill boards", tally(d.Counts, FillType, "2", toOrder), 300)
	wantNear(t, "board feet", d.Totals.BoardFeet, 13200, 1e-6)
	var rows [10]struct {
		tapered, fill float64
		thin          float64
	}
	for _, b := range d.Boards {
		r := &rows[b.Row-1]
		if b.Type == TaperedType {
			r.tapered += b.Poly.Area() / 16
			r.thin = b.ThinIn
		} else {
			r.fill += b.Poly.Area() / 16
		}
	}
	for i, r := range rows {
		wantNear(t, "tapered of a row", r.tapered, 15, 1e-9)
		wantNear(t, "fill of a row", r.fill, float64(15*(i/2)), 1e-9)
		wantNear(t, "thin edge of a row", r.thin, 0.5+float64(i%2), 1e-9)
	}
}

// 40 x 40 ft one way, four boards to 4-1/2 over 4 in flats: ten rows, marks
// 30, 30, 20, 20, fill 80, 3,680 + 5,120 board feet. A count by roof area
// alone (100 boards) forgets the 5,120.
func TestLayOut_FourBoardsOverFourInches(t *testing.T) {
	s, f := oneWay(40, 40, 0.5, 0.25)
	d := laid(t, s, f, choiceOf(0.5), quarterStock(4, 4))
	for mark, want := range map[string]int{"1/2 to 1-1/2": 30, "1-1/2 to 2-1/2": 30,
		"2-1/2 to 3-1/2": 20, "3-1/2 to 4-1/2": 20} {
		wantEqual(t, mark, tally(d.Counts, TaperedType, mark, toOrder), want)
	}
	wantEqual(t, "fill", tally(d.Counts, FillType, "4", toOrder), 80)
	wantNear(t, "tapered board feet", d.Totals.TaperedBoardFeet, 3680, 1e-6)
	wantNear(t, "fill board feet", d.Totals.FillBoardFeet, 5120, 1e-6)
	wantNear(t, "what a count by area forgets", d.Totals.BoardFeet-d.Totals.TaperedBoardFeet, 5120, 1e-6)
	wantNear(t, "all", d.Totals.SolidBoardFeet, 8800, 1e-6)
	_, thin := oneWay(40, 40, 0.25, 0.25)
	wantNear(t, "from a 1/4 in low edge, as a magazine has it", MeasureInsulation(thin).CuFt*12, 8400, 1e-6)
	thickest := 0.0
	for _, b := range d.Boards {
		for _, q := range b.Poly.Outer {
			thickest = max(thickest, f[0].Plane.At(q))
		}
	}
	wantNear(t, "high edge", thickest, 10.5, 1e-9)
}

// 60 x 40 ft about a centre drain, 1/4 in/ft, 1/2 in at the drain, all boards
// 4 x 4 ft. Whole boards by mark 48, 36, 44, 52; the widths force 48, 36, 44,
// 48; 150 by area; spares 3 % a mark. 2,400 x 4.80556 in = 11,533.3 board feet.
func TestLayOut_FourWayCentreDrain(t *testing.T) {
	ring := rectOf(-30, -20, 30, 20)
	s, f := fourWay(ring, geom.Pt{}, 0.5, 0.25)
	d := laid(t, s, f, choiceOf(0.5), quarterStock(4, 4))
	bounds := map[string]MarkBound{}
	for _, b := range Bounds(d.Boards) {
		bounds[b.Mark] = b
	}
	area, cut, order, extra := 0, 0, 0, 0
	for _, w := range []struct {
		mark                 string
		pieces, cut, withExt int
	}{{"1/2 to 1-1/2", 48, 48, 50}, {"1-1/2 to 2-1/2", 36, 36, 38},
		{"2-1/2 to 3-1/2", 44, 44, 46}, {"3-1/2 to 4-1/2", 52, 48, 54}} {
		b := bounds[w.mark]
		wantEqual(t, w.mark+" pieces", b.Pieces, w.pieces)
		wantEqual(t, w.mark+" cut bound", b.Cut, w.cut)
		with := b.ToOrder + tally(d.Counts, TaperedType, w.mark, spares)
		wantEqual(t, w.mark+" with spares", with, w.withExt)
		area, cut, order, extra = area+b.Area, cut+b.Cut, order+b.ToOrder, extra+with
	}
	wantEqual(t, "area bound", area, 150)
	wantEqual(t, "cut bound", cut, 176)
	wantEqual(t, "to order", order, 180)
	wantEqual(t, "with spares", extra, 188)
	wantEqual(t, "fill by area", bounds["4"].Area, 86)
	wantNear(t, "fill sq ft", d.Totals.FillBoardFeet/4, 1376, 1e-6)
	wantNear(t, "fill board feet", d.Totals.FillBoardFeet, 5504, 1e-6)
	wantNear(t, "tapered board feet", d.Totals.TaperedBoardFeet, 6029.333333, 1e-5)
	wantNear(t, "board feet", d.Totals.BoardFeet, 11533.333333, 1e-5)
}

// The same roof from two boards over 2 in flats.
func TestLayOut_FourWayTwoBoards(t *testing.T) {
	s, f := fourWay(rectOf(-30, -20, 30, 20), geom.Pt{}, 0.5, 0.25)
	d := laid(t, s, f, choiceOf(0.5), quarterStock(2, 2))
	bounds := Bounds(d.Boards)
	cut := map[string]int{}
	for _, b := range bounds {
		cut[b.Mark] = b.Cut
	}
	wantEqual(t, "1/2 to 1-1/2", cut["1/2 to 1-1/2"], 92)
	wantEqual(t, "1-1/2 to 2-1/2", cut["1-1/2 to 2-1/2"], 80)
	wantNear(t, "fill sq ft", d.Totals.FillBoardFeet/2, 4000, 1e-6)
	wantNear(t, "board feet", d.Totals.BoardFeet, 11533.333333, 1e-5)
}

// The roof found 64 ft long, its drain still 30 ft from one wall: ten boards
// more, all of the first mark, 15 more of fill by area, 12,893.3 board feet.
func TestLayOut_RoofFoundLonger(t *testing.T) {
	s, f := fourWay(rectOf(-30, -20, 34, 20), geom.Pt{}, 0.5, 0.25)
	d := laid(t, s, f, choiceOf(0.5), quarterStock(4, 4))
	wantEqual(t, "tapered", tally(d.Counts, TaperedType, "", toOrder), 190)
	wantEqual(t, "first mark", tally(d.Counts, TaperedType, "1/2 to 1-1/2", toOrder), 58)
	wantNear(t, "fill sq ft", d.Totals.FillBoardFeet/4, 1616, 1e-6)
	wantNear(t, "board feet", d.Totals.BoardFeet, 12893.333333, 1e-5)
	for _, b := range Bounds(d.Boards) {
		if b.Type == FillType {
			wantEqual(t, "fill by area", b.Area, 101)
		}
	}
}

// 120 x 60 ft about two drains at the quarter points: 39,600 board feet.
func TestLayOut_TwoDrains(t *testing.T) {
	s := siteOf(rectOf(0, 0, 120, 60))
	f := aroundDrain(rectOf(0, 0, 60, 60), geom.Pt{X: 30, Y: 30}, 0.5, [4]float64{.25, .25, .25, .25})
	for _, g := range aroundDrain(rectOf(60, 0, 120, 60), geom.Pt{X: 90, Y: 30}, 0.5, [4]float64{.25, .25, .25, .25}) {
		g.ID += 4
		f = append(f, g)
	}
	d := laid(t, s, f, choiceOf(0.5), quarterStock(4, 4))
	wantNear(t, "board feet", d.Totals.BoardFeet, 39600, 1e-6)
}

// A deck that slopes 1/8 along 60 ft, finished to 1/4: boards of 1/8, 3/8 and
// 1/4, from the built-in stock; 11,956.9 board feet (60 x 40 ft).
func TestLayOut_SlopedDeckBoards(t *testing.T) {
	ring := rectOf(-30, -20, 30, 20)
	f := aroundDrain(ring, geom.Pt{}, 0.5, [4]float64{1. / 8, 3. / 8, 1. / 4, 1. / 4})
	d := laid(t, siteOf(ring), f, choiceOf(0.5), DefaultStock(unit.US))
	wantNear(t, "board feet", d.Totals.BoardFeet, 11956.9, 0.05)
}

// Metric rows from the built-in stock: a 10 m run rises 250 mm at 1:40, 167 at
// 1:60, 125 at 1:80.
func TestLayOut_MetricRows(t *testing.T) {
	for _, c := range []struct{ n, rise float64 }{{40, 250}, {60, 166.667}, {80, 125}} {
		m := unit.Metres(1).Feet()
		slope := unit.SlopeOfRatio(1 / c.n)
		s, f := oneWay(12*m, 10*m, unit.Millimetres(20).Inches(), slope.InchesPerFoot())
		choice := survey.TaperChoice{Slope: slope, Start: unit.Millimetres(20)}
		d := laid(t, s, f, choice, DefaultStock(unit.Metric))
		wantEqual(t, "tapered boards", tally(d.Counts, TaperedType, "", piecesOf), 90)
		thickest := 0.0
		for _, b := range d.Boards {
			for _, q := range b.Poly.Outer {
				thickest = max(thickest, f[0].Plane.At(q))
			}
		}
		wantNear(t, "rise in mm", unit.Inches(thickest).Millimetres()-20, c.rise, 1e-3)
		wantEqual(t, "first mark", d.Boards[0].Mark, map[float64]string{40: "20 to 50", 60: "20 to 40", 80: "20 to 35"}[c.n])
	}
}
