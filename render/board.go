package render

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// worldBoard is a board as it lies on the roof, in job coordinates and with
// its true hand.
type worldBoard struct {
	Poly   geom.Poly
	Plane  survey.Plane // own thickness, for x and y in job feet
	Uphill geom.Pt
	Stock  taper.Placement // u to the right when looking uphill, seen from above
}

// boardInWorld takes b out of its building frame. In a mirrored frame right
// and left change places: the piece's box is then counted from the other end
// of the stock board, and a turn goes the other way round; face-down stays
// face-down.
func boardInWorld(f geom.Frame, b *taper.Board) worldBoard {
	w := worldBoard{
		Poly:   b.Poly.Map(f.ToJob),
		Plane:  b.Plane.ToJob(f),
		Uphill: f.DirToJob(b.Uphill),
		Stock:  b.Stock,
	}
	if f.Mirror {
		w.Stock.U = math.Max(0, b.Along.Feet()-b.Stock.U-b.Stock.W)
		w.Stock.RotDeg = (360 - b.Stock.RotDeg%360) % 360
	}
	return w
}

// degreesOf is the direction v counter-clockwise from +x, 0 to 360.
func degreesOf(v geom.Pt) float64 {
	deg := math.Round(math.Atan2(v.Y, v.X)*180/math.Pi*1e9) / 1e9
	if deg < 0 {
		deg += 360
	}
	return plain(deg)
}

// plain takes the sign off a zero.
func plain(x float64) float64 {
	if x == 0 {
		return 0
	}
	return x
}
