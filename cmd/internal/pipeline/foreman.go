package pipeline

import (
	"context"
	"fmt"

	"runnel/render"
	"runnel/taper"
)

// foreman makes the crew's set of the chosen design. What stands at night is told
// where the old roof was surveyed.
func (w work) foreman(ctx context.Context, a *render.AreaResult) error {
	if a.Design == nil || a.Proof == nil {
		return nil
	}
	in := taper.ForemanIn{Site: a.Site, Design: a.Design, Choice: w.job.Foreman, Base: w.base, Finished: a.Proof.Surface,
		FinishedIn: a.FinishedInletIn, Rules: w.rules, Limits: w.job.Ponds}
	if a.Fit != nil {
		in.Before, in.BeforeIn = a.Existing.Surface, a.InletIn
	}
	var err error
	if a.Foreman, err = taper.ForemanOf(ctx, in); err != nil {
		return fmt.Errorf("plan the work on area %s: %w", a.Area.Name, err)
	}
	return nil
}
