package bare

import (
	"bytes"
	"fmt"
	"strings"

	"runnel/survey/problem"
)

// sdrFormat is the fixed-column collector file SDR33: after a record code of
// two digits and two letters, columns of 16 characters hold the point, north,
// east, elevation and description (the layout is from memory).
func sdrFormat() Format { return Format{Name: "SDR33", Is: isSDR, Read: readSDR} }

func isSDR(data []byte) bool {
	start := bytes.TrimLeft(data[:min(len(data), 100)], "\x02\r\n \ufeff")
	return len(start) > 10 && start[0] == '0' && start[1] == '0' && bytes.HasPrefix(start[4:], []byte("SDR"))
}

func readSDR(name string, data []byte) *File {
	f := &File{Format: "SDR33"}
	bad := &slips{file: name, out: f}
	polar := 0
	for line, text := range numbered(data) {
		text = strings.TrimRight(strings.TrimLeft(text, "\x02"), "\r\n")
		if len(text) < 4 || text[0] == 3 { // what follows the end mark is a checksum
			continue
		}
		switch text[:2] {
		case "00":
			f.Unit = sdrUnit(text)
		case "02":
			if p, ok := sdrPlace(text, line); ok {
				f.Problems.Add(problem.Problem{File: name, Line: line, Field: "station", Value: p.ID, Grade: problem.Note,
					Why:  fmt.Sprintf("a station at N %.3f, E %.3f, elevation %.3f, which is not taken for a shot", p.Y, p.X, p.Z),
					Mend: "nothing to do"})
			}
		case "08":
			if p, ok := sdrPlace(text, line); ok {
				f.Places = append(f.Places, p)
				continue
			}
			bad.refuse(line, "", strings.TrimSpace(text), "north, east or elevation is missing", "compute it, or leave the record out")
		case "09":
			polar++
		}
	}
	if polar > 0 {
		f.Refused += polar
		f.Problems.Add(problem.Problem{File: name, Grade: problem.Note,
			Why:  fmt.Sprintf("%d polar observations have no coordinates and are passed over", polar),
			Mend: "compute them in the collector and export coordinates"})
	}
	return bad.finish()
}

// sdrUnit reads the unit of the header's last word: its second digit is 1 for
// metres and 2 for feet.
func sdrUnit(text string) Unit {
	words := strings.Fields(text)
	last := words[len(words)-1]
	if len(last) != 6 || strings.Trim(last, "0123456789") != "" {
		return Unstated
	}
	switch last[1] {
	case '1':
		return Metres
	case '2':
		return Feet
	}
	return Unstated
}

// sdrPlace reads the point, north, east, elevation and description of a record.
func sdrPlace(text string, line int) (Place, bool) {
	column := func(i int) string {
		from := min(4+16*i, len(text))
		return strings.TrimSpace(text[from:min(from+16, len(text))])
	}
	p := Place{ID: strings.TrimLeft(column(0), "0"), Code: column(4), Line: line}
	for i, into := range []*float64{&p.Y, &p.X, &p.Z} {
		x, ok := decimal(column(1 + i))
		if !ok {
			return p, false
		}
		*into = x
	}
	return p, true
}
