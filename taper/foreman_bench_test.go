package taper

import (
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// 100,000 sq ft about eight drains, two base layers: the set of a crew that covers
// 3,000 sq ft a day.
func BenchmarkForemanOf(b *testing.B) {
	var drains []geom.Pt
	for i := range 8 {
		drains = append(drains, geom.Pt{X: float64(50 + 100*(i%4)), Y: 62.5 + 125*float64(i/4)})
	}
	s := roof(rect(400, 250), drains...)
	f, err := FieldOf(b.Context(), s, quarterIn(survey.FourWay))
	if err != nil {
		b.Fatal(err)
	}
	c := choiceOf(0.5)
	c.Base = survey.BaseChoice{Layers: 2, Thickness: 2 * unit.Inch}
	for i := range f.Facets {
		f.Facets[i].Plane.CIn += 4
	}
	boards, err := boardsOn(b.Context(), s, f.Facets, c, quarterStock(4, 2))
	if err != nil {
		b.Fatal(err)
	}
	PlanDays(s, f.Facets, boards, unit.SquareFeet(3000))
	d := &Design{Facets: f.Facets, Lines: f.Lines, Boards: Cut(boards, CutOptions{})}
	base := deckOf(s, 1, func(geom.Pt) float64 { return 0 })
	in := ForemanIn{Site: s, Design: d, Choice: survey.Foreman{Rate: unit.SquareFeet(3000)}, Base: base, Finished: Finish(base, f.Facets, 0),
		Before: base, Limits: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}}
	b.ReportMetric(float64(len(d.Boards)), "pieces")
	for b.Loop() {
		if _, err := ForemanOf(b.Context(), in); err != nil {
			b.Fatal(err)
		}
	}
}
