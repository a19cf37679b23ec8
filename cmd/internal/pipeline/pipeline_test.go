package pipeline

import (
	"testing"

	"runnel/survey/unit"
)

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
