package geom

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	sf "github.com/peterstace/simplefeatures/geom"
)

// Sliver is the area in square feet under which a left-over piece of an
// overlay is rounding and is dropped: 1e-9 of a 100 sq ft region.
const Sliver = 1e-7

// Intersect gives the parts of a that lie in b, largest first; shared borders
// and slivers are dropped. Both must be free of self-crossings.
func Intersect(a, b Poly) ([]Poly, error) { return overlay(sf.Intersection, a, b) }

// Subtract gives the parts of a outside b, largest first.
func Subtract(a, b Poly) ([]Poly, error) { return overlay(sf.Difference, a, b) }

// Union gives the region that ps cover together, largest part first.
func Union(ps []Poly) ([]Poly, error) {
	if len(ps) == 0 {
		return nil, nil
	}
	gs := make([]sf.Geometry, len(ps))
	for i, p := range ps {
		gs[i] = p.toSF().AsGeometry()
	}
	g, err := sf.UnionMany(gs)
	if err != nil {
		return nil, fmt.Errorf("unite %d regions: %w", len(ps), err)
	}
	return polys(g), nil
}

func overlay(op func(a, b sf.Geometry) (sf.Geometry, error), a, b Poly) ([]Poly, error) {
	g, err := op(a.toSF().AsGeometry(), b.toSF().AsGeometry())
	if err != nil {
		return nil, fmt.Errorf("overlay two regions: %w", err)
	}
	return polys(g), nil
}

// toSF wraps p for the overlay library; validity is the caller's word.
func (p Poly) toSF() sf.Polygon {
	var rings []sf.LineString
	for _, r := range p.Rings() {
		if len(r) == 0 {
			continue
		}
		xy := make([]float64, 0, 2*len(r)+2)
		for i := 0; i <= len(r); i++ {
			xy = append(xy, r.At(i).X, r.At(i).Y)
		}
		rings = append(rings, sf.NewLineString(sf.NewSequence(xy, sf.DimXY)))
	}
	return sf.NewPolygon(rings)
}

// polys keeps the polygons of an overlay's answer, which may hold shared
// lines and points too.
func polys(g sf.Geometry) []Poly {
	var out []Poly
	for _, part := range g.Dump() {
		if part.Type() != sf.TypePolygon {
			continue
		}
		p := fromSF(part.MustAsPolygon())
		if p.Area() > Sliver {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b Poly) int {
		return cmp.Or(cmp.Compare(math.Round(b.Area()*1e6), math.Round(a.Area()*1e6)),
			Compare(a.Outer.Box().Min, b.Outer.Box().Min))
	})
	return out
}

func fromSF(p sf.Polygon) Poly {
	out := Poly{Outer: ringOf(p.ExteriorRing()).CCW()}
	for i := range p.NumInteriorRings() {
		if h := ringOf(p.InteriorRingN(i)); h.Area() > Sliver {
			out.Holes = append(out.Holes, h)
		}
	}
	return out
}

func ringOf(l sf.LineString) Ring {
	s := l.Coordinates()
	var r Ring
	for i := range max(s.Length()-1, 0) {
		xy := s.GetXY(i)
		r = append(r, Pt{xy.X, xy.Y})
	}
	return r
}
