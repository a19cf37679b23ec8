// Package geom is the plane geometry of a roof: places, rings, polygons with
// holes, and the building frame.
//
// All coordinates are feet in plan, x to the right and y up on the sheet. A
// place is a pair of bare numbers and not of unit.Length, because every
// formula of plane geometry multiplies them; the unit is feet everywhere in
// this package and wherever a Pt is used.
package geom

import (
	"cmp"
	"math"
)

// Pt is a place in plan, in feet.
type Pt struct{ X, Y float64 }

// Add, Sub and Mul do vector arithmetic in feet.
func (p Pt) Add(q Pt) Pt { return Pt{p.X + q.X, p.Y + q.Y} }

// Sub is the way from q to p.
func (p Pt) Sub(q Pt) Pt { return Pt{p.X - q.X, p.Y - q.Y} }

// Mul is p stretched by k.
func (p Pt) Mul(k float64) Pt { return Pt{p.X * k, p.Y * k} }

// Dot is the scalar product, in square feet.
func (p Pt) Dot(q Pt) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Cross is the z component of the vector product, in square feet: positive
// where q lies to the left of p. The products are rounded one by one so that
// no processor fuses them into another sum.
func (p Pt) Cross(q Pt) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }

// Norm is the length of p as a vector, in feet.
func (p Pt) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Dist is the plan distance from p to q, in feet.
func (p Pt) Dist(q Pt) float64 { return p.Sub(q).Norm() }

// Lerp is the place a share t of the way from p to q.
func (p Pt) Lerp(q Pt, t float64) Pt { return p.Add(q.Sub(p).Mul(t)) }

// Compare orders places by X, then by Y.
func Compare(p, q Pt) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) }

// Box is an upright rectangle; Min holds the lower left corner.
type Box struct{ Min, Max Pt }

// BoxOf is the least box round pts; no place gives the zero box.
func BoxOf(pts ...Pt) Box {
	if len(pts) == 0 {
		return Box{}
	}
	b := Box{pts[0], pts[0]}
	for _, p := range pts[1:] {
		b.Min.X, b.Min.Y = math.Min(b.Min.X, p.X), math.Min(b.Min.Y, p.Y)
		b.Max.X, b.Max.Y = math.Max(b.Max.X, p.X), math.Max(b.Max.Y, p.Y)
	}
	return b
}

// Size is the width and the height of b, in feet.
func (b Box) Size() (w, h float64) { return b.Max.X - b.Min.X, b.Max.Y - b.Min.Y }

// Centre is the middle of b.
func (b Box) Centre() Pt { return b.Min.Lerp(b.Max, 0.5) }

// Overlaps says whether two boxes share a place, their borders included.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Has says whether p lies in b or on its border.
func (b Box) Has(p Pt) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// Ring returns the four corners of b, counter-clockwise from Min.
func (b Box) Ring() Ring {
	return Ring{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}}
}
