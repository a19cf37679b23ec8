package fit

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// refine looks at every point again: it is on the roof where it stands near the
// plane through the roof's cells about its own, moved to the middle of its
// cell's points near it. Where few of a cell's points stand near that plane, its
// own level is asked, if it is roof: a sump.
func (c *cloudCells) refine() {
	n := c.l.Len()
	c.rescale()
	c.kept, c.above = make([]int32, n), make([]int32, n)
	shifts := make([]float64, n)
	window := math.Max(windowLeast, windowWide*c.scatter)
	c.each(func(k int32, scratch *[]float32) {
		if pl := c.slopes[k]; c.told[k] {
			ps := c.of(k)
			need := max(c.least, int(math.Ceil(modeShare*float64(len(ps)))))
			kept, offIn := settle(ps, pl, 0, window, scratch)
			if (kept < need || math.Abs(offIn) > window) && c.roof[k] {
				kept, offIn = settle(ps, pl, c.levelIn[k]-pl.At(c.centre(k)), window, scratch)
			}
			if kept >= need {
				c.kept[k], shifts[k] = int32(kept), offIn
			}
		}
		c.countAbove(k)
	})
	for _, k := range c.full {
		if kept := int(c.kept[k]); kept > 0 {
			at := meanPlace(c.of(k)[:kept])
			c.found = append(c.found, foundCell{int(k), at, c.plane.At(at) + c.slopes[k].At(at) + shifts[k], kept})
		}
	}
	c.countLoose()
}

// rescale lays the plane about each cell and finds the scatter of a point again,
// now about the roof: the usual amount by which the points of a cell miss its
// plane.
func (c *cloudCells) rescale() {
	misses := make([]float64, c.l.Len())
	c.slopes, c.told = make([]survey.Plane, c.l.Len()), make([]bool, c.l.Len())
	c.each(func(k int32, scratch *[]float32) {
		pl, told := c.planeOf(k)
		c.slopes[k], c.told[k] = pl, told
		if misses[k] = math.NaN(); !told || !c.roof[k] || len(c.of(k)) < c.least {
			return
		}
		z := (*scratch)[:0]
		for _, p := range c.of(k) {
			z = append(z, float32(math.Abs(offPlane(p, pl))))
		}
		*scratch = z
		slices.Sort(z)
		misses[k] = float64(middle(z))
	})
	var known []float64
	for _, k := range c.full {
		if !math.IsNaN(misses[k]) {
			known = append(known, misses[k])
		}
	}
	c.scatter = usual(known)
}

// settle moves a plane from offIn to the middle of the points of ps within a
// window of it, and puts these first; it gives their number.
func settle(ps []framePt, pl survey.Plane, offIn, window float64, scratch *[]float32) (int, float64) {
	kept := 0
	for range 3 {
		if kept = split(ps, pl, offIn, window); kept == 0 {
			break
		}
		offIn = offMiddle(ps[:kept], pl, scratch)
	}
	return kept, offIn
}

// split puts the points of ps within window of the plane, moved by offIn, first
// and gives their number.
func split(ps []framePt, pl survey.Plane, offIn, window float64) int {
	n := 0
	for i, p := range ps {
		if math.Abs(offPlane(p, pl)-offIn) <= window {
			ps[n], ps[i] = ps[i], ps[n]
			n++
		}
	}
	return n
}

func offPlane(p framePt, pl survey.Plane) float64 {
	return float64(p.zIn) - pl.At(geom.Pt{X: float64(p.x), Y: float64(p.y)})
}

func offMiddle(ps []framePt, pl survey.Plane, scratch *[]float32) float64 {
	z := (*scratch)[:0]
	for _, p := range ps {
		z = append(z, float32(offPlane(p, pl)))
	}
	*scratch = z
	slices.Sort(z)
	return float64(middle(z))
}

func meanPlace(ps []framePt) geom.Pt {
	var sum geom.Pt
	for _, p := range ps {
		sum = sum.Add(geom.Pt{X: float64(p.x), Y: float64(p.y)})
	}
	return sum.Mul(1 / float64(len(ps)))
}

// countAbove counts the points of cell k that are left out and stand above the
// roof carried on to it; where it does not reach, all count.
func (c *cloudCells) countAbove(k int32) {
	for _, p := range c.of(k)[c.kept[k]:] {
		if base := c.baseIn[k]; math.IsNaN(base) || float64(p.zIn) > base {
			c.above[k]++
		}
	}
}

// countLoose counts the points left out.
func (c *cloudCells) countLoose() {
	for _, k := range c.full {
		out, above := len(c.of(k))-int(c.kept[k]), int(c.above[k])
		if c.kept[k] == 0 && c.roof[k] {
			c.r.Loose += out
			continue
		}
		c.r.Above += above
		c.r.Below += out - above
	}
}

// noiseFt is the width of the planes that the noise of a point is measured by:
// 2 m.
const noiseFt = 2 / 0.3048

// measure finds the scatter of a point about planes through squares of cells
// about noiseFt wide: the median of their standard deviations, points beyond
// three of them left out.
func (c *cloudCells) measure() {
	blocks := map[[2]int][]framePt{}
	wide := max(1, int(math.Round(noiseFt/c.l.CellFt)))
	used := 0
	for _, f := range c.found {
		used += f.n
	}
	if len(c.found) > 0 {
		wide = max(wide, int(math.Ceil(math.Sqrt(16*float64(len(c.found))/float64(used)))))
	}
	for _, f := range c.found {
		i, j := f.cell%c.l.NX, f.cell/c.l.NX
		b := [2]int{fromMiddle(i, c.l.NX, wide), fromMiddle(j, c.l.NY, wide)}
		blocks[b] = append(blocks[b], c.of(int32(f.cell))[:f.n]...)
	}
	var all [][]framePt
	for _, b := range blocks {
		if len(b) >= 12 {
			all = append(all, b)
		}
	}
	scatters := make([]float64, len(all))
	together(len(all), func(_, from, to int) {
		for n := from; n < to; n++ {
			scatters[n] = aboutPlane(all[n])
		}
	})
	c.r.NoiseIn = median(scatters)
}

// fromMiddle is the number of the block of wide cells that cell i of n is in,
// counted so that a mirrored raster has mirrored blocks.
func fromMiddle(i, n, wide int) int {
	return int(math.Round((float64(i) + 0.5 - float64(n)/2) / float64(wide)))
}

// aboutPlane is the standard deviation of points about their plane, those
// beyond three of it, told robustly, left out.
func aboutPlane(ps []framePt) float64 {
	var p places
	for _, q := range ps {
		p.at = append(p.at, geom.Pt{X: float64(q.x), Y: float64(q.y)})
		p.zIn = append(p.zIn, float64(q.zIn))
	}
	scatter := 0.0
	sorted := make([]float64, len(ps))
	for range 3 {
		pl, _, err := leastSquares(p.at, p.zIn)
		if err != nil {
			return scatter
		}
		sum, n := 0.0, len(p.at)
		miss := sorted[:n]
		for i, z := range p.zIn {
			miss[i] = math.Abs(z - pl.At(p.at[i]))
			sum += miss[i] * miss[i]
		}
		scatter = math.Sqrt(sum / math.Max(1, float64(n-3)))
		limit := 3 * usual(miss)
		kept := 0
		for i, z := range p.zIn {
			if math.Abs(z-pl.At(p.at[i])) <= limit {
				p.at[kept], p.zIn[kept] = p.at[i], z
				kept++
			}
		}
		if kept == n {
			break
		}
		p.at, p.zIn = p.at[:kept], p.zIn[:kept]
	}
	return scatter
}

// objects lists what stands on the roof: neighbouring cells of which a good
// share of the points stand aboveIn over the roof, in one of them at least half
// or all. Cells that people walked through are none: too few of their points
// are so high.
func (c *cloudCells) objects() {
	share, core := c.highShares()
	seen := make([]bool, c.l.Len())
	for _, k := range c.full {
		if share[k] < rimShare || seen[k] {
			continue
		}
		seen[k] = true
		cells := []int32{k}
		for n := 0; n < len(cells); n++ {
			c.around(cells[n], 1, func(m int32) {
				if share[m] >= rimShare && !seen[m] {
					seen[m] = true
					cells = append(cells, m)
				}
			})
		}
		isCore := func(m int32) bool { return core[m] }
		if o, full := c.object(cells, share); full >= fullShare && slices.ContainsFunc(cells, isCore) {
			c.r.Objects = append(c.r.Objects, o)
		}
	}
	slices.SortFunc(c.r.Objects, func(a, b CloudObject) int {
		return cmp.Or(cmp.Compare(b.Sqft, a.Sqft), cmp.Compare(b.HighIn, a.HighIn), geom.Compare(a.At, b.At))
	})
}

// highShares gives for each cell the share of its points that stand aboveIn over
// the roof, and whether it is in the midst of an object.
func (c *cloudCells) highShares() (share []float64, core []bool) {
	share, core = make([]float64, c.l.Len()), make([]bool, c.l.Len())
	c.each(func(k int32, _ *[]float32) {
		high, n := 0, len(c.of(k))
		for _, p := range c.of(k) {
			if float64(p.zIn)-c.baseIn[k] > aboveIn {
				high++
			}
		}
		if high >= min(2, c.least) {
			share[k] = float64(high) / float64(n)
		}
		core[k] = high >= c.least && (share[k] >= coreShare || c.kept[k] == 0)
	})
	return share, core
}

// object measures the object on cells, and the share of its points that are
// high; its place is in the frame.
func (c *cloudCells) object(cells []int32, share []float64) (o CloudObject, full float64) {
	var highs []float64
	rim := 0
	for _, k := range cells {
		o.At = o.At.Add(c.centre(k).Mul(share[k]))
		full += share[k]
		if c.atRim[k] {
			rim++
		}
		for _, p := range c.of(k) {
			if h := float64(p.zIn) - c.baseIn[k]; h > aboveIn {
				highs = append(highs, h)
			}
		}
	}
	slices.Sort(highs)
	o.At, o.Sqft = o.At.Mul(1/full), full*c.l.CellFt*c.l.CellFt
	o.HighIn = highs[len(highs)*95/100]
	o.AtEdge = 5*rim >= 4*len(cells)
	return o, full / float64(len(cells))
}
