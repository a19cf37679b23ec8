package drainage

import (
	"context"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// bayRoof is one bay of 40 x 20 ft spanning the 40, on a plane that rises by 1/4
// in/ft from an open edge at x = -20 of the frame.
func bayRoof(t testing.TB, riseInPerFt float64) (*survey.Site, *survey.Surface, []survey.Bay) {
	t.Helper()
	ring := geom.Ring{{X: -20, Y: -10}, {X: 20, Y: -10}, {X: 20, Y: 10}, {X: -20, Y: 10}}
	s, surf := roofOf(t, ring, []survey.Outlet{{ID: "A-3", Kind: survey.OpenOutlet, Edge: 3}}, 0.25,
		func(p geom.Pt) float64 { return riseInPerFt * (p.X + 20) })
	return s, surf, []survey.Bay{{ID: "1-1", Whole: ring, Polys: []geom.Poly{{Outer: ring}}}}
}

// A uniformly loaded simple beam: L/n in its middle, 38.4/n in/ft at its ends.
// L/240 takes 0.16 of a slope of 1/4 in/ft there, L/154 cancels it.
func TestDeflected_EndSlope(t *testing.T) {
	for _, n := range []float64{154, 240, 360} {
		_, surf, bays := bayRoof(t, 0.25)
		out, mostIn := Deflected(surf, bays, geom.Pt{X: 1}, survey.DeckKind{SagOf: n})
		within(t, "middle", mostIn, 480/n, 1e-12)
		row := surf.NY / 2 * surf.NX
		sagIn := func(i int) float64 { return surf.ElevIn[row+i] - out.ElevIn[row+i] }
		// The first cells lie 0.125 and 0.375 ft from the end.
		within(t, "slope taken at the end", (sagIn(1)-sagIn(0))/surf.CellFt, 38.4/n, 38.4/n*0.001)
		within(t, "the same at both ends", sagIn(0), sagIn(surf.NX-1), 1e-12)
		middle := (sagIn(surf.NX/2-1) + sagIn(surf.NX/2)) / 2
		within(t, "middle of the raster", middle, 480/n, 480/n*1e-3)
	}
	within(t, "L/240 takes", 38.4/240, 0.16, 1e-12)
	within(t, "L/154 cancels", 38.4/154, 0.25, 0.001)
	for u := 0.0; u <= 1; u += 0.125 { // load is the fourth derivative: the ends carry none, so they do not bend
		h := 1e-3
		bend := (beamIn(1, u+h) - 2*beamIn(1, u) + beamIn(1, u-h)) / h / h
		within(t, "bending", bend, 16.0/5*12*(u*u-u), 1e-3)
	}
}

// The stated camber rises, and a span across the bay bends the other way.
func TestDeflected_CamberAndSpan(t *testing.T) {
	_, surf, bays := bayRoof(t, 0)
	out, mostIn := Deflected(surf, bays, geom.Pt{Y: 1}, survey.DeckKind{Camber: unit.Inches(0.75)})
	within(t, "camber", mostIn, -0.75, 1e-12)
	for k, on := range surf.Roof {
		if p := surf.Centre(k%surf.NX, k/surf.NX); on {
			within(t, "curve", out.ElevIn[k], beamIn(0.75, (p.Y+10)/20), 1e-9)
		}
	}
}

// A plane of 1/4 in/ft that sags L/154 or less stays dry; at L/100 a pond stands
// whose depth follows from the curve.
func TestTryDeflection_Ponds(t *testing.T) {
	for n, ponds := range map[float64]int{240: 0, 160: 0, 100: 1} {
		s, surf, bays := bayRoof(t, 0.25)
		opt := usual(t)
		opt.InletIn = Inlets(s, surf, nil)
		was, err := Standing(context.Background(), s, surf, opt)
		if err != nil {
			t.Fatal(err)
		}
		span := 0.0
		d := survey.DeckKind{SagOf: n, SpanDeg: &span}
		trial := DeflectionTrial{Site: s, Was: was, Opt: opt, Deck: d, Bays: bays, Units: unit.US,
			Inlets: func(surf *survey.Surface) []float64 { return Inlets(s, surf, nil) }}
		w, err := TryDeflection(context.Background(), trial)
		if err != nil {
			t.Fatal(err)
		}
		if len(w.Report.Ponds) != ponds || !strings.Contains(w.Words, "L/") {
			t.Fatalf("L/%g: %d ponds, %s", n, len(w.Report.Ponds), w.Words)
		}
		deepIn := 0.0
		for x := 0.0; x < 40; x += 0.01 {
			deepIn = math.Max(deepIn, beamIn(480/n, x/40)-0.25*x)
		}
		if ponds > 0 {
			within(t, "depth", w.Report.Ponds[0].DepthIn, deepIn, 1.0/16)
		}
		if len(was.Ponds) != 0 {
			t.Error("the surface as it is was changed")
		}
		trial.Deck.SpanDeg = nil
		if w, err := TryDeflection(context.Background(), trial); w != nil || err != nil {
			t.Errorf("tried without a span: %+v, %v", w, err)
		}
	}
}
