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

// PlacementSheets draws the boards of area i, one sheet a layer, layer 1 at the
// bottom first: every piece once with its mark, row and place in the row where
// they fit, the thick edge of each row, and the counts of the layer. An area
// without a design has none. Cost: pieces.
func PlacementSheets(r *Result, i int) []scene.Scene {
	d := r.Areas[i].Design
	if d == nil {
		return nil
	}
	layers := 0
	for _, b := range d.Boards {
		layers = max(layers, b.Layer)
	}
	var out []scene.Scene
	for n := 1; n <= layers; n++ {
		out = append(out, placementSheet(r, i, n, layers))
	}
	return out
}

func placementSheet(r *Result, i, layer, layers int) scene.Scene {
	s := newSheet(r, i)
	d := s.a.Design
	rows := rowsOf(d, layer)
	s.pieces(d, rows)
	s.facetBorders(d, rows)
	s.furniture()
	s.names()
	s.layerArrows(d, rows)
	bars := s.thickBars(rows)
	s.thickWords(bars, true)
	left := s.rowWords(rows)
	s.thickWords(bars, false)
	s.layerLegend(d, rows)
	s.title(fmt.Sprintf("Placement, layer %d of %d from the bottom: %s", layer, layers, typesOf(rows)), s.layingFacts(rows)...)
	return s.finish(s.layerCounts(d, layer, left)...)
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
			out = append(out, boardRow{facet: b.Facet, row: b.Row})
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

// layerArrows draws one arrow in each facet, toward the thin edges.
func (s *sheet) layerArrows(d *taper.Design, rows []boardRow) {
	some := false
	for k := 0; k < len(rows); {
		end := k + 1
		for end < len(rows) && rows[end].facet == rows[k].facet {
			end++
		}
		if s.layerArrow(rows[k:end]) {
			some = true
		}
		k = end
	}
	if some {
		what := "toward the thin edge"
		if d.Deck.Slope().InchesPerFoot() == 0 {
			what += ", the way water runs"
		}
		s.swatch(what, func(a, b scene.Pt) []scene.Mark {
			y := (a.Y + b.Y) / 2
			return []scene.Mark{arrowMark("legend", scene.Pt{X: a.X + 0.02, Y: y}, scene.Pt{X: b.X - 0.02, Y: y}, waterInk())}
		})
	}
}

// layerArrow stands the arrow near the end of the widest row of a facet, off
// the middle, where the row's words go; where the boards are small on the
// sheet, over several rows.
func (s *sheet) layerArrow(rows []boardRow) bool {
	order := slices.Clone(rows)
	slices.SortStableFunc(order, func(a, b boardRow) int {
		return cmp.Compare(math.Round(b.area()*1e3), math.Round(a.area()*1e3))
	})
	var all []taper.Board
	for _, r := range rows {
		all = append(all, r.boards...)
	}
	for _, wide := range []bool{false, true} {
		for _, r := range order {
			for k := len(r.boards) - 1; k >= 0; k-- {
				ok := s.within(r.boards[k : k+1])
				if wide {
					ok = s.within(all)
				}
				if s.boardArrow(r.boards[k], ok, wide) {
					return true
				}
			}
		}
	}
	return false
}

// area is the area of the pieces of r in square feet.
func (r boardRow) area() float64 {
	sum := 0.0
	for _, b := range r.boards {
		sum += b.Poly.Area()
	}
	return sum
}

// boardArrow stands an arrow on b where it has room and ok allows; wide gives
// it the least length that can be seen.
func (s *sheet) boardArrow(b taper.Board, ok func(scene.Quad) bool, wide bool) bool {
	if b.ThickIn <= b.ThinIn || b.Uphill == (geom.Pt{}) {
		return false
	}
	run := s.dir(b.Uphill.Mul(-1))
	long := math.Min(0.2, 0.38*b.Depth.Feet()*s.perFt)
	if wide {
		long = math.Max(0.055, long)
	}
	if long < 0.05 {
		return false
	}
	half := run.Mul(long)
	aside := run.Left().Mul(0.3 * b.Along.Feet() * s.perFt)
	mid := s.loc(b.Poly.Outer.Box().Centre())
	places := []scene.Pt{mid.Add(aside), mid.Sub(aside), mid}
	if wide {
		down := run.Mul(b.Depth.Feet() * s.perFt / 4)
		places = append(places, mid.Add(down.Mul(0.5)), mid.Add(down), mid.Add(down.Mul(2)), mid.Add(down.Mul(3)))
	}
	for _, c := range places {
		q := scene.Strip(c.Sub(half), c.Add(half), 0.015)
		if !ok(q) || !s.room.Free(q) {
			continue
		}
		s.shape(arrowMark(fmt.Sprintf("facet %d arrow", b.Facet), c.Sub(half), c.Add(half), waterInk()))
		s.room.Take(q)
		return true
	}
	return false
}

// thickBar is the thick edge of b on the sheet, drawn in a little so that it
// is seen to belong to b; the longest edge that faces uphill.
func (s *sheet) thickBar(b taper.Board) (p, q scene.Pt, ok bool) {
	best := 0.0
	r := b.Poly.Outer.CCW()
	for i, a := range r {
		e := r.At(i + 1).Sub(a)
		n := e.Norm()
		if n <= best || (geom.Pt{X: e.Y, Y: -e.X}).Dot(b.Uphill) < 0.999*n {
			continue
		}
		best, ok = n, true
		in := s.dir(b.Uphill).Mul(-0.024)
		p, q = s.loc(a).Add(in), s.loc(r.At(i+1)).Add(in)
	}
	short := q.Sub(p)
	if short.Norm() < 0.06 {
		return p, q, false
	}
	cut := short.Mul(0.03 / short.Norm())
	return p.Add(cut), q.Sub(cut), ok
}

func thickPen() scene.Pen { return scene.Pen{WidthPt: 2.6, Ink: thickInk()} }

// thickEdge is the bar of one row: which piece, and where on the sheet.
type thickEdge struct {
	row   boardRow
	board taper.Board
	p, q  scene.Pt
}

// rowEnd is the bar at the end of a row: on the first whole board whose edge is
// nearly the longest of the row and free, else on the first such piece.
func (s *sheet) rowEnd(r boardRow) (thickEdge, bool) {
	var all []thickEdge
	longest := 0.0
	for _, b := range r.boards {
		if p, q, ok := s.thickBar(b); ok && b.ThickIn > b.ThinIn {
			all = append(all, thickEdge{r, b, p, q})
			longest = math.Max(longest, q.Sub(p).Norm())
		}
	}
	all = slices.DeleteFunc(all, func(e thickEdge) bool { return e.q.Sub(e.p).Norm() < 0.9*longest })
	if len(all) == 0 {
		return thickEdge{}, false
	}
	for _, whole := range []bool{true, false} {
		for _, e := range all {
			if (!whole || !e.board.Cut) && s.room.Free(scene.Strip(e.p, e.q, 0.02)) {
				return e, true
			}
		}
	}
	return all[0], true
}

// thickBars draws the bars of the rows.
func (s *sheet) thickBars(rows []boardRow) []thickEdge {
	var out []thickEdge
	for _, r := range rows {
		e, ok := s.rowEnd(r)
		if !ok {
			continue
		}
		out = append(out, e)
		s.line(fmt.Sprintf("thick edge facet %d row %d", r.facet, r.row), []scene.Pt{e.p, e.q}, thickPen())
		s.room.Take(scene.Strip(e.p, e.q, 0.02))
	}
	if len(out) > 0 {
		s.lineSwatch("THICK edge of a row, at one of its pieces", thickPen())
	}
	return out
}

// deepIn is the least depth of a row on the sheet that holds THICK and a mark.
const deepIn = 0.33

// thickWords stands THICK beside the bars of rows that are deep on the sheet,
// or of the others, where it fits in the row.
func (s *sheet) thickWords(bars []thickEdge, deep bool) {
	for _, e := range bars {
		if (e.board.Depth.Feet()*s.perFt >= deepIn) != deep {
			continue
		}
		down := s.dir(e.board.Uphill.Mul(-1))
		at := e.p.Lerp(e.q, 0.5).Add(down.Mul(0.035 + scene.CapHeight(scene.LeastTextPt, true)/2))
		s.place(lines{name: fmt.Sprintf("thick edge facet %d row %d", e.row.facet, e.row.row), words: []string{"THICK"},
			ok:   s.within(e.row.boards),
			text: scene.Text{SizePt: scene.LeastTextPt, Bold: true, Ink: thickInk()}},
			[]spot{{at, 0.5, 0.5, readable(e.q.Sub(e.p))}})
	}
}

// within says whether a rectangle lies on the given pieces of one row.
func (s *sheet) within(bs []taper.Board) func(scene.Quad) bool {
	return func(q scene.Quad) bool {
		for _, p := range [8]scene.Pt{q[0], q[1], q[2], q[3], q[0].Lerp(q[1], 0.5), q[1].Lerp(q[2], 0.5),
			q[2].Lerp(q[3], 0.5), q[3].Lerp(q[0], 0.5)} {
			at := s.site.Frame.ToLocal(s.job(p))
			if !slices.ContainsFunc(bs, func(b taper.Board) bool { return b.Poly.Outer.Box().Has(at) && b.Poly.Has(at) }) {
				return false
			}
		}
		return true
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
		out = append(out, words("counts", count(left, "row")+" without room for words: the tint is the one beside the mark above; see cuts.csv", bodyPt, false, 3)...)
	}
	return out
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
	return fmt.Sprintf("%s x %s ft", s.say.fine(c.Along.Feet()), s.say.fine(c.Depth.Feet()))
}
