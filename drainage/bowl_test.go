package drainage

import (
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestBowled: a flange 1/2 in over a level bowl 1 in deep lies 1/2 in under the
// roof: the roof drains, and the bowl keeps 2 x 2 ft x 1/2 in = 1/6 cu ft. A
// flange 1 in over it is level with the roof's lowest place at the bowl's rim.
// Without the bowl, or with a dam of 2 in, the rim keeps a pond.
func TestBowled(t *testing.T) {
	for _, c := range []struct {
		name             string
		bowl             survey.Bowl
		dam              unit.Length
		depthIn, cuft    float64
		outsideOfTheBowl bool
	}{
		{"no bowl", survey.Bowl{}, 0, 0.5, 4 * 4 * 0.5 / 3 / 12, true},
		{"a bowl", survey.Bowl{Size: unit.Feet(2), Depth: unit.Inches(1)}, 0, 0.5, 4 * 0.5 / 12, false},
		{"a bowl and a dam", survey.Bowl{Size: unit.Feet(2), Depth: unit.Inches(1)}, unit.Inches(2), 2.5, 0, true},
	} {
		drain := drainAt("D1", geom.Pt{})
		drain.Inlet = survey.Height{Value: unit.Inches(0.5), Above: survey.AboveMembrane}
		drain.Bowl, drain.Dam = c.bowl, c.dam
		// The lattice has a cell's middle on the drain.
		s, surf := roofOf(t, box(60.25, 40.25), []survey.Outlet{drain}, 0.25, fourWay(0.25, 0))
		roof := Bowled(s, surf)
		if (roof == surf) != (c.bowl == survey.Bowl{}) {
			t.Errorf("%s: the surface given back", c.name)
		}
		at, _ := roof.Elevation(geom.Pt{})
		want := 0.0
		if c.bowl.Depth > 0 { // the roof at the square's border, a foot off, stands 1/4 in up
			want = 0.25 - c.bowl.Depth.Inches()
		}
		within(t, c.name+": the roof at the drain", at, want, 1.0/32)
		opt := usual(t)
		opt.InletIn = Inlets(s, roof, nil)
		opt.Ponds.Area = unit.SquareFeet(1)
		p := checked(t, s, roof, opt).Ponds[0]
		within(t, c.name+": depth in", p.DepthIn, c.depthIn, 1.0/16)
		if c.cuft > 0 && c.outsideOfTheBowl {
			within(t, c.name+": cu ft", p.CuFt, c.cuft, 0.01*c.cuft)
		} else if c.cuft > 0 {
			// The bowl's sides slope within a cell: 2 ft to 2-1/2 ft wide.
			within(t, c.name+": cu ft", p.CuFt, c.cuft*1.2, 0.2*c.cuft)
		}
		if p.Cause != ProudRim || c.outsideOfTheBowl != (p.SqFt > 7) {
			t.Errorf("%s: %v, %g sq ft", c.name, p.Cause, p.SqFt)
		}
	}
}

// TestStrainerFindings: a dome stands at least 4 in over the roof (Louisiana
// Sanitary Code XIV-1109).
func TestStrainerFindings(t *testing.T) {
	s := &survey.Site{}
	for id, in := range map[string]float64{"D1": 4, "D2": 3, "D3": 0} {
		s.Outlets = append(s.Outlets, survey.SiteOutlet{Outlet: survey.Outlet{ID: id, Strainer: unit.Inches(in)}})
	}
	got := StrainerFindings(s, unit.US)
	if len(got) != 1 || !strings.HasPrefix(got[0], `D2: its strainer stands 3" high`) {
		t.Errorf("%v", got)
	}
}

// TestPonds_BoardAllOver: 2 in of board all over a roof that ponds, its drains
// left where they are: every pond keeps its area and depth, and the drains lie
// 2 in under the new surface round them.
func TestPonds_BoardAllOver(t *testing.T) {
	z := func(p geom.Pt) float64 { // a dish away from the drain, on a fall of 1/16 in/ft
		return 0.0625*(p.X+30) - max(0, 2-0.4*p.Dist(geom.Pt{X: 10}))
	}
	s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{X: -29.75})}, 0.5, z)
	opt := usual(t)
	opt.InletIn = Inlets(s, surf, nil)
	old := checked(t, s, surf, opt)
	raised := surfaceOf(s, 0.5, func(p geom.Pt) float64 { return z(p) + 2 })
	now := checked(t, s, raised, opt)
	if len(old.Ponds) != 1 || len(now.Ponds) != 1 {
		t.Fatalf("%d and %d ponds", len(old.Ponds), len(now.Ponds))
	}
	p, q := old.Ponds[0], now.Ponds[0]
	within(t, "depth", q.DepthIn, p.DepthIn, 1e-9)
	within(t, "area", q.SqFt, p.SqFt, 1e-6)
	within(t, "volume", q.CuFt, p.CuFt, 1e-6)
	within(t, "the surface over the drain", Lowest(raised, OutletCells(s, raised)[0])-opt.InletIn[0], 2, 1e-9)
	if now.PondsFree != FallsShort {
		t.Errorf("a uniform board drains the roof: %v", now.PondsFree)
	}
}

// TestPonds_BoxedIn: a low house roof boxed in by an addition: 3 in stand at the
// middle, and 4 in must before the drain runs. The low place is a cone of radius 12
// ft, the drain in a level corner: pi r^2 h/3 = 50.2655 cu ft at 4 in, and (3/4)^3
// of that at 3 in.
func TestPonds_BoxedIn(t *testing.T) {
	z := func(p geom.Pt) float64 { return 4 * p.Norm() / 12 }
	s, surf := roofOf(t, box(24, 24), []survey.Outlet{drainAt("D1", geom.Pt{X: 11.75, Y: 11.75})}, 0.5, func(p geom.Pt) float64 { return min(4, z(p)) })
	r := checked(t, s, surf, usual(t))
	p := &r.Ponds[0]
	within(t, "depth at which the drain runs, in", p.DepthIn, 4, 1.0/16)
	if p.Misses != "D1" || p.Cause != Sag || !strings.Contains(p.Why(unit.US), "must stand before any reaches D1") {
		t.Errorf("%v: %s", p.Cause, p.Why(unit.US))
	}
	const full = 50.2655
	within(t, "cu ft", p.CuFt, full, 0.01*full)
	_, cuft := r.Stage(p).At(p.SpillIn - 1)
	within(t, "cu ft at 3 in", cuft, full*27/64, 0.01*full*27/64)
}
