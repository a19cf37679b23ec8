package survey

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey/geom"
)

// crossOf is positive where p lies to the left of a to b.
func crossOf(a, b, p geom.Pt) float64 { return b.Sub(a).Cross(p.Sub(a)) }

// A cricket keeps its side of the roof in every frame: a place beside its line
// lies, in the frame, on the side that the site names. Frames that are mirrored
// and frames that are not must both come up.
func TestSiteIn_CricketsKeepTheirSide(t *testing.T) {
	seen := map[bool]int{}
	rapid.Check(t, func(t *rapid.T) {
		a := lRoof()
		c := CricketPlace{From: geom.Pt{X: 12, Y: 30}, To: geom.Pt{X: 40}, On: CricketOn(rapid.IntRange(0, 2).Draw(t, "on"))}
		a.Crickets, a.OwnCrickets = []CricketPlace{c}, true
		a.Breaks = [][]geom.Pt{{{X: 25}, {X: 25, Y: 20}}}
		a.Joints = [][]geom.Pt{{{Y: 10}, {X: 12, Y: 10}, {X: 12}}, {{X: 50}, {X: 50, Y: 20}}}
		f := geom.Frame{Origin: geom.Pt{X: 3, Y: 4}, Turn: rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn"), Mirror: rapid.Bool().Draw(t, "mirror")}
		seen[f.Mirror]++
		s := SiteIn(a, f, nil)
		got := s.Crickets[0]
		d := c.To.Sub(c.From)
		left := f.ToLocal(c.From.Lerp(c.To, 0.5).Add(geom.Pt{X: -d.Y, Y: d.X}.Mul(0.1)))
		switch side := crossOf(got.From, got.To, left) > 0; {
		case c.On == OnBoth && got.On != OnBoth, c.On == OnLeft && (got.On == OnLeft) != side, c.On == OnRight && (got.On == OnRight) != side,
			c.On != OnBoth && got.On == OnBoth:
			t.Fatalf("a cricket on %v stands on %v, mirrored %v", c.On, got.On, f.Mirror)
		}
		back := func(all [][]geom.Pt) (out [][]geom.Pt) {
			for _, l := range all {
				out = append(out, geom.Ring(l).Map(f.ToJob))
			}
			return out
		}
		for i, l := range append(back(s.Breaks), back(s.Joints)...) {
			for k, p := range append(a.Breaks, a.Joints...)[i] {
				if l[k].Dist(p) > 1e-9 {
					t.Fatalf("line %d lies at %v, want %v", i, l, p)
				}
			}
		}
		if !s.OwnCrickets || f.ToJob(got.From).Dist(c.From) > 1e-9 || f.ToJob(got.To).Dist(c.To) > 1e-9 {
			t.Fatalf("cricket %+v of %+v", got, c)
		}
		if a.Crickets[0] != c {
			t.Fatal("the area's own cricket was changed")
		}
	})
	if seen[true] == 0 || seen[false] == 0 {
		t.Errorf("mirrored and not: %v", seen)
	}
}

// A part takes along what the designer drew, also where it runs past the part.
func TestPartOf_TakesOwnLinesAlong(t *testing.T) {
	a := square()
	a.Breaks, a.Joints = [][]geom.Pt{{{Y: 20}, {X: 40, Y: 20}}}, [][]geom.Pt{{{X: 35}, {X: 35, Y: 40}}}
	a.Crickets, a.OwnCrickets = []CricketPlace{{From: geom.Pt{X: 20, Y: 20}, To: geom.Pt{X: 40, Y: 20}, On: OnRight}}, true
	part, err := PartOf(a, geom.Ring{{}, {X: 30}, {X: 30, Y: 40}, {Y: 40}}, nil)
	if err != nil || part == nil {
		t.Fatalf("part %v, error %v", part, err)
	}
	if w, h := part.Outline.Box().Size(); math.Abs(w-30) > 1e-9 || math.Abs(h-40) > 1e-9 {
		t.Errorf("the part is %g by %g", w, h)
	}
	if !reflect.DeepEqual(part.Breaks, a.Breaks) || !reflect.DeepEqual(part.Joints, a.Joints) ||
		!reflect.DeepEqual(part.Crickets, a.Crickets) || !part.OwnCrickets {
		t.Errorf("part %+v", part)
	}
}
