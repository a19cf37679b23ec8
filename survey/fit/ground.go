package fit

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// ground is the part of a lattice on which a surface is fitted: the cells
// whose middle lies in the outline and off the courts. Curbs are bridged, since
// the deck runs on under them; walls of the outline and of courts part the
// cells on their two sides, however thin the court is.
type ground struct {
	survey.Lattice
	in    []bool // the cell's middle is in the outline and off the courts
	east  []bool // cell and its neighbour toward +x are in, with no wall between
	north []bool // the same toward +y
	walls *walls
}

// newGround lays the ground of s on l. Cost: O(cells + rows x vertices).
func newGround(s *survey.Site, l survey.Lattice, w *walls) *ground {
	g := &ground{Lattice: l, walls: w, in: survey.CellsInside(l, s.Outline, s.Courts)}
	cutE, cutN := make([]bool, l.Len()), make([]bool, l.Len())
	for _, r := range s.Poly().Rings() {
		for i := range r {
			cutLinks(l, r[i], r.At(i+1), cutE, cutN)
		}
	}
	g.east, g.north = cutE, cutN
	for k := range g.in {
		i, j := k%l.NX, k/l.NX
		g.east[k] = i+1 < l.NX && g.in[k] && g.in[k+1] && !cutE[k]
		g.north[k] = j+1 < l.NY && g.in[k] && g.in[k+l.NX] && !cutN[k]
	}
	return g
}

// cutLinks marks the links between neighbouring middles that the stretch a-b
// crosses.
func cutLinks(l survey.Lattice, a, b geom.Pt, cutE, cutN []bool) {
	for j := range survey.RowsBetween(l.NY, l.CellFt, a.Y, b.Y) {
		y := l.Centre(0, j).Y
		if (a.Y > y) == (b.Y > y) {
			continue
		}
		x := a.X + (y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
		if i := before(x, l.NX, l.CellFt); l.Holds(i, j) {
			cutE[j*l.NX+i] = true
		}
	}
	for i := range survey.RowsBetween(l.NX, l.CellFt, a.X, b.X) {
		x := l.Centre(i, 0).X
		if (a.X > x) == (b.X > x) {
			continue
		}
		y := a.Y + (x-a.X)/(b.X-a.X)*(b.Y-a.Y)
		if j := before(y, l.NY, l.CellFt); l.Holds(i, j) {
			cutN[j*l.NX+i] = true
		}
	}
}

// before is the last of n cells whose middle lies below x, as geom.Ring.Has
// takes a middle on a wall; it may lie off the lattice.
func before(x float64, n int, cellFt float64) int {
	mid := func(i int) float64 { return (float64(i) + 0.5 - float64(n)/2) * cellFt }
	at := math.Ceil(x/cellFt+float64(n)/2-0.5) - 1
	i := int(math.Max(-2, math.Min(at, float64(n+1))))
	for i >= 0 && mid(i) >= x {
		i--
	}
	for i+1 < n && mid(i+1) < x {
		i++
	}
	return i
}

// near3 is the nine cells round a base cell as weights of real cells: entry
// [e][k] is the share of window cell k in the value of window cell e, where
// cells behind a wall or outside are carried on linearly from this side.
// Window cell (dx, dy) has number 3(dy+1) + dx+1.
func (g *ground) near3(base int) (share [9][9]float64) {
	has := g.reach3(base)
	for e, ok := range has {
		if ok {
			share[e][e] = 1
		}
	}
	const centre = 4
	for _, e := range [4]int{1, 3, 5, 7} { // the sides, from the opposite one
		if has[e] {
			continue
		}
		share[e][centre] = 1
		if has[8-e] {
			share[e][centre], share[e][8-e] = 2, -1
		}
	}
	for _, e := range [4]int{0, 2, 6, 8} { // the corners, from their two sides
		if has[e] {
			continue
		}
		for k := range 9 {
			share[e][k] = share[e/3*3+1][k] + share[3+e%3][k] - share[centre][k]
		}
	}
	return share
}

// reach3 says which of the nine cells round base are joined to it by links
// within the nine.
func (g *ground) reach3(base int) (has [9]bool) {
	nx := g.NX
	has[4] = true
	i, j := base%nx, base/nx
	has[5] = g.east[base]
	has[3] = i > 0 && g.east[base-1]
	has[7] = g.north[base]
	has[1] = j > 0 && g.north[base-nx]
	has[8] = has[5] && g.north[base+1] || has[7] && g.east[base+nx]
	has[6] = has[3] && g.north[base-1] || has[7] && i > 0 && g.east[base+nx-1]
	has[2] = has[5] && j > 0 && g.north[base+1-nx] || has[1] && g.east[base-nx]
	has[0] = has[3] && j > 0 && g.north[base-1-nx] || has[1] && i > 0 && g.east[base-nx-1]
	return has
}

// baseOf is the cell that stands for a place: the nearest middle in reach
// that no wall hides, else the nearest of all within two cells; false where
// there is none.
func (g *ground) baseOf(p geom.Pt) (int, bool) {
	ci, cj := g.CellOf(p)
	best, bestHidden := -1, -1
	bestFt, hiddenFt := math.Inf(1), math.Inf(1)
	for dj := -2; dj <= 2; dj++ {
		for di := -2; di <= 2; di++ {
			i, j := ci+di, cj+dj
			if !g.Holds(i, j) || !g.in[j*g.NX+i] {
				continue
			}
			c := g.Centre(i, j)
			d := c.Dist(p)
			switch {
			case d >= bestFt:
			case !g.walls.between(p, c):
				best, bestFt = j*g.NX+i, d
			case d < hiddenFt:
				bestHidden, hiddenFt = j*g.NX+i, d
			}
		}
	}
	if best < 0 {
		best = bestHidden
	}
	return best, best >= 0
}

// weights gives how the surface over p hangs on the nine cells round its base:
// a biquadratic in the two plan directions, exact on planes everywhere.
func (g *ground) weights(p geom.Pt, base int) (w [9]float64) {
	c := g.Centre(base%g.NX, base/g.NX)
	wx, wy := lagrange3((p.X-c.X)/g.CellFt), lagrange3((p.Y-c.Y)/g.CellFt)
	share := g.near3(base)
	for e := range 9 {
		we := wx[e%3] * wy[e/3]
		for k := range 9 {
			w[k] += we * share[e][k]
		}
	}
	return w
}

// lagrange3 gives the weights of the values at -1, 0 and 1 for the place t; far
// out it goes on as a straight line.
func lagrange3(t float64) [3]float64 {
	if t > 0.75 {
		return [3]float64{0, 1 - t, t}
	}
	if t < -0.75 {
		return [3]float64{-t, 1 + t, 0}
	}
	return [3]float64{t * (t - 1) / 2, 1 - t*t, t * (t + 1) / 2}
}
