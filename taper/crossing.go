package taper

import (
	"fmt"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// crossingNotes name the joints and ridges of the designer's that water of the
// finished top runs across, on the fitted deck, with the greatest length of each:
// off the building axes a field does not fall away from them on its own. Cost:
// stretches x facets' corners.
func crossingNotes(s *survey.Site, facets []Facet, own Own, sys unit.System) []string {
	var out []string
	tops := topFacets(facets)
	for _, own := range own.Ridges {
		l := own.At
		sumFt, first := 0.0, geom.Pt{}
		for i := 1; i < len(l); i++ {
			ft, at := crossedFt(tops, l[i-1], l[i])
			if sumFt == 0 {
				first = at
			}
			sumFt += ft
		}
		if sumFt > onBorderFt {
			out = append(out, fmt.Sprintf("water of the field crosses %s over %s, first at %s: draw it along the building axes, "+
				"turn the axes of taper to it, or raise it on a curb", own.Name, unit.Feet(sumFt).Format(sys), placeText(first, s.Frame, sys)))
		}
	}
	return out
}

// crossedFt is how much of a stretch water runs across, and where that begins.
func crossedFt(tops []Facet, a, b geom.Pt) (float64, geom.Pt) {
	const besideFt = 0.02
	along := b.Sub(a).Mul(1 / a.Dist(b))
	left := geom.Pt{X: -along.Y, Y: along.X}
	cuts := []float64{}
	for _, f := range tops {
		if lo, hi, ok := borderOf(f.Poly, a, b); ok {
			cuts = append(cuts, lo, hi)
		}
	}
	slices.Sort(cuts)
	sumFt, first := 0.0, geom.Pt{}
	for i := 1; i < len(cuts); i++ {
		mid := a.Add(along.Mul((cuts[i-1] + cuts[i]) / 2))
		f, okF := facetOver(tops, mid.Add(left.Mul(besideFt)))
		g, okG := facetOver(tops, mid.Sub(left.Mul(besideFt)))
		if !okF || !okG || cuts[i]-cuts[i-1] < onBorderFt {
			continue
		}
		stepIn := f.Top().At(mid) - g.Top().At(mid)
		over := rise(f.Top(), left) > levelInPerFt && stepIn > -sameIn || rise(g.Top(), left) < -levelInPerFt && stepIn < sameIn
		if over {
			if sumFt == 0 {
				first = a.Add(along.Mul(cuts[i-1]))
			}
			sumFt += cuts[i] - cuts[i-1]
		}
	}
	return sumFt, first
}
