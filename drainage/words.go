package drainage

import (
	"fmt"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/unit"
)

// OutletOf is the outlet that takes what comes to an outlet or a pond, over
// other ponds too; "" where none does.
func (r *Report) OutletOf(at string) string {
	for range r.Ponds {
		n := slices.IndexFunc(r.Ponds, func(p Pond) bool { return p.ID == at })
		if n < 0 {
			break
		}
		at = r.Ponds[n].SpillsTo
	}
	return at
}

// WaterFinding says how deep water stands, after "the roof": where no outlet
// takes it, only how deep at least.
func (r *Report) WaterFinding(sys unit.System) string {
	if len(r.Ponds) == 0 {
		return "holds no water worth reporting" + r.butDishes(sys)
	}
	deepest := r.Ponds[0]
	for _, p := range r.Ponds {
		if p.ClosedIn && !deepest.ClosedIn {
			deepest = p
		}
	}
	text := unit.Inches(deepest.DepthIn).FormatThin(sys)
	if deepest.ClosedIn {
		return "holds water at least " + text + " deep (" + deepest.ID +
			"), until a wall or an overflow lets it go: no outlet that works takes it"
	}
	return "holds water up to " + text + " deep"
}

// butDishes is what must go with the word that no water stands: dishes that the
// shots cannot show. Nothing on an exact surface.
func (r *Report) butDishes(sys unit.System) string {
	if r.NarrowestFt <= 0 {
		return ""
	}
	return " (dishes narrower than " + unit.Feet(r.NarrowestFt).Format(sys) + " would not be seen)"
}

// NoPonds says that there is no pond, and what the shots cannot show.
func (r *Report) NoPonds(sys unit.System) string { return "no pond" + r.butDishes(sys) }

// DesignFinding says how the surface stands to the design slope, after "the
// surface is", and that alone: a surface under it need not hold water, and one
// that reaches it may. Under rules with the re-roof exception a roof that holds
// no water falls under it, and taper is the owner's choice.
func (r *Report) DesignFinding(rules Rules, sys unit.System) string {
	limit := rules.Field.Min.Format(sys)
	switch r.MeetsDesign {
	case Meets:
		return "at or over the design slope of " + limit
	case TooClose:
		return "too close to the design slope of " + limit + " to call"
	case Unknown:
		return "of unknown slope"
	case FallsShort:
		if r.OnlyLowLines() {
			return "level, or nearly so, along the low line " + strings.Join(r.LowLines(), ", ") + ", where " + rules.Name + " asks for " +
				rules.Gutter.Min.Format(sys)
		}
		text := "below the design slope of " + limit
		if _, only := r.ShortValleys(); only {
			text = "below the " + rules.Valley.Min.Format(sys) + " that valleys need"
		}
		if n := r.count(FallsShort); n > 0 {
			text += fmt.Sprintf(" on %d of %d paths", n, len(r.Paths))
		}
		if rules.DrainedException && r.PondsFree == Meets {
			return text + "; it holds no water" + r.butDishes(sys) + ", so the re-roof exception (" + reroofExceptionSource +
				") may apply where it is dry " + Hours(rules.DryHours).Format(sys) + " after rain: taper is optional"
		}
		if rules.DrainedException && r.PondsFree == FallsShort {
			return text + "; it holds water, so the re-roof exception (" + reroofExceptionSource + ") is not supported"
		}
		if rules.Mode == survey.EveryPath && r.onlyValleys(rules) {
			return text + ", all in valleys: by geometry, equal planes would have to slope " +
				FieldSlopeThatPasses(rules.Field.Min).Format(sys) + " for their valleys to reach it"
		}
		return text
	}
	panic("drainage: unknown Verdict")
}

func (r *Report) count(v Verdict) (n int) {
	for _, p := range r.Paths {
		if p.Verdict == v {
			n++
		}
	}
	return n
}

// onlyValleys says whether every field stretch reaches the limit, so that only
// valleys fall short of it.
func (r *Report) onlyValleys(rules Rules) bool {
	for _, p := range r.Paths {
		if p.LeastField.InchesPerFoot() >= 0 && p.LeastField < rules.Field.Min {
			return false
		}
	}
	return true
}
