package render

import (
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// slopePlan is one surface whose slopes are drawn.
type slopePlan struct {
	name string
	rep  *drainage.Report
}

// SlopesSheet draws how area i slopes: the existing surface, and where there is
// a design the finished one beside it, by classes of slope against the rule's
// limits, with arrows the way water runs and their slopes. A level deck that is
// only assumed is not drawn. An area without a report gets its plan alone.
// Cost: the cells of five windows for each place of the map.
func SlopesSheet(r *Result, i int) scene.Scene {
	plans := slopePlans(r, &r.Areas[i])
	papers := letters()
	if len(plans) > 1 {
		papers = pairs()
	}
	s := newSheetOn(r, i, papers)
	for n, p := range plans {
		if n > 0 {
			s.toNext()
		}
		s.slopePlan(p, n == 0)
	}
	facts := []string{"The existing surface was not checked."}
	if len(plans) == 0 {
		s.furniture()
		s.names()
	} else {
		facts = s.slopeFacts(plans)
	}
	s.title("Slopes: which way the roof runs off, and how steep", facts...)
	return s.finish(s.classTable(plans)...)
}

func slopePlans(r *Result, a *AreaResult) []slopePlan {
	var out []slopePlan
	sound := func(rep *drainage.Report) bool {
		return rep != nil && rep.Surface != nil && len(rep.Surface.ElevIn) == rep.Surface.Len()
	}
	if a.Fit != nil && sound(a.Existing) {
		name := "EXISTING SURFACE"
		if onDeck(r) {
			name = "BARE DECK AS IT IS"
		}
		out = append(out, slopePlan{name, a.Existing})
	}
	if a.Proof != nil && sound(a.Proof.Report) {
		out = append(out, slopePlan{"FINISHED SURFACE", a.Proof.Report})
	}
	return out
}

// slopePlan draws one surface; the first one fills the legend.
func (s *sheet) slopePlan(p slopePlan, first bool) {
	kept := s.legend
	m := s.slopeMap(p.rep)
	s.classes(m)
	s.unknownCells(p.rep.Surface)
	s.mask()
	s.pondLines(p.rep)
	s.furniture()
	s.names()
	s.slopeArrows(m)
	c := scene.Pt{X: (s.paper.lo.X + s.paper.hi.X) / 2, Y: s.paper.hi.Y - 0.12}
	s.place(lines{name: "plan", words: []string{p.name},
		text: scene.Text{SizePt: titlePt, Bold: true, Ink: scene.Black(), Halo: true}},
		[]spot{{c, 0.5, 0.5, 0}, {scene.Pt{X: c.X, Y: s.paper.lo.Y + 0.12}, 0.5, 0.5, 0},
			{scene.Pt{X: s.paper.lo.X + 0.1, Y: c.Y}, 0, 0.5, 0}, {scene.Pt{X: s.paper.hi.X - 0.1, Y: c.Y}, 1, 0.5, 0}})
	if !first {
		s.legend = kept
	}
}

// slopeMap is how a surface slopes at the nodes of a grid.
type slopeMap struct {
	*grid
	uphill []geom.Pt // inches per foot along the frame's axes
}

// slopeMap reads the slope every eighth of the window, or as densely as people
// can see.
func (s *sheet) slopeMap(rep *drainage.Report) slopeMap {
	surf := rep.Surface
	window := rep.Window
	if window <= 0 {
		window = 10 * unit.Foot
	}
	stride := max(s.stride(surf.Lattice), int(window.Feet()/surf.CellFt/8), 1)
	slopes := drainage.SlopesOf(surf, window)
	m := slopeMap{grid: newGrid(surf.Lattice, stride)}
	m.uphill = make([]geom.Pt, len(m.v))
	for k := range m.v {
		i, j := surf.CellOf(m.node(k%m.nx, k/m.nx))
		if !surf.Holds(i, j) || !surf.Roof[j*surf.NX+i] || !surf.IsKnown(j*surf.NX+i) {
			continue
		}
		m.uphill[k], m.ok[k] = slopes.At(j*surf.NX + i)
		m.v[k] = m.uphill[k].Norm()
	}
	return m
}

// classes tints the plan by class of slope, the flattest darkest and hatched
// most.
func (s *sheet) classes(m slopeMap) {
	looks := classLooks()
	low := looks[0]
	low.Name = "slope class 1"
	if r := s.path(s.a.Area.Outline, s.at); len(r) > 2 {
		low.Rings = [][]scene.Pt{r}
		s.shape(low)
	}
	g := m.padded(2).extended(2)
	const rounding = 1e-6 // inches per foot: what reaches its limit meets it
	for n, limit := range s.res.Rules.SlopeClasses() {
		look := looks[n+1]
		look.Name, look.Rings = fmt.Sprintf("slope class %d", n+2), s.ringsOf(g.above(limit.InchesPerFoot()-rounding))
		s.shape(look)
	}
	for n, w := range s.classWords() {
		s.fillSwatch(w, looks[n])
	}
}

// classLooks are how the classes are drawn, the flattest first.
func classLooks() [4]scene.Shape {
	hatch := func(gapPt, widthPt float64) scene.Hatch {
		return scene.Hatch{GapPt: gapPt, TurnDeg: 45, Pen: scene.Pen{WidthPt: widthPt, Ink: scene.Grey(0.3)}}
	}
	ink := slopeRamp()
	return [4]scene.Shape{
		{Fill: ink.at(0.68), Hatch: hatch(3.2, 0.5)},
		{Fill: ink.at(0.36), Hatch: hatch(7, 0.35)},
		{Fill: ink.at(0.12)},
		{Fill: scene.White(), Hatch: scene.Hatch{GapPt: 9, TurnDeg: 135, Pen: scene.Pen{WidthPt: 0.3, Ink: scene.Grey(0.6)}}},
	}
}

func (s *sheet) classWords() [4]string {
	c := s.res.Rules.SlopeClasses()
	rules := s.res.Rules
	first := "half the field's limit"
	if c[0] == rules.Valley.Min {
		first = "the valley limit"
	}
	return [4]string{
		fmt.Sprintf("under %s, %s", first, s.say.slope(c[0])),
		fmt.Sprintf("%s to %s: under the field limit", s.say.slope(c[0]), s.say.slope(c[1])),
		fmt.Sprintf("%s to %s: meets the field limit", s.say.slope(c[1]), s.say.slope(c[2])),
		"twice the field limit or more",
	}
}

// pondLines outlines the ponds of a surface.
func (s *sheet) pondLines(rep *drainage.Report) {
	pen := scene.Pen{WidthPt: 1, Ink: waterInk()}
	for _, p := range rep.Ponds {
		for _, ring := range s.polys(p.Outline) {
			s.shape(scene.Shape{Name: "pond " + p.ID, Rings: [][]scene.Pt{ring}, Pen: pen})
		}
	}
	if len(rep.Ponds) > 0 {
		s.lineSwatch("outline of a pond", pen)
	}
}

// slopeArrows stand on a lattice of the sheet, the way water runs, each with
// the slope there; where the roof is as good as level a ring stands instead.
func (s *sheet) slopeArrows(m slopeMap) {
	const stepIn, halfIn = 0.62, 0.11
	box := s.site.Outline.Box()
	w, h := box.Size()
	step := stepIn / s.perFt
	nx, ny := int(w/step)+1, int(h/step)+1
	style := scene.Text{SizePt: 7, Ink: scene.Black(), Halo: true}
	for j := range ny {
		for i := range nx {
			p := box.Centre().Add(geom.Pt{X: (float64(i) - float64(nx-1)/2) * step, Y: (float64(j) - float64(ny-1)/2) * step})
			up, ok := m.at(p)
			if !ok || !s.site.OnRoof(p) {
				continue
			}
			c, down := s.loc(p), s.dir(up.Mul(-1))
			name := fmt.Sprintf("slope %d %d", i, j)
			word, level := s.say.slopeShort(up.Norm())
			from, to := c.Sub(down.Mul(halfIn)), c.Add(down.Mul(halfIn))
			room := scene.Strip(from, to, 0.035)
			if level {
				room = scene.Rect(c.Sub(scene.Pt{X: 0.04, Y: 0.04}), c.Add(scene.Pt{X: 0.04, Y: 0.04}))
			}
			if !s.room.Free(room) || !s.inPlan(room) {
				continue
			}
			s.room.Take(room)
			if level {
				s.shape(scene.Shape{Name: name, Rings: [][]scene.Pt{scene.Circle(c, 0.03, 12)}, Fill: scene.White(),
					Pen: scene.Pen{WidthPt: 0.8, Ink: scene.Black()}})
			} else {
				s.shape(arrowMark(name, from, to, waterInk()))
			}
			s.place(lines{name: name, words: []string{word}, text: style}, besideArrow(c, down))
		}
	}
	s.swatch("the way water runs, and the slope there in "+s.say.slopeUnit(), func(lo, hi scene.Pt) []scene.Mark {
		y := (lo.Y + hi.Y) / 2
		return []scene.Mark{arrowMark("legend", scene.Pt{X: lo.X + 0.07, Y: y}, scene.Pt{X: hi.X - 0.07, Y: y}, waterInk())}
	})
}

// besideArrow gives the places for words beside an arrow through c.
func besideArrow(c, down scene.Pt) []spot {
	side := down.Left()
	if side.Y > 0 {
		side = side.Mul(-1)
	}
	var out []spot
	for _, d := range []float64{1, -1} {
		q := c.Add(side.Mul(0.055 * d))
		out = append(out, spot{q, 0.5 - 0.5*side.X*d, 0.5 - 0.5*side.Y*d, 0})
	}
	return append(out, around(c, 0.07)...)
}

// at is the slope at the node nearest to a place; false where it is not told.
func (m slopeMap) at(p geom.Pt) (geom.Pt, bool) {
	i := int(math.Round((p.X - m.x0) / m.stepFt))
	j := int(math.Round((p.Y - m.y0) / m.stepFt))
	if i < 0 || j < 0 || i >= m.nx || j >= m.ny || !m.ok[j*m.nx+i] {
		return geom.Pt{}, false
	}
	return m.uphill[j*m.nx+i], true
}

// slopeShort prints a slope without its unit: 0.07, or 1:170 in metric jobs.
// One that prints as nothing is level.
func (s say) slopeShort(inPerFt float64) (word string, level bool) {
	if inPerFt < 0.005 {
		return "level", true
	}
	if s.metric() {
		return "1:" + fmt.Sprintf("%.0f", 12/inPerFt), false
	}
	return fmt.Sprintf("%.2f", inPerFt), false
}

func (s say) slopeUnit() string {
	if s.metric() {
		return "1:n"
	}
	return "in/ft"
}

// slopeFacts say over what run slopes were read and how far they may be off.
func (s *sheet) slopeFacts(plans []slopePlan) []string {
	var out []string
	for _, p := range plans {
		if p.rep.Window <= 0 {
			continue
		}
		w := sentenceCase(p.name) + ": slopes over " + s.say.long(p.rep.Window.Feet())
		if p.rep == s.a.Existing && s.a.Fit != nil && s.a.Fit.SigmaIn > 0 {
			doubt := drainage.SlopeDoubt(s.a.Fit.SigmaIn, p.rep.Window)
			w += ", each within " + s.say.slopeFine(doubt) + " or so (two standard errors)"
		}
		out = append(out, w)
	}
	if s.a.Proof != nil && s.a.Fit != nil {
		out = append(out, "The finished surface is the design laid on the base as surveyed: facets slope as designed, "+
			"and what the base is uneven shows")
	}
	return out
}

func sentenceCase(name string) string {
	if name == "" {
		return ""
	}
	out := []rune(name)
	for k := 1; k < len(out); k++ {
		if 'A' <= out[k] && out[k] <= 'Z' {
			out[k] += 'a' - 'A'
		}
	}
	return string(out)
}

// classTable is the share of the area in each class, a column a surface.
func (s *sheet) classTable(plans []slopePlan) []item {
	if len(plans) == 0 {
		return nil
	}
	out := heading("Share of the area that can be told")
	head := []cell{{words: s.say.told("slope")}}
	cols := []float64{1.75, 2.35}
	for n, p := range plans {
		word := "existing"
		if p.rep != s.a.Existing {
			word = "finished"
		}
		head = append(head, cell{right: cols[n], words: word})
	}
	out = append(out, row("shares", true, head...))
	out[len(out)-1].with = true
	c := s.res.Rules.SlopeClasses()
	for n, w := range []string{"under " + s.say.slope(c[0]), s.say.slope(c[0]) + " to " + s.say.slope(c[1]),
		s.say.slope(c[1]) + " to " + s.say.slope(c[2]), s.say.slope(c[2]) + " or more"} {
		cells := []cell{{words: w}}
		for k, p := range plans {
			cells = append(cells, cell{right: cols[k], words: fmt.Sprintf("%.1f %%", p.rep.SlopePct[n])})
		}
		out = append(out, row("shares", false, cells...))
	}
	return out
}
