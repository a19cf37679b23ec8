package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runnel/survey"
)

// bookJob is the sound job with a level book for its shots.
func bookJob(source string) string {
	text, _ := book("  places: places.csv\n"+source, "")
	return strings.Replace(text, "shots: shots.csv", "shots: book.csv", 1)
}

const bookPlaces = "id,x,y,code\nA,5,5,RF\nB,55,5,DR\nC,55,35,\nTP1,30,5,RF\nN,2,2,\n"

// loop runs over two set-ups from BM at 100.00 ft and comes back to it; by
// arithmetic HI is 104.50 and, from TP1 at 99.30, 104.00; the line comes back
// to 104.00 - close.
func loop(close string) string {
	return "unit: ft\nlength: 400 ft\nstation,BS,IS,FS,elevation\nBM,4.50,,,100.00\nA,,5.12,,\nB,,4.20,,\nTP1,4.70,,5.20,\nA,,4.63,,\nC,,4.10,,\nBM,,," + close + ",\n"
}

func TestLevelBook_InAJob(t *testing.T) {
	job, found := mustRead(t, folder("job.yaml", bookJob("  allowed: 0.02 ft\n"), "book.csv", loop("3.99"), "places.csv", bookPlaces))
	rows := job.SetUpRows()
	if len(rows) != 2 || rows[0].On != "BM" || rows[1].On != "TP1" || rows[0].Shots != 3 || rows[1].Shots != 2 {
		t.Fatalf("rows %+v", rows)
	}
	if math.Abs(rows[0].HI.Feet()-104.5) > 1e-9 || math.Abs(rows[1].HI.Feet()-104) > 1e-9 {
		t.Errorf("HI %.3f and %.3f, want 104.50 and 104.00", rows[0].HI.Feet(), rows[1].HI.Feet())
	}
	// found 100.01: +0.01, a correction of -0.005 a set-up
	if c := rows[1].Closings; len(c) != 1 || math.Abs(c[0].Misclosure().Feet()-0.01) > 1e-9 || c[0].By != "the job" {
		t.Errorf("closings %+v", c)
	}
	want := map[string]float64{"B": 100.30 - 0.005, "TP1": 99.30 - 0.005, "C": 99.90 - 0.01}
	first := job.Areas[0].Shots[0]
	elevation(t, first, 99.38-0.005, 1e-9)
	for name, z := range want {
		elevation(t, shotsOf(job)[name], z, 1e-9)
	}
	if second := shotsOf(job)["A"]; second.SetUp != 2 || !strings.Contains(second.Left, "second reading") {
		t.Errorf("A read again: %+v", second)
	}
	if math.Abs(rows[1].Off.Feet()-(-0.015)) > 1e-9 || rows[1].Beside != "1" { // 99.37 - 0.010 against 99.38 - 0.005
		t.Errorf("the set-ups differ by %.4f ft", rows[1].Off.Feet())
	}
	text := found.Notes()
	if len(text) != 2 || !strings.Contains(text[0].Why, `1 names of the book have no place on the plan and are no shots: "BM"`) ||
		!strings.Contains(text[1].Why, `1 places have no reading in the book: "N"`) {
		t.Errorf("notes %v", text)
	}
	again(t, job)
}

func TestLevelBook_NotClosed(t *testing.T) {
	for _, c := range []struct{ close, length, why string }{
		{"3.90", "length: 400 ft\n", "+0.100 ft off, more than the 0.014 ft allowed (third order"},
		{"3.90", "", "+0.100 ft off, more than the 0.020 ft allowed (common practice"},
	} {
		text := strings.Replace(loop(c.close), "length: 400 ft\n", c.length, 1)
		job, found := mustRead(t, folder("job.yaml", bookJob(""), "book.csv", text, "places.csv", bookPlaces))
		n := 0
		for _, p := range found.Notes() {
			if strings.Contains(p.Why, "not closed") {
				n++
				if !strings.Contains(p.Why, c.why) || p.Value != "BM" {
					t.Errorf("note %v, want %q", p, c.why)
				}
			}
		}
		if n != 1 {
			t.Errorf("%d notes on the closing: %v", n, found)
		}
		again(t, job)
	}
}

func TestLevelBook_Bad(t *testing.T) {
	sound := loop("3.99")
	for _, c := range []struct{ name, source, text, places, why string }{
		{"no places", "", sound, "", "no such file"},
		{"a height of instrument too", "  hi: 100 ft\n", sound, bookPlaces, "own set-ups"},
		{"elevations", "  reading: elevation\n", sound, bookPlaces, "the survey says elevations"},
		{"another unit", "  unit: m\n", sound, bookPlaces, "survey.unit says m"},
		{"no unit", "", strings.Replace(sound, "unit: ft\n", "", 1), bookPlaces, "states no unit"},
		{"feet and inches without marks", "  unit: ft-in\n", strings.Replace(sound, "unit: ft\n", "", 1), bookPlaces, "5.4 ft or 5 ft 4 in"},
		{"one reading without marks", "  unit: ft-in\n", "station,BS,IS,FS,elevation\nBM,4'-6\",,,100'-0\"\nA,,5.4,,\nB,,4'-2\",,\nC,,4'-3\",,\n", bookPlaces, "1 readings of the book cannot be used"},
		{"a place twice", "", sound, bookPlaces + "A,6,6,\n", "twice"},
		{"places of other names", "", sound, "id,x,y\nP,1,1\n", "no name of the book"},
		{"no columns", "", sound, "A,5,5\nB,55,5\n", "no header"},
		{"a coordinate that is none", "", sound, "id,x,y\nA,five,5\n", "where a number is expected"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fsys := folder("job.yaml", bookJob(c.source), "book.csv", c.text, "places.csv", c.places)
			if c.places == "" {
				delete(fsys, "places.csv")
			}
			job, found := Job(fsys, "job.yaml", nil)
			f := found.Faults()
			if job != nil || len(f) != 1 || !strings.Contains(f[0].Why, c.why) {
				t.Errorf("faults %v, want %q", f, c.why)
			}
		})
	}
}

// The four worked books as jobs: elevations as published (see survey/level for
// the sources).
func TestLevelBook_WorkedBooks(t *testing.T) {
	const at = "id,x,y\n1,5,5\n2,55,5\n3,55,35\n4,5,35\nX,5,5\nTP1,55,5\nBM8,55,35\nTP2,5,35\nTP3,30,5\n"
	for _, c := range []struct {
		name, text string
		unitFt     float64
		want       map[string]float64
		off, allow float64 // misclosure and what is allowed; 0: does not close
	}{
		{"four set-ups", "unit: ft\nsta,BS,FS,elevation\nBM-A,4.320,,100.000\n1,5.180,6.420,\n2,3.070,4.850,\n3,2.940,5.160,\n4,,3.210,\n", 1,
			map[string]float64{"1": 97.900, "2": 98.230, "3": 96.140, "4": 95.870}, 0, 0},
		{"loop of 1500 m", "unit: m\nlength: 1500 m\nsta,BS,FS,elevation\nBM7,4.388,,852.045\nTP1,6.907,4.538,\nBM8,4.680,8.800,\n" +
			"TP2,3.730,5.978,\nTP3,8.464,5.245,\nBM7,,3.598,\n", 1 / 0.3048,
			map[string]float64{"TP1": 851.893, "BM8": 849.998, "TP2": 848.698, "TP3": 847.181}, 0.010, 0.0147},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, _ := mustRead(t, folder("job.yaml", bookJob(""), "book.csv", c.text, "places.csv", at))
			got := shotsOf(job)
			for name, z := range c.want {
				elevation(t, got[name], z*c.unitFt, 1e-6)
			}
			if len(got) != len(c.want) {
				t.Errorf("%d shots, want %d", len(got), len(c.want))
			}
			if c.off == 0 {
				if len(job.Survey.Closings) > 0 {
					t.Errorf("closings %+v", job.Survey.Closings)
				}
				return
			}
			cl := job.Survey.Closings[0]
			if math.Abs(cl.Misclosure().Metres()-c.off) > 1e-9 || math.Abs(cl.Allowed.Metres()-c.allow) > 5e-5 {
				t.Errorf("closing %+v", cl)
			}
			again(t, job)
		})
	}
}

// The public book of a worked example, its figures from its README: from 100 m
// B lies at 101.211, C 99.651, D 98.851, E 98.691, F 97.651, misclosure -0.009.
func TestLevelBook_PublicBook(t *testing.T) {
	data := os.Getenv("RUNNEL_DATA")
	if data == "" {
		t.Skip("RUNNEL_DATA is not set")
	}
	text, err := os.ReadFile(filepath.Join(data, "survey", "level_book_bs_is_fs.csv"))
	if err != nil {
		t.Fatal(err)
	}
	job, _ := mustRead(t, folder("job.yaml", bookJob("  unit: m\n"), "book.csv", string(text),
		"places.csv", "id,x,y\nB,5,5\nC,55,5\nD,55,35\nE,5,35\nF,30,5\n"))
	got := shotsOf(job)
	share := job.Survey.SetUps
	for name, z := range map[string]float64{"B": 101.211, "C": 99.651, "D": 98.851, "E": 98.691, "F": 97.651} {
		s := got[name]
		elevation(t, survey.Shot{ID: name, Elev: s.Elev - share[s.SetUp-1].Shift}, z/0.3048, 1e-6)
	}
	if off := job.Survey.Closings[0].Misclosure().Metres(); math.Abs(off+0.009) > 1e-9 {
		t.Errorf("misclosure %.4f m, want -0.009", off)
	}
}

// A row without a reading spoils no other: the job is read and the row is told.
// In a book kept in feet and inches one plain number is a fault.
func TestLevelBook_RowsAndMarks(t *testing.T) {
	text := strings.Replace(loop("3.99"), "A,,5.12,,\n", "A,,5.12,,\nD,,,,\n", 1)
	_, found := mustRead(t, folder("job.yaml", bookJob(""), "book.csv", text, "places.csv", bookPlaces))
	if !strings.Contains(fmt.Sprint(found), "no reading stands in the row") {
		t.Errorf("notes %v", found)
	}
	const marked = "unit: ft-in\nstation,BS,IS,FS,elevation\nBM,4'-6\",,,100'-0\"\nA,,5'-3\",,\nB,,4'-2\",,\nC,,4'-3\",,\n"
	for _, source := range []string{"", "  unit: ft-in\n"} {
		job, _ := mustRead(t, folder("job.yaml", bookJob(source), "book.csv", marked, "places.csv", bookPlaces))
		elevation(t, shotsOf(job)["A"], 99.25, 1e-9)
		_, found := Job(folder("job.yaml", bookJob(source), "book.csv", strings.Replace(marked, "5'-3\"", "5.4", 1),
			"places.csv", bookPlaces), "job.yaml", nil)
		if f := found.Faults(); len(f) != 1 || !strings.Contains(fmt.Sprint(found), "5.4 ft or 5 ft 4 in") {
			t.Errorf("faults %v", found)
		}
	}
}
