package read

import "testing"

// badSetUps each give one fault that says how to mend it.
func TestSetUps_Bad(t *testing.T) {
	const twoLists = "shot,x,y,rod,set_up\n1,5,5,4.8,1\n2,55,5,4.8,2\n3,55,35,4.9,1\n"
	const two = "  unit: ft\n  set_ups:\n    - {id: 1, reading: rod, hi: 105}\n"
	for _, c := range []struct {
		name, source, shots string
		file                string
		line                int
		field, why, mend    string
	}{
		{"no rod convention", "  unit: ft\n  set_ups: [{id: 1, hi: 105}]\n", "", "job.yaml", 6, "survey.set_ups[0].reading",
			"which way the rod", "reading: rod where a bigger reading is a lower place"},
		{"a benchmark without it", "  unit: ft\n  benchmark: {elevation: 100, rod: 5}\n", "", "job.yaml", 6, "survey.benchmark",
			"which way the rod", "reading: direct"},
		{"a rod of another kind", "  unit: ft\n  set_ups: [{id: 1, reading: staff, hi: 105}]\n", "", "job.yaml", 6, "survey.set_ups[0].reading",
			"unknown word", "rod or direct"},
		{"no column for several", two + "    - {id: 2, reading: rod, hi: 106}\n", "", "shots.csv", 1, "", "which set-up of 2", "add a column set_up that holds 1 or 2"},
		{"a set-up that is not stated", two + "    - {id: 2, reading: rod, hi: 106}\n", twoLists + "4,5,20,5,3\n", "shots.csv", 5, "set_up",
			"no such set-up", "write 1 or 2"},
		{"a shot of no set-up", two + "    - {id: 2, reading: rod, hi: 106}\n", twoLists + "4,5,20,5,\n", "shots.csv", 5, "set_up",
			"not stated which set-up", "write 1 or 2"},
		{"two of one id", two + "    - {id: 1, reading: rod, hi: 106}\n", twoLists, "job.yaml", 8, "survey.set_ups[1]", "set-up 1 stands twice", "another id"},
		{"no id", two + "    - {reading: rod, hi: 106}\n", twoLists, "job.yaml", 8, "survey.set_ups[1].id", "has no id", "write id: 1"},
		{"no height of instrument", two + "    - {id: 2, reading: rod}\n", twoLists, "job.yaml", 8, "survey.set_ups[1]", "has no height of instrument", "tied_to"},
		{"two heights", two + "    - {id: 2, reading: rod, hi: 106, tied_to: 1}\n", twoLists, "job.yaml", 8, "survey.set_ups[1].tied_to", "twice, by hi and tied_to", "keep one"},
		{"tied to none", two + "    - {id: 2, reading: rod, tied_to: 3}\n", twoLists, "job.yaml", 8, "survey.set_ups[1].tied_to", "no set-up of this id", "put it first"},
		{"tied by no shot", two + "    - {id: 2, reading: rod, tied_to: 1}\n", twoLists, "shots.csv", 3, "set-up", "no shot of one name and place", "same name"},
		{"a direct rod with hi", "  unit: ft\n  reading: direct\n  hi: 105\n", "", "job.yaml", 7, "survey.hi", "no height of instrument", "write zero"},
		{"an ordinary rod with a zero", "  unit: ft\n  reading: rod\n  zero: 95\n", "", "job.yaml", 7, "survey.zero", "only a direct rod", "write hi"},
		{"set-ups and hi", two + "  hi: 105\n", "", "job.yaml", 8, "survey.hi", "a hi of its own", "under the set-up"},
		{"an empty list", "  unit: ft\n  set_ups: []\n", "", "job.yaml", 6, "survey.set_ups", "no set-ups in the list", "write - {id: 1"},
		{"set-ups of elevations", "  reading: elevation\n  unit: ft\n  set_ups: [{id: 1, reading: rod, hi: 105}]\n", "", "job.yaml", 5, "survey.reading",
			"no height of instrument", "take hi"},
		{"a reading under zero", "  unit: ft\n  reading: rod\n  benchmark: {elevation: 100, rod: -5}\n", "", "job.yaml", 7, "survey.benchmark.rod",
			"less than 0", "reading: direct"},
		{"allowed without a closing", "  unit: ft\n  reading: rod\n  benchmark: {elevation: 100, rod: 5, allowed: 0.02}\n", "", "job.yaml", 7,
			"survey.benchmark.allowed", "without a closing", "write close"},
		{"nothing allowed", "  unit: ft\n  reading: rod\n  benchmark: {elevation: 100, rod: 5, close: 5, allowed: 0}\n", "", "job.yaml", 7,
			"survey.benchmark.allowed", "more than 0", "0.02 ft"},
		{"a closing of nothing", "  unit: ft\n  reading: rod\n  hi: 105\n  closings: [{on: BM1, found: 100}]\n", "", "job.yaml", 8,
			"survey.closings[0].known", "found and one known", "known: 100.00 ft"},
		{"a photo of no place", "  unit: ft\n  reading: rod\n  hi: 105\n  photos: [{file: a.jpg}]\n", "", "job.yaml", 8,
			"survey.photos[0].at", "no place", "write at"},
		{"deck shots that lack a set-up", "  unit: ft\n  reading: rod\n  hi: 105\n  deck_shots: shots.csv\n", "", "shots.csv", 1, "",
			"which set-up of 1", "add a column set_up"},
		{"deck shots of no name", "  unit: ft\n  reading: rod\n  hi: 105\n  deck_shots: {reading: elevation}\n", "", "job.yaml", 8,
			"survey.deck_shots.shots", "no name", "deck.csv"},
		{"shots as laid that lack a set-up", "  unit: ft\n  reading: rod\n  hi: 105\nasbuilt: shots.csv\n", "", "shots.csv", 1, "",
			"which set-up of 1", "add a column set_up"},
		{"shots as laid of no name", "  unit: ft\n  reading: rod\n  hi: 105\nasbuilt: {place: 1/8 in}\n", "", "job.yaml", 8,
			"asbuilt.shots", "no name", "asbuilt.csv"},
		{"nothing allowed as laid", "  unit: ft\n  reading: rod\n  hi: 105\nasbuilt: {shots: shots.csv, reading: rod, hi: 104 ft, run: 0 in}\n", "", "job.yaml", 8,
			"asbuilt.run", "more than 0", "4 in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, _ := book(c.source, "")
			fsys := folder("job.yaml", text)
			if c.shots != "" {
				fsys = folder("job.yaml", text, "shots.csv", c.shots)
			}
			job, found := Job(fsys, "job.yaml", nil)
			f := found.Faults()
			if job != nil || len(f) != 1 {
				t.Fatalf("%d faults, want 1: %v", len(f), found)
			}
			checkProblem(t, bad{file: c.file, line: c.line, field: c.field, why: c.why, mend: c.mend}, f[0])
		})
	}
}
