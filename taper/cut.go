package taper

import (
	"cmp"
	"context"
	"math"
	"slices"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// CutOptions says how pieces may be cut from stock boards.
type CutOptions struct {
	TurnBoard bool        // a piece may be cut face-down; cover boards never are
	Reach     unit.Length // how far an offcut is carried; 0: 40 ft
	Kerf      unit.Length // width of a cut between two pieces of one board; 0: a knife
	// Tight cuts over the whole roof instead of the crew's way: offcuts go any
	// distance, the order of pieces is the one that takes fewest boards, and pieces
	// may be split where that saves a board.
	Tight bool
}

const reachFt = 40 // common practice, no source: the next cut of the same day

// Cut gives every board its place in a numbered stock board. The crew's way goes
// layer by layer, row by row from the low line. A whole board takes a stock
// board as it lies. A cut piece first looks at what is left of boards of the
// same mark and size that were opened for a cut within reach of it, the
// smallest rest that takes it first, of equal ones the latest; else it opens a
// board and is cut as it lies. A tapered piece keeps its distance from the
// thin edge and slides along the row; flats slide both ways and turn by
// quarters. Tight cutting is told at cutTight.
//
// Pieces of one board do not overlap: they are kept apart by their convex
// hulls, and by the kerf. The boards come back in their order, with those that
// tight cutting split off; the argument is left as it is.
// Cost: O(pieces x rests within reach).
func Cut(boards []Board, opt CutOptions) []Board {
	out, _ := cutBoards(context.Background(), boards, opt)
	return out
}

// cutBoards is Cut until ctx ends; then the error is ctx's.
func cutBoards(ctx context.Context, boards []Board, opt CutOptions) ([]Board, error) {
	if opt.Tight {
		return cutTight(ctx, boards, opt)
	}
	out := slices.Clone(boards)
	c := newCutter(opt)
	for _, i := range inOrder(out, cuttingOrder) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c.place(&out[i])
	}
	return out, nil
}

// inOrder sorts the numbers of boards.
func inOrder(boards []Board, before func(a, b Board) int) []int {
	order := make([]int, len(boards))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return before(boards[i], boards[j]) })
	return order
}

// cuttingOrder takes the facets of a layer row by row together, so that the
// mirrored row is cut next.
func cuttingOrder(a, b Board) int {
	return cmp.Or(cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.Type, b.Type),
		cmp.Compare(a.Row, b.Row), cmp.Compare(a.Facet, b.Facet), cmp.Compare(a.Seq, b.Seq))
}

// cutter keeps the rests of opened boards by mark and by square of the roof.
type cutter struct {
	opt     CutOptions
	reachFt float64
	no      int
	rests   map[restKey][]*rest
}

func newCutter(opt CutOptions) *cutter {
	c := &cutter{opt: opt, reachFt: reachFt, rests: map[restKey][]*rest{}}
	switch {
	case opt.Tight:
		c.reachFt = wholeRoofFt
	case opt.Reach > 0:
		c.reachFt = opt.Reach.Feet()
	}
	return c
}

// wholeRoofFt is beyond the far end of any roof.
const wholeRoofFt = 1e9

// markKey is what two pieces must share to come from one board.
type markKey struct {
	typ          BoardType
	mark         string
	along, depth unit.Length
}

func keyOf(b Board) markKey { return markKey{b.Type, b.Mark, b.Along, b.Depth} }

type restKey struct {
	markKey
	x, y int // squares of reach
}

// rest is an opened stock board: where on the roof, what is free, and the
// convex hulls of the pieces cut from it.
type rest struct {
	no       int
	at       geom.Pt
	freeSqft float64
	cut      []geom.Ring
}

func (c *cutter) place(b *Board) {
	if !b.Cut {
		c.no++
		b.Stock.No = c.no
		return
	}
	at := b.Poly.Centroid()
	shape := hull(stockShape(*b))
	area := b.Poly.Area()
	for _, r := range c.near(keyOf(*b), at, area) {
		if p, ok := c.fit(*b, shape, r); ok {
			p.No = r.no
			b.Stock = p
			r.freeSqft -= area
			r.cut = append(r.cut, c.taken(shape, p))
			return
		}
	}
	c.no++
	b.Stock.No = c.no
	full := b.Along.Feet() * b.Depth.Feet()
	r := &rest{no: c.no, at: at, freeSqft: full - area,
		cut: []geom.Ring{c.taken(shape, b.Stock)}}
	k := c.square(keyOf(*b), at)
	c.rests[k] = append(c.rests[k], r)
}

// taken is what a piece takes of its stock board, the cut round it included.
func (c *cutter) taken(shape geom.Ring, at Placement) geom.Ring {
	return grown(moved(turned(shape, at.RotDeg, at.Turned), at.U, at.V), c.opt.Kerf.Feet())
}

func (c *cutter) square(k markKey, at geom.Pt) restKey {
	return restKey{k, int(math.Floor(at.X / c.reachFt)), int(math.Floor(at.Y / c.reachFt))}
}

// near lists the rests within reach that are large enough, best fit first.
func (c *cutter) near(k markKey, at geom.Pt, areaSqft float64) []*rest {
	var out []*rest
	mid := c.square(k, at)
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			for _, r := range c.rests[restKey{k, mid.x + dx, mid.y + dy}] {
				if r.freeSqft > areaSqft-1e-6 && r.at.Dist(at) <= c.reachFt+1e-6 {
					out = append(out, r)
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b *rest) int {
		return cmp.Or(cmp.Compare(math.Round(a.freeSqft*1e6), math.Round(b.freeSqft*1e6)),
			cmp.Compare(b.no, a.no))
	})
	return out
}

// fit looks for room for a piece in a rest, least turned first.
func (c *cutter) fit(b Board, shape geom.Ring, r *rest) (Placement, bool) {
	rots := []int{0}
	if b.Type != TaperedType && b.Type != CricketType {
		rots = []int{0, 180, 90, 270}
	}
	faces := []bool{false, true}
	if !c.opt.TurnBoard || b.Type == CoverType {
		faces = faces[:1]
	}
	alongFt, depthFt := b.Along.Feet(), b.Depth.Feet()
	for _, down := range faces {
		for _, rot := range rots {
			s := turned(shape, rot, down)
			w, d := s.Box().Size()
			if w > alongFt+1e-9 || d > depthFt+1e-9 {
				continue
			}
			for _, v := range c.depths(b, d, r) {
				if u, ok := slide(r.cut, s, v, alongFt-w); ok {
					return Placement{U: u, V: v, W: w, D: d, RotDeg: rot, Turned: down}, true
				}
			}
		}
	}
	return Placement{}, false
}

// depths are the distances from the thin edge to try: of a tapered piece its
// own, of a flat both edges and against every piece already cut.
func (c *cutter) depths(b Board, dFt float64, r *rest) []float64 {
	if b.Type == TaperedType || b.Type == CricketType {
		return []float64{b.Stock.V}
	}
	mostFt := math.Max(0, b.Depth.Feet()-dFt)
	out := []float64{0, mostFt}
	for _, p := range r.cut {
		box := p.Box()
		for _, v := range []float64{box.Max.Y, box.Min.Y - dFt} {
			if v > 0 && v < mostFt {
				out = append(out, v)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// slide finds the least u in 0..mostFt at which a convex shape, its box's low
// edge at v, clears all convex pieces; touching is clear. For convex shapes
// the places to left and right where two touch are exact: the gap is concave
// between levels of corners.
func slide(cut []geom.Ring, shape geom.Ring, vFt, mostFt float64) (float64, bool) {
	const touchFt = 1e-9
	s := moved(shape, 0, vFt)
	blocked := make([][2]float64, 0, len(cut))
	tries := []float64{0}
	for _, p := range cut {
		lo, hi, ok := blockedBy(p, s)
		if ok {
			blocked = append(blocked, [2]float64{lo, hi})
			tries = append(tries, hi)
		}
	}
	slices.Sort(tries)
	for _, u := range tries {
		if u < 0 || u > mostFt+touchFt {
			continue
		}
		clear := true
		for _, b := range blocked {
			clear = clear && (u <= b[0]+touchFt || u >= b[1]-touchFt)
		}
		if clear {
			return math.Min(u, math.Max(0, mostFt)), true
		}
	}
	return 0, false
}

// blockedBy gives the shifts along u between which s overlaps p; ok is false
// when they share no depth.
func blockedBy(p, s geom.Ring) (lo, hi float64, ok bool) {
	pb, sb := p.Box(), s.Box()
	from, to := math.Max(pb.Min.Y, sb.Min.Y), math.Min(pb.Max.Y, sb.Max.Y)
	if to-from < 1e-9 {
		return 0, 0, false
	}
	lo, hi = math.Inf(1), math.Inf(-1)
	look := func(v float64) {
		if v < from || v > to {
			return
		}
		pl, pr := spanAt(p, v)
		sl, sr := spanAt(s, v)
		lo, hi = math.Min(lo, pl-sr), math.Max(hi, pr-sl)
	}
	look(from)
	look(to)
	for _, q := range p {
		look(q.Y)
	}
	for _, q := range s {
		look(q.Y)
	}
	return lo, hi, true
}

// spanAt is the stretch of a convex ring at one level.
func spanAt(r geom.Ring, v float64) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for i, a := range r {
		b := r.At(i + 1)
		if (a.Y < v && b.Y < v) || (a.Y > v && b.Y > v) {
			continue
		}
		u := a.X
		if a.Y != b.Y {
			u += (v - a.Y) / (b.Y - a.Y) * (b.X - a.X)
		} else {
			left, right = math.Min(left, b.X), math.Max(right, b.X)
		}
		left, right = math.Min(left, u), math.Max(right, u)
	}
	return left, right
}
