package level

import (
	"math"

	"runnel/survey/unit"
)

// Order is how good a line of levels is asked to be: Allowed grows with the
// root of its length.
type Order struct {
	Name string
	At   unit.Length // allowed over a line as long as Over
	Over unit.Length
}

// Mile is the length that orders in feet are stated for.
const Mile = 5280 * unit.Foot

// Kilometre is the length that orders in millimetres are stated for.
const Kilometre = 1000 * unit.Metre

// ThirdOrder is 0.05 ft by the root of the length in miles, or, for metric
// books, 12 mm by the root of the length in kilometres.
//
// Source: Federal Geodetic Control Subcommittee, Standards and Specifications
// for Geodetic Control Networks, 1984, third order, 12 mm (from memory); 0.05
// ft as surveying courses teach it. The two differ by 0.1 per cent.
func ThirdOrder(metric bool) Order {
	if metric {
		return Order{"third order, 12 mm x root km", unit.Millimetres(12), Kilometre}
	}
	return Order{"third order, 0.05 ft x root miles", unit.Feet(0.05), Mile}
}

// Flat is the order of a line whose length is not stated: 0.02 ft whatever its
// length. Source: construction levelling at short range is held to it, from
// memory.
func Flat() Order { return Order{Name: "common practice, 0.02 ft flat", At: unit.Foot / 50} }

// Allowed is the misclosure that o allows over a line; 0 for a line without
// length, unless o is Flat.
func (o Order) Allowed(run unit.Length) unit.Length {
	if o.Over <= 0 {
		return o.At
	}
	if run <= 0 {
		return 0
	}
	return unit.Inches(o.At.Inches() * math.Sqrt(unit.RatioOf(run, o.Over)))
}
