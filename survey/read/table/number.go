package table

import (
	"errors"
	"strconv"

	"runnel/survey/unit"
)

// The limits of a table.
const (
	MostCoordFt = 1e8 // of any coordinate or elevation, feet
	MostShots   = 10_000_000
)

// Number reads a plain decimal number; words such as NaN, hexadecimal and
// what does not fit are refused.
func Number(t string) (float64, bool) {
	for i := range len(t) {
		switch c := t[i]; {
		case c >= '0' && c <= '9', c == '.', c == '-', c == '+', c == 'e', c == 'E':
		default:
			return 0, false
		}
	}
	x, err := strconv.ParseFloat(t, 64)
	return x, err == nil
}

// WhyAndMend parts a refusal of a measure.
func WhyAndMend(err error) (why, mend string) {
	var r unit.Refusal
	if errors.As(err, &r) {
		return r.Why, r.Mend
	}
	return err.Error(), "write it in another way"
}
