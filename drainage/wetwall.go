package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// wallSide is a side of a cell that a wall stands beyond.
type wallSide struct{ cell, di, dj int }

// wallsOf tells how far from the middle of a cell the wall at its side stands,
// in feet, where that is not half a cell: of walls along the raster, as those of
// a building in its frame are. Cost: the cells along them.
func wallsOf(s *survey.Site, surf *survey.Surface) map[wallSide]float64 {
	out := map[wallSide]float64{}
	rings := append([]geom.Ring{s.Outline}, s.Courts...)
	for _, r := range append(rings, s.Curbs...) {
		for n, a := range r {
			b := r.At(n + 1)
			switch {
			case math.Abs(a.X-b.X) <= 1e-6:
				wallAlong(out, surf, a, b, true)
			case math.Abs(a.Y-b.Y) <= 1e-6:
				wallAlong(out, surf, a, b, false)
			}
		}
	}
	return out
}

// wallAlong puts down a wall from a to b, upright or lying.
func wallAlong(out map[wallSide]float64, surf *survey.Surface, a, b geom.Pt, upright bool) {
	cellFt, first := surf.CellFt, surf.Centre(0, 0)
	at, across, along, n := a.X, first.X, first.Y, surf.NY
	low, high := math.Min(a.Y, b.Y), math.Max(a.Y, b.Y)
	if !upright {
		at, across, along, n = a.Y, first.Y, first.X, surf.NX
		low, high = math.Min(a.X, b.X), math.Max(a.X, b.X)
	}
	before := int(math.Floor((at - across) / cellFt))
	for m := range n {
		if mid := along + float64(m)*cellFt; mid < low || mid > high {
			continue
		}
		put := func(k, di int) {
			i, j, q, r := k, m, k+di, m
			side := wallSide{0, di, 0}
			if !upright {
				i, j, q, r = m, k, m, k+di
				side = wallSide{0, 0, di}
			}
			on := surf.Holds(i, j) && surf.Roof[j*surf.NX+i]
			if ft := math.Abs(at - across - float64(k)*cellFt); on && !(surf.Holds(q, r) && surf.Roof[r*surf.NX+q]) {
				side.cell = j*surf.NX + i
				if was, ok := out[side]; (!ok || ft < was) && math.Abs(ft-cellFt/2) > 1e-9 {
					out[side] = ft
				}
			}
		}
		put(before, 1)
		put(before+1, -1)
	}
}

// wallFt is how far from the middle of a roof cell its side toward (di, dj)
// lies: where the wall stands, else half a cell.
func (w *wetCells) wallFt(i, j, di, dj int) float64 {
	if ft, ok := w.walls[wallSide{j*w.surf.NX + i, di, dj}]; ok {
		return ft
	}
	return w.surf.CellFt / 2
}

// cornerAt is the place of the corner of a roof cell toward (di, dj): where the
// walls stand that pass it. Of two walls less than a cell apart it takes the
// mean, so that all cells round it have one corner.
func (w *wetCells) cornerAt(i, j, di, dj int) geom.Pt {
	c, half := w.surf.Centre(i, j), w.surf.CellFt/2
	at := geom.Pt{X: c.X + float64(di)*half, Y: c.Y + float64(dj)*half}
	if len(w.walls) == 0 {
		return at
	}
	i0, j0 := min(i, i+di), min(j, j+dj)
	var sum geom.Pt
	nx, ny := 0, 0
	for n := range 2 {
		switch a, b := w.roof(i0, j0+n), w.roof(i0+1, j0+n); {
		case a && !b:
			sum.X, nx = sum.X+w.surf.Centre(i0, j0).X+w.wallFt(i0, j0+n, 1, 0), nx+1
		case b && !a:
			sum.X, nx = sum.X+w.surf.Centre(i0+1, j0).X-w.wallFt(i0+1, j0+n, -1, 0), nx+1
		}
		switch a, b := w.roof(i0+n, j0), w.roof(i0+n, j0+1); {
		case a && !b:
			sum.Y, ny = sum.Y+w.surf.Centre(i0, j0).Y+w.wallFt(i0+n, j0, 0, 1), ny+1
		case b && !a:
			sum.Y, ny = sum.Y+w.surf.Centre(i0, j0+1).Y-w.wallFt(i0+n, j0+1, 0, -1), ny+1
		}
	}
	if nx > 0 {
		at.X = sum.X / float64(nx)
	}
	if ny > 0 {
		at.Y = sum.Y / float64(ny)
	}
	return at
}
