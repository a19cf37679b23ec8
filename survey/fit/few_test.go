package fit

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

func TestFit_FewShots(t *testing.T) {
	t.Parallel()
	corners := []geom.Pt{{X: 5, Y: 5}, {X: 55, Y: 5}, {X: 55, Y: 35}, {X: 5, Y: 35}}
	five := append(corners[:4:4], geom.Pt{X: 30, Y: 20})
	line := []geom.Pt{{X: 5, Y: 5}, {X: 15, Y: 5}, {X: 25, Y: 5}, {X: 35, Y: 5}, {X: 45, Y: 5}, {X: 55, Y: 5}}
	rough := func(n int) float64 { return 0.3 * float64(n%3) }
	for _, c := range []struct {
		story     string
		pts       []geom.Pt
		zIn       func(n int) float64
		readingIn float64
		told      bool
		sigmaIn   float64 // at least; exactly where nothing is told
	}{
		{"three", corners[:3], rough, 0, false, 0.25},
		{"four corners that do not agree", corners, rough, 0.125, false, 0.25},
		{"four corners on a plane", corners, func(int) float64 { return 7 }, 0.125, false, 0.25},
		{"a reading error above the surface's", corners, rough, 0.5, false, 0.5},
		{"five", five, rough, 0.125, false, 0.25},
		{"five places, each read twice", append(five[:5:5], five...), rough, 0.125, false, 0.25},
		{"six in a line and one off it", append(line[:6:6], geom.Pt{X: 30, Y: 35}), rough, 0.125, false, 0.25},
		{"six in a line and two off it", append(line[:6:6], geom.Pt{X: 30, Y: 35}, geom.Pt{X: 10, Y: 30}), rough, 0.125, true, 0.125 / math.Sqrt(8)},
		{"six", append(five[:5:5], geom.Pt{X: 20, Y: 30}), rough, 0.125, true, 0.125 / math.Sqrt(6)},
	} {
		t.Run(c.story, func(t *testing.T) {
			a := survey.Area{Name: "A", Outline: rect(0, 0, 60, 40)}
			for n, p := range c.pts {
				addShot(&a, p, c.zIn(n))
			}
			s := survey.SiteOf(&a, nil)
			r, err := Fit(t.Context(), s, survey.LatticeOf(s, 1), Options{ReadingErrorIn: c.readingIn})
			if err != nil {
				t.Fatal(err)
			}
			if err := r.Check(); err != nil {
				t.Error(err)
			}
			if r.HasRMSE != c.told || r.SigmaIn < c.sigmaIn || !c.told && (r.SigmaIn != c.sigmaIn || r.RMSEIn != 0) {
				t.Errorf("told: %v, error %g, sigma %g; want told: %v, sigma %g", r.HasRMSE, r.RMSEIn, r.SigmaIn, c.told, c.sigmaIn)
			}
			if c.told && !(r.RMSEIn > 0) {
				t.Error("rough shots have no leave-one-out error")
			}
		})
	}
}

// On a roof of 160 x 160 ft shots on a square grid of g ft, half a step in from
// the outline, tell all of it up to 40 ft apart: the middle of a square of four
// lies g/sqrt 2 off, 28.3 ft at g = 40. Beyond, what is told is discs of that
// radius, apart from 56.6 ft on: pi r^2 of each g^2.
func TestFit_SparseShotsTellLittle(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		story string
		stepFt,
		share float64 // of the roof that is known
	}{
		{"every 10 ft", 10, 1},
		{"every 20 ft", 20, 1},
		{"every 40 ft", 40, 1},
		{"every 80 ft", 80, math.Pi * 800 / 6400},
	} {
		a := survey.Area{Name: "A", Outline: rect(0, 0, 160, 160)}
		gridShots(&a, c.stepFt, func(p geom.Pt) float64 { return p.X / 8 })
		_, r := fitOf(t, &a, 1)
		known, all := 0.0, 0.0
		for k, on := range r.Surface.Roof {
			if on {
				all++
				if r.Surface.IsKnown(k) {
					known++
				}
			}
		}
		if math.Abs(known/all-c.share) > 0.01 {
			t.Errorf("%s: %.3f of the roof is known, want %.3f", c.story, known/all, c.share)
		}
	}
}

func TestScreen_Relief(t *testing.T) {
	for _, c := range []struct {
		story  string
		do     func(a *survey.Area)
		sys    unit.System
		faults int
		says   string
	}{
		{"a fall of 19 ft over the roof", func(a *survey.Area) { a.Shots = slopedShots(19) }, unit.US, 0, ""},
		{"a fall of 21 ft over the roof", func(a *survey.Area) { a.Shots = slopedShots(21) }, unit.US, 1,
			`shots.csv:49: shot "48": stands 21'-0" above shot 1 (shots.csv:2) of the same area A, and a roof level is not 20'-0" high`},
		{"the same in metres", func(a *survey.Area) { a.Shots = slopedShots(21) }, unit.Metric, 1, "stands 6.401 m above shot 1"},
		{"one shot far up is left out first", func(a *survey.Area) { a.Shots[20].Elev = unit.Feet(1e7) }, unit.US, 0, ""},
		{"every fifth shot far up", func(a *survey.Area) {
			for i := 0; i < len(a.Shots); i += 5 {
				a.Shots[i].Elev = unit.Feet(1e7)
			}
		}, unit.US, 1, "check the unit and both lines"},
		{"an upper level with the lower one", func(a *survey.Area) {
			for i := range a.Shots[:24] {
				a.Shots[i].Elev += unit.Feet(30)
			}
		}, unit.US, 1, "divide the roof into areas"},
	} {
		t.Run(c.story, func(t *testing.T) {
			a := dished(t)
			c.do(&a)
			_, found := Screen(&survey.Job{Units: c.sys}, a)
			faults := found.Faults()
			if len(faults) != c.faults {
				t.Fatalf("%d faults, want %d: %v", len(faults), c.faults, found)
			}
			if c.faults > 0 && !strings.Contains(faults[0].Error(), c.says) {
				t.Errorf("%q does not say %q", faults[0].Error(), c.says)
			}
		})
	}
}

// slopedShots are 8 x 6 shots that rise by riseFt from x = 5 to x = 75 ft.
func slopedShots(riseFt float64) []survey.Shot {
	a := survey.Area{Outline: rect(0, 0, 80, 60)}
	gridShots(&a, 10, func(p geom.Pt) float64 { return 12 * riseFt * (p.X - 5) / 70 })
	return a.Shots
}

// A point cloud with a mast on the roof is no roof of 40 ft.
func TestScreen_ReliefOfAPointCloud(t *testing.T) {
	a := survey.Area{Name: "A", Outline: rect(0, 0, 60, 60)}
	gridShots(&a, 0.75, func(p geom.Pt) float64 {
		if p.Dist(geom.Pt{X: 30, Y: 30}) < 1 {
			return 480
		}
		return p.X / 8
	})
	a, r := shotsOf(t, a)
	if _, found := screenUS(a); len(found) > 0 || r.Above == 0 {
		t.Errorf("%d cells: %v; %+v", len(a.Shots), found, r)
	}
}

func TestScreen_InMetres(t *testing.T) {
	a := dished(t)
	a.Shots, a.Courts, a.Curbs = slopedShots(0.5), nil, nil
	a.Shots[18].Elev += unit.Millimetres(300)
	_, found := Screen(&survey.Job{Units: unit.Metric}, a)
	if len(found) != 1 || strings.Contains(found[0].Why, `"`) || !strings.Contains(found[0].Why, "300 mm above") ||
		!strings.Contains(found[0].Why, "decimetre") {
		t.Errorf("%v", found)
	}
}
