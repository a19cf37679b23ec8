package pipeline

import (
	"context"
	"fmt"
	"math"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// part is what a partial scope takes of an area: a site of its own, whose frame
// is that of the area shifted by by, and its outline in the frame of the area.
type part struct {
	site *survey.Site
	by   geom.Pt
	poly geom.Poly
}

// takePart cuts out what a partial scope takes of the area. The base then is
// the deck there and the membrane where the roof stays.
func (w *work) takePart(a *render.AreaResult) error {
	if w.job.Scope != survey.Partial {
		return nil
	}
	area, err := survey.PartOf(&a.Area, w.job.Part, w.job.Taper.AxesDeg)
	if err != nil || area == nil {
		return err
	}
	f := a.Site.Frame
	poly := geom.Poly{Outer: area.Outline, Holes: area.Courts}.Map(f.ToLocal)
	by := poly.Outer.Box().Centre()
	axesDeg := f.Turn * 180 / math.Pi
	f.Origin = f.ToJob(by)
	w.part = &part{site: survey.SiteIn(area, f, &axesDeg), by: by, poly: poly}
	a.Part = &poly
	base := w.existing.With(append([]float64(nil), w.existing.ElevIn...))
	for k, on := range base.Roof {
		if on && poly.Has(base.Centre(k%base.NX, k/base.NX)) {
			base.ElevIn[k] = w.base.ElevIn[k]
		}
	}
	w.base, a.Base = base, base
	return nil
}

// design makes the design of one choice on the base, lays it and proves it on the
// whole area.
func (w work) design(ctx context.Context, a *render.AreaResult, c taper.OptionChoice, on fitted,
	tell func(done, total int)) error {
	d, err := w.make(ctx, a, c, on, tell)
	if err != nil {
		return err
	}
	a.Design = d
	a.Heights = w.heights(a)
	trial := w.trial(a)
	finished := taper.Finish(w.base, d.Facets, d.Cover.Inches())
	if w.part != nil {
		finished = taper.FinishWithin(w.part.poly, w.base, w.existing, d)
		trial.Part, trial.Before = &w.part.poly, a.Existing
	}
	finished = d.AsLaid(finished)
	trial.Top = finished
	a.FinishedInletIn = w.finishedInlets(a.Site, finished)
	trial.InletIn, trial.InletWhy = a.FinishedInletIn, w.untoldInlets(a)
	a.Proof, err = taper.Prove(ctx, a.Site, d, trial)
	if err != nil {
		return err
	}
	d.Laid.HoldWater(a.Proof.Report.Ponds)
	for _, h := range a.Heights {
		a.Proof.Judged = append(a.Proof.Judged, h.Finding(w.rules))
	}
	if w.part != nil {
		if tie := taper.TieLine(w.tieEdges(), a.Site.Frame, trial, a.Proof.Report); tie != nil {
			a.Proof.Tie = tie
			a.Proof.Findings = append(a.Proof.Findings, tie.Step, tie.Dam)
		}
	} else if a.Fit != nil {
		a.Proof.Report = claimed(a.Proof)
	}
	return nil
}

// trial is what a design is proven on.
func (w work) trial(a *render.AreaResult) taper.Trial {
	return taper.Trial{Base: w.base, Rules: w.rules, Limits: w.job.Ponds, Units: w.job.Units, Unsurveyed: a.Fit == nil}
}

// fitted is what designs of an area stand on: the site that is tapered and the
// planes fitted to its deck.
type fitted struct {
	site  *survey.Site
	plane survey.Plane
	doubt unit.Slope
	decks []taper.DeckPart // two or more, or none
}

// fit finds what the designs of an area stand on.
func (w work) fit(a *render.AreaResult) (fitted, error) {
	on, base := fitted{site: a.Site}, w.base
	if w.part != nil {
		on.site, base = w.part.site, w.part.only(base)
	}
	var err error
	if on.plane, on.doubt, on.decks, err = w.decks(a, on.site, base); err != nil {
		return on, fmt.Errorf("fit plane of the deck: %w", err)
	}
	return on, nil
}

// make designs, lays out and counts the boards, in the frame of the area.
func (w work) make(ctx context.Context, a *render.AreaResult, c taper.OptionChoice, on fitted,
	tell func(done, total int)) (*taper.Design, error) {
	site := on.site
	if len(c.Added) > 0 {
		site = a.Site // that has them
	}
	laid, onHand, err := laidOn(site, &a.Area, c.Stock)
	if err != nil {
		return nil, err
	}
	d, err := taper.Make(ctx, site, taper.MakeInput{
		Laid: laid, OnHand: onHand,
		Choice: c.Taper, Stock: c.Stock, Deck: on.plane, Doubt: on.doubt, Decks: on.decks, Own: taper.OwnOf(w.job, site),
		ValleyMin: w.rules.Valley.Min, FieldMin: w.rules.Field.Min, Units: w.job.Units, Thermal: w.job.Thermal, Rate: w.job.Foreman.Rate, Progress: tell,
	})
	if err != nil {
		return nil, err
	}
	if err := d.Check(); err != nil {
		return nil, fmt.Errorf("a fault of Runnel's own, please report it with the job folder: %w", err)
	}
	if w.part != nil {
		d = d.Moved(w.part.by)
	}
	return d, nil
}

// laidOn is what lies on the roof, in the frame of a site.
func laidOn(s *survey.Site, a *survey.Area, stock *survey.Stock) ([]taper.LaidRow, []taper.HandLine, error) {
	rows, bad := taper.PlaceLaid(s, a.Laid, stock)
	onHand, more := taper.PlaceOnHand(a.OnHand, stock)
	return rows, onHand, append(bad, more...).Err()
}

// decks fits the plane of the deck, and one to each part of it between its own
// ridges and valleys where it has several; doubt is that of the least certain.
func (w work) decks(a *render.AreaResult, site *survey.Site, base *survey.Surface) (plane survey.Plane,
	doubt unit.Slope, decks []taper.DeckPart, err error) {
	if a.Fit == nil {
		return plane, 0, nil, nil
	}
	polys, err := taper.DeckPolys(site)
	if err != nil {
		return plane, 0, nil, err
	}
	of := func(on *survey.Surface) (survey.Plane, error) {
		p, d, _, err := fit.PlaneUnder(on, math.Max(a.Fit.SigmaIn, a.Fit.ScatterIn), max(1, a.Fit.Used/len(polys)), a.Deck.SlopeDoubt)
		if w.part != nil {
			p.CIn = p.At(w.part.by)
		}
		doubt = max(doubt, d)
		return p, err
	}
	if len(polys) == 1 {
		plane, err = of(base)
		return plane, doubt, nil, err
	}
	for _, poly := range polys {
		at := poly
		if w.part != nil {
			at = poly.Map(w.part.by.Add)
		}
		p, err := of(w.offBreaks(a, restricted(base, at)))
		if err != nil {
			return plane, 0, nil, err
		}
		decks = append(decks, taper.DeckPart{Poly: poly, Plane: p})
	}
	return decks[0].Plane, doubt, decks, nil
}

// offBreaks leaves out of a part of the deck what lies within two spacings of shots of its
// ridges and valleys, since the surface is rounded off there; a part that is little
// wider stays as it is.
func (w work) offBreaks(a *render.AreaResult, part *survey.Surface) *survey.Surface {
	out := part.With(part.ElevIn)
	out.Roof = make([]bool, part.Len())
	all, kept := 0, 0
	for k, on := range part.Roof {
		if !on {
			continue
		}
		all++
		if p := part.Centre(k%part.NX, k/part.NX); fromLinesFt(a.Site.Breaks, p) >= 2*a.Fit.SpacingFt {
			out.Roof[k] = true
			kept++
		}
	}
	if 4*kept < all {
		return part
	}
	return out
}

// fromLinesFt is how far a place lies from the nearest of some lines.
func fromLinesFt(lines [][]geom.Pt, p geom.Pt) float64 {
	best := math.Inf(1)
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			best = math.Min(best, geom.SegDist(p, l[i-1], l[i]))
		}
	}
	return best
}

// restricted is a surface of the area whose roof is that within a region.
func restricted(s *survey.Surface, region geom.Poly) *survey.Surface {
	out := s.With(s.ElevIn)
	out.Roof = make([]bool, s.Len())
	for k, on := range s.Roof {
		out.Roof[k] = on && region.Has(s.Centre(k%s.NX, k/s.NX))
	}
	return out
}

// only is a surface of the area whose roof is the part's.
func (p *part) only(s *survey.Surface) *survey.Surface { return restricted(s, p.poly) }

// tieEdges are the edges of the part, in the frame of the area.
func (w work) tieEdges() []survey.SiteEdge {
	var out []survey.SiteEdge
	for _, e := range w.part.site.Edges {
		e.A, e.B = e.A.Add(w.part.by), e.B.Add(w.part.by)
		out = append(out, e)
	}
	return out
}

// finishedInlets are the inlets in the finished roof; drains and scuppers where
// the roof stays keep theirs.
func (w work) finishedInlets(s *survey.Site, finished *survey.Surface) []float64 {
	out := taper.FinishedInlets(s, finished, w.existing, w.deck, w.inletIn)
	for n, o := range s.Outlets {
		if w.stays(o) {
			out[n] = w.inletIn[n]
		}
	}
	return out
}

// stays says whether a drain or scupper stands where the roof stays.
func (w work) stays(o survey.SiteOutlet) bool {
	return w.part != nil && (o.Kind == survey.Drain || o.Kind == survey.Scupper) &&
		!w.part.poly.Has(o.P) && w.part.poly.Dist(o.P) > survey.OnTieFt
}
