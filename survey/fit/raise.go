package fit

import (
	"math"

	"runnel/survey"
)

// raise carries a surface u, one value a cell of g, over to the cells of a
// finer lattice that want marks, through the cubics of Keys, 1981, "Cubic
// convolution interpolation for digital image processing" (from memory), which
// reproduce parabolas. Beside a wall the missing values are carried on
// linearly from the cell's own side. Cost: O(cells of both).
func (g *ground) raise(u []float64, fine survey.Lattice, want []bool) []float64 {
	out := make([]float64, fine.Len())
	xs, ys := g.quads(fine.NX, g.NX, fine.CellFt), g.quads(fine.NY, g.NY, fine.CellFt)
	for qj, rows := range ys {
		for qi, cols := range xs {
			if rows.to > rows.from && cols.to > cols.from {
				g.raiseQuad(u, patch{qi - 1, qj - 1, cols, rows}, fine, want, out)
			}
		}
	}
	return out
}

// span is a run of fine cells, from up to but not including to.
type span struct{ from, to int }

// quads gives, for each gap between neighbouring middles of g along one axis,
// and for the two ends (first and last), the fine cells within it.
func (g *ground) quads(nFine, n int, fineFt float64) []span {
	out := make([]span, n+1)
	for i := range nFine {
		x := (float64(i) + 0.5 - float64(nFine)/2) * fineFt
		q := clamp(int(math.Floor(x/g.CellFt+float64(n)/2-0.5))+1, n+1)
		if out[q].to == 0 {
			out[q].from = i
		}
		out[q].to = i + 1
	}
	return out
}

// patch is the square between four middles of the coarse ground, its lower left
// cell, and the fine cells within it.
type patch struct {
	i, j       int
	cols, rows span
}

func (g *ground) raiseQuad(u []float64, q patch, fine survey.Lattice, want []bool, out []float64) {
	if v, ok := g.openWindow(u, q.i, q.j); ok {
		for j := q.rows.from; j < q.rows.to; j++ {
			for i := q.cols.from; i < q.cols.to; i++ {
				if k := j*fine.NX + i; want[k] {
					out[k] = g.keys(&v, q, fine, i, j)
				}
			}
		}
		return
	}
	var bases [2]int // of the windows made so far
	var made [2][16]float64
	n := 0
	for j := q.rows.from; j < q.rows.to; j++ {
		for i := q.cols.from; i < q.cols.to; i++ {
			k := j*fine.NX + i
			if !want[k] {
				continue
			}
			base, ok := g.baseOf(fine.Centre(i, j))
			if !ok {
				continue
			}
			w := 0
			for w < n && bases[w] != base {
				w++
			}
			if w == n {
				if n == len(bases) {
					w = 0
				} else {
					n++
				}
				bases[w] = base
				made[w] = g.sideWindow(u, q, base)
			}
			out[k] = g.keys(&made[w], q, fine, i, j)
		}
	}
}

// openWindow gives the 16 values round a patch when no wall is near it.
func (g *ground) openWindow(u []float64, qi, qj int) (v [16]float64, ok bool) {
	if qi < 1 || qj < 1 || qi+2 >= g.NX || qj+2 >= g.NY {
		return v, false
	}
	for e := range v {
		k := (qj-1+e/4)*g.NX + qi - 1 + e%4
		if !g.in[k] || e%4 < 3 && !g.east[k] || e/4 < 3 && !g.north[k] {
			return v, false
		}
		v[e] = u[k]
	}
	return v, true
}

// keys is the value at fine cell (i, j) of the window v round patch q.
func (g *ground) keys(v *[16]float64, q patch, fine survey.Lattice, i, j int) float64 {
	p := fine.Centre(i, j)
	wx := keysWeights(p.X/g.CellFt + float64(g.NX)/2 - 0.5 - float64(q.i))
	wy := keysWeights(p.Y/g.CellFt + float64(g.NY)/2 - 0.5 - float64(q.j))
	sum := 0.0
	for r := range 4 {
		row := v[4*r : 4*r+4]
		sum += wy[r] * (wx[0]*row[0] + wx[1]*row[1] + wx[2]*row[2] + wx[3]*row[3])
	}
	return sum
}

// keysWeights gives the weights of the values at -1, 0, 1 and 2 for the place
// t between 0 and 1; beyond, the straight line through the two in the middle.
func keysWeights(t float64) [4]float64 {
	if t < 0 || t > 1 {
		return [4]float64{0, 1 - t, t, 0}
	}
	t2, t3 := t*t, t*t*t
	return [4]float64{
		-0.5*t + t2 - 0.5*t3, 1 - 2.5*t2 + 1.5*t3,
		0.5*t + 2*t2 - 1.5*t3, -0.5*t2 + 0.5*t3,
	}
}

// window is the 4 x 4 cells round a patch with the values known so far.
type window struct {
	v   [16]float64
	has [16]bool
}

// sideWindow gives the 16 values round a patch as seen from the cell base:
// cells joined to it by links keep their value, the others are carried on.
func (g *ground) sideWindow(u []float64, q patch, base int) [16]float64 {
	var w window
	bi, bj := base%g.NX-(q.i-1), base/g.NX-(q.j-1)
	if bi < 0 || bj < 0 || bi > 3 || bj > 3 {
		return g.planeWindow(u, q, base)
	}
	w.v[4*bj+bi], w.has[4*bj+bi] = u[base], true
	for grown := true; grown; {
		grown = g.grow(u, q, &w)
	}
	for range 4 {
		if !g.carryOn(u, q, &w) {
			break
		}
	}
	for e := range w.v {
		if !w.has[e] { // a strip one cell wide: level across
			w.v[e] = u[base]
		}
	}
	return w.v
}

// planeWindow carries on the plane at base, which lies off the window.
func (g *ground) planeWindow(u []float64, q patch, base int) (v [16]float64) {
	share := g.near3(base)
	val := func(e int) float64 {
		sum := 0.0
		for k, s := range share[e] {
			if s != 0 {
				sum += s * u[base+(k/3-1)*g.NX+k%3-1]
			}
		}
		return sum
	}
	gx, gy := (val(5)-val(3))/2, (val(7)-val(1))/2
	for e := range v {
		di, dj := q.i-1+e%4-base%g.NX, q.j-1+e/4-base/g.NX
		v[e] = u[base] + gx*float64(di) + gy*float64(dj)
	}
	return v
}

// grow takes in the cells of the window that are linked to one taken in.
func (g *ground) grow(u []float64, q patch, w *window) bool {
	grown := false
	for e := range w.v {
		i, j := q.i-1+e%4, q.j-1+e/4
		if w.has[e] || !g.Holds(i, j) || !g.in[j*g.NX+i] {
			continue
		}
		k := j*g.NX + i
		if e%4 < 3 && w.has[e+1] && g.east[k] || e%4 > 0 && w.has[e-1] && g.east[k-1] ||
			e/4 < 3 && w.has[e+4] && g.north[k] || e/4 > 0 && w.has[e-4] && g.north[k-g.NX] {
			w.v[e], w.has[e], grown = u[k], true, true
		}
	}
	return grown
}

// carryOn gives a value to every missing cell of the window that has two known
// ones behind it in a row or a column, the mean over the directions.
func (g *ground) carryOn(u []float64, q patch, w *window) bool {
	next, changed := *w, false
	for e := range w.v {
		if w.has[e] {
			continue
		}
		sum, n := 0.0, 0.0
		for d := range 4 {
			if v, ok := g.lineOn(u, q, w, e, d); ok {
				sum += v
				n++
			}
		}
		if n > 0 {
			next.v[e], next.has[e], changed = sum/n, true, true
		}
	}
	*w = next
	return changed
}

// lineOn is the value at window cell e on the straight line through the two
// cells in direction d from it.
func (g *ground) lineOn(u []float64, q patch, w *window, e, d int) (float64, bool) {
	dx, dy := [4]int{1, -1, 0, 0}[d], [4]int{0, 0, 1, -1}[d]
	x, y := e%4+dx, e/4+dy
	if x < 0 || y < 0 || x > 3 || y > 3 || !w.has[4*y+x] {
		return 0, false
	}
	a := w.v[4*y+x]
	if bx, by := x+dx, y+dy; bx >= 0 && by >= 0 && bx <= 3 && by <= 3 {
		return 2*a - w.v[4*by+bx], w.has[4*by+bx]
	}
	// The second one lies off the window: look it up.
	i, j := q.i-1+x, q.j-1+y
	if !g.Holds(i, j) || !g.Holds(i+dx, j+dy) {
		return 0, false
	}
	k, link := j*g.NX+i, false
	switch d {
	case 0:
		link = g.east[k]
	case 1:
		link = g.east[k-1]
	case 2:
		link = g.north[k]
	case 3:
		link = g.north[k-g.NX]
	}
	return 2*a - u[k+dy*g.NX+dx], link
}
