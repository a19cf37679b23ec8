package fit

import (
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
)

// Options of a fit. The zero value is useful.
type Options struct {
	ReadingErrorIn float64               // one standard error of one reading, inches; 0: not stated
	FloorIn        float64               // one standard error that all shots share and no averaging takes away, inches
	Progress       func(done, total int) // nil: silent
}

// Fit finds the surface that the shots of s describe, on the cells of l, in
// inches above job elevation zero.
//
// Two methods are compared on the job's own shots by leaving out one at a time,
// and the better is kept: a smoothing surface of least bending, its strength
// chosen from the data, and the triangles between the shots. Both reproduce
// planes exactly, do not reach through the walls of outline and courts, and go
// on to the edge; what lies more than knownReach spacings, or 28 ft, from every
// shot in sight is marked unknown. Curbs are bridged.
//
// The error, a problem, says that there are fewer than three shots or that
// they lie on one line. Nothing is fitted to NaN or infinite elevations: they
// are refused likewise.
func Fit(ctx context.Context, s *survey.Site, l survey.Lattice, opt Options) (*Result, error) {
	tell := opt.Progress
	if tell == nil {
		tell = func(int, int) {}
	}
	t, plane, err := prepare(s)
	if err != nil {
		return nil, err
	}
	c, err := compare(ctx, t, tell)
	if err != nil {
		return nil, err
	}
	tell(compareSteps-1, compareSteps)
	roof := survey.RoofCells(s, l)
	over, missIn, err := c.surface(ctx, t, l, roof, opt.ReadingErrorIn)
	if err != nil {
		return nil, err
	}
	surf := &survey.Surface{Lattice: l, Roof: roof, ElevIn: t.shots.bound(over, roof),
		Known: markKnown(l, roof, t.shots.at, reachOf(t.spacingFt), t.walls)}
	for k, on := range roof {
		if on {
			surf.ElevIn[k] += plane.At(l.Centre(k%l.NX, k/l.NX))
		}
	}
	errs := newErrorModel(t, c, l, opt.ReadingErrorIn)
	if surf.SigmaIn, err = errs.over(ctx, t, surf, missIn); err != nil {
		return nil, err
	}
	for k, on := range roof {
		if on {
			surf.SigmaIn[k] = math.Hypot(surf.SigmaIn[k], opt.FloorIn)
		}
	}
	tell(compareSteps, compareSteps)
	scatterIn := math.Max(opt.ReadingErrorIn, c.scatter())
	return &Result{
		Surface: surf, Method: c.scores[0].Method, Scores: c.scores,
		HasRMSE: c.told, RMSEIn: c.scores[0].RMSEIn,
		SigmaIn: typical(surf), ScatterIn: scatterIn,
		Dishes:    dishes(surf, t.shots.at, t.spacingFt, scatterIn),
		SpacingFt: t.spacingFt, Used: len(t.shots.at), errors: errs, floorIn: opt.FloorIn,
	}, nil
}

// prepare takes the shots of a site and takes their plane off them.
func prepare(s *survey.Site) (t task, plane survey.Plane, err error) {
	shots, err := usable(s)
	if err != nil {
		return t, plane, err
	}
	if plane, _, err = leastSquares(shots.at, shots.zIn); err != nil {
		return t, plane, refuse(s, "the shots lie on one line, and no surface can be laid through a line",
			"add shots off that line")
	}
	ofCloud := func(sh survey.SiteShot) bool { return sh.FromCloud }
	return task{site: s, walls: newWalls(s), shots: shots.over(plane),
		spacingFt: spacingOf(shots.at), cloud: slices.ContainsFunc(s.Shots, ofCloud)}, plane, nil
}

// places are shots as the kernels take them.
type places struct {
	at  []geom.Pt
	zIn []float64
}

// usable takes the shots of s that are numbers.
func usable(s *survey.Site) (places, error) {
	var p places
	for _, sh := range s.Shots {
		if v := sh.P.X + sh.P.Y + sh.ElevIn; math.IsNaN(v) || math.IsInf(v, 0) {
			return p, refuse(s, fmt.Sprintf("shot %s is not a number", sh.ID), "correct it or take it out")
		}
		p.at = append(p.at, sh.P)
		p.zIn = append(p.zIn, sh.ElevIn)
	}
	if len(p.at) < 3 {
		return p, refuse(s, problem.Count(len(p.at), "shot is", "shots are")+" used, and a surface takes at least 3",
			"add shots, or write survey: none for a layout on a level deck")
	}
	return p, nil
}

func refuse(s *survey.Site, why, mend string) error {
	return problem.Problem{Field: "area", Value: s.Name, Why: why, Mend: mend}
}

// over gives the shots with a plane taken off.
func (p places) over(pl survey.Plane) places {
	out := places{at: p.at, zIn: make([]float64, len(p.zIn))}
	for i, z := range p.zIn {
		out.zIn[i] = z - pl.At(p.at[i])
	}
	return out
}

// bound holds a surface, taken about the plane of the shots, within the range
// of the shots about that plane, widened by the same range on either side. It
// changes nothing but runaway slopes beyond the outer shots.
func (p places) bound(over []float64, roof []bool) []float64 {
	lo, hi := p.limits()
	out := make([]float64, len(over))
	for k, v := range over {
		if roof[k] {
			out[k] = math.Max(lo, math.Min(hi, v))
		}
	}
	return out
}

func (p places) limits() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, z := range p.zIn {
		lo, hi = math.Min(lo, z), math.Max(hi, z)
	}
	return lo - (hi - lo), hi + (hi - lo)
}

// Level is a level surface at elevIn inches on the cells of l, for a job
// without a survey.
func Level(s *survey.Site, l survey.Lattice, elevIn float64) *survey.Surface {
	out := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	for k, on := range out.Roof {
		if on {
			out.ElevIn[k] = elevIn
		}
	}
	return out
}
