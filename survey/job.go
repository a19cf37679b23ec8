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
	Name      string
	Units     unit.System
	NorthDeg  float64 // of north from +y, counter-clockwise
	Survey    Source
	Scope     Scope
	Part      geom.Ring // of a Partial scope, job feet
	Rules     RuleChoice
	Taper     *TaperChoice // nil: no design is made
	Stock     *Stock       // nil: the built-in default
	Seen      []SeenPond
	Ponds     PondLimits
	Rain      Rain
	Sections  []Section // empty: one is chosen
	Lines     []OwnLine
	Regions   []Region
	Thermal   *Thermal // nil: no rule on R; the start is what the job states
	AsBuilt   AsBuilt
	Foreman   Foreman
	Fastening *Fastening // nil: not stated how boards are held
	Areas     []Area
	Notes     problem.List // grade Note only: what the report must say
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
	Sump      unit.Length // side of the square sump round every drain; 0: none
	SumpBoard unit.Slope  // of a sump's boards; 0: 1/2 in/ft
	// EqualEdges asks for edges of one height, by steeper boards where the way to
	// the outlet is short; else all boards have one slope.
	EqualEdges bool
	Cricket    CricketChoice
	// TightCut cuts over the whole roof; else the crew's way, from what lies near.
	TightCut bool
	Kerf     unit.Length // width of a cut; 0: a knife
	// LooseBoards orders what is over full bundles board by board; else full
	// bundles alone.
	LooseBoards bool
	// Sliver is the narrowest piece that is laid where a shift of the joints can avoid
	// it; 0: 3 in.
	Sliver unit.Length
	// MostLayers is how many boards may lie on one another, cover and all; 0: no limit
	// stated.
	MostLayers int
}

// CricketChoice says how crickets are made. The zero value makes those that
// the rules want, of the flattest board that turns the water.
type CricketChoice struct {
	None   bool       // no crickets
	Board  unit.Slope // 0: the flattest of the stock that does
	Valley unit.Slope // wanted in their valleys; 0: the rule set's least
}

// OwnLine is a ridge or a valley that the designer draws.
type OwnLine struct {
	Kind OwnLineKind
	At   []geom.Pt // job feet, two or more
}

// OwnLineKind is what an own line does.
type OwnLineKind int

// The kinds; the zero value is unset.
const (
	UnsetOwnLine OwnLineKind = iota
	OwnRidge                 // no water crosses it: each side is designed by itself
	OwnValley                // a low line: the field falls to it from both sides
)

// String names k as the job file writes it.
func (k OwnLineKind) String() string {
	switch k {
	case UnsetOwnLine:
		return "unset"
	case OwnRidge:
		return "ridge"
	case OwnValley:
		return "valley"
	}
	panic("survey: unknown OwnLineKind")
}

// Region is a part of an area that is designed by itself, with a scheme and a
// slope of its own.
type Region struct {
	Outline geom.Ring  // job feet
	Scheme  Scheme     // unset: the job's
	Slope   unit.Slope // 0: the job's
}

// Thermal is the insulation that the job must reach.
type Thermal struct {
	RequiredR float64 // sq ft h F/Btu, of the insulation alone
	Rule      RRule
	RPerInch  float64 // of the insulation
}

// Foreman says how the crew works.
type Foreman struct {
	HI   unit.Length // of the instrument that the crew sets up; 0: that of the survey
	Rate unit.Area   // of roof opened and covered a day; 0: no day plan is made
}

// AsBuilt says how the surface as laid is held against the design.
type AsBuilt struct {
	Place        unit.Length // a shot may lie so far from the design; 0: common practice
	Run          unit.Length // and two near ones so far apart from it; 0: common practice
	ReadingError unit.Length // one standard error of one reading; 0: the survey's
}

// RRule is how a required R is met by taper.
type RRule int

// The rules; the zero value is unset, and there is no default.
const (
	UnsetRRule    RRule = iota
	LeastR              // everywhere
	LeastPlusInch       // everywhere, less one inch of insulation at the low point
	AverageR            // by the average thickness
	HeatFlowR           // by the average of U
)

// String names r as the job file writes it.
func (r RRule) String() string {
	switch r {
	case UnsetRRule:
		return "unset"
	case LeastR:
		return "least"
	case LeastPlusInch:
		return "least-plus-1in"
	case AverageR:
		return "average"
	case HeatFlowR:
		return "heat-flow"
	}
	panic("survey: unknown RRule")
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
	UnsetScheme    Scheme = iota
	FourWay               // toward every primary outlet
	OneWay                // toward gutter edges and edges with scuppers
	TwoWayCrickets        // toward lines of outlets, crickets along them
	CricketsOnly          // the deck slopes by itself: crickets on it, no field
	EightWay              // as four-way with facets in eight directions; for comparison
	Compare               // all that fit, designed and measured
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
	case TwoWayCrickets:
		return "two-way-crickets"
	case CricketsOnly:
		return "crickets-only"
	case EightWay:
		return "eight-way"
	case Compare:
		return "compare"
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
	Strips  []TaperedBoard // edge strips: they start at nothing
	// Attach is how the job holds its boards; those that it does not allow are not laid.
	// Unset: not stated, all are.
	Attach Attach
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
	Bundle      int         // boards a bundle; 0: not given
	Attach      Attach      // the only way it may be held, Screws or Adhesive; unset: any
}

// FlatBoard is a flat board; Along is its longer side.
type FlatBoard struct {
	Thickness    unit.Length
	Along, Depth unit.Length
	Price        float64 // a board; 0: not given
	Bundle       int     // boards a bundle; 0: not given
	Attach       Attach  // the only way it may be held, Screws or Adhesive; unset: any
}
