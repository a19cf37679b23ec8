package geom_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"runnel/survey/geom"
)

// ell is an L-shaped outline: rectangles of 120 x 48 and 72 x 36 ft, 5,760 and
// 2,592 sq ft, 8,352 in all.
const ell = "0,0 120,0 120,48 72,48 72,84 0,84"

func TestRing_Stories(t *testing.T) {
	for name, c := range map[string]struct {
		outline string
		signed  float64 // by hand
		in, out geom.Pt
		near    float64 // distance of in from the border
	}{
		"a rectangle":               {"0,0 60,0 60,40 0,40", 2400, geom.Pt{X: 10, Y: 15}, geom.Pt{X: 61, Y: 15}, 10},
		"a rectangle the other way": {"0,0 0,40 60,40 60,0", -2400, geom.Pt{X: 10, Y: 15}, geom.Pt{X: 10, Y: 41}, 10},
		"an L": {ell, 8352, geom.Pt{X: 71, Y: 47}, geom.Pt{X: 73, Y: 49},
			math.Sqrt2},
		"a triangle": {"0,0 30,0 0,40", 600, geom.Pt{X: 10, Y: 10}, geom.Pt{X: 20, Y: 20}, 10},
		"far from the origin": {"100000000,100000000 100000001,100000000 100000001,100000001 100000000,100000001", 1,
			geom.Pt{X: 1e8 + 0.5, Y: 1e8 + 0.5}, geom.Pt{X: 1e8 + 2, Y: 1e8}, 0.5},
	} {
		t.Run(name, func(t *testing.T) {
			r := ring(t, c.outline)
			if got := r.SignedArea(); math.Abs(got-c.signed) > 1e-9 {
				t.Errorf("signed area %v, want %v", got, c.signed)
			}
			if got := r.Reversed().SignedArea(); math.Abs(got+c.signed) > 1e-9 {
				t.Errorf("signed area reversed %v, want %v", got, -c.signed)
			}
			if r.CCW().SignedArea() <= 0 || r.CCW()[0] != r[0] {
				t.Errorf("CCW runs clockwise or from another vertex: %v", r.CCW())
			}
			if !r.Has(c.in) || r.Has(c.out) {
				t.Errorf("Has: %v in %v, %v in %v", c.in, r.Has(c.in), c.out, r.Has(c.out))
			}
			if got := r.Dist(c.in); math.Abs(got-c.near) > 1e-9 {
				t.Errorf("distance of %v from the border %v, want %v", c.in, got, c.near)
			}
		})
	}
}

func TestRing_Empty(t *testing.T) {
	var r geom.Ring
	if r.Area() != 0 || r.Has(geom.Pt{}) || !math.IsInf(r.Dist(geom.Pt{}), 1) || len(r.CCW()) != 0 {
		t.Error("an empty ring has area, places or a border")
	}
	if p := (geom.Poly{}); p.Area() != 0 || p.Has(geom.Pt{}) || r.Box() != (geom.Box{}) {
		t.Error("an empty region has area, places or a box")
	}
}

func TestPoly_WithCourt(t *testing.T) {
	p := geom.Poly{Outer: ring(t, ell), Holes: []geom.Ring{ring(t, "10,10 30,10 30,20 10,20")}}
	if got := p.Area(); math.Abs(got-8152) > 1e-9 { // 8,352 less 200
		t.Errorf("area %v, want 8152", got)
	}
	if p.Has(geom.Pt{X: 20, Y: 15}) || !p.Has(geom.Pt{X: 20, Y: 21}) {
		t.Error("the court counts as roof, or the roof beside it does not")
	}
	if got := p.Dist(geom.Pt{X: 20, Y: 21}); math.Abs(got-1) > 1e-12 {
		t.Errorf("distance to the court %v, want 1", got)
	}
	mirrored := p.Map(func(q geom.Pt) geom.Pt { return geom.Pt{X: -q.X, Y: q.Y} })
	if mirrored.Outer.SignedArea() <= 0 || math.Abs(mirrored.Area()-8152) > 1e-9 {
		t.Errorf("mirrored: signed area %v, area %v", mirrored.Outer.SignedArea(), mirrored.Area())
	}
}

func TestSegDist_Stories(t *testing.T) {
	a, b := geom.Pt{X: 0, Y: 0}, geom.Pt{X: 10, Y: 0}
	for name, c := range map[string]struct {
		p    geom.Pt
		want float64
	}{
		"beside the middle": {geom.Pt{X: 5, Y: 3}, 3},
		"past the end":      {geom.Pt{X: 13, Y: 4}, 5},
		"before the start":  {geom.Pt{X: -3, Y: -4}, 5},
		"on it":             {geom.Pt{X: 7, Y: 0}, 0},
	} {
		if got := geom.SegDist(c.p, a, b); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	if got := geom.SegDist(geom.Pt{X: 3, Y: 4}, a, a); got != 5 {
		t.Errorf("to a stretch without length: %v, want 5", got)
	}
}

func TestBox_Stories(t *testing.T) {
	b := geom.BoxOf(geom.Pt{X: 3, Y: 1}, geom.Pt{X: -1, Y: 5}, geom.Pt{X: 0, Y: 0})
	if want := (geom.Box{Min: geom.Pt{X: -1, Y: 0}, Max: geom.Pt{X: 3, Y: 5}}); b != want {
		t.Fatalf("box %v, want %v", b, want)
	}
	w, h := b.Size()
	if w != 4 || h != 5 || b.Centre() != (geom.Pt{X: 1, Y: 2.5}) || b.Ring().SignedArea() != 20 {
		t.Errorf("size %v x %v, centre %v, area %v", w, h, b.Centre(), b.Ring().SignedArea())
	}
	if !b.Has(geom.Pt{X: 3, Y: 5}) || b.Has(geom.Pt{X: 3.1, Y: 5}) {
		t.Error("the border belongs to the box, and nothing beyond")
	}
	if !b.Overlaps(geom.Box{Min: geom.Pt{X: 3, Y: 5}, Max: geom.Pt{X: 9, Y: 9}}) ||
		b.Overlaps(geom.Box{Min: geom.Pt{X: 3.1, Y: 0}, Max: geom.Pt{X: 9, Y: 9}}) {
		t.Error("boxes that touch overlap, and others do not")
	}
}

// anyFrame draws a building frame up to a mile from the job's origin.
func anyFrame(t *rapid.T) geom.Frame {
	turn := rapid.Float64Range(-10, 10).Draw(t, "turn")
	if rapid.Bool().Draw(t, "quarter turn") {
		turn = float64(rapid.IntRange(-8, 8).Draw(t, "quarters")) * math.Pi / 2
	}
	return geom.Frame{Origin: place(t, "origin", 5280), Turn: turn, Mirror: rapid.Bool().Draw(t, "mirror")}
}

func place(t *rapid.T, label string, most float64) geom.Pt {
	return geom.Pt{X: rapid.Float64Range(-most, most).Draw(t, label+" x"),
		Y: rapid.Float64Range(-most, most).Draw(t, label+" y")}
}

func TestFrame_ThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, p, q := anyFrame(t), place(t, "p", 1000), place(t, "q", 1000)
		if d := f.ToJob(f.ToLocal(p)).Dist(p); d > 1e-9 {
			t.Fatalf("%v: %v comes back %v ft off", f, p, d)
		}
		if d := f.ToLocal(f.ToJob(p)).Dist(p); d > 1e-9 {
			t.Fatalf("%v: local %v comes back %v ft off", f, p, d)
		}
		if d := math.Abs(f.ToLocal(p).Dist(f.ToLocal(q)) - p.Dist(q)); d > 1e-9 {
			t.Fatalf("%v: the distance %v to %v changes by %v", f, p, q, d)
		}
		if d := f.DirToJob(p).Sub(f.ToJob(p).Sub(f.ToJob(geom.Pt{}))).Norm(); d > 1e-9 {
			t.Fatalf("%v: direction %v is not that of its places: %v", f, p, d)
		}
		if d := f.DirToLocal(f.DirToJob(p)).Dist(p); d > 1e-9 {
			t.Fatalf("%v: direction %v comes back %v off", f, p, d)
		}
		r := geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 3}}
		if got := r.Map(f.ToLocal).SignedArea() < 0; got != f.Mirror {
			t.Fatalf("%v: a ring turns round: %v, mirror %v", f, got, f.Mirror)
		}
	})
}

func TestFrame_QuarterTurnsAreExact(t *testing.T) {
	p := geom.Pt{X: 0.1, Y: 0.7}
	for q, want := range []geom.Pt{{X: 0.1, Y: 0.7}, {X: -0.7, Y: 0.1}, {X: -0.1, Y: -0.7}, {X: 0.7, Y: -0.1}} {
		f := geom.Frame{Turn: float64(q) * math.Pi / 2}
		if got := f.ToJob(p); got != want {
			t.Errorf("%d quarters: %v, want %v", q, got, want)
		}
		m := geom.Frame{Turn: f.Turn, Mirror: true}
		if got, want := m.ToJob(p), f.ToJob(geom.Pt{X: p.X, Y: -p.Y}); got != want {
			t.Errorf("%d quarters, mirrored: %v, want %v", q, got, want)
		}
	}
}
