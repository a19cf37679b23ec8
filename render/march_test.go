package render

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// plainLines is lines a level at a time, by a walk over every square.
func plainLines(g *grid, levelsIn []float64) []ContourLine {
	m := plainMarcher{g: g, links: make([][2]int32, 2*g.nx*g.ny)}
	var out []ContourLine
	for _, l := range levelsIn {
		for _, pts := range m.march(l) {
			n := len(pts)
			closed := n > 2 && pts[0] == pts[n-1]
			if closed {
				pts = pts[:n-1]
			}
			out = append(out, ContourLine{l, pts, closed})
		}
	}
	return out
}

// plainAbove is above by the plain walk.
func plainAbove(g *grid, level float64) []geom.Ring {
	p := g.padded(1)
	m := plainMarcher{g: p, links: make([][2]int32, 2*p.nx*p.ny), region: true}
	var out []geom.Ring
	for _, pts := range m.march(level) {
		if len(pts) > 3 {
			out = append(out, geom.Ring(pts[:len(pts)-1]))
		}
	}
	return out
}

// plainMarcher links the crossings of one level with the sides of the squares.
// Side 2k runs from node k to the right, side 2k+1 from node k up.
type plainMarcher struct {
	g      *grid
	links  [][2]int32 // of each side: the sides it is joined to, plus one
	used   []int32    // the sides with a link, in the order met
	level  float64
	region bool // nodes without a value are below, not missing
}

func (m *plainMarcher) march(level float64) [][]geom.Pt {
	m.level = level
	for _, e := range m.used {
		m.links[e] = [2]int32{}
	}
	m.used = m.used[:0]
	for j := range m.g.ny - 1 {
		for i := range m.g.nx - 1 {
			m.square(i, j)
		}
	}
	slices.Sort(m.used)
	var out [][]geom.Pt
	for pass := range 2 { // open lines first, then rings
		for _, e := range m.used {
			l := m.links[e]
			if l == ([2]int32{}) || (pass == 0 && l[0] != 0 && l[1] != 0) {
				continue
			}
			out = append(out, m.walk(e))
		}
	}
	return out
}

func (m *plainMarcher) high(k int) bool { return m.g.ok[k] && m.g.v[k] >= m.level }

// square joins the crossings on the four sides of square (i, j).
func (m *plainMarcher) square(i, j int) {
	k := j*m.g.nx + i
	c := [4]int{k, k + 1, k + m.g.nx + 1, k + m.g.nx} // round the square
	if !m.region && !(m.g.ok[c[0]] && m.g.ok[c[1]] && m.g.ok[c[2]] && m.g.ok[c[3]]) {
		return
	}
	side := [4]int32{int32(2 * c[0]), int32(2*c[1] + 1), int32(2 * c[3]), int32(2*c[0] + 1)}
	var cut []int
	for s := range 4 {
		if m.high(c[s]) != m.high(c[(s+1)%4]) {
			cut = append(cut, s)
		}
	}
	switch len(cut) {
	case 2:
		m.join(side[cut[0]], side[cut[1]])
	case 4:
		mean := (m.g.v[c[0]] + m.g.v[c[2]]) + (m.g.v[c[1]] + m.g.v[c[3]])
		if (mean/4 >= m.level) == m.high(c[0]) {
			m.join(side[0], side[1])
			m.join(side[2], side[3])
		} else {
			m.join(side[3], side[0])
			m.join(side[1], side[2])
		}
	}
}

func (m *plainMarcher) join(a, b int32) {
	for _, ab := range [2][2]int32{{a, b}, {b, a}} {
		l := &m.links[ab[0]]
		if *l == ([2]int32{}) {
			m.used = append(m.used, ab[0])
		}
		if l[0] == 0 {
			l[0] = ab[1] + 1
		} else {
			l[1] = ab[1] + 1
		}
	}
}

// walk follows the links from side e to their end and takes them away.
func (m *plainMarcher) walk(e int32) []geom.Pt {
	pts := []geom.Pt{m.crossing(e)}
	for {
		l := &m.links[e]
		next := l[0]
		if next == 0 {
			next = l[1]
		}
		if next == 0 {
			return pts
		}
		m.drop(e, next-1)
		m.drop(next-1, e)
		e = next - 1
		pts = append(pts, m.crossing(e))
	}
}

func (m *plainMarcher) drop(e, other int32) {
	l := &m.links[e]
	if l[0] == other+1 {
		l[0], l[1] = l[1], 0
	} else {
		l[1] = 0
	}
}

// crossing is the place on side e where the level is met, reckoned from its
// lower end so that both directions give the same.
func (m *plainMarcher) crossing(e int32) geom.Pt {
	k := int(e / 2)
	a, b := k, k+1
	if e%2 == 1 {
		b = k + m.g.nx
	}
	pa := m.g.node(a%m.g.nx, a/m.g.nx)
	pb := m.g.node(b%m.g.nx, b/m.g.nx)
	if !m.g.ok[a] || !m.g.ok[b] {
		return pa.Lerp(pb, 0.5)
	}
	if m.g.v[a] > m.g.v[b] {
		a, b, pa, pb = b, a, pb, pa
	}
	return pa.Lerp(pb, (m.level-m.g.v[a])/(m.g.v[b]-m.g.v[a]))
}

// randomGrid has missing nodes, level places and saddles; its values are often
// those of levels.
func randomGrid(rnd *rand.Rand) *grid {
	g := newGrid(survey.Lattice{NX: 1 + rnd.IntN(12), NY: 1 + rnd.IntN(12), CellFt: 0.5}, 1)
	steps := 1 + rnd.IntN(6)
	for k := range g.v {
		g.ok[k] = rnd.IntN(12) > 0
		if g.v[k] = float64(rnd.IntN(steps)); rnd.IntN(2) == 0 {
			g.v[k] += rnd.Float64()
		}
	}
	return g
}

// One walk for all levels gives what a walk for each gives, to the bit and in
// the same order, however many workers there are.
func TestLines_AsLevelByLevel(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	const seed = 12
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	places := 0
	for n := range 5000 {
		runtime.GOMAXPROCS(1 + n%2)
		g := randomGrid(rnd)
		levels := []float64{2, 0, 0.5, rnd.Float64() * 4, 1, 1, math.NaN(), math.Inf(1), -3, 3}
		rnd.Shuffle(len(levels), func(a, b int) { levels[a], levels[b] = levels[b], levels[a] })
		levels = levels[:rnd.IntN(len(levels)+1)]
		got, want := g.lines(levels), plainLines(g, levels)
		if len(got) != len(want) {
			t.Fatalf("grid %d: %d lines, want %d", n, len(got), len(want))
		}
		for c := range got {
			places += len(got[c].Pts)
			if !reflect.DeepEqual(got[c], want[c]) {
				t.Fatalf("grid %d, line %d: %v, want %v", n, c, got[c], want[c])
			}
		}
		for _, l := range levels {
			if got, want := g.above(l), plainAbove(g, l); !reflect.DeepEqual(got, want) {
				t.Fatalf("grid %d, region above %v: %v, want %v", n, l, got, want)
			}
		}
	}
	if places < 100000 {
		t.Errorf("%d places compared", places)
	}
}
