// Package drainage says what water does on a surface: where it stands, which
// way it runs, how steep its ways are, and whether that meets the rules.
//
// Places are feet in the building frame of the site, elevations inches above
// job elevation zero.
package drainage

import (
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Verdict is what a check says.
type Verdict int

// The verdicts; the zero value is Unknown: nothing passes unasked.
const (
	Unknown Verdict = iota
	Meets
	FallsShort
	TooClose
)

// String names v in the words of the report and of plan.geojson.
func (v Verdict) String() string {
	switch v {
	case Unknown:
		return "unknown"
	case Meets:
		return "meets"
	case FallsShort:
		return "falls-short"
	case TooClose:
		return "too-close"
	}
	panic("drainage: unknown Verdict")
}

// Limit is a least slope with the ground it stands on.
type Limit struct {
	Min    unit.Slope
	Source string // document, edition, section; or "common practice, no source"
}

// Rules are the limits that a job is judged by.
type Rules struct {
	Name    string
	Edition string
	Mode    survey.Mode
	Field   Limit
	Valley  Limit       // in mode EveryPath equal to Field
	Gutter  Limit       // of low lines between outlets, and of gutters; zero: not judged
	Sump    Limit       // of the facets of a sump; zero: not judged
	Design  Limit       // what to design for where it is more than Field; zero: Field
	Pond    unit.Length // deepest water allowed on a finished surface
	// DryHours: water that stands longer counts as a pond.
	DryHours float64
	// Worth says which ponds are worth reporting where the job does not.
	Worth survey.PondLimits
	// OverflowLeast and OverflowMost bound an overflow's inlet above the surface
	// at the lowest primary outlet of its bay; 0: not judged.
	OverflowLeast, OverflowMost unit.Length
	Flashing                    unit.Length // wanted above the finished surface; 0: not judged
	// DrainedException: a roof that holds no water may stay under the design
	// slope (the re-roof exception of the model codes).
	DrainedException bool

	PondSource, DrySource, OverflowSource, FlashingSource string
}

// Options say how one surface is to be checked.
type Options struct {
	Rules   Rules
	Ponds   survey.PondLimits
	InletIn []float64 // of each of site.Outlets, inches; NaN-free
	// InletWhy says of each of site.Outlets why the height of its inlet over the
	// surface is not known, as where no core tells how thick the old roof was; "":
	// it is known. nil: all are known.
	InletWhy []string
	// SigmaIn is one standard error of the surface at a place, where the surface
	// does not say it place by place; 0: exact, whatever the surface says.
	SigmaIn float64
	Window  unit.Length // slopes are taken over this run
	// Unsurveyed: the surface is an assumption; every verdict is Unknown.
	Unsurveyed bool
	// SpacingFt of the shots: hollows narrower than this cannot be seen, nor
	// creases sharper than a quarter of it; 0: exact.
	SpacingFt float64
}

// Report is what the check found on one surface.
type Report struct {
	Surface   *survey.Surface
	FilledIn  []float64 // elevation of the water or of the dry roof, a cell
	Ponds     []Pond    // deepest first; only those worth reporting
	Paths     []Path
	Valleys   []Valley       // the longest first
	Backfalls []Backfall     // by edge, then along it
	RunsInto  []Obstacle     // curbs in the way of the water, in the site's order
	Areas     []DrainageArea // one for each of site.Outlets, in its order

	RoofSqft        float64 // of the outline less courts and curbs
	BelowMinimumPct float64 // share of the area whose slope is under the field limit
	clearlyBelowPct float64 // share that is so by more than two standard errors
	// SlopePct are the shares of the area by class of Rules.SlopeClasses, the
	// flattest first; Window is the run over which slopes were read.
	SlopePct   [4]float64
	Window     unit.Length
	UnknownPct float64 // share of the area too far from a shot
	ThinPct    float64 // share of the area where shots are too thin to tell a shallow pond
	// NarrowestFt: hollows narrower than this may lie between the shots unseen,
	// twice their spacing; 0: none.
	NarrowestFt float64
	NoShotNear  []string // drains and scuppers without a shot within 10 ft: unknown there

	PondsFree   Verdict  // no pond worth reporting
	MeetsDesign Verdict  // field and valley stretches reach their limits, but for chance
	Conditional []string // outlets whose state makes the verdicts conditional
	Findings    []Finding

	water *standing // for AfterRain; nil: not made by Check
	walls *walls    // of Surface
}

// Pond is standing water.
type Pond struct {
	ID       string // P1 is the deepest
	SqFt     float64
	DepthIn  float64 // at its deepest
	CuFt     float64
	SpillIn  float64 // elevation at which it runs over; closed in: of the water
	Deepest  geom.Pt
	Spill    geom.Pt // where it runs over; Deepest where closed in
	SpillsTo string  // outlet or pond that takes the overflow; "" where closed in
	Misses   string  // the outlet that would take the water; "" where there is none
	Cause    Cause   // why the water misses it; Pond.Why says it in words
	Behind   string  // the curb that holds it, in BehindCurb
	// RiseIn is how far the way out stands over the deepest place: the rim or the
	// outlet, the crest between, the wall's foot. HeldIn is the part of it that
	// the cause makes: of ProudRim how far the inlet stands over the roof beside it.
	RiseIn, HeldIn float64
	AwayFt         float64 // from the deepest place to the outlet missed, straight
	Inner          []Inner // ponds that are left in it as it falls dry, deepest first
	// Left is what is left after the rule set's hours for the drying depth that
	// the job states; nil: none was stated.
	Left     *Remnant
	Overflow bool // leaves only by an overflow outlet
	Unsure   bool // runs over at an outlet without a shot near it: unknown
	// ClosedIn: no outlet that lets water go can be reached. Water stands until
	// a wall or an overflow lets it go: depth, area and volume are the least.
	ClosedIn bool
	Outline  []geom.Poly // the wet region

	cells   []int   // those whose middle is wet
	rim     []int   // those carried on to walls whose middle would be
	doubtIn float64 // two standard errors of DepthIn
}

// Cause says why water stands.
type Cause int

// The causes; the zero value is Sag: the roof itself lies lower than its way out.
const (
	Sag           Cause = iota
	ProudRim            // the outlet's inlet stands above the roof round it
	OutletUphill        // the outlet lies beside the low line, not in it
	BehindWall          // the low place lies along a wall, parapet or closed edge
	BehindCurb          // upslope of a curb
	OutletBlocked       // an outlet in it does not let water go
	NoOutlet            // closed in
)

// String names c as plan.geojson writes it.
func (c Cause) String() string {
	switch c {
	case Sag:
		return "sag"
	case ProudRim:
		return "proud-rim"
	case OutletUphill:
		return "outlet-uphill"
	case BehindWall:
		return "behind-wall"
	case BehindCurb:
		return "behind-curb"
	case OutletBlocked:
		return "outlet-blocked"
	case NoOutlet:
		return "no-outlet"
	}
	panic("drainage: unknown Cause")
}

// Inner is a pond within a pond: what stays when the water is low.
type Inner struct {
	Deepest geom.Pt
	SpillIn float64 // elevation at which it joins the water round it
	DepthIn float64
	SqFt    float64
	CuFt    float64
}

// Remnant is the water of a pond that has partly dried.
type Remnant struct {
	DepthIn, SqFt, CuFt float64
}

// Path is the way of the water from one place.
type Path struct {
	ID                      string
	Points                  []geom.Pt
	Valley                  []bool // of each stretch between two points: runs in a valley
	LengthFt                float64
	DropIn                  float64
	Mean                    unit.Slope // drop over length
	LeastField, LeastValley unit.Slope // over the window; -1 where there is none
	Verdict                 Verdict
	EndsAt                  string // outlet or pond

	field, valley, whole reading // what the verdict stands on
}

// DrainageArea is what drains to one outlet.
type DrainageArea struct {
	Outlet  string
	SqFt    float64     // its share of RoofSqft
	Slopes  Verdict     // of the paths that end at the outlet, over ponds too, but for chance
	Regions []geom.Poly // of whole cells, those at walls covered in part
}
