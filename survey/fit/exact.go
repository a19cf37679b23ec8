package fit

import "math/bits"

// spot is a place on the integer lattice of a triangulation.
type spot struct{ x, y int64 }

// spotLimit bounds the coordinates of spots: below it the side of a line fits
// 64 bits and the test of a circle 128 bits, so that both are exact.
const spotLimit = 1 << 26

// side is positive where c lies left of a to b, negative right, 0 on the line.
func side(a, b, c spot) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// inCircle is positive where d lies within the circle through a, b and c, which
// run counter-clockwise, negative outside, 0 on it. Source: Guibas and Stolfi,
// 1985, "Primitives for the manipulation of general subdivisions" (from
// memory); the determinant is worked out about d.
func inCircle(a, b, c, d spot) int {
	ax, ay, bx, by, cx, cy := a.x-d.x, a.y-d.y, b.x-d.x, b.y-d.y, c.x-d.x, c.y-d.y
	sum := mul128(ax*ax+ay*ay, bx*cy-by*cx)
	sum = sum.add(mul128(bx*bx+by*by, cx*ay-cy*ax))
	sum = sum.add(mul128(cx*cx+cy*cy, ax*by-ay*bx))
	return sum.sign()
}

// wide is a 128 bit integer in two's complement.
type wide struct{ hi, lo uint64 }

func mul128(a, b int64) wide {
	neg := (a < 0) != (b < 0)
	hi, lo := bits.Mul64(abs64(a), abs64(b))
	w := wide{hi, lo}
	if neg {
		lo, borrow := bits.Sub64(0, w.lo, 0)
		hi, _ := bits.Sub64(0, w.hi, borrow)
		w = wide{hi, lo}
	}
	return w
}

func abs64(a int64) uint64 {
	if a < 0 {
		return uint64(-a)
	}
	return uint64(a)
}

func (w wide) add(v wide) wide {
	lo, carry := bits.Add64(w.lo, v.lo, 0)
	hi, _ := bits.Add64(w.hi, v.hi, carry)
	return wide{hi, lo}
}

func (w wide) sign() int {
	switch {
	case int64(w.hi) < 0:
		return -1
	case w.hi == 0 && w.lo == 0:
		return 0
	}
	return 1
}
