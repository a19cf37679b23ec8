package drainage

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"sync"

	"runnel/survey/geom"
)

// hollow is a connected region of wet cells, worth reporting or not.
type hollow struct {
	cells   []int
	rim     []int // cells carried on to walls
	levelIn float64
	first   int // the basin of the fill that it runs over from
	pond    Pond
	report  bool
}

// hollows lists the standing water of a fill; of gives each cell its number
// in the list, -1 where dry.
func (c *check) hollows() (list []hollow, of []int32) {
	of = make([]int32, c.surf.Len())
	for k := range of {
		of[k] = -1
	}
	order := make([]int32, len(c.fill.Hollow))
	for n, h := range c.fill.Order {
		order[h] = int32(n)
	}
	for k := range of {
		if of[k] < 0 && c.isWet(k) {
			list = append(list, c.region(k, of, int32(len(list)), order))
		}
	}
	return list, of
}

// toWalls gives the water at walls to the hollows that it belongs to, and the
// hollow of each cell with it. Where two hollows meet at a wall it is neither's.
func (c *check) toWalls() (wet []int32) {
	if len(c.walls.beside) == 0 {
		return c.pondOf
	}
	wet = slices.Clone(c.pondOf)
	for _, k := range c.walls.beside {
		own, several := int32(-1), false
		c.neighbours(k, func(r int) {
			if n := c.pondOf[r]; n >= 0 {
				own, several = n, several || own >= 0 && own != n
			}
		})
		if own < 0 || several {
			continue
		}
		if h := &c.hollow[own]; c.walls.ElevIn[k] < h.levelIn {
			wet[k], h.rim = own, append(h.rim, k)
		}
	}
	return wet
}

func (c *check) isWet(k int) bool { return c.surf.Roof[k] && c.filledIn[k] > c.surf.ElevIn[k] }

// region gathers the wet cells round k and the fill's hollow by which they run
// over: the one nearest the outlets.
func (c *check) region(k int, of []int32, id int32, order []int32) hollow {
	h := hollow{levelIn: c.filledIn[k], first: int(c.fill.Of[k])}
	of[k] = id
	h.cells = append(h.cells, k)
	for n := 0; n < len(h.cells); n++ {
		q := h.cells[n]
		if b := int(c.fill.Of[q]); order[b] < order[h.first] {
			h.first = b
		}
		c.neighbours(q, func(r int) {
			if of[r] < 0 && c.isWet(r) {
				of[r] = id
				h.cells = append(h.cells, r)
			}
		})
	}
	return h
}

// neighbours calls f for the roof cells of the eight round k.
func (c *check) neighbours(k int, f func(r int)) {
	l := c.surf.Lattice
	i, j := k%l.NX, k/l.NX
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			r := k + dj*l.NX + di
			if r != k && l.Holds(i+di, j+dj) && c.surf.Roof[r] {
				f(r)
			}
		}
	}
}

// measureAll measures every hollow; each worker owns those that it takes.
func (c *check) measureAll(workers int) {
	wet := c.toWalls()
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for n := w; n < len(c.hollow); n += workers {
				c.measure(&c.hollow[n], int32(n), wet)
			}
		})
	}
	wg.Wait()
}

// measure fills in the pond of h and says whether it is worth reporting.
func (c *check) measure(h *hollow, id int32, wet []int32) {
	w := &wetCells{c.walls, wet, id, h.levelIn}
	cells := slices.Concat(h.cells, h.rim)
	p := &h.pond
	p.SpillIn, p.ClosedIn = h.levelIn, math.IsInf(c.fill.Hollow[h.first].Level, 1)
	p.DepthIn, p.Deepest = c.deepestOf(w, cells)
	if p.DepthIn < c.opt.Ponds.Depth.Inches()/2 && !p.ClosedIn {
		return // too shallow to report or to be in doubt
	}
	p.SqFt, p.CuFt = w.measure(cells)
	deep := p.ClosedIn || p.DepthIn >= c.opt.Ponds.Depth.Inches()
	h.report = deep && p.SqFt >= c.opt.Ponds.Area.SquareFeet()
	if h.report {
		p.Outline, p.cells, p.rim = w.outline(cells), h.cells, h.rim
		p.Spill, p.Unsure = c.spillOf(h), c.overUnshot(h)
		c.findCause(h)
	}
}

func (c *check) centre(k int) geom.Pt { return c.surf.Centre(k%c.surf.NX, k/c.surf.NX) }

// spillOf is the place where a hollow runs over; where it is closed in, its
// deepest.
func (c *check) spillOf(h *hollow) geom.Pt {
	b := c.fill.Hollow[h.first]
	switch {
	case b.Outlet >= 0:
		return c.site.Outlets[b.Outlet].P
	case b.Into >= 0:
		at := b.In
		if c.surf.ElevIn[b.Out] > c.surf.ElevIn[b.In] {
			at = b.Out
		}
		return c.centre(at)
	}
	return h.pond.Deepest
}

// namePonds orders the ponds worth reporting, names them and says where each
// runs over to. index gives each hollow its place in the answer; -1: none.
func (c *check) namePonds(list []hollow) (ponds []Pond, index []int) {
	var worth []int
	index = make([]int, len(list))
	for n := range list {
		index[n] = -1
		if list[n].report {
			worth = append(worth, n)
		}
	}
	slices.SortStableFunc(worth, func(a, b int) int {
		p, q := list[a].pond, list[b].pond
		return cmp.Or(coarse(q.DepthIn, p.DepthIn), coarse(q.SqFt, p.SqFt),
			coarse(p.Deepest.X, q.Deepest.X), coarse(p.Deepest.Y, q.Deepest.Y))
	})
	for n, m := range worth {
		index[m] = n
	}
	marks, place := noMarks(c.surf.Len()), noMarks(c.surf.Len())
	for n, m := range worth {
		p := list[m].pond
		p.ID = pondName(n)
		p.SpillsTo, p.Overflow = c.spillsTo(list[m].first, index)
		p.doubtIn = 2 * c.doubtOf(&list[m])
		s := stageOf(c.walls, &p, marks)
		p.Inner = c.innerOf(s, place)
		if dryIn := c.opt.Ponds.Drying.Inches(); dryIn > 0 {
			p.Left = s.left(dryIn)
		}
		ponds = append(ponds, p)
	}
	return ponds, index
}

func pondName(n int) string { return "P" + strconv.Itoa(n+1) }

// coarse compares figures; what differs by rounding is equal.
func coarse(a, b float64) int {
	return cmp.Compare(math.Round(a*1e7), math.Round(b*1e7))
}

// spillsTo follows the water over the lip of a hollow of the fill to the next
// pond worth reporting, or to an outlet, and on to the outlet to see whether
// it is an overflow.
func (c *check) spillsTo(first int, index []int) (to string, overflow bool) {
	for b := first; ; {
		h := c.fill.Hollow[b]
		if h.Outlet >= 0 {
			o := c.site.Outlets[h.Outlet]
			if to == "" {
				to = o.ID
			}
			return to, o.Overflow
		}
		if h.Into < 0 {
			return to, false
		}
		b = h.Into
		if n := c.pondOf[c.fill.Hollow[b].Bottom]; n >= 0 && to == "" && index[n] >= 0 &&
			c.hollow[n].first != first {
			to = pondName(index[n])
		}
	}
}

// fillUp gives each cell its water level. A region that no outlet drains
// stands full to its highest cell, since nothing says how high its walls are;
// where it is level or nearly so, at least as deep as ponds are reported from.
func (c *check) fillUp() {
	c.filledIn = c.fill.Level
	seen := make([]bool, c.surf.Len())
	for k := range c.filledIn {
		if !math.IsInf(c.filledIn[k], 1) || seen[k] {
			continue
		}
		seen[k] = true
		region, topIn, bottomIn := []int{k}, c.surf.ElevIn[k], c.surf.ElevIn[k]
		for n := 0; n < len(region); n++ {
			topIn = math.Max(topIn, c.surf.ElevIn[region[n]])
			bottomIn = math.Min(bottomIn, c.surf.ElevIn[region[n]])
			c.neighbours(region[n], func(r int) {
				if !seen[r] {
					seen[r] = true
					region = append(region, r)
				}
			})
		}
		levelIn := math.Max(topIn, bottomIn+c.opt.Ponds.Depth.Inches())
		for _, r := range region {
			c.filledIn[r] = levelIn
		}
	}
}
