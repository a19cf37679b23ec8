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

// leaving is where water leaves a grid.
type leaving struct {
	outIn  map[int]float64 // roof cells and the elevation at which they let water go
	drains [][]int         // the cells of each outlet inside the roof
	gapIn  map[int]float64 // ring cells beyond an outlet along the outline, likewise
	gaps   []int           // the keys of gapIn, in a fixed order
	open   map[int]bool    // roof cells with a gap that let water go at their own elevation
}

// openOutlets lets water go. What each roof cell of an outlet lets go stands at
// the outlet's inlet, or at the cell where that is higher.
func (g *paper) openOutlets(s *survey.Site, surf *survey.Surface, inletIn []float64) {
	l := leaving{outIn: map[int]float64{}, gapIn: map[int]float64{}, open: map[int]bool{}}
	for n, cells := range drainage.OutletCells(s, surf) {
		o := s.Outlets[n]
		if o.State == survey.Blocked {
			continue
		}
		var drain []int
		for _, k := range cells {
			p := g.padded(surf, k)
			in := math.Max(inletIn[n], g.dryIn[p])
			lower(l.outIn, p, in)
			outside := g.outside(p, o)
			if len(outside) == 0 {
				drain = append(drain, p)
				continue
			}
			l.open[p] = l.open[p] || o.Kind != survey.Scupper && inletIn[n] <= g.dryIn[p]
			for _, q := range outside {
				if lower(l.gapIn, q, in) {
					l.gaps = append(l.gaps, q)
				}
			}
		}
		l.drains = append(l.drains, drain)
	}
	g.cutGaps(&l)
	g.sinkDrains(&l)
}

// lower puts the lesser of two elevations at key p; fresh says that there was
// none.
func lower(at map[int]float64, p int, in float64) (fresh bool) {
	old, ok := at[p]
	if !ok || in < old {
		at[p] = in
	}
	return !ok
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
		inwardFt := way.Cross(g.centre(q).Sub(o.A)) // the area lies to the left
		if g.roof[q] || inwardFt > g.cellFt/2 {
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
// at the elevation of the gap, so that no other cell beside it drains lower. A
// gap that walls enclose, a cell from one to the next, is let go like a drain.
func (g *paper) cutGaps(l *leaving) {
	for _, q := range l.gaps {
		allOpen := true
		g.around(q, func(r int, _ bool) { allOpen = allOpen && (!g.roof[r] || l.open[r]) })
		g.elevIn[q], g.has[q] = l.gapIn[q], !allOpen
	}
	for _, q := range l.gaps {
		ends := !g.has[q]
		g.around(q, func(r int, _ bool) { ends = ends || !g.has[r] })
		if !ends {
			l.drains = append(l.drains, []int{q})
		}
	}
}

// sinkDrains takes the data away from the drains' cells, and keeps the cells
// beside them from draining lower than they do. Of a drain that stands proud
// only the lowest cell goes, since the ring round it has to be raised.
func (g *paper) sinkDrains(l *leaving) {
	level := g.flood(l.outIn)
	for _, cells := range l.drains {
		if len(cells) == 0 {
			continue
		}
		lowest, proud := cells[0], false
		for _, p := range cells {
			proud = proud || l.outIn[p] > g.dryIn[p]
			if g.dryIn[p] < g.dryIn[lowest] {
				lowest = p
			}
		}
		if proud {
			cells = []int{lowest}
		}
		for _, p := range cells {
			g.has[p] = false
		}
		for _, p := range cells {
			g.around(p, func(q int, _ bool) {
				if g.roof[q] && g.has[q] {
					g.elevIn[q] = level[q]
				}
			})
		}
	}
}
