package fit

import (
	"context"
	"fmt"
	"math"

	"runnel/survey"
)

// smoother is the smoothing surface of one site, its strength chosen.
type smoother struct {
	site      *survey.Site
	walls     *walls
	shots     places // about their plane
	spacingFt float64
	reach     float64 // chosen, in shot spacings
	score     squares
}

// Cells of the two lattices, in shot spacings. The strength is chosen on the
// coarse one; the surface is solved on the fine one and raised to the cells
// asked for.
const (
	choosingCell = 1.0 / 3
	solvingCell  = 1.0 / 6
)

func newSmoother(ctx context.Context, s *survey.Site, w *walls, shots places,
	spacingFt float64) (*smoother, error) {
	sm := &smoother{site: s, walls: w, shots: shots, spacingFt: spacingFt}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	sys, hs := sm.system(choosingCell * spacingFt)
	for _, h := range hs {
		sys.pull(h)
	}
	hat, ok := hatOf(sys, hs, strengthOf(0.7, spacingFt))
	if !ok {
		return nil, fmt.Errorf("smooth the shots of area %s: the equations are singular", s.Name)
	}
	sm.reach, sm.score = chooseStrength([]*hatMatrix{hat}, spacingFt)
	return sm, nil
}

// system lays a ground of the given cell under the site and hangs the shots
// on it.
func (sm *smoother) system(cellFt float64) (*system, []hold) {
	g := newGround(sm.site, survey.LatticeOf(sm.site, cellFt), sm.walls)
	sys := newSystem(g, sm.spacingFt)
	var hs []hold
	for i, p := range sm.shots.at {
		if h, ok := sys.holdOf(p, sm.shots.zIn[i]); ok {
			hs = append(hs, h)
		}
	}
	return sys, hs
}

// surface solves for the surface about the plane of the shots, on the cells
// of l that want marks.
func (sm *smoother) surface(ctx context.Context, l survey.Lattice, want []bool) ([]float64, error) {
	sys, hs := sm.system(math.Max(solvingCell*sm.spacingFt, l.CellFt))
	for _, h := range hs {
		sys.pull(h)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	f, ok := sys.factorise(sys.matrix(strengthOf(sm.reach, sm.spacingFt)))
	if !ok {
		return nil, fmt.Errorf("smooth the shots of area %s: the equations are singular", sm.site.Name)
	}
	u := append([]float64(nil), sys.rhs...)
	f.solve(u)
	cells := make([]float64, sys.g.Len())
	for n, k := range sys.cell {
		cells[k] = u[n]
	}
	return sys.g.raise(cells, l, want), nil
}

// sigma is one standard error of the surface at a place, from the shots
// themselves: what the leave-one-out error holds beyond the noise of the
// readings.
func (sm *smoother) sigma() float64 {
	if sm.score.free <= 1e-9 {
		return 0
	}
	noise2 := sm.score.rss / sm.score.free
	r := sm.score.rmse()
	return math.Sqrt(math.Max(0, r*r-noise2))
}
