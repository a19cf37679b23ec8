package render

import (
	"cmp"
	"math"
	"slices"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/taper"
)

// outletSpots stands the thickness beside each primary outlet.
func (s *sheet) outletSpots(d *taper.Design) {
	for _, o := range s.site.Outlets {
		if t, ok := thicknessAt(d, o.P); ok && !o.Overflow {
			s.place(lines{name: "thickness at " + o.ID, words: []string{s.say.bare(t)},
				text: scene.Text{SizePt: 8, Ink: scene.Black(), Halo: true}}, around(s.loc(o.P), drainIn+0.02))
		}
	}
}

// spots stands the thickness at the corners of the facets, those that matter most
// first, and gives how many of those that matter found no room. A sump's rim is told once.
func (s *sheet) spots(d *taper.Design) (left int) {
	all := spotsOf(s.site, d)
	slices.SortStableFunc(all, func(a, b thickSpot) int { return cmp.Compare(a.kind, b.kind) })
	met := map[[2]int]bool{}
	rims := map[string][]geom.Pt{}
	for _, t := range all {
		c := s.loc(t.p)
		key := [2]int{int(math.Round(c.X * 20)), int(math.Round(c.Y * 20))} // squares of 0.05 in
		if met[key] || t.kind == outletSpot {
			continue
		}
		met[key] = true
		words := s.say.bare(t.tIn)
		if t.kind == sumpSpot {
			const onRimFt = 12
			if slices.ContainsFunc(rims[words], func(p geom.Pt) bool { return p.Dist(t.p) < onRimFt }) {
				continue
			}
			rims[words] = append(rims[words], t.p)
		}
		l := lines{name: "thickness", words: []string{words}, ok: s.offCourts,
			text: scene.Text{SizePt: 8, Ink: scene.Black(), Halo: true}}
		if _, ok := s.place(l, around(c, 0.02)); !ok {
			if t.kind <= lineSpot {
				left++
			}
			continue
		}
		s.shape(scene.Shape{Name: "spot", Rings: [][]scene.Pt{scene.Circle(c, 0.018, 8)}, Fill: scene.Black()})
	}
	s.swatch("thickness in "+s.say.small()+" at a corner", func(a, b scene.Pt) []scene.Mark {
		c := a.Lerp(b, 0.5)
		return []scene.Mark{scene.Shape{Name: "legend", Rings: [][]scene.Pt{scene.Circle(c, 0.018, 8)}, Fill: scene.Black()}}
	})
	return left
}

// thicknessAt is the field's thickness and the crickets' at a place: on a
// border the greatest of those that meet there.
func thicknessAt(d *taper.Design, p geom.Pt) (tIn float64, ok bool) {
	const nearFt = 0.01
	field, cricket := math.Inf(-1), 0.0
	for _, f := range d.Facets {
		box := f.Poly.Outer.Box()
		box.Min, box.Max = box.Min.Sub(geom.Pt{X: nearFt, Y: nearFt}), box.Max.Add(geom.Pt{X: nearFt, Y: nearFt})
		if !box.Has(p) || !(f.Poly.Has(p) || f.Poly.Dist(p) < nearFt) {
			continue
		}
		if f.Role == taper.CricketRole {
			cricket = math.Max(cricket, f.Plane.At(p))
		} else {
			field = math.Max(field, f.Plane.At(p))
		}
	}
	return field + cricket, !math.IsInf(field, -1)
}
