package fit

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// planeNeighbours is how many shots the nearest fitted plane goes through.
const planeNeighbours = 8

// tin is the triangles between shots. Triangles with an edge across a wall are
// not used: no elevation is carried straight through a court.
type tin struct {
	walls *walls
	g     *ground // tells whether the middle of an edge lies on the area
	at    []geom.Pt
	zIn   []float64
	mesh  *mesh
	touch []int32 // a triangle at each place
	near  *near
	slope map[int]survey.Plane // nearest fitted planes by shot, as they are asked for
}

// newTin triangulates shots; those that snap to one lattice place (1/65,536 ft
// on usual roofs) are averaged. It gives false when they lie on one line. g is
// any ground of the site.
func newTin(g *ground, shots places) (*tin, bool) {
	t := &tin{walls: g.walls, g: g, slope: map[int]survey.Plane{}}
	far := 0.0
	for _, p := range shots.at {
		far = math.Max(far, math.Max(math.Abs(p.X), math.Abs(p.Y)))
	}
	perFt := 65536.0
	for far*perFt >= spotLimit-1 {
		perFt /= 2
	}
	var spots []spot
	var count []float64
	seen := map[spot]int{}
	for i, p := range shots.at {
		s := spot{int64(math.Round(p.X * perFt)), int64(math.Round(p.Y * perFt))}
		n, ok := seen[s]
		if !ok {
			n = len(spots)
			seen[s] = n
			spots, count = append(spots, s), append(count, 0)
			t.at, t.zIn = append(t.at, p), append(t.zIn, 0)
		}
		count[n]++
		t.zIn[n] += (shots.zIn[i] - t.zIn[n]) / count[n]
	}
	m, ok := newMesh(spots)
	if !ok {
		return nil, false
	}
	m.splitTies(t.zIn)
	t.mesh, t.near, t.touch = m, newNear(t.at), make([]int32, len(spots))
	for n, tr := range m.tri {
		if m.real(int32(n)) {
			for _, v := range tr.v {
				t.touch[v] = int32(n)
			}
		}
	}
	return t, true
}

// sees says whether the stretch from p to q stays on the area.
func (t *tin) sees(p, q geom.Pt) bool {
	if t.walls.between(p, q) {
		return false
	}
	i, j := t.g.CellOf(p.Lerp(q, 0.5))
	return !t.g.Holds(i, j) || t.g.in[j*t.g.NX+i] || p.Dist(q) < 2*t.g.CellFt
}

// open says whether a triangle between three places can be used.
func (t *tin) open(a, b, c geom.Pt) bool { return t.sees(a, b) && t.sees(b, c) && t.sees(c, a) }

// planeAt is the height at p of the plane of least squares through the nearest
// shots in sight, without shot but (-1: all); their mean where they lie on one
// line, 0 where there are none.
func (t *tin) planeAt(p geom.Pt, but int) (survey.Plane, float64) {
	found := t.near.nearest(p, planeNeighbours, func(n int) bool { return n != but && t.sees(p, t.at[n]) })
	var pts []geom.Pt
	var zIn []float64
	for _, f := range found {
		pts, zIn = append(pts, t.at[f.n]), append(zIn, t.zIn[f.n])
	}
	pl, _, err := leastSquares(pts, zIn)
	if err != nil {
		pl = survey.Plane{CIn: meanOf(zIn)}
	}
	return pl, pl.At(p)
}

// leaveOneOut gives, for each shot, the miss of the triangles laid without it.
// Only the triangles at the shot change, and what fills their place joins the
// shot's own neighbours. Cost: O(n).
func (t *tin) leaveOneOut() []float64 {
	miss := make([]float64, len(t.at))
	for n := range t.at {
		miss[n] = t.zIn[n] - t.without(n)
	}
	return miss
}

// without is the height at shot n of the triangles laid without it.
func (t *tin) without(n int) float64 {
	ring, hull := t.ringOf(int32(n))
	if !hull {
		var spots []spot
		var zIn []float64
		for _, v := range ring {
			spots, zIn = append(spots, t.mesh.at[v]), append(zIn, t.zIn[v])
		}
		if m, ok := newMesh(spots); ok {
			m.splitTies(zIn)
			for k, tr := range m.tri {
				if !m.real(int32(k)) {
					continue
				}
				a, b, c := ring[tr.v[0]], ring[tr.v[1]], ring[tr.v[2]]
				if z, in := t.height(a, b, c, t.at[n]); in && t.open(t.at[a], t.at[b], t.at[c]) {
					return z
				}
			}
		}
	}
	_, z := t.planeAt(t.at[n], n)
	return z
}

// ringOf gives the neighbours of a place in the mesh, and whether it lies on
// the hull.
func (t *tin) ringOf(n int32) (ring []int32, hull bool) {
	start := t.touch[n]
	for k := start; ; {
		tr := t.mesh.tri[k]
		i := 0
		for tr.v[i] != n {
			i++
		}
		v := tr.v[(i+1)%3]
		if v == farVertex {
			return ring, true
		}
		ring = append(ring, v)
		k = tr.adj[(i+1)%3] // across the edge from the last vertex to n
		if k == start {
			return ring, false
		}
	}
}

// height is that of triangle a, b, c over p, and whether p lies in it, its
// border included.
func (t *tin) height(a, b, c int32, p geom.Pt) (zIn float64, in bool) {
	pa, pb, pc := t.at[a], t.at[b], t.at[c]
	whole := pb.Sub(pa).Cross(pc.Sub(pa))
	wa := pb.Sub(p).Cross(pc.Sub(p)) / whole
	wb := pc.Sub(p).Cross(pa.Sub(p)) / whole
	wc := 1 - wa - wb
	const eps = -1e-9
	return wa*t.zIn[a] + wb*t.zIn[b] + wc*t.zIn[c], wa >= eps && wb >= eps && wc >= eps
}

// surface gives the triangles' heights over the cells of l that want marks;
// beyond them the nearest fitted plane goes on from the nearest cell of a
// triangle. Cost: O(cells + triangles).
func (t *tin) surface(s *survey.Site, l survey.Lattice, want []bool) []float64 {
	out := make([]float64, l.Len())
	done := make([]bool, l.Len())
	for k, tr := range t.mesh.tri {
		if t.mesh.real(int32(k)) && t.open(t.at[tr.v[0]], t.at[tr.v[1]], t.at[tr.v[2]]) {
			t.paint(tr.v, l, out, done)
		}
	}
	g := newGround(s, l, t.walls)
	t.goOn(g, out, done)
	for k := range out {
		if !want[k] {
			out[k] = 0
		}
	}
	return out
}

// paint sets the cells of l whose middles lie in a triangle.
func (t *tin) paint(v [3]int32, l survey.Lattice, out []float64, done []bool) {
	b := geom.BoxOf(t.at[v[0]], t.at[v[1]], t.at[v[2]])
	i0, j0 := l.CellOf(b.Min)
	i1, j1 := l.CellOf(b.Max)
	for j := max(j0-1, 0); j <= min(j1+1, l.NY-1); j++ {
		for i := max(i0-1, 0); i <= min(i1+1, l.NX-1); i++ {
			if z, in := t.height(v[0], v[1], v[2], l.Centre(i, j)); in {
				out[j*l.NX+i], done[j*l.NX+i] = z, true
			}
		}
	}
}

// goOn carries the surface from the cells done to the others of the ground, a
// ring of cells at a time: each takes the nearest of its neighbours' sources
// and goes on from there along the nearest fitted plane.
func (t *tin) goOn(g *ground, out []float64, done []bool) {
	source := make([]int32, g.Len())
	var edge []int32
	for k := range source {
		source[k] = -1
		if done[k] && g.in[k] {
			source[k] = int32(k)
			edge = append(edge, int32(k))
		}
	}
	place := func(k int32) geom.Pt { return g.Centre(int(k)%g.NX, int(k)/g.NX) }
	for len(edge) > 0 {
		found := map[int32]int32{}
		var next []int32
		for _, k := range edge {
			g.linked(int(k), func(m int) {
				if source[m] >= 0 {
					return
				}
				was, again := found[int32(m)]
				if !again {
					next = append(next, int32(m))
				}
				p := place(int32(m))
				if d, e := place(source[k]).Dist(p), place(was).Dist(p); !again || d < e-1e-9 ||
					d < e+1e-9 && out[source[k]] < out[was] {
					found[int32(m)] = source[k]
				}
			})
		}
		for _, m := range next {
			source[m] = found[m]
			from := place(source[m])
			d := place(m).Sub(from)
			pl := t.slopeNear(from)
			out[m] = out[source[m]] + pl.GX*d.X + pl.GY*d.Y
		}
		edge = next
	}
}

// slopeNear is the plane through the shots nearest to the shot nearest to p.
func (t *tin) slopeNear(p geom.Pt) survey.Plane {
	n := t.near.nearest(p, 1, func(int) bool { return true })[0].n
	pl, ok := t.slope[n]
	if !ok {
		pl, _ = t.planeAt(t.at[n], -1)
		t.slope[n] = pl
	}
	return pl
}

// linked visits the cells beside cell k that no wall parts from it.
func (g *ground) linked(k int, f func(m int)) {
	if g.east[k] {
		f(k + 1)
	}
	if k%g.NX > 0 && g.east[k-1] {
		f(k - 1)
	}
	if g.north[k] {
		f(k + g.NX)
	}
	if k >= g.NX && g.north[k-g.NX] {
		f(k - g.NX)
	}
}
