package table

import (
	"fmt"

	"runnel/survey/unit"
)

// BookUnit is what a plain number in a field book measures.
type BookUnit int

// The units; with the zero value plain numbers are refused.
const (
	UnsetBook BookUnit = iota
	BookFeet
	BookInches
	BookFeetInches // marks are asked for: 5.4 may be 5.4 ft or 5 ft 4 in
	BookMetres
	BookMillimetres
	BookSurveyFeet // US survey feet
)

// String names b as the job file writes it.
func (b BookUnit) String() string {
	switch b {
	case UnsetBook:
		return "unset"
	case BookFeet:
		return "ft"
	case BookInches:
		return "in"
	case BookFeetInches:
		return "ft-in"
	case BookMetres:
		return "m"
	case BookMillimetres:
		return "mm"
	case BookSurveyFeet:
		return "us-ft"
	}
	panic("table: unknown BookUnit")
}

// BookNamed is the unit that a job file writes so, UnsetBook for other words.
func BookNamed(word string) BookUnit {
	for b := BookFeet; b <= BookSurveyFeet; b++ {
		if b.String() == word {
			return b
		}
	}
	return UnsetBook
}

// One is the length of a plain 1; 0 where plain numbers are refused.
func (b BookUnit) One() unit.Length {
	switch b {
	case BookFeet:
		return unit.Foot
	case BookInches:
		return unit.Inch
	case BookMetres:
		return unit.Metre
	case BookMillimetres:
		return unit.Millimetre
	case BookSurveyFeet:
		return unit.SurveyFoot
	}
	return 0
}

// Read reads one elevation or reading of the book.
func (b BookUnit) Read(text string) (unit.Length, error) {
	if b == BookFeetInches {
		return unit.ParseFieldBook(text)
	}
	return Measure(text, b.One(), "write survey.unit: ft, in, ft-in, m, mm or us-ft, or a unit beside each value")
}

// Measure reads a length, plain numbers fast; mend is what to do about a
// number without unit where one is 0.
func Measure(text string, one unit.Length, mend string) (unit.Length, error) {
	x, plain := Number(text)
	switch {
	case !plain:
		return unit.ParseLength(text, one)
	case one == 0:
		return 0, unit.Refusal{Why: "the number has no unit", Mend: mend}
	}
	return Times(x, one), nil
}

// Times is x of a unit.
func Times(x float64, one unit.Length) unit.Length { return unit.Inches(x * one.Inches()) }

// MeantOr writes the mend of an unknown word.
func MeantOr(near string, words []string) string {
	if near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return "write " + Listed(words)
}
