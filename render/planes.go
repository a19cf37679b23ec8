package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// compass letters the sides of the plan with the words that rows.csv has for the
// ways up, right, down and left.
func (s *sheet) compass() {
	north := 0.0
	if s.res.Job != nil {
		north = s.res.Job.NorthDeg
	}
	lo, hi := s.paper.lo, s.paper.hi
	mid := lo.Lerp(hi, 0.5)
	for _, c := range []struct {
		at  scene.Pt
		way geom.Pt
	}{{scene.Pt{X: mid.X, Y: hi.Y - 0.09}, geom.Pt{Y: 1}}, {scene.Pt{X: hi.X - 0.11, Y: mid.Y}, geom.Pt{X: 1}},
		{scene.Pt{X: mid.X, Y: lo.Y + 0.09}, geom.Pt{Y: -1}}, {scene.Pt{X: lo.X + 0.11, Y: mid.Y}, geom.Pt{X: -1}}} {
		t := scene.Text{Name: "compass", Words: compassWord(c.way, north), At: c.at, SizePt: 10, Bold: true, Halo: true, Across: 0.5, Up: 0.5, Ink: scene.Black()}
		s.top = append(s.top, t)
		s.room.Take(t.Box())
		s.words.Take(t.Box())
	}
}

// edgeNumbers stands the number of each edge of the outline in a box on it, in the
// middle of what the sheet shows of it.
func (s *sheet) edgeNumbers() {
	o := s.a.Area.Outline
	some := false
	for n, p := range o {
		in := clipLine([]scene.Pt{s.at(p), s.at(o.At(n + 1))}, s.paper.lo, s.paper.hi)
		if len(in) == 0 {
			continue
		}
		a, b := in[0][0], in[0][1]
		way := b.Sub(a)
		if way.Norm() < 0.3 {
			continue
		}
		for _, t := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
			words := scene.Text{Name: fmt.Sprintf("edge %d", n), Words: fmt.Sprint(n), At: a.Lerp(b, t), SizePt: 8, Bold: true, Across: 0.5, Up: 0.5, Ink: scene.Black()}
			box := words.Box().Grown(0.03)
			if !s.words.Free(box) || s.nearOutlet(box) {
				continue
			}
			some = true
			s.room.Take(box)
			s.words.Take(box)
			s.top = append(s.top, scene.Shape{Name: words.Name, Rings: [][]scene.Pt{box[:]}, Fill: scene.White(), Pen: scene.Pen{WidthPt: 0.7, Ink: scene.Black()}}, words)
			break
		}
	}
	if some {
		s.swatch("number of an edge", func(lo, hi scene.Pt) []scene.Mark {
			t := scene.Text{Name: "legend", Words: "0", At: lo.Lerp(hi, 0.5), SizePt: 8, Bold: true, Across: 0.5, Up: 0.5, Ink: scene.Black()}
			box := t.Box().Grown(0.02)
			return []scene.Mark{scene.Shape{Name: "legend", Rings: [][]scene.Pt{box[:]}, Pen: scene.Pen{WidthPt: 0.7, Ink: scene.Black()}}, t}
		})
	}
}

// nearOutlet says whether a rectangle comes near an outlet's symbol.
func (s *sheet) nearOutlet(q scene.Quad) bool {
	return slices.ContainsFunc(s.site.Outlets, func(o survey.SiteOutlet) bool { return q.Overlaps(boxAt(s.loc(o.P), 0.18)) })
}

// tenBoards is how many boards of a layer are numbered in circles.
const tenBoards = 10

// firstTen stands circles with 1 to 10 in the first ten boards of the layer, in the
// order of rows.csv, where the sheet shows them, and gives which pieces these are.
func (s *sheet) firstTen(rows, all []boardRow) map[string]bool {
	out := map[string]bool{}
	shown := map[string]bool{}
	for _, r := range rows {
		for _, b := range r.boards {
			shown[b.Piece] = true
		}
	}
	n := 0
	for _, r := range all {
		for _, b := range r.boards {
			if n++; n > tenBoards {
				return out
			}
			if shown[b.Piece] {
				out[b.Piece] = true
				s.circled(b, n)
			}
		}
	}
	return out
}

// circled stands a number in a circle in b, toward its thin edge, or beside it with a
// leader.
func (s *sheet) circled(b taper.Board, n int) {
	const r = 0.085
	l := lines{name: fmt.Sprintf("first %d", n), words: []string{fmt.Sprint(n)},
		text: scene.Text{SizePt: scene.LeastTextPt, Bold: true, Ink: scene.Black(), Halo: true}}
	in := s.within([]taper.Board{b})
	ring := func(q scene.Quad) scene.Quad { return boxAt(q[0].Lerp(q[2], 0.5), r) }
	mid, c := s.loc(b.Poly.Outer.Box().Centre()), s.loc(middle(b.Poly))
	down, along := s.dir(b.Uphill.Mul(-1)), s.dir(b.Right())
	half := 0.5 * b.Depth.Feet() * s.perFt
	var spots []spot
	for _, at := range []scene.Pt{mid.Add(down.Mul(half - r - 0.03)).Sub(along.Mul(half - r - 0.03)), mid.Add(down.Mul(half - r - 0.03)),
		c.Add(down.Mul(half / 2)), c, c.Sub(down.Mul(half / 2))} {
		spots = append(spots, spot{at, 0.5, 0.5, 0})
	}
	draw := func(at scene.Pt) {
		s.top = append(s.top, scene.Shape{Name: l.name, Rings: [][]scene.Pt{scene.Circle(at, r, 20)}, Pen: scene.Pen{WidthPt: 0.9, Ink: scene.Black()}})
		s.room.Take(boxAt(at, r))
	}
	l.ok = func(q scene.Quad) bool { return in(ring(q)) && s.room.Free(ring(q)) }
	if at, ok := s.place(l, spots); ok {
		draw(at)
		return
	}
	l.ok = func(q scene.Quad) bool { return s.room.Free(ring(q)) }
	var far []spot
	for _, sp := range rings(c, 0.25, 1) {
		far = append(far, spot{sp.at, 0.5, 0.5, 0})
	}
	if at, ok := s.place(l, far); ok {
		draw(at)
		s.line("leader "+l.name, []scene.Pt{c, at.Add(c.Sub(at).Mul(r / c.Sub(at).Norm()))}, scene.Pen{WidthPt: 0.5, Ink: scene.Black()})
	}
}

// startWords stands at the start corner of each plane that the sheet shows
// START with its place in the order of rows.csv: in its first row, or off it with a
// leader, not over the first rows of planes where that can be.
func (s *sheet) startWords(rows []boardRow) {
	firsts := scene.NewRoom(s.paper.w.Inches(), s.paper.h.Inches())
	for _, r := range rows {
		for _, b := range r.boards {
			if r.start > 0 {
				firsts.Take(boxOf(s.path(b.Poly.Outer, s.loc), s.loc(b.Poly.Outer.Box().Centre())))
			}
		}
	}
	for _, plane := range planesOf(rows) {
		var own []taper.Board
		for _, r := range plane {
			own = append(own, r.boards...)
		}
		on := s.within(own)
		for _, r := range plane {
			if r.start > 0 && s.inPlan(boxAt(s.loc(r.corner), 0.02)) {
				s.startWord(r, func(q scene.Quad) bool { return firsts.Free(q) && on(q) }, firsts.Free)
			}
		}
	}
}

// startDot is a place in the first piece of a plane's first row, by its start corner.
func (s *sheet) startDot(r boardRow) scene.Pt {
	corner := s.loc(r.corner)
	in := s.loc(middle(r.boards[0].Poly)).Sub(corner)
	if n := in.Norm(); n > 0 {
		return corner.Add(in.Mul(math.Min(0.11, 0.5*n) / n))
	}
	return corner
}

// startDots marks the start corners that the sheet shows.
func (s *sheet) startDots(rows []boardRow) {
	const dotIn = 0.035
	for _, r := range rows {
		if dot := s.startDot(r); r.start > 0 && s.inPlan(boxAt(s.loc(r.corner), 0.02)) {
			s.shape(scene.Shape{Name: fmt.Sprintf("start facet %d", r.facet), Rings: [][]scene.Pt{scene.Circle(dot, dotIn, 16)}, Fill: scene.Black()})
			s.room.Take(boxAt(dot, dotIn))
		}
	}
}

// startWord tries the places that the first of oks allows, then the next.
func (s *sheet) startWord(r boardRow, oks ...func(scene.Quad) bool) {
	corner, dot := s.loc(r.corner), s.startDot(r)
	name := fmt.Sprintf("start facet %d", r.facet)
	words := fmt.Sprintf("START %d", r.start)
	if r.facet > 0 {
		words += " " + facetName(r.facet)
	}
	l := lines{name: name, words: []string{words}, ok: s.within(r.boards),
		text: scene.Text{SizePt: 7.5, Bold: true, Ink: scene.Black(), Halo: true}}
	if s.perRow(r) >= 0.3 {
		along, up := s.dir(r.boards[0].Right()), s.dir(r.boards[0].Uphill)
		reach := scene.TextWidth(words, 7.5, true)/2 + 0.06
		var spots []spot
		for _, v := range []float64{0.12, 0.22, 0.3} {
			for _, u := range []float64{0.08, 0.3, -0.08 - 2*reach} {
				spots = append(spots, spot{corner.Add(along.Mul(reach + u)).Add(up.Mul(v)), 0.5, 0.5, readable(along)})
			}
		}
		if _, ok := s.place(l, spots); ok {
			return
		}
	}
	l.plate = true
	for _, ok := range append(oks, nil) {
		for _, reach := range []float64{0.6, 1.2, 2} {
			if l.ok = ok; s.leader(l, dot, reach) {
				return
			}
		}
	}
}

// planeTags names each plane once on the sheet, in a box, as the facets of rows.csv.
func (s *sheet) planeTags(rows []boardRow) {
	for _, plane := range planesOf(rows) {
		if plane[0].facet == 0 {
			continue
		}
		var all []taper.Board
		for _, r := range plane {
			all = append(all, r.boards...)
		}
		slices.SortStableFunc(all, func(a, b taper.Board) int {
			return int(math.Round(1e3*b.Poly.Area())) - int(math.Round(1e3*a.Poly.Area()))
		})
		l := lines{name: fmt.Sprintf("name of facet %d", plane[0].facet), words: []string{facetName(plane[0].facet)},
			text: scene.Text{SizePt: 9, Bold: true, Ink: scene.Black()}}
		var spots []spot
		for _, b := range all[:min(len(all), 40)] {
			c := s.loc(b.Poly.Outer.Box().Centre())
			spots = append(spots, spot{c.Add(s.dir(b.Right()).Mul(0.08)), 0.5, 0.5, 0}, spot{c, 0.5, 0.5, 0}, spot{c.Add(scene.Pt{X: 0.1, Y: 0.1}), 0.5, 0.5, 0})
		}
		in := s.within(all)
		l.ok = func(q scene.Quad) bool { return in(q.Grown(0.03)) && s.room.Free(q.Grown(0.03)) }
		at, ok := s.place(l, spots)
		if !ok {
			l.ok = nil
			if s.leader(l, s.loc(middle(all[0].Poly)), 1.2) {
				continue
			}
			at, ok = s.place(l, spots)
		}
		if ok {
			t := l.text
			t.Words, t.At, t.Across, t.Up = l.words[0], at, 0.5, 0.5
			box := t.Box().Grown(0.025)
			s.room.Take(box)
			s.top = slices.Insert(s.top, len(s.top)-1, scene.Mark(scene.Shape{Name: l.name, Rings: [][]scene.Pt{box[:]}, Fill: scene.White(), Pen: scene.Pen{WidthPt: 0.7, Ink: scene.Black()}}))
		}
	}
}

// planeTable lists where the planes on the sheet start, by tape from two edges, as
// start_tape of rows.csv.
func (s *sheet) planeTable(rows []boardRow) []item {
	var out []item
	for _, r := range rows {
		if r.start == 0 || !s.inPlan(boxAt(s.loc(r.corner), 0.02)) {
			continue
		}
		var tapes []string
		for _, t := range taper.TapeFrom(s.site, r.corner) {
			tapes = append(tapes, fmt.Sprintf("%s from %d", s.say.run(t.Ft), t.Edge))
		}
		line := fmt.Sprintf("%d %s: %s", r.start, facetName(r.facet), strings.Join(tapes, ", "))
		out = append(out, words("planes", strings.Replace(line, " :", ":", 1), bodyPt, false, 2)...)
	}
	if len(out) == 0 {
		return nil
	}
	return append(heading("START corners by tape from edges"), out...)
}

// listedRows is the table of rows whose words have no room on the plan.
func (s *sheet) listedRows() []item {
	if len(s.bare) == 0 {
		return nil
	}
	out := heading("Rows with their number alone")
	for _, r := range s.bare {
		line := r.words()
		if r.facet > 0 {
			line = facetName(r.facet) + " " + line
		}
		out = append(out, words("rows", line, bodyPt, false, 2)...)
	}
	return out
}
