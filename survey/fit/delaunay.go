package fit

import (
	"cmp"
	"slices"
)

// far is the vertex at infinity: a triangle with it stands for the outside of
// one edge of the hull.
const farVertex = int32(-1)

// triangle has its vertices counter-clockwise; adj[i] is the triangle across
// the edge opposite vertex i.
type triangle struct {
	v, adj [3]int32
}

// mesh is a Delaunay triangulation of spots, exact and without gaps. Dead
// triangles, left over from building, are marked in dead.
type mesh struct {
	at   []spot
	tri  []triangle
	dead []bool
	last int32 // where the next search starts
	free []int32

	cavity, stack []int32
	rim           []rimEdge
}

// rimEdge is an edge of the cavity that a new spot makes: from a to b, with
// the triangle beyond.
type rimEdge struct {
	a, b, out int32
}

// newMesh triangulates spots, which must be distinct and within spotLimit;
// false when all lie on one line. Source: Bowyer, 1981, and Watson, 1981, with
// a vertex at infinity (from memory). Cost: O(n log n) for usual shots.
//
// Check: TestMesh_EmptyCircles, TestMesh_Counts.
func newMesh(at []spot) (*mesh, bool) {
	m := &mesh{at: at}
	order := m.sorted()
	if len(order) < 3 {
		return nil, false
	}
	third := -1
	for n := 2; n < len(order); n++ {
		if side(at[order[0]], at[order[1]], at[order[n]]) != 0 {
			third = n
			break
		}
	}
	if third < 0 {
		return nil, false
	}
	m.begin(order[0], order[1], order[third])
	for n, p := range order[2:] {
		if n+2 != third {
			m.insert(p)
		}
	}
	return m, true
}

// sorted gives the spots in strips, there and back, so that each lies near the
// one before.
func (m *mesh) sorted() []int32 {
	if len(m.at) == 0 {
		return nil
	}
	lo, hi := m.at[0].y, m.at[0].y
	for _, p := range m.at {
		lo, hi = min(lo, p.y), max(hi, p.y)
	}
	strips := int64(1)
	for strips*strips*2 < int64(len(m.at)) {
		strips++
	}
	high := (hi-lo)/strips + 1
	order := make([]int32, len(m.at))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int {
		p, q := m.at[a], m.at[b]
		sp, sq := (p.y-lo)/high, (q.y-lo)/high
		if sp != sq {
			return cmp.Compare(sp, sq)
		}
		along := cmp.Compare(p.x, q.x)
		if sp%2 == 1 {
			along = -along
		}
		return cmp.Or(along, cmp.Compare(p.y, q.y))
	})
	return order
}

// begin makes the first triangle and the three beyond its edges.
func (m *mesh) begin(a, b, c int32) {
	if side(m.at[a], m.at[b], m.at[c]) < 0 {
		a, b = b, a
	}
	m.tri = []triangle{
		{[3]int32{a, b, c}, [3]int32{1, 2, 3}},
		{[3]int32{farVertex, c, b}, [3]int32{0, 3, 2}},
		{[3]int32{farVertex, a, c}, [3]int32{0, 1, 3}},
		{[3]int32{farVertex, b, a}, [3]int32{0, 2, 1}},
	}
	m.dead = make([]bool, 4)
}

// holds says whether p lies within the circle of triangle t; the circle of a
// triangle at infinity is the half plane beyond its edge, with the edge.
func (m *mesh) holds(t int32, p spot) bool {
	v := m.tri[t].v
	for i := range 3 {
		if v[i] != farVertex {
			continue
		}
		a, b := m.at[v[(i+1)%3]], m.at[v[(i+2)%3]]
		if s := side(a, b, p); s != 0 {
			return s > 0
		}
		return (p.x-a.x)*(p.x-b.x)+(p.y-a.y)*(p.y-b.y) < 0
	}
	return inCircle(m.at[v[0]], m.at[v[1]], m.at[v[2]], p) > 0
}

// locate walks to a triangle whose circle holds p, or on whose border p lies.
func (m *mesh) locate(p spot) int32 {
	t := m.last
walk:
	for {
		tr := &m.tri[t]
		for i := range 3 {
			if tr.v[i] == farVertex {
				return t
			}
		}
		for i := range 3 {
			a, b := tr.v[(i+1)%3], tr.v[(i+2)%3]
			if side(m.at[a], m.at[b], p) < 0 {
				t = tr.adj[i]
				continue walk
			}
		}
		return t
	}
}

// insert puts spot n in: the triangles whose circles hold it go, and new ones
// join it to the rim of the hole.
func (m *mesh) insert(n int32) {
	p := m.at[n]
	t := m.locate(p)
	m.cavity, m.stack, m.rim = m.cavity[:0], append(m.stack[:0], t), m.rim[:0]
	m.dead[t] = true
	for len(m.stack) > 0 {
		t := m.stack[len(m.stack)-1]
		m.stack = m.stack[:len(m.stack)-1]
		m.cavity = append(m.cavity, t)
		for i := range 3 {
			out := m.tri[t].adj[i]
			if m.dead[out] {
				continue
			}
			if m.holds(out, p) {
				m.dead[out] = true
				m.stack = append(m.stack, out)
			}
		}
	}
	for _, t := range m.cavity {
		for i := range 3 {
			if out := m.tri[t].adj[i]; !m.dead[out] {
				v := m.tri[t].v
				m.rim = append(m.rim, rimEdge{v[(i+1)%3], v[(i+2)%3], out})
			}
		}
	}
	m.fan(n)
	m.free = append(m.free, m.cavity...)
}

// fan joins spot n to each edge of the rim.
func (m *mesh) fan(n int32) {
	made := make([]int32, len(m.rim))
	for k, e := range m.rim {
		t := m.alloc()
		made[k] = t
		m.tri[t] = triangle{v: [3]int32{n, e.a, e.b}, adj: [3]int32{e.out, -1, -1}}
		o := &m.tri[e.out]
		for i := range 3 {
			if o.v[(i+1)%3] == e.b && o.v[(i+2)%3] == e.a {
				o.adj[i] = t
			}
		}
		if e.a != farVertex && e.b != farVertex {
			m.last = t
		}
	}
	for k, e := range m.rim {
		for l, f := range m.rim {
			if e.b == f.a {
				m.tri[made[k]].adj[1] = made[l]
				m.tri[made[l]].adj[2] = made[k]
			}
		}
	}
}

func (m *mesh) alloc() int32 {
	if n := len(m.free); n > 0 {
		t := m.free[n-1]
		m.free = m.free[:n-1]
		m.dead[t] = false
		return t
	}
	m.tri = append(m.tri, triangle{})
	m.dead = append(m.dead, false)
	return int32(len(m.tri) - 1)
}

// real says whether triangle t is one of the plane.
func (m *mesh) real(t int32) bool {
	v := m.tri[t].v
	return !m.dead[t] && v[0] != farVertex && v[1] != farVertex && v[2] != farVertex
}

// splitTies turns the diagonals of four spots on one circle, where Delaunay
// leaves a choice, so that the spots' elevations decide and not their order:
// the diagonal of the lesser rise, of two alike the lower one. Each turn lowers
// the sum, so it ends; with more than four spots on a circle the end may depend
// on the start.
func (m *mesh) splitTies(zIn []float64) {
	for turned := true; turned; {
		turned = false
		for t := range m.tri {
			for i := range 3 {
				if m.real(int32(t)) && m.tryTurn(int32(t), i, zIn) {
					turned = true
				}
			}
		}
	}
}

// tryTurn turns the edge opposite vertex i of t where it is a tie and the other
// diagonal is to be preferred.
func (m *mesh) tryTurn(t int32, i int, zIn []float64) bool {
	o := m.tri[t].adj[i]
	if !m.real(o) {
		return false
	}
	j := 0
	for m.tri[o].adj[j] != t {
		j++
	}
	p, a, b := m.tri[t].v[i], m.tri[t].v[(i+1)%3], m.tri[t].v[(i+2)%3]
	q := m.tri[o].v[j]
	if inCircle(m.at[p], m.at[a], m.at[b], m.at[q]) != 0 || !lowerEdge(zIn[p], zIn[q], zIn[a], zIn[b]) {
		return false
	}
	// t: p a b, o: q b a  ->  t: p a q, o: p q b
	outA, outB := m.tri[t].adj[(i+1)%3], m.tri[t].adj[(i+2)%3] // across b-p, p-a
	outC, outD := m.tri[o].adj[(j+1)%3], m.tri[o].adj[(j+2)%3] // across a-q, q-b
	m.tri[t] = triangle{[3]int32{p, a, q}, [3]int32{outC, o, outB}}
	m.tri[o] = triangle{[3]int32{p, q, b}, [3]int32{outD, outA, t}}
	m.swap(outC, o, t)
	m.swap(outA, t, o)
	return true
}

// swap makes triangle n, told to neighbour old, tell new instead.
func (m *mesh) swap(n, old, to int32) {
	for i := range 3 {
		if m.tri[n].adj[i] == old {
			m.tri[n].adj[i] = to
			return
		}
	}
}

// lowerEdge says whether the diagonal with ends at p and q is to be preferred
// to the one with ends at a and b. Differences under a millionth of an inch
// are rounding.
func lowerEdge(p, q, a, b float64) bool {
	near := func(x, y float64) bool { return x-y < 1e-6 && y-x < 1e-6 }
	rise, other := p-q, a-b
	if rise < 0 {
		rise = -rise
	}
	if other < 0 {
		other = -other
	}
	if !near(rise, other) {
		return rise < other
	}
	return !near(p+q, a+b) && p+q < a+b
}
