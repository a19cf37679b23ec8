package bare

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"runnel/survey/level"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// levelBookFormat is a level book: delimited text with a column of backsights
// and one of foresights or intermediate sights. What it holds stands in
// File.Level, since a level book has no plan places.
func levelBookFormat() Format {
	return Format{Name: "level book", Is: isLevelBook, Read: readLevelBook}
}

// bookColumns are the places of the columns; -1 where there is none.
type bookColumns struct {
	row                                              int // of the heading
	sep                                              byte
	shot, bs, is, fs, hi, elevation, known, rod, say int
}

// bookWords are the headings that are known.
func bookWords(word string) string {
	switch word {
	case "station", "sta", "stn", "point", "pt", "shot", "id", "name", "no", "point no", "place", "target",
		"station/point", "point id":
		return "shot"
	case "bs", "b s", "backsight", "back sight", "bs (+)", "bs +", "bs+", "+bs", "backsight reading":
		return "bs"
	case "is", "i s", "intermediate", "intermediate sight", "intersight", "inter sight", "ifs", "ss", "sideshot", "side shot":
		return "is"
	case "fs", "f s", "foresight", "fore sight", "fs+", "fs -", "fs−", "foresight reading":
		return "fs"
	case "hi", "h i", "hpc", "hoc", "height of instrument", "instrument height", "height of collimation",
		"height of plane of collimation", "collimation":
		return "hi"
	case "elevation", "elev", "el", "rl", "r l", "reduced level", "height", "level", "z":
		return "elevation"
	case "known", "known elevation", "known rl", "given", "given elevation", "benchmark", "bm elevation", "benchmark elevation":
		return "known"
	case "rod", "staff", "rod type":
		return "rod"
	case "remark", "remarks", "note", "notes", "comment", "comments", "description", "desc":
		return "say"
	}
	return ""
}

// findBook looks for the heading of a level book in the first rows.
func findBook(data []byte) (c bookColumns, ok bool) {
	start := data[:min(len(data), looked)]
	if !isText(start) {
		return c, false
	}
	for _, sep := range []byte(sheetSeparators + " ") {
		for i, r := range bookRows(start, sep, 20) {
			if c, ok = columnsOf(r.cells); ok {
				c.row, c.sep = i, sep
				return c, true
			}
		}
	}
	return c, false
}

// bookRows parts a book into rows; with a blank as separator, by where the
// values stand.
func bookRows(data []byte, sep byte, most int) []sheetRow {
	if sep != ' ' {
		return sheetRows(data, sep, most)
	}
	return alignedRows(data, most, func(words []string) bool {
		_, ok := columnsOf(words)
		return ok
	})
}

// columnsOf knows the columns by their headings; ok says whether these are a
// level book's. The first column names the shots where no heading says so.
func columnsOf(words []string) (c bookColumns, ok bool) {
	const most = 100 // columns; a longer line is no heading written by hand
	if len(words) > most {
		return c, false
	}
	c = bookColumns{0, 0, -1, -1, -1, -1, -1, -1, -1, -1, -1}
	for k, cell := range words {
		c.take(bookWords(sheetWord(cell)), k)
	}
	if c.shot < 0 && c.bs > 0 && bookWords(sheetWord(words[0])) == "" {
		c.shot = 0
	}
	return c, c.bs >= 0 && (c.fs >= 0 || c.is >= 0)
}

// take keeps the first column of a meaning.
func (c *bookColumns) take(word string, k int) {
	at := map[string]*int{"shot": &c.shot, "bs": &c.bs, "is": &c.is, "fs": &c.fs, "hi": &c.hi,
		"elevation": &c.elevation, "known": &c.known, "rod": &c.rod, "say": &c.say}[word]
	if at != nil && *at < 0 {
		*at = k
	}
}

func isLevelBook(data []byte) bool {
	_, ok := findBook(data)
	return ok
}

// stated is a figure that the book itself gives for a place.
type stated struct {
	line    int
	shot    string
	text    string
	value   float64
	sighted bool // forward, from a set-up
	index   int  // the set-up of an HI, the shot of an elevation
}

// bookReader is a level book half read.
type bookReader struct {
	slips
	cols       bookColumns
	unit       sheetUnit
	book       level.Book
	direct     bool     // the rod of set-ups that do not say
	closing    []stated // known elevations of the last sight, by word
	elevations []stated // of the elevation column
	his        []stated
	sums       []sheetRow
	shots      int
	last       string // the shot sighted last
	noted      int    // notes on lines
}

// readLevelBook reads and reduces a book. The elevation in the first row, or of
// a row without readings, is a benchmark's; so is one of the last row where
// only these hold any. Where the column is filled throughout, it is the crew's
// own reduction, and is compared with ours.
func readLevelBook(name string, data []byte) *File {
	f := &File{Format: "level book"}
	b := &bookReader{slips: slips{file: name, out: f}}
	b.cols, _ = findBook(data)
	rows := bookRows(data, b.cols.sep, mostSheetRows+1)
	if why := tooLong(data, len(rows)); why != "" {
		b.fault(0, why, "cut the book to the roof")
		return f
	}
	if b.cols.row >= len(rows) {
		b.fault(0, "the heading is missing", "name the columns: station,BS,IS,FS")
		return f
	}
	b.findUnit(rows)
	for i, r := range rows {
		if i != b.cols.row {
			b.row(r, i < b.cols.row)
		}
	}
	b.known()
	b.finish()
	if more := b.noted - mostNotes; more > 0 {
		b.slips.note(0, fmt.Sprintf("%d more notes on lines are left out", more), "mend those told above first")
	}
	b.end()
	return f
}

// mostNotes is how many notes on lines are told.
const mostNotes = 100

// note tells what is no fault of one record; of those on lines the first only.
func (b *bookReader) note(line int, why, mend string) {
	if line > 0 {
		if b.noted++; b.noted > mostNotes {
			return
		}
	}
	b.slips.note(line, why, mend)
}

// level notes how the book closes, or how its set-ups agree.
func (b *bookReader) level(line int, why, mend string) {
	if b.noted++; b.noted <= mostNotes {
		b.out.Problems.Add(problem.Problem{File: b.file, Line: line, Field: LevelField, Why: why, Mend: mend, Grade: problem.Note})
	}
}

// findUnit learns the unit from the lines above, the heading and the values.
func (b *bookReader) findUnit(rows []sheetRow) {
	b.unit.comma = b.cols.sep != ','
	for _, r := range rows {
		if key, value, ok := sheetKey(r); ok && key == "unit" {
			if !b.unit.name(value) {
				b.note(r.line, fmt.Sprintf("unit %q is not known", clip(value)), unitMend)
			}
		}
	}
	head := rows[b.cols.row]
	for _, k := range []int{b.cols.bs, b.cols.is, b.cols.fs} {
		if word := inHeading(head.cell(k)); !b.unit.stated && !b.unit.asks {
			b.unit.name(word)
		}
	}
	for _, r := range rows[b.cols.row+1:] {
		for _, k := range []int{b.cols.bs, b.cols.is, b.cols.fs} {
			b.unit.see(r.cell(k))
		}
	}
}

// row reads one line of the book.
func (b *bookReader) row(r sheetRow, above bool) {
	if key, value, ok := sheetKey(r); ok && (key != "hi" || above) {
		b.key(r.line, key, value)
		return
	}
	shot := r.cell(b.cols.shot)
	bs, is, fs := r.cell(b.cols.bs), r.cell(b.cols.is), r.cell(b.cols.fs)
	switch word := sheetWord(shot); {
	case above || strings.HasPrefix(shot, "#"):
		return
	case word == "sum" || word == "sums" || word == "total" || word == "totals" || word == "σ":
		b.sums = append(b.sums, r)
		return
	case is != "" && fs != "":
		b.refuse(r.line, "FS", fs, "an intermediate sight and a foresight stand in one row", "keep the one that was read")
		return
	}
	if shot == "" {
		shot = fmt.Sprintf("row %d", r.line)
	}
	b.slip(r, bs, is, fs)
	sighted := b.forward(r.line, shot, "IS", is, level.Intermediate)
	sighted = b.forward(r.line, shot, "FS", fs, level.Foresight) || sighted
	b.marks(r, shot, sighted, bs+is+fs == "")
	if bs != "" {
		b.backsight(r, shot, bs)
	}
}

// slip tells a row without a reading, which gives no elevation, and one whose
// sights do not go together.
func (b *bookReader) slip(r sheetRow, bs, is, fs string) {
	switch {
	case bs != "" && is != "" && b.cols.fs >= 0:
		b.note(r.line, "a backsight and an intermediate sight stand in one row: the line goes on from here as over a foresight",
			"write the sight as FS if this is a turning point, else mend the row")
	case bs+is+fs != "" || r.cell(b.cols.elevation)+r.cell(b.cols.known)+r.cell(b.cols.say) != "":
	case len(r.cells) > 1 && r.cell(b.cols.shot) != "":
		b.refuse(r.line, "reading", r.cell(b.cols.shot), "no reading stands in the row", "write it, or take the row out")
		b.out.Unread++
	}
}

// key takes what a line states about the whole book.
func (b *bookReader) key(line int, key, value string) {
	switch key {
	case "rod":
		b.direct = b.isDirect(line, value, b.direct)
	case "length":
		if l, err := unit.ParseLength(value, b.unit.one); err == nil && l > 0 {
			b.book.Run = l
		} else {
			b.note(line, fmt.Sprintf("length of line %q is not read", clip(value)), "write it with its unit: length: 800 ft")
		}
	case "benchmark", "closing":
		words := strings.Fields(value)
		v, err := b.unit.read(words[len(words)-1])
		if err != nil {
			why, _ := whyAndMend(err)
			b.note(line, fmt.Sprintf("%s %q is not read: %s", key, clip(value), why), "write its elevation and its unit: benchmark: 100.00 ft")
			return
		}
		at := stated{line: line, shot: strings.Join(words[:len(words)-1], " "), value: v}
		if key == "closing" {
			b.closing = append(b.closing, at)
		} else {
			b.book.Known = append(b.book.Known, level.Mark{Shot: at.shot, Elevation: v})
		}
	}
}

// isDirect reads a word about the rod.
func (b *bookReader) isDirect(line int, word string, otherwise bool) bool {
	switch sheetWord(word) {
	case "":
		return otherwise
	case "direct", "direct reading", "reads up", "bigger is higher":
		return true
	case "ordinary", "normal", "standard", "bigger is lower":
		return false
	}
	b.note(line, fmt.Sprintf("rod %q is not known and is taken as before", clip(word)), "write direct (bigger is higher) or ordinary")
	return otherwise
}

// forward takes a sight of the set-up that stands.
func (b *bookReader) forward(line int, shot, field, text string, kind level.Kind) bool {
	if text == "" {
		return false
	}
	v, err := b.unit.read(text)
	switch {
	case err != nil:
		why, mend := whyAndMend(err)
		b.refuse(line, field, text, why, mend)
		return false
	case len(b.book.SetUps) == 0:
		b.refuse(line, field, text, "no backsight stands before it", "begin with the backsight on the benchmark")
		return false
	}
	s := &b.book.SetUps[len(b.book.SetUps)-1]
	s.Readings = append(s.Readings, level.Reading{Shot: shot, Rod: v, Kind: kind, Line: line})
	b.shots++
	b.last = shot
	return true
}

// backsight begins a set-up. One that is not read begins it too, on no place,
// so that what follows is not reduced from the set-up before.
func (b *bookReader) backsight(r sheetRow, shot, text string) {
	s := level.SetUp{On: shot, Line: r.line, Direct: b.isDirect(r.line, r.cell(b.cols.rod), b.direct)}
	v, err := b.unit.read(text)
	if err != nil {
		why, mend := whyAndMend(err)
		b.refuse(r.line, "BS", text, why, mend)
		s.On = ""
	}
	s.Backsight = v
	if at, ok := b.figure(r, b.cols.hi, shot); ok {
		at.index = len(b.book.SetUps)
		b.his = append(b.his, at)
	}
	b.book.SetUps = append(b.book.SetUps, s)
}

// figure reads a figure that the crew worked out.
func (b *bookReader) figure(r sheetRow, col int, shot string) (stated, bool) {
	text := r.cell(col)
	if text == "" {
		return stated{}, false
	}
	v, err := b.unit.read(text)
	if err != nil {
		why, _ := whyAndMend(err)
		b.note(r.line, fmt.Sprintf("%q is no elevation and is passed over: %s", clip(text), why), "write a number, or nothing")
		return stated{}, false
	}
	return stated{line: r.line, shot: shot, text: text, value: v}, true
}

// aloud is an elevation at the end of a remark about a benchmark.
var aloud = regexp.MustCompile(`(?i)\b(?:benchmark|bench mark|tbm|bm|mark|known|elevation|elev|rl)\b.*?\s(-?\d+[.,]\d+)(?:\s*(?:ft|m))?$`)

// marks keeps the elevations that a row gives.
func (b *bookReader) marks(r sheetRow, shot string, sighted, bare bool) {
	if at, ok := b.figure(r, b.cols.known, shot); ok {
		b.book.Known = append(b.book.Known, level.Mark{Shot: shot, Elevation: at.value})
	}
	if at, ok := b.figure(r, b.cols.elevation, shot); ok {
		if bare || len(b.book.SetUps) == 0 {
			b.book.Known = append(b.book.Known, level.Mark{Shot: shot, Elevation: at.value})
		} else {
			at.sighted, at.index = sighted, b.shots-1
			b.elevations = append(b.elevations, at)
		}
		return
	}
	if m := aloud.FindStringSubmatch(r.cell(b.cols.say)); m != nil {
		text := strings.Replace(m[1], ",", ".", 1)
		if v, ok := decimal(text); ok {
			b.book.Known = append(b.book.Known, level.Mark{Shot: shot, Elevation: v})
			b.note(r.line, fmt.Sprintf("elevation %s of %s is taken from the remark", text, clip(shot)), "put it into a column elevation if it is another")
		}
	}
}

// known settles which figures are benchmarks.
func (b *bookReader) known() {
	if len(b.book.SetUps) == 0 {
		return
	}
	for i, m := range b.book.Known {
		if m.Shot == "" {
			b.book.Known[i].Shot = b.book.SetUps[0].On
		}
	}
	for _, c := range b.closing {
		if c.shot == "" {
			c.shot = b.last
		}
		b.book.Known = append(b.book.Known, level.Mark{Shot: c.shot, Elevation: c.value})
	}
	if len(b.elevations) == 1 && b.elevations[0].sighted && b.elevations[0].index == b.shots-1 && b.shots > 1 {
		b.book.Known = append(b.book.Known, level.Mark{Shot: b.elevations[0].shot, Elevation: b.elevations[0].value})
		b.elevations = nil
	}
	b.twice()
}

// twice notes a mark of two elevations.
func (b *bookReader) twice() {
	first := map[string]float64{}
	for _, m := range b.book.Known {
		z, seen := first[m.Shot]
		if !seen {
			first[m.Shot] = m.Elevation
		} else if z != m.Elevation {
			b.note(0, fmt.Sprintf("%s has two known elevations, %.3f and %.3f; the first counts", clip(m.Shot), z, m.Elevation),
				"strike the wrong one")
		}
	}
}

// finish reduces the book and says what is amiss with it.
func (b *bookReader) finish() {
	f := b.out
	if !slices.ContainsFunc(b.book.SetUps, func(s level.SetUp) bool { return s.On != "" }) {
		b.fault(0, "no backsight can be read", "begin with a backsight on the benchmark: station,BS,IS,FS")
		return
	}
	b.book.One = b.unit.one
	r := level.Reduce(b.book)
	f.Level, f.Unit = &r, UnitOf(r.One)
	if r.One == 0 {
		b.note(0, "the unit of the readings is not stated", "write a line above the table: unit: ft (or m)")
	}
	if r.Assumed {
		b.slips.note(r.SetUps[0].Line, fmt.Sprintf("the elevation of %s is not given: all are relative to %d there", clip(r.Start.Shot), level.AssumedElevation),
			"write it into a column elevation, in the first row")
	}
	for _, i := range r.Loose {
		s := b.book.SetUps[i]
		for _, x := range s.Readings {
			b.refuse(x.Line, x.Kind.String(), "", fmt.Sprintf("the set-up stands on %s, whose elevation nothing gives", clip(s.On)),
				"name the backsight as the foresight before, or give its elevation")
		}
	}
	if len(r.Shots) == 0 {
		f.Level = nil
		b.fault(0, "no place is sighted from a set-up", "write foresights (FS) and intermediate sights (IS) below their backsight")
		return
	}
	b.compare(&r)
	b.checkSums()
	b.ties(&r)
	b.closed(&r)
}
