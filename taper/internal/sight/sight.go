// Package sight says what a place or an edge of a roof sees in straight lines
// inside the area: its regions as convex pieces, and whether two places see
// each other.
//
// Places are feet in the building frame.
package sight

import (
	"math"
	"slices"

	"runnel/survey/geom"
)

// tolFt is the distance under which two places are one: a ten-thousandth of
// the width of a pencil line, and far above the rounding of coordinates of a
// roof of a thousand feet (1e-12 ft).
const tolFt = 1e-9

// tolRad is the angle under which two directions are one: tolFt at 100 ft.
const tolRad = 1e-11

// Walls is the border of an area, ready to be looked along.
type Walls struct {
	poly  geom.Poly
	edges []edge
}

// edge is one stretch of wall; the area lies to the left of a to b.
type edge struct{ a, b geom.Pt }

// Corner is a re-entrant corner: the area takes up more than half a turn.
type Corner struct{ Prev, P, Next geom.Pt }

// New takes the outline and the courts of an area, whichever way round they
// run.
func New(area geom.Poly) *Walls {
	w := &Walls{poly: area}
	for _, r := range area.LeftRings() {
		for n := range r {
			if r[n] != r.At(n+1) {
				w.edges = append(w.edges, edge{r[n], r.At(n + 1)})
			}
		}
	}
	return w
}

// Corners gives the re-entrant corners of outline and courts, in their order.
func (w *Walls) Corners() []Corner {
	var out []Corner
	prev := map[geom.Pt]geom.Pt{}
	for _, e := range w.edges {
		prev[e.b] = e.a
	}
	for _, e := range w.edges {
		a, ok := prev[e.a]
		if !ok {
			continue
		}
		in, on := e.a.Sub(a), e.b.Sub(e.a)
		if in.Cross(on) < -tolRad*in.Norm()*on.Norm() {
			out = append(out, Corner{a, e.a, e.b})
		}
	}
	return out
}

// Holds says whether p lies in the area or on its border.
func (w *Walls) Holds(p geom.Pt) bool { return w.poly.Has(p) || w.poly.Dist(p) < tolFt }

// Sees says whether the straight stretch from p to q stays in the area; it may
// touch and follow walls. Cost: one pass over the walls and one more for each
// place where it touches them.
func (w *Walls) Sees(p, q geom.Pt) bool {
	length := p.Dist(q)
	if length < tolFt {
		return w.Holds(p)
	}
	d := q.Sub(p).Mul(1 / length)
	box := geom.BoxOf(p, q)
	stops := []float64{0, length}
	for _, e := range w.edges {
		if !overlap(box, e) {
			continue
		}
		stops = append(stops, meet(p, d, length, e)...)
	}
	slices.Sort(stops)
	for i, to := range stops[1:] {
		if to-stops[i] > 2*tolFt && !w.Holds(p.Add(d.Mul((stops[i]+to)/2))) {
			return false
		}
	}
	return true
}

// overlap says whether e may touch box.
func overlap(box geom.Box, e edge) bool {
	return math.Max(e.a.X, e.b.X) >= box.Min.X-tolFt && math.Min(e.a.X, e.b.X) <= box.Max.X+tolFt &&
		math.Max(e.a.Y, e.b.Y) >= box.Min.Y-tolFt && math.Min(e.a.Y, e.b.Y) <= box.Max.Y+tolFt
}

// meet gives the runs from p along d, up to length, at which the stretch comes
// to e or leaves it.
func meet(p, d geom.Pt, length float64, e edge) []float64 {
	var at []float64
	add := func(runFt float64) {
		if runFt > 0 && runFt < length {
			at = append(at, runFt)
		}
	}
	offA, offB := d.Cross(e.a.Sub(p)), d.Cross(e.b.Sub(p))
	if math.Abs(offA) < tolFt {
		add(d.Dot(e.a.Sub(p)))
	}
	if math.Abs(offB) < tolFt {
		add(d.Dot(e.b.Sub(p)))
	}
	if offA*offB < 0 {
		add(d.Dot(e.a.Lerp(e.b, offA/(offA-offB)).Sub(p)))
	}
	return at
}

// nearest is the first edge that a look from q along the unit vector m meets,
// and how far away. Walls that q stands on are not in its way.
func (w *Walls) nearest(q, m geom.Pt) (n int, runFt float64) {
	n, runFt = -1, math.Inf(1)
	for i, e := range w.edges {
		v := e.b.Sub(e.a)
		den := m.Cross(v)
		if den == 0 {
			continue
		}
		to := e.a.Sub(q)
		t, u := to.Cross(v)/den, to.Cross(m)/den
		if t > 0 && t < runFt && u >= -1e-12 && u <= 1+1e-12 && geom.SegDist(q, e.a, e.b) > tolFt {
			n, runFt = i, t
		}
	}
	return n, runFt
}

// Ahead is the place at which a straight way from q along the unit vector m comes
// to a wall, be it along the wall that q stands on; q itself where that way leads
// out of the area at once.
func (w *Walls) Ahead(q, m geom.Pt) geom.Pt {
	n, runFt := w.nearest(q, m)
	if n < 0 || !w.Holds(q.Add(m.Mul(runFt/2))) {
		return q
	}
	return reach(q, m, w.edges[n])
}

// reach is where a look from q along d, of any length, comes to the line of e;
// an end of e within tolFt is taken instead.
func reach(q, d geom.Pt, e edge) geom.Pt {
	v := e.b.Sub(e.a)
	t := e.a.Sub(q).Cross(v) / d.Cross(v)
	p := q.Add(d.Mul(t))
	for _, end := range []geom.Pt{e.a, e.b} {
		if p.Dist(end) < tolFt {
			return end
		}
	}
	return p
}
