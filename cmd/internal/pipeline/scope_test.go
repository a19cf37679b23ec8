package pipeline

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
	"runnel/taper/ladder"
)

// shotRoof is a w x d ft area shot every 6 ft at the elevations of f, inches,
// with an edge 3 (x = 0) that is a gutter, and the taper of a common re-roof.
func shotRoof(w, d float64, f func(p geom.Pt) float64) *survey.Job {
	a := survey.Area{Name: "A", Outline: geom.Ring{{}, {X: w}, {X: w, Y: d}, {Y: d}}, Edges: make([]survey.Edge, 4)}
	for x := 0.0; x <= w; x += 6 {
		for y := 0.0; y <= d; y += 6 {
			p := geom.Pt{X: x, Y: y}
			a.Shots = append(a.Shots, survey.Shot{ID: "s", At: p, Elev: unit.Inches(f(p))})
		}
	}
	a.Edges[3].Kind = survey.GutterEdge
	a.Outlets = []survey.Outlet{{ID: "A-3", Kind: survey.GutterOutlet, Edge: 3}}
	return &survey.Job{
		Name: "test", Units: unit.US, Scope: survey.TearOff, Survey: survey.Source{Surface: survey.Membrane},
		Rules: survey.RuleChoice{Name: "us-reroof"}, Areas: []survey.Area{a},
		Ponds: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)},
		Taper: &survey.TaperChoice{Scheme: survey.OneWay, Slope: unit.InchesPerFoot(0.25), Start: unit.Inches(0.5)},
	}
}

// reportOf is the report of a job, each blank run one blank.
func reportOf(t *testing.T, job *survey.Job) string {
	t.Helper()
	var b strings.Builder
	if err := render.WriteText(&b, runJob(t, job)); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func coreAt(x, y, thickIn float64) survey.Core {
	return survey.Core{ID: "C", At: geom.Pt{X: x, Y: y}, Thickness: unit.Inches(thickIn)}
}

// TestSlopeInTheInsulation: cores of 1-1/2 in at the outlet and 7-1/2 in at the
// ridge 24 ft away under a membrane of 1/4 in/ft put the deck level. Tear-off
// needs full taper, 0.5 in to 6.5 in; recover needs none for slope. Where cores
// are alike the slope is in the deck and tear-off buys flat boards.
func TestSlopeInTheInsulation(t *testing.T) {
	for _, c := range []struct {
		story  string
		scope  survey.Scope
		cores  []survey.Core
		source fit.SlopeSource
		rung   ladder.Rung
		thick  float64 // greatest, inches
		warned string
	}{
		{"in the insulation, tear-off", survey.TearOff, []survey.Core{coreAt(0, 12, 1.5), coreAt(24, 12, 7.5)},
			fit.SlopeInInsulation, ladder.DrainsAsIs, 6.5, "tear-off removes it"},
		{"in the insulation, recover", survey.Recover, []survey.Core{coreAt(0, 12, 1.5), coreAt(24, 12, 7.5)},
			fit.SlopeInInsulation, ladder.DrainsAsIs, 0.5, ""},
		{"in the deck, tear-off", survey.TearOff, []survey.Core{coreAt(0, 12, 3), coreAt(24, 12, 3)},
			fit.SlopeInDeck, ladder.DrainsAsIs, 0.5, ""},
		{"one core, tear-off", survey.TearOff, []survey.Core{coreAt(0, 12, 3)},
			fit.SlopeUntold, ladder.DrainsAsIs, 0.5, "one core is too few"},
	} {
		t.Run(c.story, func(t *testing.T) {
			job := shotRoof(24, 24, func(p geom.Pt) float64 { return 1200 + 0.25*p.X })
			job.Scope, job.Areas[0].Cores = c.scope, c.cores
			a := runJob(t, job).Areas[0]
			if a.Deck.Slope != c.source {
				t.Errorf("slope comes from %v (%s), want %v", a.Deck.Slope, a.Deck.Why, c.source)
			}
			if a.Existing.MeetsDesign != drainage.Meets || a.Rung != c.rung {
				t.Errorf("the roof as it is %v, rung %v: %s", a.Existing.MeetsDesign, a.Rung, a.Why)
			}
			near(t, "greatest thickness in", a.Design.Insulation.ThickestIn, c.thick)
			if !a.Proof.Passes {
				t.Errorf("does not pass: %s", a.Proof.Why)
			}
			told := reportOf(t, job)
			if !strings.Contains(told, " The slope ") || !strings.Contains(told, c.warned) {
				t.Errorf("the report does not say where the slope comes from:\n%s", told)
			}
			job.Units, job.Taper = unit.Metric, nil
			if a := runJob(t, job).Areas[0]; strings.Contains(a.Deck.Words+a.Deck.Why+strings.Join(a.Deck.Warnings, ""), "\"") {
				t.Errorf("a metric job is told of inches: %q %q", a.Deck.Words, a.Deck.Why)
			}
			if got := strings.Join(a.Deck.Warnings, "; "); (got == "") != (c.warned == "") || !strings.Contains(got, c.warned) {
				t.Errorf("warnings %q, want %q", got, c.warned)
			}
		})
	}
}

// TestPartial: of a 48 x 24 ft roof the 24 ft by the gutter are torn off, 3 in of
// old roof come away and taper of 1/2 to 6-1/2 in is laid: the new surface ends
// 3-1/2 in above the old one along the tie line, 3-7/16 in the middle of the last
// cell. Level water of the old half that ran to the gutter is dammed 3-7/16 in
// deep; where the old half slopes away to a gutter of its own nothing is.
func TestPartial(t *testing.T) {
	for _, c := range []struct {
		story  string
		f      func(p geom.Pt) float64
		own    bool // the old half has a gutter of its own
		passes bool
		want   []string
	}{
		{"level", func(geom.Pt) float64 { return 1200 }, false, false, []string{`up to 3 7/16" above it at x 24.0 ft`, `dammed along the tie line, 3 7/16" deep`}},
		{"the old half slopes away", func(p geom.Pt) float64 { return 1200 - 0.25*math.Max(0, p.X-24) }, true, true,
			[]string{`above it at x 24.0 ft`, "no water is dammed"}},
	} {
		t.Run(c.story, func(t *testing.T) {
			job := partJob(c.f)
			if c.own {
				job.Areas[0].Edges[1].Kind = survey.GutterEdge
				job.Areas[0].Outlets = append(job.Areas[0].Outlets, survey.Outlet{ID: "A-1", Kind: survey.GutterOutlet, Edge: 1})
			}
			a := runJob(t, job).Areas[0]
			if in := a.Design.Insulation; c.f(geom.Pt{}) == c.f(geom.Pt{X: 48}) {
				near(t, "volume cu ft", in.CuFt, 24*24*3.5/12)
				near(t, "greatest thickness in", in.ThickestIn, 6.5)
			}
			got := strings.Join(a.Proof.Findings, "; ")
			if a.Proof.Passes != c.passes {
				t.Errorf("passes %v: %s", a.Proof.Passes, a.Proof.Why)
			}
			for _, want := range c.want {
				if !strings.Contains(got, want) {
					t.Errorf("findings %q do not say %q", got, want)
				}
			}
			inside, outside := a.Site.Frame.ToLocal(geom.Pt{X: 12.25, Y: 12.25}), a.Site.Frame.ToLocal(geom.Pt{X: 36.25, Y: 12.25})
			deck, _ := a.Base.Elevation(inside)
			top, _ := a.Proof.Surface.Elevation(inside)
			thick, _ := taper.ThicknessAt(a.Design.Facets, inside)
			near(t, "finished surface inside", top, deck+thick)
			was, _ := a.Existing.Surface.Elevation(outside)
			now, _ := a.Proof.Surface.Elevation(outside)
			near(t, "finished surface outside", now, was)
			for _, b := range a.Design.Boards {
				if x := a.Site.Frame.ToJob(b.Poly.Centroid()).X; x > 24 {
					t.Fatalf("a board lies at x %g, where the roof stays", x)
				}
			}
		})
	}
}

// partJob is a 48 x 24 ft roof with the 24 ft by its gutter to be torn off.
func partJob(f func(p geom.Pt) float64) *survey.Job {
	job := shotRoof(48, 24, f)
	job.Scope = survey.Partial
	job.Part = geom.Ring{{X: -1, Y: -1}, {X: 24, Y: -1}, {X: 24, Y: 25}, {X: -1, Y: 25}}
	job.Areas[0].Cores = []survey.Core{coreAt(6, 6, 3), coreAt(40, 20, 3), coreAt(20, 12, 3)}
	return job
}

// TestPartial_Faults: what an outline cannot take is told with its mend.
func TestPartial_Faults(t *testing.T) {
	for _, c := range []struct {
		story, want string
		change      func(j *survey.Job)
	}{
		{"no outlet inside", "no primary outlet", func(j *survey.Job) {
			j.Part = geom.Ring{{X: 24, Y: -1}, {X: 49, Y: -1}, {X: 49, Y: 25}, {X: 24, Y: 25}}
		}},
		{"two pieces", "2 pieces", func(j *survey.Job) {
			j.Areas[0].Courts = []geom.Ring{{{X: 10, Y: 2}, {X: 10, Y: 22}, {X: 14, Y: 22}, {X: 14, Y: 2}}}
			j.Part = geom.Ring{{X: 5, Y: 5}, {X: 20, Y: 5}, {X: 20, Y: 15}, {X: 5, Y: 15}}
		}},
		{"through a curb", "curb U1", func(j *survey.Job) {
			j.Areas[0].Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 24, Y: 12}, W: 4, D: 4}}
		}},
		{"through a scupper", "scupper S1", func(j *survey.Job) {
			j.Areas[0].Outlets = append(j.Areas[0].Outlets, survey.Outlet{ID: "S1", Kind: survey.Scupper, Edge: 0,
				At: geom.Pt{X: 24}, Width: unit.Feet(1)})
		}},
	} {
		t.Run(c.story, func(t *testing.T) {
			job := partJob(func(p geom.Pt) float64 { return 1200 + 0.25*p.X })
			c.change(job)
			_, err := Run(context.Background(), job, Taper, nil)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
		})
	}
}

// TestHeightsLeft: an old roof 4-1/2 in thick and level, a curb 12 in above the old
// membrane whose far side stands 20 ft from the outlet; 2 x 2.6 in of base, taper
// from 1/2 in at 1/4 in/ft and 1/2 in of cover come to 11.2 in there. 5.3 in are
// left, 2.7 short of 8; read as above the deck it would be 0.8. Recover without
// base leaves 6.0. Where a core is needed and none is near it is
// unknown.
func TestHeightsLeft(t *testing.T) {
	for _, c := range []struct {
		story   string
		scope   survey.Scope
		above   survey.Datum
		core    float64 // its x, ft; below 0: none
		layers  int
		left    float64
		verdict drainage.Verdict
	}{
		{"tear-off, above the membrane", survey.TearOff, survey.AboveMembrane, 14, 2, 5.3, drainage.FallsShort},
		{"read as above the deck", survey.TearOff, survey.AboveDeck, 14, 2, 0.8, drainage.FallsShort},
		{"recover without base", survey.Recover, survey.AboveMembrane, 14, 0, 6.0, drainage.FallsShort},
		{"no core near", survey.TearOff, survey.AboveMembrane, 44, 2, 0, drainage.Unknown},
		{"no core", survey.TearOff, survey.AboveMembrane, -1, 2, 0, drainage.Unknown},
		{"recover, above the deck, no core near", survey.Recover, survey.AboveDeck, 44, 0, 0, drainage.Unknown},
	} {
		t.Run(c.story, func(t *testing.T) {
			job := shotRoof(48, 24, func(geom.Pt) float64 { return 1200 })
			job.Scope = c.scope
			job.Taper.Base = survey.BaseChoice{Layers: c.layers, Thickness: unit.Inches(2.6)}
			job.Taper.Cover = unit.Inches(0.5)
			job.Taper.Cricket.None = true // one behind the curb would take from what is left of it
			job.Stock = taper.DefaultStock(unit.US)
			job.Stock.Flats = append(job.Stock.Flats, survey.FlatBoard{Thickness: unit.Inches(2.6), Along: 8 * unit.Foot, Depth: 4 * unit.Foot})
			a := &job.Areas[0]
			if c.core >= 0 {
				a.Cores = []survey.Core{coreAt(c.core, 12, 4.5)}
			}
			a.Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 18, Y: 12}, W: 4, D: 4,
				Height: survey.Height{Value: 12 * unit.Inch, Above: c.above}}}
			got := runJob(t, job).Areas[0].Heights
			if len(got) != 1 || got[0].Verdict != c.verdict {
				t.Fatalf("heights %+v, want one that is %v", got, c.verdict)
			}
			if c.verdict == drainage.Unknown {
				if got[0].ToldPct != 0 || got[0].Why == "" {
					t.Errorf("known along %g %% (%s)", got[0].ToldPct, got[0].Why)
				}
				return
			}
			near(t, "left in", got[0].Left.Inches(), c.left)
			if told := reportOf(t, job); !strings.Contains(told, "Curb U1") || !strings.Contains(told, "short by") {
				t.Errorf("the report does not tell the curb:\n%s", told)
			}
		})
	}
}

// TestHeightsLeft_Doors: the sill of a door stands 3 in above the old membrane,
// which stays; taper of 1/2 in that rises 1/4 in/ft adds 2.5 in over 8 ft and
// leaves 1/2 in, which falls short, and so does a sill in the wall of a curb, all of a
// door 3 ft wide counted by its worse side. What helps is told. Four sills that
// a schedule would find one by one are all found.
func TestHeightsLeft_Doors(t *testing.T) {
	job := shotRoof(24, 24, func(geom.Pt) float64 { return 1200 })
	job.Scope = survey.Recover
	sill := func(in float64) survey.Height {
		return survey.Height{Value: unit.Inches(in), Above: survey.AboveMembrane}
	}
	a := &job.Areas[0]
	a.Curbs = []survey.Curb{{ID: "U1", At: geom.Pt{X: 18, Y: 12}, W: 4, D: 4}}
	a.Doors = []survey.WallItem{
		{ID: "E1", Edge: 0, Along: unit.Feet(8), At: geom.Pt{X: 8}, Height: sill(3)},
		{ID: "E2", Edge: 0, Along: unit.Feet(8), At: geom.Pt{X: 8}, Height: sill(3), Width: unit.Feet(3)},
		{ID: "E3", Edge: -1, At: geom.Pt{X: 16.5, Y: 12}, Height: sill(6)},
		{ID: "E4", Edge: 2, Along: unit.Feet(18), At: geom.Pt{X: 6, Y: 24}, Height: sill(12)},
	}
	got := runJob(t, job).Areas[0].Heights
	for n, want := range []float64{0.5, 3 - 0.5 - 9.5/4, 6 - 0.5 - 16.0/4, 12 - 2} {
		if n >= len(got) {
			t.Fatalf("%d sills of 4", len(got))
		}
		near(t, got[n].Item+", left in", got[n].Left.Inches(), want)
		verdict := drainage.FallsShort
		if n == 3 {
			verdict = drainage.Meets
		}
		if got[n].Item != fmt.Sprintf("door E%d", n+1) || got[n].Verdict != verdict || (got[n].Mend == "") != (n == 3) {
			t.Errorf("%+v", got[n])
		}
	}
	told := reportOf(t, job)
	for _, want := range []string{`flashing door E1: needs 8" (us-reroof), 1/2" found`,
		`Door E1 3" above the membrane; 2 1/2" of new insulation leave 1/2" at x 8.0 ft, y 0.0 ft, short by 7 1/2". Falls short. ` +
			`Would help: raise the door, keep a local thin zone before it, or set a drain nearby.`} {
		if !strings.Contains(told, want) {
			t.Errorf("the report lacks %q:\n%s", want, told)
		}
	}
	job.Scope = survey.TearOff // no core: what the membrane stood above is not known
	for _, h := range runJob(t, job).Areas[0].Heights {
		if h.Verdict != drainage.Unknown || h.Mend != "" {
			t.Errorf("without a core: %+v", h)
		}
	}
}

// TestDeckShots: a membrane that slopes 1/4 in/ft over one core 3 in thick puts
// the deck 3 in below it, and flat boards would do. At tear-off the deck is found
// level at 1197 in: taper to 6-1/2 in is needed, and the deck stands 6 in below
// the inferred one at the far end. Where only the low 12 ft are shot, the rest
// stays inferred, and as the old roof thickens with its rise where the deck was
// shot, it is inferred level too.
func TestDeckShots(t *testing.T) {
	for _, c := range []struct {
		story    string
		to       float64 // how far the deck is shot, ft
		inferred bool
		mostIn   float64
	}{{"all over", 24, false, -6}, {"the low half", 12, true, -6}} {
		t.Run(c.story, func(t *testing.T) {
			job := shotRoof(24, 24, func(p geom.Pt) float64 { return 1200 + 0.25*p.X })
			a := &job.Areas[0]
			a.Cores = []survey.Core{coreAt(0, 12, 3)}
			for _, s := range a.Shots {
				if s.At.X <= c.to {
					s.Elev = unit.Inches(1197)
					a.DeckShots = append(a.DeckShots, s)
				}
			}
			r := runJob(t, job).Areas[0]
			if r.Change == nil || r.Deck.Inferred != c.inferred || c.inferred != strings.Contains(r.Deck.Words, "inferred") {
				t.Fatalf("change %+v, deck %q", r.Change, r.Deck.Words)
			}
			if got := r.Change.Most.Inches(); !r.Change.Compared || math.Abs(got-c.mostIn) > 0.15 {
				t.Errorf("the deck stands %.3f in off the inferred one, want %g", got, c.mostIn)
			}
			before, after := 0, 0
			for _, m := range r.Change.Marks {
				before, after = before+m.Before, after+m.After
			}
			if before != r.Change.Before.ToOrder || after != r.Design.Totals.ToOrder || before >= after {
				t.Errorf("boards %d -> %d by mark, %d -> %d in all", before, after, r.Change.Before.ToOrder, r.Design.Totals.ToOrder)
			}
			near(t, "greatest thickness in", r.Design.Insulation.ThickestIn, 6.5)
			if told := reportOf(t, job); !strings.Contains(told, "What the deck shots changed") {
				t.Errorf("the report does not tell the change:\n%s", told)
			}
			near(t, "board feet before", r.Change.Before.SolidBoardFeet, 24*24*0.5)
			if r.Deck.Slope != fit.SlopeInInsulation {
				t.Errorf("the slope comes from %v: %s", r.Deck.Slope, r.Deck.Why)
			}
		})
	}
}
