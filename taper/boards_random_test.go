package taper

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

var boardSeed = flag.Uint64("boardseed", 1, "first seed of random roofs of boards")

// roofCase is a roof made of facets by hand-written geometry.
type roofCase struct {
	site   *survey.Site
	facets []Facet
	choice survey.TaperChoice
}

// randomRoof makes a rectangle, an L, or a rectangle with a cut-off corner,
// about one drain, with courts and curbs, planes of any slopes in stock, up to
// two base layers and maybe a cover.
func randomRoof(t *testing.T, r *rand.Rand) roofCase {
	t.Helper()
	in16 := func(lo, hi float64) float64 { return math.Round((lo+r.Float64()*(hi-lo))*192) / 192 }
	w, h := in16(12, 70), in16(12, 60)
	ring := rectOf(0, 0, w, h)
	drain := geom.Pt{X: in16(2, w-2), Y: in16(2, h-2)}
	switch r.IntN(4) {
	case 1:
		a, b := in16(2, w-2), in16(2, h-2)
		ring = geom.Ring{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: b}, {X: a, Y: b}, {X: a, Y: h}, {X: 0, Y: h}}
	case 2:
		a, b := in16(2, w-2), in16(2, h-2)
		ring = geom.Ring{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: b}, {X: a, Y: h}, {X: 0, Y: h}}
	}
	s := siteOf(ring)
	if r.IntN(2) == 0 {
		x, y := in16(1, w/2), in16(1, h/2)
		court := rectOf(x, y, x+in16(0.5, w/3), y+in16(0.5, h/3))
		if inside, err := geom.Intersect(geom.Poly{Outer: court}, s.Poly()); err == nil &&
			len(inside) == 1 && inside[0].Area() > court.Area()-1e-9 && len(inside[0].Outer) == 4 {
			s.Courts = append(s.Courts, court.Reversed())
		}
	}
	if r.IntN(2) == 0 {
		x, y := in16(1, w-9), in16(1, h-9)
		s.Curbs = append(s.Curbs, rectOf(x, y, x+in16(1, 8), y+in16(1, 8)))
	}
	base := r.IntN(3)
	choice := survey.TaperChoice{Start: unit.Inches(0.5), TurnBoard: r.IntN(2) == 0,
		Base: survey.BaseChoice{Layers: base, Thickness: unit.Inches(2)}}
	if r.IntN(2) == 0 {
		choice.Cover = unit.Inches(0.5)
	}
	slopes := [4]float64{}
	for i := range slopes {
		slopes[i] = []float64{1. / 8, 3. / 16, 1. / 4, 3. / 8, 1. / 2}[r.IntN(5)]
	}
	wide := rectOf(-1, -1, w+1, h+1)
	return roofCase{s, cutFacets(t, s, aroundDrain(wide, drain, 0.5+2*float64(base), slopes)), choice}
}

// cutFacets keeps what of each facet lies on the roof.
func cutFacets(t testing.TB, s *survey.Site, whole []Facet) []Facet {
	t.Helper()
	roof, err := roofParts(s)
	if err != nil {
		t.Fatal(err)
	}
	var out []Facet
	for _, f := range whole {
		for _, part := range roof {
			polys, err := geom.Intersect(f.Poly, part)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range polys {
				out = append(out, Facet{ID: len(out) + 1, Role: FieldRole, Poly: p, Plane: f.Plane})
			}
		}
	}
	return out
}

// At random places of random roofs exactly one board lies in each of layers
// 1..n, in the order of the build-up, and their thicknesses add up to the
// facet's, cover apart. The places are looked up board by board and share no
// code with the layout.
func TestLayOut_RandomRoofsByRaster(t *testing.T) {
	for i := range uint64(60) {
		seed := *boardSeed + i
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			r := rand.New(rand.NewPCG(seed, 0))
			c := randomRoof(t, r)
			d := laid(t, c.site, c.facets, c.choice, DefaultStock(unit.US))
			for _, f := range c.facets {
				box := f.Poly.Outer.Box()
				w, h := box.Size()
				for range 40 {
					q := box.Min.Add(geom.Pt{X: r.Float64() * w, Y: r.Float64() * h})
					if f.Poly.Has(q) && f.Poly.Dist(q) > 1e-5 {
						lookThrough(t, d, f, q)
					}
				}
			}
		})
	}
}

// lookThrough checks the stack of boards at one place.
func lookThrough(t *testing.T, d *Design, f Facet, q geom.Pt) {
	t.Helper()
	stack := map[int]Board{}
	for _, b := range d.Boards {
		if !b.Poly.Has(q) {
			continue
		}
		if b.Poly.Dist(q) < 1e-6 {
			return // on a joint: either board may have it
		}
		if other, twice := stack[b.Layer]; twice {
			t.Errorf("at %v: %s and %s both lie in layer %d", q, other.Piece, b.Piece, b.Layer)
		}
		stack[b.Layer] = b
	}
	sum := 0.0
	for layer := 1; layer <= len(stack); layer++ {
		b, ok := stack[layer]
		if !ok {
			t.Errorf("at %v: %d boards, none in layer %d", q, len(stack), layer)
			return
		}
		if under := stack[layer-1]; layer > 1 && under.Type > b.Type {
			t.Errorf("at %v: %s lies on %s", q, b.Type, under.Type)
		}
		if b.Type != CoverType {
			sum += b.Plane.At(q)
		}
	}
	wantNear(t, fmt.Sprintf("thickness at %v", q), sum, f.Plane.At(q), 1e-6)
}
