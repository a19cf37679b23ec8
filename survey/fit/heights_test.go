package fit

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestHeightAboveDeck: an old roof 4-1/2 in thick, its membrane at 1200 in, a
// core in one place. A height of 12 in above the membrane is 16-1/2 above the
// deck beside the core and as far as it speaks, and unknown beyond; one above
// the deck stays what it is; one above elevation zero takes the deck's.
func TestHeightAboveDeck(t *testing.T) {
	level := func(geom.Pt) float64 { return 1200 }
	s, existing := sloped(t, level, core(2, 12, 4.5))
	in := DeckInput{Kind: survey.Membrane, Scope: survey.TearOff, SigmaIn: 0.1}
	_, deck, r := Deck(s, existing, in)
	on := Levels{Kind: survey.Membrane, Existing: existing, Deck: deck, Cores: s.Cores, Reach: r.CoreReach}
	for _, c := range []struct {
		story  string
		h      survey.Height
		x      float64
		want   float64 // inches; NaN: not known
		sigma  float64
		why    string
		member float64 // above the membrane
	}{
		{"membrane, beside the core", survey.Height{Value: 12 * unit.Inch, Above: survey.AboveMembrane}, 8, 16.5, math.Hypot(0.1, 0.25), "", 12},
		{"membrane, 20 ft off", survey.Height{Value: 12 * unit.Inch, Above: survey.AboveMembrane}, 21.5, 16.5, 1, "", 12},
		{"membrane, 40 ft off", survey.Height{Value: 12 * unit.Inch, Above: survey.AboveMembrane}, 42, math.NaN(), 0, "more than 20 ft", 12},
		{"deck, 40 ft off", survey.Height{Value: 12 * unit.Inch, Above: survey.AboveDeck}, 42, 12, 0, "", math.NaN()},
		{"deck, beside the core", survey.Height{Value: 12 * unit.Inch, Above: survey.AboveDeck}, 8, 12, 0, "", 7.5},
		{"elevation, beside the core", survey.Height{Value: 1212 * unit.Inch, Above: survey.AboveElevation}, 8, 16.5, math.Hypot(0.1, 0.25), "", 12},
		{"elevation, 40 ft off", survey.Height{Value: 1212 * unit.Inch, Above: survey.AboveElevation}, 42, math.NaN(), 0, "more than 20 ft", 12},
		{"no datum", survey.Height{Value: 12 * unit.Inch}, 8, math.NaN(), 0, "not stated", math.NaN()},
	} {
		t.Run(c.story, func(t *testing.T) {
			p := s.Frame.ToLocal(geom.Pt{X: c.x, Y: 12})
			same := func(what string, got Above, want float64) {
				if got.OK == math.IsNaN(want) || got.OK && math.Abs(got.Height.Inches()-want) > 1e-6 {
					t.Errorf("%s %+v, want %g", what, got, want)
				}
			}
			got := HeightAboveDeck(c.h, p, on)
			same("above the deck", got, c.want)
			same("above the membrane", HeightAboveMembrane(c.h, p, on), c.member)
			if math.Abs(got.Sigma.Inches()-c.sigma) > 0.05 || !strings.Contains(got.Why, c.why) {
				t.Errorf("sigma %.3f because %q, want %.3f, %q", got.Sigma.Inches(), got.Why, c.sigma, c.why)
			}
		})
	}
}

// TestHeightAboveDeck_Shot: where the deck was shot too, membrane and deck are off
// on their own: 0.09 and 0.12 in leave the old roof between them known to 0.15.
func TestHeightAboveDeck_Shot(t *testing.T) {
	s, existing := sloped(t, func(geom.Pt) float64 { return 1200 })
	off := func(errIn float64, zIn float64) *survey.Surface {
		out := Level(s, existing.Lattice, zIn)
		out.SigmaIn = make([]float64, out.Len())
		for k, on := range out.Roof {
			if on {
				out.SigmaIn[k] = errIn
			}
		}
		return out
	}
	deck := off(0.12, 1195)
	on := Levels{Kind: survey.Membrane, Existing: off(0.09, 1200), Deck: deck, Shot: deck}
	got := HeightAboveDeck(survey.Height{Value: 12 * unit.Inch, Above: survey.AboveMembrane}, s.Frame.ToLocal(geom.Pt{X: 12, Y: 12}), on)
	if !got.OK || math.Abs(got.Height.Inches()-17) > 1e-9 || math.Abs(got.Sigma.Inches()-0.15) > 1e-9 {
		t.Errorf("got %+v, want 17 in to 0.15", got)
	}
}
