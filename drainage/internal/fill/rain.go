package fill

import (
	"cmp"
	"math"
	"slices"
)

// Basins are the hollows of a raster as tanks that stand in one another: two
// hollows that are full to the pass between them are one tank from there on.
// Volumes are in cells times the unit of elevation. Rain is poured in as it
// comes; what a full tank gets runs over its lowest pass into the hollow
// beyond, and at last to an outlet. Two tanks at one pass pour into each other
// until both are full, so what stands in the end does not depend on the order.
//
// Source of the idea: R. Barnes, K. Callaghan, A. Wickert 2020 and 2021, on
// hierarchies of depressions and on filling, spilling and merging, Earth
// Surface Dynamics; from memory.
type Basins struct {
	g      Grid
	z      []float64
	res    *Result
	tanks  []tank
	lowest []int32   // the open cells, the lowest first
	cells  []int32   // the same, those of one hollow together
	first  []int32   // place in cells of each hollow's first; one more at the end
	Left   []float64 // what has left by each outlet
}

// tank is a hollow, tank h being hollow h, or two tanks that are one from their
// pass on.
type tank struct {
	holds, level float64 // to the level of its pass; +Inf where closed in
	held         float64 // of parts: from when both are full
	parent, twin int     // the tank that it becomes with its twin; -1: none
	parts        [2]int  // -1: a hollow
	to           int     // hollow that it runs over into; -1: out, or nowhere
	outlet       int     // where it leaves, index in Left; -1: it does not
}

// joint is a pass between two hollows, or from one to an outlet (b = -1).
type joint struct {
	level  float64
	a, b   int32
	outlet int
}

// NewBasins makes the tanks of a filled raster, all dry; outlets is how many
// numbers of outlets the seeds have. Cost: O(n log n) for n cells.
func NewBasins(g Grid, z []float64, seeds []Seed, res *Result, outlets int) *Basins {
	b := &Basins{g: g, z: z, res: res, Left: make([]float64, outlets)}
	b.sortCells()
	for range res.Hollow {
		b.newTank([2]int{-1, -1})
	}
	b.join(b.joints(seeds))
	return b
}

func (b *Basins) newTank(parts [2]int) int {
	b.tanks = append(b.tanks, tank{holds: math.Inf(1), level: math.Inf(1), parent: -1, twin: -1, parts: parts, to: -1, outlet: -1})
	return len(b.tanks) - 1
}

// sortCells lists the cells from the lowest up, all and by hollow.
func (b *Basins) sortCells() {
	b.first = make([]int32, len(b.res.Hollow)+1)
	for k, h := range b.res.Of {
		if h >= 0 {
			b.lowest = append(b.lowest, int32(k))
			b.first[h+1]++
		}
	}
	slices.SortFunc(b.lowest, func(p, q int32) int { return cmp.Or(cmp.Compare(b.z[p], b.z[q]), cmp.Compare(p, q)) })
	for h := 1; h < len(b.first); h++ {
		b.first[h] += b.first[h-1]
	}
	b.cells = make([]int32, len(b.lowest))
	at := slices.Clone(b.first)
	for _, k := range b.lowest {
		h := b.res.Of[k]
		b.cells[at[h]] = k
		at[h]++
	}
}

// joints lists the lowest pass between each two hollows and out of each, the
// lowest first.
func (b *Basins) joints(seeds []Seed) []joint {
	least := map[[2]int32]joint{}
	add := func(j joint) {
		key := [2]int32{j.a, j.b}
		if old, ok := least[key]; !ok || j.level < old.level {
			least[key] = j
		}
	}
	for _, s := range seeds {
		if h := b.res.Of[s.Cell]; h >= 0 {
			add(joint{math.Max(s.Level, b.z[s.Cell]), h, -1, s.Outlet})
		}
	}
	for _, c := range b.lowest {
		k := int(c)
		i, j := k%b.g.NX, k/b.g.NX
		for _, d := range [4][2]int{{1, 0}, {-1, 1}, {0, 1}, {1, 1}} {
			r := k + d[1]*b.g.NX + d[0]
			if i+d[0] < 0 || i+d[0] >= b.g.NX || j+d[1] >= b.g.NY || b.res.Of[r] < 0 || b.res.Of[r] == b.res.Of[k] {
				continue
			}
			p, q := b.res.Of[k], b.res.Of[r]
			add(joint{math.Max(b.z[k], b.z[r]), min(p, q), max(p, q), -1})
		}
	}
	out := make([]joint, 0, len(least))
	for _, j := range least {
		out = append(out, j)
	}
	slices.SortFunc(out, func(p, q joint) int {
		return cmp.Or(cmp.Compare(p.level, q.level), cmp.Compare(p.b, q.b), cmp.Compare(p.a, q.a))
	})
	return out
}

// rising is the water of the tanks while their passes are joined, by the hollow
// that stands for each.
type rising struct {
	up    []int32 // to the hollow that stands for it, in steps
	tank  []int
	out   []bool // it runs over to an outlet
	level []float64
	wet   []float64 // cells under the level
	held  []float64
}

func (r *rising) find(h int32) int32 {
	for r.up[h] != h {
		r.up[h] = r.up[r.up[h]]
		h = r.up[h]
	}
	return h
}

// to lets the water of a tank rise to a level.
func (r *rising) to(p int32, level float64) {
	if r.wet[p] > 0 {
		r.held[p] += r.wet[p] * (level - r.level[p])
	}
	r.level[p] = level
}

// join makes tanks of the joints, from the lowest up. Once one side leaves by
// an outlet the other only runs over into it.
func (b *Basins) join(joints []joint) {
	n := len(b.res.Hollow)
	r := &rising{make([]int32, n), make([]int, n), make([]bool, n), make([]float64, n), make([]float64, n), make([]float64, n)}
	for h := range n {
		r.up[h], r.tank[h] = int32(h), h
	}
	wet := 0
	for _, j := range joints {
		for ; wet < len(b.lowest) && b.z[b.lowest[wet]] < j.level; wet++ {
			k := b.lowest[wet]
			p := r.find(b.res.Of[k])
			r.to(p, b.z[k])
			r.wet[p]++
		}
		p := r.find(j.a)
		if j.b < 0 {
			b.over(r, p, j.level, -1, j.outlet)
			continue
		}
		q := r.find(j.b)
		if p == q {
			continue
		}
		one := !r.out[p] && !r.out[q]
		outP, outQ := r.out[p], r.out[q]
		if !outP {
			b.over(r, p, j.level, int(j.b), -1)
		}
		if !outQ {
			b.over(r, q, j.level, int(j.a), -1)
		}
		if one {
			b.merge(r, p, q)
		}
	}
}

// over settles how much the tank of p holds up to a pass, and where that leads:
// to a hollow, or to an outlet. It counts as leading out until it is merged.
func (b *Basins) over(r *rising, p int32, level float64, to, outlet int) {
	if r.out[p] {
		return
	}
	r.to(p, level)
	t := &b.tanks[r.tank[p]]
	t.level, t.holds, t.to, t.outlet = level, r.held[p], to, outlet
	r.out[p] = true
}

// merge makes one tank of two that are full to their pass.
func (b *Basins) merge(r *rising, p, q int32) {
	tp, tq := r.tank[p], r.tank[q]
	n := b.newTank([2]int{tp, tq})
	b.tanks[tp].parent, b.tanks[tp].twin = n, tq
	b.tanks[tq].parent, b.tanks[tq].twin = n, tp
	r.up[q], r.tank[p], r.out[p] = p, n, false
	r.wet[p] += r.wet[q]
	r.held[p] += r.held[q]
}

// Rain lets a depth fall on every cell. What falls on a hollow's cells runs to
// its bottom.
func (b *Basins) Rain(depth float64) {
	for h := range b.res.Hollow {
		b.pour(h, depth*float64(b.first[h+1]-b.first[h]))
	}
}

func (b *Basins) isFull(t int) bool { return b.tanks[t].held >= b.tanks[t].holds }

// tankOf is the tank that hollow h is part of as the water stands.
func (b *Basins) tankOf(h int) int {
	t := h
	for b.tanks[t].parent >= 0 && b.isFull(t) && b.isFull(b.tanks[t].twin) {
		t = b.tanks[t].parent
	}
	return t
}

// pour gives a volume to hollow h. Each turn fills a tank, or follows the water
// down over a full one.
func (b *Basins) pour(h int, volume float64) {
	for volume > 0 {
		n := b.tankOf(h)
		t := &b.tanks[n]
		if t.held == 0 && t.parts[0] >= 0 {
			t.held = b.tanks[t.parts[0]].held + b.tanks[t.parts[1]].held
		}
		if room := t.holds - t.held; volume < room {
			t.held += volume
			return
		} else if room > 0 {
			volume -= room
		}
		t.held = math.Max(t.held, t.holds)
		switch {
		case t.parent >= 0 && b.isFull(t.twin): // one tank from here on
		case t.outlet >= 0:
			b.Left[t.outlet] += volume
			return
		default:
			h = t.to
		}
	}
}

// Held is all the water that stands.
func (b *Basins) Held() (sum float64) {
	done := map[int]bool{}
	for h := range b.res.Hollow {
		if t := b.tankOf(h); !done[t] {
			done[t] = true
			sum += b.heldIn(t)
		}
	}
	return sum
}

// heldIn is what a tank holds, its parts being full.
func (b *Basins) heldIn(n int) float64 {
	t := b.tanks[n]
	if t.held == 0 && t.parts[0] >= 0 {
		return b.heldIn(t.parts[0]) + b.heldIn(t.parts[1])
	}
	return t.held
}

// Levels is the level of the water over each open cell, the cell itself where
// it is dry. Cost: O(n log n).
func (b *Basins) Levels() []float64 {
	in := map[int][]int32{} // cells of each tank
	for h := range b.res.Hollow {
		t := b.tankOf(h)
		in[t] = append(in[t], b.cells[b.first[h]:b.first[h+1]]...)
	}
	level := slices.Clone(b.z)
	for t, cells := range in {
		to := b.tanks[t].level
		if !b.isFull(t) {
			to = b.levelOf(cells, b.heldIn(t))
		}
		for _, k := range cells {
			level[k] = math.Max(b.z[k], to)
		}
	}
	return level
}

// levelOf is the level of a volume over cells: the lowest are wet.
func (b *Basins) levelOf(cells []int32, volume float64) float64 {
	slices.SortFunc(cells, func(p, q int32) int { return cmp.Compare(b.z[p], b.z[q]) })
	level := b.z[cells[0]]
	for n, k := range cells[1:] {
		need := float64(n+1) * (b.z[k] - level)
		if need > volume {
			return level + volume/float64(n+1)
		}
		volume -= need
		level = b.z[k]
	}
	return level + volume/float64(len(cells))
}
