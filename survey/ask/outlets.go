package ask

import (
	"fmt"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

const nearFt = survey.NearOutletFt

// outlets asks for what is not known of each place where water leaves.
func (l *list) outlets() {
	if len(l.a.Outlets) == 0 {
		l.urgent("outlets", "Where does water leave this area? Give every drain, scupper and gutter edge.",
			"without an outlet all water stands")
		return
	}
	if !l.job.Survey.None {
		l.unshot()
	}
	l.states()
	l.noOverflow()
	l.sizes()
	l.inlets()
	l.resets()
}

// unshot asks for shots at drains and scuppers that have none near.
func (l *list) unshot() {
	for n, bare := range farFromShots(l.a) {
		if !bare {
			continue
		}
		name := outletName(l.a.Outlets[n])
		l.urgent(name, fmt.Sprintf("Take shots on the rim of %s and round it: none lies within %s.", name, l.near()),
			"whether water reaches it is unknown")
	}
}

// near is nearFt in words.
func (l *list) near() string { return l.either("10 ft", "3 m") }

// farFromShots says for each drain and scupper of a whether no used shot and
// no point of a cloud lies within nearFt. Edges that let water go are never
// far: they are lines.
func farFromShots(a *survey.Area) []bool {
	far := make([]bool, len(a.Outlets))
	cells := map[[2]int][]int{} // the outlets that each square of nearFt may be near
	square := func(p geom.Pt) (i, j int) {
		return int(math.Floor(p.X / nearFt)), int(math.Floor(p.Y / nearFt))
	}
	for n, o := range a.Outlets {
		if o.Kind != survey.Drain && o.Kind != survey.Scupper {
			continue
		}
		far[n] = true
		i, j := square(o.At)
		for c := range 9 {
			key := [2]int{i + c%3 - 1, j + c/3 - 1}
			cells[key] = append(cells[key], n)
		}
	}
	met := func(p geom.Pt) {
		i, j := square(p)
		for _, n := range cells[[2]int{i, j}] {
			far[n] = far[n] && p.Dist(a.Outlets[n].At) > nearFt
		}
	}
	for _, shots := range [][]survey.Shot{a.Shots, a.DeckShots} {
		for _, sh := range shots {
			if sh.Left == "" {
				met(sh.At)
			}
		}
	}
	if c := a.Cloud; c != nil {
		for _, p := range c.Pts {
			met(c.Origin.Add(geom.Pt{X: float64(p.X), Y: float64(p.Y)}))
		}
	}
	return far
}

// outletName is an outlet as the job speaks of it: drain D2.
func outletName(o survey.Outlet) string {
	switch o.Kind {
	case survey.Drain, survey.Scupper:
		return o.Kind.String() + " " + o.ID
	case survey.GutterOutlet, survey.OpenOutlet:
		return o.Kind.String() + " edge " + o.ID
	case survey.UnsetOutlet:
		return "outlet " + o.ID
	}
	panic("ask: unknown OutletKind")
}

// states asks about outlets that are not known to let water go.
func (l *list) states() {
	var unstated []string
	for _, o := range l.a.Outlets {
		name := outletName(o)
		if o.Unstated {
			unstated = append(unstated, o.ID)
			continue
		}
		switch o.State {
		case survey.Works:
		case survey.Untested:
			l.urgent(name, fmt.Sprintf("Test %s with water: does it let it go?", name),
				"what is said of the water that runs to it is true only if it does")
		case survey.Blocked:
			l.urgent(name, fmt.Sprintf("Can %s be cleared, and who confirms that it runs?", name),
				"it is counted as closed, and its water runs elsewhere or stands")
		}
	}
	if len(unstated) > 0 {
		name := named("outlet", unstated)
		l.add(name, "Has water been let into "+name+", and does it go? Write state: works, blocked or untested.",
			"taken as working; where it is not, water stands that is not computed")
	}
}

// noOverflow asks where water goes once the primary outlets are blocked, unless
// an overflow is stated or an edge lets water go.
func (l *list) noOverflow() {
	for _, o := range l.a.Outlets {
		if o.Overflow || o.Kind == survey.GutterOutlet || o.Kind == survey.OpenOutlet {
			return
		}
	}
	l.urgent("overflows", "Where does water go when the drains are blocked? Give every overflow with its size and "+
		"inlet height, or say that there is none.", "how deep water can stand on a blocked roof is for the engineer to know")
}

// sizes asks for bores and openings that are not stated.
func (l *list) sizes() {
	drains := l.outletsThat(survey.Drain, func(o survey.Outlet) bool { return o.Size == 0 && o.Capacity == nil })
	if len(drains) > 0 {
		name := named("drain", drains)
		l.add(name, "What is the bore of "+name+", with what strainer and clamp?", "how much water it can take is not known")
	}
	scuppers := l.outletsThat(survey.Scupper, func(o survey.Outlet) bool { return o.Width == 0 || o.Opening == 0 })
	if len(scuppers) > 0 {
		name := named("scupper", scuppers)
		l.add(name, "How wide and how high is the opening of "+name+"?", "how much water it can take is not known")
	}
}

// inlets asks for flanges and inverts whose height is not stated.
func (l *list) inlets() {
	open := func(o survey.Outlet) bool { return !o.Inlet.Stated() }
	if ids := l.outletsThat(survey.Drain, open); len(ids) > 0 {
		name := named("drain", ids)
		l.add(name, "How high does the flange of "+name+" stand, and above what: membrane or deck?",
			"taken as flush; a flange left proud holds water round it")
	}
	if ids := l.outletsThat(survey.Scupper, open); len(ids) > 0 {
		name := named("scupper", ids)
		l.add(name, "How high lies the inlet of "+name+", and above what: membrane or deck?",
			"taken as flush; a higher one holds water back")
	}
}

// resets asks who sets drains to the new surface.
func (l *list) resets() {
	ids := l.outletsThat(survey.Drain, func(o survey.Outlet) bool { return o.Reset == survey.ResetAsk && !o.Overflow })
	if len(ids) > 0 && l.job.Taper != nil {
		name := named("drain", ids)
		l.add(name, "May a plumber reset "+name+" to the new surface, and who confirms it?",
			"the design stands on drains set to the finished surface")
	}
}

// outletsThat names the outlets of one kind of which is says true.
func (l *list) outletsThat(kind survey.OutletKind, is func(survey.Outlet) bool) []string {
	var out []string
	for _, o := range l.a.Outlets {
		if o.Kind == kind && is(o) {
			out = append(out, o.ID)
		}
	}
	return out
}
