package render

import (
	"encoding/csv"
	"io"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// foremanResult is the fixture with a crew's set, at 300 sq ft a day.
func foremanResult(t *testing.T, w tblWay) *Result {
	t.Helper()
	r := tblResult(t, w)
	r.Job.Foreman = survey.Foreman{HI: unit.Feet(104.5), Rate: unit.SquareFeet(300)}
	for i := range r.Areas {
		a := &r.Areas[i]
		if a.Design == nil {
			continue
		}
		taper.PlanDays(a.Site, a.Design.Facets, a.Design.Boards, r.Job.Foreman.Rate)
		f, err := taper.ForemanOf(t.Context(), taper.ForemanIn{Site: a.Site, Design: a.Design, Choice: r.Job.Foreman,
			Base: a.Base, Finished: a.Proof.Surface, FinishedIn: a.FinishedInletIn, Before: a.Existing.Surface, BeforeIn: a.InletIn,
			Rules: r.Rules, Limits: r.Rules.WorthOf(r.Job.Ponds)})
		if err != nil {
			t.Fatal(err)
		}
		a.Foreman = f
	}
	return r
}

func foremanTable(t *testing.T, write func(io.Writer, *Result) error, r *Result) []map[string]string {
	t.Helper()
	return tblRows(t, tblText(t, func(w io.Writer) error { return write(w, r) }))
}

// Turned and mirrored roofs have the same rows, boards, days and tapes; the tapes and
// the places say the same place; thick edges look up the thickness.
func TestForemanTables_SameHoweverItLies(t *testing.T) {
	var before string
	for _, w := range tblWays {
		r := foremanResult(t, w)
		var same []string
		for _, row := range foremanTable(t, WriteRowsCSV, r) {
			same = append(same, strings.Join([]string{row["layer"], row["mark"], row["facet"], row["row"], row["day"], row["boards"], row["cuts"],
				row["under"], row["tape1_edge"]}, ","))
			p := geom.Pt{X: tblNumber(t, row["start_x_ft"]), Y: tblNumber(t, row["start_y_ft"])}
			for _, n := range []string{"1", "2"} {
				if row["tape"+n+"_edge"] == "" {
					continue
				}
				e := int(tblNumber(t, row["tape"+n+"_edge"]))
				o := r.Areas[0].Area.Outline
				if d := geom.SegDist(p, o[e], o.At(e+1)); math.Abs(d-tblNumber(t, row["tape"+n+"_ft"])) > 1e-6 {
					t.Errorf("%s: start %v is %g ft from edge %d, told %s", w.story, p, d, e, row["tape"+n+"_ft"])
				}
			}
		}
		for _, row := range foremanTable(t, WriteDaysCSV, r) {
			same = append(same, strings.Join([]string{row["day"], row["rows"], row["boards"], row["night_edge"]}, ","))
		}
		now := strings.Join(same, "\n")
		if before != "" && now != before {
			t.Errorf("%s: rows and days differ", w.story)
		}
		before = now
	}
}

// What the tables set down, tally and lay is what boards.csv orders.
func TestForemanTables_AddUp(t *testing.T) {
	r := foremanResult(t, tblWays[3])
	ordered, pieces, spares := 0.0, 0.0, 0.0
	for _, row := range foremanTable(t, WriteBoardsCSV, r) {
		ordered += tblNumber(t, row["to_order"])
		pieces += tblNumber(t, row["pieces"])
		spares += tblNumber(t, row["spares"])
	}
	sum := func(write func(io.Writer, *Result) error, column string) float64 {
		x := 0.0
		for _, row := range foremanTable(t, write, r) {
			x += tblNumber(t, row[column])
		}
		return x
	}
	if ordered == 0 || sum(WriteStagingCSV, "boards") != ordered || sum(WriteTallyCSV, "needed") != ordered+spares || sum(WriteRowsCSV, "boards") != pieces {
		t.Errorf("%g boards and %g spares ordered: %g set down, %g tallied; %g pieces, %g in rows", ordered, spares,
			sum(WriteStagingCSV, "boards"), sum(WriteTallyCSV, "needed"), pieces, sum(WriteRowsCSV, "boards"))
	}
	for _, row := range foremanTable(t, WriteTallyCSV, r) {
		if row["bundle"] != "" && tblNumber(t, row["bundles"])*tblNumber(t, row["bundle"])+tblNumber(t, row["loose"]) != tblNumber(t, row["ordered"]) {
			t.Errorf("tally %v does not add up", row)
		}
	}
	sqft := r.Areas[0].Site.RoofArea().SquareFeet()
	if got := sum(WriteDaysCSV, "area_sqft"); math.Abs(got-sqft) > 1e-3 {
		t.Errorf("days cover %g sq ft of %g", got, sqft)
	}
}

// A rod reads HI less the elevation; 104.50 less 100.25 ft is 4.25 ft, 4'-3".
func TestSetOut_RodReadings(t *testing.T) {
	r := foremanResult(t, tblWays[1])
	rows := foremanTable(t, WriteSetOutCSV, r)
	places := map[string]bool{}
	for _, row := range rows {
		if z, rod := tblNumber(t, row["elevation_ft"]), tblNumber(t, row["rod_ft"]); math.Abs(104.5-z-rod) > 1e-8 || row["tolerance_in"] != "0.25" {
			t.Errorf("%s at %g ft reads %g, tolerance %s", row["place"], z, rod, row["tolerance_in"])
		}
		back, err := unit.ParseLength(row["rod"], 0)
		if err != nil || math.Abs(back.Feet()-tblNumber(t, row["rod_ft"])) > 1.0/32/12+1e-9 {
			t.Errorf("rod %s for %s ft: %v", row["rod"], row["rod_ft"], err)
		}
		places[row["place"]] = true
		if row["place"] == "vertex 1" {
			if p := r.Areas[0].Area.Outline[1]; math.Abs(p.X-tblNumber(t, row["x_ft"]))+math.Abs(p.Y-tblNumber(t, row["y_ft"])) > 1e-6 {
				t.Errorf("vertex 1 at %s, %s, is %v", row["x_ft"], row["y_ft"], p)
			}
		}
	}
	for _, want := range []string{"drain D1", "drain D2", "vertex 0", "vertex 1", "edge 0, 10 ft from vertex 0", "F1 row 2, start", "end of a ridge"} {
		if !places[want] {
			t.Errorf("no place %q", want)
		}
	}
	r.Job.Foreman.HI = 4.5 * unit.Foot // the tripod's height for the instrument's elevation
	if got := foremanTable(t, WriteSetOutCSV, r)[0]; got["rod"] != "" || placesOver(&r.Areas[0], r.Job.Foreman.HI) != len(rows) {
		t.Errorf("under the roof the instrument reads %q", got["rod"])
	}
	r.Job.Foreman.HI = 0
	if got := foremanTable(t, WriteSetOutCSV, r)[0]; got["rod"] != "" || got["above_lowest_outlet_in"] == "" {
		t.Errorf("without a set-up: rod %q, above the outlet %q", got["rod"], got["above_lowest_outlet_in"])
	}
	r.Areas[0].Fit = nil
	if got := foremanTable(t, WriteSetOutCSV, r)[0]; got["elevation_ft"] != "" || got["note"] == "" {
		t.Errorf("without a survey the elevation is %q, note %q", got["elevation_ft"], got["note"])
	}
}

// Directions of the sheet and the words for them: +y is N; with north 90 degrees
// counter-clockwise from +y, +y is E.
func TestCompassWord(t *testing.T) {
	for _, c := range []struct {
		x, y, north float64
		want        string
	}{{0, 1, 0, "N"}, {1, 0, 0, "E"}, {0, -1, 0, "S"}, {-1, 0, 0, "W"}, {1, 1, 0, "NE"}, {-1, 1, 0, "NW"}, {1, -1, 0, "SE"},
		{-1, -1, 0, "SW"}, {0, 1, 90, "E"}, {0, 1, -90, "W"}, {0, 1, 12, "N"}, {-0.2, 1, 12, "N"}} {
		if got := compassWord(geom.Pt{X: c.x, Y: c.y}, c.north); got != c.want {
			t.Errorf("(%g, %g) with north at %g: %s, want %s", c.x, c.y, c.north, got, c.want)
		}
	}
}

// The tables of the crew's set are quoted so that any reader of tables can take them.
func TestForemanTables_Read(t *testing.T) {
	r := foremanResult(t, tblWays[0])
	for _, f := range foremanFiles(r) {
		text := tblText(t, f.Write)
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil || len(rows) < 2 {
			t.Errorf("%s: %d rows, %v", f.Name, len(rows), err)
		}
	}
	told := tblText(t, func(w io.Writer) error { return WriteText(w, r) })
	for _, want := range []string{"For the foreman", "days.csv", "Its thick edge looks", "an instrument at 104.5",
		"on the same day"} {
		if !strings.Contains(told, want) {
			t.Errorf("the report lacks %q", want)
		}
	}
}

// Rows of a day and of a night edge by hand: a row that is split over days is told by
// its boards.
func TestRowsText(t *testing.T) {
	day := []taper.RowPart{{Facet: 1, Row: 3, From: 8, To: 15}, {Facet: 1, Row: 4}, {Facet: 1, Row: 5}, {Facet: 1, Row: 6, From: 1, To: 38}, {Facet: 2, Row: 1}}
	if got, want := rowsText(day), "F1 3 boards 8-15, 4-5, 6 to board 38; F2 1"; got != want {
		t.Errorf("day: %q, want %q", got, want)
	}
	night := []taper.NightRow{{Facet: 1, Row: 5}, {Facet: 1, Row: 6, To: 38}}
	if got, want := nightText(night), "F1 5, 6 to board 38"; got != want {
		t.Errorf("night: %q, want %q", got, want)
	}
	if got, want := dayParts([]taper.DayPart{{Day: 2, To: 38}, {Day: 3, To: 75}}), "2 to board 38; 3 to board 75"; got != want {
		t.Errorf("parts: %q, want %q", got, want)
	}
}

// The row to begin with is the first of its plane, though a cricket lies over it.
func TestFirstRow(t *testing.T) {
	row := func(day, row int, startIn float64) taper.CrewRow {
		return taper.CrewRow{Type: taper.TaperedType, Day: day, Row: row, StartIn: startIn}
	}
	for _, c := range []struct {
		story string
		rows  []taper.CrewRow
		want  int
	}{
		{"a cricket over the first", []taper.CrewRow{row(1, 2, 7.3), row(1, 1, 8.1)}, 1},
		{"the lowest of two first ones", []taper.CrewRow{row(0, 1, 2), row(0, 1, 0.5), row(0, 2, 0.4)}, 1},
		{"the first day goes first", []taper.CrewRow{row(2, 1, 0.5), row(1, 3, 4)}, 1},
	} {
		if got := firstRow(&taper.Foreman{Rows: c.rows}); got != &c.rows[c.want] {
			t.Errorf("%s: row %d of day %d", c.story, got.Row, got.Day)
		}
	}
}
