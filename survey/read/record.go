package read

import (
	"fmt"
	"strings"

	"runnel/survey/problem"
	"runnel/survey/unit"
)

// next reads a record; false at the end.
func (t *table) next() bool {
	for {
		if !t.ready {
			s, ok := t.text()
			if !ok {
				return false
			}
			t.fields = split(s, t.sep, t.fields)
		}
		t.ready = false
		if t.blank() {
			continue
		}
		return true
	}
}

// blank says whether a record holds nothing but separators.
func (t *table) blank() bool {
	for _, f := range t.fields {
		if f != "" {
			return false
		}
	}
	return true
}

// whole checks how many values the record has: no more than the header, and
// none of the needed columns missing.
func (t *table) whole(needed ...string) bool {
	for _, n := range needed {
		if t.at[n] >= len(t.fields) {
			return t.fail(t.line, fmt.Sprintf("the line has %d values where %d were expected", len(t.fields), len(t.head)),
				"write a value for each column, or take the line out")
		}
	}
	if t.given || t.open || len(t.fields) <= len(t.head) {
		return true
	}
	for _, f := range t.fields[len(t.head):] {
		if f != "" {
			return t.fail(t.line, fmt.Sprintf("the line has %d values where the header has %d columns",
				len(t.fields), len(t.head)), "take the extra values out, or quote a value that holds the separator")
		}
	}
	return true
}

// has says whether the table has a column.
func (t *table) has(name string) bool { _, ok := t.at[name]; return ok }

// value gives what stands in a column, "" where there is nothing.
func (t *table) value(name string) string {
	i, ok := t.at[name]
	if !ok || i >= len(t.fields) {
		return ""
	}
	return t.fields[i]
}

// rest gives a column's value; the last column takes all that follows it,
// since a description may hold the separator.
func (t *table) rest(name string) string {
	i, ok := t.at[name]
	if !ok || i >= len(t.fields) {
		return ""
	}
	if !t.open || i != len(t.head)-1 {
		return t.fields[i]
	}
	glue := string(t.sep)
	if t.sep == ',' || t.sep == ';' {
		glue += " "
	}
	return strings.TrimRight(strings.Join(t.fields[i:], glue), ",; \t")
}

// blame reports a value of the record last read.
func (t *table) blame(name, why, mend string) {
	t.out.add(problem.Problem{File: t.file, Line: t.line, Field: t.written(name), Value: t.value(name),
		Why: why, Mend: mend})
}

// written is a column's name as the file or the job has it.
func (t *table) written(name string) string {
	if i, ok := t.at[name]; ok {
		return t.head[i]
	}
	return name
}

// decimal gives a value with a point where it has a decimal comma. A file has
// one or the other: with both nobody can tell thousands from decimals.
func (t *table) decimal(name string) (string, bool) {
	v := t.value(name)
	commas := strings.Count(v, ",")
	if commas > 0 && t.comma == 0 {
		t.comma = t.line
	}
	if strings.Contains(v, ".") && t.point == 0 {
		t.point = t.line
	}
	switch {
	case commas == 0:
		return v, true
	case commas > 1 || strings.Contains(v, ".") || t.point > 0:
		t.blame(name, "decimal commas and decimal points stand in one file", "use one of them")
		return "", false
	}
	return strings.Replace(v, ",", ".", 1), true
}

// length reads a length; read says how where no unit stands in the header.
func (t *table) length(name string, read func(string) (unit.Length, error)) (unit.Length, bool) {
	v, ok := t.decimal(name)
	if !ok {
		return 0, false
	}
	if v == "" {
		t.blame(name, "the value is missing", "write it, or take the line out")
		return 0, false
	}
	var l unit.Length
	var err error
	if one := t.unit[name]; one != 0 {
		l, err = measure(v, one, "")
	} else {
		l, err = read(v)
	}
	switch feet := l.Feet(); {
	case err != nil:
		why, mend := whyAndMend(err)
		t.blame(name, why, mend)
	case feet > mostCoordFt || feet < -mostCoordFt:
		t.blame(name, "it lies beyond 1e8 ft", "write coordinates near the building")
	default:
		t.marks = t.marks || strings.ContainsAny(v, "'\"/ ftinm\u2032\u2033")
		return l, true
	}
	return 0, false
}
