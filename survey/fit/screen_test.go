package fit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// dished is an 80 x 60 ft roof that falls 1/8 in/ft from all sides to a drain
// in the middle, with a curb and a court, read every 10 ft to 1/8 in.
func dished(t *testing.T) survey.Area {
	t.Helper()
	rng := seeded(t)
	a := survey.Area{Name: "A", Outline: rect(0, 0, 80, 60), Courts: []geom.Ring{rect(52, 12, 63, 18)},
		Curbs:   []survey.Curb{{ID: "U1", At: geom.Pt{X: 20, Y: 20}, W: 8, D: 6}},
		Outlets: []survey.Outlet{{ID: "D1", Kind: survey.Drain, At: geom.Pt{X: 40, Y: 30}, Edge: -1}}}
	gridShots(&a, 10, func(p geom.Pt) float64 { return 1200 + fall(p) + 0.06*rng.NormFloat64() })
	addShot(&a, geom.Pt{X: 40, Y: 30.5}, 1199) // on the drain's rim, in a sump
	return a
}

func fall(p geom.Pt) float64 { return math.Max(math.Abs(p.X-40), math.Abs(p.Y-30)) / 8 }

func TestScreen_CleanRoofHasNoFindings(t *testing.T) {
	a := dished(t)
	out, found := screenUS(a)
	if len(found) > 0 {
		t.Errorf("findings on a clean roof: %v", found)
	}
	for _, s := range out.Shots {
		if s.Left != "" {
			t.Errorf("shot %s left out of a clean roof: %s", s.ID, s.Left)
		}
	}
}

func TestScreen_Blunders(t *testing.T) {
	at := func(x, y, z float64) func(a *survey.Area) {
		return func(a *survey.Area) { addShot(a, geom.Pt{X: x, Y: y}, z) }
	}
	for _, c := range []struct {
		name  string
		do    func(a *survey.Area)
		left  int    // shots left out
		says  string // a part of the first note
		notes int    // beside one a shot: a gap where it stood
	}{
		{"outside the outline", at(85, 30, 1203), 1, "outside the outline of area A", 0},
		{"on the outline to a taping error", at(80.1, 30, 1205), 0, "", 0},
		{"in the court", at(57, 15, 1204), 1, "court 1", 0},
		{"on the curb", at(20, 20, 1214), 1, "curb U1", 0},
		{"at the foot of the curb", at(16.1, 20, 1203), 0, "", 0},
		{"the same line twice", func(a *survey.Area) { a.Shots = append(a.Shots, a.Shots[7]) }, 1, "counted once", 0},
		{"one place read twice, half an inch apart", func(a *survey.Area) {
			addShot(a, a.Shots[7].At, a.Shots[7].Elev.Inches()+0.5)
		}, 2, `differs by 1/2"`, 1},
		{"in the drain's bowl", at(40.3, 30, 1196), 1, "stands in the bowl of drain D1", 0},
		{"a dropped foot in the field", func(a *survey.Area) { a.Shots[18].Elev -= unit.Foot }, 1, "as if a foot was misread", 0},
		{"a dropped foot in a corner", func(a *survey.Area) { a.Shots[0].Elev += unit.Foot }, 1, "above what its neighbours say", 1},
		{"two dropped feet side by side", func(a *survey.Area) {
			a.Shots[18].Elev += unit.Foot
			a.Shots[19].Elev += unit.Foot
		}, 2, "above what its neighbours say", 0},
		{"5.4 ft read as 5 ft 4 in", func(a *survey.Area) { a.Shots[30].Elev += unit.Feet(5.4 - 5 - 4.0/12 + 0.4) }, 1, "above", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := dished(t)
			c.do(&a)
			before := fmt.Sprint(a.Shots)
			out, found := screenUS(a)
			if fmt.Sprint(a.Shots) != before {
				t.Error("the argument was changed")
			}
			left := 0
			for _, s := range out.Shots {
				if s.Left != "" {
					left++
				}
			}
			if left != c.left || len(found) != c.left+c.notes {
				t.Errorf("%d shots left out with %d notes, want %d: %v", left, len(found), c.left, found)
			}
			if len(found.Faults()) > 0 {
				t.Errorf("faults: %v", found.Faults())
			}
			if c.left == 0 {
				return
			}
			if text := found[0].Error(); !strings.Contains(text, c.says) || !strings.HasPrefix(text, "shots.csv:") ||
				found[0].Mend == "" {
				t.Errorf("note %q: want it to say %q, with file and line and mend", text, c.says)
			}
		})
	}
}

func TestScreen_DrainsHigh(t *testing.T) {
	a := dished(t)
	for i := range a.Shots { // rod readings taken for elevations
		a.Shots[i].Elev = unit.Inches(2400) - a.Shots[i].Elev
	}
	out, found := screenUS(a)
	if len(out.Doubts) != 1 || !strings.Contains(out.Doubts[0].Why, "the drains come out among the highest") {
		t.Errorf("a roof upside down is in doubt for %v", out.Doubts)
	}
	if last := found[len(found)-1]; !strings.Contains(last.Error(), "rod readings taken for elevations") ||
		last.Grade != problem.Note || len(found) != 1 {
		t.Errorf("a roof upside down: %v", found)
	}
	a = dished(t)
	a.Outlets[0].At = geom.Pt{X: 40, Y: 30}
	a.Shots = a.Shots[:16] // only the lower two rows
	_, found = screenUS(a)
	if len(found) != 3 || !strings.Contains(found[0].Error(), `drain "D1": the nearest shot is`) ||
		!strings.Contains(found[1].Error(), "a gap in the shots") {
		t.Errorf("a drain without shots: %v", found)
	}
}

func TestScreen_Faults(t *testing.T) {
	for _, c := range []struct {
		name string
		pts  []geom.Pt
		says string
	}{
		{"no shot", nil, "0 of its 0 shots"},
		{"two", []geom.Pt{{X: 1, Y: 1}, {X: 20, Y: 20}}, "2 of its 2 shots"},
		{"in a line", []geom.Pt{{X: 1, Y: 1}, {X: 20, Y: 20}, {X: 30, Y: 30}, {X: 45, Y: 45}}, "on one line"},
		{"three, one outside", []geom.Pt{{X: 1, Y: 1}, {X: 20, Y: 25}, {X: -30, Y: 30}}, "2 of its 3 shots"},
	} {
		a := survey.Area{Name: "B", Outline: rect(0, 0, 80, 60)}
		for _, p := range c.pts {
			addShot(&a, p, 0)
		}
		_, found := screenUS(a)
		if f := found.Faults(); len(f) != 1 || !strings.Contains(f[0].Error(), c.says) {
			t.Errorf("%s: %v", c.name, found)
		}
	}
}

// A readings file with one column exchanged does not fill the screen.
func TestScreen_ManyFindingsAreCounted(t *testing.T) {
	a := dished(t)
	for i := range 300 {
		addShot(&a, geom.Pt{X: -50, Y: float64(i)}, 1200)
	}
	out, found := screenUS(a)
	left := 0
	for _, s := range out.Shots {
		if s.Left != "" {
			left++
		}
	}
	if left != 300 || len(found) != mostListed+1 || !strings.Contains(found[mostListed].Error(), "280 more") {
		t.Errorf("%d left out, %d notes", left, len(found))
	}
}
