package unit_test

import (
	"math"
	"strings"
	"testing"

	"runnel/survey/unit"
)

func close6(a, b float64) bool { return math.Abs(a-b) <= 1e-6*math.Abs(b) }

// Sources: the code commentary's Q = 0.0104 A i with its exact constant
// 7.480519/720, its SI form 2.7778e-7 A i (ASCE 7-05 Eq. C8-1), and rows of
// plumbing codes that follow from it.
func TestRunoff(t *testing.T) {
	const inH, gpm = unit.InchPerHour, unit.GallonPerMinute
	for _, c := range []struct {
		what   string
		sqft   float64
		rate   unit.RainRate
		gpm    float64
		within float64 // of gpm
	}{
		{"the exact constant", 1, inH, 7.480519 / 720, 1e-8},
		{"one gpm is 96.25 sq ft at 1 in/h", 96.25, inH, 1, 1e-12},
		{"10,000 sq ft at 1.5 in/h, code forum", 10000, 1.5 * inH, 155.84, 0.005},
		{"Birmingham, 2,500 sq ft at 3.75 (0.0104 gives 97.5)", 2500, 3.75 * inH, 97.40, 0.005},
		{"11,500 sq ft at 1.5 (0.0104 gives 179.4)", 11500, 1.5 * inH, 179.22, 0.005},
		{"Louisiana XIV-1115: one gpm is 24 sq ft at 4 in/h", 24, 4 * inH, 1, 0.005},
		{"Louisiana 51:XIV 1803 f: 2,500 sq ft at 7.2 (0.0104 gives 187.2)", 2500, 7.2 * inH, 187.01, 0.005},
		{"UPC appendix D: 6,688 sq ft at 3.2 in/h", 6687.5, 3.2 * inH, 222.3, 0.1},
		{"NSPC 2006: 3 in leader, 6,426 sq ft at 1 in/h", 6426, inH, 67, 0.5},
		{"NSPC 2006: 6 in leader, 10,201 sq ft at 4 in/h", 10201, 4 * inH, 424, 0.5},
		{"IPC appendix B, Mobile, 2,500 sq ft at 4.6", 2500, 4.6 * inH, 119.6, 0.2},
		{"Miami 4.7", 2500, 4.7 * inH, 122.2, 0.2},
		{"New Orleans 4.8", 2500, 4.8 * inH, 124.8, 0.2},
		{"Atlanta 3.7", 2500, 3.7 * inH, 96.2, 0.2},
		{"St. Louis 3.2", 2500, 3.2 * inH, 83.2, 0.2},
		{"Flagstaff 2.4", 2500, 2.4 * inH, 62.4, 0.2},
		{"Helena 1.5", 2500, 1.5 * inH, 39.0, 0.2},
		{"Juneau 0.6", 2500, 0.6 * inH, 15.6, 0.2},
		{"115 gpm, Mobile 2,403.8 sq ft (by 0.0104)", 2403.8, 4.6 * inH, 115, 0.2},
		{"115 gpm, Juneau 18,429.5 sq ft (by 0.0104)", 18429.5, 0.6 * inH, 115, 0.2},
	} {
		if got := unit.Runoff(unit.SquareFeet(c.sqft), c.rate); math.Abs(got.GallonsPerMinute()-c.gpm) > c.within {
			t.Errorf("%s: %g gpm, want %g within %g", c.what, got.GallonsPerMinute(), c.gpm, c.within)
		}
	}
	// SI of the Birmingham roof: 0.278e-6 x 232.26 x 95.25 = 0.006150 m3/s.
	got := unit.Runoff(232.26*unit.SquareMetre, 95.25*unit.MillimetrePerHour)
	if ls := float64(got / unit.LitrePerSecond); math.Abs(ls-1000*2.7778e-7*232.26*95.25) > 1e-3 {
		t.Errorf("232.26 m2 at 95.25 mm/h is %g L/s", ls)
	}
	if !close6(float64(unit.Kilopascal/unit.PoundPerSquareFoot), 1/0.04788026) {
		t.Errorf("a kilopascal is %g psf", float64(unit.Kilopascal))
	}
	if !close6(float64(unit.LitrePerSecond/gpm), 15.850323) {
		t.Errorf("a litre a second is %g gpm", float64(unit.LitrePerSecond))
	}
}

// National Standard Plumbing Code 2006 table 13.6.1, vertical leaders: the roof
// that a leader serves at 1, 2, 3 and 4 in/h is its flow over the unrounded
// constant. The flow is 27.8 r^(5/3) d^(8/3) with r = 7/24, printed rounded.
func TestRunoff_Leaders(t *testing.T) {
	for d, c := range map[float64]struct {
		gpm  float64
		sqft [4]float64
	}{
		2: {23, [4]float64{2180, 1090, 727, 545}}, 3: {67, [4]float64{6426, 3213, 2142, 1607}},
		4: {144, [4]float64{13840, 6920, 4613, 3460}}, 5: {261, [4]float64{25094, 12547, 8365, 6273}},
		6: {424, [4]float64{40805, 20402, 13602, 10201}}, 8: {913, [4]float64{87878, 43939, 29293, 21970}},
		10: {1655, [4]float64{159334, 79667, 53111, 39834}}, 12: {2692, [4]float64{259095, 129548, 86365, 64774}},
		15: {4880, [4]float64{469771, 234886, 156590, 117443}},
	} {
		flow := 27.8 * math.Pow(7.0/24, 5.0/3) * math.Pow(d, 8.0/3)
		for n, sqft := range c.sqft {
			got := unit.Runoff(unit.SquareFeet(sqft), unit.InchesPerHour(float64(n+1))).GallonsPerMinute()
			if math.Abs(got-flow) > 1e-3*flow || math.Abs(got-c.gpm) > math.Max(0.5, 2e-4*c.gpm) {
				t.Errorf("%g in, %d in/h, %g sq ft: %g gpm, printed %g, by the formula %g", d, n+1, sqft, got, c.gpm, flow)
			}
		}
	}
	// Louisiana 51:XIV 1803, b to e: roof at 3.75 in/h as roof at 4 in/h.
	for sqft, at4 := range map[float64]float64{2500: 2344, 5000: 4688, 10000: 9375} {
		a := unit.Runoff(unit.SquareFeet(sqft), 3.75*unit.InchPerHour).GallonsPerMinute()
		if b := unit.Runoff(unit.SquareFeet(at4), 4*unit.InchPerHour).GallonsPerMinute(); math.Abs(a-b) > 0.5*4/96.25 {
			t.Errorf("%g sq ft: %g gpm, %g sq ft at 4 in/h: %g", sqft, a, at4, b)
		}
	}
}

func TestParseRainRate(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64 // in/h
	}{
		{"3.2 in/h", 3.2}, {"3.2in/hr", 3.2}, {"3 1/4 in per hour", 3.25}, {`6.4"/h`, 6.4}, {"81.28 mm/h", 3.2}, {"0.1 m/h", 3.93700787},
	} {
		got, err := unit.ParseRainRate(c.text)
		if err != nil || !close6(got.InchesPerHour(), c.want) {
			t.Errorf("%q reads as %v in/h, %v", c.text, got.InchesPerHour(), err)
		}
	}
	for text, why := range map[string]string{
		"3.2": "no unit", "3.2 in": "time is missing", "3.2 gpm": "no unit of length", "3.2 in/min": "unit of time",
		"3.2 in/h 4": "left over", "-1 in/h": "number is expected", "400 in/h": "100 in/h", "": "nothing", "1e308 m/h": "100 in/h",
	} {
		if _, err := unit.ParseRainRate(text); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%q gives %v, want %q", text, err, why)
		} else {
			refused(t, text, err)
		}
	}
}

func TestParseFlow(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64 // gpm
	}{
		{"80 gpm", 80}, {"177.5gpm", 177.5}, {"6.15 L/s", 97.4794862}, {"1 litre per second", 15.8503231},
	} {
		got, err := unit.ParseFlow(c.text)
		if err != nil || !close6(got.GallonsPerMinute(), c.want) {
			t.Errorf("%q reads as %v gpm, %v", c.text, got.GallonsPerMinute(), err)
		}
	}
	for text, why := range map[string]string{
		"80": "no unit", "80 gph": "no unit of flow", "5 L": "time is missing", "5 L/h": "unit of time", "9e9 gpm": "so much",
		"80 gpm 2": "left over",
	} {
		if _, err := unit.ParseFlow(text); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%q gives %v, want %q", text, err, why)
		} else {
			refused(t, text, err)
		}
	}
}

func TestWaterFormats(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{(3.2 * unit.InchPerHour).Format(unit.US), "3.2 in/h"},
		{(3.2 * unit.InchPerHour).Format(unit.Metric), "81 mm/h"},
		{(97.403 * unit.GallonPerMinute).Format(unit.US), "97.4 gpm"},
		{(97.403 * unit.GallonPerMinute).Format(unit.Metric), "6.15 L/s"},
		{(16.61 * unit.PoundPerSquareFoot).Format(unit.US), "16.6 psf"},
		{(57.2 * unit.PoundPerSquareFoot).Format(unit.Metric), "2.74 kPa"}, // IBC commentary: 2.74 kN/m2
	} {
		if c.got != c.want {
			t.Errorf("prints %q, want %q", c.got, c.want)
		}
	}
}
