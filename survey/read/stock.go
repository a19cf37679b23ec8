package read

import (
	"fmt"
	"io"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/problem"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// stockColumns are the columns of a board table.
var stockColumns = []table.Column{
	{Name: "kind", Also: "type"},
	{Name: "slope", Also: "taper"},
	{Name: "thin", Also: "thin edge"},
	{Name: "thick", Also: "thick edge|thickness"},
	{Name: "along", Also: "row|along row|length"},
	{Name: "depth", Also: "along slope|width"},
	{Name: "to_order", Also: "to order|order"},
	{Name: "price", Also: "cost"},
	{Name: "bundle", Also: "boards a bundle|per bundle"},
	{Name: "attach", Also: "attached|attachment"},
}

// boardOffIn is how far a tapered board's edges may differ from its slope: a
// board to a sixteenth of an inch is named by its sixteenths.
const boardOffIn = 1.0 / 16

// boardKinds are the words under kind.
var boardKinds = []string{"tapered", "flat", "cover", "strip"}

// Stock reads a table of boards to be had, with a header: kind (tapered, flat,
// cover or strip), slope, thin, thick, along, depth, to_order, price,
// bundle (boards a bundle), attach (the only way to hold it: screws or adhesive;
// empty: any). A flat or a
// cover board has its thickness under thick; a strip, an edge strip, starts at
// nothing and may leave thin empty. Lengths need a unit, in the
// header (thin_in) or in each value. name is that of the file.
func Stock(in io.Reader, name string) (*survey.Stock, problem.List) {
	out := &table.Tally{File: name}
	s := &survey.Stock{Name: name}
	t, ok := table.New(in, name, stockColumns, nil, out)
	if !ok {
		return s, out.All()
	}
	sound := t.Needs("kind", "thick", "along", "depth")
	for sound && t.Next() {
		if t.Whole("kind", "thick", "along", "depth") {
			stockRow(t, s)
		}
	}
	if out.Faults == 0 && len(s.Tapered) == 0 {
		t.Fail(0, "the stock holds no tapered boards", "add a line of kind tapered")
	}
	return s, out.All()
}

// stockRow reads one board.
func stockRow(t *table.Table, s *survey.Stock) {
	thick, ok1 := board(t, "thick", 2)
	along, ok2 := board(t, "along", 40)
	depth, ok3 := board(t, "depth", 40)
	ok := ok1 && ok2 && ok3
	cost, inBundle, hold := price(t), bundle(t), attach(t)
	switch kind := strings.ToLower(t.Value("kind")); kind {
	case "tapered", "strip":
		b := survey.TaperedBoard{Thick: thick, Along: along, Depth: depth, ToOrder: t.Yes("to_order"), Price: cost, Bundle: inBundle, Attach: hold}
		strip := kind == "strip"
		switch sound := tapered(t, &b, strip) && ok; {
		case sound && strip:
			s.Strips = append(s.Strips, b)
		case sound:
			s.Tapered = append(s.Tapered, b)
		}
	case "flat", "cover":
		b := survey.FlatBoard{Thickness: thick, Along: max(along, depth), Depth: min(along, depth), Price: cost, Bundle: inBundle, Attach: hold}
		if !ok {
			return
		}
		if kind == "flat" {
			s.Flats = append(s.Flats, b)
		} else {
			s.Covers = append(s.Covers, b)
		}
	default:
		t.Blame("kind", "unknown kind of board", table.MeantOr(table.Nearest(kind, boardKinds), boardKinds))
	}
}

// tapered reads what only tapered boards have, and checks that edges, depth
// and slope belong together. The thin edge of a strip is nothing.
func tapered(t *table.Table, b *survey.TaperedBoard, strip bool) bool {
	if !strip || t.Value("thin") != "" {
		var ok bool
		if b.Thin, ok = t.Length("thin", stated); !ok {
			return false
		}
	}
	slope, err := unit.ParseSlope(t.Value("slope"))
	if err != nil {
		why, mend := table.WhyAndMend(err)
		t.Blame("slope", why, mend)
		return false
	}
	b.Slope = slope
	rise := unit.Fall(slope, b.Depth)
	switch {
	case strip && b.Thin != 0:
		t.Blame("thin", "an edge strip starts at nothing", "leave it empty, or write kind tapered")
	case slope <= 0 || b.Thin < 0:
		t.Blame("slope", "a tapered board has a slope and edges of more than 0", "write a slope such as 1/4 in/ft")
	case math.Abs((b.Thick - b.Thin - rise).Inches()) > boardOffIn:
		t.Blame("thick", fmt.Sprintf("the board is %g in thicker at one edge, its slope makes %.4g in of its depth",
			(b.Thick-b.Thin).Inches(), rise.Inches()), "mend thin, thick, slope or depth")
	default:
		return true
	}
	return false
}

// stated reads a length that needs its unit.
func stated(s string) (unit.Length, error) {
	return table.Measure(s, 0, "write a unit beside it, such as 1/2 in or 4 ft, or in the header, such as thin_in")
}

// board reads a size of a board, more than 0 and at most so many feet.
func board(t *table.Table, name string, mostFt float64) (unit.Length, bool) {
	l, ok := t.Length(name, stated)
	if ok && (l <= 0 || l.Feet() > mostFt) {
		t.Blame(name, fmt.Sprintf("no board has that size: 0 to %g ft", mostFt), "write the size of a board")
		return 0, false
	}
	return l, ok
}

// price reads the price of a board; empty is not given.
func price(t *table.Table) float64 {
	v, ok := t.Decimal("price")
	if !ok || v == "" {
		return 0
	}
	x, plain := table.Number(v)
	if !plain || x < 0 {
		t.Blame("price", "a price of a board was expected", "write a number, such as 21.50, or leave it empty")
	}
	return x
}

// attach reads what a board may be held by; empty is anything.
func attach(t *table.Table) survey.Attach {
	ways := []survey.Attach{survey.Screws, survey.Adhesive}
	var words []string
	for _, a := range ways {
		if strings.EqualFold(t.Value("attach"), a.String()) {
			return a
		}
		words = append(words, a.String())
	}
	if v := t.Value("attach"); v != "" {
		t.Blame("attach", "unknown way to hold a board", table.MeantOr(table.Nearest(v, words), words))
	}
	return survey.UnsetAttach
}

// mostBundle is more boards than any bundle holds.
const mostBundle = 1000

// bundle reads how many boards a bundle holds; empty is not given.
func bundle(t *table.Table) int {
	v, ok := t.Decimal("bundle")
	if !ok || v == "" {
		return 0
	}
	x, plain := table.Number(v)
	if !plain || x < 1 || x > mostBundle || x != math.Trunc(x) {
		t.Blame("bundle", "a whole number of boards was expected", "write how many boards a bundle holds, such as 24, or leave it empty")
		return 0
	}
	return int(x)
}
