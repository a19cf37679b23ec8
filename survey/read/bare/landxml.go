package bare

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/charmap"
)

// landXMLFormat reads LandXML 1.x.
func landXMLFormat() Format {
	return Format{Name: "LandXML", Is: isLandXML, Read: readLandXML}
}

// isLandXML says whether the first element is LandXML, with any namespace.
func isLandXML(data []byte) bool {
	head := trimMark(data)
	if !bytes.HasPrefix(bytes.TrimLeft(head, " \t\r\n"), []byte("<")) {
		return false
	}
	dec := landDecoder(head[:min(len(head), 1<<16)])
	for {
		t, err := dec.RawToken()
		if err != nil {
			return false
		}
		if e, ok := t.(xml.StartElement); ok {
			return e.Name.Local == "LandXML"
		}
	}
}

// trimMark is data less the byte-order mark of UTF-8.
func trimMark(data []byte) []byte { return bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")) }

func landDecoder(data []byte) *xml.Decoder {
	dec := xml.NewDecoder(bytes.NewReader(data))
	dec.CharsetReader = func(set string, in io.Reader) (io.Reader, error) {
		set = strings.ToLower(set)
		switch {
		case strings.HasPrefix(set, "utf-16"), strings.HasPrefix(set, "utf-32"), strings.HasPrefix(set, "iso-10646"):
			return nil, fmt.Errorf("the encoding %.40q is not read", set)
		case set == "utf8":
			return in, nil
		case strings.HasPrefix(set, "iso-8859"), set == "latin1":
			return charmap.ISO8859_1.NewDecoder().Reader(in), nil
		}
		return charmap.Windows1252.NewDecoder().Reader(in), nil // numbers are alike in all others
	}
	return dec
}

// landReader streams a LandXML document. Names of elements are taken without
// their namespace, so that versions 1.0 to 1.2 and prefixed documents read
// alike.
type landReader struct {
	slips
	dec   *xml.Decoder
	open  []string     // elements, outermost first
	item  *landItem    // whose text is being read
	surf  *landSurface // nil outside
	units bool         // seen
	polar int          // observations by angle and distance
}

// landItem is an element whose text counts.
type landItem struct {
	kind, id, code string
	hidden         bool
	line, depth    int
	text           []byte
}

// mostText is the length beyond which the text of one point or face is cut: it
// is refused then.
const mostText = 4096

func (it *landItem) add(text []byte) {
	if it == nil {
		return
	}
	if it.kind != "PntList3D" {
		text = text[:min(len(text), max(0, mostText-len(it.text)))]
	}
	it.text = append(it.text, text...)
}

// landSurface is a surface while its faces still name points by id.
type landSurface struct {
	Surface
	at     map[string]int
	faces  []landFace
	source []Place // what the surface was made from
	line   int
}

type landFace struct {
	ids  []string
	line int
}

// readLandXML reads the points and triangulated surfaces of LandXML 1.x. The
// document writes northing, easting, elevation: y, x, z. Faces refer to the ids
// of their own surface's points. Entities and deep nesting are refused. Cost:
// one pass, nothing but places and faces kept.
func readLandXML(name string, data []byte) *File {
	out := &File{Format: "LandXML"}
	r := &landReader{slips: slips{file: name, out: out}, dec: landDecoder(trimMark(data))}
	r.read()
	if !r.units {
		r.unitNote("the length unit is not stated", "say whether it is feet, US survey feet or metres")
	}
	if len(out.Places) == 0 && len(out.Surfaces) == 0 && len(out.Problems.Faults()) == 0 {
		r.nothing()
	}
	r.end()
	return out
}

func (r *landReader) nothing() {
	if r.polar > 0 {
		r.fault(0, fmt.Sprintf("holds %d observations by angle and distance and no coordinates", r.polar),
			"compute the coordinates in the collector and export points")
		return
	}
	r.fault(0, "holds no point and no surface", "export the survey points or the surface")
}

// read goes through the document to its end or to what stops it.
func (r *landReader) read() {
	const deepest = 64
	for {
		line, _ := r.dec.InputPos()
		t, err := r.dec.RawToken()
		switch {
		case err == io.EOF && len(r.open) == 0:
			return
		case err != nil:
			r.broken(line, err)
			return
		}
		ok := true
		switch t := t.(type) {
		case xml.StartElement:
			r.open = append(r.open, t.Name.Local)
			if ok = len(r.open) <= deepest; !ok {
				r.fault(line, fmt.Sprintf("elements nested deeper than %d", deepest), "export it again")
				break
			}
			ok = r.start(t, line)
		case xml.EndElement:
			ok = r.close(t.Name.Local, line)
		case xml.CharData:
			r.item.add(t)
		case xml.Directive:
			if ok = !bytes.Contains(t, []byte("ENTITY")); !ok {
				r.fault(line, "declares entities", "export it without a document type")
			}
		}
		if !ok {
			return
		}
	}
}

// broken tells where the document stops being XML.
func (r *landReader) broken(line int, err error) {
	why := "not well-formed XML"
	if err == io.EOF {
		why = fmt.Sprintf("ends within the element %.40q", r.open[len(r.open)-1])
	} else if s, ok := err.(*xml.SyntaxError); ok {
		line, why = s.Line, why+": "+s.Msg
	} else {
		why += ": " + err.Error()
	}
	r.fault(line, why, "export it again; the file may be cut off")
}

// start opens an element; false stops the reading.
func (r *landReader) start(t xml.StartElement, line int) bool {
	a := func(name string) string { return attribute(t, name) }
	item := func(id string) {
		r.item = &landItem{kind: t.Name.Local, id: id, line: line, depth: len(r.open)}
	}
	switch t.Name.Local {
	case "LandXML":
		if v := a("version"); len(r.open) == 1 && v != "" && len(v) < 10 {
			r.out.Format = "LandXML " + v
		}
	case "Metric", "Imperial":
		return r.unitIs(t, line)
	case "Surface":
		if r.surf == nil {
			r.surf = &landSurface{at: map[string]int{}, line: line}
			r.surf.Name = a("name")
		}
	case "CgPoint":
		id := a("name")
		if id == "" {
			id = a("oID")
		}
		item(id)
		if r.item.code = a("code"); r.item.code == "" {
			r.item.code = a("desc")
		}
	case "P", "F":
		if r.surf != nil {
			item(a("id"))
			r.item.hidden = a("i") == "1"
		}
	case "PntList3D":
		if r.surf != nil && len(r.open) > 1 && r.open[len(r.open)-2] == "DataPoints" {
			item("")
		}
	case "RawObservation", "ReducedObservation":
		r.polar++
	}
	return true
}

// attribute is the value of t's attribute of that name, "" where absent.
func attribute(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name {
			return strings.TrimSpace(a.Value)
		}
	}
	return ""
}

// landUnit reads a linearUnit or an elevationUnit.
func landUnit(word string) (Unit, bool) {
	switch strings.ToLower(word) {
	case "meter", "metre":
		return Metres, true
	case "millimeter":
		return Millimetres, true
	case "foot", "feet", "intfoot", "internationalfoot":
		return Feet, true
	case "ussurveyfoot", "ussurveyfeet":
		return SurveyFeet, true
	case "inch":
		return Inches, true
	}
	return Unstated, false
}

// unitIs takes the units of the document; false stops the reading.
func (r *landReader) unitIs(t xml.StartElement, line int) bool {
	word := attribute(t, "linearUnit")
	if word == "" {
		return true
	}
	u, known := landUnit(word)
	if !known {
		r.fault(line, fmt.Sprintf("the length unit %.40q is not known", word),
			"export in feet, US survey feet or metres")
		return false
	}
	r.units, r.out.Unit = true, u
	up := attribute(t, "elevationUnit")
	v, known := landUnit(up)
	alike := v == u || v == Feet && u == SurveyFeet || v == SurveyFeet && u == Feet
	if up != "" && !(known && alike) {
		r.fault(line, fmt.Sprintf("elevations are in %.40q, plan in %.40q", up, word),
			"export both in one unit")
		return false
	}
	return true
}

// close ends an element; false stops the reading.
func (r *landReader) close(name string, line int) bool {
	if len(r.open) == 0 || r.open[len(r.open)-1] != name {
		r.fault(line, fmt.Sprintf("the element %.40q ends where it was not begun", name),
			"export it again; the file may be damaged")
		return false
	}
	it := r.item
	if it != nil && it.depth == len(r.open) {
		r.item = nil
		r.take(it)
	}
	r.open = r.open[:len(r.open)-1]
	if name == "Surface" && r.surf != nil {
		r.endSurface()
	}
	if len(r.out.Places) > mostShots ||
		r.surf != nil && max(len(r.surf.Places), len(r.surf.source), len(r.surf.faces)) > mostShots {
		r.fault(line, "more than 10 million records", "cut it to the roof")
		return false
	}
	return true
}

// take reads the text of an element that has ended.
func (r *landReader) take(it *landItem) {
	if it.kind == "PntList3D" {
		r.takeList(it)
		return
	}
	words := strings.Fields(string(it.text))
	switch it.kind {
	case "CgPoint":
		if len(words) == 0 {
			return // refers to another point
		}
		if p, ok := r.place(it, words); ok {
			r.out.Places = append(r.out.Places, p)
		}
	case "P":
		r.takeP(it, words)
	case "F":
		switch {
		case it.hidden:
			r.surf.Invisible++
		case len(words) != 3 && len(words) != 4:
			r.refuse(it.line, "F", strings.Join(words, " "), "a face needs three point ids, or four",
				"export the surface again")
		default:
			r.surf.faces = append(r.surf.faces, landFace{words, it.line})
		}
	}
}

// takeList reads the places that a surface was made from, three numbers each.
func (r *landReader) takeList(it *landItem) {
	var three []string
	for word := range strings.FieldsSeq(string(it.text)) {
		if three = append(three, word); len(three) < 3 {
			continue
		}
		if p, ok := r.place(it, three); ok {
			r.surf.source = append(r.surf.source, p)
		}
		if three = three[:0]; len(r.surf.source) > mostShots {
			return
		}
	}
}

func (r *landReader) takeP(it *landItem, words []string) {
	p, ok := r.place(it, words)
	if !ok {
		return
	}
	if _, twice := r.surf.at[it.id]; twice && it.id != "" {
		r.refuse(it.line, "P", it.id, "the id stands twice in one surface", "export the surface again")
		return
	}
	r.surf.at[it.id] = len(r.surf.Places)
	r.surf.Places = append(r.surf.Places, p)
}

// place reads northing, easting, elevation.
func (r *landReader) place(it *landItem, words []string) (Place, bool) {
	text := strings.Join(words, " ")
	if len(words) != 3 {
		r.refuse(it.line, it.kind, text, "northing, easting and elevation are needed",
			"give the point an elevation or leave it out")
		return Place{}, false
	}
	var v [3]float64
	for i, w := range words {
		x, ok := plainNumber(w)
		if !ok {
			r.refuse(it.line, it.kind, text, "not a number", "write numbers with a decimal point")
			return Place{}, false
		}
		v[i] = x
	}
	return Place{ID: it.id, X: v[1], Y: v[0], Z: v[2], Code: it.code, Line: it.line}, true
}

// endSurface joins the faces to the points by id.
func (r *landReader) endSurface() {
	s := r.surf
	r.surf = nil
	for _, f := range s.faces {
		var at [4]int
		known := true
		for i, id := range f.ids {
			var ok bool
			at[i], ok = s.at[id]
			known = known && ok
		}
		if !known {
			r.refuse(f.line, "F", strings.Join(f.ids, " "), "a corner is no point of this surface",
				"export the surface again")
			continue
		}
		s.Faces = append(s.Faces, [3]int{at[0], at[1], at[2]})
		if len(f.ids) == 4 {
			s.Faces = append(s.Faces, [3]int{at[0], at[2], at[3]})
			s.Halves++
		}
	}
	if len(s.Places) == 0 {
		s.Places = s.source
	}
	if len(s.Places) == 0 {
		r.refuse(s.line, "Surface", s.Name, "the surface holds no point",
			"export the definition of the surface, not its source alone")
		return
	}
	r.out.Surfaces = append(r.out.Surfaces, s.Surface)
}
