package taper

import (
	"fmt"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/sight"
)

// source is where water leaves and thickness begins: a place, or a stretch of
// edge that it rises from square to it.
type source struct {
	a, b       geom.Pt // equal for a place; else the area lies to the left
	n          geom.Pt // of a line: the unit vector into the area
	slopeInPer float64 // of a line's facet, in/ft
	liftIn     float64 // what it starts above the least start: the rise of a sump
	sump       bool    // a place with a sump round it
}

func (s source) isLine() bool { return s.a != s.b }

// offAxisRad is the angle within which an edge lies along the building axes: a
// hundredth of a degree.
const offAxisRad = math.Pi / 180 / 100

// ground is all that the field of a site begins from.
type ground struct {
	sources []source
	low     []LowLine
	notes   []string // what the report must say of them
}

// groundOf gives the sources of a site under a scheme, lines first, and its low
// lines.
func groundOf(s *survey.Site, in FieldInput, m *meter, w *sight.Walls) (ground, error) {
	edges, g := sourceEdges(s, in.Scheme)
	var ends []source
	for _, e := range edges {
		if err := g.line(e.A, e.B, in, m); err != nil {
			return g, err
		}
		ends = append(ends, source{a: e.A, b: e.A}, source{a: e.B, b: e.B})
	}
	var places []survey.SiteOutlet
	for _, o := range s.Outlets {
		if !isPlace(o, in.Scheme) {
			continue
		}
		if !w.Holds(o.P) {
			at := s.Frame.ToJob(o.P)
			return g, fmt.Errorf("%s %s at %.1f, %.1f ft lies outside area %s; move it inside or mend the outline",
				o.Kind, o.ID, at.X, at.Y, s.Name)
		}
		places = append(places, o)
	}
	if in.Scheme == survey.TwoWayCrickets {
		g.low = append(g.low, linesThrough(s, places, w)...)
	}
	own, err := ownValleys(s, in, places, w)
	if err != nil {
		return g, err
	}
	g.low = append(g.low, own...)
	for _, l := range g.low {
		more, err := g.lowLine(l, in, m)
		if err != nil {
			return g, err
		}
		ends = append(ends, more...)
	}
	g.sources = append(g.sources, ends...)
	for _, o := range places {
		o.P = onLowLine(g.low, o.P)
		g.sources = append(g.sources, source{a: o.P, b: o.P, sump: in.SumpFt > 0 && o.Kind == survey.Drain})
	}
	if len(g.sources) == 0 {
		return g, noSource(s, in.Scheme)
	}
	if n := tooNear(s, in); n != "" {
		g.notes = append(g.notes, n)
	}
	g.sources = distinct(g.sources)
	return g, nil
}

// onLowLine is the place of a low line that an outlet stands on, or its own.
func onLowLine(low []LowLine, p geom.Pt) geom.Pt {
	for _, l := range low {
		for _, q := range l.At {
			if q.Dist(p) < sameLineFt {
				return q
			}
		}
	}
	return p
}

// lowLine puts the stretches of a low line in, rising on every side that has
// roof, and gives its places.
func (g *ground) lowLine(l LowLine, in FieldInput, m *meter) ([]source, error) {
	var ends []source
	for i, p := range l.At {
		ends = append(ends, source{a: p, b: p})
		if i == 0 {
			continue
		}
		if err := g.line(l.At[i-1], p, in, m); err != nil {
			return nil, err
		}
		if l.Wall {
			continue
		}
		if err := g.line(p, l.At[i-1], in, m); err != nil {
			return nil, err
		}
	}
	return ends, nil
}

// isPlace says whether an outlet is a source as a place, not as an edge.
func isPlace(o survey.SiteOutlet, scheme survey.Scheme) bool {
	return scheme != survey.OneWay && !o.Overflow && o.Kind != survey.GutterOutlet && o.Kind != survey.OpenOutlet
}

// tooNearFt is the distance under which two outlets do the work of one.
// Common practice, no source.
const tooNearFt = 1

// tooNear names the outlets that stand on top of one another; empty where none
// do.
func tooNear(s *survey.Site, in FieldInput) string {
	var pairs []string
	for i, o := range s.Outlets {
		for _, q := range s.Outlets[:i] {
			d := o.P.Dist(q.P)
			if !isPlace(o, in.Scheme) || !isPlace(q, in.Scheme) || d >= tooNearFt {
				continue
			}
			at := "in one place"
			if d > 1e-6 {
				at = unit.Feet(d).FormatThin(in.Units) + " apart"
			}
			pairs = append(pairs, fmt.Sprintf("%s and %s stand %s", q.ID, o.ID, at))
		}
	}
	if len(pairs) == 0 {
		return ""
	}
	more := ""
	if shown := 3; len(pairs) > shown {
		more = fmt.Sprintf(" (and %d pairs more)", len(pairs)-shown)
		pairs = pairs[:shown]
	}
	return strings.Join(pairs, ", ") + more + ": one of two serves nothing that the other does not; leave one out"
}

func noSource(s *survey.Site, scheme survey.Scheme) error {
	if scheme == survey.OneWay {
		return fmt.Errorf("area %s has no gutter edge, open edge or primary scupper to slope one way to; "+
			"name one or choose scheme four-way", s.Name)
	}
	return fmt.Errorf("area %s has no primary outlet to slope to; add a drain, scupper, gutter or open edge", s.Name)
}

// sourceEdges gives the edges that are sources as lines, in the order of the
// outlets, and the low lines along those of them that hold scuppers.
func sourceEdges(s *survey.Site, scheme survey.Scheme) (edges []survey.SiteEdge, g ground) {
	taken := map[int]bool{}
	for _, o := range s.Outlets {
		if o.Overflow {
			continue
		}
		if o.State == survey.Blocked {
			g.notes = append(g.notes, fmt.Sprintf("%s %s is blocked: the taper runs to it, so it must be cleared", o.Kind, o.ID))
		}
		switch {
		case o.IsEdge():
			if o.Edge >= 0 && o.Edge < len(s.Edges) && !taken[o.Edge] {
				taken[o.Edge] = true
				edges = append(edges, s.Edges[o.Edge])
			}
		case scheme == survey.OneWay && o.Kind == survey.Scupper:
			if o.Edge >= 0 && o.Edge < len(s.Edges) && !taken[o.Edge] {
				taken[o.Edge] = true
				g.low = append(g.low, lineAlongWall(s, o.Edge))
			}
		case scheme == survey.OneWay:
			g.notes = append(g.notes, fmt.Sprintf("%s %s lies in a one-way slope and no taper runs to it", o.Kind, o.ID))
		}
	}
	return edges, g
}

// line puts a stretch in, with the area on its left.
func (g *ground) line(a, b geom.Pt, in FieldInput, m *meter) error {
	d := b.Sub(a)
	off := math.Abs(math.Remainder(math.Atan2(d.Y, d.X), math.Pi/2))
	if in.Scheme == survey.OneWay && off > offAxisRad {
		return fmt.Errorf("a one-way slope must start from an edge along the building axes, "+
			"and this one is %.3g degrees off; set the axes of taper along that edge", off*180/math.Pi)
	}
	n := geom.Pt{X: -d.Y, Y: d.X}.Mul(1 / d.Norm())
	mid := a.Lerp(b, 0.5)
	slope, err := m.at(mid).lineSlope(in, n, in.ahead(mid))
	g.sources = append(g.sources, source{a: a, b: b, n: n, slopeInPer: slope})
	if err == nil {
		err = m.err
	}
	return err
}

// distinct drops places that are there already.
func distinct(all []source) []source {
	var out []source
	for _, s := range all {
		again := false
		for k, t := range out {
			if s.a.Dist(t.a) < 1e-9 && s.b.Dist(t.b) < 1e-9 {
				again = true
				out[k].sump = t.sump || s.sump
			}
		}
		if !again {
			out = append(out, s)
		}
	}
	return out
}

// skew says whether a line's facet rises faster than the measure somewhere in
// its view, so that a corner in plain view may be the shorter way.
func (s source) skew(g gauge) bool {
	if !s.isLine() {
		return false
	}
	if g.diag > 0 {
		return true
	}
	rise := s.n.Mul(s.slopeInPer)
	// The corners of the places that measure alike, and the axes.
	for _, d := range []geom.Pt{
		{X: g.plusY, Y: g.plusX}, {X: -g.plusY, Y: g.minusX}, {X: g.minusY, Y: -g.plusX}, {X: -g.minusY, Y: -g.minusX},
		{X: 1}, {X: -1}, {Y: 1}, {Y: -1},
	} {
		if rise.Dot(d) > g.riseIn(d)+sameSlopeInPerFt {
			return true
		}
	}
	return false
}
