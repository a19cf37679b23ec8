package unit_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"runnel/survey/unit"
)

// sameLength allows for the rounding of a metric conversion and nothing else.
func sameLength(a, b unit.Length) bool {
	return math.Abs(a.Inches()-b.Inches()) <= 1e-12*math.Max(1, math.Abs(b.Inches()))
}

func TestParseLength_Accepted(t *testing.T) {
	const ft, in, mm, m = unit.Foot, unit.Inch, unit.Millimetre, unit.Metre
	for _, c := range []struct {
		text string
		bare unit.Length
		want unit.Length
	}{
		{`12'-3 1/2"`, 0, 147.5 * in},
		{`12'-3-1/2"`, 0, 147.5 * in},
		{`12' 3.5"`, 0, 147.5 * in},
		{`12'-3½`, 0, 147.5 * in},
		{`12'3½"`, 0, 147.5 * in},
		{`12' 3 1/2`, 0, 147.5 * in},
		{`12′-3 1/2″`, 0, 147.5 * in},
		{`12’-3 1⁄2”`, 0, 147.5 * in},
		{`12'-3 1/2''`, 0, 147.5 * in},
		{`8'-0"`, 0, 8 * ft},
		{`8'`, 0, 8 * ft},
		{`0'-0 1/8"`, 0, 0.125 * in},
		{`3 1/2"`, 0, 3.5 * in},
		{`1/8 in`, 0, 0.125 * in},
		{`⅛"`, 0, 0.125 * in},
		{`147.5in`, 0, 147.5 * in},
		{`147.5 in.`, 0, 147.5 * in},
		{`12.29 ft`, 0, 12.29 * ft},
		{`12.29ft`, 0, 12.29 * ft},
		{`12.29 FT.`, 0, 12.29 * ft},
		{`4 1/2 ft`, 0, 4.5 * ft},
		{`12.29`, ft, 12.29 * ft},
		{`12.29`, m, 12.29 * m},
		{`.5`, ft, 0.5 * ft},
		{`12.`, ft, 12 * ft},
		{`1.5e2`, in, 150 * in},
		{`1-1/2`, in, 1.5 * in},
		{`2 1/2`, in, 2.5 * in},
		{`3.75 m`, 0, 3750 * mm},
		{`89 mm`, 0, 89 * mm},
		{`89 mm`, ft, 89 * mm},
		{`37 cm`, 0, 370 * mm},
		{`3 metres`, 0, 3 * m},
		{`5 ft 1-7/16 in`, 0, 61.4375 * in},
		{`5' 1-7/16"`, 0, 61.4375 * in},
		{`4 ft 2-3/8 in`, 0, 50.375 * in},
		{`4 feet 2 inches`, 0, 50 * in},
		{`-3 1/2"`, 0, -3.5 * in},
		{`-0'-3"`, 0, -3 * in},
		{`−0.25`, ft, -3 * in},
		{`+4'-6"`, 0, 54 * in},
		{"  4.5\u00a0ft ", 0, 54 * in},
		{`0`, ft, 0},
	} {
		got, err := unit.ParseLength(c.text, c.bare)
		if err != nil || !sameLength(got, c.want) {
			t.Errorf("%q: %v in, %v; want %v in", c.text, got.Inches(), err, c.want.Inches())
		}
	}
}

func TestParseLength_Refused(t *testing.T) {
	for _, c := range []struct {
		story, text string
		bare        unit.Length
		says        string // in the error
	}{
		{"nothing", ``, unit.Foot, "nothing is written"},
		{"blanks", `   `, unit.Foot, "nothing is written"},
		{"no unit where none is given", `4.5`, 0, "no unit"},
		{"nought without unit", `0`, 0, "no unit"},
		{"a bare fraction of what", `1/2`, unit.Foot, "fraction has no unit"},
		{"a bare mixed number of what", `12 1/2`, unit.Metre, "fraction has no unit"},
		{"no number", `NaN`, unit.Foot, "number is expected"},
		{"no end", `Inf`, unit.Foot, "number is expected"},
		{"no end below", `-Infinity ft`, unit.Foot, "number is expected"},
		{"beyond float64", `1e400`, unit.Foot, "beyond all numbers"},
		{"beyond any roof", `1e12 ft`, 0, "1e9 ft"},
		{"beyond any roof below", `-1e12`, unit.Foot, "1e9 ft"},
		{"sixteens", `0x1p3`, unit.Foot, "no unit of length"},
		{"grouped digits", `1_000`, unit.Foot, "not read"},
		{"a thousands comma", `1,234.5 ft`, 0, "comma"},
		{"a decimal comma", `12,29 m`, 0, "comma"},
		{"feet not whole beside inches", `4.5 ft 3`, 0, "write 4.75 ft or 57 in"},
		{"two units", `4 ft 3 m`, 0, "two units"},
		{"two units, inches first", `3 in 4 ft`, 0, "left over"},
		{"twelve inches beside feet", `5'-12"`, 0, "write 6 ft or 72 in"},
		{"fourteen inches beside feet", `5' 14"`, 0, "under 12"},
		{"dashes alone", `5-1-7/16`, unit.Foot, "without units"},
		{"feet and inches without marks", `5-6`, unit.Foot, "without units"},
		{"feet and inches with a blank", `5 6`, unit.Foot, "without units"},
		{"text after", `12 ft about`, 0, "stands where"},
		{"text after inches", `3" wide`, 0, "left over"},
		{"another unit", `3 yd`, 0, `"yd" is no unit`},
		{"an area", `4 ft2`, 0, `"2" is left over`},
		{"a slope", `1/4 in/ft`, 0, "left over"},
		{"a lost blank", `31/2"`, 0, "31/2 is not under a whole"},
		{"over nought", `1/0 in`, 0, "no number"},
		{"a fraction after decimals", `3.5 1/2"`, 0, "after a decimal"},
		{"half a fraction", `3 1/"`, 0, ""},
		{"two signs", `--3 ft`, 0, "number is expected"},
		{"a sign inside", `5' -- 3"`, 0, "number is expected"},
		{"feet and a dash", `5'-`, 0, "number is missing"},
		{"only a unit", `ft`, 0, "number is expected"},
		{"other digits", `٣ ft`, 0, "not read"},
		{"broken text", "3\xff ft", 0, "not read"},
		{"a novel", strings.Repeat("1", 1000), unit.Foot, "too many"},
	} {
		got, err := unit.ParseLength(c.text, c.bare)
		var r unit.Refusal
		if !errors.As(err, &r) || got != 0 {
			t.Errorf("%s: %q gives %v, %v; want a refusal", c.story, c.text, got.Inches(), err)
			continue
		}
		if !strings.Contains(err.Error(), c.says) || r.Mend == "" {
			t.Errorf("%s: %q is refused with %q, want %q in it", c.story, c.text, err, c.says)
		}
	}
}

func TestParseFieldBook(t *testing.T) {
	for _, c := range []struct {
		text string
		want unit.Length
		says string // in the error; empty: accepted
	}{
		{`5' 1-7/16"`, 61.4375 * unit.Inch, ""},
		{`5 ft 1-7/16 in`, 61.4375 * unit.Inch, ""},
		{`5'-1 7/16`, 61.4375 * unit.Inch, ""},
		{`61 7/16"`, 61.4375 * unit.Inch, ""},
		{`4'-5 1/8"`, 53.125 * unit.Inch, ""},
		{`5.4 ft`, unit.Feet(5.4), ""},
		{`5.4`, 0, `5.4 may be 5.4 ft or 5 ft 4 in; write 5.4 ft or 5'-4"`},
		{` 5.11 `, 0, `5.11 may be 5.11 ft or 5 ft 11 in`},
		{`5.04`, 0, `5.04 may be 5.04 ft or 5 ft 4 in`},
		{`5.37`, 0, "decimal feet"},
		{`5`, 0, "5 may be 5 ft or 5 in"},
		{`-5.4`, 0, "-5.4 may be -5.4 ft or -5 ft 4 in"},
		{`61 7/16`, 0, "no foot or inch mark"},
		{`5-1-7/16`, 0, "without units"},
		{`1.64 m`, 0, "metric"},
		{`5'-13"`, 0, "under 12"},
		{`5'4.`, 64 * unit.Inch, ""},
		{``, 0, "nothing is written"},
	} {
		got, err := unit.ParseFieldBook(c.text)
		if c.says == "" {
			if err != nil || got != c.want {
				t.Errorf("%q: %v in, %v; want %v in", c.text, got.Inches(), err, c.want.Inches())
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v in, %v; want a refusal with %q", c.text, got.Inches(), err, c.says)
		}
	}
}

func TestParseSlope(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64 // in/ft
		says string
	}{
		{"1/4 in/ft", 0.25, ""},
		{"0.25 in/ft", 0.25, ""},
		{"0.25 in. per ft.", 0.25, ""},
		{`1/4" per foot`, 0.25, ""},
		{`1/4"/ft`, 0.25, ""},
		{`1/4"/'`, 0.25, ""},
		{"1-1/2 in/ft", 1.5, ""},
		{"1/4:12", 0.25, ""},
		{"1:48", 0.25, ""},
		{"1 in 48", 0.25, ""},
		{"1 in 40", 0.30, ""},
		{"1/4 in 12", 0.25, ""},
		{"2.08%", 0.2496, ""},
		{"2.08 percent", 0.2496, ""},
		{"1 deg", 12 * math.Tan(math.Pi/180), ""},
		{"1.19 deg", 12 * math.Tan(1.19*math.Pi/180), ""},
		{"1.19°", 12 * math.Tan(1.19*math.Pi/180), ""},
		{"20.8 mm/m", 0.2496, ""},
		{"-1/8 in/ft", -0.125, ""},
		{"0%", 0, ""},
		{"100%", 12, ""},
		{"0.25", 0, "no unit"},
		{"1/4", 0, "no unit"},
		{"1/4 in", 0, "run is missing"},
		{"1/4 in/", 0, "no unit of length"},
		{"1/4 in/yd", 0, "no unit of length"},
		{"1:0", 0, "run is missing"},
		{"1:", 0, "run is missing"},
		{"1 in 0", 0, "run is missing"},
		{"1:48:2", 0, "left over"},
		{"101%", 0, "45 degrees"},
		{"89 deg", 0, "45 degrees"},
		{"90 deg", 0, "45 degrees"},
		{"1:1e-320", 0, "45 degrees"},
		{"2 grad", 0, "no unit of slope"},
		{"flat", 0, "number is expected"},
		{"", 0, "nothing is written"},
	} {
		got, err := unit.ParseSlope(c.text)
		if c.says == "" {
			if err != nil || math.Abs(got.InchesPerFoot()-c.want) > 1e-15 {
				t.Errorf("%q: %v in/ft, %v; want %v", c.text, got.InchesPerFoot(), err, c.want)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v in/ft, %v; want a refusal with %q", c.text, got.InchesPerFoot(), err, c.says)
		}
	}
}

func TestParseArea(t *testing.T) {
	const m2 = 10.763910416709722 // sq ft, 1/0.3048^2
	for _, c := range []struct {
		text string
		bare unit.Area
		want float64 // sq ft
		says string
	}{
		{"4 sq ft", 0, 4, ""},
		{"4 sq. ft.", 0, 4, ""},
		{"4 square feet", 0, 4, ""},
		{"4ft2", 0, 4, ""},
		{"4 ft²", 0, 4, ""},
		{"4 sqft", 0, 4, ""},
		{"4 sf", 0, 4, ""},
		{"576 sq in", 0, 4, ""},
		{"0.4 m2", 0, 0.4 * m2, ""},
		{"0.4 sq m", 0, 0.4 * m2, ""},
		{"4000 cm2", 0, 0.4 * m2, ""},
		{"4", unit.SquareFoot, 4, ""},
		{"4", unit.SquareMetre, 4 * m2, ""},
		{"4", 0, 0, "no unit"},
		{"4 ft", 0, 0, "unit of length"},
		{"4 ft 2", 0, 0, "unit of length"},
		{"4 acres", 0, 0, "no unit of area"},
		{"-4 sq ft", 0, 0, "number is expected"},
		{"1e300 sq ft", 0, 0, "1e12"},
		{"4 sq ft 2", 0, 0, "left over"},
		{"", 0, 0, "nothing"},
	} {
		got, err := unit.ParseArea(c.text, c.bare)
		if c.says == "" {
			if err != nil || math.Abs(got.SquareFeet()-c.want) > 1e-12 {
				t.Errorf("%q: %v sq ft, %v; want %v", c.text, got.SquareFeet(), err, c.want)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v sq ft, %v; want a refusal with %q", c.text, got.SquareFeet(), err, c.says)
		}
	}
}

func TestParseDegrees(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
		says string
	}{
		{"12 deg", 12, ""},
		{"12", 12, ""},
		{"-12.5°", -12.5, ""},
		{"360 degrees", 360, ""},
		{"361 deg", 0, "full turn"},
		{"12 rad", 0, "no unit of angle"},
		{"12 deg 30", 0, "left over"},
		{"north", 0, "number is expected"},
	} {
		got, err := unit.ParseDegrees(c.text)
		if c.says == "" && (err != nil || got != c.want) {
			t.Errorf("%q: %v, %v; want %v", c.text, got, err, c.want)
		}
		if c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)) {
			t.Errorf("%q: %v, %v; want a refusal with %q", c.text, got, err, c.says)
		}
	}
}
