package fit

import (
	"fmt"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Levels is what heights of roof items are measured from. Surfaces are inches
// above job elevation zero.
type Levels struct {
	Kind     survey.SurfaceKind // of Existing; unset: nothing was surveyed
	Existing *survey.Surface
	Deck     *survey.Surface // nil: not known
	Shot     *survey.Surface // the deck as shot at tear-off; nil: not shot
	Cores    []survey.SiteCore
	Reach    unit.Length // how far a core speaks, see DeckReport.CoreReach
	Units    unit.System // of Why
}

// Above is a height above one of the levels; without OK it is not known, and
// Why says why.
type Above struct {
	Height unit.Length
	Sigma  unit.Length // one standard error
	OK     bool
	Why    string
}

// HeightAboveDeck turns a stated height at a place of the frame into one above
// the deck. One above the membrane takes the thickness of the old roof there,
// which only a core within reach or a deck shot tells; one above job elevation
// zero takes the elevation of the deck. Cost: O(cores).
func HeightAboveDeck(h survey.Height, at geom.Pt, on Levels) Above {
	switch h.Above {
	case survey.AboveDeck:
		return Above{Height: h.Value, OK: true}
	case survey.AboveMembrane:
		old := on.oldRoof(at)
		old.Height += h.Value
		return old
	case survey.AboveElevation:
		z := on.existingAt(at)
		if z.OK && on.Kind == survey.Membrane {
			z = z.and(on.oldRoof(at), -1)
		}
		z.Height = h.Value - z.Height
		return z
	case survey.UnsetDatum:
	}
	return Above{Why: "it is not stated what the height is measured above"}
}

// HeightAboveMembrane is HeightAboveDeck for a roof whose membrane stays.
func HeightAboveMembrane(h survey.Height, at geom.Pt, on Levels) Above {
	switch h.Above {
	case survey.AboveMembrane:
		return Above{Height: h.Value, OK: true}
	case survey.AboveDeck:
		old := on.oldRoof(at)
		old.Height = h.Value - old.Height
		return old
	case survey.AboveElevation:
		z := on.existingAt(at)
		if z.OK && on.Kind == survey.Deck {
			z = z.and(on.oldRoof(at), 1)
		}
		z.Height = h.Value - z.Height
		return z
	case survey.UnsetDatum:
	}
	return Above{Why: "it is not stated what the height is measured above"}
}

// and adds a height to a height, or takes it off.
func (a Above) and(b Above, sign float64) Above {
	if !b.OK {
		return b
	}
	return Above{Height: a.Height + unit.Inches(sign*b.Height.Inches()), OK: true,
		Sigma: unit.Inches(math.Hypot(a.Sigma.Inches(), b.Sigma.Inches()))}
}

// oldRoof is the thickness of the old roof at a place.
func (on Levels) oldRoof(at geom.Pt) Above {
	near, far := survey.SiteCore{}, math.Inf(1)
	for _, c := range on.Cores {
		if d := c.P.Dist(at); d < far {
			near, far = c, d
		}
	}
	i, j := on.Existing.CellOf(at)
	shot := on.Shot != nil && on.Shot.Holds(i, j) && on.Shot.IsKnown(j*on.Shot.NX+i)
	reached := far <= on.Reach.Feet()+1e-9
	switch {
	case !shot && !reached && len(on.Cores) == 0:
		return Above{Why: "no core tells how thick the old roof is"}
	case !shot && !reached:
		return Above{Why: fmt.Sprintf("it lies more than %s, as far as a core speaks, from the nearest one, %s",
			feetWords(on.Reach.Feet(), on.Units), near.ID)}
	case on.Kind != survey.Membrane || on.Deck == nil:
		return Above{Height: unit.Inches(near.ThicknessIn), Sigma: unit.Inches(atCoreIn), OK: true}
	}
	zIn, ok := on.Existing.Elevation(at)
	deckIn, okDeck := on.Deck.Elevation(at)
	if !ok || !okDeck {
		return Above{Why: "no roof lies beside it"}
	}
	sigma := sigmaAt(on.Deck, at)
	if shot { // else the deck hangs on the membrane, whose error it shares
		sigma = math.Hypot(sigma, sigmaAt(on.Existing, at))
	}
	return Above{Height: unit.Inches(zIn - deckIn), Sigma: unit.Inches(sigma), OK: true}
}

// existingAt is the elevation of the existing surface at a place.
func (on Levels) existingAt(at geom.Pt) Above {
	if on.Kind == survey.UnsetSurface {
		return Above{Why: "nothing was surveyed, so elevations are not known"}
	}
	i, j := on.Existing.CellOf(at)
	zIn, ok := on.Existing.Elevation(at)
	if !ok || on.Existing.Holds(i, j) && on.Existing.Roof[j*on.Existing.NX+i] && !on.Existing.IsKnown(j*on.Existing.NX+i) {
		return Above{Why: "no shot is near enough to tell the elevation there"}
	}
	return Above{Height: unit.Inches(zIn), Sigma: unit.Inches(sigmaAt(on.Existing, at)), OK: true}
}

// sigmaAt is one standard error of a surface at a place, inches; 0: not told.
func sigmaAt(s *survey.Surface, at geom.Pt) float64 {
	if s.SigmaIn == nil {
		return 0
	}
	i, j := s.CellOf(at)
	most := 0.0
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			if k := (j+dj)*s.NX + i + di; s.Holds(i+di, j+dj) && s.Roof[k] && !math.IsInf(s.SigmaIn[k], 0) {
				most = math.Max(most, s.SigmaIn[k])
			}
		}
	}
	return most
}

// feetWords prints a rough distance.
func feetWords(ft float64, sys unit.System) string {
	if sys == unit.Metric {
		return fmt.Sprintf("%.1f m", unit.Feet(ft).Metres())
	}
	return fmt.Sprintf("%.0f ft", ft)
}
