package bare

import (
	"fmt"
	"math"

	"runnel/survey/problem"
)

// finish ends a file of single places: what was not told is counted, and a
// file without any place is a fault.
func (s *slips) finish() *File {
	s.end()
	if len(s.out.Places) == 0 {
		s.fault(0, "it holds no coordinates",
			"compute the coordinates and export them as delimited text with a header")
	}
	s.out.repeated(s.file)
	return s.out
}

// lessen makes notes of the faults of single records where others were read.
func (f *File) lessen() {
	if len(f.Places)+f.Nameless == 0 {
		return
	}
	for i := range f.Problems {
		f.Problems[i].Grade = problem.Note
	}
}

// mostNamed is how many places are looked through for names said twice.
const mostNamed = 1_000_000

// repeated notes how many places bear a name that another one bore before.
func (f *File) repeated(name string) {
	if len(f.Places) > mostNamed {
		return
	}
	seen, again, first := make(map[string]bool, len(f.Places)), 0, Place{}
	for _, p := range f.Places {
		if seen[p.ID] && p.ID != "" {
			if again++; again == 1 {
				first = p
			}
		}
		seen[p.ID] = true
	}
	if again > 0 {
		f.Problems.Add(problem.Problem{File: name, Line: first.Line, Value: first.ID, Grade: problem.Note,
			Why:  fmt.Sprintf("%d places bear a name that stood before; this is the first", again),
			Mend: "check whether they were shot twice"})
	}
}

// alone notes the lowest and the highest place where it stands farther from
// the next one than all the others spread, of ten places or more (common
// practice, no source).
func (f *File) alone(name string) {
	if len(f.Places) < 10 {
		return
	}
	low, high := f.Places[:2:2], f.Places[:2:2] // the outermost two, the last one first
	if low[1].Z < low[0].Z {
		low = []Place{low[1], low[0]}
	}
	if high[1].Z > high[0].Z {
		high = []Place{high[1], high[0]}
	}
	for _, p := range f.Places[2:] {
		switch {
		case p.Z < low[0].Z:
			low = []Place{p, low[0]}
		case p.Z < low[1].Z:
			low = []Place{low[0], p}
		}
		switch {
		case p.Z > high[0].Z:
			high = []Place{p, high[0]}
		case p.Z > high[1].Z:
			high = []Place{high[0], p}
		}
	}
	note := func(p, next Place, spread float64, which string) {
		if gap := math.Abs(p.Z - next.Z); spread > 0 && gap > spread {
			f.Problems.Add(problem.Problem{File: name, Line: p.Line, Field: "z", Value: fmt.Sprintf("%.3f", p.Z),
				Grade: problem.Note, Mend: "check it for a slip of the pen or another datum",
				Why: fmt.Sprintf("it stands %.3f %s all others, which spread over %.3f", gap, which, spread)})
		}
	}
	note(low[0], low[1], high[0].Z-low[1].Z, "under")
	note(high[0], high[1], high[1].Z-low[0].Z, "over")
}
