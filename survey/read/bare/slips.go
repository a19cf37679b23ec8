package bare

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"runnel/survey/problem"
)

// mostShots is the count of places, or of their faces, from which a drawing is
// refused.
const mostShots = 10_000_000

// slips are the records of a file that cannot be used: every one is counted,
// the first are told by line.
type slips struct {
	file string
	out  *File
	told int
}

// refuse counts one record and tells it, while there is room.
func (s *slips) refuse(line int, field, value, why, mend string) {
	const most = 50
	s.out.Refused++
	if s.told++; s.told <= most {
		s.out.Problems.Add(problem.Problem{File: s.file, Line: line, Field: field, Value: value,
			Why: why, Mend: mend, Grade: problem.Note})
	}
}

// note adds what is no fault of one record.
func (s *slips) note(line int, why, mend string) {
	s.out.Problems.Add(problem.Problem{File: s.file, Line: line, Why: why, Mend: mend,
		Grade: problem.Note})
}

// unitNote says what the file does not state of its unit; see UnitField.
func (s *slips) unitNote(why, mend string) {
	s.out.Problems.Add(problem.Problem{File: s.file, Field: UnitField, Why: why, Mend: mend, Grade: problem.Note})
}

// fault says why the file cannot be used, or not beyond this line.
func (s *slips) fault(line int, why, mend string) {
	s.out.Problems.Add(problem.Problem{File: s.file, Line: line, Why: why, Mend: mend})
}

// end counts those that were not told.
func (s *slips) end() {
	if more := s.out.Refused - min(s.told, 50); more > 0 {
		s.note(0, fmt.Sprintf("%d more records hold nothing that can be used", more),
			"mend those told above first")
	}
}

// mostNumber is the greatest number that is read, either side of 0.
const mostNumber = 1e12

// plainNumber reads a number with a decimal point, as drawings and data
// exchange files write it: no words, no hexadecimal, nothing beyond mostNumber.
func plainNumber(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "" || strings.Trim(s, "0123456789+-.eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && math.Abs(v) <= mostNumber
}

// PlanArea is the area of the faces of s seen from above, in the file's unit
// squared; those that the file marks as invisible are none of it. A raster has
// none.
func (s Surface) PlanArea() float64 {
	var twice float64
	for _, f := range s.Faces {
		a, b, c := s.Places[f[0]], s.Places[f[1]], s.Places[f[2]]
		twice += math.Abs(float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X)))
	}
	return twice / 2
}

// FaceCount counts the faces as the file does: one with four corners is one,
// and those marked as invisible count.
func (s Surface) FaceCount() int { return len(s.Faces) - s.Halves + s.Invisible }
