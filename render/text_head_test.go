package render

import (
	"io"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/taper/ladder"
)

// headOf is the part of the report before the rules, lines joined.
func headOf(t *testing.T, r *Result) (flat string, lines int) {
	t.Helper()
	text := tblText(t, func(w io.Writer) error { return WriteText(w, r) })
	head, _, found := strings.Cut(text, "\n  Rules")
	if !found {
		t.Fatalf("no rules in\n%s", text)
	}
	return strings.Join(strings.Fields(head), " "), strings.Count(head, "\n")
}

// TestText_InShort: an area is told in twenty lines, each finding in words of its
// own and never taken for another.
func TestText_InShort(t *testing.T) {
	for story, r := range roofs() {
		if _, n := headOf(t, r); n > 20 {
			t.Errorf("%s: %d lines", story, n)
		}
	}
	type change func(a *AreaResult)
	for _, c := range []struct {
		story  string
		change change
		want   []string
		never  string
	}{
		{"ponds and too flat", func(*AreaResult) {}, []string{"The roof holds water: 3 ponds", "The deepest, P1, is 1 1/8\" deep at x ",
			"because ", "It is under the design slope: 63 %", "The least that would do is full taper"}, "not known"},
		{"dry but flat", func(a *AreaResult) { a.Existing.PondsFree, a.Existing.Ponds = drainage.Meets, nil },
			[]string{"holds no water that the shots can show", "It is under the design slope"}, "The roof holds water"},
		{"ponds yet steep", func(a *AreaResult) { a.Existing.MeetsDesign = drainage.Meets },
			[]string{"The roof holds water: 3 ponds", "It slopes enough"}, "under the design slope"},
		{"too close", func(a *AreaResult) {
			a.Existing.PondsFree, a.Existing.MeetsDesign = drainage.TooClose, drainage.TooClose
		},
			[]string{"Whether the roof holds water is too close to call", "Whether it slopes enough is too close to call"}, "The roof holds water:"},
		{"unknown", func(a *AreaResult) { a.Existing.PondsFree, a.Existing.MeetsDesign = drainage.Unknown, drainage.Unknown },
			[]string{"It is not known whether the roof holds water", "It is not known whether it slopes enough"}, "holds no water"},
		{"a lesser rung", func(a *AreaResult) {
			a.Rung = ladder.FillLows
			a.Ladder = []ladder.Step{{Rung: ladder.Sump, Outcome: ladder.Refused}, {Rung: ladder.FillLows, Outcome: ladder.Kept, Do: "fill P1: 4 cu ft"}}
		}, []string{"The least that would do is to fill low places: fill P1: 4 cu ft.", "would not do: reset or sump a drain."}, "full taper"},
		{"taper not designed", func(a *AreaResult) {
			a.Design, a.Proof = nil, nil
			a.Ladder = []ladder.Step{{Rung: ladder.Sump, Outcome: ladder.Refused}, {Rung: ladder.Taper, Why: "not designed at this stage"}}
		}, []string{"Nothing less than taper would do. Whether it does is not tested: not designed at this stage."}, "The least that would do"},
		{"taper refused, less unknown", func(a *AreaResult) {
			a.Ladder = []ladder.Step{{Rung: ladder.Sump, Outcome: ladder.Open}, {Rung: ladder.Taper, Outcome: ladder.Refused, Why: "it ponds"}}
		}, []string{"Nothing less than taper is known to do.", "cannot tell whether less would do: reset or sump a drain."}, "The least that would do"},
		{"not surveyed", func(a *AreaResult) { a.Fit = nil }, []string{"Nothing was surveyed."}, "The roof holds water"},
	} {
		r := roofOf(lJob(), 6)
		c.change(&r.Areas[0])
		flat, _ := headOf(t, r)
		for _, w := range c.want {
			if !strings.Contains(flat, w) {
				t.Errorf("%s: no %q in %s", c.story, w, flat)
			}
		}
		if strings.Contains(flat, c.never) {
			t.Errorf("%s: says %q in %s", c.story, c.never, flat)
		}
	}
}
