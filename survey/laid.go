package survey

import (
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// LaidRow is a row of boards that is down on the roof, as a line of an issued
// rows.csv tells it.
type LaidRow struct {
	Facet    string // as issued, with Row; "": not told
	Row      int    // 0: not told
	Layer    int    // 1 at the bottom
	Type     string // base, fill, tapered, cricket or cover
	Mark     string
	Boards   int         // pieces
	Outline  []geom.Poly // job feet
	ThickDeg float64     // toward the thick edge, counter-clockwise from +x; of flats nothing
	// ThinEdge is the board's own thickness along the lower edge of Outline; 0: that
	// of the mark.
	ThinEdge     unit.Length
	Along, Depth unit.Length // of the stock board; 0: as the mark tells
	File         string
	Line         int
}

// Tapered says whether the boards have a thick edge.
func (r LaidRow) Tapered() bool { return r.Type == "tapered" || r.Type == "cricket" }

// OnHand is boards that lie on the roof, whole and not yet laid.
type OnHand struct {
	Type         string // as LaidRow; "": any that has the mark
	Mark         string
	Boards       int
	Along, Depth unit.Length // of the stock board; 0: as the mark tells
	File         string
	Line         int
}
