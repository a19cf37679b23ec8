package taper

import (
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
)

// moments gives the area of a region and its first moments about the frame's
// origin, in square and cubic feet, exactly for straight edges.
func moments(p geom.Poly) (sqft, mx, my float64) {
	for i, r := range p.Rings() {
		if len(r) == 0 {
			continue
		}
		a, x, y := ringMoments(r.CCW())
		if i > 0 {
			a, x, y = -a, -x, -y
		}
		sqft, mx, my = sqft+a, mx+x, my+y
	}
	return sqft, mx, my
}

// ringMoments sums the triangles from the first corner to each edge.
func ringMoments(r geom.Ring) (sqft, mx, my float64) {
	o := r[0]
	for i := range r {
		p, q := r[i], r.At(i+1)
		a := p.Sub(o).Cross(q.Sub(o)) / 2
		sqft += a
		mx += a * (o.X + p.X + q.X) / 3
		my += a * (o.Y + p.Y + q.Y) / 3
	}
	return sqft, mx, my
}

// MeasureInsulation integrates the facets' planes exactly: volume, mean, least
// and greatest thickness from the deck up, without cover. Cricket facets add
// to the volume and to the greatest. No facets give zeroes. LeastCuFt is left to
// the caller.
func MeasureInsulation(facets []Facet) Insulation {
	var out Insulation
	sqft, thin, thick := 0.0, math.Inf(1), math.Inf(-1)
	for _, f := range facets {
		a, mx, my := moments(f.Poly)
		out.CuFt += (f.Plane.CIn*a + f.Plane.GX*mx + f.Plane.GY*my) / 12
		if f.Role == CricketRole {
			thick = math.Max(thick, thickestOver(facets, f))
			continue
		}
		sqft += a
		for _, r := range f.Poly.Rings() {
			for _, p := range r {
				thin, thick = math.Min(thin, f.Plane.At(p)), math.Max(thick, f.Plane.At(p))
			}
		}
	}
	if sqft > 0 {
		out.AverageIn, out.ThinnestIn, out.ThickestIn = out.CuFt*12/sqft, thin, thick
	}
	return out
}

// thickestOver is the greatest thickness of a cricket's facet with the field under
// it.
func thickestOver(facets []Facet, f Facet) float64 {
	most := 0.0
	for _, g := range facets {
		if g.ID != f.Under || g.Role == CricketRole {
			continue
		}
		for _, p := range f.Poly.Outer {
			most = math.Max(most, f.Plane.At(p)+g.Plane.At(p))
		}
	}
	return most
}

// onBorderFt is how near a facet a place lies on its border.
const onBorderFt = 1e-6

// ThicknessAt is the thickness at a place, in inches: the least of the field's
// facets that hold or touch it, each with what the cricket facets on it add there.
// It gives false where no facet does. Cost: one pass over the facets' corners.
func ThicknessAt(facets []Facet, p geom.Pt) (float64, bool) {
	touches := func(f Facet) bool { return f.Poly.Has(p) || f.Poly.Dist(p) <= onBorderFt }
	var over []Facet
	for _, f := range facets {
		if f.Role == CricketRole && touches(f) {
			over = append(over, f)
		}
	}
	least, found := math.Inf(1), false
	for _, f := range facets {
		if f.Role == CricketRole || !touches(f) {
			continue
		}
		added := 0.0
		for _, c := range over {
			if c.Under == f.ID || c.Under == 0 {
				added = math.Max(added, c.Plane.At(p))
			}
		}
		least, found = math.Min(least, f.Plane.At(p)+added), true
	}
	if !found {
		return 0, false
	}
	return least, true
}

// ThicknessIn is the thickness at the middle of each roof cell, in inches; 0
// off the roof. A cell on a border takes the least plane that touches it, one
// that rounding leaves outside all facets the nearest. Cost: rows x the facets'
// corners, then the cells once.
func ThicknessIn(facets []Facet, l survey.Lattice, roof []bool) []float64 {
	least := make([]float64, l.Len())
	for k := range least {
		least[k] = math.Inf(1)
	}
	added := make([]float64, l.Len())
	for _, f := range facets {
		overCells(f.Poly, l, func(k int, p geom.Pt) {
			if f.Role == CricketRole {
				added[k] = math.Max(added[k], f.Plane.At(p))
				return
			}
			least[k] = math.Min(least[k], f.Plane.At(p))
		})
	}
	out := make([]float64, l.Len())
	for k := range out {
		if k >= len(roof) || !roof[k] {
			continue
		}
		if math.IsInf(least[k], 1) {
			least[k] = nearestIn(facets, l.Centre(k%l.NX, k/l.NX))
		}
		out[k] = least[k] + added[k]
	}
	return out
}

// nearestIn is the thickness of the field's facet nearest to p; 0 without one.
func nearestIn(facets []Facet, p geom.Pt) float64 {
	best, in := math.Inf(1), 0.0
	for _, f := range facets {
		if f.Role == CricketRole {
			continue
		}
		d := f.Poly.Dist(p)
		if f.Poly.Has(p) {
			d = 0
		}
		if d < best {
			best, in = d, f.Plane.At(p)
		}
	}
	return in
}

// Finish is the finished top: base and thickness and cover, cell by cell.
// Where facets do not cover a roof cell of base, the nearest one does.
func Finish(base *survey.Surface, facets []Facet, coverIn float64) *survey.Surface {
	top := ThicknessIn(facets, base.Lattice, base.Roof)
	for k := range top {
		if base.Roof[k] {
			top[k] += base.ElevIn[k] + coverIn
		}
	}
	return base.With(top)
}

// FinishedInlets gives the inlet of each of s.Outlets in the finished roof, in
// inches: a drain that is reset, or of which nothing is said, is set at the
// lowest place of the finished surface round it, and so is any other outlet
// that is reset; gutter and open edges lie at the lowest place of the finished
// edge. Everything else keeps what existingInletIn says. No reset inlet is set
// below the deck; a nil deck sets no such limit. The slice of inlets must have
// one for each outlet. The existing surface serves where the finished one has
// no cell near an outlet; it may be nil.
func FinishedInlets(s *survey.Site, finished, existing, deck *survey.Surface, existingInletIn []float64) []float64 {
	out := make([]float64, len(s.Outlets))
	cells := drainage.OutletCells(s, finished)
	for n, o := range s.Outlets {
		if n < len(existingInletIn) {
			out[n] = existingInletIn[n]
		}
		if !reset(o) {
			continue
		}
		if len(cells[n]) > 0 {
			out[n] = drainage.Lowest(finished, cells[n])
		} else if existing != nil {
			if z, ok := existing.Elevation(o.P); ok {
				out[n] = z
			}
		}
		if deck != nil {
			if z, ok := deck.Elevation(o.P); ok {
				out[n] = math.Max(out[n], z)
			}
		}
	}
	return out
}

// UntoldInlets says of each of s.Outlets why the height of its inlet over the
// finished roof is not known: it keeps its elevation, and nothing tells where the
// new layers lie against that, as where no core tells how thick the old roof was.
// "" where it is known.
func UntoldInlets(s *survey.Site, scope survey.Scope, on fit.Levels) []string {
	out := make([]string, len(s.Outlets))
	for n, o := range s.Outlets {
		if reset(o) {
			continue
		}
		h := o.Inlet
		if !h.Stated() {
			h = survey.Height{Above: survey.AboveMembrane} // flush with the roof that it stands in
		}
		out[n] = HeightWhy(h, o.P, scope, on)
	}
	return out
}

// HeightWhy says why a stated height at a place of the frame is not known over
// what the new layers lie on; "" where it is.
func HeightWhy(h survey.Height, at geom.Pt, scope survey.Scope, on fit.Levels) string {
	if a := aboveBase(h, at, scope, on); !a.OK {
		return a.Why
	}
	return ""
}

// aboveBase turns a stated height into one above what the new layers lie on.
func aboveBase(h survey.Height, at geom.Pt, scope survey.Scope, on fit.Levels) fit.Above {
	if scope == survey.Recover {
		return fit.HeightAboveMembrane(h, at, on)
	}
	return fit.HeightAboveDeck(h, at, on)
}

// reset says whether the inlet of o moves with the finished surface.
func reset(o survey.SiteOutlet) bool {
	switch {
	case o.IsEdge() || o.Reset == survey.ResetYes:
		return true
	case o.Reset == survey.ResetNo:
		return false
	}
	return o.Kind == survey.Drain && !o.Overflow
}
