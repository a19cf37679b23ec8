package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// Facet borders come from line intersections and are rounded: a corner within
// snapFt of a row line stands on it, and a piece under leastPieceSqft is
// rounding. A strip narrower than dustFt is left as a joint: coordinates of a field book
// are rounded, so that walls off the axes stand a hair over a whole row. Common practice, no
// source: joints up to 1/4 in are not filled.
const (
	snapFt         = 1e-7
	leastPieceSqft = 1e-6
	dustFt         = 1. / 96
)

// facing is the frame in which one facet is laid: u along the row, v uphill
// from the level at which its rows start, both in feet.
type facing struct {
	right, up geom.Pt
	startFt   float64 // of the first row, along up
}

func (f facing) local(q geom.Pt) geom.Pt {
	return geom.Pt{X: q.Dot(f.right), Y: q.Dot(f.up) - f.startFt}
}

func (f facing) place(p geom.Pt) geom.Pt {
	return f.right.Mul(p.X).Add(f.up.Mul(p.Y + f.startFt))
}

// isConvex says whether p is convex, corners within snapFt of straight
// included.
func isConvex(p geom.Poly) bool {
	if len(p.Holes) > 0 || len(p.Outer) < 3 {
		return false
	}
	for i, b := range p.Outer {
		a, c := p.Outer.At(i-1), p.Outer.At(i+1)
		if b.Sub(a).Cross(c.Sub(b)) < -snapFt*a.Dist(c) {
			return false
		}
	}
	return true
}

// clipBox gives the parts of p within b, its outer rings counter-clockwise.
func clipBox(p geom.Poly, b geom.Box) []geom.Poly {
	if box := p.Outer.Box(); !b.Overlaps(box) {
		return nil
	}
	parts := []geom.Poly{p}
	for side, atFt := range [4]float64{b.Min.Y, b.Min.X, -b.Max.Y, -b.Max.X} {
		parts = clipSide(parts, side, atFt)
	}
	return parts
}

// clipSide keeps what lies above, right of, below or left of a line (side 0 to
// 3); the line's coordinate counts toward the side kept.
func clipSide(parts []geom.Poly, side int, atFt float64) []geom.Poly {
	to, back := quarterTurn(side), quarterTurn(4-side)
	var out []geom.Poly
	for _, p := range parts {
		box := p.Outer.Box()
		low := [4]float64{box.Min.Y, box.Min.X, -box.Max.Y, -box.Max.X}[side]
		if low >= atFt-onLineFt {
			out = append(out, p)
			continue
		}
		for _, q := range clipAbove(p.Map(to), atFt) {
			out = append(out, q.Map(back))
		}
	}
	return out
}

// quarterTurn turns counter-clockwise by quarters: one brings +x to +y.
func quarterTurn(quarters int) func(geom.Pt) geom.Pt {
	switch quarters % 4 {
	case 1:
		return func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} }
	case 2:
		return func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: -p.Y} }
	case 3:
		return func(p geom.Pt) geom.Pt { return geom.Pt{X: p.Y, Y: -p.X} }
	}
	return func(p geom.Pt) geom.Pt { return p }
}

// clipHalf is the part of a convex ring where n . p >= at.
//
// Source: Sutherland and Hodgman 1974, Reentrant polygon clipping, CACM 17(1).
func clipHalf(r geom.Ring, n geom.Pt, at float64) geom.Ring {
	var out geom.Ring
	for i, p := range r {
		q := r.At(i + 1)
		dp, dq := p.Dot(n)-at, q.Dot(n)-at
		if dp >= 0 {
			out = append(out, p)
		}
		if (dp > 0 && dq < 0) || (dp < 0 && dq > 0) {
			out = append(out, p.Lerp(q, dp/(dp-dq)))
		}
	}
	return out
}

// tidy drops corners that stand on the one before or on the straight between
// their neighbours.
func tidy(p geom.Poly) geom.Poly {
	out := geom.Poly{Outer: tidyRing(p.Outer)}
	for _, h := range p.Holes {
		if h = tidyRing(h); len(h) >= 3 {
			out.Holes = append(out.Holes, h)
		}
	}
	return out
}

func tidyRing(r geom.Ring) geom.Ring {
	const offFt = 1e-9
	out := make(geom.Ring, 0, len(r))
	for _, p := range r {
		if len(out) == 0 || out[len(out)-1].Dist(p) > offFt {
			out = append(out, p)
		}
	}
	for i := 0; i < len(out) && len(out) >= 3; {
		a, b, c := out.At(i-1), out[i], out.At(i+1)
		if a.Dist(b) <= offFt || geom.SegDist(b, a, c) <= offFt {
			out = slices.Delete(out, i, i+1)
			i = max(i-1, 0)
			continue
		}
		i++
	}
	return out
}

// snapRows moves corners that stand within snapFt of a row line onto it.
func snapRows(p geom.Poly, depthFt float64) geom.Poly {
	return tidy(p.Map(func(q geom.Pt) geom.Pt {
		if on := math.Round(q.Y/depthFt) * depthFt; math.Abs(q.Y-on) < snapFt {
			q.Y = on
		}
		return q
	}))
}

// strips cuts parts at the inner levels and gives what lies between each pair
// of neighbours; what is beyond the first or the last level goes with its
// neighbour. It halves the levels, so that a region of many corners is not cut
// as a whole for every row. Cost: O(n log rows) in corners.
func strips(parts []geom.Poly, levelsFt []float64) [][]geom.Poly {
	rows := len(levelsFt) - 1
	if rows == 1 {
		slices.SortStableFunc(parts, func(a, b geom.Poly) int {
			return geom.Compare(a.Outer.Box().Min, b.Outer.Box().Min)
		})
		return [][]geom.Poly{parts}
	}
	mid := rows / 2
	low := clipSide(parts, 2, -levelsFt[mid])
	high := clipSide(parts, 0, levelsFt[mid])
	return append(strips(low, levelsFt[:mid+1]), strips(high, levelsFt[mid:])...)
}

// cell is one piece in the frame of its facet, and the lower left corner of
// the stock board that it was cut from as it lies.
type cell struct {
	poly     geom.Poly
	uFt, vFt float64
}

// cellsOf lays boards alongFt long over one part of a strip, the first with
// its left end shiftFt before the part's; the boards' thin edge lies at vFt.
// Boards that no border crosses are whole and are not clipped; dust is left out.
func cellsOf(part geom.Poly, vFt, alongFt, shiftFt float64) []cell {
	if isDust(part) {
		return nil
	}
	box := part.Outer.Box()
	startFt := box.Min.X - shiftFt
	n := int(math.Ceil((box.Max.X-startFt)/alongFt - 1e-9))
	crossed := crossedBoards(part, startFt, alongFt, n)
	var out []cell
	for i := range n {
		c := geom.Box{Min: geom.Pt{X: startFt + float64(i)*alongFt, Y: box.Min.Y},
			Max: geom.Pt{X: startFt + float64(i+1)*alongFt, Y: box.Max.Y}}
		if !crossed[i] {
			if part.Has(c.Centre()) {
				out = append(out, cell{geom.Poly{Outer: c.Ring()}, c.Min.X, vFt})
			}
			continue
		}
		pieces := clipBox(part, c)
		slices.SortStableFunc(pieces, func(a, b geom.Poly) int {
			p, q := a.Outer.Box().Centre(), b.Outer.Box().Centre()
			return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
		})
		for _, p := range pieces {
			if p.Area() > leastPieceSqft && !isDust(p) {
				out = append(out, cell{p, c.Min.X, vFt})
			}
		}
	}
	return out
}

// isDust says whether a piece, in the frame of its row, is too narrow to be laid.
func isDust(p geom.Poly) bool {
	w, d := p.Outer.Box().Size()
	return math.Min(w, d) < dustFt
}

// isWhole says whether a piece, in the frame of its row, is a whole board but for dust.
func isWhole(p geom.Poly, alongFt, depthFt float64) bool {
	box := p.Outer.Box()
	w, d := box.Size()
	if w < alongFt-dustFt || d < depthFt-dustFt || p.Area() < w*d-dustFt*(w+d) {
		return false
	}
	return !slices.ContainsFunc(p.Outer, func(q geom.Pt) bool {
		return math.Min(q.X-box.Min.X, box.Max.X-q.X) > dustFt || math.Min(q.Y-box.Min.Y, box.Max.Y-q.Y) > dustFt
	})
}

// crossedBoards marks the boards of a strip that a border of part runs
// through, its low and high lines apart.
func crossedBoards(part geom.Poly, startFt, alongFt float64, n int) []bool {
	crossed := make([]bool, n)
	box := part.Outer.Box()
	for _, r := range part.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			if a.Y == b.Y && (a.Y == box.Min.Y || a.Y == box.Max.Y) {
				continue
			}
			first := int(math.Floor((math.Min(a.X, b.X)-startFt)/alongFt + 1e-9))
			last := int(math.Ceil((math.Max(a.X, b.X)-startFt)/alongFt-1e-9)) - 1
			for j := max(first, 0); j <= min(last, n-1); j++ {
				crossed[j] = true
			}
		}
	}
	return crossed
}
