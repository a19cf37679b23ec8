package taper

import (
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Pieces of one shape are alike wherever they lie and however rounding falls: with a
// corner in the middle of a side, and with corners off by 1e-12 ft, so that another one
// comes first. A piece half an inch wider is another.
func TestShape_AlikeButForNoise(t *testing.T) {
	c := newCutter(CutOptions{Tight: true})
	like := func(r geom.Ring) uint64 {
		return c.shapeOf(&Board{Type: TaperedType, Poly: geom.Poly{Outer: r}, Uphill: geom.Pt{Y: 1}, Along: 4 * unit.Foot, Depth: 4 * unit.Foot}).like
	}
	rng := rand.New(rand.NewPCG(1, 1))
	for _, r := range []geom.Ring{
		{{X: 0, Y: 0}, {X: 2.5, Y: 0}, {X: 2.5, Y: 4}, {X: 0, Y: 4}},
		{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 0, Y: 4}},
		{{X: 1. / 3, Y: 0}, {X: 3, Y: 0}, {X: 4, Y: 4}, {X: 1. / 3, Y: 4}},
	} {
		want := like(r)
		for n := range 60 {
			k := n % len(r)
			moved := append(r[:k:k], r[k], r[k].Lerp(r.At(k+1), 0.3))
			moved = append(moved, r[k+1:]...)
			for i := range moved {
				moved[i] = moved[i].Add(geom.Pt{X: 4*float64(n) + 1e-12*rng.NormFloat64(), Y: 1e-12 * rng.NormFloat64()})
			}
			if like(moved) != want {
				t.Fatalf("%v is not like %v", moved, r)
			}
		}
		wider := r.Map(func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X + math.Copysign(1./24, p.X-1), Y: p.Y} })
		if like(wider) == want {
			t.Errorf("%v is like %v", wider, r)
		}
	}
}
