package lower

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// snapFt is the distance at which two places of the net are one. Cuts of the
// same line computed from its two ends differ by some 1e-12 ft, gaps left by
// dropped specks by speckFt; a facet narrower than this is of no use to anyone.
const snapFt = 10 * speckFt

// straightFt is how far a place may lie off the stretch between its neighbours
// to be left out of a border.
const straightFt = speckFt

// net is a set of places, no two nearer than snapFt, in buckets.
type net struct {
	at   []geom.Pt
	near map[[2]int][]int // by squares of side snapFt
	box  geom.Box
	step float64
	grid map[[2]int][]int // by squares of side step
}

// newNet begins with the places to be kept exactly.
func newNet(keep []geom.Pt) *net {
	n := &net{near: map[[2]int][]int{}}
	for _, p := range keep {
		n.place(p)
	}
	return n
}

func square(p geom.Pt, side float64) [2]int {
	return [2]int{int(math.Floor(p.X / side)), int(math.Floor(p.Y / side))}
}

// place is the number of the place at p, a new one where none is near.
func (n *net) place(p geom.Pt) int {
	s := square(p, snapFt)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, v := range n.near[[2]int{s[0] + dx, s[1] + dy}] {
				if n.at[v].Dist(p) < snapFt {
					return v
				}
			}
		}
	}
	n.at = append(n.at, p)
	n.near[s] = append(n.near[s], len(n.at)-1)
	return len(n.at) - 1
}

// index makes the net ready for between; no place may be added after it.
func (n *net) index() {
	n.box = geom.BoxOf(n.at...)
	w, h := n.box.Size()
	n.step = math.Max(1e-3, math.Sqrt(w*h/float64(len(n.at)+1)))
	n.grid = map[[2]int][]int{}
	for v, p := range n.at {
		s := square(p, n.step)
		n.grid[s] = append(n.grid[s], v)
	}
}

// between gives the places on the stretch from one place to another, in order,
// the last one with it.
func (n *net) between(from, to int) []int {
	a, b := n.at[from], n.at[to]
	d := b.Sub(a)
	beside := 2 * snapFt * d.Norm()
	var out []int
	n.along(a, b, func(v int) {
		if v == from || v == to {
			return
		}
		off := n.at[v].Sub(a)
		if math.Abs(off.Cross(d)) > beside {
			return
		}
		if t := off.Dot(d); t > 0 && t < d.Dot(d) && geom.SegDist(n.at[v], a, b) < snapFt {
			out = append(out, v)
		}
	})
	slices.SortFunc(out, func(v, w int) int {
		return cmp.Compare(n.at[v].Sub(a).Dot(d), n.at[w].Sub(a).Dot(d))
	})
	return append(out, to)
}

// along does f to each place in the squares that the stretch a-b may touch.
func (n *net) along(a, b geom.Pt, f func(int)) {
	if a.X > b.X {
		a, b = b, a
	}
	lo, hi := square(a, n.step), square(b, n.step)
	for i := lo[0] - 1; i <= hi[0]+1; i++ {
		x0, x1 := float64(i)*n.step-2*snapFt, float64(i+1)*n.step+2*snapFt
		if x1 < a.X || x0 > b.X {
			continue
		}
		y0, y1 := heightAt(a, b, x0), heightAt(a, b, x1)
		if b.X-a.X < n.step {
			y0, y1 = a.Y, b.Y
		}
		j0 := int(math.Floor((math.Min(y0, y1) - 2*snapFt) / n.step))
		j1 := int(math.Floor((math.Max(y0, y1) + 2*snapFt) / n.step))
		for j := j0; j <= j1; j++ {
			for _, v := range n.grid[[2]int{i, j}] {
				f(v)
			}
		}
	}
}

// heightAt is the y of the stretch a-b at x, held to its ends.
func heightAt(a, b geom.Pt, x float64) float64 {
	if b.X == a.X {
		return a.Y
	}
	t := math.Max(0, math.Min(1, (x-a.X)/(b.X-a.X)))
	return a.Y + t*(b.Y-a.Y)
}
