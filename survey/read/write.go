package read

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// JobFile is the name under which WriteJob hands over the job file.
const JobFile = "job.yaml"

// WriteJob hands over the files of a job: job.yaml and the tables that it
// names. A job as [Job] gives it, written and read again, is the same job but
// for the files and lines where things were read, and for notes on what its
// files left open: what was taken for granted is written out. Why shots were
// left out is not written; reading finds it again.
//
// A point cloud stays in its own file, so a job with one is refused; so is one
// whose shots are in part rod readings and in part elevations, as several files
// may give them. It stops at the first error of write.
func WriteJob(j *survey.Job, write func(name string, data []byte) error) error {
	w := &jobWriter{job: j, plan: unit.Foot, write: write}
	if j.Units == unit.Metric {
		w.plan = unit.Metre
	}
	root := block()
	w.head(root)
	if err := w.survey(root); err != nil {
		return err
	}
	w.choices(root)
	if err := w.laid(root); err != nil {
		return err
	}
	var areas []*yaml.Node
	for i := range j.Areas {
		areas = append(areas, w.area(&j.Areas[i]))
	}
	root.list("areas", areas)
	var text bytes.Buffer
	enc := yaml.NewEncoder(&text)
	enc.SetIndent(2)
	if err := errors.Join(enc.Encode(root.n), enc.Close()); err != nil {
		return fmt.Errorf("write %s: %w", JobFile, err)
	}
	return write(JobFile, text.Bytes())
}

// jobWriter is one writing of a job.
type jobWriter struct {
	job   *survey.Job
	plan  unit.Length
	write func(name string, data []byte) error
}

func (w *jobWriter) length(l unit.Length) string { return lengthText(l, w.job.Units) }

// orNone is a length, or nothing where it is 0.
func (w *jobWriter) orNone(l unit.Length) string {
	if l == 0 {
		return ""
	}
	return w.length(l)
}

func (w *jobWriter) head(root group) {
	head := flow()
	head.put("name", w.job.Name)
	head.put("units", w.job.Units.String())
	if w.job.NorthDeg != 0 {
		head.put("north", degreesText(w.job.NorthDeg))
	}
	root.node("job", head.n)
}

// choices writes what stands beside survey and areas.
func (w *jobWriter) choices(root group) {
	j := w.job
	if j.Scope == survey.Partial {
		part := flow()
		part.node("partial", ringNode(j.Part, w.plan))
		root.node("scope", part.n)
	} else if j.Scope != survey.UnsetScope {
		root.put("scope", j.Scope.String())
	}
	w.rules(root)
	if j.Taper != nil {
		root.node("taper", w.taper(j.Taper))
	}
	if j.Stock != nil {
		root.put("stock", w.stockName())
	}
	var seen []*yaml.Node
	for _, p := range j.Seen {
		s := flow()
		s.node("pond", ringNode(p.Outline, w.plan))
		s.put("depth", w.length(p.Depth))
		s.put("hours", plainText(p.Hours))
		seen = append(seen, s.n)
	}
	root.list("seen", seen)
	if j.Ponds != (survey.PondLimits{}) {
		ponds := flow()
		ponds.put("depth", w.orNone(j.Ponds.Depth))
		if j.Ponds.Area != 0 {
			ponds.put("area", areaText(j.Ponds.Area))
		}
		ponds.put("drying", w.orNone(j.Ponds.Drying))
		root.node("ponds", ponds.n)
	}
	rain := flow()
	rain.put("rate", rateText(j.Rain.Rate))
	rain.put("overflow_rate", rateText(j.Rain.OverflowRate))
	if len(rain.n.Content) > 0 {
		root.node("rain", rain.n)
	}
	root.list("sections", w.sections())
	root.list("lines", w.lines())
	root.list("regions", w.regions())
	w.thermal(root)
	w.foreman(root)
	w.fastening(root)
}

func (w *jobWriter) taper(t *survey.TaperChoice) *yaml.Node {
	g := block()
	if t.Scheme != survey.UnsetScheme {
		g.put("scheme", t.Scheme.String())
	}
	g.put("slope", slopeText(t.Slope, w.job.Units))
	g.put("start", w.length(t.Start))
	if t.Base != (survey.BaseChoice{}) {
		base := flow()
		base.put("layers", fmt.Sprint(t.Base.Layers))
		base.put("thickness", w.length(t.Base.Thickness))
		g.node("base", base.n)
	}
	g.put("cover", w.orNone(t.Cover))
	g.put("thickest", w.orNone(t.Thickest))
	if t.AxesDeg != nil {
		g.put("axes", degreesText(*t.AxesDeg))
	}
	if t.TurnBoard {
		g.put("turn_boards", "yes")
	}
	if t.Sump > 0 {
		sump := flow()
		sump.put("size", w.length(t.Sump))
		w.slope(sump, "board", t.SumpBoard)
		g.node("sump", sump.n)
	}
	if t.EqualEdges {
		g.put("edges", "equal-heights")
	}
	if t.TightCut {
		g.put("cutting", "tight")
	}
	g.put("kerf", w.orNone(t.Kerf))
	if t.MostLayers > 0 {
		g.put("most_layers", strconv.Itoa(t.MostLayers))
	}
	g.put("sliver", w.length(t.Sliver))
	if t.LooseBoards {
		g.put("bundles", "loose")
	}
	w.cricket(g, t.Cricket)
	return g.n
}

// area writes one area.
func (w *jobWriter) area(a *survey.Area) *yaml.Node {
	g := block()
	g.put("name", a.Name)
	g.node("outline", ringNode(a.Outline, w.plan))
	var courts, outlets, curbs []*yaml.Node
	for _, c := range a.Courts {
		courts = append(courts, ringNode(c, w.plan))
	}
	for _, o := range a.Outlets {
		if o.Kind == survey.Drain || o.Kind == survey.Scupper {
			outlets = append(outlets, w.outlet(o))
		}
	}
	for _, c := range a.Curbs {
		u := flow()
		u.put("id", c.ID)
		u.node("at", pairNode(c.At, w.plan))
		u.node("size", pairNode(geom.Pt{X: c.W, Y: c.D}, w.plan))
		if c.Turn != 0 {
			u.put("turn", degreesText(c.Turn))
		}
		w.height(u, "height", c.Height)
		curbs = append(curbs, u.n)
	}
	g.list("courts", courts)
	g.list("edges", w.edges(a))
	g.list("outlets", outlets)
	g.list("curbs", curbs)
	g.list("doors", w.wallItems(a.Doors, "sill"))
	g.list("sills", w.wallItems(a.Sills, "height"))
	g.list("weeps", w.wallItems(a.Weeps, "height"))
	g.list("ducts", w.ducts(a.Ducts))
	w.roofLines(g, a)
	if d := a.Deck; d != (survey.DeckKind{}) {
		deck := flow()
		deck.put("type", d.Type)
		if d.SpanDeg != nil {
			deck.put("span", degreesText(*d.SpanDeg))
		}
		deck.put("framing", d.Framing)
		w.bays(deck, d)
		g.node("deck", deck.n)
	}
	return g.n
}

func (w *jobWriter) wallItems(items []survey.WallItem, key string) []*yaml.Node {
	var out []*yaml.Node
	for _, d := range items {
		g := flow()
		g.put("id", d.ID)
		if d.Edge < 0 {
			g.node("at", pairNode(d.At, w.plan))
		} else {
			g.put("edge", fmt.Sprint(d.Edge))
			g.put("along", w.length(d.Along))
			g.put("width", w.orNone(d.Width))
		}
		w.height(g, key, d.Height)
		out = append(out, g.n)
	}
	return out
}

func (w *jobWriter) ducts(all []survey.Duct) []*yaml.Node {
	var out []*yaml.Node
	for _, d := range all {
		g := flow()
		g.put("id", d.ID)
		g.node("from", pairNode(d.From, w.plan))
		g.node("to", pairNode(d.To, w.plan))
		w.height(g, "height", d.Height)
		out = append(out, g.n)
	}
	return out
}

// edges writes the edges that are more than a bare parapet: those that let
// water go first, in the order of their outlets.
func (w *jobWriter) edges(a *survey.Area) []*yaml.Node {
	var out []*yaml.Node
	done := make([]bool, len(a.Edges))
	edge := func(n int) {
		if n < 0 || n >= len(done) || done[n] {
			return
		}
		done[n] = true
		g := flow()
		g.put("edge", fmt.Sprint(n))
		g.put("kind", a.Edges[n].Kind.String())
		w.height(g, "height", a.Edges[n].Height)
		for _, o := range a.Outlets {
			if o.Edge == n && a.Edges[n].Kind.LetsWaterGo() {
				g.put("onto", o.Onto)
			}
		}
		out = append(out, g.n)
	}
	for _, o := range a.Outlets {
		if o.Kind == survey.GutterOutlet || o.Kind == survey.OpenOutlet {
			edge(o.Edge)
		}
	}
	for n, e := range a.Edges {
		if e != (survey.Edge{}) {
			edge(n)
		}
	}
	return out
}

func (w *jobWriter) outlet(o survey.Outlet) *yaml.Node {
	g := flow()
	g.put("id", o.ID)
	g.put("kind", o.Kind.String())
	if o.Kind == survey.Drain {
		g.node("at", pairNode(o.At, w.plan))
		g.put("size", w.orNone(o.Size))
		w.height(g, "flange", o.Inlet)
		if o.Bowl != (survey.Bowl{}) {
			bowl := flow()
			bowl.put("size", w.length(o.Bowl.Size))
			bowl.put("depth", w.length(o.Bowl.Depth))
			g.node("bowl", bowl.n)
		}
		g.put("strainer", w.orNone(o.Strainer))
		g.put("dam", w.orNone(o.Dam))
	} else {
		g.put("edge", fmt.Sprint(o.Edge))
		g.put("along", w.length(o.Along))
		g.put("width", w.length(o.Width))
		g.put("height", w.orNone(o.Opening))
		w.height(g, "inlet", o.Inlet)
	}
	if o.Overflow {
		g.put("overflow", "true")
	}
	if !o.Unstated {
		g.put("state", o.State.String())
	}
	if o.Reset != survey.ResetAsk {
		g.put("reset", o.Reset.String())
	}
	w.capacity(g, o)
	return g.n
}

// height writes a height that is stated, and what it is measured above.
func (w *jobWriter) height(g group, key string, h survey.Height) {
	if h.Stated() {
		g.put(key, w.length(h.Value))
		g.put("above", h.Above.String())
	}
}

func (w *jobWriter) sections() []*yaml.Node {
	var out []*yaml.Node
	for _, c := range w.job.Sections {
		s := flow()
		s.put("name", c.Name)
		s.node("from", pairNode(c.From, w.plan))
		s.node("to", pairNode(c.To, w.plan))
		out = append(out, s.n)
	}
	return out
}
