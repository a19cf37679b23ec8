package fit

import (
	"fmt"
	"math"
)

// Check says which law of a fitted surface r breaks, nil when none: slices of
// one value a cell, finite elevations, 0 off the roof, nothing known off the
// roof, errors that are not negative, none where none is known, the better
// method kept.
func (r *Result) Check() error {
	s := r.Surface
	if s == nil {
		return fmt.Errorf("a result without a surface")
	}
	n := s.Len()
	if len(s.Roof) != n || len(s.ElevIn) != n || s.Known != nil && len(s.Known) != n {
		return fmt.Errorf("%d cells with %d marks, %d elevations, %d known", n, len(s.Roof),
			len(s.ElevIn), len(s.Known))
	}
	for k, v := range s.ElevIn {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("elevation of cell %d is %v", k, v)
		}
		if !s.Roof[k] && (v != 0 || s.Known != nil && s.Known[k]) {
			return fmt.Errorf("cell %d off the roof has an elevation", k)
		}
	}
	for _, v := range []float64{r.RMSEIn, r.SigmaIn, r.SpacingFt} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("error %v, sigma %v or spacing %v is no measure", r.RMSEIn, r.SigmaIn,
				r.SpacingFt)
		}
	}
	if !r.HasRMSE && (r.RMSEIn != 0 || r.SigmaIn < unknownIn) {
		return fmt.Errorf("error %g and sigma %g of shots too few to tell them", r.RMSEIn, r.SigmaIn)
	}
	if len(r.Scores) == 0 || r.Scores[0] != (Score{r.Method, r.RMSEIn}) {
		return fmt.Errorf("method %q with error %g is not the first of the scores %v", r.Method, r.RMSEIn, r.Scores)
	}
	for _, sc := range r.Scores {
		if sc.RMSEIn < tinWins*r.RMSEIn {
			return fmt.Errorf("a worse method was kept: %v", r.Scores)
		}
	}
	return nil
}
