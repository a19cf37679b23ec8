package drainage

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
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
	inFull(t)
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

// TestPonds_AgainstWalls: troughs and wedges whose deepest line lies at a wall
// or runs from wall to wall, by L W h/2 and B d^2/(2 s).
func TestPonds_AgainstWalls(t *testing.T) {
	wedge := func(d, volume float64) basin {
		return basin{fmt.Sprintf("wedge %g in deep behind a wall", d), func(p geom.Pt) float64 {
			return 0.25*(p.X+10) - d
		}, d, 10 * d / 0.25, volume}
	}
	for _, c := range []struct {
		basin
		w, d float64 // of the roof
	}{
		{basin{"V trough 20 long, 6 wide", func(p geom.Pt) float64 { return math.Abs(p.Y)/3 - 1 }, 1, 120, 5}, 20, 12},
		{wedge(1, 1.66667), 20, 10},
		{wedge(0.5, 0.41667), 20, 10},
		{wedge(2, 6.66667), 20, 10},
	} {
		t.Run(c.name, func(t *testing.T) {
			drain := drainAt("D1", geom.Pt{X: -9.9})
			s, surf := roofOf(t, box(c.w, c.d), []survey.Outlet{drain}, 0.25, c.z)
			opt := usual(t)
			opt.InletIn = []float64{0}
			r := checked(t, s, surf, opt)
			if len(r.Ponds) != 1 {
				t.Fatalf("%d ponds, want 1", len(r.Ponds))
			}
			p := r.Ponds[0]
			within(t, "depth in", p.DepthIn, c.depthIn, 1.0/16)
			within(t, "volume cu ft", p.CuFt, c.volume, 0.01*c.volume)
			within(t, "area sq ft", p.SqFt, c.areaSqft, 0.01*c.areaSqft)
			if p.SpillsTo != "D1" || p.SpillIn != 0 {
				t.Errorf("runs over to %s at %g in", p.SpillsTo, p.SpillIn)
			}
		})
	}
}

// TestPonds_PartFilled: paraboloid and cone of radius 10 ft and depth 2 in,
// with d in of water at the middle.
func TestPonds_PartFilled(t *testing.T) {
	for _, c := range []struct {
		dIn, areaPara, volPara, areaCone, volCone float64
	}{
		{0.5, 78.5398, 1.63625, 19.6350, 0.27271},
		{1.0, 157.0796, 6.54498, 78.5398, 2.18166},
		{1.5, 235.6194, 14.72622, 176.7146, 7.36311},
		{2.0, 314.1593, 26.17994, 314.1593, 17.45329},
	} {
		for n, z := range []func(p geom.Pt) float64{basins()[0].z, basins()[1].z} {
			s, surf := roofOf(t, box(24, 24), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.25, z)
			opt := usual(t)
			opt.InletIn = []float64{c.dIn - 2}
			p := checked(t, s, surf, opt).Ponds[0]
			area, vol := c.areaPara, c.volPara
			if n == 1 {
				area, vol = c.areaCone, c.volCone
			}
			within(t, fmt.Sprintf("%g in, shape %d, area", c.dIn, n), p.SqFt, area, 0.01*area)
			within(t, fmt.Sprintf("%g in, shape %d, volume", c.dIn, n), p.CuFt, vol, 0.01*vol)
		}
	}
}

// TestPonds_ParaboloidAtHalfAFoot: within 1 per cent on the cells that a roof
// of usual size gets.
func TestPonds_ParaboloidAtHalfAFoot(t *testing.T) {
	s, surf := roofOf(t, box(24, 24), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, basins()[0].z)
	opt := usual(t)
	opt.InletIn = []float64{0}
	p := checked(t, s, surf, opt).Ponds[0]
	within(t, "volume", p.CuFt, 26.17994, 0.01*26.17994)
	within(t, "area", p.SqFt, 314.1593, 0.01*314.1593)
}

// TestPonds_ProudFlange: four-way roof at 1/4 in/ft starting at 1/2 in, the
// flange 1 in above the deck: a pond 1/2 in deep, 4 x 4 ft, 16 sq ft, 0.222 cu
// ft, 1.66 gal, 13.9 lb, and the rim its cause. Starting at 1 in clears it.
func TestPonds_ProudFlange(t *testing.T) {
	drain := drainAt("D1", geom.Pt{})
	drain.Inlet = survey.Height{Value: unit.Inches(1), Above: survey.AboveDeck}
	for _, startIn := range []float64{0.5, 1} {
		s, surf := roofOf(t, box(60, 40), []survey.Outlet{drain}, 0.25, fourWay(0.25, startIn))
		deck := surfaceOf(s, 0.25, func(geom.Pt) float64 { return 0 })
		opt := usual(t)
		opt.InletIn = Inlets(s, surf, deck)
		within(t, "inlet", opt.InletIn[0], 1, 1e-12)
		r := checked(t, s, surf, opt)
		if startIn == 1 {
			if len(r.Ponds) != 0 {
				t.Errorf("starting at 1 in leaves %d ponds", len(r.Ponds))
			}
			continue
		}
		if len(r.Ponds) != 1 || r.PondsFree != FallsShort {
			t.Fatalf("%d ponds, %v", len(r.Ponds), r.PondsFree)
		}
		p := r.Ponds[0]
		within(t, "depth in", p.DepthIn, 0.5, 1.0/16)
		within(t, "area", p.SqFt, 16, 0.05) // cells cut the corners
		within(t, "volume", p.CuFt, 0.222, 0.0015)
		within(t, "gal", unit.CubicFeet(p.CuFt).Gallons(), 1.66, 0.0166)
		within(t, "lb", p.WeightLb(), 13.9, 0.139)
		if p.SpillsTo != "D1" || p.Misses != "D1" || p.Cause != ProudRim || p.Spill != (geom.Pt{}) {
			t.Errorf("%+v", p)
		}
	}
}
