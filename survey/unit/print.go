package unit

import (
	"fmt"
	"math"
	"strconv"
)

// mostSixteenths is the greatest count of sixteenths that is printed as a
// fraction; what lies beyond is no length of a roof.
const mostSixteenths = 1 << 50

// sixteenths rounds inches to the nearest 1/16, ties away from zero.
func sixteenths(in float64) (n int64, ok bool) {
	x := math.Round(in * 16)
	if !(math.Abs(x) < mostSixteenths) {
		return 0, false
	}
	return int64(x), true
}

// fraction writes a whole number of sixteenths, join between whole and
// fraction: 24 is 1 1/2.
func fraction(n int64, join string) string {
	whole, part, den := n/16, n%16, int64(16)
	for part != 0 && part%2 == 0 {
		part, den = part/2, den/2
	}
	switch {
	case part == 0:
		return strconv.FormatInt(whole, 10)
	case whole == 0:
		return fmt.Sprintf("%d/%d", part, den)
	}
	return fmt.Sprintf("%d%s%d/%d", whole, join, part, den)
}

// minus splits a count into its sign and its size.
func minus(n int64) (string, int64) {
	if n < 0 {
		return "-", -n
	}
	return "", n
}

// FeetInches prints l to the nearest 1/16 in, ties away from zero: 5'-4 7/16".
func (l Length) FeetInches() string {
	n, ok := sixteenths(l.Inches())
	if !ok {
		return fmt.Sprintf("%g in", l.Inches())
	}
	sign, n := minus(n)
	inches := fraction(n%192, " ")
	if part := n % 192; part > 0 && part < 16 {
		inches = "0 " + inches
	}
	return fmt.Sprintf(`%s%d'-%s"`, sign, n/192, inches)
}

// InchText prints l in inches to the nearest 1/16, ties away from zero:
// 1 1/2".
func (l Length) InchText() string {
	n, ok := sixteenths(l.Inches())
	if !ok {
		return fmt.Sprintf("%g in", l.Inches())
	}
	sign, n := minus(n)
	return sign + fraction(n, " ") + `"`
}

// cleanIn is how far off a sixteenth, in inches, a stock thickness may lie and
// still be called by it; a rounding of the last digits is far below, the
// difference of two real boards far above.
const cleanIn = 1e-4

// InchFraction prints l in inches as a board's mark has it, without unit:
// 1-1/2, or 2.6 where l is no sixteenth.
func (l Length) InchFraction() string {
	in := l.Inches()
	n, ok := sixteenths(in)
	if !ok || math.Abs(in-float64(n)/16) > cleanIn {
		return trimmed(in, 3)
	}
	sign, n := minus(n)
	return sign + fraction(n, "-")
}

// trimmed prints x with at most the given decimals and no zeros at the end.
func trimmed(x float64, decimals int) string {
	k := math.Pow(10, float64(decimals))
	if r := math.Round(x*k) / k; math.Abs(r) < 1e15 {
		x = r
	}
	return strconv.FormatFloat(x+0, 'f', -1, 64) // + 0 takes the sign off -0
}

// Mark prints a board's thickness without unit: 1-1/2 in inches, 38 in whole
// millimetres.
func (l Length) Mark(sys System) string {
	if sys.metric() {
		return trimmed(l.Millimetres(), 0)
	}
	return l.InchFraction()
}

// Format prints a plan dimension or an elevation: 12'-3 1/2", 3.747 m. Read
// again it is the same to 1/32 in.
func (l Length) Format(sys System) string {
	if sys.metric() {
		return fmt.Sprintf("%.3f m", noMinusZero(l.Metres(), 3))
	}
	return l.FeetInches()
}

// FormatThin prints a thickness, a depth or another small height: 1 1/2",
// 38 mm. Read again it is the same to 1/32 in.
func (l Length) FormatThin(sys System) string {
	if sys.metric() {
		return trimmed(l.Millimetres(), 0) + " mm"
	}
	return l.InchText()
}

// FormatError prints a standard error or a scatter: 0.13 in, 3.2 mm.
func (l Length) FormatError(sys System) string {
	if sys.metric() {
		return fmt.Sprintf("%.1f mm", noMinusZero(l.Millimetres(), 1))
	}
	return fmt.Sprintf("%.2f in", noMinusZero(l.Inches(), 2))
}

// FormatClosing prints a misclosure as field books have it, fine enough to be
// compared with what is allowed: 0.010 ft, 3.0 mm.
func (l Length) FormatClosing(sys System) string {
	if sys.metric() {
		return fmt.Sprintf("%.1f mm", noMinusZero(l.Millimetres(), 1))
	}
	return fmt.Sprintf("%.3f ft", noMinusZero(l.Feet(), 3))
}

// FormatRough prints a length that is summed or rough, to a whole foot or
// metre, closer where it is short: 3029 ft, 2.5 ft, 4.6 m, 0.35 m.
func (l Length) FormatRough(sys System) string {
	v, name, whole := l.Feet(), " ft", 3.0
	if sys.metric() {
		v, name, whole = l.Metres(), " m", 10
	}
	switch {
	case math.Abs(v) >= whole:
		return trimmed(v, 0) + name
	case math.Abs(v) >= 0.95:
		return trimmed(v, 1) + name
	}
	return trimmed(v, 2) + name
}

// metric says whether people read millimetres; an unset system is read in feet
// and inches.
func (s System) metric() bool {
	switch s {
	case UnsetSystem, US:
		return false
	case Metric:
		return true
	}
	panic("unit: unknown System")
}

// noMinusZero is x, or 0 where x prints as -0 with the given decimals.
func noMinusZero(x float64, decimals int) float64 {
	if math.Abs(x) < 0.5*math.Pow(10, -float64(decimals)) {
		return 0
	}
	return x
}

// InPerFt prints s as a fraction where it is a sixteenth of an inch per foot,
// else with three decimals: 1/4 in/ft, 0.177 in/ft.
func (s Slope) InPerFt() string {
	const clean = 5e-7 // rounding, and no more: 0.2499 is not 1/4
	v := s.InchesPerFoot()
	n, ok := sixteenths(v)
	if !ok || math.Abs(v-float64(n)/16) > clean {
		return fmt.Sprintf("%.3f in/ft", noMinusZero(v, 3))
	}
	sign, n := minus(n)
	return sign + fraction(n, "-") + " in/ft"
}

// OneIn prints s as a ratio: 1:48, 1:67.9. A slope under 1 in a million is
// printed as level.
func (s Slope) OneIn() string {
	r, sign := s.Ratio(), ""
	if math.Abs(r) < 1e-6 {
		return "level"
	}
	if r < 0 {
		r, sign = -r, "-"
	}
	decimals := 1
	if 1/r >= 100 {
		decimals = 0
	}
	return sign + "1:" + trimmed(1/r, decimals)
}

// Format prints a slope: 1/4 in/ft, or in metric jobs 1:48.
func (s Slope) Format(sys System) string {
	if sys.metric() {
		return s.OneIn()
	}
	return s.InPerFt()
}

// Format prints an area: 8640 sq ft, 4.2 sq ft, 802.7 m2.
func (a Area) Format(sys System) string {
	if sys.metric() {
		return digits3(a.SquareMetres()) + " m2"
	}
	return digits3(a.SquareFeet()) + " sq ft"
}

// Format prints a volume: 123 cu ft, 3.49 m3.
func (v Volume) Format(sys System) string {
	if sys.metric() {
		return digits3(v.CubicMetres()) + " m3"
	}
	return digits3(v.CubicFeet()) + " cu ft"
}

// Litres is v in litres.
func (v Volume) Litres() float64 { return 1000 * v.CubicMetres() }

// FormatWater prints a volume of water: 52 gal, 197 L.
func (v Volume) FormatWater(sys System) string {
	if sys.metric() {
		return digits3(v.Litres()) + " L"
	}
	return digits3(v.Gallons()) + " gal"
}

// digits3 prints x with three digits that count, and whole numbers in full.
func digits3(x float64) string {
	switch a := math.Abs(x); {
	case a >= 99.95:
		return trimmed(x, 0)
	case a >= 9.995:
		return trimmed(x, 1)
	}
	return trimmed(x, 2)
}
