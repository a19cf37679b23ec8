//go:build unix

package fill

import (
	"math"
	"math/rand/v2"
	"runtime"
	"syscall"
	"testing"
)

// benchSizes are about 1e5, 1e6 and 1e7 cells.
var benchSizes = []struct {
	name   string
	nx, ny int
}{{"1e5", 365, 274}, {"1e6", 1155, 866}, {"1e7", 3651, 2739}}

// benchRoof is a low-slope roof of half-foot cells with ripples, low spots and
// noise, closed all round, with drains as outlets.
func benchRoof(nx, ny int) (Grid, []float64, []Seed) {
	rnd := rand.New(rand.NewPCG(7, 7))
	const side = 200 // cells a drain
	z := make([]float64, nx*ny)
	for k := range z {
		x, y := k%nx, k/nx
		dx, dy := float64(x%side-side/2), float64(y%side-side/2)
		z[k] = 0.125*math.Max(math.Abs(dx), math.Abs(dy)) + 0.01*rnd.Float64()
	}
	ripple(z, nx, ny, 0.3, 17, 23)
	ripple(z, nx, ny, 0.6, 71, 53)
	var seeds []Seed
	for y := side / 2; y < ny; y += side {
		for x := side / 2; x < nx; x += side {
			seeds = append(seeds, Seed{Cell: y*nx + x, Level: z[y*nx+x], Outlet: len(seeds)})
		}
	}
	return Grid{NX: nx, NY: ny}, z, seeds
}

// benchRough is random terrain of many sizes, open all round.
func benchRough(nx, ny int) (Grid, []float64, []Seed) {
	rnd := rand.New(rand.NewPCG(5, 9))
	z := make([]float64, nx*ny)
	for k := range z {
		z[k] = rnd.Float64()
	}
	for period := 5.0; period < 2000; period *= 2.3 {
		ripple(z, nx, ny, period/3, period, period*1.2)
	}
	g := Grid{NX: nx, NY: ny}
	return g, z, edgeSeeds(g, z)
}

// ripple adds waves along x and y to z.
func ripple(z []float64, nx, ny int, height, px, py float64) {
	sx, sy := make([]float64, nx), make([]float64, ny)
	for x := range sx {
		sx[x] = math.Sin(float64(x) / px * 2 * math.Pi)
	}
	for y := range sy {
		sy[y] = math.Cos(float64(y) / py * 2 * math.Pi)
	}
	for k := range z {
		z[k] += height * sx[k%nx] * sy[k/nx]
	}
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

// BenchmarkRun tells cells a second by the clock, the processor time and the
// bytes a cell that a fill takes, its result (12 B) among them.
func BenchmarkRun(b *testing.B) {
	for _, kind := range []struct {
		name string
		make func(nx, ny int) (Grid, []float64, []Seed)
	}{{"roof", benchRoof}, {"rough", benchRough}} {
		for _, s := range benchSizes {
			b.Run(kind.name+s.name, func(b *testing.B) {
				g, z, seeds := kind.make(s.nx, s.ny)
				runtime.GC()
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				start := cpuSeconds()
				for b.Loop() {
					Run(g, z, seeds)
				}
				runtime.ReadMemStats(&after)
				cells := float64(b.N) * float64(len(z))
				b.ReportMetric((cpuSeconds()-start)/cells*1e9, "cpu-ns/cell")
				b.ReportMetric(cells/b.Elapsed().Seconds(), "cells/s")
				b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/cells, "B/cell")
			})
		}
	}
}
