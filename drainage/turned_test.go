package drainage

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey/geom"
)

// turned gives a surface turned counter-clockwise by deg about the origin.
func turned(deg float64, z func(p geom.Pt) float64) func(p geom.Pt) float64 {
	f := geom.Frame{Turn: deg * math.Pi / 180}
	return func(p geom.Pt) float64 { return z(f.ToLocal(p)) }
}

// leastSlopes are the least field and valley slopes of all paths, in/ft; +Inf
// where no path has one.
func leastSlopes(r *Report) (field, valley float64) {
	field, valley = math.Inf(1), math.Inf(1)
	for _, p := range r.Paths {
		if f := p.LeastField.InchesPerFoot(); f >= 0 {
			field = math.Min(field, f)
		}
		if v := p.LeastValley.InchesPerFoot(); v >= 0 {
			valley = math.Min(valley, v)
		}
	}
	return field, valley
}

// TestPaths_PlaneAtEveryDegree: a true 1/4 in/ft plane reads 1/4 in/ft at every
// degree, to open edges and to a drain in its low corner, on every cell size:
// the truth is the plane's own gradient.
func TestPaths_PlaneAtEveryDegree(t *testing.T) {
	inFull(t)
	t.Parallel()
	const slope = 0.25
	for _, cellFt := range []float64{0, 0.25, 1, 2} { // 0: the default, half a foot
		worst, at := 0.0, 0
		for deg := 0; deg <= 90; deg++ {
			z := turned(float64(deg), func(p geom.Pt) float64 { return 100 - slope*p.X })
			s, surf := roofOf(t, box(24, 18), openAllRound(), cellFt, z)
			r := checked(t, s, surf, usual(t))
			field, _ := leastSlopes(r)
			if off := math.Abs(field/slope - 1); off > worst {
				worst, at = off, deg
			}
			if len(r.Paths) < 10 || r.MeetsDesign != Meets {
				t.Errorf("cell %g ft, %d degrees: %d paths, %v", cellFt, deg, len(r.Paths), r.MeetsDesign)
			}
		}
		t.Logf("cell %g ft: worst %.3g %% off, at %d degrees", cellFt, 100*worst, at)
		if worst > 0.005 {
			t.Errorf("cell %g ft: a 1/4 in/ft plane reads %.3g %% off at %d degrees", cellFt, 100*worst, at)
		}
	}
}

// TestPaths_ValleyOfTwoPlanes: planes of slopes s1 and s2 whose uphill
// directions are t apart meet in a line of s1 s2 sin t / sqrt(s1^2 + s2^2 -
// 2 s1 s2 cos t) at acos(v/s1) from the first, check values 1.3; it is read off
// the surface however it is turned. In the row of 45 degrees both planes fall
// to the same side: water crosses the line, and no path has a valley.
func TestPaths_ValleyOfTwoPlanes(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ s1, s2, deg, want, from1, from2 float64 }{
		{0.25, 0.25, 90, 0.176777, 45, 45}, {0.50, 0.50, 90, 0.353553, 45, 45},
		{0.25, 0.50, 90, 0.223607, 26.5651, 63.4349}, {0.125, 0.25, 90, 0.111803, 26.5651, 63.4349},
		{0.25, 0.25, 60, 0.216506, 30, 30}, {0.25, 0.25, 120, 0.125, 60, 60},
		{0.25, 0.50, 120, 0.163663, 49.1066, 70.8934}, {0.25, 0.125, 45, 0.119960, 61.3249, 16.3249},
		{0.25, 0.25, 180, 0, 90, 90},
	} {
		rad := c.deg * math.Pi / 180
		g1, g2 := geom.Pt{X: c.s1}, geom.Pt{X: math.Cos(rad), Y: math.Sin(rad)}.Mul(c.s2)
		way, slope := crease{plane{g1, 0}, plane{g2, 0}}.way()
		within(t, "slope of the line", slope, c.want, 1e-6)
		within(t, "degrees from the first", math.Acos(-way.Dot(g1)/c.s1)*180/math.Pi, c.from1, 1e-4)
		within(t, "degrees from the second", math.Acos(-way.Dot(g2)/c.s2)*180/math.Pi, c.from2, 1e-4)
		z := func(p geom.Pt) float64 { return 100 + math.Max(g1.Dot(p), g2.Dot(p)) }
		for _, turn := range []float64{0, 17, 45} {
			name := fmt.Sprintf("%g and %g at %g, turned %g", c.s1, c.s2, c.deg, turn)
			s, surf := roofOf(t, box(40, 40), openAllRound(), 0.5, turned(turn, z))
			field, valley := leastSlopes(checked(t, s, surf, usual(t)))
			if c.deg == 45 {
				if !math.IsInf(valley, 1) {
					t.Errorf("%s: a valley of %g where water crosses", name, valley)
				}
				continue
			}
			within(t, name+": valley in/ft", valley, c.want, 1e-6)
			if c.want > 0 {
				within(t, name+": field in/ft", field, math.Min(c.s1, c.s2), 0.005*math.Min(c.s1, c.s2))
			}
		}
	}
}
