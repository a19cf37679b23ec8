package render

import (
	"math"
	"strings"
	"testing"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/taper/ladder"
)

// TestPondingSheet_Suggestions: places for outlets are drawn and numbered in the
// ladder's order whatever becomes of the rung; what a refused lesser rung would
// do is not drawn.
func TestPondingSheet_Suggestions(t *testing.T) {
	r := roofOf(lJob(), 6)
	a := &r.Areas[0]
	box := geom.Poly{Outer: geom.Box{Max: geom.Pt{X: 6, Y: 6}}.Ring()}
	a.Ladder = []ladder.Step{
		{Rung: ladder.FillLows, Outcome: ladder.Refused, Places: []ladder.Place{{Rung: ladder.FillLows, Shape: []geom.Poly{box}, Words: "never drawn"}}},
		{Rung: ladder.Outlet, Outcome: ladder.Refused, Places: []ladder.Place{{Rung: ladder.Outlet, At: geom.Pt{X: 5, Y: 5}}, {Rung: ladder.Outlet, At: geom.Pt{X: -20, Y: -10}}}},
	}
	s := newSheet(r, 0)
	where := map[string]scene.Pt{"suggested 1": s.loc(geom.Pt{X: 5, Y: 5}), "suggested 2": s.loc(geom.Pt{X: -20, Y: -10})}
	sheet := PondingSheet(r, 0)
	if err := sheet.Check(); err != nil {
		t.Error(err)
	}
	for _, m := range sheet.Marks {
		if d, ok := m.(scene.Shape); ok && where[d.Name] != (scene.Pt{}) && len(d.Rings[0]) == 4 {
			if mid := d.Rings[0][0].Lerp(d.Rings[0][2], 0.5); mid.Sub(where[d.Name]).Norm() > 1e-9 {
				t.Errorf("%s stands at %v", d.Name, mid)
			}
			delete(where, d.Name)
		}
	}
	if len(where) > 0 || strings.Contains(wordsOf(sheet), "never drawn") {
		t.Errorf("not drawn: %v", where)
	}
}

// TestGeoJSON_Proposals: what the ladder tried stands in plan.geojson and in
// summary.json at its place in job coordinates, however the job is turned.
func TestGeoJSON_Proposals(t *testing.T) {
	for _, w := range tblWays {
		r := tblResult(t, w)
		a := &r.Areas[0]
		at := geom.Pt{X: 2, Y: -3}
		box := geom.Poly{Outer: geom.Box{Max: geom.Pt{X: 6, Y: 4}}.Ring()}
		a.Ladder = []ladder.Step{
			{Rung: ladder.Sump, Outcome: ladder.Refused, Places: []ladder.Place{{Rung: ladder.Sump, Shape: []geom.Poly{box}, Words: "sump D1"}}},
			{Rung: ladder.Taper, Outcome: ladder.Kept, Places: []ladder.Place{{Rung: ladder.Outlet, At: at, Words: "a drain", Clears: []string{"P1", "P2"}}}},
		}
		found := tblOfKind(tblPlan(t, r), "proposal")
		if len(found) != 2 {
			t.Fatalf("%s: %d proposals", w.story, len(found))
		}
		sump, drain := found[0], found[1]
		poly := sump.poly(t)
		if mid := poly.Outer.Box().Centre().Dist(a.Site.Frame.ToJob(geom.Pt{X: 3, Y: 2})); mid > 1e-6 || math.Abs(poly.Area()-24) > 1e-6 {
			t.Errorf("%s: sump of %g sq ft, off by %g ft", w.story, poly.Area(), mid)
		}
		if sump.text("rung") != "sump" || sump.text("outcome") != "refused" || sump.text("words") != "sump D1" || len(sump.Properties["clears"].([]any)) != 0 {
			t.Errorf("%s: %v", w.story, sump.Properties)
		}
		var p [2]float64
		tblDecode(t, drain.Geometry.Coordinates, &p)
		want := a.Site.Frame.ToJob(at)
		if (geom.Pt{X: p[0], Y: p[1]}).Dist(want) > 1e-6 || drain.text("rung") != "taper" || drain.text("what") != "outlet" ||
			len(drain.Properties["clears"].([]any)) != 2 {
			t.Errorf("%s: at %v, want %v: %v", w.story, p, want, drain.Properties)
		}
		if told := ladderOf(a)[1].Places[0]; (geom.Pt{X: told.X, Y: told.Y}).Dist(want) > 1e-6 {
			t.Errorf("%s: summary says %v", w.story, told)
		}
	}
}

// TestPondingSheet_Kept: what the rung that does takes is drawn with its words
// and explained in the legend, each kind with its own line, fills hatched.
func TestPondingSheet_Kept(t *testing.T) {
	box := geom.Poly{Outer: geom.Box{Max: geom.Pt{X: 6, Y: 6}}.Ring()}
	for rung, legend := range map[ladder.Rung]string{ladder.Sump: "sump to cut", ladder.FillLows: "low place to fill",
		ladder.Crickets: "cricket to lay", ladder.PartTaper: "part to taper"} {
		r := roofOf(lJob(), 6)
		r.Areas[0].Ladder = []ladder.Step{{Rung: rung, Outcome: ladder.Kept,
			Places: []ladder.Place{{Rung: rung, At: geom.Pt{X: 3, Y: 3}, Shape: []geom.Poly{box}, Words: "as told here"}}}}
		sheet := PondingSheet(r, 0)
		if err := sheet.Check(); err != nil {
			t.Error(err)
		}
		drawn := false
		for _, m := range sheet.Marks {
			if d, ok := m.(scene.Shape); ok && d.Name == "suggested 1" {
				drawn = true
				if hatched := d.Hatch.GapPt > 0; hatched != (rung == ladder.FillLows) {
					t.Errorf("%v: hatched %v", rung, hatched)
				}
			}
		}
		if words := wordsOf(sheet); !drawn || !strings.Contains(words, "as told here") || !strings.Contains(words, legend) {
			t.Errorf("%v: drawn %v", rung, drawn)
		}
	}
}
