package taper

import (
	"slices"

	"runnel/survey/geom"
)

// stockShape is the piece as it lies on the roof, u along its row and v toward
// the thick edge, the lower left corner of its box at 0.
func stockShape(b Board) geom.Poly {
	right := b.Right()
	p := b.Poly.Map(func(q geom.Pt) geom.Pt { return geom.Pt{X: q.Dot(right), Y: q.Dot(b.Uphill)} })
	min := p.Outer.Box().Min
	return p.Map(func(q geom.Pt) geom.Pt { return q.Sub(min) })
}

// InStock is the outline of b in its stock board: u along the row and v from
// the thin edge, feet, as Stock places it.
func (b Board) InStock() geom.Poly {
	p := stockShape(b)
	out := geom.Poly{Outer: turnedIn(p.Outer, p.Outer.Box(), b.Stock)}
	for _, h := range p.Holes {
		out.Holes = append(out.Holes, turnedIn(h, p.Outer.Box(), b.Stock))
	}
	return out
}

func turnedIn(r geom.Ring, box geom.Box, at Placement) geom.Ring {
	w, d := box.Size()
	return moved(r.Map(turner(w, d, at.RotDeg, at.Turned)), at.U, at.V).CCW()
}

// turned turns a shape whose box starts at 0: first face-down (u mirrored),
// then counter-clockwise by quarters. Its box starts at 0 again.
func turned(r geom.Ring, rotDeg int, down bool) geom.Ring {
	if rotDeg == 0 && !down {
		return r
	}
	w, d := r.Box().Size()
	return r.Map(turner(w, d, rotDeg, down)).CCW()
}

// turner is the map of turned for a box of w x d feet.
func turner(w, d float64, rotDeg int, down bool) func(geom.Pt) geom.Pt {
	return func(p geom.Pt) geom.Pt {
		if down {
			p.X = w - p.X
		}
		switch rotDeg {
		case 90:
			return geom.Pt{X: d - p.Y, Y: p.X}
		case 180:
			return geom.Pt{X: w - p.X, Y: d - p.Y}
		case 270:
			return geom.Pt{X: p.Y, Y: w - p.X}
		}
		return p
	}
}

func moved(r geom.Ring, u, v float64) geom.Ring {
	return r.Map(func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X + u, Y: p.Y + v} })
}

// hull is the least convex ring round a region, counter-clockwise; a convex
// region gives its own outline.
//
// Source: Andrew 1979, Another efficient algorithm for convex hulls in two
// dimensions, Information Processing Letters 9(5).
func hull(p geom.Poly) geom.Ring {
	pts := slices.Clone(p.Outer)
	slices.SortFunc(pts, geom.Compare)
	pts = slices.Compact(pts)
	if len(pts) < 3 {
		return pts
	}
	chain := func(pts geom.Ring) geom.Ring {
		var c geom.Ring
		for _, q := range pts {
			for len(c) >= 2 && c[len(c)-1].Sub(c[len(c)-2]).Cross(q.Sub(c[len(c)-1])) <= 0 {
				c = c[:len(c)-1]
			}
			c = append(c, q)
		}
		return c[:len(c)-1]
	}
	low := chain(pts)
	slices.Reverse(pts)
	return append(low, chain(pts)...)
}

// grown is a convex ring that runs counter-clockwise with every side moved outward.
func grown(r geom.Ring, byFt float64) geom.Ring {
	if byFt == 0 {
		return r
	}
	var out geom.Ring
	for i, p := range r {
		a, b := p.Sub(r.At(i-1)), r.At(i+1).Sub(p)
		a, b = a.Mul(1/a.Norm()), b.Mul(1/b.Norm())
		n, m := geom.Pt{X: a.Y, Y: -a.X}, geom.Pt{X: b.Y, Y: -b.X}
		if share := 1 + n.Dot(m); share > 0.1 {
			out = append(out, p.Add(n.Add(m).Mul(byFt/share)))
		} else { // a sharp corner: its end is cut off square
			along := a.Sub(b).Mul(byFt / a.Sub(b).Norm())
			out = append(out, p.Add(n.Mul(byFt)).Add(along), p.Add(m.Mul(byFt)).Add(along))
		}
	}
	return out
}
