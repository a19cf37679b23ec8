package ladder

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Of new outlets, common practice without source: three at most are suggested,
// of the four largest ponds each time; a low place within 3 ft of a parapet is
// let out by a scupper through it, a foot wide.
const (
	mostOutlets   = 3
	mostTried     = 4
	byParapetFt   = 3.0
	scupperFt     = 1.0
	pipesUntested = "pipe and storm sewer are not checked"
)

// outlet adds the one, two or three outlets that clear most water, each in the
// deepest place of a pond, flush with the roof.
func (c *climb) outlet(ctx context.Context) (Step, error) {
	if s, none := c.noPond(); none {
		return s, nil
	}
	t, now := c.asNow(), c.now
	var s Step
	var do []string
	for len(c.more) < mostOutlets && len(now.Ponds) > 0 {
		next, r, err := c.bestOutlet(ctx, t, now)
		if err != nil {
			return s, err
		}
		if cuftOf(r) >= cuftOf(now)-1e-9 {
			break
		}
		o := next.site.Outlets[len(next.site.Outlets)-1]
		c.more, c.moreIn = append(c.more, o), append(c.moreIn, next.inletIn[len(next.inletIn)-1])
		// Ponds are renamed from check to check; people know the first names.
		ids := c.firstNames(now, r)
		words, what := c.outletWords(o), " clears "+listed(ids)
		if len(ids) == 0 { // the pond falls in two
			what = " lets go a part of " + c.nearestPond(o.P)
		}
		s.Places = append(s.Places, Place{Rung: Outlet, At: o.P, Words: words, Clears: ids})
		do = append(do, words+what)
		t, now = next, r
	}
	if len(do) == 0 {
		s.Outcome, s.Why = Refused, "no new outlet in a pond clears it"
		return s, nil
	}
	s.Do = strings.Join(do, "; then ") + "; " + pipesUntested
	if len(c.sumped.Places) > 0 {
		s.Do = "with the drains set and sumped as above, " + s.Do
	}
	return c.tested(ctx, s, t)
}

// bestOutlet tries an outlet in each of the largest ponds.
func (c *climb) bestOutlet(ctx context.Context, t trial, now *drainage.Report) (trial, *drainage.Report, error) {
	ponds := slices.Clone(now.Ponds)
	slices.SortStableFunc(ponds, func(a, b drainage.Pond) int {
		switch {
		case a.CuFt > b.CuFt+1e-9:
			return -1
		case b.CuFt > a.CuFt+1e-9:
			return 1
		}
		return 0
	})
	ponds = ponds[:min(len(ponds), mostTried)]
	trials, reports := make([]trial, len(ponds)), make([]*drainage.Report, len(ponds))
	err := each(len(ponds), func(n int) (err error) {
		trials[n] = c.withOutlet(t, ponds[n])
		reports[n], err = c.standing(ctx, trials[n])
		return err
	})
	if err != nil {
		return t, nil, err
	}
	best := 0
	for n := range reports {
		if cuftOf(reports[n]) < cuftOf(reports[best])-1e-9 {
			best = n
		}
	}
	return trials[best], reports[best], nil
}

func cuftOf(r *drainage.Report) (sum float64) {
	for _, p := range r.Ponds {
		sum += p.CuFt
	}
	return sum
}

// withOutlet adds an outlet in the deepest place of a pond.
func (c *climb) withOutlet(t trial, p drainage.Pond) trial {
	site := *t.site
	o := c.newOutlet(p.Deepest, len(t.site.Outlets)-len(c.Site.Outlets)+1)
	site.Outlets = append(slices.Clip(site.Outlets), o)
	inletIn := drainage.Inlets(&site, t.surf, nil)
	return trial{&site, t.surf, append(slices.Clip(t.inletIn), inletIn[len(inletIn)-1])}
}

// newOutlet is a scupper where a parapet is near, else a drain.
func (c *climb) newOutlet(p geom.Pt, n int) survey.SiteOutlet {
	o := survey.SiteOutlet{P: p, A: p, B: p}
	o.Outlet = survey.Outlet{ID: fmt.Sprintf("new outlet %d", n), Kind: survey.Drain, Edge: -1, At: c.Site.Frame.ToJob(p)}
	bestFt := byParapetFt
	for k, e := range c.Site.Edges {
		along := e.B.Sub(e.A)
		ft := along.Norm()
		if d := geom.SegDist(p, e.A, e.B); e.Kind != survey.Parapet || d > bestFt-1e-9 || ft < 2*scupperFt {
			continue
		}
		bestFt = geom.SegDist(p, e.A, e.B)
		u := along.Mul(1 / ft)
		atFt := min(max(p.Sub(e.A).Dot(u), scupperFt), ft-scupperFt)
		o.Kind, o.Edge, o.P = survey.Scupper, k, e.A.Add(u.Mul(atFt))
		o.Width, o.At = unit.Feet(scupperFt), c.Site.Frame.ToJob(o.P)
		o.A, o.B = o.P.Sub(u.Mul(scupperFt/2)), o.P.Add(u.Mul(scupperFt/2))
	}
	return o
}

func (c *climb) outletWords(o survey.SiteOutlet) string {
	what := "a drain at "
	if o.Kind == survey.Scupper {
		what = fmt.Sprintf("a scupper through edge %d at ", o.Edge)
	}
	return what + c.at(o.P)
}

// nearestPond names the pond of the roof as it is that lies nearest to a place.
func (c *climb) nearestPond(at geom.Pt) string {
	return slices.MinFunc(c.Existing.Ponds, func(p, q drainage.Pond) int {
		return cmp.Compare(distFt(p, at), distFt(q, at))
	}).ID
}

// firstNames names the ponds of the roof as it is that stood before a trial and
// are gone after it.
func (c *climb) firstNames(before, after *drainage.Report) []string {
	var ids []string
	for _, p := range c.Existing.Ponds {
		if holdsAny(p, before) && !holdsAny(p, after) {
			ids = append(ids, p.ID)
		}
	}
	return ids
}
