package pipeline

import (
	"context"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
)

// rain reckons the rain on every area before and after, areas that let their
// water onto another before it, and makes the page for the engineer. The reader
// has refused rings of areas.
func (p plan) rain(ctx context.Context, areas []render.AreaResult, works []work) error {
	done := make([]bool, len(areas))
	var run func(i int) error
	run = func(i int) error {
		if done[i] {
			return nil
		}
		done[i] = true
		for k := range areas {
			if k != i && letsOnto(&areas[k].Area, areas[i].Area.Name) {
				if err := run(k); err != nil {
					return err
				}
			}
		}
		return works[i].rainOn(ctx, &areas[i], areas)
	}
	for i := range areas {
		if err := run(i); err != nil {
			return err
		}
	}
	return nil
}

// letsOnto says whether an outlet of a discharges onto an area.
func letsOnto(a *survey.Area, name string) bool {
	for _, o := range a.Outlets {
		if o.Onto == name {
			return true
		}
	}
	return false
}

// stages of a rain: the roof as it is, and as it is designed.
const (
	before = iota
	after
)

// rainOn reckons the rain on one area. Without a survey nothing is told of the
// roof as it is.
func (w work) rainOn(ctx context.Context, a *render.AreaResult, all []render.AreaResult) error {
	bays, err := survey.BaysOf(&a.Area, a.Site, w.axes())
	if err != nil {
		return err
	}
	page := drainage.StructureInput{Site: a.Site, Deck: a.Area.Deck, Bays: bays, Units: w.job.Units}
	for stage := before; stage <= after; stage++ {
		report, opt, ok := w.checked(a, stage)
		if !ok {
			continue
		}
		topsWhy := ""
		if stage == after {
			topsWhy = w.untoldTops(a)
		}
		a.Rain[stage], err = drainage.RainOn(drainage.RainInput{
			TopsWhy: topsWhy,
			Site:    a.Site, Report: report, Opt: opt, Rain: w.job.Rain, Existing: w.existing, Deck: w.deck,
			Onto: passedOn(all, a.Area.Name, stage), Units: w.job.Units,
		})
		if err != nil {
			return err
		}
		a.WhatIf[stage], err = drainage.TryDeflection(ctx, drainage.DeflectionTrial{
			Site: a.Site, Was: report, Opt: opt, Deck: a.Area.Deck, Bays: bays, Units: w.job.Units,
			Inlets: func(surf *survey.Surface) []float64 { return w.inletsOn(a, stage, report.Surface, surf) },
		})
		if err != nil {
			return err
		}
		page.Report, page.Rain, page.WhatIf = report, a.Rain[stage], a.WhatIf[stage]
	}
	if page.Report == nil {
		return nil
	}
	if a.Design != nil {
		page.AddedIn = [2]float64{a.Design.Insulation.AverageIn, a.Design.Insulation.ThickestIn}
	}
	a.Structure = drainage.StructureOf(page)
	return nil
}

func (w work) axes() *float64 {
	if w.job.Taper == nil {
		return nil
	}
	return w.job.Taper.AxesDeg
}

// checked is the check of a stage and its options; false where there is none.
func (w work) checked(a *render.AreaResult, stage int) (*drainage.Report, drainage.Options, bool) {
	if stage == before {
		return a.Existing, w.options(a), a.Existing != nil && a.Fit != nil
	}
	if a.Proof == nil || a.Proof.Report == nil {
		return nil, drainage.Options{}, false
	}
	return a.Proof.Report, drainage.Options{Rules: w.rules, Ponds: w.job.Ponds, InletIn: a.FinishedInletIn,
		InletWhy: w.untoldInlets(a), Window: designWindow, Unsurveyed: a.Fit == nil}, true
}

// inletsOn are the inlets where the deck has moved: drains move with the roof
// beside them, gutters and open edges with theirs, scuppers stay in their walls.
func (w work) inletsOn(a *render.AreaResult, stage int, was, now *survey.Surface) []float64 {
	in := append([]float64(nil), a.InletIn...)
	if stage == after {
		in = append(in[:0], a.FinishedInletIn...)
	}
	edges := drainage.Inlets(a.Site, now, nil)
	for n, o := range a.Site.Outlets {
		switch o.Kind {
		case survey.GutterOutlet, survey.OpenOutlet:
			in[n] = edges[n]
			continue
		case survey.Scupper, survey.UnsetOutlet:
			continue
		case survey.Drain:
		}
		z0, ok0 := was.Elevation(o.P)
		z1, ok1 := now.Elevation(o.P)
		if ok0 && ok1 {
			in[n] += z1 - z0
		}
	}
	return in
}

// passedOn is what other areas let onto one, after their design where there is
// one.
func passedOn(all []render.AreaResult, name string, stage int) []drainage.PassedOn {
	var out []drainage.PassedOn
	for i := range all {
		r := all[i].Rain[stage]
		if r == nil {
			r = all[i].Rain[before]
		}
		if r != nil && letsOnto(&all[i].Area, name) {
			out = append(out, r.Passes(all[i].Site, name)...)
		}
	}
	return out
}
