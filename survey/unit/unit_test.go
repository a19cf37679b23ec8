package unit_test

import (
	"math"
	"testing"

	"runnel/survey/unit"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, want %v within %v", what, got, want, tol)
	}
}

// TestSlopeOf_QuarterInchIsExact holds the reason for keeping inches: a fall of
// a quarter inch per foot over any run of half feet is a quarter, not a hair
// less.
func TestSlopeOf_QuarterInchIsExact(t *testing.T) {
	if got := unit.SlopeOf(2.5*unit.Inch, 10*unit.Foot); got != 0.25*unit.InchPerFoot {
		t.Errorf("2.5 in over 10 ft: %v in/ft", got.InchesPerFoot())
	}
	if got := unit.Fall(0.25*unit.InchPerFoot, 30*unit.Foot); got != 7.5*unit.Inch {
		t.Errorf("1/4 in/ft over 30 ft: %v in", got.Inches())
	}
	shortInMetres := 0
	for half := 1; half <= 240; half++ {
		runFt := float64(half) / 2
		run := unit.Feet(runFt)
		fall := unit.Fall(0.25*unit.InchPerFoot, run)
		if fall.Inches() != runFt/4 {
			t.Errorf("fall over %v ft: %v in", runFt, fall.Inches())
		}
		if s := unit.SlopeOf(fall, run); s != 0.25*unit.InchPerFoot {
			t.Errorf("slope over %v ft: %v in/ft", runFt, s.InchesPerFoot())
		}
		fallM, runM := runFt/4*0.0254, runFt*0.3048
		if fallM/runM < 0.25*0.0254/0.3048 {
			shortInMetres++
		}
	}
	if shortInMetres == 0 {
		t.Error("kept in metres no fall comes out short: the choice of inches has lost its reason")
	}
	t.Logf("kept in metres, %d of 240 exact falls come out short", shortInMetres)
}

// TestSlopeConversions_Table has the plain trigonometry of the usual slopes:
// ratio = in/ft / 12, n = 1 / ratio, degrees = atan(ratio), area gain =
// sqrt(1 + ratio^2); worked out apart from this package and rounded.
func TestSlopeConversions_Table(t *testing.T) {
	for _, c := range []struct{ inPerFt, ratio, percent, degrees, oneIn, gain float64 }{
		{1. / 16, 0.0052083, 0.5208, 0.2984, 192, 1.0000136},
		{1. / 8, 0.0104167, 1.0417, 0.5968, 96, 1.0000543},
		{0.15, 0.0125000, 1.2500, 0.7162, 80, 1.0000781},
		{3. / 16, 0.0156250, 1.5625, 0.8952, 64, 1.0001221},
		{0.176777, 0.0147314, 1.4731, 0.8440, 67.88, 1.0001085},
		{1. / 4, 0.0208333, 2.0833, 1.1935, 48, 1.0002170},
		{0.30, 0.0250000, 2.5000, 1.4321, 40, 1.0003125},
		{3. / 8, 0.0312500, 3.1250, 1.7899, 32, 1.0004882},
		{1. / 2, 0.0416667, 4.1667, 2.3859, 24, 1.0008677},
		{1, 0.0833333, 8.3333, 4.7636, 12, 1.0034662},
		{2, 0.1666667, 16.6667, 9.4623, 6, 1.0137938},
		{3, 0.2500000, 25.0000, 14.0362, 4, 1.0307764},
	} {
		s := unit.InchesPerFoot(c.inPerFt)
		near(t, "ratio", s.Ratio(), c.ratio, 0.5e-7)
		near(t, "per cent", s.Percent(), c.percent, 0.5e-4)
		near(t, "degrees", s.Degrees(), c.degrees, 0.5e-4)
		near(t, "1 in n", 1/s.Ratio(), c.oneIn, 0.5e-2)
		mmPerM := unit.Fall(s, unit.Metre).Millimetres()
		near(t, "mm/m", mmPerM, 10*c.percent, 0.5e-3)
		near(t, "area gain", math.Hypot(1, s.Ratio()), c.gain, 0.5e-7)
		near(t, "back from the ratio", unit.SlopeOfRatio(s.Ratio()).InchesPerFoot(), c.inPerFt, 1e-15)
		near(t, "back from degrees", unit.SlopeOfDegrees(s.Degrees()).InchesPerFoot(), c.inPerFt, 1e-14)
	}
}

// TestMetricFalls_TenMetres is 10 m of run at the usual metric falls, and a
// fall of 20 mm over 3 m, which is 1:150 and under 1:80 (37.5 mm). BS 6229:2018
// asks a design fall of 1:40 for a finished 1:80 (read in a trade journal).
func TestMetricFalls_TenMetres(t *testing.T) {
	for _, c := range []struct {
		slope        string
		runM, fallMm float64
	}{{"1:40", 10, 250}, {"1:60", 10, 166.6666667}, {"1:80", 10, 125}, {"1:80", 3, 37.5}, {"1:150", 3, 20}} {
		s, err := unit.ParseSlope(c.slope)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.slope, unit.Fall(s, unit.Metres(c.runM)).Millimetres(), c.fallMm, 1e-6)
	}
	got := unit.SlopeOf(20*unit.Millimetre, 3*unit.Metre)
	if got.OneIn() != "1:150" {
		t.Errorf("20 mm over 3 m: %s, want 1:150", got.OneIn())
	}
	if want := unit.SlopeOfRatio(1.0 / 80); got >= want {
		t.Errorf("20 mm over 3 m: %s is not under 1:80", got.OneIn())
	}
}

// TestDefinitions checks the units against their legal definitions: foot
// 0.3048 m (1959 yard and pound agreement), US survey foot 1200/3937 m (1893),
// US gallon 231 cu in; from memory.
func TestDefinitions(t *testing.T) {
	near(t, "foot in m", unit.Foot.Metres(), 0.3048, 1e-16)
	near(t, "metre in ft", unit.Metre.Feet(), 3.280839895013123, 1e-15)
	near(t, "survey foot in m", unit.SurveyFoot.Metres(), 1200.0/3937, 1e-15)
	over := unit.Length(300) * (unit.SurveyFoot - unit.Foot)
	near(t, "300 survey feet are longer by, in", over.Inches(), 0.0072, 1e-6)
	near(t, "square metre in sq ft", unit.SquareMetre.SquareFeet(), 10.763910416709722, 1e-12)
	near(t, "cubic foot in gallons", unit.CubicFoot.Gallons(), 7.480519480519481, 1e-12)
	near(t, "cubic foot in litres", unit.CubicFoot.Litres(), 28.316846592, 1e-12)
	near(t, "cubic metre in cu ft", unit.CubicMetre.CubicFeet(), 35.31466672148859, 1e-12)
	near(t, "4x8 board of 1-1/2 in, board feet",
		unit.VolumeOf(unit.AreaOf(4*unit.Foot, 8*unit.Foot), 1.5*unit.Inch).BoardFeet(), 48, 0)
	near(t, "ratio", unit.RatioOf(9*unit.Inch, 3*unit.Foot), 0.25, 0)
}

func TestSystem_Names(t *testing.T) {
	for s, want := range map[unit.System]string{unit.UnsetSystem: "unset", unit.US: "us", unit.Metric: "metric"} {
		if s.String() != want {
			t.Errorf("%d: %q, want %q", int(s), s, want)
		}
	}
}
