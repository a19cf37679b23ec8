package table

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// ShotColumns are the columns of a shot list.
var ShotColumns = []Column{
	{"point", "id|pt|pnt|p|no|num|number|point no|point number|point_no|point_id|pointid|point id|point name|" +
		"pt#|point#|ptno|pt no|pt_no|pntno|pnt no|shot|name|nr"},
	{"x", "e|east|easting|eastings|x (east)|x east|x (easting)|east (x)|easting (x)|x coordinate|x coord|x_coord|coord x"},
	{"y", "n|north|northing|northings|y (north)|y north|y (northing)|north (y)|northing (y)|y coordinate|y coord|y_coord|coord y"},
	{"z", "h|el|elev|elv|elevation|elevations|height|level|rl|reduced level|z (elevation)|z (elev)|z elevation|" +
		"elevation (z)|elev (z)|z coordinate|z coord|z_coord|coord z|alt|altitude"},
	{"rod", "reading|rod reading|rod_reading|staff|staff reading"},
	{"code", "d|desc|description|descr|raw desc|raw description|full description|cd|note|notes|remark|remarks|comment|feature"},
	{"area", "roof|roof area"},
	{"set_up", "set-up|set up|setup|instrument"},
	{"skip", "-|_"},
}

// ColumnWords are the words for columns as messages list them.
func ColumnWords() []string {
	return []string{"point", "x (or e)", "y (or n)", "z", "rod", "code", "area", "set_up", "- (passed over)"}
}

// Reading says what the figures of a shot list are.
type Reading int

// The readings; the zero value lets the columns tell: rod or z.
const (
	UnsetReading Reading = iota
	RodReadings          // of a set-up, which says whether bigger is lower
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
	// SetUps are those that rod readings may have been taken from, told apart by
	// a column set_up where there are several; nil: none is stated. Readings of
	// a tied set-up get the elevation that they would have at an HI of 0.
	SetUps []survey.SetUp
	Before int // how many set-ups of the job stand before SetUps
	// SetUpNamed says that rod readings must name their set-up, a single one too.
	SetUpNamed bool
	// Take gets each shot, and what its area column says, in the order of the
	// file; the Book then keeps none. False ends the reading. nil: the Book
	// keeps all.
	Take func(s survey.Shot, area string) bool
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
	stand map[string]int // set-ups by their ids

	digits  digits
	records int // lines that hold one, refused ones too
	taken   int // shots
	done    bool
}

// Rod says whether the figures are rod readings.
func (b *Book) Rod() bool { return b.opt.Reading == RodReadings }

// ReadShots reads a shot list as [Shots] does and keeps what stands beside the
// shots.
func ReadShots(r io.Reader, opt ShotOptions) *Book {
	if opt.Plan == 0 {
		opt.Plan = unit.Foot
	}
	out := &Tally{File: opt.File}
	t, ok := New(r, opt.File, ShotColumns, opt.Columns, out)
	b := &Book{t: t, opt: opt, words: map[string]string{}, stand: map[string]int{}}
	for i, s := range opt.SetUps {
		b.stand[s.ID] = i
	}
	if !ok || !b.settle() {
		return b
	}
	t.open = t.at["code"] == len(t.head)-1 && t.Has("code")
	for !b.done && t.Next() {
		if b.taken == MostShots {
			t.Fail(t.Line, fmt.Sprintf("there are more than %d shots", MostShots), "thin the list")
			break
		}
		b.take()
	}
	b.digits.tell(t)
	if b.taken == 0 && out.Faults == 0 {
		t.Fail(0, "the list holds no shots", "add a line for each shot")
	}
	return b
}

// settle finds the columns that every shot needs and whether the figures are
// rod readings.
func (b *Book) settle() bool {
	t, sound := b.t, true
	for _, need := range []struct{ name, words string }{{"x", "x or e"}, {"y", "y or n"}} {
		if !t.Has(need.name) && slices.ContainsFunc(t.head, isDegrees) {
			return t.Fail(t.Line, "the list gives latitude and longitude, and no places in plan", inPlan)
		}
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

// instrument checks that rod readings have a set-up, and that set-ups have
// readings.
func (b *Book) instrument() bool {
	t, opt := b.t, b.opt
	if opt.Reading == RodReadings {
		switch {
		case len(opt.SetUps) == 0:
			return t.Fail(0, "rod readings need the height of the instrument",
				"write survey.hi: 104.50 ft, or survey.benchmark: {elevation: 100 ft, rod: 4.50 ft}")
		case (len(opt.SetUps) > 1 || opt.SetUpNamed) && !t.Has("set_up"):
			return t.Fail(t.Line, fmt.Sprintf("the list does not say which set-up of %d read each shot", len(opt.SetUps)),
				"add a column set_up that holds "+Listed(b.setUpNames()))
		}
		return true
	}
	if opt.Reading == UnsetReading && len(opt.SetUps) > 0 && !opt.SetUpNamed {
		return t.Fail(t.Line, "a height of instrument is given but the column "+t.Written("z")+
			" may hold elevations", "write survey.reading: rod or survey.reading: elevation")
	}
	if t.Has("set_up") && len(opt.SetUps) > 0 {
		t.Note(t.Line, "set-ups are named beside elevations, which need none", "nothing to do")
	}
	return true
}

// setUpNames lists the ids of the set-ups, the first ten of many.
func (b *Book) setUpNames() []string {
	var names []string
	for _, s := range b.opt.SetUps[:min(len(b.opt.SetUps), 10)] {
		names = append(names, s.ID)
	}
	return names
}

// setUp gives the number of the set-up that read the record, in ShotOptions.
func (b *Book) setUp() (int, bool) {
	t, name := b.t, b.t.Value("set_up")
	if name == "" && len(b.opt.SetUps) == 1 && !b.opt.SetUpNamed {
		return 0, true
	}
	if i, ok := b.stand[name]; ok && name != "" {
		return i, true
	}
	if name == "" {
		t.Blame("set_up", "it is not stated which set-up read the shot", "write "+Listed(b.setUpNames()))
	} else {
		t.Blame("set_up", "the job has no such set-up", "write "+Listed(b.setUpNames())+", or add it to survey.set_ups")
	}
	return 0, false
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
	var rod unit.Length
	number := 0 // of the set-up
	if okZ && b.opt.Reading == RodReadings {
		rod = z
		if one := t.unit[b.fig]; one == unit.Foot || one == 0 && b.opt.Book == BookFeet {
			b.digits.see(t.Value(b.fig), t.Value("point"), t.Line)
		}
		z, number, okZ = b.reduce(rod)
	}
	if !okX || !okY || !okZ {
		return
	}
	b.give(survey.Shot{Rod: rod, SetUp: number, At: geom.Pt{X: x.Feet(), Y: y.Feet()}, Elev: z,
		File: b.opt.File, Line: t.Line})
}

// give hands a shot over, or keeps it.
func (b *Book) give(s survey.Shot) {
	t := b.t
	if b.taken++; b.opt.Take != nil {
		s.ID, s.Code = t.Value("point"), t.Rest("code")
		b.done = !b.opt.Take(s, t.Value("area"))
		return
	}
	s.ID, s.Code = strings.Clone(t.Value("point")), b.word(t.Rest("code"))
	if s.ID == "" {
		s.ID = strconv.Itoa(b.taken)
	}
	if t.Has("area") {
		b.Area = append(b.Area, b.word(t.Value("area")))
	}
	b.Shots = append(b.Shots, s)
}

// reduce turns a rod reading of the record into an elevation, and gives the
// number of its set-up in the job.
func (b *Book) reduce(rod unit.Length) (z unit.Length, number int, ok bool) {
	k, ok := b.setUp()
	if !ok {
		return 0, 0, false
	}
	u := b.opt.SetUps[k]
	if rod < 0 && !u.Direct {
		b.t.Blame(b.fig, "a rod reading cannot be less than 0", "write reading: elevation if these are elevations")
		return 0, 0, false
	}
	return u.Elevation(rod), b.opt.Before + k + 1, true
}

// word keeps one copy of a word that many shots have.
func (b *Book) word(s string) string {
	if s == "" {
		return ""
	}
	if w, ok := b.words[s]; ok {
		return w
	}
	w := strings.Clone(strings.ToValidUTF8(s, "?"))
	if len(b.words) < held {
		b.words[w] = w
	}
	return w
}

// File is the list's file as the user named it.
func (b *Book) File() string { return b.opt.File }

// Problems are those of the list, faults and notes.
func (b *Book) Problems() problem.List { return b.t.out.All() }

// Faults counts the faults of the list.
func (b *Book) Faults() int { return b.t.out.Faults }
