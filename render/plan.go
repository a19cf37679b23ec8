package render

import (
	"math"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
)

// mask covers what fills and contours put off the roof, court holes included, all
// over the sheet but for another plan drawn on it before.
func (s *sheet) mask() {
	lo, hi := scene.Pt{}, scene.Pt{X: s.paper.w.Inches(), Y: s.paper.h.Inches()}
	if s.second {
		lo, hi = s.awayFromFirst(lo, hi)
	}
	q := scene.Rect(lo, hi)
	rings := [][]scene.Pt{q[:]}
	if r := s.path(s.a.Area.Outline, s.at); len(r) > 2 {
		rings = append(rings, r)
	}
	s.shape(scene.Shape{Name: "off the roof", Rings: rings, Fill: scene.White()})
}

// awayFromFirst cuts the half of the sheet off that holds the first plan.
func (s *sheet) awayFromFirst(lo, hi scene.Pt) (scene.Pt, scene.Pt) {
	switch d := s.paper.next; {
	case d.X < 0:
		lo.X = s.paper.lo.X
	case d.X > 0:
		hi.X = s.paper.hi.X
	case d.Y < 0:
		lo.Y = s.paper.lo.Y
	case d.Y > 0:
		hi.Y = s.paper.hi.Y
	}
	return lo, hi
}

// furniture draws what every plan shows: courts, curbs, edges, outlets.
func (s *sheet) furniture() {
	s.courts()
	s.curbs()
	s.edges()
	s.outlets()
}

func courtLook() scene.Shape {
	return scene.Shape{Fill: scene.White(), Pen: scene.Pen{WidthPt: 1.2, Ink: scene.Black()},
		Hatch: scene.Hatch{GapPt: 5, TurnDeg: 0, Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.55)}}}
}

func (s *sheet) courts() {
	for _, c := range s.a.Area.Courts {
		m := courtLook()
		m.Name = "court"
		if r := s.path(c, s.at); len(r) > 2 {
			m.Rings = [][]scene.Pt{r}
			s.shape(m)
			for i := range r {
				s.room.Take(scene.Strip(r[i], r[(i+1)%len(r)], 0.01))
			}
		}
	}
	if len(s.a.Area.Courts) > 0 {
		s.fillSwatch("court: no roof", courtLook())
	}
}

func curbLook() scene.Shape {
	return scene.Shape{Fill: scene.Grey(0.85), Pen: scene.Pen{WidthPt: 1, Ink: scene.Black()}}
}

// curbs draws the curbs and blocks their places; their names come with names.
func (s *sheet) curbs() {
	for k, ring := range s.site.Curbs {
		m := curbLook()
		m.Name = "curb " + s.curbID(k)
		r := s.path(ring, s.loc)
		if len(r) < 3 {
			continue
		}
		m.Rings = [][]scene.Pt{r}
		s.shape(m)
	}
	if len(s.site.Curbs) > 0 {
		s.fillSwatch("curb with its name", curbLook())
	}
}

func (s *sheet) curbID(k int) string {
	if k < len(s.a.Area.Curbs) {
		return s.a.Area.Curbs[k].ID
	}
	return ""
}

// edgeLook gives the pens of an edge kind, painted in order.
func edgeLook(k survey.EdgeKind) []scene.Pen {
	black := scene.Black()
	switch k {
	case survey.Parapet:
		return []scene.Pen{{WidthPt: 3, Ink: black}, {WidthPt: 1.3, Ink: scene.White()}}
	case survey.Wall:
		return []scene.Pen{{WidthPt: 3, Ink: black}}
	case survey.GutterEdge:
		return []scene.Pen{{WidthPt: 5.5, Ink: scene.Grey(0.75)}, {WidthPt: 1, Ink: black}}
	case survey.OpenEdge:
		return []scene.Pen{{WidthPt: 1.3, Ink: black, DashPt: []float64{6, 3}}}
	case survey.Joint:
		return []scene.Pen{{WidthPt: 1.3, Ink: black, DashPt: []float64{8, 2, 1.5, 2, 1.5, 2}}}
	case survey.LimitEdge:
		return []scene.Pen{{WidthPt: 1.1, Ink: scene.Grey(0.4), DashPt: []float64{1.5, 2.5}}}
	}
	panic("render: unknown EdgeKind")
}

func edgeWords(k survey.EdgeKind) string {
	switch k {
	case survey.Parapet:
		return "parapet"
	case survey.Wall:
		return "wall"
	case survey.GutterEdge:
		return "gutter edge"
	case survey.OpenEdge:
		return "open edge"
	case survey.Joint:
		return "expansion joint"
	case survey.LimitEdge:
		return "limit of the data or the work"
	}
	panic("render: unknown EdgeKind")
}

// edges draws the outline, one line for each stretch of one kind.
func (s *sheet) edges() {
	o := s.a.Area.Outline
	kind := func(n int) survey.EdgeKind {
		if n < len(s.a.Area.Edges) {
			return s.a.Area.Edges[n].Kind
		}
		return survey.Parapet
	}
	met := map[survey.EdgeKind]bool{}
	for first := 0; first < len(o); {
		end := first + 1
		for end < len(o) && kind(end) == kind(first) {
			end++
		}
		var pts []geom.Pt
		for n := first; n <= end; n++ {
			pts = append(pts, o.At(n))
		}
		line := s.path(pts, s.at)
		for i := 0; i+1 < len(line); i++ {
			s.room.Take(scene.Strip(line[i], line[i+1], 0.022))
		}
		for _, pen := range edgeLook(kind(first)) {
			s.line("edge "+kind(first).String(), line, pen)
		}
		met[kind(first)] = true
		first = end
	}
	for k := survey.Parapet; k <= survey.LimitEdge; k++ {
		if met[k] {
			s.lineSwatch(edgeWords(k), edgeLook(k)...)
		}
	}
}

// outlets draws each outlet's symbol and takes its room.
func (s *sheet) outlets() {
	edges := false
	met := map[survey.OutletState]bool{}
	for _, o := range s.site.Outlets {
		switch o.Kind {
		case survey.Drain:
			met[o.State] = true
			s.marks = append(s.marks, s.drain(o)...)
		case survey.Scupper:
			edges = true
			s.marks = append(s.marks, s.scupper(o)...)
		case survey.GutterOutlet, survey.OpenOutlet:
			edges = true
			s.marks = append(s.marks, s.off(o, "outlet "+o.ID, waterInk())...)
		case survey.UnsetOutlet:
		}
	}
	for _, state := range []survey.OutletState{survey.Works, survey.Blocked, survey.Untested} {
		if met[state] {
			s.swatch(drainWords(state), func(lo, hi scene.Pt) []scene.Mark {
				return drainMarks("legend", lo.Lerp(hi, 0.5), 0.05, drainLook{state: state})
			})
		}
	}
	if edges {
		s.swatch("water leaves: scupper, gutter or open edge; open arrow: overflow", func(lo, hi scene.Pt) []scene.Mark {
			y := (lo.Y + hi.Y) / 2
			return []scene.Mark{arrowMark("legend", scene.Pt{X: lo.X + 0.05, Y: y}, scene.Pt{X: hi.X - 0.03, Y: y}, waterInk())}
		})
	}
}

func drainWords(state survey.OutletState) string {
	switch state {
	case survey.Works:
		return "drain; a second ring: overflow"
	case survey.Blocked:
		return "blocked drain"
	case survey.Untested:
		return "untested drain"
	}
	panic("render: unknown OutletState")
}

const drainIn = 0.06 // least radius of a drain's circle on the sheet

func (s *sheet) drain(o survey.SiteOutlet) []scene.Mark {
	c := s.loc(o.P)
	r := math.Max(drainIn, o.Size.Feet()/2*s.perFt)
	s.room.Take(scene.Rect(c.Sub(scene.Pt{X: r, Y: r}), c.Add(scene.Pt{X: r, Y: r})))
	return drainMarks("outlet "+o.ID, c, r, drainLook{o.Overflow, o.State})
}

// drainLook is what a drain's symbol tells.
type drainLook struct {
	overflow bool
	state    survey.OutletState
}

// drainMarks is a circle with a cross: white on black where the drain is
// blocked, dotted where it is untested.
func drainMarks(name string, c scene.Pt, r float64, look drainLook) []scene.Mark {
	pen := scene.Pen{WidthPt: 1.1, Ink: scene.Black()}
	ring, fill, cross := pen, scene.White(), pen
	switch look.state {
	case survey.Works:
	case survey.Blocked:
		fill, cross.Ink = scene.Black(), scene.White()
	case survey.Untested:
		ring.DashPt = []float64{1.6, 1.6}
	}
	out := []scene.Mark{scene.Shape{Name: name, Rings: [][]scene.Pt{scene.Circle(c, r, 24)}, Fill: fill, Pen: ring}}
	if look.overflow {
		out = append(out, scene.Shape{Name: name, Rings: [][]scene.Pt{scene.Circle(c, r*1.5, 24)}, Pen: pen})
	}
	for _, d := range []scene.Pt{{X: r, Y: 0}, {X: 0, Y: r}} {
		out = append(out, scene.Line{Name: name, Pts: []scene.Pt{c.Sub(d), c.Add(d)}, Pen: cross})
	}
	return out
}

// arrowMark is the one arrow there is: the way water runs.
func arrowMark(name string, from, to scene.Pt, ink colour) scene.Shape {
	return scene.Shape{Name: name, Rings: [][]scene.Pt{scene.Arrow(from, to, 0.016, math.Min(0.09, 0.55*to.Sub(from).Norm()))}, Fill: ink}
}

// scupper is a gap in the edge and an arrow out of it.
func (s *sheet) scupper(o survey.SiteOutlet) []scene.Mark {
	c := s.loc(o.P)
	a, b := s.loc(o.A), s.loc(o.B)
	if l := b.Sub(a); l.Norm() < 0.1 && l.Norm() > 0 {
		u := l.Mul(0.05 / l.Norm())
		a, b = c.Sub(u), c.Add(u)
	}
	out := []scene.Mark{scene.Line{Name: "outlet " + o.ID, Pts: []scene.Pt{a, b},
		Pen: scene.Pen{WidthPt: 4, Ink: scene.White()}}}
	return append(out, s.off(o, "outlet "+o.ID, waterInk())...)
}

// off is an arrow from the roof over the edge of o; an overflow's is open.
func (s *sheet) off(o survey.SiteOutlet, name string, ink colour) []scene.Mark {
	if o.Edge < 0 || o.Edge >= len(s.site.Edges) {
		return nil
	}
	e := s.site.Edges[o.Edge]
	along := e.B.Sub(e.A) // the area lies to the left
	out := s.dir(geom.Pt{X: along.Y, Y: -along.X})
	if out == (scene.Pt{}) {
		return nil
	}
	c := s.loc(o.P)
	from, to := c.Sub(out.Mul(0.1)), c.Add(out.Mul(0.17))
	s.room.Take(scene.Strip(from, to, 0.04))
	m := arrowMark(name, from, to, ink)
	if o.Overflow {
		m.Fill, m.Pen = scene.White(), scene.Pen{WidthPt: 0.8, Ink: ink}
	}
	return []scene.Mark{m}
}

// names stands the names of outlets and curbs beside them.
func (s *sheet) names() {
	style := scene.Text{SizePt: 8, Bold: true, Ink: scene.Black(), Halo: true}
	for _, o := range s.site.Outlets {
		w := short(o.ID)
		if o.State != survey.Works || s.states {
			w += " (" + o.StateWords() + ")"
		}
		c := s.loc(o.P)
		r := 0.08
		if o.Kind == survey.Drain {
			r = math.Max(drainIn, o.Size.Feet()/2*s.perFt)
		}
		s.named(lines{name: "outlet " + o.ID, words: []string{w}, text: style}, c, around(c, r))
	}
	for k, ring := range s.site.Curbs {
		c := s.loc(ring.Box().Centre())
		lo, hi := scene.Quad(four(s.path(ring, s.loc), c)).Bounds()
		style.Bold = false
		s.curbName(lines{name: "curb " + s.curbID(k), words: []string{short(s.curbID(k))}, text: style}, c, lo, hi)
	}
}

// four is the corners of a curb on the sheet, or its middle where it vanishes.
func four(pts []scene.Pt, c scene.Pt) [4]scene.Pt {
	if len(pts) != 4 {
		return [4]scene.Pt{c, c, c, c}
	}
	return [4]scene.Pt(pts)
}

// curbName stands a curb's name in its middle where it fits, else beside it,
// and keeps other labels off the curb.
func (s *sheet) curbName(l lines, c, lo, hi scene.Pt) {
	inside := spot{c, 0.5, 0.5, 0}
	_, block := l.stand(inside)
	bl, bh := block.Bounds()
	fits := bl.X > lo.X && bl.Y > lo.Y && bh.X < hi.X && bh.Y < hi.Y
	if fits {
		_, fits = s.place(l, []spot{inside})
	}
	s.room.Take(scene.Rect(lo, hi))
	if !fits {
		half := hi.Sub(lo).Mul(0.5)
		s.named(l, c, []spot{
			{c.Add(scene.Pt{X: half.X + 0.04}), 0, 0.5, 0}, {c.Sub(scene.Pt{X: half.X + 0.04}), 1, 0.5, 0},
			{c.Add(scene.Pt{Y: half.Y + 0.06}), 0.5, 0, 0}, {c.Sub(scene.Pt{Y: half.Y + 0.04}), 0.5, 1, 0}})
	}
}

// named stands l at one of the spots, else farther off with a leader to c.
func (s *sheet) named(l lines, c scene.Pt, spots []spot) bool {
	if len(l.words) == 0 || l.words[0] == "" {
		return false
	}
	if _, ok := s.place(l, spots); ok {
		return true
	}
	return s.leader(l, c, 1.2)
}
