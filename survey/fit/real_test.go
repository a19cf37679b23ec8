package fit

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// cloudMedians gives the medians of a point cloud in 1.5 ft cells, a truth that
// the methods have no part in.
func cloudMedians(cloud []survey.Shot) (out []survey.Shot) {
	cells := map[[2]int][]survey.Shot{}
	for _, c := range cloud {
		k := [2]int{int(math.Floor(c.At.X / 1.5)), int(math.Floor(c.At.Y / 1.5))}
		cells[k] = append(cells[k], c)
	}
	for _, in := range cells {
		if len(in) >= 3 {
			slices.SortFunc(in, func(a, b survey.Shot) int {
				return int(math.Copysign(1, a.Elev.Inches()-b.Elev.Inches()))
			})
			out = append(out, in[len(in)/2])
		}
	}
	return out
}

// How the two methods, fed with shots on a 10 ft grid, do against the whole
// point cloud of two real roofs (national height models of France and of the
// Netherlands).
func TestFit_RealRoofs(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		roof   realRoof
		mostIn float64 // rms against the cloud's medians
	}{
		{"apartment roof, 84 shots", apartment(t), 1.4},
		{"ridge and valley roof, 56 shots", ridgeValley(t), 0.55},
	} {
		begin := time.Now()
		s, r := fitOf(t, &c.roof.area, 0.5)
		took := time.Since(begin)
		_, surf, _ := tinOn(t, &c.roof.area, 0.5)
		truth := cloudMedians(c.roof.cloud)
		against := func(surf *survey.Surface) float64 {
			sum, n := 0.0, 0.0
			for _, m := range truth {
				if z, ok := surf.Elevation(s.Frame.ToLocal(m.At)); ok {
					sum += (z - m.Elev.Inches()) * (z - m.Elev.Inches())
					n++
				}
			}
			return math.Sqrt(sum / n)
		}
		fit, tin := against(r.Surface), against(surf)
		t.Logf("%s, %d cells, %v: rms against the cloud %.3f in, triangles %.3f; leave-one-out %.3f and %.3f; sigma %.3f",
			c.name, r.Surface.Len(), took.Round(time.Millisecond), fit, tin, r.RMSEIn, r.Scores[1].RMSEIn, r.SigmaIn)
		if fit > c.mostIn || fit > tin {
			t.Errorf("%s: %.3f in off the cloud, want at most %.2f and triangles' %.3f", c.name, fit, c.mostIn, tin)
		}
		c.roof.judgeFindings(t, c.name)
		whole := c.roof.area
		whole.Shots = c.roof.cloud
		begin = time.Now()
		whole, rep := shotsOf(t, whole)
		_, all := fitOf(t, &whole, 0.5)
		t.Logf("%s: the whole cloud in %v: %s; rms %.3f in", c.name, time.Since(begin).Round(time.Millisecond),
			rep.Words(unit.US)[0], against(all.Surface))
		if got := against(all.Surface); got > fit {
			t.Errorf("%s: the cloud's own surface is %.3f in off its medians", c.name, got)
		}
	}
}

// judgeFindings holds the screens to the point cloud: a shot that they doubt is a
// median that stands off the roof's own points within 5 ft by 1-1/2 in and more
// (something on the roof: its points reach up to 20 in), and a gap has no shot
// within a spacing and a quarter.
func (r realRoof) judgeFindings(t *testing.T, name string) {
	t.Helper()
	kept, found := screenUS(r.area)
	for _, s := range kept.Shots {
		if s.Left != "" {
			t.Errorf("%s: shot %s is left out: %s", name, s.ID, s.Left)
		}
	}
	for _, p := range found {
		if strings.Contains(p.Why, "a gap in the shots: none within 1") {
			continue
		}
		n := slices.IndexFunc(r.area.Shots, func(s survey.Shot) bool { return s.ID == p.Value })
		if n < 0 || !strings.Contains(p.Why, "above what its neighbours say") {
			t.Errorf("%s: %v", name, p)
			continue
		}
		s := r.area.Shots[n]
		var about []float64
		for _, c := range r.cloud {
			if c.At.Dist(s.At) <= 5 {
				about = append(about, c.Elev.Inches())
			}
		}
		off := s.Elev.Inches() - median(about)
		t.Logf("%s: shot %s is doubted; it stands %.1f in above the %d points within 5 ft", name, s.ID, off, len(about))
		if off < 1.5 {
			t.Errorf("%s: shot %s is doubted for nothing", name, s.ID)
		}
	}
}

// The three bowls of the apartment roof and the valley of the other lie where
// the data's own description has them, in metres of the national grids.
func TestFit_RealLowSpots(t *testing.T) {
	const ft = 0.3048
	for _, c := range []struct {
		name         string
		roof         realRoof
		x0, y0       float64
		low, high    [2]float64 // places, metres
		leastDropIn  float64
		mostDropInch float64
	}{
		{"apartment, middle bowl below its ridge", apartment(t), 770508.608, 6277500,
			[2]float64{770533.9, 6277529.2}, [2]float64{770528.5, 6277521.5}, 1.0, 7},
		{"ridge and valley, valley below the ridge", ridgeValley(t), 84808.3, 447412.8,
			[2]float64{84823, 447433}, [2]float64{84815.5, 447435}, 0.5, 4},
	} {
		s, r := fitOf(t, &c.roof.area, 0.5)
		at := func(m [2]float64) float64 {
			z, ok := r.Surface.Elevation(s.Frame.ToLocal(geom.Pt{X: 2000 + (m[0]-c.x0)/ft, Y: 5000 + (m[1]-c.y0)/ft}))
			if !ok {
				t.Fatalf("%s: %v is off the roof", c.name, m)
			}
			return z
		}
		drop := at(c.high) - at(c.low)
		t.Logf("%s: %.2f in", c.name, drop)
		if drop < c.leastDropIn || drop > c.mostDropInch {
			t.Errorf("%s: drop %.2f in, want %.1f to %.1f", c.name, drop, c.leastDropIn, c.mostDropInch)
		}
	}
}
