package render

import (
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
)

// rimCells is how far the written grid reaches past the surface's: one cell of
// wall and one without data.
const rimCells = 2

// paper is a grid as it is written: the surface with its walls and outlets.
type paper struct {
	nx, ny int
	cellFt float64
	elevIn []float64
	has    []bool // the cell has an elevation
	roof   []bool
	dryIn  []float64 // the surface itself, of roof cells
}

func newPaper(s *survey.Site, surf *survey.Surface, inletIn []float64) *paper {
	g := &paper{nx: surf.NX + 2*rimCells, ny: surf.NY + 2*rimCells, cellFt: surf.CellFt}
	n := g.nx * g.ny
	g.elevIn, g.has, g.roof = make([]float64, n), make([]bool, n), make([]bool, n)
	for k, on := range surf.Roof {
		if on {
			p := g.padded(surf, k)
			g.elevIn[p], g.has[p], g.roof[p] = surf.ElevIn[k], true, true
		}
	}
	g.dryIn = append(g.dryIn, g.elevIn...)
	g.raiseWalls()
	g.openOutlets(s, surf, inletIn)
	return g
}

func (g *paper) padded(surf *survey.Surface, k int) int {
	return (k/surf.NX+rimCells)*g.nx + k%surf.NX + rimCells
}

// centre is the middle of cell p in the frame; the grid is centred as the
// surface's lattice is.
func (g *paper) centre(p int) geom.Pt {
	return survey.Lattice{CellFt: g.cellFt, NX: g.nx, NY: g.ny}.Centre(p%g.nx, p/g.nx)
}

// around calls f for the eight cells round p, those across a side first; only
// cells of the two outermost rows may have fewer.
func (g *paper) around(p int, f func(q int, acrossSide bool)) {
	for _, d := range [...][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
		i, j := p%g.nx+d[0], p/g.nx+d[1]
		if i >= 0 && j >= 0 && i < g.nx && j < g.ny {
			f(j*g.nx+i, d[0] == 0 || d[1] == 0)
		}
	}
}

// raiseWalls stands a ring of cells at the wall top round the roof.
func (g *paper) raiseWalls() {
	for p := range g.roof {
		if g.roof[p] {
			continue
		}
		topIn, near := math.Inf(-1), false
		g.around(p, func(q int, acrossSide bool) {
			if g.roof[q] && (acrossSide || !near) {
				topIn, near = math.Max(topIn, g.dryIn[q]), near || acrossSide
			}
		})
		if !math.IsInf(topIn, -1) {
			g.elevIn[p], g.has[p] = topIn+wallTopIn, true
		}
	}
}

// openOutlets lets water go. What each roof cell of an outlet lets go stands at
// the outlet's inlet, or at the cell where that is higher.
func (g *paper) openOutlets(s *survey.Site, surf *survey.Surface, inletIn []float64) {
	gap := map[int]float64{} // ring cells and the elevation at which they let water go
	open := map[int]bool{}   // roof cells that let water go at their own elevation
	var drains []drainCells  // outlets inside the roof
	var order []int          // of gap
	for n, cells := range drainage.OutletCells(s, surf) {
		o := s.Outlets[n]
		if o.State == survey.Blocked {
			continue
		}
		d := drainCells{inletIn: inletIn[n]}
		for _, k := range cells {
			p := g.padded(surf, k)
			outside := g.outside(p, o)
			if len(outside) == 0 {
				d.cells = append(d.cells, p)
				continue
			}
			atIn := math.Max(inletIn[n], g.dryIn[p])
			open[p] = open[p] || o.Kind != survey.Scupper && inletIn[n] <= g.dryIn[p]
			for _, q := range outside {
				if old, ok := gap[q]; !ok {
					order = append(order, q)
					gap[q] = atIn
				} else {
					gap[q] = math.Min(old, atIn)
				}
			}
		}
		drains = append(drains, d)
	}
	g.cutGaps(order, gap, open)
	for _, d := range drains {
		g.sinkDrain(d)
	}
}

// drainCells are roof cells where water leaves downward.
type drainCells struct {
	cells   []int
	inletIn float64
}

// outside gives the ring cells beyond the roof cell p through which the outlet
// o, a stretch of the outline, lets its water go: those across a side of p,
// else those across a corner; none for a drain.
func (g *paper) outside(p int, o survey.SiteOutlet) []int {
	if o.A == o.B {
		return nil
	}
	way := o.B.Sub(o.A).Mul(1 / o.A.Dist(o.B))
	var sides, corners []int
	g.around(p, func(q int, acrossSide bool) {
		inward := way.Cross(g.centre(q).Sub(o.A)) // the area lies to the left
		if g.roof[q] || inward > g.cellFt/2 {
			return
		}
		if acrossSide {
			sides = append(sides, q)
		} else {
			corners = append(corners, q)
		}
	})
	if len(sides) > 0 {
		return sides
	}
	return corners
}

// cutGaps takes the wall away beyond outlets along the outline. Where all roof
// cells beside a ring cell let water go anyway it has no data; else it stands
// at the elevation of the gap, so that no other cell beside it drains lower.
func (g *paper) cutGaps(order []int, gap map[int]float64, open map[int]bool) {
	var enclosed []int
	for _, q := range order {
		allOpen := true
		g.around(q, func(r int, _ bool) { allOpen = allOpen && (!g.roof[r] || open[r]) })
		g.elevIn[q], g.has[q] = gap[q], !allOpen
	}
	for _, q := range order {
		ends := !g.has[q]
		g.around(q, func(r int, _ bool) { ends = ends || !g.has[r] })
		if !ends {
			enclosed = append(enclosed, q)
		}
	}
	for _, q := range enclosed { // a gap between two walls a cell apart
		g.sink([]int{q}, map[int]float64{q: gap[q]})
	}
}

// sinkDrain takes the data away from a drain's cells. Of a drain that stands
// proud only the lowest cell goes, since the ring round it has to be raised.
func (g *paper) sinkDrain(d drainCells) {
	if len(d.cells) == 0 {
		return
	}
	lowest, proud := d.cells[0], false
	for _, p := range d.cells {
		proud = proud || d.inletIn > g.dryIn[p]
		if g.dryIn[p] < g.dryIn[lowest] {
			lowest = p
		}
	}
	if proud {
		d.cells = []int{lowest}
	}
	atIn := map[int]float64{}
	for _, p := range d.cells {
		atIn[p] = math.Max(d.inletIn, g.dryIn[p])
	}
	g.sink(d.cells, atIn)
}

// sink takes the data away from cells at whose elevations atIn water leaves,
// and keeps the roof cells beside them from draining lower.
func (g *paper) sink(cells []int, atIn map[int]float64) {
	for _, p := range cells {
		g.has[p] = false
	}
	for _, p := range cells {
		g.around(p, func(q int, _ bool) {
			if !g.roof[q] || !g.has[q] {
				return
			}
			leastIn := math.Inf(1)
			g.around(q, func(r int, _ bool) {
				if at, ok := atIn[r]; ok {
					leastIn = math.Min(leastIn, at)
				}
			})
			g.elevIn[q] = math.Max(g.elevIn[q], leastIn)
		})
	}
}
