package render

import (
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestStructureSheet: bays under 1/4 in/ft are hatched and no others, each with
// its depth and weight; the framing that nobody knows is said aloud.
func TestStructureSheet(t *testing.T) {
	r := roofOf(lJob(), 6)
	box := func(x float64) []geom.Poly {
		return []geom.Poly{{Outer: geom.Box{Min: geom.Pt{X: x, Y: -30}, Max: geom.Pt{X: x + 20, Y: -10}}.Ring()}}
	}
	r.Areas[0].Structure = &drainage.StructurePage{Framing: "framing direction not known", Findings: []string{"1 of 2 bays slopes too little"},
		Bays: []drainage.StructureBay{
			{ID: "B1", Outline: box(-50), Slope: unit.InchesPerFoot(0.1), UnderMin: true, HoldsIn: 3, HoldsPsf: 15.6},
			{ID: "B2", Outline: box(-20), Slope: unit.InchesPerFoot(0.3), HoldsIn: 2, HoldsPsf: 10.4}}}
	s := StructureSheet(r, 0)
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	all := wordsOf(s)
	for _, w := range []string{"FRAMING DIRECTION NOT KNOWN", "1 of 2 bays", "15.6 psf", "10.4 psf", "B1", "B2", `3"`} {
		if !strings.Contains(all, w) {
			t.Errorf("no %q in %s", w, all)
		}
	}
	if strings.Contains(all, "not susceptible") {
		t.Error("the sheet judges structure")
	}
	for _, m := range s.Marks {
		if b, ok := m.(scene.Shape); ok && strings.HasPrefix(b.Name, "bay ") && (b.Hatch.GapPt > 0) != (b.Name == "bay B1") {
			t.Errorf("%s: hatch %v", b.Name, b.Hatch)
		}
	}
}
