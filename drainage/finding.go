package drainage

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"runnel/survey"
	"runnel/survey/unit"
)

// Measure is a figure with its kind: a unit.Slope, a unit.Length or Hours.
type Measure interface{ Format(sys unit.System) string }

// Hours is a time after rain.
type Hours float64

// Format prints h in hours, in both systems alike.
func (h Hours) Format(unit.System) string { return strconv.FormatFloat(float64(h), 'f', -1, 64) + " h" }

// Finding is one verdict with all that it stands on.
type Finding struct {
	Rules string // name of the rule set
	// Rule is field, valley, every path, gutter, design, water, dry, overflow or
	// flashing.
	Rule   string
	Where  string  // outlets, pond or edge; "": all over the area
	Limit  Measure // nil: the rule has no figure
	Most   Measure // where the rule has two limits, the greater; else nil
	AtMost bool    // the limit is the most allowed, not the least
	Figure Measure // nil: not known
	Doubt  Measure // two standard errors of Figure; nil: exact
	Source string  // of the limit
	Why    string  // more on the figure; "": none
	Verdict
}

// Findings gives the verdict on r by each rule that can be judged on a surface
// alone, the slopes first. Whether a roof is dry in time is not among them, see
// DryFinding. The verdicts of field and valley together are Report.MeetsDesign,
// that of water is Report.PondsFree.
func (c *check) findings(r *Report) []Finding {
	out := c.slopeFindings(r)
	if c.opt.Rules.Gutter.Min > 0 {
		out = append(out, c.gutterFindings(r.Valleys)...)
	}
	out = append(out, c.waterFinding(r))
	if c.opt.Rules.OverflowMost > 0 {
		out = append(out, c.overflowFindings()...)
	}
	for n := range out {
		out[n].Rules = c.opt.Rules.Name
	}
	return out
}

// slopeFindings judges the least slopes of the paths that decide, as meetsDesign
// does: on a surveyed surface one path in twenty may be off by chance, so the
// figure is the one that all but a twentieth of them reach.
func (c *check) slopeFindings(r *Report) []Finding {
	paths := c.decisive(r.Paths)
	skip := 0
	if c.opt.SigmaIn > 0 {
		skip = int(byChance * float64(len(paths)))
	}
	rules := c.opt.Rules
	field := Finding{Rule: "field", Limit: rules.Field.Min, Source: rules.Field.Source}
	valley := Finding{Rule: "valley", Limit: rules.Valley.Min, Source: rules.Valley.Source}
	of := func(p Path) reading { return p.field }
	if rules.Mode == survey.EveryPath {
		field.Rule = "every path"
		of = func(p Path) reading { return p.field.worst(p.valley).worst(p.whole) }
	}
	field.readSlopes(readingsOf(paths, of), skip, rules.Field)
	out := []Finding{field}
	if v := readingsOf(paths, func(p Path) reading { return p.valley }); rules.Mode != survey.EveryPath && len(v) > 0 {
		valley.readSlopes(v, skip, rules.Valley)
		if out = append(out, valley); field.Figure == nil {
			out = out[1:] // all valleys, no field
		}
	}
	agree(out, r)
	return out
}

func readingsOf(paths []Path, of func(p Path) reading) (out []reading) {
	for _, p := range paths {
		if q := of(p); q.runFt > 0 {
			out = append(out, q)
		}
	}
	return out
}

// readSlopes takes the reading that skip others may stay under.
func (f *Finding) readSlopes(all []reading, skip int, l Limit) {
	if len(all) == 0 {
		return
	}
	skip = min(skip, len(all)-1)
	by := func(key func(q reading) float64) reading {
		slices.SortFunc(all, func(a, b reading) int { return cmp.Compare(key(a), key(b)) })
		return all[skip]
	}
	q := by(func(q reading) float64 { return q.highest })
	if f.Verdict = l.judge(rounded(q.lowest), rounded(q.highest)); f.Verdict != FallsShort {
		q = by(func(q reading) float64 { return q.lowest })
		f.Verdict = l.judge(rounded(q.lowest), rounded(q.highest))
	}
	f.Figure = q.slope()
	if doubt := q.fallIn/q.runFt - q.lowest; doubt > 1e-9 {
		f.Doubt = rounded(math.Max(doubt, q.highest-q.fallIn/q.runFt))
	}
	if skip > 0 {
		f.Why = "1 path in 20 may be less by chance"
	}
}

// agree brings the verdicts of the slopes in line with the one on all of them,
// which also knows what cannot be told and how much of the roof lies under the
// limit.
func agree(slopes []Finding, r *Report) {
	worst := slopes[0]
	for _, f := range slopes {
		if f.Verdict == FallsShort || f.Verdict == TooClose && worst.Verdict != FallsShort {
			worst = f
		}
	}
	switch {
	case worst.Verdict == r.MeetsDesign:
	case r.MeetsDesign == Unknown:
		for n := range slopes {
			slopes[n].Verdict = Unknown
		}
	default:
		slopes[0].Verdict = r.MeetsDesign
		slopes[0].Why = fmt.Sprintf("%.0f %% of the area is under it", r.BelowMinimumPct)
	}
}

// waterFinding judges the hollow that PondsFree stands on: the deepest of those
// with the worst verdict.
func (c *check) waterFinding(r *Report) Finding {
	f := Finding{Rule: "water", Limit: c.opt.Ponds.Depth, AtMost: true, Source: "depth worth reporting, " + noSource,
		Verdict: r.PondsFree}
	worst := -1
	for n := range c.hollow {
		h := &c.hollow[n]
		if h.pond.SqFt < c.opt.Ponds.Area.SquareFeet() || c.overUnshot(h) {
			continue
		}
		if worst < 0 || c.holds(h) == r.PondsFree && (c.holds(&c.hollow[worst]) != r.PondsFree || h.pond.DepthIn > c.hollow[worst].pond.DepthIn) {
			worst = n
		}
	}
	if c.opt.Unsurveyed {
		return f
	}
	f.Figure = unit.Inches(0)
	if worst >= 0 {
		h := &c.hollow[worst]
		f.Figure = unit.Inches(h.pond.DepthIn)
		if s := c.doubtOf(h); s > 0 {
			f.Doubt = unit.Inches(2 * s)
		}
		if c.named[worst] >= 0 {
			f.Where = pondName(c.named[worst])
		}
		if h.pond.ClosedIn {
			f.Why = "no outlet takes it: at least so deep"
		}
	}
	return f
}
