package fit

import "runnel/survey/unit"

// DeckReport says how the base and the deck were found.
type DeckReport struct {
	Inferred bool    // by cores; Words then hold the word, and every sheet prints them
	SigmaIn  float64 // one standard error of the deck at a place, inches; 0: not told
	Words    string
	Warnings []string

	// SlopeDoubt is one standard error of the slope between membrane and deck
	// along an axis; 0: no cores tell it, and the two are taken as parallel.
	SlopeDoubt unit.Slope
	ShotPct    float64 // share of the roof where deck shots tell the deck
	// CoreReach is how far from a core a height above the membrane is turned into
	// one above the deck.
	CoreReach unit.Length
	// Slope is where the slope of the old roof comes from, Why says so with its
	// figures. The two slopes are means over the roof, read over some 10 ft.
	Slope          SlopeSource
	Why            string
	Membrane, Deck unit.Slope // 0 as well where not known
	// OnMembrane and DeckTold say that they are known; a deck that is taken parallel
	// to the membrane for want of cores is not.
	OnMembrane, DeckTold bool
}

// SlopeSource says where the slope of the old roof comes from.
type SlopeSource int

// The sources; the zero value is SlopeUntold.
const (
	SlopeUntold SlopeSource = iota
	SlopeInDeck
	SlopeInInsulation
	SlopeInBoth
	NoSlope // the membrane is level
)

// String names s as summary.json writes it.
func (s SlopeSource) String() string {
	switch s {
	case SlopeUntold:
		return "untold"
	case SlopeInDeck:
		return "deck"
	case SlopeInInsulation:
		return "insulation"
	case SlopeInBoth:
		return "both"
	case NoSlope:
		return "none"
	}
	panic("fit: unknown SlopeSource")
}
