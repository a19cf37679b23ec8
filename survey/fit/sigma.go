package fit

import (
	"context"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// errorModel is how far the fitted surface may be off, place by place.
//
// Least bending of strength s is what one expects of a roof that bends at
// random, read with an error of variance v, when v over s is how much it bends;
// what the readings leave open of such a roof is v times the inverse of the
// equations that the surface solves (Wahba, 1983, "Bayesian confidence intervals
// for the cross-validated smoothing spline", J. R. Statist. Soc. B 45; that
// it holds for the promised share of the places of one given surface: Nychka,
// 1988, "Bayesian confidence intervals for smoothing splines", J. Am. Statist.
// Assoc. 83; both from memory). It grows away from shots and shrinks where many
// agree. v is the scatter that leaving shots out shows about each place, as roofs
// bend more in some parts than in others; a stated reading error above it is
// added (see variance). A shot far off what the others say is either a blunder or
// right, and the surface may follow it: about it the error is no less than what
// lies between the two (see doubts).
type errorModel struct {
	sys      *system  // nil: see flatIn
	m        []rows25 // its equations, one row an unknown
	hs       []hold
	lengthFt float64 // how far a shot speaks
	tiled    bool    // the inverse is found in tiles

	flatIn   float64 // the error everywhere, where sys is nil; 0: exact
	statedIn float64 // reading error that the crew states
	usualIn  float64 // scatter that no shot is doubted for
	local    *localScatter
	doubt    *survey.Surface // what hangs on doubted shots alone, inches, signed; nil: nothing
}

// How the equations for the error are cut up. In tiles a cell is a third of the
// length that a shot speaks over, and the error some 10 % off that on cells half
// as wide (TestErrorModel_Tiles).
const (
	errorWork   = 8e6 // multiplications that one piece may take
	errorParts  = 3   // cells in a length, in tiles
	tileCells   = 16  // across a tile, without margins
	marginCells = 2 * errorParts
	farRun      = 8.0 // lengths; places so far apart are off independently
)

// newErrorModel sets up the error of a surface smoothed as c chose.
func newErrorModel(t task, c comparison, l survey.Lattice, statedIn float64) *errorModel {
	e := &errorModel{statedIn: statedIn, usualIn: c.usualIn(statedIn), lengthFt: t.spacingFt * math.Max(1, c.reach)}
	if !c.told {
		e.flatIn = math.Max(unknownIn, statedIn)
		return e
	}
	if math.Max(c.scatter(), statedIn) == 0 {
		return e
	}
	cell := cellFor(t.site, e.lengthFt, l.CellFt, errorWork)
	w, h := t.site.Outline.Box().Size()
	nx, ny := w/cell+1, h/cell+1
	band := 2*math.Min(nx, ny) + 2
	if nx*ny*band*band/2 > errorWork {
		e.tiled, cell = true, e.lengthFt/errorParts
	}
	e.sys, e.hs = newHung(t.site, t.walls, t.shots, cell, t.spacingFt)
	e.m = e.sys.matrix(strengthOf(c.reach, t.spacingFt))
	return e
}

// over gives one standard error of each roof cell of surf, missIn being how far
// each shot is off the smoothing surface. Cost: the inverse, about twice a
// factoring, and O(cells); with doubted shots a surface through them besides.
func (e *errorModel) over(ctx context.Context, t task, surf *survey.Surface, missIn []float64) ([]float64, error) {
	out := make([]float64, surf.Len())
	if e.sys == nil {
		for k, on := range surf.Roof {
			if on {
				out[k] = e.flatIn
			}
		}
		return out, nil
	}
	open, lever := e.inverse(len(t.shots.at))
	e.local = newLocalScatter(t.shots.at, standardised(missIn, lever), e.lengthFt)
	g := e.sys.g
	lo, hi := math.Inf(1), 0.0
	for _, c := range e.sys.cell {
		k := int(c)
		alone := e.statedIn * math.Min(1, fewSpeak*open[k])
		open[k] = math.Max(alone, math.Sqrt(e.variance(g.Centre(k%g.NX, k/g.NX), open[k], 1)))
		lo, hi = math.Min(lo, open[k]), math.Max(hi, open[k])
	}
	for k, v := range g.raise(open, surf.Lattice, surf.Roof) {
		if surf.Roof[k] {
			out[k] = math.Max(lo, math.Min(hi, v))
		}
	}
	doubted := e.doubts(t, missIn, lever)
	if len(doubted.at) == 0 {
		return out, nil
	}
	rise, err := t.through(ctx, doubted, surf.Lattice, surf.Roof)
	if err != nil {
		return nil, err
	}
	e.doubt = surf.With(rise)
	for k, v := range rise {
		if surf.Roof[k] {
			out[k] = math.Max(out[k], math.Abs(v))
		}
	}
	return out, nil
}

// fewSpeak is how many shots must speak for a place before their mean is surer
// than the stated reading error. What is misread alike at neighbouring shots (a
// rod held off plumb, a reading rounded) does not average away, and few of them
// cannot show it: with fewSpeak the error is no less than one reading's, with
// the square of it their mean counts in full. Common practice, no source.
const fewSpeak = 4.0

// doubts gives, at each shot that stands off what the others say by more than
// noise does, how far it does, and 0 at the others; no places where none is. The
// sumps and rims of drains are no blunders. The medians of a point cloud are
// screened before.
func (e *errorModel) doubts(t task, missIn, lever []float64) places {
	out, any := places{at: t.shots.at, zIn: make([]float64, len(missIn))}, false
	for i, r := range missIn {
		free := 1 - lever[i]
		if t.cloud || free < 1e-9 || math.Abs(r) <= followScatters*e.usualIn*math.Sqrt(free) {
			continue
		}
		if off := r / free; !sumpOrRim(t.site, t.shots.at[i], off, math.Abs(off)) {
			out.zIn[i], any = off, true
		}
	}
	if !any {
		return places{}
	}
	return out
}

// variance is the square of one standard error about a place where the inverse
// of the equations is open; of a difference of two places, most is 2, else 1.
//
// A stated reading error above the scatter does not say that the roof bends more.
// What it holds beyond the scatter goes through the surface as noise does, by
// the sum of the squares of the shots' weights: at most open, and hardly over 1
// for each place, since the weights make up a mean.
func (e *errorModel) variance(p geom.Pt, open, most float64) float64 {
	v := e.local.at(p)
	return v*open + math.Max(0, e.statedIn*e.statedIn-v)*math.Min(open, most)
}

// standardised are the squares of the misses of the shots, each left out in
// turn, as variances of one reading: the miss is residual / (1 - lever), and its
// expected square v / (1 - lever).
func standardised(missIn, lever []float64) []float64 {
	var out []float64
	for i, r := range missIn {
		free := 1 - lever[i]
		if free < 1e-9 {
			out = append(out, math.NaN()) // the shot alone holds a part of the surface
			continue
		}
		out = append(out, r*r/free)
	}
	return out
}
