package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

// sparesPct of the boards to order, rounded up a mark, lie ready for breakage:
// common practice, no source.
const sparesPct = 3

// MarkBound compares the order of one mark over all layers with the fewest
// boards that any cutting could need.
type MarkBound struct {
	Type            BoardType
	Mark            string
	Along, Depth    unit.Length
	Pieces, ToOrder int
	Area            int // boards by area alone
	Cut             int // boards that the widths force; flats: as by area
}

// CountBoards makes the board schedule and its totals, a line for every layer,
// type, mark and size, in that order. A stock board counts in the layer of its
// first piece; the spares of a mark stand in its lowest layer. Totals lack
// SolidBoardFeet, which comes from the facets. Cost: O(n log n) in boards.
func CountBoards(boards []Board) ([]Count, Totals) {
	lines := map[lineKey]*Count{}
	opened := map[int]bool{}
	var tot Totals
	inOrder := slices.Clone(boards)
	slices.SortStableFunc(inOrder, cuttingOrder)
	orderedSqft, laidSqft := 0.0, 0.0
	for _, b := range inOrder {
		k := lineKey{b.Layer, keyOf(b)}
		c := lines[k]
		if c == nil {
			c = &Count{Layer: b.Layer, Type: b.Type, Mark: b.Mark, Along: b.Along, Depth: b.Depth}
			lines[k] = c
		}
		area := b.Poly.Area()
		c.Pieces++
		c.SqFt += area
		laidSqft += area
		if b.Cut {
			c.Cut++
		} else {
			c.Full++
		}
		if !opened[b.Stock.No] {
			opened[b.Stock.No] = true
			c.ToOrder++
			orderedSqft += b.Along.Feet() * b.Depth.Feet()
		}
		tot.addBoardFeet(b, area)
	}
	counts := sortedCounts(lines)
	addSpares(counts)
	for _, c := range counts {
		tot.Pieces += c.Pieces
		tot.ToOrder += c.ToOrder
		tot.Spares += c.Spares
	}
	for _, m := range Bounds(boards) {
		tot.AreaBound += m.Area
		tot.CutBound += m.Cut
	}
	if orderedSqft > 0 {
		tot.WastePct = math.Max(0, 100*(orderedSqft-laidSqft)/orderedSqft)
	}
	tot.CutFt = cutFt(boards)
	return counts, tot
}

type lineKey struct {
	layer int
	markKey
}

// addBoardFeet adds a piece by its mean thickness, cover apart.
func (t *Totals) addBoardFeet(b Board, areaSqft float64) {
	boardFeet := areaSqft * b.Plane.At(b.Poly.Centroid())
	switch b.Type {
	case BaseType:
		t.BaseBoardFeet += boardFeet
	case FillType:
		t.FillBoardFeet += boardFeet
	case TaperedType, CricketType:
		t.TaperedBoardFeet += boardFeet
	case CoverType:
		return
	}
	t.BoardFeet = t.BaseBoardFeet + t.FillBoardFeet + t.TaperedBoardFeet
}

func sortedCounts(lines map[lineKey]*Count) []Count {
	var out []Count
	for _, c := range lines {
		out = append(out, *c)
	}
	slices.SortFunc(out, func(a, b Count) int {
		return cmp.Or(cmp.Compare(a.Layer, b.Layer), compareMarks(a.key(), b.key()))
	})
	return out
}

func (c Count) key() markKey { return markKey{c.Type, c.Mark, c.Along, c.Depth} }

func compareMarks(a, b markKey) int {
	return cmp.Or(cmp.Compare(a.typ, b.typ), cmp.Compare(a.mark, b.mark),
		cmp.Compare(a.along, b.along), cmp.Compare(a.depth, b.depth))
}

// addSpares reckons them over all layers of a mark, since a stack of rows
// carries one mark through several layers.
func addSpares(counts []Count) {
	order := map[markKey]int{}
	for _, c := range counts {
		order[c.key()] += c.ToOrder
	}
	for i := range counts {
		k := counts[i].key()
		counts[i].Spares = (order[k]*sparesPct + 99) / 100
		order[k] = 0
	}
}

// Bounds gives the two lower bounds of the order, mark by mark.
func Bounds(boards []Board) []MarkBound {
	byMark := map[markKey][]Board{}
	for _, b := range boards {
		byMark[keyOf(b)] = append(byMark[keyOf(b)], b)
	}
	var keys []markKey
	for k := range byMark {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, compareMarks)
	var out []MarkBound
	for _, k := range keys {
		m := MarkBound{Type: k.typ, Mark: k.mark, Along: k.along, Depth: k.depth,
			Pieces: len(byMark[k])}
		nos := map[int]bool{}
		sqft := 0.0
		for _, b := range byMark[k] {
			nos[b.Stock.No] = true
			sqft += b.Poly.Area()
		}
		m.ToOrder = len(nos)
		m.Area = boardsFor(sqft / unit.AreaOf(k.along, k.depth).SquareFeet())
		m.Cut = m.Area
		if k.typ == TaperedType || k.typ == CricketType {
			m.Cut = max(m.Cut, boardsFor(widestSumFt(byMark[k])/k.along.Feet()))
		}
		out = append(out, m)
	}
	return out
}

// boardsFor rounds up, rounding noise down.
func boardsFor(boards float64) int { return int(math.Ceil(boards - 1e-6)) }

// widestSumFt is the greatest, over the depth of the board, of the summed
// widths of pieces that keep their distance from the thin edge. Every slanted
// border adds a stretch of a straight line to that sum, so that it is greatest
// at the depth of some corner, seen from below or from above.
func widestSumFt(pieces []Board) float64 {
	type change struct{ vFt, a, b float64 } // the sum is a + b v from here up
	var changes []change
	for _, p := range pieces {
		shape := stockShape(p)
		for _, r := range shape.LeftRings() {
			for j, s := range r {
				e := r.At(j + 1)
				v0, v1 := snapped(s.Y+p.Stock.V), snapped(e.Y+p.Stock.V)
				if v0 == v1 {
					continue
				}
				b := (e.X - s.X) / (v1 - v0)
				a := s.X - b*v0
				if v1 < v0 { // a left border: counter-clockwise rings run down there
					v0, v1, a, b = v1, v0, -a, -b
				}
				changes = append(changes, change{v0, a, b}, change{v1, -a, -b})
			}
		}
	}
	slices.SortFunc(changes, func(p, q change) int { return cmp.Compare(p.vFt, q.vFt) })
	most, a, b := 0.0, 0.0, 0.0
	for i, c := range changes {
		if i > 0 && c.vFt > changes[i-1].vFt {
			most = math.Max(most, math.Max(a+b*changes[i-1].vFt, a+b*c.vFt))
		}
		a, b = a+c.a, b+c.b
	}
	return most
}

// snapped clears rounding from a depth, so that pieces that end at one depth
// are not counted twice there.
func snapped(vFt float64) float64 { return math.Round(vFt*1e6) / 1e6 }

// cutFt is the length of all cuts: the borders of the pieces inside their
// stock boards, a line between two pieces once.
func cutFt(boards []Board) float64 {
	byNo := map[int][]geom.Poly{}
	sum := 0.0
	for _, b := range boards {
		if !b.Cut {
			continue
		}
		p := b.InStock()
		sum += innerFt(p, b.Along.Feet(), b.Depth.Feet())
		for _, q := range byNo[b.Stock.No] {
			sum -= sharedFt(p, q)
		}
		byNo[b.Stock.No] = append(byNo[b.Stock.No], p)
	}
	return sum
}

// onEdgeFt is how near to the edge of its board a border counts as the edge.
const onEdgeFt = 1e-6

func innerFt(p geom.Poly, alongFt, depthFt float64) float64 {
	sum := 0.0
	for _, r := range p.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			on := func(x, y, at float64) bool {
				return math.Abs(x-at) < onEdgeFt && math.Abs(y-at) < onEdgeFt
			}
			if !on(a.X, b.X, 0) && !on(a.X, b.X, alongFt) && !on(a.Y, b.Y, 0) && !on(a.Y, b.Y, depthFt) {
				sum += a.Dist(b)
			}
		}
	}
	return sum
}

// sharedFt is the length along which the borders of two pieces lie on one
// another.
func sharedFt(p, q geom.Poly) float64 {
	sum := 0.0
	for _, r := range p.Rings() {
		for i, a := range r {
			for _, s := range q.Rings() {
				for j, c := range s {
					sum += overlapFt(a, r.At(i+1), c, s.At(j+1))
				}
			}
		}
	}
	return sum
}

func overlapFt(a, b, c, d geom.Pt) float64 {
	l := a.Dist(b)
	if l < onEdgeFt {
		return 0
	}
	dir := b.Sub(a).Mul(1 / l)
	if math.Abs(dir.Cross(c.Sub(a))) > onEdgeFt || math.Abs(dir.Cross(d.Sub(a))) > onEdgeFt {
		return 0
	}
	tc, td := dir.Dot(c.Sub(a)), dir.Dot(d.Sub(a))
	return math.Max(0, math.Min(l, math.Max(tc, td))-math.Max(0, math.Min(tc, td)))
}
