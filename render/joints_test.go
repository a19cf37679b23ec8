package render

import (
	"io"
	"strings"
	"testing"

	"runnel/survey/unit"
	"runnel/taper"
)

// The demo of the tables has a base of one layer and cover; told a sliver of 2 ft, its
// pieces of less are named, each with its place and size, and the rest counted.
func TestJoints_Told(t *testing.T) {
	r := tblResult(t, tblWays[0])
	a := &r.Areas[0]
	a.Design.Sliver = 2 * unit.Foot
	want := taper.SliversOf(a.Design.Boards, 2*unit.Foot)
	sum := jointsOf(a)
	if len(want) <= sliversTold || len(sum.Slivers) != len(want) {
		t.Fatalf("%d slivers in summary.json, want %d, of over %d", len(sum.Slivers), len(want), sliversTold)
	}
	if sum.CoverClose == nil || sum.Offset != 6 || sum.Sliver != 24 || sum.BaseAlong != 0 {
		t.Errorf("joints %+v", sum)
	}
	text := tblText(t, func(w io.Writer) error { return WriteText(w, r) })
	for _, words := range []string{"Cover keeps 6\"", "All but the base is cut at creases", "under 2'-0\" along the row or up the slope", want[0].Piece + " ("} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), words) {
			t.Errorf("%q is not told", words)
		}
	}
}
