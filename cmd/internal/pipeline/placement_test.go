package pipeline

import (
	"os"
	"testing"

	"runnel/render"
)

// placementStep takes one roof of the zoo in so many.
const placementStep = 10

// TestPlacement_EveryRowSpeaks: on placement sheets of roofs of the zoo, laid four-way
// and with crickets, every row has its words on the plan or in the table of the sheet,
// and no sheet has words over words.
func TestPlacement_EveryRowSpeaks(t *testing.T) {
	dirs, err := os.ReadDir(zooDir)
	if err != nil {
		t.Fatal(err)
	}
	sheets := 0
	for n, d := range dirs {
		if n%placementStep != 0 {
			continue
		}
		job := zooJob(t, d.Name())
		for _, w := range zooWays[:2] {
			if !w.fits(d.Name(), &job.Areas[0]) {
				continue
			}
			choice := *job.Taper
			w.set(&choice)
			j := *job
			j.Taper = &choice
			a, err := designFor(&j, true)
			if err != nil {
				t.Fatalf("%s, %s: %v", d.Name(), w.name, err)
			}
			for _, s := range render.PlacementSheets(&render.Result{Job: &j, Areas: []render.AreaResult{*a}}, 0) {
				sheets++
				if s.Wordless > 0 {
					t.Errorf("%s, %s, %s: %d rows without words", d.Name(), w.name, s.Name, s.Wordless)
				}
				if err := s.Scene.Check(); err != nil {
					t.Errorf("%s, %s, %s: %v", d.Name(), w.name, s.Name, err)
				}
			}
		}
	}
	if sheets < 30 {
		t.Errorf("%d sheets", sheets)
	}
}
