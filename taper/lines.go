package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/lower"
)

// levelInPerFt is a slope that moves no water: rounding of planes, a
// millionth of an inch a foot.
const levelInPerFt = 1e-6

// linesOf names the creases between facets by what water does there on the
// fitted plane, and adds the stretches of wall that water runs along: facets
// that fall against a wall make a valley of it. Collinear stretches between
// the same two facets that meet are one line.
func linesOf(s *survey.Site, facets []Facet, creases []lower.Crease) []Line {
	var out []Line
	for _, c := range merged(creases) {
		l, ok := lineOf(c, facets)
		if c.Right < 0 {
			l, ok = wallLine(s, c, facets[c.Left].Top())
		}
		if ok {
			out = append(out, l)
		}
	}
	return out
}

// TopLines gives the lines of the finished surface: those where the field's
// facets meet, with crickets over them. The crickets' facets may overlap no other
// cricket's. Cost: facets x cells.
func TopLines(s *survey.Site, facets []Facet) ([]Line, error) {
	tops, creases, err := arrangement(facets)
	if err != nil {
		return nil, fmt.Errorf("find the lines of area %s: %w", s.Name, err)
	}
	return linesOf(s, tops, creases), nil
}

// arrangement is the finished top as facets that do not overlap: the field's, less
// what lies under crickets, and those of crickets, whose planes hold the field's
// thickness too.
func arrangement(facets []Facet) ([]Facet, []lower.Crease, error) {
	field, over := parted(facets)
	pieces, keep := fieldPieces(field)
	for _, f := range over {
		keep = append(keep, f.Poly.Outer...)
	}
	e := lower.Of(pieces, keep)
	for n, f := range over {
		e.Put(f.Poly, f.Top(), len(field)+n)
	}
	regions, creases, err := e.Regions()
	tops := make([]Facet, len(regions))
	for i, r := range regions {
		deck := field[r.Tag.Part].Deck
		tops[i] = Facet{Role: FieldRole, Poly: r.Poly, Plane: r.Plane.Sub(deck), Deck: deck}
	}
	return tops, creases, err
}

// topFacets is the arrangement of facets, or the field's alone where it fails.
func topFacets(facets []Facet) []Facet {
	if !slices.ContainsFunc(facets, func(f Facet) bool { return f.Role == CricketRole }) {
		return facets
	}
	tops, _, err := arrangement(facets)
	if err != nil {
		return facets
	}
	return tops
}

// merged joins creases of one pair that run on straight. Each runs with the
// same facet on its left. Cost: creases squared.
func merged(creases []lower.Crease) []lower.Crease {
	var out []lower.Crease
	for _, c := range creases {
		for k := 0; k < len(out); k++ {
			if j, ok := endToEnd(out[k], c); ok {
				c = j
				out = append(out[:k], out[k+1:]...)
				k = -1
			}
		}
		out = append(out, c)
	}
	return out
}

// endToEnd is the stretch that two creases make together, where they meet end to
// end in one line between the same facets.
func endToEnd(a, b lower.Crease) (lower.Crease, bool) {
	if a.Left != b.Left || a.Right != b.Right {
		return a, false
	}
	if b.B == a.A {
		a, b = b, a
	}
	if a.B != b.A || geom.SegDist(a.B, a.A, b.B) > onBorderFt {
		return a, false
	}
	a.B = b.B
	return a, true
}

// lineOf says what the crease between two facets is: a valley where both run
// water to it, a ridge where both shed it and thickness is level along it, else
// a hip; water runs over the rim of a sump.
func lineOf(c lower.Crease, facets []Facet) (Line, bool) {
	if c.Right < 0 {
		return Line{}, false
	}
	along, ok := unitOf(c)
	if !ok {
		return Line{}, false
	}
	left, right := facets[c.Left].Top(), facets[c.Right].Top()
	toRight := geom.Pt{X: along.Y, Y: -along.X}
	a, b := rise(left, toRight), rise(right, toRight)
	l := Line{Hip, c.A, c.B, slopeAlong(left, along)}
	switch {
	case math.Abs(b-a) < levelInPerFt && math.Abs(left.At(c.A)-right.At(c.A)) < sameIn:
		return l, false // one plane goes on
	case b-a > levelInPerFt && a < levelInPerFt && b > -levelInPerFt:
		l.Kind = Valley
	case a-b > levelInPerFt && a > -levelInPerFt && b < levelInPerFt && math.Abs(rise(facets[c.Left].Plane, along)) < levelInPerFt:
		l.Kind = Ridge
	}
	return l, true
}

// wallLine is the valley that a facet of the finished surface makes by running
// water against a wall, be it a wall with scuppers in it: between them water has
// to run along it. Gutter and open edges let it go.
func wallLine(s *survey.Site, c lower.Crease, top survey.Plane) (Line, bool) {
	along, ok := unitOf(c)
	outward := geom.Pt{X: along.Y, Y: -along.X}
	if !ok || rise(top, outward) > -levelInPerFt || !onWall(s, c.A.Lerp(c.B, 0.5)) {
		return Line{}, false
	}
	return Line{Valley, c.A, c.B, slopeAlong(top, along)}, true
}

// onWall says whether p lies on an edge that stops water, or on a court.
func onWall(s *survey.Site, p geom.Pt) bool {
	if n := edgeAt(s, p); n >= 0 {
		return !s.Edges[n].Kind.LetsWaterGo()
	}
	for _, r := range s.Courts {
		if r.Dist(p) < onBorderFt {
			return true
		}
	}
	return false
}

// edgeAt is the edge of the outline that p lies on; -1: none.
func edgeAt(s *survey.Site, p geom.Pt) int {
	for n, e := range s.Edges {
		if geom.SegDist(p, e.A, e.B) < onBorderFt {
			return n
		}
	}
	return -1
}

// scuppersOn names the primary scuppers in edge n.
func scuppersOn(s *survey.Site, n int) []string {
	var ids []string
	for _, o := range s.Outlets {
		if n >= 0 && !o.Overflow && o.Kind == survey.Scupper && o.Edge == n {
			ids = append(ids, o.ID)
		}
	}
	return ids
}

func unitOf(c lower.Crease) (geom.Pt, bool) {
	d := c.B.Sub(c.A)
	l := d.Norm()
	if l < onBorderFt {
		return geom.Pt{}, false
	}
	return d.Mul(1 / l), true
}

// rise is what p rises along d, in inches for a unit vector in feet.
func rise(p survey.Plane, d geom.Pt) float64 { return geom.Pt{X: p.GX, Y: p.GY}.Dot(d) }

// slopeAlong is the slope of p along the unit vector d, whichever way it
// falls; rounding is level.
func slopeAlong(p survey.Plane, d geom.Pt) unit.Slope {
	s := math.Abs(rise(p, d))
	if s < sameSlopeInPerFt {
		s = 0
	}
	return unit.InchesPerFoot(s)
}

// nearWallFt is how close to a wall, curb or inside corner a valley is a
// finding: seams and base flashing need the room (common practice, no source).
const nearWallFt = 2

// lineNotes gives what the report must say of the lines.
func lineNotes(s *survey.Site, facets []Facet, lines []Line, sys unit.System) []string {
	var notes []string
	least := math.Inf(1)
	var close []string
	for _, l := range lines {
		if l.Kind != Valley {
			continue
		}
		least = math.Min(least, l.Slope.InchesPerFoot())
		if p, ok := besideWall(s, l); ok {
			at := s.Frame.ToJob(p)
			close = append(close, unit.Feet(at.X).Format(sys)+", "+unit.Feet(at.Y).Format(sys))
		}
	}
	flat, steep := finishedSlopes(facets)
	if !math.IsInf(least, 1) && least < flat-sameSlopeInPerFt {
		notes = append(notes, fmt.Sprintf("facets slope %s and the flattest valley %s",
			slopeRange(flat, steep, sys), slopeText(least, sys)))
	}
	if len(close) > 0 {
		notes = append(notes, fmt.Sprintf("valleys that run within %s of a wall, curb or inside corner: %d, the first at %s",
			unit.Feet(nearWallFt).Format(sys), len(close), strings.Join(close[:min(3, len(close))], "; ")))
	}
	return notes
}

// besideWall gives a place where a valley runs beside a wall or curb, nearer
// than nearWallFt, and not only because it ends there: a line that comes to a
// wall at 24 degrees or more stands off it by 0.4 of the way left.
func besideWall(s *survey.Site, l Line) (geom.Pt, bool) {
	steps := int(math.Ceil(l.A.Dist(l.B)))
	for i := 1; i < steps; i++ {
		p := l.A.Lerp(l.B, float64(i)/float64(steps))
		d := s.Poly().Dist(p)
		for _, c := range s.Curbs {
			d = math.Min(d, c.Dist(p))
		}
		if d < nearWallFt && d > onBorderFt && d < 0.4*math.Min(p.Dist(l.A), p.Dist(l.B)) {
			return p, true
		}
	}
	return geom.Pt{}, false
}
