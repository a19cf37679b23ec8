package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// goodJob is a job that runs; each bad one changes a part of it.
const goodJob = `job: {name: Shed, units: us}
survey: {shots: shots.csv, surface: deck, unit: ft, columns: [point, x, y, z]}
scope: tear-off
taper: {scheme: four-way, slope: 1/4 in/ft, start: 1/2 in}
areas:
  - name: A
    outline: [[0,0],[40,0],[40,30],[0,30]]
    outlets: [{id: D1, kind: drain, at: [20,15]}]
`

const goodShots = "1,5,5,100.1\n2,35,5,100.1\n3,35,25,100.1\n4,5,25,100.1\n5,20,15,100\n"

// TestBadJobs: each kind of bad job gives a problem list that names file and
// reason, exit 1, and no output folder. That each problem names line, field and
// mend is held in survey/read.
func TestBadJobs(t *testing.T) {
	in := func(old, new string) string { return strings.Replace(goodJob, old, new, 1) }
	cases := []struct {
		story, job, shots string
		says              string
	}{
		{"unknown key", in("scope:", "scoop:"), goodShots, "job.yaml:3: scoop"},
		{"outline that crosses itself", in("[40,30],[0,30]", "[0,30],[40,30]"), goodShots, "job.yaml:7: areas[0].outline"},
		{"drain outside", in("[20,15]", "[50,15]"), goodShots, "drain D1"},
		{"no outlet", in("    outlets: [{id: D1, kind: drain, at: [20,15]}]\n", ""), goodShots, "outlet"},
		{"a height without a datum", in("at: [20,15]", "at: [20,15], flange: 1 in"), goodShots, "above"},
		{"no shots at all", goodJob, "", "shots.csv"},
		{"three shots in a line", goodJob, "1,5,5,100\n2,10,5,100\n3,15,5,100\n", "line"},
		{"an elevation that is no number", goodJob, goodShots + "6,12,9,NaN\n", "shots.csv:6"},
		{"headerless shots without columns", in(", columns: [point, x, y, z]", ""), goodShots, "columns"},
		{"5.4 in a feet-and-inches book", in("unit: ft", "unit: ft-in"), "1,5,5,5.4\n" + goodShots, "5.4"},
		{"coordinates of 1e9", in("[40,0],[40,30]", "[1e9,0],[1e9,30]"), goodShots, "1e9"},
		{"a base that no board makes", in("start: 1/2 in", "start: 1/2 in, base: {layers: 1, thickness: 2.6 in}"), goodShots, "2.6"},
		{"a shot file that is missing", in("shots.csv", "none.csv"), goodShots, "none.csv"},
		{"a folder for the shot file", in("shots.csv", "."), goodShots, "a folder stands"},
		{"an empty job", "", goodShots, "job.yaml"},
		{"an outline of 100,001 vertices", in("[40,30]", "[40,30]"+strings.Repeat(",[39,30]", 1e5)), goodShots, "outline"},
		{"a region without an outlet", in("areas:", "regions: [{outline: [[0,0],[9,0],[9,30],[0,30]]}]\nareas:"), goodShots,
			"job.yaml:5: regions[0].outline \"[[0, 0], [9, 0], [9, 30], [0, 30]]\": it leaves the part about"},
		{"a joint that shuts off a side", goodJob + "    joints: [[[9,0],[9,30]]]\n", goodShots, "job.yaml:9: areas[0].joints[0]"},
		{"a valley to nowhere", in("areas:", "lines: [{kind: valley, at: [[3,3],[3,27]]}]\nareas:"), goodShots, "job.yaml:5: lines[0].at"},
		{"an unknown rule set", in("scope:", "rules: nobodys\nscope:"), goodShots, "nobodys"},
	}
	for _, c := range cases {
		t.Run(c.story, func(t *testing.T) {
			dir := t.TempDir()
			for name, text := range map[string]string{"job.yaml": c.job, "shots.csv": c.shots} {
				if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			code, out, errOut := runnel(t, "run", dir)
			if code != exitFailed || out != "" || !strings.Contains(errOut, c.says) {
				t.Errorf("exit %d, printed %q; says %q, want %q in it", code, out, errOut, c.says)
			}
			if _, err := os.Stat(filepath.Join(dir, "out")); err == nil {
				t.Error("an output folder was left behind")
			}
		})
	}
}

// TestGoodJobRuns: what the bad jobs are made from does run.
func TestGoodJobRuns(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"job.yaml": goodJob, "shots.csv": goodShots} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if code, _, errOut := runnel(t, "run", dir, "--strict"); code != exitDone {
		t.Fatalf("exit %d: %s", code, errOut)
	}
}
