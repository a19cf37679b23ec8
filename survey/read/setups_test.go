package read

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// book is the sound job with a survey group and a shot list of its own.
func book(source, shots string) (string, string) {
	old := "  cores: cores.csv\n  reading: rod\n  unit: ft\n  hi: 105 ft\n"
	return with(soundJob, old, source), shots
}

// shotsOf gives the shots of area 0 by their names; of a name that stands twice
// the last.
func shotsOf(job *survey.Job) map[string]survey.Shot {
	out := map[string]survey.Shot{}
	for _, s := range job.Areas[0].Shots {
		out[s.ID] = s
	}
	return out
}

func elevation(t *testing.T, s survey.Shot, wantFt, within float64) {
	t.Helper()
	if math.Abs(s.Elev.Feet()-wantFt) > within {
		t.Errorf("%s lies at %.4f ft, want %.2f", s.ID, s.Elev.Feet(), wantFt)
	}
}

// A benchmark at 100.00 ft with the rod at 4.50: a drain read 5.12 lies at
// 99.38 and a ridge read 4.20 at 100.30, 0.92 ft or 11.0 in above it; a book
// that has the same readings in feet and inches, to a sixteenth, gives the same
// to 0.005 ft. By arithmetic.
func TestSetUps_DrainAndRidge(t *testing.T) {
	for _, c := range []struct{ name, unit, bench, drain, ridge string }{
		{"decimal feet", "ft", "4.50", "5.12", "4.20"},
		{"feet and inches", "ft-in", "4 ft 6 in", "5 ft 1-7/16 in", "4 ft 2-3/8 in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, _ := book("  reading: rod\n  unit: "+c.unit+"\n  benchmark: {on: sill, elevation: 100.00 ft, rod: "+c.bench+"}\n", "")
			shots := "shot,x,y,rod\ndrain,5,5," + c.drain + "\nridge,55,5," + c.ridge + "\n3,55,35," + c.ridge + "\n"
			job, _ := mustRead(t, folder("job.yaml", text, "shots.csv", shots))
			got := shotsOf(job)
			elevation(t, got["drain"], 99.38, 0.005)
			elevation(t, got["ridge"], 100.30, 0.005)
			if in := (got["ridge"].Elev - got["drain"].Elev).Inches(); math.Abs(in-11.04) > 0.07 {
				t.Errorf("the ridge lies %.3f in over the drain, want 11.0", in)
			}
			rows := job.SetUpRows()
			if len(rows) != 1 || rows[0].Shots != 3 || rows[0].On != "sill" || math.Abs(rows[0].HI.Feet()-104.5) > 1e-9 {
				t.Errorf("rows %+v", rows)
			}
			if s := got["drain"]; s.SetUp != 1 || math.Abs(s.Rod.Feet()-5.12) > 0.005 {
				t.Errorf("the raw reading is kept as %+v", s)
			}
		})
	}
	text, _ := book("  reading: rod\n  unit: ft-in\n  hi: 104.50 ft\n", "")
	_, found := Job(folder("job.yaml", text, "shots.csv", "shot,x,y,rod\nd,5,5,5.4\n2,55,5,4 ft 2 in\n3,55,35,4 ft 3 in\n"), "job.yaml", nil)
	if f := found.Faults(); len(f) != 1 || !strings.Contains(f[0].Why, "5.4 ft or 5 ft 4 in") || f[0].Line != 2 {
		t.Errorf("5.4 in a book of feet and inches: %v", found)
	}
}

// A direct rod reads up: with the benchmark at 100.00 and 2.50 on it, its zero
// lies at 97.50, and a reading of 1.88 at 99.38.
func TestSetUps_DirectRod(t *testing.T) {
	const shots = "shot,x,y,rod\n1,5,5,1.88\n2,55,5,2.80\n3,55,35,-0.10\n"
	for _, source := range []string{
		"  reading: direct\n  unit: ft\n  benchmark: {elevation: 100, rod: 2.50}\n",
		"  reading: direct\n  unit: ft\n  zero: 97.50\n",
		"  unit: ft\n  set_ups: [{id: 1, reading: direct, zero: 97.50}]\n",
		"  unit: ft\n  set_ups: [{id: 1, zero: 97.50}]\n",
		"  unit: ft\n  reading: direct\n  set_ups: [{id: 1, benchmark: {elevation: 100, rod: 2.50}}]\n",
	} {
		text, _ := book(source, "")
		job, _ := mustRead(t, folder("job.yaml", text, "shots.csv", shots))
		got := shotsOf(job)
		elevation(t, got["1"], 99.38, 1e-9)
		elevation(t, got["2"], 100.30, 1e-9)
		elevation(t, got["3"], 97.40, 1e-9)
		if row := job.SetUpRows()[0]; !row.Direct || !strings.Contains(row.Rod, "bigger reading is a higher place") {
			t.Errorf("%s: row %+v", source, row)
		}
	}
}

const twoSetUps = `  unit: ft
  set_ups:
    - {id: west, reading: rod, hi: 105.00}
    - {id: east, reading: rod, tied_to: west}
`

// shared is a list of two set-ups that both read P, Q and R; east reads them
// off ft higher than the line of sight of west would, by set.
func sharedShots(p, q, r string) string {
	return "shot,x,y,rod,set_up\n1,5,5,4.80,west\nP,30,5,5.00,west\nQ,30,20,4.50,west\nR,30,35,4.00,west\n2,2,35,4.9,west\n" +
		"P,30,5," + p + ",east\nQ,30.5,20," + q + ",east\nR,30,35," + r + ",east\n9,55,5,5.20,east\n"
}

// Two set-ups share three places. With an HI of 105.00 of its own the second has
// them at +0.02, +0.02 and -0.98 ft: the median is 0.02 and the third a blunder
// of one foot. Its shots, tied, lie 0.02 lower. By arithmetic.
func TestSetUps_TiedWithABlunder(t *testing.T) {
	shots := sharedShots("4.98", "4.48", "4.98")
	text, _ := book(twoSetUps, "")
	job, found := mustRead(t, folder("job.yaml", text, "shots.csv", shots))
	u := job.Survey.SetUps[1]
	if u.TiedTo != "west" || u.Shared != 3 || math.Abs(u.HI.Feet()-104.98) > 1e-9 {
		t.Errorf("set-up %+v, want HI 104.98 by 3 shots", u)
	}
	elevation(t, shotsOf(job)["9"], 104.98-5.20, 1e-9)
	blunder(t, job, found)

	text, _ = book(strings.Replace(twoSetUps, "tied_to: west", "hi: 105.00", 1), "")
	job, found = mustRead(t, folder("job.yaml", text, "shots.csv", shots))
	u = job.Survey.SetUps[1]
	if u.Beside != "west" || u.Shared != 3 || math.Abs(u.Off.Feet()-0.02) > 1e-9 || u.HI != unit.Feet(105) {
		t.Errorf("set-up %+v, want 0.02 above west by 3 shots", u)
	}
	elevation(t, shotsOf(job)["9"], 99.80, 1e-9)
	blunder(t, job, found)
}

// blunder holds R to be named, with its foot, and left out on both sides.
func blunder(t *testing.T, job *survey.Job, found problem.List) {
	t.Helper()
	if len(found) != 1 || found[0].Value != "R" || found[0].Line != 9 || !strings.Contains(found[0].Why, "blunder of 1 ft") {
		t.Errorf("notes %v, want R off by one foot", found)
	}
	left := map[string]int{}
	for _, s := range job.Areas[0].Shots {
		if s.Left != "" {
			left[s.ID]++
		}
	}
	if left["R"] != 2 || left["P"] != 1 || left["Q"] != 1 || len(left) != 3 {
		t.Errorf("left out %v, want both of R and the second of P and Q", left)
	}
}

func TestSetUps_Shifted(t *testing.T) {
	text, _ := book(strings.Replace(twoSetUps, "tied_to: west", "hi: 105.00", 1), "")
	_, found := mustRead(t, folder("job.yaml", text, "shots.csv", sharedShots("4.85", "4.35", "3.85")))
	if len(found) != 1 || found[0].Value != "west and east" ||
		!strings.Contains(found[0].Why, "set-up east stands +0.150 ft from set-up west over 3 shots that both read, and either may be wrong") {
		t.Errorf("a set-up 0.15 ft off: %v", found)
	}
	// numbers that begin again at each set-up name other places
	_, found = mustRead(t, folder("job.yaml", text, "shots.csv",
		"shot,x,y,rod,set_up\n1,5,5,4.80,west\n2,30,5,5.00,west\n1,55,5,4.8,east\n2,55,35,5.2,east\n"))
	if len(found) > 0 {
		t.Errorf("shots numbered again are taken for the same: %v", found)
	}
}

func TestSetUps_Closing(t *testing.T) {
	for _, c := range []struct {
		name, end, allowed string
		off, allow         float64
		note               string
	}{
		{"closed", "4.51", "", -0.01, 0.02, ""},
		{"not closed", "4.47", "", 0.03, 0.02, "+0.030 ft off, more than the 0.020 ft allowed (common practice"},
		{"within the job's own", "4.47", ", allowed: 0.03 ft", 0.03, 0.03, ""},
		{"beyond the job's own", "4.51", ", allowed: 0.005 ft", -0.01, 0.005, "-0.010 ft off, more than the 0.005 ft allowed (the job)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, _ := book("  reading: rod\n  unit: ft\n  benchmark: {on: BM1, elevation: 100, rod: 4.50, close: "+c.end+c.allowed+"}\n", "")
			job, found := mustRead(t, folder("job.yaml", text))
			row := job.SetUpRows()[0]
			if len(row.Closings) != 1 || len(job.Survey.LooseClosings()) != 0 {
				t.Fatalf("closings %+v", row.Closings)
			}
			got := row.Closings[0]
			if math.Abs(got.Misclosure().Feet()-c.off) > 1e-9 || math.Abs(got.Allowed.Feet()-c.allow) > 1e-9 || got.On != "BM1" {
				t.Errorf("closing %+v, want %+.3f of %.3f ft", got, c.off, c.allow)
			}
			elevation(t, shotsOf(job)["1"], 104.50-4.80, 1e-9) // not spread
			if c.note == "" && len(found) > 0 || c.note != "" && (len(found) != 1 ||
				!strings.Contains(found[0].Why, "benchmark not closed") || !strings.Contains(found[0].Why, c.note)) {
				t.Errorf("notes %v, want %q", found, c.note)
			}
		})
	}
}

func TestSetUps_DeckShots(t *testing.T) {
	const elevations = "shot,x,y,z\nD1,5,5,99.5\nD2,55,5,99.6\nD3,90,35,99.5\n"
	const readings = "shot,x,y,rod,set_up\nD1,5,5,4.0,later\nD2,55,5,4.1,later\n"
	for _, c := range []struct {
		name, source, list string
		shots, setUps      int
	}{
		{"elevations", "  deck_shots: deck.csv\n", elevations, 3, 1},
		{"set-ups of its own", "  deck_shots: {shots: deck.csv, set_ups: [{id: later, reading: rod, hi: 103.5 ft}]}\n", readings, 2, 2},
		{"one of its own", "  deck_shots: {shots: deck.csv, reading: elevation}\n", elevations, 3, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := with(soundJob, "  hi: 105 ft\n", "  hi: 105 ft\n"+c.source)
			job, _ := mustRead(t, folder("job.yaml", text, "deck.csv", c.list))
			a := job.Areas[0]
			if len(a.DeckShots) != c.shots || len(a.Shots) != 4 || len(job.Survey.SetUps) != c.setUps {
				t.Fatalf("%d deck shots, %d shots, %d set-ups", len(a.DeckShots), len(a.Shots), len(job.Survey.SetUps))
			}
			elevation(t, a.DeckShots[0], 99.5, 1e-9)
			if c.setUps == 2 && a.DeckShots[0].SetUp != 2 {
				t.Errorf("deck shot %+v", a.DeckShots[0])
			}
		})
	}
}
