package render

import (
	"runnel/drainage"
)

// summaryRain is what rain does before and after; rates are absent where the job
// does not state them.
type summaryRain struct {
	Rate         *float64 `json:"rate_in_per_h,omitempty"`
	OverflowRate *float64 `json:"overflow_rate_in_per_h,omitempty"`
	Existing     []string `json:"existing,omitempty"`
	Finished     []string `json:"finished,omitempty"`
	Asked        []string `json:"asked,omitempty"`
}

// summaryOutletFlow is what one outlet has to take on one surface.
type summaryOutletFlow struct {
	Surface  string   `json:"surface"`
	Outlet   string   `json:"outlet"`
	Drains   *float64 `json:"drainage_sqft,omitempty"`
	Wall     float64  `json:"wall_sqft"`
	Other    float64  `json:"other_sqft"`
	Flow     *float64 `json:"flow_gpm,omitempty"`
	Head     *float64 `json:"head_in,omitempty"`
	Capacity *float64 `json:"capacity_gpm,omitempty"`
	Verdict  string   `json:"verdict"`
	Words    string   `json:"words,omitempty"`
}

// summaryRainBay is the water over one lowest outlet with primaries blocked.
type summaryRainBay struct {
	Surface    string   `json:"surface"`
	Lowest     string   `json:"lowest_outlet"`
	Drains     float64  `json:"drainage_sqft"`
	Overflow   string   `json:"overflow,omitempty"`
	Ds         *float64 `json:"ds_in,omitempty"`
	Dh         *float64 `json:"dh_in,omitempty"`
	Load       *float64 `json:"load_psf,omitempty"`
	AtLeast    bool     `json:"at_least,omitempty"` // the head is not known
	Parapet    *float64 `json:"to_parapet_in,omitempty"`
	ParapetPsf *float64 `json:"to_parapet_psf,omitempty"`
	Protects   string   `json:"overflow_protects"`
	Why        string   `json:"why"`
}

type summaryStructure struct {
	Stated   bool                  `json:"bays_stated"`
	Framing  string                `json:"framing"`
	Added    *float64              `json:"added_average_psf,omitempty"`
	AddedMax *float64              `json:"added_greatest_psf,omitempty"`
	Bays     []summaryStructureBay `json:"bays"`
	Findings []string              `json:"findings"`
}

type summaryStructureBay struct {
	ID       string   `json:"id"`
	Slope    *float64 `json:"slope_in_per_ft,omitempty"`
	UnderMin bool     `json:"under_quarter_in_per_ft"`
	Holds    float64  `json:"blocked_depth_in"`
	HoldsPsf float64  `json:"blocked_psf"`
	Pond     float64  `json:"pond_depth_in"`
	Why      string   `json:"why,omitempty"`
}

// summaryWhatIf is a deflection that was tried; no verdict stands on it.
type summaryWhatIf struct {
	Surface string  `json:"surface"`
	Words   string  `json:"words"`
	Most    float64 `json:"greatest_deflection_in"`
	Ponds   int     `json:"ponds"`
	Area    float64 `json:"pond_area_sqft"`
	Depth   float64 `json:"max_depth_in"`
}

// known is a figure, nil where it is not known.
func known(x float64) *float64 {
	if x < 0 {
		return nil
	}
	return some(x)
}

// surfaceNames are those of AreaResult.Rain and WhatIf.
var surfaceNames = [2]string{"existing", "finished"}

// rain fills in what rain does on the area.
func (s *summaryArea) rain(a *AreaResult) {
	for n, r := range a.Rain {
		if r == nil {
			continue
		}
		if s.Rain == nil {
			s.Rain = &summaryRain{Asked: r.Asked}
			if r.RateInPerH > 0 {
				s.Rain.Rate = some(r.RateInPerH)
			}
			if r.OverflowRateInPerH > 0 {
				s.Rain.OverflowRate = some(r.OverflowRateInPerH)
			}
		}
		if s.Rain.Finished = r.Words; n == 0 {
			s.Rain.Existing, s.Rain.Finished = r.Words, nil
		}
		for _, f := range r.Outlets {
			s.OutletFlows = append(s.OutletFlows, summaryOutletFlow{surfaceNames[n], f.Outlet, known(f.SqFt), figure(f.WallSqFt),
				figure(f.OtherSqFt), known(f.Gpm), known(f.HeadIn), known(f.CapacityGpm), f.Verdict.String(), f.Words})
		}
		for _, b := range r.Bays {
			s.Bays = append(s.Bays, summaryRainBay{surfaceNames[n], b.Lowest, figure(b.SqFt), b.Overflow, known(b.DsIn), known(b.DhIn),
				known(b.LoadPsf), b.AtLeast, known(b.ParapetIn), known(b.ParapetPsf), b.Protects.String(), b.Why})
		}
	}
	for n, w := range a.WhatIf {
		if w != nil {
			t := pondTotals(w.Report.Ponds)
			s.WhatIf = append(s.WhatIf, summaryWhatIf{surfaceNames[n], w.Words, figure(w.Most), len(w.Report.Ponds),
				figure(t.SqFt), figure(t.DepthIn)})
		}
	}
	s.Structure = structureOf(a.Structure)
}

func structureOf(p *drainage.StructurePage) *summaryStructure {
	if p == nil {
		return nil
	}
	s := &summaryStructure{Stated: p.Stated, Framing: p.Framing, Bays: []summaryStructureBay{}, Findings: p.Findings}
	if p.AddedPsf[1] > 0 {
		s.Added, s.AddedMax = some(p.AddedPsf[0]), some(p.AddedPsf[1])
	}
	for _, b := range p.Bays {
		s.Bays = append(s.Bays, summaryStructureBay{b.ID, known(b.Slope.InchesPerFoot()), b.UnderMin, figure(b.HoldsIn),
			figure(b.HoldsPsf), figure(b.PondIn), b.Why})
	}
	return s
}
