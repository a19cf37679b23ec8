package geom

import (
	"math"
	"math/big"
)

// turnBound is how far the rounded determinant of Turn may lie off, as a share
// of the sum of its two products: Shewchuk's ccwerrboundA, (3 + 16 e) e with
// e = 2^-53.
//
// Source: J. R. Shewchuk 1997, Adaptive precision floating-point arithmetic
// and fast robust geometric predicates, Discrete & Computational Geometry 18,
// section 4.3 (from memory; checked against exact arithmetic by
// TestTurn_AgreesWithExact).
const turnBound = (3 + 16*0x1p-53) * 0x1p-53

// tiny is far above what underflow can hide in the two products.
const tiny = 0x1p-1000

// Turn says which way the bend a-b-c goes: 1 to the left (counter-clockwise),
// -1 to the right, 0 where the three stand in one line. The answer is exact
// for all finite places: a quick test with a stated bound, then whole numbers
// of any length. Places that are not finite give 0.
func Turn(a, b, c Pt) int {
	ax, ay, bx, by := a.X-c.X, a.Y-c.Y, b.X-c.X, b.Y-c.Y
	if ax == 0 || by == 0 { // a difference is 0 only between equals: exact
		return -sign(ay) * sign(bx)
	}
	if ay == 0 || bx == 0 {
		return sign(ax) * sign(by)
	}
	l, r := float64(ax*by), float64(ay*bx)
	det := l - r
	if math.Abs(det) > turnBound*(math.Abs(l)+math.Abs(r))+tiny && !math.IsInf(det, 0) {
		return sign(det)
	}
	return exactTurn(a, b, c)
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// exactTurn is the sign of the determinant in exact arithmetic. Its precision
// holds the product of any two differences of float64 numbers.
func exactTurn(a, b, c Pt) int {
	for _, p := range [...]Pt{a, b, c} {
		if d := p.X - p.X + p.Y - p.Y; d != 0 { // NaN for an infinity or a NaN
			return 0
		}
	}
	const prec = 2*2100 + 64
	diff := func(x, y float64) *big.Float {
		z := new(big.Float).SetPrec(prec).SetFloat64(x)
		return z.Sub(z, new(big.Float).SetFloat64(y))
	}
	l, r := diff(a.X, c.X), diff(a.Y, c.Y)
	l.Mul(l, diff(b.Y, c.Y))
	r.Mul(r, diff(b.X, c.X))
	return l.Cmp(r)
}

// Meet says whether the stretches a-b and c-d share a place, their ends
// included. The answer is exact.
func Meet(a, b, c, d Pt) bool {
	if !BoxOf(a, b).Overlaps(BoxOf(c, d)) {
		return false
	}
	return Turn(a, b, c)*Turn(a, b, d) <= 0 && Turn(c, d, a)*Turn(c, d, b) <= 0
}

// Cross is the place that the stretches a-b and c-d share; stretches in one
// line share the middle of their common part. Whether they meet is exact, the
// place is rounded. It gives false where they do not meet.
func Cross(a, b, c, d Pt) (Pt, bool) {
	if !Meet(a, b, c, d) {
		return Pt{}, false
	}
	u, v := b.Sub(a), d.Sub(c)
	den := u.Cross(v)
	if Turn(a, b, c) == 0 && Turn(a, b, d) == 0 || den == 0 {
		if Compare(a, b) > 0 {
			a, b = b, a
		}
		if Compare(c, d) > 0 {
			c, d = d, c
		}
		return later(a, c).Lerp(sooner(b, d), 0.5), true
	}
	t := math.Max(0, math.Min(1, c.Sub(a).Cross(v)/den))
	return a.Lerp(b, t), true
}

func later(p, q Pt) Pt {
	if Compare(p, q) > 0 {
		return p
	}
	return q
}

func sooner(p, q Pt) Pt {
	if Compare(p, q) < 0 {
		return p
	}
	return q
}
