package drainage

import (
	"math"

	"runnel/survey/unit"
)

// shortWindowFt is the window from which on slopes are those of a surveyed
// surface. Under it the surface is a designed one, of planes that meet in
// creases.
const shortWindowFt = 10

// planeAt is the plane of the roof round a cell, by least squares through cells that can be reached from it inside a window,
// so that nothing is smoothed across a wall. A window across a crease would
// read two planes as one; so of the window round the cell and the four that
// have it in a corner, the one nearest to a plane counts (the edge-keeping
// filter of Kuwahara and others, 1976, from memory). On a designed surface,
// where none is a plane, as in the tip between two creases, smaller windows
// are tried. It is not ok where the cells give no plane.
func (c *check) planeAt(g *windows, k int) windowFit {
	n := g.cells / 2
	round := c.planeOver(g, k, block{-n, n + 1, -n, n + 1}, true)
	best := round
	if !best.ok {
		best.rmsIn = math.Inf(1)
	}
	for size := g.cells; size >= 1 && !(best.rmsIn <= ofPlaneIn); size /= 2 {
		for q := range 4 {
			i0, j0 := -size*(q&1), -size*(q>>1)
			f := c.planeOver(g, k, block{i0, i0 + size + 1, j0, j0 + size + 1}, false)
			if f.ok && (size == g.cells || f.rmsIn <= ofPlaneIn) && f.nearer(best) {
				best = f
			}
		}
		if !g.designed {
			break
		}
	}
	return best
}

// ofPlaneIn is what rounding leaves of a plane, in inches.
const ofPlaneIn = 1e-6

// nearer says whether f is nearer to a plane than b. Of two equally near the
// steeper counts: no cell is held to the flatter side of a crease for a
// rounding.
func (f windowFit) nearer(b windowFit) bool {
	return f.rmsIn < b.rmsIn-ofPlaneIn || f.rmsIn <= b.rmsIn+ofPlaneIn && f.slope() > b.slope()
}

// windows is what slopeAt needs to know of the whole raster.
// One goroutine uses one.
type windows struct {
	designed bool
	cells    int     // a window's side is one cell more
	roofSum  []int32 // roof cells below and to the left, one more a row and column

	seen  []bool // of a window, while its cells are gathered
	found []cellAt
}

// cellAt is a cell of the raster by column and row.
type cellAt struct{ i, j int }

func (c *check) newWindows() *windows {
	g := &windows{
		designed: c.opt.Window.Feet() < shortWindowFt,
		cells:    max(2, int(math.Round(c.opt.Window.Feet()/c.surf.CellFt))),
	}
	w := c.surf.NX + 1
	g.roofSum = make([]int32, w*(c.surf.NY+1))
	for j := range c.surf.NY {
		row := int32(0)
		for i := range c.surf.NX {
			if c.surf.Roof[j*c.surf.NX+i] {
				row++
			}
			g.roofSum[(j+1)*w+i+1] = g.roofSum[j*w+i+1] + row
		}
	}
	return g
}

// windowFit is the plane of least squares over a window.
type windowFit struct {
	gx, gy float64 // inches per foot
	rmsIn  float64
	cells  int
	ok     bool
}

func (f windowFit) slope() float64 { return math.Hypot(f.gx, f.gy) }

// planeOver fits a plane to the window w, counted from cell k. Where less than
// half of the window is roof it gives none, unless all is set.
func (c *check) planeOver(g *windows, k int, w block, all bool) windowFit {
	i, j := k%c.surf.NX, k/c.surf.NX
	whole := (w.i1 - w.i0) * (w.j1 - w.j0)
	w.i0, w.i1 = max(w.i0, -i), min(w.i1, c.surf.NX-i)
	w.j0, w.j1 = max(w.j0, -j), min(w.j1, c.surf.NY-j)
	nx, ny, row := w.i1-w.i0, w.j1-w.j0, c.surf.NX+1
	a := (j+w.j0)*row + i + w.i0
	b := a + ny*row
	cells := int(g.roofSum[b+nx] - g.roofSum[b] - g.roofSum[a+nx] + g.roofSum[a])
	switch {
	case !all && 2*cells < whole:
		return windowFit{}
	case cells == nx*ny && min(nx, ny) > 1:
		return c.planeOverFull(k+w.j0*c.surf.NX+w.i0, nx, ny)
	}
	f := c.planeOverSome(g, k, w)
	if !all && 2*f.cells < whole {
		return windowFit{}
	}
	return f
}

// planeOverFull fits a plane to nx x ny roof cells from cell k on. Over a full
// rectangle the two directions do not mix.
func (c *check) planeOverFull(k, nx, ny int) windowFit {
	midX, midY := float64(nx-1)/2, float64(ny-1)/2
	z0 := c.surf.ElevIn[k]
	var sum, sumX, sumY, sumZZ float64
	for b := range ny {
		row := c.surf.ElevIn[k+b*c.surf.NX:][:nx]
		rowSum := 0.0
		for a, v := range row {
			v -= z0
			rowSum += v
			sumX += (float64(a) - midX) * v
			sumZZ += v * v
		}
		sum += rowSum
		sumY += (float64(b) - midY) * rowSum
	}
	n := float64(nx * ny)
	xx, yy := n*float64(nx*nx-1)/12, n*float64(ny*ny-1)/12
	gx, gy := sumX/xx, sumY/yy
	left := sumZZ - sum*sum/n - gx*sumX - gy*sumY
	return windowFit{
		gx / c.surf.CellFt, gy / c.surf.CellFt, math.Sqrt(math.Max(left, 0) / n), nx * ny, true,
	}
}

// planeOverSome fits a plane to those cells of a window that can be reached
// from k inside it.
func (c *check) planeOverSome(g *windows, k int, w block) windowFit {
	cells := c.reach(g, k, w)
	n, cellFt := float64(len(cells)), c.surf.CellFt
	var midI, midJ, midZ float64
	for _, q := range cells {
		midI, midJ = midI+float64(q.i), midJ+float64(q.j)
		midZ += c.surf.ElevIn[q.j*c.surf.NX+q.i]
	}
	midI, midJ, midZ = midI/n, midJ/n, midZ/n
	var xx, xy, yy, xz, yz, zz float64
	for _, q := range cells {
		x, y := (float64(q.i)-midI)*cellFt, (float64(q.j)-midJ)*cellFt
		z := c.surf.ElevIn[q.j*c.surf.NX+q.i] - midZ
		xx, xy, yy = xx+x*x, xy+x*y, yy+y*y
		xz, yz, zz = xz+x*z, yz+y*z, zz+z*z
	}
	det := xx*yy - xy*xy
	if det <= 1e-9*(xx+yy)*(xx+yy) {
		return windowFit{cells: len(cells)}
	}
	gx, gy := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	left := zz - gx*xz - gy*yz
	return windowFit{gx, gy, math.Sqrt(math.Max(left, 0) / n), len(cells), true}
}

// reach gives the roof cells of the window w, all of it on the raster, that can be
// reached from k in it. They hold until the next call.
func (c *check) reach(g *windows, k int, w block) []cellAt {
	nx := c.surf.NX
	i0, j0 := k%nx+w.i0, k/nx+w.j0
	width, height := w.i1-w.i0, w.j1-w.j0
	if len(g.seen) < width*height {
		g.seen = make([]bool, width*height)
	}
	seen := g.seen[:width*height]
	clear(seen)
	seen[-w.j0*width-w.i0] = true
	cells := append(g.found[:0], cellAt{k % nx, k / nx})
	for n := 0; n < len(cells); n++ {
		q := cells[n]
		for j := max(q.j-1, j0); j <= min(q.j+1, j0+height-1); j++ {
			for i := max(q.i-1, i0); i <= min(q.i+1, i0+width-1); i++ {
				if at := (j-j0)*width + i - i0; !seen[at] && c.surf.Roof[j*nx+i] {
					seen[at] = true
					cells = append(cells, cellAt{i, j})
				}
			}
		}
	}
	g.found = cells
	return cells
}

// slopeShares are the shares of the roof that can be told by the classes of
// Rules.SlopeClasses, and the shares under the field limit and under it by more
// than the doubt of a slope over the window. Long windows slide by
// a quarter of their side, since their planes hardly change from cell to cell.
func (c *check) slopeShares() (pct [4]float64, belowPct, clearlyPct float64) {
	g := c.newWindows()
	limits := c.opt.Rules.SlopeClasses()
	step := 1
	if !g.designed {
		step = max(1, g.cells/4)
	}
	told, below, clearly := 0, 0, 0
	var in [4]int
	for _, b := range blocks(c.surf.Lattice, step) {
		k, cells := c.heart(b)
		if k < 0 {
			continue
		}
		f := c.planeAt(g, k)
		if !f.ok {
			continue
		}
		told += cells
		slope := unit.InchesPerFoot(math.Round(f.slope()*1e9) / 1e9)
		if slope < c.opt.Rules.Field.Min {
			below += cells
		}
		if doubt := SlopeDoubt(c.sigmaAt(c.surf.Centre(k%c.surf.NX, k/c.surf.NX)), c.opt.Window); slope+doubt < c.opt.Rules.Field.Min {
			clearly += cells
		}
		class := 0
		for class < len(limits) && slope >= limits[class] {
			class++
		}
		in[class] += cells
	}
	if told == 0 {
		return pct, 0, 0
	}
	for n := range in {
		pct[n] = 100 * float64(in[n]) / float64(told)
	}
	return pct, 100 * float64(below) / float64(told), 100 * float64(clearly) / float64(told)
}

// heart is a known roof cell of b, the middle one if it is one, and how many
// there are; -1 where there is none.
func (c *check) heart(b block) (k, cells int) {
	k = -1
	middle := b.middle(c.surf.NX)
	for j := b.j0; j < b.j1; j++ {
		for i := b.i0; i < b.i1; i++ {
			q := j*c.surf.NX + i
			if !c.surf.Roof[q] || !c.surf.IsKnown(q) {
				continue
			}
			if cells++; k < 0 || q == middle {
				k = q
			}
		}
	}
	return k, cells
}
