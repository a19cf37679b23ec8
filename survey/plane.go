package survey

import (
	"math"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Plane is a plane over the roof: CIn + GX x + GY y, in inches, with x and y
// in feet of the building frame; GX and GY are inches per foot.
type Plane struct{ CIn, GX, GY float64 }

// At is the height of the plane over p, in inches.
func (p Plane) At(q geom.Pt) float64 { return p.CIn + float64(p.GX*q.X) + float64(p.GY*q.Y) }

// Slope is how steep the plane is.
func (p Plane) Slope() unit.Slope { return unit.InchesPerFoot(math.Hypot(p.GX, p.GY)) }

// Uphill is the unit vector of steepest ascent; a level plane has none.
func (p Plane) Uphill() (geom.Pt, bool) {
	n := math.Hypot(p.GX, p.GY)
	if n == 0 {
		return geom.Pt{}, false
	}
	return geom.Pt{X: p.GX / n, Y: p.GY / n}, true
}

// Sub is the plane of the difference at every place.
func (p Plane) Sub(q Plane) Plane { return Plane{p.CIn - q.CIn, p.GX - q.GX, p.GY - q.GY} }

// Times is the plane of k times the height at every place.
func (p Plane) Times(k float64) Plane { return Plane{p.CIn * k, p.GX * k, p.GY * k} }

// Add is the sum of two planes.
func (p Plane) Add(q Plane) Plane { return Plane{p.CIn + q.CIn, p.GX + q.GX, p.GY + q.GY} }

// ToJob gives the same plane for x and y in job feet.
func (p Plane) ToJob(f geom.Frame) Plane {
	g := f.DirToJob(geom.Pt{X: p.GX, Y: p.GY})
	return Plane{p.CIn - g.Dot(f.Origin), g.X, g.Y}
}
