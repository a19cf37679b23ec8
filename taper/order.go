package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/unit"
)

// Order is one board of the stock as it is bought: what the schedule takes of it
// in all layers, spares included, in bundles.
type Order struct {
	Type         BoardType // the lowest that it serves: a flat may be base and fill
	Mark         string
	Along, Depth unit.Length
	Boards       int     // needed, with spares
	OnHand       int     // of them, that lie on the roof
	Bundle       int     // boards a bundle; 0: the stock does not say
	Bundles      int     // full ones to buy
	Loose        int     // boards to buy besides
	CuFt         float64 // of what is bought, on the truck
}

// Bought is how many boards come to the roof.
func (o Order) Bought() int { return o.Bundles*o.Bundle + o.Loose }

// OrdersOf turns a schedule into bundles: full ones alone, or what is over loose.
// A board whose bundle is not known is bought loose. A line each board of the
// stock, by type, mark and size. Cost: O(n) in boards.
func OrdersOf(boards []Board, counts []Count, stock *survey.Stock, loose bool) []Order {
	return ordersBeside(boards, counts, stock, loose, nil)
}

// ordersBeside is OrdersOf where boards lie on the roof already.
func ordersBeside(boards []Board, counts []Count, stock *survey.Stock, loose bool, onHand map[markKey]int) []Order {
	meanIn := map[markKey]float64{}
	for _, b := range boards {
		meanIn[keyOf(b)] = (b.ThinIn + b.ThickIn) / 2
	}
	byBoard := map[markKey]*Order{}
	thick := map[markKey]float64{}
	for _, c := range counts {
		k := boardKey(c.key())
		o := byBoard[k]
		if o == nil {
			o = &Order{Type: c.Type, Mark: c.Mark, Along: c.Along, Depth: c.Depth}
			byBoard[k] = o
		}
		o.Type = min(o.Type, c.Type)
		o.Boards += c.ToOrder + c.Spares
		thick[k] = meanIn[c.key()]
	}
	inBundle := bundlesOf(stock)
	out := []Order{}
	for k, o := range byBoard {
		o.Bundle, o.OnHand = inBundle[k], min(onHand[k], o.Boards)
		o.Loose = o.Boards - o.OnHand
		if o.Bundle > 0 {
			o.Bundles, o.Loose = o.Loose/o.Bundle, o.Loose%o.Bundle
			if !loose && o.Loose > 0 {
				o.Bundles, o.Loose = o.Bundles+1, 0
			}
		}
		o.CuFt = float64(o.Bought()) * unit.AreaOf(o.Along, o.Depth).SquareFeet() * unit.Inches(thick[k]).Feet()
		out = append(out, *o)
	}
	slices.SortFunc(out, func(a, b Order) int {
		return compareMarks(markKey{a.Type, a.Mark, a.Along, a.Depth}, markKey{b.Type, b.Mark, b.Along, b.Depth})
	})
	return out
}

// boardKey is the board of the stock that serves a piece: flats are one, whether
// they lie as base or as fill, and so are tapered boards.
func boardKey(k markKey) markKey {
	switch k.typ {
	case FillType:
		k.typ = BaseType
	case CricketType:
		k.typ = TaperedType
	}
	return k
}

func bundlesOf(stock *survey.Stock) map[markKey]int {
	out, m := map[markKey]int{}, markingOf(stock)
	for _, b := range slices.Concat(stock.Tapered, stock.Strips) {
		k := markKey{TaperedType, m.tapered(b), b.Along, b.Depth}
		out[k] = cmp.Or(out[k], b.Bundle)
	}
	for typ, flats := range map[BoardType][]survey.FlatBoard{BaseType: stock.Flats, CoverType: stock.Covers} {
		for _, b := range flats {
			k := markKey{typ, m.of(b.Thickness), b.Along, b.Depth}
			out[k] = cmp.Or(out[k], b.Bundle)
		}
	}
	return out
}

// stackIn is how high a bundle is: common practice, no source.
const stackIn = 48

// bundle is how many boards of a mean thickness a bundle holds.
func bundle(mean unit.Length) int { return int(math.Floor(stackIn/mean.Inches() + 1e-9)) }
