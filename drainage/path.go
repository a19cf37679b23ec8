package drainage

import (
	"context"
	"math"
	"runtime"
	"slices"
	"strconv"
	"sync"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// mostStarts bounds the paths of one area.
const mostStarts = 400

// paths traces and judges the way of the water from every start, in the order
// of the starts. Two workers share the starts; each owns its own slots, so the
// answer does not depend on them. The runs are the valley stretches of all.
func (c *check) paths(ctx context.Context, t *tracer, workers int) ([]Path, []valleyRun, error) {
	starts := c.starts()
	all, lines := make([]Path, len(starts)), make([][]valleyRun, len(starts))
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for n := w; n < len(starts); n += workers {
				if ctx.Err() != nil {
					return
				}
				all[n], lines[n] = t.path(t.follow(starts[n]))
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	all = slices.DeleteFunc(all, func(p Path) bool { return len(p.Points) < 2 })
	for n := range all {
		all[n].ID = "F" + strconv.Itoa(n+1)
	}
	return all, slices.Concat(lines...), nil
}

// workers is how many may trace at once.
func workers() int { return min(2, runtime.GOMAXPROCS(0)) }

// starts are the cells that paths are traced from: the corners of the outline,
// of courts and curbs, an even lattice of places, the highest place of each
// part of the roof and the highest place on a ridge in it. Cells of ponds and of
// outlets are none. By cell number.
func (c *check) starts() []int {
	taken := map[int]bool{}
	add := func(k int) {
		if k >= 0 && c.surf.Roof[k] && len(taken) < mostStarts {
			taken[k] = true
		}
	}
	corners := c.corners()
	for n := 0; n < len(corners); n += 1 + len(corners)/(mostStarts/4) {
		if k := nearestCell(c.surf, corners[n]); k >= 0 {
			add(k)
		}
	}
	side := c.latticeSide()
	for _, b := range blocks(c.surf.Lattice, side) {
		add(b.middle(c.surf.NX))
	}
	for _, b := range blocks(c.surf.Lattice, 2*side) {
		add(c.summit(b))
		add(c.ridge(b))
	}
	var out []int
	for k := range taken {
		if h := c.pondOf[k]; h < 0 || c.named[h] < 0 {
			out = append(out, k)
		}
	}
	slices.Sort(out)
	return out
}

func (c *check) corners() []geom.Pt {
	p := slices.Clone(c.site.Outline)
	for _, r := range c.site.Courts {
		p = append(p, r...)
	}
	for _, r := range c.site.Curbs {
		p = append(p, r...)
	}
	return p
}

// latticeSide is the step of the lattice in cells: 5 ft, or more where the box
// would hold more than some 220 places.
func (c *check) latticeSide() int {
	const aboutFt, places = 5.0, 220
	step := math.Ceil(math.Sqrt(float64(c.surf.Len()) / places))
	return int(math.Max(step, math.Round(aboutFt/c.surf.CellFt)))
}

// block is a rectangle of cells, the upper ends left out.
type block struct{ i0, i1, j0, j1 int }

func (b block) middle(nx int) int { return (b.j0+b.j1)/2*nx + (b.i0+b.i1)/2 }

// blocks splits a raster evenly into blocks of about side cells.
func blocks(l survey.Lattice, side int) []block {
	nx, ny := max(1, (l.NX+side/2)/side), max(1, (l.NY+side/2)/side)
	var out []block
	for b := range ny {
		for a := range nx {
			out = append(out, block{a * l.NX / nx, (a + 1) * l.NX / nx, b * l.NY / ny, (b + 1) * l.NY / ny})
		}
	}
	return out
}

// summit is the highest cell of b, of equal ones the one nearest to its middle;
// -1 where a neighbour is higher: water comes from elsewhere.
func (c *check) summit(b block) int {
	middle := c.surf.Centre((b.i0+b.i1)/2, (b.j0+b.j1)/2)
	best := -1
	for j := b.j0; j < b.j1; j++ {
		for i := b.i0; i < b.i1; i++ {
			k := j*c.surf.NX + i
			if !c.surf.Roof[k] {
				continue
			}
			if best < 0 || c.surf.ElevIn[k] > c.surf.ElevIn[best]+1e-9 || c.surf.ElevIn[k] > c.surf.ElevIn[best]-1e-9 &&
				c.centre(k).Dist(middle) < c.centre(best).Dist(middle)-1e-9 {
				best = k
			}
		}
	}
	if best < 0 {
		return -1
	}
	top := true
	c.neighbours(best, func(r int) { top = top && c.surf.ElevIn[r] <= c.surf.ElevIn[best]+1e-9 })
	if !top {
		return -1
	}
	return best
}

// ridge is the highest cell of b that a ridge or a hip runs over, of equal ones
// the one nearest to its middle; -1 where there is none. The roof falls to both
// sides of it, by more than the surface is in doubt over two cells or the
// spacing.
func (c *check) ridge(b block) int {
	reach := 2
	if c.opt.SigmaIn > 0 {
		reach = max(reach, int(math.Round(c.opt.SpacingFt/2/c.surf.CellFt)))
	}
	middle, best := c.surf.Centre((b.i0+b.i1)/2, (b.j0+b.j1)/2), -1
	for j := b.j0; j < b.j1; j++ {
		for i := b.i0; i < b.i1; i++ {
			k := j*c.surf.NX + i
			if !c.surf.Roof[k] || !c.onRidge(i, j, reach) {
				continue
			}
			if best < 0 || c.surf.ElevIn[k] > c.surf.ElevIn[best]+1e-9 || c.surf.ElevIn[k] > c.surf.ElevIn[best]-1e-9 &&
				c.centre(k).Dist(middle) < c.centre(best).Dist(middle)-1e-9 {
				best = k
			}
		}
	}
	return best
}

// onRidge says whether the roof falls from a cell to both sides, reach cells
// off, along one of four directions.
func (c *check) onRidge(i, j, reach int) bool {
	k := j*c.surf.NX + i
	z, leastIn := c.surf.ElevIn[k], math.Max(1e-6, c.sigmaAt(c.centre(k)))
	falls := func(a, b int) bool {
		return c.surf.Holds(a, b) && c.surf.Roof[b*c.surf.NX+a] && z-c.surf.ElevIn[b*c.surf.NX+a] > leastIn
	}
	for _, d := range around8[:4] {
		if falls(i+reach*d[0], j+reach*d[1]) && falls(i-reach*d[0], j-reach*d[1]) {
			return true
		}
	}
	return false
}

// path measures and judges a trail, and gives its valley stretches.
func (t *tracer) path(tr trail) (Path, []valleyRun) {
	p := newProfile(tr)
	if len(p.runFt) < 2 {
		return Path{}, nil
	}
	switch {
	case t.c.opt.SigmaIn == 0:
		p = t.onCreases(p)
	default:
		for _, q := range p.at {
			p.sigmaIn = append(p.sigmaIn, t.c.sigmaAt(q))
		}
	}
	windowFt := t.c.opt.Window.Feet()
	p.settle(2*t.surf.CellFt, t.inValley(&p))
	lengthFt, dropIn := p.runFt[len(p.runFt)-1], p.zIn[0]-p.zIn[len(p.zIn)-1]
	out := Path{
		LengthFt: lengthFt, DropIn: dropIn, EndsAt: tr.endsAt,
		Mean: unit.SlopeOf(unit.Inches(dropIn), unit.Feet(lengthFt)),
	}
	q := p.upTo(lengthFt - t.c.blurFt(tr.endsAt))
	field, valley := q.least(windowFt, t.surf.CellFt)
	out.LeastField, out.LeastValley = field.slope(), valley.slope()
	out.field, out.valley, out.whole = field, valley, q.leastOf(0, q.runFt[len(q.runFt)-1], windowFt)
	unknown := tr.unknown || t.c.endsUnshot(tr.endsAt)
	out.Verdict = t.c.judge(field, valley, out.whole, unknown)
	out.Points, out.Valley = p.drawn()
	return out, q.valleyRuns(tr.endsAt, unknown)
}

// blurFt is the run before an outlet over which a surveyed surface is flatter
// than the roof: shots so far apart round off the bottom of the bowl. Slopes are
// read from there up.
func (c *check) blurFt(endsAt string) float64 {
	if c.opt.SigmaIn == 0 || !c.isOutlet(endsAt) {
		return 0
	}
	return c.opt.SpacingFt
}

func (c *check) isOutlet(id string) bool {
	return slices.ContainsFunc(c.site.Outlets, func(o survey.SiteOutlet) bool { return o.ID == id })
}

// judge is the worst of what is said of the field, of the valleys, and where
// every path is judged, of the whole.
func (c *check) judge(field, valley, whole reading, unknown bool) Verdict {
	if c.opt.Unsurveyed || unknown {
		return Unknown
	}
	worst := Unknown
	say := func(l Limit, r reading) {
		if r.runFt == 0 {
			return
		}
		v := l.judge(rounded(r.lowest), rounded(r.highest))
		if worst == Unknown || v == FallsShort || v == TooClose && worst == Meets {
			worst = v
		}
	}
	say(c.opt.Rules.Field, field)
	say(c.opt.Rules.Valley, valley)
	if c.opt.Rules.Mode == survey.EveryPath {
		say(c.opt.Rules.Field, whole)
	}
	return worst
}
