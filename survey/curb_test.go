package survey

import (
	"math"
	"testing"

	"runnel/survey/geom"
)

// TestSiteOf_TurnedCurb: a curb of 4 x 2 ft turned by 30 degrees counter-
// clockwise has a corner at its middle + R(30) (2, 1).
func TestSiteOf_TurnedCurb(t *testing.T) {
	a := lRoof()
	a.Curbs = []Curb{{ID: "U1", At: geom.Pt{X: 45, Y: 10}, W: 4, D: 2, Turn: 30}}
	s := SiteOf(a, nil)
	sin, cos := math.Sincos(30 * math.Pi / 180)
	want := geom.Pt{X: 45 + 2*cos - sin, Y: 10 + 2*sin + cos}
	near := math.Inf(1)
	for _, p := range s.Curbs[0] {
		near = math.Min(near, s.Frame.ToJob(p).Dist(want))
	}
	if near > 1e-9 {
		t.Errorf("no corner within %.3f ft of %v: %v", near, want, s.Curbs[0].Map(s.Frame.ToJob))
	}
}
