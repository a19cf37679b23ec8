package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// offsetFt is how far a joint across a row keeps from those of the layer below,
// where a shift along the row can bring it there.
//
// Source: 6 in for overlay boards, UFGS 07220.
const offsetFt = 0.5

// sliverOf is the narrowest piece that a choice wants laid: common practice, no source.
func sliverOf(c survey.TaperChoice) unit.Length {
	if c.Sliver > 0 {
		return c.Sliver
	}
	return 3 * unit.Inch
}

// joint is a stretch where two boards of one row meet, in the frame of its facet.
type joint struct{ uFt, lowFt, highFt float64 }

// spread lays boards over one part of a strip, the first a whole one less the
// shift of its kind. Where that leaves pieces narrower than the job's sliver, or
// joints too near to those below, the boards start so many slivers farther left
// that fewest are left; of equals the first, so that rows start whole where they can.
func (l *layOut) spread(part geom.Poly, vFt float64, kind laying) []cell {
	alongFt, stepFt := kind.along.Feet(), l.sliverFt
	best := cellsOf(part, vFt, alongFt, kind.shiftFt)
	left := l.illPlaced(best, kind)
	for moveFt := stepFt; left > 0 && moveFt < alongFt-snapFt; moveFt += stepFt {
		cells := cellsOf(part, vFt, alongFt, math.Mod(kind.shiftFt+moveFt, alongFt))
		if n := l.illPlaced(cells, kind); n < left {
			best, left = cells, n
		}
	}
	return best
}

// illPlaced counts the pieces of one part of a strip that are narrower than a sliver,
// and the joints between them that lie too near to one below.
func (l *layOut) illPlaced(cells []cell, kind laying) int {
	n := 0
	for i, c := range cells {
		box := c.poly.Outer.Box()
		if box.Max.X-box.Min.X < l.sliverFt-snapFt {
			n++
		}
		if i > 0 && c.uFt > cells[i-1].uFt && near(kind.below, joint{c.uFt, box.Min.Y, box.Max.Y}) {
			n++
		}
	}
	return n
}

// near says whether a joint runs beside one of others.
func near(others []joint, j joint) bool {
	return slices.ContainsFunc(others, func(o joint) bool {
		return math.Abs(o.uFt-j.uFt) < offsetFt-snapFt && o.lowFt < j.highFt-snapFt && o.highFt > j.lowFt+snapFt
	})
}

// jointsIn are the joints between the pieces of one part of a strip.
func jointsIn(cells []cell) []joint {
	var out []joint
	for i, c := range cells {
		if i > 0 && c.uFt > cells[i-1].uFt {
			box := c.poly.Outer.Box()
			out = append(out, joint{c.uFt, box.Min.Y, box.Max.Y})
		}
	}
	return out
}

// jointsBetween are the joints that run between two levels.
func jointsBetween(joints []joint, lowFt, highFt float64) []joint {
	var out []joint
	for _, j := range joints {
		if j.lowFt < highFt-snapFt && j.highFt > lowFt+snapFt {
			out = append(out, j)
		}
	}
	return out
}

// coverLines are the lines between strips of cover over rows with these levels, the
// first and the last among them, on a facet with a box. The first strip is a whole board, or the first of
// half, three quarters and a quarter that brings the lines off those between rows and leaves no sliver.
func (l *layOut) coverLines(levels []float64, depthFt float64, box geom.Box) []float64 {
	lowFt, highFt := levels[0], levels[len(levels)-1]
	inner := levels[1 : len(levels)-1]
	var best []float64
	least := math.MaxInt
	for _, share := range []float64{1, 0.5, 0.75, 0.25} {
		lines, bad := []float64{lowFt}, 0
		for v := lowFt + share*depthFt; v < highFt-snapFt; v += depthFt {
			lines = append(lines, v)
			if slices.ContainsFunc(inner, func(row float64) bool { return math.Abs(row-v) < offsetFt-snapFt }) {
				bad++
			}
		}
		lines = append(lines, highFt)
		for i := range len(lines) - 1 {
			deepFt := min(lines[i+1], box.Max.Y) - max(lines[i], box.Min.Y)
			if deepFt > dustFt && deepFt < l.sliverFt-snapFt {
				bad++
			}
		}
		if bad < least {
			best, least = lines, bad
		}
	}
	return best
}

// The parts of a board by which the layers of a base lie off one another: along the
// row the two kinds of rows of the lowest layer, then those of the next, of which every
// other row lies half a board off; up the slope the layers.
var (
	baseShifts = [][]float64{{0, 0.5}, {0.25, 0.75}}
	baseLifts  = [][]float64{{0}, {0.5}}
)

// baseStart is how far left of and below the box of the parts the grid of the base
// begins, for all its layers alike: where it leaves the least length of slivers along
// borders in its own directions.
func (l *layOut) baseStart(parts []geom.Poly, box geom.Box, alongFt, depthFt float64) (leftFt, downFt float64) {
	upright, level := bordersOf(parts, box.Min)
	return l.leastSlivers(upright, alongFt, baseShifts), l.leastSlivers(level, depthFt, baseLifts)
}

// border is a straight stretch of the roof's border that runs with the grid: its
// distance from where the grid begins, its length, and whether roof lies before it.
type border struct {
	atFt, lengthFt float64
	before         bool
}

// bordersOf are the borders of parts that run up and along, from a corner.
func bordersOf(parts []geom.Poly, from geom.Pt) (upright, level []border) {
	for _, p := range parts {
		for _, r := range p.LeftRings() {
			for k, a := range r {
				b := r.At(k + 1)
				switch {
				case math.Abs(a.X-b.X) < snapFt:
					upright = append(upright, border{a.X - from.X, math.Abs(b.Y - a.Y), b.Y > a.Y})
				case math.Abs(a.Y-b.Y) < snapFt:
					level = append(level, border{a.Y - from.Y, math.Abs(b.X - a.X), b.X < a.X})
				}
			}
		}
	}
	return upright, level
}

// leastSlivers is the first start, in slivers, that leaves the least length of them in
// the layers of the base.
func (l *layOut) leastSlivers(borders []border, sideFt float64, shifts [][]float64) float64 {
	stepFt, shares := l.sliverFt, slices.Concat(shifts[:min(l.choice.Base.Layers, len(shifts))]...)
	sliversFt := func(startFt float64) float64 {
		sum := 0.0
		for _, b := range borders {
			for _, share := range shares {
				wide := math.Mod(b.atFt+startFt+share*sideFt+snapFt, sideFt) - snapFt
				if !b.before {
					wide = sideFt - wide
				}
				if wide > dustFt && wide < stepFt-snapFt {
					sum += b.lengthFt
				}
			}
		}
		return sum
	}
	best, leastFt := 0.0, sliversFt(0)
	for startFt := stepFt; leastFt > 0 && startFt < sideFt-snapFt; startFt += stepFt {
		if sum := sliversFt(startFt); sum < leastFt-snapFt {
			best, leastFt = startFt, sum
		}
	}
	return best
}

// Sliver is a piece that is narrower along its row, or shallower up the slope, than the
// job wants.
type Sliver struct {
	Piece string
	Layer int
	Type  BoardType
	Mark  string
	At    geom.Pt     // its middle
	W, D  unit.Length // along the row and up the slope
}

// SliversOf lists the pieces that are less than least along the row or up the slope,
// narrowest first. Cost: O(n log n) in slivers.
func SliversOf(boards []Board, least unit.Length) []Sliver {
	var out []Sliver
	for _, b := range boards {
		if math.Min(b.Stock.W, b.Stock.D) < least.Feet()-snapFt {
			out = append(out, Sliver{b.Piece, b.Layer, b.Type, b.Mark, b.Poly.Centroid(), unit.Feet(b.Stock.W), unit.Feet(b.Stock.D)})
		}
	}
	slices.SortStableFunc(out, func(a, b Sliver) int { return cmp.Compare(min(a.W, a.D), min(b.W, b.D)) })
	return out
}
