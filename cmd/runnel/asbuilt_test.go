package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"runnel/survey/geom"
)

// demoGrid is the finished surface of the demo, from one run for all tests; nil: not
// run yet.
var demoGrid []byte

func demoFinished(t *testing.T) []byte {
	t.Helper()
	if demoGrid == nil {
		outDir := filepath.Join(t.TempDir(), "out")
		if code, _, errOut := runnel(t, "run", jobsDir+"heron-wharf", "-o", outDir); code != exitDone {
			t.Fatalf("exit %d: %s", code, errOut)
		}
		data, err := os.ReadFile(filepath.Join(outDir, "finished.asc"))
		if err != nil {
			t.Fatal(err)
		}
		demoGrid = data
	}
	return demoGrid
}

// laidDemo is the demo job with a list of shots every 5 ft on its finished
// surface, as a run writes it, off so many inches; 1 ft and more from walls, curbs
// and drains, where the grid stands for them.
func laidDemo(t *testing.T, off func(p geom.Pt) float64) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "job")
	if err := os.CopyFS(dir, os.DirFS(jobsDir+"heron-wharf")); err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("shot,x,y,z_ft\n")
	for _, c := range readGridFile(t, demoFinished(t)) {
		if p := (geom.Pt{X: c.X, Y: c.Y}); onDemo(p) && math.Mod(p.X-1.75, 5) == 0 && math.Mod(p.Y-1.75, 5) == 0 {
			fmt.Fprintf(&b, "b%g-%g,%g,%g,%.6f\n", p.X, p.Y, p.X, p.Y, c.Z+off(p)/12)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "laid.csv"), []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// onDemo says whether a place lies on the roof of the demo job, 1 ft from what
// stands on it.
func onDemo(p geom.Pt) bool {
	in := func(x0, y0, x1, y1 float64) bool { return p.X > x0 && p.X < x1 && p.Y > y0 && p.Y < y1 }
	for _, d := range []geom.Pt{{X: 28, Y: 70}, {X: 30, Y: 24}, {X: 90, Y: 24}} {
		if p.Dist(d) < 1 {
			return false
		}
	}
	return (in(1, 1, 119, 47) || in(1, 1, 55, 91)) && !in(56, 25, 68, 35) && !in(10, 42, 18, 50)
}

// TestAsBuilt_FinishedGrid: shots read off finished.asc lie on the design within
// its last digit, 5e-7 ft, and no water stands.
func TestAsBuilt_FinishedGrid(t *testing.T) {
	dir, outDir := laidDemo(t, func(geom.Pt) float64 { return 0 }), filepath.Join(t.TempDir(), "out")
	code, text, errOut := runnel(t, "asbuilt", dir, filepath.Join(dir, "laid.csv"), "-o", outDir)
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	rows := table(t, filepath.Join(outDir, "asbuilt.csv"))
	if len(rows) < 250 {
		t.Fatalf("%d shots", len(rows))
	}
	for _, row := range rows {
		if off, err := strconv.ParseFloat(row["off_in"], 64); err != nil || math.Abs(off) > 1e-5 {
			t.Errorf("shot %s is %s in off", row["shot"], row["off_in"])
		}
	}
	if !strings.Contains(text, fmt.Sprintf("0 of %d shots out of tolerance.", len(rows))) || !strings.Contains(text, "Over runs       none") ||
		strings.Contains(text, "To mend") || strings.Contains(text, "Pond P") {
		t.Errorf("the report tells of something:\n%s", text)
	}
}

// TestAsBuilt_Dip: one low shot and a dip that holds water are found through the
// command, named with their rows, and drawn.
func TestAsBuilt_Dip(t *testing.T) {
	dir, outDir := laidDemo(t, func(p geom.Pt) float64 {
		if p == (geom.Pt{X: 46.75, Y: 31.75}) {
			return -0.5
		}
		return -1.3 * (1 + math.Cos(math.Pi*math.Min(p.Dist(geom.Pt{X: 75, Y: 12})/10, 1)))
	}), filepath.Join(t.TempDir(), "out")
	code, text, errOut := runnel(t, "asbuilt", dir, "laid.csv", "-o", outDir, "--set", "asbuilt.reading_error=1/16 in")
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var b struct {
		Areas []struct {
			AsBuilt struct {
				Ponds int `json:"ponds"`
				List  []struct {
					X     float64 `json:"x_ft"`
					Y     float64 `json:"y_ft"`
					Depth float64 `json:"depth_in"`
					Row   int     `json:"row"`
				} `json:"pond_list"`
				Short int `json:"falls_short"`
				After int `json:"ponds_after"`
			} `json:"as_built"`
		} `json:"areas"`
	}
	_, told, _ := runnel(t, "asbuilt", dir, "laid.csv", "--json", "--set", "asbuilt.reading_error=1/16 in")
	if err := json.Unmarshal([]byte(told), &b); err != nil {
		t.Fatal(err)
	}
	a := b.Areas[0].AsBuilt
	if a.Ponds != 1 || a.After != 0 || a.Short < 2 || len(a.List) != 1 || a.List[0].Row < 1 ||
		math.Hypot(a.List[0].X-75, a.List[0].Y-12) > 5 || a.List[0].Depth < 0.4 {
		t.Errorf("%+v", a)
	}
	for _, row := range table(t, filepath.Join(outDir, "asbuilt.csv")) {
		if row["shot"] == "b46.75-31.75" && (row["verdict"] != "falls-short" || row["row"] == "") {
			t.Errorf("the low shot: %v", row)
		}
	}
	for _, want := range []string{"shot b46.75-31.75: 0.50 in low at x 46.8 ft, y 31.8 ft, row ", "Pond P1", "Fill up to", "No pond stays."} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	if info, err := os.Stat(filepath.Join(outDir, "asbuilt.png")); err != nil || info.Size() == 0 {
		t.Error("no picture", err)
	}
}

// TestAsBuilt_Wrong: what cannot be held against a design says why.
func TestAsBuilt_Wrong(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(jobsDir+"heron-wharf")); err != nil {
		t.Fatal(err)
	}
	far := filepath.Join(dir, "far.csv")
	for name, text := range map[string]string{"far.csv": "shot,x,y,z_ft\n1,900,900,100\n", "laid.csv": "shot,x,y,z_ft\n1,9,9,100\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		story, want string
		args        []string
		code        int
	}{
		{"no list", "runnel asbuilt JOB SHOTS", []string{dir}, exitFailed},
		{"a list that is not there", "no such file", []string{dir, "nothing.csv"}, exitFailed},
		{"a list elsewhere", "outside the job's folder", []string{dir, "../../../go.mod"}, exitFailed},
		{"none on the roof", "no shot on the surface as laid", []string{dir, far}, exitFailed},
		{"no job", "no such job", []string{filepath.Join(dir, "none")}, exitFailed},
		{"too many words", "accepts between 1 and 2", []string{dir, far, far}, exitWrongUse},
	} {
		code, _, errOut := runnel(t, append([]string{"asbuilt"}, c.args...)...)
		if code != c.code || !strings.Contains(errOut, c.want) {
			t.Errorf("%s: exit %d: %s", c.story, code, errOut)
		}
	}
	// Without a taper there is nothing to hold it against.
	text, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	before, rest, _ := strings.Cut(string(text), "taper:")
	_, after, _ := strings.Cut(rest, "\nseen:")
	if err := os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(before+"seen:"+after), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := runnel(t, "asbuilt", dir, "laid.csv"); code != exitFailed || !strings.Contains(errOut, "names no taper") {
		t.Errorf("no taper: exit %d: %s", code, errOut)
	}
}
