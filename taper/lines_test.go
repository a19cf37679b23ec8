package taper

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/lower"
)

// Stretches of one pair are joined whatever order they come in; a bend or
// another pair keeps them apart.
func TestMerged_Stories(t *testing.T) {
	at := func(x float64) geom.Pt { return geom.Pt{X: x, Y: x} }
	got := merged([]lower.Crease{
		{A: at(2), B: at(3), Left: 0, Right: 1},
		{A: at(0), B: at(1), Left: 0, Right: 1},
		{A: at(3), B: at(4), Left: 0, Right: 2},
		{A: at(1), B: at(2), Left: 0, Right: 1},
		{A: at(3), B: geom.Pt{X: 9, Y: 3}, Left: 0, Right: 1},
	})
	if len(got) != 3 || got[1].A != at(0) && got[2].A != at(0) && got[0].A != at(0) {
		t.Fatalf("%v", got)
	}
	for _, c := range got {
		if c.A == at(0) && c.B != at(3) {
			t.Errorf("%v", c)
		}
	}
}

// A wall off the axes carries water along it and is a valley; the same wall as
// a gutter lets it go. Its slope by hand: the plane of 1/4 along x, taken along
// a wall at 4 to 3, is 1/4 times 4/5.
func TestLinesOf_SkewWall(t *testing.T) {
	a := roofArea(geom.Ring{{X: 0, Y: 0}, {X: 80, Y: 0}, {X: 40, Y: 30}, {X: 0, Y: 30}}, geom.Pt{X: 5, Y: 5})
	s := survey.SiteOf(a, nil)
	_, lines, _ := mustField(t, s, quarterIn(survey.FourWay))
	along := func(lines []Line) (n int, slope float64) {
		for _, l := range lines {
			for _, e := range s.Edges {
				if d := e.B.Sub(e.A); d.X*d.Y != 0 && geom.SegDist(l.A, e.A, e.B) < 1e-6 && geom.SegDist(l.B, e.A, e.B) < 1e-6 {
					n, slope = n+1, l.Slope.InchesPerFoot()
				}
			}
		}
		return n, slope
	}
	n, slope := along(lines)
	if n != 0 { // water runs toward the drain, away from this wall
		t.Errorf("%d valleys of %g along a wall that sheds", n, slope)
	}
	a.Outlets[0].At = geom.Pt{X: 75, Y: 1}
	s = survey.SiteOf(a, nil)
	_, lines, _ = mustField(t, s, quarterIn(survey.FourWay))
	if n, slope = along(lines); n != 1 {
		t.Fatalf("%d valleys along the wall", n)
	}
	nearly(t, "along the wall", slope, 0.2, 1e-9)
	a.Edges[1].Kind = survey.OpenEdge
	s = survey.SiteOf(a, nil)
	_, lines, _ = mustField(t, s, quarterIn(survey.FourWay))
	if n, _ = along(lines); n != 0 {
		t.Errorf("%d valleys along an open edge", n)
	}
}

func TestFieldOf_Notes(t *testing.T) {
	curb := func(at geom.Pt) *survey.Area {
		a := roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20})
		a.Curbs = []survey.Curb{{At: at, W: 6, D: 6, Turn: 45}}
		return a
	}
	blocked := roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20})
	blocked.Outlets[0].State = survey.Blocked
	scupper := roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20})
	scupper.Outlets = append(scupper.Outlets, survey.Outlet{ID: "S", Kind: survey.Scupper, At: geom.Pt{X: 30}, Edge: 0, Width: unit.Foot})
	steep := quarterIn(survey.FourWay)
	steep.Slope, steep.Stock = unit.InchesPerFoot(0.3), slopeStock(0.25, 0.375)
	for name, c := range map[string]struct {
		a    *survey.Area
		in   FieldInput
		want string
	}{
		"flat valleys":          {roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20}), quarterIn(survey.FourWay), "flattest valley 0.1768 in/ft"},
		"curb beside a valley":  {curb(geom.Pt{X: 43, Y: 27}), quarterIn(survey.FourWay), "within 2'-0\" of a wall, curb"},
		"blocked drain":         {blocked, quarterIn(survey.FourWay), "is blocked"},
		"level line of scupper": {scupper, quarterIn(survey.OneWay), "toward S is level"},
		"drain left out":        {scupper, quarterIn(survey.OneWay), "drain A lies in a one-way slope"},
		"steeper board":         {roofArea(rect(60, 40), geom.Pt{X: 30, Y: 20}), steep, "0.375 in/ft, is used"},
	} {
		_, _, notes := mustField(t, survey.SiteOf(c.a, nil), c.in)
		if !strings.Contains(strings.Join(notes, "\n"), c.want) {
			t.Errorf("%s: notes %q", name, notes)
		}
	}
	_, _, notes := mustField(t, survey.SiteOf(curb(geom.Pt{X: 50, Y: 20}), nil), quarterIn(survey.FourWay))
	if strings.Contains(strings.Join(notes, "\n"), "within") {
		t.Errorf("a curb far from all valleys: %q", notes)
	}
}

// A roof of 60 x 40 ft with one drain in its middle has four facets and four
// valleys.
func ExampleFieldOf() {
	area := survey.Area{
		Name:    "A",
		Outline: geom.Ring{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 40}, {X: 0, Y: 40}},
		Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 30, Y: 20}, Edge: -1}},
	}
	f, err := FieldOf(context.Background(), survey.SiteOf(&area, nil), FieldInput{
		Scheme: survey.FourWay, Slope: unit.InchesPerFoot(0.25), T0In: 0.5,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := MeasureInsulation(f.Facets)
	fmt.Printf("%d facets, %d lines\n", len(f.Facets), len(f.Lines))
	fmt.Printf("%.1f to %.1f in, %.0f board feet\n", m.ThinnestIn, m.ThickestIn, m.CuFt*12)
	// Output:
	// 4 facets, 4 lines
	// 0.5 to 8.0 in, 11533 board feet
}
