package drainage

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// withOverflow is the roof of N7 with a drain at the middle and an overflow, and
// parapets of 12 in above job elevation zero.
func withOverflow(o survey.Outlet, rain survey.Rain) rainRoof {
	a := rectangle(60, 40)
	for n := range a.Edges {
		a.Edges[n] = survey.Edge{Kind: survey.Parapet, Height: at(12)}
	}
	o.ID, o.Overflow = "O1", true
	a.Outlets = []survey.Outlet{{ID: "D1", Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 30, Y: 20}, Size: 4 * unit.Inch}, o}
	return rainRoof{area: a, z: ofN7, rain: rain}
}

// TestRainOn_OverflowTooSmall: an overflow at the right height that does not
// take the water does not protect. 2,400 sq ft at 8 in/h are 199.5 gpm (8/96.25
// gpm a sq ft). A 4 in drain takes 180 at 2 1/2 in, where its table ends, so the
// water stands more than 2 + 2 1/2 in deep, 23.4 psf; a scupper 8 in wide and 4
// in high takes 2.9 x 8 x 4^1.5 = 185.6 with its opening full.
func TestRainOn_OverflowTooSmall(t *testing.T) {
	heavy := survey.Rain{Rate: 4 * unit.InchPerHour, OverflowRate: 8 * unit.InchPerHour}
	level := func(geom.Pt) float64 { return 0 }
	drain := survey.Outlet{Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 32, Y: 20}, Size: 4 * unit.Inch, Inlet: at(2)}
	roof := withOverflow(drain, heavy)
	roof.z = level
	_, out := roof.run(t)
	b := out.Bays[0]
	if b.Protects != FallsShort || !strings.Contains(b.Why, "O1 does not protect") || !strings.Contains(b.Why, "takes 180 gpm of the 199 gpm") {
		t.Errorf("drain: %v, %s", b.Protects, b.Why)
	}
	within(t, "least head", b.DhOverIn, 2.5, 1e-9)
	within(t, "least load", b.LoadPsf, 5.2*4.5, 1e-9)
	if !b.AtLeast || b.DhIn != -1 || !out.AtLeast {
		t.Errorf("the head is told: %+v", b)
	}
	within(t, "water over the drain", out.BlockedIn[len(out.BlockedIn)/2], 4.5, 1e-9)

	scupper := survey.Outlet{Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 30}, Width: 8 * unit.Inch, Opening: 4 * unit.Inch, Inlet: at(3)}
	roof = withOverflow(scupper, heavy)
	roof.z = level
	_, out = roof.run(t)
	if b := out.Bays[0]; b.Protects != FallsShort || !strings.Contains(b.Why, "takes 186 gpm of the 199 gpm") || b.AtLeast || out.AtLeast {
		t.Errorf("scupper: %v, %s", b.Protects, b.Why)
	}
	// Of a bore without a table nothing is known; without a rate the height alone
	// is judged.
	drain.Size = 5 * unit.Inch
	roof = withOverflow(drain, heavy)
	roof.z = level
	_, out = roof.run(t)
	if b := out.Bays[0]; b.Protects != Unknown || !b.AtLeast || !out.AtLeast {
		t.Errorf("no table: %v, %s", b.Protects, b.Why)
	}
	roof.rain = survey.Rain{}
	_, out = roof.run(t)
	if b := out.Bays[0]; b.Protects != Meets || !strings.Contains(b.Why, "protects by its height") || !out.AtLeast {
		t.Errorf("no rate: %v, %s", b.Protects, b.Why)
	}
}

// TestRainOn_SharedTooSmall: two overflow drains of 180 gpm each beside one
// another take 360 of 2,400 sq ft x 16 in/h / 96.25 = 399 gpm.
func TestRainOn_SharedTooSmall(t *testing.T) {
	drain := survey.Outlet{Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 32, Y: 20}, Size: 4 * unit.Inch, Inlet: at(2)}
	roof := withOverflow(drain, survey.Rain{Rate: 4 * unit.InchPerHour, OverflowRate: 16 * unit.InchPerHour})
	roof.z = func(geom.Pt) float64 { return 0 }
	second := roof.area.Outlets[1]
	second.ID, second.At = "O2", geom.Pt{X: 28, Y: 20}
	roof.area.Outlets = append(roof.area.Outlets, second)
	_, out := roof.run(t)
	for _, f := range out.Outlets[1:] {
		if f.Verdict != FallsShort || !strings.Contains(f.Words, "360 gpm of the 399 gpm") {
			t.Errorf("%+v", f)
		}
	}
	if b := out.Bays[0]; b.Protects != FallsShort {
		t.Errorf("%v, %s", b.Protects, b.Why)
	}
}

// TestRainOn_ToTheParapet: where nothing lets the water go, it stands to the
// lowest parapet and no higher, though the roof rises over that.
func TestRainOn_ToTheParapet(t *testing.T) {
	blocked := survey.Outlet{Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 30}, Width: unit.Foot, Opening: 4 * unit.Inch, Inlet: at(7),
		State: survey.Blocked}
	roof := withOverflow(blocked, stormy)
	for n := range roof.area.Edges {
		roof.area.Edges[n].Height = at(6) // the roof is 7 1/2 in high at its ends
	}
	s, out := roof.run(t)
	surf := surfaceOf(s, 0, func(p geom.Pt) float64 { return ofN7(s.Frame.ToJob(p)) })
	deepestIn := 0.0
	for k, on := range surf.Roof {
		if on {
			deepestIn = math.Max(deepestIn, out.BlockedIn[k]-surf.ElevIn[k])
		}
	}
	within(t, "deepest", deepestIn, 6, 0.1)
	within(t, "to the parapet", out.Bays[0].ParapetIn, 6, 0.1)
	if out.AtLeast {
		t.Error("the depth is not the least")
	}
	if f := out.Outlets[1]; f.Verdict != FallsShort || !strings.Contains(f.Words, "takes nothing") {
		t.Errorf("blocked: %v, %s", f.Verdict, f.Words)
	}
}

// TestRainOn_BlockedPrimary: a blocked drain takes nothing, which falls short.
func TestRainOn_BlockedPrimary(t *testing.T) {
	roof := withOverflow(survey.Outlet{Kind: survey.Drain, Edge: -1, At: geom.Pt{X: 32, Y: 20}, Size: 4 * unit.Inch, Inlet: at(2)}, stormy)
	roof.area.Outlets[0].State = survey.Blocked
	_, out := roof.run(t)
	if f := out.Outlets[0]; f.Verdict != FallsShort || f.Gpm != 0 || !strings.Contains(f.Words, "takes nothing") {
		t.Errorf("%+v", f)
	}
}

// TestRainOn_Untold: where nothing tells how high the overflow and the parapets
// stand over a finished surface, nothing is said to be buried or to protect, and
// the depth is the least there can be: water leaves no lower than the surface at
// the scupper, 5 in over the drain on the roof of N7, and where the overflow is
// blocked, no lower than that at the lowest edge, 5 in too.
func TestRainOn_Untold(t *testing.T) {
	const why = "no core tells how thick the old roof is"
	for _, inletIn := range []float64{1, 7.5, 20} { // buried, over it, higher than all
		for _, state := range []survey.OutletState{survey.Works, survey.Blocked} {
			roof := withOverflow(survey.Outlet{Kind: survey.Scupper, Edge: 0, At: geom.Pt{X: 30}, Width: unit.Foot, Opening: 4 * unit.Inch,
				Inlet: at(inletIn), State: state}, stormy)
			roof.untold = why
			s, out := roof.run(t)
			b := out.Bays[0]
			if !strings.Contains(b.Why, why) || b.ParapetIn != -1 || !out.AtLeast {
				t.Errorf("inlet at %g, %v: %+v", inletIn, state, b)
			}
			mid := surfaceOf(s, 0, ofN7)
			i, j := mid.CellOf(s.Outlets[0].P)
			within(t, "least water over the drain", out.BlockedIn[j*mid.NX+i], 5, 0.13)
			if state == survey.Blocked {
				continue
			}
			within(t, "least ds", b.DsIn, 5, 0.13)
			within(t, "least load", b.LoadPsf, 5.2*b.DsIn, 1e-9)
			if b.Protects != Unknown || b.DhIn != -1 || !b.AtLeast || out.Outlets[1].Verdict != Unknown {
				t.Errorf("inlet at %g: %+v, %+v", inletIn, b, out.Outlets[1])
			}
		}
	}
}

// TestOverflow_Untold: nor do the rules judge such an overflow.
func TestOverflow_Untold(t *testing.T) {
	for _, overIn := range []float64{-2, 3, 9} {
		s, surf := roofOf(t, box(60, 40), []survey.Outlet{drainAt("D1", geom.Pt{X: -10}), overflowAt("O1", geom.Pt{X: 10})}, 0.5,
			func(geom.Pt) float64 { return 5 })
		opt := usual(t)
		opt.InletIn = []float64{5, 5 + overIn}
		opt.InletWhy = []string{"", "no core"}
		if f := found(t, checked(t, s, surf, opt), "overflow", "O1"); f.Verdict != Unknown || f.Figure != nil || !strings.Contains(f.Why, "not known: no core") {
			t.Errorf("%g in over: %+v", overIn, f)
		}
	}
}
