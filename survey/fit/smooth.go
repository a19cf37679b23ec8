package fit

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// task is one site with its shots, as both methods take it.
type task struct {
	site      *survey.Site
	walls     *walls
	shots     places // about their plane
	spacingFt float64
	cloud     bool // the shots are the medians of a point cloud
}

// smoother is the smoothing surface of one site, its strength chosen.
type smoother struct {
	task
	reach     float64 // chosen, in shot spacings
	scatterIn float64 // one standard deviation of the shots about the surface

	missIn []float64 // of each shot off the smooth surface with all shots; set by smooth
}

// How much work, in multiplications, a lattice may make; the finest cell that
// keeps to it is taken. On Franke's surface, cells of 1/2 and of 1/8 of the
// shot spacing gave the same error to a hundredth of it.
const (
	choosingWork = 6e6
	solvingWork  = 4e7
	directWork   = 4e8 // beyond, the equations are solved by iteration
	coarsestCell = 0.5 // of the shot spacing, or of the length smoothed over where that is longer
)

// cellFor is the finest cell, from coarsestCell of lengthFt down to leastFt,
// whose equations take no more than work.
func cellFor(s *survey.Site, lengthFt, leastFt, work float64) float64 {
	w, h := s.Outline.Box().Size()
	for _, parts := range []float64{32, 24, 16, 12, 8, 6, 4, 3} {
		c := lengthFt / parts
		nx, ny := w/c+1, h/c+1
		band := 2*math.Min(nx, ny) + 2
		if c >= leastFt && nx*ny*band*band/2 <= work {
			return c
		}
	}
	return math.Max(coarsestCell*lengthFt, leastFt)
}

// newHung lays a ground of the given cell under a site and hangs shots on it.
func newHung(s *survey.Site, w *walls, shots places, cellFt, spacingFt float64) (*system, []hold) {
	return hang(newGround(s, survey.LatticeOf(s, cellFt), w), shots, spacingFt)
}

// hang sets up the system of a ground with all shots that it holds.
func hang(g *ground, shots places, spacingFt float64) (*system, []hold) {
	sys := newSystem(g, spacingFt)
	var hs []hold
	for i, p := range shots.at {
		if h, ok := sys.holdOf(p, shots.zIn[i]); ok {
			h.shot = i
			hs = append(hs, h)
			sys.pull(h)
		}
	}
	sys.pin(hs)
	return sys, hs
}

// surface solves for the surface about the plane of the shots, on the cells
// of l that want marks.
//
// Leaving out one shot at a time cannot judge a low spot that a single shot
// tells of, and would have it smoothed away. So shots far off the smooth
// surface are set aside, and what they stand off it is added by a second,
// closely fitting surface which is 0 at the other shots.
func (sm *smoother) surface(ctx context.Context, l survey.Lattice, want []bool) ([]float64, error) {
	cell := cellFor(sm.site, sm.spacingFt*math.Max(1, sm.reach), l.CellFt, solvingWork)
	sys, hs := newHung(sm.site, sm.walls, sm.shots, cell, sm.spacingFt)
	u, rises, err := sm.smooth(ctx, sys, hs)
	if err != nil {
		return nil, err
	}
	out := sys.g.raise(sys.spread(u), l, want)
	if len(rises.at) == 0 {
		return out, nil
	}
	second, err := sm.through(ctx, rises, l, want)
	if err != nil {
		return nil, err
	}
	for k, v := range second {
		out[k] += v
	}
	return out, nil
}

// through is the surface that follows every one of some shots closely, on the
// cells of l that want marks.
func (t task) through(ctx context.Context, shots places, l survey.Lattice, want []bool) ([]float64, error) {
	cell := cellFor(t.site, t.spacingFt, l.CellFt, solvingWork)
	sys, _ := newHung(t.site, t.walls, shots, cell, t.spacingFt)
	u, err := sys.answer(ctx, strengthOf(followReach, t.spacingFt))
	if err != nil {
		return nil, err
	}
	return sys.g.raise(sys.spread(u), l, want), nil
}

// spread gives the answer u, one value an unknown, as one value a cell.
func (s *system) spread(u []float64) []float64 {
	cells := make([]float64, s.g.Len())
	for n, k := range s.cell {
		cells[k] = u[n]
	}
	return cells
}

// A shot that stands off the smooth surface by more than followScatters times
// the scatter of the shots is no noise (of 1,000 normal readings, one in 2,000
// is): it tells of a low spot or a rise narrower than the smoothing reaches.
// The rise is added again with followReach, in shot spacings.
const (
	followScatters = 3.5
	followReach    = 0.2
	followRounds   = 3
	aside          = 1e-3 // how much such a shot still counts for the smooth surface
)

// smooth solves for the smooth surface, one value an unknown, and gives what
// the shots set aside stand off it, 0 at the others; no places when none is.
func (sm *smoother) smooth(ctx context.Context, sys *system, hs []hold) (u []float64, rises places, err error) {
	apart := make([]bool, len(hs))
	for round := 0; ; round++ {
		if u, err = sys.answer(ctx, strengthOf(sm.reach, sm.spacingFt)); err != nil {
			return nil, places{}, err
		}
		if round == 0 {
			sm.missIn = make([]float64, len(sm.shots.at))
			for _, h := range hs {
				sm.missIn[h.shot] = h.zIn - sys.at(h, u)
			}
		}
		if !sm.follows() {
			return u, places{}, nil
		}
		again := false
		rises = places{at: sm.shots.at, zIn: make([]float64, len(hs))}
		for i, h := range hs {
			r := h.zIn - sys.at(h, u)
			if math.Abs(r) > followScatters*sm.scatterIn && !apart[i] {
				apart[i], again = true, true
				sys.pull(hold{base: h.base, w: h.w, zIn: h.zIn, pull: aside - 1})
			}
			if apart[i] {
				rises.zIn[i] = r
			}
		}
		if !slices.Contains(apart, true) {
			return u, places{}, nil
		}
		if !again || round+1 == followRounds {
			return u, rises, nil
		}
	}
}

// follows says whether shots far off the surface are followed: not where it
// is close to all of them already, nor in point clouds, whose cells hold
// several points each.
func (sm *smoother) follows() bool { return sm.reach > followReach && !sm.cloud }

// answer is the surface at a strength, one value an unknown.
func (s *system) answer(ctx context.Context, strength float64) ([]float64, error) {
	if _, work := s.envelope(); work > directWork {
		return s.iterate(ctx, s.matrix(strength))
	}
	f, ok := s.factorise(s.matrix(strength))
	if !ok {
		return nil, fmt.Errorf("smooth the shots: the equations are singular")
	}
	u := slices.Clone(s.rhs)
	f.solve(u)
	return u, nil
}

// A trial is made on groups of shots that stand together.
const (
	trialShots  = 200 // at most, in a group
	trialGroups = 3   // at most
)

// trialGroupsOf splits shots by the middle of their longer extent until no
// group has more than trialShots, and takes up to trialGroups of them, from
// one end of the roof to the other. Fewer shots are one group.
func trialGroupsOf(shots places) [][]int {
	all := make([]int, len(shots.at))
	for i := range all {
		all[i] = i
	}
	var groups [][]int
	var split func(ns []int)
	split = func(ns []int) {
		if len(ns) <= trialShots {
			groups = append(groups, ns)
			return
		}
		var pts []geom.Pt
		for _, n := range ns {
			pts = append(pts, shots.at[n])
		}
		w, h := geom.BoxOf(pts...).Size()
		slices.SortFunc(ns, func(a, b int) int {
			p, q := shots.at[a], shots.at[b]
			if w >= h {
				return cmp.Or(geom.Compare(p, q), cmp.Compare(shots.zIn[a], shots.zIn[b]))
			}
			return cmp.Or(cmp.Compare(p.Y, q.Y), cmp.Compare(p.X, q.X), cmp.Compare(shots.zIn[a], shots.zIn[b]))
		})
		split(ns[:len(ns)/2])
		split(ns[len(ns)/2:])
	}
	split(all)
	if len(groups) <= trialGroups {
		return groups
	}
	var some [][]int
	for i := range trialGroups {
		some = append(some, groups[i*(len(groups)-1)/(trialGroups-1)])
	}
	return some
}

// trial is one group of shots on its part of the site, with the two methods
// ready to be judged on it.
type trial struct {
	hat     *hatMatrix
	tinMiss []float64
}

// newTrial prepares a group. A group of all shots is tried on the whole site;
// a part is tried on the site shifted to the group's middle, within one spacing
// of the group.
func newTrial(s *survey.Site, shots places, spacingFt float64, whole bool) (trial, error) {
	part := s
	if !whole {
		part, shots = shifted(s, shots)
	}
	w := newWalls(part)
	box := part
	if !whole {
		box = &survey.Site{Outline: grown(geom.BoxOf(shots.at...), spacingFt).Ring()}
	}
	cell := cellFor(box, spacingFt, 0.5, choosingWork)
	l := survey.LatticeOf(box, cell)
	sys, hs := hang(newGround(part, l, w), shots, spacingFt)
	var t trial
	var ok bool
	if t.hat, ok = hatOf(sys, hs, strengthOf(0.7, spacingFt)); !ok {
		return t, fmt.Errorf("smooth the shots of area %s: the equations are singular", s.Name)
	}
	if triangles, ok := newTin(sys.g, shots); ok {
		t.tinMiss = triangles.leaveOneOut()
	}
	return t, nil
}

// grown is a box widened by ft on all sides.
func grown(b geom.Box, ft float64) geom.Box {
	return geom.Box{Min: geom.Pt{X: b.Min.X - ft, Y: b.Min.Y - ft}, Max: geom.Pt{X: b.Max.X + ft, Y: b.Max.Y + ft}}
}

// shifted moves a site and a group of its shots so that the group's middle is
// the origin, where lattices are centred.
func shifted(s *survey.Site, shots places) (*survey.Site, places) {
	o := geom.BoxOf(shots.at...).Centre()
	move := func(p geom.Pt) geom.Pt { return p.Sub(o) }
	part := &survey.Site{Outline: s.Outline.Map(move)}
	for _, c := range s.Courts {
		part.Courts = append(part.Courts, c.Map(move))
	}
	out := places{zIn: shots.zIn}
	for _, p := range shots.at {
		out.at = append(out.at, move(p))
	}
	return part, out
}
