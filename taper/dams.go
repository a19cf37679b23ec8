package taper

import (
	"context"
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// dam is a cricket that holds water which the field alone lets go.
type dam struct {
	cricket Cricket
	in      float64 // how deep
}

// Of dams: water is a cricket's that stands within a few feet of it, and what is
// no deeper than a step of a board's edge is none. Common practice, no source.
const (
	damsWithinFt = 4.0
	damsFromIn   = 1.0 / 32
)

// damming fills the finished top on the fitted deck with crickets and without them,
// and tells by which of them water stands deeper, in their order. Cost: two
// fillings.
func damming(ctx context.Context, s *survey.Site, field, over []Facet, crickets []Cricket) ([]dam, error) {
	if len(crickets) == 0 {
		return nil, nil
	}
	l := survey.LatticeOf(s, 0)
	base := fittedBase(s, l, field)
	with, err := standsOnTop(ctx, s, base, append(field[:len(field):len(field)], over...))
	if err != nil {
		return nil, err
	}
	without, err := standsOnTop(ctx, s, base, field)
	if err != nil {
		return nil, err
	}
	deepest := make([]float64, len(crickets))
	for _, p := range with.Ponds {
		i, j := base.CellOf(p.Deepest)
		if !base.Holds(i, j) || p.DepthIn <= waterIn(without, j*base.NX+i)+damsFromIn {
			continue
		}
		best, nearest := -1, damsWithinFt
		for n, c := range crickets {
			if d := fromCricketFt(over, c, p.Deepest); d < nearest {
				best, nearest = n, d
			}
		}
		if best >= 0 {
			deepest[best] = math.Max(deepest[best], p.DepthIn)
		}
	}
	var out []dam
	for n, in := range deepest {
		if in > 0 {
			out = append(out, dam{crickets[n], in})
		}
	}
	return out, nil
}

// fromCricketFt is how far a place lies from a cricket.
func fromCricketFt(over []Facet, c Cricket, p geom.Pt) float64 {
	best := math.Inf(1)
	for _, f := range over {
		if f.Cricket != c.ID {
			continue
		}
		if f.Poly.Has(p) {
			return 0
		}
		best = math.Min(best, f.Poly.Dist(p))
	}
	return best
}

// fittedBase is the fitted deck as a surface.
func fittedBase(s *survey.Site, l survey.Lattice, field []Facet) *survey.Surface {
	b := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	for _, f := range field {
		overCells(f.Poly, l, func(k int, p geom.Pt) {
			if b.Roof[k] {
				b.ElevIn[k] = f.Deck.At(p)
			}
		})
	}
	return b
}

// standsOnTop is the water that stands on facets laid on a base, however little.
func standsOnTop(ctx context.Context, s *survey.Site, base *survey.Surface, facets []Facet) (*drainage.Report, error) {
	top := Finish(base, facets, 0)
	open := *s
	open.Outlets = nil
	for _, o := range s.Outlets {
		if !o.Overflow {
			o.State, o.Reset = survey.Works, survey.ResetYes
			open.Outlets = append(open.Outlets, o)
		}
	}
	r, err := drainage.Standing(ctx, &open, top, drainage.Options{
		Ponds:   survey.PondLimits{Depth: unit.Inches(damsFromIn), Area: unit.SquareFeet(0.1)},
		InletIn: FinishedInlets(&open, top, base, nil, make([]float64, len(open.Outlets)))})
	if err != nil {
		return nil, fmt.Errorf("look for water behind crickets: %w", err)
	}
	return r, nil
}
