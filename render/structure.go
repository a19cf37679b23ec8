package render

import (
	"strings"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey/unit"
)

// StructureSheet is the page for the engineer of area i: the bays, or stretches
// of roof where none are stated, those under the least slope hatched, with the
// water that they hold when the primary outlets are blocked and its weight. An
// area without such a page gets its plan alone. It says what is to be looked at,
// never that nothing is.
func StructureSheet(r *Result, i int) scene.Scene {
	s := newSheet(r, i)
	page := s.a.Structure
	if page == nil {
		page = &drainage.StructurePage{Findings: []string{"no page for the engineer was made"}}
	}
	s.bays(page)
	s.mask()
	s.furniture()
	s.names()
	s.span()
	s.bayWords(page)
	var facts []string
	if strings.HasPrefix(page.Framing, "framing direction not known") {
		facts = append(facts, "FRAMING DIRECTION NOT KNOWN")
	}
	for _, f := range page.Findings {
		facts = append(facts, strings.TrimSpace(sentence(f)))
	}
	s.title("For the structural engineer: slopes and water when drains are blocked", facts...)
	return s.finish(s.bayTable(page)...)
}

func bayLook(under bool) scene.Shape {
	m := scene.Shape{Pen: scene.Pen{WidthPt: 0.9, Ink: scene.Grey(0.35)}}
	if under {
		m.Fill = scene.Grey(0.93)
		m.Hatch = scene.Hatch{GapPt: 5, TurnDeg: 45, Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.5)}}
	}
	return m
}

// bays outlines every bay.
func (s *sheet) bays(page *drainage.StructurePage) {
	met := [2]bool{}
	for _, b := range page.Bays {
		m := bayLook(b.UnderMin)
		m.Name, m.Rings = "bay "+b.ID, s.polys(b.Outline)
		s.shape(m)
		if b.UnderMin {
			met[1] = true
		} else {
			met[0] = true
		}
	}
	least := s.say.slope(unit.InchesPerFoot(0.25))
	if met[1] {
		s.fillSwatch("bay under "+least, bayLook(true))
	}
	if met[0] {
		s.fillSwatch("bay of "+least+" or more", bayLook(false))
	}
}

// bayWords says in every bay how deep it holds water, and its weight.
func (s *sheet) bayWords(page *drainage.StructurePage) {
	style := scene.Text{SizePt: 7.5, Ink: scene.Black(), Halo: true}
	for _, b := range page.Bays {
		if len(b.Outline) == 0 {
			continue
		}
		largest := b.Outline[0]
		for _, p := range b.Outline {
			if p.Area() > largest.Area()+1e-6 {
				largest = p
			}
		}
		c := s.loc(middle(largest))
		l := lines{name: "bay " + b.ID, words: []string{short(b.ID)}, text: style, plate: true}
		if b.HoldsIn > 0 {
			l.words = append(l.words, s.say.inches(b.HoldsIn), unit.PoundsPerSquareFoot(b.HoldsPsf).Format(s.say.sys))
		}
		if !s.named(l, c, []spot{{c, 0.5, 0.5, 0}}) {
			l.words = l.words[:1]
			s.named(l, c, []spot{{c, 0.5, 0.5, 0}})
		}
	}
}

// bayTable lists the bays with what is to be looked at.
func (s *sheet) bayTable(page *drainage.StructurePage) []item {
	if len(page.Bays) == 0 {
		return nil
	}
	out := heading("With the primary outlets blocked")
	out = append(out, row("bays", true, cell{words: "bay"}, cell{right: 1.15, words: s.say.told("slope")},
		cell{right: 1.75, words: "water"}, cell{right: 2.35, words: s.say.either("psf", "kPa")}))
	out[len(out)-1].with = true
	for _, b := range page.Bays {
		slope := "not known"
		if b.Slope >= 0 {
			slope = s.say.slope(b.Slope)
		}
		load, _, _ := strings.Cut(unit.PoundsPerSquareFoot(b.HoldsPsf).Format(s.say.sys), " ")
		name := cell{words: b.ID}
		if first(b.ID, 0.5) != b.ID {
			out = append(out, words("bays", b.ID+":", bodyPt, false, 1)...)
			out[len(out)-1].with, name.words = true, ""
		}
		out = append(out, row("bays", false, name, cell{right: 1.15, words: slope},
			cell{right: 1.75, words: s.say.inches(b.HoldsIn)}, cell{right: 2.35, words: load}))
	}
	return out
}
