package taper

import (
	"fmt"
	"math"

	"runnel/survey/geom"
)

// splitAt splits a convex piece across its row, so far from its left or its right
// end; the parts lie in a stock board as the piece does.
func splitAt(b Board, ft float64, left bool) (part, rest Board, ok bool) {
	right := b.Right()
	box := geom.BoxOf(b.Poly.Outer.Map(func(q geom.Pt) geom.Pt { return geom.Pt{X: q.Dot(right), Y: q.Dot(b.Uphill)} })...)
	at := box.Min.X + ft
	if !left {
		at = box.Max.X - ft
	}
	l, r := b, b
	l.Poly = geom.Poly{Outer: clipHalf(b.Poly.Outer, right.Mul(-1), -at)}
	r.Poly = geom.Poly{Outer: clipHalf(b.Poly.Outer, right, at)}
	for _, p := range []*Board{&l, &r} {
		p.Poly = tidy(p.Poly)
		if len(p.Poly.Outer) < 3 || p.Poly.Area() < leastPieceSqft {
			return l, r, false
		}
		own := geom.BoxOf(p.Poly.Outer.Map(func(q geom.Pt) geom.Pt { return geom.Pt{X: q.Dot(right), Y: q.Dot(b.Uphill)} })...)
		p.Stock.W, p.Stock.D = own.Size()
		p.Stock.V = within(b.Stock.V+own.Min.Y-box.Min.Y, b.Depth.Feet()-p.Stock.D)
	}
	if left {
		return l, r, true
	}
	return r, l, true
}

func pieceID(b Board) string {
	return fmt.Sprintf("L%d-F%d-R%d-%d", b.Layer, b.Facet, b.Row, b.Seq)
}

// joints are the borders of boards by layer and by square of the roof.
type joints struct{ at map[jointKey][][2]geom.Pt }

type jointKey struct{ layer, x, y int }

// jointsFt is the side of a square, about a board.
const jointsFt = 4

func jointsOf(boards []Board) *joints {
	j := &joints{at: map[jointKey][][2]geom.Pt{}}
	for _, b := range boards {
		j.add(b)
	}
	return j
}

func (j *joints) add(b Board) {
	for i, p := range b.Poly.Outer {
		e := [2]geom.Pt{p, b.Poly.Outer.At(i + 1)}
		j.addEdge(b.Layer, e)
	}
}

func (j *joints) addEdge(layer int, e [2]geom.Pt) {
	eachSquare(geom.BoxOf(e[0], e[1]), jointsFt, func(x, y int) {
		k := jointKey{layer, x, y}
		j.at[k] = append(j.at[k], e)
	})
}

// beside says whether a joint of a layer runs along the one from a to c, less than half
// a foot from it.
func (j *joints) beside(layer int, a, c, right, up geom.Pt) bool {
	box, near := geom.BoxOf(a, c), false
	reach := geom.Pt{X: leastSplitFt, Y: leastSplitFt}
	box.Min, box.Max = box.Min.Sub(reach), box.Max.Add(reach)
	eachSquare(box, jointsFt, func(x, y int) {
		for _, e := range j.at[jointKey{layer, x, y}] {
			near = near || beside(e, a, c, right, up)
		}
	})
	return near
}

// eachSquare calls f for the squares of a side that a box meets, by column and row.
func eachSquare(box geom.Box, sideFt float64, f func(x, y int)) {
	no := func(v float64) int { return int(math.Floor(v / sideFt)) }
	for x := no(box.Min.X); x <= no(box.Max.X); x++ {
		for y := no(box.Min.Y); y <= no(box.Max.Y); y++ {
			f(x, y)
		}
	}
}

// clear says whether a joint across the row of a tapered piece, so far from one of
// its ends, keeps half a foot from the joints along it right above and below.
func (j *joints) clear(b Board, ft float64, left bool) bool {
	if b.Type == FillType {
		return true // steps under tapered joints by nature
	}
	right := b.Right()
	var lo, hi, low, high = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, q := range b.Poly.Outer {
		lo, hi = math.Min(lo, q.Dot(right)), math.Max(hi, q.Dot(right))
		low, high = math.Min(low, q.Dot(b.Uphill)), math.Max(high, q.Dot(b.Uphill))
	}
	at := lo + ft
	if !left {
		at = hi - ft
	}
	a, c := right.Mul(at).Add(b.Uphill.Mul(low)), right.Mul(at).Add(b.Uphill.Mul(high))
	return !j.beside(b.Layer-1, a, c, right, b.Uphill) && !j.beside(b.Layer+1, a, c, right, b.Uphill)
}

// beside says whether a joint runs along the one from a to c, less than half a
// foot from it.
func beside(e [2]geom.Pt, a, c, right, up geom.Pt) bool {
	d := e[1].Sub(e[0])
	if math.Abs(d.Dot(right)) > 1e-6 || math.Abs(e[0].Sub(a).Dot(right)) > leastSplitFt-1e-6 {
		return false
	}
	lo, hi := math.Min(e[0].Dot(up), e[1].Dot(up)), math.Max(e[0].Dot(up), e[1].Dot(up))
	return lo < c.Dot(up)-1e-6 && hi > a.Dot(up)+1e-6
}
