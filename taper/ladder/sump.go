package ladder

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
)

// Of sumps, common practice without source: squares of one board and of two,
// boards of 1/2 in/ft, half an inch of insulation left over the deck, and a
// drain that stands half an inch under the roof wants one.
const (
	sumpInPerFt    = 0.5
	overDeckIn     = 0.5
	sunkenIn       = 0.5
	proudLeastIn   = 1. / 16
	plumberIsAsked = "a plumber confirms that each drain can be set so"
)

// sumpSidesFt are tried in turn; 0 sets the inlet flush and cuts nothing.
func (c *climb) sumpSidesFt() []float64 {
	if c.SumpFt > 0 {
		return []float64{0, c.SumpFt}
	}
	return []float64{0, 4, 8}
}

// lowering is one drain set lower.
type lowering struct {
	outlet  int
	sideFt  float64
	inletIn float64
	elevIn  []float64 // of the roof with it; nil: as it was
	clears  []string
	refused string // why it cannot be, or does not help
}

// sump lowers the drains beside ponds, and brings the roof down to those that
// stand low in it.
func (c *climb) sump(ctx context.Context) (Step, error) {
	aims := c.aims()
	if len(aims) == 0 {
		if s, none := c.noPond(); none {
			return s, nil
		}
		return Step{Outcome: Refused, Why: "no pond lies within " + c.long(survey.NearOutletFt) + " of a drain that works" + c.blockedWords()}, nil
	}
	best := make([]lowering, len(aims))
	err := each(len(aims), func(n int) (err error) {
		best[n], err = c.bestLowering(ctx, aims[n])
		return err
	})
	if err != nil {
		return Step{}, err
	}
	return c.lay(ctx, best)
}

// aim is a drain and the ponds beside it.
type aim struct {
	outlet int
	ponds  []drainage.Pond
	sunken bool // its inlet lies well under the roof round it
}

// aims lists the drains and scuppers that could be lowered.
func (c *climb) aims() []aim {
	var out []aim
	cells := drainage.OutletCells(c.Site, c.surf)
	for n, o := range c.Site.Outlets {
		if o.Kind != survey.Drain && o.Kind != survey.Scupper || o.Overflow || o.State == survey.Blocked {
			continue
		}
		a := aim{outlet: n, sunken: o.Kind == survey.Drain && c.inletIn[n] < drainage.Lowest(c.surf, cells[n])-sunkenIn}
		for _, p := range c.now.Ponds {
			if distFt(p, o.P) <= survey.NearOutletFt {
				a.ponds = append(a.ponds, p)
			}
		}
		if len(a.ponds) > 0 || a.sunken {
			out = append(out, a)
		}
	}
	return out
}

// bestLowering is the smallest that clears every pond beside the drain, else
// the one that clears most of them.
func (c *climb) bestLowering(ctx context.Context, a aim) (lowering, error) {
	best := lowering{outlet: a.outlet}
	if c.Site.Outlets[a.outlet].Reset == survey.ResetNo {
		best.refused = "the job says that it is not to be reset"
		return best, nil
	}
	for _, sideFt := range c.sumpSidesFt() {
		if a.sunken && sideFt == 0 {
			continue
		}
		l := c.lowered(a.outlet, sideFt)
		if l.refused != "" {
			if best.clears == nil {
				best.refused = l.refused
			}
			continue
		}
		t := c.with(l)
		r, err := c.standing(ctx, t)
		if err != nil {
			return best, err
		}
		l.clears = cleared(a.ponds, r)
		if len(l.clears) == len(a.ponds) {
			return l, nil
		}
		if len(l.clears) > len(best.clears) {
			best = l
		}
		if len(best.clears) == 0 {
			best.refused = listed(names(a.ponds)) + " would stay with its inlet flush"
			if sideFt > 0 {
				best.refused = fmt.Sprintf("%s would stay with a sump %s square", listed(names(a.ponds)), c.long(sideFt))
			}
		}
	}
	return best, nil
}

// with is the roof as it is with one lowering.
func (c *climb) with(l lowering) trial {
	t := c.asNow()
	t.inletIn = append([]float64(nil), t.inletIn...)
	t.inletIn[l.outlet] = l.inletIn
	if l.elevIn != nil {
		t.surf = t.surf.With(l.elevIn)
	}
	return t
}

// lowered sets the inlet of a drain to the lowest roof beside it, or cuts a
// square sump of facets from the roof at its rim to an inlet that lies lower by
// the fall of a sump board.
func (c *climb) lowered(n int, sideFt float64) lowering {
	o := c.Site.Outlets[n]
	l := lowering{outlet: n, sideFt: sideFt}
	if sideFt == 0 {
		l.inletIn = drainage.Lowest(c.surf, drainage.OutletCells(c.Site, c.surf)[n])
		if c.inletIn[n] < l.inletIn+proudLeastIn {
			l.refused = "its inlet stands no higher than the roof round it"
		}
		return l
	}
	halfFt := sideFt / 2
	lowIn := math.Inf(1)
	c.within(o.P, halfFt, func(k int, _ geom.Pt) { lowIn = math.Min(lowIn, c.surf.ElevIn[k]) })
	l.inletIn = math.Min(c.inletIn[n], lowIn-sumpInPerFt*halfFt)
	floorIn, why := c.floor(o.P)
	if why != "" && c.inletIn[n] >= lowIn-sunkenIn {
		l.refused = "no sump: " + why
		return l
	}
	if why == "" && l.inletIn < floorIn {
		l.inletIn = math.Min(c.inletIn[n], floorIn)
	}
	if l.inletIn > lowIn-1./8 {
		l.refused = fmt.Sprintf("no sump: the low place lies only %s over the deck there, as the nearest core tells it",
			c.thin(lowIn-floorIn+overDeckIn))
		return l
	}
	l.elevIn = c.cut(o.P, halfFt, l.inletIn)
	return l
}

// floor is the lowest to which the roof at a place may be cut, or why that is
// not known.
func (c *climb) floor(p geom.Pt) (floorIn float64, why string) {
	if c.Levels.Kind == survey.Deck {
		return 0, "the shots stand on the deck, which is not cut"
	}
	zIn, _ := c.Existing.Surface.Elevation(p)
	old := fit.HeightAboveDeck(survey.Height{Above: survey.AboveMembrane}, p, c.Levels)
	if !old.OK {
		return 0, "how deep one may go is not known: " + old.Why
	}
	return zIn - old.Height.Inches() + overDeckIn, ""
}

// within calls f for the roof cells in a square.
func (c *climb) within(p geom.Pt, halfFt float64, f func(k int, at geom.Pt)) {
	i0, j0 := c.surf.CellOf(geom.Pt{X: p.X - halfFt, Y: p.Y - halfFt})
	i1, j1 := c.surf.CellOf(geom.Pt{X: p.X + halfFt, Y: p.Y + halfFt})
	for j := max(0, j0); j <= min(j1, c.surf.NY-1); j++ {
		for i := max(0, i0); i <= min(i1, c.surf.NX-1); i++ {
			q := c.surf.Centre(i, j)
			if k := j*c.surf.NX + i; c.surf.Roof[k] && square(q.Sub(p)) <= halfFt+1e-9 {
				f(k, q)
			}
		}
	}
}

func square(d geom.Pt) float64 { return math.Max(math.Abs(d.X), math.Abs(d.Y)) }

// cut gives the elevations with a sump: straight from the rim to the inlet,
// never above the roof as it is and never into the deck.
func (c *climb) cut(p geom.Pt, halfFt, inletIn float64) []float64 {
	out := append([]float64(nil), c.surf.ElevIn...)
	c.within(p, halfFt, func(k int, q geom.Pt) {
		share := square(q.Sub(p)) / halfFt
		rimIn := c.surf.ElevIn[k]
		if share > 1e-9 {
			if z, ok := c.surf.Elevation(p.Add(q.Sub(p).Mul(1 / share))); ok {
				rimIn = z
			}
		}
		zIn := inletIn + (rimIn-inletIn)*share
		if c.Levels.Deck != nil {
			if deckIn, ok := c.Levels.Deck.Elevation(q); ok {
				zIn = math.Max(zIn, deckIn+overDeckIn)
			}
		}
		out[k] = math.Min(out[k], zIn)
	})
	return out
}

// lay lays the lowerings that help and tests them together. They stay in for
// the rungs above.
func (c *climb) lay(ctx context.Context, list []lowering) (Step, error) {
	var s Step
	var do, not []string
	for _, l := range list {
		o := c.Site.Outlets[l.outlet]
		sunken := l.refused == "" && len(l.clears) == 0
		if !sunken && len(l.clears) == 0 {
			not = append(not, o.ID+": "+l.refused)
			continue
		}
		p := c.sumpPlace(o, l)
		do = append(do, p.Words)
		s.Places = append(s.Places, p)
		if l.elevIn != nil {
			c.surf = c.surf.With(c.cut(o.P, l.sideFt/2, l.inletIn))
		}
		c.inletIn = c.with(l).inletIn
	}
	if len(do) == 0 {
		s.Outcome, s.Why = Refused, strings.Join(not, "; ")
		return s, nil
	}
	s.Do = strings.Join(do, "; ") + "; " + plumberIsAsked
	s, err := c.tested(ctx, s, c.asNow())
	if err != nil {
		return s, err
	}
	if len(not) > 0 {
		s.Why += "; " + strings.Join(not, "; ")
	}
	c.sumped = s
	c.now, err = c.standing(ctx, c.asNow())
	return s, err
}

// sumpPlace says what is done at one drain.
func (c *climb) sumpPlace(o survey.SiteOutlet, l lowering) Place {
	p := Place{Rung: Sump, At: o.P, Clears: l.clears}
	fallIn := c.inletIn[l.outlet] - l.inletIn
	switch {
	case l.sideFt == 0:
		p.Words = fmt.Sprintf("set %s %s lower, flush with the roof", o.ID, c.thin(fallIn))
	case fallIn < proudLeastIn:
		p.Words = fmt.Sprintf("sump %s square down to %s, which stands low in the roof", c.long(l.sideFt), o.ID)
	default:
		p.Words = fmt.Sprintf("set %s %s lower in a sump %s square", o.ID, c.thin(fallIn), c.long(l.sideFt))
	}
	if l.sideFt > 0 {
		h := geom.Pt{X: l.sideFt / 2, Y: l.sideFt / 2}
		p.Shape = []geom.Poly{{Outer: geom.Box{Min: o.P.Sub(h), Max: o.P.Add(h)}.Ring()}}
	}
	return p
}

// blockedWords names the drains beside ponds that are blocked: to clear them is
// the least work of all.
func (c *climb) blockedWords() string {
	var ids []string
	for _, o := range c.Site.Outlets {
		if o.State == survey.Blocked && !o.Overflow {
			ids = append(ids, o.ID)
		}
	}
	if len(ids) == 0 {
		return ""
	}
	return "; " + listed(ids) + " blocked: clear first, then run again"
}

// each runs f for 0 to n-1 on two cores; every f looks after itself. Of several
// errors it gives the first by number.
func each(n int, f func(i int) error) error {
	errs := make([]error, n)
	var wg sync.WaitGroup
	for core := range 2 {
		wg.Go(func() {
			for i := core; i < n; i += 2 {
				errs[i] = f(i)
			}
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
