package drainage

import (
	"context"
	"fmt"

	"runnel/survey"
)

// Standing is the part of Check that tells standing water alone: ponds, filled
// elevations and PondsFree; no paths, no drainage areas, and MeetsDesign stays
// Unknown. Errors are those of Check. Cost: that of filling, about a tenth of
// Check.
func Standing(ctx context.Context, s *survey.Site, surf *survey.Surface, opt Options) (*Report, error) {
	c, r, err := prepared(s, surf, opt)
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return nil, fmt.Errorf("look for standing water on area %s: %w", s.Name, err)
	}
	r.PondsFree = c.pondsFree(r)
	return r, nil
}
