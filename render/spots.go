package render

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// spotKind says what stands at a spot; the first ones are told first where room
// is short.
type spotKind int

const (
	outletSpot spotKind = iota
	cornerSpot          // of the outline or of a court
	apexSpot            // the highest place of a cricket
	tipSpot             // the corner of a cricket farthest out from its line
	lineSpot            // an end of a valley, ridge or hip
	sumpSpot
	facetSpot // another corner of a facet, at a curb mostly
)

func (k spotKind) String() string {
	return [...]string{"outlet", "corner", "cricket apex", "cricket tip", "line end", "sump", "facet"}[k]
}

// thickSpot is the thickness of the finished insulation at a place, crickets and
// all, without cover; on a step the greatest.
type thickSpot struct {
	p    geom.Pt
	kind spotKind
	tIn  float64
}

// spotSet gathers spots; places closer than sameSpotFt are one.
type spotSet struct {
	all  []thickSpot
	near map[[2]int][]int
}

const sameSpotFt = 0.02

func (s *spotSet) cell(p geom.Pt) [2]int {
	return [2]int{int(math.Floor(p.X / sameSpotFt)), int(math.Floor(p.Y / sameSpotFt))}
}

// find is the spot at p; -1 where there is none.
func (s *spotSet) find(p geom.Pt) int {
	c := s.cell(p)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, k := range s.near[[2]int{c[0] + dx, c[1] + dy}] {
				if s.all[k].p.Dist(p) < sameSpotFt {
					return k
				}
			}
		}
	}
	return -1
}

func (s *spotSet) add(p geom.Pt, kind spotKind, tIn float64) {
	if k := s.find(p); k >= 0 {
		s.all[k].kind, s.all[k].tIn = min(s.all[k].kind, kind), math.Max(s.all[k].tIn, tIn)
		return
	}
	c := s.cell(p)
	s.near[c] = append(s.near[c], len(s.all))
	s.all = append(s.all, thickSpot{p, kind, tIn})
}

// name gives the spot at p its kind, where there is one.
func (s *spotSet) name(p geom.Pt, kind spotKind) {
	if k := s.find(p); k >= 0 {
		s.all[k].kind = min(s.all[k].kind, kind)
	}
}

// spotsOf lists the corners of the facets with the thickness there and what they
// are, in the order of the facets. Corners that turn by less than leastTurnDeg,
// as on a round wall, are none. Cost: corners of the facets.
func spotsOf(site *survey.Site, d *taper.Design) []thickSpot {
	s := &spotSet{near: map[[2]int][]int{}}
	planes := map[int]survey.Plane{}
	for _, f := range d.Facets {
		plane, kind := f.Plane, facetSpot
		switch f.Role {
		case taper.CricketRole:
			plane = plane.Add(planes[f.Under])
		case taper.SumpRole:
			kind = sumpSpot
		case taper.FieldRole, taper.UnsetRole:
			planes[f.ID] = plane
		}
		for _, r := range f.Poly.Rings() {
			for i, p := range r {
				if turns(r.At(i-1), p, r.At(i+1)) {
					s.add(p, kind, plane.At(p))
				}
			}
		}
	}
	for _, l := range d.Lines {
		s.name(l.A, lineSpot)
		s.name(l.B, lineSpot)
	}
	for _, c := range d.Crickets {
		s.name(c.Apex, apexSpot)
		tips, _ := tipsOf(d, c)
		for _, p := range tips {
			s.name(p, tipSpot)
		}
	}
	for _, r := range site.Poly().Rings() {
		for _, p := range r {
			s.name(p, cornerSpot)
		}
	}
	for _, o := range site.Outlets {
		if !o.Overflow {
			s.name(o.P, outletSpot)
		}
	}
	return s.all
}

// turns says whether the way a-b-c turns at b by enough to be a corner.
func turns(a, b, c geom.Pt) bool {
	const leastTurnDeg = 15
	u, v := b.Sub(a), c.Sub(b)
	return math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) >= leastTurnDeg*math.Pi/180
}
