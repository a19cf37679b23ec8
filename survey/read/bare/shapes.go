package bare

import (
	"fmt"
	"math"

	"runnel/survey/geom"
	"runnel/survey/problem"
)

// Limits of files of outlines: larger ones are refused.
const (
	mostShapeBytes = 16 << 20
	mostVertices   = 100_000 // of one outline
)

// shapes gathers what a file of outlines and points holds.
type shapes struct {
	name string
	file *File
	bad  int    // faults so far
	crs  string // the coordinate system named last

	lines, flat, open, twice, heights int // each said once, in a note
}

// tooLarge refuses a file of outlines by its size.
func (s *shapes) tooLarge(data []byte) bool {
	if len(data) > mostShapeBytes {
		s.fault(0, "", "larger than 16 MB", "cut it to the roofs")
		return true
	}
	return false
}

// fault adds a fault; what it is about stands in where.
func (s *shapes) fault(line int, where, why, mend string) {
	s.bad++
	if s.bad <= mostSlips {
		s.file.Problems.Add(problem.Problem{File: s.name, Line: line, Field: where, Why: why, Mend: mend})
	}
}

// usable says whether c holds finite plan coordinates within reach.
func usable(c []float64) bool {
	if len(c) < 2 {
		return false
	}
	for _, v := range c {
		if !(math.Abs(v) <= mostCoord) {
			return false
		}
	}
	return true
}

// point takes one place; one without an elevation is refused.
func (s *shapes) point(label string, line int, c []float64) {
	switch {
	case !usable(c):
		s.file.Refused++
		s.fault(line, label, "a point without usable coordinates", "write x, y and z")
	case len(c) < 3:
		s.file.Refused++
		s.flat++
	default:
		s.file.Places = append(s.file.Places, Place{ID: label, X: c[0], Y: c[1], Z: c[2], Line: line})
	}
}

// polygon takes one outline: its outer ring, then its holes.
func (s *shapes) polygon(label string, line int, rings [][][]float64) {
	if len(rings) == 0 {
		return // an empty geometry
	}
	o := Outline{Name: label}
	n := 0
	for _, r := range rings {
		n += len(r)
	}
	if n > mostVertices {
		s.file.Refused++
		s.fault(line, label, fmt.Sprintf("an outline of %d vertices; %d are read at most", n, mostVertices), "simplify it")
		return
	}
	for i, r := range rings {
		ring, ok := s.ring(label, line, r)
		switch {
		case !ok:
			s.file.Refused++
			return
		case i == 0:
			o.Outer = ring
		default:
			o.Holes = append(o.Holes, ring)
		}
	}
	for _, h := range o.Holes {
		if h.Area() >= o.Outer.Area() {
			s.fault(line, label, "a hole is larger than the outline", "write the outer ring first, then its holes")
			break
		}
	}
	s.file.Outlines = append(s.file.Outlines, o)
}

// ring takes one ring, closed or not.
func (s *shapes) ring(label string, line int, r [][]float64) (geom.Ring, bool) {
	var out geom.Ring
	for _, c := range r {
		if !usable(c) {
			s.fault(line, label, "an outline with unusable coordinates", "write x and y of each vertex")
			return nil, false
		}
		if len(c) > 2 {
			s.heights++
		}
		p := geom.Pt{X: c[0], Y: c[1]}
		if len(out) > 0 && p == out[len(out)-1] {
			s.twice++
			continue
		}
		out = append(out, p)
	}
	if n := len(out); n > 1 && out[0] == out[n-1] {
		out = out[:n-1]
	} else {
		s.open++
	}
	if len(out) < 3 {
		s.fault(line, label, fmt.Sprintf("a ring of %d vertices", len(out)), "give each ring three vertices or more")
		return nil, false
	}
	if i, j, crosses := out.SelfCrossing(); crosses {
		s.fault(line, label, fmt.Sprintf("an outline that crosses or touches itself: its edge from (%.10g, %.10g) and that from (%.10g, %.10g)",
			out[i].X, out[i].Y, out[j].X, out[j].Y), "mend it there")
	}
	return out, true
}

// done says once what happened often.
func (s *shapes) done() *File {
	note := func(n int, why, mend string) {
		if n > 0 {
			s.file.Problems.Add(problem.Problem{File: s.name, Why: fmt.Sprintf(why, n), Mend: mend, Grade: problem.Note})
		}
	}
	if s.bad > mostSlips {
		s.file.Problems.Add(problem.Problem{File: s.name, Why: fmt.Sprintf("%d more faults", s.bad-mostSlips), Mend: "mend those above first"})
	}
	note(s.flat, "%d points without an elevation are refused", "export them with z")
	note(s.lines, "%d lines are passed over: only closed outlines and points are read", "")
	note(s.open, "%d rings are not closed; the last vertex is joined to the first", "")
	note(s.twice, "%d vertices stand twice in a row and are taken once", "")
	s.degrees()
	note(s.heights, "the heights of %d outline vertices are not used", "give elevations as points")
	if len(s.file.Outlines)+len(s.file.Places) > 0 {
		s.file.Problems.Add(problem.Problem{File: s.name, Field: UnitField, Why: "the file states no length unit", Mend: "state it", Grade: problem.Note})
	} else if s.bad == 0 {
		s.file.Problems.Add(problem.Problem{File: s.name, Why: "no closed outline and no point with an elevation",
			Mend: "export the roof as a closed polygon"})
	}
	return s.file
}
