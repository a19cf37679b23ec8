package taper

import (
	"fmt"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
)

// ownStands are the places of the designer's crickets. An end on a wall where no
// outlet stands is high, unless both are.
func ownStands(s *survey.Site) []stand {
	var out []stand
	for n, c := range s.Crickets {
		st := stand{kind: FullCricket, name: fmt.Sprintf("cricket %d of the job", n+1), a: c.From, b: c.To,
			lowA: !endsAtWall(s, c.From), lowB: !endsAtWall(s, c.To), left: c.On != survey.OnRight, right: c.On != survey.OnLeft,
			own: &s.Crickets[n]}
		st.high = st.wallAtHigh(s)
		if !st.lowA && !st.lowB {
			st.lowA, st.lowB = true, true
		}
		if c.On != survey.OnBoth {
			st.kind = HalfCricket
		}
		out = append(out, st)
	}
	return out
}

// endsAtWall says whether a place lies at a wall and at no outlet.
func endsAtWall(s *survey.Site, p geom.Pt) bool {
	for _, o := range s.Outlets {
		if !o.Overflow && geom.SegDist(p, o.A, o.B) < ownLineFt {
			return false
		}
	}
	return s.Poly().Dist(p) < ownLineFt
}

// ownNotes tell which of the designer's crickets lead to no way out of the water, and
// where the program would have laid one and none of the designer's stands: a list of
// the job's own stands for all of them.
func ownNotes(s *survey.Site, own, wanted []stand, low []LowLine) []string {
	var notes, bare []string
	for _, st := range own {
		if !leadsOut(s, st.a, low) && !leadsOut(s, st.b, low) {
			notes = append(notes, st.name+": no end of its line lies at a way out of the water, at a low line or at a curb: what it turns runs on over the field")
		}
	}
	for _, w := range wanted {
		covers := func(st stand) bool {
			return geom.SegDist(w.a.Lerp(w.b, 0.5), st.a, st.b) < ownLineFt || geom.SegDist(st.a.Lerp(st.b, 0.5), w.a, w.b) < ownLineFt
		}
		if len(own) > 0 && !slices.ContainsFunc(own, covers) {
			bare = append(bare, w.name)
		}
	}
	slices.Sort(bare)
	if bare = slices.Compact(bare); len(bare) > 0 { // a line has two ends to walls
		notes = append(notes, "the job lists its own crickets, so that no others are laid: there is none "+strings.Join(bare, ", none "))
	}
	return notes
}

// leadsOut says whether water leaves at a place: at an outlet, onto a low line, or
// past a curb.
func leadsOut(s *survey.Site, p geom.Pt, low []LowLine) bool {
	for _, o := range s.Outlets {
		if !o.Overflow && geom.SegDist(p, o.A, o.B) < ownLineFt {
			return true
		}
	}
	for _, l := range low {
		for i := 1; i < len(l.At); i++ {
			if geom.SegDist(p, l.At[i-1], l.At[i]) < ownLineFt {
				return true
			}
		}
	}
	for _, ring := range s.Curbs {
		if (geom.Poly{Outer: ring}).Dist(p) < 2*PastCurbFt {
			return true
		}
	}
	return false
}
