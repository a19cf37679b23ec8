package fit

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// truth is a roof whose every elevation is known, on a box from the origin.
type truth struct {
	name     string
	w, h     float64                 // ft
	heightIn func(p geom.Pt) float64 // inches
}

// truths are Franke's surface, 12 in high over 100 x 100 ft, and two sagging
// roofs. testdata/scipy_compare.py has the same.
func truths() []truth {
	return []truth{
		{"Franke", 100, 100, func(p geom.Pt) float64 { return 12 * franke(p.X/100, p.Y/100) }},
		{"sagging beams", 120, 80, saggingBeams},
		{"dished deck", 100, 100, dishedDeck},
	}
}

// beamLine is the deflection line of a beam on two supports under an even
// load, 1 in the middle (textbook): over spans of spanFt it has a kink at each
// support.
func beamLine(ft, spanFt float64) float64 {
	u := ft/spanFt - math.Floor(ft/spanFt)
	return 16.0 / 5 * (u - 2*u*u*u + u*u*u*u)
}

// saggingBeams falls 1/8 in/ft along y; girders of 40 ft sag 3/4 in, the deck
// between those, of 30 ft, 3/8 in.
func saggingBeams(p geom.Pt) float64 {
	return p.Y/8 - 0.75*beamLine(p.Y, 40) - 0.375*beamLine(p.X, 30)
}

// dishedDeck is cambered by 1 1/2 in across, with dishes round two drains, 2 in
// deep and 15 ft in radius.
func dishedDeck(p geom.Pt) float64 {
	u := p.Y/50 - 1
	z := 1.5 * (1 - u*u)
	for _, d := range []geom.Pt{{X: 30, Y: 35}, {X: 72, Y: 60}} {
		if r := p.Dist(d) / 15; r < 1 {
			z -= 1 + math.Cos(math.Pi*r)
		}
	}
	return z
}

// halton is the n-th place, from 1, of Halton, 1960, "On the efficiency of
// certain quasi-random sequences of points", in bases 2 and 3, on the unit
// square.
func halton(n int) geom.Pt {
	radical := func(n, base int) float64 {
		v, f := 0.0, 1.0
		for ; n > 0; n /= base {
			f /= float64(base)
			v += f * float64(n%base)
		}
		return v
	}
	return geom.Pt{X: radical(n, 2), Y: radical(n, 3)}
}

// lcg is a plain generator of numbers (Knuth's constants as in Numerical
// Recipes, from memory), the same in any language.
type lcg uint32

// normal is the sum of twelve even numbers less 6: standard deviation 1.
func (s *lcg) normal() float64 {
	sum := -6.0
	for range 12 {
		*s = *s*1664525 + 1013904223
		sum += float64(*s) / 4294967296
	}
	return sum
}

// survey shoots n places of the roof, each off by noiseIn times a normal number.
func (r truth) survey(n int, noiseIn float64, seed lcg) survey.Area {
	a := survey.Area{Outline: rect(0, 0, r.w, r.h)}
	for i := range n {
		q := halton(i + 1)
		p := geom.Pt{X: r.w * q.X, Y: r.h * q.Y}
		addShot(&a, p, r.heightIn(p)+noiseIn*seed.normal())
	}
	return a
}
