package fit

import (
	"errors"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// errInLine says that places do not span a plane.
var errInLine = errors.New("the places lie on one line and no plane can be laid through them")

// levelSlopeInPerFt is the slope under which a fitted plane counts as level.
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

// along is the mean square of the places along a unit vector, about the middle.
func (s spread) along(u geom.Pt) float64 {
	return u.X*u.X*s.xx + 2*u.X*u.Y*s.xy + u.Y*u.Y*s.yy
}

// PlaneOf lays the plane of least squares through the roof cells of a surface
// that can be told from the shots (through all roof cells where fewer than
// three can), in inches over the building frame. sigmaIn is one standard error
// of the surface at a place and shots the number of shots behind it; level says
// that the plane slopes under 1/16 in/ft, or under three standard errors of its
// slope, and then its slopes are 0 and its height the mean of the cells. The
// error says that the cells lie on one line. Cost: O(cells).
//
// Check: TestLeastSquares_WorkedExample, TestPlaneOf.
func PlaneOf(surf *survey.Surface, sigmaIn float64, shots int) (p survey.Plane, level bool, err error) {
	pts, zIn := roofPlaces(surf, surf.IsKnown)
	if _, _, err := leastSquares(pts, zIn); err != nil {
		pts, zIn = roofPlaces(surf, func(int) bool { return true })
	}
	p, sp, err := leastSquares(pts, zIn)
	if err != nil {
		return survey.Plane{}, false, err
	}
	slope := p.Slope().InchesPerFoot()
	up, sloped := p.Uphill()
	stderr := 0.0
	if sloped {
		stderr = sigmaIn / math.Sqrt(float64(max(shots, 1))*sp.along(up))
	}
	if slope >= levelSlopeInPerFt*(1-1e-9) && slope >= 3*stderr {
		return p, false, nil
	}
	return survey.Plane{CIn: p.At(sp.middle)}, true, nil
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
