package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// mesh is a surface as triangles between the middles of roof cells. Of the two
// ways to split four cells the one with the lower crease is taken, so that
// valleys stay open; where the two are level the four lie in one plane and
// either gives the same surface. No triangle reaches across a wall.
//
// Steepest descent on it is exact on planes whichever way they face, as the
// facets of Tarboton, "A new method for the determination of flow directions
// and upslope areas in grid digital elevation models", Water Resources Research
// 33 (1997), are, without their eight fixed directions.
type mesh struct {
	surf *survey.Surface
	z    []float64 // inches, a cell
}

// spot is a place on the mesh: on cell a's middle (b = a), or on the edge from
// a to b, a share t of the way.
type spot struct {
	a, b int
	t    float64
}

// corner3 are the cells of one triangle, counter-clockwise.
type corner3 [3]int

func (m *mesh) at(k int) geom.Pt { return m.surf.Centre(k%m.surf.NX, k/m.surf.NX) }

func (m *mesh) place(s spot) geom.Pt {
	if s.a == s.b {
		return m.at(s.a)
	}
	return m.at(s.a).Lerp(m.at(s.b), s.t)
}

func (m *mesh) height(s spot) float64 {
	if s.a == s.b {
		return m.z[s.a]
	}
	return m.z[s.a] + float64(s.t*(m.z[s.b]-m.z[s.a]))
}

func (m *mesh) roof(i, j int) bool { return m.surf.Holds(i, j) && m.surf.Roof[j*m.surf.NX+i] }

// triangles gives the triangles between the four cells whose lower left is
// (i, j): two, one where a cell is missing, else none.
func (m *mesh) triangles(i, j int) (t [2]corner3, n int) {
	nx := m.surf.NX
	k := j*nx + i
	c := [4]int{k, k + 1, k + nx + 1, k + nx} // counter-clockwise
	var has [4]bool
	missing := -1
	for q := range 4 {
		if has[q] = m.roof(i+(q&1^q>>1), j+q>>1); has[q] {
			n++
		} else {
			missing = q
		}
	}
	switch {
	case n < 3:
		return t, 0
	case n == 3:
		t[0] = corner3{c[(missing+1)%4], c[(missing+2)%4], c[(missing+3)%4]}
		return t, 1
	case m.z[c[0]]+m.z[c[2]] <= m.z[c[1]]+m.z[c[3]]:
		return [2]corner3{{c[0], c[1], c[2]}, {c[0], c[2], c[3]}}, 2
	}
	return [2]corner3{{c[0], c[1], c[3]}, {c[1], c[2], c[3]}}, 2
}

// around calls f for every triangle that has cell k as a corner, turned so
// that k comes first.
func (m *mesh) around(k int, f func(t corner3)) {
	i, j := k%m.surf.NX, k/m.surf.NX
	for q := range 4 {
		ts, n := m.triangles(i-q&1, j-q>>1)
		for _, t := range ts[:n] {
			for r := range 3 {
				if t[r] == k {
					f(corner3{k, t[(r+1)%3], t[(r+2)%3]})
				}
			}
		}
	}
}

// beyond gives the triangle to the left of the edge from a to b, turned so
// that a and b come first, if there is one.
func (m *mesh) beyond(a, b int) (t corner3, ok bool) {
	m.around(a, func(u corner3) {
		if u[1] == b {
			t, ok = u, true
		}
	})
	return t, ok
}

// left is d turned by a right angle counter-clockwise.
func left(d geom.Pt) geom.Pt { return geom.Pt{X: -d.Y, Y: d.X} }

// crossed says whether cells a and b lie across the crease that splits their
// four cells: there is no edge between them.
func (m *mesh) crossed(a, b int) bool {
	nx := m.surf.NX
	ia, ja, ib, jb := a%nx, a/nx, b%nx, b/nx
	if ia == ib || ja == jb {
		return false
	}
	c, d := ja*nx+ib, jb*nx+ia // the two others
	if !m.surf.Roof[c] || !m.surf.Roof[d] {
		return false
	}
	own, other := m.z[a]+m.z[b], m.z[c]+m.z[d]
	if own != other {
		return own > other
	}
	// Four in a plane: the split that triangles takes.
	return (ia-ib)*(ja-jb) < 0
}

// gradient is that of the plane through a triangle, in inches per foot.
func (m *mesh) gradient(t corner3) geom.Pt {
	o := m.at(t[0])
	u, v := m.at(t[1]).Sub(o), m.at(t[2]).Sub(o)
	du, dv := m.z[t[1]]-m.z[t[0]], m.z[t[2]]-m.z[t[0]]
	det := u.Cross(v)
	return geom.Pt{X: (float64(du*v.Y) - float64(dv*u.Y)) / det, Y: (float64(dv*u.X) - float64(du*v.X)) / det}
}

// heightAt is the height of the mesh over p; false beside walls and off roof.
func (m *mesh) heightAt(p geom.Pt) (float64, bool) {
	t, wb, wc, ok := m.triangleOver(p)
	if !ok {
		return 0, false
	}
	return m.z[t[0]] + wb*(m.z[t[1]]-m.z[t[0]]) + wc*(m.z[t[2]]-m.z[t[0]]), true
}

// planeAt is the plane of the mesh over p; false beside walls and off roof.
func (m *mesh) planeAt(p geom.Pt) (plane, bool) {
	t, _, _, ok := m.triangleOver(p)
	if !ok {
		return plane{}, false
	}
	g := m.gradient(t)
	return plane{g, m.z[t[0]] - g.Dot(m.at(t[0]))}, true
}

// triangleOver is the triangle over p, with the weights of its second and third corner
// there.
func (m *mesh) triangleOver(p geom.Pt) (t corner3, wb, wc float64, ok bool) {
	l := m.surf.Lattice
	i := int(math.Floor(p.X/l.CellFt + float64(l.NX)/2 - 0.5))
	j := int(math.Floor(p.Y/l.CellFt + float64(l.NY)/2 - 0.5))
	ts, n := m.triangles(i, j)
	for _, t := range ts[:n] {
		a, b, c := m.at(t[0]), m.at(t[1]), m.at(t[2])
		det := b.Sub(a).Cross(c.Sub(a))
		wb, wc := p.Sub(a).Cross(c.Sub(a))/det, b.Sub(a).Cross(p.Sub(a))/det
		if wb >= -1e-9 && wc >= -1e-9 && wb+wc <= 1+1e-9 {
			return t, wb, wc, true
		}
	}
	return t, 0, 0, false
}

// move is one straight stretch down the mesh.
type move struct {
	to    spot
	cells []int // of the triangle or edge that it runs on
}

// fromCell is the steepest way down from the middle of a cell; false where
// none leads down.
func (m *mesh) fromCell(k int) (best move, ok bool) {
	steepest := 0.0
	o := m.at(k)
	m.around(k, func(t corner3) {
		g := m.gradient(t)
		s := g.Norm()
		if s <= steepest {
			return
		}
		u, v := m.at(t[1]).Sub(o), m.at(t[2]).Sub(o)
		d := g.Mul(-1)
		if left, right := u.Cross(d), d.Cross(v); left > 0 && right > 0 {
			best, ok, steepest = move{m.snapped(spot{t[2], t[1], right / (left + right)}), t[:]}, true, s
		}
	})
	i, j := k%m.surf.NX, k/m.surf.NX
	for q := range 9 {
		di, dj := q%3-1, q/3-1
		r := k + dj*m.surf.NX + di
		if r == k || !m.roof(i+di, j+dj) || m.crossed(k, r) {
			continue
		}
		if s := (m.z[k] - m.z[r]) / m.at(r).Dist(o); s > steepest {
			best, ok, steepest = move{spot{r, r, 0}, []int{k, r}}, true, s
		}
	}
	return best, ok
}

// fromEdge goes on from a place on the edge a-b into the triangle on its left,
// or along the edge where that triangle does not lead away from it or a wall
// stands there. It is false where the edge is level and the triangle too.
func (m *mesh) fromEdge(s spot) (move, bool) {
	p := m.place(s)
	a, b := m.at(s.a), m.at(s.b)
	if t, ok := m.beyond(s.a, s.b); ok {
		d := m.gradient(t).Mul(-1)
		if b.Sub(a).Cross(d) > 0 {
			return move{m.exit(p, d, t), t[:]}, true
		}
	}
	switch {
	case m.z[s.a] < m.z[s.b]:
		return move{spot{s.a, s.a, 0}, []int{s.a, s.b}}, true
	case m.z[s.b] < m.z[s.a]:
		return move{spot{s.b, s.b, 0}, []int{s.a, s.b}}, true
	}
	return move{}, false
}

// exit is where the way from p, on the edge t[0]-t[1], in direction d leaves
// the triangle t: on the edge t[1]-t[2] or t[2]-t[0], or through a corner. The
// spot's edge runs so that the next triangle is on its left.
func (m *mesh) exit(p, d geom.Pt, t corner3) spot {
	apex := m.at(t[2])
	toLeft := d.Cross(apex.Sub(p)) > 0 // the apex lies to the left of the way
	from := t[0]
	if toLeft {
		from = t[1]
	}
	q := m.at(from)
	e := apex.Sub(q)
	w := q.Sub(p).Cross(d) / d.Cross(e) // p + u d = q + w e
	if toLeft {
		return m.snapped(spot{t[2], t[1], 1 - w})
	}
	return m.snapped(spot{t[0], t[2], w})
}

// snapped puts a spot at the end of its edge, but for rounding, on that end.
func (m *mesh) snapped(s spot) spot {
	const rounding = 1e-12
	switch {
	case !(s.t > rounding):
		return spot{s.a, s.a, 0}
	case s.t >= 1-rounding:
		return spot{s.b, s.b, 0}
	}
	return s
}
