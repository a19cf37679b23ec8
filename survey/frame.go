package survey

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// FrameOf is the building frame of an area: its origin in the middle of the
// box that the building axes lay round the outline, its axes along the longest
// edge (or as axesDeg says, degrees from +x), and of the eight ways to turn by
// quarters and mirror it, the one whose corners, outlets and curbs come first
// when sorted, then whose shots lie and rise most toward -x and -y. A job that is turned by a quarter, mirrored or shifted so
// gets the same site, and with it the same counts.
func FrameOf(a *Area, axesDeg *float64) geom.Frame {
	base := geom.Frame{Turn: axesTurn(a.Outline, axesDeg)}
	box := a.Outline.Map(base.ToLocal).Box()
	base.Origin = base.ToJob(box.Centre())
	var best geom.Frame
	var bestKey []float64
	for way := range 8 {
		f := base
		f.Turn += float64(way%4) * math.Pi / 2
		f.Mirror = way >= 4
		if key := placesKey(a, f); bestKey == nil || lessKey(key, bestKey) {
			best, bestKey = f, key
		}
	}
	return best
}

// axesTurn is the turn of the building axes in radians, within a quarter turn.
func axesTurn(outline geom.Ring, axesDeg *float64) float64 {
	if axesDeg != nil {
		return quarter(*axesDeg * math.Pi / 180)
	}
	best, turn := -1.0, 0.0
	for i := range outline {
		d := outline.At(i + 1).Sub(outline[i])
		if l := d.Norm(); l > best*(1+1e-9) {
			best, turn = l, math.Atan2(d.Y, d.X)
		}
	}
	return quarter(turn)
}

// quarter brings an angle to -45 to 45 degrees by quarter turns; rounding at
// an upright wall is cleared.
func quarter(rad float64) float64 {
	q := math.Remainder(rad, math.Pi/2)
	if math.Abs(q) < 1e-12 {
		return 0
	}
	return q
}

// placesKey lists the places of an area in a frame, each kind sorted.
func placesKey(a *Area, f geom.Frame) []float64 {
	var key []float64
	add := func(rows [][3]float64) {
		slices.SortFunc(rows, func(p, q [3]float64) int {
			return cmp.Or(near(p[0], q[0]), near(p[1], q[1]), near(p[2], q[2]))
		})
		for _, r := range rows {
			key = append(key, r[0], r[1], r[2])
		}
	}
	row := func(p geom.Pt, v float64) [3]float64 {
		l := f.ToLocal(p)
		return [3]float64{l.X, l.Y, v}
	}
	var corners, outlets, curbs [][3]float64
	for _, p := range a.Outline {
		corners = append(corners, row(p, 0))
	}
	for _, c := range a.Courts {
		for _, p := range c {
			corners = append(corners, row(p, 1))
		}
	}
	for _, o := range a.Outlets {
		p := o.At
		if o.Kind == GutterOutlet || o.Kind == OpenOutlet {
			p = a.Outline[o.Edge].Lerp(a.Outline.At(o.Edge+1), 0.5)
		}
		outlets = append(outlets, row(p, 0))
	}
	for _, c := range a.Curbs {
		curbs = append(curbs, row(c.At, 0))
	}
	add(corners)
	add(outlets)
	add(curbs)
	return append(key, tilt(a.Shots, f)...)
}

// tilt tells the eight ways apart where the plan alone does not: means of the
// shots' places, and of their rise over the mean elevation times powers of the
// places.
func tilt(shots []Shot, f geom.Frame) []float64 {
	if len(shots) == 0 {
		return nil
	}
	meanIn := 0.0
	for _, s := range shots {
		meanIn += s.Elev.Inches() / float64(len(shots))
	}
	key := make([]float64, 10)
	for _, s := range shots {
		p, w := f.ToLocal(s.At), 1/float64(len(shots))
		riseIn := w * (s.Elev.Inches() - meanIn)
		for i, v := range [10]float64{w * p.X, w * p.Y, riseIn * p.X, riseIn * p.Y, riseIn * p.X * p.Y,
			riseIn * p.X * p.X, riseIn * p.Y * p.Y, riseIn * p.X * p.X * p.X,
			riseIn * p.Y * p.Y * p.Y, riseIn * p.X * p.X * p.Y} {
			key[i] += v
		}
	}
	return key
}

// near compares two figures of a key; what differs by rounding is equal.
func near(a, b float64) int {
	if math.Abs(a-b) < 1e-6 {
		return 0
	}
	return cmp.Compare(a, b)
}

func lessKey(a, b []float64) bool { return slices.CompareFunc(a, b, near) < 0 }
