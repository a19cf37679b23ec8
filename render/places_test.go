package render

import (
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
