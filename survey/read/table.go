package read

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"runnel/survey/problem"
	"runnel/survey/unit"
)

// longestLine is the most bytes a line of a table may have.
const longestLine = 1 << 16

// column is one column that a table may have, under any of its names.
type column struct {
	name string
	also string // other names, apart by |
}

func columnNames(cols []column) []string {
	var out []string
	for _, c := range cols {
		out = append(out, c.name)
	}
	return out
}

// columnOf gives the name of the column that a header word means, "" for one
// that is none. A unit behind the word, as in z_ft or Z (m), is no part of it.
func columnOf(cols []column, word string) string {
	word, _ = unitBehind(word)
	for _, c := range cols {
		if word == c.name || slices.Contains(strings.Split(c.also, "|"), word) {
			return c.name
		}
	}
	return ""
}

// unitBehind parts a header word, in small letters, from a unit behind it.
func unitBehind(word string) (string, unit.Length) {
	word = strings.ToLower(strings.TrimSpace(word))
	i := strings.LastIndexAny(word, "_([ ")
	if i < 1 {
		return word, 0
	}
	rest := strings.TrimRight(strings.TrimRight(word[:i], " "), "_([ ")
	switch strings.Trim(word[i+1:], ")] ") {
	case "ft", "feet":
		return rest, unit.Foot
	case "in", "inches":
		return rest, unit.Inch
	case "m", "metres", "meters":
		return rest, unit.Metre
	case "mm":
		return rest, unit.Millimetre
	case "us-ft", "usft", "ftus":
		return rest, unit.SurveyFoot
	}
	return word, 0
}

// table reads delimited text line by line.
type table struct {
	file   string
	out    *sink
	in     *bufio.Reader
	end    byte // of a line
	sep    byte
	line   int // of the record last read, from 1
	ready  bool
	fields []string

	head  []string       // header words or columns as written
	at    map[string]int // column name to place
	unit  map[string]unit.Length
	open  bool // the last column takes all that follows it
	given bool // the columns were told from outside
	comma int  // line that first had a decimal comma
	point int  // line that first had a decimal point
	marks bool // a length had more than a plain number
}

// newTable looks at the beginning of a table and finds its separator and its
// columns: those given, else those of the header. It gives false, with a
// fault, where there is nothing to read.
func newTable(in io.Reader, file string, cols []column, given []string, out *sink) (*table, bool) {
	t := &table{file: file, out: out, in: bufio.NewReaderSize(in, longestLine), end: '\n',
		at: map[string]int{}, unit: map[string]unit.Length{}}
	start, err := t.in.Peek(longestLine)
	if err != nil && !errors.Is(err, io.EOF) {
		why, mend := fileTrouble(err)
		return t, t.fail(0, why, mend)
	}
	if bytes.HasPrefix(start, []byte("\ufeff")) {
		t.in.Discard(len("\ufeff"))
		start = start[len("\ufeff"):]
	}
	if why, mend := foreign(start); why != "" {
		return t, t.fail(0, why, mend)
	}
	if bytes.IndexByte(start, '\n') < 0 && bytes.IndexByte(start, '\r') >= 0 {
		t.end = '\r'
	}
	first, ok := t.text()
	if !ok {
		if out.faults == 0 {
			t.fail(0, "the file is empty", "name the file that holds the table")
		}
		return t, false
	}
	t.sep = separatorOf(first)
	t.fields = split(first, t.sep, nil)
	return t, t.columns(cols, given)
}

func (t *table) fail(line int, why, mend string) bool {
	t.out.add(problem.Problem{File: t.file, Line: line, Why: why, Mend: mend})
	return false
}

func (t *table) note(line int, why, mend string) {
	t.out.add(problem.Problem{File: t.file, Line: line, Why: why, Mend: mend, Grade: problem.Note})
}

// text gives the next line that is neither blank nor a comment.
func (t *table) text() (string, bool) {
	for {
		b, err := t.in.ReadSlice(t.end)
		if len(b) == 0 && err != nil {
			if !errors.Is(err, io.EOF) {
				why, mend := fileTrouble(err)
				t.fail(0, why, mend)
			}
			return "", false
		}
		t.line++
		if errors.Is(err, bufio.ErrBufferFull) {
			return "", t.fail(t.line, "a line of over 64 KB is no record of a table", "put one record on each line")
		}
		s := strings.Trim(string(b), "\r\n \x1a")
		if strings.Trim(s, "\t") != "" && !strings.HasPrefix(s, "#") {
			return s, true
		}
	}
}

// columns finds the place of every column.
func (t *table) columns(cols []column, given []string) bool {
	header := t.isHeader(cols)
	if !header {
		t.ready = true
		if given == nil && t.isLevelBook() {
			return t.fail(t.line, "this is a level book, which is not read yet",
				"reduce it to elevations: a table of id, x, y, z")
		}
		if given == nil {
			return t.fail(t.line, "the table has no header and its columns are not stated",
				"name them in a first line, such as "+strings.Join(columnNames(cols)[:4], ",")+
					", or, for shots, in survey.columns")
		}
	}
	t.head, t.given = slices.Clone(given), given != nil
	if given == nil {
		t.head = slices.Clone(t.fields)
	}
	sound := true
	for i, word := range t.head {
		sound = t.column(cols, i, word) && sound
	}
	if header && t.given {
		return t.sameAs(cols) && sound
	}
	return sound
}

// column takes one column of the header.
func (t *table) column(cols []column, i int, word string) bool {
	name := columnOf(cols, word)
	if name == "" {
		if !t.given && word != "" {
			t.note(t.line, fmt.Sprintf("column %q is not read", word), "nothing to do")
		}
		return true
	}
	if k, twice := t.at[name]; twice {
		return t.fail(t.line, fmt.Sprintf("columns %q and %q mean the same", t.head[k], word), "rename one of them")
	}
	t.at[name] = i
	if _, u := unitBehind(word); u != 0 {
		t.unit[name] = u
	}
	return true
}

// isHeader says whether the first line names columns.
func (t *table) isHeader(cols []column) bool {
	names, numbers := 0, 0
	for _, f := range t.fields {
		if columnOf(cols, f) != "" {
			names++
		}
		if _, ok := number(strings.Replace(f, ",", ".", 1)); ok {
			numbers++
		}
	}
	return names >= 2 && names > numbers
}

// isLevelBook says whether the first line heads backsights and foresights.
func (t *table) isLevelBook() bool {
	sights := 0
	for _, f := range t.fields {
		switch strings.ToLower(f) {
		case "bs", "is", "fs", "backsight", "foresight":
			sights++
		}
	}
	return sights >= 2
}

// sameAs compares the file's own header with the columns told from outside.
func (t *table) sameAs(cols []column) bool {
	for i, f := range t.fields {
		own := columnOf(cols, f)
		if own == "" {
			continue
		}
		if i >= len(t.head) || columnOf(cols, t.head[i]) != own {
			told := "nothing"
			if i < len(t.head) {
				told = t.head[i]
			}
			return t.fail(t.line, fmt.Sprintf("the header says %q where the job's columns say %s", f, told),
				"take columns out of the job, or put them in the file's order")
		}
		if _, u := unitBehind(f); u != 0 {
			t.unit[own] = u
		}
	}
	return true
}
