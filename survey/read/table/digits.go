package table

import (
	"fmt"
	"strings"

	"runnel/survey/problem"
)

// digits looks at how the rod readings of a book in decimal feet are written.
// Where every reading has two decimals, 5.40 too, a single 5.4 stands out: it
// may be 5 ft 4 in, which is off by 0.8 in and too little for neighbours to tell.
type digits struct {
	two, zeros int // readings with two decimals; of them, those that end in 0
	odd        []oddReading
}

type oddReading struct {
	line              int
	shot, text        string
	wholeFt, inchesOf string
}

// mostOdd is how many readings with one decimal are kept; more are a habit.
const mostOdd = 20

// see takes the reading of one record.
func (d *digits) see(text, shot string, line int) {
	whole, decimals, _ := strings.Cut(text, ".")
	switch {
	case strings.Trim(whole+decimals, "0123456789") != "":
	case len(decimals) == 2:
		d.two++
		if decimals[1] == '0' {
			d.zeros++
		}
	case len(decimals) == 1 && len(d.odd) <= mostOdd:
		d.odd = append(d.odd, oddReading{line, strings.Clone(shot), strings.Clone(text), strings.Clone(whole), strings.Clone(decimals)})
	}
}

// tell notes the readings with one decimal in a book that writes two, at least
// twenty readings to each.
func (d *digits) tell(t *Table) {
	const toEach = 20
	if d.zeros == 0 || len(d.odd) > mostOdd || d.two < toEach*len(d.odd) {
		return
	}
	for _, o := range d.odd {
		t.out.Add(problem.Problem{File: t.file, Line: o.line, Field: "shot", Value: o.shot, Grade: problem.Note,
			Why: fmt.Sprintf("its reading %s has one decimal where the others of the book have two: it may be %s ft %s in",
				o.text, o.wholeFt, o.inchesOf),
			Mend: fmt.Sprintf("read it again; write %s0, or %s'-%s\"", o.text, o.wholeFt, o.inchesOf)})
	}
}
