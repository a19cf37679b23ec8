package render

import (
	"context"
	"fmt"
	"io"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// tblShed is a level roof of w x d ft that drains to a gutter along its lower
// edge, with taper of 1/4 in/ft from 1/2 in. Its stock: four tapered boards
// from 1/2 to 4-1/2 in and a flat of 4 in, all 4 x 4 ft.
func tblShed(t testing.TB, wFt, dFt float64) *Result {
	t.Helper()
	four := unit.Feet(4)
	stock := &survey.Stock{Flats: []survey.FlatBoard{{Thickness: unit.Inches(4), Along: four, Depth: four}}}
	for i := range 4 {
		stock.Tapered = append(stock.Tapered, survey.TaperedBoard{Slope: unit.InchesPerFoot(0.25),
			Thin: unit.Inches(float64(i) + 0.5), Thick: unit.Inches(float64(i) + 1.5), Along: four, Depth: four})
	}
	a := AreaResult{Area: survey.Area{Name: "A", Outline: geom.Ring{{}, {X: wFt}, {X: wFt, Y: dFt}, {Y: dFt}},
		Edges:   []survey.Edge{{Kind: survey.GutterEdge}, {}, {}, {}},
		Outlets: []survey.Outlet{{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}}}}
	a.Site = survey.SiteOf(&a.Area, nil)
	d, err := taper.Make(context.Background(), a.Site, taper.MakeInput{Stock: stock, ValleyMin: unit.InchesPerFoot(0.125),
		Choice: survey.TaperChoice{Scheme: survey.OneWay, Slope: unit.InchesPerFoot(0.25), Start: unit.Inches(0.5)}})
	if err != nil {
		t.Fatal(err)
	}
	a.Base = fit.Level(a.Site, survey.LatticeOf(a.Site, 0), 0)
	a.Fit = &fit.Result{Surface: a.Base, Method: "level", SpacingFt: 8}
	a.InletIn = drainage.Inlets(a.Site, a.Base, nil)
	a.Design = d
	return &Result{Job: &survey.Job{Name: "Shed", Units: unit.US}, Areas: []AreaResult{a}}
}

// TestText_AreaCountMissesTheFill: by hand, a level deck of 40 x 40 ft sloped
// one way takes ten rows of ten boards. Row k is as thick as board 1 + (k-1)
// mod 4 on one more fill of 4 in every four rows: boards 30, 30, 20 and 20,
// 1, 2, 3 and 4 in thick in the mean, 16 sq ft each: 3,680 board feet; fill
// under rows 5 to 8 once and under 9 and 10 twice, 80 pieces: 5,120. A count
// by area of 1,600 sq ft, 100 boards, misses 58 % of the 8,800.
func TestText_AreaCountMissesTheFill(t *testing.T) {
	text := tblText(t, func(w io.Writer) error { return WriteText(w, tblShed(t, 40, 40)) })
	flat := strings.Join(strings.Fields(text), " ")
	for _, want := range []string{
		"The pieces hold 8,800 board feet (fill 5,120 board feet, tapered 3,680 board feet), the facets' planes 8,800 board feet",
		"Counted by area alone (1,600 sq ft, 100 boards of taper) it would be 3,680 board feet",
		"that count misses the fill, 5,120 board feet or 58 % of the whole.",
	} {
		if !strings.Contains(flat, want) {
			t.Errorf("the report does not say %q:\n%s", want, text)
		}
	}
}

// BenchmarkOutputs writes every file that is no picture, at three sizes.
func BenchmarkOutputs(b *testing.B) {
	for _, wFt := range []float64{40, 120, 400} {
		r := tblShed(b, wFt, 100)
		for _, f := range Outputs(r) {
			b.Run(fmt.Sprintf("%s/%gx100ft", f.Name, wFt), func(b *testing.B) {
				for b.Loop() {
					if err := f.Write(io.Discard); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
		a := &r.Areas[0]
		b.Run(fmt.Sprintf("grid/%gx100ft", wFt), func(b *testing.B) {
			for b.Loop() {
				if err := WriteASC(io.Discard, a.Site, a.Base, a.InletIn); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
