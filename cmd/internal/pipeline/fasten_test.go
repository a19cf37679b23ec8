package pipeline

import (
	"math"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

func screwedDown() survey.Fastening {
	return survey.Fastening{Attach: survey.Screws, Embed: 0.75 * unit.Inch, Step: unit.Inch, Plates: []unit.Length{unit.Foot, 3 * unit.Foot},
		PerBoard: survey.ByZone[int]{Field: 8, Perimeter: 12, Corner: 14}, Zones: survey.ZoneChoice{By: survey.ZonesByHeight, Height: 15 * unit.Foot}}
}

// Turned, mirrored and shifted, a roof has the same screws of the same lengths, row by row, and the same zones.
func TestFastening_TurnedMirroredShifted(t *testing.T) {
	for _, name := range []string{"heron-wharf", "bare-rectangle"} {
		job := readJob(t, name)
		c := screwedDown()
		job.Fastening = &c
		turn := geom.Frame{Origin: geom.Pt{X: 311.7, Y: -87.3}, Turn: 0.7, Mirror: true}
		want, got := runJob(t, job), runJob(t, moved(job, turn.ToJob, true, 0))
		for i := range want.Areas {
			a, b := want.Areas[i].Fastening, got.Areas[i].Fastening
			if a.Total() == 0 || len(a.Ways) != 4 {
				t.Fatalf("%s: %d screws, ways %v", name, a.Total(), a.Ways)
			}
			for n, z := range a.Zones.Areas {
				near(t, z.Zone.String(), b.Zones.Areas[n].SqFt, z.SqFt)
			}
			if len(a.Screws) != len(b.Screws) {
				t.Fatalf("%s: %d lines, turned %d", name, len(a.Screws), len(b.Screws))
			}
			for n := range a.Ways {
				for k, x := range a.Ways[n].Lengths {
					if y := b.Ways[n].Lengths[k]; x.Screws != y.Screws || math.Abs((x.Length-y.Length).Inches()) > 1e-9 {
						t.Errorf("%s, %s: %v, turned %v", name, a.Ways[n].Name, x, y)
					}
				}
			}
		}
	}
}

// On roofs of the zoo zones make up the outline less courts, and with one screw a square foot every square foot
// has one, whether crickets lie over it or not, and no piece has more than two too many.
func TestFastening_Zoo(t *testing.T) {
	for _, name := range lawRoofs {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			job := zooJob(t, name)
			choice := *job.Taper
			job.Taper = &choice
			for _, choice.Scheme = range []survey.Scheme{survey.FourWay, survey.TwoWayCrickets} {
				a, err := designOf(job)
				if err != nil {
					t.Fatal(err)
				}
				screwedOnce(t, a)
			}
		})
	}
}

func screwedOnce(t *testing.T, a *render.AreaResult) {
	t.Helper()
	c := screwedDown()
	c.PerBoard = survey.ByZone[int]{}
	c.AreaEach = survey.ByZone[unit.Area]{Field: unit.SquareFoot, Perimeter: unit.SquareFoot, Corner: unit.SquareFoot}
	f, err := taper.FasteningOf(taper.FastenIn{Site: a.Site, Design: a.Design, Choice: c})
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, z := range f.Zones.Areas {
		sum += z.SqFt
	}
	near(t, "zones", sum, a.Site.Poly().Area())
	roof, n := a.Site.RoofArea().SquareFeet(), float64(f.Total())
	if n < roof*0.999 || n > roof+2*float64(len(a.Design.Boards)) {
		t.Errorf("%v screws on %v sq ft, %d pieces", n, roof, len(a.Design.Boards))
	}
	for _, l := range f.Screws {
		if most := a.Design.Insulation.ThickestIn + 0.01; l.Thick > unit.Inches(most)+a.Design.Cover {
			t.Errorf("a plate on %v in, thickest %v", l.Thick.Inches(), most)
		}
	}
}

// BenchmarkFastening counts the screws of the largest roof of the zoo with zones; compare with laying its boards.
func BenchmarkFastening(b *testing.B) {
	job := zooJob(b, "twelve-drains")
	a, err := designOf(job)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := taper.FasteningOf(taper.FastenIn{Site: a.Site, Design: a.Design, Choice: screwedDown()}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(a.Design.Boards)), "pieces")
}
