package taper

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Average and highest in inches and cubic feet of every scheme on four
// rectangles with a drain in the middle, s = 1/4 in/ft, 1/2 in at the drain:
// closed forms worked to four and three decimals apart from this program. Where
// the program makes the scheme its own facets are integrated; H and D' are not
// its schemes and are handed over as planes.
func TestSchemes_ClosedTable(t *testing.T) {
	const s = 0.25
	for _, c := range []struct {
		l, w float64
		want map[string][3]float64
	}{
		{40, 40, map[string][3]float64{
			"A": {3.8333, 5.5, 511.111}, "C": {5.2140, 7.5711, 695.206}, "D": {3.8333, 5.5, 511.111},
			"D'": {5.2140, 7.5711, 695.206}, "E": {5.5, 10.5, 733.333}, "G": {3, 5.5, 400}, "H": {5.5, 10.5, 733.333}}},
		{60, 40, map[string][3]float64{
			"A": {4.8056, 8, 961.111}, "C": {6.5890, 11.1066, 1317.795}, "D": {5.5, 8, 1100},
			"D'": {6.5093, 9.5139, 1301.850}, "E": {5.5, 10.5, 1100}, "G": {3, 5.5, 600}, "H": {6.75, 13, 1350}}},
		{100, 50, map[string][3]float64{
			"A": {7.2708, 13, 3029.514}, "C": {10.0754, 18.1777, 4198.085}, "D": {8.8333, 13, 3680.556},
			"D'": {9.8169, 14.4754, 4090.396}, "E": {6.75, 13, 2812.5}, "G": {3.625, 6.75, 1510.417}, "H": {9.875, 19.25, 4114.583}}},
		{120, 80, map[string][3]float64{
			"A": {9.1111, 15.5, 7288.889}, "C": {12.6780, 21.7132, 10142.360}, "D": {10.5, 15.5, 8400},
			"D'": {12.5185, 18.5278, 10014.803}, "E": {10.5, 20.5, 8400}, "G": {5.5, 10.5, 4400}, "H": {13, 25.5, 10400}}},
	} {
		a, b := c.l/2, c.w/2
		drain := roof(rect(c.l, c.w), geom.Pt{X: a, Y: b})
		gutter := survey.SiteOf(gutterArea(rect(c.l, c.w)), nil)
		of := func(site *survey.Site, scheme survey.Scheme, slope float64, equal bool) []Facet {
			in := quarterIn(scheme)
			in.T0In, in.Slope, in.EqualEdges, in.Stock = 0.5, unit.InchesPerFoot(slope), equal, nil
			f, err := FieldOf(t.Context(), site, in)
			if err != nil {
				t.Fatal(err)
			}
			return f.Facets
		}
		h := s * math.Hypot(a, b)
		for name, facets := range map[string][]Facet{
			"A":  of(drain, survey.FourWay, s, false),
			"C":  of(drain, survey.FourWay, s*math.Sqrt2, false),
			"D":  of(drain, survey.FourWay, s, true),
			"E":  of(gutter, survey.OneWay, s, false),
			"G":  of(drain, survey.TwoWayCrickets, s, false),
			"D'": cornered(a, b, h/a, h/b),
			"H":  quartered(a, b, s),
		} {
			m, want := MeasureInsulation(facets), c.want[name]
			nearly(t, name+" average", m.AverageIn, want[0], 5.1e-5)
			nearly(t, name+" highest", m.ThickestIn, want[1], 5.1e-5)
			nearly(t, name+" volume", m.CuFt, want[2], 5.1e-4)
		}
	}
}

// cornered is four planes that meet along the ways to the corners.
func cornered(a, b, alongIn, acrossIn float64) []Facet {
	o, at := geom.Pt{}, geom.Ring{{X: a, Y: -b}, {X: a, Y: b}, {X: -a, Y: b}, {X: -a, Y: -b}}
	var out []Facet
	for i, g := range []geom.Pt{{X: alongIn}, {Y: acrossIn}, {X: -alongIn}, {Y: -acrossIn}} {
		out = append(out, Facet{Poly: geom.Poly{Outer: geom.Ring{o, at[i], at.At(i + 1)}},
			Plane: survey.Plane{CIn: 0.5, GX: g.X, GY: g.Y}})
	}
	return out
}

// quartered is s (|x| + |y|): four planes that meet along the axes.
func quartered(a, b, s float64) []Facet {
	var out []Facet
	for _, q := range []geom.Pt{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}} {
		ring := geom.Ring{{}, {X: q.X * a}, {X: q.X * a, Y: q.Y * b}, {Y: q.Y * b}}
		out = append(out, Facet{Poly: geom.Poly{Outer: ring.CCW()}, Plane: survey.Plane{CIn: 0.5, GX: q.X * s, GY: q.Y * s}})
	}
	return out
}

// Two drains on 60 x 40 with equal planes: mean distance 11.875 ft, 693.75 cu ft.
func TestSchemes_TwoDrainsTable(t *testing.T) {
	in := quarterIn(survey.FourWay)
	in.T0In = 0.5
	f, err := FieldOf(t.Context(), roof(rect(60, 40), geom.Pt{X: 15, Y: 20}, geom.Pt{X: 45, Y: 20}), in)
	if err != nil {
		t.Fatal(err)
	}
	m := MeasureInsulation(f.Facets)
	nearly(t, "average", m.AverageIn, 3.46875, 1e-9)
	nearly(t, "volume", m.CuFt, 693.75, 1e-6)
}
