package taper

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// widthsOf are the widths of the pieces of a layer, in the order of laying, feet.
func widthsOf(boards []Board, layer int) []float64 {
	var out []float64
	for _, b := range boards {
		if b.Layer == layer {
			out = append(out, b.Stock.W)
		}
	}
	return out
}

func wantWidths(t *testing.T, what string, got, want []float64) {
	t.Helper()
	ok := len(got) == len(want)
	for i := range want {
		ok = ok && math.Abs(got[i]-want[i]) < 1e-9
	}
	if !ok {
		t.Errorf("%s: pieces of %v ft, want %v", what, got, want)
	}
}

// A row of 8 ft 1 in starts whole and leaves 1 in; moved left by one sliver of 3 in it
// ends with 4. With a sliver of 1 in nothing moves, with 6 in by 6. A roof of 2 in is
// one sliver, and is told.
func TestLayOut_RowsMoveOffSlivers(t *testing.T) {
	inch := 1.0 / 12
	for _, c := range []struct {
		what      string
		sliver    unit.Length
		roofFt    float64
		want      []float64
		leftovers int
	}{
		{"3 in if not stated", 0, 8 + inch, []float64{3.75, 4, 4 * inch}, 0},
		{"1 in", unit.Inch, 8 + inch, []float64{4, 4, inch}, 0},
		{"6 in", 6 * unit.Inch, 8 + inch, []float64{3.5, 4, 7 * inch}, 0},
		{"wide enough", 0, 8 + 3*inch, []float64{4, 4, 3 * inch}, 0},
		{"a roof of 2 in", 0, 2 * inch, []float64{2 * inch}, 1},
	} {
		s, facets := oneWay(c.roofFt, 4, 0.5, 0.25)
		choice := choiceOf(0.5)
		choice.Sliver = c.sliver
		d := laid(t, s, facets, choice, quarterStock(1, 2))
		wantWidths(t, c.what, widthsOf(d.Boards, 1), c.want)
		wantEqual(t, c.what+": slivers told", len(SliversOf(d.Boards, sliverOf(choice))), c.leftovers)
	}
}

// Two base layers on 16 ft 1 in, of boards of 8 ft: the first leaves 1 in, so the grid
// of both moves left by 3 in: rows of the second, a quarter and three quarters of a board
// off, end with 2 ft 4 in and 6 ft 4 in. Likewise up the slope on 8 ft 1 in, of boards 4
// ft deep, the middle row in two halves.
func TestLayOut_BaseMovesOffSlivers(t *testing.T) {
	inch := 1.0 / 12
	stock := quarterStock(1, 2)
	stock.Flats = []survey.FlatBoard{{Thickness: 2 * unit.Inch, Along: 8 * unit.Foot, Depth: 4 * unit.Foot}}
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 2, Thickness: 2 * unit.Inch}
	boards, err := boardsOn(t.Context(), siteOf(rectOf(0, 0, 16+inch, 4)), nil, choice, stock)
	if err != nil {
		t.Fatal(err)
	}
	wantWidths(t, "first layer", widthsOf(boards, 1), []float64{7.75, 8, 4 * inch})
	wantWidths(t, "second layer", widthsOf(boards, 2), []float64{5.75, 8, 2 + 4*inch, 1.75, 8, 6 + 4*inch})

	if boards, err = boardsOn(t.Context(), siteOf(rectOf(0, 0, 8, 8+inch)), nil, choice, stock); err != nil {
		t.Fatal(err)
	}
	var deep []float64
	for _, b := range boards {
		if b.Layer == 1 {
			deep = append(deep, b.Stock.D)
		}
	}
	wantWidths(t, "first layer, up the slope", deep, []float64{3.75, 4, 4, 4 * inch})
}

// Cover boards of 8 x 4 ft over 24 x 8 ft of taper, two rows of six: lines between
// strips at 2 and 6 ft, off the rows' at 4; joints along the row at 6, 14 and 22 ft,
// off those at every 4.
func TestLayOut_CoverKeepsOffJointsBelow(t *testing.T) {
	s, facets := oneWay(24, 8, 0.5, 0.25)
	choice := choiceOf(0.5)
	choice.Cover = unit.Inch / 2
	d := laid(t, s, facets, choice, withCover(quarterStock(2, 2)))
	var boxes []geom.Box
	for _, b := range d.Boards {
		if b.Type == CoverType {
			boxes = append(boxes, b.Poly.Outer.Box())
		}
	}
	lines, joints := map[float64]bool{}, map[float64]bool{}
	for _, b := range boxes {
		lines[b.Min.Y], joints[b.Min.X] = true, true
	}
	wantEqual(t, "cover boards", len(boxes), 3*4)
	for _, y := range []float64{0, 2, 6} {
		wantEqual(t, "strip of cover from", lines[y], true)
	}
	for _, x := range []float64{0, 6, 14, 22} {
		wantEqual(t, "cover board from", joints[x], true)
	}
	wantEqual(t, "strips", len(lines), 3)
	wantEqual(t, "boards along", len(joints), 4)
}

func withCover(s *survey.Stock) *survey.Stock {
	s.Covers = []survey.FlatBoard{{Thickness: unit.Inch / 2, Along: 8 * unit.Foot, Depth: 4 * unit.Foot}}
	return s
}

// The built-in stock held by adhesive has no board over 4 ft a side (trade notes: 4 x 4
// ft at most); with the base screwed only the base has.
func TestLayOut_SizesByAttachment(t *testing.T) {
	s, facets := oneWay(24, 12, 4.5, 0.25)
	choice := choiceOf(0.5)
	choice.Base, choice.Cover = survey.BaseChoice{Layers: 2, Thickness: 2 * unit.Inch}, unit.Inch/2
	for _, c := range []struct {
		way         survey.Attach
		base, cover float64
	}{{survey.UnsetAttach, 8, 8}, {survey.Screws, 8, 8}, {survey.BaseScrews, 8, 4}, {survey.Adhesive, 4, 4}} {
		stock := DefaultStock(unit.US)
		stock.Attach = c.way
		for _, b := range laid(t, s, facets, choice, stock).Boards {
			want := map[BoardType]float64{BaseType: c.base, FillType: 4, TaperedType: 4, CoverType: c.cover}[b.Type]
			if b.Along.Feet() != want {
				t.Fatalf("%v: a %v board of %v ft, want %v", c.way, b.Type, b.Along.Feet(), want)
			}
		}
	}
	stock := withCover(quarterStock(1, 2))
	stock.Covers[0].Attach, stock.Attach = survey.Screws, survey.Adhesive
	choice.Base = survey.BaseChoice{}
	_, facets = oneWay(24, 4, 0.5, 0.25)
	_, err := boardsOn(t.Context(), s, facets, choice, stock)
	if err == nil || !strings.Contains(err.Error(), "no board of the stock makes 1/2 in of cover") || !strings.Contains(err.Error(), "by adhesive") {
		t.Errorf("a cover that may only be screwed: %v", err)
	}
}

// Section 5.22 of the check values: rows 9 and 10 lie on four fill boards of 2 in, so
// five boards are the most, first at 32 to 36 ft.
func TestLayOut_MostLayers(t *testing.T) {
	s, facets := oneWay(60, 40, 0.5, 0.25)
	choice := choiceOf(0.5)
	choice.MostLayers = 5
	laid(t, s, facets, choice, quarterStock(2, 2))
	choice.MostLayers = 4
	_, err := boardsOn(t.Context(), s, facets, choice, quarterStock(2, 2))
	if err == nil || !strings.Contains(err.Error(), "5 boards lie on one another at x 2.0 ft, y 34.0 ft, where the job allows 4") {
		t.Errorf("five layers where four are allowed: %v", err)
	}
}

// A field book has hundredths of a foot: walls that are a hair longer than whole rows, or
// lean by a hair, buy no boards. Pieces under 1/8 in are left as joints, and nothing else.
func TestLayOut_RoundedCorners(t *testing.T) {
	make40x60 := func(off func(i int) geom.Pt) *Design {
		ring := rectOf(-30, -20, 30, 20)
		for i := range ring {
			ring[i] = ring[i].Add(off(i))
		}
		s := siteOf(ring)
		s.Outlets = []survey.SiteOutlet{{Outlet: survey.Outlet{ID: "D1", Kind: survey.Drain, Edge: -1}}}
		choice := choiceOf(0.5)
		choice.Base, choice.Cover = survey.BaseChoice{Layers: 2, Thickness: 4 * unit.Inch}, unit.Inch/2
		d, err := Make(t.Context(), s, MakeInput{Choice: choice, Stock: withCover(quarterStock(4, 4))})
		if err != nil {
			t.Fatal(err)
		}
		if err := d.Check(); err != nil {
			t.Error(err)
		}
		return d
	}
	exact := make40x60(func(int) geom.Pt { return geom.Pt{} })
	wantNear(t, "left as joints on whole feet", exact.DustSqft, 0, 0)
	r := rand.New(rand.NewPCG(7, 0))
	for range 20 {
		d := make40x60(func(int) geom.Pt { return geom.Pt{X: (r.Float64() - 0.5) / 100, Y: (r.Float64() - 0.5) / 100} })
		for _, typ := range []BoardType{BaseType, FillType, TaperedType} { // cover may be shifted
			wantEqual(t, typ.String()+" pieces", tally(d.Counts, typ, "", piecesOf), tally(exact.Counts, typ, "", piecesOf))
		}
		wantEqual(t, "boards of the first row", tally(d.Counts, TaperedType, "1/2 to 1-1/2", toOrder), tally(exact.Counts, TaperedType, "1/2 to 1-1/2", toOrder))
		for _, b := range d.Boards {
			if w := math.Min(b.Stock.W, b.Stock.D); w < dustFt {
				t.Errorf("piece %s is %.4f ft wide", b.Piece, w)
			}
		}
		layers := float64(d.Boards[len(d.Boards)-1].Layer)
		if most := layers * 200 * dustFt; d.DustSqft <= 0 || d.DustSqft > most {
			t.Errorf("%.4f sq ft left as joints, want some, and not more than %.2f", d.DustSqft, most)
		}
	}
}
