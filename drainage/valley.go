package drainage

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Valley is a line in which water gathers and runs: a crease of the roof, or
// the foot of a wall that the roof falls to. Those shorter than the window are
// not told.
type Valley struct {
	ID       string    // V1 is the longest
	Points   []geom.Pt // downhill
	LengthFt float64
	DropIn   float64
	Mean     unit.Slope
	Least    unit.Slope // over the window, less a cell at ends where it meets the field
	Verdict  Verdict    // by the valley limit
	EndsAt   string     // outlet, pond or valley that takes its water
	AtWall   bool       // runs along a wall or a curb for most of its length

	least reading // what Least stands on
}

// valleyRun is a valley stretch of a path, from one place of its profile to
// another.
type valleyRun struct {
	p        *profile
	from, to int
	endsAt   string
	unknown  bool
}

func (l valleyRun) lengthFt() float64 { return l.p.runFt[l.to] - l.p.runFt[l.from] }

// valleyRuns are the valley stretches of a path that ends at an outlet or a pond.
func (p *profile) valleyRuns(endsAt string, unknown bool) []valleyRun {
	var out []valleyRun
	for _, s := range p.parts() {
		if s.valley {
			out = append(out, valleyRun{p, s.from, s.to, endsAt, unknown})
		}
	}
	return out
}

// valleys tells every low line once: the longest first, of the others as far as
// they run beside none that is told already. Water that has come together stays
// together, so that what is told of a line is its upper part.
func (t *tracer) valleys(lines []valleyRun) []Valley {
	windowFt := t.c.opt.Window.Feet()
	lines = slices.DeleteFunc(lines, func(l valleyRun) bool { return l.lengthFt() < windowFt-1e-9 })
	slices.SortStableFunc(lines, func(a, b valleyRun) int { return cmp.Compare(coarseFt(b), coarseFt(a)) })
	beside := make([]int32, t.surf.Len()) // number of the valley, from 1
	var out []Valley
	for _, l := range lines {
		own := l.to // how far it runs on its own
		for own > l.from && beside[t.cellOf(l.p.at[own])] > 0 {
			own--
		}
		// Valleys that meet in a drain come near one another there.
		if l.p.runFt[l.to]-l.p.runFt[own] > 2*t.besideFt() {
			l.to = own + 1
			l.endsAt = "V" + strconv.Itoa(int(beside[t.cellOf(l.p.at[l.to])]))
		}
		if own == l.from || l.lengthFt() < windowFt-1e-9 {
			continue
		}
		v := t.valley(l)
		v.ID = "V" + strconv.Itoa(len(out)+1)
		out = append(out, v)
		t.mark(beside, l, int32(len(out)))
	}
	return out
}

func coarseFt(l valleyRun) float64 { return math.Round(l.lengthFt() * 1e6) }

// besideFt is how near to a valley water counts as in it: a cell and a half, on
// a surveyed roof a quarter of the spacing, since shots show no sharper crease.
func (t *tracer) besideFt() float64 {
	if t.c.opt.SigmaIn > 0 {
		return math.Max(1.5*t.surf.CellFt, t.c.opt.SpacingFt/4)
	}
	return 1.5 * t.surf.CellFt
}

// mark gives the cells beside a low line the number n, where they have none.
func (t *tracer) mark(beside []int32, l valleyRun, n int32) {
	reachFt := t.besideFt()
	cells := int(math.Ceil(reachFt / t.surf.CellFt))
	mark := func(p geom.Pt) {
		i, j := t.surf.CellOf(p)
		for b := max(0, j-cells); b <= min(t.surf.NY-1, j+cells); b++ {
			for a := max(0, i-cells); a <= min(t.surf.NX-1, i+cells); a++ {
				if k := b*t.surf.NX + a; beside[k] == 0 && t.at(k).Dist(p) <= reachFt {
					beside[k] = n
				}
			}
		}
	}
	for q := l.from; q < l.to; q++ { // a stretch on a plane may be many cells long
		a, b := l.p.at[q], l.p.at[q+1]
		steps := int(a.Dist(b)/t.surf.CellFt) + 1
		for k := range steps + 1 {
			mark(a.Lerp(b, float64(k)/float64(steps)))
		}
	}
}

// cellOf is the cell that holds p, the nearest one at the border.
func (t *tracer) cellOf(p geom.Pt) int {
	i, j := t.surf.CellOf(p)
	return max(0, min(j, t.surf.NY-1))*t.surf.NX + max(0, min(i, t.surf.NX-1))
}

// valley measures and judges a low line.
func (t *tracer) valley(l valleyRun) Valley {
	p := l.p
	from, to := p.trimmed(part{l.from, l.to, true}, t.surf.CellFt)
	r := p.leastOf(from, to, t.c.opt.Window.Feet())
	v := Valley{
		LengthFt: l.lengthFt(), DropIn: p.zIn[l.from] - p.zIn[l.to], EndsAt: l.endsAt, Least: r.slope(), least: r,
	}
	v.Mean = unit.SlopeOf(unit.Inches(v.DropIn), unit.Feet(v.LengthFt))
	if !t.c.opt.Unsurveyed && !l.unknown {
		v.Verdict = t.c.opt.Rules.Valley.judge(rounded(r.lowest), rounded(r.highest))
	}
	own := profile{at: p.at[l.from : l.to+1], valley: p.valley[l.from:l.to]}
	v.Points, _ = own.drawn()
	wallFt := 0.0
	for n := l.from; n < l.to; n++ {
		if t.besideWall(p.at[n], p.at[n+1]) {
			wallFt += p.runFt[n+1] - p.runFt[n]
		}
	}
	v.AtWall = wallFt > v.LengthFt/2
	return v
}

// besideWall says whether no roof lies a cell and a half to one side of a
// stretch.
func (t *tracer) besideWall(a, b geom.Pt) bool {
	d := b.Sub(a)
	across := left(d).Mul(1.5 * t.surf.CellFt / d.Norm())
	_, onLeft := t.heightAt(a.Lerp(b, 0.5).Add(across))
	_, onRight := t.heightAt(a.Lerp(b, 0.5).Sub(across))
	return onLeft != onRight
}
