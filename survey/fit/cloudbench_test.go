package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"runnel/survey"
	"runnel/survey/geom"
)

// gravelRoof is a roof of 400 x 250 ft that falls 1/8 in/ft with six dishes,
// parapets of 30 in within its outline, 20 units on it, gravel and 2 % strays;
// truth is the height in inches that its surface should come out at: that of
// the gravel, whose stones stand up to an inch over its middle.
func gravelRoof(rng *rand.Rand) (a survey.Area, seen, truth func(p geom.Pt) float64) {
	a = survey.Area{Name: "A", Outline: rect(0, 0, 400, 250)}
	truth = func(p geom.Pt) float64 {
		z := 1200 + p.X/8
		for n := range 6 {
			x, y := 40+64*float64(n), 60+130*float64(n%2)
			z -= 2 * math.Exp(-((p.X-x)*(p.X-x)+(p.Y-y)*(p.Y-y))/(2*12*12))
		}
		return z
	}
	var units things
	for n := range 20 {
		x, y := 20+19*float64(n), 20+float64(n*97%200)
		units = append(units, things{{rect(x, y, x+4+float64(n%3)*3, y+6), 12 + 4*float64(n)}}...)
	}
	with := units.on(truth)
	seen = func(p geom.Pt) float64 {
		switch {
		case rng.Float64() < 0.02:
			return truth(p) + 480*(rng.Float64()-0.6)
		case !a.Outline.Has(p):
			return truth(p) - 240
		case p.X < 1 || p.Y < 1 || p.X > 399 || p.Y > 249:
			return truth(p) + 30
		}
		return with(p) + 2*(rng.Float64()-0.5)
	}
	return a, seen, truth
}

// The surface of gravelRoof from half a million points.
func TestCloudShots_GravelRoof(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	a, seen, truth := gravelRoof(rng)
	a.Cloud = scanned(a, rng, 500000, 0.25, seen)
	out, r := shotsOf(t, a)
	rms, worst := shotMiss(out, truth)
	objects := 0
	for _, o := range r.Objects {
		if !o.AtEdge {
			objects++
		}
	}
	t.Logf("%d cells of %.2f ft, rms %.3f in, worst %.2f; noise %.3f in; %d objects; above %d, below %d",
		r.Cells, r.CellFt, rms, worst, r.NoiseIn, objects, r.Above, r.Below)
	if rms > 0.2 || worst > 1.2 || objects != 20 {
		t.Errorf("rms %.3f in, want 0.20; worst %.2f, want 1.2; %d objects, want 20", rms, worst, objects)
	}
}

// watched runs f and gives the most heap in use while it ran, in MB, above what
// was in use before.
func watched(f func()) float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	before, most := m.HeapAlloc, m.HeapAlloc
	var done atomic.Bool
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for !done.Load() {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			most = max(most, m.HeapAlloc)
			time.Sleep(2 * time.Millisecond)
		}
	}()
	f()
	done.Store(true)
	<-ended
	return float64(most-before) / 1e6
}

// Points a second of a cloud that is in memory, and the most memory beside it.
func BenchmarkCloud(b *testing.B) {
	for _, n := range []int{50_000, 500_000, 5_000_000} {
		rng := seeded(b)
		a, seen, _ := gravelRoof(rng)
		a.Cloud = scanned(a, rng, n, 0.25, seen)
		b.Run(fmt.Sprintf("%d points", n), func(b *testing.B) {
			peak := 0.0
			for b.Loop() {
				peak = max(peak, watched(func() {
					if _, _, err := CloudShots(b.Context(), a, CloudOptions{}); err != nil {
						b.Fatal(err)
					}
				}))
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mpoints/s")
			b.ReportMetric(peak, "peak-MB")
			b.ReportMetric(float64(12*n)/1e6, "cloud-MB")
		})
	}
}
