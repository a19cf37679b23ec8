package taper

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// deckOf is a deck given in job coordinates on a raster; atIn nil: level.
func deckOf(s *survey.Site, cellFt float64, atIn func(p geom.Pt) float64) *survey.Surface {
	l := survey.LatticeOf(s, cellFt)
	out := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l)}
	for k := 0; atIn != nil && k < l.Len(); k++ {
		out.ElevIn = append(out.ElevIn, atIn(s.Frame.ToJob(l.Centre(k%l.NX, k/l.NX))))
	}
	return out
}

// leastOver is the least volume with 1/4 in/ft and 1/2 in over a deck.
func leastOver(s *survey.Site, atIn func(p geom.Pt) float64) float64 {
	return LeastVolumeCuFt(s, deckOf(s, 0, atIn), unit.InchesPerFoot(0.25), 0.5)
}

// A level deck given cell by cell takes the way over the raster and must give
// the closed volumes of cones: row B, s (2/3 of the radius) on a disc, and the
// sums of rectangles with the drain in a corner; figures of
// TestLeastVolumeCuFt_Cones.
func TestLeastVolumeCuFt_ConesOverTheRaster(t *testing.T) {
	disc := make(geom.Ring, 720)
	for i := range disc {
		y, x := math.Sincos(float64(i) * math.Pi / 360)
		disc[i] = geom.Pt{X: 30 * x, Y: 30 * y}
	}
	for _, c := range []struct {
		name    string
		outline geom.Ring
		drains  []geom.Pt
		want    float64
	}{
		{"40 x 40", rect(40, 40), []geom.Pt{{X: 20, Y: 20}}, 576.797},
		{"60 x 40", rect(60, 40), []geom.Pt{{X: 30, Y: 20}}, 1068.106},
		{"100 x 50", rect(100, 50), []geom.Pt{{X: 50, Y: 25}}, 3298.091},
		{"120 x 80", rect(120, 80), []geom.Pt{{X: 60, Y: 40}}, 8144.849},
		{"drain off the middle", rect(60, 40), []geom.Pt{{X: 15, Y: 10}}, 1335.413},
		{"two drains", rect(60, 40), []geom.Pt{{X: 15, Y: 20}, {X: 45, Y: 20}}, 773.694},
		{"disc", disc, []geom.Pt{{}}, math.Pi * 900 * (0.5 + 0.25*20) / 12},
	} {
		s := roof(c.outline, c.drains...)
		nearly(t, c.name, leastOver(s, func(geom.Pt) float64 { return 7 }), c.want, 0.01*c.want)
	}
}

// Round corners the way over the raster is held to the exact fans of sight.
func TestLeastVolumeCuFt_RoundCorners(t *testing.T) {
	l := geom.Ring{{X: -20, Y: 0}, {X: 0, Y: 0}, {X: 0, Y: -20}, {X: 20, Y: -20}, {X: 20, Y: 20}, {X: -20, Y: 20}}
	u := geom.Ring{{}, {X: 60}, {X: 60, Y: 50}, {X: 45, Y: 50}, {X: 45, Y: 15}, {X: 15, Y: 15}, {X: 15, Y: 50}, {Y: 50}}
	for name, s := range map[string]*survey.Site{
		"L": roof(l, geom.Pt{X: -10, Y: 5}), "U": roof(u, geom.Pt{X: 6, Y: 40}),
		"gutter": survey.SiteOf(gutterArea(u), nil),
	} {
		want := leastOver(s, nil)
		nearly(t, name, leastOver(s, func(geom.Pt) float64 { return 0 }), want, 0.01*want)
	}
	// The place beyond the corner: 22.360680 ft of way, by arithmetic.
	zero := 0.0
	s := survey.SiteOf(roofArea(l, geom.Pt{X: -10, Y: 5}), &zero)
	deck := deckOf(s, 0, func(geom.Pt) float64 { return 0 })
	top := deck.With(leastTopIn(s, deck, unit.InchesPerFoot(0.25), 0.5))
	got, _ := top.Elevation(s.Frame.ToLocal(geom.Pt{X: 5, Y: -10}))
	nearly(t, "round the corner", got, 0.5+0.25*22.360680, 0.01*0.25*22.36)
}

func gutterArea(outline geom.Ring) *survey.Area {
	a := roofArea(outline)
	a.Outlets = []survey.Outlet{{ID: "G", Kind: survey.GutterOutlet, Edge: 0}}
	return a
}

// The worked profile of the check values: required heights 0.5, 0.5, 3, 1, 2 in
// at steps of 4 ft and 1/4 in/ft give 0.5, 1.5, 3, 4, 5.
func TestLeastTop_Profile(t *testing.T) {
	zero := 0.0
	s := survey.SiteOf(roofArea(rect(20, 4), geom.Pt{X: 2, Y: 2}), &zero)
	needIn, want := []float64{0.5, 0.5, 3, 1, 2}, []float64{0.5, 1.5, 3, 4, 5}
	deck := deckOf(s, 4, func(p geom.Pt) float64 { return needIn[int(p.X/4)] - 0.25 })
	got := leastTopIn(s, deck, unit.InchesPerFoot(0.25), 0.25)
	for k, in := range got {
		x := s.Frame.ToJob(deck.Centre(k%deck.NX, k/deck.NX)).X
		nearly(t, fmt.Sprintf("%g ft along", x), in, want[int(x/4)], 1e-9)
	}
}

// A deck that falls to a gutter by the slope and more drains with the thinnest
// board alone; one that falls away from it needs what the deck falls besides:
// means s D/2 + g D/2 over t0, closed.
func TestLeastVolumeCuFt_Planes(t *testing.T) {
	s := survey.SiteOf(gutterArea(rect(60, 40)), nil)
	for _, c := range []struct{ g, wantIn float64 }{
		{0.25, 0.5}, {0.5, 0.5}, {0.125, 0.5 + 20*0.125}, {-0.25, 0.5 + 20*0.5},
	} {
		want := 2400 * c.wantIn / 12
		nearly(t, fmt.Sprintf("deck of %g", c.g), leastOver(s, func(p geom.Pt) float64 { return 3 + c.g*p.Y }), want, 0.01*want)
	}
}

// Behind a ridge across the deck water runs over the ridge, where that stands
// over the cone: a strip 60 ft long with a gutter along its short end, a sharp
// ridge 20 in high at 20 ft: the finish is 0.5 + 0.25 x before it and
// 20.5 + 0.25 (x - 20) behind, over floors 0.5 and 20.5 at the ridge alone.
func TestLeastTop_BehindARidge(t *testing.T) {
	a := roofArea(rect(60, 20))
	a.Outlets = []survey.Outlet{{ID: "G", Kind: survey.GutterOutlet, Edge: 3}}
	zero := 0.0
	s := survey.SiteOf(a, &zero)
	deck := deckOf(s, 0, func(p geom.Pt) float64 {
		if math.Abs(p.X-20.25) < 0.25 {
			return 20
		}
		return 0
	})
	got := leastTopIn(s, deck, unit.InchesPerFoot(0.25), 0.5)
	for k, in := range got {
		x := s.Frame.ToJob(deck.Centre(k%deck.NX, k/deck.NX)).X
		want := 0.5 + 0.25*x
		if x > 20 {
			want = 20.5 + 0.25*(x-20.25)
		}
		if math.Abs(in-want) > 0.03 {
			t.Fatalf("%g ft from the gutter %.4f in, want %.4f", x, in, want)
		}
	}
}

// Raised, turned and mirrored decks take the same volume, and no design whose
// every path obeys the slope takes less: planes at s sqrt 2 over a lumpy deck,
// lifted until they clear it everywhere.
func TestLeastVolumeCuFt_Laws(t *testing.T) {
	drain := geom.Pt{X: 22, Y: 14}
	lumps := func(p geom.Pt) float64 { return 1.5*math.Sin(p.X/7)*math.Cos(p.Y/5) + 0.1*p.X }
	s := roof(rect(60, 40), drain)
	want := leastOver(s, lumps)
	nearly(t, "raised", leastOver(s, func(p geom.Pt) float64 { return lumps(p) + 1200 }), want, 1e-6*want)
	mirror := roof(rect(60, 40), geom.Pt{X: 60 - drain.X, Y: drain.Y})
	nearly(t, "mirrored", leastOver(mirror, func(p geom.Pt) float64 {
		return lumps(geom.Pt{X: 60 - p.X, Y: p.Y})
	}), want, 1e-4*want)
	turned := roof(rect(40, 60), geom.Pt{X: 40 - drain.Y, Y: drain.X})
	nearly(t, "turned", leastOver(turned, func(p geom.Pt) float64 {
		return lumps(geom.Pt{X: p.Y, Y: 40 - p.X})
	}), want, 1e-4*want)

	planes := func(p geom.Pt) float64 {
		return 0.25 * math.Sqrt2 * math.Max(math.Abs(p.X-drain.X), math.Abs(p.Y-drain.Y))
	}
	l := survey.LatticeOf(s, 0)
	lift, sum, cells := math.Inf(-1), 0.0, 0
	for k, on := range survey.RoofCells(s, l) {
		if p := s.Frame.ToJob(l.Centre(k%l.NX, k/l.NX)); on {
			over := planes(p) - lumps(p)
			lift, sum, cells = math.Max(lift, 0.5-over), sum+over, cells+1
		}
	}
	if lifted := (sum/float64(cells) + lift) / 12 * 2400; lifted < want {
		t.Errorf("planes at s sqrt 2 take %.1f, less than the least %.1f", lifted, want)
	}
}

func BenchmarkLeastVolumeCuFt(b *testing.B) {
	s := roof(rect(400, 250), geom.Pt{X: 100, Y: 120}, geom.Pt{X: 300, Y: 120})
	for name, deck := range map[string]*survey.Surface{
		"plane": deckOf(s, 1, func(p geom.Pt) float64 { return p.X / 8 }),
		"lumps": deckOf(s, 1, func(p geom.Pt) float64 { return 1.5 * math.Sin(p.X/7) * math.Cos(p.Y/5) }),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				LeastVolumeCuFt(s, deck, unit.InchesPerFoot(0.25), 0.5)
			}
		})
	}
}
