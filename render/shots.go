package render

import (
	"fmt"
	"math"

	"runnel/render/scene"
	"runnel/survey"
)

const shotIn = 0.017 // radius of a shot's dot

// mostCrosses is how many left-out shots of one reason are drawn.
const mostCrosses = 3000

// shots draws used shots as dots and those left out as crosses, and gives the
// used ones drawn. Where dots stand densely they keep off the words, which were
// placed before.
func (s *sheet) shots(dense bool) (drawn []survey.SiteShot) {
	shots := s.site.Shots
	if dense {
		shots = s.thinnedShots()
	}
	for _, sh := range shots {
		c := s.loc(sh.P)
		q := scene.Rect(c.Sub(scene.Pt{X: shotIn, Y: shotIn}), c.Add(scene.Pt{X: shotIn, Y: shotIn}))
		if dense && s.words.Meets(q) >= 0 {
			continue
		}
		drawn = append(drawn, sh)
		s.shape(scene.Shape{Name: "shot " + sh.ID, Rings: [][]scene.Pt{scene.Circle(c, shotIn, 8)}, Fill: scene.Black()})
		s.room.Take(q)
	}
	s.leftOutShots()
	return drawn
}

// leftOutShots draws the shots that were not used, with the reasons.
func (s *sheet) leftOutShots() {
	why, beyond := map[string]int{}, map[string]int{}
	var order []string
	for _, sh := range s.a.Area.Shots {
		if sh.Left == "" {
			continue
		}
		if why[sh.Left]++; why[sh.Left] == 1 {
			order = append(order, sh.Left)
		}
		switch c := s.at(sh.At); {
		case !s.inPlan(boxAt(c, crossIn)):
			beyond[sh.Left]++
		case why[sh.Left] <= mostCrosses:
			s.marks = append(s.marks, cross("left-out shot "+sh.ID, c)...)
		}
	}
	if len(s.site.Shots) > 0 {
		s.swatch("shot used, with its elevation", func(lo, hi scene.Pt) []scene.Mark {
			return []scene.Mark{scene.Shape{Name: "legend", Fill: scene.Black(),
				Rings: [][]scene.Pt{scene.Circle(lo.Lerp(hi, 0.5), shotIn, 8)}}}
		})
	}
	for k, w := range order {
		if k == 3 {
			break
		}
		text := fmt.Sprintf("%s left out: %s", count(why[w], "shot"), w)
		if n := beyond[w]; n > 0 {
			text += fmt.Sprintf(" (%s off the plan, not drawn)", thousands(n))
		}
		s.swatch(text, func(lo, hi scene.Pt) []scene.Mark {
			return cross("legend", lo.Lerp(hi, 0.5))
		})
	}
}

// thinIn is the side of the squares on the sheet that hold one shot each where
// shots are thinned: a dot and its elevation.
const thinIn = 0.32

// denseShots says whether the used shots stand so closely on the sheet that
// their dots would hide the contours: less than 0.12 in apart on average.
func (s *sheet) denseShots() bool {
	areaIn := s.site.RoofArea().SquareFeet() * s.perFt * s.perFt
	return float64(len(s.site.Shots))*0.12*0.12 > areaIn && len(s.site.Shots) > 50
}

// thinnedShots is one used shot for each square of the sheet: the one nearest
// to its middle.
func (s *sheet) thinnedShots() []survey.SiteShot {
	type kept struct {
		off float64
		n   int
	}
	best := map[[2]int]kept{}
	square := func(c scene.Pt) [2]int { return [2]int{int(math.Floor(c.X / thinIn)), int(math.Floor(c.Y / thinIn))} }
	for n, sh := range s.site.Shots {
		c := s.loc(sh.P)
		k := square(c)
		off := c.Sub(scene.Pt{X: (float64(k[0]) + 0.5) * thinIn, Y: (float64(k[1]) + 0.5) * thinIn}).Norm()
		if b, ok := best[k]; !ok || off < b.off {
			best[k] = kept{off, n}
		}
	}
	var out []survey.SiteShot
	for n, sh := range s.site.Shots {
		if best[square(s.loc(sh.P))].n == n {
			out = append(out, sh)
		}
	}
	return out
}

const crossIn = 0.035 // half the width of the cross of a left-out shot

func cross(name string, c scene.Pt) []scene.Mark {
	const r = crossIn
	pen := scene.Pen{WidthPt: 1.1, Ink: wrongInk()}
	var out []scene.Mark
	for _, d := range []scene.Pt{{X: r, Y: r}, {X: r, Y: -r}} {
		out = append(out, scene.Line{Name: name, Pts: []scene.Pt{c.Sub(d), c.Add(d)}, Pen: pen})
	}
	return out
}

// shotWords stands elevations beside the shots and says how many found no room.
func (s *sheet) shotWords(drawn []survey.SiteShot, zero float64) (left int) {
	style := scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Grey(0.1), Halo: true}
	for _, sh := range drawn {
		w := s.say.coarse(sh.ElevIn - zero)
		l := lines{name: "shot " + sh.ID, words: []string{w}, text: style, ok: s.onRoof}
		if _, ok := s.place(l, around(s.loc(sh.P), shotIn)[:6]); !ok {
			left++
		}
	}
	return left
}

func (s *sheet) shotCounts(drawn, left int) []item {
	var out []item
	add := func(text string) { out = append(out, words("shots", s.say.told(text), bodyPt, false, 3)...) }
	noun := "shot"
	if s.a.Cloud != nil {
		noun = "median"
	}
	if n := len(s.site.Shots); n > 0 {
		add(count(n, noun) + " used")
	}
	if rest := len(s.site.Shots) - drawn; rest > 0 {
		add(fmt.Sprintf("%s drawn; the other %s not drawn: they stand too close on this sheet", count(drawn, noun), thousands(rest)))
	}
	if left > 0 {
		add("no room for the elevation of " + count(left, noun))
	}
	if len(out) == 0 {
		return nil
	}
	return append(heading(s.say.told("Shots")), out...)
}

// cores draws cores as half-filled squares with their thickness.
func (s *sheet) cores() {
	for k, c := range s.site.Cores {
		at := s.loc(c.P)
		s.marks = append(s.marks, coreMarks("core "+c.ID, at)...)
		s.room.Take(coreBox(at))
		w := short(c.ID) + ": " + s.say.inches(c.ThicknessIn)
		if k < len(s.a.Area.Cores) && s.a.Area.Cores[k].Wet {
			w += " wet"
		}
		s.named(lines{name: "core " + c.ID, words: []string{w},
			text: scene.Text{SizePt: 7.5, Ink: scene.Black(), Halo: true}}, at, around(at, 0.05))
	}
	if len(s.site.Cores) > 0 {
		s.swatch("core with its thickness, membrane to deck", func(lo, hi scene.Pt) []scene.Mark {
			return coreMarks("legend", lo.Lerp(hi, 0.5))
		})
	}
}

// coreBox is the room of a core's symbol.
func coreBox(c scene.Pt) scene.Quad { return boxAt(c, 0.05) }

func coreMarks(name string, c scene.Pt) []scene.Mark {
	const r = 0.045
	q := scene.Rect(c.Sub(scene.Pt{X: r, Y: r}), c.Add(scene.Pt{X: r, Y: r}))
	return []scene.Mark{
		scene.Shape{Name: name, Rings: [][]scene.Pt{q[:]}, Fill: scene.White(),
			Pen: scene.Pen{WidthPt: 0.8, Ink: scene.Black()}},
		scene.Shape{Name: name, Rings: [][]scene.Pt{q[:3]}, Fill: scene.Black()},
	}
}
