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
		if y.exit != n && (shut == "" || !stands || y.key != sheet) {
			continue
		}
		f.Why = "above the roof at " + c.site.Outlets[y.low].ID
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
