package read

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// shotColumns are the columns of a shot list.
var shotColumns = []column{
	{"point", "id|pt|pnt|p|no|no.|num|number|point no|point number|point_id|pointid|pt#|shot|name|nr"},
	{"x", "e|east|easting"},
	{"y", "n|north|northing"},
	{"z", "h|el|elev|elevation|height|level|rl|reduced level"},
	{"rod", "reading|rod reading|rod_reading|staff|staff reading"},
	{"code", "d|desc|description|descr|raw desc|note|notes|remark|remarks|comment|feature"},
	{"area", "roof|roof area"},
	{"skip", "-|_"},
}

// Reading says what the figures of a shot list are.
type Reading int

// The readings; the zero value lets the columns tell: rod or z.
const (
	UnsetReading Reading = iota
	RodReadings          // bigger is lower: elevation = HI - reading
	Elevations           // bigger is higher
)

// String names r as the job file writes it.
func (r Reading) String() string {
	switch r {
	case UnsetReading:
		return "unset"
	case RodReadings:
		return "rod"
	case Elevations:
		return "elevation"
	}
	panic("read: unknown Reading")
}

// ShotOptions says how a shot list is written.
type ShotOptions struct {
	File    string      // as the user named it, for problems and Shot.File
	Plan    unit.Length // what a plain coordinate measures; 0: a foot
	Book    BookUnit    // what a plain elevation or reading measures
	Columns []string    // of a list without header, in order; nil: the header names them
	Reading Reading
	HI      unit.Length // height of instrument: the elevation of its line of sight
	HasHI   bool        // HI is stated
}

// Shots reads a shot list: delimited text with comma, semicolon, tab or blanks
// between values, columns in any order. Shots come in the order of the file.
// What cannot be read is a fault with its line and left out; an empty list
// without a fault cannot be.
//
// Cost: one pass; every shot is kept, some 100 bytes each.
func Shots(r io.Reader, opt ShotOptions) ([]survey.Shot, problem.List) {
	b := readShots(r, opt)
	return b.shots, b.t.out.all()
}

// shotBook is a shot list as read.
type shotBook struct {
	t     *table
	opt   ShotOptions
	fig   string // the column of the figures: z or rod
	shots []survey.Shot
	area  []string // beside shots, nil without such a column
	words map[string]string

	records int // lines that hold one, refused ones too
}

func readShots(r io.Reader, opt ShotOptions) *shotBook {
	if opt.Plan == 0 {
		opt.Plan = unit.Foot
	}
	out := &sink{file: opt.File}
	t, ok := newTable(r, opt.File, shotColumns, opt.Columns, out)
	b := &shotBook{t: t, opt: opt, words: map[string]string{}}
	if !ok || !b.settle() {
		return b
	}
	t.open = t.at["code"] == len(t.head)-1 && t.has("code")
	for t.next() {
		if len(b.shots) == mostShots {
			t.fail(t.line, fmt.Sprintf("there are more than %d shots", mostShots), "thin the list")
			break
		}
		b.take()
	}
	if len(b.shots) == 0 && out.faults == 0 {
		t.fail(0, "the list holds no shots", "add a line for each shot")
	}
	return b
}

// settle finds the columns that every shot needs and whether the figures are
// rod readings.
func (b *shotBook) settle() bool {
	t, sound := b.t, true
	for _, need := range []struct{ name, words string }{{"x", "x or e"}, {"y", "y or n"}} {
		if !t.has(need.name) {
			sound = t.fail(t.line, "there is no column for "+need.words, "name it in the header or in survey.columns")
		}
	}
	switch {
	case !t.has("z") && !t.has("rod"):
		return t.fail(t.line, "there is no column of elevations or rod readings",
			"name it z, elevation or rod in the header or in survey.columns")
	case b.opt.Reading == RodReadings && t.has("rod"), !t.has("z") && b.opt.Reading == UnsetReading:
		b.fig, b.opt.Reading = "rod", RodReadings
	case b.opt.Reading == RodReadings, t.has("z") && (b.opt.Reading == Elevations || !t.has("rod")):
		b.fig = "z"
	case t.has("rod") && t.has("z"):
		return t.fail(t.line, "the list has elevations and rod readings",
			"write survey.reading: rod or survey.reading: elevation")
	default:
		b.fig = "rod"
	}
	return b.instrument() && sound
}

// instrument checks that rod readings have a height of instrument, and that
// one given has readings.
func (b *shotBook) instrument() bool {
	switch {
	case b.opt.Reading == RodReadings && !b.opt.HasHI:
		return b.t.fail(0, "rod readings need the height of the instrument",
			"write survey.hi: 104.50 ft, or survey.benchmark: {elevation: 100 ft, rod: 4.50 ft}")
	case b.opt.Reading == UnsetReading && b.opt.HasHI:
		return b.t.fail(b.t.line, "a height of instrument is given but the column "+b.t.written("z")+
			" may hold elevations", "write survey.reading: rod or survey.reading: elevation")
	}
	return true
}

// take reads one record.
func (b *shotBook) take() {
	t := b.t
	b.records++
	if !t.whole("x", "y", b.fig) {
		return
	}
	plan := func(s string) (unit.Length, error) { return measure(s, b.opt.Plan, "") }
	x, okX := t.length("x", plan)
	y, okY := t.length("y", plan)
	z, okZ := t.length(b.fig, b.opt.Book.read)
	if okZ && b.opt.Reading == RodReadings {
		if z < 0 {
			t.blame(b.fig, "a rod reading cannot be less than 0", "write reading: elevation if these are elevations")
			okZ = false
		}
		z = b.opt.HI - z
	}
	if !okX || !okY || !okZ {
		return
	}
	s := survey.Shot{At: geom.Pt{X: x.Feet(), Y: y.Feet()}, Elev: z, File: b.opt.File, Line: t.line,
		ID: strings.Clone(t.value("point")), Code: b.word(t.rest("code"))}
	if s.ID == "" {
		s.ID = strconv.Itoa(len(b.shots) + 1)
	}
	if t.has("area") {
		b.area = append(b.area, b.word(t.value("area")))
	}
	b.shots = append(b.shots, s)
}

// word keeps one copy of a word that many shots have.
func (b *shotBook) word(s string) string {
	if s == "" {
		return ""
	}
	w, ok := b.words[s]
	if !ok && len(b.words) < held {
		w = strings.Clone(strings.ToValidUTF8(s, "?"))
		b.words[w] = w
		return w
	}
	if !ok {
		return strings.Clone(strings.ToValidUTF8(s, "?"))
	}
	return w
}
