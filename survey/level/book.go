// Package level reduces a level book: set-ups with their heights of
// instrument, elevations, misclosure and its correction.
//
// Readings and elevations stand in the book's own unit, so that a book whose
// unit is not stated can be reduced too. The rod is ordinary (a bigger reading
// is a lower place) unless a set-up says direct.
package level

import (
	"runnel/survey/unit"
)

// Kind says what a reading is for; the zero value is refused by Reduce's
// callers, who always know.
type Kind int

// The kinds.
const (
	Intermediate Kind = iota + 1
	Foresight         // may carry the line on to the next set-up
)

// String names k as the book's columns do.
func (k Kind) String() string {
	switch k {
	case Intermediate:
		return "IS"
	case Foresight:
		return "FS"
	}
	panic("level: unknown Kind")
}

// Reading is one sight forward, in the book's unit.
type Reading struct {
	Shot string
	Rod  float64
	Kind Kind
	Line int // of the file, from 1; 0 where there is none
}

// SetUp is one stand of the instrument: a backsight and what was read after.
type SetUp struct {
	On        string // the place that the backsight stands on
	Backsight float64
	Direct    bool // the rod reads up: a bigger reading is a higher place
	Readings  []Reading
	Line      int
}

// Mark is a place of known elevation, in the book's unit.
type Mark struct {
	Shot      string
	Elevation float64
}

// Book is a level book.
type Book struct {
	One    unit.Length // what a plain 1 measures; 0 where it is not stated
	Known  []Mark      // the first of a name counts
	SetUps []SetUp     // in the order of the work
	Run    unit.Length // length of the levelled line; 0 where it is not stated
}

// AssumedElevation is what the first backsight stands on where the book does
// not say.
const AssumedElevation = 100

// Shot is one reading reduced.
type Shot struct {
	Reading
	SetUp     int // number of the set-up, from 0
	Elevation float64
	Adjusted  float64 // with its part of the correction
}

// Instrument is one set-up reduced.
type Instrument struct {
	SetUp      int // number in the book, from 0
	On         string
	Backsight  float64
	From       float64 // elevation of the backsight, not adjusted
	HI         float64 // height of instrument; with a direct rod the zero of the rod
	Direct     bool
	Correction float64 // added to what was read here
	Line       int

	onLine bool
	parent int // the shot that the backsight stands on; -1 for a known mark
}

// Closure is what the line found at a mark of known elevation.
type Closure struct {
	Mark
	Shot       int // number in Result.Shots
	Found      float64
	Misclosure float64 // found less known
}

// Result is a book reduced, in the book's unit.
type Result struct {
	One     unit.Length
	Start   Mark
	Assumed bool // Start's elevation is AssumedElevation, for want of another
	SetUps  []Instrument
	Shots   []Shot // in the order of the book
	Loose   []int  // set-ups of the book whose backsight nothing has reached

	// The line runs from the start to the closing mark, or to the last
	// foresight where nothing closes.
	SumBS, SumFS float64 // of the line, the rods' signs left alone
	Rise         float64 // the line's last elevation less its first, by sums
	PageCheck    float64 // Rise less the same from elevations: 0 but for rounding

	Closing *Closure // nil where the line does not end on a known mark
	Checks  []Closure
	Run     unit.Length
	Order   Order       // that Allowed is taken from
	Allowed unit.Length // 0 where the unit is not stated
}

// Within says whether the misclosure is allowed; stated is false where nothing
// closes, or the unit is not stated.
func (r Result) Within() (within, stated bool) {
	if r.Closing == nil || r.Allowed == 0 {
		return false, false
	}
	off := r.Closing.Misclosure
	const hair = unit.Inch / 1e6 // 100.02 less 100 is not quite 0.02
	return unit.Inches(max(off, -off)*r.One.Inches()) <= r.Allowed+hair, true
}
