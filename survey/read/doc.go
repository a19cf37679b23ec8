// Package read turns a job folder into a survey.Job: job.yaml strictly, then
// the shot, core and stock tables that it names. What is wrong comes back as
// problems with file, line, field, value, why and the mend, all at once.
//
// Nothing is guessed that a person could say in a word: a bare number without
// a unit, a height without a datum, a shot list without a header are asked
// about. What is taken for granted all the same is a problem of grade Note.
package read
