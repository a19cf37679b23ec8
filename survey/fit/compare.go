package fit

import (
	"context"
	"math"
	"slices"

	"runnel/survey"
)

// The methods, as reports name them.
const (
	smoothMethod = "surface of least bending, smoothed as far as the shots allow"
	tinMethod    = "triangles between the shots"
)

// compareSteps is what progress counts: the trials, then the surface.
const compareSteps = trialGroups + 1

// tinWins is how much better, by leave-one-out error, triangles must do to be
// kept: with less, chance decides (on 20 noisy roofs with one low spot each,
// triangles scored best on two and were farther from the truth on both).
const tinWins = 0.95

// groupReach bounds the reach that a group of shots can judge, as a share of
// its width: what bends over a longer way is a plane to the group, and would be
// flattened on the whole roof.
const groupReach = 0.2

// comparison is what leaving shots out one at a time told.
type comparison struct {
	scores []Score // the one to keep first
	reach  float64 // of the smoothing surface
	noise2 float64 // square of the scatter of the shots about it; 0: cannot be told
}

// compare tries both methods on the shots. Surfaces that cannot do without any
// shot score 0.
func compare(ctx context.Context, s *survey.Site, shots places, spacingFt float64,
	tell func(done, total int)) (comparison, error) {
	groups := trialGroupsOf(shots)
	var hats []*hatMatrix
	var tin2, tinN float64
	for n, g := range groups {
		if err := ctx.Err(); err != nil {
			return comparison{}, err
		}
		var part places
		for _, i := range g {
			part.at, part.zIn = append(part.at, shots.at[i]), append(part.zIn, shots.zIn[i])
		}
		t, err := newTrial(s, part, spacingFt, len(groups) == 1)
		if err != nil {
			return comparison{}, err
		}
		hats = append(hats, t.hat)
		for _, m := range t.tinMiss {
			tin2 += m * m
			tinN++
		}
		tell(n+1, compareSteps)
	}
	most := mostReach
	if len(groups) > 1 {
		most = groupReach * math.Sqrt(float64(len(groups[0])))
	}
	reach, q := chooseStrength(hats, spacingFt, most)
	c := comparison{reach: reach, scores: []Score{{smoothMethod, q.rmse()}}}
	if q.free > 1e-9*float64(q.all) {
		c.noise2 = q.rss / q.free
	}
	if tinN > 3 {
		c.scores = append(c.scores, Score{tinMethod, math.Sqrt(tin2 / tinN)})
	}
	for i, sc := range c.scores {
		if sc.RMSEIn < 1e-9 { // rounding: the shots lie on a plane
			c.scores[i].RMSEIn = 0
		}
	}
	if len(c.scores) == 2 && c.scores[1].RMSEIn < tinWins*c.scores[0].RMSEIn {
		slices.Reverse(c.scores)
	}
	return c, nil
}

// sigma is one standard error of a surface at a place, as the shots themselves
// tell it: what its leave-one-out error holds beyond their scatter.
func (c comparison) sigma(rmseIn float64) float64 {
	return math.Sqrt(math.Max(0, rmseIn*rmseIn-c.noise2))
}

// leastScatterIn is the least scatter that readings are credited with, 1/32 in.
const leastScatterIn = 1.0 / 32

// surface lays the better method over the cells of l that want marks, about
// the plane of the shots.
func (c comparison) surface(ctx context.Context, s *survey.Site, w *walls, shots places, res *Result,
	l survey.Lattice, want []bool, readingErrorIn float64) ([]float64, error) {
	if res.Method == tinMethod {
		if t, ok := newTin(newGround(s, l, w), shots); ok {
			return t.surface(s, l, want), nil
		}
	}
	sm := &smoother{site: s, walls: w, shots: shots, spacingFt: res.SpacingFt, reach: c.reach, cloud: res.Note != "",
		scatterIn: math.Max(math.Sqrt(c.noise2), math.Max(readingErrorIn, leastScatterIn))}
	return sm.surface(ctx, l, want)
}
