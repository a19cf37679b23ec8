package fit

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// SlopeSigma is one standard error of the mean slope of the surface from a to
// b, places in the building frame: that of the drop over the run. What is off at
// both places alike does not count; what is off at each on its own counts in
// full, and over a short run tells nothing: for two readings each off by sigma
// it is sqrt(2) sigma over the run. What no averaging takes away (Options.FloorIn)
// counts once: a cloud that is shifted loses no slope, one that is bent does. It
// gives false where a and b are one place or one of them is off the ground. Cost: a factoring of the equations round
// the two.
func (r *Result) SlopeSigma(a, b geom.Pt) (unit.Slope, bool) {
	runFt := a.Dist(b)
	sa, okA := r.sigmaAt(a)
	sb, okB := r.sigmaAt(b)
	if !okA || !okB || runFt < 1e-6 {
		return 0, false
	}
	dropIn := math.Hypot(sa, sb)
	if e := r.errors; e != nil && e.sys != nil && runFt < farRun*e.lengthFt {
		if together, ok := e.drop(a, b); ok {
			dropIn = together
		}
	}
	return unit.SlopeOf(unit.Inches(math.Hypot(dropIn, r.floorIn)), unit.Feet(runFt)), true
}

// sigmaAt is one standard error of the surface at a place of the roof, without
// what all places share.
func (r *Result) sigmaAt(p geom.Pt) (float64, bool) {
	s := r.Surface
	if s.SigmaIn == nil {
		return r.SigmaIn, s.Holds(s.CellOf(p))
	}
	v, ok := s.With(s.SigmaIn).Elevation(p)
	return math.Sqrt(math.Max(0, v*v-r.floorIn*r.floorIn)), ok
}

// drop is one standard error of the surface at a less that at b, in inches.
func (e *errorModel) drop(a, b geom.Pt) (float64, bool) {
	ha, okA := e.sys.holdOf(a, 0)
	hb, okB := e.sys.holdOf(b, 0)
	if !okA || !okB {
		return 0, false
	}
	cells := e.whole()
	if e.tiled {
		cells = e.about(a, b).grown(marginCells, e.sys.g.Lattice)
	}
	t := e.part(cells, e.noCells())
	f, ok := t.factorise(t.m)
	if !ok {
		return 0, false
	}
	x := make([]float64, len(t.cell))
	for _, side := range []struct {
		h    hold
		sign float64
	}{{ha, 1}, {hb, -1}} {
		for n, w := range side.h.w {
			if w != 0 {
				x[t.num[side.h.base+(n/3-1)*t.g.NX+n%3-1]] += side.sign * w
			}
		}
	}
	f.forward(x)
	open := dot(x, x)
	in := math.Sqrt((e.variance(a, open, 2) + e.variance(b, open, 2)) / 2)
	if e.doubt != nil {
		da, _ := e.doubt.Elevation(a)
		db, _ := e.doubt.Elevation(b)
		in = math.Max(in, math.Abs(da-db))
	}
	return in, true
}

// about is the cells round two places.
func (e *errorModel) about(a, b geom.Pt) cellBox {
	g := e.sys.g
	box := geom.BoxOf(a, b)
	i0, j0 := g.CellOf(box.Min)
	i1, j1 := g.CellOf(box.Max)
	return cellBox{clamp(i0, g.NX), clamp(j0, g.NY), clamp(i1, g.NX) + 1, clamp(j1, g.NY) + 1}
}

// typical is the root mean square of the error of a surface over its roof cells
// that can be told, over all of them where none can.
func typical(s *survey.Surface) float64 {
	of := func(keep func(k int) bool) (sum, n float64) {
		for k, on := range s.Roof {
			if on && keep(k) {
				sum += s.SigmaIn[k] * s.SigmaIn[k]
				n++
			}
		}
		return sum, n
	}
	sum, n := of(s.IsKnown)
	if n == 0 {
		sum, n = of(func(int) bool { return true })
	}
	return math.Sqrt(sum / math.Max(n, 1))
}
