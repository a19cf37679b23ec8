package pipeline

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/unit"
	"runnel/taper"
)

// The screws of fasteners.csv, of summary.json and of the report are one number, as are the
// lengths of a line of plates; adhesive alone has no screw, glues every layer once, and holds no board that is for
// screws alone.
func TestFastening_OneNumberEverywhere(t *testing.T) {
	job := readJob(t, "heron-wharf")
	c := screwedDown()
	c.Plates = c.Plates[:1]
	job.Fastening = &c
	screws, bead, sum, text := fastenFiles(t, runJob(t, job))
	if screws == 0 || screws != sum.Screws || !strings.Contains(strings.ReplaceAll(text, ",", ""), strconv.Itoa(screws)+" and as many plates") || bead != 0 {
		t.Errorf("%d screws in the table, %d in the summary; %v ft of bead", screws, sum.Screws, bead)
	}
	for _, w := range sum.Lengths {
		n := 0
		for _, l := range w.Screws {
			n += l.Screws
		}
		if n != screws {
			t.Errorf("lengths %s: %d screws, %d in all", w.Choice, n, screws)
		}
	}

	job.Fastening = &survey.Fastening{Attach: survey.Adhesive, Beads: survey.ByZone[unit.Length]{Field: unit.Foot}}
	r := runJob(t, job)
	screws, bead, sum, _ = fastenFiles(t, r)
	sqft := 0.0
	for _, a := range r.Areas {
		for _, n := range a.Design.Counts {
			sqft += n.SqFt
			if unit.AreaOf(n.Along, n.Depth).SquareFeet() > 16.01 && n.Type != taper.CoverType {
				t.Errorf("a board of %v x %v ft is glued", n.Along.Feet(), n.Depth.Feet())
			}
		}
	}
	if screws != 0 || sum.Screws != 0 {
		t.Errorf("%d screws beside adhesive", screws)
	}
	near(t, "bead a foot apart, table", bead, sqft)
	near(t, "bead a foot apart, summary", sum.Bead, sqft)

	job.Fastening = nil
	var out bytes.Buffer
	if err := render.WriteText(&out, runJob(t, job)); err != nil || !strings.Contains(out.String(), "How are the boards held") {
		t.Errorf("not asked how boards are held: %v", err)
	}
}

type fastenSummary struct {
	Screws  int     `json:"fasteners"`
	Bead    float64 `json:"bead_ft"`
	Lengths []struct {
		Choice string
		Screws []struct {
			Screws int `json:"fasteners"`
		}
	}
}

// fastenFiles reads the files of a run of one area.
func fastenFiles(t *testing.T, r *render.Result) (screws int, beadFt float64, sum fastenSummary, text string) {
	t.Helper()
	var table, summary, report bytes.Buffer
	if err := render.WriteFastenersCSV(&table, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&table).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		for i, name := range rows[0] {
			x, _ := strconv.ParseFloat(row[i], 64)
			switch name {
			case "fasteners":
				screws += int(x)
			case "bead_ft":
				beadFt += x
			}
		}
	}
	if err := render.WriteSummary(&summary, r); err != nil {
		t.Fatal(err)
	}
	var all struct {
		Areas []struct{ Fastening fastenSummary }
	}
	if err := json.Unmarshal(summary.Bytes(), &all); err != nil || len(all.Areas) != 1 {
		t.Fatalf("%v, %d areas", err, len(all.Areas))
	}
	if err := render.WriteText(&report, r); err != nil {
		t.Fatal(err)
	}
	return screws, beadFt, all.Areas[0].Fastening, report.String()
}
