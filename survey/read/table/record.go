package table

import (
	"fmt"
	"regexp"
	"strings"

	"runnel/survey/problem"
	"runnel/survey/unit"
)

// Next reads a record; false at the end.
func (t *Table) Next() bool {
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
func (t *Table) blank() bool {
	for _, f := range t.fields {
		if f != "" {
			return false
		}
	}
	return true
}

// Whole checks how many values the record has: no more than the header, and
// none of the needed columns missing.
func (t *Table) Whole(needed ...string) bool {
	for _, n := range needed {
		if t.at[n] >= len(t.fields) {
			return t.Fail(t.Line, fmt.Sprintf("the line has %d values where %d were expected", len(t.fields), len(t.head)),
				"write a value for each column, or take the line out")
		}
	}
	if t.cutDecimals() {
		return t.Fail(t.Line, fmt.Sprintf("the line has %d values where %d were expected, and no decimal point: commas seem to part "+
			"the values and their decimals too", len(t.fields), len(t.head)),
			"export it with semicolons or tabs between values, or with decimal points")
	}
	if t.given || t.open || len(t.fields) <= len(t.head) {
		return true
	}
	for _, f := range t.fields[len(t.head):] {
		if f != "" {
			return t.Fail(t.Line, fmt.Sprintf("the line has %d values where the header has %d columns",
				len(t.fields), len(t.head)), "take the extra values out, or quote a value that holds the separator")
		}
	}
	return true
}

// cutDecimals says whether the record, between commas, looks like numbers with
// decimal commas: two values or more over, whole ones throughout but for words.
func (t *Table) cutDecimals() bool {
	over := len(t.fields) - len(t.head)
	if t.sep != ',' || over < 2 || t.open && !isWhole(t.fields[len(t.head)-1]) {
		return false
	}
	whole := 0
	for _, f := range t.fields {
		if strings.Contains(f, ".") {
			return false
		}
		if isWhole(f) {
			whole++
		}
	}
	return whole >= 2*over
}

// isWhole says whether a value is a whole number.
func isWhole(s string) bool {
	s = strings.TrimLeft(s, "+-")
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// Needs says whether the table has columns; each that is missing is a fault.
func (t *Table) Needs(names ...string) bool {
	sound := true
	for _, n := range names {
		if !t.Has(n) {
			sound = t.Fail(t.Line, "there is no column "+n, "name it in the header")
		}
	}
	return sound
}

// Has says whether the table has a column.
func (t *Table) Has(name string) bool { _, ok := t.at[name]; return ok }

// Value gives what stands in a column, "" where there is nothing.
func (t *Table) Value(name string) string {
	i, ok := t.at[name]
	if !ok || i >= len(t.fields) {
		return ""
	}
	return t.fields[i]
}

// Rest gives a column's value; the last column takes all that follows it,
// since a description may hold the separator.
func (t *Table) Rest(name string) string {
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

// Blame reports a value of the record last read.
func (t *Table) Blame(name, why, mend string) {
	t.out.Add(problem.Problem{File: t.file, Line: t.Line, Field: t.Written(name), Value: t.Value(name),
		Why: why, Mend: mend})
}

// Written is a column's name as the file or the job has it.
func (t *Table) Written(name string) string {
	if i, ok := t.at[name]; ok {
		return t.head[i]
	}
	return name
}

// Decimal gives a value with a point where it has a decimal comma. A file has
// one or the other: with both nobody can tell thousands from decimals.
func (t *Table) Decimal(name string) (string, bool) {
	v := t.Value(name)
	if t.sep != ' ' {
		v = joined(v)
	}
	commas := strings.Count(v, ",")
	if commas > 0 && thousands.MatchString(v) {
		t.Blame(name, "a sign parts the thousands of the number", "export the numbers without one, such as 1003.00")
		return "", false
	}
	if commas > 0 && t.comma == 0 {
		t.comma = t.Line
	}
	if strings.Contains(v, ".") && t.point == 0 {
		t.point = t.Line
	}
	switch {
	case commas == 0:
		return v, true
	case commas > 1 || strings.Contains(v, ".") || t.point > 0:
		t.Blame(name, "decimal commas and decimal points stand in one file", "use one of them")
		return "", false
	}
	return strings.Replace(v, ",", ".", 1), true
}

// thousands are numbers such as 1,003.00, 1.003,00 and 1,234,567.
var thousands = regexp.MustCompile(`^[+-]?\d{1,3}((,\d{3})+\.\d*|(,\d{3}){2,}|(\.\d{3})+,\d*)$`)

// joined is a number whose thousands stand apart by blanks, as one; anything
// else stays as it is.
func joined(v string) string {
	if !strings.ContainsAny(v, " \u00a0\u202f") {
		return v
	}
	groups := strings.FieldsFunc(v, func(r rune) bool { return r == ' ' || r == '\u00a0' || r == '\u202f' })
	last := len(groups) - 1
	whole, part := groups[last], ""
	if i := strings.IndexAny(whole, ".,"); i >= 0 {
		whole, part = whole[:i], whole[i+1:]
	}
	for i, g := range append(groups[:last:last], whole) {
		if i == 0 {
			g = strings.TrimLeft(g, "+-")
		}
		if strings.Trim(g, "0123456789") != "" || len(g) > 3 || len(g) < 1 || i > 0 && len(g) != 3 {
			return v
		}
	}
	if strings.Trim(part, "0123456789") != "" {
		return v
	}
	return strings.Join(groups, "")
}

// Length reads a length; read says how where no unit stands in the header.
func (t *Table) Length(name string, read func(string) (unit.Length, error)) (unit.Length, bool) {
	v, ok := t.Decimal(name)
	if !ok {
		return 0, false
	}
	if v == "" {
		t.Blame(name, "the value is missing", "write it, or take the line out")
		return 0, false
	}
	var l unit.Length
	var err error
	if one := t.unit[name]; one != 0 {
		l, err = Measure(v, one, "")
	} else {
		l, err = read(v)
	}
	switch feet := l.Feet(); {
	case err != nil:
		why, mend := WhyAndMend(err)
		t.Blame(name, why, mend)
	case feet > MostCoordFt || feet < -MostCoordFt:
		t.Blame(name, "it lies beyond 1e8 ft", "write coordinates near the building")
	default:
		t.marks = t.marks || strings.ContainsAny(v, "'\"/ ftinm\u2032\u2033")
		if t.unit[name] == 0 {
			t.see(name, v)
		}
		return l, true
	}
	return 0, false
}

// see keeps whether values of a column carry marks of feet and inches, and
// whether any is metric.
func (t *Table) see(name, v string) {
	switch {
	case strings.Contains(v, "m"):
		t.metric[name] = true
	case strings.ContainsAny(v, "'\"/\u2032\u2033") || strings.Contains(v, "ft") || strings.Contains(v, "in"):
		t.imperial[name] = true
	}
}

// Yes reads a yes or no; empty is no.
func (t *Table) Yes(name string) bool {
	switch strings.ToLower(t.Value(name)) {
	case "yes", "y", "true", "1", "wet":
		return true
	case "", "no", "n", "false", "0", "dry":
		return false
	}
	t.Blame(name, "yes or no was expected", "write yes or no")
	return false
}
