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

// layerArrows draws one arrow in each plane of tapered boards, toward the thin edges.
func (s *sheet) layerArrows(d *taper.Design, rows []boardRow) {
	some := false
	for _, plane := range planesOf(rows) {
		if s.layerArrow(plane) {
			some = true
		}
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
		if !s.inPlan(q) || !ok(q) || !s.room.Free(q) {
			continue
		}
		s.shape(arrowMark(fmt.Sprintf("facet %d arrow", b.Facet), c.Sub(half), c.Add(half), waterInk()))
		s.room.Take(q.Grown(0.015))
		return true
	}
	return false
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
		in := s.dir(b.Uphill).Mul(-math.Min(0.032, 0.3*b.Depth.Feet()*s.perFt))
		p, q = s.loc(a).Add(in), s.loc(r.At(i+1)).Add(in)
	}
	return p, q, ok
}

func thickPen() scene.Pen { return scene.Pen{WidthPt: 2.4, Ink: thickInk()} }

// thickEdge is the bar of one piece, and where it stands on the sheet.
type thickEdge struct {
	row   boardRow
	board taper.Board
	p, q  scene.Pt
}

// thickBars draws the bar at the thick edge of every tapered piece; together they run
// along the rows.
func (s *sheet) thickBars(rows []boardRow) []thickEdge {
	var out []thickEdge
	for _, r := range rows {
		for _, b := range r.boards {
			p, q, ok := s.thickSide(b)
			if !ok || !r.tapered() {
				continue
			}
			p, q = s.withinBoard(b, p, q)
			out = append(out, thickEdge{r, b, p, q})
			s.line(fmt.Sprintf("thick edge facet %d row %d", r.facet, r.row), []scene.Pt{p, q}, thickPen())
			s.room.Take(scene.Strip(p, q, 0.017))
		}
	}
	if len(out) > 0 {
		s.lineSwatch("THICK edge of tapered boards", thickPen())
	}
	return out
}

// withinBoard cuts a bar to b, whose sides may slant inward from its thick edge.
func (s *sheet) withinBoard(b taper.Board, p, q scene.Pt) (scene.Pt, scene.Pt) {
	c, long := p.Lerp(q, 0.5), q.Sub(p).Norm()
	if long == 0 {
		return p, q
	}
	way := q.Sub(p).Mul(1 / long)
	from, to := s.chord(b, c, way)
	if to <= from {
		return p, q
	}
	return c.Add(way.Mul(math.Max(from, -long/2))), c.Add(way.Mul(math.Min(to, long/2)))
}

// thickWords letters THICK once a plane, beside a bar of the first of its rows that
// has room for it, else with a leader to one.
func (s *sheet) thickWords(bars []thickEdge) {
	said := map[int]bool{}
	for _, e := range bars {
		if !said[e.row.facet] {
			said[e.row.facet] = s.thickWord(e, false)
		}
	}
	for _, e := range bars {
		if !said[e.row.facet] && e.q.Sub(e.p).Norm() > 0.1 {
			said[e.row.facet] = s.thickWord(e, true)
		}
	}
}

func (s *sheet) thickWord(e thickEdge, led bool) bool {
	l := lines{name: fmt.Sprintf("thick edge facet %d row %d", e.row.facet, e.row.row), words: []string{"THICK"}, ok: s.within(e.row.boards),
		text: scene.Text{SizePt: scene.LeastTextPt, Bold: true, Ink: thickInk(), Halo: true}}
	if led {
		l.ok, l.plate = nil, true
		return s.leader(l, e.p.Lerp(e.q, 0.5), 0.6)
	}
	down, turn := s.dir(e.board.Uphill.Mul(-1)), readable(e.q.Sub(e.p))
	var spots []spot
	for _, off := range []float64{0.035, 0.055} {
		for _, t := range []float64{0.5, 0, 1} {
			spots = append(spots, spot{e.p.Lerp(e.q, t).Add(down.Mul(off + scene.CapHeight(scene.LeastTextPt, true)/2)), 0.5, 0.5, turn})
		}
	}
	_, ok := s.place(l, spots)
	return ok
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
