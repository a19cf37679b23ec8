package render

import (
	"cmp"
	"runtime"
	"slices"
	"sync"

	"runnel/survey/geom"
)

// marcher links the crossings of all levels with the sides of the squares in
// one walk over the grid. Side 2k runs from node k to the right, side 2k+1 from
// node k up. A node that reaches h of the levels, which ascend, and one that
// reaches more have the levels between on their side.
type marcher struct {
	g      *grid
	levels []float64
	region bool         // nodes without a value are below, not missing
	met    [][]crossing // of each level, by side
}

// crossing is where a side meets a level, and the places in the level's list
// that it is joined to, plus one.
type crossing struct {
	side int32
	link [2]int32
}

// sideRow is a row of nodes with the sides to the right and up from them.
type sideRow struct {
	reach     []int32 // how many levels each node reaches; -1: missing
	right, up []int32 // of each side with crossings: where they begin in at
	at        []int32 // places in the levels' lists, ascending with the level
}

// way is a line of one level; a ring's last place joins its first.
type way struct {
	pts  []geom.Pt
	ring bool
}

// march gives the lines of each level, open lines first, then rings, each by
// the side where it begins.
func (g *grid) march(levels []float64, region bool) [][]way {
	order := make([]int, 0, len(levels))
	for n, l := range levels {
		if l == l {
			order = append(order, n)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(levels[a], levels[b]) })
	m := marcher{g: g, region: region, met: make([][]crossing, len(order))}
	for _, n := range order {
		m.levels = append(m.levels, levels[n])
	}
	m.link()
	out := make([][]way, len(levels))
	workers := min(2, runtime.GOMAXPROCS(0))
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for l := w; l < len(order); l += workers {
				out[order[l]] = m.ways(l)
			}
		})
	}
	wg.Wait()
	return out
}

// link walks over the rows of the grid, three rows of nodes in hand.
func (m *marcher) link() {
	nx, ny := m.g.nx, m.g.ny
	var rows [3]sideRow
	for n := range rows {
		rows[n] = sideRow{reach: make([]int32, nx), right: make([]int32, nx), up: make([]int32, nx)}
	}
	before, here, after := &rows[0], &rows[1], &rows[2]
	if ny > 0 {
		m.setReach(0, here)
	}
	for j := range ny {
		next := here // the last row has no sides up
		if j+1 < ny {
			m.setReach(j+1, after)
			next = after
		}
		m.cross(j, here, next.reach)
		if j > 0 {
			m.squares(j-1, before, here)
		}
		before, here, after = here, after, before
	}
}

// setReach tells how many levels each node of row j reaches. Neighbours reach
// about as many.
func (m *marcher) setReach(j int, row *sideRow) {
	nx := m.g.nx
	v, ok := m.g.v[j*nx:(j+1)*nx], m.g.ok[j*nx:(j+1)*nx]
	h := 0
	for i, z := range v {
		if !ok[i] {
			row.reach[i] = -1
			if m.region {
				row.reach[i] = 0
			}
			continue
		}
		for h < len(m.levels) && z >= m.levels[h] {
			h++
		}
		for h > 0 && z < m.levels[h-1] {
			h--
		}
		row.reach[i] = int32(h)
	}
}

// cross lists the crossings of the sides to the right and up from row j.
func (m *marcher) cross(j int, row *sideRow, above []int32) {
	row.at = row.at[:0]
	last := len(row.reach) - 1
	for i, h := range row.reach {
		right, up := h, above[i]
		if i < last {
			right = row.reach[i+1]
		}
		if h == right && h == up {
			continue
		}
		side := int32(2 * (j*m.g.nx + i))
		row.right[i] = m.crossSide(row, side, h, right)
		row.up[i] = m.crossSide(row, side+1, h, up)
	}
}

// crossSide lists the crossings of a side whose ends reach a and b levels; the
// answer is where they begin in row.at.
func (m *marcher) crossSide(row *sideRow, side, a, b int32) int32 {
	first := int32(len(row.at))
	if a < 0 || b < 0 {
		return first
	}
	for l := min(a, b); l < max(a, b); l++ {
		row.at = append(row.at, int32(len(m.met[l])))
		m.met[l] = append(m.met[l], crossing{side: side})
	}
	return first
}

// squares joins the crossings round the squares between the rows j and j+1 of
// nodes.
func (m *marcher) squares(j int, low, high *sideRow) {
	for i := range len(low.reach) - 1 {
		c := [4]int32{low.reach[i], low.reach[i+1], high.reach[i+1], high.reach[i]} // round the square
		if c[0] == c[1] && c[0] == c[2] && c[0] == c[3] || min(c[0], c[1], c[2], c[3]) < 0 {
			continue
		}
		for l := min(c[0], c[1], c[2], c[3]); l < max(c[0], c[1], c[2], c[3]); l++ {
			var at [4]int32 // the crossings with the four sides round the square
			var cut [4]int
			n := 0
			for s := range 4 {
				a, b := c[s], c[(s+1)%4]
				if (a > l) == (b > l) {
					continue
				}
				row, first := low, low.right[i]
				switch s {
				case 1:
					first = low.up[i+1]
				case 2:
					row, first = high, high.right[i]
				case 3:
					first = low.up[i]
				}
				at[s], cut[n] = row.at[first+l-min(a, b)], s
				n++
			}
			if n == 2 {
				m.join(l, at[cut[0]], at[cut[1]])
			} else {
				m.saddle(l, j*m.g.nx+i, c[0] > l, at)
			}
		}
	}
}

// saddle joins the four crossings round the square from node k on; first says
// that this node is high.
func (m *marcher) saddle(l int32, k int, first bool, at [4]int32) {
	v := m.g.v
	mean := ((v[k] + v[k+m.g.nx+1]) + (v[k+1] + v[k+m.g.nx])) / 4
	if (mean >= m.levels[l]) == first {
		m.join(l, at[0], at[1])
		m.join(l, at[2], at[3])
	} else {
		m.join(l, at[3], at[0])
		m.join(l, at[1], at[2])
	}
}

func (m *marcher) join(l, a, b int32) {
	met := m.met[l]
	for _, ab := range [2][2]int32{{a, b}, {b, a}} {
		if link := &met[ab[0]].link; link[0] == 0 {
			link[0] = ab[1] + 1
		} else {
			link[1] = ab[1] + 1
		}
	}
}

// ways follows the links of level l. All its lines share one piece of memory.
func (m *marcher) ways(l int) []way {
	met := m.met[l]
	room := make([]geom.Pt, 0, len(met))
	var out []way
	for pass := range 2 { // open lines first, then rings
		for n := range met {
			link := met[n].link
			if link[0] == 0 || pass == 0 && link[1] != 0 {
				continue
			}
			from := len(room)
			var ring bool
			room, ring = m.walk(l, n, room)
			out = append(out, way{room[from:len(room):len(room)], ring})
		}
	}
	m.met[l] = nil
	return out
}

// walk follows the links of level l from place n of its list, adds the places
// to pts and takes the links away.
func (m *marcher) walk(l, n int, pts []geom.Pt) (_ []geom.Pt, ring bool) {
	met := m.met[l]
	start, from := int32(n+1), int32(0)
	for at := start; ; {
		c := &met[at-1]
		pts = append(pts, m.place(c.side, m.levels[l]))
		next := c.link[0]
		if next == from && from != 0 {
			next = c.link[1]
		}
		c.link = [2]int32{}
		if next == 0 || next == start {
			return pts, next == start
		}
		from, at = at, next
	}
}

// place is where a side meets a level, reckoned from its lower end so that both
// directions give the same.
func (m *marcher) place(side int32, level float64) geom.Pt {
	g := m.g
	a := int(side / 2)
	i, j := a%g.nx, a/g.nx
	pa, b := g.node(i, j), a+1
	var pb geom.Pt
	if side%2 == 0 {
		pb = g.node(i+1, j)
	} else {
		b, pb = a+g.nx, g.node(i, j+1)
	}
	if !g.ok[a] || !g.ok[b] {
		return pa.Lerp(pb, 0.5)
	}
	if g.v[a] > g.v[b] {
		a, b, pa, pb = b, a, pb, pa
	}
	return pa.Lerp(pb, (level-g.v[a])/(g.v[b]-g.v[a]))
}
