package pipeline

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/read"
	"runnel/survey/unit"
	"runnel/taper"
)

// issuedRows are the rows of a run, read from its rows.csv.
func issuedRows(t *testing.T, job *survey.Job, a *render.AreaResult) []survey.LaidRow {
	t.Helper()
	var b bytes.Buffer
	if err := render.WriteRowsCSV(&b, &render.Result{Job: job, Areas: []render.AreaResult{*a}}); err != nil {
		t.Fatal(err)
	}
	l, found := read.LaidRows(bytes.NewReader(b.Bytes()), "laid.csv", []string{a.Area.Name})
	if len(found) > 0 || len(l.OnHand) > 0 {
		t.Fatalf("problems %v, %d on hand", found, len(l.OnHand))
	}
	lines, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(lines)-1 != len(l.Rows) {
		t.Fatalf("%d rows of %d lines, %v", len(l.Rows), len(lines)-1, err)
	}
	return l.Rows
}

// downward is some rows and all that lie under them, by their boxes.
func downward(rows []survey.LaidRow, some func(n int) bool) []survey.LaidRow {
	box := func(r survey.LaidRow) geom.Box {
		var all []geom.Pt
		for _, p := range r.Outline {
			all = append(all, p.Outer...)
		}
		return geom.BoxOf(all...)
	}
	down := make([]bool, len(rows))
	for n := len(rows) - 1; n >= 0; n-- { // layers stand in order
		down[n] = down[n] || some(n)
		for k := range n {
			down[k] = down[k] || down[n] && rows[k].Layer < rows[n].Layer && box(rows[k]).Overlaps(box(rows[n]))
		}
	}
	var out []survey.LaidRow
	for n, r := range rows {
		if down[n] {
			out = append(out, r)
		}
	}
	return out
}

// withLaid is a job with rows that are down on its first area.
func withLaid(job *survey.Job, rows []survey.LaidRow, onHand ...survey.OnHand) *survey.Job {
	out := *job
	out.Areas = slices.Clone(job.Areas)
	out.Areas[0].Laid, out.Areas[0].OnHand = rows, onHand
	return &out
}

// Rows of the very design that are down change no total: their pieces and the rest
// are all pieces, and so with board feet, whichever rows lie, on roofs of every
// kind. All of them leave nothing to order.
func TestLaid_SameDesign(t *testing.T) {
	dress := func(job *survey.Job) *survey.Job {
		out := *job
		c := *job.Taper
		c.Base, c.Cover = survey.BaseChoice{Layers: 2, Thickness: 2 * unit.Inch}, unit.Inches(0.5)
		out.Taper = &c
		return &out
	}
	for _, name := range []string{"courtyard", "curb-in-valley", "gutter-slant", "turned", "twin-drains", "round", "deck-valley", "curb-turned", "scuppers-one-wall"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			job, found := read.Job(os.DirFS("../../../testdata/zoo/"+name), "job.yaml", nil)
			if err := found.Err(); err != nil {
				t.Fatal(err)
			}
			job = dress(job)
			all, err := designFor(job, true)
			if err != nil {
				t.Fatal(err)
			}
			rows := issuedRows(t, job, all)
			rnd := rand.New(rand.NewPCG(7, uint64(len(name))))
			for _, share := range []float64{0.01, 0.03, 1} {
				down := downward(rows, func(int) bool { return rnd.Float64() < share })
				if len(down) == 0 {
					continue
				}
				rest, err := designFor(withLaid(job, down), true)
				if err != nil {
					t.Fatalf("%d of %d rows down: %v", len(down), len(rows), err)
				}
				sameTotals(t, fmt.Sprintf("%d of %d rows down", len(down), len(rows)), all.Design, rest.Design)
				if left := len(issuedRowsOrNone(t, job, rest)); left != len(rows)-len(down) {
					t.Errorf("%d of %d rows down, %d left", len(down), len(rows), left)
				}
			}
		})
	}
}

func issuedRowsOrNone(t *testing.T, job *survey.Job, a *render.AreaResult) []survey.LaidRow {
	if len(a.Design.Boards) == 0 {
		return nil
	}
	return issuedRows(t, job, a)
}

// sameTotals holds rows that are down and the rest to be the whole.
func sameTotals(t *testing.T, what string, all, rest *taper.Design) {
	t.Helper()
	l := rest.Laid
	if got := l.Pieces() + len(rest.Boards); got != len(all.Boards) {
		t.Errorf("%s: %d pieces, want %d", what, got, len(all.Boards))
	}
	if got, want := l.BoardFeet+rest.Totals.BoardFeet, all.Totals.BoardFeet; math.Abs(got-want) > 1e-6*want {
		t.Errorf("%s: %.6f board feet, want %.6f", what, got, want)
	}
	if l.Differs() > 0 || l.JointSqft > 1e-6 {
		for _, r := range l.Rows {
			if r.Differs != nil {
				t.Errorf("%s: %s, %s: %+v", what, r.Name(), r.Mark, *r.Differs)
			}
		}
		t.Errorf("%s: %d rows differ, %.6f sq ft of joints", what, l.Differs(), l.JointSqft)
	}
	if err := rest.Check(); err != nil {
		t.Errorf("%s: %v", what, err)
	}
	if len(rest.Boards) == 0 && (rest.Totals.ToOrder > 0 || len(rest.Orders) > 0 || l.Pieces() != len(all.Boards)) {
		t.Errorf("%s: nothing is left, yet %d boards to order", what, rest.Totals.ToOrder)
	}
}

// The roof of 60 x 40 ft is found 64 ft long, the drain still 30 ft from the west
// wall: of 190 tapered boards and 1,616 sq ft of fill, 12,893.3 board feet in all, the
// rest is laid off what is down (worked scenario). Nothing that is down differs.
func TestLaid_RoofFoundLonger(t *testing.T) {
	const drain = "outlets: [{id: D1, kind: drain, at: [30,20]}]"
	was, now := boardRoof(t, "four-way", 60, drain), boardRoof(t, "four-way", 64, drain)
	rows := issuedRows(t, was, &runJob(t, was).Areas[0])
	all := runJob(t, now).Areas[0].Design
	for _, c := range []struct {
		story string
		down  func(n int) bool
		left  string // boards still to order; "": not worked
	}{
		{"nothing", func(int) bool { return false }, ""},
		{"the first layer", func(n int) bool { return rows[n].Layer == 1 }, ""},
		{"two rows round the drain", func(n int) bool { return rows[n].Row <= 2 }, ""},
		// The east facet ends in two strips of 40 ft: the other half of row 8, 10 boards
		// of 3-1/2 to 4-1/2 whose pieces may not be turned, and the half of row 9, 10 of
		// the first mark; fill of row 8 half 20 boards' area, 80 sq ft, over it, and two
		// layers on 80 sq ft under row 9: 240 sq ft, 15 boards of 16.
		{"all", func(int) bool { return true }, "map[1/2 to 1-1/2:10 3-1/2 to 4-1/2:10 4:15]"},
	} {
		down := downward(rows, c.down)
		r := runJob(t, withLaid(now, down))
		d := r.Areas[0].Design
		if len(down) == 0 {
			if d.Laid != nil || d.Totals.ToOrder != all.Totals.ToOrder {
				t.Errorf("%s: %d boards", c.story, d.Totals.ToOrder)
			}
			continue
		}
		if err := d.Check(); err != nil {
			t.Errorf("%s: %v", c.story, err)
		}
		near(t, c.story+": board feet", d.Laid.BoardFeet+d.Totals.BoardFeet, 12893+1./3)
		if got, want := boardsByMark(d), c.left; want != "" && fmt.Sprint(got) != want {
			t.Errorf("%s: %v left to order, want %s", c.story, got, want)
		}
		t.Log(c.story, d.Laid.Pieces(), "pieces down,", len(d.Boards), "left,", d.Totals.ToOrder, "to order", boardsByMark(d))
		for _, row := range d.Laid.Rows {
			if row.Differs != nil {
				t.Errorf("%s: %s %s differs: %+v", c.story, row.Name(), row.Mark, *row.Differs)
			}
		}
	}
}

// laidWrong runs a roof of 40 x 40 ft to a gutter with one tapered row that is down
// otherwise than designed, over all that lies under it.
func laidWrong(t *testing.T, row int, change func(r *survey.LaidRow)) *render.Result {
	t.Helper()
	job := surveyedLevel(t)
	rows := issuedRows(t, job, &runJob(t, job).Areas[0])
	down := downward(rows, func(n int) bool { return rows[n].Type == "tapered" && rows[n].Row == row })
	for n := range down {
		if down[n].Type == "tapered" {
			change(&down[n])
		}
	}
	return runJob(t, withLaid(job, down))
}

// surveyedLevel is a roof of 40 x 40 ft to a gutter on edge 0, its deck shot level.
func surveyedLevel(t *testing.T) *survey.Job {
	t.Helper()
	job := jobOf(t, "job: {name: Plover loft, units: us}\nsurvey: none\nrules: us-reroof\n"+
		"taper: {scheme: one-way, slope: 1/4 in/ft, start: 1/2 in, base: none}\nareas:\n  - name: A\n"+
		"    outline: [[0,0], [40,0], [40,40], [0,40]]\n    edges: [{edge: 0, kind: gutter}]\n")
	job.Stock = fourBoards()
	job.Survey = survey.Source{Surface: survey.Deck}
	for x := 0.0; x <= 40; x += 5 {
		for y := 0.0; y <= 40; y += 5 {
			job.Areas[0].Shots = append(job.Areas[0].Shots, survey.Shot{ID: fmt.Sprintf("%g-%g", x, y), At: geom.Pt{X: x, Y: y}, Elev: 100 * unit.Foot})
		}
	}
	return job
}

// A row whose thick edge is turned falls back by 1/4 in/ft over its 4 ft: it stands
// 1 in proud at its low edge and lies 1 in low at the other, so that water stands 1 in
// deep over 4 x 40 ft, 160 sq ft, half of 40 x 4 x 1/12 = 6.67 cu ft. A row of the
// next mark is 1 in proud all over and holds as much on the 4 ft above it. On cells
// of 6 in, whose middles lie 1/16 in off the edges, that is 7/8 in, and 7/2 in x 6 in x
// 40 ft = 5.83 cu ft over the eight cells.
func TestLaid_WrongRows(t *testing.T) {
	for _, c := range []struct {
		story       string
		change      func(r *survey.LaidRow)
		least, most float64
		words       []string
	}{
		{"turned", func(r *survey.LaidRow) { r.ThickDeg += 180 }, -1, 1, []string{"is of the mark designed, 1-1/2 to 2-1/2, but turned or off its place: 1\" thinner to 1\" thicker",
			"ends in a step of up to 1\"."}},
		{"next mark", func(r *survey.LaidRow) { r.Mark, r.ThinEdge = "2-1/2 to 3-1/2", 0 }, 1, 1,
			[]string{"is 2-1/2 to 3-1/2 where the design has 1-1/2 to 2-1/2: 1\" thicker", "lies 1\" higher", "step of up to 1\".", "Take it up and lay 1-1/2 to 2-1/2 as designed, or keep it"}},
	} {
		r := laidWrong(t, 2, c.change)
		a := &r.Areas[0]
		l := a.Design.Laid
		if l.Differs() != 1 {
			t.Fatalf("%s: %d rows differ", c.story, l.Differs())
		}
		for _, row := range l.Rows {
			d := row.Differs
			if d == nil {
				continue
			}
			near(t, c.story+": least", d.LeastIn, c.least)
			near(t, c.story+": most", d.MostIn, c.most)
			if math.Abs(d.StepIn-1) > 0.02 {
				t.Errorf("%s: a step of %.3f in, want 1", c.story, d.StepIn)
			}
			if len(d.Ponds) != 1 || d.Ponds[0] != "P1" {
				t.Errorf("%s: ponds %v beside it", c.story, d.Ponds)
			}
		}
		ponds := a.Proof.Report.Ponds
		if len(ponds) == 0 {
			t.Fatalf("%s: no pond", c.story)
		}
		if p := ponds[0]; math.Abs(p.DepthIn-0.875) > 0.01 || math.Abs(p.SqFt-160) > 4 || math.Abs(p.CuFt-5.83) > 0.12 {
			t.Errorf("%s: %.3f in, %.1f sq ft, %.2f cu ft; want 0.875, 160, 5.83", c.story, p.DepthIn, p.SqFt, p.CuFt)
		}
		if a.Proof.Passes {
			t.Errorf("%s: the design passes over a pond of an inch", c.story)
		}
		var b bytes.Buffer
		if err := render.WriteText(&b, r); err != nil {
			t.Fatal(err)
		}
		told := strings.Join(strings.Fields(b.String()), " ")
		if w := lacks(told, append(c.words, "Water stands on it or beside it: P1")...); w != "" {
			i := strings.Index(told, "Rows that are down")
			t.Errorf("%s: the report lacks %q:\n%.1500s", c.story, w, told[max(i, 0):])
		}
	}
}
