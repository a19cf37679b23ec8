package survey_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey"
	"runnel/survey/geom"
)

func nearly(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, want %v within %v", what, got, want, tol)
	}
}

// TestPlane_ThreeShots: shots at (0,0) 10.00, (20,0) 10.40, (0,15) 10.10 ft.
// The gradient is (0.40/20, 0.10/15) ft per ft; slope and azimuth follow by
// Pythagoras and arc tangent, worked out apart from this package.
func TestPlane_ThreeShots(t *testing.T) {
	p := survey.Plane{CIn: 120, GX: 12 * 0.40 / 20, GY: 12 * 0.10 / 15}
	nearly(t, "first shot, in", p.At(geom.Pt{}), 120, 0)
	nearly(t, "second shot, in", p.At(geom.Pt{X: 20}), 124.8, 1e-12)
	nearly(t, "third shot, in", p.At(geom.Pt{Y: 15}), 121.2, 1e-12)
	nearly(t, "slope, in/ft", p.Slope().InchesPerFoot(), 0.252982, 0.5e-6)
	up, ok := p.Uphill()
	if !ok {
		t.Fatal("no uphill on a sloping plane")
	}
	azimuth := math.Mod(math.Atan2(-up.X, -up.Y)*180/math.Pi+360, 360)
	nearly(t, "water runs to, degrees clockwise from +y", azimuth, 251.5651, 0.5e-4)
}

// TestPlane_Gradient: z = 0.02 x - 0.01 y falls at sqrt(5)/100 toward
// 180 - atan(1/2) degrees.
func TestPlane_Gradient(t *testing.T) {
	p := survey.Plane{GX: 12 * 0.02, GY: -12 * 0.01}
	nearly(t, "slope, in/ft", p.Slope().InchesPerFoot(), 0.268328, 0.5e-6)
	up, _ := p.Uphill()
	nearly(t, "falls to, degrees from +x", math.Atan2(-up.Y, -up.X)*180/math.Pi, 153.4349, 0.5e-4)
	sum := p.Add(survey.Plane{CIn: 3, GX: -0.24, GY: 0.12})
	if _, ok := sum.Uphill(); ok || sum.Slope() != 0 || sum.At(geom.Pt{X: 7, Y: 9}) != 3 {
		t.Errorf("a plane and its counterpart leave %v, want a level plane at 3 in", sum)
	}
}

// TestPlane_ToJob: a plane keeps its heights and its slope in any frame,
// mirrored ones too.
func TestPlane_ToJob(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(label string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(t, label) }
		p := survey.Plane{CIn: num("c", 2000), GX: num("gx", 1), GY: num("gy", 1)}
		f := geom.Frame{Origin: geom.Pt{X: num("ox", 500), Y: num("oy", 500)}, Turn: num("turn", 7),
			Mirror: rapid.Bool().Draw(t, "mirror")}
		q := geom.Pt{X: num("x", 500), Y: num("y", 500)}
		job := p.ToJob(f)
		if d := job.At(f.ToJob(q)) - p.At(q); math.Abs(d) > 1e-9 {
			t.Fatalf("height changes by %v in", d)
		}
		if d := (job.Slope() - p.Slope()).InchesPerFoot(); math.Abs(d) > 1e-12 {
			t.Fatalf("slope changes by %v in/ft", d)
		}
	})
}
