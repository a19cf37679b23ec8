package taper

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// divided is the field of a 100 x 40 ft level roof with drains at (20,20) and
// (70,20); on its middle the frame begins.
func divided(t *testing.T, own Own) Field {
	t.Helper()
	s := roof(rect(100, 40), geom.Pt{X: 20, Y: 20}, geom.Pt{X: 70, Y: 20})
	f, err := DividedField(context.Background(), s, quarterIn(survey.FourWay), own)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, x := range f.Facets {
		sum += x.Poly.Area()
	}
	nearly(t, "area of the facets", sum, 4000, 4000e-9)
	return f
}

// A ridge at x = 40 with drains at 20 and 70: water of neither half crosses it,
// and the right half is 30 ft long from its drain there, so that the field steps
// from 1/2 + 5 to 1/2 + 7-1/2 in (mathematics: 1/4 in/ft over 20 and 30 ft).
func TestDividedField_Ridge(t *testing.T) {
	f := divided(t, Own{Ridges: []OwnLine{{At: []geom.Pt{{X: -10, Y: -20}, {X: -10, Y: 20}}, Name: "ridge 1 of lines", Field: "lines[0].at"}}})
	left, right := -1.0, -1.0
	for _, x := range f.Facets {
		c := x.Poly.Centroid()
		if in := x.Plane.At(geom.Pt{X: -10}); x.Poly.Dist(geom.Pt{X: -10}) < 1e-9 {
			if c.X < -10 {
				left = max(left, in)
			} else {
				right = max(right, in)
			}
		}
	}
	if left < 0 || right < 0 {
		t.Fatal("no facet on either hand of the ridge")
	}
	lo, hi := min(left, right), max(left, right)
	nearly(t, "one hand", lo, 5.5, 1e-9)
	nearly(t, "the other", hi, 8, 1e-9)
	if !strings.Contains(strings.Join(f.Notes, "\n"), "steps by up to 2 1/2") {
		t.Errorf("notes %q", f.Notes)
	}
	ridges := 0.0
	for _, l := range f.Lines {
		if l.Kind == Ridge && l.A.X < -9.999 && l.A.X > -10.001 && l.B.X > -10.001 && l.B.X < -9.999 {
			ridges += l.A.Dist(l.B)
		}
	}
	nearly(t, "length of the ridge", ridges, 40, 1e-6)
}

// A region keeps its scheme and slope, and nothing that is changed elsewhere
// moves its facets.
func TestDividedField_Region(t *testing.T) {
	own := Own{Regions: []survey.Region{{Outline: geom.Ring{{X: -50, Y: -20}, {X: -10, Y: -20}, {X: -10, Y: 20}, {X: -50, Y: 20}},
		Scheme: survey.TwoWayCrickets, Slope: unit.InchesPerFoot(0.375)}}}
	s := roof(rect(100, 40), geom.Pt{X: 20, Y: 20}, geom.Pt{X: 70, Y: 20})
	if s.Outlets[0].P.X > 0 { // the frame may be turned: the region is the hand of the drain at 20
		for i, p := range own.Regions[0].Outline {
			own.Regions[0].Outline[i] = geom.Pt{X: -p.X, Y: p.Y}
		}
		own.Regions[0].Outline = own.Regions[0].Outline.CCW()
	}
	facetsIn := func(f Field) string {
		var out []string
		for _, x := range f.Facets {
			if own.Regions[0].Outline.Has(x.Poly.Centroid()) {
				out = append(out, fmt.Sprint(x.Poly, x.Plane))
				nearly(t, "slope in the region", x.Plane.Slope().InchesPerFoot(), 0.375, 1e-12)
			} else {
				nearly(t, "slope elsewhere", x.Plane.Slope().InchesPerFoot(), 0.25, 1e-12)
			}
		}
		return strings.Join(out, ",")
	}
	one, err := DividedField(context.Background(), s, quarterIn(survey.FourWay), own)
	if err != nil {
		t.Fatal(err)
	}
	if len(one.Low) != 1 {
		t.Errorf("%d low lines in a two-way region", len(one.Low))
	}
	s.Outlets[1].P = s.Outlets[1].P.Add(geom.Pt{Y: 7})
	two, err := DividedField(context.Background(), s, quarterIn(survey.FourWay), own)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := facetsIn(one), facetsIn(two); a != b || a == "" {
		t.Errorf("facets of the region %q, and %q once a drain elsewhere moved", a, b)
	}
	own.Regions[0].Outline = geom.Ring{{X: -3, Y: -3}, {X: 3, Y: -3}, {X: 3, Y: 3}, {X: -3, Y: 3}}
	if _, err = DividedField(context.Background(), s, quarterIn(survey.FourWay), own); err == nil || !strings.Contains(err.Error(), "regions[0].outline: it leaves the part") {
		t.Errorf("a region without an outlet: %v", err)
	}
}

// The designer's valley is level at t0 all along, and the field falls to it.
func TestDividedField_Valley(t *testing.T) {
	s := roof(rect(100, 40), geom.Pt{X: 50, Y: 10})
	y := s.Outlets[0].P.Y
	own := Own{Valleys: []OwnLine{{At: []geom.Pt{{X: -50, Y: y}, {X: 50, Y: y}}, Field: "lines[0].at"}}}
	f, err := DividedField(context.Background(), s, quarterIn(survey.FourWay), own)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Low) != 1 || len(f.Low[0].At) != 3 {
		t.Fatalf("low lines %+v", f.Low)
	}
	// Ramps of 10 and 30 ft: the mean of 1/4 in/ft over them.
	nearly(t, "board feet", MeasureInsulation(f.Facets).CuFt*12, 100*(10*(0.5+1.25)+30*(0.5+3.75)), 1e-6)
	own.Valleys[0].At[0].Y, own.Valleys[0].At[1].Y = -y, -y
	if _, err = DividedField(context.Background(), s, quarterIn(survey.FourWay), own); err == nil || !strings.Contains(err.Error(), "lines[0].at: the valley runs to no outlet") {
		t.Errorf("a valley that misses the outlet: %v", err)
	}
}

// Lines read off the arrangement of facets are those of the field itself.
func TestTopLines_OfField(t *testing.T) {
	s := roof(geom.Ring{{X: 0, Y: 0}, {X: 80, Y: 0}, {X: 80, Y: 30}, {X: 40, Y: 30}, {X: 40, Y: 70}, {X: 0, Y: 70}},
		geom.Pt{X: 20, Y: 20}, geom.Pt{X: 62, Y: 14})
	f, err := FieldOf(context.Background(), s, quarterIn(survey.FourWay))
	if err != nil {
		t.Fatal(err)
	}
	lines, err := TopLines(s, f.Facets)
	if err != nil {
		t.Fatal(err)
	}
	sum := func(lines []Line) map[LineKind]float64 {
		out := map[LineKind]float64{}
		for _, l := range lines {
			out[l.Kind] += l.A.Dist(l.B)
		}
		return out
	}
	got, want := sum(lines), sum(f.Lines)
	for _, k := range []LineKind{Valley, Ridge, Hip} {
		nearly(t, "length of lines of kind "+k.String(), got[k], want[k], 1e-6)
	}
	if want[Valley] == 0 {
		t.Error("the roof has no valley: the test tells nothing")
	}
}

// Where two hands of a step meet the outline, the higher is the thickest edge.
func TestThickest_HigherHand(t *testing.T) {
	s := roof(rect(100, 40), geom.Pt{X: 20, Y: 20}, geom.Pt{X: 70, Y: 20})
	f := divided(t, Own{Ridges: []OwnLine{{At: []geom.Pt{{X: -10, Y: -20}, {X: -10, Y: 20}}, Name: "ridge 1 of lines", Field: "lines[0].at"}}})
	m := MeasureInsulation(f.Facets)
	_, edge := thickest(s, &Design{Facets: f.Facets, Insulation: m})
	nearly(t, "thickest edge", edge.Inches(), m.ThickestIn, 1e-9)
	at, _ := ThicknessAt(f.Facets, geom.Pt{X: -10, Y: 20})
	if hi := highestAt(f.Facets, geom.Pt{X: -10, Y: 20}); hi <= at+1 {
		t.Errorf("%g and %g in at a step of 2.5 in", at, hi)
	}
}
