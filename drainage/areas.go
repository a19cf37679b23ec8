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
// cell runs down the steepest way (Tarboton 1997) and is shared by the two cells
// between which it passes, by where it passes and not by the angle as there, so
// that it is led on straight; a cell belongs to the outlet that gets most of
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
	for n, polys := range CellRegions(c.surf.Lattice, label, len(areas)) {
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
	to := [8]int{1, nx + 1, nx, nx - 1, -1, -nx - 1, -nx, -nx + 1} // as around8
	i, j := k%nx, k/nx
	inner := i > 0 && j > 0 && i < nx-1 && j < t.surf.NY-1
	var fall [8]float64 // from the cell; below 0 where no roof is
	for n, d := range around8 {
		fall[n] = -1
		if (inner || t.surf.Holds(i+d[0], j+d[1])) && t.surf.Roof[k+to[n]] {
			fall[n] = t.z[k] - t.z[k+to[n]]
		}
	}
	steepest2 := 0.0 // the slope squared, in inches a cell
	a, b, toB := -1, -1, 0.0
	for facet := range 8 {
		side, corner := (facet+1)/2*2%8, facet/2*2+1
		s1, s2 := fall[side], fall[corner]-fall[side]
		if s1 > 0 && s2 > 0 && s2 < s1 && float64(s1*s1)+float64(s2*s2) > steepest2 {
			steepest2 = float64(s1*s1) + float64(s2*s2)
			a, b, toB = side, corner, s2/s1
		}
	}
	for n, f := range fall {
		if f > 0 && f*f/float64(1+n%2) > steepest2 {
			steepest2 = f * f / float64(1+n%2)
			a, b, toB = n, n, 0
		}
	}
	if a < 0 {
		return share{}, false
	}
	return share{int32(k + to[a]), int32(k + to[b]), float32(toB)}, true
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
// every cell is asked after those that its water goes to. Most cells' water
// ends at one outlet; those that share theirs have a held in a list, and until
// the end their place in it for a label, counted down from untold.
func (c *check) gather(shares []share) []int32 {
	end := c.endOfHollows()
	label := make([]int32, len(shares))
	for k, s := range shares {
		switch {
		case !c.surf.Roof[k]:
			label[k] = -1
		case s.a < 0:
			label[k] = end[c.fill.Of[k]]
		default:
			label[k] = untold
		}
	}
	var shared []held
	var stack []int32
	for k := range label {
		if label[k] != untold {
			continue
		}
		for stack = append(stack, int32(k)); len(stack) > 0; {
			q := stack[len(stack)-1]
			s := shares[q]
			switch a, b := label[s.a], label[s.b]; {
			case a == untold:
				stack = append(stack, s.a)
				continue
			case b == untold:
				stack = append(stack, s.b)
				continue
			case s.toB == 0, a == b && a > untold:
				label[q] = a
			default:
				shared = append(shared, joined(heldBy(a, shared), heldBy(b, shared), s.toB))
				label[q] = untold - int32(len(shared))
			}
			stack = stack[:len(stack)-1]
		}
	}
	for k, n := range label {
		if n < untold {
			label[k] = shared[untold-n-1].outlet[0]
		}
	}
	return label
}

// heldBy is the water that a label stands for.
func heldBy(label int32, shared []held) held {
	if label < untold {
		return shared[untold-label-1]
	}
	return held{outlet: [2]int32{label, untold}, part: [2]float32{1, 0}}
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
