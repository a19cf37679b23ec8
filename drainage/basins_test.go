package drainage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// walled is a hollow against walls on a roof w x d ft, drained at at.
type walled struct {
	basin
	w, d float64
	at   geom.Pt
}

// troughAndWedges: V trough L W h/2, open at its sides and closed by walls at
// its ends; wedge behind a curb B d^2/(2 s), field 1/4 in/ft.
func troughAndWedges() []walled {
	list := []walled{{basin{"V trough 20 long, 6 wide", func(p geom.Pt) float64 { return math.Abs(p.Y)/3 - 1 },
		1, 120, 5}, 20, 12, geom.Pt{}}}
	for depthIn, cuft := range map[float64]float64{0.5: 0.41667, 1: 1.66667, 2: 6.66667} {
		list = append(list, walled{basin{fmt.Sprintf("wedge %g in deep", depthIn),
			func(p geom.Pt) float64 { return 0.25*(p.X+10) - depthIn }, depthIn, 10 * depthIn / 0.25, cuft},
			20, 10, geom.Pt{X: -9.5}})
	}
	return list
}

// TestBasins is the table of basins of known volume: every shape, on the raster
// and off it, turned by 17 and 45 degrees, walls with it, on cells of 1/4 to 2 ft.
// At the usual cell of half a foot and finer the volume is held to 1 per cent and
// the depth to 1/16 in; coarser cells are shown.
func TestBasins(t *testing.T) {
	inFull(t)
	all := troughAndWedges()
	for _, b := range basins() {
		all = append(all, walled{b, 0, 0, geom.Pt{}})
	}
	for _, b := range all {
		for _, cellFt := range []float64{0.25, 0.5, 1, 2} {
			worstIn, worstPct, worstArea := 0.0, 0.0, 0.0
			for _, deg := range []float64{0, 17, 45} {
				for _, off := range []geom.Pt{{}, {X: 0.11, Y: -0.07}, {X: 0.25, Y: 0.25}, {X: 0.2, Y: 0.4}} {
					p := basinPond(t, b, cellFt, geom.Frame{Origin: off, Turn: deg * math.Pi / 180})
					worstIn = math.Max(worstIn, math.Abs(p.DepthIn-b.depthIn))
					worstPct = math.Max(worstPct, 100*math.Abs(p.CuFt/b.volume-1))
					worstArea = math.Max(worstArea, 100*math.Abs(p.SqFt/b.areaSqft-1))
					if cellFt <= 0.5 && (math.Abs(p.DepthIn-b.depthIn) > 1.0/16 || math.Abs(p.CuFt/b.volume-1) > 0.01) {
						t.Errorf("%s, turned %g, off %v, cells of %g ft: %.4f in deep, want %g; %.5f cu ft, want %.5f (%+.2f %%)", b.name,
							deg, off, cellFt, p.DepthIn, b.depthIn, p.CuFt, b.volume, 100*(p.CuFt/b.volume-1))
					}
				}
			}
			t.Logf("%-34s cells of %4g ft: depth to %.4f in, volume to %.3f %%, area to %.3f %%", b.name, cellFt, worstIn, worstPct, worstArea)
		}
	}
}

// TestBasins_TurnedJob: basins against walls in a job drawn at any angle: the
// building frame lays the raster along the walls, and where walls are whole
// cells apart the pond is what it is in a job drawn upright. What a cubic foot
// weighs and holds, and the mean depth, are those of the table.
func TestBasins_TurnedJob(t *testing.T) {
	for _, b := range troughAndWedges() {
		for _, deg := range []float64{0, 17, 45, 90, 123} {
			f := geom.Frame{Origin: geom.Pt{X: 311.3, Y: -78.9}, Turn: deg * math.Pi / 180}
			a := survey.Area{Name: "A", Outline: box(b.w, b.d).Map(f.ToJob), Outlets: []survey.Outlet{drainAt("D1", f.ToJob(b.at))}}
			s := survey.SiteOf(&a, nil)
			surf := surfaceOf(s, 0.5, func(p geom.Pt) float64 { return b.z(f.ToLocal(s.Frame.ToJob(p))) })
			opt := usual(t)
			opt.InletIn = []float64{0}
			r := checked(t, s, surf, opt)
			if len(r.Ponds) != 1 {
				t.Fatalf("%s, turned %g: %d ponds", b.name, deg, len(r.Ponds))
			}
			p := &r.Ponds[0]
			within(t, b.name+": depth in", p.DepthIn, b.depthIn, 1.0/64)
			within(t, b.name+": cu ft", p.CuFt, b.volume, 0.01*b.volume)
			within(t, b.name+": sq ft", p.SqFt, b.areaSqft, 0.01*b.areaSqft)
			within(t, b.name+": gal", unit.CubicFeet(p.CuFt).Gallons(), 7.480519*b.volume, 0.01*7.480519*b.volume)
			within(t, b.name+": lb", p.WeightLb(), 62.4*b.volume, 0.624*b.volume)
			within(t, b.name+": mean depth in", 12*p.CuFt/p.SqFt, b.depthIn/2, 0.01*b.depthIn)
		}
	}
}

// TestBasins_OffTheRaster: troughs and wedges against walls of jobs whose lengths
// are no whole cells, drawn at any angle, at the usual cell: volume to 1 per cent,
// depth to 1/16 in, by the formulas of the table at those lengths.
func TestBasins_OffTheRaster(t *testing.T) {
	for _, b := range troughAndWedges() {
		worstIn, worstPct := 0.0, 0.0
		for n, more := range []geom.Pt{{X: 0.05}, {X: 0.1, Y: 0.4}, {X: 0.2, Y: 0.1}, {X: 0.25, Y: 0.25}, {X: 0.3}, {X: 0.4, Y: 0.05}, {X: 0.45, Y: 0.35}, {Y: 0.2}} {
			f := geom.Frame{Origin: geom.Pt{X: 9.3, Y: -7.7}, Turn: float64(n) * 17 * math.Pi / 180}
			w, d := b.w+more.X, b.d+more.Y
			shift, share := geom.Pt{X: more.X / 2}, d/b.d // a wedge lies at the west wall, over all of it
			if b.d == 12 {
				shift, share = geom.Pt{}, w/b.w // a trough ends at the east and west walls
			}
			a := survey.Area{Name: "A", Outline: box(w, d).Map(f.ToJob), Outlets: []survey.Outlet{drainAt("D1", f.ToJob(b.at))}}
			s := survey.SiteOf(&a, nil)
			surf := surfaceOf(s, 0.5, func(p geom.Pt) float64 { return b.z(f.ToLocal(s.Frame.ToJob(p)).Add(shift)) })
			opt := usual(t)
			opt.InletIn = []float64{0}
			p := checked(t, s, surf, opt).Ponds[0]
			worstIn = math.Max(worstIn, math.Abs(p.DepthIn-b.depthIn))
			worstPct = math.Max(worstPct, 100*math.Abs(p.CuFt/(share*b.volume)-1))
			within(t, fmt.Sprintf("%s, %g x %g ft: sq ft", b.name, w, d), p.SqFt, share*b.areaSqft, 0.01*share*b.areaSqft)
		}
		t.Logf("%-34s depth to %.4f in, volume to %.3f %%", b.name, worstIn, worstPct)
		if worstIn > 1.0/16 || worstPct > 1 {
			t.Errorf("%s: depth to %.4f in, volume to %.3f %%", b.name, worstIn, worstPct)
		}
	}
}

// TestPonds_AllOver: a level L with a court and a curb, no length a whole cell,
// under an inch of water: its area is the roof's, its volume an inch of that.
func TestPonds_AllOver(t *testing.T) {
	l := geom.Ring{{X: -20.15, Y: -12.3}, {X: 20.2, Y: -12.3}, {X: 20.2, Y: 3.35}, {X: 4.9, Y: 3.35}, {X: 4.9, Y: 12.45}, {X: -20.15, Y: 12.45}}
	s, _ := roofOf(t, l, []survey.Outlet{drainAt("D1", geom.Pt{X: 10, Y: -5})}, 0.5, func(geom.Pt) float64 { return 0 })
	s.Courts = []geom.Ring{geom.Box{Min: geom.Pt{X: -9.9, Y: -3.1}, Max: geom.Pt{X: -4.2, Y: 2.2}}.Ring().Reversed()}
	s.Curbs = []geom.Ring{geom.Box{Min: geom.Pt{X: 13.12, Y: -9.4}, Max: geom.Pt{X: 16.66, Y: -7.03}}.Ring()}
	surf := surfaceOf(s, 0.5, func(geom.Pt) float64 { return 0 })
	opt := usual(t)
	opt.InletIn = []float64{1}
	p := checked(t, s, surf, opt).Ponds[0]
	sqft := s.RoofArea().SquareFeet()
	within(t, "sq ft", p.SqFt, sqft, 1e-6)
	within(t, "cu ft", p.CuFt, sqft/12, 1e-6)
	within(t, "in", p.DepthIn, 1, 1e-9)
}

// TestPonds_AtWalls: rough roofs turned anyhow, with a court and a curb that lie
// anyhow: outlines hold the area that is measured, water that stands over all is
// the roof and holds its mean depth, and ponds lie on the roof.
func TestPonds_AtWalls(t *testing.T) {
	inFull(t)
	rnd := rand.New(rand.NewPCG(1, 2))
	l := geom.Ring{{X: -20.15, Y: -12.3}, {X: 20.2, Y: -12.3}, {X: 20.2, Y: 3.35}, {X: 4.9, Y: 3.35}, {X: 4.9, Y: 12.45}, {X: -20.15, Y: 12.45}}
	ponds := 0
	for n := range 12 {
		f := geom.Frame{Turn: []float64{0, 17, 45, 90 * rnd.Float64()}[n%4] * math.Pi / 180, Mirror: n%8 > 4}
		s, _ := roofOf(t, l.Map(f.ToJob).CCW(), []survey.Outlet{drainAt("D1", f.ToJob(geom.Pt{X: 10, Y: -5}))}, 0.5, func(geom.Pt) float64 { return 0 })
		s.Courts = []geom.Ring{geom.Box{Min: geom.Pt{X: -9.9, Y: -3.1}, Max: geom.Pt{X: -4.2, Y: 2.2}}.Ring().Map(f.ToJob).CCW().Reversed()}
		s.Curbs = []geom.Ring{geom.Box{Min: geom.Pt{X: 13.12, Y: -9.4}, Max: geom.Pt{X: 16.66, Y: -7.03}}.Ring().Map(f.ToJob).CCW()}
		s.CurbIDs = []string{"U1"}
		raster := survey.LatticeOf(s, 0.5) // wider, since the roof lies off the middle
		raster.NX, raster.NY = raster.NX+24, raster.NY+24
		high, per, from := rnd.Float64(), rnd.Float64()+0.3, 3*rnd.Float64()
		surf := surfaceOn(s, raster, func(p geom.Pt) float64 {
			return high*math.Sin(p.X*per+from)*math.Cos(p.Y*per*0.8+from) + 0.1*high*rnd.Float64()
		})
		flat := surfaceOn(s, raster, func(p geom.Pt) float64 { return 0.01 * p.X })
		opt := usual(t)
		for _, levelIn := range []float64{0, 0.3, 1} {
			opt.InletIn = []float64{levelIn}
			for _, surf := range []*survey.Surface{surf, flat} {
				_, r, err := prepared(s, surf, opt)
				if err != nil {
					t.Fatal(err)
				}
				for _, p := range r.Ponds {
					ponds++
					if err := p.check(); err != nil {
						t.Errorf("turned %g: %v", f.Turn*180/math.Pi, err)
					}
				}
				if surf == flat && levelIn == 1 {
					sqft := s.RoofArea().SquareFeet()
					within(t, "sq ft", r.Ponds[0].SqFt, sqft, 1e-4*sqft)
					within(t, "in", 12*r.Ponds[0].CuFt/sqft, 1-0.01*centreX(s), 1e-3)
				}
			}
		}
	}
	t.Logf("%d ponds", ponds)
}

// centreX is the x of the middle of a roof's area.
func centreX(s *survey.Site) float64 {
	sum, sqft := s.Poly().Centroid().X*s.Poly().Area(), s.Poly().Area()
	for _, c := range s.Curbs {
		p := geom.Poly{Outer: c}
		sum, sqft = sum-p.Centroid().X*p.Area(), sqft-p.Area()
	}
	return sum / sqft
}

// TestBasins_Weights: gallons and pounds of the basins as the table has them.
func TestBasins_Weights(t *testing.T) {
	printed := [][3]float64{{195.840, 1633.63, 1}, {130.560, 1089.09, 0.66667}, {195.858, 1633.78, 1.00009}, {141.004, 1176.21, 0.75},
		{74.805, 624.00, 0.5}, {90.952, 758.69, 0.60793}}
	for n, b := range basins() {
		p := basinPond(t, walled{b, 0, 0, geom.Pt{}}, 0.5, geom.Frame{})
		within(t, b.name+": gal", unit.CubicFeet(p.CuFt).Gallons(), printed[n][0], 0.01*printed[n][0])
		within(t, b.name+": lb", p.WeightLb(), printed[n][1], 0.01*printed[n][1])
		within(t, b.name+": mean depth in", 12*p.CuFt/p.SqFt, printed[n][2], 0.02*printed[n][2])
	}
}

// basinPond is the deepest pond in a basin that lies as f says. A basin against
// walls has a roof of its own, turned with it; the others lie on one of 36 ft.
func basinPond(t *testing.T, b walled, cellFt float64, f geom.Frame) Pond {
	t.Helper()
	outline := box(36, 36)
	if b.w > 0 {
		outline = box(b.w, b.d).Map(f.ToJob)
	}
	z := func(p geom.Pt) float64 { return b.z(f.ToLocal(p)) }
	s, surf := roofOf(t, outline, []survey.Outlet{drainAt("D1", f.ToJob(b.at))}, cellFt, z)
	l := surf.Lattice // wider by what the roof lies off the middle
	l.NX, l.NY = l.NX+4, l.NY+4
	surf = surfaceOn(s, l, z)
	opt := usual(t)
	opt.InletIn = []float64{0}
	c, r, err := prepared(s, surf, opt)
	if err != nil || len(r.Ponds) == 0 || c.surf != surf {
		t.Fatalf("%s: %d ponds, %v", b.name, len(r.Ponds), err)
	}
	p := r.Ponds[0]
	if err := p.check(); err != nil {
		t.Errorf("%s: %v", b.name, err)
	}
	if i, j := surf.CellOf(p.Deepest); !surf.Roof[j*surf.NX+i] {
		t.Errorf("%s: deepest off the roof", b.name)
	}
	return p
}
