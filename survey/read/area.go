package read

import (
	"fmt"
	"strconv"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/unit"
)

// areaRead is an area with the places of its parts in the job file, for the
// problems that only show when all of it is known.
type areaRead struct {
	survey.Area
	at       item
	outline  item
	courtAt  []item
	outletAt []item // beside Outlets
	curbAt   []item // beside Curbs
	doorAt   []item // beside Doors
	sillAt   []item // beside Sills
	weepAt   []item // beside Weeps
	ductAt   []item // beside Ducts
	sound    bool   // outline and courts can be reckoned with
}

// readAreas reads every area of the job.
func (r *jobReader) readAreas(v item) {
	if v.absent {
		v.fault("the job has no areas", "write areas: and under it - name, outline and outlets of each")
		return
	}
	l := v.list()
	if len(l) == 0 && v.n.Kind == yaml.SequenceNode {
		v.fault("the job has no areas", "write one area at least")
	}
	if len(l) > mostAreas {
		v.fault(fmt.Sprintf("%d areas are more than the %d of a job", len(l), mostAreas), "divide the job")
		return
	}
	for _, a := range l {
		if f, ok := a.fields("area"); ok {
			r.areas = append(r.areas, r.area(f))
		}
	}
}

func (r *jobReader) area(f fields) *areaRead {
	a := &areaRead{at: f.item, outline: f.get("outline")}
	name := f.get("name")
	a.Name = areaName(name)
	if a.outline.absent {
		a.outline.fault("the area has no outline", "write outline: [[0,0], [60,0], [60,40], [0,40]]")
	}
	if a.outline.absent || a.outline.n.Kind != yaml.ScalarNode {
		a.Outline, a.sound = a.outline.ring()
	} else if o, ok := r.outlineFile(a.outline); ok {
		a.placed(o)
	}
	if courts := f.get("courts"); !courts.absent && courts.n.Kind == yaml.ScalarNode {
		r.courtsFile(a, courts)
	} else {
		for _, c := range courts.list() {
			ring, ok := c.ring()
			a.Courts, a.courtAt = append(a.Courts, ring), append(a.courtAt, c)
			a.sound = a.sound && ok
		}
	}
	a.Edges = make([]survey.Edge, len(a.Outline))
	if a.Outline != nil {
		r.edges(a, f.get("edges"))
	}
	r.outlets(a, f.get("outlets"))
	r.curbs(a, f.get("curbs"))
	a.Doors, a.doorAt = r.wallItems(a, f.get("doors"), "door", "sill")
	a.Sills, a.sillAt = r.wallItems(a, f.get("sills"), "sill", "height")
	a.Weeps, a.weepAt = r.wallItems(a, f.get("weeps"), "weep", "height")
	r.ducts(a, f.get("ducts"))
	a.Deck = r.deckKind(f.get("deck"))
	a.Breaks = r.roofLines(a, f.get("breaklines"), "breakline")
	a.Joints = r.roofLines(a, f.get("joints"), "joint")
	r.crickets(a, f.get("crickets"))
	return a
}

// mostNameRunes is how long the name of an area may be: it stands on sheets and
// in the names of files.
const mostNameRunes = 60

// areaName reads the name of an area.
func areaName(v item) string {
	if v.absent {
		v.fault("the area has no name", "write name: A")
		return ""
	}
	name, _ := v.text()
	if n := utf8.RuneCountInString(name); n > mostNameRunes {
		v.fault(fmt.Sprintf("the name of an area may have %d characters, this one has %d", mostNameRunes, n),
			"write a shorter one")
	}
	return name
}

// edgeNumber reads which edge is meant.
func (a *areaRead) edgeNumber(v item) (int, bool) {
	if v.absent {
		v.fault("it is not stated which edge", "write edge: 0 for the one from vertex 0 to vertex 1")
		return 0, false
	}
	if a.Outline == nil { // its own fault is told already
		return 0, false
	}
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	if n, err := strconv.Atoi(t); err == nil && n >= 0 && n < len(a.Outline) {
		return n, true
	}
	v.fault(fmt.Sprintf("the outline has no such edge; it has %d, counted from 0", len(a.Outline)),
		fmt.Sprintf("write a number from 0 to %d", len(a.Outline)-1))
	return 0, false
}

// edges reads the edges that the job names. A gutter or open edge becomes an
// outlet named <area>-<n>; its height, where given, is the outlet's inlet.
func (r *jobReader) edges(a *areaRead, v item) {
	named := map[int]int{} // line of the first naming
	for _, e := range v.list() {
		f, ok := e.fields("edge")
		if !ok {
			continue
		}
		n, ok := a.edgeNumber(f.get("edge"))
		if !ok {
			continue
		}
		if line, twice := named[n]; twice {
			f.get("edge").fault(fmt.Sprintf("edge %d is described twice, first at line %d", n, line),
				"take one of them out")
			continue
		}
		named[n] = f.n.Line
		kind := edgeKind(f.get("kind"))
		h := r.height(f, "height")
		if kind.LetsWaterGo() {
			o := survey.Outlet{ID: fmt.Sprintf("%s-%d", a.Name, n), Kind: survey.GutterOutlet, Edge: n,
				At: a.Outline[n].Lerp(a.Outline.At(n+1), 0.5), Inlet: h}
			if kind == survey.OpenEdge {
				o.Kind = survey.OpenOutlet
			}
			o.Onto, _ = f.get("onto").text()
			a.Outlets, a.outletAt = append(a.Outlets, o), append(a.outletAt, f.item)
		}
		if onto := f.get("onto"); !kind.LetsWaterGo() && !onto.absent {
			onto.fault("no water leaves over an edge of kind "+kind.String(), "take it out, or write kind: gutter or kind: open")
		}
		a.Edges[n] = survey.Edge{Kind: kind, Height: h}
	}
}

func edgeKind(v item) survey.EdgeKind {
	if v.absent {
		v.fault("the kind of edge is not stated",
			"write kind: parapet, wall, gutter, open, joint or limit")
	}
	switch v.word("parapet", "wall", "gutter", "open", "joint", "limit") {
	case "wall":
		return survey.Wall
	case "gutter":
		return survey.GutterEdge
	case "open":
		return survey.OpenEdge
	case "joint":
		return survey.Joint
	case "limit":
		return survey.LimitEdge
	}
	return survey.Parapet
}

// height reads a height and its datum, which must stand beside it.
func (r *jobReader) height(f fields, key string) survey.Height {
	v, above := f.get(key), f.get("above")
	var h survey.Height
	switch above.word("membrane", "deck", "elevation") {
	case "membrane":
		h.Above = survey.AboveMembrane
	case "deck":
		h.Above = survey.AboveDeck
	case "elevation":
		h.Above = survey.AboveElevation
	}
	if v.absent {
		if !above.absent {
			above.fault("a datum without a height", "write "+key+": 4 in beside it, or take it out")
		}
		return survey.Height{}
	}
	if above.absent {
		v.fault("it is not stated what the height is measured above",
			"write above: membrane, above: deck or above: elevation beside it")
	}
	ok := false
	if h.Above == survey.AboveElevation {
		h.Value, ok = r.elevation(v)
	} else {
		h.Value, ok = v.length(0)
	}
	if !ok || h.Above == survey.UnsetDatum {
		return survey.Height{}
	}
	return h
}

func (r *jobReader) outlets(a *areaRead, v item) {
	if r.tooMany(v) {
		return
	}
	for _, o := range v.list() {
		if f, ok := o.fields("outlet"); ok {
			a.Outlets, a.outletAt = append(a.Outlets, r.outlet(a, f)), append(a.outletAt, f.item)
		}
	}
}

func (r *jobReader) outlet(a *areaRead, f fields) survey.Outlet {
	o := survey.Outlet{Edge: -1, Overflow: f.get("overflow").yes()}
	id, kind := f.get("id"), f.get("kind")
	if o.ID, _ = id.text(); id.absent {
		id.fault("the outlet has no id", "write id: D1")
	}
	if kind.absent {
		kind.fault("the kind of outlet is not stated", "write kind: drain or kind: scupper")
	}
	switch kind.word("drain", "scupper", "gutter", "open") {
	case "drain":
		o.Kind = survey.Drain
		r.drain(&o, f)
	case "scupper":
		o.Kind = survey.Scupper
		r.scupper(&o, a, f)
	case "gutter", "open":
		edge := "n"
		if e := f.get("edge"); !e.absent && e.n.Kind == yaml.ScalarNode {
			edge = e.n.Value
		}
		kind.fault("an edge that lets water go is no outlet of its own",
			"write it under edges: {edge: "+edge+", kind: "+kind.n.Value+"}; it is an outlet by itself")
	}
	o.Inlet = r.inlet(f)
	o.Capacity = capacity(f.get("capacity"))
	o.Onto, _ = f.get("onto").text()
	state := f.get("state")
	o.Unstated = state.absent
	switch state.word("works", "blocked", "untested") {
	case "blocked":
		o.State = survey.Blocked
	case "untested":
		o.State = survey.Untested
	}
	switch f.get("reset").word("ask", "yes", "no", "true", "false") {
	case "yes", "true":
		o.Reset = survey.ResetYes
	case "no", "false":
		o.Reset = survey.ResetNo
	}
	return o
}

func (r *jobReader) inlet(f fields) survey.Height {
	if flange, inlet := f.get("flange"), f.get("inlet"); !flange.absent && !inlet.absent {
		inlet.fault("the outlet has a flange and an inlet height", "keep one of them")
	} else if !flange.absent {
		return r.height(f, "flange")
	}
	return r.height(f, "inlet")
}

// misplaced blames keys that this kind of outlet does not have.
func misplaced(f fields, kind string, keys ...string) {
	for _, k := range keys {
		if v := f.get(k); !v.absent {
			v.fault("a "+kind+" has no "+k, "take it out")
		}
	}
}

func (r *jobReader) drain(o *survey.Outlet, f fields) {
	at := f.get("at")
	if at.absent {
		at.fault("the drain has no place", "write at: [x, y]")
	}
	o.At, _ = at.pair()
	o.Size, _ = f.get("size").positive(0, false)
	o.Strainer, _ = f.get("strainer").positive(0, false)
	o.Dam, _ = f.get("dam").positive(0, false)
	bowl(o, f.get("bowl"))
	misplaced(f, "drain", "edge", "along", "width", "height")
}

// bowl reads a sump pressed into the roof round a drain.
func bowl(o *survey.Outlet, v item) {
	f, ok := v.fields("bowl")
	if !ok {
		return
	}
	size, depth := f.get("size"), f.get("depth")
	if size.absent {
		size.fault("the bowl has no size", "write size: 2 ft, a side of its square")
	}
	if depth.absent {
		depth.fault("the bowl has no depth", "write depth: 1 in, of its bottom under the roof round it")
	}
	o.Bowl.Size, _ = size.positive(0, false)
	o.Bowl.Depth, _ = depth.positive(0, false)
}

func (r *jobReader) scupper(o *survey.Outlet, a *areaRead, f fields) {
	misplaced(f, "scupper", "at", "size", "bowl", "strainer", "dam")
	along, width := f.get("along"), f.get("width")
	if along.absent {
		along.fault("the scupper has no place on its edge",
			"write along: 12 ft, from the edge's first vertex to its middle")
	}
	l, _ := along.positive(r.plan, true)
	if width.absent {
		o.Width = unit.Inches(12)
		width.note("the scupper's width is not stated; 12 in is taken", "write width: 12 in")
	} else {
		o.Width, _ = width.positive(0, false)
	}
	o.Opening, _ = f.get("height").positive(0, false)
	if n, at, ok := a.onEdge(f, "scupper "+o.ID, l, o.Width); ok {
		o.Edge, o.Along, o.At = n, l, at
	}
}

func (r *jobReader) curbs(a *areaRead, v item) {
	if r.tooMany(v) {
		return
	}
	for _, c := range v.list() {
		f, ok := c.fields("curb")
		if !ok {
			continue
		}
		a.Curbs, a.curbAt = append(a.Curbs, r.curb(f)), append(a.curbAt, f.item)
	}
}

func (r *jobReader) curb(f fields) survey.Curb {
	var c survey.Curb
	id, at, size := f.get("id"), f.get("at"), f.get("size")
	if c.ID, _ = id.text(); id.absent {
		id.fault("the curb has no id", "write id: U1")
	}
	if at.absent {
		at.fault("the curb has no place", "write at: [x, y], its middle")
	}
	c.At, _ = at.pair()
	if size.absent {
		size.fault("the curb has no size", "write size: [8, 6], along and across the building")
	}
	if wd, ok := size.pair(); ok {
		if c.W, c.D = wd.X, wd.Y; c.W <= 0 || c.D <= 0 {
			size.fault("a curb's sizes must be more than 0", "write size: [8, 6]")
		}
	}
	c.Turn, _ = f.get("turn").degrees()
	c.Height = r.height(f, "height")
	return c
}
