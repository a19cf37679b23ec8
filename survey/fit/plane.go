package fit

import (
	"errors"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// errInLine says that places do not span a plane.
var errInLine = errors.New("the places lie on one line and no plane can be laid through them")

// levelSlopeInPerFt is the slope along a building axis under which a fitted
// plane counts as level there.
// Common practice, no source.
const levelSlopeInPerFt = 1.0 / 16

// worstSpread is how many times longer than wide a set of places may be for a
// plane through them to be trusted.
const worstSpread = 1e4

// leastSquares lays the plane of least squares through elevations at places.
// Its error says that the places lie on one line, or that there are fewer than
// three. Cost: O(n). Source: textbook normal equations about the middle.
func leastSquares(pts []geom.Pt, zIn []float64) (survey.Plane, spread, error) {
	var sp spread
	n := float64(len(pts))
	if len(pts) < 3 {
		return survey.Plane{}, sp, errInLine
	}
	mz := 0.0
	for i, p := range pts {
		sp.middle = sp.middle.Add(p.Mul(1 / n))
		mz += zIn[i] / n
	}
	var xz, yz float64
	for i, p := range pts {
		d, dz := p.Sub(sp.middle), zIn[i]-mz
		sp.xx += d.X * d.X / n
		sp.xy += d.X * d.Y / n
		sp.yy += d.Y * d.Y / n
		xz += d.X * dz / n
		yz += d.Y * dz / n
	}
	if sp.thin() {
		return survey.Plane{}, sp, errInLine
	}
	det := sp.xx*sp.yy - sp.xy*sp.xy
	gx, gy := (xz*sp.yy-yz*sp.xy)/det, (yz*sp.xx-xz*sp.xy)/det
	return survey.Plane{CIn: mz - gx*sp.middle.X - gy*sp.middle.Y, GX: gx, GY: gy}, sp, nil
}

// spread is the middle of a set of places and their mean squares about it, in
// square feet.
type spread struct {
	middle     geom.Pt
	xx, xy, yy float64
}

// thin says whether the places lie on one line.
func (s spread) thin() bool { return !(s.width2()*worstSpread*worstSpread > 1) }

// width2 is the square of the width of the places over their length, as root
// mean squares across and along their longest extent; 0 on a line.
func (s spread) width2() float64 {
	half, diff := (s.xx+s.yy)/2, math.Hypot((s.xx-s.yy)/2, s.xy)
	if half+diff == 0 {
		return 0
	}
	return (s.xx*s.yy - s.xy*s.xy) / (half + diff) / (half + diff)
}

// roundingIn is one standard error of an elevation that is written to 0.001 ft,
// the finest that roofs are read to: 0.012 in over the square root of 12.
const roundingIn = 0.012 / 3.4641016151377544

// PlaneOf lays the plane of least squares through the roof cells of a surface
// that can be told from the shots (through all roof cells where fewer than
// three can), in inches over the building frame. sigmaIn is one standard error of
// one reading about the surface (Result.ScatterIn), taken as no less than what
// writing shots to 0.001 ft gives, and shots the number of shots behind it.
//
// A slope along a building axis that is under 1/16 in/ft, or under three of its
// own standard errors, is set to 0, the plane staying where it is in the middle
// of the cells; level says that both are. doubt is one standard error of the
// less certain of the two slopes, above 0. The error says that the cells lie on
// one line. Cost: O(cells).
//
// Check: TestLeastSquares_WorkedExample, TestPlaneOf.
func PlaneOf(surf *survey.Surface, sigmaIn float64, shots int) (p survey.Plane, doubt unit.Slope,
	level bool, err error) {
	return PlaneUnder(surf, sigmaIn, shots, 0)
}

// PlaneUnder is PlaneOf for a surface that lies under the one that was shot:
// also is one standard error of the slope between the two, along either axis.
func PlaneUnder(surf *survey.Surface, sigmaIn float64, shots int, also unit.Slope) (p survey.Plane,
	doubt unit.Slope, level bool, err error) {
	pts, zIn := roofPlaces(surf, surf.IsKnown)
	if _, _, err := leastSquares(pts, zIn); err != nil {
		pts, zIn = roofPlaces(surf, func(int) bool { return true })
	}
	p, sp, err := leastSquares(pts, zIn)
	if err != nil {
		return survey.Plane{}, 0, false, err
	}
	middleIn := p.At(sp.middle)
	errX, errY := sp.slopeErrors(math.Max(sigmaIn, roundingIn), shots)
	errX, errY = math.Hypot(errX, also.InchesPerFoot()), math.Hypot(errY, also.InchesPerFoot())
	p.GX, p.GY = told(p.GX, errX), told(p.GY, errY)
	p.CIn = middleIn - p.GX*sp.middle.X - p.GY*sp.middle.Y
	return p, unit.InchesPerFoot(math.Max(errX, errY)), p.GX == 0 && p.GY == 0, nil
}

// short2 is the mean square of the places about the line of their longest
// extent.
func (s spread) short2() float64 {
	return math.Max(0, (s.xx+s.yy)/2-math.Hypot((s.xx-s.yy)/2, s.xy))
}

// slopeErrors gives one standard error of each slope of a plane of least
// squares through n readings spread like s, each off by sigmaIn alone: the
// inverse of the normal equations (Draper and Smith, Applied Regression
// Analysis, 3rd edition, 1998, from memory).
func (s spread) slopeErrors(sigmaIn float64, n int) (errX, errY float64) {
	det := s.xx*s.yy - s.xy*s.xy
	one := sigmaIn / math.Sqrt(float64(max(n, 1)))
	return one * math.Sqrt(s.yy/det), one * math.Sqrt(s.xx/det)
}

// told is a slope as far as it can be told from level, in/ft.
func told(slopeInPerFt, errInPerFt float64) float64 {
	if s := math.Abs(slopeInPerFt); s < levelSlopeInPerFt*(1-1e-9) || s < 3*errInPerFt {
		return 0
	}
	return slopeInPerFt
}

func roofPlaces(surf *survey.Surface, keep func(k int) bool) (pts []geom.Pt, zIn []float64) {
	for k, roof := range surf.Roof {
		if roof && keep(k) {
			pts = append(pts, surf.Centre(k%surf.NX, k/surf.NX))
			zIn = append(zIn, surf.ElevIn[k])
		}
	}
	return pts, zIn
}
