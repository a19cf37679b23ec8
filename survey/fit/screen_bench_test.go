package fit

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// BenchmarkScreen screens square roofs of a shot every 10 ft, read to 1/8 in.
func BenchmarkScreen(b *testing.B) {
	for _, side := range []int{10, 22, 44} {
		b.Run(fmt.Sprintf("%d shots", side*side), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, 0))
			ft := 10 * float64(side)
			a := survey.Area{Name: "A", Outline: rect(0, 0, ft, ft)}
			gridShots(&a, 10, func(p geom.Pt) float64 { return p.X/8 + 3*franke(p.X/ft, p.Y/ft) + rng.NormFloat64()/8 })
			for b.Loop() {
				screenUS(a)
			}
		})
	}
}
