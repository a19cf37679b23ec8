package drainage

import (
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// TestPaths_OverUnknownPlaces: a path that runs over places that no shot tells
// has no verdict; one over known places has.
func TestPaths_OverUnknownPlaces(t *testing.T) {
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, fourWay(0.25, 0))
	part := *surf
	part.Known = make([]bool, surf.Len())
	for k := range part.Known {
		part.Known[k] = surf.Centre(k%surf.NX, k/surf.NX).X < 15
	}
	count := map[Verdict]int{}
	for _, p := range checked(t, s, &part, usual(t)).Paths {
		far := p.Points[0].X > 15.5
		if got := p.Verdict; far && got != Unknown || p.Points[0].X < 14 && got != Meets {
			t.Errorf("path %s from %v: %v", p.ID, p.Points[0], got)
		}
		count[p.Verdict]++
	}
	if count[Unknown] == 0 || count[Meets] == 0 {
		t.Errorf("verdicts %v", count)
	}
}

// TestPonds_Limits: what is shallower or smaller than the job asks for is not
// reported; what reaches both limits is. Paraboloids of radius a.
func TestPonds_Limits(t *testing.T) {
	for _, c := range []struct {
		story       string
		deepIn, aFt float64
		want        int
	}{
		{"1/10 in deep, 78 sq ft", 0.1, 5, 0},
		{"3/16 in deep, 78 sq ft", 3. / 16, 5, 1},
		{"1 in deep, 2 sq ft", 1, 0.8, 0},
		{"1 in deep, 7.1 sq ft", 1, 1.5, 1},
	} {
		s, surf := roofOf(t, box(24, 24), []survey.Outlet{drainAt("D1", geom.Pt{X: 11.9})}, 0.25, func(p geom.Pt) float64 {
			if r := p.Norm(); r < c.aFt {
				return 1 - c.deepIn*(1-r*r/(c.aFt*c.aFt))
			}
			return 1
		})
		opt := usual(t) // 1/8 in, 4 sq ft
		r := checked(t, s, surf, opt)
		if len(r.Ponds) != c.want {
			t.Errorf("%s: %d ponds, want %d: %+v", c.story, len(r.Ponds), c.want, r.Ponds)
		}
		if want := map[int]Verdict{0: Meets, 1: FallsShort}[c.want]; r.PondsFree != want {
			t.Errorf("%s: %v, want %v", c.story, r.PondsFree, want)
		}
	}
}
