package taper

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper/internal/lower"
)

// gauge measures a straight stretch away from a source by what boards laid
// along the building axes, and on their bisectors where diag says so, rise on
// it: the greatest over the directions of board slope times component. Slopes
// are inches per foot, never negative.
type gauge struct{ plusX, minusX, plusY, minusY, diag float64 }

// evenGauge has one slope in the four building directions.
func evenGauge(slopeInPerFt float64) gauge {
	return gauge{slopeInPerFt, slopeInPerFt, slopeInPerFt, slopeInPerFt, 0}
}

// faces gives the board slope of every direction as a vector along it.
func (g gauge) faces() []geom.Pt {
	out := []geom.Pt{{X: g.plusX}, {X: -g.minusX}, {Y: g.plusY}, {Y: -g.minusY}}
	if d := g.diag / math.Sqrt2; d > 0 {
		out = append(out, geom.Pt{X: d, Y: d}, geom.Pt{X: -d, Y: d}, geom.Pt{X: -d, Y: -d}, geom.Pt{X: d, Y: -d})
	}
	return out
}

// most is the steepest of the board slopes.
func (g gauge) most() float64 {
	return math.Max(math.Max(g.plusX, g.minusX), math.Max(math.Max(g.plusY, g.minusY), g.diag))
}

// riseIn is the measure of the stretch v, in inches. It obeys the triangle
// inequality, being the greatest of linear measures and zero.
func (g gauge) riseIn(v geom.Pt) float64 {
	rise := math.Max(math.Max(g.plusX*v.X, -g.minusX*v.X), math.Max(g.plusY*v.Y, -g.minusY*v.Y))
	if g.diag > 0 {
		rise = math.Max(rise, g.diag/math.Sqrt2*(math.Abs(v.X)+math.Abs(v.Y)))
	}
	return math.Max(rise, 0)
}

// wedge is a range of directions from a place in which one plane is the
// measure.
type wedge struct {
	plane survey.Plane
	cuts  []lower.Cut
}

// axisWays are the directions of the first four faces.
var axisWays = []geom.Pt{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}}

// wedges gives the planes of the measure round q, with startIn at q itself.
// Their borders, where two directions measure the same, are valleys.
func (g gauge) wedges(q geom.Pt, startIn float64) []wedge {
	faces := g.faces()
	var out []wedge
	for i, rise := range faces {
		wd := wedge{plane: planeAt(q, startIn, rise.X, rise.Y), cuts: []lower.Cut{lower.Half(rise, q)}}
		if i < len(axisWays) {
			wd.cuts[0] = lower.Half(axisWays[i], q)
		}
		for j, other := range faces {
			if j == i || len(faces) == len(axisWays) && j/2 == i/2 {
				continue
			}
			wd.cuts = append(wd.cuts, lower.Half(rise.Sub(other), q))
		}
		out = append(out, wd)
	}
	return out
}

// planeAt is the plane of the given gradient that stands at atIn over q.
func planeAt(q geom.Pt, atIn, gx, gy float64) survey.Plane {
	return survey.Plane{CIn: atIn - gx*q.X - gy*q.Y, GX: gx, GY: gy}
}
