package render

import (
	"fmt"

	"runnel/render/scene"
	"runnel/taper/ladder"
)

// placeLook is how the region of a rung that does is drawn, and its words in the
// legend.
func placeLook(r ladder.Rung) (look scene.Shape, words string) {
	look.Pen = scene.Pen{WidthPt: 1.2, Ink: scene.Black(), DashPt: []float64{2.2, 1.6}}
	switch r {
	case ladder.FillLows:
		look.Hatch = scene.Hatch{TurnDeg: 135, GapPt: 6, Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Black()}}
		words = "low place to fill"
	case ladder.Crickets:
		look.Pen.DashPt = nil
		words = "cricket to lay"
	case ladder.PartTaper:
		look.Pen = scene.Pen{WidthPt: 2, Ink: scene.Black(), DashPt: []float64{7, 3}}
		words = "part to taper"
	case ladder.Unknown, ladder.DrainsAsIs, ladder.Sump, ladder.Outlet, ladder.Taper:
		words = "sump to cut"
	}
	return look, words + ": see the report"
}

// placeMark is an open diamond with a dot in it.
func placeMark(name string, c scene.Pt) []scene.Mark {
	const r = 0.075
	return []scene.Mark{
		scene.Shape{Name: name, Fill: scene.White(), Pen: scene.Pen{WidthPt: 1.3, Ink: scene.Black()},
			Rings: [][]scene.Pt{{c.Add(scene.Pt{X: r}), c.Add(scene.Pt{Y: r}), c.Sub(scene.Pt{X: r}), c.Sub(scene.Pt{Y: r})}}},
		scene.Shape{Name: name, Fill: scene.Black(), Rings: [][]scene.Pt{scene.Circle(c, 0.02, 8)}},
	}
}

// suggested are the places that the ladder names for another outlet, and those
// of the rung that does.
func (s *sheet) suggested() []ladder.Place {
	var out []ladder.Place
	for _, step := range s.a.Ladder {
		if step.Rung == ladder.Outlet || step.Outcome == ladder.Kept && step.Rung < ladder.Taper {
			out = append(out, step.Places...)
		}
	}
	return out
}

// suggestions draws what the ladder would do at places of the roof.
func (s *sheet) suggestions() {
	points, shapes := false, map[ladder.Rung]bool{}
	for n, p := range s.suggested() {
		name := fmt.Sprintf("suggested %d", n+1)
		if rings := s.polys(p.Shape); len(rings) > 0 {
			shapes[p.Rung] = true
			look, _ := placeLook(p.Rung)
			look.Name, look.Rings = name, rings
			s.shape(look)
		}
		if p.Rung == ladder.Outlet {
			points = true
			c := s.loc(p.At)
			s.marks = append(s.marks, placeMark(name, c)...)
			s.room.Take(scene.Rect(c.Sub(scene.Pt{X: 0.08, Y: 0.08}), c.Add(scene.Pt{X: 0.08, Y: 0.08})))
		}
	}
	if points {
		s.swatch("place for another outlet, 1 the best: see the report", func(lo, hi scene.Pt) []scene.Mark {
			return placeMark("legend", lo.Lerp(hi, 0.5))
		})
	}
	for _, r := range []ladder.Rung{ladder.Sump, ladder.FillLows, ladder.Crickets, ladder.PartTaper} {
		if shapes[r] {
			look, words := placeLook(r)
			s.fillSwatch(words, look)
		}
	}
}

// suggestionWords names them.
func (s *sheet) suggestionWords() {
	style := scene.Text{SizePt: 8, Bold: true, Ink: scene.Black(), Halo: true}
	outlets := 0 // numbered, the best first
	for n, p := range s.suggested() {
		c, w := s.loc(p.At), s.say.told(p.Words)
		if p.Rung == ladder.Outlet {
			outlets++
			w = fmt.Sprint(outlets)
		}
		s.named(lines{name: fmt.Sprintf("suggested %d", n+1), words: []string{w}, text: style}, c, around(c, 0.06))
	}
}
