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
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync"
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
	In, Out int     // the lowest pass: the cells on this side and on the other; -1: none
	Outlet  int     // of a seed that is this hollow's bottom; else -1
}

// Result is a filled raster. Level of closed cells is meaningless.
type Result struct {
	Level  []float64 // max(cell, level of its hollow); +Inf where closed in
	Of     []int32   // the hollow of each cell; -1 for walls
	Hollow []Hollow
	Order  []int32 // reached hollows, those nearer the outlets first
}

// Marks of cells that have no hollow yet. A cell with a lower neighbour q holds
// toward(q), which is less than wall.
const (
	wall = -1
	pit  = math.MinInt32
)

func toward(q int) int32 { return int32(-2 - q) }

// flood is the work in hand.
type flood struct {
	g    Grid
	z    []float64
	of   []int32 // the mark, then the hollow
	band []band
	res  *Result
}

// band is some rows that one worker takes.
type band struct {
	j0, j1 int     // from row j0 up to j1, left out
	pits   []int32 // cells without a lower neighbour, ascending
	leave  []int32 // cells whose way leaves the band
	passes passTable
}

// leastBand is the least number of cells that are worth a worker.
const leastBand = 1 << 15

// Run fills z. Cost: O(n + h log h) for n cells and h hollows; beside the
// result some 100 bytes a hollow. Two workers share large rasters; the answer
// is the same to the bit with one. Of seeds of one cell the lowest counts. No
// elevation may be NaN, and cells are fewer than 2^31.
func Run(g Grid, z []float64, seeds []Seed) *Result {
	return run(g, z, seeds, min(2, runtime.GOMAXPROCS(0), 1+len(z)/leastBand))
}

// run fills z in bands of rows, each with a worker of its own.
func run(g Grid, z []float64, seeds []Seed, bands int) *Result {
	f := &flood{g: g, z: z, of: make([]int32, len(z)), res: &Result{}}
	f.split(bands)
	f.eachBand(f.lowerNeighbours)
	f.nameBottoms(f.lowestSeeds(seeds), seeds)
	f.eachBand(f.nameWays)
	f.nameLeaving()
	f.eachBand(f.findPasses)
	f.overPasses(f.joinedPasses(), seeds)
	f.res.Of, f.res.Level = f.of, make([]float64, len(z))
	f.eachBand(f.setLevels)
	return f.res
}

func (f *flood) split(bands int) {
	f.band = make([]band, bands)
	for n := range f.band {
		f.band[n].j0, f.band[n].j1 = n*f.g.NY/bands, (n+1)*f.g.NY/bands
	}
}

// eachBand calls work for every band, each with a worker of its own.
func (f *flood) eachBand(work func(b *band)) {
	var wg sync.WaitGroup
	for n := 1; n < len(f.band); n++ {
		wg.Go(func() { work(&f.band[n]) })
	}
	work(&f.band[0])
	wg.Wait()
}

// lowestSeeds gives the numbers in seeds of the lowest seed of each open cell,
// by cell.
func (f *flood) lowestSeeds(seeds []Seed) []int32 {
	var lowest []int32
	for n, s := range seeds {
		if f.g.Open == nil || f.g.Open[s.Cell] {
			lowest = append(lowest, int32(n))
		}
	}
	slices.SortStableFunc(lowest, func(a, b int32) int {
		return cmp.Or(cmp.Compare(seeds[a].Cell, seeds[b].Cell), cmp.Compare(seeds[a].Level, seeds[b].Level))
	})
	return slices.CompactFunc(lowest, func(a, b int32) bool { return seeds[a].Cell == seeds[b].Cell })
}

// setLevels gives every cell its level.
func (f *flood) setLevels(b *band) {
	hollow := make([]float64, len(f.res.Hollow))
	for h := range hollow {
		hollow[h] = f.res.Hollow[h].Level
	}
	from, to := b.j0*f.g.NX, b.j1*f.g.NX
	level, z := f.res.Level[from:to], f.z[from:to]
	for k, h := range f.of[from:to] {
		if h < 0 {
			continue
		}
		v := z[k]
		if l := hollow[h]; l > v {
			v = l
		}
		level[k] = v
	}
}
