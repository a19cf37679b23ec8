package render

import (
	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/problem"
)

// suspect is a used shot that the screens name.
type suspect struct {
	shot  survey.Shot
	named problem.Problem
}

// suspectsOf lists the used shots of an area that a note of the job names, in
// the order of the notes; those left out have their reason with them.
func suspectsOf(j *survey.Job, a *survey.Area) []suspect {
	type place struct {
		file string
		line int
	}
	used := map[place]survey.Shot{}
	for _, sh := range a.Shots {
		if sh.Left == "" && sh.Line > 0 && !sh.FromCloud {
			used[place{sh.File, sh.Line}] = sh
		}
	}
	var out []suspect
	for _, n := range j.Notes {
		if sh, ok := used[place{n.File, n.Line}]; ok && n.Field == "shot" {
			out = append(out, suspect{sh, n})
		}
	}
	return out
}

// ofArea lists what the screens say of an area as a whole.
func ofArea(j *survey.Job, a *survey.Area) []string {
	var out []string
	for _, n := range j.Notes {
		if n.Field == "area" && n.Value == a.Name {
			out = append(out, reason(n))
		}
	}
	return out
}

func reason(n problem.Problem) string {
	if n.Mend == "" {
		return n.Why
	}
	return n.Why + "; " + n.Mend
}

func suspectMark(name string, c scene.Pt) scene.Shape {
	return scene.Shape{Name: name, Rings: [][]scene.Pt{scene.Circle(c, 0.05, 16)}, Pen: scene.Pen{WidthPt: 1, Ink: wrongInk()}}
}

// suspects rings the used shots that the screens name and stands their names
// beside them.
func (s *sheet) suspects() {
	if s.res.Job == nil {
		return
	}
	style := scene.Text{SizePt: scene.LeastTextPt, Bold: true, Ink: wrongInk(), Halo: true}
	all := suspectsOf(s.res.Job, &s.a.Area)
	ringed := map[survey.Shot]bool{} // a shot may have several notes
	for _, x := range all {
		if ringed[x.shot] {
			continue
		}
		ringed[x.shot] = true
		c := s.at(x.shot.At)
		s.shape(suspectMark("suspect shot "+x.shot.ID, c))
		s.place(lines{name: "suspect shot " + x.shot.ID, words: []string{short(x.shot.ID)}, text: style}, around(c, 0.05))
	}
	if len(all) > 0 {
		s.swatch("suspect shot, used, by its name", func(lo, hi scene.Pt) []scene.Mark {
			return []scene.Mark{suspectMark("legend", lo.Lerp(hi, 0.5))}
		})
	}
}

// suspectRows lists the suspect shots that are used, and what is said of the
// area's shots as a whole.
func (s *sheet) suspectRows() []item {
	if s.res.Job == nil {
		return nil
	}
	var ps []string
	for _, x := range suspectsOf(s.res.Job, &s.a.Area) {
		ps = append(ps, short(x.shot.ID)+where(x.shot)+": "+s.say.told(reason(x.named)))
	}
	out := s.listed("Suspect, and used all the same", ps)
	ps = nil
	for _, w := range ofArea(s.res.Job, &s.a.Area) {
		ps = append(ps, s.say.told(w))
	}
	return append(out, s.listed("The shots as a whole", ps)...)
}
