package fit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Thinning of point clouds.
const (
	mostShots  = 4000 // fewer are never thinned
	mostBins   = 20000
	cloudDense = 0.25 // points a square foot
	leastBin   = 0.5  // ft
	nodeFt     = 15.0 // between the places where strays are looked for
	nodeReach  = 25.0 // ft
	strayIn    = 3.0  // nothing is a stray by less
	strayMiss  = 6.0  // times the usual miss
)

// isCloud says whether n shots on a roof are a point cloud: too many for a
// person with a rod to have read.
func isCloud(n int, roofSqft float64) bool {
	return n > mostBins || n > mostShots && float64(n) > cloudDense*roofSqft
}

// thinned makes a point cloud (see isCloud) into fewer shots: the
// median elevation of the points in each cell of a raster, at their mean place,
// about the plane of all. Cells that then stand off the roof about them, by
// more than gravel does, are objects and left out. note says what was done, ""
// for fewer shots, which are returned as they are. Cost: O(n log n).
func thinned(s *survey.Site, p places) (out places, note string, err error) {
	n := len(p.at)
	sqft := s.RoofArea().SquareFeet()
	if !isCloud(n, sqft) {
		return p, "", nil
	}
	bins := math.Max(mostShots, math.Min(mostBins, float64(n)/5))
	binFt := math.Max(leastBin, math.Sqrt(sqft/bins))
	plane, _, err := leastSquares(p.at, p.zIn)
	if err != nil {
		return p, "", err
	}
	out = medians(p.over(plane), binFt)
	strays := out.strays()
	kept := places{}
	for i, stray := range strays {
		if !stray {
			kept.at = append(kept.at, out.at[i])
			kept.zIn = append(kept.zIn, out.zIn[i]+plane.At(out.at[i]))
		}
	}
	note = fmt.Sprintf("%d points were thinned to the medians of %d cells of %s (%s); %d cells stand off the roof "+
		"(objects on it) and were left out", n, len(out.at), unit.Feet(binFt).FormatThin(unit.US),
		unit.Feet(binFt).FormatThin(unit.Metric), len(out.at)-len(kept.at))
	return kept, note, nil
}

// medians gives the median elevation and the mean place of the points in each
// cell of a raster centred on the frame, in rows from the bottom.
func medians(p places, binFt float64) places {
	type key struct{ i, j int32 }
	of := func(q geom.Pt) key {
		return key{int32(math.Floor(q.X / binFt)), int32(math.Floor(q.Y / binFt))}
	}
	order := make([]int32, len(p.at))
	keys := make([]key, len(p.at))
	for n := range order {
		order[n], keys[n] = int32(n), of(p.at[n])
	}
	slices.SortFunc(order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(keys[a].j, keys[b].j), cmp.Compare(keys[a].i, keys[b].i),
			cmp.Compare(p.zIn[a], p.zIn[b]))
	})
	var out places
	for from := 0; from < len(order); {
		to := from
		var sum geom.Pt
		for to < len(order) && keys[order[to]] == keys[order[from]] {
			sum = sum.Add(p.at[order[to]])
			to++
		}
		m := order[from:to]
		z := p.zIn[m[len(m)/2]]
		if len(m)%2 == 0 {
			z = (z + p.zIn[m[len(m)/2-1]]) / 2
		}
		out.at = append(out.at, sum.Mul(1/float64(to-from)))
		out.zIn = append(out.zIn, z)
		from = to
	}
	return out
}

// strays says which places stand far off the roof about them: off the robust
// plane through all places within nodeReach of the nearest of a raster of
// nodes.
func (p places) strays() []bool {
	near := newNear(p.at)
	type node struct{ i, j int }
	planes := map[node]survey.Plane{}
	miss := make([]float64, len(p.at))
	for n, q := range p.at {
		k := node{int(math.Round(q.X / nodeFt)), int(math.Round(q.Y / nodeFt))}
		pl, ok := planes[k]
		if !ok {
			pl = p.planeAbout(near, geom.Pt{X: float64(k.i) * nodeFt, Y: float64(k.j) * nodeFt})
			planes[k] = pl
		}
		miss[n] = p.zIn[n] - pl.At(q)
	}
	var amounts []float64
	for _, m := range miss {
		amounts = append(amounts, math.Abs(m))
	}
	limit := math.Max(strayIn, strayMiss*1.4826*median(amounts))
	out := make([]bool, len(miss))
	for n, m := range miss {
		out[n] = math.Abs(m) > limit
	}
	return out
}

// planeAbout is the robust plane through the places within nodeReach of c.
func (p places) planeAbout(near *near, c geom.Pt) survey.Plane {
	var pts []geom.Pt
	var zIn []float64
	near.within(c, nodeReach, func(n int) {
		pts, zIn = append(pts, p.at[n]), append(zIn, p.zIn[n])
	})
	return robustPlane(pts, zIn)
}

// within visits the places within ft of c.
func (n *near) within(c geom.Pt, ft float64, f func(i int)) {
	for j := n.row(c.Y - ft); j <= n.row(c.Y+ft); j++ {
		for i := n.col(c.X - ft); i <= n.col(c.X+ft); i++ {
			for _, m := range n.bucket[j*n.nx+i] {
				if n.pts[m].Dist(c) <= ft {
					f(int(m))
				}
			}
		}
	}
}
