package sight

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// look is one direction from a place: its turn from the first one, radians,
// and a vector along it.
type look struct {
	turn float64
	d    geom.Pt
}

// Fan gives the triangles that together are what q sees; q may stand on a wall
// or in a corner. Cost: looks x walls.
func (w *Walls) Fan(q geom.Pt) []geom.Ring {
	return w.FanIn(q, geom.Pt{X: 1}, 2*math.Pi)
}

// FanIn is Fan between the direction from and the one widthRad further
// counter-clockwise.
func (w *Walls) FanIn(q, from geom.Pt, widthRad float64) []geom.Ring {
	looks := w.looks(q, from, widthRad)
	var out []geom.Ring
	last, start := -1, look{}
	for i, to := range looks[1:] {
		a := looks[i]
		if to.turn-a.turn < tolRad {
			continue
		}
		n := w.lit(q, turned(from, (a.turn+to.turn)/2))
		if n >= 0 && n == last && to.turn-start.turn < 3 {
			out[len(out)-1][2] = reach(q, to.d, w.edges[n])
			continue
		}
		last, start = n, a
		if n >= 0 {
			e := w.edges[n]
			out = append(out, geom.Ring{q, reach(q, a.d, e), reach(q, to.d, e)})
		}
	}
	return out
}

// lit is the edge that q sees along the unit vector m, -1 where that way leads
// out of the area at once.
func (w *Walls) lit(q, m geom.Pt) int {
	n, runFt := w.nearest(q, m)
	if n >= 0 && w.poly.Has(q.Add(m.Mul(runFt/2))) {
		return n
	}
	return -1
}

// looks gives the directions from q to all corners within the sector, sorted,
// with its two borders.
func (w *Walls) looks(q, from geom.Pt, widthRad float64) []look {
	out := []look{{0, from}, {widthRad, turned(from, widthRad)}}
	for _, e := range w.edges {
		d := e.a.Sub(q)
		if d.Norm() < tolFt {
			continue
		}
		t := math.Atan2(from.Cross(d), from.Dot(d))
		if t < 0 {
			t += 2 * math.Pi
		}
		if t > tolRad && t < widthRad-tolRad {
			out = append(out, look{t, d})
		}
	}
	slices.SortFunc(out, func(a, b look) int { return cmp.Compare(a.turn, b.turn) })
	return out
}

// turned is the unit vector rad counter-clockwise from d.
func turned(d geom.Pt, rad float64) geom.Pt {
	if rad == 2*math.Pi {
		return d.Mul(1 / d.Norm())
	}
	s, c := math.Sincos(rad)
	u := d.Mul(1 / d.Norm())
	return geom.Pt{X: c*u.X - s*u.Y, Y: s*u.X + c*u.Y}
}

// Sector is a range of directions: from From counter-clockwise over WidthRad.
type Sector struct {
	From     geom.Pt
	WidthRad float64
}

// Shadow is the sector behind c that a look arriving along d cannot see: from
// d round to the wall behind the corner. It gives false where the corner hides
// nothing from it.
func (c Corner) Shadow(d geom.Pt) (Sector, bool) {
	toPrev, toNext := c.Prev.Sub(c.P), c.Next.Sub(c.P)
	solid := ccw(toPrev, toNext)
	left, right := ccw(d, toPrev), ccw(toNext, d)
	switch {
	case left > tolRad && left+solid <= math.Pi+tolRad:
		return Sector{d, left}, true
	case right > tolRad && right+solid <= math.Pi+tolRad:
		return Sector{toNext, right}, true
	}
	return Sector{}, false
}

// ccw is the turn from a to b counter-clockwise, 0 to 2 pi.
func ccw(a, b geom.Pt) float64 {
	t := math.Atan2(a.Cross(b), a.Dot(b))
	if t < 0 {
		t += 2 * math.Pi
	}
	return t
}

// Sweep gives the quadrilaterals that together are what the stretch a-b sees
// square to itself, along the unit vector n. Cost: corners x walls.
func (w *Walls) Sweep(a, b, n geom.Pt) []geom.Ring {
	length := a.Dist(b)
	if length < tolFt {
		return nil
	}
	u := b.Sub(a).Mul(1 / length)
	stops := []float64{0, length}
	for _, e := range w.edges {
		v := e.a.Sub(a)
		if at := v.Dot(u); at > tolFt && at < length-tolFt && v.Dot(n) > tolFt {
			stops = append(stops, at)
		}
	}
	slices.Sort(stops)
	var out []geom.Ring
	last := -1
	for i, to := range stops[1:] {
		if to-stops[i] < tolFt {
			continue
		}
		k := w.lit(a.Add(u.Mul((stops[i]+to)/2)), n)
		p, q := a.Add(u.Mul(stops[i])), a.Add(u.Mul(to))
		switch {
		case k >= 0 && k == last:
			quad := out[len(out)-1]
			quad[1], quad[2] = q, reach(q, n, w.edges[k])
		case k >= 0:
			out = append(out, geom.Ring{p, q, reach(q, n, w.edges[k]), reach(p, n, w.edges[k])})
		}
		last = k
	}
	for i, r := range out {
		out[i] = r.CCW()
	}
	return out
}
