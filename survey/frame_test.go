package survey

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// lRoof is an L with no symmetry, two outlets, a curb and a few shots.
func lRoof() *Area {
	return &Area{
		Name:    "A",
		Outline: geom.Ring{{}, {X: 60}, {X: 60, Y: 20}, {X: 25, Y: 20}, {X: 25, Y: 45}, {Y: 45}},
		Edges:   make([]Edge, 6),
		Outlets: []Outlet{{ID: "D1", Kind: Drain, At: geom.Pt{X: 12, Y: 30}, Edge: -1},
			{ID: "S1", Kind: Scupper, At: geom.Pt{X: 40}, Edge: 0, Width: unit.Feet(1)}},
		Curbs: []Curb{{ID: "U1", At: geom.Pt{X: 45, Y: 10}, W: 6, D: 4}},
		Shots: []Shot{{ID: "1", At: geom.Pt{X: 5, Y: 5}, Elev: unit.Feet(100)},
			{ID: "2", At: geom.Pt{X: 50, Y: 6}, Elev: unit.Feet(100.2)}},
	}
}

func square() *Area {
	a := &Area{Name: "A", Outline: geom.Ring{{}, {X: 40}, {X: 40, Y: 40}, {Y: 40}}, Edges: make([]Edge, 4),
		Outlets: []Outlet{{ID: "D1", Kind: Drain, At: geom.Pt{X: 20, Y: 20}, Edge: -1}}}
	for i, p := range []geom.Pt{{X: 5, Y: 6}, {X: 30, Y: 9}, {X: 33, Y: 31}} {
		a.Shots = append(a.Shots, Shot{At: p, Elev: unit.Feet(100 + 0.1*float64(i))})
	}
	return a
}

// movedArea is an area with every place done through f; quarter swaps the
// measures of curbs.
func movedArea(a *Area, f func(geom.Pt) geom.Pt, quarter bool) *Area {
	b := *a
	b.Outline = a.Outline.Map(f)
	b.Outlets, b.Curbs, b.Shots = nil, nil, nil
	for _, o := range a.Outlets {
		o.At = f(o.At)
		b.Outlets = append(b.Outlets, o)
	}
	for _, c := range a.Curbs {
		c.At = f(c.At)
		if quarter {
			c.W, c.D = c.D, c.W
		}
		b.Curbs = append(b.Curbs, c)
	}
	for _, s := range a.Shots {
		s.At = f(s.At)
		b.Shots = append(b.Shots, s)
	}
	return &b
}

// A turned, mirrored or shifted area is the same site: its outlets, shots and
// corners have the same places in the frame. A square with a centre drain is
// told apart by its shots alone.
func TestSiteOf_SameSiteHoweverDrawn(t *testing.T) {
	moves := []struct {
		story   string
		f       func(geom.Pt) geom.Pt
		quarter bool
	}{
		{"turned by a quarter", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} }, true},
		{"turned by a half", func(p geom.Pt) geom.Pt { return p.Mul(-1) }, false},
		{"mirrored", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} }, false},
		{"mirrored aslant", func(p geom.Pt) geom.Pt { return geom.Pt{X: p.Y, Y: p.X} }, true},
		{"shifted far", func(p geom.Pt) geom.Pt { return p.Add(geom.Pt{X: 2e6, Y: 7e5}) }, false},
	}
	for name, a := range map[string]*Area{"L": lRoof(), "square": square()} {
		want := SiteOf(a, nil)
		for _, m := range moves {
			t.Run(name+" "+m.story, func(t *testing.T) {
				got := SiteOf(movedArea(a, m.f, m.quarter), nil)
				for i, o := range want.Outlets {
					near2(t, o.ID, got.Outlets[i].P, o.P)
				}
				for i, s := range want.Shots {
					near2(t, "shot", got.Shots[i].P, s.P)
				}
				near2(t, "box", got.Outline.Box().Max, want.Outline.Box().Max)
			})
		}
	}
}

func near2(t *testing.T, what string, got, want geom.Pt) {
	t.Helper()
	if got.Dist(want) > 1e-6 {
		t.Errorf("%s at %v, want %v", what, got, want)
	}
}

// The area lies to the left of every edge of a site, whichever way round the
// outline was written, and edges keep the numbers of the job file.
func TestSiteOf_EdgesHaveTheAreaOnTheirLeft(t *testing.T) {
	a := lRoof()
	b := lRoof()
	b.Outline = b.Outline.Reversed()
	b.Outlets = b.Outlets[:1]
	for _, area := range []*Area{a, b} {
		s := SiteOf(area, nil)
		for n, e := range s.Edges {
			d := e.B.Sub(e.A)
			left := e.A.Lerp(e.B, 0.5).Add(geom.Pt{X: -d.Y, Y: d.X}.Mul(0.01 / d.Norm()))
			if !s.Poly().Has(left) {
				t.Errorf("edge %d: the area is not on its left", n)
			}
			if got, want := d.Norm(), area.Outline[n].Dist(area.Outline.At(n+1)); math.Abs(got-want) > 1e-9 {
				t.Errorf("edge %d is %g ft long, want %g", n, got, want)
			}
		}
	}
}

// The axes lie along the longest edge of an outline turned by any angle.
func TestFrameOf_AxesAlongTheLongestEdge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rad := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn")
		sin, cos := math.Sincos(rad)
		a := movedArea(lRoof(), func(p geom.Pt) geom.Pt {
			return geom.Pt{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}
		}, false)
		s := SiteOf(a, nil)
		for n, e := range s.Edges {
			d := e.B.Sub(e.A)
			if off := math.Min(math.Abs(d.X), math.Abs(d.Y)); off > 1e-9 {
				t.Fatalf("edge %d is %g ft off the axes", n, off)
			}
		}
		w, h := s.Outline.Box().Size()
		if math.Abs(math.Max(w, h)-60) > 1e-9 || math.Abs(math.Min(w, h)-45) > 1e-9 {
			t.Fatalf("box %g x %g, want 60 x 45", w, h)
		}
	})
}

// A plane is read off a surface exactly between roof cells.
func TestSurface_ElevationOfAPlane(t *testing.T) {
	s := SiteOf(lRoof(), nil)
	l := LatticeOf(s, 0)
	plane := Plane{CIn: 1200, GX: 0.25, GY: -0.1}
	surf := &Surface{Lattice: l, Roof: RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	for k := range surf.ElevIn {
		surf.ElevIn[k] = plane.At(l.Centre(k%l.NX, k/l.NX))
	}
	p := s.Outlets[0].P.Add(geom.Pt{X: 0.13, Y: -0.21})
	if got, ok := surf.Elevation(p); !ok || math.Abs(got-plane.At(p)) > 1e-9 {
		t.Errorf("elevation %g (%v), want %g", got, ok, plane.At(p))
	}
	if _, ok := surf.Elevation(geom.Pt{X: 1000}); ok {
		t.Error("an elevation far off the roof")
	}
}
