package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestSurveyFile tries survey files on their own, as a user does before there
// is a job.
func TestSurveyFile(t *testing.T) {
	for name, c := range map[string]struct {
		file, text string
		args       []string
		code       int
		words      string // in what is printed
	}{
		"header":          {"a.csv", "x,y,z\n1,2,3\n4,5,6\n", nil, exitDone, "Points    2\n"},
		"no header":       {"a.csv", "1,2,3\n4,5,6\n", nil, exitDone, "--columns point,n,e,z,code"},
		"columns told":    {"a.csv", "1,2,3\n4,5,6\n", []string{"--columns", "n, e, z"}, exitDone, "x         2 to 5\ny         1 to 4\n"},
		"by content":      {"a.pdf", "x,y,z\n1,2,3\n", nil, exitDone, "delimited text"},
		"no survey":       {"a.csv", "%PDF-1.4", nil, exitFailed, "PDF"},
		"no column known": {"a.csv", "1,2,3\n", []string{"--columns", "up,down,z"}, exitFailed, `"down": no such column`},
		"spoilt line":     {"a.csv", "x,y,z\n1,2,3\n1,2,wet\n", nil, exitDone, `a.csv:3: z "wet"`},
		"a job by name":   {"roof.yml", "x,y,z\n1,2,3\n", nil, exitFailed, ""},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), c.file)
			if err := os.WriteFile(path, []byte(c.text), 0o600); err != nil {
				t.Fatal(err)
			}
			code, out, errOut := runnel(t, append([]string{"survey", path}, c.args...)...)
			if code != c.code || !strings.Contains(out, c.words) {
				t.Errorf("exit %d, printed %s%s", code, out, errOut)
			}
			if (code == exitDone) != (errOut == "") {
				t.Errorf("exit %d with %q as error", code, errOut)
			}
		})
	}
}

func TestSurveyFile_ColumnsOfAJob(t *testing.T) {
	code, out, errOut := runnel(t, "survey", jobsDir+"bare-rectangle", "--columns", "x,y,z")
	if code != exitFailed || out != "" || !strings.Contains(errOut, "survey.columns") {
		t.Errorf("exit %d: %s%s", code, out, errOut)
	}
}

func TestSurveyFile_JSON(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.txt")
	if err := os.WriteFile(path, []byte("pt;n_m;e_m;z_m\n1;10,5;20;3\n2;11;21;4,25\n3;11;;4\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errOut := runnel(t, "survey", "--json", path)
	var got struct {
		Format, Unit    string
		Points, Refused int
		Min, Max        []float64
		Surfaces        []struct{}
		Problems        []struct {
			File, Field, Value, Why, Mend, Grade string
			Line                                 int
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != exitDone {
		t.Fatalf("exit %d, %v: %s%s", code, err, out, errOut)
	}
	if got.Format != "delimited text" || got.Unit != "m" || got.Points != 2 || got.Refused != 1 || got.Surfaces == nil {
		t.Errorf("%+v", got)
	}
	for i, want := range [3][2]float64{{20, 21}, {10.5, 11}, {3, 4.25}} {
		if len(got.Min) != 3 || len(got.Max) != 3 || got.Min[i] != want[0] || got.Max[i] != want[1] {
			t.Fatalf("ranges %v to %v", got.Min, got.Max)
		}
	}
	if p := got.Problems; len(p) != 1 || p[0].Line != 4 || p[0].Field != "e_m" || p[0].Grade != "note" || p[0].Mend == "" {
		t.Errorf("problems %+v", p)
	}
}

// TestSurveyFile_Level reads a book of two set-ups whose elevations were worked
// by hand: 100 + 4 - 5 = 99 at B, 99 + 3 - 2.01 = 99.99 back at A.
func TestSurveyFile_Level(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.csv")
	book := "station,BS,IS,FS,elevation\nA,4.00,,,100\nB,3.00,,5.00,\nA,,,2.01,\n"
	if err := os.WriteFile(path, []byte(book), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errOut := runnel(t, "survey", "--json", path)
	var got struct {
		Points int
		Level  struct {
			SetUps []struct{ HI float64 } `json:"set_ups"`
			Shots  []struct {
				Shot      string
				Elevation float64
			}
			Misclosure *float64
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != exitDone {
		t.Fatalf("exit %d, %v: %s%s", code, err, out, errOut)
	}
	l := got.Level
	if got.Points != 2 || len(l.SetUps) != 2 || l.SetUps[0].HI != 104 || l.SetUps[1].HI != 102 ||
		len(l.Shots) != 2 || l.Shots[0].Elevation != 99 || l.Shots[1].Elevation != 99.99 ||
		l.Misclosure == nil || *l.Misclosure != -0.01 {
		t.Errorf("%+v from %s", got, out)
	}
}

func TestSurveyFile_Outline(t *testing.T) {
	path := filepath.Join(t.TempDir(), "roof.wkt")
	if err := os.WriteFile(path, []byte("POLYGON((0 0,30 0,30 20,0 20,0 0),(5 5,10 5,10 10,5 10,5 5))"), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errOut := runnel(t, "survey", path)
	if code != exitDone || !strings.Contains(out, "8 vertices, 1 holes, area 575.0, perimeter 100.0") ||
		!strings.Contains(out, "x         0 to 30\ny         0 to 20\n") {
		t.Errorf("exit %d: %s%s", code, out, errOut)
	}
}

// TestSurveyFile_Parts: FILE#NAME is one layer, surface or outline of a file, as
// in a job. A file that bears the whole name is meant by it.
func TestSurveyFile_Parts(t *testing.T) {
	const own = "../../testdata/survey/"
	dir := t.TempDir()
	list := filepath.Join(dir, "a#b.csv")
	if err := os.WriteFile(list, []byte("x,y,z\n1,2,3\n4,5,6\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path  string
		code  int
		words []string // in what is printed
		not   string
	}{
		{own + "landxml-two-surfaces-metres.xml#Penthouse", exitDone, []string{"Points    3\n", `"penthouse": 3 points, 1 faces`}, `"roof"`},
		{own + "dxf-all-kinds-feet.dxf#OUTLINE", exitDone, []string{`"OUTLINE": 4 vertices`}, "DECK"},
		{own + "dxf-all-kinds-feet.dxf#DECK", exitDone, []string{"Points    5\n"}, `"OUTLINE"`},
		{own + "outline-hole-and-parts.geojson#shop", exitDone, []string{`"shop": 8 vertices, 1 holes`}, "part 1"},
		{own + "landxml-two-surfaces-metres.xml#attic", exitFailed, []string{"Points    0\n", `the names are "roof", "penthouse"`}, "Surface "},
		{own + "list-bom.csv#A", exitFailed, []string{"no parts that can be named", "take #A out"}, ""},
		{own + "level-two-set-ups.csv#A", exitFailed, []string{"no parts that can be named"}, "HI"},
		{own + "las12-format0.las#6", exitFailed, []string{"no parts that can be named"}, ""},
		{list, exitDone, []string{"Points    2\n"}, ""},
		{filepath.Join(dir, "none.csv"), exitFailed, []string{"no such file"}, "no such job"},
		{filepath.Join(dir, "none.dxf#A"), exitFailed, []string{"no such file"}, "no such job"},
		{filepath.Join(dir, "none"), exitFailed, []string{"no such job"}, "no such file"},
		{filepath.Join(dir, "none.yaml"), exitFailed, []string{"no such job"}, "no such file"},
	} {
		code, out, errOut := runnel(t, "survey", c.path)
		if code != c.code || c.not != "" && strings.Contains(out+errOut, c.not) {
			t.Errorf("%s: exit %d, printed %s%s", c.path, code, out, errOut)
		}
		for _, w := range c.words {
			if !strings.Contains(out+errOut, w) {
				t.Errorf("%s: no %q in %s%s", c.path, w, out, errOut)
			}
		}
	}
}

// TestSurveyFile_Columns: what is said of columns where they cannot be used, and
// which words there are.
func TestSurveyFile_Columns(t *testing.T) {
	const own = "../../testdata/survey/"
	for _, c := range []struct{ file, columns, words string }{
		{"landxml-points-feet.xml", "n,e,z", "the columns that were named are not used: the file is LandXML 1.2"},
		{"las12-format0.las", "n,e,z", "are not used"},
		{"list-no-header.csv", "point,up,e,z", "write point, x (or e), y (or n), z, rod, code, area, set_up or - (passed over)"},
		{"list-no-header.csv", "point,n,e,z,code", "columns as told"},
		{"grid-sheet-rod.csv", "x,y,z", "delimited text"},
	} {
		_, out, _ := runnel(t, "survey", own+c.file, "--columns", c.columns)
		if !strings.Contains(out, c.words) || strings.Contains(out, "not used") != strings.Contains(c.words, "not used") {
			t.Errorf("%s, columns %s: no %q in %s", c.file, c.columns, c.words, out)
		}
	}
}

// TestSurveyFile_JSONLeavesOut: what a file does not say or have is no key.
func TestSurveyFile_JSONLeavesOut(t *testing.T) {
	const own = "../../testdata/survey/"
	for file, c := range map[string]struct{ has, not []string }{
		"grid-no-data.asc":                {[]string{`"points": 10`}, []string{`"unit":`, `"faces"`, `"area"`, `"invisible"`}},
		"landxml-two-surfaces-metres.xml": {[]string{`"unit": "m"`, `"faces": 4`, `"invisible": 0`, `"area": 60`}, nil},
	} {
		_, out, _ := runnel(t, "survey", "--json", own+file)
		for _, w := range c.has {
			if !strings.Contains(out, w) {
				t.Errorf("%s: no %s in %s", file, w, out)
			}
		}
		for _, w := range c.not {
			if strings.Contains(out, w) {
				t.Errorf("%s: %s in %s", file, w, out)
			}
		}
	}
}
