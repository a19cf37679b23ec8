package unit

import "fmt"

// RainRate is how fast rain falls, kept in inches an hour.
type RainRate float64

// Flow is water in time, kept in US gallons a minute.
type Flow float64

// Load is a weight on a floor, kept in pounds a square foot.
type Load float64

// The units that rates, flows and loads may be born in. A litre is a thousandth
// of a cubic metre. A pound a square foot is 0.45359237 kg x 9.80665 m/s2 on
// 0.09290304 m2, the definitions of pound, gravity and foot.
const (
	InchPerHour        RainRate = 1
	MillimetrePerHour           = InchPerHour / 25.4
	GallonPerMinute    Flow     = 1
	LitrePerSecond              = GallonPerMinute * 60 / 3.785411784
	PoundPerSquareFoot Load     = 1
	Kilopascal                  = PoundPerSquareFoot * 1000 * 0.09290304 / (0.45359237 * 9.80665)
)

// InchesPerHour is r in inches an hour.
func (r RainRate) InchesPerHour() float64 { return float64(r / InchPerHour) }

// InchesPerHour gives a rate of x inches an hour.
func InchesPerHour(x float64) RainRate { return RainRate(x) * InchPerHour }

// GallonsPerMinute is f in US gallons a minute.
func (f Flow) GallonsPerMinute() float64 { return float64(f / GallonPerMinute) }

// GallonsPerMinute gives a flow of x US gallons a minute.
func GallonsPerMinute(x float64) Flow { return Flow(x) * GallonPerMinute }

// PoundsPerSquareFoot gives a load of x pounds a square foot.
func PoundsPerSquareFoot(x float64) Load { return Load(x) * PoundPerSquareFoot }

// Runoff is the flow of a rain off an area: 231 cubic inches to the gallon, so
// one gallon a minute for each 96.25 sq ft and inch an hour.
func Runoff(a Area, r RainRate) Flow {
	cubicInPerMin := float64(a/SquareInch) * r.InchesPerHour() / 60
	return GallonsPerMinute(cubicInPerMin / float64(Gallon/CubicInch))
}

// Format prints a rate: 3.2 in/h, 81 mm/h.
func (r RainRate) Format(sys System) string {
	if sys.metric() {
		return trimmed(float64(r/MillimetrePerHour), 0) + " mm/h"
	}
	return trimmed(r.InchesPerHour(), 2) + " in/h"
}

// Format prints a flow: 97.5 gpm, 6.15 L/s.
func (f Flow) Format(sys System) string {
	if sys.metric() {
		return digits3(float64(f/LitrePerSecond)) + " L/s"
	}
	return digits3(f.GallonsPerMinute()) + " gpm"
}

// Format prints a load: 16.6 psf, 0.80 kPa.
func (l Load) Format(sys System) string {
	if sys.metric() {
		return fmt.Sprintf("%.2f kPa", float64(l/Kilopascal))
	}
	return fmt.Sprintf("%.1f psf", float64(l/PoundPerSquareFoot))
}

// The greatest that are read: a minute's cloudburst holds some 90 in/h, and no
// roof drain takes 1e5 gpm.
const (
	HeaviestRain = 100 * InchPerHour
	GreatestFlow = 1e5 * GallonPerMinute
)

// ParseRainRate reads a rate of rain: 3.2 in/h, 81 mm/h, 3.2 in per hour. A
// bare number is refused. The error is a Refusal.
func ParseRainRate(text string) (RainRate, error) {
	r, err := newReader(text, "3.2 in/h or 81 mm/h")
	if err != nil {
		return 0, err
	}
	a, err := r.amount()
	if err != nil {
		return 0, err
	}
	if r.atEnd() {
		return 0, r.refuse("the number has no unit")
	}
	deep, err := r.lengthUnit()
	if err == nil {
		err = r.perTime("h", "hr", "hour")
	}
	if err != nil {
		return 0, err
	}
	rate := InchesPerHour(a.val * deep.Inches())
	if !(rate <= HeaviestRain) {
		return 0, r.refuse("no rain falls faster than 100 in/h")
	}
	return rate, nil
}

// ParseFlow reads a flow: 80 gpm, 5 L/s. A bare number is refused. The error is
// a Refusal.
func ParseFlow(text string) (Flow, error) {
	r, err := newReader(text, "80 gpm or 5 L/s")
	if err != nil {
		return 0, err
	}
	a, err := r.amount()
	if err != nil {
		return 0, err
	}
	one := GallonPerMinute
	switch w, _ := r.word(); w {
	case "gpm":
		err = r.end()
	case "l", "litre", "litres", "liter", "liters":
		one = LitrePerSecond
		err = r.perTime("s", "sec", "second")
	case "":
		err = r.refuse("the number has no unit")
	default:
		err = r.refuse(fmt.Sprintf("%q is no unit of flow", w))
	}
	if err != nil {
		return 0, err
	}
	flow := Flow(a.val) * one
	if !(flow <= GreatestFlow) {
		return 0, r.refuse("no outlet of a roof takes so much")
	}
	return flow, nil
}

// perTime reads "/h" or "per hour" and the end of the text.
func (r *reader) perTime(words ...string) error {
	if !r.mark("/") {
		if w, _ := r.word(); w != "per" {
			return r.refuse("the time is missing")
		}
	}
	w, _ := r.word()
	for _, known := range words {
		if w == known {
			return r.end()
		}
	}
	return r.refuse(fmt.Sprintf("%q is not the unit of time expected here", w))
}
