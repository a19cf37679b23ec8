package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// walls is a surface carried on to the walls, courts and curbs that run through
// its cells. A cell counts as roof by its middle; water stands in what is roof
// of a cell, whichever side its middle lies on.
type walls struct {
	*survey.Surface                 // with the cells of beside as roof
	own             *survey.Surface // without
	site            *survey.Site
	beside          []int         // cells whose middle is off the roof, but not all of them
	part            []int32       // of each cell: its place in parts, from 1; 0: all of it is roof, or none; nil: no wall runs through a cell
	parts           [][]geom.Ring // what is roof of a cell: counter-clockwise rings less clockwise ones
}

// asideFt is how far a wall may lie within a cell and still count as its side:
// a turned outline that is written to a few decimals is off by no more.
const asideFt = 1e-3

// wallsOf carries surf on to the walls of a site. Cost: the vertices of each row
// that a wall runs through, the cells along walls and, where there are such, a
// copy of the surface.
func wallsOf(s *survey.Site, surf *survey.Surface) *walls {
	w := &walls{Surface: surf, own: surf, site: s}
	rings := append([]geom.Ring{s.Outline}, s.Courts...)
	for _, c := range s.Curbs {
		rings = append(rings, c.Reversed())
	}
	for _, r := range rings {
		for n := range r {
			w.passes(r[n], r.At(n+1))
		}
	}
	if w.part == nil {
		return w
	}
	for j := range surf.NY {
		w.cutRow(rings, j)
	}
	w.Surface = &survey.Surface{Lattice: surf.Lattice, Roof: append([]bool(nil), surf.Roof...), ElevIn: append([]float64(nil), surf.ElevIn...)}
	for k, n := range w.part {
		if n == 0 || surf.Roof[k] {
			continue
		}
		zIn, ok := carriedOn(surf, k)
		if !ok || areaOf(w.parts[n-1]) <= 0 {
			w.part[k] = 0
			continue
		}
		w.Roof[k], w.ElevIn[k], w.beside = true, zIn, append(w.beside, k)
	}
	return w
}

// passes marks the cells that the stretch a-b runs through by 1 in their part.
func (w *walls) passes(a, b geom.Pt) {
	l := w.Lattice
	corner := l.Centre(0, 0).Sub(geom.Pt{X: l.CellFt / 2, Y: l.CellFt / 2})
	for j := range survey.RowsBetween(l.NY, l.CellFt, a.Y, b.Y) {
		lowFt := corner.Y + float64(j)*l.CellFt
		from, to, ok := within1(a.Y, b.Y, lowFt+asideFt, lowFt+l.CellFt-asideFt)
		if !ok {
			continue
		}
		x0, x1 := a.Lerp(b, from).X, a.Lerp(b, to).X
		for i := range survey.RowsBetween(l.NX, l.CellFt, x0, x1) {
			leftFt := corner.X + float64(i)*l.CellFt
			if math.Max(x0, x1) <= leftFt+asideFt || math.Min(x0, x1) >= leftFt+l.CellFt-asideFt {
				continue
			}
			if w.part == nil {
				w.part = make([]int32, l.Len())
			}
			w.part[j*l.NX+i] = 1
		}
	}
}

// within1 is the share of the way from a to b that lies between lo and hi.
func within1(a, b, lo, hi float64) (from, to float64, ok bool) {
	if a == b {
		return 0, 1, a > lo && a < hi
	}
	from, to = (lo-a)/(b-a), (hi-a)/(b-a)
	from, to = math.Max(0, math.Min(from, to)), math.Min(1, math.Max(from, to))
	return from, to, from < to
}

// cutRow cuts the rings to the marked cells of row j.
func (w *walls) cutRow(rings []geom.Ring, j int) {
	var strip []geom.Ring
	c, half := w.Centre(0, j), w.CellFt/2
	for i := range w.NX {
		k := j*w.NX + i
		if w.part[k] == 0 {
			continue
		}
		if strip == nil {
			strip = between(rings, geom.Pt{Y: 1}, c.Y-half, c.Y+half)
		}
		x := w.Centre(i, j).X
		w.parts = append(w.parts, between(strip, geom.Pt{X: 1}, x-half, x+half))
		w.part[k] = int32(len(w.parts))
	}
}

// between cuts rings to what lies between two lines across d, feet from the origin.
func between(rings []geom.Ring, d geom.Pt, lo, hi float64) (out []geom.Ring) {
	for _, r := range rings {
		if r = clipped(clipped(r, d, hi), d.Mul(-1), -lo); len(r) >= 3 {
			out = append(out, r)
		}
	}
	return out
}

// clipped is the part of r where d p is at most c. What falls apart stays joined
// along the line, there and back, which adds nothing to areas. Source: Sutherland,
// Hodgman 1974, from memory.
func clipped(r geom.Ring, d geom.Pt, c float64) geom.Ring {
	return clippedInto(make(geom.Ring, 0, len(r)+4), r, d, c)
}

func clippedInto(out, r geom.Ring, d geom.Pt, c float64) geom.Ring {
	for n, p := range r {
		q := r[(n+1)%len(r)]
		over, next := d.Dot(p)-c, d.Dot(q)-c
		if over <= 0 {
			out = append(out, p)
		}
		if over < 0 && next > 0 || over > 0 && next < 0 {
			out = append(out, p.Lerp(q, over/(over-next)))
		}
	}
	return out
}

func areaOf(rings []geom.Ring) (sqft float64) {
	for _, r := range rings {
		sqft += r.SignedArea()
	}
	return sqft
}

// carriedOn is the elevation to which the roof beside cell k, which is none,
// leads: from two cells in a row each, the highest of all ways. It is exact on
// planes, and on the planes of a valley where any of the ways stays on one. It is
// false where roof lies on two sides of k: behind a wall thinner than a cell the
// roof may be another.
func carriedOn(surf *survey.Surface, k int) (zIn float64, ok bool) {
	i, j := k%surf.NX, k/surf.NX
	is := func(i, j int) bool { return surf.Holds(i, j) && surf.Roof[j*surf.NX+i] }
	ways, sides := math.Inf(-1), 0
	level := math.Inf(-1)
	for n, d := range around8 {
		if !is(i+d[0], j+d[1]) {
			continue
		}
		before := around8[(n+7)%8]
		if !is(i+before[0], j+before[1]) {
			sides++
		}
		near := surf.ElevIn[(j+d[1])*surf.NX+i+d[0]]
		level = math.Max(level, near)
		if is(i+2*d[0], j+2*d[1]) {
			ways = math.Max(ways, 2*near-surf.ElevIn[(j+2*d[1])*surf.NX+i+2*d[0]])
		}
	}
	if math.IsInf(ways, -1) {
		ways = level
	}
	return ways, sides <= 1 && !math.IsInf(ways, -1)
}

// partOf is what is roof of cell k; nil where no wall runs through it.
func (w *walls) partOf(k int) []geom.Ring {
	if w.part == nil || w.part[k] == 0 {
		return nil
	}
	return w.parts[w.part[k]-1]
}

// carried says whether cell k is roof by being carried on alone.
func (w *walls) carried(k int) bool { return w.Roof[k] && !w.own.Roof[k] }

// onRoof says whether p, between two cells or in one of them, is roof.
func (w *walls) onRoof(i, j, i2, j2 int, p geom.Pt) bool {
	if w.partOf(j*w.NX+i) == nil && w.partOf(j2*w.NX+i2) == nil {
		return true
	}
	return w.site.OnRoof(p)
}

// ontoCell is p, or where its cell is no roof, the place nearest to it in the
// nearest cell that is, so that what is told of cells is told of the place.
func (w *walls) ontoCell(p geom.Pt) geom.Pt {
	if i, j := w.CellOf(p); w.Holds(i, j) && w.own.Roof[j*w.NX+i] {
		return p
	}
	k := nearestCell(w.own, p)
	c, most := w.Centre(k%w.NX, k/w.NX), w.CellFt/2*(1-1e-6)
	return geom.Pt{X: math.Max(c.X-most, math.Min(c.X+most, p.X)), Y: math.Max(c.Y-most, math.Min(c.Y+most, p.Y))}
}

// toWalls adds to cells, which are marked as wet, those carried on to walls
// beside them that lie under the level, and marks them.
func (w *wetCells) toWalls(cells []int) []int {
	if len(w.surf.beside) == 0 {
		return cells
	}
	wet := cells
	for _, k := range cells {
		i, j := k%w.surf.NX, k/w.surf.NX
		for _, d := range around8 {
			if !w.surf.Holds(i+d[0], j+d[1]) {
				continue
			}
			if r := (j+d[1])*w.surf.NX + i + d[0]; w.surf.carried(r) && w.of[r] < 0 && w.surf.ElevIn[r] < w.levelIn {
				w.of[r], wet = w.id, append(wet, r)
			}
		}
	}
	return wet
}

// waterOn is the wet area of a triangle on a part of its cell, and the water on
// it as depth times area.
func (t *wetTriangle) waterOn(part []geom.Ring) (sqft, inSqft float64) {
	g := t.fall()
	t.wetOn(part, g, func(r geom.Ring) {
		for n, p := range r {
			q := r[(n+1)%len(r)]
			area := p.Sub(t.at[0]).Cross(q.Sub(t.at[0])) / 2
			sqft += area
			inSqft += area * (t.depth[0] + t.depthAt(g, p) + t.depthAt(g, q)) / 3
		}
	})
	return sqft, inSqft
}

// wetOn calls f for the rings of the water on a part of the cell of t, which
// grows deeper by g.
func (t *wetTriangle) wetOn(part []geom.Ring, g geom.Pt, f func(geom.Ring)) {
	if max(t.depth[0], t.depth[1], t.depth[2]) <= 0 {
		return
	}
	var a, b, c [24]geom.Pt
	for _, r := range part {
		f(clippedInto(c[:0], t.on(a[:0], b[:0], r), g.Mul(-1), t.depth[0]-g.Dot(t.at[0])))
	}
}

// on is the part of r within t, in either of two buffers.
func (t *wetTriangle) on(a, b, r geom.Ring) geom.Ring {
	for n := range 3 {
		d := t.at[(n+1)%3].Sub(t.at[n])
		out := geom.Pt{X: d.Y, Y: -d.X}
		r = clippedInto(a[:0], r, out, out.Dot(t.at[n]))
		a, b = b, a
	}
	return r
}

// fall is how the depth grows over the plan, inches a foot.
func (t *wetTriangle) fall() geom.Pt {
	u, v := t.at[1].Sub(t.at[0]), t.at[2].Sub(t.at[0])
	du, dv := t.depth[1]-t.depth[0], t.depth[2]-t.depth[0]
	return geom.Pt{X: du*v.Y - dv*u.Y, Y: dv*u.X - du*v.X}.Mul(1 / u.Cross(v))
}

func (t *wetTriangle) depthAt(g, p geom.Pt) float64 { return t.depth[0] + g.Dot(p.Sub(t.at[0])) }

// corners calls f for the corners of what is roof of t, with the depth there.
func (t *wetTriangle) corners(part []geom.Ring, f func(depthIn float64, at geom.Pt)) {
	var a, b [24]geom.Pt
	g := t.fall()
	for _, r := range part {
		for _, p := range t.on(a[:0], b[:0], r) {
			f(t.depthAt(g, p), p)
		}
	}
}
