package render

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// foremanFiles are the tables of the crew's set; days.csv where the job states a
// rate.
func foremanFiles(r *Result) []File {
	files := []File{
		{"rows.csv", func(w io.Writer) error { return WriteRowsCSV(w, r) }},
		{"setout.csv", func(w io.Writer) error { return WriteSetOutCSV(w, r) }},
		{"staging.csv", func(w io.Writer) error { return WriteStagingCSV(w, r) }},
		{"tally.csv", func(w io.Writer) error { return WriteTallyCSV(w, r) }},
	}
	if r.Job.Foreman.Rate > 0 {
		files = append(files, File{"days.csv", func(w io.Writer) error { return WriteDaysCSV(w, r) }})
	}
	return slices.DeleteFunc(files, func(File) bool {
		return !slices.ContainsFunc(r.Areas, func(a AreaResult) bool { return a.Foreman != nil })
	})
}

// WriteRowsCSV writes one line for each row of boards on each layer, in laying
// order: where its thin edge starts, by tape from two walls of the outline and in
// job feet, which way it runs from there, what lies under it, which edge is thick,
// how many boards, the cut pieces with the piece whose offcut they are, and how
// thick the insulation is finished at both ends and at the middle of the far edge, and
// how far a row is laid each day that takes several.
// The last columns make a line a statement of what lies where, for the key laid of
// a job: the size of the board, how thick it is itself along its thin edge, and what
// the row covers, as well-known text in job feet. plane_start tells whether a plane
// starts with the row: 1 for the first plane of the layer, 2 for the next, as START on
// the placement sheets. Flat boards have no thick edge.
func WriteRowsCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "layer", "type", "mark", "facet", "row", "day", "boards", "cuts", "under", "start_tape",
		"start_x_ft", "start_y_ft", "tape1_edge", "tape1_ft", "tape2_edge", "tape2_ft", "runs", "runs_deg", "thick", "thick_deg",
		"thick_toward_edge", "start_thickness_in", "end_thickness_in", "far_edge_thickness_in", "cut_pieces", "note",
		"stock_ft", "thin_edge_in", "outline", "day_parts", "plane_start"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Foreman == nil {
			continue
		}
		planes := map[[2]int]bool{}
		started := map[int]int{} // planes by layer
		for _, row := range a.Foreman.Rows {
			start := ""
			if k := [2]int{row.Layer, row.Facet}; !planes[k] {
				planes[k] = true
				started[row.Layer]++
				start = strconv.Itoa(started[row.Layer])
			}
			rows = append(rows, append(rowLine(r, a, row), start))
		}
	}
	return writeRows(w, rows)
}

func rowLine(r *Result, a *AreaResult, row taper.CrewRow) []string {
	f := a.Site.Frame
	start := f.ToJob(row.Start)
	runs := f.DirToJob(row.End.Sub(row.Start))
	if row.Start.Dist(row.End) < 1e-6 { // a point: along the row
		runs = f.DirToJob(geom.Pt{X: row.Uphill.Y, Y: -row.Uphill.X})
	}
	tape := taper.TapeFrom(a.Site, row.Start)
	out := []string{a.Area.Name, strconv.Itoa(row.Layer), row.Type.String(), row.Mark, facetName(row.Facet), strconv.Itoa(row.Row),
		dayText(row.Day), strconv.Itoa(row.Boards), strconv.Itoa(len(row.Cuts)), row.UnderText(), tapeText(tape), decimal(start.X),
		decimal(start.Y)}
	out = append(out, tapeColumns(tape)...)
	out = append(out, compassWord(runs, r.Job.NorthDeg), decimal(degreesOf(runs)))
	thick := []string{"", "", ""}
	if row.Tapered {
		up := f.DirToJob(row.Uphill)
		thick[0], thick[1] = "toward "+compassWord(up, r.Job.NorthDeg), decimal(degreesOf(up))
		if row.Toward >= 0 {
			thick[2] = strconv.Itoa(row.Toward)
		}
	}
	out = append(out, thick...)
	return append(out, decimal(row.StartIn), decimal(row.EndIn), decimal(row.ThickEdgeIn), cutsText(row.Cuts), a.assumed(),
		stockFt(row.Along, row.Depth), decimal(row.ThinEdgeIn), wktOf(row.Outline, f), dayParts(row.Parts))
}

// wktOf writes regions as well-known text in job feet, to 1e-10 ft.
func wktOf(ps []geom.Poly, f geom.Frame) string {
	var out []string
	for _, p := range ps {
		var rings []string
		for _, r := range p.Rings() {
			var at []string
			for i := range len(r) + 1 {
				q := f.ToJob(r.At(i))
				at = append(at, wktNumber(q.X)+" "+wktNumber(q.Y))
			}
			rings = append(rings, "("+strings.Join(at, ", ")+")")
		}
		out = append(out, "("+strings.Join(rings, ", ")+")")
	}
	if len(out) == 1 {
		return "POLYGON " + out[0]
	}
	return "MULTIPOLYGON (" + strings.Join(out, ", ") + ")"
}

func wktNumber(x float64) string {
	s := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(x, 'f', 10, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func facetName(id int) string {
	if id == 0 {
		return ""
	}
	return "F" + strconv.Itoa(id)
}

func dayText(day int) string {
	if day == 0 {
		return ""
	}
	return strconv.Itoa(day)
}

// cutsText lists the cut pieces of a row: L3-F1-R2-5 from L3-F1-R1-5.
func cutsText(cuts []taper.CutOf) string {
	var out []string
	for _, c := range cuts {
		if c.From != "" {
			out = append(out, c.Piece+" from "+c.From)
		} else {
			out = append(out, c.Piece)
		}
	}
	return strings.Join(out, "; ")
}

// tapeText says how to find a place by tape: 12'-3 1/2" from edge 0, 4'-0" from
// edge 3.
func tapeText(tape []taper.Tape) string {
	var out []string
	for _, t := range tape {
		out = append(out, fmt.Sprintf("%s from edge %d", unit.Feet(t.Ft).FeetInches(), t.Edge))
	}
	return strings.Join(out, ", ")
}

// tapeColumns are edge and distance of two tapes; empty where there is none.
func tapeColumns(tape []taper.Tape) []string {
	out := make([]string, 4)
	for n, t := range tape {
		out[2*n], out[2*n+1] = strconv.Itoa(t.Edge), decimal(t.Ft)
	}
	return out
}

// compassWord is the nearest of the eight words of the compass for a direction on
// the sheet.
func compassWord(v geom.Pt, northDeg float64) string {
	bearing := 90 + northDeg - degreesOf(v)
	n := int(math.Round(bearing/45+1e-9)) % 8
	return []string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}[(n+8)%8]
}

// WriteSetOutCSV writes the places to set out: by tape and in job feet, with the
// finished elevation in the datum of the job, insulation from the deck up, and the
// reading that a rod on the finished surface is to give, from the crew's height of
// instrument or, where the job states none, from the survey's first; a place above the
// instrument has none. How far a place lies above the lowest outlet is told in any case. Without a survey no elevation
// is known.
func WriteSetOutCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "place", "x_ft", "y_ft", "tape", "tape1_edge", "tape1_ft", "tape2_edge", "tape2_ft",
		"elevation_ft", "thickness_in", "hi_ft", "rod_ft", "rod", "above_lowest_outlet_in", "tolerance_in", "note"}}
	hi, known := rodHeight(r.Job)
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Foreman == nil {
			continue
		}
		lowIn := lowestOutletIn(a)
		for _, p := range a.Foreman.Places {
			at := a.Site.Frame.ToJob(p.At)
			line := append([]string{a.Area.Name, p.What, decimal(at.X), decimal(at.Y), tapeText(p.Tape)}, tapeColumns(p.Tape)...)
			read := []string{"", decimal(p.ThickIn), "", "", ""}
			if a.Fit != nil {
				read[0] = decimal(p.ElevIn / 12)
				if rod := hi - unit.Inches(p.ElevIn); known && rod > 0 {
					read[2], read[3], read[4] = decimal(hi.Feet()), decimal(rod.Feet()), rod.FeetInches()
				}
			}
			line = append(line, read...)
			rows = append(rows, append(line, decimal(p.ElevIn-lowIn), decimal(taper.SetOutTolerance.Inches()), a.assumed()))
		}
	}
	return writeRows(w, rows)
}

// rodHeight is the height of instrument for the readings to expect; false where
// neither the job nor its survey has one.
func rodHeight(j *survey.Job) (unit.Length, bool) {
	if j.Foreman.HI > 0 {
		return j.Foreman.HI, true
	}
	for _, u := range j.Survey.SetUps {
		if !u.Direct && u.HI > 0 {
			return u.HI + u.Shift, true
		}
	}
	return 0, false
}

// lowestOutletIn is the lowest inlet of the primary outlets in the finished roof;
// without one, the lowest place.
func lowestOutletIn(a *AreaResult) float64 {
	low := math.Inf(1)
	for n, o := range a.Site.Outlets {
		if !o.Overflow && n < len(a.FinishedInletIn) {
			low = math.Min(low, a.FinishedInletIn[n])
		}
	}
	if math.IsInf(low, 1) {
		for _, p := range a.Foreman.Places {
			low = math.Min(low, p.ElevIn)
		}
	}
	return low
}

// WriteStagingCSV writes what to set down where: boards by area, day and mark, near
// the middle of their rows, with what they weigh at 2 lb/cu ft. What the deck
// carries its engineer says.
func WriteStagingCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "day", "type", "mark", "stock_ft", "boards", "bundles", "loose", "x_ft", "y_ft",
		"tape", "weight_lb", "note"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Foreman == nil {
			continue
		}
		for _, l := range a.Foreman.Lots {
			at := a.Site.Frame.ToJob(l.At)
			bundles, loose := a.bundlesOf(l)
			rows = append(rows, []string{a.Area.Name, dayText(l.Day), l.Type.String(), l.Mark, stockFt(l.Along, l.Depth),
				strconv.Itoa(l.Boards), bundles, loose, decimal(at.X), decimal(at.Y), tapeText(taper.TapeFrom(a.Site, l.At)), decimal(l.Lb), a.assumed()})
		}
	}
	return writeRows(w, rows)
}

// bundlesOf parts a lot into full bundles and loose boards; empty where the stock
// does not say how many a bundle holds.
func (a *AreaResult) bundlesOf(l taper.Lot) (bundles, loose string) {
	for _, o := range a.Design.Orders {
		if o.Mark == l.Mark && o.Along == l.Along && o.Depth == l.Depth && o.Bundle > 0 {
			return strconv.Itoa(l.Boards / o.Bundle), strconv.Itoa(l.Boards % o.Bundle)
		}
	}
	return "", ""
}

// WriteTallyCSV writes the boards that are bought for each area, spares included, in
// bundles, with a column to fill in as they come.
func WriteTallyCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "type", "mark", "stock_ft", "needed", "on_hand", "ordered", "bundles", "loose", "bundle", "received", "note"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Foreman == nil {
			continue
		}
		for _, o := range a.Design.Orders {
			bundles, bundle := "", ""
			if o.Bundle > 0 {
				bundles, bundle = strconv.Itoa(o.Bundles), strconv.Itoa(o.Bundle)
			}
			rows = append(rows, []string{a.Area.Name, o.Type.String(), o.Mark, stockFt(o.Along, o.Depth), strconv.Itoa(o.Boards),
				onHandText(a.Design, o), strconv.Itoa(o.Bought()), bundles, strconv.Itoa(o.Loose), bundle, "", a.assumed()})
		}
	}
	return writeRows(w, rows)
}

// onHandText is how many boards of an order lie on the roof; empty where nobody said.
func onHandText(d *taper.Design, o taper.Order) string {
	if d.Laid == nil {
		return ""
	}
	return strconv.Itoa(o.OnHand)
}

// WriteDaysCSV writes what is opened and covered each day, in laying order, the rows
// that end against the old roof at evening, and the water that this edge would
// hold once rain has filled it; empty where the old roof was not surveyed.
func WriteDaysCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "day", "area_sqft", "rows", "boards", "night_edge", "pond_depth_in", "pond_sqft", "pond_cuft",
		"pond_lb", "psf", "note"}}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Foreman == nil {
			continue
		}
		for _, d := range a.Foreman.Days {
			water := make([]string, 5)
			if p := d.Pond; p != nil {
				water = []string{decimal(p.DepthIn), decimal(p.SqFt), decimal(p.CuFt), decimal(p.Lb()), decimal(p.Psf())}
			}
			note := a.assumed()
			if d.Over {
				note = strings.TrimPrefix(note+"; one board takes more than a day", "; ")
			}
			line := []string{a.Area.Name, strconv.Itoa(d.No), decimal(d.Sqft), rowsText(d.Rows), a.dayBoards(d.No), nightText(d.Night)}
			rows = append(rows, append(append(line, water...), note))
		}
	}
	return writeRows(w, rows)
}

// nightText lists the rows at a night edge.
func nightText(rows []taper.NightRow) string {
	var parts []taper.RowPart
	for _, r := range rows {
		parts = append(parts, taper.RowPart{Facet: r.Facet, Row: r.Row, From: min(1, r.To), To: r.To})
	}
	return rowsText(parts)
}

// rowsText lists rows that are sorted by facet and row, those in part by their boards:
// F1 1-5, 6 to board 38; F2 1-3.
func rowsText(rows []taper.RowPart) string {
	var out []string
	for i := 0; i < len(rows); {
		var runs []string
		facet := rows[i].Facet
		for i < len(rows) && rows[i].Facet == facet {
			first := i
			for i++; i < len(rows) && follows(rows[i-1], rows[i]); i++ {
			}
			runs = append(runs, runText(rows[first], rows[i-1]))
		}
		out = append(out, facetName(facet)+" "+strings.Join(runs, ", "))
	}
	return strings.Join(out, "; ")
}

// follows says whether two whole rows lie side by side in a facet.
func follows(a, b taper.RowPart) bool {
	return a.Facet == b.Facet && a.Row+1 == b.Row && a.To == 0 && b.To == 0
}

func runText(first, last taper.RowPart) string {
	switch {
	case last.Row > first.Row:
		return fmt.Sprintf("%d-%d", first.Row, last.Row)
	case first.To == 0:
		return strconv.Itoa(first.Row)
	case first.From == 1:
		return fmt.Sprintf("%d to board %d", first.Row, first.To)
	}
	return fmt.Sprintf("%d boards %d-%d", first.Row, first.From, first.To)
}

// dayParts tells what is laid of a row each day: 2 to board 38; 3 to board 75.
func dayParts(parts []taper.DayPart) string {
	var out []string
	for _, p := range parts {
		out = append(out, fmt.Sprintf("%d to board %d", p.Day, p.To))
	}
	return strings.Join(out, "; ")
}

// dayBoards lists the boards that a day opens: 45 x 1/2 to 1-1/2; 12 x 2.
func (a *AreaResult) dayBoards(day int) string {
	var out []string
	for _, l := range a.Foreman.Lots {
		if l.Day == day {
			out = append(out, fmt.Sprintf("%d x %s %s", l.Boards, l.Type, l.Mark))
		}
	}
	return strings.Join(out, "; ")
}
