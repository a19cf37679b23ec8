package render

import (
	"fmt"
	"strings"
	"testing"

	"runnel/render/scene"
	"runnel/survey"
)

// On a deck of several planes an arrow shows the way down the finished top of its
// facet on the plane that lies under that facet: here each falls 1 in/ft another way.
func TestArrows_DeckOfSeveralPlanes(t *testing.T) {
	r := roofOf(lJob(), 6)
	a := r.Areas[0]
	falls := []survey.Plane{{GX: 1}, {GY: 1}, {GX: -1}, {GY: -1}}
	for n := range a.Design.Facets {
		a.Design.Facets[n].Deck = falls[n%len(falls)]
	}
	met := 0
	for _, m := range TaperSheet(r, 0).Marks {
		var id int
		sh, ok := m.(scene.Shape)
		if n, _ := fmt.Sscanf(nameOf(m), "facet %d arrow", &id); !ok || n != 1 || !strings.HasSuffix(sh.Name, "arrow") {
			continue
		}
		met++
		up, _ := a.Design.Facets[id-1].Top().ToJob(a.Site.Frame).Uphill()
		d := sh.Rings[0][0].Sub(sh.Rings[0][3].Lerp(sh.Rings[0][4], 0.5))
		if cos := d.Dot(scene.Pt(up)) / d.Norm(); cos > -0.9999 {
			t.Errorf("the arrow of facet %d points %v against uphill %v", id, d, up)
		}
	}
	if met < len(falls) {
		t.Errorf("%d arrows", met)
	}
}
