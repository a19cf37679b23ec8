package render

import (
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// TaperSheet draws the design of area i: facets and crickets tinted by thickness,
// each with its slope and the way the water runs, valleys, ridges and hips, sumps,
// the designer's lines and those of the deck, thicknesses at the corners, and a
// table of the crickets. An area without a design gets its plan alone.
func TaperSheet(r *Result, i int) scene.Scene {
	s := newSheet(r, i)
	d := s.a.Design
	if d == nil {
		s.furniture()
		s.names()
		s.title("Taper plan", "No design was asked for.")
		return s.finish()
	}
	s.thickness(d)
	s.drawnLines(d)
	s.creases(d)
	s.sumps(d)
	s.furniture()
	s.names()
	s.outletSpots(d)
	s.cricketSizes(d)
	s.sumpWords(d)
	s.facetArrows(d)
	s.creaseWords(d)
	left := s.spots(d)
	s.title("Taper plan: thickness from the deck up, without cover", s.proofFacts()...)
	tables := append(s.cricketTable(d), s.totals(d, left)...)
	return s.finish(append(tables, s.designNotes(d)...)...)
}

// thickness tints each facet in bands of the insulation there; crickets are hatched
// as well.
func (s *sheet) thickness(d *taper.Design) {
	planes := insulationOn(d)
	lo, hi := thicknessSpan(d, planes)
	step := s.say.contourStep(hi-lo, 9)
	levels := levelsBetween(lo, hi, 0, step)
	share := func(level float64) float64 { return (level - lo) / math.Max(hi-lo, 1e-9) }
	for n, f := range d.Facets {
		name := fmt.Sprintf("facet %d", f.ID)
		s.shape(scene.Shape{Name: name, Rings: s.poly(f.Poly), Fill: thicknessRamp().at(0)})
		for _, level := range levels {
			var rings []geom.Ring
			for _, r := range f.Poly.Rings() {
				rings = append(rings, thicker(r, planes[n], level))
			}
			s.shape(scene.Shape{Name: name + " over " + s.say.bare(level), Rings: s.ringsOf(rings),
				Fill: thicknessRamp().at(share(level))})
		}
	}
	for _, f := range d.Facets {
		m := scene.Shape{Name: fmt.Sprintf("facet %d", f.ID), Rings: s.poly(f.Poly), Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.35)}}
		if f.Role == taper.CricketRole {
			m.Hatch = overHatch(f)
		}
		s.shape(m)
	}
	s.thicknessLegend(d, lo, hi, step, levels)
}

// insulationOn is, beside the facets of d, the thickness of all insulation there: a
// cricket's with that of the field under it.
func insulationOn(d *taper.Design) []survey.Plane {
	field := map[int]survey.Plane{}
	out := make([]survey.Plane, len(d.Facets))
	for _, f := range d.Facets {
		if f.Role != taper.CricketRole {
			field[f.ID] = f.Plane
		}
	}
	for n, f := range d.Facets {
		out[n] = f.Plane
		if f.Role == taper.CricketRole {
			out[n] = f.Plane.Add(field[f.Under])
		}
	}
	return out
}

// overHatch is that of a cricket, or of a second tapered board on a field that is
// too steep for one.
func overHatch(f taper.Facet) scene.Hatch {
	out := scene.Hatch{GapPt: 4, TurnDeg: 60, Pen: scene.Pen{WidthPt: 0.35, Ink: scene.Grey(0.35)}}
	if f.Cricket == 0 {
		out.GapPt, out.TurnDeg = 9, 120
	}
	return out
}

func thicknessSpan(d *taper.Design, planes []survey.Plane) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for n, f := range d.Facets {
		for _, p := range f.Poly.Outer {
			t := planes[n].At(p)
			lo, hi = math.Min(lo, t), math.Max(hi, t)
		}
	}
	if !(lo <= hi) || math.IsInf(hi-lo, 0) {
		return 0, 0
	}
	return lo, hi
}

// thicker cuts r to where the plane is at least level.
//
// Source: Sutherland and Hodgman 1974, "Reentrant polygon clipping", one line.
func thicker(r geom.Ring, p survey.Plane, level float64) geom.Ring {
	var out geom.Ring
	for i, a := range r {
		b := r.At(i + 1)
		ta, tb := p.At(a)-level, p.At(b)-level
		if ta >= 0 {
			out = append(out, a)
		}
		if (ta >= 0) != (tb >= 0) {
			out = append(out, a.Lerp(b, ta/(ta-tb)))
		}
	}
	return out
}

// thicknessLegend is a strip of the bands with its ends named.
func (s *sheet) thicknessLegend(d *taper.Design, lo, hi, step float64, levels []float64) {
	if len(d.Facets) == 0 {
		return
	}
	n := len(levels) + 1
	s.legend = append(s.legend, item{high: 0.34, draw: func(x, top float64) []scene.Mark {
		const wide = 1.9
		var out []scene.Mark
		for k := range n {
			a := scene.Pt{X: x + 0.02 + wide*float64(k)/float64(n), Y: top - 0.14}
			q := scene.Rect(a, a.Add(scene.Pt{X: wide / float64(n), Y: 0.12}))
			share := 0.0
			if k > 0 {
				share = (levels[k-1] - lo) / math.Max(hi-lo, 1e-9)
			}
			out = append(out, scene.Shape{Name: "legend", Rings: [][]scene.Pt{q[:]}, Fill: thicknessRamp().at(share),
				Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.4)}})
		}
		w := fmt.Sprintf("%s to %s thick", s.say.inches(lo), s.say.inches(hi))
		if len(levels) > 0 {
			w += ", a band each " + s.say.inches(step)
		}
		return append(out, scene.Text{Name: "legend", Words: w, SizePt: bodyPt, Up: 1,
			At: scene.Pt{X: x, Y: top - 0.17}, Ink: scene.Black()})
	}})
	met := map[bool]bool{}
	for _, f := range d.Facets {
		if is := f.Cricket != 0; f.Role == taper.CricketRole && !met[is] {
			met[is] = true
			what := "cricket over the field"
			if !is {
				what = "two tapered boards, one on the other"
			}
			s.fillSwatch(what, scene.Shape{Fill: thicknessRamp().at(0.3), Hatch: overHatch(f), Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.35)}})
		}
	}
	s.swatch("the way water runs, with the finished slope", func(a, b scene.Pt) []scene.Mark {
		y := (a.Y + b.Y) / 2
		return []scene.Mark{arrowMark("legend", scene.Pt{X: a.X + 0.02, Y: y}, scene.Pt{X: b.X - 0.02, Y: y}, waterInk())}
	})
}

// facetArrows draws on each facet, and each part that crickets leave of it, the way
// the water runs and its slope.
func (s *sheet) facetArrows(d *taper.Design) {
	over := map[int][]geom.Poly{}
	for _, f := range d.Facets {
		if f.Role == taper.CricketRole {
			over[f.Under] = append(over[f.Under], f.Poly)
		}
	}
	for _, f := range d.Facets {
		for _, part := range without(f.Poly, over[f.ID]) {
			f.Poly = part
			s.facetSlope(f)
		}
	}
}

// without is what others leave of p; all of it where they cannot be taken off.
func without(p geom.Poly, others []geom.Poly) []geom.Poly {
	parts := []geom.Poly{p}
	for _, o := range others {
		var next []geom.Poly
		for _, q := range parts {
			got, err := geom.Subtract(q, o)
			if err != nil {
				return []geom.Poly{p}
			}
			next = append(next, got...)
		}
		parts = next
	}
	return parts
}

// facetSlope draws on f the way the water runs and its slope.
func (s *sheet) facetSlope(f taper.Facet) {
	top := f.Top()
	name := fmt.Sprintf("facet %d", f.ID)
	up, _ := top.Uphill()
	if top.Slope().InchesPerFoot() < 1e-6 {
		s.place(lines{name: name, words: []string{"level"}, text: slopeStyle(), ok: s.onRoof},
			[]spot{{s.loc(middle(f.Poly)), 0.5, 0.5, 0}})
		return
	}
	run := s.dir(up.Mul(-1))
	c, ok := s.facetArrow(f, run)
	if !ok {
		return
	}
	ws := []string{s.say.slope(top.Slope())}
	if b := f.Plane.Slope(); math.Abs(b.InchesPerFoot()-top.Slope().InchesPerFoot()) > 0.005 {
		ws = append(ws, "boards "+s.say.slope(b))
	}
	s.place(lines{name: name, words: ws, text: slopeStyle(), ok: s.onRoof}, beside(c, run))
}

func slopeStyle() scene.Text { return scene.Text{SizePt: 7.5, Ink: scene.Black(), Halo: true} }

// facetArrow stands the arrow of f where it has room, farthest from the
// borders first; false where the facet is too small on the sheet.
func (s *sheet) facetArrow(f taper.Facet, run scene.Pt) (at scene.Pt, ok bool) {
	for _, p := range middles(f.Poly) {
		c := s.loc(p)
		roomIn := f.Poly.Dist(p) * s.perFt
		half := run.Mul(math.Max(0.07, math.Min(0.26, 0.7*roomIn)))
		q := scene.Strip(c.Sub(half), c.Add(half), 0.025)
		if roomIn < 0.03 || !s.room.Free(q) {
			continue
		}
		s.shape(arrowMark(fmt.Sprintf("facet %d arrow", f.ID), c.Sub(half), c.Add(half), waterInk()))
		s.room.Take(q)
		return c, true
	}
	return scene.Pt{}, false
}

// beside gives places for words beside an arrow through c, along it, then
// round its middle.
func beside(c, run scene.Pt) []spot {
	side := run.Left().Mul(0.06)
	turn := readable(run)
	sin, cos := math.Sincos(turn * math.Pi / 180)
	var out []spot
	for _, k := range []float64{1, -1} {
		off := side.Mul(k)
		sp := spot{c.Add(off), 0.5, 1, turn}
		if cos*off.Y-sin*off.X > 0 { // above, as the words are read
			sp.up = 0
		}
		out = append(out, sp)
	}
	return append(out, around(c, 0.1)...)
}

// proofFacts say what the design is and what its proof found.
func (s *sheet) proofFacts() []string {
	d, p := s.a.Design, s.a.Proof
	out := []string{fmt.Sprintf("Scheme %s, %s asked for", d.Scheme, s.say.slope(d.Slope))}
	if g := d.Deck.Slope(); g.InchesPerFoot() > 0 {
		out = append(out, "The deck slopes at "+s.say.slope(g)+"; slopes on this sheet are finished ones")
	}
	if s.a.Deck.Why != "" {
		out = append(out, "The slope of the old roof: "+s.a.Deck.Why)
	}
	if p == nil {
		return append(out, "No proof was made.")
	}
	out = append(out, fmt.Sprintf("Facets on the fitted plane: field %s, valleys %s", s.say.verdict(p.Field), s.say.verdict(p.Valley)))
	switch {
	case s.a.Fit == nil:
	case p.Passes && (len(p.Findings) > 0 || d.OverThickest > 0):
		out = append(out, "Laid on the base as surveyed: passes, with findings:")
	case p.Passes:
		out = append(out, "Laid on the base as surveyed: passes")
	default:
		out = append(out, "Laid on the base as surveyed: does not pass, "+p.Why)
	}
	if over := s.say.overThickest(d); over != "" {
		out = append(out, "- "+over)
	}
	for _, f := range p.Findings {
		out = append(out, "- "+f)
	}
	if rep := p.Report; rep != nil && s.a.Fit != nil && rep.MeetsDesign != drainage.Unknown {
		out = append(out, fmt.Sprintf("Finished surface: %s, %.1f%% of the area under the least slope",
			count(len(rep.Ponds), "pond"), rep.BelowMinimumPct))
	}
	return out
}

// totals sums the boards and the insulation.
func (s *sheet) totals(d *taper.Design, left int) []item {
	out := heading("Totals")
	line := func(what, figure string) {
		out = append(out, row("totals", false, cell{words: what}, cell{right: columnIn - 0.05, words: figure}))
	}
	line("pieces", thousands(d.Totals.Pieces))
	line("boards to order", thousands(d.Totals.ToOrder))
	line("spares", thousands(d.Totals.Spares))
	line("insulation", s.say.volume(d.Insulation.CuFt))
	line("average thickness", s.say.inches(d.Insulation.AverageIn))
	line("thinnest", s.say.inches(d.Insulation.ThinnestIn))
	line("thickest", s.say.inches(d.Insulation.ThickestIn))
	if left > 0 {
		out = append(out, words("totals", "no room for the thickness at "+count(left, "corner"), bodyPt, false, 2)...)
	}
	return out
}

func (s *sheet) designNotes(d *taper.Design) []item {
	if len(d.Notes) == 0 {
		return nil
	}
	out := heading("Notes")
	for _, n := range d.Notes {
		out = append(out, words("note", s.say.told(n), bodyPt, false, longNote)...)
		out = append(out, gap(0.03))
	}
	return out
}
