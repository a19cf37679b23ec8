// Package fill fills the hollows of a raster to the level at which they run
// over, and keeps what was learned on the way: which hollow each cell drains
// to, where each hollow runs over, and into which other.
//
// The heap holds hollows, not cells. Every cell gets its steepest lower
// neighbour of eight; cells that end at one bottom are one hollow; the hollows
// are flooded from the outlets over their lowest passes. The answer is the
// least, over all ways to an outlet, of the highest cell on the way, the same
// to the bit as the flood of Barnes, Lehman and Mulla, "Priority-flood",
// Computers & Geosciences 62 (2014), doi 10.1016/j.cageo.2013.04.024, which
// the tests hold it to.
package fill

import (
	"container/heap"
	"math"
)

// Grid is a raster whose open cells take part; the rest are walls. Cell (i, j)
// has index j*NX + i.
type Grid struct {
	NX, NY int
	Open   []bool // nil: every cell
}

// Seed is a cell where water leaves, never below Level nor below the cell.
type Seed struct {
	Cell   int
	Level  float64
	Outlet int // the caller's number of the outlet
}

// Hollow is a set of cells whose water runs to one bottom.
type Hollow struct {
	Bottom  int     // its lowest cell; of a level bottom, the first
	Level   float64 // where it runs over; +Inf where no outlet can be reached
	Into    int     // the hollow that it runs over into; -1: leaves, or closed in
	In, Out int     // the pass: the cells on this side and on the other; -1: none
	Outlet  int     // of a seed that is this hollow's bottom; else -1
}

// Result is a filled raster. Level of closed cells is meaningless.
type Result struct {
	Level  []float64 // max(cell, level of its hollow); +Inf where closed in
	Of     []int32   // the hollow of each cell; -1 for walls
	Hollow []Hollow
	Order  []int32 // reached hollows, those nearer the outlets first
}

const (
	wall  = -1
	unset = -2
	pit   = -3
	seed  = -4
)

// flood is the work in hand. Its rasters have a ring of walls round them, so
// that no cell needs to look where the raster ends.
type flood struct {
	g     Grid
	width int    // of the padded raster
	steps [8]int // to the eight neighbours, in the padded raster
	z     []float64
	of    []int32 // first the lower neighbour, then the hollow
	res   *Result
}

// Run fills z. Cost: O(n + h log h) for n cells and h hollows; 13 bytes a cell
// beside the result. Of seeds of one cell the lowest counts. No elevation may
// be NaN.
func Run(g Grid, z []float64, seeds []Seed) *Result {
	f := newFlood(g, z)
	outlet := f.plantSeeds(seeds)
	down := f.lowerNeighbours()
	f.nameBottoms(outlet)
	f.nameRest(down)
	f.overPasses(seeds, outlet)
	return f.finish()
}

func newFlood(g Grid, z []float64) *flood {
	w := g.NX + 2
	f := &flood{g: g, width: w, res: &Result{}}
	f.steps = [8]int{-w - 1, -w, -w + 1, -1, 1, w - 1, w, w + 1}
	n := w * (g.NY + 2)
	f.z, f.of = make([]float64, n), make([]int32, n)
	for k := range f.z {
		f.z[k], f.of[k] = math.Inf(1), wall
	}
	for j := range g.NY {
		for i := range g.NX {
			k := j*g.NX + i
			if g.Open == nil || g.Open[k] {
				p := f.padded(k)
				f.z[p], f.of[p] = z[k], unset
			}
		}
	}
	return f
}

func (f *flood) padded(k int) int { return (k/f.g.NX+1)*f.width + k%f.g.NX + 1 }

func (f *flood) plain(p int) int { return (p/f.width-1)*f.g.NX + p%f.width - 1 }

// plantSeeds marks the seed cells; the answer holds the number in seeds of the
// lowest seed of each.
func (f *flood) plantSeeds(seeds []Seed) map[int]int {
	at := map[int]int{}
	for n, s := range seeds {
		p := f.padded(s.Cell)
		if f.of[p] == wall {
			continue
		}
		if old, ok := at[p]; !ok || s.Level < seeds[old].Level {
			at[p] = n
		}
		f.of[p] = seed
	}
	return at
}

// lowerNeighbours gives each cell the number of its steepest lower neighbour,
// or why it has none.
func (f *flood) lowerNeighbours() []int8 {
	down := make([]int8, len(f.z))
	for p, mark := range f.of {
		down[p] = -1
		if mark != unset {
			continue
		}
		zp, most := f.z[p], 0.0
		for n, step := range f.steps {
			fall := zp - f.z[p+step]
			if n == 0 || n == 2 || n == 5 || n == 7 {
				fall *= math.Sqrt2 / 2
			}
			if fall > most {
				most, down[p] = fall, int8(n)
			}
		}
		if down[p] < 0 {
			f.of[p] = pit
		}
	}
	return down
}

// nameBottoms makes a hollow of each seed and of each level bottom.
func (f *flood) nameBottoms(outlet map[int]int) {
	var level []int
	for p := range f.of {
		if f.of[p] == seed {
			f.of[p] = f.newHollow(p, outlet[p])
			continue
		}
		if f.of[p] != pit {
			continue
		}
		name := f.newHollow(p, -1)
		f.of[p] = name
		for level = append(level[:0], p); len(level) > 0; {
			q := level[len(level)-1]
			level = level[:len(level)-1]
			for _, step := range f.steps {
				if r := q + step; f.of[r] == pit && f.z[r] == f.z[q] {
					f.of[r] = name
					level = append(level, r)
				}
			}
		}
	}
}

func (f *flood) newHollow(bottom, outlet int) int32 {
	f.res.Hollow = append(f.res.Hollow, Hollow{
		Bottom: bottom, Level: math.Inf(1), Into: -1, In: -1, Out: -1, Outlet: outlet,
	})
	return int32(len(f.res.Hollow) - 1)
}

// nameRest gives every other cell the hollow that its lower neighbours lead to.
func (f *flood) nameRest(down []int8) {
	var way []int
	for p := range f.of {
		if f.of[p] != unset {
			continue
		}
		way = way[:0]
		q := p
		for f.of[q] == unset {
			way = append(way, q)
			q += f.steps[down[q]]
		}
		for _, w := range way {
			f.of[w] = f.of[q]
		}
	}
}

// overPasses floods the hollows from the seeds, lowest first.
func (f *flood) overPasses(seeds []Seed, outlet map[int]int) {
	cells, first := f.byHollow()
	hollows := f.res.Hollow
	done := make([]bool, len(hollows))
	var q passes
	for h := range hollows {
		if n := hollows[h].Outlet; n >= 0 {
			hollows[h].Level = math.Max(seeds[n].Level, f.z[hollows[h].Bottom])
			hollows[h].Outlet = seeds[n].Outlet
			q = append(q, pass{hollows[h].Level, len(q), int32(h)})
		}
	}
	heap.Init(&q)
	count := len(q)
	for len(q) > 0 {
		top := heap.Pop(&q).(pass)
		a := top.hollow
		if done[a] {
			continue
		}
		done[a] = true
		f.res.Order = append(f.res.Order, a)
		for _, c := range cells[first[a]:first[a+1]] {
			p := int(c)
			for _, step := range f.steps {
				b := f.of[p+step]
				if b == wall || b == a || done[b] {
					continue
				}
				level := max(hollows[a].Level, f.z[p], f.z[p+step])
				if level < hollows[b].Level {
					hollows[b].Level, hollows[b].Into = level, int(a)
					hollows[b].In, hollows[b].Out = p+step, p
					hollows[b].Outlet = -1
					heap.Push(&q, pass{level, count, b})
					count++
				}
			}
		}
	}
}

// byHollow lists the cells of hollow h as cells[first[h]:first[h+1]].
func (f *flood) byHollow() (cells, first []int32) {
	first = make([]int32, len(f.res.Hollow)+2)
	for _, h := range f.of {
		if h >= 0 {
			first[h+2]++
		}
	}
	for h := 2; h < len(first); h++ {
		first[h] += first[h-1]
	}
	cells = make([]int32, first[len(first)-1])
	for p, h := range f.of {
		if h >= 0 {
			cells[first[h+1]] = int32(p)
			first[h+1]++
		}
	}
	return cells, first
}

// finish turns padded places into plain ones.
func (f *flood) finish() *Result {
	n := f.g.NX * f.g.NY
	f.res.Level, f.res.Of = make([]float64, n), make([]int32, n)
	for k := range n {
		p := f.padded(k)
		h := f.of[p]
		f.res.Of[k] = h
		if h >= 0 {
			f.res.Level[k] = math.Max(f.z[p], f.res.Hollow[h].Level)
		}
	}
	for h := range f.res.Hollow {
		b := &f.res.Hollow[h]
		b.Bottom = f.plain(b.Bottom)
		if b.In >= 0 {
			b.In, b.Out = f.plain(b.In), f.plain(b.Out)
		}
	}
	return f.res
}

// pass waits in the heap; equal levels come out in the order they went in.
type pass struct {
	level  float64
	count  int
	hollow int32
}

type passes []pass

func (q passes) Len() int { return len(q) }

func (q passes) Less(a, b int) bool {
	if q[a].level != q[b].level {
		return q[a].level < q[b].level
	}
	return q[a].count < q[b].count
}

func (q passes) Swap(a, b int) { q[a], q[b] = q[b], q[a] }

func (q *passes) Push(x any) { *q = append(*q, x.(pass)) }

func (q *passes) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
