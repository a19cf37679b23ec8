package taper

import (
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// findings lists what stands beside the verdict on a design without failing
// it, in the order of the site's outlets and curbs.
func findings(s *survey.Site, d *Design, t Trial, r *drainage.Report) []string {
	out := conditions(s, d.Scheme, t, r)
	out = append(out, keptInlets(s, d, t, r.Surface)...)
	out = append(out, curbFindings(s, d, t)...)
	return append(out, oldPonds(t, r)...)
}

// runsTo says whether the field of a scheme runs to outlet o (see sourcesOf).
func runsTo(o survey.SiteOutlet, scheme survey.Scheme) bool {
	return !o.Overflow && !(scheme == survey.OneWay && o.Kind == survey.Drain)
}

// cleared is s with the blocked outlets that the field runs to as if they let
// water go. What comes of it stays conditional on them.
func cleared(s *survey.Site, scheme survey.Scheme, t Trial) *survey.Site {
	out := *s
	out.Outlets = slices.Clone(s.Outlets)
	for n, o := range out.Outlets {
		if o.State == survey.Blocked && runsTo(o, scheme) && t.within(o.P) {
			out.Outlets[n].State = survey.Untested
		}
	}
	return &out
}

// conditions names the outlets that the proof counts on and that are blocked or
// untested: those the field runs to, and any other that takes water.
func conditions(s *survey.Site, scheme survey.Scheme, t Trial, r *drainage.Report) []string {
	var out []string
	for n, o := range s.Outlets {
		if !(runsTo(o, scheme) && t.within(o.P)) && (n >= len(r.Areas) || r.Areas[n].SqFt == 0) {
			continue
		}
		switch o.State {
		case survey.Blocked:
			out = append(out, fmt.Sprintf("only once %s is cleared: it is blocked now", o.ID))
		case survey.Untested:
			out = append(out, fmt.Sprintf("only if %s lets water go: it is untested", o.ID))
		}
	}
	return out
}

// inletOffIn is how far an inlet that stays may end off the finished surface
// before it is a finding: the step in which shots are read in common practice,
// no source.
const inletOffIn = 1. / 8

// keptInlets compares the inlets that keep their elevation with the finished
// surface they end in. An overflow may stand over it, and a primary inlet that
// stands over it by more than the rules' pond depth keeps a pond, which is told
// as such.
func keptInlets(s *survey.Site, d *Design, t Trial, top *survey.Surface) []string {
	var out []string
	cells := drainage.OutletCells(s, top)
	for n, o := range s.Outlets {
		finishIn, ok := finishAt(o, d, t, top, cells[n])
		if reset(o) || !ok || !t.within(o.P) {
			continue
		}
		name := o.ID
		if o.Overflow {
			name += " (overflow)"
		}
		if t.InletWhy != nil && t.InletWhy[n] != "" {
			out = append(out, fmt.Sprintf("%s: where its inlet lies against the finished surface is not known: %s", name, t.InletWhy[n]))
			continue
		}
		under := unit.Inches(finishIn - t.InletIn[n])
		switch over := -under; {
		case under.Inches() > inletOffIn+sameIn:
			out = append(out, fmt.Sprintf("%s: its inlet would lie %s under the finished surface: raise or rebuild it",
				name, under.FormatThin(t.Units)))
		case !o.Overflow && over.Inches() > inletOffIn+sameIn && over <= t.Rules.Pond:
			out = append(out, fmt.Sprintf("%s: its inlet would end %s over the finished surface: lower it or start thicker",
				name, over.FormatThin(t.Units)))
		}
	}
	return out
}

// finishAt is the lowest of the finished surface along the opening of an outlet,
// or over its cells where no facet touches it.
func finishAt(o survey.SiteOutlet, d *Design, t Trial, top *survey.Surface, cells []int) (float64, bool) {
	least := math.Inf(1)
	for _, p := range []geom.Pt{o.A, o.P, o.B} {
		baseIn, onBase := drainage.AtWall(t.Base, p)
		if !onBase || o.Kind != survey.Scupper {
			baseIn, onBase = t.Base.Elevation(p)
		}
		thickIn, onField := ThicknessAt(d.Facets, p)
		if onBase && onField {
			least = math.Min(least, baseIn+thickIn+d.Cover.Inches())
		}
	}
	if math.IsInf(least, 1) {
		return drainage.Lowest(top, cells), len(cells) > 0
	}
	return least, true
}
