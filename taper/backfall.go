package taper

import (
	"runnel/survey"
	"runnel/survey/geom"
)

// backFallPct is the share of the field, in per cent of what can be read, where
// the finished surface on the base as surveyed falls against its facet's way over
// the run of the proof: from half of it uphill to half of it downhill, both on
// the same facet. Places under crickets, which turn the water on purpose, are
// not read, nor is every other row and column of cells. Cost: cells x corners.
func backFallPct(d *Design, top *survey.Surface) float64 {
	half := proofWindow.Feet() / 2
	back, told := 0, 0
	for _, f := range d.Facets {
		up, ok := f.Top().Uphill()
		if f.Role != FieldRole || !ok {
			continue
		}
		for k, on := range survey.CellsInside(top.Lattice, f.Poly.Outer, f.Poly.Holes) {
			if i, j := k%top.NX, k/top.NX; !on || !top.Roof[k] || i%2 == 1 || j%2 == 1 {
				continue
			}
			c := top.Centre(k%top.NX, k/top.NX)
			high, low := c.Add(up.Mul(half)), c.Sub(up.Mul(half))
			if !f.Poly.Has(high) || !f.Poly.Has(low) || d.turned(c) {
				continue
			}
			zHigh, okHigh := top.Elevation(high)
			zLow, okLow := top.Elevation(low)
			if !okHigh || !okLow {
				continue
			}
			told++
			if zHigh < zLow-1e-9 {
				back++
			}
		}
	}
	if told == 0 {
		return 0
	}
	return 100 * float64(back) / float64(told)
}

// turned says whether a cricket lies at p.
func (d *Design) turned(p geom.Pt) bool {
	for _, f := range d.Facets {
		if f.Role == CricketRole && f.Poly.Has(p) {
			return true
		}
	}
	return false
}
