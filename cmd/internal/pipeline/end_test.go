package pipeline

import (
	"math"
	"testing"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/unit"
	"runnel/taper"
)

// TestOptions_Window: a surveyed surface is read over twice the shot spacing
// and never under 10 ft (over 4 ft, readings to 1/8 in cannot tell 0.16 from
// 0.34 in/ft); an assumed one is exact and read over 4 ft.
func TestOptions_Window(t *testing.T) {
	w := work{job: &survey.Job{}}
	for _, c := range []struct {
		story  string
		fit    *fit.Result
		wantFt float64
	}{
		{"shots every 3 ft", &fit.Result{SpacingFt: 3}, 10},
		{"shots every 8 ft", &fit.Result{SpacingFt: 8}, 16},
		{"no survey", nil, 4},
	} {
		opt := w.options(&render.AreaResult{Fit: c.fit})
		if got := opt.Window.Feet(); got != c.wantFt {
			t.Errorf("%s: window %g ft, want %g", c.story, got, c.wantFt)
		}
		if opt.Unsurveyed != (c.fit == nil) {
			t.Errorf("%s: unsurveyed %v", c.story, opt.Unsurveyed)
		}
	}
}

// TestProudFlange: on 60 x 40 ft about a centre drain whose flange stands 1 in
// above the deck, taper that starts at 1/2 in leaves 1/2 in of water over 16
// sq ft, 0.222 cu ft, 1.66 gal, 13.9 lb, unless the drain is reset or the start is
// 1 in, which takes 1,200 board feet more.
func TestProudFlange(t *testing.T) {
	boardFeet := map[float64]float64{}
	for _, c := range []struct {
		story   string
		reset   survey.Reset
		startIn float64
		ponds   int
	}{
		{"left as it is", survey.ResetNo, 0.5, 1},
		{"reset", survey.ResetYes, 0.5, 0},
		{"left, start of 1 in", survey.ResetNo, 1, 0},
	} {
		job := readJob(t, "bare-rectangle")
		choice := *job.Taper
		choice.Start = unit.Inches(c.startIn)
		job.Taper, job.Stock = &choice, nil
		o := &job.Areas[0].Outlets[0]
		o.Inlet, o.Reset = survey.Height{Value: unit.Inches(1), Above: survey.AboveDeck}, c.reset
		a := runJob(t, job).Areas[0]
		if got := len(a.Proof.Report.Ponds); got != c.ponds || a.Proof.Passes != (c.ponds == 0) {
			t.Errorf("%s: %d ponds, passes %v (%s)", c.story, got, a.Proof.Passes, a.Proof.Why)
		}
		boardFeet[c.startIn] = a.Design.Totals.SolidBoardFeet
		if c.ponds > 0 {
			p := &a.Proof.Report.Ponds[0]
			for what, v := range map[string][2]float64{"in": {p.DepthIn, 0.5}, "sq ft": {p.SqFt, 16}, "cu ft": {p.CuFt, 0.222},
				"gal": {unit.CubicFeet(p.CuFt).Gallons(), 1.66}, "lb": {p.WeightLb(), 13.9}} {
				if math.Abs(v[0]/v[1]-1) > 0.02 {
					t.Errorf("%s: %g %s, want %g", c.story, v[0], what, v[1])
				}
			}
			if p.Cause != drainage.ProudRim || p.Misses != "D1" {
				t.Errorf("%s: %v, misses %s", c.story, p.Cause, p.Misses)
			}
		}
	}
	near(t, "board feet of half an inch more", boardFeet[1]-boardFeet[0.5], 1200)
}

// TestSlopedDeck: on a deck of 1/8 in/ft along both axes boards of 3/8 leave the
// valley downhill at (9/64 - 6/64) / 0.5303 = 0.0884 in/ft; 3/8 and 1/2 make it 1/8
// exactly. The rule set's valley limit reaches the
// design.
func TestSlopedDeck(t *testing.T) {
	job := readJob(t, "bare-rectangle")
	job.Stock = nil
	a := &job.Areas[0]
	for i, s := range a.Shots {
		a.Shots[i].Elev = unit.Inches(1200 + 0.125*(s.At.X+s.At.Y))
	}
	r := runJob(t, job).Areas[0]
	for _, l := range r.Design.Lines {
		if v := l.Slope.InchesPerFoot(); l.Kind == taper.Valley && v < 0.125-1e-9 {
			t.Errorf("a valley slopes %.4f in/ft", v)
		}
	}
	if !r.Proof.Passes || r.Proof.Valley != drainage.Meets {
		t.Errorf("%s", r.Proof.Why)
	}
}
