package sight

import (
	"math"
	"testing"

	"runnel/survey/geom"
)

// l is an L of two arms, 40 ft long and 10 ft wide; its inner corner is (10,10).
var l = geom.Poly{Outer: geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 10}, {X: 10, Y: 10}, {X: 10, Y: 40}, {X: 0, Y: 40}}}

// court is a square of 30 ft with a court of 10 ft in its middle.
var court = geom.Poly{
	Outer: geom.Box{Max: geom.Pt{X: 30, Y: 30}}.Ring(),
	Holes: []geom.Ring{geom.Box{Min: geom.Pt{X: 10, Y: 10}, Max: geom.Pt{X: 20, Y: 20}}.Ring()},
}

func areaOf(rs []geom.Ring) float64 {
	sum := 0.0
	for _, r := range rs {
		sum += r.SignedArea()
	}
	return sum
}

// The areas in view are found by hand.
func TestFan_Areas(t *testing.T) {
	for _, c := range []struct {
		name string
		area geom.Poly
		q    geom.Pt
		want float64
	}{
		{"in the outer corner of the L, all", l, geom.Pt{}, 700},
		{"in the inner corner, all", l, geom.Pt{X: 10, Y: 10}, 700},
		{"at the end of an arm on the wall, that arm", l, geom.Pt{X: 40, Y: 10}, 400},
		{"in an arm, and 10 by 2 over 2 behind the corner", l, geom.Pt{X: 35, Y: 5}, 410},
		{"in a corner, but for the court and behind it", court, geom.Pt{}, 550},
		{"on the corner of a court", court, geom.Pt{X: 10, Y: 10}, 500},
		{"before a court", court, geom.Pt{X: 15, Y: 5}, 400},
	} {
		if got := areaOf(New(c.area).Fan(c.q)); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %.9g sq ft, want %.9g", c.name, got, c.want)
		}
	}
}

// A stretch of wall sees straight ahead of it as far as the next wall.
func TestSweep_Areas(t *testing.T) {
	for _, c := range []struct {
		name string
		area geom.Poly
		a, b geom.Pt
		want float64
	}{
		{"foot of the L", l, geom.Pt{}, geom.Pt{X: 40}, 10*40 + 30*10},
		{"under the court", court, geom.Pt{}, geom.Pt{X: 30}, 20*30 + 10*10},
		{"part of the foot", court, geom.Pt{X: 5}, geom.Pt{X: 12}, 5*30 + 2*10},
	} {
		if got := areaOf(New(c.area).Sweep(c.a, c.b, geom.Pt{Y: 1})); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %.9g sq ft, want %.9g", c.name, got, c.want)
		}
	}
}

func TestSees_Stories(t *testing.T) {
	for _, c := range []struct {
		name string
		area geom.Poly
		p, q geom.Pt
		want bool
	}{
		{"along a wall", l, geom.Pt{}, geom.Pt{X: 40}, true},
		{"along a wall and on past the inner corner", l, geom.Pt{X: 40, Y: 10}, geom.Pt{Y: 10}, true},
		{"touching the inner corner", l, geom.Pt{X: 20, Y: 0}, geom.Pt{X: 0, Y: 20}, true},
		{"across the notch", l, geom.Pt{X: 30, Y: 5}, geom.Pt{X: 5, Y: 30}, false},
		{"through a court", court, geom.Pt{X: 5, Y: 15}, geom.Pt{X: 25, Y: 15}, false},
		{"through a court from corner to corner", court, geom.Pt{}, geom.Pt{X: 30, Y: 30}, false},
		{"along a court", court, geom.Pt{X: 0, Y: 10}, geom.Pt{X: 30, Y: 10}, true},
		{"out of the area", court, geom.Pt{X: 5, Y: 5}, geom.Pt{X: 5, Y: 50}, false},
		{"to itself", court, geom.Pt{X: 5, Y: 5}, geom.Pt{X: 5, Y: 5}, true},
	} {
		w := New(c.area)
		if w.Sees(c.p, c.q) != c.want || w.Sees(c.q, c.p) != c.want {
			t.Errorf("%s: %v and back %v", c.name, w.Sees(c.p, c.q), w.Sees(c.q, c.p))
		}
	}
}

// An L has one re-entrant corner, a square court four; what a look hides
// behind a corner lies between it and the far wall.
func TestShadow_Stories(t *testing.T) {
	if n := len(New(court).Corners()); n != 4 {
		t.Errorf("%d corners of a court", n)
	}
	cs := New(l).Corners()
	if len(cs) != 1 || cs[0].P != (geom.Pt{X: 10, Y: 10}) {
		t.Fatalf("%v", cs)
	}
	for _, c := range []struct {
		name    string
		d       geom.Pt
		hidden  bool
		turnDeg float64
	}{
		{"arriving along the wall", geom.Pt{X: -1}, true, 90},
		{"arriving across the arm", geom.Pt{X: -1, Y: 1}, true, 45},
		{"arriving straight at the far arm's wall", geom.Pt{Y: 1}, false, 0},
		{"arriving between the walls", geom.Pt{X: -1, Y: -1}, false, 0},
	} {
		s, ok := cs[0].Shadow(c.d)
		if ok != c.hidden || math.Abs(s.WidthRad*180/math.Pi-c.turnDeg) > 1e-9 {
			t.Errorf("%s: %v over %.6g degrees", c.name, ok, s.WidthRad*180/math.Pi)
		}
	}
}

// Along a wall, on either hand of the area, a way goes on to the corner; out of
// the area it goes nowhere.
func TestAhead(t *testing.T) {
	w := New(geom.Poly{Outer: geom.Box{Max: geom.Pt{X: 10, Y: 6}}.Ring()})
	for _, c := range []struct{ from, along, want geom.Pt }{
		{geom.Pt{X: 4, Y: 3}, geom.Pt{X: 1}, geom.Pt{X: 10, Y: 3}},
		{geom.Pt{X: 4, Y: 6}, geom.Pt{X: 1}, geom.Pt{X: 10, Y: 6}},
		{geom.Pt{X: 4}, geom.Pt{X: -1}, geom.Pt{}},
		{geom.Pt{X: 4}, geom.Pt{Y: -1}, geom.Pt{X: 4}},
		{geom.Pt{X: 4}, geom.Pt{Y: 1}, geom.Pt{X: 4, Y: 6}},
	} {
		if got := w.Ahead(c.from, c.along); got.Dist(c.want) > 1e-9 {
			t.Errorf("from %v along %v: %v, want %v", c.from, c.along, got, c.want)
		}
	}
}
