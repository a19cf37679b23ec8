package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/taper"
)

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
		s.room.Take(q.Grown(0.015))
		return true
	}
	return false
}

// thickBar is the thick edge of b on the sheet, drawn in a little so that it
// is seen to belong to b; false where it is too short to be seen.
func (s *sheet) thickBar(b taper.Board) (p, q scene.Pt, ok bool) {
	p, q, ok = s.thickSide(b)
	short := q.Sub(p)
	if short.Norm() < 0.06 {
		return p, q, false
	}
	cut := short.Mul(0.03 / short.Norm())
	return p.Add(cut), q.Sub(cut), ok
}

// thickSide is the longest edge of b that faces uphill, drawn in a little.
func (s *sheet) thickSide(b taper.Board) (p, q scene.Pt, ok bool) {
	best := 0.0
	r := b.Poly.Outer.CCW()
	for i, a := range r {
		e := r.At(i + 1).Sub(a)
		n := e.Norm()
		if n <= best || (geom.Pt{X: e.Y, Y: -e.X}).Dot(b.Uphill) < 0.999*n {
			continue
		}
		best, ok = n, true
		in := s.dir(b.Uphill).Mul(-math.Min(0.024, 0.3*b.Depth.Feet()*s.perFt))
		p, q = s.loc(a).Add(in), s.loc(r.At(i+1)).Add(in)
	}
	return p, q, ok
}

// planeBars draws one bar for each plane where boards are too small for their
// own: over the boards in the middle of the plane's highest tapered row.
func (s *sheet) planeBars(rows []boardRow) {
	const most = 4 // boards
	best := map[int]bool{}
	for k := len(rows) - 1; k >= 0; k-- {
		r := rows[k]
		var all []thickEdge
		for _, b := range r.boards {
			if p, q, ok := s.thickSide(b); ok && b.ThickIn > b.ThinIn && !b.Cut {
				all = append(all, thickEdge{r, b, p, q})
			}
		}
		if best[r.facet] || len(all) < 2 {
			continue
		}
		first := max(0, (len(all)-most)/2)
		p, q := farthest(all[first], all[min(len(all), first+most)-1])
		strip := scene.Strip(p, q, 0.015)
		if q.Sub(p).Norm() < 0.08 || !s.room.Free(strip) {
			continue
		}
		if len(best) == 0 {
			s.lineSwatch("THICK edge of a plane's highest tapered row", thickPen())
		}
		best[r.facet] = true
		s.line(fmt.Sprintf("thick edge facet %d row %d", r.facet, r.row), []scene.Pt{p, q}, thickPen())
		s.room.Take(strip)
	}
}

// farthest is the two of the ends of two bars that lie farthest apart.
func farthest(a, b thickEdge) (p, q scene.Pt) {
	for _, u := range []scene.Pt{a.p, a.q} {
		for _, v := range []scene.Pt{b.p, b.q} {
			if v.Sub(u).Norm() >= q.Sub(p).Norm() {
				p, q = u, v
			}
		}
	}
	return p, q
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
