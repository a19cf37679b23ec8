package lower

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// sameMiddleFt is the difference in height of two middles that is rounding only.
const sameMiddleFt = 1e-6

// Parts divides an area along lines, each of two places or more: what lies
// between them and the border, the part whose middle is lowest first, of equal ones
// the leftmost, whichever way the lines run. A line that ends inside divides nothing
// there. Cost: cells x stretches.
func Parts(area geom.Poly, lines [][]geom.Pt) ([]geom.Poly, error) {
	e := New(area, nil)
	var cuts [][2]geom.Pt
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			cuts = append(cuts, [2]geom.Pt{l[i-1], l[i]})
			e.cut(l[i-1], l[i])
		}
	}
	u := &union{net: newNet(nil), owner: map[arrow]int{}, cells: e.cells, apart: cuts}
	if err := u.weave(); err != nil {
		return nil, err
	}
	u.join()
	regions, _, err := u.trace()
	var out []geom.Poly
	for _, r := range regions {
		out = append(out, r.Poly)
	}
	slices.SortStableFunc(out, func(a, b geom.Poly) int {
		p, q := a.Centroid(), b.Centroid()
		if math.Abs(p.Y-q.Y) > sameMiddleFt {
			return cmp.Compare(p.Y, q.Y)
		}
		return cmp.Compare(p.X, q.X)
	})
	return out, err
}

// cut cuts the cells that the stretch a-b enters, right through each.
func (e *Envelope) cut(a, b geom.Pt) {
	d := b.Sub(a)
	l := d.Norm()
	if l < onLineFt {
		return
	}
	n := geom.Pt{X: -d.Y / l, Y: d.X / l}
	left := half{n, n.Dot(a)}
	box := geom.BoxOf(a, b)
	for i := range len(e.cells) {
		c := e.cells[i]
		if !box.Overlaps(c.box) {
			continue
		}
		in, rest, ok := split(c.ring, []half{left})
		if !ok || len(rest) == 0 {
			continue
		}
		e.cells[i] = c.with(in)
		for _, r := range rest {
			e.cells = append(e.cells, c.with(r))
		}
	}
}

// parted says whether the edge from p to q runs along a line that keeps its two
// cells apart.
func (u *union) parted(p, q geom.Pt) bool {
	for _, c := range u.apart {
		if geom.SegDist(p, c[0], c[1]) < snapFt && geom.SegDist(q, c[0], c[1]) < snapFt {
			return true
		}
	}
	return false
}
