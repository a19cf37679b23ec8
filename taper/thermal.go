package taper

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Thermal is the R of a design's insulation alone, crickets with it, without
// cover, membrane, deck and surface films, held against what the job must reach.
// R is in sq ft h F/Btu.
type Thermal struct {
	Wanted    survey.Thermal
	LeastR    float64 // where the insulation is thinnest
	AverageR  float64 // of the average thickness
	HeatFlowR float64 // 1 over the average of 1/R: what the roof loses heat by
	UnderPct  float64 // share of the area where R is less than required
}

// RuleR is the R that the rule counts.
func (t Thermal) RuleR() float64 {
	switch t.Wanted.Rule {
	case survey.LeastR:
		return t.LeastR
	case survey.LeastPlusInch:
		return t.LeastR + t.Wanted.RPerInch
	case survey.AverageR:
		return t.AverageR
	case survey.HeatFlowR:
		return t.HeatFlowR
	case survey.UnsetRRule:
	}
	return 0
}

// Meets says whether the rule is met, up to rounding.
func (t Thermal) Meets() bool { return t.RuleR() >= t.Wanted.RequiredR-sameIn*t.Wanted.RPerInch }

// ThermalOf measures the R of facets exactly; nil where nothing is wanted or no
// facet has an area. A cricket's facet adds to the facet of the field that it
// stands on. Cost: one pass over the facets' corners; for a cricket one over the
// field.
//
// Source: the area average of U of tapered layers as in ISO 6946, annex E of
// 2017, without films.
func ThermalOf(facets []Facet, want *survey.Thermal) *Thermal {
	if want == nil {
		return nil
	}
	p := prismsOf(facets)
	if p.sqft() <= 0 {
		return nil
	}
	return &Thermal{Wanted: *want, LeastR: p.leastIn() * want.RPerInch, AverageR: p.averageIn() * want.RPerInch,
		HeatFlowR: p.heatFlowIn() * want.RPerInch, UnderPct: 100 * p.under(want.RequiredR/want.RPerInch-sameIn)}
}

// insulated designs the field on a base that is thick enough for the R that the
// job must reach, and gives the input with that base. The base is never less
// than stated: where that will do it stays. Averages count the crickets, which lie
// on the field the same however thick the base.
func (in MakeInput) insulated(ctx context.Context, s *survey.Site) (MakeInput, Field, error) {
	f, err := DividedField(ctx, s, in.field(), in.Own)
	if err != nil || in.Thermal == nil {
		return in, f, err
	}
	stated := in.Choice.Base
	d := Design{Facets: slices.Clip(f.Facets), LowLines: f.Low}
	if r := in.Thermal.Rule; r == survey.AverageR || r == survey.HeatFlowR {
		if err := d.addCrickets(ctx, s, in); err != nil {
			return in, f, err
		}
	}
	more := shortIn(prismsOf(d.Facets), *in.Thermal)
	if more <= sameIn {
		return in, f, nil
	}
	wantIn := baseIn(stated) + more
	if in.Choice.Base, err = thickerBase(stated, wantIn, in.Stock); err != nil {
		return in, f, fmt.Errorf("reach %s by the rule %s: %w", wantedText(*in.Thermal, in.Units), in.Thermal.Rule, err)
	}
	note := in.baseNote(stated, wantIn)
	f, err = DividedField(ctx, s, in.field(), in.Own)
	f.Notes = append(f.Notes, note)
	return in, f, err
}

func baseIn(b survey.BaseChoice) float64 { return float64(b.Layers) * b.Thickness.Inches() }

// baseNote says that the base is a result, and of what.
func (in MakeInput) baseNote(stated survey.BaseChoice, wantIn float64) string {
	m := markingOf(in.Stock)
	words := func(b survey.BaseChoice) string {
		switch {
		case b.Layers <= 0 || b.Thickness <= 0:
			return "none"
		case b.Layers == 1:
			return "one layer of " + m.withUnit(b.Thickness)
		}
		return fmt.Sprintf("%d layers of %s", b.Layers, m.withUnit(b.Thickness))
	}
	return fmt.Sprintf("the base is %s instead of %s: %s by the rule %s takes %s of base under a start of %s",
		words(in.Choice.Base), words(stated), wantedText(*in.Thermal, in.Units), in.Thermal.Rule,
		m.roundedUp(wantIn), m.rounded(in.Choice.Start))
}

// roundedUp writes a thickness that is needed, to the next 1/16 in or 1 mm.
func (m marking) roundedUp(in float64) string {
	if m.metric {
		return m.withUnit(unit.Millimetres(math.Ceil(unit.Inches(in - sameIn).Millimetres())))
	}
	return m.withUnit(unit.Inches(math.Ceil((in-sameIn)*16) / 16))
}

// wantedText is the required R, or U in metric jobs.
func wantedText(t survey.Thermal, sys unit.System) string {
	if sys == unit.Metric {
		return fmt.Sprintf("U %.3g W/m2K", unit.USRPerSI/t.RequiredR)
	}
	return fmt.Sprintf("R %.3g", t.RequiredR)
}

// thickerBase chooses layers of one flat board of the stock that are at least
// wantIn thick together: no fewer layers than stated, as few as will do, and of
// those the thinnest.
func thickerBase(stated survey.BaseChoice, wantIn float64, stock *survey.Stock) (survey.BaseChoice, error) {
	if len(stock.Flats) == 0 {
		return stated, errors.New("the stock has no flat boards to make the base thicker with")
	}
	thickest := slices.MaxFunc(stock.Flats, func(a, b survey.FlatBoard) int {
		return cmp.Compare(a.Thickness, b.Thickness)
	}).Thickness
	if thickest <= 0 {
		return stated, errors.New("the flat boards of the stock have no thickness")
	}
	out := survey.BaseChoice{Thickness: thickest,
		Layers: max(1, stated.Layers, int(math.Ceil((wantIn-sameIn)/thickest.Inches())))}
	for _, f := range stock.Flats {
		if f.Thickness < out.Thickness && float64(out.Layers)*f.Thickness.Inches() >= wantIn-sameIn {
			out.Thickness = f.Thickness
		}
	}
	return out, nil
}

// shortIn is by how much the insulation must be thicker everywhere to meet what
// is wanted, in inches; negative where there is more than enough.
func shortIn(p prisms, want survey.Thermal) float64 {
	needIn := want.RequiredR / want.RPerInch
	switch want.Rule {
	case survey.LeastR:
		return needIn - p.leastIn()
	case survey.LeastPlusInch:
		return needIn - 1 - p.leastIn()
	case survey.AverageR:
		return needIn - p.averageIn()
	case survey.HeatFlowR:
		// By heat flow it counts for no less than where it is thinnest and for no more than its average.
		low, high := needIn-p.averageIn(), needIn-p.leastIn()
		for range 60 {
			mid := (low + high) / 2
			if p.raised(mid).heatFlowIn() < needIn {
				low = mid
			} else {
				high = mid
			}
		}
		return high
	case survey.UnsetRRule:
	}
	return 0
}

// prism is a triangle of the plan and the insulation over it: the thicknesses at
// its corners, thinnest first. A negative area takes it off again.
type prism struct {
	sqft    float64
	a, b, c float64 // in
}

// prisms are the insulation over a roof: signed triangles that sum to it, so that
// any integral over the roof is a sum over them.
type prisms []prism

// prismsOf cuts facets into triangles. Over a cricket the field's are taken off
// and put on again with what the cricket adds.
func prismsOf(facets []Facet) prisms {
	var out prisms
	for _, f := range facets {
		if f.Role != CricketRole {
			out = out.with(f.Poly, f.Plane, 1)
			continue
		}
		if on, ok := fieldUnder(facets, f); ok {
			out = out.with(f.Poly, on.Plane, -1).with(f.Poly, on.Plane.Add(f.Plane), 1)
		}
	}
	return out
}

// with adds a region under a plane, in triangles from the first corner of each
// ring to its edges: holes run the other way and count against it.
func (p prisms) with(poly geom.Poly, plane survey.Plane, sign float64) prisms {
	for i, r := range poly.Rings() {
		if len(r) == 0 {
			continue
		}
		r = r.CCW()
		s := sign
		if i > 0 {
			s = -sign
		}
		for k := 1; k+1 < len(r); k++ {
			t := []float64{plane.At(r[0]), plane.At(r[k]), plane.At(r[k+1])}
			slices.Sort(t)
			p = append(p, prism{s * r[k].Sub(r[0]).Cross(r[k+1].Sub(r[0])) / 2, t[0], t[1], t[2]})
		}
	}
	return p
}

// fieldUnder is the facet of the field that a cricket's facet stands on: the
// nearest of those whose top is what the cricket was laid on.
func fieldUnder(facets []Facet, cricket Facet) (Facet, bool) {
	const onFt, sameTopIn = 1e-6, 1e-6
	mid, best, out := cricket.Poly.Centroid(), math.Inf(1), Facet{}
	for _, f := range facets {
		if f.Role == CricketRole {
			continue
		}
		offIn := 0.0
		for _, p := range cricket.Poly.Outer {
			offIn = math.Max(offIn, math.Abs(f.Top().At(p)-cricket.Deck.At(p)))
		}
		if offIn > sameTopIn {
			continue
		}
		d := onFt
		if !f.Poly.Has(mid) {
			d = math.Max(onFt, f.Poly.Dist(mid))
		}
		if d < best {
			best, out = d, f
		}
	}
	return out, !math.IsInf(best, 1)
}

// raised is p with as much more insulation everywhere.
func (p prisms) raised(byIn float64) prisms {
	out := slices.Clone(p)
	for i := range out {
		out[i].a, out[i].b, out[i].c = out[i].a+byIn, out[i].b+byIn, out[i].c+byIn
	}
	return out
}

func (p prisms) sum(of func(prism) float64) float64 {
	sum := 0.0
	for _, t := range p {
		sum += t.sqft * of(t)
	}
	return sum
}

func (p prisms) sqft() float64 { return p.sum(func(prism) float64 { return 1 }) }

func (p prisms) averageIn() float64 {
	return p.sum(func(t prism) float64 { return (t.a + t.b + t.c) / 3 }) / p.sqft()
}

// leastIn is the least thickness.
func (p prisms) leastIn() float64 {
	least := math.Inf(1)
	for _, t := range p {
		least = math.Min(least, t.a)
	}
	return least
}

// heatFlowIn is the even thickness that lets as much heat through: 1 over the
// average of 1/thickness; 0 where a stretch has none.
func (p prisms) heatFlowIn() float64 { return p.sqft() / p.sum(prism.meanInverse) }

// under is the share of the area where the insulation is thinner than atIn, 0 to 1.
func (p prisms) under(atIn float64) float64 {
	return p.sum(func(t prism) float64 { return t.under(atIn) }) / p.sqft()
}

// under is the share of a triangle on the low side of a level of a plane: the
// area grows as a square from the lowest corner, and to the highest.
func (t prism) under(atIn float64) float64 {
	switch {
	case atIn <= t.a:
		return 0
	case atIn >= t.c:
		return 1
	case atIn < t.b:
		return (atIn - t.a) / (t.b - t.a) * ((atIn - t.a) / (t.c - t.a))
	}
	return 1 - (t.c-atIn)/(t.c-t.b)*((t.c-atIn)/(t.c-t.a))
}

// meanInverse is the mean of 1/thickness over a triangle: twice the second
// divided difference of t ln t at its corners (Hermite, Genocchi), and where they
// are all but equal the sum of its series about their mean. Infinite where an edge
// has no thickness; less than none counts as none.
func (t prism) meanInverse() float64 {
	a, b, c := math.Max(0, t.a), math.Max(0, t.b), math.Max(0, t.c)
	mean := (a + b + c) / 3
	switch {
	case b == 0:
		return math.Inf(1)
	case c-a > 0.1*mean:
		return 2 * (firstDifference(b, c) - firstDifference(a, b)) / (c - a)
	}
	// The mean of d^n over a triangle is 2/((n+1)(n+2)) times the sum of all products
	// of n corners' d; those sums h follow from one corner, two corners, three.
	da, db, dc := (a-mean)/mean, (b-mean)/mean, (c-mean)/mean
	one, two, three, sum := 1.0, 1.0, 1.0, 1.0
	for n := 1.0; n < 16; n++ {
		one *= -da
		two = one - db*two
		three = two - dc*three
		sum += 2 * three / ((n + 1) * (n + 2))
	}
	return sum / mean
}

// firstDifference is (b ln b - a ln a)/(b - a) - 1, for 0 <= a <= b, 0 < b; ln a
// where they are equal.
func firstDifference(a, b float64) float64 {
	switch {
	case a == 0:
		return math.Log(b) - 1
	case a == b:
		return math.Log(a)
	}
	x := (b - a) / a
	return math.Log(a) + (1+x)*math.Log1p(x)/x - 1
}
