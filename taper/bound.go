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

// LeastVolumeCuFt is the least insulation by which every place of a deck could
// drain along a path that slopes at least slope all the way to a primary outlet,
// a gutter or an open edge: the finish F(p) is the higher of deck + t0In and of
// F(q) + slope times |pq| over the places q about it. No design whose every path
// obeys slope can have less, since the drop along a path is at least slope times
// its length and no path is shorter than the geodesic; one whose valleys are
// flatter can. A deck without elevations is level, and the distances are exact.
// Means over the cells that can be reached, over the roof's area; where none can
// it is 0.
//
// Cost: of a level deck cells x the views of outlets and corners that hold them;
// else cells x (walls + the cells of a straight way).
func LeastVolumeCuFt(s *survey.Site, deck *survey.Surface, slope unit.Slope, t0In float64) float64 {
	atIn := leastTopIn(s, deck, slope, t0In)
	sum, cells := 0.0, 0
	for k, in := range atIn {
		if deck.Roof[k] && !math.IsInf(in, 1) {
			if deck.ElevIn != nil {
				in -= deck.ElevIn[k]
			}
			sum += in
			cells++
		}
	}
	if cells == 0 {
		return 0
	}
	return sum / float64(cells) / 12 * s.RoofArea().SquareFeet()
}

// leastTopIn is the least surface of LeastVolumeCuFt at each cell, inches;
// infinite where no outlet is reached.
func leastTopIn(s *survey.Site, deck *survey.Surface, slope unit.Slope, t0In float64) []float64 {
	if deck.ElevIn == nil {
		out := geodesicFt(s, deck.Lattice)
		for k := range out {
			out[k] = t0In + slope.InchesPerFoot()*out[k]
		}
		return out
	}
	w, l := sight.New(s.Poly()), deck.Lattice
	sp := &spread{Lattice: l, walls: w, turns: len(w.Corners()) > 0, roof: deck.Roof, perFt: slope.InchesPerFoot(),
		floorIn: make([]float64, l.Len()), atIn: make([]float64, l.Len()),
		to: make([]foot, l.Len()), state: make([]cellState, l.Len())}
	for k := range sp.atIn {
		sp.atIn[k], sp.floorIn[k] = math.Inf(1), math.Inf(-1)
		if deck.Roof[k] {
			sp.floorIn[k] = deck.ElevIn[k] + t0In
		}
	}
	seed := func(p geom.Pt) {
		if in, ok := sp.floorAt(p); ok {
			sp.seed(foot{p, in})
		}
	}
	for _, o := range s.Outlets {
		switch {
		case o.Overflow:
		case o.IsEdge():
			n := max(1, int(math.Ceil(2*o.A.Dist(o.B)/l.CellFt)))
			for i := range n {
				seed(o.A.Lerp(o.B, (float64(i)+0.5)/float64(n)))
			}
		default:
			seed(o.P)
		}
	}
	sp.grow()
	return sp.atIn
}

// deckUnder is the deck under the facets at each cell of l; nil where it is
// level all over.
func deckUnder(facets []Facet, l survey.Lattice) []float64 {
	out, level := make([]float64, l.Len()), true
	for _, f := range facets {
		if f.Role != CricketRole {
			level = level && f.Deck == facets[0].Deck && f.Deck.Slope() == 0
			overCells(f.Poly, l, func(k int, p geom.Pt) { out[k] = f.Deck.At(p) })
		}
	}
	if level {
		return nil
	}
	return out
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
