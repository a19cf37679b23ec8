package drainage

import (
	"math"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// shortWindowFt is the window from which on slopes are those of a surveyed
// surface. Under it the surface is a designed one, of planes that meet in
// creases.
const shortWindowFt = 10

// slopeAt is the slope of the roof round a cell in inches per foot, by the
// plane of least squares through the cells of a window that can be reached
// from it inside the window, so that nothing is smoothed across a wall. It is
// false where the cells give no plane.
func (c *check) slopeAt(g *windows, k int) (slope float64, ok bool) {
	whole := g.halfCells
	if g.designed {
		if f := c.facetAt(g, k); f.ok {
			return f.slope, true
		}
	}
	f := c.planeOver(g, k, -whole, whole, -whole, whole)
	return f.slope, f.ok
}

// facetAt is the slope of a designed surface: a window across a crease would
// read two planes as one, so the window is a quarter of the whole, the cell in
// its corner, and of the four the one nearest to a plane counts. Where none is
// a plane, as in the tip between two creases, smaller ones are tried.
func (c *check) facetAt(g *windows, k int) (best windowFit) {
	// Rounding leaves this much, in inches, of a plane. Of windows equally
	// near to planes the steeper counts: none is held to the flatter side of a
	// crease for a rounding.
	const rounding = 1e-6
	best.rmsIn = math.Inf(1)
	for size := g.halfCells; size >= 1; size /= 2 {
		for q := range 4 {
			i0, j0 := -size*(q&1), -size*(q>>1)
			f := c.planeOver(g, k, i0, i0+size, j0, j0+size)
			if !f.ok || 2*f.cells < (size+1)*(size+1) || size < g.halfCells && f.rmsIn > rounding {
				continue
			}
			if f.rmsIn < best.rmsIn-rounding || f.rmsIn <= best.rmsIn+rounding && f.slope > best.slope {
				best = f
			}
		}
		if best.rmsIn <= rounding {
			break
		}
	}
	return best
}

// windows is what slopeAt needs to know of the whole raster.
type windows struct {
	designed  bool
	halfCells int
	roofSum   []int32 // roof cells below and to the left, one more a row and column
}

func (c *check) newWindows() *windows {
	half := int(math.Round(c.opt.Window.Feet() / 2 / c.surf.CellFt))
	g := &windows{designed: c.opt.Window.Feet() < shortWindowFt, halfCells: max(half, 1)}
	if g.designed {
		g.halfCells = max(half, 2)
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
	slope, rmsIn float64
	cells        int
	ok           bool
}

// planeOver fits a plane to the window from (i0, j0) to (i1, j1) beside k.
func (c *check) planeOver(g *windows, k, i0, i1, j0, j1 int) windowFit {
	i, j := k%c.surf.NX, k/c.surf.NX
	if c.surf.Holds(i+i0, j+j0) && c.surf.Holds(i+i1, j+j1) {
		w := c.surf.NX + 1
		a, b := (j+j0)*w+i+i0, (j+j1+1)*w+i+i0
		n := i1 - i0 + 1
		if int(g.roofSum[b+n]-g.roofSum[b]-g.roofSum[a+n]+g.roofSum[a]) == n*(j1-j0+1) {
			return c.planeOverFull(k+j0*c.surf.NX+i0, n, j1-j0+1)
		}
	}
	return c.planeOverSome(k, i0, i1, j0, j1)
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
		math.Hypot(gx, gy) / c.surf.CellFt, math.Sqrt(math.Max(left, 0) / n), nx * ny, true,
	}
}

// planeOverSome fits a plane to those cells of a window that can be reached
// from k inside it.
func (c *check) planeOverSome(k, i0, i1, j0, j1 int) windowFit {
	cells := c.reach(k, i0, i1, j0, j1)
	n := float64(len(cells))
	var mid geom.Pt
	midZ := 0.0
	for _, q := range cells {
		mid = mid.Add(c.centre(q))
		midZ += c.surf.ElevIn[q]
	}
	mid, midZ = mid.Mul(1/n), midZ/n
	var xx, xy, yy, xz, yz, zz float64
	for _, q := range cells {
		d, z := c.centre(q).Sub(mid), c.surf.ElevIn[q]-midZ
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
		xz, yz, zz = xz+d.X*z, yz+d.Y*z, zz+z*z
	}
	det := xx*yy - xy*xy
	if det <= 1e-9*(xx+yy)*(xx+yy) {
		return windowFit{cells: len(cells)}
	}
	gx, gy := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	left := zz - gx*xz - gy*yz
	return windowFit{math.Hypot(gx, gy), math.Sqrt(math.Max(left, 0) / n), len(cells), true}
}

// reach gives the roof cells of a window that can be reached from k in it.
func (c *check) reach(k, i0, i1, j0, j1 int) []int {
	nx := c.surf.NX
	i, j := k%nx, k/nx
	width := i1 - i0 + 1
	seen := make([]bool, width*(j1-j0+1))
	seen[-j0*width-i0] = true
	cells := []int{k}
	for n := 0; n < len(cells); n++ {
		c.neighbours(cells[n], func(r int) {
			a, b := r%nx-i-i0, r/nx-j-j0
			if a >= 0 && b >= 0 && a < width && b <= j1-j0 && !seen[b*width+a] {
				seen[b*width+a] = true
				cells = append(cells, r)
			}
		})
	}
	return cells
}

// belowMinimumPct is the share of the roof that can be told whose slope is
// under the field limit. Long windows slide by a quarter of their half, since
// their planes hardly change from cell to cell.
func (c *check) belowMinimumPct() float64 {
	g := c.newWindows()
	step := 1
	if !g.designed {
		step = max(1, g.halfCells/4)
	}
	told, below := 0, 0
	for _, b := range blocks(c.surf.Lattice, step) {
		k, cells := c.heart(b)
		if k < 0 {
			continue
		}
		slope, ok := c.slopeAt(g, k)
		if !ok {
			continue
		}
		told += cells
		if unit.InchesPerFoot(math.Round(slope*1e9)/1e9) < c.opt.Rules.Field.Min {
			below += cells
		}
	}
	if told == 0 {
		return 0
	}
	return 100 * float64(below) / float64(told)
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
