package taper

import (
	"cmp"
	"context"
	"math"
	"slices"

	"runnel/survey/geom"
)

// mendFromIn is how far the surface as laid lies off the design at the border of
// what is mended: half of what one board may vary by; fill and plane run out to
// nothing there.
const mendFromIn = 1.0 / 16

// Mend is one low place to fill or one high place to take off, all of it that
// lies together and farther off the design than 1/16 in.
type Mend struct {
	High       bool    // take off; else fill
	At         geom.Pt // where it takes most
	On         LaidOn  // there
	MostIn     float64
	Sqft, CuFt float64
	Shots      []string // out of tolerance within it
	Ponds      []string // that it lets run off
	// ToLip: the surface lies as designed there, and the design leaves water; it is
	// filled level to where that runs over.
	ToLip bool
	// Lone: one reading is off and the surface that the shots describe does not
	// follow it; area and volume are not known. Read it again first.
	Lone bool
}

// slipIn is from where on one shot alone is more likely a slip than a surface:
// 0.1 ft read wrong is 1.2 in. Common practice, no source.
const slipIn = 1.0

// Slip says whether one shot alone shows so much that it should be read again
// before anything is done.
func (m Mend) Slip() bool { return m.Lone || len(m.Shots) == 1 && m.MostIn > slipIn }

// mending is the surface as its mends are found.
type mending struct {
	*AsBuilt
	offIn []float64 // with all mends so far made
	of    []int     // mend of each cell, -1: none
	list  []Mend
}

// mend finds what takes the ponds away and brings the places that are out of
// tolerance back to the design, and drains the surface again with all of it done.
func (a *AsBuilt) mend(ctx context.Context, t *laidCheck) error {
	m := &mending{AsBuilt: a, offIn: slices.Clone(a.OffIn.ElevIn), of: make([]int, a.OffIn.Len())}
	for k := range m.of {
		m.of[k] = -1
	}
	for _, p := range a.Ponds {
		n := m.pond(p)
		m.list[n].Ponds = append(m.list[n].Ponds, p.ID)
	}
	for _, sh := range a.Shots {
		if sh.Out {
			m.shot(sh)
		}
	}
	if len(m.list) == 0 {
		return nil
	}
	for n := range m.list {
		m.list[n].On = t.in.Design.laidOn(m.list[n].At)
	}
	a.Mends = m.list
	slices.SortStableFunc(a.Mends, func(p, q Mend) int {
		return cmp.Or(coarseIn(q.MostIn, p.MostIn), comparePlaces(p.At, q.At))
	})
	after, err := t.check(ctx, m.offIn)
	if err != nil {
		return err
	}
	a.Mended, a.Stay = true, a.laidPonds(t.in, after)
	return nil
}

// pond gives the mend that lets a pond run off: the low place that it stands in or
// the high one that holds it, whichever is farther off the design.
func (m *mending) pond(p LaidPond) int {
	switch deepest, lip := m.cellAt(p.Deepest), m.cellAt(p.Spill); {
	case deepest >= 0 && -p.OffIn > mendFromIn && -p.OffIn >= p.LipOffIn:
		return m.region(deepest, false)
	case lip >= 0 && p.LipOffIn > mendFromIn:
		return m.region(lip, true)
	}
	m.list = append(m.list, Mend{ToLip: true, At: p.Deepest, MostIn: p.DepthIn, Sqft: p.SqFt, CuFt: p.CuFt})
	for k := range m.offIn {
		if waterIn(m.Report, k) > 0 && p.holds(m.OffIn.Centre(k%m.OffIn.NX, k/m.OffIn.NX)) {
			m.offIn[k] += waterIn(m.Report, k)
		}
	}
	return len(m.list) - 1
}

// holds says whether a place lies within the water's edge.
func (p LaidPond) holds(at geom.Pt) bool {
	return slices.ContainsFunc(p.Outline, func(o geom.Poly) bool { return o.Has(at) })
}

// shot puts a shot that is out of tolerance to the mend that it lies in.
func (m *mending) shot(sh LaidShot) {
	high := sh.OffIn > 0
	k := m.cellAt(sh.P)
	if k < 0 || !m.beyond(k, high) {
		m.list = append(m.list, Mend{High: high, Lone: true, At: sh.P, MostIn: math.Abs(sh.OffIn), Shots: []string{sh.ID}})
		return
	}
	r := &m.list[m.region(k, high)]
	r.Shots = append(r.Shots, sh.ID)
	if off := math.Abs(sh.OffIn); off > r.MostIn {
		r.MostIn, r.At = off, sh.P
	}
}

// beyond says whether a cell lies so far above or below the design that it is
// mended.
func (m *mending) beyond(k int, high bool) bool {
	off := m.OffIn.ElevIn[k]
	return m.OffIn.Roof[k] && (high && off > mendFromIn || !high && off < -mendFromIn)
}

// region gives the mend of all cells that lie together with k on the same side of
// the design.
func (m *mending) region(k int, high bool) int {
	if m.of[k] >= 0 {
		return m.of[k]
	}
	n, l := len(m.list), m.OffIn.Lattice
	r := Mend{High: high}
	cells := []int{k}
	m.of[k] = n
	for c := 0; c < len(cells); c++ {
		q := cells[c]
		i, j := q%l.NX, q/l.NX
		if off := math.Abs(m.OffIn.ElevIn[q]); off > r.MostIn {
			r.MostIn, r.At = off, l.Centre(i, j)
		}
		r.Sqft += l.CellFt * l.CellFt
		r.CuFt += math.Abs(m.OffIn.ElevIn[q]) / 12 * l.CellFt * l.CellFt
		m.offIn[q] = 0
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			next := (j+d[1])*l.NX + i + d[0]
			if l.Holds(i+d[0], j+d[1]) && m.of[next] < 0 && m.beyond(next, high) {
				m.of[next] = n
				cells = append(cells, next)
			}
		}
	}
	m.list = append(m.list, r)
	return n
}
