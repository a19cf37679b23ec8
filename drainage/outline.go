package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// endKey names an end of a stretch of outline: a corner of triangles (both
// alike), or the place on a side where the depth passes nought.
type endKey struct{ a, b nodeKey }

// stretch is a piece of outline with the region on its left.
type stretch struct {
	from, to endKey
	a, b     geom.Pt
}

// outline traces the edge of the wet region of a pond, walls included.
func (w *wetCells) outline(cells []int) []geom.Poly {
	var s []stretch
	cut := false
	noEdge := func(i, j int) {} // a cell deep in the pond
	w.each(cells, noEdge, func(t *wetTriangle) {
		s = t.stretches(s)
		cut = cut || t.part != nil
	})
	if cut {
		return w.outlineAtWalls(cells)
	}
	return polysOf(chain(s))
}

// stretches adds the outline within a triangle: where the depth passes nought,
// and the wet part of its walls.
func (t *wetTriangle) stretches(s []stretch) []stretch {
	var out, in *cut // where the wet part's border leaves and comes back
	for n := range 3 {
		m := (n + 1) % 3
		wetN, wetM := t.depth[n] > 0, t.depth[m] > 0
		a, b := cut{endKey{t.key[n], t.key[n]}, t.at[n]}, cut{endKey{t.key[m], t.key[m]}, t.at[m]}
		switch {
		case wetN && !wetM:
			b = t.crossing(n, m)
			out = &b
		case !wetN && wetM:
			a = t.crossing(n, m)
			in = &a
		case !wetN:
			continue
		}
		if t.wall[n] {
			s = append(s, stretch{a.key, b.key, a.at, b.at})
		}
	}
	if out != nil && in != nil {
		s = append(s, stretch{out.key, in.key, out.at, in.at})
	}
	return s
}

type cut struct {
	key endKey
	at  geom.Pt
}

// crossing is where the depth passes nought between two corners; seen from
// either triangle of the side it is the same place.
func (t *wetTriangle) crossing(n, m int) cut {
	if after(t.key[n], t.key[m]) {
		n, m = m, n
	}
	a, b := t.depth[n], t.depth[m]
	return cut{endKey{t.key[n], t.key[m]}, t.at[n].Lerp(t.at[m], a/(a-b))}
}

func after(a, b nodeKey) bool {
	if a.x != b.x {
		return a.x > b.x
	}
	if a.y != b.y {
		return a.y > b.y
	}
	return a.cell > b.cell
}

// chain joins stretches to rings. Every end is the start of one stretch.
func chain(s []stretch) []geom.Ring {
	next := make(map[endKey]int, len(s))
	for n, x := range s {
		next[x.from] = n
	}
	used := make([]bool, len(s))
	var rings []geom.Ring
	for n := range s {
		var r geom.Ring
		for m := n; !used[m]; {
			used[m] = true
			r = append(r, s[m].a)
			to, ok := next[s[m].to]
			if !ok {
				break
			}
			m = to
		}
		if r = straightened(r); len(r) >= 3 {
			rings = append(rings, r)
		}
	}
	return rings
}

// straightened is r without repeated places and without vertices on a
// straight line.
func straightened(r geom.Ring) geom.Ring {
	var out geom.Ring
	for i, p := range r {
		if p.Dist(r.At(i+1)) < 1e-9 {
			continue
		}
		out = append(out, p)
	}
	if len(out) < 3 {
		return nil
	}
	var kept geom.Ring
	for i, p := range out {
		a, b := p.Sub(out.At(i-1)), out.At(i+1).Sub(p)
		if math.Abs(a.Cross(b)) > 1e-9*a.Norm()*b.Norm() || a.Dot(b) < 0 {
			kept = append(kept, p)
		}
	}
	return kept
}

// polysOf makes regions of rings: counter-clockwise ones are outer rings, each
// clockwise one a hole of the least outer ring round it.
func polysOf(rings []geom.Ring) []geom.Poly {
	var polys []geom.Poly
	var holes []geom.Ring
	for _, r := range rings {
		if r.SignedArea() > 0 {
			polys = append(polys, geom.Poly{Outer: r})
		} else {
			holes = append(holes, r)
		}
	}
	for _, h := range holes {
		best, bestSqft := -1, math.Inf(1)
		mid := h[0].Lerp(h[1], 0.5)
		for n := range polys {
			a := polys[n].Outer.Area()
			if a < bestSqft && a > h.Area() && polys[n].Outer.Box().Has(mid) && polys[n].Outer.Has(mid) {
				best, bestSqft = n, a
			}
		}
		if best >= 0 {
			polys[best].Holes = append(polys[best].Holes, h)
		}
	}
	return polys
}

// CellRegions traces the cells of each label from 0 to n-1 along their sides.
// Cells of one label that meet only at a corner are regions apart; other labels
// are none of them. Places are feet in the frame. Cost: O(cells).
func CellRegions(l survey.Lattice, label []int32, n int) [][]geom.Poly {
	r := labelled{l, label}
	sides := make([][]stretch, n)
	for j := range l.NY {
		for i := range l.NX {
			if own := label[j*l.NX+i]; own >= 0 && !r.inside(i, j) {
				sides[own] = r.sides(i, j, sides[own])
			}
		}
	}
	out := make([][]geom.Poly, n)
	for k := range out {
		out[k] = polysOf(chain(sides[k]))
	}
	return out
}

// labelled is a raster of labels.
type labelled struct {
	survey.Lattice
	label []int32 // -1: none
}

func (r labelled) at(i, j int) int32 {
	if !r.Holds(i, j) {
		return -1
	}
	return r.label[j*r.NX+i]
}

// inside says whether the cells across all four sides have the label of (i, j).
func (r labelled) inside(i, j int) bool {
	if i == 0 || j == 0 || i == r.NX-1 || j == r.NY-1 {
		return false
	}
	k := j*r.NX + i
	own := r.label[k]
	return r.label[k-1] == own && r.label[k+1] == own && r.label[k-r.NX] == own && r.label[k+r.NX] == own
}

// sides adds the sides of cell (i, j) toward cells of other labels, each run
// with the cell on its left.
func (r labelled) sides(i, j int, s []stretch) []stretch {
	// The neighbour, then the corners from and to, counted from lower left.
	ways := [4][6]int{{0, -1, 0, 0, 1, 0}, {1, 0, 1, 0, 1, 1}, {0, 1, 1, 1, 0, 1}, {-1, 0, 0, 1, 0, 0}}
	for _, w := range ways {
		if r.at(i+w[0], j+w[1]) == r.at(i, j) {
			continue
		}
		var side stretch
		side.from, side.a = r.corner(i, j, w[2], w[3])
		side.to, side.b = r.corner(i, j, w[4], w[5])
		s = append(s, side)
	}
	return s
}

// corner names the corner (x, y) of cell (i, j), counted 0 or 1 from the lower
// left. Two cells of one label that meet only there have a name each.
func (r labelled) corner(i, j, x, y int) (endKey, geom.Pt) {
	k := nodeKey{2 * (i + x), 2 * (j + y), -1}
	di, dj, own := 2*x-1, 2*y-1, r.at(i, j)
	if r.at(i+di, j+dj) == own && r.at(i+di, j) != own && r.at(i, j+dj) != own {
		k.cell = j*r.NX + i
	}
	c := r.Centre(i, j)
	h := r.CellFt / 2
	return endKey{k, k}, geom.Pt{X: c.X + float64(di)*h, Y: c.Y + float64(dj)*h}
}
