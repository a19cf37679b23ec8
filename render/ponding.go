package render

import (
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey/geom"
)

// PondingSheet draws what the water does on area i as it is: ponds in bands of
// depth, where they run over, flow paths by verdict, drainage areas, and ponds
// that people saw. An area without a report gets its plan alone.
func PondingSheet(r *Result, i int) scene.Scene {
	s := newSheet(r, i)
	rep := s.a.Existing
	if rep == nil {
		rep = &drainage.Report{}
	}
	if rep.Surface != nil {
		s.unknownCells(rep.Surface)
	}
	step := s.ponds(rep)
	s.mask()
	s.pondLegend(rep, step)
	s.drainageAreas(rep)
	drawn := s.paths(rep)
	s.seen()
	s.sectionLines()
	s.furniture()
	s.suggestions()
	s.spills(rep)
	s.names()
	s.sectionEnds()
	s.suggestionWords()
	s.pondWords(rep)
	s.seenWords()
	s.areaWords(rep)
	on := "the existing surface"
	if onDeck(s.res) {
		on = "the bare deck as it is (shots stand on the deck)"
	}
	s.title("Ponds and flow paths on "+on, s.verdictFacts(rep)...)
	return s.finish(append(s.pathCounts(rep, drawn), s.pondTable(rep)...)...)
}

// verdictFacts are the two findings, shown apart, and what they hang on.
func (s *sheet) verdictFacts(rep *drainage.Report) []string {
	if s.a.Existing == nil {
		return []string{"The existing surface was not checked."}
	}
	out := []string{
		"Holds water: " + s.say.holds(rep.PondsFree),
		"Meets the design slope: " + s.say.verdict(rep.MeetsDesign),
		fmt.Sprintf("%.1f%% of the area is under the least field slope, %s",
			rep.BelowMinimumPct, s.say.slope(s.res.Rules.Field.Min)),
	}
	if rep.UnknownPct >= 0.05 {
		out = append(out, fmt.Sprintf("%.1f%% of the area is too far from a shot to tell", rep.UnknownPct))
	}
	return append(out, conditions(s.site.Outlets, rep.Conditional)...)
}

// holds says in a word or two what a verdict on ponds means.
func (s say) holds(v drainage.Verdict) string {
	switch v {
	case drainage.Meets:
		return "no pond found"
	case drainage.FallsShort:
		return "yes"
	case drainage.TooClose, drainage.Unknown:
		return s.verdict(v)
	}
	panic("render: unknown Verdict")
}

func pondLook(share float64) scene.Shape {
	return scene.Shape{Fill: waterRamp().at(share)}
}

// ponds fills the ponds in bands of depth and gives the band's step in inches.
func (s *sheet) ponds(rep *drainage.Report) (stepIn float64) {
	if len(rep.Ponds) == 0 {
		return 0
	}
	deepest := 0.0
	for _, p := range rep.Ponds {
		deepest = math.Max(deepest, p.DepthIn)
		m := pondLook(0)
		m.Name, m.Rings = "pond "+p.ID, s.polys(p.Outline)
		s.shape(m)
	}
	step := s.say.contourStep(deepest, 4)
	s.depthBands(rep, step, deepest)
	for _, p := range rep.Ponds {
		m := scene.Shape{Name: "pond " + p.ID, Rings: s.polys(p.Outline),
			Hatch: scene.Hatch{GapPt: 4, Pen: scene.Pen{WidthPt: 0.35, Ink: waterInk()}},
			Pen:   scene.Pen{WidthPt: 0.8, Ink: waterInk()}}
		s.shape(m)
	}
	return step
}

// bandShare is how dark the band above a depth is painted.
func bandShare(depth, deepest float64) float64 { return depth / math.Max(deepest, 1e-9) }

// depthBands paints the region deeper than each step, cells of small ponds
// that are not reported left out.
func (s *sheet) depthBands(rep *drainage.Report, step, deepest float64) {
	surf := rep.Surface
	if surf == nil || len(rep.FilledIn) != surf.Len() || len(surf.ElevIn) != surf.Len() {
		return
	}
	wet := make([]bool, surf.Len())
	for _, p := range rep.Ponds {
		var rings []geom.Ring
		for _, poly := range p.Outline {
			rings = append(rings, poly.Rings()...)
		}
		insideCells(surf.Lattice, rings, func(k int) { wet[k] = true })
	}
	g := gridBy(surf.Lattice, s.stride(surf.Lattice), func(k int) (float64, bool) {
		if !wet[k] {
			return 0, true
		}
		return math.Max(0, rep.FilledIn[k]-surf.ElevIn[k]), true
	})
	for _, depth := range levelsBetween(step, deepest, 0, step) {
		m := pondLook(bandShare(depth, deepest))
		m.Name, m.Rings = "deeper than "+s.say.inches(depth), s.ringsOf(g.above(depth))
		s.shape(m)
	}
}

func (s *sheet) pondLegend(rep *drainage.Report, step float64) {
	if len(rep.Ponds) == 0 {
		return
	}
	deepest := rep.Ponds[0].DepthIn
	for _, p := range rep.Ponds {
		deepest = math.Max(deepest, p.DepthIn)
	}
	hatch := scene.Hatch{GapPt: 4, Pen: scene.Pen{WidthPt: 0.35, Ink: waterInk()}}
	m := pondLook(0)
	m.Hatch, m.Pen = hatch, scene.Pen{WidthPt: 0.8, Ink: waterInk()}
	s.fillSwatch("pond up to "+s.say.inches(math.Min(step, deepest))+" deep", m)
	for _, depth := range levelsBetween(step, deepest, 0, step) {
		if s.say.inches(depth) == s.say.inches(deepest) {
			break
		}
		m := pondLook(bandShare(depth, deepest))
		m.Hatch = hatch
		s.fillSwatch(s.say.inches(depth)+" to "+s.say.inches(math.Min(depth+step, deepest)), m)
	}
	if !slices.ContainsFunc(rep.Ponds, func(p drainage.Pond) bool { return p.SpillsTo != "" }) {
		return
	}
	s.swatch("where a pond runs over", func(lo, hi scene.Pt) []scene.Mark {
		return []scene.Mark{spillMark("legend", lo.Lerp(hi, 0.5))}
	})
}

// spills marks where each pond runs over.
func (s *sheet) spills(rep *drainage.Report) {
	for _, p := range rep.Ponds {
		if p.SpillsTo == "" {
			continue
		}
		c := s.loc(p.Spill)
		if s.atOutlet(c) {
			continue // it runs into the outlet that is drawn there
		}
		s.marks = append(s.marks, spillMark("spill "+p.ID, c))
		s.room.Take(scene.Rect(c.Sub(scene.Pt{X: 0.05, Y: 0.05}), c.Add(scene.Pt{X: 0.05, Y: 0.05})))
	}
}

// atOutlet says whether a place is under the symbol of an outlet.
func (s *sheet) atOutlet(c scene.Pt) bool {
	for _, o := range s.site.Outlets {
		if s.loc(o.P).Sub(c).Norm() < 0.1 {
			return true
		}
	}
	return false
}

// spillMark is a small open triangle.
func spillMark(name string, c scene.Pt) scene.Shape {
	const r = 0.055
	return scene.Shape{Name: name, Fill: scene.White(), Pen: scene.Pen{WidthPt: 1.1, Ink: waterInk()},
		Rings: [][]scene.Pt{{c.Add(scene.Pt{X: -r, Y: r * 0.7}), c.Add(scene.Pt{X: r, Y: r * 0.7}), c.Add(scene.Pt{Y: -r})}}}
}

// pondWords labels every pond with its name, area and depth, in it where it
// fits, else beside it with a leader.
func (s *sheet) pondWords(rep *drainage.Report) {
	style := scene.Text{SizePt: 8, Ink: scene.Black(), Halo: true, Bold: true}
	for _, p := range rep.Ponds {
		c := s.loc(p.Deepest)
		spots := []spot{{c, 0.5, 0.5, 0}}
		for _, poly := range p.Outline {
			spots = append(spots, spot{s.loc(middle(poly)), 0.5, 0.5, 0})
		}
		long := lines{name: "pond " + p.ID, words: []string{p.ID + ": " + s.say.depth(p) + " deep",
			s.say.area(p.SqFt), s.say.waterShort(p.CuFt)}, text: style, plate: true}
		if _, ok := s.place(long, spots); ok {
			continue
		}
		short := long
		short.words = []string{p.ID + ": " + s.say.depth(p)}
		if s.leader(long, c, 0.7) || s.named(short, c, spots) {
			continue
		}
		short.words = []string{p.ID}
		s.named(short, c, spots)
	}
}

// leader stands l within reach of c and draws a line between that runs through
// no words; false where there is no room. Words that come later keep off the
// line.
func (s *sheet) leader(l lines, c scene.Pt, reach float64) bool {
	const under = 0.12 // the name of an outlet may stand over the thing itself
	clear := slices.DeleteFunc(rings(c, 0.2, reach), func(sp spot) bool {
		way := sp.at.Sub(c)
		return s.words.Meets(scene.Strip(c.Add(way.Mul(under/way.Norm())), sp.at, 0.008)) >= 0
	})
	at, ok := s.place(l, clear)
	if ok {
		s.line("leader "+l.name, []scene.Pt{c, at}, scene.Pen{WidthPt: 0.5, Ink: scene.Black()})
		s.room.Take(scene.Strip(c, at, 0.004))
	}
	return ok
}

func seenPen() scene.Pen {
	return scene.Pen{WidthPt: 2.4, Ink: seenInk(), DashPt: []float64{1.6, 2}}
}

// seen outlines the ponds that people saw.
func (s *sheet) seen() {
	for n, f := range s.a.Seen {
		r := s.path(f.Outline, s.loc)
		if len(r) < 3 {
			continue
		}
		s.shape(scene.Shape{Name: fmt.Sprintf("seen pond %d", n+1), Rings: [][]scene.Pt{r}, Pen: seenPen()})
	}
	if len(s.a.Seen) > 0 {
		s.lineSwatch("pond that people saw", seenPen())
	}
}

func (s *sheet) seenWords() {
	for n, f := range s.a.Seen {
		if len(f.Outline) < 3 {
			continue
		}
		w := fmt.Sprintf("seen %s, %s h", s.say.inches(f.Seen.Depth.Inches()), figure2(f.Seen.Hours))
		if f.Seen.Hours == 0 {
			w = "seen " + s.say.inches(f.Seen.Depth.Inches())
		}
		c := s.loc(middle(geom.Poly{Outer: f.Outline}))
		lo, hi := scene.Quad(boxOf(s.path(f.Outline, s.loc), c)).Bounds()
		s.named(lines{name: fmt.Sprintf("seen pond %d", n+1), words: []string{w},
			text: scene.Text{SizePt: 7.5, Ink: seenInk(), Halo: true}}, c, []spot{
			{scene.Pt{X: c.X, Y: lo.Y - 0.03}, 0.5, 1, 0}, {scene.Pt{X: c.X, Y: hi.Y + 0.05}, 0.5, 0, 0},
			{scene.Pt{X: hi.X + 0.03, Y: c.Y}, 0, 0.5, 0}, {c, 0.5, 0.5, 0}})
	}
}

// boxOf is the upright box round places, c alone where there are none.
func boxOf(pts []scene.Pt, c scene.Pt) scene.Quad {
	lo, hi := c, c
	for _, p := range pts {
		lo = scene.Pt{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y)}
		hi = scene.Pt{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y)}
	}
	return scene.Rect(lo, hi)
}

// pondTable lists the ponds with their figures.
func (s *sheet) pondTable(rep *drainage.Report) []item {
	if s.a.Existing == nil {
		return nil
	}
	if len(rep.Ponds) == 0 {
		return append(heading("Ponds"), words("ponds", "none worth reporting", bodyPt, false, 1)...)
	}
	out := heading(count(len(rep.Ponds), "pond"))
	out = append(out, row("ponds", true, cell{words: "name"}, cell{right: 0.95, words: "area"},
		cell{right: 1.5, words: "depth"}, cell{right: 2.35, words: "water"}))
	out[len(out)-1].with = true
	for _, p := range rep.Ponds {
		out = append(out, row("ponds", false, cell{words: p.ID}, cell{right: 0.95, words: s.say.area(p.SqFt)},
			cell{right: 1.5, words: s.say.inches(p.DepthIn)}, cell{right: 2.35, words: s.say.waterShort(p.CuFt)}))
	}
	for _, p := range rep.Ponds {
		w := p.ID + " runs over to " + runsOverTo(p)
		if p.ClosedIn {
			w = p.ID + " is at least so deep: nothing lets it go"
		}
		if why := p.Why(s.say.sys); why != "" {
			w += "; " + why
		}
		out = append(out, words("ponds", s.say.told(w), bodyPt, false, 5)...)
	}
	return out
}

// first is text cut to a width in inches.
func first(text string, wIn float64) string { return append(wrap(text, wIn, bodyPt, false, 1), "")[0] }
