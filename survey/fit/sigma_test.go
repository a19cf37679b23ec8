package fit

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// hits counts how often a truth lay within one and two standard errors.
type hits struct{ one, two, all float64 }

func (h *hits) add(missIn, sigmaIn float64) {
	h.all++
	if math.Abs(missIn) <= sigmaIn {
		h.one++
	}
	if math.Abs(missIn) <= 2*sigmaIn {
		h.two++
	}
}

func (h *hits) more(o hits) { h.one, h.two, h.all = h.one+o.one, h.two+o.two, h.all+o.all }

func (h hits) pct() (one, two float64) {
	return 100 * h.one / max(h.all, 1), 100 * h.two / max(h.all, 1)
}

// covers compares the error of a fit with the truth on every cell known.
func (r truth) covers(s *survey.Site, f *Result) (h hits) {
	for k, on := range f.Surface.Roof {
		if on && f.Surface.Known[k] {
			p := s.Frame.ToJob(f.Surface.Centre(k%f.Surface.NX, k/f.Surface.NX))
			h.add(f.Surface.ElevIn[k]-r.heightIn(p), f.Surface.SigmaIn[k])
		}
	}
	return h
}

// TestSigma_Covers: on roofs whose every elevation is known the surface is
// within one standard error at 68 % of the places and within two at 95 %, or
// somewhat more, since bending at random is rougher than roofs are. The band
// holds for each row, a narrower one for all together.
func TestSigma_Covers(t *testing.T) {
	t.Parallel()
	var all, slopes hits
	plane := truth{"plane", 100, 80, func(p geom.Pt) float64 { return p.X / 4 }}
	t.Log("places: share of cells; slopes: share of runs of two spacings, SlopeSigma, at the larger noise")
	for _, r := range append(truths(), plane) {
		for _, n := range []int{50, 200, 1000} {
			for _, noiseIn := range []float64{0.03, 0.12} {
				var h, sl hits
				rms, sigma := 0.0, 0.0
				runs := lcg(2)
				if n == 1000 {
					runs = 1
				}
				for seed := range runs {
					a := r.survey(n, noiseIn, seed*7919+1)
					s, f := fitOf(t, &a, 1)
					h.more(r.covers(s, f))
					if noiseIn > 0.1 {
						sl.more(r.coversSlopes(s, f))
					}
					q, _ := misfit(s, f.Surface, r.heightIn)
					rms, sigma = rms+q/float64(runs), sigma+f.SigmaIn/float64(runs)
				}
				one, two := h.pct()
				slOne, slTwo := sl.pct()
				t.Logf("%-13s %5d shots, noise %.2f in: rms off %.3f, sigma %.3f in; places %3.0f %3.0f %%, slopes %3.0f %3.0f %%",
					r.name, n, noiseIn, rms, sigma, one, two, slOne, slTwo)
				if one < 40 || two < 85 || sigma > 2*rms || sigma < rms/2 {
					t.Errorf("%s, %d shots: %.0f and %.0f %% of the places within one and two sigma %.3f in, off by %.3f",
						r.name, n, one, two, sigma, rms)
				}
				all.more(h)
				slopes.more(sl)
			}
		}
	}
	for what, h := range map[string]hits{"places": all, "slopes": slopes} {
		one, two := h.pct()
		t.Logf("all %s: %.1f %% within one, %.1f %% within two standard errors", what, one, two)
		if one < 65 || one > 85 || two < 93 || two > 99.5 {
			t.Errorf("%s: %.1f and %.1f %% within one and two standard errors, want about 68 and 95", what, one, two)
		}
	}
}

// coversSlopes compares SlopeSigma with the truth on runs of two spacings, along
// both axes from a lattice of places.
func (r truth) coversSlopes(s *survey.Site, f *Result) (h hits) {
	run := 2 * f.SpacingFt
	for x := 5.0; x+run < r.w; x += 37 {
		for y := 5.0; y+run < r.h; y += 37 {
			for _, d := range []geom.Pt{{X: run}, {Y: run}} {
				a := geom.Pt{X: x, Y: y}
				b := a.Add(d)
				la, lb := s.Frame.ToLocal(a), s.Frame.ToLocal(b)
				za, okA := f.Surface.Elevation(la)
				zb, okB := f.Surface.Elevation(lb)
				sigma, ok := f.SlopeSigma(la, lb)
				if okA && okB && ok {
					h.add((za-zb-(r.heightIn(a)-r.heightIn(b)))/run, sigma.InchesPerFoot())
				}
			}
		}
	}
	return h
}

// TestSigma_GrowsAwayFromShots: on a roof with a gap in its shots the error is
// greatest in the gap, and least where many shots agree; it is never less than
// what the mean of all readings would have, nor below that of the shots that can
// speak for a place.
func TestSigma_GrowsAwayFromShots(t *testing.T) {
	rng := seeded(t)
	a := survey.Area{Outline: rect(0, 0, 120, 80)}
	gridShots(&a, 8, func(p geom.Pt) float64 {
		return 2*math.Sin(p.X/15)*math.Cos(p.Y/12) + 0.125*rng.NormFloat64()
	})
	var kept []survey.Shot
	gap, dense := geom.Pt{X: 80, Y: 40}, geom.Pt{X: 30, Y: 40}
	for _, sh := range a.Shots {
		if sh.At.Dist(gap) > 16 {
			kept = append(kept, sh)
		}
	}
	a.Shots = kept
	for i := range 30 {
		p := dense.Add(geom.Pt{X: float64(i%6) - 2.5, Y: float64(i/6) - 2})
		addShot(&a, p, 2*math.Sin(p.X/15)*math.Cos(p.Y/12)+0.125*rng.NormFloat64())
	}
	s, r := fitOf(t, &a, 1)
	at := func(p geom.Pt) float64 {
		v, _ := r.sigmaAt(s.Frame.ToLocal(p))
		return v
	}
	usual := at(geom.Pt{X: 60, Y: 60})
	t.Logf("in the gap %.3f, usual %.3f, corner %.3f, amid 30 shots %.3f in; typical %.3f", at(gap), usual,
		at(geom.Pt{X: 0.5, Y: 0.5}), at(dense), r.SigmaIn)
	if at(gap) < 1.5*usual || at(geom.Pt{X: 0.5, Y: 0.5}) < usual || at(dense) > 0.8*usual {
		t.Error("the error does not follow the shots")
	}
	if least := 0.125 / math.Sqrt(30); at(dense) < least*0.7 {
		t.Errorf("30 readings to 1/8 in give %.4f in, their mean %.4f", at(dense), least)
	}
}

// TestSigma_Stated: a stated reading error above the scatter of the shots is
// taken, one below is not.
func TestSigma_Stated(t *testing.T) {
	t.Parallel()
	r := truths()[1]
	a := r.survey(150, 0.12, 5)
	s := survey.SiteOf(&a, nil)
	of := func(statedIn float64) *Result {
		f, err := Fit(t.Context(), s, survey.LatticeOf(s, 1), Options{ReadingErrorIn: statedIn})
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	none, small, large := of(0), of(0.02), of(0.5)
	if none.SigmaIn != small.SigmaIn || none.ScatterIn != small.ScatterIn {
		t.Errorf("a reading error under the scatter changes %v to %v", none.SigmaIn, small.SigmaIn)
	}
	if large.ScatterIn != 0.5 || large.SigmaIn < 2*none.SigmaIn {
		t.Errorf("stated 0.5 in: scatter %v, sigma %v after %v", large.ScatterIn, large.SigmaIn, none.SigmaIn)
	}
}

// TestSigma_DoubtedShot: on a plane with one shot off, kept and followed, the error
// at the shot and halfway to its neighbours holds what the surface is off there;
// two spacings away it is that of the plane without the fault. The truth is the
// plane.
func TestSigma_DoubtedShot(t *testing.T) {
	t.Parallel()
	for _, noiseIn := range []float64{0, 0.03, 0.12} {
		for _, offIn := range []float64{0.75, 1.2, -2.5} {
			var seed lcg = 3
			at := func(off float64) *Result {
				seed = 3
				a := survey.Area{Outline: rect(0, 0, 63, 49)}
				gridShots(&a, 7, func(p geom.Pt) float64 {
					z := p.Y / 8
					if p.Dist(geom.Pt{X: 31.5, Y: 24.5}) < 1 {
						z += off
					}
					return z + noiseIn*seed.normal()
				})
				s := survey.SiteOf(&a, nil)
				f, err := Fit(t.Context(), s, survey.LatticeOf(s, 0.5), Options{ReadingErrorIn: 0.125})
				if err != nil {
					t.Fatal(err)
				}
				return f
			}
			r, clean := at(offIn), at(0)
			sigma := func(r *Result, x, y float64) float64 {
				v, ok := r.Surface.With(r.Surface.SigmaIn).Elevation(geom.Pt{X: x, Y: y})
				if !ok {
					t.Fatal("off the roof")
				}
				return v
			}
			for _, x := range []float64{0, 1.75, 3.5} {
				z, _ := r.Surface.Elevation(geom.Pt{X: x})
				was, _ := clean.Surface.Elevation(geom.Pt{X: x})
				if two := 2 * sigma(r, x, 0); math.Abs(z-was) > two {
					t.Errorf("noise %g, %g in off: %.1f ft from the shot the surface is %.2f in off, two errors are %.2f",
						noiseIn, offIn, x, z-was, two)
				}
			}
			if s := sigma(r, 0, 0); s < 0.9*math.Abs(offIn)-2*noiseIn || s > 1.2*math.Abs(offIn)+2*noiseIn {
				t.Errorf("noise %g, %g in off: error %.2f in at the shot", noiseIn, offIn, s)
			}
			if far, was := sigma(r, 21, 14), sigma(clean, 21, 14); far > 2*was || far < was/2 {
				t.Errorf("noise %g, %g in off: error %.3f in two spacings away, %.3f without the fault", noiseIn, offIn, far, was)
			}
			if slope, ok := r.SlopeSigma(geom.Pt{}, geom.Pt{X: 14}); !ok || slope.InchesPerFoot()*14 < 0.7*math.Abs(offIn) {
				t.Errorf("noise %g, %g in off: slope from the shot to 14 ft away is held to %.3f in/ft", noiseIn, offIn, slope.InchesPerFoot())
			}
		}
	}
}

// TestSigma_FewSpeak: on planes read exactly and with noise far under the stated
// reading error, the error is that of a reading where four shots or fewer speak
// for a place, and less than half of it amid many; exact data are not held worse.
func TestSigma_FewSpeak(t *testing.T) {
	t.Parallel()
	const statedIn = 0.125
	of := func(stepFt, noiseIn float64) *Result {
		a := survey.Area{Outline: rect(0, 0, 60, 60)}
		var seed lcg = 9
		gridShots(&a, stepFt, func(p geom.Pt) float64 { return p.X/4 + noiseIn*seed.normal() })
		s := survey.SiteOf(&a, nil)
		f, err := Fit(t.Context(), s, survey.LatticeOf(s, 1), Options{ReadingErrorIn: statedIn})
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	for _, noiseIn := range []float64{0, 0.02} {
		few, many := of(20, noiseIn), of(5, noiseIn)
		t.Logf("noise %.2f in: 9 shots %.3f in, 144 shots %.3f in", noiseIn, few.SigmaIn, many.SigmaIn)
		if few.SigmaIn < 0.9*statedIn || few.SigmaIn > 1.3*statedIn || many.SigmaIn > statedIn/2 {
			t.Errorf("noise %g: error %.3f in of 9 shots, %.3f of 144, stated %g", noiseIn, few.SigmaIn, many.SigmaIn, statedIn)
		}
	}
}

// TestSlopeSigma_TwoReadings: with nothing else to go by, two places each off by
// 0.01 ft on their own give the slope between them 0.01697 in/ft over 10 ft,
// 0.00849 over 20 and 0.00424 over 40 (square root of two errors over the run).
func TestSlopeSigma_TwoReadings(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 60, 10)}
	s := survey.SiteOf(&a, nil)
	surf := Level(s, survey.LatticeOf(s, 1), 0)
	surf.SigmaIn = make([]float64, surf.Len())
	for k := range surf.SigmaIn {
		surf.SigmaIn[k] = 0.12
	}
	r := &Result{Surface: surf}
	for runFt, want := range map[float64]float64{10: 0.01697, 20: 0.00849, 40: 0.00424} {
		got, ok := r.SlopeSigma(geom.Pt{X: -20}, geom.Pt{X: -20 + runFt})
		if !ok || math.Abs(got.InchesPerFoot()-want) > 5e-6 {
			t.Errorf("over %g ft %.5f in/ft, %v, want %.5f", runFt, got.InchesPerFoot(), ok, want)
		}
	}
	if _, ok := r.SlopeSigma(geom.Pt{}, geom.Pt{}); ok {
		t.Error("no run has a slope")
	}
	if _, ok := r.SlopeSigma(geom.Pt{}, geom.Pt{X: 500}); ok {
		t.Error("a place off the roof has a slope")
	}
}

// taskOf takes the shots of a site as they are.
func taskOf(t testing.TB, s *survey.Site) task {
	t.Helper()
	shots, err := usable(s)
	if err != nil {
		t.Fatal(err)
	}
	return task{site: s, walls: newWalls(s), shots: shots, spacingFt: spacingOf(shots.at)}
}

func overOf(t testing.TB, e *errorModel, tk task, surf *survey.Surface, missIn []float64) []float64 {
	t.Helper()
	out, err := e.over(t.Context(), tk, surf, missIn)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestErrorModel_Tiles: the error found in tiles is that of one piece to an
// eighth.
func TestErrorModel_Tiles(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	a := survey.Area{Outline: rect(0, 0, 180, 170)}
	gridShots(&a, 10, func(p geom.Pt) float64 { return 2*math.Sin(p.X/20)*math.Cos(p.Y/15) + 0.12*rng.NormFloat64() })
	s := survey.SiteOf(&a, nil)
	tk := taskOf(t, s)
	c, err := compare(t.Context(), tk, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	l := survey.LatticeOf(s, 1)
	surf := Level(s, l, 0)
	_, missIn, err := c.surface(t.Context(), tk, l, surf.Roof, 0)
	if err != nil {
		t.Fatal(err)
	}
	of := func(cellFt float64, tiled bool) *errorModel {
		e := &errorModel{usualIn: c.usualIn(0), lengthFt: tk.spacingFt * math.Max(1, c.reach), tiled: tiled}
		e.sys, e.hs = newHung(s, tk.walls, tk.shots, cellFt, tk.spacingFt)
		e.m = e.sys.matrix(strengthOf(c.reach, tk.spacingFt))
		return e
	}
	fine, tiles := of(tk.spacingFt/6, false), of(tk.spacingFt*math.Max(1, c.reach)/errorParts, true)
	want, got := overOf(t, fine, tk, surf, missIn), overOf(t, tiles, tk, surf, missIn)
	sum, worst, n := 0.0, 0.0, 0.0
	for k, on := range surf.Roof {
		if on {
			d := got[k]/want[k] - 1
			sum, worst, n = sum+d*d, math.Max(worst, math.Abs(d)), n+1
		}
	}
	t.Logf("%d tiles: %.1f %% off typically, %.1f %% at most", len(tiles.cores()), 100*math.Sqrt(sum/n), 100*worst)
	if len(tiles.cores()) < 4 || math.Sqrt(sum/n) > 0.125 || worst > 0.25 {
		t.Errorf("tiles are off by %.3f, at most %.3f", math.Sqrt(sum/n), worst)
	}
	for _, b := range []geom.Pt{{X: 20}, {X: 14, Y: 14}, {Y: -40}} {
		w, _ := fine.drop(geom.Pt{X: 3, Y: 2}, b)
		g, ok := tiles.drop(geom.Pt{X: 3, Y: 2}, b)
		if !ok || math.Abs(g/w-1) > 0.125 {
			t.Errorf("drop to %v is off by %.4f in tiles, %.4f in one piece", b, g, w)
		}
	}
}

// TestSigma_Laws: the error of a turned, mirrored, shifted or raised roof is the
// same.
func TestSigma_Laws(t *testing.T) {
	t.Parallel()
	a := randomL(t, 1)
	s, r := fitOf(t, &a, 0.5)
	for name, f := range map[string]func(p geom.Pt) geom.Pt{
		"turned":   func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.Y, Y: p.X} },
		"mirrored": func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} },
		"shifted":  func(p geom.Pt) geom.Pt { return p.Add(geom.Pt{X: 1234.5, Y: -777.25}) },
	} {
		b := survey.Area{Outline: a.Outline.Map(f), Courts: []geom.Ring{a.Courts[0].Map(f)}}
		for _, sh := range a.Shots {
			addShot(&b, f(sh.At), sh.Elev.Inches()+unit.Feet(3).Inches())
		}
		s2, r2 := fitOf(t, &b, 0.5)
		worst := 0.0
		for k, on := range r.Surface.Roof {
			if on {
				i, j := r2.Surface.CellOf(s2.Frame.ToLocal(f(s.Frame.ToJob(r.Surface.Centre(k%r.Surface.NX, k/r.Surface.NX)))))
				worst = math.Max(worst, math.Abs(r.Surface.SigmaIn[k]-r2.Surface.SigmaIn[j*r2.Surface.NX+i]))
			}
		}
		if worst > 1e-7 || r.SigmaIn == 0 {
			t.Errorf("%s: the error differs by %g in", name, worst)
		}
	}
}

func BenchmarkErrorModel(b *testing.B) {
	for _, c := range []struct {
		name         string
		w, h, cellFt float64
	}{
		{"8,000 sq ft, 80 shots, 32,000 cells", 100, 80, 0.5},
		{"100,000 sq ft, 1,000 shots, 100,000 cells", 400, 250, 1},
		{"1,000,000 sq ft, 10,000 shots, 1,000,000 cells", 1000, 1000, 1},
	} {
		a := survey.Area{Outline: rect(0, 0, c.w, c.h)}
		rng := seeded(b)
		gridShots(&a, 10, func(p geom.Pt) float64 { return 2*math.Sin(p.X/40)*math.Cos(p.Y/30) + 0.12*rng.NormFloat64() })
		s := survey.SiteOf(&a, nil)
		tk := taskOf(b, s)
		cmp, err := compare(b.Context(), tk, func(int, int) {})
		if err != nil {
			b.Fatal(err)
		}
		l := survey.LatticeOf(s, c.cellFt)
		surf := Level(s, l, 0)
		missIn := make([]float64, len(tk.shots.at))
		for i := range missIn {
			missIn[i] = 0.1
		}
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				overOf(b, newErrorModel(tk, cmp, l, 0), tk, surf, missIn)
			}
		})
	}
}

// TestSlopeSigma_Floor: what no averaging takes away counts once in a slope, over
// a short run and over a long one alike: the variances of the drops differ by its
// square. A cloud's slope is no surer than sqrt(1/8 squared) over the run.
func TestSlopeSigma_Floor(t *testing.T) {
	a := truths()[0].survey(200, 0.12, 5)
	site := survey.SiteOf(&a, nil)
	const floorIn = 0.125
	var drops [2][]float64
	for n, floor := range []float64{0, floorIn} {
		r, err := Fit(t.Context(), site, survey.LatticeOf(site, 2), Options{FloorIn: floor})
		if err != nil {
			t.Fatal(err)
		}
		for _, runFt := range []float64{4, 10, 60} {
			s, ok := r.SlopeSigma(geom.Pt{X: -runFt / 2}, geom.Pt{X: runFt / 2})
			if !ok {
				t.Fatalf("no slope over %g ft", runFt)
			}
			drops[n] = append(drops[n], s.InchesPerFoot()*runFt)
		}
	}
	for i, without := range drops[0] { // read between cells where each holds the root of a sum
		if want := math.Hypot(without, floorIn); math.Abs(drops[1][i]-want) > 1e-3 {
			t.Errorf("run %d: drop to %.6f in, want %.6f", i, drops[1][i], want)
		}
	}
}
