package taper

import (
	"context"
	"fmt"
	"math"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Decks that slope evenly, toward and away from the outlets, on a rectangle and an
// L: along every building direction d boards are the least of the stock that leave
// 1/4 over the component of the deck, s_d >= 1/4 - g.d, so that every facet
// finishes at 1/4 at least; in every quadrant the valley finishes at (1 + gx/sx +
// gy/sy) / sqrt(1/sx^2 + 1/sy^2), 1/8 at least (two formulas derived from the
// planes). Where that takes more than the steepest board, two lie over one another.
// No valley is dead level, and no water runs past a drain: the finish
// drains, on the deck, without a pond.
func TestSlopedDecks(t *testing.T) {
	rules, err := drainage.RuleSet(survey.RuleChoice{Like: "us-reroof"})
	if err != nil {
		t.Fatal(err)
	}
	ell := geom.Ring{{X: 0, Y: 0}, {X: 84, Y: 0}, {X: 84, Y: 36}, {X: 40, Y: 36}, {X: 40, Y: 76}, {X: 0, Y: 76}}
	for _, deck := range [][2]float64{{1. / 8, 0}, {1. / 4, 0}, {1. / 8, 1. / 8}, {1. / 4, 1. / 4}} {
		for _, sign := range []float64{1, -1} {
			for name, s := range map[string]*survey.Site{
				"rectangle": roof(rect(60, 40), geom.Pt{X: 30, Y: 20}),
				"ell":       roof(ell, geom.Pt{X: 62, Y: 18}, geom.Pt{X: 20, Y: 56}),
			} {
				in := MakeInput{Stock: DefaultStock(unit.US), ValleyMin: rules.Valley.Min, FieldMin: rules.Field.Min,
					Deck:   survey.Plane{GX: sign * deck[0], GY: sign * deck[1]},
					Choice: survey.TaperChoice{Scheme: survey.FourWay, Slope: unit.InchesPerFoot(0.25), Start: unit.Inch / 2}}
				t.Run(fmt.Sprintf("%s on %g, %g", name, sign*deck[0], sign*deck[1]), func(t *testing.T) {
					slopedDeck(t, s, in, rules)
				})
			}
		}
	}
}

func slopedDeck(t *testing.T, s *survey.Site, in MakeInput, rules drainage.Rules) {
	t.Helper()
	d, err := Make(context.Background(), s, in)
	if err != nil {
		t.Fatal(err)
	}
	g := geom.Pt{X: in.Deck.GX, Y: in.Deck.GY}
	stock := stackedSlopes(in.Stock)
	slopes := map[geom.Pt]float64{{X: 1}: 0, {X: -1}: 0, {Y: 1}: 0, {Y: -1}: 0} // none where the deck does by itself
	for _, f := range topFacets(d.Facets) {
		if slope := f.Top().Slope().InchesPerFoot(); slope < 0.25-1e-9 {
			t.Errorf("facet %d finishes at %g in/ft", f.ID, slope)
		}
		up, ok := f.Plane.Uphill()
		if !ok {
			continue
		}
		up = squareUp(up)
		board := f.Plane.Slope().InchesPerFoot()
		slopes[up] = board
		least, err := stock.least(0.25-g.Dot(up), unit.US)
		if err != nil || board < least-1e-9 {
			t.Errorf("boards of %g uphill toward %v; the formula says %g at least (%v)", board, up, least, err)
		}
		nearly(t, "finished along the board", rise(f.Top(), up), board+g.Dot(up), 1e-9)
	}
	valleys := 0
	for _, l := range d.Lines {
		if l.Kind != Valley || l.A.Dist(l.B) < 1 || wallOf(s, l) >= 0 {
			continue
		}
		valleys++
		if v := l.Slope.InchesPerFoot(); v < 0.125-1e-9 || !ofQuadrant(slopes, g, v) {
			t.Errorf("valley of %g in/ft, none of the quadrants' or under 1/8 (boards %v)", v, slopes)
		}
	}
	if valleys == 0 && slopes[squareUp(geom.Pt{X: -math.Copysign(1, g.X)})] == 0 {
		t.Error("neither a valley nor boards against the deck's fall: the deck tells nothing")
	}
	if err := d.Check(); err != nil {
		t.Error(err)
	}
	base := fittedBase(s, survey.LatticeOf(s, 0), d.Facets)
	top := Finish(base, d.Facets, 0)
	p, err := Prove(context.Background(), s, d, Trial{Base: base, Rules: rules,
		InletIn: FinishedInlets(s, top, base, nil, make([]float64, len(s.Outlets)))})
	if err != nil {
		t.Fatal(err)
	}
	if !p.Passes || len(p.Report.Ponds) > 0 {
		t.Errorf("%d ponds; passes %v: %s", len(p.Report.Ponds), p.Passes, p.Why)
	}
}

// ofQuadrant says whether a slope is that of the valley of two neighbouring
// directions by the formula.
func ofQuadrant(slopes map[geom.Pt]float64, g geom.Pt, v float64) bool {
	for x, sx := range slopes {
		for y, sy := range slopes {
			if math.Abs(x.Dot(y)) > 1e-9 {
				continue
			}
			// The formula times sx sy, so that it holds where one hand has no board.
			want := (sx*sy + g.Dot(x)*sy + g.Dot(y)*sx) / math.Hypot(sx, sy)
			if math.Abs(want-v) < 1e-6 {
				return true
			}
		}
	}
	return false
}
