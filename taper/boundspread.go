package taper

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper/internal/sight"
)

// spread is the least surface as it grows from the outlets over a deck: every
// place stands at the higher of its floor, deck and thinnest, and of where its
// water goes plus the slope times the straight way there. Each cell keeps the
// place its straight way leads to, so that ways run at any angle and not along
// the raster (the idea is Theta*, Daniel, Nash, Koenig, Felner 2010, from
// memory); a cell whose floor binds is such a place itself.
type spread struct {
	survey.Lattice
	walls   *sight.Walls
	turns   bool // the area has corners that hide places from one another
	roof    []bool
	floorIn []float64
	perFt   float64
	atIn    []float64 // the surface; infinite: not reached
	to      []foot
	state   []cellState
	next    heapOf
}

// foot is where a straight way ends: its place and the surface there.
type foot struct {
	at geom.Pt
	in float64
}

type cellState uint8

const (
	openCell cellState = iota
	clearCell
	doneCell
)

// floorAt is the floor at a place: that of the nearest roof cell, carried on by
// its slope, so that a plane is exact at walls too; false where none is near.
func (sp *spread) floorAt(p geom.Pt) (float64, bool) {
	ci, cj := sp.CellOf(p)
	near, best := math.Inf(1), -1
	for j := max(0, cj-1); j <= min(sp.NY-1, cj+1); j++ {
		for i := max(0, ci-1); i <= min(sp.NX-1, ci+1); i++ {
			if d := sp.Centre(i, j).Dist(p); sp.roof[j*sp.NX+i] && d < near {
				near, best = d, j*sp.NX+i
			}
		}
	}
	if best < 0 {
		return 0, false
	}
	i, j := best%sp.NX, best/sp.NX
	by := p.Sub(sp.Centre(i, j))
	return sp.floorIn[best] + by.X*sp.risePerFt(best, i, sp.NX, 1) + by.Y*sp.risePerFt(best, j, sp.NY, sp.NX), true
}

// risePerFt is the rise of the floor over the cells before and behind k, the
// at-th of n that lie step apart; of a wall's cell over the one it has.
func (sp *spread) risePerFt(k, at, n, step int) float64 {
	lo, hi := k, k
	if at > 0 && sp.roof[k-step] {
		lo -= step
	}
	if at < n-1 && sp.roof[k+step] {
		hi += step
	}
	if lo == hi {
		return 0
	}
	return (sp.floorIn[hi] - sp.floorIn[lo]) / (float64((hi-lo)/step) * sp.CellFt)
}

// seed offers a foot to the cells about it.
func (sp *spread) seed(f foot) {
	ci, cj := sp.CellOf(f.at)
	for j := cj - 1; j <= cj+1; j++ {
		for i := ci - 1; i <= ci+1; i++ {
			if sp.Holds(i, j) {
				sp.offer(j*sp.NX+i, f)
			}
		}
	}
}

// offer lets cell k run to a foot, where that is lower than what it has.
func (sp *spread) offer(k int, f foot) {
	if !sp.roof[k] || sp.state[k] == doneCell {
		return
	}
	p := sp.Centre(k%sp.NX, k/sp.NX)
	in := f.in + sp.perFt*p.Dist(f.at)
	floor := sp.floorIn[k]
	if math.Max(in, floor) >= sp.atIn[k]-sameIn {
		return
	}
	sp.state[k] = openCell
	if in < floor-sameIn {
		in, f, sp.state[k] = floor, foot{p, floor}, clearCell
	}
	sp.atIn[k], sp.to[k] = in, f
	sp.next.push(in, k)
}

// grow takes the cells lowest first.
func (sp *spread) grow() {
	for sp.next.len() > 0 {
		in, k := sp.next.pop()
		if sp.state[k] == doneCell || in != sp.atIn[k] {
			continue
		}
		if sp.state[k] == openCell && !sp.clear(k) {
			sp.round(k)
			continue
		}
		sp.state[k] = doneCell
		sp.about(k, func(n int) { sp.offer(n, sp.to[k]) })
	}
}

// round lets a cell that does not see its foot run to the best of the cells
// about it that are done.
func (sp *spread) round(k int) {
	p := sp.Centre(k%sp.NX, k/sp.NX)
	best := foot{in: math.Inf(1)}
	lowest := math.Inf(1)
	sp.about(k, func(n int) {
		q := sp.Centre(n%sp.NX, n/sp.NX)
		in := sp.atIn[n] + sp.perFt*p.Dist(q)
		if sp.state[n] == doneCell && in < lowest && (!sp.turns || sp.walls.Sees(p, q)) {
			best, lowest = foot{q, sp.atIn[n]}, in
		}
	})
	sp.atIn[k] = math.Max(lowest, sp.floorIn[k])
	if math.IsInf(lowest, 1) {
		sp.atIn[k] = lowest
		return
	}
	if lowest < sp.floorIn[k]-sameIn {
		best = foot{p, sp.floorIn[k]}
	}
	sp.to[k], sp.state[k] = best, clearCell
	sp.next.push(sp.atIn[k], k)
}

// clear says whether the straight way of a cell stays on the area, and over the
// floor by what half a cell of it can differ.
func (sp *spread) clear(k int) bool {
	p, f := sp.Centre(k%sp.NX, k/sp.NX), sp.to[k]
	if sp.turns && !sp.walls.Sees(p, f.at) {
		return false
	}
	length := p.Dist(f.at)
	steps := int(length / sp.CellFt)
	if steps < 2 {
		return true
	}
	step := f.at.Sub(p).Mul(1 / float64(steps))
	fallIn := sp.perFt * length / float64(steps)
	in := sp.atIn[k] + sp.perFt*sp.CellFt/2
	x, y := p.X/sp.CellFt+float64(sp.NX)/2, p.Y/sp.CellFt+float64(sp.NY)/2
	dx, dy := step.X/sp.CellFt, step.Y/sp.CellFt
	for range steps - 1 {
		x, y, in = x+dx, y+dy, in-fallIn
		// The outline may reach a hair past the last cells.
		i, j := min(max(int(x), 0), sp.NX-1), min(max(int(y), 0), sp.NY-1)
		if sp.floorIn[j*sp.NX+i] > in {
			return false
		}
	}
	return true
}

// about calls f for the eight cells round k.
func (sp *spread) about(k int, f func(n int)) {
	ci, cj := k%sp.NX, k/sp.NX
	for j := max(0, cj-1); j <= min(sp.NY-1, cj+1); j++ {
		for i := max(0, ci-1); i <= min(sp.NX-1, ci+1); i++ {
			if n := j*sp.NX + i; n != k {
				f(n)
			}
		}
	}
}

// heapOf gives cells lowest first; of the same height the lower index.
type heapOf []waiting

type waiting struct {
	in float64
	k  int32
}

func (w waiting) before(v waiting) bool { return w.in < v.in || w.in == v.in && w.k < v.k }

func (h heapOf) len() int { return len(h) }

func (h *heapOf) push(in float64, k int) {
	*h = append(*h, waiting{})
	w, at := waiting{in, int32(k)}, len(*h)-1
	for at > 0 && w.before((*h)[(at-1)/2]) {
		(*h)[at] = (*h)[(at-1)/2]
		at = (at - 1) / 2
	}
	(*h)[at] = w
}

func (h *heapOf) pop() (float64, int) {
	top, n := (*h)[0], len(*h)-1
	w, at := (*h)[n], 0
	*h = (*h)[:n]
	for 2*at+1 < n {
		c := 2*at + 1
		if c+1 < n && (*h)[c+1].before((*h)[c]) {
			c++
		}
		if !(*h)[c].before(w) {
			break
		}
		(*h)[at] = (*h)[c]
		at = c
	}
	if n > 0 {
		(*h)[at] = w
	}
	return top.in, int(top.k)
}
