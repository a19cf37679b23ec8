package drainage

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestPond_Weight: 62.4 lb/cu ft, 5.2 psf an inch; 20 and 30 psf at 3.8462 and
// 5.7692 in; 7.480519 gal/cu ft (231 cu in a gallon), 0.623377 gal a sq ft an
// inch, 8.341667 lb a gallon.
func TestPond_Weight(t *testing.T) {
	within(t, "lb of a cubic foot", (&Pond{CuFt: 1}).WeightLb(), 62.4, 0)
	for depthIn, psf := range map[float64]float64{1: 5.2, 3.8462: 20, 5.7692: 30} {
		within(t, "psf", (&Pond{DepthIn: depthIn}).LoadPsf(), psf, 3e-4)
	}
	cuft := unit.CubicFeet(1)
	within(t, "gal of a cubic foot", cuft.Gallons(), 7.480519, 1e-6)
	inch := unit.VolumeOf(unit.SquareFeet(1), unit.Inch)
	within(t, "gal of a sq ft an inch deep", inch.Gallons(), 0.623377, 1e-6)
	within(t, "lb of a gallon", (&Pond{CuFt: 1}).WeightLb()/cuft.Gallons(), 8.341667, 1e-6)
}

// lowLine is a trough along the roof's middle, slopes in/ft to both sides.
func lowLine(slope float64) func(geom.Pt) float64 {
	return func(p geom.Pt) float64 { return slope * math.Abs(p.Y) }
}

// TestCauses: why water stands and which outlet it misses, each on a roof made
// so; the outlet missed is not always the nearest.
func TestCauses(t *testing.T) {
	blocked := drainAt("D2", geom.Pt{Y: 3})
	blocked.State = survey.Blocked
	overflow := drainAt("OF", geom.Pt{X: 1})
	overflow.Overflow = true
	curb := geom.Box{Min: geom.Pt{X: -2, Y: -4}, Max: geom.Pt{X: 0, Y: 4}}.Ring()
	for _, c := range []struct {
		name    string
		outlets []survey.Outlet
		inletIn []float64 // nil: flush
		curbs   []geom.Ring
		z       func(geom.Pt) float64
		cause   Cause
		misses  string
		behind  string
		says    string
	}{
		{"flange 1 in proud", []survey.Outlet{drainAt("D1", geom.Pt{})}, []float64{1}, nil, fourWay(0.25, 0),
			ProudRim, "D1", "", `the inlet of D1 stands 1" over the roof beside it`},
		{"drain 2 ft upslope", []survey.Outlet{drainAt("D1", geom.Pt{Y: 2})}, nil, nil, lowLine(0.25),
			OutletUphill, "D1", "", `D1 stands 2'-0" from the lowest place and 1/2" over it`},
		{"drain 12 ft upslope: the roof sags", []survey.Outlet{drainAt("D1", geom.Pt{Y: 12})}, nil, nil, lowLine(0.25),
			Sag, "D1", "", `3" must stand before any reaches D1, 12'-0" away`},
		{"blocked drain, another far off", []survey.Outlet{drainAt("D1", geom.Pt{X: 28}), blocked}, nil, nil,
			func(p geom.Pt) float64 { return 0.2*p.Norm() + 0.001*p.X },
			OutletBlocked, "D2", "", "D2 is blocked, and water stands 5"},
		{"only an overflow lets it go", []survey.Outlet{drainAt("D2", geom.Pt{X: 0, Y: 0}), overflow}, []float64{0, 2}, nil, fourWay(0.25, 0),
			OutletBlocked, "D2", "", "D2 is blocked"},
		// 6 in of water at D1 and none to speak of at D2: cleared, it would change nothing.
		{"a blocked drain at the water's edge", []survey.Outlet{drainAt("D1", geom.Pt{X: 25}), {ID: "D2", Kind: survey.Drain, At: geom.Pt{X: -6}, Edge: -1,
			State: survey.Blocked}}, nil, nil, func(p geom.Pt) float64 { return math.Min(0.1*(p.X+30), 2.45-0.003*p.X) },
			BehindWall, "D1", "", "along a wall"},
		{"no outlet that works", []survey.Outlet{}, nil, nil, fourWay(0.25, 0), NoOutlet, "", "", "no outlet that works"},
		{"along a wall", []survey.Outlet{drainAt("D1", geom.Pt{X: 20})}, nil, nil,
			func(p geom.Pt) float64 { return math.Min(0.1*(p.X+30), 2-0.02*p.X) }, BehindWall, "D1", "", "along a wall"},
		{"behind a curb", []survey.Outlet{drainAt("D1", geom.Pt{X: -29.75})}, nil, []geom.Ring{curb},
			func(p geom.Pt) float64 { return 0.25*p.X + 0.05*math.Abs(p.Y) }, BehindCurb, "D1", "U1", "behind curb U1"},
		// D2 is nearer, but over a ridge; over the lip the water runs to D1.
		{"the nearer outlet lies over a ridge", []survey.Outlet{drainAt("D1", geom.Pt{X: -25}), drainAt("D2", geom.Pt{X: 20})}, nil, nil,
			func(p geom.Pt) float64 {
				dip := math.Max(0, 1.5-0.3*p.Norm())
				return 5 + 0.05*math.Min(p.X, 24-2*p.X) - dip
			}, Sag, "D1", "", "reaches D1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, _ := roofOf(t, box(60, 40), c.outlets, 0.5, c.z)
			if c.curbs != nil {
				s.Curbs, s.CurbIDs = c.curbs, []string{"U1"}
			}
			for n := range s.Outlets {
				if s.Outlets[n].ID == "D2" && c.cause == OutletBlocked {
					s.Outlets[n].State = survey.Blocked
				}
			}
			opt := usual(t)
			opt.InletIn = c.inletIn
			r := checked(t, s, surfaceOf(s, 0.5, c.z), opt)
			if len(r.Ponds) == 0 {
				t.Fatal("no pond")
			}
			p := &r.Ponds[0]
			if p.Cause != c.cause || p.Misses != c.misses || p.Behind != c.behind || !strings.Contains(p.Why(unit.US), c.says) {
				t.Errorf("%v, misses %q, behind %q: %s", p.Cause, p.Misses, p.Behind, p.Why(unit.US))
			}
		})
	}
}

// TestPonds_DrainRowUphill: a row of drains 2 ft upslope of a low line, 1/4
// in/ft both sides, leaves it dead 1/2 in deep and 4 ft wide: 60 ft hold 5.0 cu
// ft, 37 gal, 312 lb (L W h/2).
func TestPonds_DrainRowUphill(t *testing.T) {
	var row []survey.Outlet
	for n, x := range []float64{-20, 0, 20} {
		row = append(row, drainAt("D"+string(rune('1'+n)), geom.Pt{X: x, Y: 2}))
	}
	s, surf := roofOf(t, box(60, 40), row, 0.5, lowLine(0.25))
	r := checked(t, s, surf, usual(t))
	if len(r.Ponds) != 1 {
		t.Fatalf("%d ponds", len(r.Ponds))
	}
	p := &r.Ponds[0]
	within(t, "depth in", p.DepthIn, 0.5, 1.0/16)
	within(t, "width ft", p.SqFt/60, 4, 0.04)
	within(t, "cu ft", p.CuFt, 5, 0.05)
	within(t, "gal", unit.CubicFeet(p.CuFt).Gallons(), 37.4, 0.4)
	within(t, "lb", p.WeightLb(), 312, 3.2)
	if p.Cause != OutletUphill || p.Misses != "D2" {
		t.Errorf("%v, misses %s: %s", p.Cause, p.Misses, p.Why(unit.US))
	}
}

// TestPonds_RimWeldedProud: an outlet welded 3 to 5 mm proud of a nearly level
// roof kept some 30 litres at 50 and at 83 h. The roof here falls 0.036 in/ft
// across and a quarter of that along, so that the water is an elliptic cone,
// pi a b h/3 with b = h/0.036 and a = 4 b: 30 L at 4 mm.
func TestPonds_RimWeldedProud(t *testing.T) {
	const slope = 0.036
	for mm, litres := range map[float64]float64{3: 12.57, 4: 29.79, 5: 58.18} {
		riseIn := unit.Millimetres(mm).Inches()
		s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5,
			func(p geom.Pt) float64 { return slope * math.Hypot(p.X/4, p.Y) })
		opt := usual(t)
		opt.Ponds.Depth = unit.Millimetres(2)
		opt.InletIn = []float64{riseIn}
		r := checked(t, s, surf, opt)
		if len(r.Ponds) != 1 {
			t.Fatalf("%g mm: %d ponds", mm, len(r.Ponds))
		}
		p := &r.Ponds[0]
		b := riseIn / slope
		cuft := math.Pi * 4 * b * b * unit.Inches(riseIn).Feet() / 3
		within(t, "closed form, L", unit.CubicFeet(cuft).Litres(), litres, 0.06)
		within(t, "L", unit.CubicFeet(p.CuFt).Litres(), litres, 0.01*litres)
		within(t, "the rim's rise, mm", unit.Inches(p.HeldIn).Millimetres(), mm, 0.1)
		if p.Cause != ProudRim || p.Misses != "D1" || !strings.HasPrefix(p.Why(unit.Metric), "the inlet of D1 stands "+unit.Millimetres(mm).FormatThin(unit.Metric)) {
			t.Errorf("%g mm: %v, %s", mm, p.Cause, p.Why(unit.Metric))
		}
	}
}
