// Package pipeline runs a job from its shots to the proof of its design.
package pipeline

import (
	"context"
	"errors"
	"fmt"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/ask"
	"runnel/survey/fit"
	"runnel/survey/problem"
	"runnel/survey/unit"
	"runnel/taper"
)

// Progress is told what is being worked on and how many of its steps are done;
// nil is silent.
type Progress func(stage string, done, total int)

// Stage says how far a run goes.
type Stage int

// The stages, in the order of the work; the zero value is unset.
const (
	UnsetStage Stage = iota
	Survey
	Drainage
	Taper
)

// designWindow is the run over which slopes of a finished surface are taken.
const designWindow = 4 * unit.Foot

// leastWindow is the shortest run over which slopes of a surveyed surface are
// taken: over 4 ft, readings to 1/8 in cannot tell 0.16 from 0.34 in/ft.
const leastWindow = 10 * unit.Foot

// Run does the job up to a stage. Faults that only the figures show (all shots
// in a line, a thickness that no board makes) come back as an error.
func Run(ctx context.Context, job *survey.Job, last Stage, tell Progress) (*render.Result, error) {
	if tell == nil {
		tell = func(string, int, int) {}
	}
	rules, err := drainage.RuleSet(job.Rules)
	if err != nil {
		return nil, err
	}
	job, taken, err := clouds(ctx, job, tell)
	if err != nil {
		return nil, err
	}
	screened, err := screen(job)
	if err != nil {
		return nil, err
	}
	screened.Ponds = rules.WorthOf(job.Ponds)
	r := &render.Result{Job: screened, Rules: rules}
	todo := plan{job: screened, rules: rules, last: last, tell: tell}
	works := make([]work, len(screened.Areas))
	for i, area := range screened.Areas {
		a, err := todo.runArea(ctx, area, taken[i], &works[i])
		if err != nil {
			return nil, err
		}
		r.Areas = append(r.Areas, a)
	}
	if last == Survey {
		return r, nil
	}
	return r, todo.rain(ctx, r.Areas, works)
}

// screen looks for blunders in every area's shots; faults of all areas come
// together.
func screen(job *survey.Job) (*survey.Job, error) {
	out := *job
	if job.Survey.None {
		return &out, nil
	}
	out.Areas = nil
	var whole problem.List // what puts a survey in doubt as a whole is read first
	all := append(problem.List(nil), job.Notes...)
	for _, a := range job.Areas {
		screened, found := fit.Screen(job, a)
		out.Areas = append(out.Areas, screened)
		n := len(screened.Doubts)
		whole, all = append(whole, found[:n]...), append(all, found[n:]...)
	}
	all = append(whole, all...)
	if err := all.Err(); err != nil {
		return nil, err
	}
	out.Notes = all.Notes()
	return &out, nil
}

// plan is what is to be done with every area.
type plan struct {
	job   *survey.Job
	rules drainage.Rules
	last  Stage
	tell  Progress
}

func (p plan) runArea(ctx context.Context, area survey.Area, cloud *fit.CloudReport, w *work) (render.AreaResult, error) {
	job, rules := p.job, p.rules
	a := render.AreaResult{Area: area, Cloud: cloud}
	var axes *float64
	if job.Taper != nil {
		axes = job.Taper.AxesDeg
	}
	a.Site = survey.SiteOf(&a.Area, axes)
	existing, err := p.fitArea(ctx, &a)
	if err != nil {
		return a, fmt.Errorf("fit surface of area %s: %w", area.Name, err)
	}
	*w = work{job: job, rules: rules, existing: existing}
	if err := p.findDeck(ctx, &a, w); err != nil {
		return a, err
	}
	bowled := drainage.Bowled(a.Site, existing)
	w.inletIn = drainage.Inlets(a.Site, bowled, w.deck)
	a.InletIn = w.inletIn
	p.step("drain area "+a.Area.Name)(0, 1)
	a.Existing, err = drainage.Check(ctx, a.Site, bowled, w.options(&a))
	if err != nil {
		return a, err
	}
	a.Seen = drainage.CompareSeen(a.Site, a.Existing, job.Seen)
	a.Existing.Findings = append(a.Existing.Findings, a.Existing.DryFinding(rules, job.Ponds.Drying, a.Seen))
	a.Asked = ask.Questions(job, &a.Area, known(&a))
	noDesign, err := p.designArea(ctx, &a, w)
	if err == nil {
		err = w.holdAsBuilt(ctx, &a)
	}
	if err == nil {
		err = errors.Join(w.foreman(ctx, &a), w.fasten(&a))
	}
	if err == nil && p.last >= Drainage {
		err = w.climb(ctx, &a, noDesign)
	}
	return a, err
}

// designArea makes the design that the job asks for, or says why there is none.
func (p plan) designArea(ctx context.Context, a *render.AreaResult, w *work) (none string, err error) {
	switch {
	case p.job.Taper == nil:
		return "not designed: the job names no taper", nil
	case p.last < Taper:
		return "", nil // the ladder does where it needs to know
	}
	if err := w.takePart(a); err != nil || w.job.Scope == survey.Partial && a.Part == nil {
		return takesNothing, err
	}
	err = w.choose(ctx, a, p.step("lay out taper of area "+a.Area.Name))
	if faults := (problem.FaultsError{}); errors.As(err, &faults) {
		return "", faults // of the job: they say what to do
	}
	if err != nil {
		return "", fmt.Errorf("%w; without a taper the roof as it is can still be told: runnel drainage JOB", err)
	}
	return "", nil
}

// known is what the surface tells of its shots.
func known(a *render.AreaResult) ask.Known {
	if a.Fit == nil {
		return ask.Known{}
	}
	return ask.Known{SpacingFt: a.Fit.SpacingFt, UnknownPct: a.Existing.UnknownPct, Ponds: len(a.Existing.Ponds)}
}

// work holds what the steps of one area hand on.
type work struct {
	job                  *survey.Job
	rules                drainage.Rules
	existing, base, deck *survey.Surface
	inletIn              []float64
	part                 *part           // nil: the whole area
	shot                 *survey.Surface // the deck as shot; nil: not shot
	was                  *inferred       // the deck before it was shot; nil: not shot
}

// step tells how far a stage has come.
func (p plan) step(stage string) func(done, total int) {
	return func(done, total int) { p.tell(stage, done, total) }
}

func (p plan) fitArea(ctx context.Context, a *render.AreaResult) (*survey.Surface, error) {
	l := survey.LatticeOf(a.Site, 0)
	if p.job.Survey.None {
		return fit.Level(a.Site, l, 0), nil
	}
	f, err := fit.Fit(ctx, a.Site, l, p.fitOptions(a.Area.Name, a.Cloud))
	if err != nil {
		return nil, err
	}
	f.Note = cloudNote(p, a.Cloud)
	a.Fit = f
	return f.Surface, nil
}

// options are those of the check of the existing surface.
func (w work) options(a *render.AreaResult) drainage.Options {
	opt := drainage.Options{
		Rules: w.rules, Ponds: w.job.Ponds, InletIn: w.inletIn,
		Window: designWindow, Unsurveyed: a.Fit == nil,
	}
	if a.Fit != nil {
		opt.SigmaIn, opt.SpacingFt = a.Fit.SigmaIn, a.Fit.SpacingFt
		opt.Window = max(leastWindow, 2*unit.Feet(a.Fit.SpacingFt))
	}
	return opt
}

// claimed is the report of a finished surface with the verdicts that may be
// claimed for it: whether it holds water as laid on the survey, whether it
// meets the design slope by its facets and valleys on the fitted plane, since a
// real deck always leaves a share under the minimum (BelowMinimumPct shows it).
func claimed(p *taper.Proof) *drainage.Report {
	r := *p.Report
	r.MeetsDesign = p.Field
	if r.MeetsDesign == drainage.Meets {
		r.MeetsDesign = p.Valley
	}
	return &r
}
