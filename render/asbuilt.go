package render

import (
	"fmt"
	"math"
	"strings"

	"runnel/render/scene"
	"runnel/taper"
)

// AsBuiltSheet draws how the surface as laid lies against the design of area i:
// low and high places by half and whole of the tolerance, shots with what they are
// off, those out of tolerance ringed, ponds that will stand, and what to mend by
// number. An area that was not shot as laid gets its plan alone.
func AsBuiltSheet(r *Result, i int) scene.Scene {
	s := newSheet(r, i)
	b := s.a.AsBuilt
	if b == nil {
		s.furniture()
		s.names()
		s.title("The surface as laid", "It was not shot.")
		return s.finish()
	}
	if b.OffIn != nil {
		s.offBands(b)
		s.unknownCells(b.OffIn)
	}
	s.mask()
	s.laidFacets()
	if b.Report != nil {
		s.laidPonds(b)
	}
	s.furniture()
	s.laidRings(b)
	s.names()
	left := s.laidWords(b)
	s.title("The surface as laid, against the design", s.laidFacts(b)...)
	return s.finish(s.laidTable(b, left)...)
}

// offBands tints the plan by how far the surface lies off the design: low ones
// hatched one way, high ones the other.
func (s *sheet) offBands(b *taper.AsBuilt) {
	tolIn := b.Place.Inches()
	looks := offLooks()
	low := looks[0]
	low.Name = "off band 1"
	if r := s.path(s.a.Area.Outline, s.at); len(r) > 2 {
		low.Rings = [][]scene.Pt{r}
		s.shape(low)
	}
	g := gridOf(b.OffIn, s.stride(b.OffIn.Lattice)).padded(2).extended(2)
	for n, level := range []float64{-tolIn, -tolIn / 2, tolIn / 2, tolIn} {
		look := looks[n+1]
		look.Name, look.Rings = fmt.Sprintf("off band %d", n+2), s.ringsOf(g.above(level))
		s.shape(look)
	}
	whole, half := s.say.inches(tolIn), s.say.inches(tolIn/2)
	for n, words := range []string{"low by more than " + whole, "low by " + half + " to " + whole, "within " + half,
		"high by " + half + " to " + whole, "high by more than " + whole} {
		looks[n].Pen = scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.45)}
		s.fillSwatch(words, looks[n])
	}
}

// offLooks are the looks of the bands, the lowest first. High ones are hatched
// upright, as nothing else is: what is unknown leans the other way.
func offLooks() [5]scene.Shape {
	hatch := func(gapPt, turnDeg float64) scene.Hatch {
		return scene.Hatch{GapPt: gapPt, TurnDeg: turnDeg, Pen: scene.Pen{WidthPt: 0.45, Ink: scene.Grey(0.25)}}
	}
	return [5]scene.Shape{
		{Fill: waterRamp().at(0.55), Hatch: hatch(3.5, 45)},
		{Fill: waterRamp().at(0.1), Hatch: hatch(8, 45)},
		{Fill: scene.White()},
		{Fill: thicknessRamp().at(0.2), Hatch: hatch(8, 90)},
		{Fill: thicknessRamp().at(0.8), Hatch: hatch(3.5, 90)},
	}
}

// laidFacets draws the borders of the facets, so that rows can be found.
func (s *sheet) laidFacets() {
	if s.a.Design == nil {
		return
	}
	pen := scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.45)}
	for _, f := range s.a.Design.Facets {
		s.shape(scene.Shape{Name: fmt.Sprintf("facet %d", f.ID), Rings: s.poly(f.Poly), Pen: pen})
	}
	s.lineSwatch("border of a facet of the design", pen)
}

// laidPonds outlines the ponds on a white line, since they lie in dark bands.
func (s *sheet) laidPonds(b *taper.AsBuilt) {
	under, over := scene.Pen{WidthPt: 4, Ink: scene.White()}, scene.Pen{WidthPt: 1.8, Ink: waterInk()}
	for _, p := range b.Ponds {
		for _, ring := range s.polys(p.Outline) {
			for _, pen := range []scene.Pen{under, over} {
				s.shape(scene.Shape{Name: "pond " + p.ID, Rings: [][]scene.Pt{ring}, Pen: pen})
			}
		}
	}
	if len(b.Ponds) > 0 {
		s.lineSwatch("pond that will stand", over)
	}
}

// laidRings draws the shots as dots, those out of tolerance ringed.
func (s *sheet) laidRings(b *taper.AsBuilt) {
	ringed := false
	for _, sh := range b.Shots {
		c := s.loc(sh.P)
		r := shotIn
		if sh.Out {
			r, ringed = 0.05, true
			s.shape(suspectMark("out of tolerance "+sh.ID, c))
		}
		s.shape(scene.Shape{Name: "shot as laid " + sh.ID, Rings: [][]scene.Pt{scene.Circle(c, shotIn, 8)}, Fill: scene.Black()})
		s.room.Take(boxAt(c, r))
	}
	s.swatch("shot, and how far it is off: more than 0 is high", func(lo, hi scene.Pt) []scene.Mark {
		return []scene.Mark{scene.Shape{Name: "legend", Fill: scene.Black(), Rings: [][]scene.Pt{scene.Circle(lo.Lerp(hi, 0.5), shotIn, 8)}}}
	})
	if ringed {
		s.swatch("shot out of tolerance as read", func(lo, hi scene.Pt) []scene.Mark {
			return []scene.Mark{suspectMark("legend", lo.Lerp(hi, 0.5))}
		})
	}
}

// laidWords stands the words of mends and ponds, then what the shots are off,
// those out of tolerance first, and gives how many of the others found no room.
func (s *sheet) laidWords(b *taper.AsBuilt) (left int) {
	bold := scene.Text{SizePt: 8, Bold: true, Ink: scene.Black(), Halo: true}
	for n, m := range b.Mends {
		c, r := s.loc(m.At), 0.05
		s.named(lines{name: fmt.Sprintf("mend %d", n+1), words: []string{fmt.Sprintf("%d: %s", n+1, s.mendShort(m))}, text: bold}, c, around(c, r))
	}
	for _, p := range b.Ponds {
		c := s.loc(p.Deepest)
		s.named(lines{name: "pond " + p.ID, words: []string{p.ID + ": " + s.say.depth(*p.Pond) + " deep"}, text: bold}, c, around(c, 0.05))
	}
	for _, out := range []bool{true, false} {
		style := scene.Text{SizePt: scene.LeastTextPt, Bold: out, Ink: scene.Grey(0.1), Halo: true}
		for _, sh := range b.Shots {
			if sh.Out != out {
				continue
			}
			r := shotIn
			if out {
				r = 0.05
			}
			l := lines{name: "shot as laid " + sh.ID, words: []string{s.say.off(sh.OffIn)}, text: style, ok: s.onRoof}
			if _, ok := s.place(l, around(s.loc(sh.P), r)); !ok {
				left++
			}
		}
	}
	return left
}

// off prints a signed deviation without unit: +0.25, -13.
func (s say) off(in float64) string {
	if s.metric() {
		in *= 25.4
	}
	places := 2
	if s.metric() {
		places = 0
	}
	out := fmt.Sprintf("%+.*f", places, in)
	if strings.Trim(out, "+-0.") == "" {
		return "0"
	}
	return out
}

// mendShort is a mend in the fewest words: fill 1/2".
func (s *sheet) mendShort(m taper.Mend) string {
	switch {
	case m.Lone:
		return "read again"
	case m.High:
		return "take off " + s.say.inches(m.MostIn)
	}
	return "fill " + s.say.inches(m.MostIn)
}

// laidFacts are what the sheet says beside the plan.
func (s *sheet) laidFacts(b *taper.AsBuilt) []string {
	out := []string{fmt.Sprintf("Figures in %s: laid less designed", s.say.small()),
		"Tolerance: " + s.say.tolerances(b)}
	if b.DoubtIn > 0 {
		out = append(out, "Readings are good to "+s.say.hundredths(b.DoubtIn)+" (two standard errors)")
	}
	if math.Abs(b.ShiftIn) > 1e-6 {
		out = append(out, fmt.Sprintf("All shots together lie %s the design; that is taken off", s.say.laidOff(b.ShiftIn, "above", "below")))
	}
	if b.Report == nil {
		return append(out, "Ponds: unknown. "+b.Untold)
	}
	return append(out, "Holds water as laid: "+s.say.holds(b.Free))
}

// laidTable lists the mends by their numbers, and what found no room.
func (s *sheet) laidTable(b *taper.AsBuilt, left int) []item {
	var out []item
	if len(b.Mends) > 0 {
		out = heading("To mend")
	}
	for n, m := range b.Mends {
		text := fmt.Sprintf("%d: %s, %s", n+1, s.mendShort(m), s.say.laidOn(m.On))
		if !m.Lone {
			text += ", " + s.say.area(m.Sqft)
		}
		if len(m.Ponds) > 0 {
			text += "; pond " + strings.Join(m.Ponds, ", ")
		}
		out = append(out, words("mend", s.say.told(text), bodyPt, false, 3)...)
	}
	if len(b.NoDesign) > 0 {
		out = append(out, words("shots", "Not drawn, no board is designed there: "+shotNames(b.NoDesign), bodyPt, false, 3)...)
	}
	if left > 0 {
		out = append(out, words("shots", "No room for the figure of "+count(left, "shot")+": see asbuilt.csv", bodyPt, false, 2)...)
	}
	return out
}
