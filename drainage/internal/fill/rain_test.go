package fill

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestBasins_Laws: on random surfaces the rain that fell is what stands and
// what left, to 1e-9; many small rains leave the water of one big one; no water
// stands over the level at which its hollow runs over; a flood fills every
// hollow to that level, as Run has it.
func TestBasins_Laws(t *testing.T) {
	t.Logf("seed %d", *seedFlag)
	rnd := rand.New(rand.NewPCG(*seedFlag, 9))
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(a)) }
	for n := range 2000 {
		g, z, seeds := randomGrid(rnd)
		for i := range seeds {
			seeds[i].Outlet = i % 3
		}
		res := Run(g, z, seeds)
		depth := rnd.Float64() * 3
		once, often := NewBasins(g, z, seeds, res, 3), NewBasins(g, z, seeds, res, 3)
		once.Rain(depth)
		parts := 1 + rnd.IntN(40)
		for range parts {
			often.Rain(depth / float64(parts))
		}
		levels, same := once.Levels(), often.Levels()
		cells, stands := 0.0, 0.0
		for k := range z {
			if g.Open != nil && !g.Open[k] {
				continue
			}
			cells++
			stands += levels[k] - z[k]
			if !near(levels[k], same[k]) {
				t.Fatalf("grid %d of seed %d, cell %d: %g after one rain, %g after %d", n, *seedFlag, k, levels[k], same[k], parts)
			}
			if levels[k] > res.Level[k]+1e-9 {
				t.Fatalf("grid %d of seed %d, cell %d: water at %g runs over at %g", n, *seedFlag, k, levels[k], res.Level[k])
			}
		}
		left := once.Left[0] + once.Left[1] + once.Left[2]
		if !near(depth*cells, stands+left) || !near(stands, once.Held()) {
			t.Fatalf("grid %d of seed %d: %g fell, %g stand (%g held), %g left", n, *seedFlag, depth*cells, stands, once.Held(), left)
		}
		once.Rain(1e4)
		for k, level := range once.Levels() {
			if want := res.Level[k]; (g.Open == nil || g.Open[k]) && !math.IsInf(want, 1) && !near(level, want) {
				t.Fatalf("grid %d of seed %d, cell %d: a flood stands at %g, fills to %g", n, *seedFlag, k, level, want)
			}
		}
	}
}
