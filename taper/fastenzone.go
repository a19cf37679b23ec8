package taper

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// ZoneArea is one zone of a roof.
type ZoneArea struct {
	Zone survey.Zone
	SqFt float64 // of the outline less courts
}

// WindZones are the parts of one roof by how hard the wind lifts it.
//
// A strip lies within its width of an edge, filled out square at inside corners. Edges
// are those of outline and courts, walls too, which errs on the safe side; an expansion
// joint and the limit of the work are none. A corner is where two edges turn outward by 45 degrees or more: a leg
// along each of them. Inside corners and the many small turns of a round wall are none.
// The rules know rectangles alone; on other outlines this is what they come to, and the
// engineer's own zones rule.
//
// Sources: ASCE 7-05 and 7-10, figures 30.4 (a strip of the least of a tenth of the least
// width and 0.4 of the height, never under 0.04 of the width nor 3 ft), and ASCE 7-16 and 7-22 (strips
// of 0.6 of the height, corner legs 0.6 by 0.2 of it): from memory.
type WindZones struct {
	Strip                unit.Length // width of the perimeter
	CornerLong, CornerIn unit.Length // of the legs of a corner, along the edge and in from it
	Width                unit.Length // least width taken; 0: the rule looks at none
	Areas                []ZoneArea  // mildest first, those that there are

	corner, strip, second region // strip holds the corners; second: strip and the field along it
	inner                 bool   // the rule has an inner zone
}

// region is a part of a roof, and the boxes of what it was put together from.
type region struct {
	parts []geom.Poly
	boxes []geom.Box
}

func (r region) sqft() float64 { return areaOfAll(r.parts) }

// of is the area of a piece in the region.
func (r region) of(p geom.Poly) (sqft float64, err error) {
	box := p.Outer.Box()
	if !slices.ContainsFunc(r.boxes, box.Overlaps) {
		return 0, nil
	}
	for _, q := range r.parts {
		parts, err := geom.Intersect(p, q)
		if err != nil {
			return 0, err
		}
		sqft += areaOfAll(parts)
	}
	return sqft, nil
}

// ZonesOf draws the zones of a roof; nil where the choice names no rule. Cost: one
// overlay for each edge.
func ZonesOf(s *survey.Site, c survey.ZoneChoice) (*WindZones, error) {
	if c.By == survey.UnsetZones {
		return nil, nil
	}
	z := &WindZones{inner: c.By == survey.ZonesByHeight}
	hFt := c.Height.Feet()
	if z.inner {
		z.Strip, z.CornerLong, z.CornerIn = unit.Feet(0.6*hFt), unit.Feet(0.6*hFt), unit.Feet(0.2*hFt)
	} else {
		if z.Width = c.Width; z.Width == 0 {
			w, d := s.Outline.Box().Size()
			z.Width = unit.Feet(math.Min(w, d))
		}
		w := z.Width.Feet()
		z.Strip = unit.Feet(math.Max(math.Min(0.1*w, 0.4*hFt), math.Max(0.04*w, 3)))
		z.CornerLong, z.CornerIn = z.Strip, z.Strip
	}
	edges := windEdges(s)
	var err error
	if z.corner, err = z.corners(s, edges); err != nil {
		return nil, err
	}
	if z.strip, err = stripAlong(s, edges, z.Strip.Feet()); err != nil {
		return nil, err
	}
	if z.inner {
		if z.second, err = stripAlong(s, edges, 2*z.Strip.Feet()); err != nil {
			return nil, err
		}
	}
	z.measure(s.Poly().Area())
	return z, nil
}

func (z *WindZones) measure(allSqft float64) {
	c, p, f := z.corner.sqft(), z.strip.sqft(), allSqft
	if z.inner {
		f = z.second.sqft()
	}
	for i, sqft := range []float64{allSqft - f, f - p, p - c, c} {
		if sqft > geom.Sliver*allSqft {
			z.Areas = append(z.Areas, ZoneArea{survey.Zones()[i], sqft})
		}
	}
}

func areaOfAll(ps []geom.Poly) (sqft float64) {
	for _, p := range ps {
		sqft += p.Area()
	}
	return sqft
}

// windEdge is an edge of the roof that the wind comes over, the roof on its left, with
// how far the outline turns (to the left) at either end; no is set where the edge beyond is none.
type windEdge struct {
	a, b         geom.Pt
	turnA, turnB float64
	noA, noB     bool
}

// windEdges are the edges of outline and courts that count.
func windEdges(s *survey.Site) []windEdge {
	counts := func(a, b geom.Pt) bool {
		for _, e := range s.Edges {
			if e.A == a && e.B == b {
				return e.Kind != survey.Joint && e.Kind != survey.LimitEdge
			}
		}
		return true // of a court
	}
	var out []windEdge
	for _, ring := range s.Poly().Rings() {
		for i := range ring {
			a, b := ring[i], ring.At(i+1)
			if !counts(a, b) {
				continue
			}
			before, after := ring.At(i-1), ring.At(i+2)
			out = append(out, windEdge{a, b, turnAt(before, a, b), turnAt(a, b, after), !counts(before, a), !counts(b, after)})
		}
	}
	return out
}

// turnAt is by how much a way turns to the left at b, in radians.
func turnAt(a, b, c geom.Pt) float64 {
	u, v := b.Sub(a), c.Sub(b)
	return math.Atan2(u.Cross(v), u.Dot(v))
}

// leg is the part of a roof along an edge between two distances from its start, down to a depth in from it.
func (e windEdge) leg(fromFt, toFt, depthFt float64) geom.Poly {
	along := e.b.Sub(e.a)
	along = along.Mul(1 / along.Norm())
	in := geom.Pt{X: -along.Y, Y: along.X}.Mul(depthFt)
	p, q := e.a.Add(along.Mul(fromFt)), e.a.Add(along.Mul(toFt))
	return geom.Poly{Outer: geom.Ring{p, q, q.Add(in), p.Add(in)}}
}

// leastCornerTurn is from where two edges make a corner.
const leastCornerTurn = math.Pi/4 - 1e-6

// corners are the corners, each of a leg along either edge.
func (z *WindZones) corners(s *survey.Site, edges []windEdge) (region, error) {
	long, in := z.CornerLong.Feet(), z.CornerIn.Feet()
	var legs []geom.Poly
	for _, e := range edges {
		lengthFt := e.a.Dist(e.b)
		if e.turnA >= leastCornerTurn && !e.noA {
			legs = append(legs, e.leg(0, long, in))
		}
		if e.turnB >= leastCornerTurn && !e.noB {
			legs = append(legs, e.leg(lengthFt-long, lengthFt, in))
		}
	}
	return onRoof(s, legs)
}

// stripAlong is what lies within a distance of the edges, filled out at inside corners.
func stripAlong(s *survey.Site, edges []windEdge, widthFt float64) (region, error) {
	past := func(turn float64) float64 { // beyond an inside corner
		if turn >= 0 {
			return 0
		}
		return widthFt * math.Min(1, math.Tan(math.Min(-turn, math.Pi/2)/2))
	}
	var legs []geom.Poly
	for _, e := range edges {
		legs = append(legs, e.leg(-past(e.turnA), e.a.Dist(e.b)+past(e.turnB), widthFt))
	}
	return onRoof(s, legs)
}

// onRoof is what of legs together lies on the roof.
func onRoof(s *survey.Site, legs []geom.Poly) (region, error) {
	var r region
	for _, l := range legs {
		r.boxes = append(r.boxes, l.Outer.Box())
	}
	all, err := geom.Union(legs)
	if err != nil {
		return r, err
	}
	for _, p := range all {
		parts, err := geom.Intersect(p, s.Poly())
		if err != nil {
			return r, err
		}
		r.parts = append(r.parts, parts...)
	}
	return r, nil
}

// share is the area of a piece in each zone; without zones all of it is field.
func (z *WindZones) share(p geom.Poly) (in survey.ByZone[float64], err error) {
	all := p.Area()
	if z == nil {
		in.Field = all
		return in, nil
	}
	strip, err := z.strip.of(p)
	if err == nil && strip > 0 {
		in.Corner, err = z.corner.of(p)
	}
	second := all
	if err == nil && z.inner && strip < all*(1-1e-9) {
		second, err = z.second.of(p)
	}
	in.Inner, in.Field, in.Perimeter = all-second, second-strip, strip-in.Corner
	return in, err
}

// reachShare is how much of a piece must lie in a zone to be fastened as there: less is
// a joint that lies a little off the line. Common practice, no source.
const reachShare = 0.01

// zoneOf is the hardest zone that a piece reaches into.
func zoneOf(in survey.ByZone[float64]) survey.Zone {
	all := in.Inner + in.Field + in.Perimeter + in.Corner
	reached := 0.0
	zones := survey.Zones()
	for i := len(zones) - 1; i > 0; i-- {
		if reached += *in.Of(zones[i]); reached > reachShare*all {
			return zones[i]
		}
	}
	return survey.InnerZone
}
