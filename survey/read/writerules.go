package read

import (
	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/unit"
)

// rules writes the rule set's name, or the job's own figures.
func (w *jobWriter) rules(root group) {
	c := w.job.Rules
	if c.Name != "own" {
		root.put("rules", c.Name)
		return
	}
	g := flow()
	g.put("like", c.Like)
	g.put("name", c.Called)
	g.put("edition", c.Edition)
	g.put("source", c.Source)
	if c.Mode != survey.UnsetMode {
		g.put("mode", c.Mode.String())
	}
	for _, l := range []struct {
		key string
		min unit.Slope
	}{{"field", c.Field}, {"valley", c.Valley}, {"gutter", c.Gutter}, {"sump", c.Sump}, {"design", c.Design}} {
		if l.min != 0 {
			g.put(l.key, slopeText(l.min, w.job.Units))
		}
	}
	g.put("pond", w.orNone(c.Pond))
	if c.DryHours != 0 {
		g.put("dry_hours", plainText(c.DryHours))
	}
	if c.Drained != nil {
		g.put("exception", map[bool]string{true: "yes", false: "no"}[*c.Drained])
	}
	if c.OverflowMost != 0 {
		g.node("overflow", &yaml.Node{Kind: seqKind, Style: yaml.FlowStyle,
			Content: []*yaml.Node{scalar(w.length(c.OverflowLeast)), scalar(w.length(c.OverflowMost))}})
	}
	g.put("flashing", w.orNone(c.Flashing))
	root.node("rules", g.n)
}
