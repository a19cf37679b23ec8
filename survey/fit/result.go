// Package fit finds the surface that shots describe, says how far it can be
// trusted, and screens shots for blunders.
package fit

import "runnel/survey"

// Result is the surface fitted to the shots of one area, with its accuracy.
type Result struct {
	Surface   *survey.Surface
	Method    string  // the method kept, in words for the report
	RMSEIn    float64 // leave-one-out error of the kept method, inches
	SigmaIn   float64 // one standard error of the surface at a place, inches
	SpacingFt float64 // typical distance between neighbouring shots
	Scores    []Score // the methods compared, best first
}

// Score is the leave-one-out error of one method.
type Score struct {
	Method string
	RMSEIn float64
}
