package fit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Shots along a stated valley or ridge of the deck are no blunders, though they stand
// off the surface that bends round them; a blunder there is still found. Shots of two
// planes of 0.3 in/ft every 6 ft, one row on the line, noise of 1/32 in.
func TestScreen_StatedLines(t *testing.T) {
	t.Parallel()
	rng := seeded(t)
	for _, c := range []struct {
		name    string
		inPerFt float64
		stated  bool
		offIn   float64 // of the shot at (36, 24), on the line
		turn    float64
	}{
		{name: "valley", inPerFt: 0.3, stated: true},
		{name: "ridge", inPerFt: -0.3, stated: true},
		{name: "turned valley", inPerFt: 0.3, stated: true, turn: 0.6},
		{name: "valley with a high shot", inPerFt: 0.3, stated: true, offIn: 2},
		{name: "valley with a low shot", inPerFt: 0.3, stated: true, offIn: -2},
		{name: "valley not stated", inPerFt: 0.3},
	} {
		sin, cos := math.Sincos(c.turn)
		turned := func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos} }
		a := survey.Area{Name: "A", Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: turned(geom.Pt{X: 18, Y: 24}), Edge: -1}}}
		if c.inPerFt < 0 {
			a.Outlets[0].At = turned(geom.Pt{X: 18, Y: 2})
		}
		for _, p := range rect(0, 0, 72, 48) {
			a.Outline = append(a.Outline, turned(p))
		}
		if c.stated {
			a.Breaks = [][]geom.Pt{{turned(geom.Pt{Y: 24}), turned(geom.Pt{X: 72, Y: 24})}}
		}
		high := -1
		for y := 0.0; y <= 48; y += 6 {
			for x := 0.0; x <= 72; x += 6 {
				z := 1200 + c.inPerFt*math.Abs(y-24) + rng.NormFloat64()/32
				if x == 36 && y == 24 {
					z, high = z+c.offIn, len(a.Shots)
				}
				a.Shots = append(a.Shots, survey.Shot{ID: fmt.Sprintf("%g-%g", x, y), At: turned(geom.Pt{X: x, Y: y}), Elev: unit.Inches(z)})
			}
		}
		out, found := Screen(&survey.Job{Units: unit.US, Survey: survey.Source{ReadingError: unit.Inches(0.0625)}}, a)
		text := fmt.Sprint(found)
		switch {
		case !c.stated && len(found) == 0: // the stated line is what makes the difference
			t.Errorf("%s: nothing found", c.name)
		case c.stated && c.offIn == 0 && len(found) > 0:
			t.Errorf("%s: %v", c.name, found)
		case c.offIn != 0 && (len(found) != 1 || !strings.Contains(text, a.Shots[high].ID)):
			t.Errorf("%s: shot %s (%q): %v", c.name, a.Shots[high].ID, out.Shots[high].Left, found)
		}
	}
}

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
