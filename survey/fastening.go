package survey

import "runnel/survey/unit"

// Fastening is how the boards are held down. What the job does not state is 0, and
// nothing that hangs on it is told.
type Fastening struct {
	Attach     Attach
	GluedCover bool          // the cover board is glued on, not screwed through
	Embed      unit.Length   // of a screw below the top of the deck
	Room       unit.Length   // below the top of the deck, free of conduit or up to where a screw shows
	Step       unit.Length   // screws come in whole steps of it; 0 with Lengths
	Lengths    []unit.Length // that screws come in, shortest first; none: by Step
	Plates     []unit.Length // of the lines of plates from the thin edge of a board; none: at the thickest place
	// What fixes the number: screws in the largest board of the layer they hold, or the
	// area that one of them has, or the uplift and what one screw holds. One of them, or none.
	PerBoard ByZone[int]
	AreaEach ByZone[unit.Area]
	Pressure ByZone[unit.Load]
	Screw    unit.Force // that one screw may hold
	Zones    ZoneChoice
	Beads    ByZone[unit.Length] // distance of the beads of adhesive
	Kit      unit.Length         // of bead that one kit of adhesive gives
}

// Zone is a part of a roof by how hard the wind lifts it.
type Zone int

// The zones, mildest first; the zero value is unset.
const (
	UnsetZone Zone = iota
	InnerZone      // of ZonesByHeight alone: farther than twice the strip from every edge
	FieldZone
	PerimeterZone
	CornerZone
)

// Zones lists them, mildest first.
func Zones() []Zone { return []Zone{InnerZone, FieldZone, PerimeterZone, CornerZone} }

// String names z as files write it.
func (z Zone) String() string {
	switch z {
	case UnsetZone:
		return "unset"
	case InnerZone:
		return "inner"
	case FieldZone:
		return "field"
	case PerimeterZone:
		return "perimeter"
	case CornerZone:
		return "corner"
	}
	panic("survey: unknown Zone")
}

// ByZone is one value for each zone.
type ByZone[T any] struct{ Inner, Field, Perimeter, Corner T }

// Of is where the value of a zone stands.
func (b *ByZone[T]) Of(z Zone) *T {
	switch z {
	case InnerZone:
		return &b.Inner
	case FieldZone:
		return &b.Field
	case PerimeterZone:
		return &b.Perimeter
	case CornerZone:
		return &b.Corner
	case UnsetZone:
	}
	panic("survey: no such Zone")
}

// ZoneChoice is how the zones are drawn. The zero value draws none.
type ZoneChoice struct {
	By     ZoneRule
	Height unit.Length // of the roof above ground
	Width  unit.Length // least width of the building, of ZonesByWidth; 0: of the box round the outline
}

// ZoneRule is where zones end.
type ZoneRule int

// The rules; the zero value is unset.
const (
	UnsetZones    ZoneRule = iota
	ZonesByWidth           // older editions: a strip by least width and height, square corners
	ZonesByHeight          // newer editions: strips by height alone, corners of two legs
)

// String names r as the job file writes it.
func (r ZoneRule) String() string {
	switch r {
	case UnsetZones:
		return "unset"
	case ZonesByWidth:
		return "least-width"
	case ZonesByHeight:
		return "height"
	}
	panic("survey: unknown ZoneRule")
}
