package table

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

// Column is one column that a table may have, under any of its names.
type Column struct {
	Name string
	Also string // other names, apart by |
}

func Names(cols []Column) []string {
	var out []string
	for _, c := range cols {
		out = append(out, c.Name)
	}
	return out
}

// NameOf gives the name of the column that a header word means, "" for one
// that is none. A unit behind the word, as in z_ft or Z (m), is no part of it,
// nor is a full stop, as in Elev., or the slashes of a comment before it.
func NameOf(cols []Column, word string) string {
	word, _ = unitBehind(strings.TrimPrefix(word, "//"))
	word = strings.TrimSpace(strings.TrimRight(word, "."))
	for _, c := range cols {
		if word == c.Name || slices.Contains(strings.Split(c.Also, "|"), word) {
			return c.Name
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

// Table reads delimited text line by line.
type Table struct {
	file   string
	out    *Tally
	in     *bufio.Reader
	end    byte // of a line
	sep    byte
	Line   int // of the record last read, from 1
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

	imperial, metric map[string]bool // columns of which a value says so itself
}

// New looks at the beginning of a table and finds its separator and its
// columns: those given, else those of the header. It gives false, with a
// fault, where there is nothing to read.
func New(in io.Reader, file string, cols []Column, given []string, out *Tally) (*Table, bool) {
	t := &Table{file: file, out: out, in: bufio.NewReaderSize(in, longestLine), end: '\n',
		at: map[string]int{}, unit: map[string]unit.Length{}, imperial: map[string]bool{}, metric: map[string]bool{}}
	start, err := t.in.Peek(longestLine)
	if err != nil && !errors.Is(err, io.EOF) {
		why, mend := FileTrouble(err)
		return t, t.Fail(0, why, mend)
	}
	if bytes.HasPrefix(start, []byte("\ufeff")) {
		t.in.Discard(len("\ufeff"))
		start = start[len("\ufeff"):]
	}
	if why, mend := Foreign(start); why != "" {
		return t, t.Fail(0, why, mend)
	}
	if bytes.IndexByte(start, '\n') < 0 && bytes.IndexByte(start, '\r') >= 0 {
		t.end = '\r'
	}
	first, ok := t.text()
	if !ok {
		if out.Faults == 0 {
			t.Fail(0, "the file is empty", "name the file that holds the table")
		}
		return t, false
	}
	t.sep = separatorOf(first)
	t.fields = split(first, t.sep, nil)
	return t, t.columns(cols, given)
}

func (t *Table) Fail(line int, why, mend string) bool {
	t.out.Add(problem.Problem{File: t.file, Line: line, Why: why, Mend: mend})
	return false
}

func (t *Table) Note(line int, why, mend string) {
	t.out.Add(problem.Problem{File: t.file, Line: line, Why: why, Mend: mend, Grade: problem.Note})
}

// text gives the next line that is neither blank nor a comment.
func (t *Table) text() (string, bool) {
	for {
		b, err := t.in.ReadSlice(t.end)
		if len(b) == 0 && err != nil {
			if !errors.Is(err, io.EOF) {
				why, mend := FileTrouble(err)
				t.Fail(0, why, mend)
			}
			return "", false
		}
		t.Line++
		if errors.Is(err, bufio.ErrBufferFull) {
			return "", t.Fail(t.Line, "a line of over 64 KB is no record of a table", "put one record on each line")
		}
		s := strings.Trim(string(b), "\r\n \x1a")
		if strings.Trim(s, "\t") != "" && !strings.HasPrefix(s, "#") {
			return s, true
		}
	}
}

// columns finds the place of every column.
func (t *Table) columns(cols []Column, given []string) bool {
	header := t.isHeader(cols)
	if !header {
		t.ready = true
		if given == nil && t.isLevelBook() {
			return t.Fail(t.Line, "this is a level book",
				"reduce it to elevations: a table of id, x, y, z")
		}
		if given == nil {
			why := "the table has no header and its columns are not stated"
			if isWords(t.fields) {
				why = "the words of the first line (" + words(t.fields) + ") are not known as columns"
			}
			return t.Fail(t.Line, why,
				"name them in a first line, such as "+strings.Join(Names(cols)[:4], ",")+
					", or, for shots, in survey.columns")
		}
		t.ready = !isWords(t.fields) // a header in words of its own
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
func (t *Table) column(cols []Column, i int, word string) bool {
	name := NameOf(cols, word)
	if name == "" {
		if !t.given && word != "" {
			mend := "nothing to do"
			if isDegrees(word) {
				mend = inPlan
			}
			t.Note(t.Line, fmt.Sprintf("column %q is not read", problem.Clip(word)), mend)
		}
		return true
	}
	if k, twice := t.at[name]; twice && name == "point" && !t.given {
		t.Note(t.Line, fmt.Sprintf("column %q is not read: %q names the shots", problem.Clip(word), problem.Clip(t.head[k])), "nothing to do")
		return true
	} else if twice {
		return t.Fail(t.Line, fmt.Sprintf("columns %q and %q mean the same", problem.Clip(t.head[k]), problem.Clip(word)), "rename one of them")
	}
	t.at[name] = i
	if _, u := unitBehind(word); u != 0 {
		t.unit[name] = u
	}
	return true
}

// isWords says whether a first line names columns in words that are not known:
// it holds two values or more, none of them with a digit first.
func isWords(fields []string) bool {
	words := 0
	for _, f := range fields {
		switch f = strings.TrimLeft(f, "+-. "); {
		case f != "" && isDigit(f[0]):
			return false
		case f != "":
			words++
		}
	}
	return words >= 2
}

// words lists the values of a heading.
func words(fields []string) string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = problem.Clip(f)
	}
	return problem.Firsts(out)
}

// inPlan is what to do about places on the globe.
const inPlan = "export places in plan, x and y in feet or metres"

// isDegrees says whether a header word stands for degrees on the globe.
func isDegrees(word string) bool {
	switch strings.ToLower(word) {
	case "lat", "latitude", "lon", "long", "lng", "longitude":
		return true
	}
	return false
}

// isHeader says whether the first line names columns.
func (t *Table) isHeader(cols []Column) bool {
	names, numbers := 0, 0
	for _, f := range t.fields {
		if NameOf(cols, f) != "" {
			names++
		}
		if _, ok := Number(strings.Replace(f, ",", ".", 1)); ok {
			numbers++
		}
	}
	return names >= 2 && names > numbers
}

// IsHeading says whether a line is the header of a shot list.
func IsHeading(line string) bool {
	t := Table{fields: split(line, separatorOf(line), nil)}
	return t.isHeader(ShotColumns)
}

// isLevelBook says whether the first line heads backsights and foresights.
func (t *Table) isLevelBook() bool {
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
func (t *Table) sameAs(cols []Column) bool {
	for i, f := range t.fields {
		own := NameOf(cols, f)
		if own == "" {
			continue
		}
		if i >= len(t.head) || NameOf(cols, t.head[i]) != own {
			told := "nothing"
			if i < len(t.head) {
				told = t.head[i]
			}
			return t.Fail(t.Line, fmt.Sprintf("the header says %q where the job's columns say %s", problem.Clip(f), told),
				"take columns out of the job, or put them in the file's order")
		}
		if _, u := unitBehind(f); u != 0 {
			t.unit[own] = u
		}
	}
	return true
}
