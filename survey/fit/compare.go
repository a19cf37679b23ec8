package fit

import (
	"context"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// The methods, as reports name them. Both are kept, since a job's own shots
// decide. Measured (root mean square off the truth, inches; the tests print
// these again):
//
//	                                                least bending  triangles
//	Franke's surface, 12 in high, 100 shots, 0.12 in noise  0.249      0.450
//	the same, 400 shots                                     0.063      0.129
//	the same, 2,000 shots                                   0.040      0.099
//	"peaks", 14 in high, 400 shots, 0.12 in noise           0.112      0.216
//	apartment roof, 84 shots, against its point cloud       1.093      1.118
//	ridge and valley roof, 56 shots, likewise               0.359      0.386
//
// By leave-one-out error least bending also won on exact shots of ridges, hips
// and cones. Where shots stand exactly on a sharp ridge triangles are truer
// (0.053 in against 0.133, ridge of 1/4 in/ft, shots every 10 ft), which leaving
// out the ridge's own shots cannot show.
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
	told   bool    // leaving shots out told the scores; else one method, scored 0
	reach  float64 // of the smoothing surface
	noise2 float64 // square of the scatter of the shots about it; 0: cannot be told
}

// compare tries both methods on the shots, and tells after each group.
func compare(ctx context.Context, t task, tell func(done, total int)) (comparison, error) {
	groups := trialGroupsOf(t.shots)
	var hats []*hatMatrix
	var tinMiss []float64
	for n, g := range groups {
		if err := ctx.Err(); err != nil {
			return comparison{}, err
		}
		tried, err := newTrial(t.site, t.shots.some(g), t.spacingFt, len(groups) == 1)
		if err != nil {
			return comparison{}, err
		}
		hats = append(hats, tried.hat)
		tinMiss = append(tinMiss, tried.tinMiss...)
		tell(n+1, compareSteps)
	}
	most := mostReach
	if len(groups) > 1 {
		most = groupReach * math.Sqrt(float64(len(groups[0])))
	}
	reach, q := chooseStrength(hats, t.spacingFt, most)
	c := comparison{reach: reach, scores: []Score{{smoothMethod, q.rmse()}}, told: t.shots.enough()}
	if q.free > 1e-9*float64(q.all) {
		c.noise2 = q.rss / q.free
	}
	if !c.told {
		c.scores[0].RMSEIn = 0
		return c, nil
	}
	if len(tinMiss) > 3 {
		c.scores = append(c.scores, Score{tinMethod, rootMeanSquare(tinMiss)})
	}
	for i, sc := range c.scores {
		if sc.RMSEIn < nothingIn { // the shots lie on a plane
			c.scores[i].RMSEIn = 0
		}
	}
	if len(c.scores) == 2 && c.scores[1].RMSEIn < tinWins*c.scores[0].RMSEIn {
		slices.Reverse(c.scores)
	}
	return c, nil
}

// leastPlaces is how many places must be read before leaving them out one at a
// time tells an error.
const leastPlaces = 6

// enough says whether there are shots at leastPlaces places or more and, without
// any one of the shots, still a plane through the rest.
func (p places) enough() bool {
	var apart []geom.Pt
	for _, q := range p.at {
		if !slices.ContainsFunc(apart, func(o geom.Pt) bool { return o.Dist(q) <= twinFt }) {
			apart = append(apart, q)
		}
		if len(apart) == leastPlaces {
			break
		}
	}
	_, sp, err := leastSquares(p.at, p.zIn)
	if err != nil || len(apart) < leastPlaces {
		return false
	}
	n, det := float64(len(p.at)), sp.xx*sp.yy-sp.xy*sp.xy
	for _, q := range p.at { // its own weight in the plane at its place is 1 where it alone holds it
		d := q.Sub(sp.middle)
		if own := (1 + (d.X*d.X*sp.yy-2*d.X*d.Y*sp.xy+d.Y*d.Y*sp.xx)/det) / n; own > 1-1e-6 {
			return false
		}
	}
	return true
}

// unknownIn is what a surface is credited with, as one standard error at a
// place, whose shots are too few to tell it. Common practice, no source.
const unknownIn = 0.25

// scatter is one standard deviation of the readings about the surface.
func (c comparison) scatter() float64 {
	if s := math.Sqrt(c.noise2); s >= nothingIn {
		return s
	}
	return 0 // the shots lie on a plane
}

// nothingIn is what arithmetic alone makes of shots on a plane.
const nothingIn = 1e-9

// leastScatterIn is the least scatter that readings are credited with, 1/32 in.
const leastScatterIn = 1.0 / 32

// usualIn is the scatter that a shot may show without being doubted for it.
func (c comparison) usualIn(readingErrorIn float64) float64 {
	return math.Max(math.Sqrt(c.noise2), math.Max(readingErrorIn, leastScatterIn))
}

// surface lays the better method over the cells of l that want marks, about
// the plane of the shots. missIn is how far each shot is off the smoothing
// surface.
func (c comparison) surface(ctx context.Context, t task, l survey.Lattice, want []bool,
	readingErrorIn float64) (over, missIn []float64, err error) {
	sm := &smoother{task: t, reach: c.reach, scatterIn: c.usualIn(readingErrorIn)}
	if over, err = sm.surface(ctx, l, want); err != nil {
		return nil, nil, err
	}
	if c.scores[0].Method == tinMethod {
		if triangles, ok := newTin(newGround(t.site, l, t.walls), t.shots); ok {
			over = triangles.surface(t.site, l, want)
		}
	}
	return over, sm.missIn, nil
}

// some gives the shots of the numbers ns.
func (p places) some(ns []int) (out places) {
	for _, n := range ns {
		out.at, out.zIn = append(out.at, p.at[n]), append(out.zIn, p.zIn[n])
	}
	return out
}

func rootMeanSquare(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return math.Sqrt(sum / float64(max(len(v), 1)))
}
