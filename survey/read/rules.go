package read

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

func (r *jobReader) rules(j *survey.Job, v item) {
	switch {
	case v.absent:
		j.Rules.Name = "us-reroof"
		if j.Units == unit.Metric {
			j.Rules.Name = "metric-falls"
		}
		v.note("no rules are named; "+j.Rules.Name+" is taken", "write rules: "+j.Rules.Name)
	case v.n.Kind == yaml.MappingNode:
		r.ownRules(&j.Rules, v)
	default:
		j.Rules.Name = v.word(RuleNames()...)
	}
}

// RuleNames lists the rule sets that a job may name. Their figures belong to
// drainage, which a reader must not know; its list says the same.
func RuleNames() []string {
	return []string{"us-reroof", "us-reroof-drained", "every-path", "no-level-gutter", "metric-falls"}
}

// ownRules reads limits of the job's own, over those of a named set or alone.
func (r *jobReader) ownRules(c *survey.RuleChoice, v item) {
	f, ok := v.fields("rules")
	if !ok {
		return
	}
	c.Name = "own"
	c.Like = f.get("like").word(RuleNames()...)
	name := f.get("name")
	if c.Called, _ = name.text(); slices.Contains(append(RuleNames(), "own"), c.Called) {
		name.fault("this is the name of a set that is built in",
			"call your own set otherwise; to change figures of "+c.Called+" write like: "+c.Called)
	}
	c.Edition, _ = f.get("edition").text()
	c.Source, _ = f.get("source").text()
	c.Mode = ruleMode(f.get("mode"), f.get("like").absent)
	ruleSlopes(c, f)
	ruleDepths(c, f)
	if e := f.get("exception"); !e.absent {
		yes := e.yes()
		c.Drained = &yes
	}
}

func ruleMode(mode item, needed bool) survey.Mode {
	switch mode.word("planes", "every-path") {
	case "planes":
		return survey.Planes
	case "every-path":
		return survey.EveryPath
	}
	if mode.absent && needed {
		mode.fault("own rules need a mode", "write mode: planes or mode: every-path, or like: us-reroof to change a named set")
	}
	return survey.UnsetMode
}

// steepest is the slope from which on a roof is no low-slope roof: 3 in/ft, as
// in design criteria of public works that were read in a study guide.
const steepest = 3 * unit.InchPerFoot

// ruleSlope reads a least slope that a low-slope roof can have.
func ruleSlope(v item) unit.Slope {
	s, ok := v.slope()
	if ok && s > steepest {
		v.fault("a low-slope roof slopes "+v.r.say("3 in/ft", "1:4")+" at most", "write a slope such as "+v.r.say("1/4 in/ft or 1:48", "1:40 or 2.5%"))
		return 0
	}
	return s
}

func ruleSlopes(c *survey.RuleChoice, f fields) {
	field, valley, design := f.get("field"), f.get("valley"), f.get("design")
	c.Field, c.Valley = ruleSlope(field), ruleSlope(valley)
	c.Gutter, c.Sump, c.Design = ruleSlope(f.get("gutter")), ruleSlope(f.get("sump")), ruleSlope(design)
	if c.Design != 0 && c.Design < c.Field {
		design.fault("the slope to design for is less than the one to reach", "write at least that of field")
	}
	if !f.get("like").absent {
		return
	}
	if field.absent {
		field.fault("own rules need the least slope of the field", "write field: "+f.r.say("1/4 in/ft", "1:80"))
	}
	if valley.absent {
		c.Valley = c.Field
		if c.Mode == survey.Planes {
			valley.note("no least slope for valleys; the field's is taken", "write valley: "+f.r.say("1/8 in/ft", "1:80"))
		}
	}
}

// The most that a rule may say; beyond, a unit is wrong.
const (
	mostPond     = unit.Foot
	mostOverflow = 2 * unit.Foot
	mostFlashing = 10 * unit.Foot
	mostDryHours = 1000.0
)

// ruleLength reads a length above 0 and not over most.
func ruleLength(v item, most unit.Length) unit.Length {
	l, ok := v.positive(0, false)
	if ok && l > most {
		v.fault(fmt.Sprintf("%s is more than the %s that a rule may say", l.FormatThin(v.r.units), most.FormatThin(v.r.units)),
			"look at the unit")
		return 0
	}
	return l
}

func ruleDepths(c *survey.RuleChoice, f fields) {
	c.Pond, c.Flashing = ruleLength(f.get("pond"), mostPond), ruleLength(f.get("flashing"), mostFlashing)
	if h, ok := f.get("dry_hours").text(); ok {
		x, plain := table.Number(h)
		if !plain || !(x > 0 && x <= mostDryHours) {
			f.get("dry_hours").fault("hours until the roof is dry were expected", "write a number such as 48")
			x = 0
		}
		c.DryHours = x
	}
	over := f.get("overflow")
	l := over.list()
	if !over.absent && (over.n.Kind != seqKind || len(l) != 2) {
		if l != nil {
			over.fault("two heights were expected", "write the least and the most above the lowest outlet: "+f.r.say("[2 in, 4 in]", "[50 mm, 100 mm]"))
		}
		return
	}
	if len(l) == 2 {
		c.OverflowLeast, c.OverflowMost = ruleLength(l[0], mostOverflow), ruleLength(l[1], mostOverflow)
		if c.OverflowLeast > c.OverflowMost && c.OverflowMost > 0 {
			over.fault("the least height is more than the most", "write the least first: "+f.r.say("[2 in, 4 in]", "[50 mm, 100 mm]"))
		}
	}
}
