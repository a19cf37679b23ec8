// Package taper designs tapered insulation: the field of thickness, its
// facets, the boards that make it, and the proof that the finished surface
// drains.
//
// Places are feet in the building frame of the site, thicknesses inches.
package taper

import (
	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Role says what a facet is for.
type Role int

// The roles; the zero value is unset. Crickets, sumps and strips are facets of
// their own that lie over or in the field.
const (
	UnsetRole Role = iota
	FieldRole
	CricketRole
	SumpRole
)

// String names r as plan.geojson writes it.
func (r Role) String() string {
	switch r {
	case UnsetRole:
		return "unset"
	case FieldRole:
		return "field"
	case CricketRole:
		return "cricket"
	case SumpRole:
		return "sump"
	}
	panic("taper: unknown Role")
}

// Facet is a region of one tapered layer with one direction and one slope.
type Facet struct {
	ID    int // from 1
	Role  Role
	Poly  geom.Poly    // off courts and curbs
	Plane survey.Plane // field, sump: thickness from the deck up, without crickets and cover; cricket: what it adds
	// Deck is the fitted plane under it; a cricket's holds the field as well, so
	// that Plane and Deck together are the finished top in every role.
	Deck survey.Plane
	// Of a cricket's: the ID of the cricket, and that of the field's facet that it
	// lies on; 0: none.
	Cricket, Under int
}

// Top is the finished top of the facet on the fitted deck, without cover. A
// cricket's covers the field's.
func (f Facet) Top() survey.Plane { return f.Plane.Add(f.Deck) }

// CricketKind says where a cricket stands.
type CricketKind int

// The kinds; the zero value is unset.
const (
	UnsetCricket CricketKind = iota
	FullCricket              // between two outlets in the open: both sides of their line
	HalfCricket              // one side of a line: along a wall, or where only one side has roof
	CurbCricket              // upslope of a curb
)

// String names k.
func (k CricketKind) String() string {
	switch k {
	case UnsetCricket:
		return "unset"
	case FullCricket:
		return "full"
	case HalfCricket:
		return "half"
	case CurbCricket:
		return "curb"
	}
	panic("taper: unknown CricketKind")
}

// Cricket is one cricket of a design. It runs along a line from one way out of
// the water to another, or from one to a wall, where it is highest.
type Cricket struct {
	ID     int
	Kind   CricketKind
	Name   string // "between D1 and D2"
	A, B   geom.Pt
	Apex   geom.Pt     // on the line, where it is highest
	W      unit.Length // from the line out
	Board  unit.Slope
	Valley unit.Slope  // flattest of its valleys, on the fitted plane
	Top    unit.Slope  // flattest of its facets' finished tops
	Peak   unit.Length // what it adds at its apex
	Sqft   float64
	CuFt   float64
}

// LowLine is a level line that the field of a design falls to: through outlets
// from wall to wall, or along a wall with scuppers. Crickets stand on it.
type LowLine struct {
	At     []geom.Pt // in order; the first and the last may be ends at a wall
	Outlet []string  // beside At: the outlet there; "": an end at a wall
	// Wall: it lies along a wall, the roof on the left. Else roof lies on both.
	Wall bool
	// Slope is what the finished field falls toward it: on the left, on the right
	// (looking from the first place to the last); 0: no roof there.
	Left, Right unit.Slope
}

// Line is where two facets meet.
type Line struct {
	Kind  LineKind
	A, B  geom.Pt
	Slope unit.Slope // of the finished surface on the fitted plane along the line
}

// LineKind tells a line that gathers water from one that sheds it.
type LineKind int

// The kinds; the zero value is unset.
const (
	UnsetLine LineKind = iota
	Valley
	Ridge
	Hip
)

// String names k.
func (k LineKind) String() string {
	switch k {
	case UnsetLine:
		return "unset"
	case Valley:
		return "valley"
	case Ridge:
		return "ridge"
	case Hip:
		return "hip"
	}
	panic("taper: unknown LineKind")
}

// BoardType says what a board does in the build-up.
type BoardType int

// The types, bottom to top; the zero value is unset.
const (
	UnsetType BoardType = iota
	BaseType
	FillType
	TaperedType
	CricketType
	CoverType
)

// String names t as boards.csv writes it.
func (t BoardType) String() string {
	switch t {
	case UnsetType:
		return "unset"
	case BaseType:
		return "base"
	case FillType:
		return "fill"
	case TaperedType:
		return "tapered"
	case CricketType:
		return "cricket"
	case CoverType:
		return "cover"
	}
	panic("taper: unknown BoardType")
}

// Board is one piece as it lies on the roof: a whole board or what a cut left
// of it.
type Board struct {
	Layer int // 1 at the bottom, counted at this place
	Type  BoardType
	Mark  string // "1/2 to 1-1/2", "2"
	Facet int    // ID of its facet; 0 for base layers
	Row   int    // from 1 at the low line of its facet
	Seq   int    // from 1 along the row
	Poly  geom.Poly
	Plane survey.Plane // its own thickness
	// Uphill is the direction toward the thick edge, or across the row for
	// flats; Right is along the row, to the right when looking uphill.
	Uphill          geom.Pt
	ThinIn, ThickIn float64     // edges of the stock board
	Along, Depth    unit.Length // of the stock board: along the row, along the slope
	Cut             bool
	Day             int    // on which it is laid, from 1; 0: no days are planned
	Piece           string // its ID, unique in the area
	Stock           Placement
}

// Placement says where in which stock board a piece lies: the lower left
// corner of its box, u along the row and v from the thin edge, in feet. RotDeg
// turns it counter-clockwise from how it lies on the roof (flats only);
// Turned: face-down.
type Placement struct {
	No     int
	U, V   float64
	W, D   float64 // the piece's box in the stock board
	RotDeg int
	Turned bool
}

// Count is one line of the board schedule.
type Count struct {
	Layer             int
	Type              BoardType
	Mark              string
	Along, Depth      unit.Length
	Pieces, Full, Cut int
	ToOrder           int // stock boards, without spares
	Spares            int
	SqFt              float64 // of the pieces
}

// Totals sums the schedule and proves the order.
type Totals struct {
	Pieces, ToOrder, Spares int
	AreaBound               int     // boards by area alone, summed over marks
	CutBound                int     // boards that the widths of the cut pieces force
	WastePct                float64 // of the ordered area that ends as scrap
	CutFt                   float64 // length of all cuts
	BoardFeet               float64 // by schedule: pieces x mean thickness, cover apart
	SolidBoardFeet          float64 // by the facets' planes, cover apart
	// The parts of BoardFeet. A count by roof area orders the tapered boards
	// and forgets the fill.
	BaseBoardFeet, FillBoardFeet, TaperedBoardFeet float64
}

// Design is one way to lay taper on one site, laid out and counted.
type Design struct {
	Scheme     survey.Scheme
	Slope      unit.Slope   // finished slope asked for
	Deck       survey.Plane // fitted plane that the design stands on, within its doubt; level: zero slopes
	Facets     []Facet
	Lines      []Line
	LowLines   []LowLine
	Crickets   []Cricket
	Boards     []Board
	DustSqft   float64 // left as joints in all layers, since no strip so narrow is laid
	Counts     []Count
	Orders     []Order // what to buy, in bundles
	Totals     Totals
	Insulation Insulation
	Thermal    *Thermal // nil: the job asks for no R
	Laid       *Laid    // rows that are down, of which Boards are the rest; nil: none
	Cover      unit.Length
	Sliver     unit.Length // a narrower piece is one
	// OverThickest is by how much the insulation is thicker somewhere than the
	// job allows; 0 where it is within, and where the job sets no limit.
	OverThickest unit.Length
	Notes        []string // findings for the report
}

// Insulation measures the thickness from the deck up, without cover.
type Insulation struct {
	// LeastCuFt is the least possible volume when every path slopes what was
	// asked for; 0, not worked out, on a sloped deck and where the facets do not
	// all slope just that.
	CuFt, LeastCuFt                   float64
	AverageIn, ThinnestIn, ThickestIn float64
}

// Proof is a design laid on the base as surveyed and run through the drainage
// check.
type Proof struct {
	Surface       *survey.Surface
	Report        *drainage.Report
	Field, Valley drainage.Verdict // of the facets and lines on the fitted plane, judged exactly
	Passes        bool
	Why           string // the reason where it does not pass
	// BackFallPct is the share of the field that falls backward, on the base as
	// surveyed, over 4 ft.
	BackFallPct float64
	// Findings do not fail the design but stand beside its verdict: level
	// water lines behind curbs, outlets that end under the finished surface,
	// conditions on outlets that are blocked or untested.
	Findings []string
	Tie      *Tie // of a part, told among Findings too; nil: all is done, or it ends at no roof that stays
	// Judged are the verdicts by rule: slopes by the geometry, water and overflows
	// on the finished surface, heights left.
	Judged []drainage.Finding
}
