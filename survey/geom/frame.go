package geom

import "math"

// Frame is the building frame: its origin in job coordinates, its turn, and
// whether it is mirrored. Work is done in frame coordinates, where building
// axes are upright and numbers are small. The zero Frame is the job's own.
type Frame struct {
	Origin Pt      // in job feet
	Turn   float64 // of the frame's x axis from the job's, radians counter-clockwise
	Mirror bool    // the frame's y axis runs clockwise from its x axis
}

// axes gives the frame's unit vectors in job coordinates; quarter turns are
// exact.
func (f Frame) axes() (x, y Pt) {
	s, c := math.Sincos(f.Turn)
	if q := f.Turn / (math.Pi / 2); q == math.Trunc(q) {
		s, c = math.Round(s), math.Round(c)
	}
	x, y = Pt{c, s}, Pt{-s, c}
	if f.Mirror {
		y = y.Mul(-1)
	}
	return x, y
}

// ToLocal turns a place in job coordinates into frame coordinates.
func (f Frame) ToLocal(p Pt) Pt {
	x, y := f.axes()
	d := p.Sub(f.Origin)
	return Pt{d.Dot(x), d.Dot(y)}
}

// ToJob turns a place in frame coordinates into job coordinates.
func (f Frame) ToJob(p Pt) Pt { return f.Origin.Add(f.DirToJob(p)) }

// DirToJob turns a direction, without the origin.
func (f Frame) DirToJob(v Pt) Pt {
	x, y := f.axes()
	return x.Mul(v.X).Add(y.Mul(v.Y))
}

// DirToLocal turns a direction in job coordinates into the frame.
func (f Frame) DirToLocal(v Pt) Pt {
	x, y := f.axes()
	return Pt{v.Dot(x), v.Dot(y)}
}
