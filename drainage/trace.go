package drainage

import (
	"math"

	"runnel/survey/geom"
)

// tracer follows water over the mesh. It only reads, so that several starts
// may be traced at once.
type tracer struct {
	mesh
	c      *check
	endsAt []int32 // outlet of each cell that lets water go; -1
	over   []int32 // next cell over level places; -1 where there is none
}

// newTracer lays the surface that paths run on: the roof where it is dry and
// under ponds worth reporting, the water level in lesser hollows, so that
// paths run on over them.
func (c *check) newTracer() *tracer {
	t := &tracer{c: c, mesh: mesh{c.surf, make([]float64, c.surf.Len())}, endsAt: make([]int32, c.surf.Len())}
	for k := range t.z {
		t.z[k], t.endsAt[k] = c.surf.ElevIn[k], -1
		if h := c.pondOf[k]; h >= 0 && c.named[h] < 0 {
			t.z[k] = c.filledIn[k]
		}
	}
	for n, cells := range c.outlets {
		for _, k := range cells {
			if c.lets(n) && t.endsAt[k] < 0 {
				t.endsAt[k] = int32(n)
			}
		}
	}
	t.over = t.overFlats()
	return t
}

// overFlats leads every cell without a lower neighbour over cells of the same
// height to one that has a lower neighbour or is an outlet, by the shortest
// way in steps of 5 and 7 (Borgefors, "Distance transformations in digital
// images", Computer Vision, Graphics, and Image Processing 34, 1986). Cost:
// O(n), with a ring of buckets for a heap.
func (t *tracer) overFlats() []int32 {
	const side, diagonal = 5, 7
	n := len(t.z)
	over, dist := make([]int32, n), make([]int32, n)
	var ring [diagonal + 1][]int
	waiting := 0
	for k := range over {
		over[k], dist[k] = -1, math.MaxInt32
		if t.hasLevel(k) && (t.endsAt[k] >= 0 || t.hasLower(k)) {
			dist[k] = 0
			ring[0] = append(ring[0], k)
			waiting++
		}
	}
	for d := int32(0); waiting > 0; d++ {
		bucket := &ring[d%(diagonal+1)]
		for len(*bucket) > 0 {
			k := (*bucket)[len(*bucket)-1]
			*bucket = (*bucket)[:len(*bucket)-1]
			waiting--
			if dist[k] != d {
				continue
			}
			t.c.neighbours(k, func(r int) {
				step := int32(side)
				if r%t.surf.NX != k%t.surf.NX && r/t.surf.NX != k/t.surf.NX {
					step = diagonal
				}
				if t.z[r] == t.z[k] && d+step < dist[r] {
					dist[r], over[r] = d+step, int32(k)
					ring[(d+step)%(diagonal+1)] = append(ring[(d+step)%(diagonal+1)], r)
					waiting++
				}
			})
		}
	}
	return over
}

func (t *tracer) hasLower(k int) (yes bool) {
	t.c.neighbours(k, func(r int) { yes = yes || t.z[r] < t.z[k] })
	return yes
}

// hasLevel says whether k and a neighbour are roof of one height. It is asked of
// every cell, and few have one.
func (t *tracer) hasLevel(k int) bool {
	nx, z := t.surf.NX, t.z[k]
	if k <= nx || k >= len(t.z)-nx-1 {
		yes := false
		t.c.neighbours(k, func(r int) { yes = yes || t.z[r] == z })
		return yes && t.surf.Roof[k]
	}
	low, mid, high := t.z[k-nx-1:k-nx+2], t.z[k-1:k+2], t.z[k+nx-1:k+nx+2]
	if low[0] != z && low[1] != z && low[2] != z && mid[0] != z && mid[2] != z &&
		high[0] != z && high[1] != z && high[2] != z {
		return false
	}
	yes := false
	t.c.neighbours(k, func(r int) { yes = yes || t.z[r] == z })
	return yes && t.surf.Roof[k]
}

// trail is a path as traced: every place where it meets an edge of the mesh.
type trail struct {
	at      []geom.Pt
	zIn     []float64
	endsAt  string
	unknown bool // runs over cells that cannot be told
}

// follow traces from the middle of a cell until an outlet or a pond takes the
// water, or until nothing leads on. Heights never rise and level places are
// left by the shortest way, so the steps are bounded; the bound is kept as
// well, for rounding.
func (t *tracer) follow(start int) trail {
	s := spot{start, start, 0}
	tr := trail{at: []geom.Pt{t.at(start)}, zIn: []float64{t.z[start]}}
	for range 8 * (len(t.z) + 1) {
		mv, ok := t.step(s)
		if !ok {
			return tr
		}
		for _, k := range mv.cells {
			tr.unknown = tr.unknown || !t.surf.IsKnown(k)
		}
		p, q := t.place(s), t.place(mv.to)
		zp, zq := t.height(s), math.Min(t.height(mv.to), t.height(s))
		share, name, ends := t.stop(p, q, zp, zq, mv.cells)
		if share > 0 {
			tr.at = append(tr.at, p.Lerp(q, share))
			tr.zIn = append(tr.zIn, zp+share*(zq-zp))
		}
		if ends {
			tr.endsAt = name
			return tr
		}
		s = mv.to
	}
	return tr
}

// step is the next stretch from s.
func (t *tracer) step(s spot) (move, bool) {
	if s.a != s.b {
		if mv, ok := t.fromEdge(s); ok {
			return mv, true
		}
		end := s.a
		if s.t > 0.5 {
			end = s.b
		}
		return move{spot{end, end, 0}, []int{s.a, s.b}}, true
	}
	if mv, ok := t.fromCell(s.a); ok {
		return mv, true
	}
	if next := int(t.over[s.a]); next >= 0 {
		return move{spot{next, next, 0}, []int{s.a, next}}, true
	}
	return move{}, false
}

// stop says whether the stretch p-q ends at a pond or an outlet, and after
// what share of it.
func (t *tracer) stop(p, q geom.Pt, zp, zq float64, cells []int) (share float64, name string, ends bool) {
	share = 1
	for _, k := range cells {
		if h := t.c.pondOf[k]; h >= 0 && t.c.named[h] >= 0 && zq < t.c.hollow[h].levelIn {
			u := 0.0
			if zp > t.c.hollow[h].levelIn {
				u = (zp - t.c.hollow[h].levelIn) / (zp - zq)
			}
			if u <= share {
				share, name, ends = u, pondName(t.c.named[h]), true
			}
		}
		if n := t.endsAt[k]; n >= 0 {
			if u, ok := entry(p, q, t.at(k), t.surf.CellFt/2); ok && u < share || ok && !ends {
				share, name, ends = u, t.c.site.Outlets[n].ID, true
			}
		}
	}
	return share, name, ends
}

// entry is the share of the way p-q after which it is in the square of half
// the side half round c.
func entry(p, q, c geom.Pt, half float64) (float64, bool) {
	from, to := 0.0, 1.0
	for _, v := range [2][2]float64{{p.X - c.X, q.X - p.X}, {p.Y - c.Y, q.Y - p.Y}} {
		if v[1] == 0 {
			if math.Abs(v[0]) > half {
				return 0, false
			}
			continue
		}
		a, b := (-half-v[0])/v[1], (half-v[0])/v[1]
		from, to = math.Max(from, math.Min(a, b)), math.Min(to, math.Max(a, b))
	}
	return from, from <= to
}
