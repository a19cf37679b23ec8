package fit

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// sloped is a surveyed 48 x 24 ft roof whose membrane stands at f inches.
func sloped(t *testing.T, f func(p geom.Pt) float64, cores ...survey.Core) (*survey.Site, *survey.Surface) {
	t.Helper()
	a := survey.Area{Outline: rect(0, 0, 48, 24), Cores: cores}
	gridShots(&a, 6, f)
	s, r := fitOf(t, &a, 0)
	return s, r.Surface
}

func core(x, y, thickIn float64) survey.Core {
	return survey.Core{At: geom.Pt{X: x, Y: y}, Thickness: unit.Inches(thickIn)}
}

func TestDeck(t *testing.T) {
	t.Parallel()
	rise := func(p geom.Pt) float64 { return 1200 + 0.25*p.X }
	level := func(p geom.Pt) float64 { return 1200 }
	valley := func(p geom.Pt) float64 { return 1200 + 0.25*math.Abs(p.X-24) }
	for _, c := range []struct {
		name  string
		f     func(p geom.Pt) float64
		cores []survey.Core
		scope survey.Scope
		deck  func(p geom.Pt) float64 // nil: not known
		tolIn float64
		note  string
	}{
		{"1-1/2 at the drain, 7-1/2 at the ridge 24 ft on: the deck is level", rise,
			[]survey.Core{core(0.5, 12, 1.5), core(24.5, 12, 7.5)}, survey.TearOff,
			func(geom.Pt) float64 { return 1198.625 }, 0.01, "inferred"},
		{"alike at both ends: the slope is in the deck", rise, []survey.Core{core(2, 12, 3), core(46, 12, 3)},
			survey.TearOff, func(p geom.Pt) float64 { return rise(p) - 3 }, 1e-6, "inferred"},
		{"taper from both sides into a valley", valley,
			[]survey.Core{core(24, 12, 1), core(2, 5, 6.5), core(46, 20, 6.5)}, survey.TearOff,
			// The fit rounds off the valley between shots 3 ft from it by half an inch.
			func(geom.Pt) float64 { return 1199 }, 0.6, "membrane's rise"},
		{"three cores on a level membrane: a plane", level,
			[]survey.Core{core(1, 1, 2), core(47, 1, 4), core(1, 23, 3)}, survey.TearOff,
			func(p geom.Pt) float64 { return 1200 - 2 - (p.X-1)*2/46 - (p.Y-1)/22 }, 1e-6, "plane"},
		{"one core", rise, []survey.Core{core(20, 10, 4)}, survey.TearOff,
			func(p geom.Pt) float64 { return rise(p) - 4 }, 1e-6, "one core"},
		{"no core", rise, nil, survey.TearOff, nil, 0, "parallel"},
		{"recover with a core", rise, []survey.Core{core(20, 10, 4)}, survey.Recover,
			func(p geom.Pt) float64 { return rise(p) - 4 }, 1e-6, "membrane as surveyed"},
		{"recover without core", rise, nil, survey.Recover, nil, 0, "no core"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, existing := sloped(t, c.f, c.cores...)
			base, deck, r := Deck(s, existing, DeckInput{Kind: survey.Membrane, Scope: c.scope, SigmaIn: 0.1})
			t.Logf("%s | %v | %s | %q", r.Words, r.Slope, r.Why, r.Warnings)
			if !strings.Contains(r.Words, c.note) {
				t.Errorf("%q does not say %q", r.Words, c.note)
			}
			if (deck == nil) != (c.deck == nil) {
				t.Fatalf("deck known: %v", deck != nil)
			}
			want := existing
			if deck != nil && c.scope == survey.TearOff {
				want = deck
			}
			if base != want {
				t.Error("the boards are laid on the wrong surface")
			}
			if deck == nil {
				return
			}
			if _, worst := misfit(s, deck, c.deck); worst > c.tolIn {
				t.Errorf("the deck is off by %.4f in", worst)
			}
		})
	}
	s, existing := sloped(t, rise)
	if base, deck, _ := Deck(s, existing, DeckInput{Kind: survey.Deck, Scope: survey.TearOff}); base != existing || deck != existing {
		t.Error("a survey of the deck is not taken for the deck")
	}
}
