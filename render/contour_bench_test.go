//go:build unix

package render

import (
	"math"
	"math/rand/v2"
	"runtime"
	"syscall"
	"testing"

	"runnel/survey"
)

// benchRelief is a surface of half-foot cells with slopes to drains, ripples,
// low spots and noise (roof), or random terrain of many sizes (rough).
func benchRelief(nx, ny int, rough bool) *survey.Surface {
	l := survey.Lattice{NX: nx, NY: ny, CellFt: 0.5}
	s := &survey.Surface{Lattice: l, Roof: make([]bool, l.Len()), ElevIn: make([]float64, l.Len())}
	rnd := rand.New(rand.NewPCG(7, 7))
	waves, noise, slope := []float64{17, 71}, 0.01, 0.125
	if rough {
		waves, noise, slope = []float64{5, 11, 26, 60, 140, 320, 740, 1700}, 1, 0
	}
	const side = 200 // cells a drain
	for k := range s.ElevIn {
		dx, dy := float64(k%nx%side-side/2), float64(k/nx%side-side/2)
		s.Roof[k], s.ElevIn[k] = true, slope*math.Max(math.Abs(dx), math.Abs(dy))+noise*rnd.Float64()
	}
	for _, period := range waves {
		height := period / 100
		if rough {
			height = period / 3
		}
		sx, sy := make([]float64, nx), make([]float64, ny)
		for x := range sx {
			sx[x] = height * math.Sin(float64(x)/period*2*math.Pi)
		}
		for y := range sy {
			sy[y] = math.Cos(float64(y) / period * 2 * math.Pi)
		}
		for k := range s.ElevIn {
			s.ElevIn[k] += sx[k%nx] * sy[k/nx]
		}
	}
	return s
}

// cpuSeconds is the processor time of this process: on a busy machine the
// clock tells little.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return math.NaN()
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// BenchmarkContourLines draws 36 levels.
func BenchmarkContourLines(b *testing.B) {
	for _, size := range []struct {
		name   string
		nx, ny int
	}{{"1e5", 365, 274}, {"1e6", 1155, 866}, {"1e7", 3651, 2739}} {
		for _, rough := range []bool{false, true} {
			b.Run(map[bool]string{false: "roof", true: "rough"}[rough]+size.name, func(b *testing.B) {
				s := benchRelief(size.nx, size.ny, rough)
				lo, hi, _ := gridOf(s, 1).span()
				var levels []float64
				for n := range 36 {
					levels = append(levels, lo+(hi-lo)*(float64(n)+0.5)/36)
				}
				runtime.GC()
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				start, places := cpuSeconds(), 0
				for b.Loop() {
					places = 0
					for _, c := range ContourLines(s, levels) {
						places += len(c.Pts)
					}
				}
				runtime.ReadMemStats(&after)
				cells := float64(b.N) * float64(s.Len())
				b.ReportMetric((cpuSeconds()-start)/cells*1e9, "cpu-ns/cell")
				b.ReportMetric(cells/b.Elapsed().Seconds(), "cells/s")
				b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/cells, "B/cell")
				b.ReportMetric(float64(places), "places")
			})
		}
	}
}
