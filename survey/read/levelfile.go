package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/level"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// placeColumns are the columns of a list of places.
var placeColumns = []table.Column{
	{Name: "id", Also: "point|pt|no|name|nr|shot|station|place"},
	{Name: "x", Also: "e|east|easting"},
	{Name: "y", Also: "n|north|northing"},
	{Name: "code", Also: "d|desc|description|note|remark"},
	{Name: "area", Also: "roof|roof area"},
}

// planPlace is where a name of a level book lies.
type planPlace struct {
	at         geom.Pt
	code, area string
	read       bool // the book has a reading of it
}

// planPlaces reads the list of places that the survey names, and their names
// in the order of the list.
func (r *jobReader) planPlaces(s *shotFile) (of map[string]*planPlace, names []string, ok bool) {
	v := r.placesAt
	name, ok := v.text()
	if !ok {
		return nil, nil, false
	}
	in, ok := r.open(v, name)
	if !ok {
		return nil, nil, false
	}
	defer in.Close()
	out := &table.Tally{File: name}
	of = map[string]*planPlace{}
	t, ok := table.New(in, name, placeColumns, nil, out)
	ok = ok && t.Needs("id", "x", "y")
	flat := func(s string) (unit.Length, error) { return table.Measure(s, r.plan, "") }
	for ok && len(of) < mostSingle && t.Next() {
		if !t.Whole("id", "x", "y") {
			continue
		}
		x, okX := t.Length("x", flat)
		y, okY := t.Length("y", flat)
		id := clean(t.Value("id"))
		switch {
		case !okX || !okY:
		case id == "":
			t.Blame("id", "the place has no name", "write the name that the level book has")
		case of[id] != nil:
			t.Blame("id", "the place stands twice in the list", "take one of them out, or rename it as the level book has it")
		default:
			of[id] = &planPlace{at: geom.Pt{X: x.Feet(), Y: y.Feet()}, code: clean(t.Value("code")), area: clean(t.Value("area"))}
			names = append(names, id)
		}
	}
	for _, p := range out.All() {
		s.out.Add(p)
	}
	return of, names, ok && out.Faults == 0
}

// levelBook takes the shots of a level book, whose places on the plan stand in
// a list of their own. The book's set-ups and closings become those of the
// survey; elevations are the adjusted ones.
func (r *jobReader) levelBook(s *shotFile, f *bare.File) {
	one, ok := r.bookUnit(s, f)
	switch {
	case !ok:
		return
	case r.placesAt.r == nil || r.placesAt.absent:
		s.at.fault(fmt.Sprintf("a level book holds %d elevations and no places on the plan", len(f.Level.Shots)),
			"write survey.places: places.csv, a list of id, x and y")
		return
	case len(s.opt.SetUps) > 0:
		s.at.fault("a level book has its own set-ups, and the survey gives a height of instrument too",
			"take hi, zero, benchmark and set_ups out of the survey")
		return
	case s.opt.Reading == table.Elevations:
		s.at.fault("a level book holds readings, and the survey says elevations", "take reading out of the survey")
		return
	case f.Refused > f.Unread:
		s.fault(fmt.Sprintf("%d readings of the book cannot be used, so set-ups and elevations may be wrong", f.Refused-f.Unread),
			"mend them as the notes on the book say")
		return
	}
	places, names, ok := r.planPlaces(s)
	if !ok {
		return
	}
	r.bookSetUps(s, f.Level, one)
	r.bookShots(s, f.Level, one, places)
	r.unmatched(s, f.Level, places, names)
}

// bookUnit settles what a plain 1 of a level book measures.
func (r *jobReader) bookUnit(s *shotFile, f *bare.File) (unit.Length, bool) {
	if f.Unit != bare.Unstated {
		_, one, ok := s.unitsOf(r.plan, f.Unit)
		return one, ok
	}
	switch one := s.opt.Book.One(); {
	case one != 0:
		return one, true
	case s.opt.Book == table.BookFeetInches:
		s.fault("the readings have no marks of feet and inches, so 5.4 may be 5.4 ft or 5 ft 4 in",
			"write survey.unit: ft if they are decimal feet, else marks beside each reading")
	default:
		s.fault("the book states no unit", "write a line above its table: unit: ft, or survey.unit")
	}
	return 0, false
}

// bookSetUps gives the survey the book's set-ups and what it closes on.
func (r *jobReader) bookSetUps(s *shotFile, b *level.Result, one unit.Length) {
	s.opt.Before = len(r.src.SetUps)
	ids := map[int]string{} // by the number in the book
	for i, in := range b.SetUps {
		u := survey.SetUp{ID: r.freeID(strconv.Itoa(i + 1)), On: in.On, From: table.Times(in.From, one),
			Backsight: table.Times(in.Backsight, one), Direct: in.Direct, Shift: table.Times(in.Correction, one)}
		if u.HI = u.From + u.Backsight; u.Direct {
			u.HI = u.From - u.Backsight
		}
		ids[in.SetUp] = u.ID
		r.src.SetUps = append(r.src.SetUps, u)
	}
	s.opt.SetUps, s.book = r.src.SetUps[s.opt.Before:], true
	for _, c := range b.Checks {
		shot := b.Shots[c.Shot]
		out := survey.Closing{SetUp: ids[shot.SetUp], On: c.Mark.Shot, Found: table.Times(c.Found, one),
			Known: table.Times(c.Elevation, one), File: s.file, Line: shot.Line}
		out.Allowed, out.By = r.allowed(item{})
		if out.By != byJob && b.Allowed > 0 && shot.Kind == level.Foresight {
			out.Allowed, out.By = b.Allowed, b.Order.Name
		}
		r.src.Closings = append(r.src.Closings, out)
	}
}

// freeID is a set-up's id that the survey does not have yet.
func (r *jobReader) freeID(id string) string {
	for slices.ContainsFunc(r.src.SetUps, func(u survey.SetUp) bool { return u.ID == id }) {
		id = "book " + id
	}
	return id
}

// bookShots makes shots of the readings whose places are known.
func (r *jobReader) bookShots(s *shotFile, b *level.Result, one unit.Length, places map[string]*planPlace) {
	number := map[int]int{} // of the set-up in the job, by that in the book
	for i, in := range b.SetUps {
		number[in.SetUp] = s.opt.Before + i + 1
	}
	for _, x := range b.Shots {
		p := places[x.Reading.Shot]
		if p == nil {
			continue
		}
		p.read = true
		shot := survey.Shot{ID: clean(x.Reading.Shot), At: p.at, Code: p.code, File: s.file, Line: x.Line,
			Rod: table.Times(x.Rod, one), SetUp: number[x.SetUp]}
		shot.Elev = r.src.SetUps[shot.SetUp-1].Elevation(shot.Rod)
		if !within(shot.At, shot.Elev.Feet()) {
			s.fault(fmt.Sprintf("%s lies beyond 1e8 ft", shot.ID), "check the units of the book and of its places")
			return
		}
		s.shots, s.area = append(s.shots, shot), append(s.area, p.area)
	}
	if s.seen = len(s.shots); s.seen == 0 {
		s.fault("no name of the book stands in the list of places", "write the names in places.csv as the book has them")
	}
}

// unmatched lists the names of a book without a place, and places without a
// reading.
func (r *jobReader) unmatched(s *shotFile, b *level.Result, places map[string]*planPlace, names []string) {
	known := map[string]bool{b.Start.Shot: true}
	for _, c := range b.Checks {
		known[c.Mark.Shot] = true
	}
	var astray, unread []string
	for _, x := range b.Shots {
		if places[x.Reading.Shot] == nil {
			astray = append(astray, x.Reading.Shot)
		}
	}
	astray = distinct(astray)
	for _, name := range names {
		if !places[name].read && !known[name] {
			unread = append(unread, strconv.Quote(name))
		}
	}
	note := func(names []string, why, mend string) {
		if len(names) > 0 {
			s.out.Add(problem.Problem{File: s.file, Grade: problem.Note, Why: fmt.Sprintf(why, len(names), someOf(names)), Mend: mend})
		}
	}
	note(astray, "%d names of the book have no place on the plan and are no shots: %s",
		"add those that stand on the roof to "+strings.TrimSpace(r.placesAt.n.Value)+"; turning points and benchmarks need none")
	note(unread, "%d places have no reading in the book: %s", "check the spelling, or take them out")
}
