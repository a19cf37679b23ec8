//go:build unix

package drainage

import (
	"context"
	"math"
	"runtime"
	"syscall"
	"testing"

	"runnel/drainage/internal/fill"
	"runnel/survey"
	"runnel/survey/unit"
)

// benchSizes are about 1e5, 1e6 and 1e7 cells.
var benchSizes = []struct {
	name   string
	nx, ny int
}{{"1e5", 365, 274}, {"1e6", 1155, 866}, {"1e7", 3651, 2739}}

// cpuSeconds is the processor time of this process: on a busy machine the
// clock tells little.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return math.NaN()
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// benchmark runs work on both kinds of surface of every size up to most, and
// tells cells a second by the clock, the processor time and the bytes a cell.
// What prepare does before counts in none.
func benchmark(b *testing.B, sizes int, prepare func(s *survey.Site, surf *survey.Surface, opt Options) (work func() error, err error)) {
	for _, size := range benchSizes[:sizes] {
		for name, roof := range map[string]func(testing.TB, int, int) (*survey.Site, *survey.Surface){"roof": noisyRoof, "rough": roughRoof} {
			b.Run(name+size.name, func(b *testing.B) {
				s, surf := roof(b, size.nx, size.ny)
				opt := usual(b)
				opt.Window, opt.SigmaIn, opt.SpacingFt = unit.Feet(20), 0.05, 10
				opt.InletIn = Inlets(s, surf, nil)
				work, err := prepare(s, surf, opt)
				runtime.GC()
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				start := cpuSeconds()
				for b.Loop() && err == nil {
					err = work()
				}
				if err != nil {
					b.Fatal(err)
				}
				runtime.ReadMemStats(&after)
				cells := float64(b.N) * float64(surf.Len())
				b.ReportMetric((cpuSeconds()-start)/cells*1e9, "cpu-ns/cell")
				b.ReportMetric(cells/b.Elapsed().Seconds(), "cells/s")
				b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/cells, "B/cell")
			})
		}
	}
}

// BenchmarkCheck is the whole check.
func BenchmarkCheck(b *testing.B) {
	benchmark(b, 2, func(s *survey.Site, surf *survey.Surface, opt Options) (func() error, error) {
		return func() error {
			_, err := Check(context.Background(), s, surf, opt)
			return err
		}, nil
	})
}

// BenchmarkPonds is the fill and the ponds with their depth, area, volume,
// outline and spill place.
func BenchmarkPonds(b *testing.B) {
	benchmark(b, 3, func(s *survey.Site, surf *survey.Surface, opt Options) (func() error, error) {
		return func() error {
			_, _, err := prepared(s, surf, opt)
			return err
		}, nil
	})
}

// BenchmarkGather is the accumulation through filled ponds: every cell's water
// by D-infinity to the outlet that gets most of it.
func BenchmarkGather(b *testing.B) {
	benchmark(b, 3, func(s *survey.Site, surf *survey.Surface, opt Options) (func() error, error) {
		c, _, err := prepared(s, surf, opt)
		return func() error {
			_, err := c.drainageAreas(b.Context(), c.newTracer(), workers())
			return err
		}, err
	})
}

// BenchmarkPaths traces and judges up to 400 paths.
func BenchmarkPaths(b *testing.B) {
	benchmark(b, 3, func(s *survey.Site, surf *survey.Surface, opt Options) (func() error, error) {
		c, _, err := prepared(s, surf, opt)
		if err != nil {
			return nil, err
		}
		t := c.newTracer()
		return func() error {
			_, _, err := c.paths(b.Context(), t, workers())
			return err
		}, nil
	})
}

// BenchmarkFill is the fill alone on the same surfaces.
func BenchmarkFill(b *testing.B) {
	benchmark(b, 3, func(s *survey.Site, surf *survey.Surface, opt Options) (func() error, error) {
		c := &check{site: s, surf: surf, opt: opt, outlets: OutletCells(s, surf)}
		seeds := c.seeds()
		return func() error {
			fill.Run(fill.Grid{NX: surf.NX, NY: surf.NY, Open: surf.Roof}, surf.ElevIn, seeds)
			return nil
		}, nil
	})
}
