package unit_test

import (
	"errors"
	"math"
	"testing"

	"runnel/survey/unit"
)

// FuzzParseLength: any text gives a length that prints and reads again, or a
// Refusal with a mend; it never panics.
func FuzzParseLength(f *testing.F) {
	for _, s := range []string{`12'-3 1/2"`, `5 ft 1-7/16 in`, "3.75 m", "-89mm", "1e400", "½", "5.4", `5'-12"`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, bare := range []unit.Length{0, unit.Foot, unit.Inch, unit.Metre} {
			l, err := unit.ParseLength(text, bare)
			if err != nil {
				refused(t, text, err)
				continue
			}
			if !(math.Abs(l.Inches()) <= unit.FarthestLength.Inches()) {
				t.Fatalf("%q reads as %v in", text, l.Inches())
			}
			back, err := unit.ParseLength(l.FeetInches(), 0)
			if err != nil || !(math.Abs(back.Inches()-l.Inches()) <= 1.0/32+1e-5) {
				t.Fatalf("%q reads as %v in, prints as %s, reads as %v in, %v",
					text, l.Inches(), l.FeetInches(), back.Inches(), err)
			}
		}
		if _, err := unit.ParseFieldBook(text); err != nil {
			refused(t, text, err)
		}
		if _, err := unit.ParseArea(text, unit.SquareFoot); err != nil {
			refused(t, text, err)
		}
		if _, err := unit.ParseRainRate(text); err != nil {
			refused(t, text, err)
		}
		if _, err := unit.ParseFlow(text); err != nil {
			refused(t, text, err)
		}
		if _, err := unit.ParseDegrees(text); err != nil {
			refused(t, text, err)
		}
	})
}

// FuzzParseSlope: any text gives a slope that prints and reads again, or a
// Refusal.
func FuzzParseSlope(f *testing.F) {
	for _, s := range []string{"1/4 in/ft", "1/4:12", "1:48", "1 in 40", "2.08%", "1.19 deg", "20.8 mm/m", "1:0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := unit.ParseSlope(text)
		if err != nil {
			refused(t, text, err)
			return
		}
		if !(math.Abs(s.InchesPerFoot()) <= 12) {
			t.Fatalf("%q reads as %v in/ft", text, s.InchesPerFoot())
		}
		back, err := unit.ParseSlope(s.InPerFt())
		if err != nil || !(math.Abs((back - s).InchesPerFoot()) <= 0.0005+1e-9) {
			t.Fatalf("%q reads as %v in/ft, prints as %s, reads as %v, %v",
				text, s.InchesPerFoot(), s.InPerFt(), back.InchesPerFoot(), err)
		}
	})
}

func refused(t *testing.T, text string, err error) {
	t.Helper()
	var r unit.Refusal
	if !errors.As(err, &r) || r.Why == "" || r.Mend == "" {
		t.Fatalf("%q: %v is no refusal with a mend", text, err)
	}
}
