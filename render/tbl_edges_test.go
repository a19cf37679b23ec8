package render

import (
	"io"
	"math"
	"strconv"
	"testing"

	"runnel/survey/geom"
	"runnel/taper"
)

// Every line of edges.csv lies on its edge, so far from the edge's vertex as its
// station says, and is as thick as the design is there; each edge begins and ends
// with a station. So in every frame the job is drawn in.
func TestWriteEdgesCSV(t *testing.T) {
	for _, way := range tblWays {
		r := tblResult(t, way)
		a := &r.Areas[0]
		rows := tblRows(t, tblText(t, func(w io.Writer) error { return WriteEdgesCSV(w, r) }))
		first, last := map[int]float64{}, map[int]float64{}
		for _, row := range rows {
			num := func(key string) float64 {
				v, err := strconv.ParseFloat(row[key], 64)
				if err != nil {
					t.Fatalf("%s: %v", key, err)
				}
				return v
			}
			n, p := int(num("edge")), geom.Pt{X: num("x_ft"), Y: num("y_ft")}
			from, to := a.Area.Outline[n], a.Area.Outline.At(n+1)
			if geom.SegDist(p, from, to) > 1e-6 || math.Abs(p.Dist(from)-num("station_ft")) > 1e-6 {
				t.Errorf("station %g ft of edge %d stands at %v", num("station_ft"), n, p)
			}
			in, ok := taper.ThicknessAt(a.Design.Facets, a.Site.Frame.ToLocal(p))
			if !ok || math.Abs(in-num("thickness_in")) > 1e-6 || math.Abs(num("blocking_in")-in-a.Design.Cover.Inches()) > 1e-6 {
				t.Errorf("%v: the design is %g in thick there", row, in)
			}
			if _, seen := first[n]; !seen {
				first[n] = num("station_ft")
			}
			last[n] = num("station_ft")
		}
		for n, from := range a.Area.Outline {
			if long := from.Dist(a.Area.Outline.At(n + 1)); first[n] != 0 || math.Abs(last[n]-long) > 1e-6 {
				t.Errorf("edge %d runs from %g to %g ft, is %g ft long", n, first[n], last[n], long)
			}
		}
		if len(rows) < 2*len(a.Area.Outline) {
			t.Errorf("%d stations on %d edges", len(rows), len(a.Area.Outline))
		}
	}
}
