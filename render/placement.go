package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/render/scene"
	"runnel/taper"
)

// NamedScene is a sheet with the name of its file, without the ending.
type NamedScene struct {
	Name  string
	Scene scene.Scene
}

// PlacementSheets draws the boards of area i, one sheet a layer, layer 1 at the
// bottom first: every piece once with its mark, row and place in the row where
// they fit, the thick edge of each row, where to start, and the counts of the
// layer. A layer whose rows are too fine for words on one sheet comes in parts
// as well, each a window of the plan at a readable scale. Sheets are named
// placement-3, parts placement-3-part-2, after placement the suffix of the area.
// An area without a design has none. Cost: pieces x parts.
func PlacementSheets(r *Result, i int) []NamedScene {
	d := r.Areas[i].Design
	if d == nil {
		return nil
	}
	layers := 0
	for _, b := range d.Boards {
		layers = max(layers, b.Layer)
	}
	var out []NamedScene
	for n := 1; n <= layers; n++ {
		name := fmt.Sprintf("placement%s-%d", Suffix(r, i), n)
		whole, parts := placementSheet(r, i, n, layers)
		out = append(out, NamedScene{name, whole})
		for k := range parts.windows {
			out = append(out, NamedScene{fmt.Sprintf("%s-part-%d", name, k+1), parts.sheet(r, i, k)})
		}
	}
	return out
}

// placementSheet draws a whole layer and says how it is to be parted where its
// rows are too fine for words.
func placementSheet(r *Result, i, layer, layers int) (scene.Scene, parting) {
	s := newSheet(r, i)
	d := s.a.Design
	rows := rowsOf(d, layer)
	var parts parting
	if s.tooFine(rows) {
		parts = s.partingOf(rows)
		parts.layer, parts.layers = layer, layers
	}
	left := s.layerPlan(rows)
	facts := s.layingFacts(rows)
	if n := len(parts.windows); n > 0 {
		facts = append(facts, fmt.Sprintf("Rows are too fine for words at this scale: the sheets of parts 1 to %d show them at %s.", n, parts.scale.words))
		left = 0
	}
	s.title(fmt.Sprintf("Placement, layer %d of %d from the bottom: %s", layer, layers, typesOf(rows)), facts...)
	if len(parts.windows) > 0 {
		s.panel = append(s.panel, s.keyPlan(parts, -1))
	}
	return s.finish(s.layerCounts(d, layer, left)...), parts
}

// layerPlan draws the rows of a layer on the plan with their words and the
// legend, and gives how many rows have no words.
func (s *sheet) layerPlan(rows []boardRow) (left int) {
	d := s.a.Design
	s.pieces(d, rows)
	s.facetBorders(d, rows)
	s.furniture()
	s.names()
	s.layerArrows(d, rows)
	bars := s.thickBars(rows)
	if s.tooFine(rows) {
		s.planeBars(rows)
	}
	labelled := s.startWords(rows)
	s.thickWords(bars, true)
	left = s.rowWords(rows, labelled)
	s.thickWords(bars, false)
	s.layerLegend(d, rows)
	return left
}

// boardRow is the pieces of one row of one facet on one layer, by their place
// in the row.
type boardRow struct {
	facet, row int
	boards     []taper.Board
	start      bool // the lowest row of its facet on this layer
}

// rowsOf sorts the pieces of a layer by facet, row and place.
func rowsOf(d *taper.Design, layer int) []boardRow {
	var bs []taper.Board
	for _, b := range d.Boards {
		if b.Layer == layer {
			bs = append(bs, b)
		}
	}
	slices.SortStableFunc(bs, func(a, b taper.Board) int {
		return cmp.Or(cmp.Compare(a.Facet, b.Facet), cmp.Compare(a.Row, b.Row), cmp.Compare(a.Seq, b.Seq))
	})
	var out []boardRow
	for _, b := range bs {
		if n := len(out); n == 0 || out[n-1].facet != b.Facet || out[n-1].row != b.Row {
			first := n == 0 || out[n-1].facet != b.Facet
			out = append(out, boardRow{facet: b.Facet, row: b.Row, start: first})
		}
		last := &out[len(out)-1]
		last.boards = append(last.boards, b)
	}
	return out
}

func typesOf(rows []boardRow) string {
	met := map[taper.BoardType]bool{}
	for _, r := range rows {
		for _, b := range r.boards {
			met[b.Type] = true
		}
	}
	var out []string
	for t := taper.BaseType; t <= taper.CoverType; t++ {
		if met[t] {
			out = append(out, t.String())
		}
	}
	return strings.Join(out, ", ")
}

func cutHatch() scene.Hatch {
	return scene.Hatch{GapPt: 5, TurnDeg: 45, Pen: scene.Pen{WidthPt: 0.3, Ink: scene.Grey(0.55)}}
}

// tint is how a board of a thickness is painted: pale, since words stand on
// it.
func tint(b taper.Board, thickest float64) colour {
	return thicknessRamp().at(0.4 * (b.ThinIn + b.ThickIn) / 2 / math.Max(thickest, 1e-9))
}

// thickestOf is the thickest board of a design, so that all its layers are
// tinted alike.
func thickestOf(d *taper.Design) float64 {
	t := 0.0
	for _, b := range d.Boards {
		t = math.Max(t, b.ThickIn)
	}
	return t
}

// pieces draws every piece once.
func (s *sheet) pieces(d *taper.Design, rows []boardRow) {
	thickest := thickestOf(d)
	for _, r := range rows {
		for _, b := range r.boards {
			m := scene.Shape{Name: boardName(b), Rings: s.poly(b.Poly), Fill: tint(b, thickest),
				Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.2)}}
			if len(m.Rings) == 0 { // smaller than a dot: drawn as one
				c := s.loc(b.Poly.Outer.Box().Centre())
				m.Rings = [][]scene.Pt{scene.Circle(c, finestIn, 4)}
			}
			if b.Cut {
				m.Hatch = cutHatch()
			}
			s.shape(m)
		}
	}
}

func boardName(b taper.Board) string {
	return fmt.Sprintf("board %s facet %d row %d no %d %s", b.Mark, b.Facet, b.Row, b.Seq, b.Piece)
}

// facetBorders draws the facets that have pieces on this layer.
func (s *sheet) facetBorders(d *taper.Design, rows []boardRow) {
	met := map[int]bool{}
	for _, r := range rows {
		met[r.facet] = true
	}
	some := false
	pen := scene.Pen{WidthPt: 1.2, Ink: scene.Black()}
	for _, f := range d.Facets {
		if met[f.ID] {
			some = true
			s.shape(scene.Shape{Name: fmt.Sprintf("facet %d", f.ID), Rings: s.poly(f.Poly), Pen: pen})
		}
	}
	if some {
		s.lineSwatch("border of a plane", pen)
	}
}

func (s *sheet) layerLegend(d *taper.Design, rows []boardRow) {
	thickest := thickestOf(d)
	whole, cut := scene.Shape{}, scene.Shape{}
	for _, r := range rows {
		for _, b := range r.boards {
			m := scene.Shape{Fill: tint(b, thickest), Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.2)}}
			if b.Cut {
				m.Hatch = cutHatch()
				cut = m
			} else {
				whole = m
			}
		}
	}
	if whole.Pen.WidthPt > 0 {
		s.fillSwatch("whole board", whole)
	}
	if cut.Pen.WidthPt > 0 {
		s.fillSwatch("cut piece", cut)
	}
}

func (s *sheet) layingFacts(rows []boardRow) []string {
	if len(rows) == 0 {
		return nil
	}
	return []string{"START: the lowest row of a plane on this layer. Lay row by row uphill from there. 3-7 is row 3, place 7."}
}

// layerCounts is the schedule of one layer.
func (s *sheet) layerCounts(d *taper.Design, layer, left int) []item {
	out := heading(fmt.Sprintf("Boards of layer %d", layer))
	head := row("counts", true, cell{words: "mark", left: 0.17}, cell{right: 1.48, words: "board"},
		cell{right: 1.92, words: "pieces"}, cell{right: columnIn, words: "to order"})
	head.with = true
	out = append(out, head)
	pieces, order, spares := 0, 0, 0
	for _, c := range d.Counts {
		if c.Layer != layer {
			continue
		}
		pieces, order, spares = pieces+c.Pieces, order+c.ToOrder, spares+c.Spares
		out = append(out, s.tinted(d, c, cell{words: first(c.Mark, 0.77), left: 0.17}, cell{right: 1.48, words: s.stock(c)},
			cell{right: 1.92, words: thousands(c.Pieces)}, cell{right: columnIn, words: thousands(c.ToOrder)}))
	}
	out = append(out, row("counts", true, cell{words: "all"}, cell{right: 1.92, words: thousands(pieces)},
		cell{right: columnIn, words: thousands(order)}))
	note := "marks in inches; spares apart: " + thousands(spares)
	if s.say.small() == "mm" {
		note = "marks in mm; spares apart: " + thousands(spares)
	}
	out = append(out, words("counts", note, bodyPt, false, 2)...)
	if left > 0 {
		out = append(out, s.wordless(left)...)
	}
	return out
}

// wordless says how to read rows without words.
func (s *sheet) wordless(left int) []item {
	return words("counts", count(left, "row")+" without room for words: the tint is the one beside the mark above; see cuts.csv", bodyPt, false, 3)
}

// tinted is a row of the schedule with the tint of its boards in front.
func (s *sheet) tinted(d *taper.Design, c taper.Count, cells ...cell) item {
	fill := scene.White()
	for _, b := range d.Boards {
		if b.Layer == c.Layer && b.Mark == c.Mark && b.Type == c.Type {
			fill = tint(b, thickestOf(d))
			break
		}
	}
	it := row("counts", false, cells...)
	words := it.draw
	it.draw = func(x, top float64) []scene.Mark {
		q := scene.Rect(scene.Pt{X: x, Y: top - 0.12}, scene.Pt{X: x + 0.12, Y: top - 0.015})
		return append([]scene.Mark{scene.Shape{Name: "counts", Rings: [][]scene.Pt{q[:]}, Fill: fill,
			Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.2)}}}, words(x, top)...)
	}
	return it
}

// stock prints the size of a stock board: 4 x 8 ft, 1219x2438.
func (s *sheet) stock(c taper.Count) string {
	if s.say.small() == "mm" {
		return fmt.Sprintf("%.0fx%.0f", c.Along.Millimetres(), c.Depth.Millimetres())
	}
	return fmt.Sprintf("%s x %s ft", figure2(c.Along.Feet()), figure2(c.Depth.Feet()))
}
