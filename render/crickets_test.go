package render

import (
	"encoding/json"
	"io"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// cricketJob is a roof of 60 x 40 ft with two drains 24 ft apart and a curb.
func cricketJob() *survey.Job {
	a := survey.Area{Name: "A", Outline: geom.Ring{{}, {X: 60}, {X: 60, Y: 40}, {Y: 40}}, Edges: make([]survey.Edge, 4),
		Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 18, Y: 20}, Edge: -1},
			{ID: "D2", Kind: survey.Drain, At: geom.Pt{X: 42, Y: 20}, Edge: -1}},
		Curbs: []survey.Curb{{ID: "U1", At: geom.Pt{X: 10, Y: 32}, W: 6, D: 4}}}
	return &survey.Job{Name: "Teal Yard annexe", Units: unit.US, Areas: []survey.Area{a}}
}

// cricketRoof is that roof with a field that falls at 1/4 in/ft to the line of the
// drains, a full cricket between them, a half one from D2 to the wall, one
// upslope of the curb and a sump at D1, all made by hand.
func cricketRoof() *Result {
	r := roofOf(cricketJob(), 5)
	a := &r.Areas[0]
	// The building frame of this roof turns it by nothing or by half.
	in := a.Site.Frame.ToLocal
	d := &taper.Design{Scheme: survey.TwoWayCrickets, Slope: unit.InchesPerFoot(0.25)}
	add := func(f taper.Facet, ps []geom.Poly) {
		for _, p := range ps {
			f.ID, f.Poly = len(d.Facets)+1, p
			d.Facets = append(d.Facets, f)
		}
	}
	planeOf := func(c, gx, gy float64, at geom.Pt) survey.Plane { // c at a place of the job
		g := a.Site.Frame.DirToLocal(geom.Pt{X: gx, Y: gy})
		return survey.Plane{CIn: c - g.Dot(in(at)), GX: g.X, GY: g.Y}
	}
	box := func(x0, y0, x1, y1 float64) geom.Poly {
		return geom.Poly{Outer: geom.Box{Min: geom.Pt{X: x0, Y: y0}, Max: geom.Pt{X: x1, Y: y1}}.Ring().Map(in).CCW()}
	}
	drain, sump, curb := geom.Pt{X: 18, Y: 20}, box(16, 18, 20, 22), box(7, 30, 13, 34)
	for _, half := range []struct{ lo, gy float64 }{{20, 0.25}, {0, -0.25}} {
		ps := less(less([]geom.Poly{box(0, half.lo, 60, half.lo+20)}, sump), curb)
		add(taper.Facet{Role: taper.FieldRole, Plane: planeOf(2.5, 0, half.gy, drain)}, ps)
	}
	for _, up := range []geom.Pt{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		side := geom.Pt{X: -up.Y, Y: up.X}
		tri := geom.Ring{drain, drain.Add(up.Add(side).Mul(2)), drain.Add(up.Sub(side).Mul(2))}.Map(in).CCW()
		add(taper.Facet{Role: taper.SumpRole, Plane: planeOf(1.5, 0.5*up.X, 0.5*up.Y, drain)}, []geom.Poly{{Outer: tri}})
	}
	field := append([]taper.Facet{}, d.Facets...)
	cricket := func(c taper.Cricket, quarters ...geom.Ring) {
		c.ID, c.Board = len(d.Crickets)+1, unit.InchesPerFoot(0.5)
		for _, q := range quarters { // way out, apex, tip
			u, v := q[1].Sub(q[0]), q[2].Sub(q[1])
			w, h := v.Norm(), u.Norm()
			up := u.Mul(w / h).Sub(v.Mul(h / w)).Mul(0.5 / math.Hypot(w, h))
			plane := planeOf(0, up.X, up.Y, q[0])
			c.Peak = max(c.Peak, unit.Inches(plane.At(in(q[1]))))
			for _, f := range field {
				if f.Role == taper.FieldRole {
					ps := clip([]geom.Poly{{Outer: q.Map(in).CCW()}}, f.Poly)
					add(taper.Facet{Role: taper.CricketRole, Plane: plane, Deck: f.Plane, Cricket: c.ID, Under: f.ID}, ps)
				}
			}
		}
		c.A, c.B, c.Apex = in(c.A), in(c.B), in(c.Apex)
		for _, f := range d.Facets {
			if f.Cricket == c.ID {
				c.Sqft += f.Poly.Area()
				c.CuFt += f.Poly.Area() * f.Plane.At(f.Poly.Centroid()) / 12
			}
		}
		d.Crickets = append(d.Crickets, c)
	}
	d1, d2, wall, apex := drain, geom.Pt{X: 42, Y: 20}, geom.Pt{X: 60, Y: 20}, geom.Pt{X: 30, Y: 20}
	up, low, side := geom.Pt{X: 30, Y: 28}, geom.Pt{X: 30, Y: 12}, geom.Pt{X: 60, Y: 32}
	cricket(taper.Cricket{Kind: taper.FullCricket, Name: "between D1 and D2", A: d1, B: d2, Apex: apex, W: 8 * unit.Foot,
		Valley: unit.InchesPerFoot(0.138675), Top: unit.InchesPerFoot(0.32325)},
		geom.Ring{d1, apex, up}, geom.Ring{d2, apex, up}, geom.Ring{d1, apex, low}, geom.Ring{d2, apex, low})
	cricket(taper.Cricket{Kind: taper.HalfCricket, Name: "from D2 to the wall", A: d2, B: wall, Apex: wall, W: 12 * unit.Foot,
		Valley: unit.InchesPerFoot(0.138675), Top: unit.InchesPerFoot(0.32325)}, geom.Ring{d2, wall, side})
	west, east, mid, over := geom.Pt{X: 6, Y: 34}, geom.Pt{X: 14, Y: 34}, geom.Pt{X: 10, Y: 34}, geom.Pt{X: 10, Y: 37}
	cricket(taper.Cricket{Kind: taper.CurbCricket, Name: "upslope of curb U1", A: west, B: east, Apex: mid, W: 3 * unit.Foot,
		Valley: unit.InchesPerFoot(0.15), Top: unit.InchesPerFoot(0.33)}, geom.Ring{west, mid, over}, geom.Ring{east, mid, over})
	for _, l := range [][2]geom.Pt{{d1, up}, {d1, low}, {d2, up}, {d2, low}, {d2, side}} {
		d.Lines = append(d.Lines, taper.Line{Kind: taper.Valley, A: in(l[0]), B: in(l[1]), Slope: unit.InchesPerFoot(0.138675)})
	}
	d.Lines = append(d.Lines, taper.Line{Kind: taper.Hip, A: in(d1), B: in(d2)}, taper.Line{Kind: taper.Ridge, A: in(up), B: in(low)})
	d.LowLines = []taper.LowLine{{At: []geom.Pt{in(geom.Pt{Y: 20}), in(d1), in(d2), in(wall)}, Outlet: []string{"", "D1", "D2", ""},
		Left: unit.InchesPerFoot(0.25), Right: unit.InchesPerFoot(0.25)}}
	d.Insulation = taper.Insulation{CuFt: 900, AverageIn: 4.5, ThinnestIn: 1.5, ThickestIn: 8}
	a.Design = d
	return r
}

func less(ps []geom.Poly, by geom.Poly) []geom.Poly {
	var out []geom.Poly
	for _, p := range ps {
		got, err := geom.Subtract(p, by)
		if err != nil {
			panic(err)
		}
		out = append(out, got...)
	}
	return out
}

// The worked cricket of 24 ft between drains, 8 ft wide, boards of 1/2 on a field of
// 1/4 in/ft: it is 1/2 x 12 x sin 33.690068 deg = 3.32820 in thick at its highest
// place; the half-diamond of 24 x 8 ft is a third of its area times that, 8.87520
// cu ft. The sump at D1 takes of both halves the part of its square that lies under
// the low edges: two triangles of 2 x 4/3 ft.
func TestCrickets_WorkedExample(t *testing.T) {
	r := cricketRoof()
	a := &r.Areas[0]
	got := cricketsOf(a.Design)[0]
	lost := 2 * (2 * 4. / 3) / 2
	lostCuFt := lost * (0.5 * 2 * math.Sin(math.Atan(8./12))) / 3 / 12
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"H ft", got.H, 12}, {"W ft", got.W, 8}, {"peak in", got.Peak, 3.32820}, {"sq ft", got.Area, 192 - lost},
		{"board feet", got.BoardFeet, 12 * (2*8.87520 - lostCuFt)}} {
		if math.Abs(c.got-c.want) > 2e-4 {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
	sumps := summarySumpsOf(a.Site, a.Design)
	if len(sumps) != 1 || sumps[0] != (summarySump{"D1", 0.5, 16, 1.5, 2.5}) {
		t.Errorf("sumps %v", sumps)
	}
	report := tblText(t, func(w io.Writer) error { return WriteText(w, r) })
	for _, want := range []string{"between D1 and D2    full  12'-0\"   8'-0\"  1/2 in/ft  0.139 in/ft  0.323 in/ft  3 5/16\"",
		"upslope of curb U1   curb", "D1  1/2 in/ft  16 sq ft         1 1/2\"            2 1/2\"",
		"D1, D2, in the open, 60'-0\": the field falls to it at 1/4 in/ft from both sides."} {
		if !strings.Contains(report, want) {
			t.Errorf("the report lacks %q", want)
		}
	}
}

// At every place the planes of the facets of plan.geojson add up to the thickness,
// told again here by the distance from a cricket's low edge; spots tell the same.
func TestPlan_ThicknessOfCrickets(t *testing.T) {
	features := tblPlan(t, cricketRoof())
	edge := func(x, y, h, w float64) float64 { return math.Abs(x*w-y*h) / math.Hypot(h, w) }
	for _, c := range []struct {
		p    geom.Pt
		want float64
		what string
	}{
		{geom.Pt{X: 24, Y: 21}, 2.75 + 0.5*edge(6, 1, 12, 8), "the full cricket, upper side"},
		{geom.Pt{X: 37, Y: 18}, 3 + 0.5*edge(5, 2, 12, 8), "the full cricket, lower side"},
		{geom.Pt{X: 55, Y: 22}, 3 + 0.5*edge(13, 2, 18, 12), "the half cricket"},
		{geom.Pt{X: 55, Y: 18}, 3, "no cricket on the other side"},
		{geom.Pt{X: 9, Y: 34.5}, 2.5 + 14.5/4 + 0.5*edge(3, 0.5, 4, 3), "the curb's cricket"},
		{geom.Pt{X: 19, Y: 20.25}, 1.5 + 0.5, "the sump"},
	} {
		sum := 0.0
		for _, f := range tblOfKind(features, "facet") {
			if f.poly(t).Has(c.p) {
				sum += f.number(t, "t0_in") + f.number(t, "tx_in_per_ft")*c.p.X + f.number(t, "ty_in_per_ft")*c.p.Y
			}
		}
		if math.Abs(sum-c.want) > 1e-9 {
			t.Errorf("%s: %v in, want %v", c.what, sum, c.want)
		}
	}
	want := map[geom.Pt]struct {
		what string
		tIn  float64
	}{
		{X: 30, Y: 20}: {"cricket apex", 2.5 + 0.5*edge(12, 0, 12, 8)}, {X: 60, Y: 20}: {"cricket apex", 2.5 + 0.5*edge(18, 0, 18, 12)},
		{X: 30, Y: 28}: {"cricket tip", 4.5}, {X: 10, Y: 37}: {"cricket tip", 2.5 + 17./4}, {X: 0, Y: 40}: {"corner", 7.5},
		{X: 18, Y: 20}: {"outlet", 1.5}, {X: 20, Y: 22}: {"sump", 3},
	}
	for _, f := range tblOfKind(features, "spot") {
		var at [2]float64
		if err := json.Unmarshal(f.Geometry.Coordinates, &at); err != nil {
			t.Fatal(err)
		}
		p := geom.Pt{X: math.Round(at[0]*1e6) / 1e6, Y: math.Round(at[1]*1e6) / 1e6}
		if w, ok := want[p]; ok {
			if f.text("what") != w.what || math.Abs(f.number(t, "thickness_in")-w.tIn) > 1e-6 {
				t.Errorf("spot at %v: %v, want %v", p, f.Properties, w)
			}
			delete(want, p)
		}
	}
	for p := range want {
		t.Errorf("no spot at %v", p)
	}
	names := map[string]bool{}
	for _, f := range tblOfKind(features, "facet") {
		if f.text("role") == "cricket" {
			names[f.text("cricket")+" "+f.text("name")] = true
		}
	}
	if len(names) != 3 || !names["K1 between D1 and D2"] || !names["K3 upslope of curb U1"] {
		t.Errorf("crickets %v", names)
	}
}
