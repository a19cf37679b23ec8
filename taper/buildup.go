package taper

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/unit"
)

// Two thicknesses within sameIn inches are one: only rounding parts them.
const sameIn = 1e-6

// mostFillIn is the thickest fill that is looked for: 20 ft.
const mostFillIn = 240.0

// buildUp is what lies on the base in one row: fill from the bottom up, then
// the tapered board. A level facet has fill only.
type buildUp struct {
	fills   []survey.FlatBoard
	tapered survey.TaperedBoard
}

func (b buildUp) fillIn() float64 {
	sum := 0.0
	for _, f := range b.fills {
		sum += f.Thickness.Inches()
	}
	return sum
}

// boardSet is the tapered boards of one slope and one size.
type boardSet struct {
	slope         unit.Slope
	along, depth  unit.Length
	boards        []survey.TaperedBoard
	repeatIn      float64 // from the thinnest to the thickest edge
	priced        bool
	fills         []survey.FlatBoard // one a thickness, thickest first
	memo          map[fillKey]fillSum
	riseIn, runFt float64 // of one board
}

// boardSets gives the sets of one slope in the order of the stock, those
// without boards to order first. The error names the slopes in stock.
func boardSets(stock *survey.Stock, slope unit.Slope) ([]*boardSet, error) {
	var sets []*boardSet
	for _, b := range stock.Tapered {
		if math.Abs(b.Slope.InchesPerFoot()-slope.InchesPerFoot()) > 1e-9 {
			continue
		}
		i := slices.IndexFunc(sets, func(s *boardSet) bool {
			return s.along == b.Along && s.depth == b.Depth
		})
		if i < 0 {
			i = len(sets)
			sets = append(sets, &boardSet{slope: b.Slope, along: b.Along, depth: b.Depth})
		}
		sets[i].boards = append(sets[i].boards, b)
	}
	if len(sets) == 0 {
		m := markingOf(stock)
		return nil, fmt.Errorf("no tapered board of the stock slopes %s; stock has %s",
			m.slope(slope), slopesInStock(stock))
	}
	slices.SortStableFunc(sets, func(a, b *boardSet) int {
		return cmp.Compare(a.toOrder(), b.toOrder())
	})
	for _, s := range sets {
		if err := s.finish(stock); err != nil {
			return nil, err
		}
	}
	return sets, nil
}

func (s *boardSet) toOrder() int {
	n := 0
	for _, b := range s.boards {
		if b.ToOrder {
			n++
		}
	}
	return n
}

// finish measures the set, refuses boards whose edges do not follow from
// their slope, and picks the fill that goes under it.
func (s *boardSet) finish(stock *survey.Stock) error {
	s.runFt = s.depth.Feet()
	s.riseIn = unit.Fall(s.slope, s.depth).Inches()
	thinnest, thickest := math.Inf(1), 0.0
	s.priced = true
	m := markingOf(stock)
	if !laySize(s.along, s.depth) {
		return fmt.Errorf("tapered boards at %s are %.3g x %.3g ft; boards of %g to %g ft a side are laid",
			m.slope(s.slope), s.along.Feet(), s.depth.Feet(), leastSideFt, mostSideFt)
	}
	for _, b := range s.boards {
		if off := (b.Thick - b.Thin).Inches() - s.riseIn; !(math.Abs(off) <= 1e-3) {
			return fmt.Errorf("board %s rises %s over its depth; at %s it must rise %s",
				m.tapered(b), m.withUnit(b.Thick-b.Thin), m.slope(s.slope), m.withUnit(unit.Inches(s.riseIn)))
		}
		thinnest = math.Min(thinnest, b.Thin.Inches())
		thickest = math.Max(thickest, b.Thin.Inches()+s.riseIn)
		s.priced = s.priced && b.Price > 0
	}
	s.repeatIn = thickest - thinnest
	s.fills = fillsFor(stock.Flats, s.along, s.depth)
	for _, f := range s.fills {
		s.priced = s.priced && f.Price > 0
	}
	s.memo = map[fillKey]fillSum{}
	return nil
}

// Sides of boards that are laid; smaller ones would be millions.
const (
	leastSideFt = 0.5
	mostSideFt  = 100.0
)

func laySize(along, depth unit.Length) bool {
	in := func(l unit.Length) bool { return l.Feet() >= leastSideFt && l.Feet() <= mostSideFt }
	return in(along) && in(depth)
}

// fillsFor picks one flat a thickness, thickest first: of the size wanted, else
// of its depth, else the first in stock; a size of 0 wants the largest.
func fillsFor(flats []survey.FlatBoard, along, depth unit.Length) []survey.FlatBoard {
	rank := func(f survey.FlatBoard) float64 {
		switch {
		case along == 0:
			return -unit.AreaOf(f.Along, f.Depth).SquareFeet()
		case f.Along == along && f.Depth == depth:
			return 0
		case f.Depth == depth:
			return 1
		}
		return 2
	}
	out := slices.DeleteFunc(slices.Clone(flats), func(f survey.FlatBoard) bool {
		return !(f.Thickness.Inches() > 0.01 && laySize(f.Along, f.Depth))
	})
	slices.SortStableFunc(out, func(a, b survey.FlatBoard) int {
		return cmp.Or(cmp.Compare(b.Thickness, a.Thickness), cmp.Compare(rank(a), rank(b)))
	})
	return slices.CompactFunc(out, func(a, b survey.FlatBoard) bool {
		return math.Abs((a.Thickness - b.Thickness).Inches()) < sameIn
	})
}

type fillKey struct{ tenMicroIn, from int }

// fillSum compares stacks of flats: fewest layers, least price a square foot,
// fewest flats that are no multiple of the set's repeat.
type fillSum struct {
	ok     bool
	layers int
	price  float64
	odd    int
	take   bool // the flat at the key's index is the next of the stack
}

func (a fillSum) compare(b fillSum) int {
	if a.ok != b.ok {
		return cmp.Compare(boolInt(b.ok), boolInt(a.ok))
	}
	return cmp.Or(cmp.Compare(a.layers, b.layers), comparePrice(a.price, b.price), cmp.Compare(a.odd, b.odd))
}

func comparePrice(a, b float64) int {
	if math.Abs(a-b) < 1e-9 {
		return 0
	}
	return cmp.Compare(a, b)
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// best finds the best stack of the flats from index i on that is restIn thick.
// Equal stacks take the thicker flat. Cost: thicknesses that can occur x flats.
func (s *boardSet) best(restIn float64, i int) fillSum {
	if restIn < sameIn {
		return fillSum{ok: true}
	}
	if i == len(s.fills) {
		return fillSum{}
	}
	key := fillKey{int(math.Round(restIn * 1e5)), i}
	if sum, ok := s.memo[key]; ok {
		return sum
	}
	sum := s.best(restIn, i+1)
	sum.take = false
	f := s.fills[i]
	if t := f.Thickness.Inches(); t <= restIn+sameIn {
		with := s.best(restIn-t, i)
		with.take = true
		with.layers++
		if s.priced {
			with.price += f.Price / unit.AreaOf(f.Along, f.Depth).SquareFeet()
		}
		if !multipleOf(t, s.repeatIn) {
			with.odd++
		}
		if with.ok && with.compare(sum) <= 0 {
			sum = with
		}
	}
	s.memo[key] = sum
	return sum
}

// stack lists the flats that best chose, thickest first.
func (s *boardSet) stack(restIn float64) []survey.FlatBoard {
	var out []survey.FlatBoard
	for i := 0; restIn > sameIn && i < len(s.fills); {
		if !s.best(restIn, i).take {
			i++
			continue
		}
		out = append(out, s.fills[i])
		restIn -= s.fills[i].Thickness.Inches()
	}
	return out
}

func multipleOf(x, of float64) bool {
	return of > 0 && math.Abs(math.Remainder(x, of)) < sameIn
}

// errUnmakeable says that the stock does not hold what a thickness needs.
var errUnmakeable = errors.New("no board of the stock")

// build finds the build-up whose tapered board starts atIn above the base:
// fewest layers, then least cost where everything has its price, then nothing
// made to order, then fill that is a multiple of the set's repeat, then fewest
// marks not used yet.
func (s *boardSet) build(atIn float64, used map[unit.Length]bool, m marking) (buildUp, error) {
	type candidate struct {
		fill               fillSum
		order, off, newOne int
		b                  survey.TaperedBoard
	}
	var best *candidate
	for _, b := range s.boards {
		restIn := atIn - b.Thin.Inches()
		if restIn < -sameIn || restIn > mostFillIn {
			continue
		}
		c := candidate{fill: s.best(restIn, 0), order: boolInt(b.ToOrder),
			off: boolInt(!multipleOf(restIn, s.repeatIn)), newOne: boolInt(!used[b.Thin]), b: b}
		if s.priced {
			c.fill.price += b.Price / unit.AreaOf(b.Along, b.Depth).SquareFeet()
		}
		if !c.fill.ok {
			continue
		}
		if best == nil || cmp.Or(cmp.Compare(c.fill.layers, best.fill.layers),
			comparePrice(c.fill.price, best.fill.price), c.order-best.order, c.off-best.off,
			c.fill.odd-best.fill.odd, c.newOne-best.newOne) < 0 {
			best = &c
		}
	}
	if best == nil {
		return buildUp{}, fmt.Errorf("%w makes %s over the base where a board of %s starts; it has thin edges of %s and flats of %s",
			errUnmakeable, m.withUnit(unit.Inches(atIn)), m.slope(s.slope), s.thinEdges(m), flatsText(s.fills, m))
	}
	used[best.b.Thin] = true
	return buildUp{fills: s.stack(atIn - best.b.Thin.Inches()), tapered: best.b}, nil
}

// levelFill stacks flats to one thickness over the base.
func levelFill(stock *survey.Stock, thickIn float64) ([]survey.FlatBoard, error) {
	m := markingOf(stock)
	s := &boardSet{fills: fillsFor(stock.Flats, 0, 0), memo: map[fillKey]fillSum{}}
	s.priced = true
	for _, f := range s.fills {
		s.priced = s.priced && f.Price > 0
	}
	if thickIn < -sameIn || thickIn > mostFillIn || !s.best(thickIn, 0).ok {
		return nil, fmt.Errorf("%w makes %s of fill on a level facet; it has flats of %s",
			errUnmakeable, m.withUnit(unit.Inches(thickIn)), flatsText(s.fills, m))
	}
	return s.stack(thickIn), nil
}

// oneFlat finds the largest flat of one thickness.
func oneFlat(flats []survey.FlatBoard, t unit.Length, what string, m marking) (survey.FlatBoard, error) {
	all := fillsFor(flats, 0, 0)
	for _, f := range all {
		if math.Abs((f.Thickness - t).Inches()) < sameIn {
			return f, nil
		}
	}
	return survey.FlatBoard{}, fmt.Errorf("%w makes %s of %s; stock has %s",
		errUnmakeable, m.withUnit(t), what, nearFlats(all, t, m))
}

// nearFlats names the next thinner and the next thicker flat.
func nearFlats(thickestFirst []survey.FlatBoard, t unit.Length, m marking) string {
	var names []string
	for i, f := range thickestFirst {
		last := i == len(thickestFirst)-1
		thinner := f.Thickness < t
		if thinner || last || thickestFirst[i+1].Thickness < t {
			names = append(names, m.of(f.Thickness))
		}
		if thinner {
			break
		}
	}
	slices.Reverse(names)
	return listText(names)
}

func flatsText(fills []survey.FlatBoard, m marking) string {
	var names []string
	for _, f := range slices.Backward(fills) {
		names = append(names, m.of(f.Thickness))
	}
	return listText(names)
}

func (s *boardSet) thinEdges(m marking) string {
	var names []string
	for _, b := range s.boards {
		names = append(names, m.of(b.Thin))
	}
	return listText(names)
}

func slopesInStock(stock *survey.Stock) string {
	var slopes []unit.Slope
	for _, b := range stock.Tapered {
		slopes = append(slopes, b.Slope)
	}
	slices.Sort(slopes)
	m := markingOf(stock)
	var names []string
	for _, s := range slices.Compact(slopes) {
		names = append(names, m.slope(s))
	}
	return listText(names)
}

// slope writes a slope as the stock names it: 1/4 in/ft, in metric stock 1:60.
func (m marking) slope(s unit.Slope) string {
	inPerFt := s.InchesPerFoot()
	if m.metric && inPerFt > 0 {
		return "1:" + decimal(12/inPerFt, 10)
	}
	return m.of(unit.Inches(inPerFt)) + " in/ft"
}

// listText joins names as a sentence does; none gives "none".
func listText(names []string) string {
	switch len(names) {
	case 0:
		return "none"
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
