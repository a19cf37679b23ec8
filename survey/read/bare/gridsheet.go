package bare

import (
	"fmt"
	"regexp"
	"strings"

	"runnel/survey/unit"
)

// gridSheetFormat is a grid sheet: the first row holds x, the first column y,
// the other cells readings; a blank cell was not read. The corner cell, or a
// line above such as "readings: rod", says what was read.
func gridSheetFormat() Format {
	return Format{Name: "grid sheet", Is: isGridSheet, Read: readGridSheet}
}

// AssumedHI is what the readings of a sheet that states no HI are reduced
// under, in its unit.
const AssumedHI = 100

// mostGridColumns is the count of columns from which a sheet is refused.
const mostGridColumns = 10_000

// mostHeading is how many rows may stand above the row of x.
const mostHeading = 12

// cornerWord is what the corner of a grid sheet may hold; a corner may be
// blank too.
var cornerWord = regexp.MustCompile(`(?i)^$|\b(x|y|grid|row|col|rod|staff|readings?|direct|elev|elevations?|rl|z|heights?|ft|feet|in|m|mm)\b`)

// isGridSheet asks for a corner that is blank or says what a corner says, x in
// order along one row, and two rows that begin with y, in order.
func isGridSheet(data []byte) bool {
	_, _, ok := findGrid(data)
	return ok
}

// findGrid finds the separator and the row of x, by its number among the rows
// that are not blank.
func findGrid(data []byte) (sep byte, head int, ok bool) {
	start := data[:min(len(data), looked)]
	if !isText(start) {
		return 0, 0, false
	}
	for _, sep := range []byte(sheetSeparators) {
		rows := sheetRows(start, sep, 2*mostHeading)
		if len(start) < len(data) && len(rows) < 2*mostHeading && len(rows) > 0 {
			rows = rows[:len(rows)-1] // cut off within
		}
		for i, r := range rows[:min(len(rows), mostHeading)] {
			if _, _, key := sheetKey(r); !key && isHeading(r, rows[i+1:], sep != ',') {
				return sep, i, true
			}
		}
	}
	return 0, 0, false
}

// isHeading says whether r holds x in order and rows that follow hold y.
func isHeading(r sheetRow, below []sheetRow, comma bool) bool {
	if _, number := lengthIn(r.cell(0), comma); number || !cornerWord.MatchString(sheetCorner(r.cell(0))) {
		return false
	}
	xs := trimmedCells(r.cells)
	if len(xs) < 3 || !inOrder(xs[1:], comma) {
		return false
	}
	var ys []string
	for _, b := range below {
		if _, _, key := sheetKey(b); key || strings.HasPrefix(b.cell(0), "#") {
			continue
		}
		if len(trimmedCells(b.cells)) > len(xs) {
			return false
		}
		ys = append(ys, b.cell(0))
	}
	return len(ys) >= 2 && inOrder(ys, comma)
}

// sheetCorner parts the words of a corner such as y\x or elev_ft.
func sheetCorner(s string) string { return strings.ReplaceAll(strings.TrimSpace(s), "_", " ") }

// inOrder says whether words are lengths that all rise, or all fall.
func inOrder(words []string, comma bool) bool {
	up, down := true, true
	last := 0.0
	for i, w := range words {
		v, ok := lengthIn(w, comma)
		if !ok {
			return false
		}
		up, down = up && (i == 0 || v > last), down && (i == 0 || v < last)
		last = v
	}
	return up || down
}

// lengthIn reads a length roughly, to know what a file is.
func lengthIn(s string, comma bool) (float64, bool) {
	u := sheetUnit{comma: comma}
	if v, plain := u.plain(s); plain {
		return v, true
	}
	l, err := unit.ParseLength(s, unit.Foot)
	return l.Feet(), err == nil
}

// readingKind is what the cells of a grid sheet hold.
type readingKind int

const (
	unsaid readingKind = iota
	elevationKind
	rodKind
	directKind
)

// gridSheet is a grid sheet half read.
type gridSheet struct {
	slips
	unit sheetUnit
	plan unit.Length // of plain x and y; 0 for the unit of the readings
	kind readingKind
	hi   float64
	isHI bool
	xs   []float64
	xOK  []bool
	ys   map[float64]bool
}

// readGridSheet reads a grid sheet. Rod readings become elevations below a
// stated HI, else below 100, which a Note says. With a direct rod they are
// added to it.
func readGridSheet(name string, data []byte) *File {
	f := &File{Format: "grid sheet"}
	g := &gridSheet{slips: slips{file: name, out: f}, ys: map[float64]bool{}}
	sep, head, ok := findGrid(data)
	rows := sheetRows(data, sep, mostSheetRows+1)
	switch {
	case !ok || head >= len(rows):
		g.fault(0, "the row of x is missing", "write x along the first row, y down the first column")
		return f
	case tooLong(data, len(rows)) != "":
		g.fault(0, tooLong(data, len(rows)), "cut the sheet to the roof")
		return f
	}
	if len(rows[head].cells) > mostGridColumns {
		g.fault(rows[head].line, "more than 10,000 columns", "cut the sheet to the roof")
		return f
	}
	g.unit.comma = sep != ','
	g.findUnit(rows, head)
	g.corner(rows[head])
	g.keys(rows)
	g.ask()
	g.heading(rows[head])
	for _, r := range rows[head+1:] {
		if !g.row(r) {
			break
		}
	}
	if len(f.Places) == 0 && len(f.Problems.Faults()) == 0 {
		g.fault(0, "no cell holds a reading that can be used", "write the readings below their x and beside their y")
	}
	g.end()
	return f
}

// findUnit learns the unit of the readings.
func (g *gridSheet) findUnit(rows []sheetRow, head int) {
	for _, word := range cornerWords(rows[head].cell(0)) {
		g.unit.name(word)
	}
	for _, r := range rows {
		key, value, ok := sheetKey(r)
		plan := unitWord(value)
		switch {
		case !ok || key != "unit" && key != "plan":
		case key == "unit" && g.unit.name(value):
		case key == "plan" && plan != 0:
			g.plan = plan
		case key == "plan":
			g.note(r.line, fmt.Sprintf("unit %q is not known", clip(value)), "write ft, us-ft, in, m or mm")
		default:
			g.note(r.line, fmt.Sprintf("unit %q is not known", clip(value)), unitMend)
		}
	}
	for _, r := range rows[head+1:] {
		if _, _, key := sheetKey(r); key {
			continue
		}
		for i := 1; i < len(r.cells); i++ {
			g.unit.see(r.cells[i])
		}
	}
	g.out.Unit = UnitOf(g.unit.one)
}

func cornerWords(corner string) []string {
	return strings.FieldsFunc(strings.ToLower(corner), func(r rune) bool { return strings.ContainsRune(" _()[],;:/\\=", r) })
}

// corner learns from the corner cell what was read, and an HI.
func (g *gridSheet) corner(r sheetRow) {
	words := cornerWords(r.cell(0))
	elevations := false
	for i, w := range words {
		switch w {
		case "rod", "staff", "reading", "readings":
			g.kind = max(g.kind, rodKind)
		case "direct":
			g.kind = directKind
		case "elev", "elevation", "elevations", "rl", "z", "height", "heights":
			elevations = true
		case "hi", "hpc":
			if i+1 < len(words) {
				if v, ok := g.unit.plain(words[i+1]); ok && !g.unit.asks {
					g.hi, g.isHI = v, true
				}
			}
		}
	}
	switch {
	case elevations && g.kind != unsaid:
		g.note(r.line, "the corner speaks of the rod and of elevations", "write rod, or elevation")
		g.kind = unsaid
	case elevations:
		g.kind = elevationKind
	}
}

// keys takes what lines state about the whole sheet.
func (g *gridSheet) keys(rows []sheetRow) {
	for _, r := range rows {
		key, value, ok := sheetKey(r)
		if !ok {
			continue
		}
		word := sheetWord(value)
		switch {
		case key == "rod" && strings.HasPrefix(word, "direct"):
			g.kind = directKind
		case key == "rod", key == "readings" && (word == "rod" || word == "staff"):
			g.kind = max(g.kind, rodKind)
		case key == "readings" && strings.HasPrefix(word, "elev"):
			g.kind = elevationKind
		case key == "hi":
			v, err := g.unit.read(value)
			if err != nil {
				why, _ := whyAndMend(err)
				g.note(r.line, fmt.Sprintf("HI %q is not read: %s", clip(value), why), "write its elevation and its unit: hi: 104.32 ft")
				continue
			}
			g.hi, g.isHI = v, true
		}
	}
}

// ask notes what the sheet does not say.
func (g *gridSheet) ask() {
	rod := g.kind == rodKind || g.kind == directKind
	g.out.Sheet = &Sheet{Elevations: g.kind == elevationKind, Rod: g.kind == rodKind, Direct: g.kind == directKind,
		HasHI: g.isHI, HI: g.hi}
	switch {
	case g.kind == unsaid:
		g.note(0, "the sheet does not say whether its cells are rod readings or elevations; they stand here as written",
			"write rod or elevation into the corner cell")
	case rod && !g.isHI:
		g.hi = AssumedHI
		g.note(0, "the height of the instrument is not given: elevations are relative to an HI of 100", "write a line above the table: hi: 104.32")
	case !rod && g.isHI:
		g.note(0, "an HI is given but the cells are elevations: it is passed over", "write rod into the corner cell if they are readings")
	}
	switch {
	case g.unit.one == 0:
		g.unitNote("the unit is not stated", "write a line above the table: unit: ft (or m)")
	case g.plan == 0 && g.unit.marked && !g.unit.stated:
		g.note(0, "readings carry units: plain x and y count as "+string(g.out.Unit), "write a line above the table: plan: ft")
	case g.plan == 0 && (g.unit.one == unit.Inch || g.unit.one == unit.Millimetre):
		g.note(0, "x and y count as "+string(g.out.Unit)+", as the readings do", "write a line above the table if not: plan: ft (or m)")
	}
}

// place reads one x or y in the unit of the readings.
func (g *gridSheet) place(text string) (float64, error) {
	u := g.unit
	u.stated = true
	if v, plain := u.plain(text); plain && g.plan != 0 && g.unit.one != 0 {
		return v * unit.RatioOf(g.plan, g.unit.one), nil
	}
	return u.read(text)
}

// heading reads the row of x.
func (g *gridSheet) heading(r sheetRow) {
	for _, text := range trimmedCells(r.cells)[1:] {
		v, err := g.place(text)
		if err != nil {
			why, mend := whyAndMend(err)
			g.note(r.line, fmt.Sprintf("x %q is not read, nor the column below it: %s", clip(text), why), mend)
		}
		g.xs, g.xOK = append(g.xs, v), append(g.xOK, err == nil)
	}
}

// row reads one row of readings; it is false where the sheet is too large.
func (g *gridSheet) row(r sheetRow) bool {
	if _, _, key := sheetKey(r); key || strings.HasPrefix(r.cell(0), "#") {
		return true
	}
	y, err := g.place(r.cell(0))
	if err != nil {
		why, mend := whyAndMend(err)
		g.refuse(r.line, "y", r.cell(0), why, mend)
		return true
	}
	if g.ys[y] {
		g.refuse(r.line, "y", r.cell(0), "a row of the same y stands above", "correct one of the two")
		return true
	}
	g.ys[y] = true
	for i, text := range r.cells[1:] {
		if text == "" || text == "-" || text == "\u2013" {
			continue
		}
		if len(g.out.Places) >= mostShots {
			g.fault(r.line, "more than 10 million readings", "thin the sheet")
			return false
		}
		g.cell(r.line, i, y, text)
	}
	return true
}

// cell reads one reading.
func (g *gridSheet) cell(line, i int, y float64, text string) {
	field := fmt.Sprintf("column %d", i+2)
	if i >= len(g.xs) || !g.xOK[i] {
		g.refuse(line, field, text, "no x stands above it", "write its x into the first row")
		return
	}
	v, err := g.unit.read(text)
	if err != nil {
		why, mend := whyAndMend(err)
		g.refuse(line, field, text, why, mend)
		return
	}
	switch g.kind {
	case rodKind:
		v = g.hi - v
	case directKind:
		v = g.hi + v
	}
	g.out.Places = append(g.out.Places, Place{X: g.xs[i], Y: y, Z: v, Line: line})
}
