package bare

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

func wktFormat() Format { return Format{Name: "WKT", Is: isWKT, Read: readWKT} }

// wktStart is the begin of a geometry as well-known text, with or without the
// number of a coordinate system.
var wktStart = regexp.MustCompile(`(?i)^\s*(SRID\s*=\s*\d+\s*;\s*)?` +
	`((MULTI)?(POINT|LINESTRING|POLYGON)\s*(Z|M|ZM)?\s*(EMPTY\b|\(\s*([-+.\d(]|EMPTY\b))` +
	`|GEOMETRYCOLLECTION\s*(Z|M|ZM)?\s*(EMPTY\b|\(\s*[A-Z]))`)

func isWKT(data []byte) bool {
	data = withoutMark(data)
	return wktStart.Match(data[:min(len(data), 1024)])
}

// wktReader reads geometries one after another.
type wktReader struct {
	shapes
	text string
	at   int
	line int
	word string // the word, number or sign under way; empty at the end
	dim  string // Z, M, ZM or empty
}

// readWKT reads the geometries of a file, one after another: J. R. Herring
// (editor) 2011, Simple feature access - Part 1: Common architecture, Open
// Geospatial Consortium 06-103r4, section 7 (from memory). Outlines have no
// names in such a file.
func readWKT(name string, data []byte) *File {
	r := &wktReader{shapes: shapes{name: name, file: &File{Format: "WKT"}}, text: string(withoutMark(data)), line: 1}
	if r.tooLarge(data) {
		return r.file
	}
	r.next()
	for r.word != "" {
		if r.word == ";" {
			r.next()
			continue
		}
		if !r.geometry(0) {
			break
		}
	}
	return r.done()
}

// next goes on to the next word, number or sign.
func (r *wktReader) next() {
	for r.at < len(r.text) && isBlank(r.text[r.at]) {
		if r.text[r.at] == '\n' {
			r.line++
		}
		r.at++
	}
	from := r.at
	for r.at < len(r.text) && !isBlank(r.text[r.at]) {
		if strings.IndexByte("(),;=", r.text[r.at]) >= 0 {
			if r.at == from {
				r.at++
			}
			break
		}
		r.at++
	}
	r.word = r.text[from:r.at]
}

// want goes past one sign.
func (r *wktReader) want(sign string) bool {
	if r.word == sign {
		r.next()
		return true
	}
	r.wrong(fmt.Sprintf("%q where %q should stand", clip(r.word), sign))
	return false
}

func (r *wktReader) wrong(why string) {
	if r.word == "" {
		why = "the text ends within a geometry"
	}
	r.fault(r.line, "", why, "export it anew")
}

// geometry reads one geometry; false ends the reading.
func (r *wktReader) geometry(depth int) bool {
	const deepest = 50
	if depth > deepest {
		r.wrong("collections within collections, 50 deep")
		return false
	}
	if strings.EqualFold(r.word, "SRID") {
		r.next()
		if !r.want("=") {
			return false
		}
		r.next() // the number
		if !r.want(";") {
			return false
		}
	}
	kind, line := strings.ToUpper(r.word), r.line
	r.next()
	kind, r.dim = kindOf(kind)
	switch d := strings.ToUpper(r.word); d {
	case "Z", "M", "ZM":
		r.dim = d
		r.next()
	}
	if strings.EqualFold(r.word, "EMPTY") {
		r.next()
		return true
	}
	return r.body(kind, line, depth)
}

// kindOf parts a kind such as POLYGONZ from what it says of its coordinates.
func kindOf(word string) (kind, dim string) {
	for _, dim := range []string{"ZM", "Z", "M"} {
		if kind, has := strings.CutSuffix(word, dim); has {
			return kind, dim
		}
	}
	return word, ""
}

// body reads what stands within the brackets of a geometry.
func (r *wktReader) body(kind string, line, depth int) bool {
	switch kind {
	case "POINT":
		c, ok := r.bracketed()
		if ok {
			r.point("", line, r.withZ(c))
		}
		return ok
	case "MULTIPOINT":
		return r.list(func() bool {
			c, ok := []float64(nil), false
			if r.word == "(" {
				c, ok = r.bracketed()
			} else {
				c, ok = r.vertex()
			}
			if ok {
				r.point("", line, r.withZ(c))
			}
			return ok
		})
	case "LINESTRING":
		r.lines++
		_, ok := r.ringOf()
		return ok
	case "MULTILINESTRING":
		r.lines++
		_, ok := r.ringsOf()
		return ok
	case "POLYGON":
		rings, ok := r.ringsOf()
		if ok {
			r.polygon("", line, rings)
		}
		return ok
	case "MULTIPOLYGON":
		return r.list(func() bool {
			if strings.EqualFold(r.word, "EMPTY") {
				r.next()
				return true
			}
			at := r.line
			rings, ok := r.ringsOf()
			if ok {
				r.polygon("", at, rings)
			}
			return ok
		})
	case "GEOMETRYCOLLECTION":
		return r.list(func() bool { return r.geometry(depth + 1) })
	}
	r.wrong(fmt.Sprintf("%q is no geometry that is read", clip(kind)))
	return false
}

// withZ leaves only x, y and, where there is one, z.
func (r *wktReader) withZ(c []float64) []float64 {
	if r.dim == "M" && len(c) > 2 {
		return c[:2]
	}
	return c[:min(len(c), 3)]
}

// list reads items between brackets, parted by commas.
func (r *wktReader) list(item func() bool) bool {
	if !r.want("(") {
		return false
	}
	for {
		if !item() {
			return false
		}
		if r.word != "," {
			return r.want(")")
		}
		r.next()
	}
}

func (r *wktReader) ringsOf() (rings [][][]float64, ok bool) {
	ok = r.list(func() bool {
		ring, ok := r.ringOf()
		rings = append(rings, ring)
		return ok
	})
	return rings, ok
}

func (r *wktReader) ringOf() (ring [][]float64, ok bool) {
	ok = r.list(func() bool {
		c, ok := r.vertex()
		ring = append(ring, r.withZ(c))
		return ok
	})
	return ring, ok
}

func (r *wktReader) bracketed() (c []float64, ok bool) {
	if !r.want("(") {
		return nil, false
	}
	if c, ok = r.vertex(); !ok {
		return nil, false
	}
	return c, r.want(")")
}

// vertex reads two to four numbers.
func (r *wktReader) vertex() (c []float64, ok bool) {
	for len(c) < 4 {
		v, err := strconv.ParseFloat(r.word, 64)
		if err != nil {
			break
		}
		c = append(c, v)
		r.next()
	}
	if len(c) < 2 {
		r.wrong(fmt.Sprintf("%q where a number should stand", clip(r.word)))
		return nil, false
	}
	return c, true
}
