package pipeline

import (
	"math"
	"slices"
)

// What this file reckons with shapes shares no code with the program: it is what
// the program's files are held against.

// xy is a place as a file has it, feet.
type xy [2]float64

func (p xy) less(q xy) xy            { return xy{p[0] - q[0], p[1] - q[1]} }
func (p xy) cross(q xy) float64      { return p[0]*q[1] - p[1]*q[0] }
func (p xy) dot(q xy) float64        { return p[0]*q[0] + p[1]*q[1] }
func (p xy) distFt(q xy) float64     { return math.Hypot(p[0]-q[0], p[1]-q[1]) }
func boundsOf(r []xy) (lo, hi xy)    { return extent(r, math.Min), extent(r, math.Max) }
func turnOf(a, b, c xy) float64      { return b.less(a).cross(c.less(a)) }
func between(x, lo, hi float64) bool { return x >= lo && x <= hi }

func extent(r []xy, take func(a, b float64) float64) xy {
	out := r[0]
	for _, p := range r {
		out = xy{take(out[0], p[0]), take(out[1], p[1])}
	}
	return out
}

// plainShape is an outer ring and holes, without closing places.
type plainShape struct {
	rings  [][]xy
	lo, hi xy
}

func shapeOf(rings [][]xy) plainShape {
	s := plainShape{rings: rings}
	s.lo, s.hi = boundsOf(rings[0])
	return s
}

// sqft is the area by the trapezoid rule; holes are taken off.
func (s plainShape) sqft() float64 {
	sum := 0.0
	for n, r := range s.rings {
		a := math.Abs(ringSqft(r))
		if n > 0 {
			a = -a
		}
		sum += a
	}
	return sum
}

func ringSqft(r []xy) float64 {
	sum := 0.0
	for i, p := range r {
		q := r[(i+1)%len(r)]
		sum += (p[0] - r[0][0] + q[0] - r[0][0]) * (q[1] - p[1]) / 2
	}
	return sum
}

// has counts how often a way to the right crosses the borders.
func (s plainShape) has(p xy) bool {
	if !between(p[0], s.lo[0], s.hi[0]) || !between(p[1], s.lo[1], s.hi[1]) {
		return false
	}
	in := false
	for _, r := range s.rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				in = !in
			}
		}
	}
	return in
}

// offFt is how far a place lies from the nearest border.
func (s plainShape) offFt(p xy) float64 {
	best := math.Inf(1)
	for _, r := range s.rings {
		for i, a := range r {
			d := r[(i+1)%len(r)].less(a)
			at := math.Max(0, math.Min(1, p.less(a).dot(d)/math.Max(d.dot(d), 1e-300)))
			best = math.Min(best, p.distFt(xy{a[0] + at*d[0], a[1] + at*d[1]}))
		}
	}
	return best
}

// widthFt is how much of a line across the shape at a height lies in it.
func (s plainShape) widthFt(y float64) float64 {
	var at []float64
	for _, r := range s.rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a[1] > y) != (b[1] > y) {
				at = append(at, a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]))
			}
		}
	}
	slices.Sort(at)
	sum := 0.0
	for i := 0; i+1 < len(at); i += 2 {
		sum += at[i+1] - at[i]
	}
	return sum
}

// triangles cuts a ring without holes into triangles, ear by ear.
func triangles(ring []xy) [][3]xy {
	r := slices.Clone(ring)
	if ringSqft(r) < 0 {
		slices.Reverse(r)
	}
	var out [][3]xy
	for len(r) > 3 {
		ear := slices.IndexFunc(r, func(b xy) bool {
			i := slices.Index(r, b)
			a, c := r[(i+len(r)-1)%len(r)], r[(i+1)%len(r)]
			return turnOf(a, b, c) >= 0 && !slices.ContainsFunc(r, func(p xy) bool {
				return p != a && p != b && p != c && turnOf(a, b, p) > 0 && turnOf(b, c, p) > 0 && turnOf(c, a, p) > 0
			})
		})
		ear = max(ear, 0)
		out = append(out, [3]xy{r[(ear+len(r)-1)%len(r)], r[ear], r[(ear+1)%len(r)]})
		r = slices.Delete(r, ear, ear+1)
	}
	return append(out, [3]xy(r))
}

// overlapFt is how deep two triangles lie in one another: the least way along the
// square of a side of either that would part them; 0 or less where they are apart.
func overlapFt(a, b [3]xy) float64 {
	least := math.Inf(1)
	for _, t := range [][3]xy{a, b} {
		for i, p := range t {
			d := t[(i+1)%3].less(p)
			l := math.Hypot(d[0], d[1])
			if l < 1e-12 {
				return 0
			}
			n := xy{d[1] / l, -d[0] / l}
			aLo, aHi := spanOf(a, n)
			bLo, bHi := spanOf(b, n)
			least = math.Min(least, math.Min(aHi-bLo, bHi-aLo))
		}
	}
	return least
}

func spanOf(t [3]xy, n xy) (lo, hi float64) {
	x, y, z := t[0].dot(n), t[1].dot(n), t[2].dot(n)
	return math.Min(x, math.Min(y, z)), math.Max(x, math.Max(y, z))
}
