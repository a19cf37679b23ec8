package taper

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// laidTight cuts a design again over the whole roof and holds every law.
func laidTight(t *testing.T, d *Design, opt CutOptions) *Design {
	t.Helper()
	opt.Tight = true
	out := &Design{Facets: d.Facets, Boards: Cut(d.Boards, opt), Cover: d.Cover}
	out.Counts, out.Totals = CountBoards(out.Boards)
	out.Totals.SolidBoardFeet = d.Totals.SolidBoardFeet
	if err := out.Check(); err != nil {
		t.Error(err)
	}
	wantEqual(t, "cut bound", out.Totals.CutBound, d.Totals.CutBound)
	wantEqual(t, "area bound", out.Totals.AreaBound, d.Totals.AreaBound)
	return out
}

// ends are pieces of full depth at the left end of the first row, each in a facet
// of its own.
func ends(widthsFt ...float64) []Facet {
	var f []Facet
	for i, w := range widthsFt {
		f = append(f, oneRow(i+1, rectOf(10*float64(i), 0, 10*float64(i)+w, 4)))
	}
	return f
}

// Pieces of full depth of 4 ft boards, by hand.
func TestCutTight_ByHand(t *testing.T) {
	for _, c := range []struct {
		story               string
		widthsFt            []float64
		crew, tight, pieces int
	}{
		{"pairs that fill a board", []float64{3, 1, 2.5, 1.5}, 2, 2, 4},
		{"in the crew's order the small ones block a board", []float64{1, 1, 3, 3}, 3, 2, 4},
		{"three of 2 ft 8 in are two boards where one is split", []float64{2 + 2./3, 2 + 2./3, 2 + 2./3}, 3, 2, 4},
		{"five of 3 ft 2 in are four boards: one is split in four, and three parts are the most", []float64{3.2, 3.2, 3.2, 3.2, 3.2}, 5, 5, 5},
		{"a split would leave less than half a foot", []float64{3.6, 3.6, 0.8}, 3, 3, 3},
		{"one board, nothing to split into", []float64{3}, 1, 1, 1},
	} {
		facets := ends(c.widthsFt...)
		d := laid(t, siteOf(rectOf(0, 0, 60, 4)), facets, survey.TaperChoice{Start: unit.Inches(0.5)}, quarterStock(1, 2))
		wantEqual(t, c.story+": crew", d.Totals.ToOrder, c.crew)
		tight := laidTight(t, d, CutOptions{})
		wantEqual(t, c.story+": tight", tight.Totals.ToOrder, c.tight)
		wantEqual(t, c.story+": pieces", tight.Totals.Pieces, c.pieces)
	}
}

// Offcuts go any distance in tight cutting.
func TestCutTight_AnyDistance(t *testing.T) {
	facets := []Facet{oneRow(1, rectOf(0, 0, 2, 4)), oneRow(2, rectOf(58, 0, 60, 4))}
	d := laid(t, siteOf(rectOf(0, 0, 60, 4)), facets, choiceOf(0.5), quarterStock(1, 2))
	wantEqual(t, "crew", d.Totals.ToOrder, 2)
	wantEqual(t, "tight", laidTight(t, d, CutOptions{}).Totals.ToOrder, 1)
}

// A saw takes its width between two pieces of one board: 2 and 2 ft of 4 ft no
// longer, 2 ft and 1 ft 11-3/4 in with 1/8 in still, and the second starts 1/8 in
// on. A slanted cut takes its width square to itself: at 45 degrees sqrt(2) as
// much along the row.
func TestCut_Kerf(t *testing.T) {
	eighth := CutOptions{Kerf: unit.Inches(0.125)}
	cut := func(opt CutOptions, facets []Facet) *Design {
		boards, err := boardsOn(t.Context(), siteOf(rectOf(0, 0, 60, 4)), facets, choiceOf(0.5), quarterStock(1, 2))
		if err != nil {
			t.Fatal(err)
		}
		d := &Design{Facets: facets, Boards: Cut(boards, opt)}
		d.Counts, d.Totals = CountBoards(d.Boards)
		d.Totals.SolidBoardFeet = solidBoardFeet(facets)
		if err := d.Check(); err != nil {
			t.Error(err)
		}
		return d
	}
	narrow := 2 - 0.25/12
	wantEqual(t, "knife", cut(CutOptions{}, ends(2, 2)).Totals.ToOrder, 1)
	wantEqual(t, "saw", cut(eighth, ends(2, 2)).Totals.ToOrder, 2)
	d := cut(eighth, ends(2, narrow))
	wantEqual(t, "saw, narrow", d.Totals.ToOrder, 1)
	wantNear(t, "second piece starts", d.Boards[1].Stock.U, 2+0.125/12, 1e-9)
	slant := func(startFt float64) []Facet {
		return []Facet{oneRow(1, geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 0, Y: 4}}),
			oneRow(2, geom.Ring{{X: 14, Y: startFt}, {X: 14, Y: 4}, {X: 10 + startFt, Y: 4}})}
	}
	square := 0.125 / 12 * math.Sqrt2
	wantEqual(t, "slanted, room for the saw", cut(eighth, slant(square+1e-6)).Totals.ToOrder, 1)
	wantEqual(t, "slanted, no room", cut(eighth, slant(square-1e-6)).Totals.ToOrder, 2)
}

// Random roofs keep every law, never under the bound, never over the crew's way,
// and cut again come out the same.
func TestCutTight_RandomRoofs(t *testing.T) {
	for i := range uint64(12) {
		seed := *boardSeed + i
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			r := rand.New(rand.NewPCG(seed, 0))
			c := randomRoof(t, r)
			d := laid(t, c.site, c.facets, c.choice, DefaultStock(unit.US))
			opt := CutOptions{TurnBoard: c.choice.TurnBoard}
			tight := laidTight(t, d, opt)
			if tight.Totals.ToOrder > d.Totals.ToOrder {
				t.Errorf("tight %d boards, the crew's way %d", tight.Totals.ToOrder, d.Totals.ToOrder)
			}
			again := laidTight(t, d, opt)
			for i, b := range tight.Boards {
				wantEqual(t, b.Piece, again.Boards[i].Stock, b.Stock)
			}
			for range 100 {
				f := c.facets[r.IntN(len(c.facets))]
				w, h := f.Poly.Outer.Box().Size()
				q := f.Poly.Outer.Box().Min.Add(geom.Pt{X: r.Float64() * w, Y: r.Float64() * h})
				if f.Poly.Has(q) && f.Poly.Dist(q) > 1e-5 {
					lookThrough(t, tight, f, q)
				}
			}
		})
	}
}

// The same roof of two marks of ten rows over the whole: a centre drain, whose
// widths force 172 of tapered boards, and of four marks 176.
func TestCutTight_FourWay(t *testing.T) {
	s, f := fourWay(rectOf(-30, -20, 30, 20), geom.Pt{}, 0.5, 0.25)
	for marks, least := range map[int]int{4: 176, 2: 172} {
		d := laid(t, s, f, choiceOf(0.5), quarterStock(marks, float64(marks)))
		tight := laidTight(t, d, CutOptions{})
		order := tally(tight.Counts, TaperedType, "", toOrder)
		if order < least || order > least+least*3/100 {
			t.Errorf("%d marks: %d tapered boards, the widths force %d", marks, order, least)
		}
	}
}

// 61 boards of 24 a bundle: three full bundles of 72, or two and 13 loose; a
// board whose bundle is not known comes loose. 2 in flats serve base and fill.
func TestOrdersOf_Bundles(t *testing.T) {
	flat := func(typ BoardType) Board {
		return Board{Type: typ, Mark: "2", Along: 4 * unit.Foot, Depth: 4 * unit.Foot, ThinIn: 2, ThickIn: 2}
	}
	wedge := Board{Type: TaperedType, Mark: "1/2 to 1-1/2", Along: 4 * unit.Foot, Depth: 4 * unit.Foot, ThinIn: 0.5, ThickIn: 1.5}
	stock := quarterStock(1, 2)
	stock.Flats[0].Bundle = 24
	line := func(b Board, order, extra int) Count {
		return Count{Type: b.Type, Mark: b.Mark, Along: b.Along, Depth: b.Depth, ToOrder: order, Spares: extra}
	}
	counts := []Count{line(flat(BaseType), 40, 1), line(flat(FillType), 19, 1), line(wedge, 30, 1)}
	boards := []Board{flat(BaseType), flat(FillType), wedge}
	for _, c := range []struct {
		loose                      bool
		bundles, over, bought, ft3 int
	}{{false, 3, 0, 72, 72 * 16 * 2 / 12}, {true, 2, 13, 61, 0}} {
		o := OrdersOf(boards, counts, stock, c.loose)
		wantEqual(t, "lines", len(o), 2)
		wantEqual(t, "boards", o[0].Boards, 61)
		wantEqual(t, "bundles", o[0].Bundles, c.bundles)
		wantEqual(t, "loose", o[0].Loose, c.over)
		wantEqual(t, "bought", o[0].Bought(), c.bought)
		if c.ft3 > 0 {
			wantNear(t, "truck", o[0].CuFt, float64(c.ft3), 1e-9)
		}
		wantEqual(t, "no bundle: loose", o[1].Loose, 31)
		wantNear(t, "truck of 31 of 1 in on average", o[1].CuFt, 31*16./12, 1e-9)
	}
}

// Bundles about 48 in high, as commonly told: 24 of 2 in, 32 of 1-1/2, 18 of 2.6.
func TestBundle_Known(t *testing.T) {
	for _, c := range []struct {
		in   float64
		want int
	}{{2, 24}, {1.5, 32}, {2.6, 18}} {
		wantEqual(t, fmt.Sprintf("%g in", c.in), bundle(unit.Inches(c.in)), c.want)
	}
}

// More kerf never takes fewer boards, by either way to cut, and a board of just 48 in
// needs no cut, whatever the saw takes.
func TestCut_MoreKerf(t *testing.T) {
	for _, tight := range []bool{false, true} {
		before := 0
		for _, in := range []float64{0, 0.125, 0.25, 0.5, 1} {
			boards, err := boardsOn(t.Context(), siteOf(rectOf(0, 0, 90, 4)), ends(4, 2, 2, 1.5, 2.5, 3, 1, 1, 1), choiceOf(0.5), quarterStock(1, 2))
			if err != nil {
				t.Fatal(err)
			}
			cut := Cut(boards, CutOptions{Kerf: unit.Inches(in), Tight: tight})
			_, total := CountBoards(cut)
			if total.ToOrder < before {
				t.Errorf("kerf %g in, tight %v: %d boards, %d with less", in, tight, total.ToOrder, before)
			}
			if before = total.ToOrder; before < 5 || tight && in == 0 && before > 5 { // 18 ft of 4 ft boards
				t.Errorf("kerf %g in, tight %v: %d boards", in, tight, before)
			}
			if b := cut[0]; b.Cut || b.Stock.W != 4 {
				t.Errorf("kerf %g in: a whole board is cut: %+v", in, b.Stock)
			}
		}
	}
}

// A tapered piece that is turned face-down is mirrored along its row: every corner keeps
// its distance from the thin edge, so that its thickness there is what the facet wants.
func TestCut_FaceDownKeepsThickness(t *testing.T) {
	hip := geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}}
	valley := geom.Ring{{X: 14, Y: 0}, {X: 14, Y: 4}, {X: 10, Y: 4}}
	d := laid(t, siteOf(rectOf(0, 0, 70, 4)), []Facet{oneRow(1, hip), oneRow(2, valley)},
		survey.TaperChoice{Start: unit.Inches(0.5), TurnBoard: true}, quarterStock(1, 2))
	turned := 0
	for _, b := range d.Boards {
		if b.Type != TaperedType || !b.Stock.Turned {
			continue
		}
		turned++
		inStock := b.InStock().Outer
		for _, q := range b.Poly.Outer {
			at := 0.5 + 0.25*q.Y // the facet's
			found := false
			for _, p := range inStock {
				found = found || math.Abs(b.ThinIn+(b.ThickIn-b.ThinIn)*p.Y/b.Depth.Feet()-at) < 1e-9
			}
			if !found {
				t.Errorf("%s: no corner in the stock board is %g in thick", b.Piece, at)
			}
		}
	}
	if turned != 1 {
		t.Errorf("%d pieces turned, want 1", turned)
	}
}
