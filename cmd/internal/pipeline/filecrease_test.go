package pipeline

import "math"

// holdCreases: no fill, tapered, cricket or cover board lies over a crease of the
// surface that carries it: everywhere under a cover board the facets add up to one
// plane, those of the field alone under fill and tapered boards of the field
// (scenario C15: boards that bridge a break rock, and their corners rise).
func (r *fileRun) holdCreases() {
	for i := range r.boards {
		b := &r.boards[i]
		if b.Type == "base" {
			continue
		}
		var first filePlane
		for n, p := range b.shape.justInside() {
			now := r.planeUnder(p, b.Type == "cover" || r.onCricket(b))
			switch off := math.Hypot(now.TX-first.TX, now.TY-first.TY); {
			case n == 0:
				first = now
			case off > 1e-6 || math.Abs(now.atIn(p)-first.atIn(p)) > 1e-4:
				r.add("no crease crossed", "%s board %s lies on planes that differ by %.4f in/ft", b.Type, b.Piece, off)
			}
		}
	}
}

// onCricket says whether a board belongs to a facet that lies over the field.
func (r *fileRun) onCricket(b *filePlane) bool {
	for i := range r.facets {
		if r.facets[i].ID == b.Facet {
			return r.facets[i].Role == "cricket"
		}
	}
	return false
}

// planeUnder adds up the facets at a place, with or without crickets.
func (r *fileRun) planeUnder(p xy, crickets bool) (sum filePlane) {
	for i := range r.facets {
		if f := &r.facets[i]; f.shape.has(p) && (crickets || f.Role != "cricket") {
			sum.T0, sum.TX, sum.TY = sum.T0+f.T0, sum.TX+f.TX, sum.TY+f.TY
		}
	}
	return sum
}

// justInside are places along the outer ring of a shape, a hundredth of a foot inside.
func (s plainShape) justInside() []xy {
	const inFt = 0.01
	ring := s.rings[0]
	way := math.Copysign(1, ringSqft(ring))
	var out []xy
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		d := b.less(a)
		long := a.distFt(b)
		for _, share := range []float64{0.02, 0.25, 0.5, 0.75, 0.98} {
			p := xy{a[0] + share*d[0] - way*inFt*d[1]/long, a[1] + share*d[1] + way*inFt*d[0]/long}
			if s.has(p) && s.offFt(p) > inFt/2 {
				out = append(out, p)
			}
		}
	}
	return out
}
