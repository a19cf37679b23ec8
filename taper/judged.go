package taper

import (
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey/unit"
)

// judged are the findings of a design: its slopes judged exactly, by its
// geometry, then what the check found of water and overflows on its finished
// surface. The slopes of that surface as laid on the survey are not among them:
// a real deck always leaves some under the limit, and the share is told apart.
func judged(p *Proof, d *Design, t Trial) []drainage.Finding {
	exact := func(rule string, l drainage.Limit, least float64, v drainage.Verdict) drainage.Finding {
		f := drainage.Finding{Rules: t.Rules.Name, Rule: rule, Limit: l.Min, Source: l.Source, Verdict: v,
			Why: "by its geometry"}
		if !math.IsInf(least, 1) {
			f.Figure = unit.InchesPerFoot(math.Round(least*1e9) / 1e9)
		}
		return f
	}
	var out []drainage.Finding
	if design := t.Rules.Design; design.Min > 0 {
		slope := d.Slope.InchesPerFoot()
		out = append(out, exact("design", design, slope, judgeExact(design, slope)))
	}
	out = append(out, exact("field", t.Rules.Field, flattestFacet(d), p.Field))
	if least := flattestValley(d); !math.IsInf(least, 1) {
		out = append(out, exact("valley", t.Rules.Valley, least, p.Valley))
	}
	slopes := []string{"field", "valley", "every path"}
	for _, f := range p.Report.Findings {
		if f.Rule == "water" {
			f = finishedWater(f, t)
		}
		if !slices.Contains(slopes, f.Rule) {
			out = append(out, f)
		}
	}
	return out
}

// finishedWater judges what stands on a finished surface by the depth that the
// rules allow there, exactly, as the proof does.
func finishedWater(f drainage.Finding, t Trial) drainage.Finding {
	f.Limit, f.Source, f.Doubt = t.Rules.Pond, t.Rules.PondSource, nil
	depth, ok := f.Figure.(unit.Length)
	switch {
	case !ok || f.Verdict == drainage.Unknown:
		f.Verdict = drainage.Unknown
	case depth.Inches() > t.Rules.Pond.Inches()+1e-6:
		f.Verdict = drainage.FallsShort
	default:
		f.Verdict = drainage.Meets
	}
	return f
}

// flattestFacet is the least finished slope of the field and of crickets on the
// fitted plane.
func flattestFacet(d *Design) float64 {
	least := math.Inf(1)
	for _, f := range topFacets(d.Facets) {
		least = math.Min(least, f.Top().Slope().InchesPerFoot())
	}
	return least
}

func flattestValley(d *Design) float64 {
	least := math.Inf(1)
	for _, l := range d.Lines {
		if l.Kind == Valley {
			least = math.Min(least, l.Slope.InchesPerFoot())
		}
	}
	return least
}

// Finding is the height of one item as a verdict by the rule of flashings.
func (x HeightLeft) Finding(r drainage.Rules) drainage.Finding {
	f := drainage.Finding{Rules: r.Name, Rule: "flashing", Where: x.Item, Limit: x.Wanted, Source: r.FlashingSource,
		Verdict: x.Verdict, Why: x.Why}
	if x.Source != "" {
		f.Rule, f.Source = "duct", x.Source
	}
	if x.ToldPct > 0 {
		f.Figure = x.Left
		if x.Sigma > 0 {
			f.Doubt = 2 * x.Sigma
		}
	}
	return f
}
