package render

import (
	"container/heap"
	"math"
)

// flood gives each roof cell of g the least elevation, over all ways to the
// outlets, of the highest cell on the way: what it fills to. outIn are the
// cells where water leaves, with the elevation at which it does. Cells that no
// way leads out of are infinite. Cost: O(n log n).
//
// Source: R. Barnes, C. Lehman, D. Mulla 2014, Priority-flood, Computers &
// Geosciences 62, 117-127, algorithm 1.
func (g *paper) flood(outIn map[int]float64) []float64 {
	level := make([]float64, len(g.roof))
	for p := range level {
		level[p] = math.Inf(1)
	}
	var q floodQueue
	for p, in := range outIn {
		level[p] = math.Max(in, g.dryIn[p])
		q = append(q, floodCell{level[p], p})
	}
	heap.Init(&q)
	for len(q) > 0 {
		c := heap.Pop(&q).(floodCell)
		g.around(c.cell, func(r int, _ bool) {
			if g.roof[r] && math.IsInf(level[r], 1) {
				level[r] = math.Max(g.dryIn[r], c.levelIn)
				heap.Push(&q, floodCell{level[r], r})
			}
		})
	}
	return level
}

type floodCell struct {
	levelIn float64
	cell    int
}

type floodQueue []floodCell

func (q floodQueue) Len() int           { return len(q) }
func (q floodQueue) Less(a, b int) bool { return q[a].levelIn < q[b].levelIn }
func (q floodQueue) Swap(a, b int)      { q[a], q[b] = q[b], q[a] }
func (q *floodQueue) Push(x any)        { *q = append(*q, x.(floodCell)) }
func (q *floodQueue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
