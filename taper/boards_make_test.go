package taper

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Make goes from a site to counted boards: 60 x 40 ft about a centre drain, as
// in TestLayOut_FourWayCentreDrain, now with the field designed too.
func TestMake_FourWayCentreDrain(t *testing.T) {
	s := siteOf(rectOf(-30, -20, 30, 20))
	s.Outlets = []survey.SiteOutlet{{Outlet: survey.Outlet{ID: "D1", Kind: survey.Drain, Edge: -1}}}
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 1, Thickness: unit.Inches(4)}
	choice.Thickest = 9 * unit.Inch
	var heard []int
	d, err := Make(t.Context(), s, MakeInput{Choice: choice, Stock: quarterStock(4, 4),
		Progress: func(done, total int) { heard = append(heard, done, total) }})
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Check(); err != nil {
		t.Error(err)
	}
	wantEqual(t, "progress", slices.Equal(heard, []int{1, 4, 2, 4, 3, 4, 4, 4}), true)
	wantEqual(t, "tapered boards", tally(d.Counts, TaperedType, "", toOrder), 180)
	// 150 by area; of the halves at both ends of every other row, five at either end,
	// an odd one is left: the ends are farther from each other than a crew carries offcuts
	wantEqual(t, "base boards", tally(d.Counts, BaseType, "4", toOrder), 151)
	wantNear(t, "board feet over the base", d.Totals.BoardFeet-d.Totals.BaseBoardFeet, 11533.333333, 1e-5)
	notes := strings.Join(d.Notes, "\n")
	for _, want := range []string{
		"insulation is 12 in at its thickest, 3 in more than the job allows",
		"where fill and taper are 4-1/2 in thick",
	} {
		if !strings.Contains(notes, want) {
			t.Errorf("notes lack %q:\n%s", want, notes)
		}
	}
}

// Boards with a lead time are named.
func TestMake_NamesBoardsToOrder(t *testing.T) {
	s := siteOf(rectOf(0, 0, 16, 8))
	s.Outlets = []survey.SiteOutlet{{Outlet: survey.Outlet{ID: "D1", Kind: survey.Drain, Edge: -1}, P: geom.Pt{X: 8, Y: 4}, A: geom.Pt{X: 8, Y: 4}, B: geom.Pt{X: 8, Y: 4}}}
	choice := choiceOf(0.5)
	choice.Slope = unit.InchesPerFoot(3. / 16)
	d, err := Make(t.Context(), s, MakeInput{Choice: choice})
	if err != nil {
		t.Fatal(err)
	}
	want := "tapered boards at 3/16 in/ft are made to order: ask for the lead time"
	if !slices.Contains(d.Notes, want) {
		t.Errorf("notes %q lack %q", d.Notes, want)
	}
}

// Random roofs with one to three drains, or a gutter edge, some turned off the
// building axes: whatever field is designed is laid by the laws, seen by
// raster too.
func TestMake_RandomRoofs(t *testing.T) {
	made := 0
	for i := range uint64(40) {
		seed := *boardSeed + i
		r := rand.New(rand.NewPCG(seed, 7))
		c := randomRoof(t, r)
		s := c.site
		c.choice.Slope = unit.InchesPerFoot(0.25)
		c.choice.Scheme = survey.FourWay
		for range 1 + r.IntN(3) {
			box := s.Outline.Box()
			w, h := box.Size()
			q := box.Min.Add(geom.Pt{X: r.Float64() * w, Y: r.Float64() * h})
			if s.OnRoof(q) {
				s.Outlets = append(s.Outlets, survey.SiteOutlet{P: q, A: q, B: q,
					Outlet: survey.Outlet{ID: fmt.Sprint("D", len(s.Outlets)), Kind: survey.Drain, Edge: -1}})
			}
		}
		if r.IntN(4) == 0 {
			c.choice.Scheme = survey.OneWay
			e := &s.Edges[r.IntN(len(s.Edges))]
			e.Kind = survey.GutterEdge
			s.Outlets = []survey.SiteOutlet{{P: e.A.Lerp(e.B, 0.5), A: e.A, B: e.B,
				Outlet: survey.Outlet{ID: "A-0", Kind: survey.GutterOutlet}}}
		}
		if r.IntN(3) == 0 {
			turnSite(s, r.Float64())
		}
		if len(s.Outlets) == 0 {
			continue
		}
		d, err := Make(t.Context(), s, MakeInput{Choice: c.choice})
		if err != nil {
			t.Logf("seed %d: %v", seed, err)
			continue
		}
		made++
		if t.Failed() {
			t.Fatalf("stopped before seed %d", seed)
		}
		if err := d.Check(); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
		for _, f := range d.Facets {
			box := f.Poly.Outer.Box()
			w, h := box.Size()
			for range 10 {
				q := box.Min.Add(geom.Pt{X: r.Float64() * w, Y: r.Float64() * h})
				// facets of rounding dust, under 1e-6 sq ft, have no boards
				if f.Poly.Area() > 1e-5 && f.Poly.Has(q) && f.Poly.Dist(q) > 1e-5 {
					lookThrough(t, d, f, q)
				}
			}
		}
	}
	if made < 25 {
		t.Errorf("only %d of 40 roofs were made from seed %d", made, *boardSeed)
	}
}

// turnSite turns everything by an angle that suits no axis.
func turnSite(s *survey.Site, rad float64) {
	to := geom.Frame{Turn: rad}.ToJob
	s.Outline = s.Outline.Map(to)
	for i := range s.Courts {
		s.Courts[i] = s.Courts[i].Map(to)
	}
	for i := range s.Curbs {
		s.Curbs[i] = s.Curbs[i].Map(to)
	}
	for i, e := range s.Edges {
		s.Edges[i].A, s.Edges[i].B = to(e.A), to(e.B)
	}
	for i, o := range s.Outlets {
		s.Outlets[i].P, s.Outlets[i].A, s.Outlets[i].B = to(o.P), to(o.A), to(o.B)
	}
}
