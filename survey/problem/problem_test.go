package problem

import (
	"fmt"
	"strings"
	"testing"
)

func TestProblem_OnOneLine(t *testing.T) {
	cases := []struct {
		story string
		p     Problem
		want  string
	}{
		{"everything told", Problem{File: "shots.csv", Line: 17, Field: "elevation", Value: "4.5 ft 3",
			Why: "two units in one value", Mend: "write 4.75 ft or 57 in"},
			`shots.csv:17: elevation "4.5 ft 3": two units in one value; write 4.75 ft or 57 in`},
		{"no line to blame", Problem{File: "job.yaml", Field: "areas", Why: "missing", Mend: "add one"},
			"job.yaml: areas: missing; add one"},
		{"nothing but a reason", Problem{Why: "all shots lie in a line"}, "all shots lie in a line"},
		{"a hostile value is cut short", Problem{Field: "name", Value: strings.Repeat("x", 500), Why: "too long"},
			`name "` + strings.Repeat("x", 60) + `...": too long`},
	}
	for _, c := range cases {
		t.Run(c.story, func(t *testing.T) {
			if got := c.p.Error(); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// Notes alone are no error; faults come sorted by place, the first 20 shown
// and the rest counted.
func TestList_Err(t *testing.T) {
	var l List
	l.Add(Problem{File: "b.csv", Line: 3, Why: "noted", Grade: Note})
	if err := l.Err(); err != nil {
		t.Fatalf("a note is an error: %v", err)
	}
	for line := 30; line > 0; line-- {
		l.Add(Problem{File: "a.csv", Line: line, Why: fmt.Sprintf("fault %d", line)})
	}
	lines := strings.Split(l.Err().Error(), "\n")
	if len(lines) != 21 || lines[0] != "a.csv:1: fault 1" || lines[20] != "... and 10 more" {
		t.Errorf("%d lines: %q ... %q", len(lines), lines[0], lines[len(lines)-1])
	}
	if len(l.Notes()) != 1 || len(l.Faults()) != 30 {
		t.Errorf("%d notes, %d faults", len(l.Notes()), len(l.Faults()))
	}
}
