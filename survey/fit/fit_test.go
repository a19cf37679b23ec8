package fit

import (
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
)

func TestFit_PlaneIsReproduced(t *testing.T) {
	for _, c := range []struct {
		name string
		a    survey.Area
	}{
		{"rectangle", survey.Area{Outline: rect(0, 0, 80, 60)}},
		{"L with a court and a curb", survey.Area{
			Outline: geom.Ring{{X: 0, Y: 0}, {X: 120, Y: 0}, {X: 120, Y: 48}, {X: 72, Y: 48}, {X: 72, Y: 84}, {X: 0, Y: 84}},
			Courts:  []geom.Ring{rect(20, 20, 34, 41)},
			Curbs:   []survey.Curb{{At: geom.Pt{X: 50, Y: 20}, W: 8, D: 6}},
		}},
		{"turned triangle", survey.Area{Outline: geom.Ring{{X: 10, Y: 3}, {X: 90, Y: 40}, {X: 20, Y: 70}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := func(p geom.Pt) float64 { return 1200 + 0.25*p.X - 0.125*p.Y }
			gridShots(&c.a, 9, f)
			s, r := fitOf(t, &c.a, 0)
			if _, worst := misfit(s, r.Surface, f); worst > 1e-9 {
				t.Errorf("a plane is missed by %g in, %+v", worst, r.Scores)
			}
		})
	}
}
