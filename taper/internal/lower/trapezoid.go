package lower

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// wall is an edge of the area, from its lower to its upper end.
type wall struct{ lo, hi geom.Pt }

// at is where w stands at height y; its ends are given exactly.
func (w wall) at(y float64) geom.Pt {
	switch {
	case y <= w.lo.Y+onLineFt:
		return w.lo
	case y >= w.hi.Y-onLineFt:
		return w.hi
	}
	return geom.Pt{X: w.lo.X + (y-w.lo.Y)/(w.hi.Y-w.lo.Y)*(w.hi.X-w.lo.X), Y: y}
}

// open is a trapezoid under way: its walls and where it began.
type open struct {
	left, right int
	fromY       float64
}

// trapezoids cuts an area into convex parts between two walls each, by level
// lines through its corners. Cost: corners x walls.
func trapezoids(area geom.Poly) []geom.Ring {
	walls, levels := wallsOf(area)
	var under []open
	var out []geom.Ring
	for i, y := range levels {
		var now []open
		if i+1 < len(levels) {
			now = slab(walls, y, levels[i+1])
		}
		for _, o := range under {
			k := slices.IndexFunc(now, func(n open) bool { return n.left == o.left && n.right == o.right })
			if k >= 0 {
				now[k].fromY = o.fromY
				continue
			}
			out = append(out, ringOf(walls[o.left], walls[o.right], o.fromY, y))
		}
		under = now
	}
	return slices.DeleteFunc(out, speck)
}

// wallsOf gives the edges that are not level and the heights of all corners.
func wallsOf(area geom.Poly) ([]wall, []float64) {
	var walls []wall
	var levels []float64
	for _, r := range area.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			levels = append(levels, a.Y)
			switch {
			case b.Y-a.Y > onLineFt:
				walls = append(walls, wall{a, b})
			case a.Y-b.Y > onLineFt:
				walls = append(walls, wall{b, a})
			}
		}
	}
	slices.Sort(levels)
	return walls, slices.CompactFunc(levels, func(a, b float64) bool { return math.Abs(b-a) < onLineFt })
}

// slab pairs the walls that stand between two neighbouring levels, from left
// to right.
func slab(walls []wall, lo, hi float64) []open {
	mid := (lo + hi) / 2
	var on []int
	for i, w := range walls {
		if w.lo.Y < mid && w.hi.Y > mid {
			on = append(on, i)
		}
	}
	slices.SortFunc(on, func(i, j int) int { return cmp.Compare(walls[i].at(mid).X, walls[j].at(mid).X) })
	var out []open
	for i := 0; i+1 < len(on); i += 2 {
		out = append(out, open{on[i], on[i+1], lo})
	}
	return out
}

// ringOf is what lies between two walls from one level to another.
func ringOf(left, right wall, lo, hi float64) geom.Ring {
	r := geom.Ring{left.at(lo), right.at(lo), right.at(hi), left.at(hi)}
	return slices.CompactFunc(r, func(a, b geom.Pt) bool { return a == b })
}

// Convex cuts an area into convex parts, counter-clockwise. Cost: corners x walls.
func Convex(area geom.Poly) []geom.Ring { return trapezoids(area) }
