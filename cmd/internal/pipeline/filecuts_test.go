package pipeline

import (
	"cmp"
	"math"
	"slices"
)

// placed lays a piece into its stock board by the words of cuts.csv alone.
func (r *fileRun) placed(b *filePlane) plainShape {
	c := r.cuts[b.Piece]
	up := xy{math.Cos(*b.Uphill * math.Pi / 180), math.Sin(*b.Uphill * math.Pi / 180)}
	right := xy{up[1], -up[0]}
	sin, cos := math.Sincos(r.number(c, "rot_deg") * math.Pi / 180)
	rings := make([][]xy, len(b.shape.rings))
	for i, ring := range b.shape.rings {
		for _, p := range ring {
			u, v := p.dot(right), p.dot(up)
			if c["turned"] == "true" {
				u = -u
			}
			rings[i] = append(rings[i], xy{u*cos - v*sin, u*sin + v*cos})
		}
	}
	lo, _ := boundsOf(rings[0])
	by := xy{r.number(c, "u_ft"), r.number(c, "v_ft")}.less(lo)
	for _, ring := range rings {
		for i, p := range ring {
			ring[i] = xy{p[0] + by[0], p[1] + by[1]}
		}
	}
	return shapeOf(rings)
}

// holdStock: every piece lies in its stock board as cuts.csv says, is as thick
// there as the board is at that distance from its thin edge, and shares the board
// with no other mark and no other piece's place.
func (r *fileRun) holdStock() {
	byNo := map[int][]*filePlane{}
	for i := range r.boards {
		b := &r.boards[i]
		c := r.cuts[b.Piece]
		if b.Uphill == nil || c == nil {
			r.add("in its board", "%s has no direction or no line in cuts.csv", b.Piece)
			continue
		}
		b.inStock = r.placed(b)
		lo, hi := b.inStock.lo, b.inStock.hi
		if lo[0] < -jointFt || lo[1] < -jointFt || hi[0] > b.StockFt[0]+jointFt || hi[1] > b.StockFt[1]+jointFt {
			r.add("in its board", "%s lies from %v to %v in a board of %v ft", b.Piece, lo, hi, b.StockFt)
		}
		if !(math.Abs(hi[0]-lo[0]-r.number(c, "w_ft")) < jointFt && math.Abs(hi[1]-lo[1]-r.number(c, "d_ft")) < jointFt) {
			r.add("its box", "%s is %v ft, cuts.csv says %v", b.Piece, hi.less(lo), c)
		}
		r.holdThickness(b)
		byNo[b.StockNo] = append(byNo[b.StockNo], b)
	}
	for no, pieces := range byNo {
		for i, a := range pieces {
			for _, b := range pieces[:i] {
				if a.stockKey() != b.stockKey() {
					r.add("one mark a board", "stock board %d gives %s and %s", no, a.stockKey(), b.stockKey())
				}
				if ft := sharedFt(a.inStock, b.inStock); ft > 1e-5 {
					r.add("no overlap", "%s and %s lie %.6f ft in one another in stock board %d", a.Piece, b.Piece, ft, no)
				}
			}
		}
	}
}

// holdThickness compares the thickness at every corner with that of the stock
// board there, by the distance from its thin edge.
func (r *fileRun) holdThickness(b *filePlane) {
	if b.tapered() && (b.Type == "cover" || b.Type == "base" || b.Type == "fill" || r.cuts[b.Piece]["rot_deg"] != "0") {
		r.add("thick edge", "%s of %s is turned by %s", b.Type, b.Mark, r.cuts[b.Piece]["rot_deg"])
	}
	for i, ring := range b.shape.rings {
		for n, p := range ring {
			in := b.ThinIn + (b.ThickIn-b.ThinIn)*b.inStock.rings[i][n][1]/b.StockFt[1]
			if !b.tapered() {
				in = b.ThinIn
			}
			if !(math.Abs(b.atIn(p)-in) < 1e-5) {
				r.add("thick edge", "%s is %.5f in thick at %v, its board is %.5f there", b.Piece, b.atIn(p), p, in)
			}
		}
	}
}

// sharedFt is how deep two shapes lie in one another. A piece in the hole of
// another is looked at by its corners alone.
func sharedFt(a, b plainShape) float64 {
	if a.lo[0] > b.hi[0]-1e-6 || b.lo[0] > a.hi[0]-1e-6 || a.lo[1] > b.hi[1]-1e-6 || b.lo[1] > a.hi[1]-1e-6 {
		return 0
	}
	most := 0.0
	if len(a.rings)+len(b.rings) > 2 {
		for _, pair := range [][2]plainShape{{a, b}, {b, a}} {
			for _, p := range pair[0].rings[0] {
				if pair[1].has(p) {
					most = math.Max(most, pair[1].offFt(p))
				}
			}
		}
		return most
	}
	for _, s := range triangles(a.rings[0]) {
		for _, t := range triangles(b.rings[0]) {
			most = math.Max(most, overlapFt(s, t))
		}
	}
	return most
}

// holdBounds reckons the two bounds of the order from the shapes of the plan.
func (r *fileRun) holdBounds() {
	byStock := map[string][]*filePlane{}
	opened := map[string]map[int]bool{}
	for i := range r.boards {
		b := &r.boards[i]
		k := b.stockKey()
		byStock[k] = append(byStock[k], b)
		if opened[k] == nil {
			opened[k] = map[int]bool{}
		}
		opened[k][b.StockNo] = true
	}
	area, cut, spares := 0, 0, 0
	for k, pieces := range byStock {
		sqft := 0.0
		for _, b := range pieces {
			sqft += b.shape.sqft()
		}
		byArea := int(math.Ceil(sqft/(pieces[0].StockFt[0]*pieces[0].StockFt[1]) - 1e-6))
		byCut := byArea
		if pieces[0].tapered() {
			byCut = max(byCut, int(math.Ceil(mostAcrossFt(pieces)/pieces[0].StockFt[0]-1e-6)))
		}
		if n := len(opened[k]); n < byCut {
			r.add("bounds", "%s: %d boards, the widths force %d", k, n, byCut)
		}
		area, cut, spares = area+byArea, cut+byCut, spares+(3*len(opened[k])+99)/100
	}
	if area != r.sum.AreaBound || cut != r.sum.CutBound || spares != r.sum.Spares {
		r.add("bounds", "area %d, cut %d, spares %d by the plan, summary.json says %+v", area, cut, spares, r.sum)
	}
}

// mostAcrossFt is the greatest sum of the widths of pieces at one depth of their
// board. Between the depths of corners the sum is straight, so that two looks beyond
// a corner tell what it comes to there.
func mostAcrossFt(pieces []*filePlane) float64 {
	var depths []float64
	for _, b := range pieces {
		for _, ring := range b.inStock.rings {
			for _, p := range ring {
				depths = append(depths, math.Round(p[1]*1e6)/1e6)
			}
		}
	}
	slices.Sort(depths)
	most := 0.0
	for _, v := range slices.Compact(depths) {
		for _, step := range []float64{-3e-6, 3e-6} {
			near, far := 0.0, 0.0
			for _, b := range pieces {
				if v+2*step > b.inStock.lo[1] && v+2*step < b.inStock.hi[1] {
					near, far = near+b.inStock.widthFt(v+step), far+b.inStock.widthFt(v+2*step)
				}
			}
			most = math.Max(most, 2*near-far)
		}
	}
	return most
}

// fileJoint is a joint of a base layer inside the roof: where it lies along a
// direction, and from where to where it runs across that.
type fileJoint struct{ at, from, to float64 }

// holdJoints: joints of one base layer lie 6 in at least from those of the layer below
// that they run along (UFGS 07220, for overlay boards).
func (r *fileRun) holdJoints() {
	layers := map[int]map[bool][]fileJoint{}
	for i := range r.boards {
		b := &r.boards[i]
		if b.Type != "base" {
			continue
		}
		if layers[b.Layer] == nil {
			layers[b.Layer] = map[bool][]fileJoint{}
		}
		up := xy{math.Cos(*b.Uphill * math.Pi / 180), math.Sin(*b.Uphill * math.Pi / 180)}
		right := xy{up[1], -up[0]}
		for along, way := range map[bool]xy{true: right, false: up} {
			across := xy{way[1], -way[0]}
			for _, ring := range b.shape.rings {
				for k, p := range ring {
					q := ring[(k+1)%len(ring)]
					mid := xy{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}
					if math.Abs(q.less(p).dot(across)) < jointFt && p.distFt(q) > 0.01 && r.inside(mid) {
						from, to := p.dot(way), q.dot(way)
						layers[b.Layer][along] = append(layers[b.Layer][along], fileJoint{p.dot(across), math.Min(from, to), math.Max(from, to)})
					}
				}
			}
		}
	}
	for n := 2; layers[n] != nil; n++ {
		for along, upper := range layers[n] {
			r.apart(n, upper, layers[n-1][along])
		}
	}
}

// inside says whether a place lies on the roof and not on its border.
func (r *fileRun) inside(p xy) bool {
	for _, s := range append([]plainShape{r.roof[0]}, r.off...) {
		if s.offFt(p) < 1e-4 {
			return false
		}
	}
	return r.onRoof(p)
}

func (r *fileRun) apart(layer int, upper, lower []fileJoint) {
	slices.SortFunc(lower, func(a, b fileJoint) int { return cmp.Compare(a.at, b.at) })
	for _, u := range upper {
		n, _ := slices.BinarySearchFunc(lower, u.at-0.5+jointFt, func(a fileJoint, at float64) int { return cmp.Compare(a.at, at) })
		for ; n < len(lower) && lower[n].at < u.at+0.5-jointFt; n++ {
			if l := lower[n]; math.Min(u.to, l.to)-math.Max(u.from, l.from) > 0.01 {
				r.add("joints apart", "layer %d has a joint %.4f ft from one of the layer below over %.2f ft", layer, math.Abs(u.at-l.at),
					math.Min(u.to, l.to)-math.Max(u.from, l.from))
			}
		}
	}
}
