// Package survey holds what is known of a roof: the job with its areas, shots
// and choices, the building frame, and the surface that the shots describe.
//
// Plan coordinates are feet, x right and y up on the sheet; heights and
// elevations are inches above job elevation zero. Readers live in survey/read,
// the fit of a surface to shots in survey/fit.
package survey
