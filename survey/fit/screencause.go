package fit

import (
	"fmt"
	"math"
	"strconv"

	"runnel/survey/unit"
)

// How near to a whole foot a miss must come to be set down to one, and what a
// reading to whole inches may be off by besides.
const (
	footOffIn  = 1.0
	halfInchIn = 0.5
)

// cause says which misreading explains that a shot is off by missIn, to within
// tolIn, or a twelfth of the miss up to an inch where that is more: a whole foot,
// a turned sign, feet and inches read as decimal feet, two digits exchanged; ""
// where none does.
func (sc *screen) cause(shot int, missIn, tolIn float64) string {
	step, word := unit.Foot, "foot"
	if sc.sys == unit.Metric {
		step, word = 100*unit.Millimetre, "decimetre"
	}
	off := math.Abs(missIn) / step.Inches()
	if n := math.Round(off); n >= 1 && n <= 5 && math.Abs(off-n) < footOffIn/12 {
		return fmt.Sprintf(", close to a whole %s, as if a %s was misread", word, word)
	}
	v, sign := sc.figureFt(shot), 1.0
	if s := sc.a.Shots[shot]; s.SetUp != 0 {
		sign = -1
		if n := s.SetUp - 1; n < len(sc.job.Survey.SetUps) && sc.job.Survey.SetUps[n].Direct {
			sign = 1
		}
	}
	tolIn = math.Max(tolIn, math.Min(footOffIn, math.Abs(missIn)/12))
	right := v - sign*missIn/12 // what the neighbours would have it read, feet
	within := func(other, tolIn float64) bool { return math.Abs(other-right)*12 <= tolIn }
	fits := func(other float64) bool { return within(other, tolIn) }
	if fits(-v) {
		return fmt.Sprintf(", and with the opposite sign, %s, it would not", sc.figureText(-v))
	}
	if sc.sys != unit.Metric {
		for _, per := range []float64{10, 100} {
			inches := math.Round((math.Abs(v) - math.Floor(math.Abs(v))) * per)
			other := math.Copysign(math.Floor(math.Abs(v))+inches/12, v)
			whole := math.Abs(math.Abs(v)-math.Floor(math.Abs(v))-inches/per) < 1e-6
			if whole && inches >= 1 && inches <= 11 && within(other, tolIn+halfInchIn) {
				return fmt.Sprintf(", as if %.0f ft %.0f in was read as decimal feet", math.Floor(math.Abs(v)), inches)
			}
		}
	}
	if other, ok := exchanged(v, fits); ok {
		return fmt.Sprintf(", and with two digits exchanged, %s, it would not", sc.figureText(other))
	}
	return ""
}

func (sc *screen) figureText(ft float64) string {
	if sc.sys == unit.Metric {
		return fmt.Sprintf("%.3f m", unit.Feet(ft).Metres())
	}
	return fmt.Sprintf("%.2f ft", ft)
}

// exchanged is v, written to hundredths, with two neighbouring digits exchanged
// so that it fits.
func exchanged(v float64, fits func(float64) bool) (float64, bool) {
	for _, other := range digitsSwapped(strconv.FormatFloat(v, 'f', 2, 64)) {
		if fits(other) {
			return other, true
		}
	}
	return 0, false
}

// digitsSwapped gives a number with each pair of neighbouring digits, over the
// point too, exchanged.
func digitsSwapped(number string) (out []float64) {
	text := []byte(number)
	for i := range len(text) - 1 {
		j := i + 1
		if text[j] == '.' {
			j++
		}
		if !digit(text[i]) || j >= len(text) || !digit(text[j]) || text[i] == text[j] {
			continue
		}
		text[i], text[j] = text[j], text[i]
		if other, err := strconv.ParseFloat(string(text), 64); err == nil {
			out = append(out, other)
		}
		text[i], text[j] = text[j], text[i]
	}
	return out
}

func digit(c byte) bool { return c >= '0' && c <= '9' }
