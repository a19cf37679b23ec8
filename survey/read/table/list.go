package table

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// List is delimited text read on its own, without a job.
type List struct {
	Shots   []survey.Shot // coordinates and elevations by the rule of Unit
	Records int           // lines that hold a record, refused ones too
	Unit    unit.Length   // that the header states for x, y and z alike; 0: none
	Marked  bool          // some lengths carry a unit or marks
	Mixed   bool          // x, y and z are in different units; in metres all where Unit is one
	Rod     bool          // the figures are rod readings, bigger is lower

	// Nameless says that no header and no option names the columns: then
	// there are no shots, and Columns says what the columns hold.
	Nameless bool
	Refused  int      // records of a nameless list with less than two numbers
	Heading  []string // the first line of a nameless list, where it is words
	Columns  []Contents

	Problems problem.List
}

// Column is what one column of a nameless list holds.
type Contents struct {
	Numbers   int     // records with a number there
	Whole     bool    // all of the numbers are whole
	Low, High float64 // of the numbers
	Word      string  // the first value that is no number
}

// mostColumns is how many columns of a nameless list are described.
const mostColumns = 40

// ListOf reads delimited text on its own; columns name its columns from the
// left, nil where the header does. Lengths without a unit count as feet, so
// that Shot.At.X and Elev.Feet() are the plain numbers of a file without units.
//
// Cost: one pass; every shot is kept.
func ListOf(file string, data []byte, columns []string) List {
	if bad := unknownColumns(file, columns); bad != nil {
		return List{Problems: bad}
	}
	data = evenLines(data)
	before := preamble(file, data, columns)
	data = withoutLines(data, before)
	scratch := &Tally{File: file}
	t, sound := New(bytes.NewReader(data), file, ShotColumns, columns, scratch)
	if !sound && len(t.fields) > 0 && !t.isHeader(ShotColumns) && columns == nil && !t.isLevelBook() {
		return nameless(t)
	}
	if sound && columns != nil && t.ready && numbersIn(t.fields) == 0 {
		data = withoutLines(data, []int{t.Line})
	}
	opt := ShotOptions{File: file, Book: BookFeet, Columns: columns, Reading: Elevations}
	b := ReadShots(bytes.NewReader(data), opt)
	if b.t.imperial[b.fig] && !b.t.metric[b.fig] {
		opt.Book = BookFeetInches // so that 5.4 among them is asked about
		b = ReadShots(bytes.NewReader(data), opt)
	}
	l := List{Shots: b.Shots, Records: b.records, Rod: b.fig == "rod", Marked: b.t.marks,
		Problems: b.t.out.All()}
	if len(before) > 0 {
		l.Problems.Add(problem.Problem{File: file, Line: before[0], Grade: problem.Note, Mend: "nothing to do",
			Why: fmt.Sprintf("%d lines before the header are passed over", len(before))})
	}
	l.Unit, l.Mixed = b.commonUnit()
	l.Marked = l.Marked || l.Mixed
	return l
}

// commonUnit is the unit that the header states for places and figures; where
// they differ, the metre if all are metric.
func (b *Book) commonUnit() (one unit.Length, mixed bool) {
	x, y, z := b.t.unit["x"], b.t.unit["y"], b.t.unit[b.fig]
	if x == y && x == z {
		return x, false
	}
	for _, u := range []unit.Length{x, y, z} {
		if u != unit.Metre && u != unit.Millimetre {
			return 0, true
		}
	}
	return unit.Metre, true
}

func unknownColumns(file string, columns []string) problem.List {
	var out problem.List
	for _, c := range columns {
		if NameOf(ShotColumns, c) == "" {
			out.Add(problem.Problem{File: file, Field: "columns", Value: c, Why: "no such column is known",
				Mend: "write " + Listed(ColumnWords()) + " in the order of the file"})
		}
	}
	return out
}

// mostBefore is how many lines may stand before a header.
const mostBefore = 30

// preamble gives the numbers of the lines that stand before the header, none
// where no header is found.
func preamble(file string, data []byte, columns []string) []int {
	var lines []int
	probe := slices.Clone(data[:min(len(data), longestLine)])
	for range mostBefore {
		t, _ := New(bytes.NewReader(probe), file, ShotColumns, nil, &Tally{File: file})
		switch {
		case columns != nil || len(t.fields) == 0 || numbersIn(t.fields) > 1:
			return nil
		case t.isHeader(ShotColumns):
			return lines
		}
		lines = append(lines, t.Line)
		comment(probe, t.Line)
	}
	return nil
}

// withoutLines makes comments of lines, in a copy, so that the others keep
// their numbers.
func withoutLines(data []byte, lines []int) []byte {
	if len(lines) == 0 {
		return data
	}
	data = slices.Clone(data)
	for _, l := range lines {
		comment(data, l)
	}
	return data
}

// comment puts a comment mark over the first letter of a line.
func comment(data []byte, line int) {
	end := byte('\n')
	if start := data[:min(len(data), longestLine)]; bytes.IndexByte(start, end) < 0 && bytes.IndexByte(start, '\r') >= 0 {
		end = '\r'
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	for range line - 1 {
		data = data[bytes.IndexByte(data, end)+1:]
	}
	for i, c := range data {
		if c != ' ' && c != '\t' && c != '\r' {
			data[i] = '#'
			return
		}
	}
}

func numbersIn(fields []string) int {
	n := 0
	for _, f := range fields {
		if _, ok := Number(strings.Replace(f, ",", ".", 1)); ok {
			n++
		}
	}
	return n
}

// nameless counts the records of a list whose columns have no names, and says
// what the columns hold.
func nameless(t *Table) List {
	t.out = &Tally{File: t.file}
	l := List{Nameless: true}
	if numbersIn(t.fields) == 0 {
		l.Heading, t.ready = slices.Clone(t.fields), false
	}
	for t.Next() {
		l.Records++
		if numbersIn(t.fields) < 2 {
			l.Refused++
			t.Fail(t.Line, fmt.Sprintf("the line holds %d numbers", numbersIn(t.fields)),
				"write two coordinates and an elevation, or take the line out")
			continue
		}
		for i, f := range t.fields[:min(len(t.fields), mostColumns)] {
			if i == len(l.Columns) {
				l.Columns = append(l.Columns, Contents{Whole: true})
			}
			l.Columns[i].take(f)
		}
	}
	l.Problems = t.out.All()
	return l
}

func (c *Contents) take(value string) {
	x, ok := Number(strings.Replace(value, ",", ".", 1))
	if !ok {
		if c.Word == "" {
			c.Word = strings.Clone(value)
		}
		return
	}
	if c.Numbers == 0 {
		c.Low, c.High = x, x
	}
	c.Low, c.High = min(c.Low, x), max(c.High, x)
	c.Whole = c.Whole && !strings.ContainsAny(value, ".,eE")
	c.Numbers++
}

// evenLines ends every line with LF where some end with CR alone and others do
// not; a CR beside a CR or LF ends no line of its own.
func evenLines(data []byte) []byte {
	if bytes.IndexByte(data, '\n') < 0 {
		return data
	}
	copied := false
	for i := 1; i+1 < len(data); i++ {
		if data[i] != '\r' || data[i+1] == '\n' || data[i+1] == '\r' || data[i-1] == '\r' {
			continue
		}
		if !copied {
			data, copied = slices.Clone(data), true
		}
		data[i] = '\n'
	}
	return data
}
