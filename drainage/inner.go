package drainage

import (
	"cmp"
	"slices"

	"runnel/survey/geom"
)

// nest gathers the ponds within a pond: as its water falls, parts of it are
// cut off by humps. It adds cells from the lowest up; where two parts meet that
// are both worth reporting, each is a pond of its own up to there.
type nest struct {
	c     *check
	stage *Stage
	place []int32 // of each cell in stage.cells; -1: not added yet
	// Of the parts, by the place of their lowest cell, which stands for them.
	root  []int32 // a part that it has gone into, else itself
	inner map[int32][]Inner
}

// innerOf lists the ponds within a pond, deepest first; none where it stays in
// one piece. place is scratch of -1 for each cell. Cost: O(n log n) in the
// pond's cells, and those of the parts once for each time that two deep ones
// meet.
func (c *check) innerOf(s *Stage, place []int32) []Inner {
	if c.oneHollow(s.cells) {
		return nil
	}
	n := &nest{c, s, place, make([]int32, len(s.cells)), map[int32][]Inner{}}
	for m, k := range s.cells {
		n.root[m], place[k] = int32(m), int32(m)
		c.neighbours(k, func(r int) {
			if place[r] >= 0 {
				n.join(int32(m), place[r])
			}
		})
	}
	for _, k := range s.cells {
		place[k] = -1
	}
	out := n.inner[0] // all parts are one by now, and go by the lowest cell
	slices.SortStableFunc(out, func(a, b Inner) int {
		return cmp.Or(coarse(b.DepthIn, a.DepthIn), coarse(b.SqFt, a.SqFt),
			coarse(a.Deepest.X, b.Deepest.X), coarse(a.Deepest.Y, b.Deepest.Y))
	})
	return out
}

// oneHollow says whether all cells run to one bottom.
func (c *check) oneHollow(cells []int) bool {
	for _, k := range cells {
		if c.fill.Of[k] != c.fill.Of[cells[0]] {
			return false
		}
	}
	return true
}

func (n *nest) top(m int32) int32 {
	for n.root[m] != m {
		n.root[m] = n.root[n.root[m]]
		m = n.root[m]
	}
	return m
}

// join makes one part of those of place m, whose cell is being added, and of r.
func (n *nest) join(m, r int32) {
	a, b := n.top(m), n.top(r)
	if a == b {
		return
	}
	a, b = min(a, b), max(a, b) // a has the lower bottom and goes on
	passIn, deepIn := n.elevIn(m), n.c.opt.Ponds.Depth.Inches()
	if len(n.inner[b]) > 0 || passIn-n.elevIn(b) >= deepIn {
		fromA, fromB := n.worth(a, passIn), n.worth(b, passIn)
		switch {
		case len(fromA) > 0 && len(fromB) > 0:
			n.inner[a] = append(fromA, fromB...)
		case len(fromB) > 0:
			n.inner[a] = n.inner[b]
		}
	}
	delete(n.inner, b)
	n.root[b] = a
}

func (n *nest) elevIn(m int32) float64 { return n.c.surf.ElevIn[n.stage.cells[m]] }

// worth are the ponds of a part that is cut off at a level: those within it, or
// itself where it is worth reporting.
func (n *nest) worth(part int32, passIn float64) []Inner {
	if got := n.inner[part]; len(got) > 0 {
		return got
	}
	z, from := n.c.surf.ElevIn, n.stage.cells[part]
	if passIn-z[from] < n.c.opt.Ponds.Depth.Inches() {
		return nil
	}
	cells := []int{from}
	seen := map[int]bool{from: true}
	for m := 0; m < len(cells); m++ {
		n.c.neighbours(cells[m], func(r int) {
			if !seen[r] && z[r] < passIn {
				seen[r] = true
				cells = append(cells, r)
			}
		})
	}
	w := n.stage.water(cells, passIn)
	cells = w.toWalls(cells)
	defer n.stage.dry(cells)
	in := Inner{SpillIn: passIn, Deepest: geom.Pt{}}
	in.DepthIn, in.Deepest = n.c.deepestOf(w, cells)
	in.SqFt, in.CuFt = w.measure(cells)
	if in.SqFt < n.c.opt.Ponds.Area.SquareFeet() {
		return nil
	}
	return []Inner{in}
}
