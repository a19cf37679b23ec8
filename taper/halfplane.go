package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// onLineFt is how near a corner lies to a cutting line to stand on it.
const onLineFt = 1e-9

// crossing is where a border meets a cutting line on its way up or down.
type crossing struct {
	at    geom.Pt
	lean  float64 // how far the border moves to the right a foot above the line
	up    bool
	chain int // the chain that starts here, or that ends here
}

// clipAbove gives the parts of p above y = atFt. Its outer ring must run
// counter-clockwise; holes may run either way. Corners on the line count as
// below it, so that parts which only touch along the line come apart.
//
// Borders above the line are chains from a crossing upward to one downward;
// seen along the line, crossings down and up take turns, and each pair is
// closed along the line. Everything but the crossing points is copied, so that
// a border shared by two regions stays shared. Cost: O(n log n) in corners.
func clipAbove(p geom.Poly, atFt float64) []geom.Poly {
	var whole, chains []geom.Ring
	var cross []crossing
	for _, r := range p.LeftRings() {
		if inside := chainsAbove(r, atFt, &chains, &cross); inside {
			whole = append(whole, r)
		}
	}
	slices.SortFunc(cross, func(a, b crossing) int {
		return cmp.Or(cmp.Compare(math.Round(a.at.X/onLineFt), math.Round(b.at.X/onLineFt)),
			cmp.Compare(a.lean, b.lean))
	})
	return partsOf(append(whole, joined(chains, cross)...))
}

// chainsAbove cuts a ring into its chains above the line, and says whether all
// of it lies there.
func chainsAbove(r geom.Ring, atFt float64, chains *[]geom.Ring, cross *[]crossing) bool {
	above := func(p geom.Pt) bool { return p.Y > atFt+onLineFt }
	start := slices.IndexFunc(r, func(p geom.Pt) bool { return !above(p) })
	if start < 0 {
		return true
	}
	var chain geom.Ring
	for k := range len(r) {
		a, b := r.At(start+k), r.At(start+k+1)
		switch {
		case !above(a) && above(b):
			c := crossingOf(a, b, atFt)
			c.up, c.chain = true, len(*chains)
			*cross = append(*cross, c)
			chain = geom.Ring{c.at, b}
		case above(a) && above(b):
			chain = append(chain, b)
		case above(a):
			c := crossingOf(b, a, atFt)
			c.chain = len(*chains)
			*cross = append(*cross, c)
			*chains = append(*chains, append(chain, c.at))
		}
	}
	return false
}

// crossingOf is where the border from low, on or below the line, to high
// meets it.
func crossingOf(low, high geom.Pt, atFt float64) crossing {
	lean := (high.X - low.X) / (high.Y - low.Y)
	if low.Y >= atFt-onLineFt {
		return crossing{at: low, lean: lean}
	}
	return crossing{at: geom.Pt{X: low.X + lean*(atFt-low.Y), Y: atFt}, lean: lean}
}

// joined closes chains along the line: from each crossing down to the next
// crossing up on its right.
func joined(chains []geom.Ring, cross []crossing) []geom.Ring {
	next := make([]int, len(chains))
	for i := range next {
		next[i] = -1
	}
	for i, c := range cross {
		if !c.up && i+1 < len(cross) && cross[i+1].up {
			next[c.chain] = cross[i+1].chain
		}
	}
	var out []geom.Ring
	done := make([]bool, len(chains))
	for i := range chains {
		var r geom.Ring
		for j := i; j >= 0 && !done[j]; j = next[j] {
			done[j] = true
			r = append(r, chains[j]...)
		}
		if len(r) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// partsOf sorts rings into regions: those that run counter-clockwise with the
// holes that lie in them. Slivers are dropped.
func partsOf(rings []geom.Ring) []geom.Poly {
	var out []geom.Poly
	var holes []geom.Ring
	for _, r := range rings {
		r = tidyRing(r)
		switch a := r.SignedArea(); {
		case a > geom.Sliver:
			out = append(out, geom.Poly{Outer: r})
		case a < -geom.Sliver:
			holes = append(holes, r)
		}
	}
	for _, h := range holes {
		for i := range out {
			if len(out) == 1 || out[i].Outer.Has(h[0]) {
				out[i].Holes = append(out[i].Holes, h)
				break
			}
		}
	}
	return out
}

// sharedSqft is the area that two regions have in common: the sum over the
// triangles that their borders make with a fixed corner, each counted with the
// sense in which it runs. Unlike an overlay it cannot fail on borders that
// nearly coincide. Cost: corners of p x corners of q.
func sharedSqft(p, q geom.Poly) float64 {
	sum := 0.0
	ps, qs := fans(p), fans(q)
	for _, a := range ps {
		for _, b := range qs {
			if a.box.Overlaps(b.box) {
				sum += a.sign * b.sign * convexShare(a.ring, b.ring).Area()
			}
		}
	}
	return sum
}

// fan is one triangle of a region's border with a fixed corner.
type fan struct {
	ring geom.Ring // counter-clockwise
	box  geom.Box
	sign float64
}

// fans gives a convex region as it is, any other as signed triangles.
func fans(p geom.Poly) []fan {
	if isConvex(p) {
		r := p.Outer.CCW()
		return []fan{{r, r.Box(), 1}}
	}
	o := p.Outer[0]
	var out []fan
	for _, r := range p.LeftRings() {
		for j, a := range r {
			t := geom.Ring{o, a, r.At(j + 1)}
			area := t.SignedArea()
			if area == 0 {
				continue
			}
			out = append(out, fan{t.CCW(), t.Box(), math.Copysign(1, area)})
		}
	}
	return out
}

// convexShare is what two convex rings share, nil where that is nothing; s runs
// counter-clockwise.
func convexShare(r, s geom.Ring) geom.Ring {
	for i, a := range s {
		d := s.At(i + 1).Sub(a)
		n := geom.Pt{X: -d.Y, Y: d.X}
		if r = clipHalf(r, n, n.Dot(a)); len(r) < 3 {
			return nil
		}
	}
	return r
}
