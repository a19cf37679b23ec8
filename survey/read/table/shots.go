package table

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

// ShotColumns are the columns of a shot list.
var ShotColumns = []Column{
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
	panic("table: unknown Reading")
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
	b := ReadShots(r, opt)
	return b.Shots, b.t.out.All()
}

// Book is a shot list as read.
type Book struct {
	t     *Table
	opt   ShotOptions
	fig   string // the column of the figures: z or rod
	Shots []survey.Shot
	Area  []string // beside shots, nil without such a column
	words map[string]string

	records int // lines that hold one, refused ones too
}

func ReadShots(r io.Reader, opt ShotOptions) *Book {
	if opt.Plan == 0 {
		opt.Plan = unit.Foot
	}
	out := &Tally{File: opt.File}
	t, ok := New(r, opt.File, ShotColumns, opt.Columns, out)
	b := &Book{t: t, opt: opt, words: map[string]string{}}
	if !ok || !b.settle() {
		return b
	}
	t.open = t.at["code"] == len(t.head)-1 && t.Has("code")
	for t.Next() {
		if len(b.Shots) == MostShots {
			t.Fail(t.Line, fmt.Sprintf("there are more than %d shots", MostShots), "thin the list")
			break
		}
		b.take()
	}
	if len(b.Shots) == 0 && out.Faults == 0 {
		t.Fail(0, "the list holds no shots", "add a line for each shot")
	}
	return b
}

// settle finds the columns that every shot needs and whether the figures are
// rod readings.
func (b *Book) settle() bool {
	t, sound := b.t, true
	for _, need := range []struct{ name, words string }{{"x", "x or e"}, {"y", "y or n"}} {
		if !t.Has(need.name) {
			sound = t.Fail(t.Line, "there is no column for "+need.words, "name it in the header or in survey.columns")
		}
	}
	switch {
	case !t.Has("z") && !t.Has("rod"):
		return t.Fail(t.Line, "there is no column of elevations or rod readings",
			"name it z, elevation or rod in the header or in survey.columns")
	case b.opt.Reading == RodReadings && t.Has("rod"), !t.Has("z") && b.opt.Reading == UnsetReading:
		b.fig, b.opt.Reading = "rod", RodReadings
	case b.opt.Reading == RodReadings, t.Has("z") && (b.opt.Reading == Elevations || !t.Has("rod")):
		b.fig = "z"
	case t.Has("rod") && t.Has("z"):
		return t.Fail(t.Line, "the list has elevations and rod readings",
			"write survey.reading: rod or survey.reading: elevation")
	default:
		b.fig = "rod"
	}
	return b.instrument() && sound
}

// instrument checks that rod readings have a height of instrument, and that
// one given has readings.
func (b *Book) instrument() bool {
	switch {
	case b.opt.Reading == RodReadings && !b.opt.HasHI:
		return b.t.Fail(0, "rod readings need the height of the instrument",
			"write survey.hi: 104.50 ft, or survey.benchmark: {elevation: 100 ft, rod: 4.50 ft}")
	case b.opt.Reading == UnsetReading && b.opt.HasHI:
		return b.t.Fail(b.t.Line, "a height of instrument is given but the column "+b.t.Written("z")+
			" may hold elevations", "write survey.reading: rod or survey.reading: elevation")
	}
	return true
}

// take reads one record.
func (b *Book) take() {
	t := b.t
	b.records++
	if !t.Whole("x", "y", b.fig) {
		return
	}
	plan := func(s string) (unit.Length, error) { return Measure(s, b.opt.Plan, "") }
	x, okX := t.Length("x", plan)
	y, okY := t.Length("y", plan)
	z, okZ := t.Length(b.fig, b.opt.Book.Read)
	if okZ && b.opt.Reading == RodReadings {
		if z < 0 {
			t.Blame(b.fig, "a rod reading cannot be less than 0", "write reading: elevation if these are elevations")
			okZ = false
		}
		z = b.opt.HI - z
	}
	if !okX || !okY || !okZ {
		return
	}
	s := survey.Shot{At: geom.Pt{X: x.Feet(), Y: y.Feet()}, Elev: z, File: b.opt.File, Line: t.Line,
		ID: strings.Clone(t.Value("point")), Code: b.word(t.Rest("code"))}
	if s.ID == "" {
		s.ID = strconv.Itoa(len(b.Shots) + 1)
	}
	if t.Has("area") {
		b.Area = append(b.Area, b.word(t.Value("area")))
	}
	b.Shots = append(b.Shots, s)
}

// word keeps one copy of a word that many shots have.
func (b *Book) word(s string) string {
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

// File is the list's file as the user named it.
func (b *Book) File() string { return b.opt.File }

// Problems are those of the list, faults and notes.
func (b *Book) Problems() problem.List { return b.t.out.All() }

// Faults counts the faults of the list.
func (b *Book) Faults() int { return b.t.out.Faults }
