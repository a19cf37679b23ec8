package fit

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// robustPlane is a plane through places where those far off count little:
// least squares reweighted by Tukey's biweight (Mosteller and Tukey, 1977,
// "Data analysis and regression", from memory), begun at the median height so
// that up to nearly half may be off. Places in a line give their median height.
func robustPlane(pts []geom.Pt, zIn []float64) survey.Plane {
	pl := survey.Plane{CIn: median(slices.Clone(zIn))}
	weight, miss := make([]float64, len(pts)), make([]float64, len(pts))
	for range 15 {
		for i := range pts {
			miss[i] = math.Abs(zIn[i] - pl.At(pts[i]))
		}
		s := math.Max(6*median(slices.Clone(miss)), 1e-6)
		for i, m := range miss {
			weight[i] = 0
			if m < s {
				weight[i] = (1 - m*m/(s*s)) * (1 - m*m/(s*s))
			}
		}
		next, ok := weightedPlane(pts, zIn, weight)
		if !ok {
			return pl
		}
		pl = next
	}
	return pl
}

// weightedPlane is leastSquares with weights.
func weightedPlane(pts []geom.Pt, zIn, weight []float64) (survey.Plane, bool) {
	var sum, mz float64
	var sp spread
	for i, w := range weight {
		sum += w
		sp.middle = sp.middle.Add(pts[i].Mul(w))
		mz += w * zIn[i]
	}
	if sum <= 0 {
		return survey.Plane{}, false
	}
	sp.middle, mz = sp.middle.Mul(1/sum), mz/sum
	var xz, yz float64
	for i, w := range weight {
		d, dz := pts[i].Sub(sp.middle), zIn[i]-mz
		sp.xx += w * d.X * d.X
		sp.xy += w * d.X * d.Y
		sp.yy += w * d.Y * d.Y
		xz += w * d.X * dz
		yz += w * d.Y * dz
	}
	if sp.thin() {
		return survey.Plane{}, false
	}
	det := sp.xx*sp.yy - sp.xy*sp.xy
	gx, gy := (xz*sp.yy-yz*sp.xy)/det, (yz*sp.xx-xz*sp.xy)/det
	return survey.Plane{CIn: mz - gx*sp.middle.X - gy*sp.middle.Y, GX: gx, GY: gy}, true
}
