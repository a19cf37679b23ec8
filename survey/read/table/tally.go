package table

import (
	"fmt"
	"strings"

	"runnel/survey/problem"
)

// held is how many faults of one file, and how many notes, are kept one by
// one; the rest are counted, so that a file of rubbish does not fill memory.
const held = 1000

// Tally gathers the problems of one file.
type Tally struct {
	File          string // that the count of the rest names
	list          problem.List
	Faults, notes int
}

func (s *Tally) Add(p problem.Problem) {
	n := &s.Faults
	if p.Grade == problem.Note {
		n = &s.notes
	}
	if *n++; *n <= held {
		s.list.Add(p)
	}
}

// All gives what was gathered, and how much more there was.
func (s *Tally) All() problem.List {
	out := s.list
	if s.Faults > held {
		out.Add(problem.Problem{File: s.File,
			Why:  fmt.Sprintf("%d more faults of the same file are not listed", s.Faults-held),
			Mend: "mend the first ones and run again"})
	}
	if s.notes > held {
		out.Add(problem.Problem{File: s.File, Grade: problem.Note,
			Why: fmt.Sprintf("%d more notes are not listed", s.notes-held)})
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
