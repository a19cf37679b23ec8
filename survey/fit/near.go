package fit

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// near finds the nearest places of a set by a raster of buckets.
type near struct {
	pts    []geom.Pt
	box    geom.Box
	cellFt float64
	nx, ny int
	bucket [][]int32
}

// newNear sorts places into buckets of about two each.
func newNear(pts []geom.Pt) *near {
	n := &near{pts: pts, box: geom.BoxOf(pts...)}
	w, h := n.box.Size()
	n.cellFt = math.Max(math.Sqrt(2*w*h/float64(len(pts)+1)), math.Max(w, h)/2000)
	n.cellFt = math.Max(n.cellFt, 1e-6)
	n.nx, n.ny = int(w/n.cellFt)+1, int(h/n.cellFt)+1
	n.bucket = make([][]int32, n.nx*n.ny)
	for i, p := range pts {
		k := n.row(p.Y)*n.nx + n.col(p.X)
		n.bucket[k] = append(n.bucket[k], int32(i))
	}
	return n
}

func (n *near) col(x float64) int { return clamp(int((x-n.box.Min.X)/n.cellFt), n.nx) }
func (n *near) row(y float64) int { return clamp(int((y-n.box.Min.Y)/n.cellFt), n.ny) }

// neighbour is a place found, by its number, with its distance.
type neighbour struct {
	n  int
	ft float64
}

// nearest gives the k places nearest to p that keep accepts, nearest first;
// equal distances stand in the order of the set.
func (n *near) nearest(p geom.Pt, k int, keep func(int) bool) []neighbour {
	ci, cj := n.col(p.X), n.row(p.Y)
	var out []neighbour
	for ring := 0; ring <= max(n.nx, n.ny); ring++ {
		if len(out) >= k && out[k-1].ft <= float64(ring-1)*n.cellFt {
			break
		}
		n.ring(ci, cj, ring, func(i int) {
			if keep(i) {
				out = append(out, neighbour{i, p.Dist(n.pts[i])})
			}
		})
		slices.SortFunc(out, func(a, b neighbour) int {
			return cmp.Or(cmp.Compare(a.ft, b.ft), cmp.Compare(a.n, b.n))
		})
		out = out[:min(len(out), max(k, 0))]
	}
	return out
}

// ring visits the places in the buckets at a distance of r buckets.
func (n *near) ring(ci, cj, r int, f func(i int)) {
	for j := max(cj-r, 0); j <= min(cj+r, n.ny-1); j++ {
		step := 1
		if j != cj-r && j != cj+r && r > 0 {
			step = 2 * r
		}
		for i := ci - r; i <= ci+r; i += step {
			if i < 0 || i >= n.nx {
				continue
			}
			for _, m := range n.bucket[j*n.nx+i] {
				f(int(m))
			}
		}
	}
}

// spacingOf is the typical distance between neighbouring places: the median,
// over the places, of the median distance to the four nearest others (to all
// others where there are fewer). On a square grid it is the grid's step, at
// edges too. Places nearer than 0.01 ft count as one.
func spacingOf(pts []geom.Pt) float64 {
	n := newNear(pts)
	var all []float64
	for i, p := range pts {
		var four []float64
		for _, f := range n.nearest(p, 4, func(m int) bool { return m != i && p.Dist(pts[m]) > 0.01 }) {
			four = append(four, f.ft)
		}
		if len(four) > 0 {
			all = append(all, median(four))
		}
	}
	return median(all)
}

// median of v, the mean of the middle two where they are even; 0 for none. It
// sorts v.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	m := len(v) / 2
	if len(v)%2 == 1 {
		return v[m]
	}
	return (v[m-1] + v[m]) / 2
}

// usual is one standard deviation of a normal scatter, told robustly by the
// amounts of its misses, which it sorts: 1.4826 times their median.
func usual(amounts []float64) float64 { return 1.4826 * median(amounts) }
