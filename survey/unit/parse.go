package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// lengthSample shows people what a length looks like.
const lengthSample = `12'-3 1/2", 12.29 ft, 147.5 in, 3.75 m or 89 mm`

// FarthestLength is the greatest length that is read, either way from 0.
const FarthestLength = 1e9 * Foot

// ParseLength reads a length as people write it: 12'-3 1/2", 12' 3.5", 8'-0",
// 3 1/2", 1/8 in, 147.5in, 12.29 ft, 3.75 m, 37 cm, 89 mm, with typewriter or
// printer's marks. bare is the unit of a number without one (Foot, Metre,
// Inch); with 0 such a number is refused. A bare fraction is read only where
// bare is Inch, since nobody can tell half a foot from half an inch. A leading
// minus makes the whole length negative. The error is a Refusal.
func ParseLength(text string, bare Length) (Length, error) {
	l, _, err := parseLength(text, bare)
	return l, err
}

// parseLength also says whether the text is in feet or inches.
func parseLength(text string, bare Length) (l Length, imperial bool, err error) {
	r, err := newReader(text, lengthSample)
	if err != nil {
		return 0, false, err
	}
	sign := r.sign()
	a, err := r.amount()
	if err != nil {
		return 0, false, err
	}
	if r.atEnd() {
		l, err = r.bare(a, bare)
		return r.within(sign, l, false, err)
	}
	unit, err := r.lengthUnit()
	if err != nil {
		return 0, false, err
	}
	if unit != Foot || r.atEnd() {
		if err := r.end(); err != nil {
			return 0, false, err
		}
		return r.within(sign, Length(a.val)*unit, unit == Foot || unit == Inch, nil)
	}
	if next := r.peek(0); next.kind == numberToken && !next.gap && r.peek(-1).text != "'" {
		return 0, false, r.end() // 4 ft2
	}
	l, err = r.feetAndInches(a)
	return r.within(sign, l, true, err)
}

// within signs a length and refuses it beyond FarthestLength.
func (r *reader) within(sign float64, l Length, imperial bool, err error) (Length, bool, error) {
	if err == nil && l > FarthestLength {
		err = r.refuse("a length over 1e9 ft is no part of a roof")
	}
	if err != nil {
		return 0, false, err
	}
	return Length(sign) * l, imperial, nil
}

// bare reads an amount without unit.
func (r *reader) bare(a amount, unit Length) (Length, error) {
	if unit == 0 {
		return 0, r.refuse("the number has no unit")
	}
	if a.fraction && unit != Inch {
		return 0, r.refuse("the fraction has no unit")
	}
	return Length(a.val) * unit, nil
}

// lengthUnit reads the unit of a length.
func (r *reader) lengthUnit() (Length, error) {
	w, ok := r.word()
	if !ok {
		return 0, r.refuse("two numbers stand beside each other without units")
	}
	u, ok := lengthUnit(w)
	if !ok {
		return 0, r.refuse(fmt.Sprintf("%q is no unit of length", w))
	}
	return u, nil
}

func lengthUnit(word string) (Length, bool) {
	switch word {
	case "'", "ft", "foot", "feet":
		return Foot, true
	case `"`, "in", "inch", "inches":
		return Inch, true
	case "m", "metre", "metres", "meter", "meters":
		return Metre, true
	case "cm", "centimetre", "centimetres", "centimeter", "centimeters":
		return 10 * Millimetre, true
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters":
		return Millimetre, true
	}
	return 0, false
}

// feetAndInches reads the inches after feet; their mark may be missing.
func (r *reader) feetAndInches(feet amount) (Length, error) {
	r.mark("-")
	inches, err := r.amount()
	if err != nil {
		return 0, err
	}
	if w, ok := r.word(); ok {
		switch u, known := lengthUnit(w); {
		case !known:
			return 0, r.refuse(fmt.Sprintf("%q is no unit of length", w))
		case u != Inch:
			return 0, r.refuse("two units stand in one value")
		}
	}
	if err := r.end(); err != nil {
		return 0, err
	}
	l := Feet(feet.val) + Inches(inches.val)
	switch {
	case !feet.whole:
		return 0, Refusal{"two units stand in one value and the feet are not whole", writeEither(l)}
	case inches.val >= 12:
		return 0, Refusal{"the inches beside feet are not under 12", writeEither(l)}
	}
	return l, nil
}

// writeEither offers a length in two plain ways.
func writeEither(l Length) string {
	return fmt.Sprintf("write %s ft or %s in", short(l.Feet()), short(l.Inches()))
}

// short is x with as many digits as it takes, six decimals at most.
func short(x float64) string {
	s := strconv.FormatFloat(x, 'f', 6, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// ParseFieldBook reads a value from a field book kept in feet and inches:
// 5'-1 7/16", 5 ft 1-7/16 in, 61 7/16", 5.4 ft. A number without a mark is
// refused, since 5.4 may be 5.4 ft or 5 ft 4 in: the Refusal puts that
// question. Metric values are refused too.
func ParseFieldBook(text string) (Length, error) {
	const sample = `5'-1 7/16" or 61 7/16"`
	l, imperial, err := parseLength(text, Inch)
	switch {
	case err != nil:
		return 0, err
	case imperial:
		return l, nil
	}
	s := strings.TrimSpace(text)
	if v, err := strconv.ParseFloat(s, 64); err == nil {
		return 0, ask(s, v)
	}
	if strings.ContainsAny(s, "mM") {
		return 0, Refusal{"a metric value stands in a book of feet and inches", "write it like " + sample}
	}
	return 0, Refusal{s + " has no foot or inch mark", "write it like " + sample}
}

// ask puts the question that a number without a mark raises.
func ask(s string, v float64) error {
	whole, decimals, _ := strings.Cut(s, ".")
	in, err := strconv.Atoi(decimals)
	switch {
	case math.Trunc(v) == v:
		return Refusal{fmt.Sprintf("%s may be %s ft or %s in", s, s, s),
			fmt.Sprintf(`write %s' or %s"`, s, s)}
	case err == nil && in < 12 && whole != "":
		return Refusal{fmt.Sprintf("%s may be %s ft or %s ft %d in", s, s, whole, in),
			fmt.Sprintf(`write %s ft or %s'-%d"`, s, whole, in)}
	}
	return Refusal{s + " may be decimal feet in a book of feet and inches",
		fmt.Sprintf("write %s ft, or feet and inches", s)}
}
