package drainage

import (
	"math"

	"runnel/survey/geom"
)

// wetCells are the cells of one pond, with its level. Depth of water is taken
// as a continuous surface: each cell is eight triangles between its middle,
// the middles of its sides and its corners, where the depth is the mean of the
// cells that meet, or more where they fall to a crease between them. Planes come out exact, a turned or mirrored roof gives the
// same pond, and a rise of the water by a hair moves area and volume by a
// hair. Toward a wall the depth goes on as it came, at most doubled, so that
// it too ends at nothing where the cell falls dry.
type wetCells struct {
	surf    *walls
	of      []int32 // pond of each cell, those carried on with it; -1 dry
	id      int32
	levelIn float64
}

// wetTriangle is a triangle of a cell, counter-clockwise.
type wetTriangle struct {
	key   [3]nodeKey
	at    [3]geom.Pt
	depth [3]float64  // inches, negative where dry
	wall  [3]bool     // side from corner n to n+1 lies on a wall
	part  []geom.Ring // what is roof of its cell; nil: all
}

// nodeKey names a corner of triangles: its column and row on a raster of half
// cells, and the cell for corners where two cells meet across a corner of two
// walls (each then has its own); -1 else.
type nodeKey struct{ x, y, cell int }

func (w *wetCells) roof(i, j int) bool { return w.surf.Holds(i, j) && w.surf.Roof[j*w.surf.NX+i] }

func (w *wetCells) in(i, j int) bool {
	return w.surf.Holds(i, j) && w.of[j*w.surf.NX+i] == w.id
}

// depth is that over the middle of a cell. A cell carried on to a wall is dry
// for ponds that do not have it.
func (w *wetCells) depth(i, j int) float64 {
	k := j*w.surf.NX + i
	d := w.levelIn - w.surf.ElevIn[k]
	if d > 0 && w.surf.part != nil && w.of[k] != w.id && w.surf.carried(k) {
		return 0
	}
	return d
}

// half is how much the depth changes from the middle of a roof cell to its
// side toward (i+di, j+dj).
func (w *wetCells) half(i, j, di, dj int) float64 {
	d := w.depth(i, j)
	if w.roof(i+di, j+dj) {
		return (w.depth(i+di, j+dj) - d) / 2
	}
	if !w.roof(i-di, j-dj) {
		return 0
	}
	most := math.Max(d, 0)
	return math.Max(-most, math.Min(most, (d-w.depth(i-di, j-dj))/2))
}

func (w *wetCells) side(i, j, di, dj int) float64 {
	if w.roof(i+di, j+dj) {
		return (w.depth(i, j)+w.depth(i+di, j+dj))/2 + w.crease(i, j, di, dj)
	}
	return w.depth(i, j) + w.half(i, j, di, dj)
}

// corner is the depth at the corner of a roof cell toward (di, dj): the mean
// of what the roof cells round it lead to. Two cells that meet across the
// corner of two walls keep their own; own says so.
func (w *wetCells) corner(i, j, di, dj int) (depthIn float64, own bool) {
	i0, j0 := min(i, i+di), min(j, j+dj)
	var has [4]bool
	sum, n := 0.0, 0
	for c := range 4 {
		ci, cj := i0+c%2, j0+c/2
		if has[c] = w.roof(ci, cj); !has[c] {
			continue
		}
		sum += w.toCorner(ci, cj, 1-2*(c%2), 1-2*(c/2))
		n++
	}
	if n == 2 && has[0] == has[3] {
		return w.toCorner(i, j, di, dj), true
	}
	if n < 4 {
		return sum / float64(n), false
	}
	return sum/4 + w.cornerCrease(i0, j0), false
}

func (w *wetCells) toCorner(i, j, di, dj int) float64 {
	return w.depth(i, j) + w.half(i, j, di, 0) + w.half(i, j, 0, dj)
}

// inside says whether the eight cells round (i, j) are all of the pond, and no
// wall runs through the cell.
func (w *wetCells) inside(i, j int) bool {
	if w.surf.partOf(j*w.surf.NX+i) != nil {
		return false
	}
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			if !w.in(i+di, j+dj) {
				return false
			}
		}
	}
	return true
}

// touches says whether one of the four cells round a corner is of the pond.
func (w *wetCells) touches(i, j, di, dj int) bool {
	return w.in(i, j) || w.in(i+di, j) || w.in(i, j+dj) || w.in(i+di, j+dj)
}

// quadrant gives the two triangles of a cell toward the corner (di, dj).
func (w *wetCells) quadrant(i, j, di, dj int) [2]wetTriangle {
	c := w.surf.Centre(i, j)
	q := w.surf.CellFt / 2
	x, y := 2*i+1, 2*j+1
	middle := node{nodeKey{x, y, -1}, c, w.depth(i, j)}
	atX := node{nodeKey{x + di, y, -1}, geom.Pt{X: c.X + float64(di)*q, Y: c.Y}, w.side(i, j, di, 0)}
	atY := node{nodeKey{x, y + dj, -1}, geom.Pt{X: c.X, Y: c.Y + float64(dj)*q}, w.side(i, j, 0, dj)}
	d, own := w.corner(i, j, di, dj)
	corner := node{nodeKey{x + di, y + dj, -1}, geom.Pt{X: atX.at.X, Y: atY.at.Y}, d}
	if own {
		corner.key.cell = j*w.surf.NX + i
	}
	wallX, wallY := !w.roof(i+di, j), !w.roof(i, j+dj)
	if di*dj > 0 {
		return [2]wetTriangle{
			triangle(middle, atX, corner, [3]bool{false, wallX, false}),
			triangle(middle, corner, atY, [3]bool{false, wallY, false}),
		}
	}
	return [2]wetTriangle{
		triangle(middle, corner, atX, [3]bool{false, wallX, false}),
		triangle(middle, atY, corner, [3]bool{false, wallY, false}),
	}
}

type node struct {
	key     nodeKey
	at      geom.Pt
	depthIn float64
}

func triangle(a, b, c node, wall [3]bool) wetTriangle {
	return wetTriangle{
		[3]nodeKey{a.key, b.key, c.key},
		[3]geom.Pt{a.at, b.at, c.at},
		[3]float64{a.depthIn, b.depthIn, c.depthIn},
		wall, nil,
	}
}

// each calls f for every triangle that may be wet, and whole for every cell
// that is wet all over. Dry cells beside the pond are wet in part as well.
func (w *wetCells) each(cells []int, whole func(i, j int), f func(*wetTriangle)) {
	ring := map[int]bool{}
	for _, k := range cells {
		i, j := k%w.surf.NX, k/w.surf.NX
		if w.inside(i, j) {
			whole(i, j)
			continue
		}
		w.quadrants(i, j, f)
		for dj := -1; dj <= 1; dj++ {
			for di := -1; di <= 1; di++ {
				n := (j+dj)*w.surf.NX + i + di
				if w.roof(i+di, j+dj) && !w.in(i+di, j+dj) && !ring[n] {
					ring[n] = true
					w.quadrants(i+di, j+dj, f)
				}
			}
		}
	}
}

func (w *wetCells) quadrants(i, j int, f func(*wetTriangle)) {
	part := w.surf.partOf(j*w.surf.NX + i)
	for c := range 4 {
		di, dj := 1-2*(c%2), 1-2*(c/2)
		if !w.touches(i, j, di, dj) {
			continue
		}
		for _, t := range w.quadrant(i, j, di, dj) {
			t.part = part
			f(&t)
		}
	}
}

// water is the wet area of a triangle as a share of it, and the water on it
// as depth times share.
func (t *wetTriangle) water() (share, depthIn float64) {
	mean := (t.depth[0] + t.depth[1] + t.depth[2]) / 3
	wet, odd := 0, 0 // odd: the corner that differs from the two others
	for _, d := range t.depth {
		if d > 0 {
			wet++
		}
	}
	if wet == 0 {
		return 0, 0
	}
	if wet == 3 {
		return 1, mean
	}
	for n, d := range t.depth {
		if (d > 0) == (wet == 1) {
			odd = n
		}
	}
	a, b, c := t.depth[odd], t.depth[(odd+1)%3], t.depth[(odd+2)%3]
	tip := a / (a - b) * (a / (a - c))
	if wet == 1 {
		return tip, tip * a / 3
	}
	return 1 - tip, mean - tip*a/3
}

// measure gives the wet area in sq ft and the volume in cu ft.
func (w *wetCells) measure(cells []int) (areaSqft, volumeCuft float64) {
	cellSqft := w.surf.CellFt * w.surf.CellFt
	w.each(cells, func(i, j int) {
		areaSqft += cellSqft
		sides, corners := 0.0, 0.0
		for dj := -1; dj <= 1; dj++ {
			for di := -1; di <= 1; di++ {
				if di != 0 && dj != 0 {
					corners += w.depth(i+di, j+dj)
				} else if di != 0 || dj != 0 {
					sides += w.depth(i+di, j+dj)
				}
			}
		}
		// Means over the eight triangles: the middle counts a third, each
		// side's middle and each corner a twelfth; those are means of two and
		// of four cells.
		d := w.depth(i, j)
		mean := d/3 + (4*d+sides)/2/12 + (4*d+2*sides+corners)/4/12 + w.creases(i, j)/12
		volumeCuft += cellSqft * mean / 12
	}, func(t *wetTriangle) {
		if t.part != nil {
			sqft, inSqft := t.waterOn(t.part)
			areaSqft += sqft
			volumeCuft += inSqft / 12
			return
		}
		share, depthIn := t.water()
		areaSqft += cellSqft / 8 * share
		volumeCuft += cellSqft / 8 * depthIn / 12
	})
	return areaSqft, volumeCuft
}
