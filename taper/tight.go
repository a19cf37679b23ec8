package taper

import (
	"cmp"
	"context"
	"math"
	"slices"

	"runnel/survey/geom"
)

// Where tight cutting splits a piece; common practice, no source.
const (
	leastSplitFt = 0.5      // no part is narrower
	splitStepFt  = 1.0 / 24 // parts are wide in steps of half an inch
	mostParts    = 3
	mostLooked   = 200 // boards that the parts of one piece are tried in
	mostFailures = 30  // unlike boards that cannot be spared, one after the other
)

// cutTight cuts over the whole roof, mark by mark. Pieces are tried in several
// orders, the crew's among them, and the one that takes fewest boards is kept.
// Then boards are spared, those with least on them first: every piece on such a
// board moves to what is left of others, whole or split across its row. Tapered
// boards and fill are split; a joint of boards above and below keeps half a foot
// from the new one, so do the ends of the piece.
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
		t := fewest(pieces, opt)
		if splittable(k.typ) {
			t.spare(ctx, Bounds(pieces)[0].Cut, joints)
		}
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
	freeSqft float64
	cut      []geom.Ring
	pieces   []Board
}

// tight is the boards of one mark.
type tight struct {
	c    *cutter
	open []*opened
}

// fewest places pieces of one mark in several orders and keeps the best.
func fewest(pieces []Board, opt CutOptions) *tight {
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
	var best []Board
	most := math.MaxInt
	for _, before := range orders {
		c := newCutter(opt)
		placed := slices.Clone(pieces)
		for _, i := range inOrder(placed, before) {
			c.place(&placed[i])
		}
		if c.no < most {
			best, most = placed, c.no
		}
	}
	t := &tight{c: newCutter(opt), open: make([]*opened, most)}
	for _, b := range best {
		o := t.open[b.Stock.No-1]
		if o == nil {
			o = &opened{freeSqft: b.Along.Feet() * b.Depth.Feet()}
			t.open[b.Stock.No-1] = o
		}
		t.put(o, b, b.Stock)
	}
	return t
}

func round6(x float64) float64 { return math.Round(x * 1e6) }

// put cuts a piece from an opened board.
func (t *tight) put(o *opened, b Board, at Placement) {
	b.Stock = at
	o.pieces = append(o.pieces, b)
	o.freeSqft -= b.Poly.Area()
	o.cut = append(o.cut, t.c.taken(hull(stockShape(b)), at))
}

// spare empties boards while that works and more are open than the least.
func (t *tight) spare(ctx context.Context, least int, joints *joints) {
	kept := map[likeness]bool{}
	for len(t.open) > least && len(kept) < mostFailures && ctx.Err() == nil {
		slices.SortStableFunc(t.open, func(a, b *opened) int {
			return cmp.Compare(round6(b.freeSqft), round6(a.freeSqft))
		})
		i := slices.IndexFunc(t.open, func(o *opened) bool { return !kept[o.like()] })
		if i < 0 {
			return
		}
		if others, ok := t.emptied(i, joints); ok {
			t.open = others
			clear(kept)
			continue
		}
		kept[t.open[i].like()] = true
	}
}

// likeness is what boards of the same pieces share: where one cannot be spared,
// another is not tried.
type likeness struct {
	pieces               int
	free, w, d, fromThin float64
}

func (o *opened) like() likeness {
	l := likeness{pieces: len(o.pieces), free: round6(o.freeSqft)}
	for _, b := range o.pieces {
		l.w, l.d, l.fromThin = l.w+round6(b.Stock.W), l.d+round6(b.Stock.D), l.fromThin+round6(b.Stock.V)
	}
	return l
}

// emptied moves all pieces of one board to the others.
func (t *tight) emptied(i int, joints *joints) ([]*opened, bool) {
	free, need := 0.0, t.open[i].used()
	for j, o := range t.open {
		if j != i {
			free += o.freeSqft
		}
	}
	if free < need-leastPieceSqft {
		return nil, false
	}
	others := &tight{c: t.c}
	for j, o := range t.open {
		if j != i {
			others.open = append(others.open, &opened{o.freeSqft, slices.Clip(o.cut), slices.Clip(o.pieces)})
		}
	}
	for _, b := range t.open[i].pieces {
		if !others.move(b, joints, mostParts) {
			return nil, false
		}
	}
	return others.open, true
}

func (o *opened) used() float64 {
	sum := 0.0
	for _, b := range o.pieces {
		sum += b.Poly.Area()
	}
	return sum
}

// move finds room for a piece: whole where it leaves least, else split, the
// largest part that some board takes first.
func (t *tight) move(b Board, joints *joints, parts int) bool {
	shape, area := hull(stockShape(b)), b.Poly.Area()
	for _, o := range slices.Backward(t.open) { // fullest first
		if o.freeSqft < area-1e-6 {
			continue
		}
		if p, ok := t.c.fit(b, shape, &rest{cut: o.cut}); ok {
			t.put(o, b, p)
			return true
		}
	}
	if parts == 1 || len(b.Poly.Holes) > 0 || shape.Area() > area+1e-6 {
		return false
	}
	best := split{}
	for _, o := range t.open[:min(len(t.open), mostLooked)] { // emptiest first
		for _, left := range []bool{true, false} {
			if s, ok := t.widest(o, b, left, best.steps+1, joints); ok {
				best = s
			}
		}
	}
	if best.into == nil {
		return false
	}
	t.put(best.into, best.part, best.at)
	return t.move(best.rest, joints, parts-1)
}

// split is one way to split a piece: a part that goes into a board, and the rest.
type split struct {
	into       *opened
	part, rest Board
	at         Placement
	steps      int // how wide the part is
}

// widest finds the widest part of a piece, from its left or its right end and as
// wide as stated at least, that an opened board takes.
func (t *tight) widest(o *opened, b Board, left bool, least int, joints *joints) (split, bool) {
	least = max(least, int(math.Ceil(leastSplitFt/splitStepFt-1e-9)))
	most := int(math.Floor((b.Stock.W-leastSplitFt)/splitStepFt + 1e-9))
	best, found := split{}, false
	for mid := least; least <= most; mid = (least + most) / 2 {
		ft := float64(mid) * splitStepFt
		part, other, ok := splitAt(b, ft, left)
		at := Placement{}
		if ok {
			at, ok = t.c.fit(part, hull(stockShape(part)), &rest{cut: o.cut})
		}
		if !ok {
			most = mid - 1
			continue
		}
		least = mid + 1
		if joints.clear(b, ft, left) {
			best, found = split{o, part, other, at, mid}, true
		}
	}
	return best, found
}
