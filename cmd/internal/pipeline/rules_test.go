package pipeline

import (
	"strings"
	"testing"

	"runnel/drainage"
	"runnel/render"
	"runnel/survey"
	"runnel/survey/unit"
)

// judgedBy is the finding of a rule on a design.
func judgedBy(t *testing.T, all []drainage.Finding, rule string) drainage.Finding {
	t.Helper()
	for n := range all {
		if err := all[n].Check(); err != nil {
			t.Error(err)
		}
	}
	for _, f := range all {
		if f.Rule == rule {
			return f
		}
	}
	t.Fatalf("no finding of %s in %+v", rule, all)
	return drainage.Finding{}
}

// TestDesignFall: BS 6229:2018 designs 1:40 so that 1:80 is finished. A design
// of 1:40 meets both, one of 1:60 is finished steep enough in its field but falls
// short of the slope to design for, and its valleys, 1:85 between equal planes,
// of the finished one.
func TestDesignFall(t *testing.T) {
	for n, want := range map[float64][3]drainage.Verdict{
		40: {drainage.Meets, drainage.Meets, drainage.Meets},
		60: {drainage.FallsShort, drainage.Meets, drainage.FallsShort},
	} {
		job := *readJob(t, "plan-only")
		job.Rules = survey.RuleChoice{Name: "metric-falls"}
		choice := *job.Taper
		choice.Slope, choice.Scheme, choice.Start = unit.SlopeOfRatio(1/n), survey.FourWay, unit.Millimetres(20)
		job.Taper, job.Units, job.Stock = &choice, unit.Metric, nil
		r := runJob(t, &job)
		p := r.Areas[0].Proof
		for i, rule := range []string{"design", "field", "valley"} {
			f := judgedBy(t, p.Judged, rule)
			if f.Verdict != want[i] || f.Rules != "metric-falls" || f.Doubt != nil {
				t.Errorf("1:%g, %s: %+v", n, rule, f)
			}
		}
		var text strings.Builder
		if err := render.WriteText(&text, r); err != nil {
			t.Fatal(err)
		}
		if line := "design: needs 1:40 (metric-falls), "; !strings.Contains(text.String(), line) {
			t.Errorf("1:%g: the report lacks %q", n, line)
		}
	}
}
