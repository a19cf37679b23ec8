package drainage

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// noisyRoof is a low-slope roof with sag, ripples and noise, closed all round,
// with four drains.
func noisyRoof(t testing.TB, sideFt float64) (*survey.Site, *survey.Surface) {
	rnd := rand.New(rand.NewPCG(11, 13))
	var drains []survey.Outlet
	for n, p := range []geom.Pt{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: -1, Y: 1}, {X: 1, Y: 1}} {
		drains = append(drains, drainAt("D"+string(rune('1'+n)), p.Mul(sideFt/4)))
	}
	return roofOf(t, box(sideFt, sideFt), drains, 1, func(p geom.Pt) float64 {
		return 0.1*math.Max(math.Abs(math.Abs(p.X)-sideFt/4), math.Abs(math.Abs(p.Y)-sideFt/4)) +
			0.6*math.Sin(p.X/9)*math.Cos(p.Y/11) + 0.05*rnd.Float64()
	})
}

func benchmarkCheck(b *testing.B, sideFt float64) {
	s, surf := noisyRoof(b, sideFt)
	opt := usual(b)
	opt.Window, opt.SigmaIn, opt.SpacingFt = unit.Feet(20), 0.05, 10
	opt.InletIn = Inlets(s, surf, nil)
	for b.Loop() {
		if _, err := Check(context.Background(), s, surf, opt); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheck10k(b *testing.B)  { benchmarkCheck(b, 100) }
func BenchmarkCheck100k(b *testing.B) { benchmarkCheck(b, 316) }
func BenchmarkCheck1M(b *testing.B)   { benchmarkCheck(b, 1000) }

// benchmarkPonds is the fill and the measuring of ponds.
func benchmarkPonds(b *testing.B, sideFt float64) {
	s, surf := noisyRoof(b, sideFt)
	opt := usual(b)
	opt.InletIn = Inlets(s, surf, nil)
	for b.Loop() {
		if _, _, err := prepared(s, surf, opt); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPonds10k(b *testing.B)  { benchmarkPonds(b, 100) }
func BenchmarkPonds100k(b *testing.B) { benchmarkPonds(b, 316) }
func BenchmarkPonds1M(b *testing.B)   { benchmarkPonds(b, 1000) }

func benchmarkPaths(b *testing.B, sideFt float64) {
	s, surf := noisyRoof(b, sideFt)
	opt := usual(b)
	opt.Window, opt.SigmaIn, opt.SpacingFt = unit.Feet(20), 0.05, 10
	opt.InletIn = Inlets(s, surf, nil)
	c, _, err := prepared(s, surf, opt)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.paths(b.Context(), c.newTracer(), workers()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPaths10k(b *testing.B)  { benchmarkPaths(b, 100) }
func BenchmarkPaths100k(b *testing.B) { benchmarkPaths(b, 316) }
func BenchmarkPaths1M(b *testing.B)   { benchmarkPaths(b, 1000) }
