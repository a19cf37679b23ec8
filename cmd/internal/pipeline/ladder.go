package pipeline

import (
	"context"
	"fmt"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
	"runnel/taper/ladder"
)

// takesNothing says why there is no design.
const takesNothing = "the partial scope takes nothing of this area"

// climb tests what would do, least disturbance first; noDesign says why there
// is no design.
func (w work) climb(ctx context.Context, a *render.AreaResult, noDesign string) error {
	if a.Design != nil { // of several options the ladder goes on with the one that was chosen
		job, choice := *w.job, a.Options[a.Chosen].Taper
		job.Taper = &choice
		w.job = &job
	}
	in := ladder.In{
		Site: a.Site, Existing: a.Existing, Options: w.options(a), Stock: w.stock(), Units: w.job.Units,
		Levels: w.levels(a),
		Design: a.Design, Proof: a.Proof, NoDesign: noDesign, InPart: w.job.Scope == survey.Partial,
	}
	if w.job.Taper != nil {
		in.SumpFt = w.job.Taper.Sump.Feet()
	}
	if noDesign == "" && a.Design == nil {
		in.NoDesign = takesNothing
		in.Lay = func(ctx context.Context) (*taper.Design, *taper.Proof, error) { return w.laid(ctx, *a, w.job) }
	}
	if a.Fit != nil {
		in.LayPart = func(ctx context.Context, part geom.Ring) (*taper.Design, *taper.Proof, error) {
			return w.laid(ctx, *a, w.partJob(a, part))
		}
	}
	if w.job.Taper != nil && w.part == nil && a.Fit != nil {
		in.WithOutlets = func(ctx context.Context, alone bool, more []survey.SiteOutlet,
			inletIn []float64) (*taper.Design, *taper.Proof, error) {
			return w.withOutlets(ctx, *a, alone, more, inletIn)
		}
	}
	steps, rung, why, err := ladder.Climb(ctx, in)
	if err != nil {
		return fmt.Errorf("climb the ladder of area %s: %w", a.Area.Name, err)
	}
	a.Ladder, a.Rung, a.Why = steps, rung, why
	return nil
}

// laid designs and proves the taper of a job, here for the ladder alone; nothing
// where its partial scope takes nothing of the area.
func (w work) laid(ctx context.Context, a render.AreaResult, job *survey.Job) (*taper.Design, *taper.Proof, error) {
	w.job = job
	if err := w.takePart(&a); err != nil {
		return nil, nil, err
	}
	if job.Scope == survey.Partial && w.part == nil {
		return nil, nil, nil
	}
	on, err := w.fit(&a)
	if err != nil {
		return nil, nil, err
	}
	err = w.design(ctx, &a, w.one(on.site), on, nil)
	return a.Design, a.Proof, err
}

// partJob is the job with taper of one part, in the frame, alone: as the job
// builds it, else at the slope of the rules from half an inch, toward drains
// where there are any.
func (w work) partJob(a *render.AreaResult, part geom.Ring) *survey.Job {
	job := *w.job
	job.Scope, job.Part = survey.Partial, part.Map(a.Site.Frame.ToJob)
	if job.Taper == nil {
		choice := survey.TaperChoice{Scheme: survey.OneWay, Slope: max(w.rules.Field.Min, w.rules.Design.Min), Start: unit.Inches(0.5)}
		for _, o := range a.Site.Outlets {
			if o.Kind == survey.Drain && !o.Overflow {
				choice.Scheme = survey.FourWay
			}
		}
		job.Taper = &choice
	}
	return &job
}

// withOutlets designs and proves the job's taper toward more outlets too, or
// toward them alone: the primary drains and scuppers there are given up.
func (w work) withOutlets(ctx context.Context, a render.AreaResult, alone bool, more []survey.SiteOutlet,
	inletIn []float64) (*taper.Design, *taper.Proof, error) {
	site := *a.Site
	site.Outlets = nil
	var keptIn []float64
	for n, o := range a.Site.Outlets {
		if point := o.Kind == survey.Drain || o.Kind == survey.Scupper; !alone || !point || o.Overflow {
			site.Outlets, keptIn = append(site.Outlets, o), append(keptIn, w.inletIn[n])
		}
	}
	site.Outlets, keptIn = append(site.Outlets, more...), append(keptIn, inletIn...)
	a.Site = &site
	d, err := w.onFit(ctx, &a, w.one(&site))
	if err != nil {
		return nil, nil, err
	}
	t := w.trial(&a)
	t.Top = taper.Finish(w.base, d.Facets, d.Cover.Inches())
	t.InletIn = taper.FinishedInlets(&site, t.Top, w.existing, w.deck, keptIn)
	proof, err := taper.Prove(ctx, &site, d, t)
	return d, proof, err
}
