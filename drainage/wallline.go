package drainage

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// hairlineFt is how far apart two places of an outline may lie and be one.
const hairlineFt = 1e-7

// piece is a straight piece of outline with the region on its left.
type piece struct{ a, b geom.Pt }

// along sums what runs along a side of triangles, there and back: what both
// cells of a side hold cancels, what is left is outline.
type along struct {
	a, b geom.Pt
	turn []turnAt
	cut  bool // a wall runs through one of the cells
}

// turnAt is where a run begins (+1) or ends (-1), feet from a; a run back ends
// before it begins.
type turnAt struct {
	ft float64
	by int
}

// add adds a run from p to q.
func (l *along) add(p, q geom.Pt) {
	d := l.b.Sub(l.a).Mul(1 / l.a.Dist(l.b))
	l.turn = append(l.turn, turnAt{d.Dot(p.Sub(l.a)), 1}, turnAt{d.Dot(q.Sub(l.a)), -1})
}

// left adds to out what does not cancel.
func (l *along) left(out []piece) []piece {
	slices.SortFunc(l.turn, func(p, q turnAt) int { return cmp.Or(cmp.Compare(p.ft, q.ft), cmp.Compare(p.by, q.by)) })
	d, runs := l.b.Sub(l.a).Mul(1/l.a.Dist(l.b)), 0
	for n, t := range l.turn[:max(0, len(l.turn)-1)] {
		runs += t.by
		p, q := l.a.Add(d.Mul(t.ft)), l.a.Add(d.Mul(l.turn[n+1].ft))
		if p.Dist(q) <= hairlineFt {
			continue
		}
		for range runs {
			out = append(out, piece{p, q})
		}
		for range -runs {
			out = append(out, piece{q, p})
		}
	}
	return out
}

// border gathers the outline of water at walls.
type border struct {
	pieces []piece
	side   map[[2]nodeKey]*along
	order  []*along // of side, as they came
}

// sideOf is what runs along the side from corner n of t.
func (b *border) sideOf(t *wetTriangle, n int) *along {
	m := (n + 1) % 3
	if after(t.key[n], t.key[m]) {
		n, m = m, n
	}
	key := [2]nodeKey{t.key[n], t.key[m]}
	l := b.side[key]
	if l == nil {
		l = &along{a: t.at[n], b: t.at[m]}
		b.side[key], b.order = l, append(b.order, l)
	}
	return l
}

// cutTriangle adds the border of the water on a part of a triangle.
func (b *border) cutTriangle(t *wetTriangle) {
	g := t.fall()
	shore := along{a: t.at[0], b: t.at[0].Add(geom.Pt{X: -g.Y, Y: g.X})}
	t.wetOn(t.part, g, func(r geom.Ring) {
		for n, p := range r {
			q := r[(n+1)%len(r)]
			if p.Dist(q) <= 1e-11 {
				continue
			}
			switch n := t.sideAlong(p, q); {
			case n >= 0:
				l := b.sideOf(t, n)
				l.cut = true
				l.add(p, q)
			case math.Max(math.Abs(t.depthAt(g, p)), math.Abs(t.depthAt(g, q))) <= 1e-9*g.Norm():
				if shore.turn == nil {
					way := shore.b.Sub(shore.a)
					shore.a, shore.b = p, p.Add(way)
				}
				shore.add(p, q)
			default:
				b.pieces = append(b.pieces, piece{p, q})
			}
		}
	})
	b.pieces = shore.left(b.pieces)
}

// sideAlong is the side of t that p and q lie on, by its first corner; -1: none.
func (t *wetTriangle) sideAlong(p, q geom.Pt) int {
	for n := range 3 {
		a, d := t.at[n], t.at[(n+1)%3].Sub(t.at[n])
		d = d.Mul(1 / d.Norm())
		if math.Abs(d.Cross(p.Sub(a))) <= 1e-9 && math.Abs(d.Cross(q.Sub(a))) <= 1e-9 {
			return n
		}
	}
	return -1
}

// besideCut adds the wet sides of a triangle that no wall runs through.
func (b *border) besideCut(t *wetTriangle) {
	for n := range 3 {
		m := (n + 1) % 3
		p, q := t.at[n], t.at[m]
		switch wetN, wetM := t.depth[n] > 0, t.depth[m] > 0; {
		case t.wall[n] || !wetN && !wetM:
			continue
		case wetN && !wetM:
			q = t.crossing(n, m).at
		case wetM && !wetN:
			p = t.crossing(n, m).at
		}
		b.sideOf(t, n).add(p, q)
	}
}

// outlineAtWalls is outline for water that walls run through.
func (w *wetCells) outlineAtWalls(cells []int) []geom.Poly {
	b := &border{side: map[[2]nodeKey]*along{}}
	w.each(cells, func(i, j int) {
		if w.besideWall(i, j) {
			w.quadrants(i, j, b.besideCut)
		}
	}, func(t *wetTriangle) {
		if t.part != nil {
			b.cutTriangle(t)
			return
		}
		for _, s := range t.stretches(nil) {
			b.pieces = append(b.pieces, piece{s.a, s.b})
		}
		b.besideCut(t)
	})
	for _, l := range b.order {
		if l.cut {
			b.pieces = l.left(b.pieces)
		}
	}
	return polysOf(loops(b.pieces))
}

// besideWall says whether a wall runs through one of the cells round (i, j).
func (w *wetCells) besideWall(i, j int) bool {
	for _, d := range around8 {
		if w.surf.Holds(i+d[0], j+d[1]) && w.surf.partOf((j+d[1])*w.surf.NX+i+d[0]) != nil {
			return true
		}
	}
	return false
}

// loops joins pieces to rings that pass each place once. As many pieces end at a
// place as begin there.
func loops(pieces []piece) (rings []geom.Ring) {
	place := places{at: map[[2]int]int{}}
	var from [][]int // pieces that begin at each place
	to := make([]int, len(pieces))
	for n, p := range pieces {
		a, b := place.of(p.a), place.of(p.b)
		for len(from) < len(place.list) {
			from = append(from, nil)
		}
		from[a], to[n] = append(from[a], n), b
	}
	on := make([]int, len(place.list)) // where each place stands on the way, from 1
	for start := range from {
		way := []int{start}
		on[start] = 1
		for len(way) > 0 {
			at := way[len(way)-1]
			if len(from[at]) == 0 { // all done, or a hair that leads nowhere
				on[at], way = 0, way[:len(way)-1]
				continue
			}
			next := to[from[at][0]]
			from[at] = from[at][1:]
			if on[next] == 0 {
				way = append(way, next)
				on[next] = len(way)
				continue
			}
			var r geom.Ring
			for _, k := range way[on[next]-1:] {
				r, on[k] = append(r, place.list[k]), 0
			}
			way = way[:len(way)-len(r)+1]
			on[next] = len(way)
			if r = straightened(r); len(r) >= 3 {
				rings = append(rings, r)
			}
		}
	}
	return rings
}

// places numbers places; those within a hair are one.
type places struct {
	at   map[[2]int]int // the last place in each square of two hairs
	list []geom.Pt
}

func (s *places) of(p geom.Pt) int {
	const squareFt = 10 * hairlineFt
	x, y := int(math.Floor(p.X/squareFt)), int(math.Floor(p.Y/squareFt))
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			if n, ok := s.at[[2]int{x + di, y + dj}]; ok && s.list[n].Dist(p) <= squareFt {
				return n
			}
		}
	}
	s.list = append(s.list, p)
	s.at[[2]int{x, y}] = len(s.list) - 1
	return len(s.list) - 1
}
