package render

import (
	"runnel/drainage"
	"runnel/survey/unit"
)

// summaryFinding is one verdict; of the keys with units those of its kind are
// there.
type summaryFinding struct {
	Rules string `json:"rules"`
	Rule  string `json:"rule"`
	Where string `json:"where,omitempty"`
	Sense string `json:"sense"` // at-least, at-most, between
	summaryFigures
	Verdict string `json:"verdict"`
	Source  string `json:"source,omitempty"`
	Why     string `json:"why,omitempty"`
}

type summaryFigures struct {
	LimitSlope  *float64 `json:"limit_in_per_ft,omitempty"`
	FigureSlope *float64 `json:"figure_in_per_ft,omitempty"`
	DoubtSlope  *float64 `json:"doubt_in_per_ft,omitempty"`
	LimitDepth  *float64 `json:"limit_in,omitempty"`
	MostDepth   *float64 `json:"most_in,omitempty"`
	FigureDepth *float64 `json:"figure_in,omitempty"`
	DoubtDepth  *float64 `json:"doubt_in,omitempty"`
	LimitHours  *float64 `json:"limit_h,omitempty"`
	FigureHours *float64 `json:"figure_h,omitempty"`
}

// findingsOf lists verdicts.
func findingsOf(all []drainage.Finding) []summaryFinding {
	var out []summaryFinding
	for _, f := range all {
		s := summaryFinding{Rules: f.Rules, Rule: f.Rule, Where: f.Where, Sense: "at-least", Verdict: f.Verdict.String(),
			Source: f.Source, Why: f.Why}
		if f.AtMost {
			s.Sense = "at-most"
		}
		if f.Most != nil {
			s.Sense = "between"
		}
		put(f.Limit, &s.LimitSlope, &s.LimitDepth, &s.LimitHours)
		put(f.Most, nil, &s.MostDepth, nil)
		put(f.Figure, &s.FigureSlope, &s.FigureDepth, &s.FigureHours)
		put(f.Doubt, &s.DoubtSlope, &s.DoubtDepth, nil)
		out = append(out, s)
	}
	return out
}

// put gives a measure to the key of its kind.
func put(m drainage.Measure, slope, depth, hours **float64) {
	switch v := m.(type) {
	case unit.Slope:
		*slope = some(v.InchesPerFoot())
	case unit.Length:
		*depth = some(v.Inches())
	case drainage.Hours:
		*hours = some(float64(v))
	}
}
