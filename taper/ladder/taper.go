package ladder

import (
	"context"
	"fmt"

	"runnel/drainage"
	"runnel/survey/unit"
	"runnel/taper"
)

// taper is the design over the whole area; where that does not do, with the
// outlets that the rung of outlets would add, and then with those alone.
func (c *climb) taper(ctx context.Context) (Step, error) {
	if c.InPart {
		return Step{Why: "the job tapers a part of the area"}, nil
	}
	if s, none, err := c.noDesign(ctx); none || err != nil {
		return s, err
	}
	s := c.designed(c.Design, c.Proof)
	if s.Outcome != Refused || len(c.more) == 0 || c.WithOutlets == nil {
		return s, nil
	}
	for _, alone := range []bool{false, true} {
		with, err := c.towardNew(ctx, alone)
		switch {
		case ctx.Err() != nil:
			return s, ctx.Err()
		case err != nil:
			s.Why += "; with the new outlets no taper can be laid out: " + err.Error()
			return s, nil
		case with.Outcome == Kept:
			with.Why = "toward the outlets there are it does not do: " + s.Why + "; so it does: " + with.Why
			return with, nil
		case alone:
			s.Why += "; nor does it with the new outlets: " + with.Why
		}
	}
	return s, nil
}

// noDesign makes the job's design where that was not done before, or says why
// there is none.
func (c *climb) noDesign(ctx context.Context) (s Step, none bool, err error) {
	if c.Design == nil && c.Lay != nil {
		if c.Design, c.Proof, err = c.Lay(ctx); err != nil {
			return Step{Outcome: Refused, Why: "no taper can be laid out: " + err.Error()}, true, ctx.Err()
		}
	}
	return Step{Why: c.NoDesign}, c.Design == nil, nil
}

// towardNew is the design toward the new outlets too, or toward them alone.
func (c *climb) towardNew(ctx context.Context, alone bool) (Step, error) {
	d, p, err := c.WithOutlets(ctx, alone, c.more, c.moreIn)
	if err != nil {
		return Step{}, err
	}
	s := c.designed(d, p)
	var words []string
	for _, o := range c.more {
		words = append(words, c.outletWords(o))
		s.Places = append(s.Places, Place{Rung: Outlet, At: o.P, Words: c.outletWords(o)})
	}
	s.Do += " toward a new outlet: " + listed(words)
	if alone {
		s.Do += "; the drains and scuppers there are given up"
	}
	s.Do += "; " + pipesUntested
	return s, nil
}

// designed says what became of a design.
func (c *climb) designed(d *taper.Design, p *taper.Proof) Step {
	in := d.Insulation
	s := Step{Left: leftOf(p.Report), Boards: d.Totals.Pieces, Outcome: Refused, Why: p.Why,
		Do: fmt.Sprintf("taper of %s, %s to %s thick", d.Slope.Format(c.Units), unit.Inches(in.ThinnestIn).FormatThin(c.Units),
			unit.Inches(in.ThickestIn).FormatThin(c.Units))}
	switch {
	case d.OverThickest > 0:
		s.Why = fmt.Sprintf("it is %s thicker than the job allows", d.OverThickest.FormatThin(c.Units))
		if p.Why != "" {
			s.Why += "; " + p.Why
		}
	case p.Passes:
		s.Outcome, s.Why = Kept, "the design passes on the roof as surveyed"
	case c.untold(p):
		s.Outcome = Open
	}
	return s
}

// untold says whether a design fails only because the survey cannot tell.
func (c *climb) untold(p *taper.Proof) bool {
	if p.Field != drainage.Meets || p.Valley != drainage.Meets {
		return false
	}
	for _, pond := range p.Report.Ponds {
		if pond.DepthIn > c.Options.Rules.Pond.Inches()+1e-6 || pond.ClosedIn {
			return false
		}
	}
	return p.Report.PondsFree == drainage.Unknown
}
