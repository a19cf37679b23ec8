package taper

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
)

// Where tight cutting splits a piece; common practice, no source.
const (
	leastSplitFt = 0.5      // no part is narrower
	splitStepFt  = 1.0 / 24 // parts are wide in steps of half an inch
	mostParts    = 3
)

// cutTight cuts over the whole roof, mark by mark. Pieces are placed in several
// orders, the crew's among them. Then boards are spared, those with least on them
// first: every piece on such a board moves to what is left of others, whole or split
// across its row. Tapered boards and fill are split; a joint of boards above and
// below keeps half a foot from the new one, so do the ends of the piece. The order
// that ends with fewest boards is kept, of equal ones the first.
//
// Cost: O(pieces x rests) for each mark.
func cutTight(ctx context.Context, boards []Board, opt CutOptions) ([]Board, error) {
	out := slices.Clone(boards)
	groups := map[markKey][]int{}
	var keys []markKey
	no := 0
	for i, b := range out {
		if !b.Cut {
			no++
			out[i].Stock.No = no
			continue
		}
		k := keyOf(b)
		if groups[k] == nil {
			keys = append(keys, k)
		}
		groups[k] = append(groups[k], i)
	}
	joints := jointsOf(boards)
	var parts []Board
	for _, k := range keys {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		pieces := make([]Board, len(groups[k]))
		for n, i := range groups[k] {
			pieces[n] = out[i]
		}
		t := fewest(ctx, pieces, opt, joints)
		for _, o := range t.open {
			no++
			for _, p := range o.pieces {
				p.Stock.No = no
				parts = append(parts, p)
				joints.add(p)
			}
		}
	}
	out = slices.DeleteFunc(out, func(b Board) bool { return b.Cut })
	out = append(out, parts...)
	slices.SortStableFunc(out, func(a, b Board) int {
		return cmp.Or(layingOrder(a, b), cmp.Compare(a.Poly.Centroid().Dot(a.Right()), b.Poly.Centroid().Dot(b.Right())))
	})
	numberParts(out)
	return out, ctx.Err()
}

func splittable(t BoardType) bool { return t == TaperedType || t == CricketType || t == FillType }

// numberParts counts the pieces of rows with split ones again, from left to
// right, and the stock boards in the order in which they are cut.
func numberParts(boards []Board) {
	type row struct{ layer, facet, row int }
	last := map[row]int{}
	for i := range boards {
		b := &boards[i]
		k := row{b.Layer, b.Facet, b.Row}
		last[k]++
		if b.Seq != last[k] {
			b.Seq = last[k]
			b.Piece = pieceID(*b)
		}
	}
	nos := map[int]int{}
	for _, i := range inOrder(boards, cuttingOrder) {
		old := boards[i].Stock.No
		if nos[old] == 0 {
			nos[old] = len(nos) + 1
		}
		boards[i].Stock.No = nos[old]
	}
}

// opened is a stock board with the pieces that are cut from it.
type opened struct {
	rest
	pieces []Board
}

// tight is the boards of one mark.
type tight struct {
	c    *cutter
	open []*opened
	undo []undo // what was put since a board was begun to be emptied
}

// undo is a board as it was before a piece was put on it.
type undo struct {
	o   *opened
	was opened
}

// fewest places pieces of one mark in several orders, spares boards in each and keeps
// the best.
func fewest(ctx context.Context, pieces []Board, opt CutOptions, joints *joints) *tight {
	width := func(b Board) float64 { return round6(b.Stock.W) }
	area := func(b Board) float64 { return round6(b.Poly.Area()) }
	orders := []func(a, b Board) int{
		cuttingOrder,
		func(a, b Board) int {
			return cmp.Or(cmp.Compare(width(b), width(a)), cmp.Compare(area(b), area(a)), cuttingOrder(a, b))
		},
		func(a, b Board) int {
			return cmp.Or(cmp.Compare(area(b), area(a)), cmp.Compare(width(b), width(a)), cuttingOrder(a, b))
		},
	}
	c := newCutter(opt)
	shapes := make([]*shape, len(pieces))
	for i := range pieces {
		shapes[i] = c.shapeOf(&pieces[i])
	}
	least := Bounds(pieces)[0].Cut
	tries := make([]*tight, len(orders))
	var wg sync.WaitGroup
	for n, before := range orders {
		wg.Go(func() {
			t := placedIn(inOrder(pieces, before), pieces, shapes, opt)
			if splittable(pieces[0].Type) {
				t.spare(ctx, least, joints)
			}
			tries[n] = t
		})
	}
	wg.Wait()
	return slices.MinFunc(tries, func(a, b *tight) int { return len(a.open) - len(b.open) })
}

// placedIn places pieces in one order.
func placedIn(order []int, pieces []Board, shapes []*shape, opt CutOptions) *tight {
	t := &tight{c: newCutter(opt)}
	placed := slices.Clone(pieces)
	for _, i := range order {
		t.c.placeCut(&placed[i], shapes[i])
	}
	t.open = make([]*opened, t.c.no)
	for i, b := range placed {
		o := t.open[b.Stock.No-1]
		if o == nil {
			o = &opened{rest: rest{freeSqft: shapes[i].alongFt * shapes[i].depFt}}
			t.open[b.Stock.No-1] = o
		}
		t.put(o, b, shapes[i], b.Stock)
	}
	return t
}

func round6(x float64) float64 { return math.Round(x * 1e6) }

// put cuts a piece from an opened board.
func (t *tight) put(o *opened, b Board, s *shape, at Placement) {
	t.undo = append(t.undo, undo{o, *o})
	b.Stock = at
	o.pieces = append(o.pieces, b)
	o.take(s, at, t.c.kerfFt)
}

// spare empties boards while that works and more are open than the least. Of boards
// with the same pieces one is tried in each round.
func (t *tight) spare(ctx context.Context, least int, joints *joints) {
	for spared := true; spared; {
		spared = false
		kept := map[uint64]bool{}
		t.emptiestFirst()
		for i := 0; i < len(t.open); {
			if len(t.open) <= least || ctx.Err() != nil {
				return
			}
			like := t.open[i].like
			switch {
			case kept[like]:
				i++
			case t.empty(i, joints):
				spared, i = true, 0
				t.emptiestFirst()
			default:
				kept[like] = true
			}
		}
	}
}

func (t *tight) emptiestFirst() {
	slices.SortStableFunc(t.open, func(a, b *opened) int {
		return cmp.Compare(b.order, a.order)
	})
}

// empty moves all pieces of one board to the others; where that fails, all is as
// it was.
func (t *tight) empty(i int, joints *joints) bool {
	gone := t.open[i]
	free, need := 0.0, 0.0
	for j, o := range t.open {
		if j != i {
			free += o.freeSqft
		}
	}
	for _, b := range gone.pieces {
		need += b.Poly.Area()
	}
	if free < need-leastPieceSqft {
		return false
	}
	t.open, t.undo = slices.Delete(t.open, i, i+1), t.undo[:0]
	for _, b := range gone.pieces {
		if !t.move(b, joints, mostParts) {
			for _, u := range slices.Backward(t.undo) {
				*u.o = u.was
			}
			t.open = slices.Insert(t.open, i, gone)
			return false
		}
	}
	return true
}

// move finds room for a piece: whole where it leaves least, else split, the
// largest part that some board takes first.
func (t *tight) move(b Board, joints *joints, parts int) bool {
	s := t.c.shapeOf(&b)
	seen := map[uint64]bool{}
	for _, o := range slices.Backward(t.open) { // fullest first
		if !o.mayTake(s) || seen[o.like] {
			continue
		}
		seen[o.like] = true
		if p, ok := o.fit(s); ok {
			t.put(o, b, s, p)
			return true
		}
	}
	if parts == 1 || len(b.Poly.Holes) > 0 || s.ways[0].ring.Area() > s.sqft+1e-6 {
		return false
	}
	best := split{}
	p := &parting{c: t.c, b: b, joints: joints, at: map[partKey]part{}}
	clear(seen)
	for _, o := range t.open { // emptiest first
		if seen[o.like] {
			continue
		}
		seen[o.like] = true
		for _, left := range []bool{true, false} {
			if s, ok := p.widest(o, left, best.steps+1); ok {
				best = s
			}
		}
	}
	if best.into == nil {
		return false
	}
	t.put(best.into, best.b, best.shape, best.at)
	return t.move(best.rest, joints, parts-1)
}

// split is one way to split a piece: a part that goes into a board, and the rest.
type split struct {
	part
	into  *opened
	at    Placement
	steps int // how wide the part is
}

// parting keeps the parts that a piece may be split into, which are the same for
// every board they are tried in.
type parting struct {
	c      *cutter
	b      Board
	joints *joints
	at     map[partKey]part
}

type partKey struct {
	steps int
	left  bool
}

// part is a part of a piece and the rest of it; without a shape where none is left.
type part struct {
	b, rest Board
	shape   *shape
	clear   bool // of the joints above and below
}

func (p *parting) part(k partKey) part {
	if out, ok := p.at[k]; ok {
		return out
	}
	out, ok, ft := part{}, false, float64(k.steps)*splitStepFt
	if out.b, out.rest, ok = splitAt(p.b, ft, k.left); ok {
		out.shape, out.clear = p.c.shapeOf(&out.b), p.joints.clear(p.b, ft, k.left)
	}
	p.at[k] = out
	return out
}

func (p part) fits(o *opened) bool { return p.shape != nil && o.mayTake(p.shape) }

// widest finds the widest part of a piece, from its left or its right end and as
// wide as stated at least, that an opened board takes.
func (p *parting) widest(o *opened, left bool, least int) (split, bool) {
	least = max(least, int(math.Ceil(leastSplitFt/splitStepFt-1e-9)))
	most := int(math.Floor((p.b.Stock.W-leastSplitFt)/splitStepFt + 1e-9))
	best, found := split{}, false
	if least > most || !p.part(partKey{least, left}).fits(o) {
		return best, false
	}
	for mid := least; least <= most; mid = (least + most) / 2 {
		part, at, ok := p.part(partKey{mid, left}), Placement{}, false
		if part.fits(o) {
			at, ok = o.fit(part.shape)
		}
		if !ok {
			most = mid - 1
			continue
		}
		least = mid + 1
		if part.clear {
			best, found = split{part, o, at, mid}, true
		}
	}
	return best, found
}
