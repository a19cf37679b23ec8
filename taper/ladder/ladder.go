// Package ladder climbs from the least disturbance of a roof to the greatest:
// each rung is designed with what exists, laid on the surface as surveyed,
// drained again, and kept or refused with its figure.
package ladder

import (
	"runnel/survey/geom"
)

// Rung is the least disturbance that makes the roof drain, as far as it is
// known.
type Rung int

// The rungs, least disturbance first; the zero value is Unknown.
const (
	Unknown Rung = iota
	DrainsAsIs
	Sump
	FillLows
	Crickets
	Outlet
	PartTaper
	Taper
)

// String names r as summary.json writes it.
func (r Rung) String() string {
	switch r {
	case Unknown:
		return "unknown"
	case DrainsAsIs:
		return "drains-as-is"
	case Sump:
		return "sump"
	case FillLows:
		return "fill-lows"
	case Crickets:
		return "crickets"
	case Outlet:
		return "outlet"
	case PartTaper:
		return "part-taper"
	case Taper:
		return "taper"
	}
	panic("ladder: unknown Rung")
}

// Words names r as people read it.
func (r Rung) Words() string {
	switch r {
	case Unknown:
		return "not known"
	case DrainsAsIs:
		return "nothing"
	case Sump:
		return "reset or sump a drain"
	case FillLows:
		return "fill low places"
	case Crickets:
		return "crickets only"
	case Outlet:
		return "another outlet"
	case PartTaper:
		return "taper in part"
	case Taper:
		return "full taper"
	}
	panic("ladder: unknown Rung")
}

// Outcome says what became of a rung.
type Outcome int

// The outcomes; the zero value is NotTested.
const (
	NotTested Outcome = iota // the rungs below suffice, or there is nothing to test
	Kept                     // it does
	Refused                  // it does not
	Open                     // the survey cannot tell
)

// String names o as summary.json writes it.
func (o Outcome) String() string {
	switch o {
	case NotTested:
		return "not-tested"
	case Kept:
		return "kept"
	case Refused:
		return "refused"
	case Open:
		return "open"
	}
	panic("ladder: unknown Outcome")
}

// Step is one rung as it was tested.
type Step struct {
	Rung    Rung
	Outcome Outcome
	Do      string // what would be done, in words with places and figures
	Why     string // why it does or does not, with its figure

	// Left is what water does with it done; nil: it was not laid and drained.
	Left               *Left
	FillCuFt, FillSqFt float64 // of the fill that it takes
	Boards             int     // pieces that it takes, as far as counted
	Places             []Place // of sumps, fills, crickets and outlets
}

// Left is what water still does on the roof with a rung done.
type Left struct {
	Ponds           int
	PondSqFt        float64
	DepthIn         float64 // of the deepest
	BelowMinimumPct float64
}

// Place is one thing that a rung does at one place.
type Place struct {
	Rung  Rung
	At    geom.Pt     // frame
	Shape []geom.Poly // frame; nil: at a point
	Words string      // short, for a label
	// Clears lists the ponds that it clears.
	Clears []string
}
