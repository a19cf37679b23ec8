package drainage

import (
	"math"

	"runnel/survey/geom"
)

// crease is the line in which two planes of a designed surface meet and to
// which both fall. The triangles of the mesh that straddle it hide it: a path
// zigzags over them, and reads a valley off the diagonals up to 13 % too flat.
type crease struct {
	left, right plane
}

// plane is a height z0 + g p, inches over feet.
type plane struct {
	g  geom.Pt
	z0 float64
}

func (f plane) at(p geom.Pt) float64 { return f.z0 + f.g.Dot(p) }

// way is the direction of the crease downhill, of unit length, and its slope:
// |gl x gr| / |gl - gr|, since it runs square to gl - gr.
func (c crease) way() (d geom.Pt, inPerFt float64) {
	n := c.left.g.Sub(c.right.g)
	d = left(n).Mul(1 / n.Norm())
	if d.Dot(c.left.g) > 0 {
		d = d.Mul(-1)
	}
	return d, -d.Dot(c.left.g)
}

// onto is the place of the crease nearest to p.
func (c crease) onto(p geom.Pt) geom.Pt {
	n := c.left.g.Sub(c.right.g)
	return p.Sub(n.Mul((c.left.at(p) - c.right.at(p)) / n.Dot(n)))
}

// entry is where water from p, on one of the two planes, comes to the crease.
func (c crease) entry(p geom.Pt) (geom.Pt, bool) {
	over, on := c.left.at(p)-c.right.at(p), c.left
	if over < 0 {
		on = c.right
	}
	n := c.left.g.Sub(c.right.g)
	u := over / n.Dot(on.g)
	return p.Sub(on.g.Mul(u)), u > 0 && !math.IsInf(u, 0)
}

// creaseBy looks for a crease that passes within three quarters of a cell of p
// for a way that runs in direction d. On either side the mesh must be one plane
// from a cell off the crease to two: straddling triangles reach no further than
// 0.71 of a cell.
func (t *tracer) creaseBy(p, d geom.Pt) (c crease, ok bool) {
	from, cellFt := p, t.surf.CellFt
	for look := range 3 { // at the first d is that of the zigzag: only far off is clean
		across := left(d).Mul(1.1 * cellFt / d.Norm())
		onLeft, okLeft := t.planeBeside(p, across, look > 0)
		onRight, okRight := t.planeBeside(p, across.Mul(-1), look > 0)
		c = crease{onLeft, onRight}
		if !okLeft || !okRight || onLeft.g.Dist(onRight.g) < 1e-6 {
			return c, false
		}
		p = c.onto(p)
		inPerFt := 0.0
		if d, inPerFt = c.way(); p.Dist(from) > 0.75*cellFt || inPerFt < 1e-6 {
			return c, false
		}
	}
	across := left(d)
	return c, c.left.g.Dot(across) > 0 && c.right.g.Dot(across) < 0
}

// planeBeside is the plane off p by twice d; with sure set only if it is the
// same once d off.
func (t *tracer) planeBeside(p, d geom.Pt, sure bool) (plane, bool) {
	const rounding = 1e-7
	far, ok := t.planeAt(p.Add(d.Mul(2)))
	if ok && sure {
		near, okNear := t.planeAt(p.Add(d))
		ok = okNear && near.g.Dist(far.g) < rounding
	}
	return far, ok
}

// creases gives the crease that each place of a way runs along, nil for none.
// Where walls, edges or the foot of the way hide the planes beside it, a place
// has the crease of the place before or after it, if the mesh stands as close
// over it as straddling triangles do.
func (t *tracer) creases(p *profile) []*crease {
	out := make([]*crease, len(p.at))
	for n, q := range p.at {
		d := p.at[min(n+1, len(p.at)-1)].Sub(p.at[max(n-1, 0)])
		if c, ok := t.creaseBy(q, d); ok {
			out[n] = &c
		}
	}
	take := func(n, from int) {
		if c := out[from]; out[n] == nil && c != nil {
			bend := c.left.g.Dist(c.right.g)
			overIn := p.zIn[n] - math.Max(c.left.at(p.at[n]), c.right.at(p.at[n]))
			if c.onto(p.at[n]).Dist(p.at[n]) <= 0.75*t.surf.CellFt && overIn >= -1e-6 && overIn <= 0.36*t.surf.CellFt*bend {
				out[n] = c
			}
		}
	}
	for n := 1; n < len(out); n++ {
		take(n, n-1)
	}
	for n := len(out) - 2; n >= 0; n-- {
		take(n, n+1)
	}
	return out
}

// onCreases puts the places of a way that run along creases onto them, and the
// place where it comes to one where the plane above leads it.
func (t *tracer) onCreases(p profile) profile {
	var out trail
	var on []bool
	creases := t.creases(&p)
	put := func(at geom.Pt, zIn float64, onCrease bool) {
		if last := len(out.at) - 1; last >= 0 && (zIn > out.zIn[last] || onCrease && zIn == out.zIn[last] || at.Dist(out.at[last]) < 1e-9) {
			return
		}
		out.at, out.zIn, on = append(out.at, at), append(out.zIn, zIn), append(on, onCrease)
	}
	for n, q := range p.at {
		c := creases[n]
		if c == nil {
			put(q, p.zIn[n], false)
			continue
		}
		if n > 0 && creases[n-1] == nil {
			last := out.at[len(out.at)-1]
			if e, ok := c.entry(last); ok && e.Dist(last) < 4*t.surf.CellFt {
				put(e, c.left.at(e), true)
			}
		}
		foot := c.onto(q)
		put(foot, c.left.at(foot), true)
	}
	q := newProfile(out)
	q.crease = on
	return q
}
