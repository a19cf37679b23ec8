package drainage

import (
	"fmt"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/unit"
)

// reroofExceptionSource is the re-roof exception: a low-slope covering that is
// replaced or recovered need not reach the design slope where the roof has
// positive drainage.
const reroofExceptionSource = "IBC 2021 family 1512.1 Exc. 1"

// noSource stands where a figure is what the trade does.
const noSource = "common practice, no source"

// The grounds that several sets stand on. Codes are adopted and amended
// locally: a set says what one edition says, not what a given town enforces.
const (
	quarterSource = "IBC 1507.10.1 to 1507.15.1 (2006 family), 1/4:12, as in Minnesota Rules 1305.1507 (2009)"
	eighthSource  = "trade article of July 2019, 1/8 in/ft as the target for cricket valleys"
	fallSource    = "BS 6229:2018, designed 1:40 so that 1:80 is finished, gutters included, as quoted in a trade journal"
	ownerSource   = "an owner's design guide for hospitals: at least 1:50, no level gutter lines between drains"
	drySource     = "IBC 2021 family section 202, positive roof drainage: dry within 48 h of rain"
	baseSource    = "contractors' association manual, 8 in of base flashing, from memory"
)

// usLimits are the limits of the built-in sets in inches, but for name,
// edition and what each set changes.
func usLimits() Rules {
	return Rules{
		Mode:   survey.Planes,
		Field:  Limit{Min: unit.InchesPerFoot(0.25), Source: quarterSource},
		Valley: Limit{Min: unit.InchesPerFoot(0.125), Source: eighthSource},
		Pond:   unit.Inches(0.25), PondSource: noSource,
		DryHours: 48, DrySource: drySource,
		Worth:         survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)},
		OverflowLeast: unit.Inches(2), OverflowMost: unit.Inches(4), OverflowSource: noSource,
		Flashing: unit.Inches(8), FlashingSource: baseSource,
	}
}

// ruleSets lists the built-in sets, the one taken where a job names none first.
func ruleSets() []Rules {
	plain := usLimits()
	plain.Name, plain.Edition = "us-reroof", "IBC 2006 family"

	drained := usLimits()
	drained.Name, drained.Edition = "us-reroof-drained", "IBC 2006 family; "+reroofExceptionSource
	drained.DrainedException = true

	strict := usLimits()
	strict.Name, strict.Edition = "every-path", "IBC 2006 family, read strictly"
	strict.Mode, strict.Valley = survey.EveryPath, strict.Field

	owner := usLimits()
	owner.Name, owner.Edition = "no-level-gutter", "an owner's design guide, undated"
	fiftieth := Limit{Min: unit.SlopeOfRatio(1. / 50), Source: ownerSource}
	owner.Field, owner.Gutter = fiftieth, fiftieth

	metric := usLimits()
	metric.Name, metric.Edition = "metric-falls", "BS 6229:2018"
	// 1:80 is 0.15 in/ft and 1:40 is 0.3 in/ft exactly.
	eightieth := Limit{Min: unit.InchesPerFoot(0.15), Source: fallSource}
	metric.Field, metric.Valley, metric.Gutter = eightieth, eightieth, eightieth
	metric.Design = Limit{Min: unit.InchesPerFoot(0.3), Source: fallSource}
	metric.DrySource = noSource
	metric.OverflowLeast, metric.OverflowMost = unit.Millimetres(50), unit.Millimetres(100)
	metric.Flashing, metric.FlashingSource = unit.Millimetres(150), noSource
	return []Rules{plain, drained, strict, owner, metric}
}

// RuleNames lists the built-in rule sets, the one taken where the job names
// none first.
func RuleNames() []string {
	var names []string
	for _, r := range ruleSets() {
		names = append(names, r.Name)
	}
	return names
}

// RuleSet gives the limits that a choice stands for. No name is us-reroof; the
// name "own" takes the choice's own figures, over those of the built-in set that
// it is like. An unknown name, or own figures like no set without a mode or a
// positive field slope, is an error.
func RuleSet(c survey.RuleChoice) (Rules, error) {
	if c.Name == "own" {
		return ownRules(c)
	}
	return builtIn(c.Name)
}

func builtIn(name string) (Rules, error) {
	for n, r := range ruleSets() {
		if r.Name == name || (name == "" && n == 0) {
			return r, nil
		}
	}
	return Rules{}, fmt.Errorf("rule set %q is not known: choose from %s, or give your own figures",
		name, strings.Join(RuleNames(), ", "))
}

// WorthOf says which ponds are worth reporting: as the job states, and where it
// states nothing as the rules do.
func (r Rules) WorthOf(stated survey.PondLimits) survey.PondLimits {
	if stated.Depth == 0 {
		stated.Depth = r.Worth.Depth
	}
	if stated.Area == 0 {
		stated.Area = r.Worth.Area
	}
	return stated
}

// Judge says whether a slope reaches the limit when it is known to within
// doubt either way. Without doubt the answer is exact: a slope at the limit
// meets it.
func (l Limit) Judge(slope, doubt unit.Slope) Verdict { return l.judge(slope-doubt, slope+doubt) }

// judge says whether a slope between two reaches the limit.
func (l Limit) judge(lowest, highest unit.Slope) Verdict {
	switch {
	case lowest >= l.Min:
		return Meets
	case highest < l.Min:
		return FallsShort
	}
	return TooClose
}

// FieldSlopeThatPasses is the slope of two equal planes meeting at right
// angles whose valley reaches valleyMin: the valley of planes s slopes
// s/sqrt(2).
func FieldSlopeThatPasses(valleyMin unit.Slope) unit.Slope {
	return unit.InchesPerFoot(valleyMin.InchesPerFoot() * math.Sqrt2)
}
