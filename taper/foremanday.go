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
	// Over: one row takes more than the rate, so this is more than a day's work.
	Over bool
	Rows []int // of Foreman.Rows, those of all layers; a base row on its first day
	// Night is where the laid surface ends against the old roof at evening: the
	// rows whose upper edge lies open, by facet and row.
	Night []NightRow
	Pond  *NightPond // nil: not told, since the old roof is not known
}

// NightRow is the last row of a facet that is laid by evening.
type NightRow struct{ Facet, Row int }

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

// strip is the part of the roof that one row of a facet covers, with all that lies
// under and over it.
type strip struct {
	facet, row int
	group      int // by the outlet that its facet falls to
	cricket    bool
	lowIn      float64
	polys      []geom.Poly
	box        geom.Box // of polys
	sqft       float64
	day        int
	down       bool // before the first day
}

// dayPlan lays the rows out in days.
type dayPlan struct {
	rows   []CrewRow
	boards []Board
	strips []strip // in laying order
	days   []Day
}

// planOf finds the strips of a design and their order: outlet by outlet as the job
// names them, each from its low point up, crickets over them last. A base board is
// laid with the first strip over it.
func planOf(in ForemanIn, rows []CrewRow) *dayPlan {
	p := &dayPlan{rows: rows, boards: in.Design.Boards}
	at := map[NightRow]int{}
	for _, r := range rows {
		if r.Facet == 0 {
			continue
		}
		k := NightRow{r.Facet, r.Row}
		i, ok := at[k]
		if !ok {
			i = len(p.strips)
			at[k] = i
			f := facetByID(in.Design.Facets, r.Facet)
			p.strips = append(p.strips, strip{facet: r.Facet, row: r.Row, group: outletOf(in, f), cricket: f.Role == CricketRole,
				lowIn: math.Inf(1)})
		}
		s := &p.strips[i]
		if r.Type == TaperedType || r.Type == CricketType || r.Type == FillType && len(s.polys) == 0 {
			p.take(s, r)
		}
	}
	slices.SortStableFunc(p.strips, func(a, b strip) int {
		return cmp.Or(cmp.Compare(a.group, b.group), boolInt(a.cricket)-boolInt(b.cricket), coarseIn(a.lowIn, b.lowIn),
			cmp.Compare(a.facet, b.facet), cmp.Compare(a.row, b.row))
	})
	p.strips = append(p.strips, stripsDown(in.Design)...)
	return p
}

// stripsDown are the tapered rows that are down before the first day.
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
			s := strip{row: r.Row, down: true, polys: []geom.Poly{q}, box: q.Outer.Box()}
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

// take makes a row's pieces the plan of its strip.
func (p *dayPlan) take(s *strip, r CrewRow) {
	s.polys, s.sqft = nil, 0
	var corners []geom.Pt
	for _, n := range r.pieces {
		corners = append(corners, p.boards[n].Poly.Outer...)
		s.polys = append(s.polys, p.boards[n].Poly)
		if !s.cricket {
			s.sqft += p.boards[n].Poly.Area()
		}
	}
	s.box = geom.BoxOf(corners...)
	s.lowIn = math.Min(s.lowIn, math.Min(r.StartIn, r.EndIn))
}

func facetByID(facets []Facet, id int) Facet {
	for _, f := range facets {
		if f.ID == id {
			return f
		}
	}
	return Facet{}
}

// outletOf is the primary outlet nearest to the lowest place of a facet; a
// cricket's is that of the facet it lies on.
func outletOf(in ForemanIn, f Facet) int {
	if f.Role == CricketRole {
		f = facetByID(in.Design.Facets, f.Under)
	}
	low, lowIn := geom.Pt{}, math.Inf(1)
	for _, q := range f.Poly.Outer {
		if t := f.Plane.At(q); t < lowIn-sameIn {
			low, lowIn = q, t
		}
	}
	best, at := math.Inf(1), 0
	for n, o := range in.Site.Outlets {
		if d := geom.SegDist(low, o.A, o.B); !o.Overflow && d < best-1e-6 {
			best, at = d, n
		}
	}
	return at
}

// dayByDay fills days with whole strips and gives every row its day.
func (p *dayPlan) dayByDay(rateSqft float64) {
	open := func() { p.days = append(p.days, Day{No: len(p.days) + 1}) }
	for i := range p.strips {
		s := &p.strips[i]
		if s.down {
			continue
		}
		if n := len(p.days); n == 0 || p.days[n-1].Sqft > 0 && p.days[n-1].Sqft+s.sqft > rateSqft*(1+1e-9) {
			open()
		}
		d := &p.days[len(p.days)-1]
		d.Sqft += s.sqft
		d.Over = d.Sqft > rateSqft*(1+1e-9)
		s.day = d.No
	}
	of := map[NightRow]int{}
	for _, s := range p.strips {
		if !s.down {
			of[NightRow{s.facet, s.row}] = s.day
		}
	}
	for i := range p.rows {
		r := &p.rows[i]
		r.Day = 0
		for k, n := range r.pieces {
			day := of[NightRow{r.Facet, r.Row}]
			if r.Facet == 0 {
				day = p.baseDay(p.boards[n].Poly)
			}
			r.days[k] = day
			if r.Day == 0 || day > 0 && day < r.Day {
				r.Day = day
			}
		}
		if r.Day > 0 {
			p.days[r.Day-1].Rows = append(p.days[r.Day-1].Rows, i)
		}
	}
}

// baseDay is the day of the first strip over a base board.
func (p *dayPlan) baseDay(b geom.Poly) int {
	box := b.Outer.Box()
	for _, s := range p.strips {
		if !s.cricket && !s.down && box.Overlaps(s.box) && touches(b, s.polys) {
			return s.day
		}
	}
	return 0
}

// touches says whether a board shares roof with one of several.
func touches(b geom.Poly, polys []geom.Poly) bool {
	box := b.Outer.Box()
	for _, q := range polys {
		if box.Overlaps(q.Outer.Box()) && sharedSqft(b, q) > 1e-6 {
			return true
		}
	}
	return false
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
	met := map[int]bool{}
	for k := range e.of {
		if !e.laid(k) {
			continue
		}
		for _, n := range beside4(top.Lattice, k) {
			if !top.Roof[n] || e.laid(n) || e.of[n] == 0 {
				continue
			}
			s := &e.plan.strips[e.of[k]-1]
			e.ends[NightRow{s.facet, s.row}] = true
			q := e.edgeBetween(s, k, n)
			e.elevIn[k] = math.Max(e.elevIn[k], e.topIn(s, q))
			if z, ok := before.Elevation(q); ok {
				e.elevIn[n] = math.Min(e.elevIn[n], z)
			}
			if !met[n] {
				met[n] = true
				e.edge = append(e.edge, n)
			}
		}
	}
}

// beside4 are the cells on the four edges of cell k.
func beside4(l survey.Lattice, k int) []int {
	var out []int
	i, j := k%l.NX, k/l.NX
	for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		if l.Holds(i+d[0], j+d[1]) {
			out = append(out, (j+d[1])*l.NX+i+d[0])
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
	slices.SortFunc(out, func(a, b NightRow) int { return cmp.Or(a.Facet-b.Facet, a.Row-b.Row) })
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
