package drainage

import (
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
)

// TestDesignFinding_Reads: every finding ends a sentence that begins "the
// surface is".
func TestDesignFinding_Reads(t *testing.T) {
	sixth := unit.InchesPerFoot(0.16)
	path := func(v Verdict, field, valley unit.Slope) Path {
		return Path{Verdict: v, LeastField: field, LeastValley: valley}
	}
	none, third := unit.InchesPerFoot(-1), unit.InchesPerFoot(0.33)
	mixed := []Path{path(FallsShort, sixth, none), path(Meets, third, none), path(Unknown, sixth, none)}
	for _, c := range []struct {
		name, rules string
		r           Report
		sys         unit.System
		want        string
	}{
		{"meets", "us-reroof", Report{MeetsDesign: Meets}, unit.US, "at or over the design slope of 1/4 in/ft"},
		{"meets, metric", "metric-falls", Report{MeetsDesign: Meets}, unit.Metric, "at or over the design slope of 1:80"},
		{"too close", "us-reroof", Report{MeetsDesign: TooClose}, unit.US,
			"too close to the design slope of 1/4 in/ft to call"},
		{"unknown", "us-reroof", Report{}, unit.US, "of unknown slope"},
		{"falls short", "us-reroof", Report{MeetsDesign: FallsShort, Paths: mixed}, unit.US,
			"below the design slope of 1/4 in/ft on 1 of 3 paths"},
		{"falls short in valleys only", "every-path",
			Report{MeetsDesign: FallsShort, Paths: []Path{path(FallsShort, third, sixth)}}, unit.US,
			"below the design slope of 1/4 in/ft on 1 of 1 paths, all in valleys: by geometry, equal planes " +
				"would have to slope 0.354 in/ft for their valleys to reach it"},
		{"falls short, but dry", "us-reroof-drained",
			Report{MeetsDesign: FallsShort, PondsFree: Meets, Paths: mixed}, unit.US,
			"below the design slope of 1/4 in/ft on 1 of 3 paths; it holds no water, so the re-roof exception " +
				"(IBC 2021 family 1512.1 Exc. 1) may apply where it is dry 48 h after rain: taper is optional"},
		{"falls short by other means than paths", "us-reroof",
			Report{MeetsDesign: FallsShort, Paths: []Path{path(Meets, third, none)}}, unit.US,
			"below the design slope of 1/4 in/ft"},
	} {
		t.Run(c.name, func(t *testing.T) {
			rules, err := RuleSet(survey.RuleChoice{Name: c.rules})
			if err != nil {
				t.Fatal(err)
			}
			if got := c.r.DesignFinding(rules, c.sys); got != c.want {
				t.Errorf("the surface is %s\nwant %s", got, c.want)
			}
		})
	}
}

// TestWaterFinding_Reads: every finding ends a sentence that begins "the roof".
func TestWaterFinding_Reads(t *testing.T) {
	for _, c := range []struct {
		name  string
		ponds []Pond
		want  string
	}{
		{"dry", nil, "holds no water worth reporting"},
		{"one pond", []Pond{{ID: "P1", DepthIn: 1.375}}, `holds water up to 1 3/8" deep`},
		{"closed in, though not the deepest", []Pond{{ID: "P1", DepthIn: 2}, {ID: "P2", DepthIn: 1.5, ClosedIn: true}},
			`holds water at least 1 1/2" deep (P2), until a wall or an overflow lets it go: no outlet that works takes it`},
	} {
		r := Report{Ponds: c.ponds}
		if got := r.WaterFinding(unit.US); got != c.want {
			t.Errorf("%s: the roof %s\nwant %s", c.name, got, c.want)
		}
	}
}
