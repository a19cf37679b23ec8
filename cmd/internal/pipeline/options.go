package pipeline

import (
	"context"
	"runtime"
	"slices"
	"sync"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// stock is the boards to be had, and how the job holds them.
func (w work) stock() *survey.Stock {
	stock := w.job.Stock
	if stock == nil {
		stock = taper.DefaultStock(w.job.Units)
	}
	if w.job.Fastening == nil {
		return stock
	}
	held := *stock
	held.Attach = w.job.Fastening.Attach
	if w.job.Fastening.GluedCover {
		held.Covers = nil
		for _, b := range stock.Covers {
			if b.Attach != survey.Screws {
				b.Attach = survey.UnsetAttach
				held.Covers = append(held.Covers, b)
			}
		}
	}
	return &held
}

// one is the choice that is made where only one is: of compare toward drains
// where there are any, else one way.
func (w work) one(s *survey.Site) taper.OptionChoice {
	choice := *w.job.Taper
	if choice.Scheme == survey.Compare {
		choice.Scheme = survey.OneWay
		for _, o := range s.Outlets {
			if o.Kind == survey.Drain && !o.Overflow {
				choice.Scheme = survey.FourWay
			}
		}
	}
	in := taper.OptionsIn{Site: s, Taper: choice, Stock: w.stock(), Rules: w.rules, Units: w.job.Units}
	return taper.OptionsFor(in)[0]
}

// choose makes, lays out and proves every option that fits and puts the one that
// the files show into a: the scheme that the job names; of several the cheapest
// that passes where every board has its price, else the first of them as sorted.
// Its error is that of the first option where none can be made.
func (w work) choose(ctx context.Context, a *render.AreaResult, tell func(done, total int)) error {
	on, err := w.fit(a)
	if err != nil {
		return err
	}
	list := taper.OptionsFor(taper.OptionsIn{Site: on.site, Taper: *w.job.Taper, Stock: w.stock(), Rules: w.rules,
		Decks: on.planes(), Units: w.job.Units})
	made, errs, err := w.optionsOf(ctx, *a, list, on, tell)
	if err != nil {
		return err
	}
	if len(list) > 1 {
		more, err := w.withNewDrain(ctx, *a, made, on)
		if err != nil {
			return err
		}
		made = append(made, more...)
	}
	sortTrials(made)
	first := slices.IndexFunc(made, func(t optionTrial) bool { return t.option.CanBeChosen() })
	if first < 0 {
		return errs[0]
	}
	for _, t := range made {
		a.Options = append(a.Options, t.option)
	}
	taper.RateOptions(a.Options, w.job.Taper.Slope)
	a.Recommended = taper.CheapestOption(a.Options)
	a.Chosen = first
	if a.Recommended >= 0 && len(list) > 1 {
		a.Chosen = a.Recommended
	}
	of := made[a.Chosen].area
	a.Design, a.Proof, a.Heights, a.FinishedInletIn = of.Design, of.Proof, of.Heights, of.FinishedInletIn
	a.Change, err = w.change(ctx, a, made[a.Chosen].option.OptionChoice)
	return err
}

// onFit fits the deck and makes the design of one choice on it.
func (w work) onFit(ctx context.Context, a *render.AreaResult, c taper.OptionChoice) (*taper.Design, error) {
	on, err := w.fit(a)
	if err != nil {
		return nil, err
	}
	return w.make(ctx, a, c, on, nil)
}

// planes are the planes of the deck.
func (f fitted) planes() []survey.Plane {
	if len(f.decks) == 0 {
		return []survey.Plane{f.plane}
	}
	var out []survey.Plane
	for _, d := range f.decks {
		out = append(out, d.Plane)
	}
	return out
}

// optionTrial is an option and the area as it would be with it.
type optionTrial struct {
	option taper.Option
	area   render.AreaResult
}

// optionsOf makes every option of a list, on all cores, in the order of the list
// and without those that come out like one before them; errs are beside the list.
func (w work) optionsOf(ctx context.Context, a render.AreaResult, list []taper.OptionChoice, on fitted,
	tell func(done, total int)) (made []optionTrial, errs []error, err error) {
	all := make([]optionTrial, len(list))
	errs = make([]error, len(list))
	var wg sync.WaitGroup
	var mu sync.Mutex
	next, done := 0, 0
	for range min(runtime.GOMAXPROCS(0), len(list)) {
		wg.Go(func() {
			for {
				mu.Lock()
				n := next
				next++
				mu.Unlock()
				if n >= len(list) || ctx.Err() != nil {
					return
				}
				steps := tell
				if len(list) > 1 {
					steps = nil
				}
				all[n], errs[n] = w.tryOption(ctx, a, list[n], on, steps)
				if len(list) > 1 && tell != nil {
					mu.Lock()
					done++
					tell(done, len(list))
					mu.Unlock()
				}
			}
		})
	}
	wg.Wait()
	if ctx.Err() != nil {
		return nil, nil, ctx.Err()
	}
	for _, t := range all {
		if !slices.ContainsFunc(made, func(b optionTrial) bool { return taper.SameOption(b.option, t.option) }) {
			made = append(made, t)
		}
	}
	return made, errs, nil
}

// tryOption makes, lays out and proves one option; an option that cannot be made
// says why, and the error is the same.
func (w work) tryOption(ctx context.Context, a render.AreaResult, c taper.OptionChoice, on fitted,
	tell func(done, total int)) (optionTrial, error) {
	t := optionTrial{option: taper.Option{OptionChoice: c}, area: a}
	if len(c.Added) > 0 {
		site := *a.Site
		site.Outlets = append(slices.Clip(site.Outlets), c.Added...)
		t.area.Site = &site
		w.inletIn = append(slices.Clip(w.inletIn), addedInlets(&site, w.existing, len(c.Added))...)
	}
	if err := w.design(ctx, &t.area, c, on, tell); err != nil {
		t.option.Why = err.Error()
		return t, err
	}
	t.option.Name = c.NameMade(t.area.Design, w.job.Units)
	t.option.Design, t.option.Proof, t.option.Why = t.area.Design, t.area.Proof, t.area.Proof.Why
	t.option.Measure = taper.MeasureOption(t.area.Site, t.area.Design, c.Stock)
	return t, nil
}

// addedInlets are the inlets of the last outlets of a site, flush with the roof.
func addedInlets(s *survey.Site, existing *survey.Surface, n int) []float64 {
	all := drainage.Inlets(s, existing, nil)
	return all[len(all)-n:]
}

// sortTrials sorts trials as their options are sorted.
func sortTrials(made []optionTrial) {
	var sorted []taper.Option
	for _, t := range made {
		sorted = append(sorted, t.option)
	}
	taper.SortOptions(sorted)
	at := func(t optionTrial) int {
		return slices.IndexFunc(sorted, func(o taper.Option) bool { return o.Name == t.option.Name })
	}
	slices.SortStableFunc(made, func(x, y optionTrial) int { return at(x) - at(y) })
}

// withNewDrain is the first option as sorted with one drain more, where it is
// thicker than the job allows or leaves too little of a stated height, and one drain
// more betters that; none where the work takes only a part of the area.
func (w work) withNewDrain(ctx context.Context, a render.AreaResult, made []optionTrial, on fitted) ([]optionTrial, error) {
	sorted := slices.Clone(made)
	sortTrials(sorted)
	n := slices.IndexFunc(sorted, func(t optionTrial) bool { return t.option.CanBeChosen() })
	if n < 0 || w.part != nil {
		return nil, nil
	}
	best := sorted[n]
	var lower []geom.Pt // of what is short of height; nil: the whole roof is too thick
	if best.option.Design.OverThickest <= 0 {
		for _, h := range best.area.Heights {
			if h.Verdict == drainage.FallsShort {
				lower = append(lower, h.At)
			}
		}
		if lower == nil {
			return nil, nil
		}
	}
	c, ok := taper.WithDrain(best.option, a.Site, lower, w.job.Units)
	if !ok {
		return nil, nil
	}
	t, err := w.tryOption(ctx, a, c, on, nil)
	if err != nil && ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil || !helps(best, t, lower != nil) {
		return nil, nil
	}
	return []optionTrial{t}, nil
}

// helps says whether a trial with a drain more is nearer to what its like without it
// fails: a thickness, or the stated heights.
func helps(before, with optionTrial, heights bool) bool {
	const least = unit.Inch / 16
	if with.option.Design == nil {
		return false
	}
	if !heights {
		return with.option.Design.OverThickest < before.option.Design.OverThickest-least
	}
	short := func(t optionTrial) (worst unit.Length) {
		for _, h := range t.area.Heights {
			if h.ToldPct > 0 {
				worst = max(worst, h.Wanted-h.Left)
			}
		}
		return worst
	}
	return short(with) < short(before)-least
}
