package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"runnel/survey/problem"
)

// held is how many faults of one file, and how many notes, are kept one by
// one; the rest are counted, so that a file of rubbish does not fill memory.
const held = 1000

// alike is how many problems of the same words are told line by line; of
// further ones the lines are listed.
const alike = 5

// Tally gathers the problems of one file.
type Tally struct {
	File   string // that the count of the rest names
	Faults int
	list   problem.List
	kept   [2]int                    // in list, by grade
	more   [2]int                    // that no word is said of
	same   map[problem.Problem]*rows // by what they say of a line and its value
}

// rows are the lines of which one thing is said.
type rows struct {
	n     int
	at    int      // in Tally.list, of the first after those alike; -1: not kept
	first []string // lines after those alike
}

// Add takes one problem. Of many that say the same of line after line the first
// are kept, and one that lists the other lines.
func (s *Tally) Add(p problem.Problem) {
	if p.Grade == problem.Fault {
		s.Faults++
	}
	if p.Line == 0 {
		s.keep(p)
		return
	}
	what := p
	what.Line, what.Value = 0, ""
	r := s.same[what]
	if r == nil && len(s.same) < held {
		if s.same == nil {
			s.same = map[problem.Problem]*rows{}
		}
		r = &rows{}
		s.same[what] = r
	}
	if r == nil {
		s.keep(p)
		return
	}
	if r.n++; r.n == alike+1 {
		r.at = s.keep(p)
	} else if r.n <= alike {
		s.keep(p)
		return
	}
	if len(r.first) < 12 {
		r.first = append(r.first, strconv.Itoa(p.Line))
	}
}

// keep puts a problem on the list, while there is room, and gives its number.
func (s *Tally) keep(p problem.Problem) int {
	if s.kept[p.Grade] == held {
		s.more[p.Grade]++
		return -1
	}
	s.kept[p.Grade]++
	s.list.Add(p)
	return len(s.list) - 1
}

// All gives what was gathered, and how much more there was.
func (s *Tally) All() problem.List {
	out := slices.Clone(s.list)
	for _, r := range s.same {
		n := r.n - alike
		if n < 2 || r.at < 0 {
			continue
		}
		words := strings.Join(r.first, ", ")
		if n > len(r.first) {
			words += fmt.Sprintf(" and %d more", n-len(r.first))
		}
		out[r.at].Why += fmt.Sprintf(" (so on %d lines: %s)", n, words)
	}
	if n := s.more[problem.Fault]; n > 0 {
		out.Add(problem.Problem{File: s.File,
			Why:  fmt.Sprintf("%d more faults of the same file are not listed", n),
			Mend: "mend the first ones and run again"})
	}
	if n := s.more[problem.Note]; n > 0 {
		out.Add(problem.Problem{File: s.File, Grade: problem.Note,
			Why: fmt.Sprintf("%d more notes are not listed", n)})
	}
	return out
}

// Nearest gives the word that a misspelt one most likely means: the fewest
// letters put in, taken out, changed or swapped, at most a third of the word
// (and always one). Of equals the first counts. Empty: none is near.
//
// Source: optimal string alignment after F. J. Damerau 1964, A technique for
// computer detection and correction of spelling errors, Communications of the
// ACM 7(3), 171-176.
func Nearest(word string, words []string) string {
	word = strings.ToLower(word)
	if len(word) > 40 {
		return ""
	}
	best, name := max(1, len(word)/3)+1, ""
	for _, w := range words {
		if d := edits(word, w); d < best {
			best, name = d, w
		}
	}
	return name
}

func edits(a, b string) int {
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}

// Listed writes "a, b or c".
func Listed(words []string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
}
