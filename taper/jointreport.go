package taper

import (
	"math"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Joints is what a layout keeps between the joints of its layers, and what it cannot.
type Joints struct {
	// End joints of base layers lie so far off one another along their rows, lines of rows
	// up the slope; 0: there are fewer than two layers.
	BaseAlong, BaseDepth unit.Length
	Cover                int // joints across rows of cover that lie less than Offset from one below
	HasCover             bool
	Offset               unit.Length
	Slivers              []Sliver
}

// JointsOf looks at the joints of a design. Base layers lie by baseShifts and baseLifts.
// Cost: O(boards).
func JointsOf(d *Design) Joints {
	out := Joints{Offset: unit.Feet(offsetFt), Slivers: SliversOf(d.Boards, d.Sliver)}
	for _, b := range d.Boards {
		if b.Type == BaseType && b.Layer == 2 {
			out.BaseAlong, out.BaseDepth = unit.Feet(b.Along.Feet()*baseShifts[1][0]), unit.Feet(b.Depth.Feet()*baseLifts[1][0])
		}
		out.HasCover = out.HasCover || b.Type == CoverType
	}
	if out.HasCover {
		out.Cover = closeCover(d.Boards)
	}
	return out
}

// closeCover counts the joints across rows of cover that run beside one of the boards
// below, less than offsetFt from it. Where boards end at a crease is no joint.
func closeCover(boards []Board) int {
	grid := gridOf(boards)
	below := &joints{at: map[jointKey][][2]geom.Pt{}}
	eachJoint := func(cover bool, f func(b *Board, a, c geom.Pt)) {
		for i := range boards {
			if b := &boards[i]; b.Type != BaseType && (b.Type == CoverType) == cover {
				b.leftJoints(boards, grid, func(a, c geom.Pt) { f(b, a, c) })
			}
		}
	}
	eachJoint(false, func(b *Board, a, c geom.Pt) { below.addEdge(b.Layer, [2]geom.Pt{a, c}) })
	n := 0
	eachJoint(true, func(b *Board, a, c geom.Pt) { n += boolInt(below.beside(b.Layer-1, a, c, b.Right(), b.Uphill)) })
	return n
}

// leftJoints gives the joints of b to the next board of its row on the left, each from
// its low end to its high one.
func (b *Board) leftJoints(boards []Board, grid boardGrid, f func(a, c geom.Pt)) {
	const outFt, leastFt = 0.005, 0.02
	ring := b.Poly.Outer.CCW()
	for i, p := range ring {
		q := ring.At(i + 1)
		down := q.Sub(p)
		if down.Dot(b.Uphill) > -leastFt || math.Abs(down.Dot(b.Right())) > snapFt {
			continue
		}
		out := p.Lerp(q, 0.5).Sub(b.Right().Mul(outFt))
		for _, n := range grid.at(boards, out) {
			if o := boards[n]; o.Layer == b.Layer && o.Type == b.Type && o.Facet == b.Facet {
				f(q, p)
				break
			}
		}
	}
}
