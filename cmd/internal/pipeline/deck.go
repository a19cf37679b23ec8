package pipeline

import (
	"context"
	"fmt"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/taper"
)

// inferred is the deck as it was taken before it was shot.
type inferred struct {
	base, deck *survey.Surface
	report     fit.DeckReport
}

// findDeck finds the base and the deck. Deck shots are fitted as a surface of
// their own and replace the inferred deck as far as they reach.
func (p plan) findDeck(ctx context.Context, a *render.AreaResult, w *work) error {
	in := fit.DeckInput{Kind: p.job.Survey.Surface, Scope: p.job.Scope, Units: p.job.Units}
	if a.Fit != nil {
		in.SigmaIn = a.Fit.SigmaIn
	}
	shots := deckShots(a)
	if len(shots) > 0 && a.Fit != nil {
		if in.Kind != survey.Deck {
			w.was = &inferred{}
			w.was.base, w.was.deck, w.was.report = fit.Deck(a.Site, w.existing, in)
		}
		site := *a.Site
		site.Shots = shots
		f, err := fit.Fit(ctx, &site, w.existing.Lattice, fit.Options{ReadingErrorIn: p.job.Survey.ReadingError.Inches()})
		if err != nil {
			return fmt.Errorf("fit the deck shots of area %s: %w", a.Area.Name, err)
		}
		in.Shot = f.Surface
	}
	w.base, w.deck, a.Deck = fit.Deck(a.Site, w.existing, in)
	w.shot = in.Shot
	a.Base, a.DeckTop = w.base, w.deck
	return nil
}

// deckShots are the used deck shots of an area, in its frame.
func deckShots(a *render.AreaResult) []survey.SiteShot {
	return usedShots(a.Site.Frame, a.Area.DeckShots)
}

// change says what deck shots change of the design: it is made on the inferred
// deck too. Nil where the deck was not shot.
func (w work) change(ctx context.Context, a *render.AreaResult, choice taper.OptionChoice) (*taper.DeckChange, error) {
	if w.was == nil {
		return nil, nil
	}
	c := &taper.DeckChange{Shots: len(deckShots(a)), ShotPct: a.Deck.ShotPct, After: a.Design.Totals}
	if w.was.deck != nil && w.deck != nil {
		c.Compared = true
		c.Most, c.At = taper.MostApart(w.deck, w.was.deck)
	}
	old, on := w, *a
	old.base, on.Deck = w.was.base, w.was.report
	before, err := old.onFit(ctx, &on, choice)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		c.NoBefore = err.Error()
		return c, nil
	}
	c.Before, c.Marks = before.Totals, taper.CompareOrders(before, a.Design)
	return c, nil
}

// heights are what the design leaves of the stated heights.
func (w work) heights(a *render.AreaResult) []taper.HeightLeft {
	return taper.Heights(taper.Beside{
		Area: &a.Area, Site: a.Site, Design: a.Design, Scope: w.job.Scope, Wanted: w.rules.Flashing,
		Levels: w.levels(a), Slopes: taper.SlopesIn(w.stock()), Rules: w.rules,
	})
}

// levels are what stated heights are measured from.
func (w work) levels(a *render.AreaResult) fit.Levels {
	return fit.Levels{Kind: w.job.Survey.Surface, Existing: w.existing, Deck: w.deck, Shot: w.shot,
		Cores: a.Site.Cores, Reach: a.Deck.CoreReach, Units: w.job.Units}
}

// untoldInlets says why inlets are not known over the finished roof; where the
// roof stays they are.
func (w work) untoldInlets(a *render.AreaResult) []string {
	out := taper.UntoldInlets(a.Site, w.job.Scope, w.levels(a))
	for n, o := range a.Site.Outlets {
		if w.stays(o) {
			out[n] = ""
		}
	}
	return out
}

// untoldTops says why the parapets are not known over the finished roof; "": all
// that are stated are.
func (w work) untoldTops(a *render.AreaResult) string {
	for _, e := range a.Site.Edges {
		if e.Kind != survey.Parapet || !e.Height.Stated() {
			continue
		}
		at := e.A.Lerp(e.B, 0.5)
		if w.part != nil && !w.part.poly.Has(at) && w.part.poly.Dist(at) > survey.OnTieFt {
			continue
		}
		if why := taper.HeightWhy(e.Height, at, w.job.Scope, w.levels(a)); why != "" {
			return why
		}
	}
	return ""
}
