package survey

import (
	"math"

	"runnel/survey/geom"
)

// Lattice is a raster of square cells on the building axes, centred on its
// frame's origin. Cell (i, j) has index j*NX + i; i runs along the frame's x,
// j along its y.
type Lattice struct {
	Frame  geom.Frame
	CellFt float64
	NX, NY int
}

// Len is the number of cells.
func (l Lattice) Len() int { return l.NX * l.NY }

// Centre is the middle of cell (i, j) in frame coordinates. Cell (NX-1-i, j)
// has exactly the opposite x, so that a mirrored roof has mirrored cells.
func (l Lattice) Centre(i, j int) geom.Pt {
	return geom.Pt{
		X: (float64(i) + 0.5 - float64(l.NX)/2) * l.CellFt,
		Y: (float64(j) + 0.5 - float64(l.NY)/2) * l.CellFt,
	}
}

// CellOf is the cell that holds a place in frame coordinates; it may lie
// outside the lattice (see Holds).
func (l Lattice) CellOf(p geom.Pt) (i, j int) {
	return int(math.Floor(p.X/l.CellFt + float64(l.NX)/2)),
		int(math.Floor(p.Y/l.CellFt + float64(l.NY)/2))
}

// Holds says whether (i, j) is a cell of l.
func (l Lattice) Holds(i, j int) bool { return i >= 0 && j >= 0 && i < l.NX && j < l.NY }

// Surface is an elevation for each roof cell of a lattice. Slices have one
// value a cell; they are not to be changed once the surface is made.
type Surface struct {
	Lattice
	Roof   []bool    // the cell's middle lies on the area: in the outline, off courts and curbs
	ElevIn []float64 // inches above job elevation zero; 0 off the roof
	Known  []bool    // near enough to a shot to be told; nil: everywhere
	// SigmaIn is one standard error of each cell's elevation, inches; nil: not
	// told.
	SigmaIn []float64
}

// IsKnown says whether the elevation of cell k can be told from the shots.
func (s *Surface) IsKnown(k int) bool { return s.Known == nil || s.Known[k] }

// Elevation interpolates between the middles of the roof cells round a place
// in frame coordinates, in inches. It gives false where no roof cell is near.
// A plane is reproduced exactly where all four cells round p are roof; beside
// a wall the nearest roof cell is carried on level.
func (s *Surface) Elevation(p geom.Pt) (float64, bool) {
	fx := p.X/s.CellFt + float64(s.NX)/2 - 0.5
	fy := p.Y/s.CellFt + float64(s.NY)/2 - 0.5
	i, j := int(math.Floor(fx)), int(math.Floor(fy))
	tx, ty := fx-float64(i), fy-float64(j)
	sum, weight := 0.0, 0.0
	for c := range 4 {
		ii, jj := i+c%2, j+c/2
		if !s.Holds(ii, jj) || !s.Roof[jj*s.NX+ii] {
			continue
		}
		w := math.Abs(float64(1-c%2)-tx) * math.Abs(float64(1-c/2)-ty)
		sum += w * s.ElevIn[jj*s.NX+ii]
		weight += w
	}
	if weight <= 1e-12 {
		return 0, false
	}
	return sum / weight, true
}

// With is s with other elevations on the same cells.
func (s *Surface) With(elevIn []float64) *Surface {
	return &Surface{Lattice: s.Lattice, Roof: s.Roof, ElevIn: elevIn, Known: s.Known, SigmaIn: s.SigmaIn}
}
