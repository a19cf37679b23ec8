package pipeline

import (
	"context"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// holdAsBuilt holds the surface as laid against the design, where shots on it and
// a design are there.
func (w work) holdAsBuilt(ctx context.Context, a *render.AreaResult) error {
	shots := usedShots(a.Site.Frame, a.Area.AsBuilt)
	if len(shots) == 0 || a.Design == nil {
		return nil
	}
	trial := w.trial(a)
	trial.InletIn, trial.InletWhy = a.FinishedInletIn, w.untoldInlets(a)
	if w.part != nil {
		trial.Part, trial.Before = &w.part.poly, a.Existing
	}
	choice := w.job.AsBuilt
	if choice.ReadingError == 0 {
		choice.ReadingError = w.job.Survey.ReadingError
	}
	var err error
	a.AsBuilt, err = taper.LaidAgainst(ctx, a.Site, taper.AsBuiltIn{
		Shots: shots, Design: a.Design, Proof: a.Proof, Trial: trial, Choice: choice})
	return err
}

// usedShots are the shots of a list that are not left out, in a frame.
func usedShots(f geom.Frame, list []survey.Shot) []survey.SiteShot {
	var out []survey.SiteShot
	for _, sh := range list {
		if sh.Left == "" {
			out = append(out, survey.SiteShot{P: f.ToLocal(sh.At), ElevIn: sh.Elev.Inches(), ID: sh.ID})
		}
	}
	return out
}
