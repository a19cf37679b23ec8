package taper

import (
	"fmt"
	"slices"

	"runnel/drainage"
	"runnel/survey"
)

// findings lists what stands beside the verdict on a design without failing
// it, in the order of the site's outlets and curbs.
func findings(s *survey.Site, d *Design, t Trial, r *drainage.Report) []string {
	return conditions(s, d.Scheme, r)
}

// runsTo says whether the field of a scheme runs to outlet o (see sourcesOf).
func runsTo(o survey.SiteOutlet, scheme survey.Scheme) bool {
	return !o.Overflow && !(scheme == survey.OneWay && o.Kind == survey.Drain)
}

// cleared is s with the blocked outlets that the field runs to as if they let
// water go. What comes of it stays conditional on them.
func cleared(s *survey.Site, scheme survey.Scheme) *survey.Site {
	out := *s
	out.Outlets = slices.Clone(s.Outlets)
	for n, o := range out.Outlets {
		if o.State == survey.Blocked && runsTo(o, scheme) {
			out.Outlets[n].State = survey.Untested
		}
	}
	return &out
}

// conditions names the outlets that the proof counts on and that are blocked or
// untested: those the field runs to, and any other that takes water.
func conditions(s *survey.Site, scheme survey.Scheme, r *drainage.Report) []string {
	var out []string
	for n, o := range s.Outlets {
		if !runsTo(o, scheme) && (n >= len(r.Areas) || r.Areas[n].SqFt == 0) {
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
