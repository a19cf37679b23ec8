package survey

import (
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Area is one roof level bounded by an outline, in job coordinates. Outline
// vertices stand as the job file writes them, whichever way round; edge n runs
// from vertex n to the next.
type Area struct {
	Name    string
	Outline geom.Ring
	Courts  []geom.Ring
	Edges   []Edge // one a vertex of Outline
	Outlets []Outlet
	Curbs   []Curb
	Doors   []WallItem
	// Sills of windows, louvers and the like; Weeps and other openings of
	// through-wall flashing.
	Sills, Weeps []WallItem
	Ducts        []Duct
	Shots        []Shot
	Cores        []Core
	// DeckShots stand on the bare deck, taken at tear-off where Shots stand on
	// the membrane; they replace the inferred deck.
	DeckShots []Shot
	AsBuilt   []Shot // on the surface as laid, to hold it against the design
	// Laid rows are down and stay; OnHand boards lie on this roof.
	Laid   []LaidRow
	OnHand []OnHand
	Cloud  *Cloud // nil: none; Shots may stand beside it
	Deck   DeckKind
	// Breaks are ridges and valleys of the deck itself, Joints expansion joints
	// and dividers that water does not cross; job feet, two places or more each.
	Breaks, Joints [][]geom.Pt
	// Crickets stand where the designer wants them, instead of where the program
	// would; OwnCrickets says that the job lists them, be it none.
	Crickets    []CricketPlace
	OwnCrickets bool
	// Doubts put every verdict on the area in question; the screens find them.
	Doubts []Doubt
}

// CricketPlace is a cricket that the designer places: on the line between two
// ways out of the water, its apex in the middle.
type CricketPlace struct {
	From, To geom.Pt     // job feet; both ends are low unless they lie at a wall
	Width    unit.Length // from the line out; 0: from the wanted valley slope
	On       CricketOn
	Board    unit.Slope // 0: as taper.cricket says
}

// CricketOn says where a cricket stands beside its line, looking from its
// first place to its second.
type CricketOn int

// The ways; the zero value is both.
const (
	OnBoth CricketOn = iota
	OnLeft
	OnRight
)

// String names s as the job file writes it.
func (s CricketOn) String() string {
	switch s {
	case OnBoth:
		return "both"
	case OnLeft:
		return "left"
	case OnRight:
		return "right"
	}
	panic("survey: unknown CricketOn")
}

// Doubt is a reason why a survey may be wrong as a whole, and what to look at.
type Doubt struct{ Why, Mend string }

// Edge is one straight stretch of the outline.
type Edge struct {
	Kind   EdgeKind
	Height Height // of the top of a parapet or wall; Datum unset: not stated
}

// EdgeKind says what an edge is and so whether water passes it.
type EdgeKind int

// The kinds; the zero value is Parapet, as the job file has it for edges that
// it does not name.
const (
	Parapet EdgeKind = iota
	Wall
	GutterEdge
	OpenEdge
	Joint
	LimitEdge // where the data or the work ends
)

// String names k as the job file writes it.
func (k EdgeKind) String() string {
	switch k {
	case Parapet:
		return "parapet"
	case Wall:
		return "wall"
	case GutterEdge:
		return "gutter"
	case OpenEdge:
		return "open"
	case Joint:
		return "joint"
	case LimitEdge:
		return "limit"
	}
	panic("survey: unknown EdgeKind")
}

// LetsWaterGo says whether water leaves over an edge of kind k all along it.
func (k EdgeKind) LetsWaterGo() bool { return k == GutterEdge || k == OpenEdge }

// Datum is what a height is measured above.
type Datum int

// The datums; the zero value is unset, and a height with it is not stated.
const (
	UnsetDatum     Datum = iota
	AboveMembrane        // the old membrane beside the item
	AboveDeck            // the deck beside the item
	AboveElevation       // job elevation zero
)

// String names d as the job file writes it.
func (d Datum) String() string {
	switch d {
	case UnsetDatum:
		return "unset"
	case AboveMembrane:
		return "membrane"
	case AboveDeck:
		return "deck"
	case AboveElevation:
		return "elevation"
	}
	panic("survey: unknown Datum")
}

// Height is a height and what it is measured above. The zero Height is not
// stated.
type Height struct {
	Value unit.Length
	Above Datum
}

// Stated says whether the job gives the height.
func (h Height) Stated() bool { return h.Above != UnsetDatum }

// Outlet is a place or an edge where water leaves.
type Outlet struct {
	ID       string // <area>-<edge> for a gutter or open edge
	Kind     OutletKind
	At       geom.Pt     // job feet; a scupper's middle; unset for edges
	Edge     int         // of scuppers, gutter and open edges; -1 for drains
	Along    unit.Length // of a scupper, from the edge's first vertex to its middle
	Size     unit.Length // a drain's bore; 0: not stated
	Width    unit.Length // a scupper's opening
	Opening  unit.Length // a scupper's height of opening
	Inlet    Height      // flange or invert; not stated: flush with the surface
	Overflow bool        // else primary
	State    OutletState
	Unstated bool // the job does not state State: it counts as working
	Reset    Reset
	Capacity []HeadFlow // heads ascending from more than 0, flows too; nil: not stated
	Onto     string     // the area that it discharges onto; empty: off the roof

	// Of drains only. Heights of their own that a rim has; 0: none, or not stated.
	Bowl     Bowl        // pressed into the roof round the drain
	Strainer unit.Length // how high its strainer stands; it dams no water
	Dam      unit.Length // of a ring on the flange that holds water back
}

// StateWords is the state as stated, or that it is not.
func (o Outlet) StateWords() string {
	if o.Unstated {
		return "not stated"
	}
	return o.State.String()
}

// IsEdge says whether water runs off all along an edge: a gutter or an open edge.
func (o Outlet) IsEdge() bool { return o.Kind == GutterOutlet || o.Kind == OpenOutlet }

// Bowl is a square sump pressed into the roof round a drain, its middle the
// drain, its sides along the building axes.
type Bowl struct {
	Size  unit.Length // of a side
	Depth unit.Length // of its level bottom under the roof at its rim
}

// HeadFlow is what an outlet takes with water standing so high over its inlet.
type HeadFlow struct {
	Head unit.Length
	Flow unit.Flow
}

// OutletKind says how an outlet lets water go.
type OutletKind int

// The kinds; the zero value is unset.
const (
	UnsetOutlet OutletKind = iota
	Drain
	Scupper
	GutterOutlet
	OpenOutlet
)

// String names k as the job file writes it.
func (k OutletKind) String() string {
	switch k {
	case UnsetOutlet:
		return "unset"
	case Drain:
		return "drain"
	case Scupper:
		return "scupper"
	case GutterOutlet:
		return "gutter"
	case OpenOutlet:
		return "open"
	}
	panic("survey: unknown OutletKind")
}

// OutletState says whether an outlet is known to work.
type OutletState int

// The states; the zero value is Works, as the job file has it for outlets
// without a state.
const (
	Works OutletState = iota
	Blocked
	Untested
)

// String names s as the job file writes it.
func (s OutletState) String() string {
	switch s {
	case Works:
		return "works"
	case Blocked:
		return "blocked"
	case Untested:
		return "untested"
	}
	panic("survey: unknown OutletState")
}

// Reset says whether a drain is set to the new surface.
type Reset int

// The answers; the zero value is ResetAsk: the design takes the drain as set
// to the finished surface and the report asks.
const (
	ResetAsk Reset = iota
	ResetYes
	ResetNo
)

// String names r as the job file writes it.
func (r Reset) String() string {
	switch r {
	case ResetAsk:
		return "ask"
	case ResetYes:
		return "yes"
	case ResetNo:
		return "no"
	}
	panic("survey: unknown Reset")
}

// Curb is a raised box that water cannot cross, in job coordinates.
type Curb struct {
	ID     string
	At     geom.Pt // its middle
	W, D   float64 // along and across the building axes, feet
	Turn   float64 // from the building axes, degrees counter-clockwise
	Height Height
}

// WallItem is what the finished surface must stay below, in job coordinates: a way
// onto the roof by its sill, another sill, a weep.
type WallItem struct {
	ID     string
	Edge   int         // that it stands in; -1: in the wall of a court or of a curb
	Along  unit.Length // from the edge's first vertex to its middle
	At     geom.Pt     // its middle
	Width  unit.Length // 0: not stated, or in no edge
	Height Height
}

// Duct runs above the roof on stands, in job coordinates; water passes under it.
type Duct struct {
	ID       string
	From, To geom.Pt
	Height   Height // of its underside
}

// DoorReach is how far from the roof's border the stated place of a wall item may
// lie: a wall's thickness.
const DoorReach = 1 * unit.Foot

// Shot is one surveyed place.
type Shot struct {
	ID   string
	At   geom.Pt     // job feet
	Elev unit.Length // above job elevation zero
	Code string
	File string // where it was read
	Line int    // from 1
	Left string // why the surface leaves it out; empty: used
	// Again: it is left out since another shot of its place counts, which it
	// agrees with.
	Again bool

	Rod   unit.Length // the raw reading; told where SetUp is not 0
	SetUp int         // number in Source.SetUps, from 1; 0: an elevation was given

	FromCloud bool // the median of the points in a cell of a point cloud
}

// Core is a cut through the old roof.
type Core struct {
	ID        string
	At        geom.Pt     // job feet
	Thickness unit.Length // membrane to deck
	Layers    []Layer     // from the top down; nil: not stated
	Wet       bool
	WetKnown  bool // wet or dry is stated
	Roofs     int  // how many old roofs lie there; 0: not stated
}
