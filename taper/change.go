package taper

import (
	"cmp"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// DeckChange is what deck shots, taken at tear-off, change of a design that was
// made on the inferred deck.
type DeckChange struct {
	Shots   int
	ShotPct float64 // share of the roof that they tell
	// Most is the greatest by which the deck as shot stands above the inferred
	// one (below: negative), At where, in the frame. Without Compared there was
	// no inferred deck.
	Most          unit.Length
	At            geom.Pt
	Compared      bool
	Marks         []MarkChange
	Before, After Totals
	NoBefore      string // why no design could be made on the inferred deck; "" where one was
}

// MarkChange is what changes in the order of one mark: stock boards, without
// spares.
type MarkChange struct {
	Type          BoardType
	Mark          string
	Along, Depth  unit.Length
	Before, After int
}

// CompareOrders lists what two designs order of every mark that either has, in
// the order of the schedule.
func CompareOrders(before, after *Design) []MarkChange {
	byMark := map[markKey]*MarkChange{}
	line := func(c Count) *MarkChange {
		k := c.key()
		if byMark[k] == nil {
			byMark[k] = &MarkChange{Type: c.Type, Mark: c.Mark, Along: c.Along, Depth: c.Depth}
		}
		return byMark[k]
	}
	for _, c := range before.Counts {
		line(c).Before += c.ToOrder
	}
	for _, c := range after.Counts {
		line(c).After += c.ToOrder
	}
	var keys []markKey
	for k := range byMark {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b markKey) int { return cmp.Or(cmp.Compare(a.typ, b.typ), compareMarks(a, b)) })
	var out []MarkChange
	for _, k := range keys {
		out = append(out, *byMark[k])
	}
	return out
}

// MostApart is the greatest by which one deck stands above another, in size,
// and where; of two as great the one that comes first on the roof's cells.
// Cost: O(cells).
func MostApart(deck, inferred *survey.Surface) (unit.Length, geom.Pt) {
	most, at := 0.0, 0
	for k, on := range deck.Roof {
		if d := deck.ElevIn[k] - inferred.ElevIn[k]; on && d*d > most*most {
			most, at = d, k
		}
	}
	return unit.Inches(most), deck.Centre(at%deck.NX, at/deck.NX)
}
