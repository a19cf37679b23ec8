package geom

import "math"

// Ring is a closed line of places; the last joins the first and is not
// repeated.
type Ring []Pt

// SignedArea is the area within r in square feet, positive when r runs
// counter-clockwise.
func (r Ring) SignedArea() float64 {
	if len(r) == 0 {
		return 0
	}
	sum, o := 0.0, r[0]
	for i := range r {
		sum += r[i].Sub(o).Cross(r.At(i + 1).Sub(o))
	}
	return sum / 2
}

// Area is the area within r in square feet, whichever way it runs.
func (r Ring) Area() float64 { return math.Abs(r.SignedArea()) }

// At is vertex i, counted round the ring.
func (r Ring) At(i int) Pt { return r[((i%len(r))+len(r))%len(r)] }

// Reversed is r run the other way round, from the same first vertex.
func (r Ring) Reversed() Ring {
	out := make(Ring, len(r))
	for i := range r {
		out[i] = r.At(-i)
	}
	return out
}

// CCW is r run counter-clockwise.
func (r Ring) CCW() Ring {
	if r.SignedArea() < 0 {
		return r.Reversed()
	}
	return r
}

// Box is the least box round r.
func (r Ring) Box() Box { return BoxOf(r...) }

// Has says whether p lies within r; a place on the border may go either way.
// Cost: one pass over the vertices.
func (r Ring) Has(p Pt) bool {
	in := false
	for i := range r {
		a, b := r[i], r.At(i+1)
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// Dist is the distance from p to the border of r, in feet; an empty ring is
// infinitely far.
func (r Ring) Dist(p Pt) float64 {
	d := math.Inf(1)
	for i := range r {
		d = math.Min(d, SegDist(p, r[i], r.At(i+1)))
	}
	return d
}

// SegDist is the distance from p to the stretch a-b, in feet.
func SegDist(p, a, b Pt) float64 { return p.Dist(SegNearest(p, a, b)) }

// SegNearest is the place on the stretch a-b that is nearest to p.
func SegNearest(p, a, b Pt) Pt {
	ab := b.Sub(a)
	l2 := ab.Dot(ab)
	if l2 == 0 {
		return a
	}
	return a.Lerp(b, math.Max(0, math.Min(1, p.Sub(a).Dot(ab)/l2)))
}

// Poly is a region: a counter-clockwise outer ring less its clockwise or
// counter-clockwise holes. The zero value is empty.
type Poly struct {
	Outer Ring
	Holes []Ring
}

// Area is the area of p less its holes, in square feet.
func (p Poly) Area() float64 {
	a := p.Outer.Area()
	for _, h := range p.Holes {
		a -= h.Area()
	}
	return a
}

// Centroid is the centre of area of p less its holes, in feet; it may lie
// outside p. A region without area gives the middle of its box.
func (p Poly) Centroid() Pt {
	var sum Pt
	area := 0.0
	o := p.Outer[0]
	add := func(r Ring, sign float64) {
		for i := range r {
			a, b := r[i].Sub(o), r.At(i+1).Sub(o)
			c := sign * a.Cross(b) / 2
			area += c
			sum = sum.Add(a.Add(b).Mul(c / 3))
		}
	}
	add(p.Outer.CCW(), 1)
	for _, h := range p.Holes {
		add(h.CCW(), -1)
	}
	if area == 0 {
		return p.Outer.Box().Centre()
	}
	return o.Add(sum.Mul(1 / area))
}

// Has says whether q lies within p and in none of its holes.
func (p Poly) Has(q Pt) bool {
	if !p.Outer.Has(q) {
		return false
	}
	for _, h := range p.Holes {
		if h.Has(q) {
			return false
		}
	}
	return true
}

// Rings gives the outer ring, then the holes.
func (p Poly) Rings() []Ring { return append([]Ring{p.Outer}, p.Holes...) }

// LeftRings are the rings of p with the region on their left: the outer one
// counter-clockwise, holes clockwise.
func (p Poly) LeftRings() []Ring {
	out := p.Rings()
	for i, r := range out {
		if out[i] = r.CCW(); i > 0 {
			out[i] = out[i].Reversed()
		}
	}
	return out
}

// Dist is the distance from q to the border of p, holes included, in feet.
func (p Poly) Dist(q Pt) float64 {
	d := math.Inf(1)
	for _, r := range p.Rings() {
		d = math.Min(d, r.Dist(q))
	}
	return d
}

// Map is p with f done to every place; a mirroring f keeps the outer ring
// counter-clockwise.
func (p Poly) Map(f func(Pt) Pt) Poly {
	out := Poly{Outer: p.Outer.Map(f).CCW()}
	for _, h := range p.Holes {
		out.Holes = append(out.Holes, h.Map(f))
	}
	return out
}

// Map is r with f done to every place.
func (r Ring) Map(f func(Pt) Pt) Ring {
	out := make(Ring, len(r))
	for i, p := range r {
		out[i] = f(p)
	}
	return out
}
