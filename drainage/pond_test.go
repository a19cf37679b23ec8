package drainage

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// basin is a hollow with a known volume up to elevation 0: z is in inches.
type basin struct {
	name             string
	z                func(p geom.Pt) float64
	depthIn          float64
	areaSqft, volume float64 // sq ft, cu ft
}

// basins are those of circle radius 10 ft, and the other shapes of known
// volume; volumes by the formulas beside them.
func basins() []basin {
	const a = 10.0
	cap := func(p geom.Pt) float64 { // sphere of radius 300.0833 ft
		const r, hFt = 300.0 + 1.0/12, 2.0 / 12
		return 12*(r-math.Sqrt(r*r-p.Dot(p))) - 12*hFt
	}
	return []basin{
		{"paraboloid, pi a^2 h/2", func(p geom.Pt) float64 { return 2*p.Dot(p)/(a*a) - 2 },
			2, 314.1593, 26.17994},
		{"cone, pi a^2 h/3", func(p geom.Pt) float64 { return 2*p.Norm()/a - 2 }, 2, 314.1593, 17.45329},
		{"spherical cap, pi h (3a^2+h^2)/6", cap, 2, 314.1593, 26.18236},
		{"elliptic paraboloid, pi a b h/2", func(p geom.Pt) float64 {
			return 1.5*(p.X*p.X/144+p.Y*p.Y/64) - 1.5
		}, 1.5, math.Pi * 96, 18.84956},
		{"inverted pyramid 20 x 12, L W h/3", func(p geom.Pt) float64 {
			return 1.5*math.Max(math.Abs(p.X)/10, math.Abs(p.Y)/6) - 1.5
		}, 1.5, 240, 10},
		{"cosine bowl 20 x 12, 4 L W h/pi^2", func(p geom.Pt) float64 {
			if off := math.Max(math.Abs(p.X)-10, math.Abs(p.Y)-6); off > 0 {
				return 0.3 * off
			}
			return -1.5 * math.Cos(math.Pi*p.X/20) * math.Cos(math.Pi*p.Y/12)
		}, 1.5, 240, 12.15854},
	}
}

// TestPonds_KnownVolumes holds ponds in basins of known volume to 1 per cent of
// volume and 1/16 in of depth, on cells of 1/4 ft that lie anyhow.
func TestPonds_KnownVolumes(t *testing.T) {
	for _, b := range basins() {
		for _, deg := range []float64{0, 17, 45} {
			for _, off := range []geom.Pt{{}, {X: 0.11, Y: -0.07}} {
				t.Run(fmt.Sprintf("%s, turned %g, off by %g", b.name, deg, off.X), func(t *testing.T) {
					f := geom.Frame{Origin: off, Turn: deg * math.Pi / 180}
					s, surf := roofOf(t, box(32, 32), []survey.Outlet{drainAt("D1", off)}, 0.25,
						func(p geom.Pt) float64 { return b.z(f.ToLocal(p)) })
					opt := usual(t)
					opt.InletIn = []float64{0}
					r := checked(t, s, surf, opt)
					if len(r.Ponds) != 1 {
						t.Fatalf("%d ponds, want 1", len(r.Ponds))
					}
					p := r.Ponds[0]
					within(t, "depth in", p.DepthIn, b.depthIn, 1.0/16)
					within(t, "volume cu ft", p.CuFt, b.volume, 0.01*b.volume)
					within(t, "area sq ft", p.SqFt, b.areaSqft, 0.01*b.areaSqft)
					within(t, "deepest ft", p.Deepest.Dist(off), 0, 0.25)
				})
			}
		}
	}
}
