package drainage

import (
	"math"

	"runnel/survey/geom"
)

// deepestOf finds the deepest place; of equal ones, that nearest to the middle
// of the pond. At a wall the place is that in the nearest roof cell.
func (c *check) deepestOf(w *wetCells, cells []int) (depthIn float64, at geom.Pt) {
	var middle geom.Pt
	for _, k := range cells {
		middle = middle.Add(c.centre(k))
	}
	middle = middle.Mul(1 / float64(len(cells)))
	for _, k := range cells {
		d, p := w.deepest(k%c.surf.NX, k/c.surf.NX)
		if d > depthIn+1e-9 || d > depthIn-1e-9 && p.Dist(middle) < at.Dist(middle)-1e-9 {
			depthIn, at = math.Max(d, depthIn), p
		}
	}
	return depthIn, w.surf.ontoCell(at)
}

// deepest gives the greatest depth in a cell of the pond and where: in its
// middle, between cells where the roof falls to a crease or a point there, or
// where a wall is near, perhaps at the wall.
func (w *wetCells) deepest(i, j int) (depthIn float64, at geom.Pt) {
	deeper := func(d float64, p geom.Pt) {
		if d > depthIn {
			depthIn, at = d, p
		}
	}
	k := j*w.surf.NX + i
	if !w.surf.carried(k) {
		depthIn, at = w.depth(i, j), w.surf.Centre(i, j)
		w.between(i, j, deeper)
	}
	if part := w.surf.partOf(k); part != nil {
		for c := range 4 {
			for _, t := range w.quadrant(i, j, 1-2*(c%2), 1-2*(c/2)) {
				t.corners(part, deeper)
			}
		}
		return depthIn, at
	}
	if !touchesOutside(w.surf.Surface, i, j) {
		return depthIn, at
	}
	for c := range 4 {
		for _, t := range w.quadrant(i, j, 1-2*(c%2), 1-2*(c/2)) {
			for n, d := range t.depth {
				deeper(d, t.at[n])
			}
		}
	}
	return depthIn, at
}

// between calls f for the middles of the sides and the corners of a cell that
// no neighbour is deeper than, with the depth to which the cells on either side
// lead there: the least of the straight and the curved way from each. A crease
// or a point that lies between the middles of cells is so found to a quarter
// of a cell's fall; a smooth bottom is not exceeded.
func (w *wetCells) between(i, j int, f func(depthIn float64, at geom.Pt)) {
	for _, d := range around8 {
		if w.roof(i+d[0], j+d[1]) && w.depth(i+d[0], j+d[1]) > w.depth(i, j) {
			return
		}
	}
	middle, half := w.surf.Centre(i, j), w.surf.CellFt/2
	for _, d := range around8 {
		here, ok := w.leadsTo(i, j, -d[0], -d[1])
		there, ok2 := w.leadsTo(i+d[0], j+d[1], d[0], d[1])
		p := middle.Add(geom.Pt{X: float64(d[0]) * half, Y: float64(d[1]) * half})
		if ok && ok2 && w.surf.onRoof(i, j, i+d[0], j+d[1], p) {
			f(math.Min(here, there), p)
		}
	}
}

// leadsTo carries the depth half a step on from three cells in a row, of which
// (i, j) is the nearest and (di, dj) leads to the next. It is false where one
// of them is no roof.
func (w *wetCells) leadsTo(i, j, di, dj int) (depthIn float64, ok bool) {
	if !w.roof(i, j) || !w.roof(i+di, j+dj) || !w.roof(i+2*di, j+2*dj) {
		return 0, false
	}
	a, b, c := w.depth(i, j), w.depth(i+di, j+dj), w.depth(i+2*di, j+2*dj)
	fall := math.Max(0, math.Min(a-b, b-c)) // no more than further out: the foot of a step leads nowhere
	return math.Min(a+fall/2, (15*a-10*b+3*c)/8), true
}

// bendIn is from where on a change of fall at a cell counts as a crease: two
// planes that differ by 1/50 in/ft on cells of half a foot. What is left out is
// half of it at most.
const bendIn = 0.01

// bend is by how much the depth at a roof cell is more than its neighbours on
// both sides lead to, along (di, dj), twice; 0 beside a wall.
func (w *wetCells) bend(i, j, di, dj int) float64 {
	if !w.roof(i+di, j+dj) || !w.roof(i-di, j-dj) {
		return 0
	}
	return 2*w.depth(i, j) - w.depth(i+di, j+dj) - w.depth(i-di, j-dj)
}

// crease is what the depth halfway between a roof cell and its neighbour toward
// (di, dj) is more than their mean because both fall to a crease between them;
// no more than the deeper of them, so that nothing is wet between dry cells.
func (w *wetCells) crease(i, j, di, dj int) float64 {
	if w.bend(i, j, di, dj) <= bendIn || w.bend(i+di, j+dj, di, dj) <= bendIn {
		return 0
	}
	here, ok := w.leadsTo(i, j, -di, -dj)
	there, ok2 := w.leadsTo(i+di, j+dj, di, dj)
	if !ok || !ok2 {
		return 0
	}
	a, b := w.depth(i, j), w.depth(i+di, j+dj)
	return math.Max(0, math.Min(math.Min(here, there)-(a+b)/2, math.Max(a, b)))
}

// cornerCrease is crease at the corner that cell (i, j) and those right of and
// above it share, over the mean of the four: the greater of both diagonals.
func (w *wetCells) cornerCrease(i, j int) float64 {
	up, down := w.crease(i, j, 1, 1), w.crease(i+1, j, -1, 1)
	if up == 0 && down == 0 {
		return 0
	}
	a, b := w.depth(i, j)+w.depth(i+1, j+1), w.depth(i+1, j)+w.depth(i, j+1)
	most := math.Max(math.Max(w.depth(i, j), w.depth(i+1, j+1)), math.Max(w.depth(i+1, j), w.depth(i, j+1)))
	return math.Max(0, math.Min(math.Max(a/2+up, b/2+down)-(a+b)/4, most))
}

// creases is the sum of the creases at the eight corners of the triangles of a
// cell that lies in the pond with all its neighbours.
func (w *wetCells) creases(i, j int) (sumIn float64) {
	for n, d := range around8 {
		switch {
		case n%2 == 0 && w.bend(i, j, d[0], d[1]) > bendIn:
			sumIn += w.crease(i, j, d[0], d[1])
		case n%2 == 1:
			sumIn += w.cornerCrease(min(i, i+d[0]), min(j, j+d[1]))
		}
	}
	return sumIn
}
