package drainage

import (
	"context"
	"sync"
)

// share is where the water of a cell goes: toward cell a, and a part of it
// toward cell b. Cells whose water goes nowhere lower have a = -1.
type share struct {
	a, b int32
	toB  float32
}

// drainageAreas gathers the cells that drain to each outlet. The water of a
// cell runs down the steepest way and is shared by the two cells between which
// it passes (Tarboton 1997); a cell belongs to the outlet that gets most of
// it. Water in ponds goes on over their spill places. Cost: O(n).
func (c *check) drainageAreas(ctx context.Context, t *tracer, workers int) ([]DrainageArea, error) {
	shares := make([]share, c.surf.Len())
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for j := w; j < c.surf.NY && ctx.Err() == nil; j += workers {
				for i := range c.surf.NX {
					shares[j*c.surf.NX+i] = t.shareOf(j*c.surf.NX + i)
				}
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	label := c.gather(shares)
	areas := make([]DrainageArea, len(c.site.Outlets))
	cells := make([]int, len(areas))
	for _, n := range label {
		if n >= 0 {
			cells[n]++
		}
	}
	cellSqft := c.cellSqft()
	for n := range areas {
		areas[n].SqFt = float64(cells[n]) * cellSqft
	}
	for n, polys := range cellRegions(c.surf.Lattice, label, len(areas)) {
		areas[n].Outlet, areas[n].Regions = c.site.Outlets[n].ID, polys
	}
	return areas, nil
}

// shareOf is where the water of cell k goes; cells off the roof, of outlets and
// in standing water have none.
func (t *tracer) shareOf(k int) share {
	none := share{-1, -1, 0}
	if !t.surf.Roof[k] || t.endsAt[k] >= 0 || t.c.pondOf[k] >= 0 {
		return none
	}
	if s, ok := t.downFacet(k); ok {
		return s
	}
	if next := t.over[k]; next >= 0 {
		return share{next, next, 0}
	}
	return none
}

// around8 are the eight neighbours counter-clockwise from +x.
var around8 = [8][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}

// downFacet is the steepest way down from a cell by the eight triangular facets
// of Tarboton 1997: e0 the cell, e1 the neighbour across a side, e2 the one
// across the corner next to it. It is false where no neighbour is lower.
func (t *tracer) downFacet(k int) (best share, ok bool) {
	nx := t.surf.NX
	var fall [8]float64 // from the cell; below 0 where no roof is
	for n, d := range around8 {
		fall[n] = -1
		if t.roof(k%nx+d[0], k/nx+d[1]) {
			fall[n] = t.z[k] - t.z[k+d[1]*nx+d[0]]
		}
	}
	steepest2 := 0.0 // the slope squared, in inches a cell
	take := func(slope2 float64, a, b int, toB float64) {
		if slope2 > steepest2 {
			to := func(n int) int32 { return int32(k + around8[n][1]*nx + around8[n][0]) }
			best, ok, steepest2 = share{to(a), to(b), float32(toB)}, true, slope2
		}
	}
	for facet := range 8 {
		a := (facet + 1) / 2 * 2 % 8 // across a side
		b := facet/2*2 + 1           // across the corner
		s1, s2 := fall[a], fall[b]-fall[a]
		if fall[b] > 0 && s1 > 0 && s2 > 0 && s2 < s1 {
			take(s1*s1+s2*s2, a, b, s2/s1)
		}
	}
	for n, f := range fall {
		if f > 0 {
			take(f*f/float64(1+n%2), n, n, 0)
		}
	}
	return best, ok
}

// held is how much of a cell's water goes to two outlets, the greater part
// first; where more than two share it the least parts are lost.
type held struct {
	outlet [2]int32 // -1: none, that is closed in; -2: not told yet
	part   [2]float32
}

const untold = -2

// add puts a part to the outlet n, keeping the two greatest.
func (h *held) add(n int32, part float32) {
	switch {
	case part == 0:
		return
	case h.outlet[0] == n:
		h.part[0] += part
	case h.outlet[1] == n:
		h.part[1] += part
	case part > h.part[1]:
		h.outlet[1], h.part[1] = n, part
	}
	if h.part[1] > h.part[0] {
		h.outlet[0], h.outlet[1] = h.outlet[1], h.outlet[0]
		h.part[0], h.part[1] = h.part[1], h.part[0]
	}
}

// joined is the water of a cell whose shares go to a and b.
func joined(a, b held, toB float32) held {
	h := held{outlet: [2]int32{untold, untold}}
	for n := range a.outlet {
		h.add(a.outlet[n], a.part[n]*(1-toB))
		h.add(b.outlet[n], b.part[n]*toB)
	}
	return h
}

// gather gives each cell its outlet, -1 for none. Shares lead downhill, so
// every cell is asked after those that its water goes to.
func (c *check) gather(shares []share) []int32 {
	end := c.endOfHollows()
	to := make([]held, len(shares))
	label := make([]int32, len(shares))
	for k := range to {
		to[k] = held{outlet: [2]int32{untold, untold}, part: [2]float32{1, 0}}
		if !c.surf.Roof[k] {
			to[k].outlet[0] = -1
		} else if shares[k].a < 0 {
			to[k].outlet[0] = end[c.fill.Of[k]]
		}
	}
	var stack []int32
	for k := range to {
		for stack = append(stack[:0], int32(k)); len(stack) > 0; {
			q := stack[len(stack)-1]
			s := shares[q]
			switch {
			case to[q].outlet[0] != untold:
				stack = stack[:len(stack)-1]
			case to[s.a].outlet[0] == untold:
				stack = append(stack, s.a)
			case to[s.b].outlet[0] == untold:
				stack = append(stack, s.b)
			default:
				to[q] = joined(to[s.a], to[s.b], s.toB)
			}
		}
		label[k] = to[k].outlet[0]
	}
	return label
}

// endOfHollows gives each hollow of the fill the outlet that its water leaves
// by at last; -1 where it is closed in.
func (c *check) endOfHollows() []int32 {
	end := make([]int32, len(c.fill.Hollow))
	for h := range end {
		end[h] = -1
	}
	for _, h := range c.fill.Order {
		if o := c.fill.Hollow[h].Outlet; o >= 0 {
			end[h] = int32(o)
		} else {
			end[h] = end[c.fill.Hollow[h].Into]
		}
	}
	return end
}
