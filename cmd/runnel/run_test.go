package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/survey/read"
)

const jobsDir = "../../testdata/jobs/"

// runnel runs the program as a user does.
func runnel(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, &o, &e)
	return code, o.String(), e.String()
}

// TestRunLeavesEveryFile: a run of each job leaves all the files, and the
// pieces are one number in all of them.
func TestRunLeavesEveryFile(t *testing.T) {
	for _, job := range []string{"heron-wharf", "ridge-valley", "plan-only"} {
		t.Run(job, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "out")
			code, text, errOut := runnel(t, "run", jobsDir+job, "-o", dir)
			if code != exitDone {
				t.Fatalf("exit %d: %s", code, errOut)
			}
			if !strings.Contains(text, "Drainage geometry") {
				t.Errorf("the report prints no cautions:\n%s", text)
			}
			for _, name := range []string{"survey.png", "existing.png", "ponding.png", "slopes.png", "taper.png", "placement-1.png",
				"boards.csv", "cuts.csv", "plan.geojson", "summary.json", "existing.asc", "finished.asc"} {
				if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() == 0 {
					t.Errorf("%s: missing or empty (%v)", name, err)
				}
			}
			onePieceCount(t, dir)
		})
	}
}

func onePieceCount(t *testing.T, dir string) {
	t.Helper()
	boards := table(t, filepath.Join(dir, "boards.csv"))
	pieces, order, spares := 0, 0, 0
	for _, row := range boards {
		pieces += atoi(t, row["pieces"])
		order += atoi(t, row["to_order"])
		spares += atoi(t, row["spares"])
	}
	if cuts := len(table(t, filepath.Join(dir, "cuts.csv"))); cuts != pieces {
		t.Errorf("cuts.csv has %d pieces, boards.csv %d", cuts, pieces)
	}
	var plan struct {
		Features []struct {
			Properties map[string]any `json:"properties"`
		} `json:"features"`
	}
	decode(t, filepath.Join(dir, "plan.geojson"), &plan)
	drawn := 0
	for _, f := range plan.Features {
		if f.Properties["kind"] == "board" {
			drawn++
		}
	}
	if drawn != pieces {
		t.Errorf("plan.geojson has %d boards, boards.csv %d", drawn, pieces)
	}
	var sum struct {
		Areas []struct {
			Boards struct {
				Pieces    int `json:"pieces"`
				ToOrder   int `json:"to_order"`
				Spares    int `json:"spares"`
				AreaBound int `json:"area_bound"`
				CutBound  int `json:"cut_bound"`
			} `json:"boards"`
		} `json:"areas"`
	}
	decode(t, filepath.Join(dir, "summary.json"), &sum)
	b := sum.Areas[0].Boards
	if b.Pieces != pieces || b.ToOrder != order || b.Spares != spares {
		t.Errorf("summary.json has %+v, boards.csv %d pieces, %d to order, %d spares", b, pieces, order, spares)
	}
	if order < b.AreaBound || order < b.CutBound {
		t.Errorf("%d boards to order are fewer than the bounds %+v", order, b)
	}
}

func atoi(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func table(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

func decode(t *testing.T, path string, into any) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(data, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// TestBareRectangle checks by hand: 60 x 40 ft, centre drain, 1/4 in/ft, 1/2
// in at the drain. Mean max-norm distance 17.2222 ft (closed form
// a/2 + b^2/(6a), a = 30, b = 20), so 4.80556 in, 961.111 cu ft; highest 8 in;
// 176 tapered boards at the least by cut, 86 of fill by area, 236 by area.
func TestBareRectangle(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if code, _, errOut := runnel(t, "run", jobsDir+"bare-rectangle", "-o", dir); code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var sum struct {
		Areas []struct {
			Finished struct {
				Ponds       int     `json:"ponds"`
				Below       float64 `json:"below_minimum_pct"`
				PondsFree   string  `json:"ponds_free_by_survey"`
				MeetsDesign string  `json:"meets_design_slope"`
			} `json:"finished"`
			Boards struct {
				AreaBound int `json:"area_bound"`
				CutBound  int `json:"cut_bound"`
			} `json:"boards"`
			Lines []struct {
				Kind  string  `json:"kind"`
				Least float64 `json:"least_in_per_ft"`
			} `json:"lines"`
			Insulation struct {
				Volume   float64 `json:"volume_cuft"`
				Average  float64 `json:"average_in"`
				Thinnest float64 `json:"thinnest_in"`
				Thickest float64 `json:"thickest_in"`
			} `json:"insulation"`
		} `json:"areas"`
	}
	decode(t, filepath.Join(dir, "summary.json"), &sum)
	a := sum.Areas[0]
	if a.Finished.Ponds != 0 || a.Finished.PondsFree != "meets" || a.Finished.MeetsDesign != "meets" {
		t.Errorf("finished surface: %+v, want no pond and the slope met", a.Finished)
	}
	if len(a.Lines) != 1 || a.Lines[0].Kind != "valley" {
		t.Fatalf("lines %+v, want valleys alone", a.Lines)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"valley in/ft", a.Lines[0].Least, 0.25 / math.Sqrt2},
		{"boards by area", float64(a.Boards.AreaBound), 150 + 86},
		{"boards by cut", float64(a.Boards.CutBound), 176 + 86},
		{"share under the minimum", 1 + a.Finished.Below, 1},
		{"volume cu ft", a.Insulation.Volume, 961.1111111},
		{"average in", a.Insulation.Average, 4.8055556},
		{"thinnest in", a.Insulation.Thinnest, 0.5},
		{"thickest in", a.Insulation.Thickest, 8},
	} {
		if math.Abs(c.got-c.want) > 1e-5*c.want {
			t.Errorf("%s %.7g, want %.7g", c.what, c.got, c.want)
		}
	}
}

// TestNewStarterRuns: the starter job that `runnel new` writes itself runs.
func TestNewStarterRuns(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "first")
	if code, _, errOut := runnel(t, "new", dir); code != exitDone {
		t.Fatalf("new: exit %d: %s", code, errOut)
	}
	if code, _, errOut := runnel(t, "run", dir); code != exitDone {
		t.Fatalf("run: exit %d: %s", code, errOut)
	}
	if code, _, errOut := runnel(t, "new", dir); code != exitFailed || !strings.Contains(errOut, dir) {
		t.Errorf("new over a folder that exists: exit %d, %q", code, errOut)
	}
}

// TestExitCodes: wrong use is 2, a bad job 1 and leaves no folder behind.
func TestExitCodes(t *testing.T) {
	bad := t.TempDir()
	if err := os.WriteFile(filepath.Join(bad, "job.yaml"), []byte("jobb: {name: x}\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	outDir := filepath.Join(bad, "out")
	cases := []struct {
		story string
		args  []string
		want  int
		says  string
	}{
		{"no job named", []string{"run"}, exitWrongUse, "arg"},
		{"unknown command", []string{"ran", "x"}, exitWrongUse, "ran"},
		{"unknown flag", []string{"run", "x", "--nope"}, exitWrongUse, "nope"},
		{"unknown key set", []string{"run", bad, "--set", "nope=1"}, exitWrongUse, "nope"},
		{"no such job", []string{"run", filepath.Join(bad, "none")}, exitFailed, "none"},
		{"misspelt key", []string{"run", bad, "-o", outDir}, exitFailed, `jobb`},
	}
	for _, c := range cases {
		t.Run(c.story, func(t *testing.T) {
			code, _, errOut := runnel(t, c.args...)
			if code != c.want || !strings.Contains(errOut, c.says) {
				t.Errorf("exit %d, want %d; says %q, want %q in it", code, c.want, errOut, c.says)
			}
			if _, err := os.Stat(outDir); err == nil {
				t.Error("an output folder was left behind")
			}
		})
	}
}

// TestSettings: a flag wins over the environment, and the environment over
// the file.
func TestSettings(t *testing.T) {
	thinnest := func(args ...string) float64 {
		t.Helper()
		code, out, errOut := runnel(t, append([]string{"taper", jobsDir + "plan-only", "--json"}, args...)...)
		if code != exitDone {
			t.Fatalf("exit %d: %s", code, errOut)
		}
		var sum struct {
			Areas []struct {
				Insulation struct {
					Thinnest float64 `json:"thinnest_in"`
				} `json:"insulation"`
			} `json:"areas"`
		}
		if err := json.Unmarshal([]byte(out), &sum); err != nil {
			t.Fatal(err)
		}
		return sum.Areas[0].Insulation.Thinnest
	}
	if got := thinnest(); math.Abs(got-0.5) > 1e-9 {
		t.Errorf("from the file: %v in, want 1/2", got)
	}
	t.Setenv("RUNNEL_TAPER_START", "1-1/2 in")
	if got := thinnest(); math.Abs(got-1.5) > 1e-9 {
		t.Errorf("from the environment: %v in, want 1-1/2", got)
	}
	if got := thinnest("--set", "taper.start=2-1/2 in"); math.Abs(got-2.5) > 1e-9 {
		t.Errorf("from the flag: %v in, want 2-1/2", got)
	}
}

// twoAreas is a job of two levels whose names need mending in file names.
const twoAreas = `job: {name: Two levels, units: us}
survey: none
taper: {scheme: four-way, slope: 1/4 in/ft, start: 1/2 in}
areas:
  - name: Upper
    outline: [[0,0],[40,0],[40,30],[0,30]]
    outlets: [{id: U1, kind: drain, at: [20,15]}]
  - name: Low/er
    outline: [[40,0],[80,0],[80,30],[40,30]]
    outlets: [{id: L1, kind: drain, at: [60,12]}]
`

// TestTwoAreas: each area has files of its own, and a piece and a stock board
// are known by area and number.
func TestTwoAreas(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(twoAreas), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := runnel(t, "run", dir); code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	for _, pattern := range []string{"existing-*.png", "ponding-*.png", "slopes-*.png", "taper-*.png", "existing-*.asc", "finished-*.asc"} {
		if found, err := filepath.Glob(filepath.Join(dir, "out", pattern)); err != nil || len(found) != 2 {
			t.Errorf("%s: %q (%v), want one an area", pattern, found, err)
		}
	}
	pieces, order := map[[2]string]bool{}, 0
	stock := map[[3]string]bool{}
	for _, row := range table(t, filepath.Join(dir, "out", "cuts.csv")) {
		key := [2]string{row["area"], row["piece"]}
		if pieces[key] {
			t.Errorf("piece %v stands twice", key)
		}
		pieces[key] = true
		stock[[3]string{row["area"], row["mark"], row["stock_no"]}] = true
	}
	for _, row := range table(t, filepath.Join(dir, "out", "boards.csv")) {
		order += atoi(t, row["to_order"])
	}
	if len(stock) != order {
		t.Errorf("%d stock boards are cut, %d to order", len(stock), order)
	}
}

// TestRuleNames: the reader knows the rule sets that drainage has.
func TestRuleNames(t *testing.T) {
	if got, want := read.RuleNames(), drainage.RuleNames(); !slices.Equal(got, want) {
		t.Errorf("read knows %q, drainage has %q", got, want)
	}
}
