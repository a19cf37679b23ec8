package drainage

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
)

// OutletCells gives, for each of s.Outlets, the roof cells of surf that it
// drains: every cell whose square, its border included, holds a drain; the
// cells along the stretch of a scupper or an edge. Of several edges that meet
// at a cell the nearest has it. An outlet that touches no roof cell gets the
// nearest one; a surface without roof cells gives none. Cost: the cells in the
// boxes of the edges.
func OutletCells(s *survey.Site, surf *survey.Surface) [][]int {
	out := make([][]int, len(s.Outlets))
	for n, o := range s.Outlets {
		if o.A == o.B {
			out[n] = cellsHolding(surf, o.P)
		} else {
			out[n] = cellsAlong(surf, o.A, o.B)
		}
	}
	toNearest(s, surf, out)
	for n, o := range s.Outlets {
		if len(out[n]) > 0 {
			continue
		}
		if k := nearestCell(surf, o.P); k >= 0 {
			out[n] = []int{k}
		}
	}
	return out
}

// toNearest leaves a cell that several gutters or open edges claim to the
// nearest of them, or to all that are equally near.
func toNearest(s *survey.Site, surf *survey.Surface, out [][]int) {
	edge := func(n int) bool {
		return s.Outlets[n].IsEdge()
	}
	distFt := func(n, k int) float64 {
		return geom.SegDist(surf.Centre(k%surf.NX, k/surf.NX), s.Outlets[n].A, s.Outlets[n].B)
	}
	least := map[int]float64{}
	for n := range out {
		for _, k := range out[n] {
			if d, ok := least[k]; edge(n) && (!ok || distFt(n, k) < d) {
				least[k] = distFt(n, k)
			}
		}
	}
	for n := range out {
		if edge(n) {
			out[n] = slices.DeleteFunc(out[n], func(k int) bool { return distFt(n, k) > least[k]+1e-9 })
		}
	}
}

// cellsHolding gives the roof cells whose closed square holds p.
func cellsHolding(surf *survey.Surface, p geom.Pt) []int {
	const reachFt = 1e-9
	half := surf.CellFt/2 + reachFt
	i0, j0 := surf.CellOf(geom.Pt{X: p.X - reachFt, Y: p.Y - reachFt})
	var cells []int
	for j := j0 - 1; j <= j0+1; j++ {
		for i := i0 - 1; i <= i0+1; i++ {
			if !surf.Holds(i, j) || !surf.Roof[j*surf.NX+i] {
				continue
			}
			d := surf.Centre(i, j).Sub(p)
			if math.Abs(d.X) <= half && math.Abs(d.Y) <= half {
				cells = append(cells, j*surf.NX+i)
			}
		}
	}
	return cells
}

// cellsAlong gives the roof cells that touch the outside, within a cell of the
// stretch a-b and not more than half a cell past its ends.
func cellsAlong(surf *survey.Surface, a, b geom.Pt) []int {
	h := surf.CellFt
	lengthFt := a.Dist(b)
	along := b.Sub(a).Mul(1 / lengthFt)
	var cells []int
	besideLine(surf.Lattice, a, b, func(i, j int) {
		if !surf.Holds(i, j) || !surf.Roof[j*surf.NX+i] || !touchesOutside(surf, i, j) {
			return
		}
		d := surf.Centre(i, j).Sub(a)
		u := d.Dot(along)
		if u >= -h/2-1e-9 && u <= lengthFt+h/2+1e-9 && math.Abs(d.Cross(along)) <= h+1e-9 {
			cells = append(cells, j*surf.NX+i)
		}
	})
	slices.Sort(cells)
	return cells
}

// besideLine calls f for the cells within some two cells of the stretch a-b,
// in or out of the raster. Cost: the length of the stretch in cells.
func besideLine(l survey.Lattice, a, b geom.Pt, f func(i, j int)) {
	steps := int(math.Ceil(a.Dist(b)/l.CellFt)) + 1
	seen := map[[2]int]bool{}
	for n := range steps + 1 {
		i0, j0 := l.CellOf(a.Lerp(b, float64(n)/float64(steps)))
		for dj := -2; dj <= 2; dj++ {
			for di := -2; di <= 2; di++ {
				if c := [2]int{i0 + di, j0 + dj}; !seen[c] {
					seen[c] = true
					f(c[0], c[1])
				}
			}
		}
	}
}

func touchesOutside(surf *survey.Surface, i, j int) bool {
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			if !surf.Holds(i+di, j+dj) || !surf.Roof[(j+dj)*surf.NX+i+di] {
				return true
			}
		}
	}
	return false
}

// nearestCell gives the roof cell whose middle is nearest to p, -1 where there
// is none. It looks in rings round p; cost: the square of the way to the cell.
func nearestCell(surf *survey.Surface, p geom.Pt) int {
	i0, j0 := surf.CellOf(p)
	best, bestFt := -1, math.Inf(1)
	last := surf.NX + surf.NY + max(abs(i0-surf.NX/2), abs(j0-surf.NY/2))
	for ring := 0; ring <= last; ring++ {
		if float64(ring-1)*surf.CellFt > bestFt {
			break
		}
		inRing(ring, func(di, dj int) {
			i, j := i0+di, j0+dj
			if !surf.Holds(i, j) || !surf.Roof[j*surf.NX+i] {
				return
			}
			if d := surf.Centre(i, j).Dist(p); d < bestFt-1e-9 {
				best, bestFt = j*surf.NX+i, d
			}
		})
	}
	return best
}

// inRing calls f for the cells of the square ring at a distance of n cells.
func inRing(n int, f func(di, dj int)) {
	for dj := -n; dj <= n; dj++ {
		step := 2 * n
		if dj == -n || dj == n || n == 0 {
			step = 1
		}
		for di := -n; di <= n; di += step {
			f(di, dj)
		}
	}
}

func abs(n int) int { return max(n, -n) }

// Inlets gives the inlet elevation of each of s.Outlets on the existing
// surface, in inches. A height above the membrane stands on surf, one above
// the deck on deck, at a scupper carried on to its wall; where deck is nil it
// stands on surf as well, and the report has to say so. The inlet of a drain
// that is not stated is flush with surf, that of any drain higher by its dam;
// that of a scupper, a gutter and an open edge lies at the lowest place of surf
// that they drain.
func Inlets(s *survey.Site, surf, deck *survey.Surface) []float64 {
	if deck == nil {
		deck = surf
	}
	in := make([]float64, len(s.Outlets))
	for n, cells := range OutletCells(s, surf) {
		o := s.Outlets[n]
		edge := o.IsEdge()
		switch {
		case edge || o.Inlet.Above == survey.UnsetDatum && o.Kind != survey.Drain:
			in[n] = Lowest(surf, cells)
		case o.Inlet.Above == survey.UnsetDatum:
			in[n] = flush(surf, o.P, cells)
		case o.Inlet.Above == survey.AboveMembrane:
			in[n] = besideIn(surf, o, cells) + o.Inlet.Value.Inches()
		case o.Inlet.Above == survey.AboveDeck:
			in[n] = besideIn(deck, o, cells) + o.Inlet.Value.Inches()
		default:
			in[n] = o.Inlet.Value.Inches()
		}
		in[n] += o.Dam.Inches()
	}
	return in
}

// flush is the inlet of a drain that is flush with the surface at p: the
// lowest of its cells, unless p lies clearly over that, on a slope beside the
// low line. 1/32 in is less than any reading tells.
func flush(surf *survey.Surface, p geom.Pt, cells []int) float64 {
	lowIn, atIn := Lowest(surf, cells), elevationAt(surf, p, cells)
	if atIn > lowIn+1.0/32 {
		return atIn
	}
	return lowIn
}

// elevationAt is the elevation at p, or where no roof cell is near, the lowest
// of cells.
func elevationAt(surf *survey.Surface, p geom.Pt, cells []int) float64 {
	if z, ok := surf.Elevation(p); ok {
		return z
	}
	return Lowest(surf, cells)
}

// besideIn is the surface that the stated height of an outlet stands on: at a
// scupper the roof carried on to the wall, at a drain the roof round it.
func besideIn(surf *survey.Surface, o survey.SiteOutlet, cells []int) float64 {
	if o.Kind == survey.Scupper {
		if z, ok := AtWall(surf, o.P); ok {
			return z
		}
	}
	return elevationAt(surf, o.P, cells)
}

// openingIn is the lowest of the surface along the opening of an outlet.
func openingIn(surf *survey.Surface, o survey.SiteOutlet, cells []int) float64 {
	least := besideIn(surf, o, cells)
	for _, p := range []geom.Pt{o.A, o.B} {
		o.P = p
		least = math.Min(least, besideIn(surf, o, cells))
	}
	return least
}

// AtWall carries the roof on to a place at a wall from two places straight
// inside, each with roof all round it, so that a plane is exact there. False
// where no such places lie within some cells, as in a slot.
func AtWall(surf *survey.Surface, p geom.Pt) (float64, bool) {
	const reach = 4 // cells
	var inward geom.Pt
	i0, j0 := surf.CellOf(p)
	for j := j0 - 2; j <= j0+2; j++ {
		for i := i0 - 2; i <= i0+2; i++ {
			if surf.Holds(i, j) && surf.Roof[j*surf.NX+i] {
				inward = inward.Add(surf.Centre(i, j).Sub(p))
			}
		}
	}
	if inward.Norm() < 1e-9 {
		return 0, false
	}
	inward = inward.Mul(surf.CellFt / inward.Norm())
	for step := 1.0; 2*step <= reach; step += 0.25 {
		near, far := p.Add(inward.Mul(step)), p.Add(inward.Mul(2*step))
		if allRoof(surf, near) && allRoof(surf, far) {
			zNear, _ := surf.Elevation(near)
			zFar, _ := surf.Elevation(far)
			return 2*zNear - zFar, true
		}
	}
	return 0, false
}

// allRoof says whether the four cells whose middles are round p are roof.
func allRoof(surf *survey.Surface, p geom.Pt) bool {
	half := surf.CellFt / 2
	for _, d := range []geom.Pt{{X: -half, Y: -half}, {X: half, Y: -half}, {X: -half, Y: half}, {X: half, Y: half}} {
		i, j := surf.CellOf(p.Add(d))
		if !surf.Holds(i, j) || !surf.Roof[j*surf.NX+i] {
			return false
		}
	}
	return true
}

// Lowest is the lowest elevation of some cells, in inches; 0 where there are none.
func Lowest(surf *survey.Surface, cells []int) float64 {
	least := math.Inf(1)
	for _, k := range cells {
		least = math.Min(least, surf.ElevIn[k])
	}
	if len(cells) == 0 {
		return 0
	}
	return least
}
