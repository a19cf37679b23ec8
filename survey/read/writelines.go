package read

import (
	"math"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// slope writes a slope that is stated.
func (w *jobWriter) slope(g group, key string, s unit.Slope) {
	if s != 0 {
		g.put(key, slopeText(s, w.job.Units))
	}
}

func (w *jobWriter) lines() []*yaml.Node {
	var out []*yaml.Node
	for _, l := range w.job.Lines {
		g := flow()
		g.put("kind", l.Kind.String())
		g.node("at", ringNode(l.At, w.plan))
		out = append(out, g.n)
	}
	return out
}

func (w *jobWriter) regions() []*yaml.Node {
	var out []*yaml.Node
	for _, r := range w.job.Regions {
		g := flow()
		g.node("outline", ringNode(r.Outline, w.plan))
		if r.Scheme != survey.UnsetScheme {
			g.put("scheme", r.Scheme.String())
		}
		w.slope(g, "slope", r.Slope)
		out = append(out, g.n)
	}
	return out
}

// thermal writes the R to reach, in metric jobs as the U that gives it.
func (w *jobWriter) thermal(root group) {
	t := w.job.Thermal
	if t == nil {
		return
	}
	g := flow()
	if w.job.Units == unit.Metric {
		g.put("required_u", plainText(uOf(t.RequiredR)))
	} else {
		g.put("required_r", plainText(t.RequiredR))
	}
	g.put("r_rule", t.Rule.String())
	g.put("r_per_inch", plainText(t.RPerInch))
	root.node("thermal", g.n)
}

// uOf is the U in W/m2K that reads back as the very same R; next to it where no
// U gives that R.
func uOf(r float64) float64 {
	u := unit.USRPerSI / r
	for _, try := range []float64{u, math.Nextafter(u, 0), math.Nextafter(u, math.Inf(1))} {
		if unit.USRPerSI/try == r {
			return try
		}
	}
	return u
}

func (w *jobWriter) cricket(g group, c survey.CricketChoice) {
	if c.None {
		g.put("cricket", "none")
		return
	}
	if c != (survey.CricketChoice{}) {
		of := flow()
		w.slope(of, "board", c.Board)
		w.slope(of, "valley", c.Valley)
		g.node("cricket", of.n)
	}
}

// roofLines writes breaklines, joints and crickets of an area.
func (w *jobWriter) roofLines(g group, a *survey.Area) {
	lines := func(of [][]geom.Pt) (out []*yaml.Node) {
		for _, l := range of {
			out = append(out, ringNode(l, w.plan))
		}
		return out
	}
	g.list("breaklines", lines(a.Breaks))
	g.list("joints", lines(a.Joints))
	if !a.OwnCrickets {
		return
	}
	own := &yaml.Node{Kind: seqKind}
	for _, c := range a.Crickets {
		one := flow()
		one.node("from", pairNode(c.From, w.plan))
		one.node("to", pairNode(c.To, w.plan))
		one.put("width", w.orNone(c.Width))
		if c.On != survey.OnBoth {
			one.put("on", c.On.String())
		}
		w.slope(one, "board", c.Board)
		own.Content = append(own.Content, one.n)
	}
	g.node("crickets", own)
}
