package unit

import "fmt"

// Force is what a screw holds, kept in pounds.
type Force float64

// The units of force: a pound is the weight of 0.45359237 kg at 9.80665 m/s2.
const (
	Pound  Force = 1
	Newton       = Pound / (0.45359237 * 9.80665)
)

// The greatest that are read: no wind lifts a roof with 1000 psf, no screw of a roof
// holds 1e5 lb.
const (
	GreatestLoad  = 1000 * PoundPerSquareFoot
	GreatestForce = 1e5 * Pound
)

// PoundsPerSquareFoot is l in pounds a square foot.
func (l Load) PoundsPerSquareFoot() float64 { return float64(l / PoundPerSquareFoot) }

// Pounds is f in pounds.
func (f Force) Pounds() float64 { return float64(f / Pound) }

// Format prints a force: 360 lb, 1.6 kN.
func (f Force) Format(sys System) string {
	if sys.metric() {
		return digits3(float64(f/Newton)/1000) + " kN"
	}
	return trimmed(f.Pounds(), 0) + " lb"
}

// Lifting is the force of a load on an area.
func Lifting(l Load, a Area) Force { return Force(l.PoundsPerSquareFoot()*a.SquareFeet()) * Pound }

// ParseLoad reads a load: 45 psf, 2.1 kPa, 2100 Pa. A bare number is refused.
// The error is a Refusal.
func ParseLoad(text string) (Load, error) {
	v, err := parseWord(text, "45 psf or 2.1 kPa", "load", map[string]float64{
		"psf": float64(PoundPerSquareFoot), "kpa": float64(Kilopascal), "pa": float64(Kilopascal) / 1000})
	if err != nil {
		return 0, err
	}
	if l := Load(v); l <= GreatestLoad {
		return l, nil
	}
	return 0, Refusal{Why: "no wind lifts a roof by more than 1000 psf", Mend: "write it like 45 psf or 2.1 kPa"}
}

// ParseForce reads a force: 360 lb, 1.6 kN, 1600 N. A bare number is refused. The
// error is a Refusal.
func ParseForce(text string) (Force, error) {
	v, err := parseWord(text, "360 lb or 1.6 kN", "force", map[string]float64{
		"lb": float64(Pound), "lbs": float64(Pound), "lbf": float64(Pound), "n": float64(Newton), "kn": 1000 * float64(Newton)})
	if err != nil {
		return 0, err
	}
	if f := Force(v); f <= GreatestForce {
		return f, nil
	}
	return 0, Refusal{Why: "no screw of a roof holds 1e5 lb", Mend: "write it like 360 lb or 1.6 kN"}
}

// parseWord reads an amount and one of the words that name a unit.
func parseWord(text, sample, what string, units map[string]float64) (float64, error) {
	r, err := newReader(text, sample)
	if err != nil {
		return 0, err
	}
	a, err := r.amount()
	if err != nil {
		return 0, err
	}
	w, _ := r.word()
	one, ok := units[w]
	switch {
	case w == "" && r.atEnd():
		return 0, r.refuse("the number has no unit")
	case !ok:
		return 0, r.refuse(fmt.Sprintf("%q is no unit of %s", w, what))
	}
	return a.val * one, r.end()
}
