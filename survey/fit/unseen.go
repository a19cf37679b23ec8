package fit

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Dishes says what shots so far apart cannot show: that there is no pond is
// never said without it.
//
// A dish as wide as twice the spacing of a square grid has a shot within 0.35 of
// its width of the middle, where a parabolic dish is still half as deep. A
// narrower one may lie between four shots and show in none.
type Dishes struct {
	NarrowestFt float64 // the narrowest dish that the typical spacing is sure to show
	GapFt       float64 // the same in the widest gap of the roof that is known
	// ShowsIn: a dish of NarrowestFt stands out of the readings from this depth
	// in the middle; half of it is two standard errors of a reading.
	ShowsIn float64
	// CuftPerIn is the water that a parabolic dish just under NarrowestFt holds for
	// each inch of depth in its middle.
	CuftPerIn float64
}

// HiddenWater is the most that a dish just too narrow to show may hold when it is
// depth deep in the middle.
func (d Dishes) HiddenWater(depth unit.Length) unit.Volume {
	return unit.CubicFeet(d.CuftPerIn * depth.Inches())
}

// dishes looks for the widest gap on every other known cell in both
// directions. Cost: shots x cells in reach.
func dishes(surf *survey.Surface, shots []geom.Pt, spacingFt, scatterIn float64) Dishes {
	const widthPerFt = 2 * math.Sqrt2 // a dish's width over the way from its middle to a shot
	d := Dishes{NarrowestFt: 2 * spacingFt, ShowsIn: 4 * scatterIn}
	d.CuftPerIn = math.Pi * d.NarrowestFt * d.NarrowestFt / 8 / 12
	if roof := roofSqft(surf) / 12; d.CuftPerIn > roof/2 {
		d.CuftPerIn = roof / 2 // as large as the roof it is half as deep on average
	}
	d.GapFt = math.Max(d.NarrowestFt, widthPerFt*widestGap(surf, shots, reachOf(spacingFt)))
	return d
}

func roofSqft(surf *survey.Surface) float64 {
	cells := 0
	for _, on := range surf.Roof {
		if on {
			cells++
		}
	}
	return float64(cells) * surf.CellFt * surf.CellFt
}

// widestGap is the longest way from a known place to the nearest shot.
func widestGap(surf *survey.Surface, shots []geom.Pt, reachFt float64) float64 {
	l := surf.Lattice
	near := make([]float64, l.Len())
	for k := range near {
		near[k] = reachFt
	}
	r := int(math.Ceil(reachFt / l.CellFt))
	for _, p := range shots {
		ci, cj := l.CellOf(p)
		for j := max(cj-r, 0) &^ 1; j <= min(cj+r, l.NY-1); j += 2 {
			for i := max(ci-r, 0) &^ 1; i <= min(ci+r, l.NX-1); i += 2 {
				near[j*l.NX+i] = math.Min(near[j*l.NX+i], l.Centre(i, j).Dist(p))
			}
		}
	}
	widest := 0.0
	for j := 0; j < l.NY; j += 2 {
		for i := 0; i < l.NX; i += 2 {
			if k := j*l.NX + i; surf.Roof[k] && surf.IsKnown(k) {
				widest = math.Max(widest, near[k])
			}
		}
	}
	return widest
}
