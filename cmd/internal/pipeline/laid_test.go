package pipeline

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"runnel/render"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
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

// zooUnderCover is a roof of the zoo with two base layers and a cover.
func zooUnderCover(t *testing.T, name string) *survey.Job {
	t.Helper()
	job := zooJob(t, name)
	c := *job.Taper
	c.Base, c.Cover = survey.BaseChoice{Layers: 2, Thickness: 2 * unit.Inch}, unit.Inches(0.5)
	if strings.HasPrefix(name, "scuppers") {
		c.Scheme = survey.TwoWayCrickets
	}
	job.Taper = &c
	return job
}

// Rows of the very design that are down change no total: their pieces and the rest
// are all pieces, and so with board feet, whichever rows lie, on roofs of every
// kind. All of them leave nothing to order.
func TestLaid_SameDesign(t *testing.T) {
	for n, name := range []string{"turned", "scuppers-one-wall", "curb-in-valley", "deck-valley"} {
		if testing.Short() && n > 1 {
			continue // the race detector sees two
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			job := zooUnderCover(t, name)
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
				stackedOnce(t, rest, rnd)
				sameUnder(t, fmt.Sprintf("%d of %d rows down", len(down), len(rows)), all.Foreman, rest.Foreman)
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

// stackedOnce looks at random places of the roof: one board or row that is down lies in
// each layer, and their thicknesses, cover apart, add up to the facets'.
func stackedOnce(t *testing.T, a *render.AreaResult, rnd *rand.Rand) {
	t.Helper()
	d := a.Design
	box := a.Site.Outline.Box()
	w, h := box.Size()
	places := 0
	for range 400 {
		p := box.Min.Add(geom.Pt{X: w * rnd.Float64(), Y: h * rnd.Float64()})
		if !a.Site.OnRoof(p) {
			continue
		}
		sum, layers, edge := 0.0, map[int]int{}, false
		add := func(q geom.Poly, layer int, cover bool, plane survey.Plane) {
			if edge = edge || q.Dist(p) < 1e-3; !q.Has(p) {
				return
			}
			layers[layer]++
			if !cover {
				sum += plane.At(p)
			}
		}
		for _, b := range d.Boards {
			add(b.Poly, b.Layer, b.Type == taper.CoverType, b.Plane)
		}
		for _, r := range d.Laid.Rows {
			for _, q := range r.Polys {
				add(q, r.Layer, r.Kind == taper.CoverType, r.Plane)
			}
		}
		if edge {
			continue
		}
		places++
		for n := 1; n <= len(layers); n++ {
			if layers[n] != 1 {
				t.Errorf("%d boards in layer %d at %v", layers[n], n, p)
			}
		}
		if want, _ := taper.ThicknessAt(d.Facets, p); math.Abs(sum-want) > 1e-3 {
			t.Errorf("boards and rows add up to %.4f in at %v, the facets to %.4f", sum, p, want)
		}
	}
	if places < 50 {
		t.Errorf("%d places looked at", places)
	}
}

// Rows of another design are kept, and the rest is laid off them by the new one, which
// still has all its area in every layer: an inch more to start with, a base layer less,
// a roof that comes out 1 in longer on every 22 ft.
func TestLaid_OtherDesign(t *testing.T) {
	grown := func(p geom.Pt) geom.Pt { return p.Mul(1.0037) }
	for n, name := range []string{"drain-off-centre", "gutter-slant", "scuppers-one-wall"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			job := zooUnderCover(t, name)
			all, err := designFor(job, true)
			if err != nil {
				t.Fatal(err)
			}
			rows := issuedRows(t, job, all)
			rnd := rand.New(rand.NewPCG(11, uint64(n)))
			down := downward(rows, func(int) bool { return rnd.Float64() < 0.05 })
			for k, change := range []func(j *survey.Job) *survey.Job{
				func(j *survey.Job) *survey.Job { j.Taper.Start += unit.Inch; return j },
				func(j *survey.Job) *survey.Job { j.Taper.Base.Layers = 1; return j },
				func(j *survey.Job) *survey.Job { return moved(j, grown, false, 0) },
			} {
				rest, err := designFor(withLaid(change(zooUnderCover(t, name)), down), true)
				if err != nil {
					t.Fatalf("change %d: %v", k, err)
				}
				d := rest.Design
				if err := d.Check(); err != nil {
					t.Errorf("change %d: %v", k, err)
				}
				if k < 2 && d.Laid.Differs() == 0 {
					t.Errorf("change %d: none of %d rows differs", k, len(down))
				}
			}
		})
	}
}

// sameUnder holds what lies under every row that is left to be what it is with nothing
// down: the rows that are down count.
func sameUnder(t *testing.T, what string, all, rest *taper.Foreman) {
	t.Helper()
	name := func(r taper.CrewRow) string {
		return fmt.Sprintf("layer %d, F%d row %d, %s", r.Layer, r.Facet, r.Row, r.Mark)
	}
	under := map[string]string{}
	for _, r := range all.Rows {
		under[name(r)] = r.UnderText()
	}
	for _, r := range rest.Rows {
		if want, ok := under[name(r)]; !ok || r.UnderText() != want {
			t.Errorf("%s: %s lies on %q, want %q", what, name(r), r.UnderText(), want)
		}
	}
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
	if l.Differs() > 0 || l.JointSqft > 1e-6+all.DustSqft {
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

// Rows that cannot lie where the list has them are told, all at once, with the line
// of each and what to do.
func TestLaid_Problems(t *testing.T) {
	const drain = "outlets: [{id: D1, kind: drain, at: [30,20]}]\n    curbs: [{id: U1, at: [10,10], size: [4,4]}]"
	job := boardRoof(t, "four-way", 60, drain)
	rect := func(x0, y0, x1, y1 float64) []geom.Poly {
		return []geom.Poly{{Outer: geom.Ring{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}}
	}
	row := func(line, layer int, typ, mark string, at []geom.Poly) survey.LaidRow {
		return survey.LaidRow{Layer: layer, Type: typ, Mark: mark, Outline: at, ThickDeg: 90, Boards: 3, File: "laid.csv", Line: line}
	}
	job = withLaid(job, []survey.LaidRow{
		row(2, 1, "fill", "3", rect(0, 0, 8, 4)),
		row(3, 1, "tapered", "1/2 to 1-1/4", rect(20, 0, 28, 4)),
		row(4, 1, "fill", "4", rect(56, 0, 64, 4)),
		row(5, 1, "fill", "4", rect(8, 8, 16, 12)),
		row(6, 1, "fill", "4", rect(20, 30, 28, 34)),
		row(7, 1, "fill", "4", rect(24, 30, 32, 34)),
		row(8, 2, "tapered", "1/2 to 1-1/2", rect(20, 30, 40, 34)),
		row(9, 1, "tapered", "1/2 to 1-1/2", rect(40, 30, 44, 38)),
	}, survey.OnHand{Mark: "5", Boards: 3, File: "laid.csv", Line: 10})
	_, err := Run(t.Context(), job, Taper, nil)
	var faults problem.FaultsError
	if !errors.As(err, &faults) {
		t.Fatalf("error %v", err)
	}
	want := []string{
		`laid.csv:2: mark "3": the stock has no fill board of this mark; write one of 4`,
		`laid.csv:3: mark "1/2 to 1-1/4": the stock has no tapered board of this mark; write one of 1/2 to 1-1/2, 1-1/2 to 2-1/2`,
		`laid.csv:4: outline: 16.00 sq ft of the row lie off the roof; mend the outline of the area`,
		`laid.csv:5: outline: the row lies over curb U1 by 16.00 sq ft; mend the place of the curb`,
		`laid.csv:7: outline: the row lies over that of line 6 in the same layer, by 16.00 sq ft; mend one of the outlines`,
		`laid.csv:8: layer "2": 16.00 sq ft of the row have no row of layer 1 under them; copy the lines of the rows below too`,
		`laid.csv:9: mark "1/2 to 1-1/2": the row would be 1/2 in to 2-1/2 in thick over its 8.00 ft`,
		`laid.csv:10: mark "5": the stock has no board of this mark; write one of 4, 1/2 to 1-1/2`,
	}
	if len(faults.Faults) != len(want) {
		t.Errorf("%d faults, want %d:\n%v", len(faults.Faults), len(want), err)
	}
	for n, p := range faults.Faults {
		if n < len(want) && !strings.HasPrefix(p.Error(), want[n]) {
			t.Errorf("says %q, want %q", p.Error(), want[n])
		}
	}
}

// Boards on hand are not ordered again, and what no row takes is left over: of 190
// tapered boards 58 are of the first mark, with 2 spares 60; 24 lie there.
func TestLaid_OnHand(t *testing.T) {
	job := boardRoof(t, "four-way", 64, "outlets: [{id: D1, kind: drain, at: [30,20]}]")
	job = withLaid(job, nil, survey.OnHand{Mark: "1/2 to 1-1/2", Boards: 24}, survey.OnHand{Mark: "4", Type: "fill", Boards: 500})
	r := runJob(t, job)
	d := r.Areas[0].Design
	fill := 0
	for _, o := range d.Orders {
		switch o.Mark {
		case "1/2 to 1-1/2":
			if o.Boards != 60 || o.OnHand != 24 || o.Bought() != 36 {
				t.Errorf("%d needed, %d on hand, %d bought; want 60, 24, 36", o.Boards, o.OnHand, o.Bought())
			}
		case "4":
			fill = o.Boards
			if o.OnHand != o.Boards || o.Bought() != 0 || o.CuFt != 0 {
				t.Errorf("fill: %d needed, %d on hand, %d bought", o.Boards, o.OnHand, o.Bought())
			}
		default:
			if o.OnHand != 0 || o.Bought() != o.Boards {
				t.Errorf("%s: %d on hand, %d of %d bought", o.Mark, o.OnHand, o.Bought(), o.Boards)
			}
		}
	}
	if l := d.Laid; len(l.OnHand) != 2 || l.OnHand[0].Over != 0 || l.OnHand[1].Used != fill || l.OnHand[1].Over != 500-fill || fill < 101 {
		t.Errorf("on hand %+v of %d", d.Laid.OnHand, fill)
	}
	var b bytes.Buffer
	if err := render.WriteText(&b, r); err != nil {
		t.Fatal(err)
	}
	told := strings.Join(strings.Fields(b.String()), " ")
	if w := lacks(told, "24 boards of 1/2 to 1-1/2: all are used, and not ordered again.", fmt.Sprintf("500 boards of 4: %d are used and not ordered again, %d are left over.", fill, 500-fill)); w != "" {
		t.Errorf("the report lacks %q", w)
	}
}

// A roof with rows down takes the same boards however it is turned, mirrored,
// shifted or raised.
func TestLaid_Moved(t *testing.T) {
	base := surveyedLevel(t)
	rows := issuedRows(t, base, &runJob(t, base).Areas[0])
	down := downward(rows, func(n int) bool { return rows[n].Row == 3 })
	down[len(down)-1].ThickDeg += 180
	for n := range down { // 24 of the 40 ft
		for k, q := range down[n].Outline[0].Outer {
			down[n].Outline[0].Outer[k].X = math.Min(q.X, 24)
		}
	}
	job := withLaid(base, down)
	want := runJob(t, job).Areas[0]
	if d := want.Design; d.Totals.Pieces != d.Laid.Whole.Totals.Pieces-6 || slices.ContainsFunc(d.Boards, func(b taper.Board) bool { return b.Cut }) {
		t.Errorf("%d pieces of %d are left, of the row 4 whole ones", d.Totals.Pieces, d.Laid.Whole.Totals.Pieces)
	}
	for _, m := range moves {
		got := runJob(t, moved(job, m.f, m.mirror, m.rise)).Areas[0]
		a, b := got.Design, want.Design
		if a.Totals.Pieces != b.Totals.Pieces || a.Totals.ToOrder != b.Totals.ToOrder || a.Laid.Differs() != b.Laid.Differs() || a.Laid.Differs() != 1 {
			t.Errorf("%s: %d pieces, %d to order, %d rows differ; want %d, %d, %d", m.story, a.Totals.Pieces, a.Totals.ToOrder, a.Laid.Differs(),
				b.Totals.Pieces, b.Totals.ToOrder, b.Laid.Differs())
		}
		near(t, m.story+": board feet", a.Totals.BoardFeet, b.Totals.BoardFeet)
		p, q := got.Proof.Report.Ponds, want.Proof.Report.Ponds
		if len(p) != len(q) || len(p) == 0 {
			t.Fatalf("%s: %d ponds, want %d", m.story, len(p), len(q))
		}
		near(t, m.story+": pond", p[0].DepthIn, q[0].DepthIn)
	}
}

// Days, lots and night edges are those of the rest: with five of ten rows of 160 sq ft
// down, 800 sq ft are left, and the first evening's edge is past them. Rain of that night
// runs off over the rows that are down: the roof falls to its gutter.
func TestLaid_Days(t *testing.T) {
	base := surveyedLevel(t)
	base.Foreman.Rate = unit.SquareFeet(320)
	rows := issuedRows(t, base, &runJob(t, base).Areas[0])
	down := downward(rows, func(n int) bool { return rows[n].Row <= 5 })
	f := runJob(t, withLaid(base, down)).Areas[0].Foreman
	sum, boards := 0.0, 0
	for _, d := range f.Days {
		sum += d.Sqft
	}
	for _, l := range f.Lots {
		if l.Type == taper.TaperedType {
			boards += l.Boards
		}
	}
	near(t, "sq ft of all days", sum, 800)
	if len(f.Days) != 3 || boards != 50 {
		t.Errorf("%d days and %d tapered boards, want 3 and 50", len(f.Days), boards)
	}
	if n := f.Days[0].Night; len(n) != 1 || n[0].Row != 7 {
		t.Errorf("the first night edge is at rows %+v, want row 7", n)
	}
}

// Machine files are in feet, also of metric jobs: boards of 1,200 mm are found again.
func TestLaid_Metric(t *testing.T) {
	job := jobOf(t, "job: {name: Knot shed, units: metric}\nsurvey: none\nrules: metric-falls\n"+
		"taper: {scheme: one-way, slope: 1:60, start: 20 mm, base: {layers: 1, thickness: 40 mm}, cover: 12 mm}\nareas:\n  - name: A\n"+
		"    outline: [[0,0], [18,0], [18,12], [0,12]]\n    edges: [{edge: 0, kind: gutter}]\n")
	all := &runJob(t, job).Areas[0]
	rows := issuedRows(t, job, all)
	down := downward(rows, func(n int) bool { return rows[n].Row == 3 })
	if len(down) == 0 || len(down) == len(rows) {
		t.Fatalf("%d of %d rows down", len(down), len(rows))
	}
	sameTotals(t, "row 3 down", all.Design, runJob(t, withLaid(job, down)).Areas[0].Design)
}
