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

// ReachFt is how far an offcut is carried, in feet; over the whole roof in tight cutting.
func (o CutOptions) ReachFt() float64 {
	switch {
	case o.Tight:
		return wholeRoofFt
	case o.Reach > 0:
		return o.Reach.Feet()
	}
	return reachFt
}

// Cut gives every board its place in a numbered stock board. The crew's way goes
// layer by layer, row by row from the low line. A whole board takes a stock
// board as it lies. A cut piece first looks at what is left of boards of the
// same mark and size that were opened for a cut within reach of it on the same
// day (where days are planned: no offcut is kept over night), the smallest rest that takes it first, of equal ones the latest; else it opens a
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
	kerfFt  float64
	no      int
	rests   map[restKey][]*rest
	refused map[[2]uint64]bool // pieces by boards like one that did not take them
}

func newCutter(opt CutOptions) *cutter {
	return &cutter{opt: opt, reachFt: opt.ReachFt(), kerfFt: opt.Kerf.Feet(), rests: map[restKey][]*rest{},
		refused: map[[2]uint64]bool{}}
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
	day  int
}

func (c *cutter) place(b *Board) {
	if !b.Cut {
		c.no++
		b.Stock.No = c.no
		return
	}
	c.placeCut(b, c.shapeOf(b))
}

// placeCut finds a board for a cut piece.
func (c *cutter) placeCut(b *Board, s *shape) {
	for near := c.near(b, s); len(near) > 0; {
		i := bestOf(near)
		r := near[i]
		if p, ok := r.fit(s); ok {
			p.No = r.no
			b.Stock = p
			r.take(s, p, c.kerfFt)
			return
		}
		c.refused[[2]uint64{r.like, s.like}] = true
		near[i] = near[len(near)-1]
		near = near[:len(near)-1]
	}
	c.no++
	b.Stock.No = c.no
	r := &rest{no: c.no, at: s.at, freeSqft: s.alongFt * s.depFt}
	r.take(s, b.Stock, c.kerfFt)
	k := c.square(b, s.at)
	c.rests[k] = append(c.rests[k], r)
}

func (c *cutter) square(b *Board, at geom.Pt) restKey {
	k := restKey{markKey: keyOf(*b), x: int(math.Floor(at.X / c.reachFt)), y: int(math.Floor(at.Y / c.reachFt))}
	if !c.opt.Tight {
		k.day = b.Day
	}
	return k
}

// near lists the rests within reach that may take a piece.
func (c *cutter) near(b *Board, s *shape) []*rest {
	var out []*rest
	mid := c.square(b, s.at)
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			for _, r := range c.rests[restKey{mid.markKey, mid.x + dx, mid.y + dy, mid.day}] {
				if r.mayTake(s) && r.at.Dist(s.at) <= c.reachFt+1e-6 && !c.refused[[2]uint64{r.like, s.like}] {
					out = append(out, r)
				}
			}
		}
	}
	return out
}

// bestOf finds the smallest rest, of equal ones the latest.
func bestOf(rests []*rest) int {
	best := 0
	for i, r := range rests {
		if b := rests[best]; r.order < b.order || r.order == b.order && r.no > b.no {
			best = i
		}
	}
	return best
}
