package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// layer is one facet over a ring whose thickness is z at its first three corners.
func layer(r geom.Ring, z0, z1, z2 float64) prisms {
	u, v := r[1].Sub(r[0]), r[2].Sub(r[0])
	det := u.Cross(v)
	gx, gy := ((z1-z0)*v.Y-(z2-z0)*u.Y)/det, (u.X*(z2-z0)-v.X*(z1-z0))/det
	pl := survey.Plane{CIn: z0 - gx*r[0].X - gy*r[0].Y, GX: gx, GY: gy}
	return prismsOf([]Facet{{ID: 1, Role: FieldRole, Poly: geom.Poly{Outer: r}, Plane: pl}})
}

// U of tapered layers, ISO 6946 annex E (2017): closed forms for a rectangle and
// triangles, as read in an independent implementation and integrated again; R of
// an inch is 1, so that thickness is R.
func TestHeatFlow_ISO6946(t *testing.T) {
	box, tri := rect(7, 3), geom.Ring{{}, {X: 5, Y: 1}, {X: 2, Y: 4}}
	for _, c := range []struct {
		name string
		p    prisms
		u    float64
	}{
		{"rectangle 1, 2", layer(box, 1, 3, 3), 0.5493061},
		{"thickest at the apex 1, 2", layer(tri, 1, 1, 3), 0.6479184},
		{"thinnest at the apex 1, 2", layer(tri, 3, 3, 1), 0.4506939},
		{"rectangle 0.5, 4", layer(box, 0.5, 4.5, 4.5), 0.5493061},
		{"thickest at the apex 0.5, 4", layer(tri, 0.5, 4.5, 0.5), 0.7359388},
		{"thinnest at the apex 0.5, 4", layer(tri, 4.5, 0.5, 4.5), 0.3626735},
		{"rectangle 1.5, 3", layer(box, 1.5, 4.5, 4.5), 0.3662041},
		{"thickest at the apex 1.5, 3", layer(tri, 4.5, 1.5, 1.5), 0.4319456},
		{"thinnest at the apex 1.5, 3", layer(tri, 1.5, 4.5, 4.5), 0.3004626},
		{"three thicknesses", layer(tri, 2.2, 3.5, 1), 0.4744046},
		{"roof of the worked example", layer(box, 1.84, 5.84, 5.84), 0.2887413},
		{"its triangles, thin at the drain", layer(tri, 1.84, 5.84, 5.84), 0.2343580},
		{"its triangles, thick at the middle", layer(tri, 5.84, 1.84, 1.84), 0.3431246},
	} {
		nearly(t, c.name, 1/c.p.heatFlowIn(), c.u, 6e-8)
	}
}

// The mean of 1/thickness where the slope all but vanishes, against the closed form
// of a rectangle, ln(1 + x)/x by its own series, and across the change of method.
func TestMeanInverse_SmallSlopes(t *testing.T) {
	for _, x := range []float64{0, 1e-12, 1e-8, 1e-4, 0.05, 0.0999, 0.1, 0.1001, 0.105, 0.11, 0.2} {
		want, power := 0.0, 1.0
		for n := range 40 {
			want += power / float64(n+1)
			power *= -x
		}
		nearly(t, fmt.Sprint("1 to 1 + ", x), 1/layer(rect(3, 2), 1, 1+x, 1+x).heatFlowIn(), want, 1e-13)
	}
	nearly(t, "from nothing at a corner", prism{1, 0, 2, 2}.meanInverse(), 1, 1e-12) // (2/R2)(1 - 0)
	if r := (prisms{{1, 0, 0, 2}}).heatFlowIn(); r != 0 {
		t.Errorf("an edge without insulation: %g, want 0", r)
	}
}

// One-way 1 to 7 in and four-way over the same heights, R 5.7 an inch: 22.8 by
// thickness and 17.6 by heat flow, 28.5 and 25.3. Closed forms: a ramp from t to T
// has the mean 1/thickness ln(T/t)/(T - t); four ramps that run to a point in the
// middle have 2/(T - t) (1 - t/(T - t) ln(T/t)).
func TestThermalOf_OneWayAndFourWay(t *testing.T) {
	want := &survey.Thermal{RequiredR: 20, Rule: survey.AverageR, RPerInch: 5.7}
	ramp := Facet{ID: 1, Role: FieldRole, Poly: geom.Poly{Outer: rect(24, 10)}, Plane: survey.Plane{CIn: 1, GX: 0.25}}
	one := ThermalOf([]Facet{ramp}, want)
	nearly(t, "one-way average", one.AverageR, 22.8, 1e-9)
	nearly(t, "one-way heat flow", one.HeatFlowR, 5.7*6/math.Log(7), 1e-9)
	nearly(t, "one-way heat flow as published", one.HeatFlowR, 17.6, 0.05)
	nearly(t, "one-way least", one.LeastR, 5.7, 1e-9)
	nearly(t, "one-way under", one.UnderPct, 100*(20/5.7-1)/6, 1e-4) // the ramp passes 20/5.7 in there
	var four []Facet
	for i, p := range []geom.Pt{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		left := geom.Pt{X: -p.Y, Y: p.X}
		tip := p.Mul(24)
		four = append(four, Facet{ID: i + 1, Role: FieldRole, Plane: survey.Plane{CIn: 1, GX: p.X / 4, GY: p.Y / 4},
			Poly: geom.Poly{Outer: geom.Ring{{}, tip.Sub(left.Mul(24)), tip.Add(left.Mul(24))}}})
	}
	all := ThermalOf(four, want)
	nearly(t, "four-way average", all.AverageR, 28.5, 1e-9)
	nearly(t, "four-way heat flow", all.HeatFlowR, 5.7/(2./6*(1-math.Log(7)/6)), 1e-9)
	nearly(t, "four-way heat flow as published", all.HeatFlowR, 25.3, 0.05)
	if !one.Meets() || !all.Meets() {
		t.Error("R 20 is met by average")
	}
	byFlow := ThermalOf([]Facet{ramp}, &survey.Thermal{RequiredR: 20, Rule: survey.HeatFlowR, RPerInch: 5.7})
	if byFlow.Meets() {
		t.Errorf("R 20 is met one-way by heat flow: %g", byFlow.HeatFlowR)
	}
}

// 40 x 60 ft, drain in the middle, 1/4 in/ft, R 5.7 an inch, 30 to reach: the start
// that each rule asks for, the board feet and the corner that follow. By mathematics
// for least, least-plus-1in and average: 30/5.7, less 1 in, less the mean rise of
// 4.30556 in; the heat flow is a worked figure, integrated apart.
func TestShortIn_Rules(t *testing.T) {
	facets, _, _ := mustField(t, roof(rect(60, 40), geom.Pt{X: 30, Y: 20}), quarterIn(survey.FourWay))
	p := prismsOf(facets)
	for rule, w := range map[survey.RRule][3]float64{
		survey.AverageR:      {0.958, 12632, 8.46},
		survey.HeatFlowR:     {1.565, 14090, 9.07},
		survey.LeastPlusInch: {4.263, 20565, 11.76},
		survey.LeastR:        {5.263, 22965, 12.76},
	} {
		want := survey.Thermal{RequiredR: 30, Rule: rule, RPerInch: 5.7}
		more := shortIn(p, want)
		nearly(t, rule.String()+" start", 0.5+more, w[0], 0.0006)
		raised := p.raised(more)
		nearly(t, rule.String()+" board feet", raised.averageIn()*raised.sqft(), w[1], 0.8)
		corner := 0.0
		for _, q := range raised {
			corner = math.Max(corner, q.c)
		}
		nearly(t, rule.String()+" corner", corner, w[2], 0.006)
		// What the start gives is what was asked for.
		var up []Facet
		for _, f := range facets {
			f.Plane.CIn += more
			up = append(up, f)
		}
		nearly(t, rule.String()+" reached", ThermalOf(up, &want).RuleR(), 30, 1e-8)
	}
	half := ThermalOf(facets, &survey.Thermal{RequiredR: 30, Rule: survey.AverageR, RPerInch: 5.7})
	nearly(t, "average", half.AverageR, 27.39, 0.005)
	nearly(t, "effective", half.HeatFlowR, 22.56, 0.005)
	nearly(t, "under", half.UnderPct, 60.5, 0.05)
}

// Integrals over a facet with a hole are those of the whole less the hole's; a
// cricket adds to the field under it: over a flat field of 2 in a wedge of 0 to
// 2 in on a quarter of the roof.
func TestPrismsOf_HolesAndCrickets(t *testing.T) {
	outer, hole := rect(10, 8), geom.Box{Min: geom.Pt{X: 2, Y: 3}, Max: geom.Pt{X: 5, Y: 6}}.Ring()
	pl := survey.Plane{CIn: 1, GX: 0.3, GY: 0.1}
	inv := func(p prisms) float64 { return p.sqft() / p.heatFlowIn() }
	of := func(poly geom.Poly) prisms { return prisms(nil).with(poly, pl, 1) }
	holed := of(geom.Poly{Outer: outer, Holes: []geom.Ring{hole.Reversed()}})
	nearly(t, "area", holed.sqft(), 71, 1e-12)
	nearly(t, "holed", inv(holed), inv(of(geom.Poly{Outer: outer}))-inv(of(geom.Poly{Outer: hole})), 1e-11)

	field := Facet{ID: 1, Role: FieldRole, Poly: geom.Poly{Outer: outer}, Plane: survey.Plane{CIn: 2}, Deck: survey.Plane{GX: -0.25}}
	cricket := Facet{ID: 2, Role: CricketRole, Poly: geom.Poly{Outer: rect(5, 4)}, Plane: survey.Plane{GX: 0.4}, Deck: field.Top()}
	th := ThermalOf([]Facet{field, cricket}, &survey.Thermal{RequiredR: 3, Rule: survey.LeastR, RPerInch: 1})
	nearly(t, "average", th.AverageR, 2+0.25, 1e-12)
	nearly(t, "heat flow", th.HeatFlowR, 1/(0.75/2+0.25*math.Log(2)/2), 1e-12)
	nearly(t, "under", th.UnderPct, 100*(0.75+0.125), 1e-4)
	nearly(t, "least", th.LeastR, 2, 1e-12)
}

// The base is a result: as stated where that will do, else as few layers as will
// do, of the thinnest board; and the roof as laid reaches its R.
func TestMake_BaseFromR(t *testing.T) {
	s := siteOf(rectOf(-30, -20, 30, 20))
	s.Outlets = []survey.SiteOutlet{{Outlet: survey.Outlet{ID: "D1", Kind: survey.Drain, Edge: -1}}}
	for _, c := range []struct {
		name   string
		rule   survey.RRule
		r      float64
		stated survey.BaseChoice
		want   survey.BaseChoice
		note   string
	}{
		// The average wants 0.458 in of base: the thinnest flat is 1/2.
		{"average", survey.AverageR, 30, survey.BaseChoice{}, survey.BaseChoice{Layers: 1, Thickness: 0.5 * unit.Inch},
			"the base is one layer of 1/2 in instead of none: R 30 by the rule average takes 1/2 in of base under a start of 1/2 in"},
		{"enough", survey.AverageR, 30, survey.BaseChoice{Layers: 1, Thickness: 0.5 * unit.Inch},
			survey.BaseChoice{Layers: 1, Thickness: 0.5 * unit.Inch}, ""},
		// least wants 4.763 in of base: no single flat of 4 in, two of 2-1/2.
		{"least", survey.LeastR, 30, survey.BaseChoice{Layers: 1, Thickness: unit.Inch}, survey.BaseChoice{Layers: 2, Thickness: 2.5 * unit.Inch},
			"the base is 2 layers of 2-1/2 in instead of one layer of 1 in: R 30 by the rule least takes 4-13/16 in"},
		{"layers stay", survey.LeastPlusInch, 30, survey.BaseChoice{Layers: 3, Thickness: unit.Inch}, survey.BaseChoice{Layers: 3, Thickness: 1.5 * unit.Inch},
			"the base is 3 layers of 1-1/2 in instead of 3 layers of 1 in"},
		{"heat flow", survey.HeatFlowR, 30, survey.BaseChoice{}, survey.BaseChoice{Layers: 1, Thickness: 1.5 * unit.Inch},
			"takes 1-1/8 in of base"},
	} {
		choice := choiceOf(0.5)
		choice.Base = c.stated
		d, err := Make(t.Context(), s, MakeInput{Choice: choice, Thermal: &survey.Thermal{RequiredR: c.r, Rule: c.rule, RPerInch: 5.7}})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if err := d.Check(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		nearly(t, c.name+": thinnest", d.Insulation.ThinnestIn, 0.5+baseIn(c.want), 1e-9)
		layers := 0
		for _, n := range d.Counts {
			if n.Type == BaseType {
				layers = max(layers, n.Layer)
				wantEqual(t, c.name+": base board", n.Mark, markingOf(DefaultStock(unit.US)).of(c.want.Thickness))
			}
		}
		wantEqual(t, c.name+": layers", layers, c.want.Layers)
		notes := strings.Join(d.Notes, "\n")
		if !strings.Contains(notes, c.note) || (c.note == "") == strings.Contains(notes, "by the rule") {
			t.Errorf("%s: want %q in notes:\n%s", c.name, c.note, notes)
		}
		if !d.Thermal.Meets() {
			t.Errorf("%s: reached R %g", c.name, d.Thermal.RuleR())
		}
	}
}

// Without flat boards no base can be made thicker, and the error says for what.
func TestMake_NoFlatsForR(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	stock := quarterStock(4, 4)
	stock.Flats = nil
	_, err := Make(t.Context(), s, MakeInput{Choice: choiceOf(0.5), Stock: stock,
		Thermal: &survey.Thermal{RequiredR: 30, Rule: survey.LeastR, RPerInch: 5.7}})
	if err == nil || !strings.Contains(err.Error(), "reach R 30 by the rule least: the stock has no flat boards") {
		t.Errorf("error %v", err)
	}
}

// Whole designs, crickets, sumps and sloping decks with them: the average R is
// that of the average thickness, heat flow lies between the least and it, and the
// rule is met, and no base of the next thinner board would do.
func TestMake_ThermalOfSchemes(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*MakeInput)
	}{
		"crickets":    {func(in *MakeInput) { in.Choice.Scheme = survey.TwoWayCrickets }},
		"sump":        {func(in *MakeInput) { in.Choice.Sump, in.Choice.SumpBoard = 4*unit.Foot, unit.InchesPerFoot(0.5) }},
		"sloped deck": {func(in *MakeInput) { in.Deck = survey.Plane{GX: 0.125} }},
	} {
		for _, rule := range []survey.RRule{survey.LeastR, survey.LeastPlusInch, survey.AverageR, survey.HeatFlowR} {
			s := roof(rect(60, 40), geom.Pt{X: 15, Y: 20}, geom.Pt{X: 45, Y: 20})
			in := MakeInput{Choice: choiceOf(0.5), ValleyMin: unit.InchesPerFoot(0.125), FieldMin: unit.InchesPerFoot(0.25),
				Thermal: &survey.Thermal{RequiredR: 35, Rule: rule, RPerInch: 5.7}}
			c.change(&in)
			d, err := Make(t.Context(), s, in)
			if err != nil {
				t.Fatalf("%s, %s: %v", name, rule, err)
			}
			th := d.Thermal
			nearly(t, name+": average", th.AverageR, 5.7*d.Insulation.AverageIn, 1e-9)
			nearly(t, name+": least", th.LeastR, 5.7*d.Insulation.ThinnestIn, 1e-9)
			if !(th.LeastR < th.HeatFlowR && th.HeatFlowR < th.AverageR) || !th.Meets() {
				t.Errorf("%s, %s: %+v", name, rule, *th)
			}
			thinnerIn := 0.0 // a base of the next thinner board
			for _, b := range d.Counts {
				if b.Type == BaseType {
					thinnerIn = math.Max(thinnerIn, float64(b.Layer)*0.5) // the flats of the stock step by 1/2 in
				}
			}
			less := prismsOf(d.Facets).raised(-thinnerIn)
			if short := shortIn(less, *in.Thermal); !(short > 0) {
				t.Errorf("%s, %s: a base %g in thinner would do", name, rule, thinnerIn)
			}
			if (name == "crickets") != (len(d.Crickets) > 0) {
				t.Errorf("%s: %d crickets", name, len(d.Crickets))
			}
		}
	}
}

// Crickets count for the average: R that the design reaches with them on its stated
// base takes no more base, and a little over it does.
func TestMake_ThermalCountsCrickets(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 15, Y: 20}, geom.Pt{X: 45, Y: 20})
	in := MakeInput{Choice: choiceOf(0.5), ValleyMin: unit.InchesPerFoot(0.125), FieldMin: unit.InchesPerFoot(0.25)}
	in.Choice.Scheme, in.Choice.Base = survey.TwoWayCrickets, survey.BaseChoice{Layers: 1, Thickness: unit.Inches(2)}
	plain, err := Make(t.Context(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	field := prismsOf(slices.DeleteFunc(slices.Clone(plain.Facets), func(f Facet) bool { return f.Role == CricketRole })).averageIn()
	if field > plain.Insulation.AverageIn-0.01 {
		t.Fatalf("crickets add nothing: %g of %g in", field, plain.Insulation.AverageIn)
	}
	for _, c := range []struct {
		r     float64
		thick bool
	}{{5.7 * (plain.Insulation.AverageIn - 0.001), false}, {5.7 * (plain.Insulation.AverageIn + 0.01), true}} {
		in.Thermal = &survey.Thermal{RequiredR: c.r, Rule: survey.AverageR, RPerInch: 5.7}
		d, err := Make(t.Context(), s, in)
		if err != nil {
			t.Fatal(err)
		}
		if got := d.Insulation.AverageIn > plain.Insulation.AverageIn+0.1; got != c.thick || !d.Thermal.Meets() {
			t.Errorf("R %.3f: average %.3f in, %.3f without; meets %v", c.r, d.Insulation.AverageIn, plain.Insulation.AverageIn, d.Thermal.Meets())
		}
	}
}
