package taper

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// How far the surface as laid may lie from the design where the job does not
// say, common practice without source. Boards alone vary by 1/8 in (ASTM C1289,
// as quoted in Professional Roofing, April 2004), and two lie over one another.
const (
	AsBuiltPlace = unit.Inch / 4     // at a place
	AsBuiltRun   = 3 * unit.Inch / 8 // between two places within RunWithin
)

// RunWithin is how near each other two shots stand that make a run.
const RunWithin = 10 * unit.Foot

// leastForShift is from how many shots on what they share is taken off them: of
// fewer it cannot be told from what single ones are off. Common practice.
const leastForShift = 5

// AsBuiltIn is what the surface as laid is held against.
type AsBuiltIn struct {
	Shots  []survey.SiteShot // on the surface as laid, in the frame
	Design *Design
	Proof  *Proof
	Trial  Trial // that the design was proven on
	Choice survey.AsBuilt
}

// AsBuilt is the surface as laid held against the design.
//
// Off is laid less designed finished top, in inches: more than 0 lies high. What
// all shots share, Shift, is their median and is taken off, since it turns no
// water: another height of instrument, a membrane that the design leaves out, a
// deck that lies elsewhere than surveyed. It is told; of fewer than five shots
// nothing is taken off.
type AsBuilt struct {
	Place, Run unit.Length // the tolerances
	DoubtIn    float64     // two standard errors of one reading
	ShiftIn    float64
	Shots      []LaidShot
	NoDesign   []string  // shots where no facet lies: on a curb, or where the roof stays
	Runs       []LaidRun // out of tolerance, the worst first
	LoneShots  int       // that no other stands within RunWithin of

	// Of the surface that the shots describe; nil where they describe none, and
	// Untold says why.
	Untold string
	Fit    *fit.Result
	OffIn  *survey.Surface  // laid less designed, cell by cell, without Shift
	Report *drainage.Report // of the surface as laid, without Shift
	// Ponds are those of Report where the design is laid and shots are near enough
	// to tell, in its order. Free says whether there are none: Unknown where they
	// all lie too far from a shot.
	Ponds []LaidPond
	Free  drainage.Verdict
	Mends []Mend // the greatest first
	// Mended says that there are mends; Stay are the ponds left with all of them made.
	Mended bool
	Stay   []LaidPond
}

// LaidShot is one shot on the surface as laid.
type LaidShot struct {
	ID               string
	P                geom.Pt
	LaidIn, DesignIn float64
	OffIn            float64 // without Shift
	Verdict          drainage.Verdict
	Out              bool // as read it lies outside of the tolerance
	On               LaidOn
}

// LaidOn is where in the layout a place lies: on the uppermost tapered board. Row
// is 0 where none is laid, as under a level base.
type LaidOn struct {
	Facet, Row int
	Mark       string
}

// LaidRun is two near shots that lie farther apart in height than designed.
type LaidRun struct {
	A, B    int // in AsBuilt.Shots, the lower one first
	ApartIn float64
	Verdict drainage.Verdict // FallsShort or TooClose
}

// LaidPond is water that will stand on the surface as laid.
type LaidPond struct {
	*drainage.Pond
	On       LaidOn  // at the deepest place
	OffIn    float64 // laid less designed there
	LipOffIn float64 // and where it runs over
	ByDesign float64 // inches of water that the design leaves there itself
}

// LaidAgainst holds shots on the surface as laid against a design.
//
// A shot is out of tolerance where it lies farther than Place from the design,
// two within RunWithin of one another where their Offs differ by more than Run.
// Both count as falling short where they do so by more than two standard errors
// of the readings, as too close to call within that. No shot is named in two
// runs.
//
// The surface is the design's finished top with a surface fitted to the Offs
// laid on it, so that creases stay sharp, and goes through the drainage check
// with the inlets of the design. The error is ctx's or that of the check. Cost:
// that of a fit and up to two checks; shots x boards.
func LaidAgainst(ctx context.Context, s *survey.Site, in AsBuiltIn) (*AsBuilt, error) {
	a := &AsBuilt{Place: AsBuiltPlace, Run: AsBuiltRun, DoubtIn: 2 * in.Choice.ReadingError.Inches()}
	if in.Choice.Place > 0 {
		a.Place = in.Choice.Place
	}
	if in.Choice.Run > 0 {
		a.Run = in.Choice.Run
	}
	for _, sh := range in.Shots {
		designIn, ok := in.designed(sh.P)
		if !ok {
			a.NoDesign = append(a.NoDesign, sh.ID)
			continue
		}
		a.Shots = append(a.Shots, LaidShot{ID: sh.ID, P: sh.P, LaidIn: sh.ElevIn, DesignIn: designIn,
			OffIn: sh.ElevIn - designIn, On: in.Design.laidOn(sh.P)})
	}
	a.takeShift()
	for n := range a.Shots {
		sh := &a.Shots[n]
		sh.Verdict, sh.Out = judgeOff(sh.OffIn, a.Place, a.DoubtIn)
	}
	a.findRuns()
	return a, a.drain(ctx, s, in)
}

// designed is the designed finished top at a place, exactly where the base is a
// plane; false where no facet lies.
func (in AsBuiltIn) designed(p geom.Pt) (float64, bool) {
	baseIn, known := in.Trial.Base.Elevation(p)
	thickIn, ok := ThicknessAt(in.Design.Facets, p)
	return baseIn + thickIn + in.Design.Cover.Inches(), ok && known
}

// laidOn is where in the layout a place lies.
func (d *Design) laidOn(p geom.Pt) (on LaidOn) {
	top := 0
	for n := range d.Boards {
		b := &d.Boards[n]
		if b.Type != TaperedType && b.Type != CricketType || b.Layer <= top {
			continue
		}
		if box := b.Poly.Outer.Box(); p.X < box.Min.X || p.X > box.Max.X || p.Y < box.Min.Y || p.Y > box.Max.Y || !b.Poly.Has(p) {
			continue
		}
		on, top = LaidOn{b.Facet, b.Row, b.Mark}, b.Layer
	}
	return on
}

// takeShift takes the median of all Offs off them.
func (a *AsBuilt) takeShift() {
	if len(a.Shots) < leastForShift {
		return
	}
	var all []float64
	for _, sh := range a.Shots {
		all = append(all, sh.OffIn)
	}
	slices.Sort(all)
	a.ShiftIn = (all[(len(all)-1)/2] + all[len(all)/2]) / 2
	for n := range a.Shots {
		a.Shots[n].OffIn -= a.ShiftIn
	}
}

// judgeOff judges a difference by how far it may go; out is as read.
func judgeOff(offIn float64, most unit.Length, doubtIn float64) (v drainage.Verdict, out bool) {
	const rounding = 1e-4 // finer than any reading
	over := math.Abs(offIn) - most.Inches() - rounding
	switch {
	case over > doubtIn:
		return drainage.FallsShort, true
	case over > -doubtIn && doubtIn > 0:
		return drainage.TooClose, over > 0
	case over > 0:
		return drainage.FallsShort, true
	}
	return drainage.Meets, false
}

// findRuns finds the pairs of near shots that are out of tolerance, the worst
// first, each shot in one pair at most.
func (a *AsBuilt) findRuns() {
	cell := RunWithin.Feet()
	square := func(p geom.Pt) [2]int { return [2]int{int(math.Floor(p.X / cell)), int(math.Floor(p.Y / cell))} }
	at := map[[2]int][]int{}
	for n, sh := range a.Shots {
		at[square(sh.P)] = append(at[square(sh.P)], n)
	}
	var all []LaidRun
	for n, sh := range a.Shots {
		mid, alone := square(sh.P), true
		for c := range 9 {
			for _, m := range at[[2]int{mid[0] + c%3 - 1, mid[1] + c/3 - 1}] {
				other := a.Shots[m]
				if m == n || sh.P.Dist(other.P) > cell+onBorderFt {
					continue
				}
				alone = false
				// The readings of both are in doubt.
				v, out := judgeOff(other.OffIn-sh.OffIn, a.Run, a.DoubtIn*math.Sqrt2)
				if out && other.OffIn > sh.OffIn {
					all = append(all, LaidRun{n, m, other.OffIn - sh.OffIn, v})
				}
			}
		}
		if alone {
			a.LoneShots++
		}
	}
	slices.SortStableFunc(all, func(p, q LaidRun) int {
		return cmp.Or(coarseIn(q.ApartIn, p.ApartIn), comparePlaces(a.Shots[p.A].P, a.Shots[q.A].P),
			comparePlaces(a.Shots[p.B].P, a.Shots[q.B].P))
	})
	named := map[int]bool{}
	for _, r := range all {
		if !named[r.A] && !named[r.B] {
			named[r.A], named[r.B] = true, true
			a.Runs = append(a.Runs, r)
		}
	}
}

// coarseIn compares inches; what differs by rounding is equal.
func coarseIn(a, b float64) int { return cmp.Compare(math.Round(a*1e6), math.Round(b*1e6)) }

func comparePlaces(a, b geom.Pt) int { return cmp.Or(coarseIn(a.X, b.X), coarseIn(a.Y, b.Y)) }

// drain finds the surface as laid, what water does on it and what to mend.
func (a *AsBuilt) drain(ctx context.Context, s *survey.Site, in AsBuiltIn) error {
	site := *s
	site.Shots = nil
	for _, sh := range a.Shots {
		site.Shots = append(site.Shots, survey.SiteShot{P: sh.P, ElevIn: sh.OffIn, ID: sh.ID})
	}
	top := in.Proof.Surface
	f, err := fit.Fit(ctx, &site, top.Lattice, fit.Options{ReadingErrorIn: in.Choice.ReadingError.Inches()})
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		a.Untold = fmt.Sprintf("%d shots on the design describe no surface: at least three are needed, not in one line", len(a.Shots))
		return nil
	}
	a.Fit = f
	a.OffIn = in.onPart(f.Surface)
	t := &laidCheck{in: in, site: cleared(&site, in.Design.Scheme, in.Trial), f: f, top: top}
	if a.Report, err = t.check(ctx, a.OffIn.ElevIn); err != nil {
		return err
	}
	a.Ponds = a.laidPonds(in, a.Report)
	if a.Free = a.Report.PondsFree; len(a.Report.Ponds) > 0 && len(a.Ponds) == 0 {
		a.Free = drainage.Unknown
	}
	return a.mend(ctx, t)
}

// onPart is a fitted surface of Offs without those where the roof stays.
func (in AsBuiltIn) onPart(fitted *survey.Surface) *survey.Surface {
	if in.Trial.Part == nil {
		return fitted
	}
	out := fitted.With(slices.Clone(fitted.ElevIn))
	for k := range out.ElevIn {
		if !in.Trial.Part.Has(out.Centre(k%out.NX, k/out.NX)) {
			out.ElevIn[k] = 0
		}
	}
	return out
}

// laidCheck runs surfaces that lie off the design through the drainage check.
type laidCheck struct {
	in   AsBuiltIn
	site *survey.Site
	f    *fit.Result
	top  *survey.Surface // finished, of the design
}

func (t *laidCheck) check(ctx context.Context, offIn []float64) (*drainage.Report, error) {
	elevIn := slices.Clone(t.top.ElevIn)
	for k, on := range t.top.Roof {
		if on {
			elevIn[k] += offIn[k]
		}
	}
	laid := t.f.Surface.With(elevIn)
	laid.Roof = t.top.Roof
	r, err := drainage.Check(ctx, t.site, laid, drainage.Options{
		Rules: t.in.Trial.Rules, Ponds: t.in.Trial.Limits, InletIn: t.in.Trial.InletIn, InletWhy: t.in.Trial.InletWhy,
		Window: proofWindow, SigmaIn: t.f.SigmaIn, SpacingFt: t.f.SpacingFt,
	})
	if err != nil {
		return nil, fmt.Errorf("check the surface as laid: %w", err)
	}
	return r, nil
}

// laidPonds says of the ponds of a surface as laid where in the layout they lie
// and what makes them; those too far from a shot are left out.
func (a *AsBuilt) laidPonds(in AsBuiltIn, r *drainage.Report) (out []LaidPond) {
	for n := range r.Ponds {
		p := LaidPond{Pond: &r.Ponds[n], On: in.Design.laidOn(r.Ponds[n].Deepest)}
		k := a.cellAt(p.Deepest)
		if k < 0 || !a.OffIn.IsKnown(k) || in.Trial.stays(r, *p.Pond) {
			continue
		}
		p.OffIn, p.ByDesign = a.OffIn.ElevIn[k], waterIn(in.Proof.Report, k)
		if k := a.cellAt(p.Spill); k >= 0 {
			p.LipOffIn = a.OffIn.ElevIn[k]
		}
		out = append(out, p)
	}
	return out
}

// cellAt is the roof cell that holds a place; -1: none.
func (a *AsBuilt) cellAt(p geom.Pt) int {
	i, j := a.OffIn.CellOf(p)
	if !a.OffIn.Holds(i, j) || !a.OffIn.Roof[j*a.OffIn.NX+i] {
		return -1
	}
	return j*a.OffIn.NX + i
}
