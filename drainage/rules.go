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

// ruleSets lists the built-in sets. Codes are adopted and amended locally: a
// set says what one edition says, not what a given town enforces.
func ruleSets() []Rules {
	quarter := Limit{
		Min: unit.InchesPerFoot(0.25),
		Source: "IBC 1507.10.1 to 1507.15.1 (2006 family), 1/4:12, as in Minnesota Rules " +
			"1305.1507 (2009)",
	}
	eighth := Limit{
		Min:    unit.InchesPerFoot(0.125),
		Source: "trade article of July 2019, 1/8 in/ft as the target for cricket valleys",
	}
	// 1:80 is 0.15 in/ft exactly.
	eightieth := Limit{
		Min:    unit.InchesPerFoot(0.15),
		Source: "BS 6229:2018, finished fall 1:80, gutters included, as quoted in a trade journal",
	}
	pond := unit.Inches(0.25)
	return []Rules{
		{Name: "us-reroof", Edition: "IBC 2006 family", Mode: survey.Planes,
			Field: quarter, Valley: eighth, Pond: pond},
		{Name: "us-reroof-drained", Edition: "IBC 2006 family; " + reroofExceptionSource,
			Mode: survey.Planes, Field: quarter, Valley: eighth, Pond: pond,
			DrainedException: true},
		{Name: "every-path", Edition: "IBC 2006 family, read strictly", Mode: survey.EveryPath,
			Field: quarter, Valley: quarter, Pond: pond},
		{Name: "metric-falls", Edition: "BS 6229:2018", Mode: survey.Planes,
			Field: eightieth, Valley: eightieth, Pond: pond},
	}
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
// name "own" takes the choice's own figures. An unknown name, or own figures
// without a mode or a positive field slope, is an error.
func RuleSet(c survey.RuleChoice) (Rules, error) {
	if c.Name == "own" {
		return ownRules(c)
	}
	for n, r := range ruleSets() {
		if r.Name == c.Name || (c.Name == "" && n == 0) {
			return r, nil
		}
	}
	return Rules{}, fmt.Errorf("rule set %q is not known: choose from %s, or give your own figures",
		c.Name, strings.Join(RuleNames(), ", "))
}

func ownRules(c survey.RuleChoice) (Rules, error) {
	if c.Mode == survey.UnsetMode {
		return Rules{}, fmt.Errorf("own rules need a mode: planes or every-path")
	}
	valley := c.Valley
	if c.Mode == survey.EveryPath {
		valley = c.Field
	}
	if c.Field.InchesPerFoot() <= 0 || valley.InchesPerFoot() < 0 {
		return Rules{}, fmt.Errorf("own rules need a field slope above 0 and a valley slope of at least 0")
	}
	const source = "the job's own figure"
	return Rules{
		Name: "own", Edition: "of the job", Mode: c.Mode,
		Field: Limit{c.Field, source}, Valley: Limit{valley, source}, Pond: unit.Inches(0.25),
	}, nil
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
