package pipeline

import (
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

// lawRoofs are the roofs of the zoo that are turned, mirrored and shifted with their shots: legs
// of unlike length, a court, a turned curb, a deck of two planes.
var lawRoofs = []string{"ell", "courtyard", "curb-turned", "deck-ridge-drains"}

// TestZoo_Laws: turning by a quarter and by 37 degrees, mirroring and shifting a
// roof of the zoo change no verdict and no count, with and without crickets; but
// for the odd angle, where the shots' own rounding turns with them, no pond figure
// changes by more than 1e-6.
func TestZoo_Laws(t *testing.T) {
	for _, name := range lawRoofs {
		if testing.Short() && name != "ell" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			job := zooJob(t, name)
			choice := *job.Taper
			job.Taper = &choice
			for _, choice.Scheme = range []survey.Scheme{survey.FourWay, survey.TwoWayCrickets} {
				zooObeys(t, job)
			}
		})
	}
}

// zooObeys holds one way of laying one roof to the laws.
func zooObeys(t *testing.T, job *survey.Job) {
	t.Helper()
	want, err := designOf(job)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range moves[:3] {
		got, err := designOf(moved(job, m.f, m.mirror, m.rise))
		if err != nil {
			t.Fatalf("%v, %s: %v", job.Taper.Scheme, m.story, err)
		}
		sameArea(t, got, want)
		if t.Failed() {
			t.Fatalf("%v, %s", job.Taper.Scheme, m.story)
		}
	}
	got, err := designOf(moved(job, turned37, false, 0))
	if err != nil {
		t.Fatal(err)
	}
	sameCounts(t, got, want)
	if g, w := got.Proof.Report, want.Proof.Report; len(g.Ponds) != len(w.Ponds) || g.PondsFree != w.PondsFree || g.MeetsDesign != w.MeetsDesign {
		t.Errorf("%d ponds, %v, %v, want %d, %v, %v", len(g.Ponds), g.PondsFree, g.MeetsDesign, len(w.Ponds), w.PondsFree, w.MeetsDesign)
	}
	if t.Failed() {
		t.Fatalf("%v, turned by 37 degrees", job.Taper.Scheme)
	}
}

// turned37 turns by 37 degrees; curbs are told from the building axes and turn along.
func turned37(p geom.Pt) geom.Pt {
	s, c := math.Sincos(37 * math.Pi / 180)
	return geom.Pt{X: p.X*c - p.Y*s, Y: p.X*s + p.Y*c}
}
