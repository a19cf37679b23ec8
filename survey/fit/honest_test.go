package fit

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// TestFit_KnownEndsBeyondTheShots: with nothing in the way, a place farther
// than a spacing both ways from every shot is not told.
func TestFit_KnownEndsBeyondTheShots(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 200, 50)}
	for x := 5.0; x < 60; x += 10 {
		for y := 5.0; y < 50; y += 10 {
			addShot(&a, geom.Pt{X: x, Y: y}, 0)
		}
	}
	s, r := fitOf(t, &a, 0.5)
	for k, on := range r.Surface.Roof {
		if !on {
			continue
		}
		p := s.Frame.ToJob(r.Surface.Centre(k%r.Surface.NX, k/r.Surface.NX))
		if want := p.X < 55+10*math.Sqrt2; math.Abs(p.X-(55+10*math.Sqrt2)) > 5.1 && r.Surface.Known[k] != want {
			t.Fatalf("%v known: %v, want %v", p, r.Surface.Known[k], want)
		}
	}
}

// TestFit_CourtsAreHonouredBySmoothing: noise makes the smoothing surface win,
// and a thin court still parts the two levels.
func TestFit_CourtsAreHonouredBySmoothing(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	a := survey.Area{Outline: rect(0, 0, 120, 80), Courts: []geom.Ring{rect(59.9, 2, 60.1, 78)}}
	f := func(p geom.Pt) float64 {
		z := 2 * math.Sin(p.X/25) * math.Cos(p.Y/20)
		if p.X > 60 {
			z += 6
		}
		return z
	}
	for y := 4.0; y < 80; y += 6 {
		for x := 3.0; x < 120; x += 6 {
			addShot(&a, geom.Pt{X: x, Y: y}, f(geom.Pt{X: x, Y: y})+0.12*rng.NormFloat64())
		}
	}
	s, r := fitOf(t, &a, 0.5)
	worst := 0.0
	for k, on := range r.Surface.Roof {
		p := s.Frame.ToJob(r.Surface.Centre(k%r.Surface.NX, k/r.Surface.NX))
		if on && p.Y > 20 && p.Y < 60 {
			worst = math.Max(worst, math.Abs(r.Surface.ElevIn[k]-f(p)))
		}
	}
	t.Logf("%s: %.3f in off at most", r.Method, worst)
	if r.Method != smoothMethod || worst > 0.6 {
		t.Errorf("%s leaks %.3f in across the court", r.Method, worst)
	}
}
