package fit

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// hungRoof is a roof with a court, scattered shots, hung on a lattice.
func hungRoof(t testing.TB, shots int, cellFt float64) (*survey.Site, places, *system, []hold) {
	t.Helper()
	rng := seeded(t)
	a := survey.Area{Outline: rect(0, 0, 60, 45), Courts: []geom.Ring{rect(20, 15, 33, 26)}}
	poly := geom.Poly{Outer: a.Outline, Holes: a.Courts}
	for len(a.Shots) < shots {
		if p := (geom.Pt{X: 60 * rng.Float64(), Y: 45 * rng.Float64()}); poly.Has(p) {
			addShot(&a, p, 3*math.Sin(p.X/12)+rng.NormFloat64()/4)
		}
	}
	s := survey.SiteOf(&a, nil)
	p, err := usable(s)
	if err != nil {
		t.Fatal(err)
	}
	sys, hs := newHung(s, newWalls(s), p, cellFt, 7)
	if len(hs) != shots {
		t.Fatalf("%d of %d shots hang on the ground", len(hs), shots)
	}
	return s, p, sys, hs
}

// The hat matrix tells what a surface refitted without a shot would say there.
func TestSmooth_LeaveOneOutIsBruteForce(t *testing.T) {
	t.Parallel()
	_, _, sys, hs := hungRoof(t, 40, 2)
	hat, ok := hatOf(sys, hs, strengthOf(0.7, 7))
	if !ok {
		t.Fatal("singular")
	}
	for _, reach := range []float64{0.15, 0.5, 1, 3} {
		strength := strengthOf(reach, 7)
		told := hat.leaveOneOut(strength)
		for n := range hs {
			var rest []hold
			for m := range hs {
				if m != n {
					rest = append(rest, hs[m])
				}
			}
			alone := sys.again(rest)
			u, err := alone.answer(t.Context(), strength)
			if err != nil {
				t.Fatal(err)
			}
			if want := hs[n].zIn - alone.at(hs[n], u); math.Abs(told.miss[n]-want) > 1e-5*(1+math.Abs(want)) {
				t.Errorf("reach %.2f, shot %d: told %.8f, refitted %.8f", reach, n, told.miss[n], want)
			}
		}
	}
}

// again is the same ground and bending with other shots hung on it.
func (s *system) again(hs []hold) *system {
	out := &system{g: s.g, cell: s.cell, num: s.num, bend: s.bend,
		data: make([]rows25, len(s.cell)), rhs: make([]float64, len(s.cell))}
	for _, h := range hs {
		out.pull(h)
	}
	out.pin(hs)
	return out
}

func TestSmooth_IterationAgreesWithFactor(t *testing.T) {
	_, _, sys, _ := hungRoof(t, 40, 1.5)
	for _, reach := range []float64{0.2, 0.7, 2} {
		m := sys.matrix(strengthOf(reach, 7))
		f, ok := sys.factorise(m)
		if !ok {
			t.Fatal("singular")
		}
		want := append([]float64(nil), sys.rhs...)
		f.solve(want)
		got, err := sys.iterate(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		for n := range got {
			if math.Abs(got[n]-want[n]) > 1e-7 {
				t.Fatalf("reach %.1f: unknown %d is %.10f by iteration, %.10f by factor", reach, n, got[n], want[n])
			}
		}
	}
}

// A strength is square feet: the same surface comes out on cells of 2 ft and
// of 1 ft.
func TestSmooth_StrengthMeansTheSameOnAnyLattice(t *testing.T) {
	_, p, _, _ := hungRoof(t, 60, 2)
	a := survey.Area{Outline: rect(-30, -22.5, 30, 22.5), Courts: []geom.Ring{rect(-10, -7.5, 3, 3.5)}}
	s := &survey.Site{Outline: a.Outline, Courts: a.Courts}
	fitted := func(cellFt float64) []float64 {
		sys, hs := newHung(s, newWalls(s), p, cellFt, 7)
		u, err := sys.answer(t.Context(), strengthOf(0.7, 7))
		if err != nil {
			t.Fatal(err)
		}
		var at []float64
		for _, h := range hs {
			at = append(at, sys.at(h, u))
		}
		return at
	}
	coarse, fine := fitted(2), fitted(1)
	sum := 0.0
	for i := range coarse {
		sum += (coarse[i] - fine[i]) * (coarse[i] - fine[i])
	}
	if rms := math.Sqrt(sum / float64(len(coarse))); rms > 0.02 {
		t.Errorf("surfaces on 2 ft and 1 ft cells differ by %.4f in rms at the shots, whose range is 6 in", rms)
	}
}

func TestRoofCells_AgreesWithOnRoof(t *testing.T) {
	rng := seeded(t)
	for n := range 30 {
		a := survey.Area{Outline: geom.Ring{{X: 0, Y: 0}, {X: 60 + 20*rng.Float64(), Y: 5 * rng.Float64()}, {X: 50, Y: 40},
			{X: 25, Y: 22}, {X: 5, Y: 45}}}
		if n%2 == 0 {
			a.Outline = geom.Ring{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 20}, {X: 30, Y: 20}, {X: 30, Y: 40}, {X: 0, Y: 40}}
		}
		a.Courts = []geom.Ring{rect(10, 8, 16, 14)}
		a.Curbs = []survey.Curb{{At: geom.Pt{X: 30, Y: 10}, W: 5, D: 4, Turn: 90 * rng.Float64()}}
		s := survey.SiteOf(&a, nil)
		l := survey.LatticeOf(s, []float64{0.5, 1, 1.3}[n%3])
		for k, got := range survey.RoofCells(s, l) {
			if want := s.OnRoof(l.Centre(k%l.NX, k/l.NX)); got != want {
				t.Fatalf("roof %d: cell %d is %v, want %v", n, k, got, want)
			}
		}
	}
}
