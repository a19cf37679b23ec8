package survey

import (
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// SetUp is one stand of the instrument, as stated and as reduced. Raw readings
// stand in Shot.Rod.
type SetUp struct {
	ID        string      // as shots and reports name it
	On        string      // what the backsight stands on; empty where HI was stated
	From      unit.Length // elevation of On; told where On is not empty
	Backsight unit.Length // reading on On
	HI        unit.Length // height of instrument; with a direct rod the zero of the rod
	Direct    bool        // the rod reads up: a bigger reading is a higher place
	Shift     unit.Length // added to all that was read here: a share of a misclosure
	TiedTo    string      // the set-up whose shared shots gave HI; empty: none
	Shared    int         // how many shots it shares with TiedTo, else with Beside
	Beside    string      // the set-up it was compared with over shared shots
	Off       unit.Length // how much higher than Beside it has them, by their median
	Agree     unit.Length // how far from the median the farthest of them stands; several alone tell
}

// Closing is a known mark that a line of levels or a set-up came back to.
type Closing struct {
	SetUp   string // that read it
	On      string
	Found   unit.Length
	Known   unit.Length
	Allowed unit.Length // 0: not stated
	By      string      // where Allowed comes from, in words
	File    string      // where it was read
	Line    int         // from 1; 0 where there is none
}

// Misclosure is found less known; the correction has the opposite sign.
func (c Closing) Misclosure() unit.Length { return c.Found - c.Known }

// Within says whether the misclosure is allowed; stated is false where no
// allowed misclosure is stated.
func (c Closing) Within() (within, stated bool) {
	off := c.Misclosure()
	const hair = unit.Inch / 1e6 // 100.02 less 100 is not quite 0.02
	return max(off, -off) <= c.Allowed+hair, c.Allowed > 0
}

// Evidence is what the crew writes down of how a survey was made. Empty parts
// were not stated.
type Evidence struct {
	Method     string // "rotary laser and rod"
	Instrument string
	Checked    string // when the instrument was checked last, and how
	Date       string
	By         string // the crew's role or initials
	Weather    string
}

// Photo is a picture by its file name at its place.
type Photo struct {
	File string
	At   geom.Pt // job feet
	Note string
}

// DeckKind is the make of a deck as the job states it.
type DeckKind struct {
	Type    string   // "steel", "concrete", "wood", ...; empty: not stated
	SpanDeg *float64 // direction of span from +x, counter-clockwise; nil: not stated
	Framing string   // words on joists and beams; empty or "unknown": not known
	Bays    *BayGrid // nil: not stated
	// SagOf is n of a sag of L/n to be tried, L the side of a bay along the span;
	// 0: none. Camber is a rise in the middle of a bay to be tried; 0: none.
	SagOf  float64
	Camber unit.Length
}

// BayGrid is a regular grid of bays along the building axes.
type BayGrid struct {
	From geom.Pt // a corner of the grid, job feet
	W, D float64 // of a bay along and across the building axes, feet
}

// Layer is one layer of a core, from the top down.
type Layer struct {
	Name      string
	Thickness unit.Length
	Wet       bool
}

// A list of more than LeastCloud shots on an area, more than DensestShots of
// them to a square foot, was not read by a person with a rod. Common practice, no
// source.
const (
	LeastCloud   = 4000
	DensestShots = 0.25
)

// Cloud is a point cloud of one area: places by the million, kept small.
type Cloud struct {
	File   string
	Origin geom.Pt // job feet
	ZeroFt float64 // elevation that Z counts from, feet
	Pts    []CloudPt
	InFile int // points of the file, those off the area included
}

// CloudPt is a point of a Cloud, in feet from its origin and zero: float32
// holds 0.001 in at 100 ft.
type CloudPt struct {
	X, Y, Z float32
}
