// Package problem holds what is wrong in the input, in words that say where it
// stands, why it is wrong and how to mend it.
package problem

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Grade says what a problem does to the run.
type Grade int

// The grades. A zero Grade is a Fault: nothing unknown passes.
const (
	Fault Grade = iota // stops the run
	Note               // goes into the report
)

// String names g.
func (g Grade) String() string {
	switch g {
	case Fault:
		return "fault"
	case Note:
		return "note"
	}
	panic("problem: unknown Grade")
}

// Problem is one thing wrong in the input.
type Problem struct {
	File  string // as the user named it
	Line  int    // from 1; 0 when no single line is to blame
	Field string // column or key, as written
	Value string // what stood there, as written
	Why   string // lower case, no full stop
	Mend  string // an order: "write 4.75 ft or 57 in"
	Grade Grade
}

// Error is the problem on one line: file:line: field "value": why; mend.
func (p Problem) Error() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File)
		if p.Line > 0 {
			fmt.Fprintf(&b, ":%d", p.Line)
		}
		b.WriteString(": ")
	}
	b.WriteString(p.Field)
	if p.Value != "" {
		if p.Field != "" {
			b.WriteString(" ")
		}
		fmt.Fprintf(&b, "%q", Clip(p.Value))
	}
	if p.Field != "" || p.Value != "" {
		b.WriteString(": ")
	}
	b.WriteString(p.Why)
	if p.Mend != "" {
		b.WriteString("; " + p.Mend)
	}
	return strings.Map(onOneLine, b.String())
}

// onOneLine makes a blank of what would break a line: words of a hostile file
// may hold line ends.
func onOneLine(r rune) rune {
	if unicode.IsControl(r) {
		return ' '
	}
	return r
}

// Clip is s, or its first 60 letters and dots: it keeps a hostile value from
// filling the screen.
func Clip(s string) string {
	const most = 60
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most]) + "..."
}

// Firsts lists words, the first twelve of many.
func Firsts(words []string) string {
	const most = 12
	if len(words) > most {
		return strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", len(words)-most)
	}
	return strings.Join(words, ", ")
}

// List is what one run found wrong. The zero value is an empty list.
type List []Problem

// Count is a number and what is counted, as people say it: 1 shot, 3 shots.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Add appends one problem.
func (l *List) Add(p Problem) { *l = append(*l, p) }

// Faults gives the problems that stop the run, in the order of l.
func (l List) Faults() List { return l.of(Fault) }

// Notes gives the problems that only go into the report, in the order of l.
func (l List) Notes() List { return l.of(Note) }

func (l List) of(g Grade) List {
	var out List
	for _, p := range l {
		if p.Grade == g {
			out = append(out, p)
		}
	}
	return out
}

// Sorted gives the problems by file and line; those of one line keep their
// order.
func (l List) Sorted() List {
	out := slices.Clone(l)
	slices.SortStableFunc(out, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line))
	})
	return out
}

// Err is nil when l holds no fault, else all faults as one error.
func (l List) Err() error {
	f := l.Faults()
	if len(f) == 0 {
		return nil
	}
	return FaultsError{Faults: f.Sorted()}
}

// FaultsError is a list of faults as an error; its text shows the first 20 and
// counts the rest.
type FaultsError struct{ Faults List }

// Error lists the faults, a line each.
func (e FaultsError) Error() string {
	const most = 20
	var b strings.Builder
	for i, p := range e.Faults {
		if i == most {
			fmt.Fprintf(&b, "... and %d more\n", len(e.Faults)-most)
			break
		}
		b.WriteString(p.Error() + "\n")
	}
	return strings.TrimSuffix(b.String(), "\n")
}
