package render

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"runnel/taper"
)

// WriteEdgesCSV writes how thick the insulation is along every edge of the outlines,
// at each place where that bends or jumps; it runs straight between. station_ft is
// from the vertex of the edge's number, x_ft and y_ft are job feet, and blocking_in is
// the insulation and its cover board.
func WriteEdgesCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "edge", "kind", "station_ft", "thickness_in", "blocking_in", "x_ft", "y_ft"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		for _, st := range stationsOf(a) {
			at := a.Site.Frame.ToJob(st.At)
			rows = append(rows, []string{a.Area.Name, strconv.Itoa(st.Edge), a.Site.Edges[st.Edge].Kind.String(), decimal(st.Station.Feet()),
				decimal(st.Thickness.Inches()), decimal(st.Blocking.Inches()), decimal(at.X), decimal(at.Y)})
		}
	}
	return writeRows(w, rows)
}

func stationsOf(a *AreaResult) []taper.EdgeStation {
	if a.Design == nil {
		return nil
	}
	return taper.EdgeStations(&a.Area, a.Site, a.Design)
}

// mostEdgesTold is how many edges the report tells one by one.
const mostEdgesTold = 12

// edges tells the range of thickness along each edge, and how high its blocking
// must be.
func (t *telling) edges(a *AreaResult) {
	type reach struct{ least, most, leastBlock, mostBlock float64 }
	var order []int
	of := map[int]reach{}
	for _, st := range stationsOf(a) {
		in, block := st.Thickness.Inches(), st.Blocking.Inches()
		x, seen := of[st.Edge]
		if !seen {
			order, x = append(order, st.Edge), reach{in, in, block, block}
		}
		of[st.Edge] = reach{math.Min(x.least, in), math.Max(x.most, in), math.Min(x.leastBlock, block), math.Max(x.mostBlock, block)}
	}
	if len(order) == 0 {
		return
	}
	between := func(least, most float64) string {
		low, high := t.inches(least), t.inches(most)
		if low == high {
			return low
		}
		return low + " to " + high
	}
	t.heading("Along the edges (stations in edges.csv)")
	for k, n := range order {
		if k == mostEdgesTold {
			t.fact("", fmt.Sprintf("%s more.", count(len(order)-k, "edge")))
			break
		}
		x := of[n]
		t.fact(fmt.Sprintf("Edge %d", n), fmt.Sprintf("%s: insulation %s, blocking %s.", a.Site.Edges[n].Kind,
			between(x.least, x.most), between(x.leastBlock, x.mostBlock)))
	}
}
