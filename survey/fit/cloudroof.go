package fit

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// What is roof in a point cloud. Common practice, no source.
const (
	modeShare   = 0.25 // of a cell's points must stand together to be its level
	modeWidths  = 2.5  // scatters: how near together
	leastMode   = 0.5  // in, at least
	mostMode    = 4.0  // in, at most
	leastStepIn = 1.25 // no step by less
	mostStepIn  = 6.0  // a step in any cloud
	stepScales  = 3.0  // times the usual difference of neighbours
	loneScales  = 4.0  // times the usual miss of a cell by its neighbours: a thing on the roof
	bigShare    = 0.1  // of the roof: so large a surface may be the roof too
	bigOffIn    = 12.0 // unless it is farther off
	sumpIn      = 6.0  // how far below the roof a low place is still roof
	gapOffIn    = 3.0  // how far above, where it does not touch
	fillRings   = 60   // cells that the roof is carried on under things
	windowLeast = 0.75 // in: points nearer to the roof than this are on it
	windowWide  = 3.5  // scatters
	aboveIn     = 3.0  // points higher than this stand on an object
	coreShare   = 0.5  // of a cell's points are so high in the midst of an object
	rimShare    = 0.2  // and at its rim
	fullShare   = 0.4  // over all its cells; less is people passing by
)

// flatten takes a robust plane off all points: that through the medians of the
// cells.
func (c *cloudCells) flatten() {
	mids := make([]float64, c.l.Len())
	c.each(func(k int32, scratch *[]float32) {
		mids[k] = float64(middle(heights(c.of(k), scratch)))
	})
	var p places
	for _, k := range c.full {
		p.at, p.zIn = append(p.at, c.centre(k)), append(p.zIn, mids[k])
	}
	if len(p.at) == 0 {
		return
	}
	c.plane = robustPlane(p.at, p.zIn)
	c.each(func(k int32, _ *[]float32) {
		for i, q := range c.of(k) {
			c.of(k)[i].zIn = float32(float64(q.zIn) - c.plane.At(geom.Pt{X: float64(q.x), Y: float64(q.y)}))
		}
	})
}

func (c *cloudCells) centre(k int32) geom.Pt { return c.l.Centre(int(k)%c.l.NX, int(k)/c.l.NX) }

// heights sorts the elevations of ps into scratch.
func heights(ps []framePt, scratch *[]float32) []float32 {
	z := (*scratch)[:0]
	for _, p := range ps {
		z = append(z, p.zIn)
	}
	*scratch = z
	slices.Sort(z)
	return z
}

// middle is the median of sorted z, which is not empty.
func middle(z []float32) float32 {
	m := len(z) / 2
	if len(z)%2 == 1 {
		return z[m]
	}
	return z[m-1] + (z[m]-z[m-1])/2
}

// levels gives each cell the lowest level at which a good share of its points
// stand together. How near together follows from the middle half of the
// points of usual cells, 1.349 standard deviations wide for normal scatter.
func (c *cloudCells) levels() {
	halves := make([]float64, c.l.Len())
	c.each(func(k int32, scratch *[]float32) {
		halves[k] = math.NaN()
		if z := heights(c.of(k), scratch); len(z) >= 4 {
			n := len(z)
			halves[k] = float64(z[n-1-n/4] - z[n/4])
		}
	})
	var known []float64
	for _, k := range c.full {
		if !math.IsNaN(halves[k]) {
			known = append(known, halves[k])
		}
	}
	c.scatter = median(known) / 1.349
	c.widthIn = math.Max(leastMode, math.Min(mostMode, modeWidths*c.scatter))
	c.levelIn = make([]float64, c.l.Len())
	c.each(func(k int32, scratch *[]float32) {
		c.levelIn[k] = lowestMode(heights(c.of(k), scratch), float32(c.widthIn))
	})
}

// lowestMode is the lowest elevation about which modeShare of sorted z stand
// within width: from the lowest window with so many the window is moved to the
// middle of its points until it rests (mean shift; Fukunaga and Hostetler,
// 1975, from memory). The median of all where there is no such window.
func lowestMode(z []float32, width float32) float64 {
	need := max(min(3, len(z)), int(math.Ceil(modeShare*float64(len(z)))))
	for i := 0; i+need <= len(z); i++ {
		if z[i+need-1]-z[i] > width {
			continue
		}
		in := z[i:upTo(z, z[i]+width)]
		for range 20 {
			mean := 0.0
			for _, v := range in {
				mean += float64(v)
			}
			mid := float32(mean / float64(len(in)))
			from := upTo(z, math.Nextafter32(mid-width/2, -math.MaxFloat32))
			next := z[from:max(from+1, upTo(z, mid+width/2))]
			if &next[0] == &in[0] && len(next) == len(in) {
				break
			}
			in = next
		}
		return float64(middle(in))
	}
	return float64(middle(z))
}

// upTo is how many of sorted z are no more than v.
func upTo(z []float32, v float32) int {
	n, _ := slices.BinarySearchFunc(z, v, func(e, v float32) int {
		if e <= v {
			return -1
		}
		return 1
	})
	return n
}

// around visits the cells with points among the neighbours of k, out to reach.
func (c *cloudCells) around(k int32, reach int, f func(m int32)) {
	c.neighbours(k, reach, func(m int32) {
		if c.start[m+1] > c.start[m] {
			f(m)
		}
	})
}

// neighbours visits the cells about k, out to reach, with points or without.
func (c *cloudCells) neighbours(k int32, reach int, f func(m int32)) {
	ci, cj := int(k)%c.l.NX, int(k)/c.l.NX
	for j := max(cj-reach, 0); j <= min(cj+reach, c.l.NY-1); j++ {
		for i := max(ci-reach, 0); i <= min(ci+reach, c.l.NX-1); i++ {
			if m := int32(j*c.l.NX + i); m != k {
				f(m)
			}
		}
	}
}

// part is a set of cells in a row without a step between.
type part struct {
	cells  []int32
	meanIn float64
}

// segments says which cells are roof.
func (c *cloudCells) segments() {
	c.steps()
	c.roof, c.baseIn = make([]bool, c.l.Len()), make([]float64, c.l.Len())
	parts := c.parts()
	if len(parts) == 0 {
		return
	}
	take := func(p part) {
		for _, k := range p.cells {
			c.roof[k] = true
		}
	}
	take(parts[0])
	ring := c.carryOn()
	var more, rest []part
	for _, p := range parts[1:] {
		off, _ := c.off(p, ring)
		if float64(len(p.cells)) >= bigShare*float64(len(parts[0].cells)) && math.Abs(off) <= bigOffIn {
			more = append(more, p)
		} else {
			rest = append(rest, p)
		}
	}
	for _, p := range more {
		take(p)
	}
	ring = c.carryOn()
	more = nil
	for _, p := range rest {
		off, touches := c.off(p, ring)
		if off <= 0 && off >= -sumpIn || off > 0 && off <= c.stepIn || off > 0 && off <= gapOffIn && !touches {
			more = append(more, p)
		}
	}
	for _, p := range more {
		take(p)
	}
	c.prune()
	c.carryOn()
}

// prune takes single cells, and pairs, off the roof that stand off the robust
// plane through the roof's cells about them: things too small to be parted from
// it by steps, and strays. Rows of such cells are ridges and stay, as do low ones
// in the bowl of a drain.
func (c *cloudCells) prune() {
	offs := make([]float64, c.l.Len())
	lone := make([]bool, c.l.Len())
	c.each(func(k int32, _ *[]float32) {
		pl, told := c.planeOf(k)
		if !c.roof[k] || !told {
			return
		}
		offs[k] = c.levelIn[k] - pl.At(c.centre(k))
		along := 0
		c.around(k, 1, func(m int32) {
			if c.roof[m] && (c.levelIn[m]-pl.At(c.centre(m)))/offs[k] >= 0.5 {
				along++
			}
		})
		lone[k] = along <= 1 && (offs[k] > 0 || !c.inBowl(k))
	})
	var amounts []float64
	for _, k := range c.full {
		if c.roof[k] {
			amounts = append(amounts, math.Abs(offs[k]))
		}
	}
	limit := math.Max(leastStepIn, loneScales*usual(amounts))
	for _, k := range c.full {
		if lone[k] && math.Abs(offs[k]) > limit {
			c.roof[k] = false
		}
	}
}

// inBowl says whether cell k lies within bowlFt of a drain.
func (c *cloudCells) inBowl(k int32) bool {
	for _, d := range c.drains {
		if d.Dist(c.centre(k)) <= bowlFt+c.l.CellFt/2 {
			return true
		}
	}
	return false
}

// planeOf is the robust plane through the roof's cells within two of k, which
// may be roof itself; told is false where there are too few.
func (c *cloudCells) planeOf(k int32) (pl survey.Plane, told bool) {
	var pts [25]geom.Pt
	var zIn [25]float64
	n := 0
	add := func(m int32) {
		if c.roof[m] {
			pts[n], zIn[n] = c.centre(m), c.levelIn[m]
			n++
		}
	}
	add(k)
	c.around(k, 2, add)
	if n < 6 {
		return survey.Plane{CIn: c.levelIn[k]}, c.roof[k]
	}
	return robustPlane(pts[:n], zIn[:n]), true
}

// steps finds what difference between neighbouring cells is a step.
func (c *cloudCells) steps() {
	n := 0
	var diffs []float64
	for _, k := range c.full {
		n += len(c.of(k))
		c.around(k, 1, func(m int32) {
			if m > k {
				diffs = append(diffs, math.Abs(c.levelIn[k]-c.levelIn[m]))
			}
		})
	}
	c.stepIn = math.Max(leastStepIn, math.Min(mostStepIn, stepScales*usual(diffs)))
	c.least = 1
	if n >= 6*len(c.full) {
		c.least = 3
	}
}

// parts are the cells put together where no step parts them, the largest
// first; of two as large the lower.
func (c *cloudCells) parts() []part {
	seen := make([]bool, c.l.Len())
	var out []part
	for _, k := range c.full {
		if seen[k] {
			continue
		}
		seen[k] = true
		p := part{cells: []int32{k}}
		for n := 0; n < len(p.cells); n++ {
			at := p.cells[n]
			p.meanIn += c.levelIn[at]
			c.around(at, 1, func(m int32) {
				if !seen[m] && math.Abs(c.levelIn[m]-c.levelIn[at]) <= c.stepIn {
					seen[m] = true
					p.cells = append(p.cells, m)
				}
			})
		}
		p.meanIn /= float64(len(p.cells))
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b part) int {
		return cmp.Or(cmp.Compare(len(b.cells), len(a.cells)), cmp.Compare(a.meanIn, b.meanIn))
	})
	return out
}

// carryOn fills baseIn: the roof's own levels, and ring by ring about them the
// mean of the neighbours in the ring before. It gives the ring of each cell,
// -1 beyond fillRings.
func (c *cloudCells) carryOn() []int16 {
	ring := make([]int16, c.l.Len())
	var edge []int32
	for k := range ring {
		ring[k], c.baseIn[k] = -1, math.NaN()
		if c.roof[k] {
			ring[k], c.baseIn[k] = 0, c.levelIn[k]
			edge = append(edge, int32(k))
		}
	}
	for n := int16(1); n <= fillRings && len(edge) > 0; n++ {
		var next []int32
		for _, k := range edge {
			c.neighbours(k, 1, func(m int32) {
				if ring[m] < 0 {
					ring[m] = n
					next = append(next, m)
				}
			})
		}
		for _, k := range next {
			sum, count := 0.0, 0.0
			c.neighbours(k, 1, func(m int32) {
				if ring[m] == n-1 {
					sum, count = sum+c.baseIn[m], count+1
				}
			})
			c.baseIn[k] = sum / count
		}
		edge = next
	}
	return ring
}

// off is how far a part stands above the roof where it is nearest to it, the
// median, and whether it touches the roof; infinite beyond reach.
func (c *cloudCells) off(p part, ring []int16) (offIn float64, touches bool) {
	nearest := int16(math.MaxInt16)
	for _, k := range p.cells {
		if ring[k] >= 0 {
			nearest = min(nearest, ring[k])
		}
	}
	var offs []float64
	for _, k := range p.cells {
		if ring[k] == nearest {
			offs = append(offs, c.levelIn[k]-c.baseIn[k])
		}
	}
	if len(offs) == 0 {
		return math.Inf(1), false
	}
	return median(offs), nearest <= 1
}
