package fit

import (
	"fmt"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/unit"
)

// hardlyInPerFt is the mean slope under which a membrane has none to keep or to
// lose: dishes alone come to some hundredths.
// Common practice, no source.
const hardlyInPerFt = 0.1

// shareDoubt is one standard error of the share of the slope that lies in the
// insulation from which on the cores do not tell it.
// Common practice, no source.
const shareDoubt = 1.0 / 6

// tellSlope finds where the slope of the old roof comes from: the share of the
// membrane's rise from core to core by which the old roof thickens. All but a
// third or less of it lies in the insulation or in the deck, or some in both,
// by two standard errors. deck is nil where it is not known.
func (r *DeckReport) tellSlope(membrane, deck *survey.Surface, cores coreSet, in DeckInput) {
	if in.Kind == survey.Deck {
		r.Deck, r.DeckTold = meanSlope(deck), true
		r.Slope, r.Why = SlopeInDeck, "in the deck: the shots stand on it; "+slopeWords(r.Deck, in.Units)+" on average"
		return
	}
	r.Membrane, r.OnMembrane = meanSlope(membrane), true
	figures := "the membrane " + slopeWords(r.Membrane, in.Units)
	if deck != nil && (r.SlopeDoubt > 0 || in.Shot != nil) {
		r.Deck, r.DeckTold = meanSlope(deck), true
		figures += ", the deck " + slopeWords(r.Deck, in.Units)
	}
	figures += " on average"
	if r.Membrane.InchesPerFoot() < hardlyInPerFt {
		r.Slope, r.Why = NoSlope, "hardly any: "+figures
	} else {
		var why string
		r.Slope, why = cores.source(in.Units)
		r.Why = why + "; " + figures
	}
	r.warn(in.Scope, figures)
}

// warn says what tear-off does to the slope.
func (r *DeckReport) warn(scope survey.Scope, figures string) {
	if scope == survey.Recover {
		return
	}
	switch r.Slope {
	case SlopeInInsulation:
		r.Warnings = append(r.Warnings, "the slope lies in the insulation: tear-off removes it ("+figures+")")
	case SlopeInBoth:
		r.Warnings = append(r.Warnings, "a part of the slope lies in the insulation: tear-off removes that part ("+figures+")")
	case SlopeUntold:
		r.Warnings = append(r.Warnings, "whether tear-off removes the slope "+r.Why+
			"; cut cores at its high and its low end before boards are ordered")
	case SlopeInDeck, NoSlope:
	}
}

// source tells by the cores where the slope comes from.
func (c coreSet) source(sys unit.System) (SlopeSource, string) {
	switch {
	case len(c.pts) == 0:
		return SlopeUntold, "cannot be told: no core lies on the surface"
	case len(c.pts) == 1:
		return SlopeUntold, "cannot be told: one " + c.one + " is too few"
	}
	low, high := 0, 0
	for i, z := range c.zIn {
		if z < c.zIn[low] {
			low = i
		}
		if z > c.zIn[high] {
			high = i
		}
	}
	rise, thicker := c.zIn[high]-c.zIn[low], c.thickIn[high]-c.thickIn[low]
	thin := func(in float64) string { return unit.Inches(in).FormatThin(sys) }
	deckRise := thin(rise - thicker)
	if rise < thicker {
		deckRise = "falls " + thin(thicker-rise)
	}
	between := fmt.Sprintf("from the lowest %s to the highest, %s apart, the membrane rises %s and the deck %s",
		c.one, unit.Feet(c.pts[low].Dist(c.pts[high])).Format(sys), thin(rise), deckRise)
	if rise < coreRiseIn {
		return SlopeUntold, "cannot be told: " + between
	}
	share, doubt := c.share()
	switch {
	case share-2*doubt >= 2.0/3:
		return SlopeInInsulation, "in the insulation: " + between
	case share+2*doubt <= 1.0/3:
		return SlopeInDeck, "in the deck: " + between
	case doubt <= shareDoubt:
		return SlopeInBoth, fmt.Sprintf("%.0f %% in the insulation: %s", 100*share, between)
	}
	return SlopeUntold, "cannot be told, the " + c.many + " scatter: " + between
}

// share is by how much the old roof thickens for each inch that the membrane
// rises, by least squares, with its standard error: by the scatter of the
// cores, no less than atCoreIn.
func (c coreSet) share() (share, doubt float64) {
	mz, mt, n := meanOf(c.zIn), meanOf(c.thickIn), float64(len(c.pts))
	var zz, zt, miss float64
	for i, z := range c.zIn {
		zz += (z - mz) * (z - mz)
		zt += (z - mz) * (c.thickIn[i] - mt)
	}
	share = zt / zz
	for i, z := range c.zIn {
		d := c.thickIn[i] - mt - share*(z-mz)
		miss += d * d / math.Max(1, n-2)
	}
	return share, math.Max(atCoreIn, math.Sqrt(miss)) / math.Sqrt(zz)
}

// addShot adds the thickness of the old roof where the deck was shot, one place
// in some 10 ft; nil: not shot.
func (c *coreSet) addShot(membrane, deck *survey.Surface) {
	if deck == nil {
		return
	}
	if len(c.pts) == 0 {
		c.one, c.many = "deck shot", "deck shots"
	} else {
		c.one, c.many = "core or deck shot", "cores and deck shots"
	}
	step := max(1, int(math.Round(coreNear.Feet()/membrane.CellFt)))
	for j := (membrane.NY - 1) % step / 2; j < membrane.NY; j += step {
		for i := (membrane.NX - 1) % step / 2; i < membrane.NX; i += step {
			k := j*membrane.NX + i
			if membrane.Roof[k] && deck.Known != nil && deck.Known[k] && membrane.IsKnown(k) {
				c.add(membrane.Centre(i, j), membrane.ElevIn[k], membrane.ElevIn[k]-deck.ElevIn[k])
			}
		}
	}
}

// slopeReachFt is how far to either side of a place its slope is read.
const slopeReachFt = 5

// meanSlope is the mean slope of a surface over its roof cells, each read over
// 10 ft along both axes; of a roof too narrow for that, its plane's. Noise makes
// it a little more. Cost: O(cells).
func meanSlope(surf *survey.Surface) unit.Slope {
	r := int(math.Round(slopeReachFt / surf.CellFt))
	sum, n := 0.0, 0
	for k, on := range surf.Roof {
		i, j := k%surf.NX, k/surf.NX
		if !on || i < r || j < r || i+r >= surf.NX || j+r >= surf.NY ||
			!surf.Roof[k-r] || !surf.Roof[k+r] || !surf.Roof[k-r*surf.NX] || !surf.Roof[k+r*surf.NX] {
			continue
		}
		runFt := 2 * float64(r) * surf.CellFt
		sum += math.Hypot(surf.ElevIn[k+r]-surf.ElevIn[k-r], surf.ElevIn[k+r*surf.NX]-surf.ElevIn[k-r*surf.NX]) / runFt
		n++
	}
	if n > 0 {
		return unit.InchesPerFoot(sum / float64(n))
	}
	p, _, err := leastSquares(roofPlaces(surf, func(int) bool { return true }))
	if err != nil {
		return 0
	}
	return p.Slope()
}

// slopeWords tells a slope; one that is hardly any counts as level.
func slopeWords(s unit.Slope, sys unit.System) string {
	if s.InchesPerFoot() < levelSlopeInPerFt/2 {
		return "is level"
	}
	if sys == unit.Metric {
		return "slopes " + s.Format(sys)
	}
	text := strings.TrimRight(fmt.Sprintf("%.2f", s.InchesPerFoot()), "0")
	return "slopes " + strings.TrimSuffix(text, ".") + " in/ft"
}
