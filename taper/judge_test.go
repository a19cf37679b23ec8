package taper

import (
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// TestJudgePaths: over a pond to an outlet is a way out; into nothing is none.
func TestJudgePaths(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	id := s.Outlets[0].ID
	r := &drainage.Report{
		Ponds: []drainage.Pond{{ID: "P1", SpillsTo: "P2"}, {ID: "P2", SpillsTo: id}},
		Paths: []drainage.Path{{ID: "F1", EndsAt: id}, {ID: "F2", EndsAt: "P1"}},
	}
	if why := judgePaths(s, r, Trial{}, nil); len(why) != 0 {
		t.Errorf("over two ponds to the drain: %v", why)
	}
	r.Ponds[1].SpillsTo = ""
	r.Paths = append(r.Paths, drainage.Path{ID: "F3"})
	why := judgePaths(s, r, Trial{}, nil)
	if len(why) != 1 || !strings.Contains(why[0], "2 paths reach no outlet, the first F2") {
		t.Errorf("closed in: %v", why)
	}
}

// TestProve_Window: a designed surface is read over 4 ft and exactly: none of
// 60 x 40 ft of 1/4 in/ft planes is under 1/4, valleys read 0.176777.
func TestProve_Window(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	rules, err := drainage.RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	p := proven(t, s, quarterIn(survey.FourWay), rules, func(top, deck *survey.Surface) []float64 {
		return FinishedInlets(s, top, deck, deck, []float64{100})
	})
	nearly(t, "share under the minimum", p.Report.BelowMinimumPct, 0, 0)
	for _, w := range p.Report.Paths {
		if v := w.LeastValley.InchesPerFoot(); v >= 0 {
			nearly(t, "valley of "+w.ID, v, 0.176777, 1e-6)
		}
		if v := w.LeastField.InchesPerFoot(); v >= 0 {
			nearly(t, "field of "+w.ID, v, 0.25, 1e-9)
		}
	}
}

// TestGeodesicCells_RoundCorner: the distances that the least volume is summed
// from go round a re-entrant corner and round a court.
func TestGeodesicCells_RoundCorner(t *testing.T) {
	l := geom.Ring{{X: -20, Y: 0}, {X: 0, Y: 0}, {X: 0, Y: -20}, {X: 20, Y: -20}, {X: 20, Y: 20}, {X: -20, Y: 20}}
	zero := 0.0
	s := survey.SiteOf(roofArea(l, geom.Pt{X: -10.25, Y: 5.25}), &zero)
	lat := survey.LatticeOf(s, 0.5)
	i, j := lat.CellOf(s.Frame.ToLocal(geom.Pt{X: 5.25, Y: -10.25}))
	// sqrt(10.25^2 + 5.25^2) twice
	nearly(t, "round the corner", geodesicFt(s, lat)[j*lat.NX+i], 23.032585, 1e-6)

	a := roofArea(rect(60, 40), geom.Pt{X: 10.25, Y: 20.25})
	a.Courts = []geom.Ring{{{X: 25, Y: 10}, {X: 35, Y: 10}, {X: 35, Y: 30.5}, {X: 25, Y: 30.5}}}
	s = survey.SiteOf(a, &zero)
	lat = survey.LatticeOf(s, 0.5)
	from, to := geom.Pt{X: 10.25, Y: 20.25}, geom.Pt{X: 49.75, Y: 20.25}
	i, j = lat.CellOf(s.Frame.ToLocal(to))
	want := from.Dist(geom.Pt{X: 25, Y: 10}) + 10 + to.Dist(geom.Pt{X: 35, Y: 10})
	nearly(t, "round a court", geodesicFt(s, lat)[j*lat.NX+i], want, 1e-9)
	nearly(t, "round a court, alone", GeodesicFt(s, s.Frame.ToLocal(from), s.Frame.ToLocal(to)), want, 1e-9)
}

// TestCut_CoverIsNeverTurned: cover has a face. A mitred flat that fits what is
// left of a board only face-down takes it, a cover piece opens a board.
func TestCut_CoverIsNeverTurned(t *testing.T) {
	piece := func(typ BoardType, seq int, x float64, mirrored bool) Board {
		r := geom.Ring{{X: x}, {X: x + 3}, {X: x + 1, Y: 4}, {X: x, Y: 4}}
		if mirrored {
			r = geom.Ring{{X: x}, {X: x + 3}, {X: x + 3, Y: 4}, {X: x + 2, Y: 4}}
		}
		return Board{Layer: 1, Type: typ, Mark: "2", Row: 1, Seq: seq, Poly: geom.Poly{Outer: r}, Uphill: geom.Pt{Y: 1},
			Along: 4 * unit.Foot, Depth: 4 * unit.Foot, Cut: true, Stock: Placement{W: 3, D: 4}}
	}
	for typ, want := range map[BoardType]int{BaseType: 1, CoverType: 2} {
		cut := Cut([]Board{piece(typ, 1, 0, false), piece(typ, 2, 8, true)}, CutOptions{TurnBoard: true})
		nos := map[int]bool{}
		for _, b := range cut {
			nos[b.Stock.No] = true
			if typ == CoverType && b.Stock.Turned {
				t.Error("a cover piece lies face-down")
			}
		}
		if len(nos) != want {
			t.Errorf("%v: %d boards, want %d: %+v %+v", typ, len(nos), want, cut[0].Stock, cut[1].Stock)
		}
	}
}
