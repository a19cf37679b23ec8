package survey

import (
	"math"
	"strings"
	"testing"

	"runnel/survey/geom"
)

// Bays cover the area once, however the roof lies on the sheet, and those of a
// bay in part are cut by the outline.
func TestBaysOf_CoverTheArea(t *testing.T) {
	for _, deg := range []float64{0, 17, 90, 200} {
		for _, mirror := range []bool{false, true} {
			f := geom.Frame{Origin: geom.Pt{X: 100, Y: -30}, Turn: deg * math.Pi / 180, Mirror: mirror}
			a := &Area{Name: "A", Outline: geom.Ring{{}, {X: 90}, {X: 90, Y: 40}, {X: 45, Y: 40}, {X: 45, Y: 60}, {Y: 60}}.Map(f.ToJob)}
			axes := f.Turn * 180 / math.Pi
			a.Deck.Bays = &BayGrid{From: f.ToJob(geom.Pt{}), W: 30, D: 20}
			if q := math.Mod(deg, 180); q > 45 && q < 135 { // the axes lie within 45 degrees of the sheet's
				a.Deck.Bays.W, a.Deck.Bays.D = 20, 30
			}
			s := SiteOf(a, &axes)
			bays, err := BaysOf(a, s, &axes)
			if err != nil || len(bays) != 8 {
				t.Fatalf("turned by %g: %d bays, %v", deg, len(bays), err)
			}
			sum, cut := 0.0, 0
			for _, b := range bays {
				sqft := 0.0
				for _, p := range b.Polys {
					sqft += p.Area()
				}
				if sum += sqft; sqft < b.Whole.Area()-1e-6 {
					cut++
				}
			}
			if math.Abs(sum-a.Outline.Area()) > 1e-6 || cut != 1 {
				t.Errorf("turned by %g: %g sq ft of %g, %d bays cut", deg, sum, a.Outline.Area(), cut)
			}
		}
	}
}

func TestBaysOf_TooMany(t *testing.T) {
	a := &Area{Name: "A", Outline: geom.Ring{{}, {X: 900}, {X: 900, Y: 400}, {Y: 400}}}
	if bays, err := BaysOf(a, SiteOf(a, nil), nil); bays != nil || err != nil {
		t.Errorf("none stated: %v, %v", bays, err)
	}
	a.Deck.Bays = &BayGrid{W: 3, D: 3}
	if _, err := BaysOf(a, SiteOf(a, nil), nil); err == nil || !strings.Contains(err.Error(), "40200 bays are more than the 2000") {
		t.Errorf("%v", err)
	}
}
