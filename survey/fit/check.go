package fit

import (
	"fmt"
	"math"

	"runnel/survey"
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
	for _, v := range []float64{r.RMSEIn, r.SigmaIn, r.ScatterIn, r.SpacingFt} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("error %v, sigma %v, scatter %v or spacing %v is no measure", r.RMSEIn,
				r.SigmaIn, r.ScatterIn, r.SpacingFt)
		}
	}
	if err := checkSigma(s); err != nil {
		return err
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

// checkSigma says which law the error of a surface breaks: one a cell, not
// negative, 0 off the roof.
func checkSigma(s *survey.Surface) error {
	if s.SigmaIn != nil && len(s.SigmaIn) != s.Len() {
		return fmt.Errorf("%d cells with %d errors", s.Len(), len(s.SigmaIn))
	}
	for k, v := range s.SigmaIn {
		if !(v >= 0) || math.IsInf(v, 0) || v != 0 && !s.Roof[k] {
			return fmt.Errorf("error of cell %d is %v, on the roof: %v", k, v, s.Roof[k])
		}
	}
	return nil
}
