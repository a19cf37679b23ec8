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
