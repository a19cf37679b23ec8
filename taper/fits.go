package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// fits says what would leave enough below an item that falls short: the longest way
// of the water that fits there, the steepest flatter boards that do and whether the
// rules allow them, an outlet half as far, or the item raised. Where the deck slopes across the
// field the thickness does not grow by the way of the water alone, and only the last
// is told.
func (b Beside) fits(x HeightLeft) string {
	sys := b.Levels.Units
	raise := "raise it by " + (x.Wanted - x.Left).FormatThin(sys)
	if b.onCricket(x) {
		if sixIn := 6 * unit.Inch; x.Left >= sixIn-unit.Inches(sameIn) && x.Wanted > sixIn {
			raise = "a guide that asks for " + sixIn.FormatThin(sys) + " above a cricket's high point takes it as it is (UFC 3-110-03, as a study guide has it); or " + raise
		}
		return raise + ", or make the cricket there narrower or leave it out"
	}
	thereIn := (x.New - b.Design.Cover).Inches()
	mostIn := thereIn - (x.Wanted - x.Left).Inches()
	f, ok := b.fieldAt(x.At)
	if !ok || !growsByRun(f) || thereIn <= b.startIn(f.Plane.Slope())+sameIn {
		return raise
	}
	slope, startIn := f.Plane.Slope(), b.startIn(f.Plane.Slope())
	runFt := (thereIn - startIn) / slope.InchesPerFoot()
	if mostIn < startIn-sameIn {
		return raise + fmt.Sprintf("; no taper fits there: the thinnest alone is %s", unit.Inches(startIn).FormatThin(sys))
	}
	longest := roundedDown(unit.Feet((mostIn-startIn)/slope.InchesPerFoot()), sys)
	out := fmt.Sprintf("the longest way to an outlet that fits here at %s is %s, and this one is %s", slope.Format(sys),
		longest.Format(sys), unit.Feet(runFt).Format(sys))
	for _, s := range slices.Backward(b.Slopes) {
		in := b.startIn(s) + s.InchesPerFoot()*runFt
		if s < slope-unit.InchesPerFoot(sameSlopeInPerFt) && in <= mostIn+sameIn {
			out += fmt.Sprintf("; boards of %s would be %s thick here", s.Format(sys), unit.Inches(in).FormatThin(sys))
			if !b.allows(f, slope-s) {
				out += ", but are flatter than the rules allow"
			}
			break
		}
	}
	if in := startIn + slope.InchesPerFoot()*runFt/2; in <= mostIn+sameIn {
		out += fmt.Sprintf("; with an outlet half as far, %s away, %s", unit.Feet(runFt/2).Format(sys), unit.Inches(in).FormatThin(sys))
	}
	return out + "; or " + raise
}

// roundedDown is l rounded down to what people read, 1/16 in or 1 mm, so that what
// is said to fit does.
func roundedDown(l unit.Length, sys unit.System) unit.Length {
	step := unit.Inches(1. / 16)
	if sys == unit.Metric {
		step = unit.Millimetre
	}
	return unit.Inches(math.Floor(l.Inches()/step.Inches()+1e-6) * step.Inches())
}

// fieldAt is the facet of the field that is thinnest at p, as ThicknessAt takes it.
func (b Beside) fieldAt(p geom.Pt) (best Facet, ok bool) {
	for _, f := range b.Design.Facets {
		if f.Role != FieldRole || !f.Poly.Has(p) && f.Poly.Dist(p) > onBorderFt {
			continue
		}
		if !ok || f.Plane.At(p) < best.Plane.At(p) {
			best, ok = f, true
		}
	}
	return best, ok
}

// growsByRun says whether the boards of a facet lie the way its water runs.
func growsByRun(f Facet) bool {
	up, sloped := f.Plane.Uphill()
	top := geom.Pt{X: f.Top().GX, Y: f.Top().GY}
	return sloped && f.Plane.Slope().InchesPerFoot() > sameSlopeInPerFt && math.Abs(top.Cross(up)) < 1e-6 && top.Dot(up) > 0
}

// startIn is the thickness at which a field of boards of a slope would start at its
// outlets: the thinnest there is, and what a sump of steeper boards adds.
func (b Beside) startIn(field unit.Slope) float64 {
	addsIn := 0.0
	for _, f := range b.Design.Facets {
		if s := f.Plane.Slope().InchesPerFoot(); f.Role == SumpRole && s > 0 {
			least, most := math.Inf(1), math.Inf(-1)
			for _, p := range f.Poly.Outer {
				least, most = math.Min(least, f.Plane.At(p)), math.Max(most, f.Plane.At(p))
			}
			addsIn = math.Max(addsIn, (most-least)/s*(s-field.InchesPerFoot()))
		}
	}
	return b.Design.Insulation.ThinnestIn + addsIn
}

// allows says whether the rules allow a facet to slope so much less. Valleys become
// flatter as their facets do; those of crickets are made anew.
func (b Beside) allows(f Facet, less unit.Slope) bool {
	top := f.Top().Slope()
	left := top - less
	if left < b.Rules.Field.Min-unit.InchesPerFoot(sameSlopeInPerFt) {
		return false
	}
	for _, l := range b.Design.Lines {
		valley := l.Slope.InchesPerFoot() * left.InchesPerFoot() / top.InchesPerFoot()
		if len(b.Design.Crickets) == 0 && l.Kind == Valley && valley < b.Rules.Valley.Min.InchesPerFoot()-sameSlopeInPerFt {
			return false
		}
	}
	return true
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

// overNote says where the field is thicker than the job allows, on what share of the
// roof, and what would fit.
func (d *Design) overNote(s *survey.Site, thickest unit.Length, b Beside) string {
	at, mostIn, over, all := s.Outline[0], -1.0, 0.0, 0.0
	for _, f := range d.Facets {
		if f.Role == CricketRole {
			continue
		}
		for _, p := range f.Poly.Outer {
			if in := f.Plane.At(p); in > mostIn+sameIn {
				at, mostIn = p, in
			}
		}
		all, over = all+f.Poly.Area(), over+sqftOver(f, thickest.Inches())
	}
	sys := b.Levels.Units
	x := HeightLeft{At: at, New: unit.Inches(mostIn) + d.Cover, Wanted: unit.Inches(mostIn), Left: thickest}
	more := (x.Wanted - x.Left).FormatThin(sys)
	return fmt.Sprintf("it is thickest at %s, and over the limit on %.1f %% of the area: %s", placeText(at, s.Frame, sys), 100*over/all,
		strings.Replace(b.fits(x), "raise it by "+more, "allow "+more+" more", 1))
}

// sqftOver is the area of a facet that is thicker than a limit.
func sqftOver(f Facet, limitIn float64) float64 {
	up, ok := f.Plane.Uphill()
	if !ok {
		if f.Plane.CIn > limitIn+sameIn {
			return f.Poly.Area()
		}
		return 0
	}
	on := facing{right: geom.Pt{X: up.Y, Y: -up.X}, up: up}
	sqft := 0.0
	for _, p := range clipAbove(f.Poly.Map(on.local), (limitIn-f.Plane.CIn)/f.Plane.Slope().InchesPerFoot()) {
		sqft += p.Area()
	}
	return sqft
}
