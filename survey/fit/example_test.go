package fit_test

import (
	"context"
	"fmt"

	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// exampleRoof is a 60 x 40 ft roof that falls 1/4 in/ft toward its left wall,
// read every 10 ft; in one reading a foot was dropped.
func exampleRoof() survey.Area {
	a := survey.Area{Name: "A", Outline: geom.Box{Max: geom.Pt{X: 60, Y: 40}}.Ring()}
	for y := 5.0; y < 40; y += 10 {
		for x := 5.0; x < 60; x += 10 {
			n := len(a.Shots) + 1
			a.Shots = append(a.Shots, survey.Shot{ID: fmt.Sprint(n), At: geom.Pt{X: x, Y: y},
				Elev: 100*unit.Foot + unit.Inches(x/4), File: "shots.csv", Line: n + 1})
		}
	}
	a.Shots[9].Elev -= unit.Foot
	return a
}

func ExampleScreen() {
	a, found := fit.Screen(&survey.Job{Units: unit.US}, exampleRoof())
	fmt.Println(found)
	fmt.Println(a.Shots[9].Left)
	// Output:
	// [shots.csv:11: shot "10": stands 12" below what its neighbours say, close to a whole foot, as if a foot was misread; left out; read it again and correct the line, or take the shot out]
	// far below its neighbours
}

func ExampleFit() {
	a, _ := fit.Screen(&survey.Job{Units: unit.US}, exampleRoof())
	s := survey.SiteOf(&a, nil)
	r, err := fit.Fit(context.Background(), s, survey.LatticeOf(s, 0), fit.Options{ReadingErrorIn: 0.125})
	if err != nil {
		fmt.Println(err)
		return
	}
	low, _ := r.Surface.Elevation(s.Frame.ToLocal(geom.Pt{X: 10, Y: 20}))
	fmt.Printf("%s at x = 10 ft, one standard error %.3f in\n", unit.Inches(low).FeetInches(), r.SigmaIn)
	plane, doubt, level, err := fit.PlaneOf(r.Surface, r.ScatterIn, r.Used)
	fmt.Printf("%.3f in/ft, one standard error %.4f, level: %v, %v\n", plane.Slope().InchesPerFoot(),
		doubt.InchesPerFoot(), level, err)
	// Output:
	// 100'-2 1/2" at x = 10 ft, one standard error 0.071 in
	// 0.250 in/ft, one standard error 0.0023, level: false, <nil>
}

func ExampleDeck() {
	a, _ := fit.Screen(&survey.Job{Units: unit.US}, exampleRoof())
	a.Cores = []survey.Core{
		{At: geom.Pt{X: 2, Y: 20}, Thickness: unit.Inches(1.5)},
		{At: geom.Pt{X: 26, Y: 20}, Thickness: unit.Inches(7.5)},
	}
	s := survey.SiteOf(&a, nil)
	r, err := fit.Fit(context.Background(), s, survey.LatticeOf(s, 0), fit.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	base, _, found := fit.Deck(s, r.Surface, fit.DeckInput{Kind: survey.Membrane, Scope: survey.TearOff})
	_, _, level, err := fit.PlaneOf(base, r.SigmaIn, r.Used)
	fmt.Println(found.Words)
	fmt.Println(found.Slope)
	fmt.Println("level:", level, err)
	// Output:
	// deck inferred: membrane less the thickness of 2 cores, 1 1/2" to 7 1/2", following the membrane's rise (no other core confirms it)
	// insulation
	// level: true <nil>
}

func ExampleLevel() {
	a := exampleRoof()
	s := survey.SiteOf(&a, nil)
	surf := fit.Level(s, survey.LatticeOf(s, 2), 0)
	elevIn, ok := surf.Elevation(geom.Pt{})
	fmt.Println(surf.NX, surf.NY, elevIn, ok)
	// Output:
	// 30 20 0 true
}
