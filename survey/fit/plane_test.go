package fit

import (
	"errors"
	"math"
	"math/rand/v2"
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

// One standard error of a slope by the textbook formula for a straight line,
// sigma / (sqrt(n) s_x), s_x the root mean square of the places about their
// middle: 80 ft / sqrt(12) along the roof, 40 ft / sqrt(12) across.
func TestPlaneOf(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 80, 40)}
	s := survey.SiteOf(&a, nil)
	surf := Level(s, survey.LatticeOf(s, 0), 0)
	const sixteenth = 1.0 / 16
	long, wide := 80/math.Sqrt(12), 40/math.Sqrt(12)
	for _, c := range []struct {
		name         string
		gx, gy       float64 // in/ft along and across the roof
		sigmaIn      float64
		shots        int
		wantX, wantY float64
	}{
		{"a quarter inch", 0.25, 0, 0.125, 32, 0.25, 0},
		{"under a sixteenth", 0.06, 0, 0, 32, 0, 0},
		{"a sixteenth, exact", sixteenth, 0, 0, 32, sixteenth, 0},
		{"both just under a sixteenth", 0.0624, 0.0624, 0, 32, 0, 0},
		{"an eighth along, noise across", 0.125, 0.002, 0.125, 84, 0.125, 0},
		{"an eighth across, noise along", -0.002, 0.125, 0.125, 84, 0, 0.125},
		{"an eighth both ways", 0.125, -0.125, 0.125, 84, 0.125, -0.125},
		{"a tenth, 2.9 standard errors", 0.1, 0, 0.1 / 2.9 * 4 * long, 16, 0, 0},
		{"a tenth, 3.1 standard errors", 0.1, 0, 0.1 / 3.1 * 4 * long, 16, 0.1, 0},
		{"a tenth both ways, too doubtful across only", 0.1, 0.1, 0.1 / 2.9 * 4 * wide, 16, 0.1, 0},
	} {
		z := make([]float64, surf.Len())
		for k := range z {
			p := surf.Centre(k%surf.NX, k/surf.NX)
			z[k] = 50 + c.gx*p.X + c.gy*p.Y
		}
		p, doubt, level, err := PlaneOf(surf.With(z), c.sigmaIn, c.shots)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(p.CIn-50)+math.Abs(p.GX-c.wantX)+math.Abs(p.GY-c.wantY) > 1e-9 || level != (c.wantX == 0 && c.wantY == 0) {
			t.Errorf("%s: %+v, level %v", c.name, p, level)
		}
		// Shots to 0.001 ft are 0.012 in apart: 0.012 / sqrt(12) at least.
		sigma := math.Max(c.sigmaIn, 0.012/math.Sqrt(12))
		if want := sigma / math.Sqrt(float64(c.shots)) / wide; math.Abs(doubt.InchesPerFoot()-want) > 1e-3*want {
			t.Errorf("%s: doubt %.6g in/ft, want %.6g", c.name, doubt.InchesPerFoot(), want)
		}
	}
	thin := &survey.Surface{Lattice: survey.Lattice{CellFt: 1, NX: 5, NY: 1}, Roof: []bool{true, true, true, true, true},
		ElevIn: make([]float64, 5)}
	if _, _, _, err := PlaneOf(thin, 0, 5); err == nil {
		t.Error("a row of cells gave a plane")
	}
}

// Planes through noisy readings scatter by the standard errors given: over 400
// sets of 40 readings, each within four of its own 1/sqrt(800) relative error.
func TestSlopeErrors_Scatter(t *testing.T) {
	const seed, sets, n, sigmaIn = 11, 400, 40, 0.125
	rng := rand.New(rand.NewPCG(seed, 1))
	pts := make([]geom.Pt, n)
	for i := range pts {
		u, v := rng.Float64()*90, rng.Float64()*30
		pts[i] = geom.Pt{X: u + v, Y: v} // spread askew
	}
	var sumX, sumY, errX, errY float64
	for range sets {
		z := make([]float64, n)
		for i, p := range pts {
			z[i] = 0.125*p.X + sigmaIn*rng.NormFloat64()
		}
		p, sp, err := leastSquares(pts, z)
		if err != nil {
			t.Fatal(err)
		}
		sumX += (p.GX - 0.125) * (p.GX - 0.125) / sets
		sumY += p.GY * p.GY / sets
		errX, errY = sp.slopeErrors(sigmaIn, n)
	}
	tol := 4 / math.Sqrt(2*sets)
	if x, y := math.Sqrt(sumX)/errX, math.Sqrt(sumY)/errY; math.Abs(x-1) > tol || math.Abs(y-1) > tol {
		t.Errorf("seed %d: scatter over standard error %.3f along, %.3f across", seed, x, y)
	}
}
