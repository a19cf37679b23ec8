package drainage

import (
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// RainReport is what rain does on one surface of an area: flows, heads and
// loads. Every figure is of the surface as given, before or after a design.
type RainReport struct {
	// Rate and OverflowRate are as the job states them, inches an hour; 0: not
	// stated, and then no flow is told.
	RateInPerH, OverflowRateInPerH float64
	Outlets                        []OutletFlow // one for each of site.Outlets, in its order
	Bays                           []RainBay    // the greatest load first
	Words                          []string     // what is to be said, the worst first
	Asked                          []string     // what is missing, as questions
	// BlockedIn is the elevation of the water, heads included, or of the dry
	// roof, a cell, with the primary drains and scuppers blocked. Where nothing
	// lets it go it stands to the lowest parapet. AtLeast says that somewhere none
	// is stated, or the head over what lets it go is not known, and the depth is
	// the least that stands.
	BlockedIn []float64
	AtLeast   bool
}

// OutletFlow is what one outlet has to take: a primary at the rate of the rain,
// an overflow at the overflow rate with the primary drains and scuppers blocked.
type OutletFlow struct {
	Outlet      string
	SqFt        float64 // of roof that drains to it, other areas' passed on apart
	WallSqFt    float64 // half of the walls above
	OtherSqFt   float64 // roof of other areas that discharge here
	Gpm         float64 // -1: not known
	HeadIn      float64 // over its inlet at that flow; -1: not known
	CapacityGpm float64 // at the greatest head known; -1: not known
	Verdict     Verdict // does it take the flow
	Words       string  // with figure and source
}

// RainBay is the part of a roof whose water stands over one lowest outlet with
// the primary drains and scuppers blocked.
type RainBay struct {
	Lowest   string  // the primary outlet that lies lowest in it
	LowIn    float64 // elevation of the surface there
	SqFt     float64 // of roof that drains into it then, walls and other areas with it
	Overflow string  // by which its water leaves; "": none
	// DsIn is how deep water stands over the lowest outlet before any leaves, up
	// to the overflow's inlet or to a ridge that it runs over first; -1: it does
	// not leave. DhIn is the head over that; -1: not known, and then it is more
	// than DhOverIn, where that is told.
	DsIn, DhIn, DhOverIn float64
	LoadPsf              float64 // 5.2 (ds + dh), with dh not known 5.2 (ds + DhOverIn); -1: not known
	AtLeast              bool    // the load may be more
	ParapetIn            float64 // depth at which it runs over the lowest parapet; -1: not known
	ParapetPsf           float64
	Protects             Verdict // does the overflow protect
	Why                  string
}

// StructurePage is what an engineer is to look at, on one page.
type StructurePage struct {
	Stated   bool // the bays are the job's own; else stretches by the outlet they drain to
	Bays     []StructureBay
	Framing  string     // direction of the framing, or that it is not known
	AddedPsf [2]float64 // average and greatest of a design; 0: no design
	Findings []string
}

// StructureBay is one bay, or a stretch of roof where bays are not stated.
type StructureBay struct {
	ID       string
	Outline  []geom.Poly // frame
	Slope    unit.Slope  // all of it but the flattest twentieth slopes so at least; -1: not known
	UnderMin bool        // under 1/4 in/ft
	HoldsIn  float64     // greatest depth with primaries blocked
	HoldsPsf float64
	PondIn   float64 // depth that stands anyway
	Why      string
}
