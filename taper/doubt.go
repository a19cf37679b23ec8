package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// taken is in with the decks that boards are chosen for, see takenDeck.
func (in FieldInput) taken(f geom.Frame) (FieldInput, []string) {
	if len(in.Decks) < 2 {
		deck, notes := in.takenDeck(f)
		in.Deck = deck
		return in, notes
	}
	decks := slices.Clone(in.Decks)
	var notes []string
	for n := range decks {
		one := in
		one.Deck = decks[n].Plane
		deck, said := one.takenDeck(f)
		decks[n].Plane = deck
		for _, t := range said {
			notes = append(notes, fmt.Sprintf("part %d of the deck: %s", n+1, t))
		}
	}
	in.Decks = decks
	return in, notes
}

// takenDeck is the deck that boards are chosen for, with the finding that goes
// with it. A slope of the fitted plane along a building axis is taken as the
// nearest at which a board of the stock, or none, gives just the finished slope
// asked for, where that is no further off than three standard errors (Doubt):
// so a board may be short of what the plane fitted to the shots needs by as much
// as the shots cannot tell, and noise buys no steeper one. No other stock slope
// lies between, so nothing is bought by it either. A level slope stays level,
// and without doubt the plane stays as it is.
func (in FieldInput) takenDeck(f geom.Frame) (survey.Plane, []string) {
	deck, most := in.Deck, 3*in.Doubt.InchesPerFoot()
	stock, want := append(slopesOf(in.Stock), 0), in.Slope.InchesPerFoot()
	var notes []string
	for _, d := range []struct {
		rise *float64
		up   geom.Pt
	}{{&deck.GX, geom.Pt{X: 1}}, {&deck.GY, geom.Pt{Y: 1}}} {
		got := *d.rise
		taken := stock.deckFor(want, got)
		if got == 0 || !(math.Abs(taken-got) <= most) {
			continue
		}
		*d.rise = taken
		if n := in.takenNote(got, taken, d.up.Mul(math.Copysign(1, got)), f); n != "" {
			notes = append(notes, n)
		}
	}
	return deck, notes
}

// deckFor is the deck slope nearest to got that leaves want over a board of b,
// laid with it or against it. Of two as near it is the flatter. b is not empty.
func (b boardSlopes) deckFor(want, got float64) float64 {
	best := math.Inf(1)
	for _, s := range b {
		for _, c := range []float64{want - s, s - want} {
			near, nearest := math.Abs(c-got), math.Abs(best-got)
			if near < nearest || near == nearest && math.Abs(c) < math.Abs(best) {
				best = c
			}
		}
	}
	return best
}

// takenNote says what a deck slope was taken as; empty where both print alike.
func (in FieldInput) takenNote(got, taken float64, up geom.Pt, f geom.Frame) string {
	was, is := slopeText(math.Abs(got), in.Units), slopeText(math.Abs(taken), in.Units)
	if was == is {
		return ""
	}
	most := unit.InchesPerFoot(3 * in.Doubt.InchesPerFoot()).Format(in.Units)
	if in.Units != unit.Metric {
		most = fmt.Sprintf("%.2g in/ft", 3*in.Doubt.InchesPerFoot())
	}
	return fmt.Sprintf("the deck rises %s toward %s: taken as %s, within the doubt of the survey "+
		"(three standard errors, %s)", was, wayText(up, f)+onTheSheet, is, most)
}

// slopeRange prints one slope, or two where they differ: "0.25 to 0.28 in/ft".
func slopeRange(least, most float64, sys unit.System) string {
	a, b := slopeText(least, sys), slopeText(most, sys)
	if a == b {
		return a
	}
	return strings.TrimSuffix(a, " in/ft") + " to " + b
}
