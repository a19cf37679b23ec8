package drainage

import "runnel/survey/unit"

// WaterLbPerCuFt is the weight of water that codes use. Source: structural
// engineering texts and ASCE 7, 62.4 lb/cu ft, 5.2 psf an inch of depth.
const WaterLbPerCuFt = 62.4

// WeightLb is what the water of p weighs.
func (p *Pond) WeightLb() float64 { return p.CuFt * WaterLbPerCuFt }

// LoadPsf is the load of the water on the roof where it is deepest.
func (p *Pond) LoadPsf() float64 { return unit.Inches(p.DepthIn).Feet() * WaterLbPerCuFt }
