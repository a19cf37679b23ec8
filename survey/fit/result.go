// Package fit finds the surface that shots describe, says how far it can be
// trusted, and screens shots for blunders.
package fit

import "runnel/survey"

// Result is the surface fitted to the shots of one area, with its accuracy.
//
// RMSEIn is how far the surface, refitted without a shot, misses that shot, root
// mean square, by the method kept; over all shots up to 200, over three groups
// of up to 200 beyond. It holds the scatter of the readings and is taken at
// twice the distance from the next shot that a place has at most: it errs high.
// Where too few shots leave nothing to leave out it is not known: HasRMSE is
// false, RMSEIn 0, and SigmaIn what an unknown surface is credited with.
//
// SigmaIn is the root mean square of Surface.SigmaIn, the error place by place,
// over the roof that can be told. Both are 0 where the shots lie on a plane and
// no reading error is stated: such a surface is exact.
type Result struct {
	Surface   *survey.Surface
	Method    string  // the method kept, in words for the report
	HasRMSE   bool    // one shot at a time could be left out
	RMSEIn    float64 // leave-one-out error of the kept method, inches
	SigmaIn   float64 // one standard error of the surface at a place, inches
	ScatterIn float64 // one standard error of a reading: stated or seen, the larger, inches
	SpacingFt float64 // typical distance between neighbouring shots
	Dishes    Dishes  // what shots so far apart cannot show
	Scores    []Score // the methods compared, the kept one first
	Used      int     // shots behind the surface; of a point cloud, the medians of its cells
	Note      string  // how a point cloud became the shots; the caller's word, "" for shots

	floorIn float64     // that is in SigmaIn at every place
	errors  *errorModel // for slopes; nil: SlopeSigma takes places to be off independently
}

// Score is the leave-one-out error of one method.
type Score struct {
	Method string
	RMSEIn float64 // 0 as well where none is known
}
