package pipeline

import (
	"testing"

	"runnel/drainage"
	"runnel/survey/unit"
	"runnel/taper/ladder"
)

// TestRung: two findings, water and slope, and what follows from them. That a
// roof under the slope may stay as it is where it drains is the re-roof
// exception of the model codes (IBC 2021 family 1512.1, exception 1).
func TestRung(t *testing.T) {
	cases := []struct {
		story        string
		water, slope drainage.Verdict
		exception    bool
		want         ladder.Rung
	}{
		{"holds water", drainage.FallsShort, drainage.Meets, false, ladder.Taper},
		{"holds water, with the exception", drainage.FallsShort, drainage.FallsShort, true, ladder.Taper},
		{"dry but flat", drainage.Meets, drainage.FallsShort, false, ladder.Taper},
		{"dry but flat, with the exception", drainage.Meets, drainage.FallsShort, true, ladder.DrainsAsIs},
		{"flat, water too close to call", drainage.TooClose, drainage.FallsShort, false, ladder.Taper},
		{"flat, water too close to call, with the exception", drainage.TooClose, drainage.FallsShort, true, ladder.Unknown},
		{"dry and steep enough", drainage.Meets, drainage.Meets, false, ladder.DrainsAsIs},
		{"dry, slope too close to call", drainage.Meets, drainage.TooClose, false, ladder.Unknown},
		{"steep enough, water not known", drainage.Unknown, drainage.Meets, false, ladder.Unknown},
		{"nothing known", drainage.Unknown, drainage.Unknown, false, ladder.Unknown},
	}
	for _, c := range cases {
		t.Run(c.story, func(t *testing.T) {
			rules, err := drainage.RuleSet(readJob(t, "plan-only").Rules)
			if err != nil {
				t.Fatal(err)
			}
			rules.DrainedException = c.exception
			r := &drainage.Report{PondsFree: c.water, MeetsDesign: c.slope}
			if got, why := rung(r, rules, unit.US); got != c.want || why == "" {
				t.Errorf("rung %v because %q, want %v", got, why, c.want)
			}
		})
	}
}

// TestMetricRun: a metric roof of 10 m to the edge is 250 mm thicker there at
// 1:40, 167 at 1:60, 125 at 1:80 (10 000 mm over 40, 60 and 80).
func TestMetricRun(t *testing.T) {
	for _, c := range []struct {
		slope  unit.Slope
		riseMM float64
	}{{unit.SlopeOfRatio(1.0 / 40), 250}, {unit.SlopeOfRatio(1.0 / 60), 166.6667}, {unit.SlopeOfRatio(1.0 / 80), 125}} {
		job := *readJob(t, "plan-only")
		taperChoice := *job.Taper
		taperChoice.Slope, taperChoice.Start = c.slope, unit.Millimetres(20)
		job.Units, job.Taper, job.Stock = unit.Metric, &taperChoice, nil
		a := job.Areas[0]
		for i, p := range a.Outline { // 60 x 40 ft to 20 x 20 m
			p.X, p.Y = p.X/60*unit.Metres(20).Feet(), p.Y/40*unit.Metres(20).Feet()
			a.Outline[i] = p
		}
		a.Outlets[0].At = a.Outline[0].Lerp(a.Outline[2], 0.5)
		job.Areas = append(job.Areas[:0:0], a)
		r := runJob(t, &job)
		in := r.Areas[0].Design.Insulation
		near(t, "rise mm", unit.Inches(in.ThickestIn-in.ThinnestIn).Millimetres(), c.riseMM)
	}
}
