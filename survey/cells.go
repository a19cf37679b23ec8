package survey

import (
	"math"
	"slices"

	"runnel/survey/geom"
)

// CellsInside says for each cell of l whether its middle lies in the outer ring
// and in none of the holes, exactly as geom.Poly.Has says it, a row at a time.
// Cost: rows x vertices + cells.
func CellsInside(l Lattice, outer geom.Ring, holes []geom.Ring) []bool {
	in := make([]bool, l.Len())
	eachInside(l, outer, func(k int) { in[k] = true })
	for _, h := range holes {
		eachInside(l, h, func(k int) { in[k] = false })
	}
	return in
}

// RoofCells says for each cell of l whether its middle lies on the roof: in the
// outline and off courts and curbs. Cost: rows x vertices + cells.
func RoofCells(s *Site, l Lattice) []bool {
	return CellsInside(l, s.Outline, append(slices.Clone(s.Courts), s.Curbs...))
}

// eachInside calls f for every cell whose middle geom.Ring.Has holds inside r.
func eachInside(l Lattice, r geom.Ring, f func(k int)) {
	cross := make([][]float64, l.NY)
	for i := range r {
		a, b := r[i], r.At(i+1)
		for j := range RowsBetween(l.NY, l.CellFt, a.Y, b.Y) {
			y := l.Centre(0, j).Y
			if (a.Y > y) != (b.Y > y) {
				cross[j] = append(cross[j], a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	for j, xs := range cross {
		if len(xs) == 0 {
			continue
		}
		slices.Sort(xs)
		passed := 0
		for i := range l.NX {
			x := l.Centre(i, j).X
			for passed < len(xs) && xs[passed] <= x {
				passed++
			}
			if (len(xs)-passed)%2 == 1 {
				f(j*l.NX + i)
			}
		}
	}
}

// RowsBetween yields those of n rows (or columns) whose middles may lie between
// two coordinates in feet of the frame.
func RowsBetween(n int, cellFt, a, b float64) func(yield func(int) bool) {
	lo := math.Floor(math.Min(a, b)/cellFt + float64(n)/2 - 1)
	hi := math.Ceil(math.Max(a, b)/cellFt + float64(n)/2)
	from, to := int(math.Max(lo, 0)), int(math.Min(hi, float64(n-1)))
	return func(yield func(int) bool) {
		for j := from; j <= to; j++ {
			if !yield(j) {
				return
			}
		}
	}
}
