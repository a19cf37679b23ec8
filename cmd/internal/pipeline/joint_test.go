package pipeline

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// TestJointIsNotCrossed: on a deck with waves of 1/4 in as surveyed, no path of
// the finished surface gets to the other side of a square expansion joint, under
// either scheme, and all of them reach the drain on their own side. A slant one,
// which a field along the axes runs water across, is told.
// The waves slope 1/4 in x 2 pi / 30 ft = 0.05 in/ft at most, less than the field
// (mathematics), so that the field's ridge at the joint holds. The slant joint is
// crossed beyond the crickets' tips, 21-1/2 ft off the low line at either end: 2 x 8.5
// ft square to it, times sqrt(10)/3, is 17.919 ft.
func TestJointIsNotCrossed(t *testing.T) {
	waves := func(p geom.Pt) float64 {
		return 0.125 * (math.Sin(2*math.Pi*p.X/30) + math.Cos(2*math.Pi*p.Y/30))
	}
	for _, c := range []struct {
		scheme, joint string
		from, to      geom.Pt
		crossed       string // how much of it is told to be
	}{
		{"four-way", "[[50,0], [50,60]]", geom.Pt{X: 50}, geom.Pt{X: 50, Y: 60}, ""},
		{"two-way-crickets", "[[50,0], [50,60]]", geom.Pt{X: 50}, geom.Pt{X: 50, Y: 60}, ""},
		{"two-way-crickets", "[[50,0], [70,60]]", geom.Pt{X: 50}, geom.Pt{X: 70, Y: 60}, "17'-11 1/16\", first at x 50.0 ft, y 0.0 ft"},
	} {
		job := written(t, "job: {name: Plover works, units: us}\n"+shotAt+"rules: us-reroof\n"+
			"taper: {scheme: "+c.scheme+", slope: 1/4 in/ft, start: 1/2 in, base: none}\n"+
			"areas:\n  - name: A\n    outline: [[0,0], [120,0], [120,60], [0,60]]\n    joints: ["+c.joint+"]\n    outlets:\n"+
			"      - {id: D1, kind: drain, at: [30,30], size: 4 in, state: works, reset: yes}\n"+
			"      - {id: D2, kind: drain, at: [90,30], size: 4 in, state: works, reset: yes}\n", 120, 60, 5, waves)
		a, err := designOf(job)
		if err != nil {
			t.Errorf("%s, joint %s: %v", c.scheme, c.joint, err)
			continue
		}
		told := ""
		for _, n := range a.Design.Notes {
			if strings.HasPrefix(n, "water of the field crosses joint 1 of area A over ") {
				told = n
			}
		}
		if (told != "") != (c.crossed != "") || !strings.Contains(told, c.crossed) {
			t.Errorf("%s, joint %s: told %q, want %q", c.scheme, c.joint, told, c.crossed)
		}
		if c.crossed != "" {
			continue
		}
		sideOf := func(p geom.Pt) float64 { // in feet, left of the joint is more than 0
			return c.to.Sub(c.from).Cross(a.Site.Frame.ToJob(p).Sub(c.from)) / c.to.Dist(c.from)
		}
		drain := map[string]float64{}
		for _, o := range a.Site.Outlets {
			drain[o.ID] = sideOf(o.P)
		}
		judged := 0
		for _, p := range a.Proof.Report.Paths {
			if math.Abs(sideOf(p.Points[0])) < survey.LatticeOf(a.Site, 0).CellFt {
				continue // it starts on the joint
			}
			judged++
			end, ok := drain[p.EndsAt]
			if !ok || end*sideOf(p.Points[0]) < 0 {
				t.Errorf("%s, joint %s: a path from %v ends at %s", c.scheme, c.joint, a.Site.Frame.ToJob(p.Points[0]), p.EndsAt)
			}
		}
		if judged < 20 {
			t.Errorf("%s, joint %s: only %d paths", c.scheme, c.joint, judged)
		}
		for _, l := range a.Design.Lines {
			if l.Kind == taper.Valley && sideOf(l.A)*sideOf(l.B) < -1e-6 {
				t.Errorf("%s, joint %s: a valley crosses it", c.scheme, c.joint)
			}
		}
	}
}
