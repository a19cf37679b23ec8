package taper

import (
	"math"
	"slices"

	"runnel/survey/geom"
)

// levels are the depths at which the widths of pieces are summed up to refuse a
// board without trying it.
const levels = 16

// convex is a convex ring with its box.
type convex struct {
	ring geom.Ring
	box  geom.Box
}

func convexOf(r geom.Ring) convex { return convex{r, r.Box()} }

// lying is a piece turned as it may lie in its board, its box starting at 0.
type lying struct {
	convex
	w, d   float64
	rotDeg int
	down   bool
}

// shape is a piece as cutting sees it.
type shape struct {
	sqft           float64
	at             geom.Pt // its middle on the roof
	ways           []lying // in the order in which they are tried
	slides         bool    // along the row only
	alongFt, depFt float64
	vFt            float64         // from the thin edge
	like           uint64          // pieces alike share it
	widthFt        [levels]float64 // of a piece that slides only
}

func (c *cutter) shapeOf(b *Board) *shape {
	s := &shape{sqft: b.Poly.Area(), at: b.Poly.Centroid(), slides: b.Type == TaperedType || b.Type == CricketType,
		alongFt: b.Along.Feet(), depFt: b.Depth.Feet(), vFt: b.Stock.V}
	plain := hull(stockShape(*b))
	// Corners come and go with noise where they lie in a line; widths do not.
	w, d := plain.Box().Size()
	s.like = likeness(0, s.vFt, s.sqft, w, d)
	for _, share := range []float64{0.07, 0.23, 0.41, 0.62, 0.79, 0.94} {
		left, right := spanAt(plain, share*d)
		s.like = likeness(s.like, left, right)
	}
	rots := []int{0, 180, 90, 270}
	if s.slides {
		rots = rots[:1]
		for i := range s.widthFt {
			if v := s.levelFt(i) - s.vFt; v > 0 && v < plain.Box().Max.Y {
				left, right := spanAt(plain, v)
				s.widthFt[i] = right - left
			}
		}
	}
	for _, down := range []bool{false, true} {
		if down && (!c.opt.TurnBoard || b.Type == CoverType) {
			continue
		}
		for _, rot := range rots {
			l := lying{convex: convexOf(turned(plain, rot, down)), rotDeg: rot, down: down}
			l.w, l.d = l.box.Size()
			if len(s.ways) == 0 || l.w <= s.alongFt+1e-9 && l.d <= s.depFt+1e-9 {
				s.ways = append(s.ways, l)
			}
		}
	}
	return s
}

// likeness mixes lengths into a number that equal lengths share, but for noise.
func likeness(n uint64, ft ...float64) uint64 {
	for _, x := range ft {
		n ^= uint64(int64(math.Floor(x*1e6 + 0.37))) // round lengths stand off the steps
		n *= 0x9e3779b97f4a7c15
		n ^= n >> 29
	}
	return n
}

func (s *shape) levelFt(i int) float64 { return (float64(i) + 0.5) / levels * s.depFt }

// rest is an opened stock board: where on the roof, what is free, and the
// convex hulls of the pieces cut from it.
type rest struct {
	no       int
	at       geom.Pt
	freeSqft float64
	order    float64         // freeSqft without noise
	usedFt   [levels]float64 // by pieces that slide only
	cut      []convex
	like     uint64 // boards with the same pieces at the same places share it
}

// mayTake refuses, fast, most pieces for which there is no room: they are too large,
// or too wide at some depth beside what is cut.
func (r *rest) mayTake(s *shape) bool {
	if r.freeSqft <= s.sqft-1e-6 {
		return false
	}
	if s.slides {
		for i, ft := range s.widthFt {
			if r.usedFt[i]+ft > s.alongFt+1e-6 {
				return false
			}
		}
	}
	return true
}

// take cuts a piece from the board.
func (r *rest) take(s *shape, at Placement, kerfFt float64) {
	r.freeSqft -= s.sqft
	r.order = round6(r.freeSqft)
	for i, ft := range s.widthFt {
		r.usedFt[i] += ft
	}
	turn := float64(at.RotDeg)
	if at.Turned {
		turn++
	}
	r.like += likeness(s.like, at.U, at.V, turn)
	i := slices.IndexFunc(s.ways, func(l lying) bool { return l.rotDeg == at.RotDeg && l.down == at.Turned })
	r.cut = append(r.cut, convexOf(grown(moved(s.ways[i].ring, at.U, at.V), kerfFt)))
}

// fit looks for room for a piece, least turned first.
func (r *rest) fit(s *shape) (Placement, bool) {
	for _, l := range s.ways {
		for _, v := range r.depths(s, l.d) {
			if u, ok := slide(r.cut, l.convex, v, s.alongFt-l.w); ok {
				return Placement{U: u, V: v, W: l.w, D: l.d, RotDeg: l.rotDeg, Turned: l.down}, true
			}
		}
	}
	return Placement{}, false
}

// depths are the distances from the thin edge to try: of a tapered piece its
// own, of a flat both edges and against every piece already cut.
func (r *rest) depths(s *shape, dFt float64) []float64 {
	if s.slides {
		return []float64{s.vFt}
	}
	mostFt := math.Max(0, s.depFt-dFt)
	out := append(make([]float64, 0, 2+2*len(r.cut)), 0, mostFt)
	for _, p := range r.cut {
		for _, v := range []float64{p.box.Max.Y, p.box.Min.Y - dFt} {
			if v > 0 && v < mostFt {
				out = append(out, v)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// slide finds the least u in 0..mostFt at which a convex shape, its box's low
// edge at v, clears all convex pieces; touching is clear. For convex shapes
// the places to left and right where two touch are exact: the gap is concave
// between levels of corners.
func slide(cut []convex, s convex, vFt, mostFt float64) (float64, bool) {
	const touchFt = 1e-9
	var corners [12]geom.Pt // most pieces need no more, and no allocation
	var room [8][2]float64
	up, blocked := geom.Pt{Y: vFt}, room[:0]
	raised := convex{corners[:0], geom.Box{Min: s.box.Min.Add(up), Max: s.box.Max.Add(up)}}
	for _, q := range s.ring {
		raised.ring = append(raised.ring, q.Add(up))
	}
	for _, p := range cut {
		if lo, hi, ok := blockedBy(p, raised); ok {
			blocked = append(blocked, [2]float64{lo, hi})
		}
	}
	clear := func(u float64) bool {
		if u < 0 || u > mostFt+touchFt {
			return false
		}
		for _, b := range blocked {
			if u > b[0]+touchFt && u < b[1]-touchFt {
				return false
			}
		}
		return true
	}
	best, ok := 0.0, clear(0)
	for _, b := range blocked {
		if (!ok || b[1] < best) && clear(b[1]) {
			best, ok = b[1], true
		}
	}
	return math.Min(best, math.Max(0, mostFt)), ok
}

// blockedBy gives the shifts along u between which s overlaps p; ok is false
// when they share no depth.
func blockedBy(p, s convex) (lo, hi float64, ok bool) {
	from, to := max(p.box.Min.Y, s.box.Min.Y), min(p.box.Max.Y, s.box.Max.Y)
	if to-from < 1e-9 {
		return 0, 0, false
	}
	lo, hi = math.Inf(1), math.Inf(-1)
	look := func(v float64) {
		if v < from || v > to {
			return
		}
		pl, pr := spanAt(p.ring, v)
		sl, sr := spanAt(s.ring, v)
		lo, hi = min(lo, pl-sr), max(hi, pr-sl)
	}
	look(from)
	look(to)
	for _, q := range p.ring {
		look(q.Y)
	}
	for _, q := range s.ring {
		look(q.Y)
	}
	return lo, hi, true
}

// spanAt is the stretch of a convex ring at one level.
func spanAt(r geom.Ring, v float64) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	a := r[len(r)-1]
	for _, b := range r {
		switch {
		case a.Y < v && b.Y < v || a.Y > v && b.Y > v:
		case a.Y == b.Y:
			left, right = min(left, a.X, b.X), max(right, a.X, b.X)
		default:
			u := a.X + (v-a.Y)/(b.Y-a.Y)*(b.X-a.X)
			left, right = min(left, u), max(right, u)
		}
		a = b
	}
	return left, right
}
