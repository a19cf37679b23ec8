package render

import (
	"runnel/drainage"
	"runnel/survey/unit"
)

type summaryPond struct {
	ID       string         `json:"id"`
	Area     float64        `json:"area_sqft"`
	Depth    float64        `json:"max_depth_in"`
	Volume   float64        `json:"volume_cuft"`
	Weight   float64        `json:"weight_lb"`
	Load     float64        `json:"load_psf"` // where it is deepest
	SpillsTo string         `json:"spills_to,omitempty"`
	Misses   string         `json:"misses,omitempty"`
	Overflow bool           `json:"overflow,omitempty"`  // leaves only by an overflow
	ClosedIn bool           `json:"closed_in,omitempty"` // nothing lets it go: at least so deep
	Cause    string         `json:"cause"`
	Why      string         `json:"why"`
	Inner    []summaryInner `json:"inner,omitempty"`      // ponds within it
	Left     *summaryLeft   `json:"left_after,omitempty"` // drying; absent: no drying depth is stated
	Rain     *float64       `json:"holds_after_1_in_rain_cuft,omitempty"`
}

type summaryInner struct {
	Area   float64 `json:"area_sqft"`
	Depth  float64 `json:"max_depth_in"`
	Volume float64 `json:"volume_cuft"`
	Joins  float64 `json:"joins_at_ft"` // elevation
}

type summaryLeft struct {
	Area   float64 `json:"area_sqft"`
	Depth  float64 `json:"max_depth_in"`
	Volume float64 `json:"volume_cuft"`
}

func pondOf(p *drainage.Pond) summaryPond {
	s := summaryPond{
		ID: p.ID, Area: figure(p.SqFt), Depth: figure(p.DepthIn), Volume: figure(p.CuFt), Weight: figure(p.WeightLb()),
		Load: figure(p.LoadPsf()), SpillsTo: p.SpillsTo, Misses: p.Misses, Overflow: p.Overflow, ClosedIn: p.ClosedIn,
		Cause: p.Cause.String(), Why: p.Why(unit.US),
	}
	for _, in := range p.Inner {
		s.Inner = append(s.Inner, summaryInner{figure(in.SqFt), figure(in.DepthIn), figure(in.CuFt), figure(unit.Inches(in.SpillIn).Feet())})
	}
	if l := p.Left; l != nil {
		s.Left = &summaryLeft{figure(l.SqFt), figure(l.DepthIn), figure(l.CuFt)}
	}
	return s
}

// fillsOf adds what an inch of rain on the dry roof leaves in each pond.
func fillsOf(list []summaryPond, r *drainage.Report) {
	if len(list) == 0 {
		return
	}
	fall := r.AfterRain(unit.Inch)
	if fall == nil {
		return
	}
	for n, p := range fall.Ponds {
		list[n].Rain = some(p.CuFt)
	}
}
