package drainage

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestStage_PartFilled: paraboloid and cone of radius 10 ft and depth 2 in with
// d in of water at the middle, by pi a^2 h/2 and pi a^2 h/3 at that depth: one
// full pond, asked for less; and the level asked for by the volume.
func TestStage_PartFilled(t *testing.T) {
	for n, z := range []func(p geom.Pt) float64{basins()[0].z, basins()[1].z} {
		s, surf := roofOf(t, box(24, 24), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, z)
		opt := usual(t)
		opt.InletIn = []float64{0}
		r := checked(t, s, surf, opt)
		st := r.Stage(&r.Ponds[0])
		for _, c := range []struct{ dIn, areaPara, volPara, areaCone, volCone float64 }{
			{0.5, 78.5398, 1.63625, 19.6350, 0.27271},
			{1.0, 157.0796, 6.54498, 78.5398, 2.18166},
			{1.5, 235.6194, 14.72622, 176.7146, 7.36311},
			{2.0, 314.1593, 26.17994, 314.1593, 17.45329},
		} {
			wantSqft, wantCuft := c.areaPara, c.volPara
			if n == 1 {
				wantSqft, wantCuft = c.areaCone, c.volCone
			}
			sqft, cuft := st.At(c.dIn - 2)
			within(t, "area", sqft, wantSqft, 0.01*wantSqft)
			within(t, "volume", cuft, wantCuft, 0.01*wantCuft)
			within(t, "level", st.Level(wantCuft), c.dIn-2, 0.01)
		}
		if full := r.Ponds[0]; st.Level(2*full.CuFt) != full.SpillIn || math.Abs(st.Level(0)-(full.SpillIn-full.DepthIn)) > 0.01 {
			t.Errorf("empty at %g in, more than full at %g in", st.Level(0), st.Level(2*full.CuFt))
		}
		sqft, cuft := st.At(100)
		within(t, "area, full", sqft, r.Ponds[0].SqFt, 1e-9)
		within(t, "volume, full", cuft, r.Ponds[0].CuFt, 1e-9)
	}
}

// TestInner: a pond 3 in deep at its deepest, of two dishes that part 1 in under
// its level: each is a cone up to there, pi a^2 h/3. Shallow dimples are none.
func TestInner(t *testing.T) {
	z := func(p geom.Pt) float64 { // cones of 1/4 in/ft that meet at -1 in, in a bowl of 1/4 in/ft
		return math.Min(p.Dist(geom.Pt{X: -8})*0.25-3, p.Dist(geom.Pt{X: 8})*0.25-3)
	}
	s, surf := roofOf(t, box(60.5, 50.5), openAllRound(), 0.5, z)
	opt := usual(t)
	opt.InletIn = make([]float64, 4) // all edges at 0
	r := checked(t, s, surf, opt)
	if len(r.Ponds) != 1 || len(r.Ponds[0].Inner) != 2 {
		t.Fatalf("%d ponds: %+v", len(r.Ponds), r.Ponds[0].Inner)
	}
	p := &r.Ponds[0]
	for _, in := range p.Inner {
		within(t, "parts at, in", in.SpillIn, -1, 0.05)
		within(t, "deep, in", in.DepthIn, 2, 1.0/16)
		within(t, "cu ft", in.CuFt, math.Pi*64*2/12/3, 0.03*math.Pi*64*2/12/3)
		within(t, "sq ft", in.SqFt, math.Pi*64, 0.03*math.Pi*64)
		within(t, "place", math.Abs(in.Deepest.X), 8, 0.3)
	}
	// At the level where they part the whole holds what both do.
	_, both := r.Stage(p).At(-1)
	within(t, "both", both, p.Inner[0].CuFt+p.Inner[1].CuFt, 0.03*both)
	// A roof with dimples too shallow to report stays one pond.
	dimpled := surfaceOf(s, 0.5, func(p geom.Pt) float64 { return 0.1*p.Norm() - 2 + 0.05*math.Sin(3*p.X)*math.Sin(3*p.Y) })
	if r := checked(t, s, dimpled, opt); len(r.Ponds) != 1 || len(r.Ponds[0].Inner) != 0 {
		t.Errorf("%d ponds, %d within", len(r.Ponds), len(r.Ponds[0].Inner))
	}
}

// TestRemnant: a cone of radius 10 ft, 2 in deep, of which 1/2 in dries off at
// every place: the level falls to 1.5 in, and 7.36311 cu ft are left.
func TestRemnant(t *testing.T) {
	s, surf := roofOf(t, box(24, 24), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, basins()[1].z)
	for dryIn, want := range map[float64]*Remnant{
		0: nil, 0.5: {1.5, 176.7146, 7.36311}, 1: {1, 78.5398, 2.18166}, 2.5: {},
	} {
		opt := usual(t)
		opt.InletIn, opt.Ponds.Drying = []float64{0}, unit.Inches(dryIn)
		got := checked(t, s, surf, opt).Ponds[0].Left
		if (got == nil) != (want == nil) {
			t.Fatalf("%g in dries: %+v", dryIn, got)
		}
		if got == nil {
			continue
		}
		within(t, "depth", got.DepthIn, want.DepthIn, 0.05)
		within(t, "area", got.SqFt, want.SqFt, 0.01*want.SqFt)
		within(t, "volume", got.CuFt, want.CuFt, 0.01*want.CuFt)
	}
}

// TestAfterRain: rain on 24 x 24 ft runs into a cone of radius 10 ft that holds
// 17.45329 cu ft 2 in deep: 576 sq ft x 0.1 in = 4.8 cu ft stand 2 (4.8 /
// 17.45329)^(1/3) = 1.3007 in deep. What falls is what stands and what left.
func TestAfterRain(t *testing.T) {
	s, surf := roofOf(t, box(24, 24), []survey.Outlet{drainAt("D1", geom.Pt{})}, 0.5, basins()[1].z)
	opt := usual(t)
	opt.InletIn = []float64{0}
	r := checked(t, s, surf, opt)
	for _, c := range []struct{ rainIn, cuft, depthIn float64 }{
		{0.1, 4.8, 1.3007}, {0.2, 9.6, 1.6387}, {1, 17.45329, 2},
	} {
		got := r.AfterRain(unit.Inches(c.rainIn))
		p := got.Ponds[0]
		within(t, "cu ft", p.CuFt, c.cuft, 0.01*c.cuft)
		within(t, "depth in", p.DepthIn, c.depthIn, 1.0/16)
		within(t, "fell", got.FellCuFt, 48*c.rainIn, 1e-9)
		within(t, "stands and left", got.StandsCuFt+got.LeftCuFt[0], got.FellCuFt, 1e-9*got.FellCuFt)
		if p.Full != (c.rainIn == 1) {
			t.Errorf("%g in of rain: full %v", c.rainIn, p.Full)
		}
	}
	if (&Report{}).AfterRain(1) != nil {
		t.Error("a report that no check made")
	}
}
