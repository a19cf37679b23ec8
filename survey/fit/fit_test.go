package fit

import (
	"context"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// Values of Franke's function, from its formula (NPS-53-79-003, 1979) worked
// out apart from this program.
func TestFranke_Values(t *testing.T) {
	for _, c := range [][3]float64{
		{0, 0, 0.7664205913}, {1, 0, 0.1075575523}, {0, 1, 0.2703371616}, {1, 1, 0.0358695924}, {0.2, 0.2, 1.2185807042},
		{0.5, 0.5, 0.3257620893}, {0.25, 0.25, 1.1652833230}, {0.75, 0.25, 0.5893585653}, {0.25, 0.75, 0.2724132516},
		{4.0 / 9, 7.0 / 9, 0.0038216054}, {0.205992, 0.208050, 1.2200325712}, {0.754742, 0.326338, 0.6426031910},
		{0.455710, 0.784191, 0.0011152824},
	} {
		if got := franke(c[0], c[1]); math.Abs(got-c[2]) > 1e-9 {
			t.Errorf("franke(%g, %g) = %.10f, want %.10f", c[0], c[1], got, c[2])
		}
	}
	for _, c := range [][3]float64{{0, 0, 0.9810118431}, {0, 1.5, 7.9966202416}, {0, -1.5, -5.6802760019},
		{1, 0, 2.9369303164}, {-1, 0, -1.6523454639}, {1, 1, 2.4337891159}} {
		if got := peaks(c[0], c[1]); math.Abs(got-c[2]) > 1e-9 {
			t.Errorf("peaks(%g, %g) = %.10f, want %.10f", c[0], c[1], got, c[2])
		}
	}
}

// The mean of Franke's function over the square is 0.40696969, by the middles of
// 1,000 x 1,000 cells; its top, its second peak and its pit are level, and no
// place of the square lies over the top or under the pit.
func TestFranke_MeanAndEnds(t *testing.T) {
	const n = 1000
	sum, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for j := range n {
		for i := range n {
			z := franke((float64(i)+0.5)/n, (float64(j)+0.5)/n)
			sum, low, high = sum+z, math.Min(low, z), math.Max(high, z)
		}
	}
	if mean := sum / n / n; math.Abs(mean-0.40696969) > 1e-7 {
		t.Errorf("mean %.9f", mean)
	}
	if low < 0.0011152824-1e-9 || high > 1.2200325712+1e-9 {
		t.Errorf("from %g to %g", low, high)
	}
	for _, p := range [][2]float64{{0.205992, 0.208050}, {0.754742, 0.326338}, {0.455710, 0.784191}} {
		const h = 1e-4
		dx := (franke(p[0]+h, p[1]) - franke(p[0]-h, p[1])) / 2 / h
		dy := (franke(p[0], p[1]+h) - franke(p[0], p[1]-h)) / 2 / h
		if math.Hypot(dx, dy) > 1e-4 { // places are printed to a millionth
			t.Errorf("slopes %g, %g at %v", dx, dy, p)
		}
	}
}

func TestFit_PlaneIsReproduced(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		a    survey.Area
	}{
		{"rectangle", survey.Area{Outline: rect(0, 0, 80, 60)}},
		{"L with a court and a curb", survey.Area{
			Outline: geom.Ring{{X: 0, Y: 0}, {X: 120, Y: 0}, {X: 120, Y: 48}, {X: 72, Y: 48}, {X: 72, Y: 84}, {X: 0, Y: 84}},
			Courts:  []geom.Ring{rect(20, 20, 34, 41)},
			Curbs:   []survey.Curb{{At: geom.Pt{X: 50, Y: 20}, W: 8, D: 6}},
		}},
		{"turned triangle", survey.Area{Outline: geom.Ring{{X: 10, Y: 3}, {X: 90, Y: 40}, {X: 20, Y: 70}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := func(p geom.Pt) float64 { return 1200 + 0.25*p.X - 0.125*p.Y }
			gridShots(&c.a, 9, f)
			s, r := fitOf(t, &c.a, 0)
			for k := range r.Surface.Known { // unknown places lie on the plane too
				r.Surface.Known[k] = r.Surface.Roof[k]
			}
			if _, worst := misfit(s, r.Surface, f); worst > 1e-9 {
				t.Errorf("a plane is missed by %g in, %+v", worst, r.Scores)
			}
			_, surf, _ := tinOn(t, &c.a, 0)
			if _, worst := misfit(s, surf, f); worst > 1e-9 {
				t.Errorf("triangles miss a plane by %g in", worst)
			}
		})
	}
	a := survey.Area{Outline: rect(0, 0, 30, 30)}
	for _, p := range []geom.Pt{{X: 3, Y: 3}, {X: 27, Y: 4}, {X: 5, Y: 25}} {
		addShot(&a, p, p.X/4)
	}
	if s, r := fitOf(t, &a, 0); r.RMSEIn != 0 {
		t.Errorf("three shots tell an error of %g in", r.RMSEIn)
	} else if _, worst := misfit(s, r.Surface, func(p geom.Pt) float64 { return p.X / 4 }); worst > 1e-9 {
		t.Errorf("the plane of three shots is missed by %g in", worst)
	}
}

// Both methods on published surfaces, shots read with an error of 0.01 ft: the
// smoothing surface must win, and stay within a bound near what was measured.
func TestFit_PublishedSurfaces(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	for _, c := range []struct {
		name    string
		f       func(p geom.Pt) float64 // inches over 100 x 100 ft
		shots   int
		mostIn  float64 // rms of the fit
		lookFor string
	}{
		{"franke, 100 shots", func(p geom.Pt) float64 { return 12 * franke(p.X/100, p.Y/100) }, 100, 0.35, smoothMethod},
		{"franke, 400 shots", func(p geom.Pt) float64 { return 12 * franke(p.X/100, p.Y/100) }, 400, 0.08, smoothMethod},
		{"franke, 2,000 shots", func(p geom.Pt) float64 { return 12 * franke(p.X/100, p.Y/100) }, 2000, 0.045, smoothMethod},
		{"peaks, 400 shots", func(p geom.Pt) float64 { return peaks(p.X*0.06-3, p.Y*0.06-3) }, 400, 0.14, smoothMethod},
	} {
		a := survey.Area{Outline: rect(0, 0, 100, 100)}
		for range c.shots {
			p := geom.Pt{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}
			addShot(&a, p, c.f(p)+0.12*rng.NormFloat64())
		}
		s, r := fitOf(t, &a, 1)
		rms, worst := misfit(s, r.Surface, c.f)
		_, surf, _ := tinOn(t, &a, 1)
		surf.Known = r.Surface.Known
		tinRms, tinWorst := misfit(s, surf, c.f)
		t.Logf("%-20s kept %.4f in rms, %.3f worst; triangles %.4f, %.3f; leave-one-out %.4f and %.4f; sigma %.4f",
			c.name, rms, worst, tinRms, tinWorst, r.RMSEIn, r.Scores[1].RMSEIn, r.SigmaIn)
		if rms > c.mostIn || rms > tinRms || r.Method != c.lookFor {
			t.Errorf("%s: %.4f in rms by %s, want at most %.4f, and below %.4f", c.name, rms, r.Method, c.mostIn, tinRms)
		}
		if r.SigmaIn < rms/2 {
			t.Errorf("%s: sigma %.4f promises too much, the surface is off by %.4f", c.name, r.SigmaIn, rms)
		}
	}
}

// bowl is a low spot of 10 ft radius, 1 in deep in the middle.
func bowl(mid geom.Pt) func(p geom.Pt) float64 {
	return func(p geom.Pt) float64 {
		r := math.Min(10, p.Dist(mid))
		return -(1 + math.Cos(math.Pi*r/10)) / 2
	}
}

// A real low spot, 1 in deep and 10 ft in radius, survives on a 10 ft grid of
// shots read to 1/8 in, while the roof about it is smoothed. The loss of depth
// where a shot stands in its middle is stated here.
func TestFit_LowSpotSurvives(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	const runs = 20
	f := bowl(geom.Pt{X: 35, Y: 45})
	depth, rms := 0.0, 0.0
	for range runs {
		a := survey.Area{Outline: rect(0, 0, 80, 100)}
		gridShots(&a, 10, func(p geom.Pt) float64 { return f(p) + 0.125*rng.NormFloat64() })
		s, r := fitOf(t, &a, 0.5)
		z, _ := r.Surface.Elevation(s.Frame.ToLocal(geom.Pt{X: 35, Y: 45}))
		q, _ := misfit(s, r.Surface, f)
		depth -= z / runs
		rms += q / runs
	}
	t.Logf("mean depth kept %.3f in of 1, rms off the truth %.4f in", depth, rms)
	if depth < 0.85 || depth > 1.1 {
		t.Errorf("of a low spot 1 in deep %.3f in are kept on the mean of %d surveys", depth, runs)
	}
	if rms > 0.0625 {
		t.Errorf("%.4f in rms off the truth: half the reading error is not smoothed away", rms)
	}
}

// On a plane, reading errors of 1/8 in leave no more than a third of their
// size.
func TestFit_NoiseIsSmoothed(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	const runs = 20
	rms, sigma := 0.0, 0.0
	for range runs {
		f := func(p geom.Pt) float64 { return p.X / 8 }
		a := survey.Area{Outline: rect(0, 0, 80, 100)}
		gridShots(&a, 10, func(p geom.Pt) float64 { return f(p) + 0.125*rng.NormFloat64() })
		s, r := fitOf(t, &a, 1)
		q, _ := misfit(s, r.Surface, f)
		rms, sigma = rms+q/runs, sigma+r.SigmaIn/runs
	}
	t.Logf("rms %.4f in, sigma %.4f in", rms, sigma)
	// The plane of least squares itself keeps sqrt(3/80) of 1/8 in: 0.0242.
	if rms > 0.125/3 || sigma < rms/2 || sigma > 4*rms {
		t.Errorf("rms %.4f in, sigma %.4f in", rms, sigma)
	}
}

// Two levels on the two sides of a court do not mix, though shots face each
// other across it closer than along the roof.
func TestFit_CourtsAreHonoured(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		outline geom.Ring
		courts  []geom.Ring
	}{
		{"a court nearly from wall to wall", rect(0, 0, 60, 60), []geom.Ring{rect(28, 2, 32, 58)}},
		{"a thin court", rect(0, 0, 60, 60), []geom.Ring{rect(29.9, 2, 30.1, 58)}},
		{"two wings", geom.Ring{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 60}, {X: 32, Y: 60}, {X: 32, Y: 3}, {X: 28, Y: 3},
			{X: 28, Y: 60}, {X: 0, Y: 60}}, nil},
	} {
		a := survey.Area{Outline: c.outline, Courts: c.courts}
		f := func(p geom.Pt) float64 {
			if p.X < 30 {
				return 0
			}
			return 6
		}
		for y := 5.0; y < 60; y += 10 {
			for _, x := range []float64{4, 14, 25, 35, 46, 56} {
				addShot(&a, geom.Pt{X: x, Y: y}, f(geom.Pt{X: x, Y: y}))
			}
		}
		s, r := fitOf(t, &a, 0.5)
		_, surf, _ := tinOn(t, &a, 0.5)
		for name, surf := range map[string]*survey.Surface{"fit": r.Surface, "triangles": surf} {
			worst := 0.0
			for k, on := range surf.Roof {
				p := s.Frame.ToJob(surf.Centre(k%surf.NX, k/surf.NX))
				if on && p.Y > 15 && p.Y < 45 { // away from where the two sides join
					worst = math.Max(worst, math.Abs(surf.ElevIn[k]-f(p)))
				}
			}
			t.Logf("%s, %s: %.4f in", c.name, name, worst)
			if worst > 0.25 {
				t.Errorf("%s, %s: 6 in of step across the court leak %.3f in", c.name, name, worst)
			}
		}
	}
}

// A step of 1 in between two rows of shots: the surface stays within its bound,
// and in truth much closer.
func TestFit_Overshoot(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 80, 60)}
	gridShots(&a, 10, func(p geom.Pt) float64 {
		if p.X < 40 {
			return 0
		}
		return 1
	})
	_, r := fitOf(t, &a, 0.5)
	lo, hi := 0.0, 1.0
	for k, on := range r.Surface.Roof {
		if on {
			lo, hi = math.Min(lo, r.Surface.ElevIn[k]), math.Max(hi, r.Surface.ElevIn[k])
		}
	}
	t.Logf("a step of 1 in overshoots by %.3f and %.3f in (%s)", -lo, hi-1, r.Method)
	if lo < -0.15 || hi > 1.15 {
		t.Errorf("surface from %.3f to %.3f in", lo, hi)
	}
	p := places{zIn: []float64{-1, 2}}
	if got := p.bound([]float64{-9, 0, 9}, []bool{true, true, true}); got[0] != -4 || got[1] != 0 || got[2] != 5 {
		t.Errorf("bound gives %v, want -4, 0, 5", got)
	}
}

// randomL is an L with a court and noisy shots on a curved roof.
func randomL(t *testing.T, n uint64) survey.Area {
	rng := seeded(t)
	for range n {
		rng.Float64()
	}
	v := func(lo, hi float64) float64 { return math.Round(4*(lo+(hi-lo)*rng.Float64())) / 4 }
	w, h := v(60, 90), v(45, 70)
	cx, cy := v(25, w-25), v(20, h-20)
	a := survey.Area{Outline: geom.Ring{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: cy}, {X: cx, Y: cy}, {X: cx, Y: h}, {X: 0, Y: h}},
		Courts: []geom.Ring{rect(8, 6, 15, 13)}}
	gridShots(&a, 8, func(p geom.Pt) float64 {
		return math.Round(8*(1200+2*math.Sin(p.X/15)+p.Y/9+0.2*rng.NormFloat64())) / 8
	})
	return a
}

// A roof that is turned, mirrored, shifted or raised has the same surface.
func TestFit_Laws(t *testing.T) {
	t.Parallel()
	for n := range uint64(4) {
		a := randomL(t, n)
		s, r := fitOf(t, &a, 0.5)
		for _, way := range []struct {
			name   string
			f      func(p geom.Pt) geom.Pt
			raised float64
		}{
			{"turned", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} }, 0},
			{"mirrored", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} }, 0},
			{"shifted", func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X + 1234.5, Y: p.Y - 777.25} }, 0},
			{"raised", func(p geom.Pt) geom.Pt { return p }, 5000},
		} {
			b := survey.Area{Outline: a.Outline.Map(way.f), Courts: []geom.Ring{a.Courts[0].Map(way.f)}}
			for _, sh := range a.Shots {
				addShot(&b, way.f(sh.At), sh.Elev.Inches()+way.raised)
			}
			s2, r2 := fitOf(t, &b, 0.5)
			worst, known := 0.0, 0
			for k, on := range r.Surface.Roof {
				if !on {
					continue
				}
				p := s2.Frame.ToLocal(way.f(s.Frame.ToJob(r.Surface.Centre(k%r.Surface.NX, k/r.Surface.NX))))
				i, j := r2.Surface.CellOf(p)
				m := j*r2.Surface.NX + i
				if !r2.Surface.Roof[m] {
					t.Fatalf("%s: cell %d left the roof", way.name, k)
				}
				if r.Surface.Known[k] != r2.Surface.Known[m] {
					known++
				}
				worst = math.Max(worst, math.Abs(r.Surface.ElevIn[k]+way.raised-r2.Surface.ElevIn[m]))
			}
			if worst > 1e-6 || known > 0 || r.Method != r2.Method || math.Abs(r.RMSEIn-r2.RMSEIn) > 1e-9 {
				t.Errorf("roof %d %s: %.2g in off, %d cells known differently, errors %v and %v", n, way.name, worst, known,
					r.RMSEIn, r2.RMSEIn)
			}
		}
	}
}

// Known reaches one spacing beyond the outer shots and not through walls.
func TestFit_Known(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 200, 50), Courts: []geom.Ring{rect(60, 0.5, 61, 49.5)}}
	for x := 5.0; x < 60; x += 10 {
		for y := 5.0; y < 50; y += 10 {
			addShot(&a, geom.Pt{X: x, Y: y}, 0)
		}
	}
	s, r := fitOf(t, &a, 0.5)
	if math.Abs(r.SpacingFt-10) > 1e-9 {
		t.Errorf("spacing %g ft, want 10", r.SpacingFt)
	}
	for k, on := range r.Surface.Roof {
		if !on {
			continue
		}
		p := s.Frame.ToJob(r.Surface.Centre(k%r.Surface.NX, k/r.Surface.NX))
		if want := p.X < 60; p.Y > 5 && p.Y < 45 && r.Surface.Known[k] != want {
			t.Fatalf("%v known: %v", p, r.Surface.Known[k])
		}
		if p.X > 70 && r.Surface.Known[k] {
			t.Fatalf("%v is known", p)
		}
	}
}

func TestFit_Errors(t *testing.T) {
	line := []geom.Pt{{X: 1, Y: 1}, {X: 2, Y: 2}, {X: 9, Y: 9}, {X: 30, Y: 30}}
	for _, c := range []struct {
		name string
		pts  []geom.Pt
		zIn  float64
		says string
	}{
		{"none", nil, 0, "0 shots are used"},
		{"two", line[:2], 0, "2 shots are used"},
		{"a line", line, 0, "on one line"},
		{"not a number", []geom.Pt{{X: 1, Y: 1}, {X: 2, Y: 9}, {X: 9, Y: 3}}, math.NaN(), "not a number"},
		{"infinite", []geom.Pt{{X: 1, Y: 1}, {X: 2, Y: 9}, {X: 9, Y: 3}}, math.Inf(1), "not a number"},
	} {
		s := &survey.Site{Name: "A", Outline: rect(-40, -40, 40, 40)}
		for _, p := range c.pts {
			s.Shots = append(s.Shots, survey.SiteShot{P: p, ElevIn: c.zIn, ID: "7"})
		}
		_, err := Fit(t.Context(), s, survey.LatticeOf(s, 1), Options{})
		if err == nil || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), `area "A"`) {
			t.Errorf("%s: error %v", c.name, err)
		}
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	a := survey.Area{Outline: rect(0, 0, 60, 60)}
	gridShots(&a, 10, func(geom.Pt) float64 { return 0 })
	s := survey.SiteOf(&a, nil)
	if _, err := Fit(ctx, s, survey.LatticeOf(s, 1), Options{}); err != context.Canceled {
		t.Errorf("a stopped fit says %v", err)
	}
}

// Odd input neither panics nor gives a surface that breaks its laws.
func TestFit_OddRoofs(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	for n := range 60 {
		a := survey.Area{Outline: rect(0, 0, 1+40*rng.Float64(), 1+30*rng.Float64())}
		b := a.Outline.Box()
		w, h := b.Size()
		if n%3 == 0 {
			a.Courts = []geom.Ring{rect(w*0.3, h*0.2, w*0.31, h*0.9), rect(w*0.5, h*0.5, w*0.8, h*0.9)}
		}
		for range 3 + rng.IntN(30) {
			p := geom.Pt{X: w * (1.2*rng.Float64() - 0.1), Y: h * (1.2*rng.Float64() - 0.1)}
			if n%4 == 0 {
				p = geom.Pt{X: math.Round(p.X / 5), Y: math.Round(p.Y / 5)} // many at one place
			}
			addShot(&a, p, math.Pow(10, float64(n%7))*rng.NormFloat64())
		}
		s := survey.SiteOf(&a, nil)
		r, err := Fit(t.Context(), s, survey.LatticeOf(s, 0), Options{ReadingErrorIn: 0.1})
		if err != nil {
			continue // in a line
		}
		if err := r.Check(); err != nil {
			t.Errorf("roof %d: %v", n, err)
		}
		if least := 0.1 / math.Sqrt(float64(r.Used)); r.SigmaIn < least || r.ScatterIn < 0.1 {
			t.Errorf("roof %d: sigma %g under that of the mean of all readings, %g", n, r.SigmaIn, least)
		}
	}
}

// A surface through a point cloud with an object on the roof.
func TestFit_PointCloud(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	a := survey.Area{Outline: rect(0, 0, 100, 80)}
	f := func(p geom.Pt) float64 { return p.X/8 + math.Sin(p.Y/10) }
	car := rect(40, 30, 54, 37)
	for range 20000 {
		p := geom.Pt{X: 100 * rng.Float64(), Y: 80 * rng.Float64()}
		z := f(p) + 0.5*rng.NormFloat64()
		if car.Has(p) {
			z += 48
		}
		addShot(&a, p, z)
	}
	a, c := shotsOf(t, a)
	s, r := fitOf(t, &a, 0.5)
	rms, worst := misfit(s, r.Surface, f)
	t.Logf("%+v; rms %.4f, worst %.3f in", c, rms, worst)
	if rms > 0.15 || worst > 2 || r.Used >= 5000 || r.Used != c.Cells {
		t.Errorf("rms %.4f, worst %.3f in, %d cells used", rms, worst, r.Used)
	}
}

func TestLevel(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 30, 20), Courts: []geom.Ring{rect(5, 5, 10, 10)}}
	s := survey.SiteOf(&a, nil)
	surf := Level(s, survey.LatticeOf(s, 0), 12)
	if z, ok := surf.Elevation(s.Frame.ToLocal(geom.Pt{X: 20, Y: 10})); !ok || z != 12 {
		t.Errorf("level surface stands at %g, %v", z, ok)
	}
	if z, ok := surf.Elevation(s.Frame.ToLocal(geom.Pt{X: 7, Y: 7})); ok {
		t.Errorf("in the court it stands at %g", z)
	}
	if base, deck, r := Deck(s, surf, DeckInput{Scope: survey.TearOff}); base != surf || deck != surf ||
		!strings.Contains(r.Words, "NOT SURVEYED") {
		t.Error("a level deck is not base and deck")
	}
}

func BenchmarkFit(b *testing.B) {
	for _, c := range []struct {
		name         string
		w, h, stepFt float64
		cellFt       float64
	}{
		{"8,000 sq ft, 80 shots, 1/2 ft", 100, 80, 10, 0.5},
		{"100,000 sq ft, 1,000 shots, 1 ft", 400, 250, 10, 1},
		{"1,000,000 sq ft, 10,000 shots, 1 ft", 1000, 1000, 10, 1},
	} {
		a := survey.Area{Outline: rect(0, 0, c.w, c.h)}
		rng := seeded(b)
		gridShots(&a, c.stepFt, func(p geom.Pt) float64 { return 2*math.Sin(p.X/40)*math.Cos(p.Y/30) + 0.12*rng.NormFloat64() })
		s := survey.SiteOf(&a, nil)
		l := survey.LatticeOf(s, c.cellFt)
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Fit(b.Context(), s, l, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
