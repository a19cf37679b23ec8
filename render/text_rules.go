package render

import (
	"runnel/drainage"
	"runnel/survey/unit"
)

// findings tells each verdict in a line of its own: rule, limit, figure, doubt.
// Verdicts that every area shares, such as gutters that nobody measured, are
// among them.
func (t *telling) findings(title string, all []drainage.Finding) {
	if len(all) == 0 {
		return
	}
	t.heading(t.told(title))
	for _, f := range all {
		t.item("-", t.finding(f))
	}
}

// finding is one verdict: field: needs 1/4 in/ft (us-reroof), 0.07 in/ft found,
// +-0.03 in/ft: falls short.
func (s say) finding(f drainage.Finding) string {
	text := f.Rule
	if f.Where != "" {
		text += " " + f.Where
	}
	text += ": " + s.needs(f) + " (" + f.Rules + ")"
	if f.Figure != nil {
		text += ", " + s.measure(f.Figure) + " found"
		if f.Doubt != nil {
			text += ", ±" + s.doubt(f.Doubt)
		}
	}
	text += ": " + s.verdict(f.Verdict)
	if f.Why != "" {
		text += " (" + f.Why + ")"
	}
	return text
}

func (s say) needs(f drainage.Finding) string {
	switch {
	case f.Most != nil:
		return "needs " + s.measure(f.Limit) + " to " + s.measure(f.Most)
	case f.AtMost:
		return "at most " + s.measure(f.Limit)
	}
	return "needs " + s.measure(f.Limit)
}

// measure prints a figure; lengths here are depths and heights.
func (s say) measure(m drainage.Measure) string {
	switch v := m.(type) {
	case unit.Length:
		return v.FormatThin(s.sys)
	case unit.Slope:
		return s.slope(v)
	}
	return m.Format(s.sys)
}

// doubt prints how far a figure may be off, to a tenth of what is told.
func (s say) doubt(m drainage.Measure) string {
	switch v := m.(type) {
	case unit.Length:
		return s.hundredths(v.Inches())
	case unit.Slope:
		return s.slopeFine(v)
	}
	return m.Format(s.sys)
}
