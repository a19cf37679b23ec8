package fit

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// looseFt is how far a shot may stand beyond a wall and still belong to this
// side of it: a taped or paced place is good to some inches. Common practice,
// no source.
const looseFt = 0.25

// walls finds the stretches of outline and courts that lie between two places,
// by a raster of buckets.
type walls struct {
	segs   [][2]geom.Pt
	box    geom.Box
	cellFt float64
	nx, ny int
	bucket [][]int32
}

// newWalls sorts the stretches of s into buckets. Cost: O(vertices) for usual
// outlines.
func newWalls(s *survey.Site) *walls {
	w := &walls{}
	for _, r := range s.Poly().Rings() {
		for i := range r {
			w.segs = append(w.segs, [2]geom.Pt{r[i], r.At(i + 1)})
		}
	}
	w.box = s.Outline.Box()
	wide, high := w.box.Size()
	w.cellFt = math.Max(math.Max(wide, high)/64, 1e-6)
	w.nx, w.ny = int(wide/w.cellFt)+1, int(high/w.cellFt)+1
	w.bucket = make([][]int32, w.nx*w.ny)
	for n, sg := range w.segs {
		w.along(sg[0], sg[1], func(k int) bool {
			w.bucket[k] = append(w.bucket[k], int32(n))
			return true
		})
	}
	return w
}

// along visits the buckets that the stretch p-q may touch, until f says stop.
func (w *walls) along(p, q geom.Pt, f func(k int) bool) {
	if p.Y > q.Y {
		p, q = q, p
	}
	row := func(y float64) int { return clamp(int(math.Floor((y-w.box.Min.Y)/w.cellFt)), w.ny) }
	col := func(x float64) int { return clamp(int(math.Floor((x-w.box.Min.X)/w.cellFt)), w.nx) }
	for j := row(p.Y - 1e-9); j <= row(q.Y+1e-9); j++ {
		x0, x1 := p.X, q.X
		if q.Y-p.Y > 1e-9 { // the part of the stretch within this row
			y0, y1 := w.box.Min.Y+float64(j)*w.cellFt, w.box.Min.Y+float64(j+1)*w.cellFt
			t0 := math.Max(0, math.Min(1, (y0-p.Y)/(q.Y-p.Y)))
			t1 := math.Max(0, math.Min(1, (y1-p.Y)/(q.Y-p.Y)))
			x0, x1 = p.X+t0*(q.X-p.X), p.X+t1*(q.X-p.X)
		}
		for i := col(math.Min(x0, x1) - 1e-9); i <= col(math.Max(x0, x1)+1e-9); i++ {
			if !f(j*w.nx + i) {
				return
			}
		}
	}
}

func clamp(i, n int) int { return max(0, min(i, n-1)) }

// between says whether a wall stands between p and q. The first looseFt at p
// and q count for nothing, so that a shot on a wall, or just beyond it, belongs
// to the side that it is looked at from.
func (w *walls) between(p, q geom.Pt) bool {
	d := p.Dist(q)
	trim := math.Min(looseFt, d/2)
	if d <= 2*trim {
		return false
	}
	a, b := p.Lerp(q, trim/d), q.Lerp(p, trim/d)
	hit := false
	w.along(a, b, func(k int) bool {
		for _, n := range w.bucket[k] {
			if crosses(a, b, w.segs[n][0], w.segs[n][1]) {
				hit = true
				return false
			}
		}
		return true
	})
	return hit
}

// crosses says whether the stretches a-b and c-d cross in a place inside both.
func crosses(a, b, c, d geom.Pt) bool {
	ab, cd := b.Sub(a), d.Sub(c)
	s1, s2 := ab.Cross(c.Sub(a)), ab.Cross(d.Sub(a))
	s3, s4 := cd.Cross(a.Sub(c)), cd.Cross(b.Sub(c))
	return (s1 > 0) != (s2 > 0) && (s3 > 0) != (s4 > 0)
}
