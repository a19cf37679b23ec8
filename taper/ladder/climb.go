package ladder

import (
	"context"
	"fmt"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// In is what a roof is climbed with.
type In struct {
	Site     *survey.Site
	Existing *drainage.Report // of the existing surface, checked with Options
	Options  drainage.Options // trials are checked with them too
	Levels   fit.Levels       // where the deck lies, which nothing is cut below
	Stock    *survey.Stock    // boards for crickets
	SumpFt   float64          // side of the sumps that may be cut; 0: one board, then two
	Units    unit.System
	Design   *taper.Design // nil: none was made
	Proof    *taper.Proof  // of Design
	NoDesign string        // why there is no design
	InPart   bool          // the design tapers a part of the area, the rest stays
	// Lay designs and proves what the job asks for, where Design is nil; nil: it
	// cannot.
	Lay func(ctx context.Context) (*taper.Design, *taper.Proof, error)
	// LayPart designs and proves taper of a part of the area alone, whatever the
	// job asks for; nil: it cannot.
	LayPart func(ctx context.Context, part geom.Ring) (*taper.Design, *taper.Proof, error)
	// WithOutlets designs and proves the taper with more outlets, each at its
	// inlet; alone: the primary drains and scuppers of the site are given up.
	// nil: it cannot.
	WithOutlets func(ctx context.Context, alone bool, more []survey.SiteOutlet, inletIn []float64) (*taper.Design, *taper.Proof, error)
}

// climb is one climb under way. Useful sumps stay in for the rungs above them,
// since they disturb least.
type climb struct {
	In
	surf    *survey.Surface // with the sumps that help
	inletIn []float64
	now     *drainage.Report // standing water on surf
	sumped  Step             // the rung of those sumps
	more    []survey.SiteOutlet
	moreIn  []float64 // inlets of more
}

// Climb tests the rungs from the least disturbance up. A rung is kept where,
// laid on the surface as surveyed, it leaves no pond worth reporting and the
// rules are satisfied with the slope; the first that is kept is the answer, and
// the ones above it are not tested. Where none is kept it is Taper if nothing
// less does, Unknown if the survey cannot tell whether anything is needed. The
// text says why, with its figure. The error is that of a check, or ctx's.
//
// Cost: a check of the drainage for each rung that is tested, a look for
// standing water for each drain, size of sump and place of an outlet tried.
func Climb(ctx context.Context, in In) ([]Step, Rung, string, error) {
	c := &climb{In: in, surf: in.Existing.Surface, inletIn: in.Options.InletIn, now: in.Existing}
	steps := []Step{c.nothing()}
	rungs := []func(context.Context) (Step, error){c.sump, c.fill, c.crickets, c.outlet, c.partTaper, c.taper}
	done := steps[0].Outcome != Refused
	for n, test := range rungs {
		s := Step{Why: "not needed"}
		if steps[0].Outcome == Open {
			s.Why = "first find out whether anything is needed"
		}
		if !done {
			var err error
			if s, err = test(ctx); err != nil {
				return nil, Unknown, "", err
			}
			done = s.Outcome == Kept
		}
		s.Rung = Sump + Rung(n)
		steps = append(steps, s)
	}
	rung, why := answer(steps)
	return steps, rung, why, nil
}

// answer is the first rung kept, and why.
func answer(steps []Step) (Rung, string) {
	why := steps[0].Why
	switch steps[0].Outcome {
	case Kept:
		return DrainsAsIs, why
	case Open:
		return Unknown, why
	case Refused, NotTested:
	}
	var open []string
	for _, s := range steps[1:] {
		switch s.Outcome {
		case Kept:
			if s.Rung < PartTaper {
				why += "; " + s.Do
			}
			return s.Rung, why + perhaps(open)
		case Open:
			open = append(open, s.Rung.Words())
		case Refused, NotTested:
		}
	}
	return Taper, why + perhaps(open)
}

// perhaps names the lesser works that the survey cannot judge.
func perhaps(open []string) string {
	if len(open) == 0 {
		return ""
	}
	return "; lesser work may do, the survey cannot tell: " + strings.Join(open, ", ") + " (more shots would tell)"
}

// nothing judges the roof as it is.
func (c *climb) nothing() Step {
	o, _ := c.judge(c.Existing)
	s := Step{Rung: DrainsAsIs, Outcome: o}
	if !c.Options.Unsurveyed {
		s.Left = leftOf(c.Existing)
	}
	water := c.waterWords(c.Existing)
	if o == Kept && c.Existing.MeetsDesign == drainage.Meets {
		s.Why = water + ", and every way to an outlet falls enough"
		return s
	}
	s.Why = water + "; the surface is " + c.Existing.DesignFinding(c.Options.Rules, c.Units)
	return s
}

// judge says what a surface as checked means for a rung, and what speaks
// against it. A surface that clearly falls short of the slope is refused
// whatever is known of its ponds, unless the rules let a roof that holds no
// water stay as it is.
func (c *climb) judge(r *drainage.Report) (Outcome, string) {
	rules := c.Options.Rules
	slope := "the surface is " + r.DesignFinding(rules, c.Units)
	cure := ", which only taper cures"
	if _, valleys := r.ShortValleys(); valleys {
		cure = ", which only taper and its crickets cure"
	}
	short := r.MeetsDesign == drainage.FallsShort && !rules.DrainedException
	switch {
	case r.PondsFree == drainage.FallsShort && short:
		return Refused, c.waterWords(r) + "; and " + slope + cure
	case r.PondsFree == drainage.FallsShort:
		return Refused, c.waterWords(r)
	case short:
		return Refused, slope + cure
	case r.PondsFree == drainage.Meets && (r.MeetsDesign == drainage.Meets || rules.DrainedException):
		return Kept, ""
	}
	return Open, c.waterWords(r) + "; " + slope
}

// waterWords says what is known of the ponds.
func (c *climb) waterWords(r *drainage.Report) string {
	switch r.PondsFree {
	case drainage.FallsShort:
		return "the roof " + r.WaterFinding(c.Units)
	case drainage.TooClose:
		return "whether the roof holds water is too close to call"
	case drainage.Unknown:
		return "it is not known whether the roof holds water"
	case drainage.Meets:
		return r.NoPonds(c.Units)
	}
	panic("ladder: unknown verdict")
}

func leftOf(r *drainage.Report) *Left {
	l := &Left{Ponds: len(r.Ponds), BelowMinimumPct: r.BelowMinimumPct}
	for n, p := range r.Ponds {
		l.PondSqFt += p.SqFt
		if n == 0 {
			l.DepthIn = p.DepthIn
		}
	}
	return l
}

// trial is a roof as a rung would leave it.
type trial struct {
	site    *survey.Site
	surf    *survey.Surface
	inletIn []float64
}

func (c *climb) asNow() trial { return trial{c.Site, c.surf, c.inletIn} }

// standing looks for the water that a trial leaves.
func (c *climb) standing(ctx context.Context, t trial) (*drainage.Report, error) {
	opt := c.Options
	opt.InletIn = t.inletIn
	return drainage.Standing(ctx, t.site, t.surf, opt)
}

// tested checks a trial as a whole and fills in what became of the rung.
func (c *climb) tested(ctx context.Context, s Step, t trial) (Step, error) {
	opt := c.Options
	opt.InletIn = t.inletIn
	r, err := drainage.Check(ctx, t.site, t.surf, opt)
	if err != nil {
		return s, err
	}
	against := ""
	s.Outcome, against = c.judge(r)
	if s.Outcome == Open && len(r.Ponds) == 0 && r.PondsFree != drainage.Meets {
		against = "but the shots are too few or too rough to say that no water is left"
		if !c.Options.Rules.DrainedException {
			against += "; the surface is " + r.DesignFinding(c.Options.Rules, c.Units)
		}
	}
	s.Left = leftOf(r)
	s.Why = c.clearsWords(r)
	if against != "" {
		s.Why += "; " + against
	}
	return s, nil
}

// clearsWords says how many of the ponds as they are a trial clears.
func (c *climb) clearsWords(after *drainage.Report) string {
	ids := cleared(c.Existing.Ponds, after)
	switch all := len(c.Existing.Ponds); {
	case len(ids) == 0:
		return fmt.Sprintf("clears none of %d ponds", all)
	case len(ids) == all && all == 1:
		return "clears " + ids[0] + ", the only pond"
	case len(ids) == all:
		return fmt.Sprintf("clears all %d ponds", all)
	default:
		return fmt.Sprintf("clears %s of %d ponds", listed(ids), all)
	}
}

// cleared names the ponds in which no water worth reporting is left.
func cleared(before []drainage.Pond, after *drainage.Report) []string {
	var ids []string
	for _, p := range before {
		if !holdsAny(p, after) {
			ids = append(ids, p.ID)
		}
	}
	return ids
}

func holdsAny(p drainage.Pond, after *drainage.Report) bool {
	for _, q := range after.Ponds {
		if distFt(p, q.Deepest) <= after.Surface.CellFt {
			return true
		}
	}
	return false
}

// noPond is the answer of a rung that clears ponds where there is none, or none
// is left by the sumps: it does no more than they do.
func (c *climb) noPond() (Step, bool) {
	switch {
	case len(c.now.Ponds) > 0:
		return Step{}, false
	case len(c.Existing.Ponds) > 0:
		return Step{Outcome: c.sumped.Outcome, Why: "reset drains and sumps leave no pond to clear: it does no more than they do"}, true
	}
	_, against := c.judge(c.Existing)
	return Step{Outcome: Refused, Why: "there is no pond to clear; " + against}, true
}
