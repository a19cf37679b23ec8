package unit_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey/unit"
)

// TestFeetInches_Table: nearest 1/16 in, ties away from zero, worked by hand:
// 5.37 ft = 64.44 in = 5 ft 4.44 in, and 0.44 in is 7.04 sixteenths.
func TestFeetInches_Table(t *testing.T) {
	for _, c := range []struct {
		feet float64
		want string
	}{
		{5.37, `5'-4 7/16"`}, {0.083, `0'-1"`}, {0.01, `0'-0 1/8"`}, {0.1, `0'-1 3/16"`},
		{0.02, `0'-0 1/4"`}, {0.25, `0'-3"`}, {0.04, `0'-0 1/2"`}, {3.99, `3'-11 7/8"`},
		{0.05, `0'-0 5/8"`}, {11.995, `11'-11 15/16"`}, {0.996, `0'-11 15/16"`},
		{1.0417, `1'-0 1/2"`}, {0.9990, `1'-0"`},
		{0.005208, `0'-0 1/16"`}, {0.010417, `0'-0 1/8"`}, {0.020833, `0'-0 1/4"`},
		{0.031250, `0'-0 3/8"`}, {0.041667, `0'-0 1/2"`}, {0.062500, `0'-0 3/4"`},
		{0.083333, `0'-1"`},
		{0, `0'-0"`}, {-5.37, `-5'-4 7/16"`}, {-0.001, `0'-0"`}, {-0.999, `-1'-0"`},
		{1. / 384, `0'-0 1/16"`}, {-1. / 384, `-0'-0 1/16"`}, // a tie: 1/32 in
		{120, `120'-0"`},
	} {
		if got := unit.Feet(c.feet).FeetInches(); got != c.want {
			t.Errorf("%v ft: %s, want %s", c.feet, got, c.want)
		}
	}
}

func TestPrint_Stories(t *testing.T) {
	const in, mm, f = unit.Inch, unit.Millimetre, unit.InchPerFoot
	us, metric := unit.US, unit.Metric
	for _, c := range []struct{ story, got, want string }{
		{"mark of a half", (0.5 * in).InchFraction(), "1/2"},
		{"mark over one", (1.5 * in).InchFraction(), "1-1/2"},
		{"mark of a whole", (2 * in).InchFraction(), "2"},
		{"mark that is no sixteenth", (2.6 * in).InchFraction(), "2.6"},
		{"mark after some sums", (unit.Inches(0.1+0.2) * 5).InchFraction(), "1-1/2"},
		{"mark of nothing", (0 * in).InchFraction(), "0"},
		{"metric mark", (1.5 * in).Mark(metric), "38"},
		{"metric mark, thin", (0.5 * in).Mark(metric), "13"},
		{"metric mark of a metric board", (50 * mm).Mark(metric), "50"},
		{"US mark", (1.5 * in).Mark(us), "1-1/2"},
		{"thickness", (1.5 * in).InchText(), `1 1/2"`},
		{"thickness below", (-0.25 * in).InchText(), `-1/4"`},
		{"thickness in between", (2.6 * in).InchText(), `2 5/8"`},
		{"thickness, metric", (1.5 * in).FormatThin(metric), "38 mm"},
		{"thickness, US", (1.5 * in).FormatThin(us), `1 1/2"`},
		{"roof, US", unit.Feet(12.29).Format(us), `12'-3 1/2"`},
		{"roof, metric", unit.Feet(12.29).Format(metric), "3.746 m"},
		{"roof, unset", unit.Feet(12.29).Format(unit.UnsetSystem), `12'-3 1/2"`},
		{"just below nought", (-0.001 * in).Format(metric), "0.000 m"},
		{"thin, just below nought", (-0.001 * in).FormatThin(metric), "0 mm"},
		{"error, US", unit.Inches(0.126).FormatError(us), "0.13 in"},
		{"error, metric", unit.Inches(0.126).FormatError(metric), "3.2 mm"},
		{"error just below nought", unit.Inches(-0.001).FormatError(metric), "0.0 mm"},
		{"closing under a sixteenth apart, US", unit.Feet(0.010).FormatClosing(us) + " " + unit.Feet(0.009).FormatClosing(us), "0.010 ft 0.009 ft"},
		{"closing under a millimetre apart", (2.9 * mm).FormatClosing(metric) + " " + (-2.5 * mm).FormatClosing(metric), "2.9 mm -2.5 mm"},
		{"rough", unit.Feet(8.2).FormatRough(us) + ", " + unit.Feet(3029.4).FormatRough(us), "8 ft, 3029 ft"},
		{"rough, short", unit.Feet(2.46).FormatRough(us) + ", " + unit.Feet(0.328).FormatRough(us), "2.5 ft, 0.33 ft"},
		{"rough, metric", unit.Metres(923.4).FormatRough(metric) + ", " + unit.Metres(4.57).FormatRough(metric), "923 m, 4.6 m"},
		{"rough, metric, short", unit.Metres(0.3).FormatRough(metric) + ", " + unit.Metres(0.06).FormatRough(metric), "0.3 m, 0.06 m"},
		{"rough, nothing", unit.Feet(0).FormatRough(metric), "0 m"},
		{"quarter", (0.25 * f).InPerFt(), "1/4 in/ft"},
		{"one and a half", (1.5 * f).InPerFt(), "1-1/2 in/ft"},
		{"valley of quarters", (0.25 * f / math.Sqrt2).InPerFt(), "0.177 in/ft"},
		{"just under a quarter is not a quarter", (0.2499 * f).InPerFt(), "0.250 in/ft"},
		{"level", (0 * f).InPerFt(), "0 in/ft"},
		{"uphill", (-0.177 * f).InPerFt(), "-0.177 in/ft"},
		{"hardly uphill", (-0.0001 * f).InPerFt(), "0.000 in/ft"},
		{"quarter as ratio", (0.25 * f).OneIn(), "1:48"},
		{"valley as ratio", (0.176777 * f).OneIn(), "1:67.9"},
		{"sixteenth as ratio", (0.0625 * f).OneIn(), "1:192"},
		{"uphill as ratio", (-0.25 * f).OneIn(), "-1:48"},
		{"level as ratio", (0 * f).OneIn(), "level"},
		{"slope, US", (0.25 * f).Format(us), "1/4 in/ft"},
		{"slope, metric", (0.25 * f).Format(metric), "1:48"},
		{"area, US", unit.SquareFeet(8640).Format(us), "8640 sq ft"},
		{"small area", unit.SquareFeet(4.2).Format(us), "4.2 sq ft"},
		{"area, metric", unit.SquareFeet(8640).Format(metric), "803 m2"},
		{"volume, US", unit.CubicFeet(12.34).Format(us), "12.3 cu ft"},
		{"volume, metric", unit.CubicFeet(12.34).Format(metric), "0.35 m3"},
		{"water, US", unit.CubicFeet(7).FormatWater(us), "52.4 gal"},
		{"water, metric", unit.CubicFeet(7).FormatWater(metric), "198 L"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", c.story, c.got, c.want)
		}
	}
}

// TestPrint_NeverFails prints measures that no roof has.
func TestPrint_NeverFails(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64,
		math.SmallestNonzeroFloat64, 1e15, -1e18} {
		for _, sys := range []unit.System{unit.US, unit.Metric} {
			l, s := unit.Inches(x), unit.InchesPerFoot(x)
			for _, text := range []string{l.Format(sys), l.FormatThin(sys), l.FormatError(sys), l.FormatClosing(sys), l.FormatRough(sys), l.Mark(sys), l.InchFraction(),
				s.Format(sys), s.InPerFt(), unit.SquareFeet(x).Format(sys),
				unit.CubicFeet(x).Format(sys), unit.CubicFeet(x).FormatWater(sys)} {
				if text == "" {
					t.Errorf("%v prints as nothing", x)
				}
			}
		}
	}
}

// TestLength_PrintedAndReadAgain: the same to 1/32 in.
func TestLength_PrintedAndReadAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := unit.Inches(rapid.Float64Range(-1e6, 1e6).Draw(t, "inches"))
		if rapid.Bool().Draw(t, "small") {
			l = unit.Inches(rapid.Float64Range(-24, 24).Draw(t, "inches"))
		}
		for _, text := range []string{l.FeetInches(), l.InchText(), l.Format(unit.Metric),
			l.FormatThin(unit.Metric), l.InchFraction() + " in"} {
			back, err := unit.ParseLength(text, 0)
			if err != nil || !(math.Abs(back.Inches()-l.Inches()) <= 1.0/32+1e-9) {
				t.Fatalf("%v in prints as %s and reads as %v in, %v", l.Inches(), text, back.Inches(), err)
			}
		}
		if _, err := unit.ParseFieldBook(l.FeetInches()); err != nil {
			t.Fatalf("%s is refused in a field book: %v", l.FeetInches(), err)
		}
	})
}

// TestSlope_PrintedAndReadAgain: a sixteenth is the same, others to half of the
// last digit printed.
func TestSlope_PrintedAndReadAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(-48, 48).Draw(t, "sixteenths")
		s := unit.InchesPerFoot(float64(n) / 16)
		if back, err := unit.ParseSlope(s.InPerFt()); err != nil || back != s {
			t.Fatalf("%s reads as %v in/ft, %v", s.InPerFt(), back.InchesPerFoot(), err)
		}
		s = unit.InchesPerFoot(rapid.Float64Range(-4, 4).Draw(t, "in/ft"))
		for text, tol := range map[string]float64{s.InPerFt(): 0.0005} {
			back, err := unit.ParseSlope(text)
			if err != nil || !(math.Abs((back - s).InchesPerFoot()) <= tol+1e-12) {
				t.Fatalf("%v in/ft prints as %s and reads as %v, %v", s.InchesPerFoot(), text, back.InchesPerFoot(), err)
			}
		}
	})
}
