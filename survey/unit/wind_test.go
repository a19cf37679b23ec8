package unit

import (
	"errors"
	"math"
	"testing"
)

// Factors from NIST SP 811, appendix B, from memory: 1 psf = 47.88026 Pa, 1 lbf = 4.448222 N.
func TestParseLoadAndForce(t *testing.T) {
	for text, want := range map[string]float64{"45 psf": 45, "2.1 kPa": 2100 / 47.88026, "2100 Pa": 2100 / 47.88026} {
		if l, err := ParseLoad(text); err != nil || math.Abs(l.PoundsPerSquareFoot()-want) > 1e-5 {
			t.Errorf("%s: %v psf, %v, want %v", text, l.PoundsPerSquareFoot(), err, want)
		}
	}
	for text, want := range map[string]float64{"360 lb": 360, "1.6 kN": 1600 / 4.448222, "1600 N": 1600 / 4.448222} {
		if f, err := ParseForce(text); err != nil || math.Abs(f.Pounds()-want) > 1e-4 {
			t.Errorf("%s: %v lb, %v, want %v", text, f.Pounds(), err, want)
		}
	}
	if w := Lifting(PoundsPerSquareFoot(45), SquareFeet(32)); w != 1440*Pound {
		t.Errorf("45 psf on 32 sq ft: %v", w.Pounds())
	}
	for _, text := range []string{"", "45", "45 lb", "psf", "45 psf x", "1e9 psf", "2000 psf"} {
		var why Refusal
		if _, err := ParseLoad(text); !errors.As(err, &why) {
			t.Errorf("load %q: %v", text, err)
		}
	}
	for _, text := range []string{"", "360", "360 psf", "lb", "360 lb x", "200000 lb"} {
		var why Refusal
		if _, err := ParseForce(text); !errors.As(err, &why) {
			t.Errorf("force %q: %v", text, err)
		}
	}
	if a, b := (360 * Pound).Format(US), (360 * Pound).Format(Metric); a != "360 lb" || b != "1.6 kN" {
		t.Errorf("360 lb is printed %s, %s", a, b)
	}
}
