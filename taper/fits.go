package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/unit"
)

// fits says what would leave enough below an item that falls short: the longest way
// of the water that fits there, the steepest flatter boards that do, an outlet half
// as far, or the item raised. Lengths of ways are those that the thickness there
// stands for at the slope of the design, so that on a sloped deck they are none.
func (b Beside) fits(x HeightLeft) string {
	d := b.Design
	short := x.Wanted - x.Left
	sys := b.Levels.Units
	raise := "raise it by " + short.FormatThin(sys)
	startIn := d.Insulation.ThinnestIn
	thereIn := (x.New - d.Cover).Inches()
	mostIn := thereIn - short.Inches()
	if b.onCricket(x) {
		return raise + ", or make the cricket there narrower or leave it out"
	}
	if d.Deck.Slope() > 0 || !(d.Slope > 0) || thereIn <= startIn+sameIn {
		return raise
	}
	slope := d.Slope.InchesPerFoot()
	runFt := (thereIn - startIn) / slope
	if mostIn < startIn {
		return raise + fmt.Sprintf("; no taper fits there: the thinnest alone is %s", unit.Inches(startIn).FormatThin(sys))
	}
	out := fmt.Sprintf("the longest way to an outlet that fits here at %s is %s, and this one is %s", d.Slope.Format(sys),
		unit.Feet((mostIn-startIn)/slope).Format(sys), unit.Feet(runFt).Format(sys))
	for _, s := range slices.Backward(b.Slopes) {
		if in := startIn + s.InchesPerFoot()*runFt; s < d.Slope && in <= mostIn+sameIn {
			out += fmt.Sprintf("; boards of %s would be %s thick here", s.Format(sys), unit.Inches(in).FormatThin(sys))
			break
		}
	}
	if in := startIn + slope*runFt/2; in <= mostIn+sameIn {
		out += fmt.Sprintf("; with an outlet half as far, %s away, %s", unit.Feet(runFt/2).Format(sys), unit.Inches(in).FormatThin(sys))
	}
	return out + "; or " + raise
}

// onCricket says whether an item is lowest left at a cricket.
func (b Beside) onCricket(x HeightLeft) bool {
	return slices.ContainsFunc(b.Design.Facets, func(f Facet) bool {
		return f.Role == CricketRole && (f.Poly.Has(x.At) || f.Poly.Dist(x.At) < onBorderFt)
	})
}

// exception says of a door how much insulation fits before it, where the required R
// wants more: a case for the code official, and never less than lies there now.
// Source of the practice: re-roof exception for height limits, Minnesota Rules
// 1323.0402 (2020).
func (b Beside) exception(x HeightLeft) string {
	th := b.Design.Thermal
	if th == nil || x.Verdict != drainage.FallsShort {
		return ""
	}
	sys := b.Levels.Units
	fits := x.New - b.Design.Cover - (x.Wanted - x.Left)
	needs := unit.Inches(th.Wanted.RequiredR / th.Wanted.RPerInch)
	if fits >= needs {
		return ""
	}
	out := fmt.Sprintf("; EXCEPTION for the code official to approve: %s of insulation fits before it, %s is required",
		max(fits, 0).FormatThin(sys), needs.FormatThin(sys))
	was, known := b.thickNow(x)
	switch {
	case !known:
		return out + "; how much lies there now no core tells, and it may not be less"
	case fits < was:
		return out + fmt.Sprintf("; that is less than the %s that lie there now, which may never be", was.FormatThin(sys))
	}
	return out + fmt.Sprintf("; %s lie there now", was.FormatThin(sys))
}

// thickNow is the thickness of the old roof by the nearest core within reach.
func (b Beside) thickNow(x HeightLeft) (unit.Length, bool) {
	best, was := math.Inf(1), 0.0
	for _, c := range b.Levels.Cores {
		if d := c.P.Dist(x.At); d < best {
			best, was = d, c.ThicknessIn
		}
	}
	return unit.Inches(was), best <= b.Levels.Reach.Feet()
}

// overNote says where the insulation is thicker than the job allows, and what would
// fit.
func (d *Design) overNote(s *survey.Site, thickest unit.Length, slopes []unit.Slope, sys unit.System) string {
	at, mostIn := s.Outline[0], -1.0
	for _, f := range d.Facets {
		for _, p := range f.Poly.Outer {
			if in, ok := ThicknessAt(d.Facets, p); ok && in > mostIn+sameIn {
				at, mostIn = p, in
			}
		}
	}
	b := Beside{Design: d, Slopes: slopes, Levels: fit.Levels{Units: sys}}
	over := (unit.Inches(mostIn) - thickest).FormatThin(sys)
	x := HeightLeft{At: at, New: unit.Inches(mostIn) + d.Cover, Wanted: unit.Inches(mostIn), Left: thickest}
	return fmt.Sprintf("it is thickest at %s: %s", placeText(at, s.Frame, sys),
		strings.Replace(b.fits(x), "raise it by "+over, "allow "+over+" more", 1))
}
