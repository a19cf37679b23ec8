package taper

import (
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
	wantEqual(t, "base boards", tally(d.Counts, BaseType, "4", toOrder), 150)
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
	want := "made to order, ask for the lead time: 1/2 to 1-1/4 at 3/16 in/ft and 1-1/4 to 2 at 3/16 in/ft"
	if !slices.Contains(d.Notes, want) {
		t.Errorf("notes %q lack %q", d.Notes, want)
	}
}
