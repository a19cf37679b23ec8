package bare

import (
	"bytes"
	"fmt"
	"strings"

	"runnel/survey/problem"
)

// sdrFormat is the fixed-column collector file SDR33, or the older SDR2x: after
// a record code of two digits and two letters, columns hold the point, north,
// east, elevation and description.
//
// The layout is that printed by makers of total stations who write it: record
// formats "SDR 2x/33" with a header record "00NM ver 0000 datetime ang dist
// press temp coor 1", columns 5-20, 21-36, 37-52, 53-68 of SDR33 and 5-8, 9-18,
// 19-28, 29-38 of SDR2x.
func sdrFormat() Format { return Format{Name: "SDR33", Is: isSDR, Read: readSDR} }

func isSDR(data []byte) bool {
	start := bytes.TrimLeft(data[:min(len(data), 100)], "\x02\r\n \ufeff")
	return len(start) > 10 && start[0] == '0' && start[1] == '0' && bytes.HasPrefix(start[4:], []byte("SDR"))
}

// sdrLayout is where the columns of a record stand and what they measure.
type sdrLayout struct {
	id, wide  int // characters of the point and of each coordinate
	unit      Unit
	eastFirst bool
}

// sdrLayoutOf reads a header: of its last six digits the second says the unit,
// 1 for metres and 2 for feet, and the fifth the order, 2 for east first.
func sdrLayoutOf(text string) sdrLayout {
	l := sdrLayout{id: 16, wide: 16}
	if strings.HasPrefix(text[4:], "SDR2") {
		l.id, l.wide = 4, 10
	}
	words := strings.Fields(text)
	flags := words[len(words)-1]
	if len(flags) != 6 || strings.Trim(flags, "0123456789") != "" {
		return l
	}
	switch flags[1] {
	case '1':
		l.unit = Metres
	case '2':
		l.unit = Feet
	}
	l.eastFirst = flags[4] == '2'
	return l
}

// place reads the point, its coordinates and its description from a record;
// behind is how many columns stand between the elevation and the description.
func (l sdrLayout) place(text string, line, behind int) (Place, bool) {
	column := func(i, wide int) string {
		from := 4 + l.id + l.wide*(i-1)
		if i == 0 {
			from = 4
		}
		from = min(from, len(text))
		return strings.TrimSpace(text[from:min(from+wide, len(text))])
	}
	p := Place{ID: withoutZeros(column(0, l.id)), Code: column(4+behind, 16), Line: line}
	into := []*float64{&p.Y, &p.X, &p.Z}
	if l.eastFirst {
		into[0], into[1] = into[1], into[0]
	}
	for i := range into {
		x, ok := decimal(column(1+i, l.wide))
		if !ok {
			return p, false
		}
		*into[i] = x
	}
	return p, true
}

// withoutZeros is a name less the zeros that fill its column.
func withoutZeros(s string) string {
	if short := strings.TrimLeft(s, "0"); short != "" || s == "" {
		return short
	}
	return "0"
}

func readSDR(name string, data []byte) *File {
	f := &File{Format: "SDR33"}
	bad := &slips{file: name, out: f}
	polar := 0
	layout := sdrLayout{id: 16, wide: 16}
	for line, text := range numbered(data) {
		text = strings.TrimRight(strings.TrimLeft(text, "\x02\ufeff"), "\r\n")
		if len(text) < 4 || text[0] == 3 { // what follows the end mark is a checksum
			continue
		}
		switch text[:2] {
		case "00":
			layout = sdrLayoutOf(text)
			if layout.id == 4 {
				f.Format = "SDR2x"
			}
			if len(f.Places) > 0 && layout.unit != f.Unit {
				bad.fault(line, "a second header states another unit", "part the file where its headers stand")
				return bad.finish()
			}
			f.Unit = layout.unit
		case "02":
			if p, ok := layout.place(text, line, 1); ok {
				f.Problems.Add(problem.Problem{File: name, Line: line, Field: "station", Value: p.ID, Grade: problem.Note,
					Why:  fmt.Sprintf("a station at N %.3f, E %.3f, elevation %.3f, which is not taken for a shot", p.Y, p.X, p.Z),
					Mend: "nothing to do"})
			}
		case "08":
			if p, ok := layout.place(text, line, 0); ok {
				f.Places = append(f.Places, p)
				continue
			}
			bad.refuse(line, "", strings.TrimSpace(text), "north, east or elevation is missing", "compute it, or leave the record out")
		case "09":
			polar++
		}
	}
	bad.finish()
	if polar > 0 {
		f.Refused += polar
		f.Problems.Add(problem.Problem{File: name, Grade: problem.Note,
			Why:  fmt.Sprintf("%d polar observations have no coordinates and are passed over", polar),
			Mend: "compute them in the collector and export coordinates"})
	}
	return f
}
