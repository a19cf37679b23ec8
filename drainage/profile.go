package drainage

import (
	"math"
	"slices"
	"sort"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// profile is a path drawn out straight: its height over the way run.
type profile struct {
	at         []geom.Pt
	runFt, zIn []float64
	sigmaIn    []float64 // one standard error of each height; nil: exact
	crease     []bool    // of each place: put onto a crease; nil: none is
	valley     []bool    // of each stretch
}

// newProfile leaves out stretches without length.
func newProfile(tr trail) profile {
	var p profile
	for n, q := range tr.at {
		step := 0.0
		if len(p.at) > 0 {
			if step = q.Dist(p.at[len(p.at)-1]); step < 1e-9 {
				p.zIn[len(p.zIn)-1] = tr.zIn[n]
				continue
			}
			step += p.runFt[len(p.runFt)-1]
		}
		p.at, p.runFt, p.zIn = append(p.at, q), append(p.runFt, step), append(p.zIn, tr.zIn[n])
	}
	p.valley = make([]bool, max(0, len(p.at)-1))
	return p
}

// height is the height after runFt.
func (p *profile) height(runFt float64) float64 { return p.along(p.zIn, runFt) }

// along is the value after runFt of what is known at each place of the way.
func (p *profile) along(v []float64, runFt float64) float64 {
	n := sort.SearchFloat64s(p.runFt, runFt)
	switch {
	case n == 0:
		return v[0]
	case n == len(p.runFt):
		return v[n-1]
	}
	u := (runFt - p.runFt[n-1]) / (p.runFt[n] - p.runFt[n-1])
	return v[n-1] + float64(u*(v[n]-v[n-1]))
}

// read is the slope between two runs from the start.
func (p *profile) read(fromFt, toFt float64) reading {
	r := reading{fallIn: p.height(fromFt) - p.height(toFt), runFt: toFt - fromFt}
	if r.runFt == 0 {
		return r
	}
	doubt := 0.0
	if p.sigmaIn != nil {
		doubt = SlopeDoubtBetween(p.along(p.sigmaIn, fromFt), p.along(p.sigmaIn, toFt),
			unit.Feet(r.runFt)).InchesPerFoot()
	}
	r.lowest, r.highest = r.fallIn/r.runFt-doubt, r.fallIn/r.runFt+doubt
	return r
}

// upTo is the path as far as a run from its start; the whole path where it is
// not twice as long as what would be left out.
func (p *profile) upTo(endFt float64) *profile {
	last := len(p.runFt) - 1
	if endFt >= p.runFt[last] || endFt < p.runFt[last]/2 {
		return p
	}
	n := sort.SearchFloat64s(p.runFt, endFt) // the first place at or after the end
	q := profile{runFt: slices.Clone(p.runFt[:n+1]), zIn: slices.Clone(p.zIn[:n+1]),
		at: slices.Clone(p.at[:n+1]), valley: p.valley[:n]}
	if p.sigmaIn != nil {
		q.sigmaIn = slices.Clone(p.sigmaIn[:n+1])
		q.sigmaIn[n] = p.along(p.sigmaIn, endFt)
	}
	q.zIn[n], q.runFt[n] = p.height(endFt), endFt
	share := (endFt - p.runFt[n-1]) / (p.runFt[n] - p.runFt[n-1])
	q.at[n] = p.at[n-1].Lerp(p.at[n], share)
	return &q
}

// part is a stretch of one kind between two places of the way.
type part struct {
	from, to int // places
	valley   bool
}

func (p *profile) parts() []part {
	var out []part
	for n, v := range p.valley {
		if len(out) > 0 && out[len(out)-1].valley == v {
			out[len(out)-1].to = n + 1
		} else {
			out = append(out, part{n, n + 1, v})
		}
	}
	return out
}

// settle takes the kinds of the stretches, and gives one shorter than shortFt
// between two of the other kind that kind: a path wavers on a raster.
func (p *profile) settle(shortFt float64, valley []bool) {
	p.valley = valley
	parts := p.parts()
	for n := 1; n < len(parts)-1; n++ {
		if s := parts[n]; p.runFt[s.to]-p.runFt[s.from] < shortFt {
			for k := s.from; k < s.to; k++ {
				p.valley[k] = !s.valley
			}
			n++
		}
	}
}

// reading is a slope taken over a run; none where the run is 0. Of several
// windows it is the flattest, with the lowest and the highest slope that any of
// them leaves open: a window in thin shots may be the flattest, and another one
// the more certain to fall short.
type reading struct {
	fallIn, runFt   float64
	lowest, highest float64 // in/ft
}

// slope is -1 where there is no reading. The arithmetic of a raster is good to
// a billionth of an inch a foot, and a plane at a limit reads the limit.
func (r reading) slope() unit.Slope {
	if r.runFt == 0 {
		return unit.InchesPerFoot(-1)
	}
	return rounded(r.fallIn / r.runFt)
}

func rounded(inPerFt float64) unit.Slope {
	return unit.InchesPerFoot(math.Round(inPerFt*1e9) / 1e9)
}

// worst is the flatter of two readings, with what both leave open.
func (r reading) worst(q reading) reading {
	switch {
	case r.runFt == 0:
		return q
	case q.runFt == 0:
		return r
	}
	out := r
	if q.flatter(r) {
		out = q
	}
	out.lowest, out.highest = math.Min(r.lowest, q.lowest), math.Min(r.highest, q.highest)
	return out
}

func (r reading) flatter(q reading) bool {
	return r.runFt > 0 && (q.runFt == 0 || r.fallIn*q.runFt < q.fallIn*r.runFt)
}

// leastOf is the least slope over the window between two places of the way;
// of a way shorter than the window, over the whole.
func (p *profile) leastOf(fromFt, toFt, windowFt float64) reading {
	if toFt-fromFt <= windowFt {
		return p.read(fromFt, toFt)
	}
	best := reading{}
	try := func(a float64) {
		if a >= fromFt && a+windowFt <= toFt {
			best = best.worst(p.read(a, a+windowFt))
		}
	}
	try(fromFt)
	try(toFt - windowFt)
	first := sort.SearchFloat64s(p.runFt, fromFt)
	for n := first; n < len(p.runFt) && p.runFt[n] <= toFt; n++ {
		try(p.runFt[n])
		try(p.runFt[n] - windowFt)
	}
	return best
}

// least is the least slope of the field and of the valley stretches over the
// window. A stretch is judged without the trimFt where it meets the other kind.
// Stretches shorter than the window are passed over, but where no stretch of
// the path is as long as it, the longest is judged over its own run.
func (p *profile) least(windowFt, trimFt float64) (field, valley reading) {
	var longest part
	longestFt := 0.0
	read := func(s part) reading {
		from, to := p.trimmed(s, trimFt)
		return p.leastOf(from, to, windowFt)
	}
	keep := func(s part) {
		into := &field
		if s.valley {
			into = &valley
		}
		*into = into.worst(read(s))
	}
	for _, s := range p.parts() {
		from, to := p.trimmed(s, trimFt)
		if to-from > longestFt+1e-9 {
			longest, longestFt = s, to-from
		}
		if to-from >= windowFt-1e-9 {
			keep(s)
		}
	}
	if longestFt > 0 && longestFt < windowFt-1e-9 {
		keep(longest)
	}
	return field, valley
}

func (p *profile) trimmed(s part, trimFt float64) (fromFt, toFt float64) {
	fromFt, toFt = p.runFt[s.from], p.runFt[s.to]
	if s.from > 0 {
		fromFt += trimFt
	}
	if s.to < len(p.runFt)-1 {
		toFt -= trimFt
	}
	return fromFt, toFt
}

// drawn gives the places of the path without those on a straight line.
func (p *profile) drawn() (at []geom.Pt, valley []bool) {
	at = append(at, p.at[0])
	for n := 1; n < len(p.at); n++ {
		if n < len(p.at)-1 && p.valley[n] == p.valley[n-1] {
			a, b := p.at[n].Sub(at[len(at)-1]), p.at[n+1].Sub(p.at[n])
			if math.Abs(a.Cross(b)) <= 1e-7*a.Norm()*b.Norm() && a.Dot(b) > 0 {
				continue
			}
		}
		at, valley = append(at, p.at[n]), append(valley, p.valley[n-1])
	}
	return at, valley
}

// inValley tells the stretches that run along a crease, or along a wall that
// turns the water, from those on open field: on either side, a little off the
// path, the roof rises from it by a material share of its own fall, or a wall
// stands. On a surveyed roof shots so far apart show no sharper crease, the rise
// must be more than the surface is in doubt, and paths gather a little wherever
// they go.
func (t *tracer) inValley(p *profile) []bool {
	offFt, share := math.Max(1.5*t.surf.CellFt, t.c.opt.Window.Feet()/8), 0.1
	if t.c.opt.SigmaIn > 0 {
		offFt, share = math.Max(1.5*t.surf.CellFt, t.c.opt.SpacingFt/4), 0.3
	}
	valley := make([]bool, len(p.valley))
	for n := range valley {
		if p.crease != nil && p.crease[n] && p.crease[n+1] {
			valley[n] = true
			continue
		}
		way := p.at[n+1].Sub(p.at[n])
		lengthFt := way.Norm()
		middle := p.at[n].Lerp(p.at[n+1], 0.5)
		across := left(way).Mul(offFt / lengthFt)
		zIn := (p.zIn[n] + p.zIn[n+1]) / 2
		needIn := math.Max(share*offFt*(p.zIn[n]-p.zIn[n+1])/lengthFt, t.c.sigmaAt(middle))
		leftIn, onLeft := t.heightAt(middle.Add(across))
		rightIn, onRight := t.heightAt(middle.Sub(across))
		rises := func(z float64, on bool) bool { return !on || z-zIn > math.Max(needIn, 1e-6) }
		valley[n] = (onLeft || onRight) && rises(leftIn, onLeft) && rises(rightIn, onRight) || t.inStatedLine(middle, p.chord(n, 3), zIn)
	}
	return valley
}

// chord is the way from some places before stretch n to as many after it: stretches
// follow the cells and zigzag along a line off their axes.
func (p *profile) chord(n, more int) geom.Pt {
	return p.at[min(n+1+more, len(p.at)-1)].Sub(p.at[max(n-more, 0)])
}

// inStatedLine says whether a stretch of a surveyed roof runs along a stated valley of
// its deck: one spacing of the shots beside it, where they no longer round it off,
// the roof rises on both sides.
func (t *tracer) inStatedLine(middle, way geom.Pt, zIn float64) bool {
	spacingFt, along := t.c.opt.SpacingFt, 0.85*way.Norm()
	if t.c.opt.SigmaIn == 0 {
		return false
	}
	for _, l := range t.c.site.Breaks {
		for i := 1; i < len(l); i++ {
			d := l[i].Sub(l[i-1]).Mul(1 / l[i].Dist(l[i-1]))
			if geom.SegDist(middle, l[i-1], l[i]) > spacingFt/2 || math.Abs(d.Dot(way)) < along {
				continue
			}
			leftIn, onLeft := t.heightAt(middle.Add(left(d).Mul(spacingFt)))
			rightIn, onRight := t.heightAt(middle.Sub(left(d).Mul(spacingFt)))
			if onLeft && onRight && math.Min(leftIn, rightIn)-zIn > t.c.sigmaAt(middle) {
				return true
			}
		}
	}
	return false
}
