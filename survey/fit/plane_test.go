package fit

import (
	"errors"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// Worked examples, computed by hand from the normal equations.
func TestLeastSquares_WorkedExamples(t *testing.T) {
	p, _, err := leastSquares([]geom.Pt{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 0, Y: 10}, {X: 10, Y: 10}}, []float64{0, 1, 2, 3.4})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range [][2]float64{{p.CIn, -0.10}, {p.GX, 0.12}, {p.GY, 0.22}} {
		if math.Abs(v[0]-v[1]) > 1e-12 {
			t.Errorf("plane %+v, want -0.10 + 0.12 x + 0.22 y", p)
		}
	}
	// Three shots in feet: slope 0.252982 in/ft, water to azimuth 251.5651
	// degrees clockwise from +y.
	p, _, err = leastSquares([]geom.Pt{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 0, Y: 15}}, []float64{120, 124.8, 121.2})
	if err != nil {
		t.Fatal(err)
	}
	if s := p.Slope().InchesPerFoot(); math.Abs(s-0.252982) > 5e-7 {
		t.Errorf("slope %.6f in/ft, want 0.252982", s)
	}
	up, _ := p.Uphill()
	if az := math.Mod(math.Atan2(-up.X, -up.Y)*180/math.Pi+360, 360); math.Abs(az-251.5651) > 5e-5 {
		t.Errorf("water runs to azimuth %.4f, want 251.5651", az)
	}
	// z = 0.02 x - 0.01 y in feet: 0.268328 in/ft.
	if s := (survey.Plane{GX: 0.24, GY: -0.12}).Slope().InchesPerFoot(); math.Abs(s-0.268328) > 5e-7 {
		t.Errorf("slope %.6f in/ft, want 0.268328", s)
	}
}

func TestLeastSquares_RefusesALine(t *testing.T) {
	for _, c := range []struct {
		name string
		pts  []geom.Pt
	}{
		{"two places", []geom.Pt{{X: 0, Y: 0}, {X: 1, Y: 5}}},
		{"a line off the axes", []geom.Pt{{X: 0, Y: 0}, {X: 10, Y: 7}, {X: 20, Y: 14}, {X: 30, Y: 21}}},
		{"a line far out", []geom.Pt{{X: 2.1e6, Y: 7e5}, {X: 2.1e6 + 10, Y: 7e5 + 7}, {X: 2.1e6 + 20, Y: 7e5 + 14}}},
		{"nearly one place", []geom.Pt{{X: 5, Y: 5}, {X: 5, Y: 5}, {X: 5, Y: 5}}},
		{"1/100 in off a line of 100 ft", []geom.Pt{{X: 0, Y: 0}, {X: 50, Y: 0.0008}, {X: 100, Y: 0}}},
	} {
		if p, _, err := leastSquares(c.pts, make([]float64, len(c.pts))); !errors.Is(err, errInLine) {
			t.Errorf("%s: plane %+v, error %v", c.name, p, err)
		}
	}
}

func TestPlaneOf(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 80, 40)}
	s := survey.SiteOf(&a, nil)
	surf := Level(s, survey.LatticeOf(s, 0), 0)
	for _, c := range []struct {
		name    string
		slope   float64 // in/ft along the longer way
		sigmaIn float64
		shots   int
		level   bool
	}{
		{"a quarter inch", 0.25, 0.125, 32, false},
		{"under a sixteenth", 0.06, 0, 32, true},
		{"a sixteenth, exact", 1.0 / 16, 0, 32, false},
		// One standard error is sigma / (sqrt(shots) * 80 ft / sqrt(12)).
		{"a tenth, 2.9 standard errors", 0.1, 0.1 / 2.9 * 4 * 80 / math.Sqrt(12), 16, true},
		{"a tenth, 3.1 standard errors", 0.1, 0.1 / 3.1 * 4 * 80 / math.Sqrt(12), 16, false},
	} {
		z := make([]float64, surf.Len())
		for k := range z {
			z[k] = 50 + c.slope*surf.Centre(k%surf.NX, 0).X
		}
		p, level, err := PlaneOf(surf.With(z), c.sigmaIn, c.shots)
		if err != nil {
			t.Fatal(err)
		}
		want := survey.Plane{CIn: 50, GX: c.slope}
		if c.level {
			want.GX = 0
		}
		if level != c.level || math.Abs(p.CIn-want.CIn)+math.Abs(p.GX-want.GX)+math.Abs(p.GY) > 1e-9 {
			t.Errorf("%s: %+v, level %v", c.name, p, level)
		}
	}
	thin := &survey.Surface{Lattice: survey.Lattice{CellFt: 1, NX: 5, NY: 1}, Roof: []bool{true, true, true, true, true},
		ElevIn: make([]float64, 5)}
	if _, _, err := PlaneOf(thin, 0, 5); err == nil {
		t.Error("a row of cells gave a plane")
	}
}
