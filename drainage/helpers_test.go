package drainage

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// roofOf is a rectangular area w x d ft round the frame's origin with the
// given outlets, and a raster of cellFt over it.
func roofOf(t testing.TB, outline geom.Ring, outlets []survey.Outlet, cellFt float64, z func(p geom.Pt) float64) (*survey.Site, *survey.Surface) {
	t.Helper()
	s := &survey.Site{Name: "A", Outline: outline}
	for n := range outline {
		s.Edges = append(s.Edges, survey.SiteEdge{A: outline[n], B: outline.At(n + 1)})
	}
	for _, o := range outlets {
		so := survey.SiteOutlet{Outlet: o, P: o.At, A: o.At, B: o.At}
		if o.Edge >= 0 {
			so.A, so.B = s.Edges[o.Edge].A, s.Edges[o.Edge].B
			so.P = so.A.Lerp(so.B, 0.5)
		}
		s.Outlets = append(s.Outlets, so)
	}
	return s, surfaceOf(s, cellFt, z)
}

func surfaceOf(s *survey.Site, cellFt float64, z func(p geom.Pt) float64) *survey.Surface {
	return surfaceOn(s, survey.LatticeOf(s, cellFt), z)
}

func surfaceOn(s *survey.Site, l survey.Lattice, z func(p geom.Pt) float64) *survey.Surface {
	surf := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: make([]float64, l.Len())}
	for k, roof := range surf.Roof {
		if roof {
			surf.ElevIn[k] = z(l.Centre(k%l.NX, k/l.NX))
		}
	}
	return surf
}

func box(w, d float64) geom.Ring {
	return geom.Box{Min: geom.Pt{X: -w / 2, Y: -d / 2}, Max: geom.Pt{X: w / 2, Y: d / 2}}.Ring()
}

// noisyRoof is a low-slope roof of half-foot cells with ripples, low spots and
// noise, closed all round, with a drain in every 100 ft square.
func noisyRoof(t testing.TB, nx, ny int) (*survey.Site, *survey.Surface) {
	rnd := rand.New(rand.NewPCG(11, 13))
	wFt, dFt := float64(nx)/2, float64(ny)/2
	var drains []survey.Outlet
	for y := 50.0; y < dFt; y += 100 {
		for x := 50.0; x < wFt; x += 100 {
			drains = append(drains, drainAt("D"+strconv.Itoa(len(drains)+1), geom.Pt{X: x - wFt/2, Y: y - dFt/2}))
		}
	}
	return roofOf(t, box(wFt, dFt), drains, 0.5, func(p geom.Pt) float64 {
		x, y := p.X+wFt/2, p.Y+dFt/2
		toDrain := math.Max(math.Abs(math.Mod(x, 100)-50), math.Abs(math.Mod(y, 100)-50))
		return toDrain/4 + 0.3*math.Sin(x/1.35)*math.Cos(y/1.83) + 0.6*math.Sin(x/5.65)*math.Cos(y/4.22) + 0.01*rnd.Float64()
	})
}

// roughRoof is random terrain of many sizes, open all round.
func roughRoof(t testing.TB, nx, ny int) (*survey.Site, *survey.Surface) {
	rnd := rand.New(rand.NewPCG(5, 9))
	return roofOf(t, box(float64(nx)/2, float64(ny)/2), openAllRound(), 0.5, func(p geom.Pt) float64 {
		z := rnd.Float64()
		for periodFt := 2.5; periodFt < 1000; periodFt *= 2.3 {
			z += periodFt / 1.5 * math.Sin(p.X/periodFt*2*math.Pi) * math.Cos(p.Y/periodFt/1.2*2*math.Pi)
		}
		return z
	})
}

// openAllRound are the four open edges of a box.
func openAllRound() []survey.Outlet {
	var o []survey.Outlet
	for n := range 4 {
		o = append(o, survey.Outlet{ID: "A-" + string(rune('0'+n)), Kind: survey.OpenOutlet, Edge: n})
	}
	return o
}

func drainAt(id string, p geom.Pt) survey.Outlet {
	return survey.Outlet{ID: id, Kind: survey.Drain, At: p, Edge: -1}
}

func usual(t testing.TB) Options {
	t.Helper()
	rules, err := RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	return Options{
		Rules:  rules,
		Ponds:  survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)},
		Window: unit.Feet(4),
	}
}

func checked(t testing.TB, s *survey.Site, surf *survey.Surface, opt Options) *Report {
	t.Helper()
	if opt.InletIn == nil {
		opt.InletIn = Inlets(s, surf, nil)
	}
	r, err := Check(context.Background(), s, surf, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Check(); err != nil {
		t.Fatal(err)
	}
	return r
}

func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, tol)
	}
}

// inFull passes over a long test under -short, which the run with the race
// detector asks for: it looks for races, and shorter tests run the same code.
func inFull(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("runs in full without -short")
	}
}
