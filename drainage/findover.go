package drainage

import (
	"fmt"
	"math"

	"runnel/drainage/internal/fill"
	"runnel/survey"
	"runnel/survey/unit"
)

// overflowFindings judges how high each overflow's inlet stands above the roof
// at the lowest primary outlet of its bay: those primary outlets whose water
// leaves by it when none of them works.
func (c *check) overflowFindings() []Finding {
	bay := c.bays()
	var out []Finding
	for n, o := range c.site.Outlets {
		if o.Overflow {
			out = append(out, c.overflowFinding(n, bay[n]))
		}
	}
	return out
}

// bays gives each overflow the primary outlets whose water runs over to it where
// overflows alone let water go. Cost: another fill, where there are overflows.
func (c *check) bays() map[int][]int {
	var seeds []fill.Seed
	for n, cells := range c.outlets {
		if c.site.Outlets[n].Overflow {
			for _, k := range cells {
				seeds = append(seeds, fill.Seed{Cell: k, Level: math.Max(c.surf.ElevIn[k], c.opt.InletIn[n]), Outlet: n})
			}
		}
	}
	out := map[int][]int{}
	if len(seeds) == 0 {
		return out
	}
	f := fill.Run(fill.Grid{NX: c.surf.NX, NY: c.surf.NY, Open: c.surf.Roof}, c.surf.ElevIn, seeds)
	for n, cells := range c.outlets {
		if c.site.Outlets[n].Overflow || len(cells) == 0 {
			continue
		}
		b := int(f.Of[cells[0]])
		for f.Hollow[b].Outlet < 0 && f.Hollow[b].Into >= 0 {
			b = f.Hollow[b].Into
		}
		if over := f.Hollow[b].Outlet; over >= 0 {
			out[over] = append(out[over], n)
		}
	}
	return out
}

// overflowFinding judges overflow n by the lowest of primaries.
func (c *check) overflowFinding(n int, primaries []int) Finding {
	r, o := c.opt.Rules, c.site.Outlets[n]
	f := Finding{Rule: "overflow", Where: o.ID, Limit: r.OverflowLeast, Most: r.OverflowMost, Source: r.OverflowSource}
	low, lowIn := -1, math.Inf(1)
	for _, p := range primaries {
		if z := elevationAt(c.surf, c.site.Outlets[p].P, c.outlets[p]); z < lowIn {
			low, lowIn = p, z
		}
	}
	if low < 0 {
		f.Why = "no primary outlet's water leaves by it: another way out is lower"
		return f
	}
	to := c.site.Outlets[low]
	aboveIn := c.opt.InletIn[n] - lowIn
	doubtIn := 0.0
	if c.opt.SigmaIn > 0 {
		doubtIn = 2 * c.dropSigmaIn(o.P, to.P)
		f.Doubt = unit.Inches(doubtIn)
	}
	f.Figure, f.Why = unit.Inches(aboveIn), "above the roof at "+to.ID
	besideIn := elevationAt(c.surf, o.P, c.outlets[n])
	switch {
	case c.opt.InletIn[n] < besideIn-doubtIn-sameIn:
		f.Why += "; buried: the roof beside it is higher than its inlet"
	case c.opt.InletIn[n] <= c.opt.InletIn[low]+sameIn:
		f.Why += fmt.Sprintf("; not above the inlet of %s: it runs first or never", to.ID)
	}
	f.Verdict = c.overflowVerdict(aboveIn, doubtIn, c.unshot[n] || c.unshot[low])
	if f.Verdict == Meets && c.opt.InletIn[n] < besideIn-doubtIn-sameIn {
		f.Verdict = FallsShort
	}
	return f
}

func (c *check) overflowVerdict(aboveIn, doubtIn float64, unshot bool) Verdict {
	least, most := c.opt.Rules.OverflowLeast.Inches(), c.opt.Rules.OverflowMost.Inches()
	switch {
	case c.opt.Unsurveyed, unshot:
		return Unknown
	case aboveIn+doubtIn < least-sameIn, aboveIn-doubtIn > most+sameIn:
		return FallsShort
	case aboveIn-doubtIn >= least-sameIn && aboveIn+doubtIn <= most+sameIn:
		return Meets
	}
	return TooClose
}

// gutterFindings judges the low lines between neighbouring primary outlets, by
// the slope toward either from the highest place between them, and names gutter
// edges, whose bed no survey of the roof shows.
func (c *check) gutterFindings() []Finding {
	var out []Finding
	var at []int
	for n, o := range c.site.Outlets {
		if o.Kind == survey.GutterOutlet {
			out = append(out, Finding{Rule: "gutter", Where: o.ID, Limit: c.opt.Rules.Gutter.Min,
				Source: c.opt.Rules.Gutter.Source, Why: "the bed of the gutter was not surveyed"})
		}
		if (o.Kind == survey.Drain || o.Kind == survey.Scupper) && !o.Overflow {
			at = append(at, n)
		}
	}
	for i, a := range at {
		for _, b := range at[i+1:] {
			if f, ok := c.lowLine(a, b, at); ok {
				out = append(out, f)
			}
		}
	}
	return out
}

// lowLine judges the straight way between two outlets where it is a low line:
// no other outlet stands nearer to its middle, and over most of its length the
// roof rises to either side, or a wall stands there.
func (c *check) lowLine(a, b int, all []int) (Finding, bool) {
	from, to := c.site.Outlets[a], c.site.Outlets[b]
	lengthFt := from.P.Dist(to.P)
	middle := from.P.Lerp(to.P, 0.5)
	for _, n := range all {
		if n != a && n != b && c.site.Outlets[n].P.Dist(middle) < lengthFt/2 {
			return Finding{}, false
		}
	}
	if lengthFt < c.opt.Window.Feet()+2*c.opt.SpacingFt {
		return Finding{}, false
	}
	p, low := c.alongLine(from.P, to.P)
	if len(p.at) < 3 || low < 0.8 {
		return Finding{}, false
	}
	worst := reading{}
	for _, q := range p.fromSummit() {
		q = q.upTo(q.runFt[len(q.runFt)-1] - c.blurFt(from.ID))
		worst = worst.worst(q.leastOf(0, q.runFt[len(q.runFt)-1], c.opt.Window.Feet()))
	}
	if worst.runFt == 0 {
		return Finding{}, false
	}
	f := Finding{Rule: "gutter", Where: from.ID + " to " + to.ID, Limit: c.opt.Rules.Gutter.Min,
		Source: c.opt.Rules.Gutter.Source, Why: "the low line between them"}
	f.readSlopes([]reading{worst}, 0, c.opt.Rules.Gutter)
	if c.opt.Unsurveyed || c.unshot[a] || c.unshot[b] {
		f.Verdict = Unknown
	}
	return f, true
}
