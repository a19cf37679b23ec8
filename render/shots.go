package render

import (
	"fmt"

	"runnel/render/scene"
	"runnel/survey"
)

const shotIn = 0.017 // radius of a shot's dot

// mostShots is how many shots are drawn before they are thinned to one a dot.
const mostShots = 3000

// shots draws used shots as dots and those left out as crosses.
func (s *sheet) shots() {
	for _, sh := range s.shotsDrawn() {
		c := s.loc(sh.P)
		s.shape(scene.Shape{Name: "shot " + sh.ID, Rings: [][]scene.Pt{scene.Circle(c, shotIn, 8)}, Fill: scene.Black()})
		s.room.Take(scene.Rect(c.Sub(scene.Pt{X: shotIn, Y: shotIn}), c.Add(scene.Pt{X: shotIn, Y: shotIn})))
	}
	why := map[string]int{}
	var order []string
	for _, sh := range s.a.Area.Shots {
		if sh.Left == "" {
			continue
		}
		if why[sh.Left]++; why[sh.Left] == 1 {
			order = append(order, sh.Left)
		}
		if c := s.at(sh.At); s.inPlan(scene.Rect(c, c)) && why[sh.Left] <= mostShots {
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
		s.swatch(fmt.Sprintf("%s left out: %s", count(why[w], "shot"), w), func(lo, hi scene.Pt) []scene.Mark {
			return cross("legend", lo.Lerp(hi, 0.5))
		})
	}
}

// shotsDrawn is all used shots, or one for each dot's square where there are
// very many.
func (s *sheet) shotsDrawn() []survey.SiteShot {
	if len(s.site.Shots) <= mostShots {
		return s.site.Shots
	}
	taken := map[[2]int]bool{}
	var out []survey.SiteShot
	for _, sh := range s.site.Shots {
		c := s.loc(sh.P)
		k := [2]int{int(c.X / (4 * shotIn)), int(c.Y / (4 * shotIn))}
		if !taken[k] {
			taken[k] = true
			out = append(out, sh)
		}
	}
	return out
}

func cross(name string, c scene.Pt) []scene.Mark {
	const r = 0.035
	pen := scene.Pen{WidthPt: 1.1, Ink: wrongInk()}
	var out []scene.Mark
	for _, d := range []scene.Pt{{X: r, Y: r}, {X: r, Y: -r}} {
		out = append(out, scene.Line{Name: name, Pts: []scene.Pt{c.Sub(d), c.Add(d)}, Pen: pen})
	}
	return out
}

// shotWords stands elevations beside the shots and says how many found no room.
func (s *sheet) shotWords(zero float64) (left int) {
	style := scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Grey(0.1), Halo: true}
	drawn := s.shotsDrawn()
	for k, sh := range drawn {
		w := s.say.coarse(sh.ElevIn - zero)
		l := lines{name: "shot " + sh.ID, words: []string{w}, text: style, ok: s.onRoof}
		if _, ok := s.place(l, around(s.loc(sh.P), shotIn)[:6]); !ok {
			left++
		}
		if k == 2*mostShots {
			left += len(drawn) - k - 1
			break
		}
	}
	return left
}

func (s *sheet) shotCounts(left int) []item {
	var out []item
	add := func(text string) { out = append(out, words("shots", s.say.told(text), bodyPt, false, 3)...) }
	if n := len(s.site.Shots); n > 0 {
		add(count(n, "shot") + " used")
	}
	if d := len(s.shotsDrawn()); d < len(s.site.Shots) {
		add(fmt.Sprintf("%s drawn, others stand closer than a dot", count(d, "shot")))
	}
	if left > 0 {
		add("no room for the elevation of " + count(left, "shot"))
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
		s.room.Take(scene.Rect(at.Sub(scene.Pt{X: 0.05, Y: 0.05}), at.Add(scene.Pt{X: 0.05, Y: 0.05})))
		w := c.ID + ": " + s.say.inches(c.ThicknessIn)
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

func coreMarks(name string, c scene.Pt) []scene.Mark {
	const r = 0.045
	q := scene.Rect(c.Sub(scene.Pt{X: r, Y: r}), c.Add(scene.Pt{X: r, Y: r}))
	return []scene.Mark{
		scene.Shape{Name: name, Rings: [][]scene.Pt{q[:]}, Fill: scene.White(),
			Pen: scene.Pen{WidthPt: 0.8, Ink: scene.Black()}},
		scene.Shape{Name: name, Rings: [][]scene.Pt{q[:3]}, Fill: scene.Black()},
	}
}
