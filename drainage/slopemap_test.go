package drainage

import (
	"math"
	"testing"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestReport_SlopePct: strips of 10, 20, 30 and 40 ft of 1/16, 3/16, 3/8 and
// 5/8 in/ft, one uphill of the other, are 10, 20, 30 and 40 % of a roof of 100
// ft, by the classes under 1/8, 1/4 and 1/2 in/ft.
func TestReport_SlopePct(t *testing.T) {
	s, surf := roofOf(t, box(100, 40), openAllRound()[3:], 0.5, func(p geom.Pt) float64 {
		x, z := p.X+50, 0.0
		for n, long := range []float64{10, 20, 30, 40} {
			z += []float64{1. / 16, 3. / 16, 3. / 8, 5. / 8}[n] * math.Max(0, math.Min(x, long))
			x -= long
		}
		return z
	})
	r := checked(t, s, surf, usual(t))
	for n, want := range []float64{10, 20, 30, 40} {
		if got := r.SlopePct[n]; math.Abs(got-want) > 0.5 {
			t.Errorf("class %d: %.2f %%, want %g", n, got, want)
		}
	}
	if got := r.SlopePct[0] + r.SlopePct[1]; math.Abs(got-r.BelowMinimumPct) > 1e-9 {
		t.Errorf("%.3f %% under the field limit by class, %.3f in all", got, r.BelowMinimumPct)
	}
}

// TestSlopes_At: a plane is read to its last digits whichever way it faces.
func TestSlopes_At(t *testing.T) {
	for deg := range 90 {
		sin, cos := math.Sincos(float64(deg) * math.Pi / 180)
		s, surf := roofOf(t, box(30, 20), nil, 0.5, func(p geom.Pt) float64 { return 0.25*cos*p.X + 0.25*sin*p.Y })
		slopes := SlopesOf(surf, 10*unit.Foot)
		for k := range surf.ElevIn {
			up, ok := slopes.At(k)
			if !ok || up.Dist(geom.Pt{X: 0.25 * cos, Y: 0.25 * sin}) > 1e-9 {
				t.Fatalf("%d degrees, cell %d of %s: %v %v", deg, k, s.Name, up, ok)
			}
		}
	}
}

func TestRules_SlopeClasses(t *testing.T) {
	slope := unit.InchesPerFoot
	for _, c := range []struct {
		story         string
		field, valley float64
		want          [3]float64
	}{
		{"valley under field", 0.25, 0.125, [3]float64{0.125, 0.25, 0.5}},
		{"valley as field", 0.25, 0.25, [3]float64{0.125, 0.25, 0.5}},
		{"no limit of valleys", 0.15, 0, [3]float64{0.075, 0.15, 0.3}},
	} {
		r := Rules{Field: Limit{Min: slope(c.field)}, Valley: Limit{Min: slope(c.valley)}}
		for n, got := range r.SlopeClasses() {
			if math.Abs(got.InchesPerFoot()-c.want[n]) > 1e-12 {
				t.Errorf("%s: class %d from %v", c.story, n, got)
			}
		}
	}
}
