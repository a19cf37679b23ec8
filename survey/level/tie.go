package level

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey/unit"
)

// Height is the elevation of a shot.
type Height struct {
	Shot      string
	Elevation unit.Length
}

// Flag is a shot that two set-ups do not agree on.
type Flag struct {
	Shot string
	Off  unit.Length // what is left of the second less the first after the shift
	Why  string
}

// ReadingError is the standard error of one rod reading that Tie reckons with:
// 0.01 ft, common practice, no source.
const ReadingError = unit.Foot / 100

// TieDoubt is how far two set-ups may differ over one shot: three standard
// errors of a difference of two readings.
const TieDoubt = 3 * math.Sqrt2 * ReadingError

// Tie compares two set-ups over the shots of one name: shift is what the
// second is higher than the first, the median of the differences, to be taken
// from the second. Shots that are off by more than
// TieDoubt are flagged, in the order of a; where there are
// only two, or half say one thing and half another, all are flagged, since the
// one at fault cannot be told. A name that stands twice counts by its first.
// shared is the number of shots compared; with 0 there is no shift. Cost:
// O(n log n).
func Tie(a, b []Height) (shift unit.Length, flagged []Flag, shared int) {
	second := map[string]unit.Length{}
	for _, h := range b {
		if _, twice := second[h.Shot]; !twice {
			second[h.Shot] = h.Elevation
		}
	}
	var names []string
	var offIn []float64
	for _, h := range a {
		z, both := second[h.Shot]
		if !both {
			continue
		}
		delete(second, h.Shot)
		names, offIn = append(names, h.Shot), append(offIn, (z-h.Elevation).Inches())
	}
	if len(names) == 0 {
		return 0, nil, 0
	}
	mid := median(offIn)
	allowedIn := TieDoubt.Inches()
	for i, name := range names {
		if off := offIn[i] - mid; math.Abs(off) > allowedIn {
			flagged = append(flagged, Flag{name, unit.Inches(off), why(off, allowedIn)})
		}
	}
	return unit.Inches(mid), flagged, len(names)
}

func median(values []float64) float64 {
	s := slices.Sorted(slices.Values(values))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

// why names a blunder that a difference looks like.
func why(offIn, doubtIn float64) string {
	way := "higher"
	if offIn < 0 {
		way = "lower"
	}
	size := math.Abs(offIn)
	if feet := math.Round(size / 12); feet >= 1 && feet <= 5 && math.Abs(size-12*feet) <= doubtIn {
		return fmt.Sprintf("a blunder of %.0f ft: the second set-up has it that much %s", feet, way)
	}
	return fmt.Sprintf("the second set-up has it %s than the others allow", way)
}
