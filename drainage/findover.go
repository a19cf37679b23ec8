package drainage

import (
	"slices"

	"runnel/survey"
	"runnel/survey/unit"
)

// overflowFindings judges how high each overflow's inlet stands above the roof
// at the lowest primary outlet of every bay that leaves by it when none of the
// primaries works. Cost: another fill, where there are overflows.
func (c *check) overflowFindings() []Finding {
	if !slices.ContainsFunc(c.site.Outlets, func(o survey.SiteOutlet) bool { return o.Overflow }) {
		return nil
	}
	b, err := c.whenBlocked()
	if err != nil {
		panic("drainage: " + err.Error()) // what is wrong with the surface was found before
	}
	bays := b.bays()
	var out []Finding
	for n, o := range c.site.Outlets {
		if o.Overflow {
			out = append(out, b.overflow(n, bays)...)
		}
	}
	return out
}

// overflow judges overflow n by each of the bays that are its own.
func (b *blockedRoof) overflow(n int, bays []bay) (out []Finding) {
	c := b.open
	f := Finding{Rule: "overflow", Where: c.site.Outlets[n].ID, Limit: c.opt.Rules.OverflowLeast, Most: c.opt.Rules.OverflowMost,
		Source: c.opt.Rules.OverflowSource}
	shut := b.shutFinding(n)
	sheet, stands := b.sheetAt(n)
	for _, y := range bays {
		if y.exit != n && !b.shares(n, y) && (shut == "" || !stands || y.key != sheet) {
			continue
		}
		if b.shares(n, y) {
			y.exit, y.levelIn = n, b.inletIn(n)
		}
		f.Why = "above the roof at " + c.site.Outlets[y.low].ID
		if why := c.opt.inletWhy(n); why != "" {
			f.Why += "; " + overNew + why
			out = append(out, f)
			continue
		}
		if shut != "" {
			y.exit = n // it would let the sheet go
			f.Verdict, f.Figure, f.Why = FallsShort, unit.Inches(c.opt.InletIn[n]-y.lowIn), f.Why+"; "+shut
		} else {
			var ground protection
			f.Figure = unit.Inches(y.dsIn())
			if f.Verdict, ground = b.judge(y); ground == runsFirst {
				f.Why += "; not above the inlet of " + c.site.Outlets[y.low].ID + ": it runs first or never"
			} else if y.ridge {
				f.Why += ", up to a ridge that the water runs over first"
			}
		}
		if doubtIn := b.doubtIn(y); doubtIn > 0 {
			f.Doubt = unit.Inches(doubtIn)
		}
		out = append(out, f)
	}
	switch {
	case len(out) > 0:
		return out
	case shut != "":
		f.Verdict, f.Why = FallsShort, shut
	default:
		f.Why = "no primary outlet's water leaves by it: another way out is lower"
	}
	return []Finding{f}
}

// shares says whether overflow n stands at the water of a bay that leaves by
// another overflow: with a head over that one it takes of it too.
func (b *blockedRoof) shares(n int, y bay) bool {
	return y.key >= 0 && y.exit >= 0 && y.exit != n && b.c.site.Outlets[y.exit].Overflow && slices.Contains(b.of[y.key].outlets, n)
}

// shutFinding says why an overflow takes nothing; "" where it does.
func (b *blockedRoof) shutFinding(n int) string {
	under, takesNothing := b.shut[n]
	switch {
	case !takesNothing:
		return ""
	case under > 0:
		return "buried: the roof beside it is higher than its inlet"
	}
	return "it is blocked"
}

// gutterFindings judges the low lines between neighbouring primary outlets, by
// the slope toward either from the highest place between them, and names gutter
// edges, whose bed no survey of the roof shows.
func (c *check) gutterFindings(valleys []Valley) []Finding {
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
			if f, ok := c.lowLine(a, b, at, valleys); ok {
				out = append(out, f)
			}
		}
	}
	return out
}

// lowLine judges the way between two outlets by the valleys that come to both
// from one place, or else the straight way where it is a low line:
// no other outlet stands nearer to its middle, and over most of its length the
// roof rises to either side, or a wall stands there.
func (c *check) lowLine(a, b int, all []int, valleys []Valley) (Finding, bool) {
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
	why := "the low line between them"
	worst, ids := valleysBetween(from, to, valleys, c.opt.Window.Feet())
	if ids != "" {
		why += ", " + ids
	} else if worst = c.straight(from, to); worst.runFt == 0 {
		return Finding{}, false
	}
	f := Finding{Rule: "gutter", Where: from.ID + " to " + to.ID, Limit: c.opt.Rules.Gutter.Min,
		Source: c.opt.Rules.Gutter.Source, Why: why}
	f.readSlopes([]reading{worst}, 0, c.opt.Rules.Gutter)
	if c.opt.Unsurveyed || c.unshot[a] || c.unshot[b] {
		f.Verdict = Unknown
	}
	return f, true
}

// valleysBetween is the worse reading of the two valleys that come to either of
// two outlets from one place, and their names: none where they take more than a
// quarter over the straight way, since such meet at a ridge and make no low line
// (common practice, no source).
func valleysBetween(from, to survey.SiteOutlet, valleys []Valley, reachFt float64) (worst reading, ids string) {
	bestFt := 1.25 * from.P.Dist(to.P)
	for _, v := range valleys {
		for _, w := range valleys {
			joinFt := v.Points[0].Dist(w.Points[0])
			if ft := v.LengthFt + joinFt + w.LengthFt; v.EndsAt == from.ID && w.EndsAt == to.ID && joinFt <= reachFt && ft < bestFt {
				bestFt, worst, ids = ft, reading{}.worst(v.least).worst(w.least), v.ID+" and "+w.ID
			}
		}
	}
	return worst, ids
}

// straight reads the straight way between two outlets; no run where it is no low
// line.
func (c *check) straight(from, to survey.SiteOutlet) (worst reading) {
	p, low := c.alongLine(from.P, to.P)
	if len(p.at) < 3 || low < 0.8 {
		return reading{}
	}
	for _, q := range p.fromSummit() {
		q = q.upTo(q.runFt[len(q.runFt)-1] - c.blurFt(from.ID))
		worst = worst.worst(q.leastOf(0, q.runFt[len(q.runFt)-1], c.opt.Window.Feet()))
	}
	return worst
}
