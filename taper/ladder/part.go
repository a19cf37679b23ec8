package ladder

import (
	"context"
	"errors"
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/taper"
)

// Of parts, common practice without source: the new surface goes a board round
// the drain that it runs to, and a part that leaves less than a tenth of the
// roof is a full taper.
const (
	roundDrainFt = 2.0
	leastStayPct = 10
)

// partTaper is the design where the job tapers a part of the area; else taper of
// the drainage areas that hold ponds or fall short, where others are sound and
// can stay.
func (c *climb) partTaper(ctx context.Context) (Step, error) {
	if c.InPart {
		if s, none, err := c.noDesign(ctx); none || err != nil {
			return s, err
		}
		return c.designed(c.Design, c.Proof), nil
	}
	by, closed := c.sortAreas()
	switch {
	case len(closed) > 0:
		return Step{Outcome: Refused, Why: "no outlet that works takes the water of " + listed(closed) + c.blockedWords()}, nil
	case len(by.bad) == 0:
		return Step{Outcome: Refused, Why: "no drainage area falls short by itself"}, nil
	case sqftOf(by.stay) < leastStayPct/100.*c.Existing.RoofSqft:
		return Step{Outcome: Refused, Why: fmt.Sprintf("no part of the roof meets by itself: what drains to %s, %s of %s, falls short or holds water; "+
			"part taper would be full taper", areaNames(by.bad), c.sqft(sqftOf(by.bad)), c.sqft(c.Existing.RoofSqft))}, nil
	case c.LayPart == nil:
		return Step{Why: c.NoDesign}, nil
	}
	var s Step
	for n, part := range c.parts(by.bad) {
		tried, err := c.triedPart(ctx, part, by)
		if err != nil {
			return s, err
		}
		if n == 0 || tried.Outcome == Kept || tried.Outcome == Open && s.Outcome == Refused {
			s = tried
		}
		if s.Outcome == Kept {
			break
		}
	}
	return s, nil
}

// sorted are the drainage areas that need work, those that can stay, and of the
// latter the ones whose slope cannot be told.
type sorted struct {
	bad, stay []drainage.DrainageArea
	open      []string
}

// sortAreas sorts the drainage areas, and names the ponds that drain to none.
// Where the rules let a roof that holds no water be, only ponds count.
func (c *climb) sortAreas() (by sorted, closed []string) {
	for _, p := range c.Existing.Ponds {
		if c.Existing.OutletOf(p.ID) == "" {
			closed = append(closed, p.ID)
		}
	}
	for _, a := range c.Existing.Areas {
		slopes := a.Slopes
		if c.Options.Rules.DrainedException {
			slopes = drainage.Meets
		}
		switch {
		case len(a.Regions) == 0:
		case slopes == drainage.FallsShort || len(c.pondsIn(a)) > 0:
			by.bad = append(by.bad, a)
		default:
			by.stay = append(by.stay, a)
			if slopes != drainage.Meets {
				by.open = append(by.open, a.Outlet)
			}
		}
	}
	return by, closed
}

// pondsIn are the ponds that run over to the outlet of an area.
func (c *climb) pondsIn(a drainage.DrainageArea) (out []drainage.Pond) {
	for _, p := range c.Existing.Ponds {
		if c.Existing.OutletOf(p.ID) == a.Outlet {
			out = append(out, p)
		}
	}
	return out
}

// parts are the regions to try, the smallest first: the boxes of the areas each
// by itself where they hang together, and one box round all of them.
func (c *climb) parts(bad []drainage.DrainageArea) []geom.Poly {
	var boxes []geom.Poly
	var corners []geom.Pt
	for _, a := range bad {
		box := c.boxRound(a)
		boxes = append(boxes, geom.Poly{Outer: box.Ring()})
		corners = append(corners, box.Min, box.Max)
	}
	all := []geom.Poly{{Outer: c.whole(geom.BoxOf(corners...)).Ring()}}
	if each, err := geom.Union(boxes); err == nil && len(each) == 1 && each[0].Area() < all[0].Area()-1 {
		return []geom.Poly{{Outer: each[0].Outer}, all[0]}
	}
	return all
}

// boxRound is the box along the building axes round an area, its ponds and its
// outlet.
func (c *climb) boxRound(a drainage.DrainageArea) geom.Box {
	var pts []geom.Pt
	for _, r := range a.Regions {
		pts = append(pts, r.Outer...)
	}
	for _, p := range c.pondsIn(a) {
		for _, r := range p.Outline {
			pts = append(pts, r.Outer...)
		}
	}
	for _, o := range c.Site.Outlets {
		if o.ID == a.Outlet && o.Kind == survey.Drain {
			d := geom.Pt{X: roundDrainFt, Y: roundDrainFt}
			pts = append(pts, o.P.Sub(d), o.P.Add(d))
		}
	}
	return c.whole(geom.BoxOf(pts...))
}

// whole is a box grown until it cuts no curb and no scupper.
func (c *climb) whole(box geom.Box) geom.Box {
	var things []geom.Box
	for _, ring := range c.Site.Curbs {
		things = append(things, ring.Box())
	}
	for _, o := range c.Site.Outlets {
		if o.Kind == survey.Scupper {
			things = append(things, geom.BoxOf(o.A, o.B))
		}
	}
	for range things {
		was := box
		for _, t := range things {
			if box.Overlaps(t) {
				box = geom.BoxOf(box.Min, box.Max, t.Min, t.Max)
			}
		}
		if box == was {
			break
		}
	}
	return box
}

// triedPart lays taper on one part and proves it on the whole area.
func (c *climb) triedPart(ctx context.Context, part geom.Poly, by sorted) (Step, error) {
	sqft, staysSqft := c.splitBy(part)
	s := Step{Outcome: Refused, Do: fmt.Sprintf("%s of the roof, what drains to %s, in the box %s",
		c.sqft(sqft), areaNames(by.bad), c.boxWords(part.Outer.Box()))}
	if pct := 100 * staysSqft / (sqft + staysSqft); pct < leastStayPct {
		s.Why = fmt.Sprintf("only %.0f %% of the roof, less than %d %%, could stay: part taper would be full taper", pct, leastStayPct)
		return s, nil
	}
	d, p, err := c.LayPart(ctx, part.Outer)
	var fault problem.Problem
	switch {
	case ctx.Err() != nil:
		return s, ctx.Err()
	case errors.As(err, &fault):
		s.Why = "no taper can be laid out there: " + fault.Why
		return s, nil
	case err != nil:
		s.Why = "no taper can be laid out there: " + err.Error()
		return s, nil
	case d == nil:
		s.Why = "it takes nothing of the roof"
		return s, nil
	}
	made := c.designed(d, p)
	made.Do = s.Do + ": " + made.Do + "; the rest, " + c.sqft(staysSqft) + " toward " + areaNames(by.stay) + ", stays"
	made.Places = []Place{{Rung: PartTaper, At: part.Outer.Box().Centre(), Shape: c.clipped(part), Words: "taper this part",
		Clears: cleared(c.Existing.Ponds, p.Report)}}
	c.judgeRest(&made, part, p, by.open)
	return made, nil
}

// judgeRest adds what a part's design leaves of the roof that stays.
func (c *climb) judgeRest(s *Step, part geom.Poly, p *taper.Proof, open []string) {
	if p.Tie != nil {
		s.Why += "; " + p.Tie.Step + "; " + p.Tie.Dam
	}
	left := ""
	for _, q := range p.Report.Ponds {
		if q.DepthIn > c.Options.Rules.Pond.Inches()+1e-6 && !part.Has(q.Deepest) {
			left += fmt.Sprintf("; %s deep stays at %s", c.thin(q.DepthIn), c.at(q.Deepest))
		}
	}
	s.Why += left
	switch {
	case s.Outcome != Kept:
	case left != "" || p.Tie != nil && p.Tie.DamIn > 0:
		s.Outcome = Refused
	case len(open) > 0:
		s.Outcome = Open
		s.Why += "; whether the roof that stays slopes enough toward " + listed(open) + " cannot be told"
	}
}

// splitBy measures the roof within a part and outside of it.
func (c *climb) splitBy(part geom.Poly) (inSqft, outSqft float64) {
	cellSqft := c.surf.CellFt * c.surf.CellFt
	for k, on := range c.surf.Roof {
		switch {
		case !on:
		case part.Has(c.surf.Centre(k%c.surf.NX, k/c.surf.NX)):
			inSqft += cellSqft
		default:
			outSqft += cellSqft
		}
	}
	return inSqft, outSqft
}

// clipped is a part within the outline; the part itself where the overlay
// fails.
func (c *climb) clipped(part geom.Poly) []geom.Poly {
	out, err := geom.Intersect(geom.Poly{Outer: c.Site.Outline.CCW(), Holes: c.Site.Courts}, part)
	if err != nil {
		return []geom.Poly{part}
	}
	return out
}

func areaNames(areas []drainage.DrainageArea) string {
	var ids []string
	for _, a := range areas {
		ids = append(ids, a.Outlet)
	}
	return listed(ids)
}

func sqftOf(areas []drainage.DrainageArea) (sum float64) {
	for _, a := range areas {
		sum += a.SqFt
	}
	return sum
}

// boxWords says where a box lies by two opposite corners, in job coordinates.
func (c *climb) boxWords(b geom.Box) string {
	site := c.Site.Outline.Box()
	b.Min = geom.Pt{X: math.Max(b.Min.X, site.Min.X), Y: math.Max(b.Min.Y, site.Min.Y)}
	b.Max = geom.Pt{X: math.Min(b.Max.X, site.Max.X), Y: math.Min(b.Max.Y, site.Max.Y)}
	if c.Site.Frame.ToJob(b.Min).X > c.Site.Frame.ToJob(b.Max).X {
		b.Min, b.Max = b.Max, b.Min
	}
	return fmt.Sprintf("from %s to %s", c.at(b.Min), c.at(b.Max))
}
