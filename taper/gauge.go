package taper

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper/internal/lower"
)

// gauge measures a straight stretch away from a source by what boards laid
// along the building axes rise on it: the greatest over the four directions of
// board slope times component. Slopes are inches per foot, never negative.
type gauge struct{ plusX, minusX, plusY, minusY float64 }

// evenGauge has one slope in all directions.
func evenGauge(slopeInPerFt float64) gauge {
	return gauge{slopeInPerFt, slopeInPerFt, slopeInPerFt, slopeInPerFt}
}

// riseIn is the measure of the stretch v, in inches. It obeys the triangle
// inequality, being the greatest of four linear measures and zero.
func (g gauge) riseIn(v geom.Pt) float64 {
	return math.Max(math.Max(g.plusX*v.X, -g.minusX*v.X), math.Max(g.plusY*v.Y, -g.minusY*v.Y))
}

// wedge is a range of directions from a place in which one plane is the
// measure.
type wedge struct {
	plane survey.Plane
	cuts  []lower.Cut
}

// wedges gives the planes of the measure round q, with startIn at q itself.
// Their borders, where two directions measure the same, are valleys.
func (g gauge) wedges(q geom.Pt, startIn float64) []wedge {
	half := func(x, y float64) lower.Cut { return lower.Half(geom.Pt{X: x, Y: y}, q) }
	plane := func(gx, gy float64) survey.Plane { return planeAt(q, startIn, gx, gy) }
	return []wedge{
		{plane(g.plusX, 0), []lower.Cut{half(1, 0), half(g.plusX, -g.plusY), half(g.plusX, g.minusY)}},
		{plane(-g.minusX, 0), []lower.Cut{half(-1, 0), half(-g.minusX, -g.plusY), half(-g.minusX, g.minusY)}},
		{plane(0, g.plusY), []lower.Cut{half(0, 1), half(-g.plusX, g.plusY), half(g.minusX, g.plusY)}},
		{plane(0, -g.minusY), []lower.Cut{half(0, -1), half(-g.plusX, -g.minusY), half(g.minusX, -g.minusY)}},
	}
}

// planeAt is the plane of the given gradient that stands at atIn over q.
func planeAt(q geom.Pt, atIn, gx, gy float64) survey.Plane {
	return survey.Plane{CIn: atIn - gx*q.X - gy*q.Y, GX: gx, GY: gy}
}
