package taper

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/unit"
)

// stackedSlopes are the slopes that tapered boards give, alone or, beyond the
// steepest, two over one another: the upper of a slope that has an edge strip, so
// that it starts at nothing.
func stackedSlopes(stock *survey.Stock) boardSlopes {
	single := slopesOf(stock)
	if len(single) == 0 {
		return single
	}
	out, steepest := slices.Clone(single), single[len(single)-1]
	for _, a := range single {
		for _, b := range single {
			upper := unit.InchesPerFoot(b)
			if _, ok := stripFor(stock, upper, thinnest(stock, upper)); ok && a+b > steepest+sameSlopeInPerFt {
				out = append(out, a+b)
			}
		}
	}
	slices.Sort(out)
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(b-a) < sameSlopeInPerFt })
}

// pairOf is the lower and the upper slope of two boards over one another; the
// steeper is the lower where it can be. False where one board does it, or no two.
func pairOf(stock *survey.Stock, slopeInPerFt float64) (lower, upper float64, ok bool) {
	single := slopesOf(stock)
	if len(single) == 0 || slopeInPerFt <= single[len(single)-1]+sameSlopeInPerFt {
		return 0, 0, false
	}
	for _, a := range slices.Backward(single) {
		up := unit.InchesPerFoot(slopeInPerFt - a)
		if _, strip := stripFor(stock, up, thinnest(stock, up)); strip {
			return a, slopeInPerFt - a, true
		}
	}
	return 0, 0, false
}

// stack parts every facet that no one board is steep enough for into two layers:
// its own plane keeps the lower, a facet over it adds the upper.
func (d *Design) stack(s *survey.Site, in MakeInput, t0In float64) error {
	n, told := len(d.Facets), map[float64]bool{}
	for i := range n {
		f := d.Facets[i]
		slope := f.Plane.Slope().InchesPerFoot()
		low, up, ok := pairOf(in.Stock, slope)
		if f.Role == CricketRole || !ok {
			continue
		}
		over := survey.Plane{CIn: f.Plane.CIn - t0In, GX: f.Plane.GX, GY: f.Plane.GY}.Times(up / slope)
		d.Facets[i].Plane = f.Plane.Sub(over)
		d.Facets = append(d.Facets, Facet{ID: len(d.Facets) + 1, Role: CricketRole, Poly: f.Poly, Plane: over,
			Deck: d.Facets[i].Top(), Under: f.ID})
		if !told[slope] {
			told[slope] = true
			d.Notes = append(d.Notes, fmt.Sprintf("slopes of %s are two tapered boards over one another, %s under %s", slopeText(slope, in.Units),
				slopeText(low, in.Units), slopeText(up, in.Units)))
		}
	}
	if len(d.Facets) == n {
		return nil
	}
	var err error
	d.Lines, err = TopLines(s, d.Facets)
	return err
}

// IsUpper says whether a facet is the upper of two tapered layers of the field, not
// a cricket's.
func (f Facet) IsUpper() bool { return f.Role == CricketRole && f.Cricket == 0 }
