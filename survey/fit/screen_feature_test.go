package fit

import (
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Features of sound roofs, read to 1/8 in every 10 ft: how many of 20 surveys raise
// a note. A dish that one shot alone tells of looks like a misreading of that shot
// and is named as either; along a step a few surveys have a shot named. None is
// left out.
func TestScreen_RealFeatures(t *testing.T) {
	t.Parallel()
	centre := geom.Pt{X: 60, Y: 40}
	for _, c := range []struct {
		name string
		most int
		z    func(p geom.Pt) float64
	}{
		{"a plane", 1, func(p geom.Pt) float64 { return p.X / 4 }},
		{"four planes of 1/4 in/ft to a drain", 1, func(p geom.Pt) float64 {
			return math.Max(math.Abs(p.X-60), math.Abs(p.Y-40)) / 4
		}},
		{"a cone of 1/4 in/ft to a drain", 1, func(p geom.Pt) float64 { return p.Dist(centre) / 4 }},
		{"a sharp ridge of 1/4 in/ft", 1, func(p geom.Pt) float64 { return -math.Abs(p.X-60) / 4 }},
		{"bays that sag 1/2 in over 20 ft", 1, func(p geom.Pt) float64 {
			return p.X/8 - math.Pow(math.Sin(math.Pi*p.X/20), 2)/2
		}},
		{"a step of 2 in at a joint", 6, func(p geom.Pt) float64 {
			if p.X > 62 {
				return p.Y/8 + 2
			}
			return p.Y / 8
		}},
		{"a dish 1-1/2 in deep that one shot tells of", 20, func(p geom.Pt) float64 {
			d := p.Dist(geom.Pt{X: 35, Y: 25})
			return p.X/8 - 1.5*math.Exp(-d*d/(2*16))
		}},
	} {
		rng := seeded(t)
		alarms := map[string]int{}
		noted := 0
		for range 20 {
			a := survey.Area{Name: "A", Outline: rect(0, 0, 120, 80),
				Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: lowest(c.z), Edge: -1}}}
			gridShots(&a, 10, func(p geom.Pt) float64 { return 1200 + c.z(p) + rng.NormFloat64()/8 })
			job := &survey.Job{Units: unit.US, Survey: survey.Source{ReadingError: unit.Inches(0.125)}}
			out, found := Screen(job, a)
			for _, s := range out.Shots {
				if s.Left != "" {
					t.Errorf("%s: shot %s is left out: %s", c.name, s.ID, s.Left)
				}
			}
			if len(found) > 0 {
				noted++
			}
			for _, p := range found {
				alarms[strings.Join(strings.Fields(p.Why)[:3], " ")+"... "+p.Value]++
			}
		}
		t.Logf("%-40s %2d of 20 surveys raise a note: %v", c.name, noted, alarms)
		if noted > c.most {
			t.Errorf("%s: %d of 20 surveys raise a note, want %d at most", c.name, noted, c.most)
		}
	}
}

// lowest is the lowest place of a roof of 120 x 80 ft, in steps of 5 ft.
func lowest(z func(geom.Pt) float64) (at geom.Pt) {
	low := math.Inf(1)
	for y := 5.0; y < 80; y += 5 {
		for x := 5.0; x < 120; x += 5 {
			if p := (geom.Pt{X: x, Y: y}); z(p) < low {
				at, low = p, z(p)
			}
		}
	}
	return at
}

// TestScreen_RidgeAndDrainOnly: a row of ridge shots and a row by the drains, far
// apart, are told whatever the gap does to the spacing over all; two levels with a
// step between them, read all over, and the fields between read once, are not.
func TestScreen_RidgeAndDrainOnly(t *testing.T) {
	row := func(a *survey.Area, n int, stepFt, y, zIn float64) {
		for k := range n {
			addShot(a, geom.Pt{X: stepFt/2 + stepFt*float64(k), Y: y}, zIn)
		}
	}
	for _, c := range []struct {
		name string
		lay  func(a *survey.Area)
		want bool
	}{
		{"six on the ridge, three at drains 37 ft off", func(a *survey.Area) { row(a, 6, 10, 40, 1212); row(a, 3, 20, 3, 1200) }, true},
		{"the same with a row between", func(a *survey.Area) {
			row(a, 6, 10, 40, 1212)
			row(a, 6, 10, 22, 1206)
			row(a, 3, 20, 3, 1200)
		}, false},
		{"two levels, read every 10 ft", func(a *survey.Area) {
			for y := 5.0; y < 45; y += 10 {
				row(a, 6, 10, y, 1200+12*math.Floor(y/25))
			}
		}, false},
	} {
		a := survey.Area{Name: "A", Outline: rect(0, 0, 60, 45)}
		c.lay(&a)
		_, found := Screen(&survey.Job{Units: unit.US, Survey: survey.Source{ReadingError: unit.Inches(0.125)}}, a)
		told := false
		for _, p := range found {
			told = told || strings.Contains(p.Why, "only ridge and drain were read")
		}
		if told != c.want {
			t.Errorf("%s: told %v, want %v: %v", c.name, told, c.want, found)
		}
	}
}
