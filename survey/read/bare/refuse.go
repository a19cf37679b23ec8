package bare

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"runnel/survey/problem"
)

// mostCoord is the greatest coordinate that a file may have, in its unit.
const mostCoord = 1e8

// decimal reads a plain decimal number that a coordinate may be.
func decimal(s string) (float64, bool) {
	if strings.Trim(s, "0123456789.+-eE") != "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil && math.Abs(x) <= mostCoord
}

// The lines of files that are known but hold no coordinates.
var (
	taggedLine    = regexp.MustCompile(`^(\{\d+ [^{}]*\}\s*){2,}$`)
	levelLine     = regexp.MustCompile(`^\S*[A-Za-z]\S*\s+\S*[A-Za-z]\S*\s+[\d.]+\s+-?[\d.]+$`)
	breakLine     = regexp.MustCompile(`^\w+(-\w+)+$`)
	collectorLine = regexp.MustCompile(`^(JB,NM|MO,AD|OC,OP|BK,OP|LS,HI|SS,OP|SP,PN|GPS,PN)`)
)

// refusedFormats are files that are known and cannot be used, each with what
// it is and what to do about it.
func refusedFormats() []Format {
	return append([]Format{
		{Name: "RW5 collector log", Is: mostLines(collectorLine, "--"), Read: readRW5},
		refused("tagged coordinates in braces", mostLines(taggedLine, ""),
			"a list of values with numeric tags in braces, which is not read", asDelimited),
		refused("levelling lines", mostLines(levelLine, ""),
			"levelling lines (from, to, length, rise): they hold differences of height and no places",
			"adjust them to elevations, then give each with its place as point,x,y,z"),
		refused("breaklines", mostLines(breakLine, ""),
			"breaklines as point numbers: they hold no coordinates", "give the list of points that they join"),
	}, foreignFormats()...)
}

// refused makes a format of which every file is refused.
func refused(format string, is func([]byte) bool, why, mend string) Format {
	return Format{Name: format, Is: is, Read: func(name string, data []byte) *File {
		f := refusal(name, why, mend)
		f.Format, f.Refused = format, countLines(data)
		return f
	}}
}

func countLines(data []byte) int {
	n := 0
	for _, l := range numbered(data) {
		if strings.TrimSpace(l) != "" {
			n++
		}
	}
	return n
}

// mostLines says whether nearly all of the first lines match, those that begin
// with a comment mark left out.
func mostLines(line *regexp.Regexp, comment string) func([]byte) bool {
	return func(data []byte) bool {
		lines, match := 0, 0
		for _, l := range linesOf(data[:min(len(data), looked)], 50) {
			if comment != "" && strings.HasPrefix(l, comment) {
				continue
			}
			lines++
			if line.MatchString(l) {
				match++
			}
		}
		return match > 0 && 10*match >= 9*lines
	}
}

// readRW5 reads the stored points (SP) of a collector log; side shots are
// polar and refused.
func readRW5(name string, data []byte) *File {
	f := &File{Format: "RW5 collector log"}
	bad := &slips{file: name, out: f}
	polar := 0
	for line, text := range numbered(data) {
		text = strings.TrimSpace(text)
		switch {
		case strings.HasPrefix(text, "SS,"), strings.HasPrefix(text, "TR,"):
			polar++
		case strings.HasPrefix(text, "SP,"):
			p, ok := rw5Place(text, line)
			if !ok {
				bad.refuse(line, "", text, "north, east or elevation is missing", "write it, or leave the record out")
				continue
			}
			f.Places = append(f.Places, p)
		}
	}
	bad.end()
	f.Refused += polar
	grade := problem.Note
	if len(f.Places) == 0 {
		grade = problem.Fault
	}
	if polar > 0 || grade == problem.Fault {
		f.Problems.Add(problem.Problem{File: name, Grade: grade,
			Why:  fmt.Sprintf("%d side shots are polar only (angles and distances): their coordinates must be computed first", polar),
			Mend: "compute them in the collector and export coordinates as point,n,e,z,code"})
	}
	return f
}

// rw5Place reads a record such as SP,PN12,N 5000.00,E 2000.00,EL 100.00,--RF.
func rw5Place(text string, line int) (Place, bool) {
	p, have := Place{Line: line}, 0
	for _, v := range strings.Split(text, ",")[1:] {
		var into *float64
		number := ""
		switch {
		case strings.HasPrefix(v, "PN"):
			p.ID = v[2:]
		case strings.HasPrefix(v, "--"):
			p.Code = v[2:]
		case strings.HasPrefix(v, "EL"):
			into, number = &p.Z, v[2:]
		case strings.HasPrefix(v, "N"):
			into, number = &p.Y, v[1:]
		case strings.HasPrefix(v, "E"):
			into, number = &p.X, v[1:]
		}
		if into == nil {
			continue
		}
		x, ok := decimal(strings.TrimSpace(number))
		if !ok {
			return p, false
		}
		*into = x
		have++
	}
	return p, have == 3
}
