package fit

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Deck says what new boards are laid on and where the deck is. existing is the
// surface that the shots describe, kind what they stood on.
//
// A survey of the deck is both base and deck. Of a membrane survey with cores,
// the deck is the membrane less the thickness of the cores (see coreThickness);
// tear-off lays the boards on it, recover on the membrane. With tear-off and no
// core the base is a surface parallel to the membrane, at the membrane's
// elevations, and the deck is nil: not known. Without a survey (no kind and no
// shots) existing is taken for both. note says how base was found, for the
// report. Cost: O(cells).
func Deck(s *survey.Site, existing *survey.Surface, kind survey.SurfaceKind,
	scope survey.Scope) (base, deck *survey.Surface, note string) {
	if kind == survey.UnsetSurface && len(s.Shots) == 0 {
		return existing, existing, "LEVEL DECK ASSUMED, NOT SURVEYED"
	}
	if kind == survey.Deck {
		return existing, existing, "the deck as surveyed"
	}
	t, found := coreThickness(s, existing)
	if found {
		deck = existing.With(make([]float64, existing.Len()))
		for k, on := range existing.Roof {
			if on {
				p := existing.Centre(k%existing.NX, k/existing.NX)
				deck.ElevIn[k] = existing.ElevIn[k] - t.at(p, existing.ElevIn[k])
			}
		}
	}
	switch {
	case scope != survey.TearOff && found:
		return existing, deck, "the membrane as surveyed; deck inferred from " + t.words
	case scope != survey.TearOff:
		return existing, nil, "the membrane as surveyed; no core tells where the deck is"
	case found:
		return deck, deck, "deck inferred: membrane less " + t.words
	default:
		return existing, nil, "no core: the deck is taken parallel to the membrane, " +
			"its depth below is not known"
	}
}

// thickness is that of the old roof: a plane over the frame, plus a share of
// the membrane's elevation, inches.
type thickness struct {
	plane   survey.Plane
	perInch float64
	lo, hi  float64 // it stays between these
	words   string  // how it was found
}

// at is the thickness at p under a membrane at zIn: within the range of the
// cores, widened by that range on either side, and never below nothing.
func (t thickness) at(p geom.Pt, zIn float64) float64 {
	return math.Max(t.lo, math.Min(t.hi, t.plane.At(p)+t.perInch*zIn))
}

// Cores agree when they do to a quarter inch, and tell a slope when the
// membrane rises at least an inch between them. Common practice, no source.
const (
	coreAgreeIn = 0.25
	coreRiseIn  = 1.0
	coreWidth   = 0.2 // cores within a strip this wide for its length tell no plane
)

// coreThickness is the thickness of the old roof from the cores that lie on
// the surface, false where none does:
//
//   - by the membrane's elevation, where the thickness follows it to a quarter
//     inch (or better than a plane does): cores as thick at the high end as at
//     the low one put the slope in the deck, cores that grow with the membrane
//     put it in the insulation;
//   - else the plane of least squares through three or more cores;
//   - else, of one, two or cores within a narrow strip, their mean.
func coreThickness(s *survey.Site, existing *survey.Surface) (thickness, bool) {
	var pts []geom.Pt
	var zIn, thickIn []float64
	for _, c := range s.Cores {
		if z, ok := existing.Elevation(c.P); ok && c.ThicknessIn >= 0 {
			pts, zIn, thickIn = append(pts, c.P), append(zIn, z), append(thickIn, c.ThicknessIn)
		}
	}
	if len(pts) == 0 {
		return thickness{}, false
	}
	lo, hi := slices.Min(thickIn), slices.Max(thickIn)
	out := thickness{plane: survey.Plane{CIn: meanOf(thickIn)}, lo: math.Max(0, lo-(hi-lo)), hi: hi + (hi - lo)}
	how, miss := "taken alike everywhere", missOf(out, pts, zIn, thickIn)
	plane, sp, err := leastSquares(pts, thickIn)
	planeMiss := math.Inf(1)
	if err == nil && sp.width2() >= coreWidth*coreWidth {
		out.plane = plane
		planeMiss = missOf(out, pts, zIn, thickIn)
		how, miss = "as a plane through the cores", planeMiss
	}
	if byRise, ok := thicknessByRise(zIn, thickIn); ok {
		byRise.lo, byRise.hi = out.lo, out.hi
		if m := missOf(byRise, pts, zIn, thickIn); m <= coreAgreeIn || m <= planeMiss && !math.IsInf(planeMiss, 1) {
			out, how, miss = byRise, "following the membrane's rise", m
		}
	}
	out.words = wordsOf(thickIn, how, miss)
	return out, true
}

func wordsOf(thickIn []float64, how string, missIn float64) string {
	lo, hi := slices.Min(thickIn), slices.Max(thickIn)
	text := func(in float64) string { return unit.Inches(in).InchText() }
	if len(thickIn) == 1 {
		return "the thickness of one core, " + text(lo) + ", taken alike everywhere"
	}
	return fmt.Sprintf("the thickness of %d cores, %s to %s, %s (they agree to %s)", len(thickIn),
		text(lo), text(hi), how, text(missIn))
}

// thicknessByRise is the straight line of thickness over elevation; false
// where the membrane hardly rises between the cores, or where the line would
// make the deck fall as the membrane rises.
func thicknessByRise(zIn, thickIn []float64) (thickness, bool) {
	mz, mt := meanOf(zIn), meanOf(thickIn)
	lo, hi, zz, zt := math.Inf(1), math.Inf(-1), 0.0, 0.0
	for i, z := range zIn {
		lo, hi = math.Min(lo, z), math.Max(hi, z)
		zz += (z - mz) * (z - mz)
		zt += (z - mz) * (thickIn[i] - mt)
	}
	if len(zIn) < 2 || hi-lo < coreRiseIn {
		return thickness{}, false
	}
	b := zt / zz
	if b < -0.25 || b > 1.25 {
		return thickness{}, false
	}
	return thickness{plane: survey.Plane{CIn: mt - b*mz}, perInch: b}, true
}

// missOf is the root mean square by which t misses the cores, inches.
func missOf(t thickness, pts []geom.Pt, zIn, thickIn []float64) float64 {
	sum := 0.0
	for i, p := range pts {
		d := t.at(p, zIn[i]) - thickIn[i]
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(pts)))
}

func meanOf(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x / float64(len(v))
	}
	return sum
}
