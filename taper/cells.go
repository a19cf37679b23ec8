package taper

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// overCells does f to each cell of l whose middle lies in p or within rounding
// of its left and right borders. Cost: rows x corners and the cells met.
func overCells(p geom.Poly, l survey.Lattice, f func(k int, at geom.Pt)) {
	box := p.Outer.Box()
	_, lo := l.CellOf(box.Min)
	_, hi := l.CellOf(box.Max)
	for j := max(lo-1, 0); j <= min(hi+1, l.NY-1); j++ {
		y := l.Centre(0, j).Y
		xs := crossings(p, y)
		for n := 0; n+1 < len(xs); n += 2 {
			first := columnFrom(l, xs[n]-onBorderFt)
			for i := max(first, 0); i < l.NX; i++ {
				at := l.Centre(i, j)
				if at.X > xs[n+1]+onBorderFt {
					break
				}
				f(j*l.NX+i, at)
			}
		}
	}
}

// columnFrom is the first column whose middle is not left of x.
func columnFrom(l survey.Lattice, x float64) int {
	return int(math.Ceil(x/l.CellFt + float64(l.NX)/2 - 0.5))
}

// crossings gives where a level line at y enters and leaves p, sorted. A line
// through a corner counts as just above it.
func crossings(p geom.Poly, y float64) []float64 {
	var xs []float64
	for _, r := range p.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			if (a.Y > y) != (b.Y > y) {
				xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	slices.Sort(xs)
	return xs
}
