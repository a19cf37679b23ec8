package read

import (
	"strings"
	"testing"
	"testing/fstest"
)

// laidHead is the header of a list of what lies on the roof.
const laidHead = "area,layer,type,mark,facet,row,boards,thick_deg,thin_edge_in,stock_ft,outline,note\n"

// soundLaid is a row that is down and boards on hand, of the sound job.
const soundLaid = laidHead +
	"A,1,fill,2,F1,5,8,,,4x8,\"POLYGON ((0 16, 32 16, 32 20, 0 20, 0 16))\",\n" +
	"A,2,tapered,1/2 to 1-1/2,F1,5,8,90,0.5,4x4,\"POLYGON ((0 16, 32 16, 32 20, 0 20, 0 16))\",\n" +
	"A,,,1/2 to 1-1/2,,,24,,,4x4,,\n"

// laidJob is the sound job with a list of what lies on the roof.
func laidJob(list string) fstest.MapFS {
	return folder("job.yaml", with(soundJob, "stock: stock.csv", "stock: stock.csv\nlaid: laid.csv"), "laid.csv", list)
}

// badLaid are what can be wrong in such a list before the boards are known.
var badLaid = []bad{
	{"no such list", jobWith("stock: stock.csv", "stock: stock.csv\nlaid: laid.csv"), "job.yaml", 16, "laid", "no such file", "check the name"},
	{"rows without taper", folder("job.yaml", with(with(soundJob, "taper:\n  scheme: four-way\n  slope: 1/4 in/ft\n  start: 1/2 in\n", ""), "stock: stock.csv", "stock: stock.csv\nlaid: laid.csv"), "laid.csv", soundLaid),
		"job.yaml", 12, "laid", "no taper of which the rest", "take laid out"},
	{"an empty list", laidJob(laidHead), "laid.csv", 0, "", "no row and no boards", "rows.csv"},
	{"a list without marks", laidJob("area,layer,boards,outline\nA,1,3,\n"), "laid.csv", 1, "", "no column mark", "header"},
	{"rows of no area", laidJob(with(soundLaid, "A,1,", "B,1,")), "laid.csv", 2, "area", "no such area", "A"},
	{"a layer of a half", laidJob(with(soundLaid, "A,1,", "A,1.5,")), "laid.csv", 2, "layer", "whole number from 1", "1 at the bottom"},
	{"a layer of nothing", laidJob(with(soundLaid, "A,1,", "A,0,")), "laid.csv", 2, "layer", "whole number from 1", "1 at the bottom"},
	{"a type of no board", laidJob(with(soundLaid, "fill,", "fil,")), "laid.csv", 2, "type", "unknown type", "fill"},
	{"a row without mark", laidJob(with(soundLaid, "fill,2,", "fill,,")), "laid.csv", 2, "mark", "names no board", "as issued"},
	{"boards in halves", laidJob(with(soundLaid, ",24,", ",24.5,")), "laid.csv", 4, "boards", "whole number from 1", "such as 24"},
	{"boards below nothing", laidJob(with(soundLaid, ",24,", ",-2,")), "laid.csv", 4, "boards", "whole number from 1", "such as 24"},
	{"a row without outline", laidJob(with(soundLaid, "5,8,,,4x8,\"POLYGON ((0 16, 32 16, 32 20, 0 20, 0 16))\"", "5,8,,,4x8,")), "laid.csv", 2, "outline", "outline of the row", "POLYGON"},
	{"an outline of words", laidJob(with(soundLaid, "4x8,\"POLYGON ((0 16, 32 16, 32 20, 0 20, 0 16))\"", "4x8,north")), "laid.csv", 2, "outline", "outline of the row", "POLYGON"},
	{"an outline that crosses itself", laidJob(with(soundLaid, "4x8,\"POLYGON ((0 16, 32 16, 32 20, 0 20, 0 16))\"", "4x8,\"POLYGON ((0 16, 32 20, 32 16, 0 20, 0 16))\"")), "laid.csv", 2, "outline", "crosses or touches itself", "POLYGON"},
	{"a thick edge nowhere", laidJob(with(soundLaid, ",90,", ",,")), "laid.csv", 3, "thick_deg", "direction of the thick edge", "such as 90"},
	{"a thin edge of feet", laidJob(with(soundLaid, ",0.5,", ",50,")), "laid.csv", 3, "thin_edge_in", "no board is so thick", "thin edge"},
	{"a board of one side", laidJob(with(soundLaid, "4x8", "4")), "laid.csv", 2, "stock_ft", "size of a board", "4x8"},
}

// An issued list, with columns of its own, is read without a note, and a job with it
// is written and read again.
func TestLaid_ReadAndWritten(t *testing.T) {
	job, found := mustRead(t, laidJob(soundLaid))
	a := job.Areas[0]
	if len(found) > 0 || len(a.Laid) != 2 || len(a.OnHand) != 1 {
		t.Fatalf("problems %v, %d rows, %d on hand", found, len(a.Laid), len(a.OnHand))
	}
	r := a.Laid[1]
	if r.Layer != 2 || r.Mark != "1/2 to 1-1/2" || r.Boards != 8 || r.ThickDeg != 90 || r.ThinEdge.Inches() != 0.5 ||
		r.Along.Feet() != 4 || r.Row != 5 || r.Line != 3 || len(r.Outline) != 1 || r.Outline[0].Area() != 128 {
		t.Errorf("row %+v", r)
	}
	if h := a.OnHand[0]; h.Boards != 24 || h.Mark != "1/2 to 1-1/2" || h.Depth.Feet() != 4 {
		t.Errorf("on hand %+v", h)
	}
	again(t, job)
}

// FuzzLaidRows: no list of what lies on the roof stops the reader, and what is taken
// has an area, boards and outlines that can be reckoned with.
func FuzzLaidRows(f *testing.F) {
	f.Add(soundLaid)
	f.Add(laidHead + "A,1,fill,2,,,8,,,4x8,\"MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0)), ((0 0, NaN 1, 1e300 0)))\",\n")
	f.Add("mark,boards\n2,1e9\n,\n")
	f.Fuzz(func(t *testing.T, text string) {
		l, found := LaidRows(strings.NewReader(text), "laid.csv", []string{"A", "B"})
		if len(found) == 0 && len(l.Rows)+len(l.OnHand) == 0 {
			t.Error("an empty list without a fault")
		}
		if len(l.Areas) != len(l.Rows)+len(l.OnHand) {
			t.Errorf("%d areas of %d rows and %d boards", len(l.Areas), len(l.Rows), len(l.OnHand))
		}
		for _, r := range l.Rows {
			for _, p := range r.Outline {
				if a := p.Outer.Area(); !(a > 0) || r.Boards < 1 || r.Layer < 1 || r.Mark == "" {
					t.Errorf("row %+v", r)
				}
			}
		}
	})
}
