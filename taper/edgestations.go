package taper

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// EdgeStation is how thick the insulation is at one place of an edge of the
// outline. Between one station of a stretch and its next the thickness runs
// straight.
type EdgeStation struct {
	Edge      int         // as Area.Edges counts them
	Station   unit.Length // from the vertex of that number, as the job file writes the outline
	At        geom.Pt     // frame
	Thickness unit.Length // of the insulation from the deck up, crickets too
	Blocking  unit.Length // what a nailer must be to end with it: insulation and cover
}

// EdgeStations gives the thickness along every edge of the outline of a, edge by
// edge in the order of the job, at each place where it bends: corners, and the ends
// of valleys, ridges, hips and crickets. Where it jumps, a place stands twice, with what
// is on either side. Behind a curb that stands at an edge the stretch has no stations
// of its own. Edges that the design does not reach have none. Cost: edges x facets'
// corners.
func EdgeStations(a *survey.Area, s *survey.Site, d *Design) []EdgeStation {
	var out []EdgeStation
	for n := range s.Edges {
		from, to := s.Frame.ToLocal(a.Outline[n]), s.Frame.ToLocal(a.Outline.At(n+1))
		var of []EdgeStation
		for _, span := range spansOf(d.Facets, from, to) {
			mid := from.Lerp(to, (span[0]+span[1])/2)
			for _, share := range span {
				p := from.Lerp(to, share)
				in, ok := thicknessToward(d.Facets, p, mid)
				if !ok {
					continue
				}
				st := EdgeStation{n, unit.Feet(share * from.Dist(to)), p, unit.Inches(in), unit.Inches(in) + d.Cover}
				if k := len(of); k == 0 || of[k-1].Station != st.Station || math.Abs((of[k-1].Thickness-st.Thickness).Inches()) > sameIn {
					of = append(of, st)
				}
			}
		}
		out = append(out, straightened(of)...)
	}
	return out
}

// spansOf are the stretches of a line between the corners of facets that lie on
// it, as shares of it, in order.
func spansOf(facets []Facet, from, to geom.Pt) [][2]float64 {
	along := to.Sub(from)
	shares := []float64{0, 1}
	for _, f := range facets {
		for _, r := range f.Poly.Rings() {
			for _, p := range r {
				if geom.SegDist(p, from, to) <= onBorderFt {
					shares = append(shares, math.Max(0, math.Min(1, p.Sub(from).Dot(along)/along.Dot(along))))
				}
			}
		}
	}
	slices.Sort(shares)
	near := 2 * onBorderFt / along.Norm()
	shares = slices.CompactFunc(shares, func(a, b float64) bool { return math.Abs(b-a) <= near })
	shares[len(shares)-1] = 1
	var out [][2]float64
	for k := 1; k < len(shares); k++ {
		out = append(out, [2]float64{shares[k-1], shares[k]})
	}
	return out
}

// thicknessToward is the thickness at p by the planes of the facets that lie at
// mid, as ThicknessAt takes them there.
func thicknessToward(facets []Facet, p, mid geom.Pt) (float64, bool) {
	midIn, atIn, cricketIn, addedIn, found := math.Inf(1), 0.0, 0.0, 0.0, false
	for _, f := range facets {
		if !f.Poly.Has(mid) && f.Poly.Dist(mid) > onBorderFt {
			continue
		}
		switch in := f.Plane.At(mid); {
		case f.Role == CricketRole && in > cricketIn:
			cricketIn, addedIn = in, f.Plane.At(p)
		case f.Role != CricketRole && in < midIn:
			midIn, atIn, found = in, f.Plane.At(p), true
		}
	}
	return atIn + addedIn, found
}

// straightened leaves out the stations of one edge at which the thickness does
// not bend.
func straightened(of []EdgeStation) []EdgeStation {
	var out []EdgeStation
	for n, st := range of {
		if n > 0 && n+1 < len(of) {
			a, b := out[len(out)-1], of[n+1]
			share := (st.Station - a.Station).Inches() / (b.Station - a.Station).Inches()
			straight := a.Thickness.Inches() + share*(b.Thickness-a.Thickness).Inches()
			if a.Station < st.Station && st.Station < b.Station && math.Abs(straight-st.Thickness.Inches()) <= sameIn {
				continue
			}
		}
		out = append(out, st)
	}
	return out
}
