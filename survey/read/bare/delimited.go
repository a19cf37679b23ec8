package bare

import (
	"bytes"
	"fmt"
	"strings"

	"runnel/survey/problem"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

const (
	delimited = "delimited text"
	looked    = 1 << 16 // bytes of a file that are looked at to know its format
)

// delimitedFormat is text with one place a line, with a header or, where
// columns names them, without.
func delimitedFormat(columns []string) Format {
	return Format{
		Name: delimited,
		Is:   isDelimited,
		Read: func(name string, data []byte) *File { return readDelimited(name, data, columns) },
	}
}

// isDelimited says whether data is text of which half the lines, or the only one
// that follows a header, hold two numbers or more.
func isDelimited(data []byte) bool {
	start := data[:min(len(data), looked)]
	if why, _ := table.Foreign(bytes.TrimPrefix(start, []byte("\ufeff"))); why != "" || !isText(start) {
		return false
	}
	lines, sound := 0, 0
	for _, l := range linesOf(start, 50) {
		lines++
		if numbersIn(l) >= 2 {
			sound++
		}
	}
	return sound > 0 && 2*sound >= lines-1 && (sound > 1 || lines <= 2)
}

// linesOf gives the first lines of a text that are neither blank nor comments.
func linesOf(text []byte, most int) []string {
	var out []string
	for part := range bytes.FieldsFuncSeq(text, func(r rune) bool { return r == '\n' || r == '\r' }) {
		l := strings.TrimSpace(string(part))
		if l == "" || l[0] == '#' {
			continue
		}
		if out = append(out, l); len(out) == most {
			break
		}
	}
	return out
}

// isText says whether data holds no bytes that text does not have.
func isText(data []byte) bool {
	for _, c := range data {
		if c < ' ' && c != '\t' && c != '\n' && c != '\r' && c != '\f' && c != 0x1a {
			return false
		}
	}
	return true
}

// numbersIn counts the values of a line that begin as lengths do.
func numbersIn(line string) int {
	n := 0
	for w := range strings.FieldsFuncSeq(line, func(r rune) bool { return strings.ContainsRune(" ,;|\t\"", r) }) {
		w = strings.TrimLeft(w, "+-.")
		if w != "" && w[0] >= '0' && w[0] <= '9' && strings.Trim(w, "0123456789.,eE+-'\"/ftinm") == "" {
			n++
		}
	}
	return n
}

func readDelimited(name string, data []byte, columns []string) *File {
	l := table.ListOf(name, data, columns)
	f := &File{Format: delimited, Problems: l.Problems}
	if l.Nameless {
		f.Format = delimited + ", no header"
		f.Refused = l.Refused
		f.Nameless = l.Records - f.Refused
		if f.Nameless < f.Refused {
			return refusal(name, noSurvey, listMend)
		}
		if f.Nameless == 0 {
			f.Problems.Add(problem.Problem{File: name, Why: "no line holds two numbers or more",
				Mend: "write a place on each line: point,n,e,z,code"})
			return f
		}
		f.lessen()
		f.Problems = append(problem.List{columnQuestion(name, l)}, f.Problems...)
		return f
	}
	if len(columns) > 0 && len(l.Shots) > 0 {
		f.Format += ", columns as told"
	}
	f.Refused = l.Records - len(l.Shots)
	one := unit.Foot
	switch {
	case l.Unit != 0:
		f.Unit, one = UnitOf(l.Unit), l.Unit
		if l.Mixed {
			f.Problems.Add(problem.Problem{File: name, Grade: problem.Note, Mend: "nothing to do",
				Why: "x, y and z are in different units; all are given in metres"})
		}
	case l.Marked:
		f.Unit = Feet
		f.Problems.Add(problem.Problem{File: name, Grade: problem.Note,
			Why:  "some lengths carry a unit or marks; all are given in feet, and plain numbers count as feet",
			Mend: "write the unit into the header, such as z_ft, if that is wrong"})
	}
	if l.Rod {
		f.Problems.Add(problem.Problem{File: name, Grade: problem.Note,
			Why:  "the figures are rod readings: bigger is lower",
			Mend: "in a job, write survey.hi or survey.benchmark"})
	}
	f.Places = make([]Place, len(l.Shots))
	for i, s := range l.Shots {
		in := func(ft float64) float64 { return ft * (unit.Foot.Inches() / one.Inches()) }
		f.Places[i] = Place{ID: s.ID, X: in(s.At.X), Y: in(s.At.Y), Z: in(s.Elev.Feet()), Code: s.Code, Line: s.Line}
	}
	f.lessen()
	f.repeated(name)
	return f
}

// UnitOf is the unit whose 1 is l.
func UnitOf(l unit.Length) Unit {
	switch l {
	case unit.Foot:
		return Feet
	case unit.SurveyFoot:
		return SurveyFeet
	case unit.Inch:
		return Inches
	case unit.Metre:
		return Metres
	case unit.Millimetre:
		return Millimetres
	}
	return Unstated
}

// columnQuestion asks which column is which, and says what they hold.
func columnQuestion(name string, l table.List) problem.Problem {
	why := "no header names the columns"
	if l.Heading != nil {
		words := make([]string, len(l.Heading))
		for i, w := range l.Heading {
			words[i] = clip(w)
		}
		why = fmt.Sprintf("the words of the first line (%s) are not known as columns", problem.Firsts(words))
	}
	var cols []string
	for i, c := range l.Columns {
		cols = append(cols, fmt.Sprintf("column %d: %s", i+1, describe(c)))
	}
	return problem.Problem{File: name, Line: 1, Field: "columns", Grade: problem.Note,
		Why:  why + "; " + problem.Firsts(cols),
		Mend: "say which is which, from the left: --columns point,n,e,z,code (x and y for e and n; - passes one over)"}
}

func describe(c table.Contents) string {
	switch {
	case c.Numbers == 0:
		return fmt.Sprintf("words such as %q", clip(c.Word))
	case c.Whole:
		return fmt.Sprintf("whole numbers %.0f to %.0f", c.Low, c.High)
	}
	return fmt.Sprintf("numbers %.3f to %.3f", c.Low, c.High)
}

func clip(s string) string {
	if r := []rune(s); len(r) > 20 {
		return string(r[:20]) + "..."
	}
	return s
}
