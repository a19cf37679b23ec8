package drainage

import (
	"math"

	"runnel/survey/unit"
)

// DryFinding judges the rule of hours. What people saw comes first: water seen
// after that time breaks the rule, a roof seen dry by then keeps it where the
// survey shows no pond or lets each dry off. Where nobody looked, the depth that
// the job says dries off in those hours tells how long the deepest pond stands;
// drying 0 is not stated, and no surface says by itself how fast a roof dries.
func (r *Report) DryFinding(rules Rules, drying unit.Length, seen []SeenFinding) Finding {
	f := Finding{Rules: rules.Name, Rule: "dry", Limit: Hours(rules.DryHours), AtMost: true, Source: rules.DrySource}
	dry, wet := -1.0, -1.0
	for _, s := range seen {
		switch {
		case s.Seen.Depth > 0 && s.Seen.Hours >= rules.DryHours:
			wet = math.Max(wet, s.Seen.Hours)
		case s.Seen.Depth == 0 && s.Seen.Hours > 0 && s.Seen.Hours <= rules.DryHours:
			dry = math.Max(dry, s.Seen.Hours)
		}
	}
	computed := r.driesOff(rules.DryHours, drying)
	switch {
	case wet >= 0:
		f.Verdict, f.Figure, f.Why = FallsShort, Hours(wet), "water was seen so long after rain"
	case dry >= 0 && r.PondsFree == Meets:
		f.Verdict, f.Figure, f.Why = Meets, Hours(dry), "seen dry, and the survey shows no pond"
	case dry >= 0 && computed.Verdict == Meets:
		f.Verdict, f.Figure, f.Why = Meets, Hours(dry), "seen dry, and by the drying depth stated every pond dries off by then"
	case dry >= 0:
		f.Figure, f.Why = Hours(dry), "seen dry, but the survey does not show it free of ponds"
	case computed.Figure != nil:
		f.Figure, f.Doubt, f.Why, f.Verdict = computed.Figure, computed.Doubt, computed.Why, computed.Verdict
	default:
		f.Why = "nobody saw the roof so long after rain: watch it"
	}
	return f
}

// driesOff is how long the pond stands that stands longest, by a depth that
// dries off in some hours alone: figure, doubt, verdict and why. Without such a
// depth, or without ponds, there is no figure.
func (r *Report) driesOff(hours float64, drying unit.Length) (f Finding) {
	if drying <= 0 || len(r.Ponds) == 0 {
		return f
	}
	perIn := hours / drying.Inches()
	longest := r.Ponds[0] // the deepest
	f.Verdict = Meets
	for _, p := range r.Ponds {
		leftIn := p.DepthIn - drying.Inches()
		switch {
		case leftIn-p.doubtIn > 0, p.ClosedIn && leftIn > 0:
			f.Verdict = FallsShort
		case (leftIn+p.doubtIn > 0 || p.ClosedIn) && f.Verdict == Meets:
			f.Verdict = TooClose
		}
	}
	if f.Verdict == Meets && (r.UnknownPct+r.ThinPct >= materialUnknownPct || len(r.NoShotNear) > 0) {
		f.Verdict = Unknown
	}
	f.Figure = Hours(math.Round(10*longest.DepthIn*perIn) / 10)
	if longest.doubtIn > 0 {
		f.Doubt = Hours(math.Round(10*longest.doubtIn*perIn) / 10)
	}
	f.Why = longest.ID + " by the drying depth stated"
	return f
}
