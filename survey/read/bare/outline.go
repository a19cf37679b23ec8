package bare

import "runnel/survey/geom"

// Outline is a closed ring of a file with the rings cut out of it, all in the
// file's own unit and direction, no vertex repeated at the end.
type Outline struct {
	Name  string
	Outer geom.Ring
	Holes []geom.Ring
}

// Area is the area of o less its holes, in the file's unit squared.
func (o Outline) Area() float64 { return geom.Poly{Outer: o.Outer, Holes: o.Holes}.Area() }

// Perimeter is the length of the outer ring, in the file's unit.
func (o Outline) Perimeter() float64 {
	var sum float64
	for i, p := range o.Outer {
		sum += p.Dist(o.Outer.At(i + 1))
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

// OutlineBox is the least box that holds every outline, in the file's unit; ok
// is false where there are none.
func (f *File) OutlineBox() (box geom.Box, ok bool) {
	var all []geom.Pt
	for _, o := range f.Outlines {
		all = append(all, o.Outer...)
	}
	return geom.BoxOf(all...), len(all) > 0
}
