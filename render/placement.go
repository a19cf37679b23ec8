package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/taper"
)

// NamedScene is a sheet with the name of its file, without the ending.
type NamedScene struct {
	Name  string
	Scene scene.Scene
	// Wordless is how many rows of a placement sheet have neither words on the plan
	// nor a line in its table; of a sheet that comes in parts, 0.
	Wordless int
}

// PlacementSheets draws the boards of area i, one sheet a layer, layer 1 at the
// bottom first: every piece once, light where it is thin and dark where it is thick,
// rows with row, mark and pieces as in rows.csv, the thick edge of each row, where
// each plane starts, the first ten boards in circles, and the counts of the layer. A
// sheet is letter paper where its rows are deep enough for words on it, else 11 x 17;
// a layer too large for that comes in parts as well, each a window of the plan at a
// readable scale. Sheets are named placement-3, parts placement-3-part-2, after
// placement the suffix of the area. An area without a design has none. Cost: pieces x
// parts.
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
		if !slices.ContainsFunc(d.Boards, func(b taper.Board) bool { return b.Layer == n }) {
			continue // all of it is down
		}
		name := fmt.Sprintf("placement%s-%d", Suffix(r, i), n)
		whole, parts := placementSheet(r, i, n, layers)
		whole.Name = name
		out = append(out, whole)
		for k := range parts.windows {
			part := parts.sheet(r, i, k)
			part.Name = fmt.Sprintf("%s-part-%d", name, k+1)
			out = append(out, part)
		}
	}
	return out
}

// wordyIn is the depth on the sheet, in inches, from which a row of boards has room
// for its words and the numbers of its pieces.
const wordyIn = 0.36

// layerPaper is the sheet on which a layer is drawn whole: letter, or 11 x 17 where
// only that gives its rows room for words, or where it is wanted.
func layerPaper(r *Result, i int, rows []boardRow, wanted bool) *sheet {
	s := newSheet(r, i)
	if s.usualRowIn(rows) < wordyIn || wanted {
		if big := newSheetOn(r, i, tabloids(1)); big.usualRowIn(rows) >= wordyIn {
			return big
		}
	}
	return s
}

// usualRowIn is how deep most rows are drawn.
func (s *sheet) usualRowIn(rows []boardRow) float64 {
	depths := map[float64]int{}
	best := 0.0
	for _, r := range rows {
		in := s.perRow(r)
		depths[in]++
		if n := depths[in]; n > depths[best] || n == depths[best] && in < best {
			best = in
		}
	}
	return best
}

// placementSheet draws a whole layer, on larger paper where some of its words found
// no room, and says how it is to be parted where its rows have none.
func placementSheet(r *Result, i, layer, layers int) (NamedScene, parting) {
	rows := rowsOf(&r.Areas[i], layer)
	var out NamedScene
	var parts parting
	for _, big := range []bool{false, true} {
		s := layerPaper(r, i, rows, big)
		if s.usualRowIn(rows) < wordyIn {
			parts = s.partingOf(rows)
			parts.layer, parts.layers = layer, layers
		}
		out = s.wholeLayer(rows, parts, layers)
		if s.wordless == 0 && s.lacks == 0 || len(parts.windows) > 0 {
			break
		}
	}
	return out, parts
}

// wholeLayer draws all rows of a layer; those of one that comes in parts have their
// words there.
func (s *sheet) wholeLayer(rows []boardRow, parts parting, layers int) NamedScene {
	n := len(parts.windows)
	s.layerPlan(rows, rows, n > 0)
	facts := s.layingFacts(rows)
	if n > 0 {
		facts = []string{fmt.Sprintf("Words and numbers stand on the %s, at %s.", count(n, "sheet")+" of parts", parts.scale.words)}
	}
	layer := rows[0].boards[0].Layer
	s.title(fmt.Sprintf("Placement, layer %d of %d from the bottom: %s", layer, layers, typesOf(rows)), facts...)
	if n > 0 {
		s.panel = append(s.panel, s.keyPlan(parts, -1))
	}
	tables := s.layerCounts(layer)
	if n == 0 {
		tables = append(append(tables, s.listedRows()...), s.planeTable(rows)...)
	}
	return NamedScene{Scene: s.finish(tables...), Wordless: s.wordless}
}

// layerPlan draws rows on the plan with their words and the legend; all are those of
// the whole layer, of which rows may be a part. An overview has no words but the
// names of planes.
func (s *sheet) layerPlan(rows, all []boardRow, overview bool) {
	s.shade = shadesOf(all)
	s.downRows(all)
	s.pieces(rows)
	s.facetBorders(s.a.Design, rows)
	s.furniture()
	s.compass()
	s.edgeNumbers()
	s.names()
	s.layerArrows(s.a.Design, rows)
	bars := s.thickBars(rows)
	if overview {
		s.planeTags(rows)
	} else {
		s.startDots(rows)
		circled := s.firstTen(rows, all)
		s.startWords(rows)
		s.firstTapes(rows)
		s.planeTags(rows)
		s.thickWords(bars)
		s.rowWords(rows)
		s.downWords(all)
		s.placeNumbers(rows, circled)
	}
	s.layerLegend(rows)
}

// boardRow is the pieces of one row of one mark on one layer, by their place in the
// row, as a line of rows.csv.
type boardRow struct {
	facet, row int
	typ        taper.BoardType
	mark       string
	boards     []taper.Board // those on the sheet
	pieces     int           // of the whole row
	corner     geom.Pt       // where its thin edge starts
	guest      bool          // another part shows more of it
	start      int           // of the first row of a plane on this layer: which plane in the order of rows.csv, from 1; else 0
}

func (r boardRow) tapered() bool { return r.boards[0].ThickIn > r.boards[0].ThinIn }

// rowsOf groups the pieces of a layer into rows, in the order of rows.csv.
func rowsOf(a *AreaResult, layer int) []boardRow {
	type key struct {
		facet, row int
		typ        taper.BoardType
		mark       string
	}
	at := map[key]int{}
	if a.Foreman != nil {
		for _, r := range a.Foreman.Rows {
			if r.Layer == layer {
				at[key{r.Facet, r.Row, r.Type, r.Mark}] = len(at)
			}
		}
	}
	out := make([]boardRow, len(at))
	for _, b := range a.Design.Boards {
		if b.Layer != layer {
			continue
		}
		k := key{b.Facet, b.Row, b.Type, b.Mark}
		if _, met := at[k]; !met {
			at[k] = len(out)
			out = append(out, boardRow{})
		}
		r := &out[at[k]]
		r.facet, r.row, r.typ, r.mark = b.Facet, b.Row, b.Type, b.Mark
		r.boards = append(r.boards, b)
	}
	out = slices.DeleteFunc(out, func(r boardRow) bool { return len(r.boards) == 0 })
	planes := map[int]bool{}
	for n := range out {
		slices.SortStableFunc(out[n].boards, func(a, b taper.Board) int { return cmp.Compare(a.Seq, b.Seq) })
		out[n].pieces, out[n].corner = len(out[n].boards), cornerOf(out[n].boards)
		if !planes[out[n].facet] {
			planes[out[n].facet] = true
			out[n].start = len(planes)
		}
	}
	return out
}

// cornerOf is where the thin edge of a row starts: of its lowest corners the first
// along the row.
func cornerOf(boards []taper.Board) geom.Pt {
	const sameFt = 1e-6
	var best geom.Pt
	v, u := math.Inf(1), math.Inf(1)
	for _, b := range boards {
		right := b.Right()
		for _, p := range b.Poly.Outer {
			if pv, pu := p.Dot(b.Uphill), p.Dot(right); pv < v-sameFt || pv < v+sameFt && pu < u {
				best, v, u = p, math.Min(v, pv), pu
			}
		}
	}
	return best
}

// planesOf gathers rows by plane, planes by their first row.
func planesOf(rows []boardRow) [][]boardRow {
	at := map[int]int{}
	var out [][]boardRow
	for _, r := range rows {
		n, met := at[r.facet]
		if !met {
			n = len(out)
			at[r.facet] = n
			out = append(out, nil)
		}
		out[n] = append(out[n], r)
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

// layingFacts says how a layer is read.
func (s *sheet) layingFacts(rows []boardRow) []string {
	if len(rows) == 0 {
		return nil
	}
	hand := "left"
	if s.site.Frame.Mirror {
		hand = "right"
	}
	out := []string{"R3  9 of 2: row 3, 9 pieces of the mark 2; F1: plane 1; as in rows.csv. Small figures: place in the row.",
		"START 1, 2, ...: where each plane begins, in the order of rows.csv, with a dot at the start corner."}
	if s.usualRowIn(rows) < leastRowIn {
		out = append(out, "Rows count from START; every fifth has its number.")
	} else {
		out = append(out, "Circles 1 to 10: the first ten boards.")
	}
	if slices.ContainsFunc(rows, boardRow.tapered) {
		return append(out, "Rows run from their "+hand+" end as one looks toward THICK.")
	}
	return append(out, "Rows run from the dot.")
}

// layerCounts is the schedule of one layer.
func (s *sheet) layerCounts(layer int) []item {
	out := heading(fmt.Sprintf("Boards of layer %d", layer))
	head := row("counts", true, cell{words: "mark", left: 0.17}, cell{right: 1.48, words: "board"},
		cell{right: 1.92, words: "pieces"}, cell{right: columnIn, words: "to order"})
	head.with = true
	out = append(out, head)
	pieces, order, spares := 0, 0, 0
	for _, c := range s.a.Design.Counts {
		if c.Layer != layer {
			continue
		}
		pieces, order, spares = pieces+c.Pieces, order+c.ToOrder, spares+c.Spares
		out = append(out, s.tinted(c, cell{words: first(c.Mark, 0.77), left: 0.17}, cell{right: 1.48, words: s.stock(c)},
			cell{right: 1.92, words: thousands(c.Pieces)}, cell{right: columnIn, words: thousands(c.ToOrder)}))
	}
	out = append(out, row("counts", true, cell{words: "all"}, cell{right: 1.92, words: thousands(pieces)},
		cell{right: columnIn, words: thousands(order)}))
	note := "marks in inches; spares apart: " + thousands(spares)
	if s.say.small() == "mm" {
		note = "marks in mm; spares apart: " + thousands(spares)
	}
	return append(out, words("counts", note, bodyPt, false, 2)...)
}

// stock prints the size of a stock board: 4 x 8 ft, 1219x2438.
func (s *sheet) stock(c taper.Count) string {
	if s.say.small() == "mm" {
		return fmt.Sprintf("%.0fx%.0f", c.Along.Millimetres(), c.Depth.Millimetres())
	}
	return fmt.Sprintf("%s x %s ft", figure2(c.Along.Feet()), figure2(c.Depth.Feet()))
}
