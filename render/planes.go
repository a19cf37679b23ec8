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
	for _, c := range []struct {
		from, to scene.Pt // along the side of the plan
		way      geom.Pt
	}{{scene.Pt{X: lo.X, Y: hi.Y - 0.09}, scene.Pt{X: hi.X, Y: hi.Y - 0.09}, geom.Pt{Y: 1}},
		{scene.Pt{X: hi.X - 0.13, Y: lo.Y}, scene.Pt{X: hi.X - 0.13, Y: hi.Y}, geom.Pt{X: 1}},
		{scene.Pt{X: lo.X, Y: lo.Y + 0.09}, scene.Pt{X: hi.X, Y: lo.Y + 0.09}, geom.Pt{Y: -1}},
		{scene.Pt{X: lo.X + 0.13, Y: lo.Y}, scene.Pt{X: lo.X + 0.13, Y: hi.Y}, geom.Pt{X: -1}}} {
		var spots []spot
		for _, t := range []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95} {
			spots = append(spots, spot{c.from.Lerp(c.to, t), 0.5, 0.5, 0})
		}
		s.place(lines{name: "compass", words: []string{compassWord(c.way, north)},
			text: scene.Text{SizePt: 10, Bold: true, Halo: true, Ink: scene.Black()}}, spots)
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
	n, off := 0, s.offBoards(rows)
	for _, r := range all {
		for _, b := range r.boards {
			if n++; n > tenBoards {
				return out
			}
			if shown[b.Piece] {
				out[b.Piece] = true
				s.circled(b, n, off)
			}
		}
	}
	return out
}

// circled stands a number in a circle in b, toward its thin edge, or beside it with a
// leader, off the boards where that can be.
func (s *sheet) circled(b taper.Board, n int, off func(scene.Quad) bool) {
	const r = 0.085
	if s.perRow(boardRow{boards: []taper.Board{b}}) < leastRowIn {
		return // START says enough
	}
	l := lines{name: fmt.Sprintf("first %d", n), words: []string{fmt.Sprint(n)},
		text: scene.Text{SizePt: scene.LeastTextPt, Bold: true, Ink: scene.Black(), Halo: true}}
	in := s.within([]taper.Board{b})
	ring := func(q scene.Quad) scene.Quad { return boxAt(q[0].Lerp(q[2], 0.5), r) }
	c := s.loc(middle(b.Poly))
	spots := s.circleSpots(b, r)
	draw := func(at scene.Pt) {
		s.top = append(s.top, scene.Shape{Name: l.name, Rings: [][]scene.Pt{scene.Circle(at, r, 20)}, Pen: scene.Pen{WidthPt: 0.9, Ink: scene.Black()}})
		s.room.Take(boxAt(at, r))
	}
	l.ok = func(q scene.Quad) bool { return in(ring(q)) && s.room.Free(ring(q)) }
	if at, ok := s.place(l, spots); ok {
		draw(at)
		return
	}
	var far []spot
	for _, sp := range rings(c, 0.25, 1) {
		far = append(far, spot{sp.at, 0.5, 0.5, 0})
	}
	for _, free := range []func(scene.Quad) bool{off, s.room.Free} {
		l.ok = func(q scene.Quad) bool { return free(ring(q)) && s.room.Free(ring(q)) }
		if at, ok := s.place(l, far); ok {
			draw(at)
			s.line("leader "+l.name, []scene.Pt{c, at.Add(c.Sub(at).Mul(r / c.Sub(at).Norm()))}, scene.Pen{WidthPt: 0.5, Ink: scene.Black()})
			return
		}
	}
}

// circleSpots are places for a circle of radius r in b, the best toward its thin edge
// where its row starts.
func (s *sheet) circleSpots(b taper.Board, r float64) []spot {
	lo, hi := geom.Pt{X: math.Inf(1), Y: math.Inf(1)}, geom.Pt{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range b.Poly.Outer {
		u, v := p.Dot(b.Right()), p.Dot(b.Uphill)
		lo, hi = geom.Pt{X: math.Min(lo.X, u), Y: math.Min(lo.Y, v)}, geom.Pt{X: math.Max(hi.X, u), Y: math.Max(hi.Y, v)}
	}
	rim := (r + 0.03) / s.perFt
	var out []spot
	add := func(u, v float64) {
		out = append(out, spot{s.loc(b.Right().Mul(u).Add(b.Uphill.Mul(v))), 0.5, 0.5, 0})
	}
	add(lo.X+rim, lo.Y+rim)
	add((lo.X+hi.X)/2, lo.Y+rim)
	for _, v := range []float64{0.5, 0.3, 0.7} {
		for _, u := range []float64{0.5, 0.3, 0.7} {
			add(lo.X+u*(hi.X-lo.X), lo.Y+v*(hi.Y-lo.Y))
		}
	}
	return append(out, spot{s.loc(middle(b.Poly)), 0.5, 0.5, 0})
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

// firstTapes draws the tapes from the edges to the start corner of the first plane,
// where they have room for their words.
func (s *sheet) firstTapes(rows []boardRow) {
	pen := scene.Pen{WidthPt: 0.7, Ink: scene.Grey(0.15), DashPt: []float64{4, 2}}
	for _, r := range rows {
		if r.start != 1 || !s.inPlan(boxAt(s.loc(r.corner), 0.02)) {
			continue
		}
		some := false
		for _, t := range taper.TapeFrom(s.site, r.corner) {
			e := s.site.Edges[t.Edge]
			way := e.B.Sub(e.A)
			foot := e.A.Add(way.Mul(r.corner.Sub(e.A).Dot(way) / way.Dot(way)))
			a, b := s.loc(r.corner), s.loc(foot)
			var spots []spot
			for _, share := range []float64{0.5, 0.6, 0.7, 0.4, 0.8, 0.3, 0.9} {
				spots = append(spots, spot{a.Lerp(b, share), 0.5, 0.5, readable(b.Sub(a))})
			}
			l := lines{name: fmt.Sprintf("tape from edge %d", t.Edge), words: []string{s.say.run(t.Ft)},
				text: scene.Text{SizePt: 7.5, Bold: true, Ink: scene.Black(), Halo: true}}
			if b.Sub(a).Norm() < 0.6 || !s.inPlan(boxAt(b, 0)) {
				continue
			}
			if _, ok := s.place(l, spots); ok {
				some = true
				s.line(l.name, []scene.Pt{a, b}, pen)
			}
		}
		if some {
			s.lineSwatch("tape from an edge to START 1", pen)
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

// listedRows is the table of rows whose words have no room on the plan, by what lies
// in them.
func (s *sheet) listedRows() []item {
	if len(s.bare) == 0 {
		return nil
	}
	out := heading("Rows with their number alone")
	var kinds []string
	rows := map[string][]string{}
	for _, r := range s.bare {
		kind, name := fmt.Sprintf("%d of %s", r.pieces, r.mark), fmt.Sprintf("R%d", r.row)
		if r.facet > 0 {
			name = facetName(r.facet) + " " + name
		}
		if rows[kind] == nil {
			kinds = append(kinds, kind)
		}
		rows[kind] = append(rows[kind], name)
	}
	for _, kind := range kinds {
		out = append(out, words("rows", kind+": "+strings.Join(rows[kind], ", "), bodyPt, false, longNote)...)
	}
	return out
}
