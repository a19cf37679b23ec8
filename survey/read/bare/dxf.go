package bare

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// Chain is a line of a drawing through places, in the file's own unit.
type Chain struct {
	Layer  string
	Places []Place
	Bulges []float64 // as in [Outline]; nil where all edges are straight
	Closed bool
}

// Sloped says whether the places of c differ in elevation.
func (c Chain) Sloped() bool {
	for _, p := range c.Places {
		if p.Z != c.Places[0].Z {
			return true
		}
	}
	return false
}

// Kind counts the entities of one name in a drawing.
type Kind struct {
	Name  string
	Count int
	Read  bool // else counted only
}

// dxfFormat reads drawings in text DXF.
func dxfFormat() Format {
	return Format{Name: "DXF", Is: isDXF, Read: readDXF}
}

const binaryDXF = "AutoCAD Binary DXF"

// isDXF says whether data begins with a section, comments before it passed
// over, or with the mark of a binary drawing.
func isDXF(data []byte) bool {
	if bytes.HasPrefix(data, []byte(binaryDXF)) {
		return true
	}
	s := newDXFScan(data)
	for {
		g, why := s.next()
		if why != "" || g.code != 0 && g.code != 999 {
			return false
		}
		if g.code == 0 {
			return g.text() == "SECTION"
		}
	}
}

// dxfGroup is a group: two lines, a code and a value.
type dxfGroup struct {
	code  int
	value []byte
	line  int // of the value
}

func (g dxfGroup) text() string { return string(bytes.TrimSpace(g.value)) }

// dxfScan goes through a text DXF group by group.
type dxfScan struct {
	rest []byte
	line int
	end  byte // of lines
}

func newDXFScan(data []byte) *dxfScan {
	s := &dxfScan{rest: trimMark(data), end: '\n'}
	if bytes.IndexByte(data[:min(len(data), 4096)], '\n') < 0 {
		s.end = '\r'
	}
	return s
}

// read takes one line.
func (s *dxfScan) read() ([]byte, bool) {
	if len(s.rest) == 0 {
		return nil, false
	}
	s.line++
	at := bytes.IndexByte(s.rest, s.end)
	line := s.rest
	if at < 0 {
		s.rest = nil
	} else {
		line, s.rest = s.rest[:at], s.rest[at+1:]
	}
	return bytes.TrimRight(line, "\r"), true
}

// next takes one group; why says what stops the scan.
func (s *dxfScan) next() (g dxfGroup, why string) {
	code, ok := s.read()
	if !ok {
		return g, "the drawing ends without EOF"
	}
	code = bytes.TrimSpace(code)
	n, err := strconv.Atoi(string(code[:min(len(code), 8)]))
	if err != nil || len(code) > 8 {
		return g, fmt.Sprintf("%.20q stands where a group code is due", code)
	}
	value, ok := s.read()
	if !ok {
		return g, "the drawing ends within a group"
	}
	return dxfGroup{n, value, s.line}, ""
}

// dxfEntity is an entity or another record that a group 0 begins.
type dxfEntity struct {
	name   string
	groups []dxfGroup
	line   int
}

// get is the last value of a code.
func (e *dxfEntity) get(code int) (dxfGroup, bool) {
	for i := len(e.groups) - 1; i >= 0; i-- {
		if e.groups[i].code == code {
			return e.groups[i], true
		}
	}
	return dxfGroup{}, false
}

// section is the name of a section: the first value of its code, since some
// settings of the header bear the same.
func (e *dxfEntity) section() string {
	for _, g := range e.groups {
		if g.code == 2 {
			return g.text()
		}
	}
	return ""
}

// whole is the whole number under a code, 0 where absent or none.
func (e *dxfEntity) whole(code int) int {
	g, _ := e.get(code)
	n, _ := strconv.Atoi(g.text())
	return n
}

// dxfReader collects what a drawing holds.
type dxfReader struct {
	slips
	section string
	counts  map[string]int
	blocks  map[string]*dxfBlock
	block   *dxfBlock       // whose entities come
	depth   int             // of the block that is put in place
	faces   []dxfFace       // of it
	hidden  map[string]bool // layers that are frozen or off
	paper   int             // entities in paper space
	symbols int             // blocks inserted with no elevation
	others  int             // blocks that stand for other files
	tooDeep int             // blocks deep in others
	// expanded counts what blocks have given, see mostExpanded.
	expanded int
	full     bool // they gave too much, which is told
	poly     *dxfPoly
	insert   *dxfInsert
	labels   []dxfLabel
	layers   map[string]*dxfSurface
	order    []string // layers with faces, as they come
	shots    int
	asked    bool              // for a unit that is read
	on       []string          // layers of places, beside them
	names    map[string]string // of layers and blocks, by their bytes
}

// readDXF reads points, lines, faces, blocks, texts and closed outlines of a
// text DXF. Each POINT is a place, a text beside it its label; layers stand as
// codes. Binary drawings are refused. Cost: one pass.
func readDXF(name string, data []byte) *File {
	out := &File{Format: "DXF"}
	r := &dxfReader{slips: slips{file: name, out: out}, counts: map[string]int{},
		layers: map[string]*dxfSurface{}, names: map[string]string{}, blocks: map[string]*dxfBlock{},
		hidden: map[string]bool{}}
	if bytes.HasPrefix(data, []byte(binaryDXF)) {
		r.fault(0, "is a binary drawing", "save it as text DXF")
		return out
	}
	r.read(newDXFScan(data))
	r.endPoly()
	r.endInsert()
	r.finish()
	r.end()
	return out
}

// read goes through the drawing to its end or to what stops it.
func (r *dxfReader) read(s *dxfScan) {
	const embedded = 101 // what follows is an entity within the entity
	var e dxfEntity
	within := false
	for {
		g, why := s.next()
		if why != "" {
			if e.name != "" {
				r.record(&e)
			}
			r.fault(s.line, why, "save the drawing again; the file may be cut off")
			return
		}
		if g.code != 0 {
			if within = within || g.code == embedded; !within {
				e.groups = append(e.groups, g)
			}
			continue
		}
		within = false
		if e.name != "" {
			r.record(&e)
		}
		if r.shots > mostShots {
			r.fault(g.line, "more than 10 million places", "cut it to the roof")
			return
		}
		e = dxfEntity{name: g.text(), groups: e.groups[:0], line: g.line}
		if e.name == "EOF" {
			return
		}
	}
}

// record takes a record that is complete.
func (r *dxfReader) record(e *dxfEntity) {
	switch {
	case e.name == "SECTION":
		if r.section = e.section(); r.section == "HEADER" {
			r.header(e)
		}
	case e.name == "ENDSEC":
		r.endPoly()
		r.endInsert()
		r.section = ""
	case r.section == "ENTITIES":
		r.entity(e)
	case r.section == "BLOCKS":
		r.blockRecord(e)
	case r.section == "TABLES" && e.name == "LAYER":
		r.layerRecord(e)
	}
}

// header takes the version and the unit.
func (r *dxfReader) header(e *dxfEntity) {
	name := ""
	for _, g := range e.groups {
		switch {
		case g.code == 9:
			name = g.text()
		case name == "$ACADVER" && g.code == 1:
			if v := dxfVersion(g.text()); v != "" {
				r.out.Format = "DXF " + v
			}
		case name == "$INSUNITS" && g.code == 70:
			r.unitIs(g)
		}
	}
}

// dxfVersion names the release of a version code, from memory.
func dxfVersion(code string) string {
	switch code {
	case "AC1006":
		return "R10"
	case "AC1009":
		return "R12"
	case "AC1012":
		return "R13"
	case "AC1014":
		return "R14"
	case "AC1015":
		return "2000"
	case "AC1018":
		return "2004"
	case "AC1021":
		return "2007"
	case "AC1024":
		return "2010"
	case "AC1027":
		return "2013"
	case "AC1032":
		return "2018"
	}
	return ""
}

// unitIs takes the unit of the drawing; codes from memory.
func (r *dxfReader) unitIs(g dxfGroup) {
	switch g.text() {
	case "0":
	case "1":
		r.out.Unit = Inches
	case "2":
		r.out.Unit = Feet
	case "4":
		r.out.Unit = Millimetres
	case "6":
		r.out.Unit = Metres
	case "21":
		r.out.Unit = SurveyFeet
	default:
		r.asked = true
		r.note(g.line, fmt.Sprintf("the unit code %.20q of the drawing is none that is read", g.text()),
			"set the drawing to inches, feet, US survey feet, metres or millimetres")
	}
}

// dxfText is a text of the drawing: bytes that are no UTF-8 are those of the
// western code page, \U+00BD is a character by number.
func dxfText(value []byte) string {
	s := string(value)
	if !utf8.Valid(value) {
		s, _ = charmap.Windows1252.NewDecoder().String(s)
	}
	if !strings.ContainsAny(s, `%\`) {
		return strings.TrimSpace(s)
	}
	s = strings.NewReplacer("%%d", "\u00b0", "%%D", "\u00b0", "%%p", "\u00b1", "%%P", "\u00b1").Replace(s)
	var b strings.Builder
	for {
		before, after, found := strings.Cut(s, `\U+`)
		b.WriteString(before)
		if !found {
			return strings.TrimSpace(b.String())
		}
		s = after
		n, err := strconv.ParseUint(after[:min(len(after), 4)], 16, 16)
		if len(after) < 4 || err != nil {
			b.WriteString(`\U+`)
			continue
		}
		b.WriteRune(rune(n))
		s = after[4:]
	}
}

// finish joins labels, surfaces and counts, and tells what was not read.
func (r *dxfReader) finish() {
	r.joinLabels()
	r.outlines()
	r.out.Layers = r.on
	for _, layer := range r.order {
		r.out.Surfaces = append(r.out.Surfaces, r.layers[layer].Surface)
	}
	var unread []string
	for name, n := range r.counts {
		r.out.Kinds = append(r.out.Kinds, Kind{name, n, dxfReads(name)})
	}
	slices.SortFunc(r.out.Kinds, func(a, b Kind) int { return cmp.Compare(a.Name, b.Name) })
	for _, k := range r.out.Kinds {
		if !k.Read {
			unread = append(unread, fmt.Sprintf("%d %.30s", k.Count, k.Name))
		}
	}
	if len(unread) > 0 {
		r.note(0, "not read: "+strings.Join(unread[:min(len(unread), 12)], ", "),
			"turn what matters into points, lines or 3-D faces")
	}
	if r.out.Unit == Unstated && !r.asked {
		r.unitNote("the drawing states no unit", "say whether it is feet, inches, metres or US survey feet")
	}
	r.tellLeftOut()
}

// tellLeftOut notes what stands in the drawing and is no place.
func (r *dxfReader) tellLeftOut() {
	if n := r.unused(); n > 0 {
		r.note(0, fmt.Sprintf("%d points and faces stand in blocks that are nowhere inserted", n), "insert them where they are shots")
	}
	if r.others > 0 {
		r.note(0, fmt.Sprintf("%d inserted blocks stand for other drawings, which are not read", r.others), "bind them into this one")
	}
	if r.tooDeep > 0 {
		r.note(0, fmt.Sprintf("%d blocks stand more than %d deep in others and are not read", r.tooDeep, deepestBlock), "explode them")
	}
	r.tellHidden()
	if r.paper > 0 {
		r.note(0, fmt.Sprintf("%d entities of the paper sheets are not read", r.paper), "draw shots in the model")
	}
	if r.symbols > 0 {
		r.note(0, fmt.Sprintf("%d inserted blocks at no elevation or at 0 are taken for symbols", r.symbols),
			"give them elevations where they are shots")
	}
	if len(r.out.Places) > 0 || len(r.out.Surfaces) > 0 || len(r.out.Outlines) > 0 {
		return
	}
	high := 0
	for _, c := range r.out.Chains {
		if c.Sloped() || c.Places[0].Z != 0 {
			high++
		}
	}
	if high > 0 {
		r.note(0, fmt.Sprintf("holds no point; %d of its lines have elevations: a job takes the places of those that slope, "+
			"and of level ones whose layer it names, for shots", high), "draw the shots as points where they are not those places")
		return
	}
	if n := len(r.out.Chains); n > 0 {
		r.fault(0, fmt.Sprintf("holds %d lines and no point: ends of lines are not taken for shots", n),
			"draw the shots as points")
		return
	}
	r.fault(0, "holds no point, no line and no 3-D face that can be used", "draw the shots as points")
}
