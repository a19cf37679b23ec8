package read

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"runnel/survey"
)

// longest is how long one input of the fuzzer may take.
const longest = 20 * time.Second

// checkShot holds a shot to what a reader promises.
func checkShot(t *testing.T, s survey.Shot) {
	t.Helper()
	for _, ft := range []float64{s.At.X, s.At.Y, s.Elev.Feet()} {
		if !(ft >= -3e8 && ft <= 3e8) {
			t.Errorf("shot %+v lies out of bounds", s)
		}
	}
	if s.ID == "" || s.Line < 1 {
		t.Errorf("shot %+v has no name or line", s)
	}
}

func FuzzJob(f *testing.F) {
	f.Add([]byte(soundJob), "taper.slope", "1/4 in/ft")
	f.Add([]byte(soundJob+secondArea("B", 60)), "survey", "none")
	f.Add([]byte("job: {name: a, units: metric}\nsurvey: none\nareas: [{name: A, outline: [[0,0],[1,0],[1,1]], edges: [{edge: 0, kind: open}]}]\n"),
		"rules.mode", "planes")
	f.Add([]byte("a: &a [*a, *a]\n"), "", "")
	f.Add([]byte("? [a]\n: b\n"), "job", "x")
	f.Add([]byte("areas: [{outline: [[1e8,1e8],[-1e8,0],[0,-1e8]]}]\n"), "job.units", "us")
	tied, _ := book(twoSetUps+"  deck_shots: {shots: deck.csv, set_ups: [{id: 9, reading: direct, zero: 95 ft}]}\n", "")
	for _, text := range []string{bookJob("  allowed: 0.02 ft\n  closings: [{on: BM, found: 1 ft, known: 1 ft}]\n"), strings.Replace(tied, "shots.csv", "ties.csv", 1),
		with(soundJob, "  hi: 105 ft\n", "  benchmark: {on: BM1, elevation: 100, rod: 4.503, close: 4.47}\n  photos: [{file: a.jpg, at: [1, 2]}]\n"),
		with(soundJob, "scope: tear-off", "scope: {partial: [[0,0], [9,0], [0,9]]}"),
		with(with(soundJob, "scope: tear-off", "thermal: {required_r: 30, r_rule: least, conductivity: 0.025}\nlines: [{kind: ridge, at: [[0,9], [60,9]]}]\n"+
			"regions: [{outline: [[0,0], [9,0], [0,9]], scheme: one-way, slope: 1:40}]"), "    curbs:", "    breaklines: [[[0,9], [60,9]]]\n"+
			"    joints: [[[9,0], [9,9]]]\n    crickets: [{from: [0,9], to: [60,9], width: 9, on: left, board: 1:20}]\n    curbs:")} {
		f.Add([]byte(text), "survey.date", "2026-11-20")
	}
	f.Fuzz(func(t *testing.T, data []byte, key, value string) {
		fsys := folder("book.csv", loop("3.99"), "places.csv", bookPlaces, "ties.csv", sharedShots("4.98", "4.48", "4.98"),
			"deck.csv", "shot,x,y,rod\nD1,5,5,4.017\nD2,55,5,4.1\n")
		fsys["job.yaml"] = &fstest.MapFile{Data: data}
		begin := time.Now()
		job, found := Job(fsys, "job.yaml", []Setting{{key, value, "flag"}})
		if d := time.Since(begin); d > longest {
			t.Errorf("%d bytes took %v", len(data), d)
		}
		if (job == nil) != (len(found.Faults()) > 0) {
			t.Errorf("job %v with faults %v", job, found.Faults())
		}
		if job == nil {
			return
		}
		for i := range job.Areas {
			a := &job.Areas[i]
			if len(a.Outline) < 3 || len(a.Edges) != len(a.Outline) || len(a.Outlets) == 0 {
				t.Errorf("area %+v is not sound", a)
			}
			survey.SiteOf(a, nil)
			for _, s := range a.Shots {
				checkShot(t, s)
			}
		}
		again(t, job)
	})
}

func BenchmarkJob(b *testing.B) {
	for _, n := range []int{20, 500, 4_000} {
		var ring strings.Builder
		for i := range n / 2 { // a comb of n vertices
			fmt.Fprintf(&ring, "[%.1f,0],[%.1f,%d],", 0.2*float64(2*i), 0.2*float64(2*i+1), 1+i%2)
		}
		text := with(soundJob, "[[0,0], [60,0], [60,40], [0,40]]",
			fmt.Sprintf("[%s[%.1f,40],[0,40]]", ring.String(), 0.2*float64(n)))
		text = with(text, "    courts: [[[40,10], [50,10], [50,20], [40,20]]]\n", "")
		text = with(with(text, "edge: 3, along: 12 ft", fmt.Sprintf("edge: %d, along: 2 ft", n)), "size: [8,6]", "size: [1,1]")
		fsys := folder("job.yaml", with(with(text, "at: [30,20]", "at: [0.2,20]"), "at: [10,30]", "at: [0.6,30]"),
			"shots.csv", "x,y,rod\n0.2,5,4.8\n0.8,8,4.8\n0.4,30,4.9\n",
			"cores.csv", "x,y,thickness\n0.4,25,4 in\n")
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if job, found := Job(fsys, "job.yaml", nil); job == nil {
					b.Fatal(found)
				}
			}
		})
	}
}
