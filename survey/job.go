package survey

import (
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// Job is one re-roof as read from its folder: every choice made, every height
// with its datum, nothing computed yet. A Job that a reader returns without a
// fault is sound: outlines do not cross themselves, outlets lie in their areas.
type Job struct {
	Name     string
	Units    unit.System
	NorthDeg float64 // of north from +y, counter-clockwise
	Survey   Source
	Scope    Scope
	Part     geom.Ring // of a Partial scope, job feet
	Rules    RuleChoice
	Taper    *TaperChoice // nil: no design is made
	Stock    *Stock       // nil: the built-in default
	Seen     []SeenPond
	Ponds    PondLimits
	Rain     Rain
	Sections []Section // empty: one is chosen
	Areas    []Area
	Notes    problem.List // grade Note only: what the report must say
}

// Source says where the elevations come from.
type Source struct {
	None         bool        // survey: none; the layout is made on a level deck
	Surface      SurfaceKind // what the shots stand on
	ReadingError unit.Length // one standard error of one reading; 0: not stated
	SetUps       []SetUp     // in the order of the work
	Closings     []Closing
	Evidence     Evidence
	Photos       []Photo
}

// SurfaceKind is the surface that shots stand on.
type SurfaceKind int

// The surfaces; the zero value is unset.
const (
	UnsetSurface SurfaceKind = iota
	Membrane
	Deck
)

// String names k as the job file writes it.
func (k SurfaceKind) String() string {
	switch k {
	case UnsetSurface:
		return "unset"
	case Membrane:
		return "membrane"
	case Deck:
		return "deck"
	}
	panic("survey: unknown SurfaceKind")
}

// Scope says what of the old roof goes.
type Scope int

// The scopes; the zero value is unset.
const (
	UnsetScope Scope = iota
	TearOff
	Recover
	Partial // tear-off within Job.Part, the rest stays
)

// String names s as the job file writes it.
func (s Scope) String() string {
	switch s {
	case UnsetScope:
		return "unset"
	case TearOff:
		return "tear-off"
	case Recover:
		return "recover"
	case Partial:
		return "partial"
	}
	panic("survey: unknown Scope")
}

// Mode says what a rule set judges.
type Mode int

// The modes; the zero value is unset.
const (
	UnsetMode Mode = iota
	Planes         // fields and valleys each by their own least slope
	EveryPath      // every path, valleys too, by the field's least slope
)

// String names m as the job file writes it.
func (m Mode) String() string {
	switch m {
	case UnsetMode:
		return "unset"
	case Planes:
		return "planes"
	case EveryPath:
		return "every-path"
	}
	panic("survey: unknown Mode")
}

// RuleChoice is the rule set that the job names, or its own figures. Drainage
// turns it into limits with their sources.
type RuleChoice struct {
	Name string // of a built-in set; "own" when the job gives figures

	// Of own sets only. A slope, length or number of 0 is not given: it is that
	// of the set named by Like, or not judged.
	Like                                string // built-in set whose figures stand where the job gives none; "": none
	Called, Edition, Source             string // how the set is told; "": by Like
	Mode                                Mode
	Field, Valley, Gutter, Sump, Design unit.Slope
	Pond                                unit.Length // deepest water allowed on a finished surface
	DryHours                            float64
	OverflowLeast, OverflowMost         unit.Length // both or none
	Flashing                            unit.Length
	Drained                             *bool // the re-roof exception of roofs that drain; nil: as Like
}

// TaperChoice is what the job wants built.
type TaperChoice struct {
	Scheme    Scheme
	Slope     unit.Slope  // finished slope to build
	Start     unit.Length // tapered insulation at the low point, above the base
	Base      BaseChoice
	Cover     unit.Length // 0: no cover board
	Thickest  unit.Length // of base + fill + tapered; 0: no limit stated
	TurnBoard bool        // a piece may be cut face-down
	AxesDeg   *float64    // building axes from +x, nil: along the longest edge
	Sump      unit.Length // side of the square sump to cut round a drain that wants one; 0: not stated
}

// BaseChoice is the full flat layers on the deck.
type BaseChoice struct {
	Layers    int
	Thickness unit.Length // of each layer
}

// Scheme is a way to lay taper.
type Scheme int

// The schemes; the zero value is unset.
const (
	UnsetScheme Scheme = iota
	FourWay            // toward every primary outlet
	OneWay             // toward gutter edges and edges with scuppers
)

// String names s as the job file writes it.
func (s Scheme) String() string {
	switch s {
	case UnsetScheme:
		return "unset"
	case FourWay:
		return "four-way"
	case OneWay:
		return "one-way"
	}
	panic("survey: unknown Scheme")
}

// SeenPond is standing water that people saw.
type SeenPond struct {
	Outline geom.Ring   // job feet
	Depth   unit.Length // at its deepest
	Hours   float64     // after the rain
}

// PondLimits says which ponds are worth reporting. In a job 0 is not stated: the
// rule set says it.
// Section is a line along which the roof is drawn cut.
type Section struct {
	Name     string  // letters, figures, - and _: it names a picture
	From, To geom.Pt // job feet
}

// PondLimits says which ponds are worth reporting.
type PondLimits struct {
	Depth unit.Length
	Area  unit.Area
	// Drying is how much of its depth standing water loses here within the hours
	// after which it counts as a pond; 0: not stated.
	Drying unit.Length
}

// Rain is the rain to reckon with.
type Rain struct {
	Rate         unit.RainRate // that the primary outlets take; 0: not stated
	OverflowRate unit.RainRate // that the overflows take, primaries blocked; 0: not stated
}

// Stock is the boards to be had.
type Stock struct {
	Name    string
	Tapered []TaperedBoard
	Flats   []FlatBoard
	Covers  []FlatBoard
}

// TaperedBoard is a tapered board; Thin and Thick are its edges, and its slope
// runs along Depth.
type TaperedBoard struct {
	Slope       unit.Slope
	Thin, Thick unit.Length
	Along       unit.Length // along the row
	Depth       unit.Length // along the slope
	ToOrder     bool        // not on the shelf: ask for the lead time
	Price       float64     // a board; 0: not given
}

// FlatBoard is a flat board; Along is its longer side.
type FlatBoard struct {
	Thickness    unit.Length
	Along, Depth unit.Length
	Price        float64 // a board; 0: not given
}
