package taper

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// OptionMeasure is what an option takes, beyond the totals of its design.
type OptionMeasure struct {
	Marks        int         // different boards: type, mark and size
	AngledRows   int         // rows of boards off the building axes
	Thickest     unit.Length // of the insulation, crickets too
	ThickestEdge unit.Length // the same, at the edges of the outline
	Ratio        float64     // see RateOptions; 0: not worked out
	Cost         float64     // of the boards to order, without spares; where Priced
	Priced       bool        // every board to order has its price
	FlattestField,
	FlattestValley unit.Slope // finished, on the fitted plane
	HasValley bool
}

// MeasureOption measures a design that was made of a stock.
func MeasureOption(s *survey.Site, d *Design, stock *survey.Stock) OptionMeasure {
	m := OptionMeasure{AngledRows: angledRows(d)}
	m.Thickest, m.ThickestEdge = thickest(s, d)
	prices := pricesOf(stock)
	seen := map[markKey]bool{}
	m.Priced = len(d.Counts) > 0
	for _, c := range d.Counts {
		if !seen[c.key()] {
			seen[c.key()] = true
			m.Marks++
		}
		price := prices[c.key()]
		m.Cost += float64(c.ToOrder) * price
		m.Priced = m.Priced && (price > 0 || c.ToOrder == 0)
	}
	if v := flattestFacet(d); !math.IsInf(v, 1) {
		m.FlattestField = unit.InchesPerFoot(v)
	}
	if v := flattestValley(d); !math.IsInf(v, 1) {
		m.FlattestValley, m.HasValley = unit.InchesPerFoot(v), true
	}
	return m
}

// RateOptions holds every option against the least volume by which every path
// could have the slope asked for, whatever its own slope, toward the outlets
// there are: that of the first option of that slope for which it was worked out.
func RateOptions(all []Option, asked unit.Slope) {
	leastCuFt := 0.0
	for _, o := range all {
		if leastCuFt == 0 && o.Design != nil && len(o.Added) == 0 && o.Taper.Slope == asked {
			leastCuFt = o.Design.Insulation.LeastCuFt
		}
	}
	for n, o := range all {
		if leastCuFt == 0 || o.Design == nil || len(o.Added) > 0 {
			continue
		}
		least := leastCuFt
		if own := o.Design.Insulation.LeastCuFt; own > 0 && o.Taper.Slope == asked { // its base may be another, for its R
			least = own
		}
		all[n].Measure.Ratio = o.Design.Insulation.CuFt / least
	}
}

// angledRows counts the rows of tapered boards and crickets that do not lie along
// the building axes.
func angledRows(d *Design) int {
	type row struct{ layer, facet, row int }
	seen := map[row]bool{}
	for _, b := range d.Boards {
		if b.Type != TaperedType && b.Type != CricketType {
			continue
		}
		if math.Min(math.Abs(b.Uphill.X), math.Abs(b.Uphill.Y)) > math.Sin(offAxisRad) {
			seen[row{b.Layer, b.Facet, b.Row}] = true
		}
	}
	return len(seen)
}

// thickest is the greatest thickness, crickets too, and that along the outline:
// each at a corner of a facet, since thickness is even between them.
func thickest(s *survey.Site, d *Design) (all, edge unit.Length) {
	edgeIn, allIn := 0.0, d.Insulation.ThickestIn
	for _, f := range d.Facets {
		for _, p := range f.Poly.Outer {
			on := onOutline(s, p)
			if !on && f.Role != CricketRole {
				continue
			}
			t := highestAt(d.Facets, p)
			allIn = math.Max(allIn, t)
			if on {
				edgeIn = math.Max(edgeIn, t)
			}
		}
	}
	return unit.Inches(allIn), unit.Inches(edgeIn)
}

// highestAt is the thickness at a place on the higher hand of a step there.
func highestAt(facets []Facet, p geom.Pt) float64 {
	most := 0.0
	for _, f := range facets {
		if f.Role != CricketRole && (f.Poly.Has(p) || f.Poly.Dist(p) <= onBorderFt) {
			own := slices.DeleteFunc(slices.Clone(facets), func(g Facet) bool { return g.Role != CricketRole && g.ID != f.ID })
			if t, ok := ThicknessAt(own, p); ok {
				most = math.Max(most, t)
			}
		}
	}
	return most
}

func onOutline(s *survey.Site, p geom.Pt) bool {
	for i, a := range s.Outline {
		if geom.SegDist(p, a, s.Outline.At(i+1)) <= onBorderFt {
			return true
		}
	}
	return false
}

// pricesOf gives the price of each board of a stock by its line in the schedule.
func pricesOf(stock *survey.Stock) map[markKey]float64 {
	m, out := markingOf(stock), map[markKey]float64{}
	for _, typ := range []BoardType{TaperedType, CricketType} {
		for _, b := range append(append([]survey.TaperedBoard{}, stock.Tapered...), stock.Strips...) {
			out[markKey{typ, m.tapered(b), b.Along, b.Depth}] = b.Price
		}
	}
	flat := func(typ BoardType, f survey.FlatBoard) { // they may lie either way
		out[markKey{typ, m.of(f.Thickness), f.Along, f.Depth}] = f.Price
		out[markKey{typ, m.of(f.Thickness), f.Depth, f.Along}] = f.Price
	}
	for _, f := range stock.Flats {
		flat(BaseType, f)
		flat(FillType, f)
		flat(CricketType, f)
	}
	for _, f := range stock.Covers {
		flat(CoverType, f)
	}
	return out
}
