package taper

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// oneRow is a facet in the first row of a one-way roof, thin edge at y = 0.
func oneRow(id int, ring geom.Ring) Facet {
	return Facet{ID: id, Role: FieldRole, Poly: geom.Poly{Outer: ring}, Plane: survey.Plane{CIn: 0.5, GY: 0.25}}
}

// Offcuts by hand. Stock: one board 1/2 to 1-1/2 or flats of 2, 4 x 4 ft.
func TestCut_Offcuts(t *testing.T) {
	hip := geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}}       // wide at the thin edge
	valley := geom.Ring{{X: 14, Y: 0}, {X: 14, Y: 4}, {X: 10, Y: 4}} // wide at the thick edge
	low := geom.Ring{{X: 10, Y: 0}, {X: 14, Y: 0}, {X: 10, Y: 4}}
	far := geom.Ring{{X: 60, Y: 0}, {X: 64, Y: 4}, {X: 60, Y: 4}}
	slanted := geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 8, Y: 4}, {X: 4, Y: 4}}
	diagonal := 4 * math.Sqrt2
	for _, c := range []struct {
		story  string
		facets []Facet
		turn   bool
		order  int
		cutFt  float64
	}{
		{"a row between a hip and a valley: one board, one cut", []Facet{oneRow(1, slanted)}, false, 1, diagonal},
		{"the other side needs a turned piece, not allowed", []Facet{oneRow(1, hip), oneRow(2, valley)}, false, 2, 2 * diagonal},
		{"the other side needs a turned piece, allowed", []Facet{oneRow(1, hip), oneRow(2, valley)}, true, 1, diagonal},
		{"both wide at the thin edge: no offcut serves", []Facet{oneRow(1, hip), oneRow(2, low)}, true, 2, 2 * diagonal},
		{"the offcut fits but lies 58 ft away", []Facet{oneRow(1, hip), oneRow(2, far)}, false, 2, 2 * diagonal},
	} {
		d := laid(t, siteOf(rectOf(0, 0, 70, 4)), c.facets, survey.TaperChoice{Start: unit.Inches(0.5), TurnBoard: c.turn}, quarterStock(1, 2))
		wantEqual(t, c.story, d.Totals.ToOrder, c.order)
		wantNear(t, c.story+": cut ft", d.Totals.CutFt, c.cutFt, 1e-6)
	}
}

// Flats turn by quarters: two corners cut alike come from one board.
func TestCut_FlatsTurn(t *testing.T) {
	level := func(id int, x float64) Facet {
		return Facet{ID: id, Role: FieldRole, Plane: survey.Plane{CIn: 2},
			Poly: geom.Poly{Outer: geom.Ring{{X: x, Y: 0}, {X: x + 4, Y: 0}, {X: x, Y: 4}}}}
	}
	d := laid(t, siteOf(rectOf(0, 0, 20, 4)), []Facet{level(1, 0), level(2, 8)}, survey.TaperChoice{}, quarterStock(1, 2))
	wantEqual(t, "boards", d.Totals.ToOrder, 1)
	wantEqual(t, "turned by", d.Boards[1].Stock.RotDeg, 180)
	wantNear(t, "waste", d.Totals.WastePct, 0, 1e-9)
}

// 6 x 32 ft one way, four marks over 4 in flats: eight rows of one whole board
// and one of 2 ft; rows of one mark lie 16 ft apart and share the second
// board, cut once: 3 boards a mark, 16 ft of cuts. Fill, four rows: pieces of
// 2 and 4 ft, so again 6 x 16 / 16 = 6 boards.
func TestCut_HalvesOfTwoRowsShareABoard(t *testing.T) {
	s, f := oneWay(6, 32, 0.5, 0.25)
	d := laid(t, s, f, choiceOf(0.5), quarterStock(4, 4))
	for _, b := range Bounds(d.Boards) {
		want := 3
		if b.Type == FillType {
			want = 6
		}
		wantEqual(t, b.Mark, b.ToOrder, want)
		wantEqual(t, b.Mark+" by area", b.Area, want)
	}
	wantEqual(t, "tapered pieces", tally(d.Counts, TaperedType, "", piecesOf), 16)
	wantNear(t, "cuts in ft", d.Totals.CutFt, 16+2*4, 1e-6)
}

// The same boards give the same cutting, and the argument is left alone.
func TestCut_IsDeterministic(t *testing.T) {
	s, f := fourWay(rectOf(-30, -20, 30, 21), geom.Pt{X: 3, Y: 2}, 0.5, 0.25)
	boards, err := boardsOn(t.Context(), s, f, choiceOf(0.5), quarterStock(4, 4))
	if err != nil {
		t.Fatal(err)
	}
	before := slices.Clone(boards)
	a, b := Cut(boards, CutOptions{}), Cut(boards, CutOptions{})
	for i := range a {
		wantEqual(t, a[i].Piece, a[i].Stock, b[i].Stock)
		wantEqual(t, "argument", boards[i].Stock, before[i].Stock)
	}
}

// A mirrored roof has the same bounds, mark by mark; only which piece of a row
// is the cut one differs, since rows start at the left.
func TestCut_MirroredRoof(t *testing.T) {
	slopes := [4]float64{1. / 4, 1. / 8, 1. / 4, 1. / 8}
	right := aroundDrain(rectOf(-30, -20, 20, 24), geom.Pt{X: 2, Y: 3}, 0.5, slopes)
	left := aroundDrain(rectOf(-20, -20, 30, 24), geom.Pt{X: -2, Y: 3}, 0.5, [4]float64{1. / 8, 1. / 4, 1. / 4, 1. / 8})
	choice := choiceOf(0.5)
	choice.TurnBoard = true
	a := Bounds(laid(t, siteOf(rectOf(-30, -20, 20, 24)), right, choice, DefaultStock(unit.US)).Boards)
	b := Bounds(laid(t, siteOf(rectOf(-20, -20, 30, 24)), left, choice, DefaultStock(unit.US)).Boards)
	for i := range a {
		wantEqual(t, "bounds of "+a[i].Mark, b[i].Area, a[i].Area)
		wantEqual(t, "cut bound of "+a[i].Mark, b[i].Cut, a[i].Cut)
	}
}

// Check finds each of these slips.
func TestCheck_FindsSlips(t *testing.T) {
	for _, c := range []struct {
		story string
		spoil func(d *Design)
	}{
		{"a board is missing", func(d *Design) { d.Boards = d.Boards[1:] }},
		{"a board is laid twice", func(d *Design) { d.Boards = append(d.Boards, d.Boards[3]) }},
		{"a board has slipped", func(d *Design) {
			d.Boards[3].Poly = d.Boards[3].Poly.Map(func(p geom.Pt) geom.Pt { return p.Add(geom.Pt{X: 0.01}) })
		}},
		{"a board is too thick", func(d *Design) { d.Boards[0].Plane.CIn += 0.01 }},
		{"a fill is thicker than written", func(d *Design) {
			for i := range d.Boards {
				if d.Boards[i].Type == FillType {
					d.Boards[i].ThinIn++
				}
			}
		}},
		{"two pieces at one place of a stock board", func(d *Design) {
			for i := range d.Boards {
				for j := range i {
					a, b := &d.Boards[i], &d.Boards[j]
					if a.Mark == b.Mark && a.Type == b.Type {
						b.Stock = a.Stock
					}
				}
			}
		}},
		{"a piece beyond its board", func(d *Design) { d.Boards[0].Stock.U += 4 }},
		{"a line of the schedule is short", func(d *Design) { d.Counts[0].Pieces-- }},
		{"board feet are off", func(d *Design) { d.Totals.BoardFeet++ }},
		{"spares are off", func(d *Design) { d.Counts[0].Spares++ }},
	} {
		s, f := fourWay(rectOf(-15, -10, 15, 10), geom.Pt{}, 0.5, 0.25)
		choice := choiceOf(0.5)
		d := laid(t, s, f, choice, quarterStock(2, 2))
		c.spoil(d)
		if d.Check() == nil {
			t.Errorf("%s: not found", c.story)
		}
	}
}

// The cut bound of a row of right triangles: ten triangles 4 ft wide at the
// thick edge need ten boards there, five by area.
func TestBounds_Triangles(t *testing.T) {
	var f []Facet
	for i := range 10 {
		x := 5 * float64(i)
		f = append(f, oneRow(i+1, geom.Ring{{X: x, Y: 0}, {X: x + 4, Y: 4}, {X: x, Y: 4}}))
	}
	d := laid(t, siteOf(rectOf(0, 0, 50, 4)), f, choiceOf(0.5), quarterStock(1, 2))
	b := Bounds(d.Boards)[0]
	wantEqual(t, "area", b.Area, 5)
	wantEqual(t, "cut", b.Cut, 10)
	wantEqual(t, "to order", b.ToOrder, 10)
}

// benchRoof is a four-way roof of about the size asked for, with two base
// layers, cover and a grid of curbs.
func benchRoof(b *testing.B, sqft float64) roofCase {
	w := math.Round(math.Sqrt(sqft * 1.5))
	h := math.Round(sqft / w)
	s := siteOf(rectOf(0, 0, w, h))
	for x := 20.0; x < w-10; x += 50 {
		for y := 20.0; y < h-10; y += 50 {
			s.Curbs = append(s.Curbs, rectOf(x, y, x+5, y+3))
		}
	}
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 2, Thickness: unit.Inches(2)}
	choice.Cover = unit.Inches(0.5)
	var facets []Facet
	n := int(math.Ceil(w / 80))
	for i := range n {
		x0, x1 := w*float64(i)/float64(n), w*float64(i+1)/float64(n)
		m := int(math.Ceil(h / 80))
		for j := range m {
			y0, y1 := h*float64(j)/float64(m), h*float64(j+1)/float64(m)
			ring := rectOf(x0, y0, x1, y1)
			facets = append(facets, aroundDrain(ring, ring.Box().Centre(), 4.5, [4]float64{.25, .25, .25, .25})...)
		}
	}
	return roofCase{s, cutFacets(b, s, facets), choice}
}

func BenchmarkLayOut(b *testing.B) {
	for _, sqft := range []float64{2400, 10000, 100000} {
		c := benchRoof(b, sqft)
		b.Run(fmt.Sprintf("%.0fsqft", sqft), func(b *testing.B) {
			for b.Loop() {
				if _, err := boardsOn(b.Context(), c.site, c.facets, c.choice, DefaultStock(unit.US)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkCut(b *testing.B) {
	for _, sqft := range []float64{2400, 10000, 100000} {
		c := benchRoof(b, sqft)
		boards, err := boardsOn(b.Context(), c.site, c.facets, c.choice, DefaultStock(unit.US))
		if err != nil {
			b.Fatal(err)
		}
		for _, tight := range []bool{false, true} {
			b.Run(fmt.Sprintf("%.0fsqft tight %v", sqft, tight), func(b *testing.B) {
				var cut []Board
				for b.Loop() {
					cut = Cut(boards, CutOptions{Tight: tight})
				}
				_, total := CountBoards(cut)
				b.ReportMetric(float64(len(boards)), "pieces")
				b.ReportMetric(float64(total.ToOrder), "boards")
				b.ReportMetric(float64(total.CutBound), "bound")
			})
		}
	}
}
