package taper

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
)

// Day is what is opened and covered between a morning and its evening.
type Day struct {
	No   int
	Sqft float64
	// Over: one board takes more than the rate, so this is more than a day's work.
	Over bool
	Rows []RowPart // of facets, by facet and row
	// Night is where the laid surface ends against the old roof at evening: the
	// rows whose upper edge or end lies open, by facet and row.
	Night []NightRow
	Pond  *NightPond // nil: not told, since the old roof is not known
}

// RowPart is a row of a facet, or the boards From to To of it, counted along the row.
type RowPart struct{ Facet, Row, From, To int } // 0, 0: all

// NightRow is a row that is laid by evening; To is the last board laid of it, 0
// where it is whole.
type NightRow struct{ Facet, Row, To int }

// NightPond is the water that the night edge would hold, once rain has filled it;
// zero where it lets all water go.
type NightPond struct {
	DepthIn, SqFt, CuFt float64
	At                  geom.Pt
}

// Lb is its weight.
func (p NightPond) Lb() float64 { return (&drainage.Pond{CuFt: p.CuFt}).WeightLb() }

// Psf is its load where it is deepest.
func (p NightPond) Psf() float64 { return (&drainage.Pond{CuFt: p.DepthIn / 12}).WeightLb() }

// dayPlan is the strips of a design in laying order, and its days.
type dayPlan struct {
	strips []strip
	whole  map[NightRow]int // the day by which all of a row is laid
	parts  map[NightRow]int // how many days a row takes
	boards []Board
	days   []Day
}

// planOf finds what is laid each day.
func planOf(in ForemanIn) *dayPlan {
	d := in.Design
	p := &dayPlan{strips: stripsOf(in.Site, d.Facets, d.Boards), whole: map[NightRow]int{}, parts: map[NightRow]int{}, boards: d.Boards}
	for _, st := range p.strips {
		k := NightRow{Facet: st.facet, Row: st.row}
		p.whole[k] = max(p.whole[k], st.day)
		p.parts[k]++
	}
	for _, st := range p.strips {
		for len(p.days) < st.day {
			p.days = append(p.days, Day{No: len(p.days) + 1})
		}
		day := &p.days[st.day-1]
		day.Sqft += st.sqft
		day.Rows = append(day.Rows, p.part(st))
	}
	for i := range p.days {
		day := &p.days[i]
		day.Over = day.Sqft > in.Choice.Rate.SquareFeet()*(1+1e-9)
		slices.SortFunc(day.Rows, func(a, b RowPart) int { return cmp.Or(a.Facet-b.Facet, a.Row-b.Row) })
	}
	p.strips = append(p.strips, stripsDown(in.Design)...)
	return p
}

// part tells which boards of its row a strip lays.
func (p *dayPlan) part(st strip) RowPart {
	out := RowPart{Facet: st.facet, Row: st.row}
	if p.parts[NightRow{Facet: st.facet, Row: st.row}] > 1 && len(st.pieces) > 0 {
		out.From, out.To = p.boards[st.pieces[0]].Seq, p.boards[st.pieces[len(st.pieces)-1]].Seq
	}
	return out
}

// stripsDown are the tapered rows that are down before the first day; they have no
// pieces and no day.
func stripsDown(d *Design) []strip {
	if d.Laid == nil {
		return nil
	}
	var out []strip
	for _, r := range d.Laid.Rows {
		for _, q := range r.Polys {
			if r.Kind != TaperedType {
				continue
			}
			s := strip{row: r.Row, polys: []geom.Poly{q}, box: q.Outer.Box()}
			mid := somewhereIn(q)
			for _, f := range d.Facets {
				if f.Role != CricketRole && f.Poly.Has(mid) {
					s.facet = f.ID
				}
			}
			out = append(out, s)
		}
	}
	return out
}

// evenings finds the night edge of every day and the water that it would hold.
func (p *dayPlan) evenings(ctx context.Context, in ForemanIn) error {
	l := in.Finished.Lattice
	of := make([]int, l.Len()) // the strip of each cell, from 1
	for n, s := range p.strips {
		if s.cricket {
			continue // over cells of the field
		}
		for _, q := range s.polys {
			overCells(q, l, func(k int, _ geom.Pt) { of[k] = n + 1 })
		}
	}
	for i := range p.days {
		e := evening{in: in, plan: p, of: of, day: i + 1}
		e.build()
		p.days[i].Night = e.night()
		if in.Before == nil {
			continue
		}
		pond, err := e.pond(ctx)
		if err != nil {
			return fmt.Errorf("look for water at the night edge of day %d: %w", i+1, err)
		}
		p.days[i].Pond = pond
	}
	return nil
}

// evening is the roof as it lies at the end of a day.
type evening struct {
	in     ForemanIn
	plan   *dayPlan
	of     []int // beside the cells
	day    int
	elevIn []float64
	edge   []int // cells of the old roof at the night edge
	ends   map[NightRow]bool
}

// laid says whether cell k is laid by evening.
func (e *evening) laid(k int) bool {
	return e.of[k] > 0 && e.plan.strips[e.of[k]-1].day <= e.day
}

// build puts the finished top where it is laid and the old roof elsewhere. At the
// night edge the cells of either hand take the height of the edge itself.
func (e *evening) build() {
	top := e.in.Finished
	before := top
	if e.in.Before != nil {
		before = e.in.Before
	}
	e.elevIn = slices.Clone(before.ElevIn)
	e.ends = map[NightRow]bool{}
	for k := range e.of {
		if e.laid(k) {
			e.elevIn[k] = top.ElevIn[k]
		}
	}
	for k := range e.of {
		if !e.laid(k) {
			continue
		}
		s := &e.plan.strips[e.of[k]-1]
		open := e.open(k, beside4)
		if len(open) > 0 {
			end := NightRow{Facet: s.facet, Row: s.row}
			if e.plan.whole[end] > e.day {
				end.To = e.plan.part(*s).To
			}
			e.ends[end] = true
			e.edge = append(e.edge, open...)
		} else {
			open = e.open(k, across4) // a corner of the night edge, where water runs across cells too
		}
		for _, n := range open {
			q := e.edgeBetween(s, k, n)
			e.elevIn[k] = math.Max(e.elevIn[k], e.topIn(s, q))
			if z, ok := before.Elevation(q); ok {
				e.elevIn[n] = math.Min(e.elevIn[n], z)
			}
		}
	}
	slices.Sort(e.edge)
	e.edge = slices.Compact(e.edge)
}

var (
	beside4 = [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}   // cells on the edges of a cell
	across4 = [4][2]int{{1, 1}, {-1, 1}, {1, -1}, {-1, -1}} // and on its corners
)

// open are the cells of the old roof beside cell k that will be laid on later.
func (e *evening) open(k int, ways [4][2]int) []int {
	var out []int
	l := e.in.Finished.Lattice
	for _, d := range ways {
		if i, j := k%l.NX+d[0], k/l.NX+d[1]; l.Holds(i, j) {
			if n := j*l.NX + i; e.in.Finished.Roof[n] && !e.laid(n) && e.of[n] > 0 {
				out = append(out, n)
			}
		}
	}
	return out
}

// edgeBetween is where strip s ends on the way from the middle of cell k to that
// of cell n.
func (e *evening) edgeBetween(s *strip, k, n int) geom.Pt {
	l := e.in.Finished.Lattice
	a, b := l.Centre(k%l.NX, k/l.NX), l.Centre(n%l.NX, n/l.NX)
	box := geom.BoxOf(a, b)
	var near []geom.Poly
	for _, q := range s.polys {
		if box.Overlaps(q.Outer.Box()) {
			near = append(near, q)
		}
	}
	for range 14 { // of half a foot: 1/30,000 ft
		mid := a.Lerp(b, 0.5)
		if slices.ContainsFunc(near, func(q geom.Poly) bool { return q.Has(mid) }) {
			a = mid
		} else {
			b = mid
		}
	}
	return a
}

// topIn is the finished top of strip s at its border.
func (e *evening) topIn(s *strip, q geom.Pt) float64 {
	baseIn, _ := e.in.Base.Elevation(q)
	return baseIn + facetByID(e.in.Design.Facets, s.facet).Plane.At(q) + e.in.Design.Cover.Inches()
}

// night lists the rows that end against the old roof.
func (e *evening) night() []NightRow {
	var out []NightRow
	for r := range e.ends {
		out = append(out, r)
	}
	slices.SortFunc(out, func(a, b NightRow) int { return cmp.Or(a.Facet-b.Facet, a.Row-b.Row, a.To-b.To) })
	return out
}

// pond fills the roof as it lies and takes the deepest water at the night edge.
func (e *evening) pond(ctx context.Context) (*NightPond, error) {
	inlets := slices.Clone(e.in.BeforeIn)
	if inlets == nil {
		inlets = make([]float64, len(e.in.Site.Outlets))
	}
	l := e.in.Finished.Lattice
	for n, o := range e.in.Site.Outlets {
		if i, j := l.CellOf(inward(e.in.Site, o.P, l.CellFt)); l.Holds(i, j) && e.laid(j*l.NX+i) && n < len(e.in.FinishedIn) {
			inlets[n] = e.in.FinishedIn[n]
		}
	}
	r, err := drainage.Standing(ctx, e.in.Site, e.in.Finished.With(e.elevIn),
		drainage.Options{Rules: e.in.Rules, Ponds: e.in.Limits, InletIn: inlets})
	if err != nil {
		return nil, err
	}
	out := &NightPond{}
	for _, p := range r.Ponds { // the deepest first
		for _, n := range e.edge {
			at := l.Centre(n%l.NX, n/l.NX)
			if slices.ContainsFunc(p.Outline, func(q geom.Poly) bool { return q.Has(at) }) {
				return &NightPond{p.DepthIn, p.SqFt, p.CuFt, p.Deepest}, nil
			}
		}
	}
	return out, nil
}

// inward is a place on the roof beside one that may lie on its border.
func inward(s *survey.Site, p geom.Pt, byFt float64) geom.Pt {
	for _, d := range axisWays {
		if q := p.Add(d.Mul(byFt)); s.OnRoof(q) {
			return q
		}
	}
	return p
}
