package read

import (
	"fmt"
	"math"
	"strconv"

	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// The limits of a job; what goes beyond is a problem.
const (
	mostVertices = 100_000
	mostAreaSqft = 1e6
	mostAreas    = 1000
	mostItems    = 2000 // outlets, curbs, doors or seen ponds, each
)

// refuse passes on why a measure could not be read, and how to mend it.
func (v item) refuse(err error) {
	why, mend := table.WhyAndMend(err)
	v.fault(why, mend)
}

// length reads a length; bare is the unit of a plain number, 0 where plain
// numbers are refused. Absent gives false without a fault.
func (v item) length(bare unit.Length) (unit.Length, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	if _, plain := table.Number(t); plain && bare == 0 {
		v.fault("the number has no unit",
			fmt.Sprintf("write %s ft, %s in, %s m or %s mm, whichever it is", t, t, t, t))
		return 0, false
	}
	l, err := unit.ParseLength(t, bare)
	if err != nil {
		v.refuse(err)
		return 0, false
	}
	return l, v.near(l)
}

// near refuses what is farther than any coordinate may be.
func (v item) near(l unit.Length) bool {
	if math.Abs(l.Feet()) <= table.MostCoordFt {
		return true
	}
	v.fault("it lies beyond 1e8 ft", "write coordinates near the building, "+
		"such as feet from one of its corners")
	return false
}

// positive reads a length that must be more than 0, or with orZero not less.
func (v item) positive(bare unit.Length, orZero bool) (unit.Length, bool) {
	l, ok := v.length(bare)
	if !ok {
		return 0, false
	}
	if l < 0 || l == 0 && !orZero {
		why := "must be more than 0"
		if orZero {
			why = "cannot be less than 0"
		}
		v.fault(why, "write a length such as 4 in or 100 mm")
		return 0, false
	}
	return l, true
}

// slope reads a fall over a run.
func (v item) slope() (unit.Slope, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	s, err := unit.ParseSlope(t)
	if err != nil {
		v.refuse(err)
		return 0, false
	}
	if s <= 0 {
		v.fault("a slope must be more than 0", "write a slope such as "+v.r.say("1/4 in/ft", "1:40"))
		return 0, false
	}
	return s, true
}

// say is the one of two ways to write a measure that the job's people use.
func (r *jobReader) say(us, metric string) string {
	if r.units == unit.Metric {
		return metric
	}
	return us
}

// whole reads a whole number within bounds.
func (v item) whole(least, most int) (int, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(t)
	if err != nil || n < least || n > most {
		v.fault(fmt.Sprintf("a whole number from %d to %d was expected", least, most),
			fmt.Sprintf("write a number from %d to %d", least, most))
		return 0, false
	}
	return n, true
}

// degrees reads an angle; a plain number is in degrees.
func (v item) degrees() (float64, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	deg, err := unit.ParseDegrees(t)
	if err != nil {
		v.refuse(err)
	}
	return deg, err == nil
}

// yes reads true or false; absent gives false.
func (v item) yes() bool {
	w := v.word("true", "false", "yes", "no")
	return w == "true" || w == "yes"
}

// area reads a plan area such as 4 sq ft or 0.4 m2.
func (v item) area() (unit.Area, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	a, err := unit.ParseArea(t, 0)
	if err == nil && a.SquareFeet() > mostAreaSqft {
		err = unit.Refusal{Why: "an area over 1e6 sq ft is no roof", Mend: "write a smaller one"}
	}
	if err != nil {
		v.refuse(err)
	}
	return a, err == nil
}

// coord reads one plan coordinate in feet.
func (v item) coord() (float64, bool) {
	l, ok := v.length(v.r.plan)
	return l.Feet(), ok
}

// pair reads two coordinates.
func (v item) pair() (geom.Pt, bool) {
	if v.absent {
		return geom.Pt{}, false
	}
	if v.n.Kind != seqKind || len(v.n.Content) != 2 {
		v.fault("a pair was expected", "write two numbers in brackets, such as [30, 42]")
		return geom.Pt{}, false
	}
	l := v.list()
	x, okX := l[0].coord()
	y, okY := l[1].coord()
	return geom.Pt{X: x, Y: y}, okX && okY
}

// polyline reads a line of two places or more, no two of them in a row at one
// place.
func (v item) polyline() ([]geom.Pt, bool) {
	l := v.list()
	if l == nil && (v.absent || v.n.Kind != seqKind) {
		return nil, false
	}
	if len(l) < 2 || len(l) > mostVertices {
		v.fault(fmt.Sprintf("a line takes from 2 to %d places, and here is %s", mostVertices, problem.Count(len(l), "place", "places")),
			"write its places: [[x, y], [x, y]]")
		return nil, false
	}
	line, sound := make([]geom.Pt, 0, len(l)), true
	for i, c := range l {
		p, ok := c.pair()
		if ok && sound && i > 0 && p.Dist(line[i-1]) < nearFt {
			c.fault(fmt.Sprintf("place %d of the line stands where the one before it stands", i), "take one of them out")
			ok = false
		}
		line, sound = append(line, p), sound && ok
	}
	return line, sound
}

// ring reads a closed line of three places or more; the first one said again
// at the end is left out with a note, since it makes no edge.
func (v item) ring() (geom.Ring, bool) {
	l := v.list()
	if l == nil && (v.absent || v.n.Kind != seqKind) {
		return nil, false
	}
	if len(l) > mostVertices {
		v.fault(fmt.Sprintf("%d vertices are more than the %d that a line may have", len(l), mostVertices),
			"draw it with fewer vertices")
		return nil, false
	}
	ring, sound := make(geom.Ring, 0, len(l)), true
	for _, c := range l {
		p, ok := c.pair()
		ring, sound = append(ring, p), sound && ok
	}
	if n := len(ring); sound && n > 3 && ring[0] == ring[n-1] {
		l[n-1].note("the first vertex is said again at the end and was left out",
			"take it out: the line closes by itself")
		ring = ring[:n-1]
	}
	if len(ring) < 3 {
		v.fault("a closed line needs three vertices at least", "write all its corners")
		return nil, false
	}
	return ring, sound
}
