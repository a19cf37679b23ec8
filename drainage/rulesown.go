package drainage

import (
	"errors"

	"runnel/survey"
	"runnel/survey/unit"
)

// ownSource stands at a figure of the job's own whose source is not stated.
const ownSource = "the job's own figure"

// ownRules puts the figures of the job over those of the set that they are
// like. Like no set, only mode and field must be given: the valley's limit is
// then the field's, ponds and hours are the usual ones, and gutters, sumps,
// overflows and flashings are judged where the job says by what.
func ownRules(c survey.RuleChoice) (Rules, error) {
	usual := usLimits()
	r := Rules{Name: "own", Edition: "of the job", Mode: c.Mode, Worth: usual.Worth,
		Pond: usual.Pond, PondSource: usual.PondSource, DryHours: usual.DryHours, DrySource: usual.DrySource}
	if c.Like != "" {
		like, err := builtIn(c.Like)
		if err != nil {
			return Rules{}, err
		}
		r = like
		r.Name = like.Name + ", changed"
	}
	if c.Called != "" {
		r.Name = c.Called
	}
	if c.Edition != "" {
		r.Edition = c.Edition
	}
	if c.Mode != survey.UnsetMode {
		r.Mode = c.Mode
	}
	source := c.Source
	if source == "" {
		source = ownSource
	}
	ownSlopes(&r, c, source)
	ownDepths(&r, c, source)
	switch {
	case r.Mode == survey.UnsetMode:
		return Rules{}, errors.New("own rules need a mode: planes or every-path")
	case r.Field.Min <= 0 || r.Valley.Min < 0:
		return Rules{}, errors.New("own rules need a field slope above 0 and a valley slope of at least 0")
	case r.Design.Min != 0 && r.Design.Min < r.Field.Min:
		return Rules{}, errors.New("own rules design for a slope that is less than the field's")
	}
	return r, nil
}

func ownSlopes(r *Rules, c survey.RuleChoice, source string) {
	put := func(l *Limit, own unit.Slope) {
		if own != 0 {
			*l = Limit{Min: own, Source: source}
		}
	}
	put(&r.Field, c.Field)
	put(&r.Valley, c.Valley)
	put(&r.Gutter, c.Gutter)
	put(&r.Sump, c.Sump)
	put(&r.Design, c.Design)
	if r.Mode == survey.EveryPath {
		r.Valley = r.Field
	}
}

func ownDepths(r *Rules, c survey.RuleChoice, source string) {
	if c.Pond != 0 {
		r.Pond, r.PondSource = c.Pond, source
	}
	if c.DryHours != 0 {
		r.DryHours, r.DrySource = c.DryHours, source
	}
	if c.OverflowMost != 0 {
		r.OverflowLeast, r.OverflowMost, r.OverflowSource = c.OverflowLeast, c.OverflowMost, source
	}
	if c.Flashing != 0 {
		r.Flashing, r.FlashingSource = c.Flashing, source
	}
	if c.Drained != nil {
		r.DrainedException = *c.Drained
	}
}
