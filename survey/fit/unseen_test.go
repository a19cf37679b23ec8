package fit

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestDishes: shots every 10 ft show every dish of 20 ft: one anywhere has a
// shot within 7.07 ft of its middle, where a parabola over 20 ft is still half
// as deep; a dish of 14 ft between four shots shows in none and holds
// pi 14^2 / 8 / 12 = 6.41 cu ft for an inch. With four shots missing the gap is
// 20 ft wide and shows dishes of 2 sqrt(2) x 14.14 = 40 ft.
func TestDishes(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 100, 80)}
	gridShots(&a, 10, func(geom.Pt) float64 { return 0 })
	s := survey.SiteOf(&a, nil)
	r, err := Fit(t.Context(), s, survey.LatticeOf(s, 0.5), Options{ReadingErrorIn: 0.125})
	if err != nil {
		t.Fatal(err)
	}
	d := r.Dishes
	if d.NarrowestFt != 20 || math.Abs(d.GapFt-20) > 1.5 || d.ShowsIn != 0.5 {
		t.Errorf("%+v", d)
	}
	// Volume of a paraboloid: half of its base times its height.
	want := math.Pi * 10 * 10 / 2 / 12
	if got := d.HiddenWater(unit.Inches(1)).CubicFeet(); math.Abs(got-want) > 1e-9 {
		t.Errorf("%g cu ft an inch, want %g", got, want)
	}
	rng, least := seeded(t), 1.0
	for range 2000 {
		mid := geom.Pt{X: 20 + 60*rng.Float64(), Y: 20 + 40*rng.Float64()}
		shows := 0.0
		for _, sh := range a.Shots {
			u := sh.At.Dist(mid) / (d.NarrowestFt / 2)
			shows = math.Max(shows, 1-u*u)
		}
		least = math.Min(least, shows)
	}
	if least < 0.5-1e-9 {
		t.Errorf("a dish of %g ft shows %.3f of its depth", d.NarrowestFt, least)
	}
	var kept []survey.Shot
	for _, sh := range a.Shots {
		if sh.At.Dist(geom.Pt{X: 50, Y: 40}) > 8 {
			kept = append(kept, sh)
		}
	}
	a.Shots = kept
	if _, r = fitOf(t, &a, 0.5); r.Dishes.NarrowestFt != 20 || r.Dishes.GapFt < 35 {
		t.Errorf("with a gap: %+v", r.Dishes)
	}
}

// TestDishes_FourShots: a dish cannot be larger than the roof. A paraboloid over
// 60 x 40 ft holds at most half of its base times its depth: 100 cu ft an inch.
func TestDishes_FourShots(t *testing.T) {
	a := survey.Area{Outline: rect(0, 0, 60, 40)}
	for _, p := range []geom.Pt{{X: 1, Y: 1}, {X: 59, Y: 1}, {X: 59, Y: 39}, {X: 1, Y: 39}} {
		a.Shots = append(a.Shots, survey.Shot{At: p})
	}
	s := survey.SiteOf(&a, nil)
	r, err := Fit(t.Context(), s, survey.LatticeOf(s, 0.5), Options{ReadingErrorIn: 0.125})
	if err != nil {
		t.Fatal(err)
	}
	if got := r.Dishes.HiddenWater(unit.Inches(1)).CubicFeet(); math.Abs(got-100) > 1e-9 {
		t.Errorf("%g cu ft an inch on a roof that holds 200 all over", got)
	}
}
