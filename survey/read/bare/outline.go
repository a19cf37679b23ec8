package bare

import (
	"math"

	"runnel/survey/geom"
)

// Outline is a closed ring of a file with the rings cut out of it, all in the
// file's own unit and direction, no vertex repeated at the end.
type Outline struct {
	Name  string
	Outer geom.Ring
	Holes []geom.Ring
	// Bulges say which edges of the outer ring are arcs: that from vertex i is
	// one whose angle has the quarter tangent Bulges[i], positive
	// counter-clockwise; 0 is straight, and nil is straight all round.
	Bulges []float64
}

// Area is the area of o less its holes, in the file's unit squared, arcs taken
// as arcs.
func (o Outline) Area() float64 {
	sum := o.Outer.SignedArea()
	for i, p := range o.Outer {
		sum += arcArea(p.Dist(o.Outer.At(i+1)), o.bulge(i))
	}
	sum = math.Abs(sum)
	for _, h := range o.Holes {
		sum -= h.Area()
	}
	return sum
}

// Perimeter is the length of the outer ring, in the file's unit, arcs
// taken as arcs.
func (o Outline) Perimeter() float64 {
	var sum float64
	for i, p := range o.Outer {
		sum += arcLength(p.Dist(o.Outer.At(i+1)), o.bulge(i))
	}
	return sum
}

// Vertices counts the vertices of all rings.
func (o Outline) Vertices() int {
	n := len(o.Outer)
	for _, h := range o.Holes {
		n += len(h)
	}
	return n
}

// OutlineBox is the least box that holds every outline with its arcs, in the
// file's unit; ok is false where there are none.
func (f *File) OutlineBox() (box geom.Box, ok bool) {
	var all []geom.Pt
	for _, o := range f.Outlines {
		all = append(all, o.Outer...)
		for i, b := range o.Bulges {
			all = append(all, arcEnds(o.Outer.At(i), o.Outer.At(i+1), b)...)
		}
	}
	return geom.BoxOf(all...), len(all) > 0
}
