package unit

import (
	"fmt"
	"math"
)

// SteepestSlope is the greatest slope that is read, either way: 45 degrees.
const SteepestSlope = 12 * InchPerFoot

// ParseSlope reads a slope: 1/4 in/ft, 0.25 in per ft, 1/4:12, 1:48, 1 in 48,
// 2.08%, 1.19 deg, 20.8 mm/m. A bare number is refused. A leading minus makes
// it uphill. The error is a Refusal.
func ParseSlope(text string) (Slope, error) {
	r, err := newReader(text, "1/4 in/ft, 1/4:12, 1:48, 2.08% or 1.19 deg")
	if err != nil {
		return 0, err
	}
	sign := r.sign()
	a, err := r.amount()
	if err != nil {
		return 0, err
	}
	inPerFt, err := r.slope(a.val)
	if err == nil {
		err = r.end()
	}
	if err != nil {
		return 0, err
	}
	if !(inPerFt <= SteepestSlope.InchesPerFoot()) {
		return 0, r.refuse("a slope over 45 degrees is no low-slope roof")
	}
	return InchesPerFoot(sign * inPerFt), nil
}

// slope reads what follows the first number of a slope, in inches per foot.
func (r *reader) slope(v float64) (inPerFt float64, err error) {
	if r.atEnd() {
		return 0, r.refuse("the number has no unit")
	}
	if r.mark(":") {
		return r.over(v)
	}
	w, ok := r.word()
	if !ok {
		return 0, r.refuse("two numbers stand beside each other without units")
	}
	switch w {
	case "%", "percent":
		return 12 * v / 100, nil
	case "deg", "degree", "degrees":
		if v >= 90 {
			return math.Inf(1), nil
		}
		return SlopeOfDegrees(v).InchesPerFoot(), nil
	}
	if w == "in" && r.peek(0).kind == numberToken { // 1 in 48
		return r.over(v)
	}
	fall, ok := lengthUnit(w)
	if !ok {
		return 0, r.refuse(fmt.Sprintf("%q is no unit of slope", w))
	}
	run, err := r.perLength()
	if err != nil {
		return 0, err
	}
	return SlopeOf(Length(v)*fall, run).InchesPerFoot(), nil
}

// over reads the run of a ratio.
func (r *reader) over(fall float64) (inPerFt float64, err error) {
	t := r.take()
	if t.kind != numberToken || t.val == 0 {
		return 0, r.refuse("the run is missing")
	}
	return 12 * fall / t.val, nil
}

// perLength reads "/ft" or "per ft".
func (r *reader) perLength() (Length, error) {
	if !r.mark("/") {
		if w, _ := r.word(); w != "per" {
			return 0, r.refuse("the run is missing")
		}
	}
	w, _ := r.word()
	run, ok := lengthUnit(w)
	if !ok {
		return 0, r.refuse(fmt.Sprintf("%q is no unit of length", w))
	}
	return run, nil
}

// LargestArea is the greatest area that is read.
const LargestArea = 1e12 * SquareFoot

// ParseArea reads an area: 4 sq ft, 4 ft2, 4 square feet, 600 sq in, 0.4 m2,
// 0.4 sq m. bare is the unit of a number without one (SquareFoot,
// SquareMetre); with 0 such a number is refused. The error is a Refusal.
func ParseArea(text string, bare Area) (Area, error) {
	r, err := newReader(text, "4 sq ft or 0.4 m2")
	if err != nil {
		return 0, err
	}
	a, err := r.amount()
	if err != nil {
		return 0, err
	}
	u := bare
	if !r.atEnd() {
		if u, err = r.areaUnit(); err == nil {
			err = r.end()
		}
		if err != nil {
			return 0, err
		}
	}
	switch area := Area(a.val) * u; {
	case u == 0:
		return 0, r.refuse("the number has no unit")
	case area > LargestArea:
		return 0, r.refuse("an area over 1e12 sq ft is no part of a roof")
	default:
		return area, nil
	}
}

// areaUnit reads "sq ft", "square feet", "sf" or "ft2".
func (r *reader) areaUnit() (Area, error) {
	w, _ := r.word()
	squared := false
	switch w {
	case "sqft", "sf":
		return SquareFoot, nil
	case "sq", "square":
		squared = true
		w, _ = r.word()
	}
	u, ok := lengthUnit(w)
	if !ok {
		return 0, r.refuse(fmt.Sprintf("%q is no unit of area", w))
	}
	if !squared {
		if t := r.take(); t.text != "2" || t.gap {
			return 0, r.refuse(fmt.Sprintf("%q is a unit of length", w))
		}
	}
	switch u {
	case Foot:
		return SquareFoot, nil
	case Metre:
		return SquareMetre, nil
	}
	return AreaOf(u, u), nil
}

// ParseDegrees reads an angle in degrees: 12 deg, -12.5 degrees, or a bare
// number; it lies within a full turn either way. The error is a Refusal.
func ParseDegrees(text string) (float64, error) {
	r, err := newReader(text, "12 deg")
	if err != nil {
		return 0, err
	}
	sign := r.sign()
	a, err := r.amount()
	if err != nil {
		return 0, err
	}
	if w, ok := r.word(); ok && w != "deg" && w != "degree" && w != "degrees" {
		return 0, r.refuse(fmt.Sprintf("%q is no unit of angle", w))
	}
	if err := r.end(); err != nil {
		return 0, err
	}
	if a.val > 360 {
		return 0, r.refuse("an angle over 360 degrees is more than a full turn")
	}
	return sign * a.val, nil
}
