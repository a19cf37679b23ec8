package fill

import (
	stdheap "container/heap"
	"flag"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var seedFlag = flag.Uint64("seed", 20140401, "seed of the random grids")

// pass waits in the textbook's heap; equal levels come out in any order.
type pass struct {
	level float64
	cell  int
}

type passes []pass

func (q passes) Len() int           { return len(q) }
func (q passes) Less(a, b int) bool { return q[a].level < q[b].level }
func (q passes) Swap(a, b int)      { q[a], q[b] = q[b], q[a] }
func (q *passes) Push(x any)        { *q = append(*q, x.(pass)) }

func (q *passes) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// textbook is the priority flood as published: every cell through one heap.
// Barnes, Lehman and Mulla 2014, algorithm 1. diagonals says whether water
// passes across corners.
func textbook(g Grid, z []float64, seeds []Seed, diagonals bool) []float64 {
	level := make([]float64, len(z))
	for k := range level {
		level[k] = math.Inf(1)
	}
	var q passes
	push := func(k int, v float64) {
		if v < level[k] {
			level[k] = v
			stdheap.Push(&q, pass{v, k})
		}
	}
	open := func(k int) bool { return g.Open == nil || g.Open[k] }
	for _, s := range seeds {
		if open(s.Cell) {
			push(s.Cell, math.Max(s.Level, z[s.Cell]))
		}
	}
	for len(q) > 0 {
		top := stdheap.Pop(&q).(pass)
		i, j := top.cell%g.NX, top.cell/g.NX
		if top.level > level[top.cell] {
			continue
		}
		for dj := -1; dj <= 1; dj++ {
			for di := -1; di <= 1; di++ {
				if !diagonals && di != 0 && dj != 0 {
					continue
				}
				a, b := i+di, j+dj
				if a < 0 || b < 0 || a >= g.NX || b >= g.NY || !open(b*g.NX+a) {
					continue
				}
				push(b*g.NX+a, math.Max(top.level, z[b*g.NX+a]))
			}
		}
	}
	return level
}

// relaxed fills by lowering every cell to its lowest neighbour until nothing
// moves: Planchon and Darboux 2001, without the tilt.
func relaxed(g Grid, z []float64, seeds []Seed) []float64 {
	level := make([]float64, len(z))
	for k := range level {
		level[k] = math.Inf(1)
	}
	for moved := true; moved; {
		moved = false
		for _, s := range seeds {
			if v := math.Max(s.Level, z[s.Cell]); v < level[s.Cell] && (g.Open == nil || g.Open[s.Cell]) {
				level[s.Cell], moved = v, true
			}
		}
		for k := range z {
			if g.Open != nil && !g.Open[k] {
				continue
			}
			i, j := k%g.NX, k/g.NX
			for dj := -1; dj <= 1; dj++ {
				for di := -1; di <= 1; di++ {
					a, b := i+di, j+dj
					if a < 0 || b < 0 || a >= g.NX || b >= g.NY {
						continue
					}
					if v := math.Max(z[k], level[b*g.NX+a]); v < level[k] {
						level[k], moved = v, true
					}
				}
			}
		}
	}
	return level
}

func edgeSeeds(g Grid, z []float64) []Seed {
	var s []Seed
	for j := range g.NY {
		for i := range g.NX {
			if i == 0 || j == 0 || i == g.NX-1 || j == g.NY-1 {
				s = append(s, Seed{Cell: j*g.NX + i, Level: z[j*g.NX+i]})
			}
		}
	}
	return s
}

// TestRun_AgreesWithTwoOtherFills holds the fast fill to the bit to the
// textbook flood and to repeated lowering, on grids with walls, seeds above
// and below the cell, level places and ties.
func TestRun_AgreesWithTwoOtherFills(t *testing.T) {
	t.Logf("seed %d", *seedFlag)
	rnd := rand.New(rand.NewPCG(*seedFlag, 1))
	for n := range 10000 {
		g, z, seeds := randomGrid(rnd)
		got := Run(g, z, seeds)
		want := textbook(g, z, seeds, true)
		slow := relaxed(g, z, seeds)
		for k := range z {
			if g.Open != nil && !g.Open[k] {
				continue
			}
			if got.Level[k] != want[k] || got.Level[k] != slow[k] {
				t.Fatalf("grid %d of seed %d, cell %d: fast %v, textbook %v, lowering %v\n%v\n%v",
					n, *seedFlag, k, got.Level[k], want[k], slow[k], g, z)
			}
		}
		checkHollows(t, g, z, got)
		for bands := 2; bands < 6; bands++ {
			if again := run(g, z, seeds, bands); !reflect.DeepEqual(again, got) {
				t.Fatalf("grid %d of seed %d: %d bands of rows give another result\n%v\n%v", n, *seedFlag, bands, again, got)
			}
		}
		if n%40 == 0 {
			twiceChangesNothing(t, g, got, seeds)
		}
	}
}

// twiceChangesNothing: a filled raster is filled already (Barnes and others
// 2014).
func twiceChangesNothing(t *testing.T, g Grid, once *Result, seeds []Seed) {
	t.Helper()
	z := slices.Clone(once.Level)
	closed := make([]bool, len(z))
	open := Grid{NX: g.NX, NY: g.NY, Open: make([]bool, len(z))}
	for k := range z {
		closed[k] = g.Open != nil && !g.Open[k] || math.IsInf(z[k], 1)
		if open.Open[k] = !closed[k]; closed[k] {
			z[k] = 0
		}
	}
	again := Run(open, z, seeds)
	for k := range z {
		if !closed[k] && again.Level[k] != once.Level[k] {
			t.Fatalf("cell %d: filled again %v, once %v", k, again.Level[k], once.Level[k])
		}
	}
}

func randomGrid(rnd *rand.Rand) (Grid, []float64, []Seed) {
	g := Grid{NX: 1 + rnd.IntN(14), NY: 1 + rnd.IntN(14)}
	z := make([]float64, g.NX*g.NY)
	steps := 1 + rnd.IntN(12)
	for k := range z {
		if z[k] = float64(rnd.IntN(steps)); rnd.IntN(3) == 0 {
			z[k] += rnd.Float64()
		}
	}
	if rnd.IntN(2) == 0 {
		g.Open = make([]bool, len(z))
		for k := range z {
			g.Open[k] = rnd.IntN(4) > 0
		}
	}
	var seeds []Seed
	if rnd.IntN(3) == 0 {
		return g, z, edgeSeeds(g, z)
	}
	for range 1 + rnd.IntN(4) {
		k := rnd.IntN(len(z))
		seeds = append(seeds, Seed{Cell: k, Level: z[k] + float64(rnd.IntN(5)) - 2})
	}
	return g, z, seeds
}

// lowestPasses gives the lowest pass from each hollow to each that it touches.
func lowestPasses(g Grid, z []float64, of []int32) map[[2]int32]float64 {
	lowest := map[[2]int32]float64{}
	for k := range z {
		for n := range 9 {
			i, j := k%g.NX+n%3-1, k/g.NX+n/3-1
			if i < 0 || j < 0 || i >= g.NX || j >= g.NY {
				continue
			}
			pair, level := [2]int32{of[k], of[j*g.NX+i]}, math.Max(z[k], z[j*g.NX+i])
			if v, ok := lowest[pair]; pair[0] != pair[1] && (!ok || level < v) {
				lowest[pair] = level
			}
		}
	}
	return lowest
}

// checkHollows holds the way over the passes to the levels.
func checkHollows(t *testing.T, g Grid, z []float64, r *Result) {
	t.Helper()
	lowest := lowestPasses(g, z, r.Of)
	place := map[int]int{}
	for n, h := range r.Order {
		place[int(h)] = n
	}
	for n, h := range r.Hollow {
		if math.IsInf(h.Level, 1) {
			if h.Into >= 0 {
				t.Fatalf("hollow %d is closed in and runs over into %d", n, h.Into)
			}
			continue
		}
		if h.Into < 0 {
			if h.Outlet < 0 {
				t.Fatalf("hollow %d leaves by no outlet", n)
			}
			continue
		}
		pass := math.Max(z[h.In], z[h.Out])
		if want := lowest[[2]int32{int32(n), int32(h.Into)}]; pass != want {
			t.Fatalf("hollow %d runs over a pass at %g, the lowest is at %g", n, pass, want)
		}
		if h.Level != math.Max(pass, r.Hollow[h.Into].Level) {
			t.Fatalf("hollow %d at %g over a pass at %g into one at %g", n, h.Level, pass, r.Hollow[h.Into].Level)
		}
		if int(r.Of[h.In]) != n || int(r.Of[h.Out]) != h.Into || place[h.Into] >= place[n] {
			t.Fatalf("hollow %d: its pass lies elsewhere", n)
		}
	}
}

// numbers reads a raster of one number a cell.
func numbers(t *testing.T, text string) (Grid, []float64) {
	t.Helper()
	var g Grid
	var z []float64
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		f := strings.Fields(line)
		g.NX, g.NY = len(f), g.NY+1
		for _, s := range f {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			z = append(z, v)
		}
	}
	return g, z
}

func sumDepth(z, level []float64) (cells int, sum float64) {
	for k := range z {
		if level[k] > z[k] {
			cells++
			sum += level[k] - z[k]
		}
	}
	return cells, sum
}

// TestRun_WorkersChangeNothing: one worker or two on rasters large enough to
// be shared, as many as GOMAXPROCS allows.
func TestRun_WorkersChangeNothing(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	g := Grid{NX: 300, NY: 3 * leastBand / 300}
	z := make([]float64, g.NX*g.NY)
	rnd := rand.New(rand.NewPCG(*seedFlag, 3))
	for k := range z {
		z[k] = float64(rnd.IntN(9))
	}
	seeds := edgeSeeds(g, z)[:40]
	one := Run(g, z, seeds)
	runtime.GOMAXPROCS(2)
	if two := Run(g, z, seeds); !reflect.DeepEqual(one, two) {
		t.Error("two workers fill otherwise than one")
	}
	want := textbook(g, z, seeds, true)
	for k := range z {
		if one.Level[k] != want[k] {
			t.Fatalf("cell %d: %v, textbook %v", k, one.Level[k], want[k])
		}
	}
}

// TestRun_TwoHollowsByOneDrain is worked by hand and was confirmed by a second
// algorithm; one hollow runs over at 6, one at 5.
func TestRun_TwoHollowsByOneDrain(t *testing.T) {
	g, z := numbers(t, `
		9 9 9 9 9 9 9
		9 5 5 6 7 4 9
		9 5 3 5 7 4 9
		9 6 5 6 6 3 8
		9 7 7 6 2 3 9
		9 4 4 5 3 4 9
		9 9 9 9 9 9 9`)
	_, want := numbers(t, `
		9 9 9 9 9 9 9
		9 6 6 6 7 4 9
		9 6 6 6 7 4 9
		9 6 6 6 6 3 8
		9 7 7 6 2 3 9
		9 5 5 5 3 4 9
		9 9 9 9 9 9 9`)
	drain := 4*7 + 4
	got := Run(g, z, []Seed{{Cell: drain, Level: 2}})
	for k := range want {
		if got.Level[k] != want[k] {
			t.Errorf("row %d, column %d: %g, want %g", k/7, k%7, got.Level[k], want[k])
		}
	}
	if n, sum := sumDepth(z, got.Level); n != 8 || sum != 10 {
		t.Errorf("%d cells and %g of depth, want 8 and 10", n, sum)
	}
	// Over the edge instead of the drain all 25 inner cells fill to the low
	// edge cell at 8.
	got = Run(g, z, edgeSeeds(g, z))
	if n, sum := sumDepth(z, got.Level); n != 25 || sum != 78 {
		t.Errorf("by the edge: %d cells and %g of depth, want 25 and 78", n, sum)
	}
}
