package taper

import (
	"context"
	"fmt"
	"math"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// proofWindow is the run over which slopes of a finished surface are taken.
const proofWindow = 4 * unit.Foot

// Trial is what a design is proven on.
type Trial struct {
	Base    *survey.Surface // as surveyed or inferred
	InletIn []float64       // finished inlet of each of the site's outlets, see FinishedInlets
	// InletWhy says of each of the site's outlets why the height of its inlet over
	// the finish is not known; "": it is, nil: all are.
	InletWhy []string
	Rules    drainage.Rules
	Limits   survey.PondLimits
	Units    unit.System // of Why; unset: US
	// Unsurveyed: the base is assumed. Field and Valley judge the geometry all
	// the same; the verdicts of the report are Unknown.
	Unsurveyed bool
	Top        *survey.Surface // finished, of the whole area; nil: Finish of Base
	// Part is where the design is laid, in the frame; nil: all over. Outside of
	// it the roof stays, and Before is what water does on the area as it is.
	Part   *geom.Poly
	Before *drainage.Report
}

// Prove lays a design on the base as surveyed and runs the result through the
// drainage check.
//
// Field and Valley judge the facets and valleys on the fitted plane exactly,
// in mode every-path valleys by the field's limit. The design passes when both
// meet their limits, no pond on the finished surveyed surface is deeper than
// the rules allow, every path reaches an outlet, if need be over a pond that is
// shallow enough, and the base is known well enough to tell. The share of the
// surveyed finish under the minimum does not fail it: a real deck always has
// some.
//
// Blocked outlets that the field runs to count as cleared, and a finding says
// so: a design that drains to them needs them.
func Prove(ctx context.Context, s *survey.Site, d *Design, t Trial) (*Proof, error) {
	top := t.Top
	if top == nil {
		top = Finish(t.Base, d.Facets, d.Cover.Inches())
	}
	report, err := drainage.Check(ctx, cleared(s, d.Scheme, t), top, drainage.Options{
		Rules: t.Rules, Ponds: t.Limits, InletIn: t.InletIn, InletWhy: t.InletWhy, Window: proofWindow,
		Unsurveyed: t.Unsurveyed,
	})
	if err != nil {
		return nil, fmt.Errorf("prove the design: %w", err)
	}
	p := &Proof{Surface: top, Report: report}
	var why []string
	p.Field, why = judgeFacets(d, t, why)
	p.Valley, why = judgeValleys(s, d, t, why)
	why = judgePonds(report, t, why)
	why = judgePaths(s, report, t, why)
	if !t.Unsurveyed {
		why = judgeKnown(report, why)
	}
	p.BackFallPct = backFallPct(d, top)
	p.Findings = findings(s, d, t, report)
	p.Judged = judged(p, d, t)
	p.Passes, p.Why = len(why) == 0, strings.Join(why, "; ")
	return p, nil
}

// judgeFacets judges the flattest facet of the field on the fitted plane.
func judgeFacets(d *Design, t Trial, why []string) (drainage.Verdict, []string) {
	least := flattestFacet(d)
	v := judgeExact(t.Rules.Field, least)
	if v != drainage.Meets {
		why = append(why, fmt.Sprintf("the flattest facet slopes %s, under the %s of %s",
			slopeText(least, t.Units), slopeText(t.Rules.Field.Min.InchesPerFoot(), t.Units), t.Rules.Name))
	}
	return v, why
}

// judgeValleys judges the flattest valley, and by name those that run along a
// wall to the scuppers in it. A design without valleys meets any limit on them.
func judgeValleys(s *survey.Site, d *Design, t Trial, why []string) (drainage.Verdict, []string) {
	limit := t.Rules.Valley
	least, low := math.Inf(1), lowLines(s, d)
	for _, l := range d.Lines {
		if _, ok := low[wallOf(s, l)]; l.Kind == Valley && !ok {
			least = math.Min(least, l.Slope.InchesPerFoot())
		}
	}
	v := judgeExact(limit, least)
	if v != drainage.Meets {
		why = append(why, fmt.Sprintf("the flattest valley slopes %s, under the %s of %s; "+
			"two equal planes at right angles would have to slope %s",
			slopeText(least, t.Units), slopeText(limit.Min.InchesPerFoot(), t.Units), t.Rules.Name,
			slopeText(drainage.FieldSlopeThatPasses(limit.Min).InchesPerFoot(), t.Units)))
	}
	for n := range s.Edges {
		slope, ok := low[n]
		if !ok || judgeExact(limit, slope) == drainage.Meets {
			continue
		}
		v = drainage.FallsShort
		text := fmt.Sprintf("the low line along the wall toward %s ", listText(scuppersOn(s, n)))
		if slope == 0 {
			text += "is level"
		} else {
			text += fmt.Sprintf("slopes %s, under the %s of %s", slopeText(slope, t.Units),
				slopeText(limit.Min.InchesPerFoot(), t.Units), t.Rules.Name)
		}
		why = append(why, text)
	}
	return v, why
}

// wallOf is the edge of the outline that a line runs along; -1: none.
func wallOf(s *survey.Site, l Line) int {
	n := edgeAt(s, l.A.Lerp(l.B, 0.5))
	if n < 0 {
		return -1
	}
	for _, p := range []geom.Pt{l.A, l.B} {
		if geom.SegDist(p, s.Edges[n].A, s.Edges[n].B) > onBorderFt {
			return -1
		}
	}
	return n
}

// lowLines gives the flattest valley along each wall with primary scuppers, in
// in/ft, by its edge.
func lowLines(s *survey.Site, d *Design) map[int]float64 {
	out := map[int]float64{}
	for _, l := range d.Lines {
		n := wallOf(s, l)
		if l.Kind != Valley || len(scuppersOn(s, n)) == 0 {
			continue
		}
		if slope, ok := out[n]; !ok || l.Slope.InchesPerFoot() < slope {
			out[n] = l.Slope.InchesPerFoot()
		}
	}
	return out
}

// judgeExact judges a computed slope; what rounding takes from it does not
// count.
func judgeExact(l drainage.Limit, slopeInPerFt float64) drainage.Verdict {
	return l.Judge(unit.InchesPerFoot(slopeInPerFt+sameSlopeInPerFt), 0)
}

// judgePonds says which pond is too deep, old ones where the roof stays apart.
func judgePonds(r *drainage.Report, t Trial, why []string) []string {
	deep := 0
	var worst drainage.Pond
	for _, p := range r.Ponds {
		if p.DepthIn > t.Rules.Pond.Inches()+1e-6 && !t.stays(r, p) {
			deep++
			if p.DepthIn > worst.DepthIn {
				worst = p
			}
		}
	}
	if deep == 0 {
		return why
	}
	return append(why, fmt.Sprintf("ponds that stay deeper than %s: %d, the deepest %s over %s (%s)",
		t.Rules.Pond.FormatThin(t.Units), deep, unit.Inches(worst.DepthIn).FormatThin(t.Units),
		unit.SquareFeet(worst.SqFt).Format(t.Units), worst.ID))
}

// unknownPct is the share of the area too far from a shot from which on no
// design passes: the one from which on the check does not say "no ponds".
const unknownPct = 5

// judgeKnown says how much of the surface cannot be told. A base that is an
// assumption all over is known by what it assumes.
func judgeKnown(r *drainage.Report, why []string) []string {
	if r.PondsFree != drainage.Unknown && r.UnknownPct < unknownPct {
		return why
	}
	return append(why, fmt.Sprintf("%.1f %% of the area is too far from a shot to tell", r.UnknownPct))
}

// judgePaths says how many paths from where the design is laid reach no outlet.
func judgePaths(s *survey.Site, r *drainage.Report, t Trial, why []string) []string {
	ends := map[string]bool{}
	for _, o := range s.Outlets {
		ends[o.ID] = true
	}
	next := map[string]string{}
	for _, p := range r.Ponds {
		next[p.ID] = p.SpillsTo
	}
	stuck, first := 0, ""
	for _, p := range r.Paths {
		if len(p.Points) > 0 && !t.within(p.Points[0]) {
			continue
		}
		at := p.EndsAt
		for range r.Ponds {
			if ends[at] {
				break
			}
			at = next[at]
		}
		if !ends[at] {
			stuck++
			if first == "" {
				first = p.ID
			}
		}
	}
	if stuck == 0 {
		return why
	}
	return append(why, fmt.Sprintf("%d paths reach no outlet, the first %s", stuck, first))
}
