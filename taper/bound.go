package taper

import (
	"context"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/sight"
)

// GeodesicFt is the plan length of the shortest way from one place to another
// inside the outline and round courts, in feet; infinite where there is none.
// Cost: corners squared x walls.
func GeodesicFt(s *survey.Site, from, to geom.Pt) float64 {
	w := sight.New(s.Poly())
	if !w.Holds(from) || !w.Holds(to) {
		return math.Inf(1)
	}
	if w.Sees(from, to) {
		return from.Dist(to)
	}
	turns, err := bends(context.Background(), w, []source{{a: from, b: from}}, plainFt)
	best := math.Inf(1)
	for _, b := range turns {
		if err == nil && w.Sees(b.corner.P, to) {
			best = math.Min(best, b.at+b.corner.P.Dist(to))
		}
	}
	return best
}

// LeastVolumeCuFt is the least insulation by which every place of a level deck
// could drain along a path that slopes at least slope all the way: t0In plus
// slope times the geodesic distance to the nearest primary outlet, gutter or
// open edge, meant over the cells and taken over the roof's area. No design
// whose every path obeys slope can have less, since the drop along a path is at
// least slope times its length and no path is shorter than the geodesic; one
// whose valleys are flatter can. Without an outlet that can be reached it is 0.
//
// Cost: cells x the views of outlets and corners that hold them.
func LeastVolumeCuFt(s *survey.Site, l survey.Lattice, roof []bool, slope unit.Slope, t0In float64) float64 {
	distFt := geodesicFt(s, l)
	sum, cells := 0.0, 0
	for k, d := range distFt {
		if k < len(roof) && roof[k] && !math.IsInf(d, 1) {
			sum += d
			cells++
		}
	}
	if cells == 0 {
		return 0
	}
	meanIn := t0In + slope.InchesPerFoot()*sum/float64(cells)
	return meanIn / 12 * s.RoofArea().SquareFeet()
}

// geodesicFt is the geodesic distance from each cell's middle to the nearest
// source; infinite outside the area.
func geodesicFt(s *survey.Site, l survey.Lattice) []float64 {
	out := make([]float64, l.Len())
	for k := range out {
		out[k] = math.Inf(1)
	}
	w := sight.New(s.Poly())
	in := FieldInput{Scheme: survey.FourWay, Slope: unit.InchesPerFoot(1)}
	g, err := groundOf(s, in, newMeter(in, s.Frame), w)
	if err != nil {
		return out
	}
	turns, err := bends(context.Background(), w, g.sources, plainFt)
	if err != nil {
		return out
	}
	lower := func(pieces []geom.Ring, dist func(geom.Pt) float64) {
		for _, r := range pieces {
			overCells(geom.Poly{Outer: r}, l, func(k int, p geom.Pt) { out[k] = math.Min(out[k], dist(p)) })
		}
	}
	for _, src := range g.sources {
		if src.isLine() {
			lower(w.Sweep(src.a, src.b, src.n), func(p geom.Pt) float64 { return p.Sub(src.a).Dot(src.n) })
			continue
		}
		lower(w.Fan(src.a), src.a.Dist)
	}
	for _, b := range turns {
		for _, sec := range b.sectors(false) {
			lower(w.FanIn(b.corner.P, sec.From, sec.WidthRad), func(p geom.Pt) float64 { return b.at + b.corner.P.Dist(p) })
		}
	}
	return out
}
