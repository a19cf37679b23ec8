package drainage

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
)

// TestJudge_TwoReadings: two readings with a standard error of 1/8 in each,
// against 1/4 in/ft, at two standard errors of the drop, sqrt(2)/8 in.
func TestJudge_TwoReadings(t *testing.T) {
	limit := Limit{Min: unit.InchesPerFoot(0.25)}
	for _, c := range []struct {
		dropIn, runFt float64
		want          Verdict
	}{
		{5.5, 20, Meets}, {5.0, 20, TooClose}, {4.8, 20, TooClose}, {4.5, 20, FallsShort},
		// Knowable outside 0.2323-0.2677 at 20 ft, 0.2146-0.2854 at 10 and
		// 0.1616-0.3384 at 4: a hair on either side.
		{0.2322 * 20, 20, FallsShort}, {0.2324 * 20, 20, TooClose},
		{0.2676 * 20, 20, TooClose}, {0.2678 * 20, 20, Meets},
		{0.2145 * 10, 10, FallsShort}, {0.2147 * 10, 10, TooClose},
		{0.2853 * 10, 10, TooClose}, {0.2855 * 10, 10, Meets},
		{0.1615 * 4, 4, FallsShort}, {0.1617 * 4, 4, TooClose},
		{0.3383 * 4, 4, TooClose}, {0.3385 * 4, 4, Meets},
	} {
		t.Run(fmt.Sprintf("%.3f in over %g ft", c.dropIn, c.runFt), func(t *testing.T) {
			run := unit.Feet(c.runFt)
			slope := unit.SlopeOf(unit.Inches(c.dropIn), run)
			if got := limit.Judge(slope, SlopeDoubt(0.125, run)); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

// TestJudge_ExactFalls: a fall of exactly 1/4 in/ft meets 1/4 in/ft over any
// run in half feet.
func TestJudge_ExactFalls(t *testing.T) {
	limit := Limit{Min: unit.InchesPerFoot(0.25)}
	for half := 1; half <= 240; half++ {
		run := unit.Feet(float64(half) / 2)
		slope := unit.SlopeOf(unit.Inches(float64(half)/8), run)
		if got := limit.Judge(slope, SlopeDoubt(0, run)); got != Meets {
			t.Errorf("over %g ft: %v", run.Feet(), got)
		}
	}
}

func TestRuleSet(t *testing.T) {
	for _, name := range RuleNames() {
		r, err := RuleSet(survey.RuleChoice{Name: name})
		if err != nil || r.Name != name || r.Edition == "" || r.Mode == survey.UnsetMode ||
			r.Field.Source == "" || r.Valley.Source == "" || r.Pond <= 0 {
			t.Errorf("%s: %+v, %v", name, r, err)
		}
		if r.Mode == survey.EveryPath && r.Valley.Min != r.Field.Min {
			t.Errorf("%s: valleys have a limit of their own", name)
		}
	}
	first, err := RuleSet(survey.RuleChoice{})
	if err != nil || first.Name != "us-reroof" {
		t.Errorf("no name gives %q, %v", first.Name, err)
	}
	own, err := RuleSet(survey.RuleChoice{Name: "own", Mode: survey.EveryPath, Field: unit.InchesPerFoot(0.5)})
	if err != nil || own.Valley.Min.InchesPerFoot() != 0.5 {
		t.Errorf("own: %+v, %v", own, err)
	}
	if _, err := RuleSet(survey.RuleChoice{Name: "us-rerof"}); err == nil || !strings.Contains(err.Error(), "us-reroof-drained") {
		t.Errorf("an unknown set: %v", err)
	}
	if _, err := RuleSet(survey.RuleChoice{Name: "own", Field: unit.InchesPerFoot(0.5)}); err == nil {
		t.Error("own figures without a mode pass")
	}
}

// TestRules_Ratios: 1:80 is 0.15 in/ft and 1/4:12 is 1:48, and a valley of
// equal planes at right angles slopes 1/sqrt(2) of them, so that planes for a
// 1/4 valley slope 0.353553.
func TestRules_Ratios(t *testing.T) {
	metric, err := RuleSet(survey.RuleChoice{Name: "metric-falls"})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "finished fall", metric.Field.Min.Ratio(), 1.0/80, 1e-15)
	us, err := RuleSet(survey.RuleChoice{})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "design slope", us.Field.Min.Ratio(), 1.0/48, 0)
	within(t, "planes that pass", FieldSlopeThatPasses(us.Field.Min).InchesPerFoot(), 0.353553, 1e-6)
	// A mitre between two 1:40 planes is 1:57 and passes 1:80; between two
	// 1:60 planes it is 1:85 and fails.
	for n, want := range map[float64]Verdict{40: Meets, 60: FallsShort} {
		valley := unit.SlopeOfRatio(1 / (n * math.Sqrt2))
		if got := metric.Valley.Judge(valley, 0); got != want {
			t.Errorf("mitre of 1:%g planes: %v, want %v", n, got, want)
		}
	}
}

// TestJudge_EveryPath: a way whose field and whose valleys reach their limits,
// but which as a whole does not, falls short where every path is judged, and
// only there.
func TestJudge_EveryPath(t *testing.T) {
	at := func(inPerFt float64) reading { return reading{10 * inPerFt, 10, inPerFt, inPerFt} }
	for name, want := range map[string]Verdict{"every-path": FallsShort, "us-reroof": Meets} {
		rules, err := RuleSet(survey.RuleChoice{Name: name})
		if err != nil {
			t.Fatal(err)
		}
		c := &check{opt: Options{Rules: rules}}
		if got := c.judge(at(0.3), at(0.26), at(0.2), false); got != want {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
}
