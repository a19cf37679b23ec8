package taper

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey/geom"
)

// Parts of block letters above a line, counted and measured by eye.
func TestClipAbove_Letters(t *testing.T) {
	u := geom.Poly{Outer: geom.Ring{{X: 0, Y: 0}, {X: 5, Y: 0}, {X: 5, Y: 4}, {X: 4, Y: 4}, {X: 4, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 4}, {X: 0, Y: 4}}}
	o := geom.Poly{Outer: rectOf(0, 0, 6, 6), Holes: []geom.Ring{rectOf(2, 2, 4, 4).Reversed()}}
	hourglass := geom.Poly{Outer: geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 2.5, Y: 2}, {X: 4, Y: 4}, {X: 0, Y: 4}, {X: 1.5, Y: 2}}}
	for _, c := range []struct {
		story string
		p     geom.Poly
		atFt  float64
		parts int
		sqft  float64
	}{
		{"U through its bar", u, 0.5, 1, 2.5 + 6},
		{"U along the top of its bar: the legs come apart", u, 1, 2, 6},
		{"U through its legs", u, 2, 2, 4},
		{"U under its foot", u, -1, 1, 11},
		{"U along its foot", u, 0, 1, 11},
		{"U along its top", u, 4, 0, 0},
		{"U over its top", u, 5, 0, 0},
		{"O below the hole keeps it", o, 1, 1, 30 - 4},
		{"O along the foot of the hole", o, 2, 1, 24 - 4},
		{"O through the hole", o, 3, 1, 18 - 2},
		{"O along the top of the hole", o, 4, 1, 12},
		{"an hourglass at its waist", hourglass, 2, 1, 5},
	} {
		parts := clipAbove(c.p, c.atFt)
		sqft := 0.0
		for _, q := range parts {
			sqft += q.Area()
		}
		wantEqual(t, c.story+": parts", len(parts), c.parts)
		wantNear(t, c.story+": sq ft", sqft, c.sqft, 1e-9)
	}
}

// Boxes cut from random regions with holes, many corners on the box's lines:
// the four quarters add up, each has the area of the signed triangles, and the
// overlay library agrees where it answers.
func TestClipBox_AgreesWithTrianglesAndOverlay(t *testing.T) {
	for i := range uint64(300) {
		seed := *boardSeed + i
		r := rand.New(rand.NewPCG(seed, 3))
		p := comb12(r)
		at := geom.Pt{X: float64(r.IntN(13)), Y: float64(r.IntN(13))}
		sum := 0.0
		for k, b := range []geom.Box{
			{Min: geom.Pt{X: -1, Y: -1}, Max: at}, {Min: geom.Pt{X: at.X, Y: -1}, Max: geom.Pt{X: 13, Y: at.Y}},
			{Min: geom.Pt{X: -1, Y: at.Y}, Max: geom.Pt{X: at.X, Y: 13}}, {Min: at, Max: geom.Pt{X: 13, Y: 13}},
		} {
			got := 0.0
			for _, q := range clipBox(p, b) {
				got += q.Area()
			}
			what := fmt.Sprintf("seed %d, quarter %d", seed, k)
			wantNear(t, what+" by triangles", got, sharedSqft(p, geom.Poly{Outer: b.Ring()}), 1e-9)
			if parts, err := geom.Intersect(p, geom.Poly{Outer: b.Ring()}); err == nil {
				want := 0.0
				for _, q := range parts {
					want += q.Area()
				}
				wantNear(t, what+" by overlay", got, want, 1e-6)
			}
			sum += got
		}
		wantNear(t, fmt.Sprintf("seed %d, four quarters", seed), sum, p.Area(), 1e-9)
	}
}

// comb12 is a region within 12 x 12 ft: a skyline of whole and odd heights
// over a floor, with a hole in the floor.
func comb12(r *rand.Rand) geom.Poly {
	ring := geom.Ring{{X: 0, Y: 0}, {X: 12, Y: 0}}
	for x := 12.0; x > 0; x -= 2 {
		y := 4 + float64(r.IntN(9))
		if r.IntN(3) == 0 {
			y -= r.Float64()
		}
		if r.IntN(4) == 0 {
			ring = append(ring, geom.Pt{X: x - 1, Y: math.Max(y, 4)}) // a slanted roof
			continue
		}
		ring = append(ring, geom.Pt{X: x, Y: y}, geom.Pt{X: x - 2, Y: y})
	}
	ring = append(ring, geom.Pt{X: 0, Y: 4})
	x := 1 + float64(r.IntN(6))
	return geom.Poly{Outer: tidyRing(ring), Holes: []geom.Ring{rectOf(x, 1, x+3, 2).Reversed()}}
}
