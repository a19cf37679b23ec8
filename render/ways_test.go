package render

import (
	"slices"
	"testing"

	"runnel/drainage"
	"runnel/survey/unit"
)

// TestWays_Words: valleys, backfalls and curbs in the way in the words of the
// report, in both systems.
func TestWays_Words(t *testing.T) {
	us, metric := say{unit.US}, say{unit.Metric}
	rules := drainage.Rules{Valley: drainage.Limit{Min: unit.InchesPerFoot(0.125)}}
	valleys := []drainage.Valley{
		{ID: "V1", LengthFt: 30, Least: unit.InchesPerFoot(0.1768), Verdict: drainage.Meets, EndsAt: "D1"},
		{ID: "V2", LengthFt: 20, Least: unit.InchesPerFoot(0.0625), Verdict: drainage.FallsShort, EndsAt: "V1", AtWall: true},
	}
	curb := drainage.Obstacle{Curb: "U1", Slope: unit.InchesPerFoot(0.25), Width: unit.Feet(8), Cricket: true,
		Paths: []string{"F1"}, Pond: "P2"}
	got := append([]string{us.valleys(valleys, rules), us.obstacle(curb), metric.obstacle(curb)},
		us.backfalls([]drainage.Backfall{
			{Edge: 2, Court: -1, LengthFt: 34, Toward: unit.InchesPerFoot(0.125), Pond: "P1"},
			{Edge: -1, Court: 0, LengthFt: 12, Pond: "P3"},
		})...)
	want := []string{
		"2 valleys, 50'-0\" in all; the flattest, V2, slopes 1/16 in/ft at the least along 20'-0\" of a wall to V1. " +
			"Of 1/8 in/ft for valleys: 1 falls short, 1 meets.",
		"U1 is 8'-0\" wide across a slope of 1/4 in/ft: 1 path runs into it and round it; P2 stands at its uphill side. " +
			"Over 30\" wide a cricket is wanted upslope of it (IBC 1503.6 (2015), 1503.5 (2021 family)).",
		"U1 is 2.438 m wide across a slope of 1:48: 1 path runs into it and round it; P2 stands at its uphill side. " +
			"Over 760 mm wide a cricket is wanted upslope of it (IBC 1503.6 (2015), 1503.5 (2021 family)).",
		"Water runs toward edge 2 along 34'-0\", at 1/8 in/ft over the last 4'-0\"; P1 stands there.",
		"P3 stands at court 0 along 12'-0\".",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%q\nwant\n%q", got, want)
	}
}
