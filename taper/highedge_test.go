package taper

import (
	"context"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Crickets of two walls with scuppers end in the corner between them, each on its
// own facet: their high edges lean back on the hip at 45 degrees. With H = 30 ft
// k = W / (30 - W) is at least 1/sqrt(3) for 1/8 on 1/4: W 10.98 and up to 11 ft,
// k = 11/19 (mathematics).
func TestCricketsOf_CornerOfTwoWalls(t *testing.T) {
	a := roofArea(rect(120, 60))
	for n, p := range []geom.Pt{{X: 30}, {X: 90}, {X: 120, Y: 30}} {
		edge := 0
		if p.X == 120 {
			edge = 1
		}
		a.Outlets = append(a.Outlets, survey.Outlet{ID: []string{"S1", "S2", "S3"}[n], Kind: survey.Scupper, At: p, Edge: edge, Width: unit.Foot})
	}
	s := survey.SiteOf(a, nil)
	_, _, crickets, notes := cricketsOn(t, s, quarterIn(survey.OneWay), wants(0.125, 0.25))
	if len(crickets) != 5 || len(notes) > 0 {
		t.Fatalf("%d crickets, notes %q", len(crickets), notes)
	}
	leaning := 0
	for _, c := range crickets {
		if strings.HasPrefix(c.Name, "between") {
			continue
		}
		k := c.W.Feet() / 30
		if math.Abs(c.W.Feet()-11) < 1e-9 {
			leaning++
			k = 11. / 19
		}
		nearly(t, c.Name, c.Valley.InchesPerFoot(), 0.25*k/math.Hypot(1, k), 1e-9)
	}
	if leaning != 2 {
		t.Errorf("%d crickets lean on the hip, not 2", leaning)
	}
}

// A joint that runs 1 in 3 off square ends the low line like a wall does, and
// crickets lean on it: 30 ft from the drain, on the hand where it leans away
// k = W / (30 + W/3) takes 21.45 ft, up to 21-1/2, on the other W / (30 - W/3)
// takes 14.53, up to 15 (mathematics, for 1/8 on 1/4). Before, only one hand had
// a cricket and the other a step against it.
func TestCricketsOf_SlantJoint(t *testing.T) {
	a := roofArea(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	a.Joints = [][]geom.Pt{{{X: 50}, {X: 70, Y: 60}}}
	s := survey.SiteOf(a, nil)
	in := quarterIn(survey.TwoWayCrickets)
	in.Crickets = true
	f, err := DividedField(context.Background(), s, in, OwnOf(&survey.Job{}, s))
	if err != nil {
		t.Fatal(err)
	}
	facets, crickets, notes, err := CricketsOf(s, f.Facets, f.Low, wants(0.125, 0.25))
	if err != nil || len(notes) > 0 || len(crickets) != 4 || len(facets) != 8 {
		t.Fatalf("%d crickets of %d facets, notes %q, %v", len(crickets), len(facets), notes, err)
	}
	widths := map[float64]int{}
	for _, x := range facets {
		most := 0.0
		for _, p := range x.Poly.Outer {
			most = math.Max(most, math.Abs(p.Y))
		}
		widths[math.Round(most*1e6)/1e6]++
	}
	if widths[17.5] != 4 || widths[21.5] != 2 || widths[15] != 2 {
		t.Errorf("facets by width %v", widths)
	}
	lines, err := TopLines(s, append(f.Facets, facets...))
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range lines {
		if l.Kind == Valley && l.Slope.InchesPerFoot() < 0.125-1e-9 {
			t.Errorf("a valley of %v in/ft from %v to %v", l.Slope.InchesPerFoot(), l.A, l.B)
		}
	}
}

// Lines of a job belong to the areas they come over: one along a border or beyond it
// is none of this area's.
func TestOwnOf_LinesOfOtherAreas(t *testing.T) {
	s := survey.SiteOf(roofArea(rect(120, 60), geom.Pt{X: 30, Y: 30}), nil)
	for _, c := range []struct {
		at   []geom.Pt
		here bool
	}{
		{[]geom.Pt{{X: 5, Y: 30}, {X: 55, Y: 30}}, true},
		{[]geom.Pt{{X: -50, Y: 30}, {X: 500, Y: 30}}, true}, // both ends beyond
		{[]geom.Pt{{X: 100}, {X: 100, Y: 60}}, true},
		{[]geom.Pt{{X: 200, Y: 10}, {X: 200, Y: 50}}, false},
		{[]geom.Pt{{X: 120}, {X: 120, Y: 60}}, false}, // the border with the next
	} {
		for _, kind := range []survey.OwnLineKind{survey.OwnRidge, survey.OwnValley} {
			own := OwnOf(&survey.Job{Lines: []survey.OwnLine{{Kind: kind, At: c.at}}}, s)
			if got := len(own.Ridges)+len(own.Valleys) > 0; got != c.here {
				t.Errorf("%v %v: taken %v", kind, c.at, got)
			}
		}
	}
}

// What leaves a part without an outlet is told by its key, all of it at once.
func TestDividedField_DryPartsByName(t *testing.T) {
	for _, c := range []struct {
		joints [][]geom.Pt
		lines  []survey.OwnLine
		want   string
	}{
		{nil, []survey.OwnLine{{Kind: survey.OwnValley, At: []geom.Pt{{X: 5, Y: 30}, {X: 55, Y: 30}}}, {Kind: survey.OwnRidge, At: []geom.Pt{{X: 100}, {X: 100, Y: 60}}}},
			"lines[1].at: it leaves the part about x 110.0 ft, y 30.0 ft without an outlet; draw it elsewhere or add an outlet"},
		{[][]geom.Pt{{{X: 10}, {X: 10, Y: 60}}}, []survey.OwnLine{{Kind: survey.OwnRidge, At: []geom.Pt{{X: 100}, {X: 100, Y: 60}}}},
			"areas[0].joints[0]: it leaves the part about x 5.0 ft, y 30.0 ft without an outlet; draw it elsewhere or add an outlet\n" +
				"lines[0].at: it leaves the part about x 110.0 ft, y 30.0 ft without an outlet; draw it elsewhere or add an outlet"},
		{[][]geom.Pt{{{X: 40}, {X: 40, Y: 60}}}, []survey.OwnLine{{Kind: survey.OwnRidge, At: []geom.Pt{{X: 50}, {X: 50, Y: 60}}}},
			"areas[0].joints[0]: it leaves the part about x 45.0 ft, y 30.0 ft without an outlet; draw it elsewhere or add an outlet\n" +
				"lines[0].at: it leaves the part about x 45.0 ft, y 30.0 ft without an outlet; draw it elsewhere or add an outlet"},
	} {
		a := roofArea(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
		a.Joints = c.joints
		s := survey.SiteOf(a, nil)
		_, err := DividedField(context.Background(), s, quarterIn(survey.FourWay), OwnOf(&survey.Job{Lines: c.lines, Areas: []survey.Area{*a}}, s))
		if err == nil {
			t.Errorf("no error, want %q", c.want)
			continue
		}
		if got := err.Error(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Cover lies in boards 4 ft deep over an edge strip 1 ft deep and the row above it,
// where no change of layers is in between: its first pieces are 4 ft across, not 1
// (geometry of a 4 x 8 ft board).
func TestMake_CoverOverStripAndRow(t *testing.T) {
	s := roof(rect(120, 60), geom.Pt{X: 30, Y: 30}, geom.Pt{X: 90, Y: 30})
	d, err := Make(context.Background(), s, makeInput(survey.TwoWayCrickets))
	if err != nil {
		t.Fatal(err)
	}
	up := map[int]geom.Pt{}
	for _, f := range d.Facets {
		if f.Role == CricketRole {
			up[f.ID], _ = f.Plane.Uphill()
		}
	}
	most, first := 0.0, map[int]int{} // the first row of cover of each facet
	for _, b := range d.Boards {
		u, on := up[b.Facet]
		if !on || b.Type != CoverType {
			continue
		}
		if first[b.Facet] == 0 {
			first[b.Facet] = b.Row
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range b.Poly.Outer {
			lo, hi = math.Min(lo, p.Dot(u)), math.Max(hi, p.Dot(u))
		}
		if hi-lo > 4+1e-6 {
			t.Fatalf("a piece of cover %.3f ft across", hi-lo)
		}
		if b.Row == first[b.Facet] {
			most = math.Max(most, hi-lo)
		}
	}
	nearly(t, "first strip of cover", most, 4, 1e-6)
}
