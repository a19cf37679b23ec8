package read

import (
	"fmt"
	"io"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// stockColumns are the columns of a board table.
var stockColumns = []column{
	{"kind", "type"},
	{"slope", "taper"},
	{"thin", "thin edge"},
	{"thick", "thick edge|thickness"},
	{"along", "row|along row|length"},
	{"depth", "along slope|width"},
	{"to_order", "to order|order"},
	{"price", "cost"},
}

// boardOffIn is how far a tapered board's edges may differ from its slope: a
// board to a sixteenth of an inch is named by its sixteenths.
const boardOffIn = 1.0 / 16

// Stock reads a table of boards to be had, with a header: kind (tapered, flat
// or cover), slope, thin, thick, along, depth, to_order, price. A flat or a
// cover board has its thickness under thick. Lengths need a unit, in the
// header (thin_in) or in each value. name is that of the file.
func Stock(in io.Reader, name string) (*survey.Stock, problem.List) {
	out := &sink{file: name}
	s := &survey.Stock{Name: name}
	t, ok := newTable(in, name, stockColumns, nil, out)
	if !ok {
		return s, out.all()
	}
	sound := true
	for _, need := range []string{"kind", "thick", "along", "depth"} {
		if !t.has(need) {
			sound = t.fail(t.line, "there is no column "+need, "name it in the header")
		}
	}
	for sound && t.next() {
		if t.whole("kind", "thick", "along", "depth") {
			stockRow(t, s)
		}
	}
	if out.faults == 0 && len(s.Tapered) == 0 {
		t.fail(0, "the stock holds no tapered boards", "add a line of kind tapered")
	}
	return s, out.all()
}

// stockRow reads one board.
func stockRow(t *table, s *survey.Stock) {
	thick, ok1 := t.board("thick", 2)
	along, ok2 := t.board("along", 40)
	depth, ok3 := t.board("depth", 40)
	ok := ok1 && ok2 && ok3
	price := t.price()
	switch kind := strings.ToLower(t.value("kind")); kind {
	case "tapered":
		b := survey.TaperedBoard{Thick: thick, Along: along, Depth: depth, ToOrder: t.yes("to_order"), Price: price}
		if t.tapered(&b) && ok {
			s.Tapered = append(s.Tapered, b)
		}
	case "flat", "cover":
		b := survey.FlatBoard{Thickness: thick, Along: max(along, depth), Depth: min(along, depth), Price: price}
		if !ok {
			return
		}
		if kind == "flat" {
			s.Flats = append(s.Flats, b)
		} else {
			s.Covers = append(s.Covers, b)
		}
	default:
		t.blame("kind", "unknown kind of board", meantOr(nearest(kind, []string{"tapered", "flat", "cover"}),
			[]string{"tapered", "flat", "cover"}))
	}
}

// tapered reads what only tapered boards have, and checks that edges, depth
// and slope belong together.
func (t *table) tapered(b *survey.TaperedBoard) bool {
	var ok bool
	if b.Thin, ok = t.length("thin", t.stated); !ok {
		return false
	}
	slope, err := unit.ParseSlope(t.value("slope"))
	if err != nil {
		why, mend := whyAndMend(err)
		t.blame("slope", why, mend)
		return false
	}
	b.Slope = slope
	rise := unit.Fall(slope, b.Depth)
	switch {
	case slope <= 0 || b.Thin < 0:
		t.blame("slope", "a tapered board has a slope and edges of more than 0", "write a slope such as 1/4 in/ft")
	case math.Abs((b.Thick - b.Thin - rise).Inches()) > boardOffIn:
		t.blame("thick", fmt.Sprintf("the board is %g in thicker at one edge, its slope makes %.4g in of its depth",
			(b.Thick-b.Thin).Inches(), rise.Inches()), "mend thin, thick, slope or depth")
	default:
		return true
	}
	return false
}

// stated reads a length that needs its unit.
func (t *table) stated(s string) (unit.Length, error) {
	return measure(s, 0, "write a unit beside it, such as 1/2 in or 4 ft, or in the header, such as thin_in")
}

// board reads a size of a board, more than 0 and at most so many feet.
func (t *table) board(name string, mostFt float64) (unit.Length, bool) {
	l, ok := t.length(name, t.stated)
	if ok && (l <= 0 || l.Feet() > mostFt) {
		t.blame(name, fmt.Sprintf("no board has that size: 0 to %g ft", mostFt), "write the size of a board")
		return 0, false
	}
	return l, ok
}

// price reads the price of a board; empty is not given.
func (t *table) price() float64 {
	v, ok := t.decimal("price")
	if !ok || v == "" {
		return 0
	}
	x, plain := number(v)
	if !plain || x < 0 {
		t.blame("price", "a price of a board was expected", "write a number, such as 21.50, or leave it empty")
	}
	return x
}
