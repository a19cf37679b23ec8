package read

import (
	"math"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// source is what the job says of its shot list.
type source struct {
	shots, cores item
	opt          table.ShotOptions
	ok           bool // the shot list can be read
}

// source reads where the elevations come from.
func (r *jobReader) source(j *survey.Job, v item) source {
	if v.absent {
		v.fault("it is not stated whether the roof was surveyed",
			"write survey: {shots: shots.csv, surface: membrane, unit: ft}, or survey: none")
		return source{}
	}
	if v.n.Kind == yaml.ScalarNode && v.n.Value == "none" {
		j.Survey.None = true
		return source{}
	}
	f, ok := v.fields("survey")
	if !ok {
		return source{}
	}
	s := source{shots: f.get("shots"), cores: f.get("cores")}
	if s.shots.absent {
		s.shots.fault("the survey names no shot list", "write shots: shots.csv, or survey: none")
	}
	r.book = bookOf(f.get("unit"))
	switch surface := f.get("surface"); surface.word("membrane", "deck") {
	case "membrane":
		j.Survey.Surface = survey.Membrane
	case "deck":
		j.Survey.Surface = survey.Deck
	default:
		if surface.absent {
			surface.fault("it is not stated what the shots stand on", "write surface: membrane or surface: deck")
		}
	}
	j.Survey.ReadingError, _ = f.get("reading_error").positive(0, true)
	s.ok = !s.shots.absent
	r.shotOptions(&s, f)
	return s
}

// bookOf reads the unit of plain numbers in the survey.
func bookOf(v item) table.BookUnit {
	switch v.word("ft", "in", "ft-in", "m", "mm", "us-ft") {
	case "ft":
		return table.BookFeet
	case "in":
		return table.BookInches
	case "ft-in":
		return table.BookFeetInches
	case "m":
		return table.BookMetres
	case "mm":
		return table.BookMillimetres
	case "us-ft":
		return table.BookSurveyFeet
	}
	return table.UnsetBook
}

// shotOptions reads how the shot list is written.
func (r *jobReader) shotOptions(s *source, f fields) {
	s.opt = table.ShotOptions{Plan: r.plan, Book: r.book}
	for _, c := range f.get("columns").list() {
		name, _ := c.text()
		if name != "" && table.NameOf(table.ShotColumns, name) == "" {
			near := table.Nearest(name, table.Names(table.ShotColumns))
			c.fault("unknown column", table.MeantOr(near, table.Names(table.ShotColumns)))
			s.ok = false
		}
		s.opt.Columns = append(s.opt.Columns, name)
	}
	reading := f.get("reading")
	switch reading.word("rod", "elevation") {
	case "rod":
		s.opt.Reading = table.RodReadings
	case "elevation":
		s.opt.Reading = table.Elevations
	}
	hi, bench := f.get("hi"), f.get("benchmark")
	switch {
	case !hi.absent && !bench.absent:
		bench.fault("the survey has a height of instrument and a benchmark", "keep one of them")
	case !hi.absent:
		s.opt.HI, s.opt.HasHI = r.elevation(hi)
	case !bench.absent:
		s.opt.HI, s.opt.HasHI = r.benchmark(bench)
	}
	given := !hi.absent || !bench.absent
	if s.opt.Reading == table.RodReadings && !given {
		reading.fault("rod readings need the height of the instrument",
			"write hi: 104.50 ft, or benchmark: {elevation: 100 ft, rod: 4.50 ft}")
		s.opt.Reading, s.opt.HasHI = table.RodReadings, true // told once
	}
	if given {
		if s.opt.Reading == table.Elevations {
			reading.fault("elevations need no height of instrument",
				"write reading: rod, or take hi and benchmark out")
		}
		s.opt.HasHI = true // what is wrong with it is told above
	}
}

// benchmark gives the height of instrument: the benchmark's elevation plus the
// rod held on it.
func (r *jobReader) benchmark(v item) (unit.Length, bool) {
	f, ok := v.fields("benchmark")
	if !ok {
		return 0, false
	}
	elev, rod := f.get("elevation"), f.get("rod")
	for _, part := range []item{elev, rod} {
		if part.absent {
			part.fault("a benchmark has an elevation and a rod reading on it",
				"write benchmark: {elevation: 100 ft, rod: 4.50 ft}")
		}
	}
	e, ok := r.elevation(elev)
	b, also := r.elevation(rod)
	return e + b, ok && also
}

// elevation reads an elevation or reading; a plain number is in the survey's
// unit and refused where that is not stated.
func (r *jobReader) elevation(v item) (unit.Length, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	l, err := r.book.Read(t)
	if err != nil {
		v.refuse(err)
		return 0, false
	}
	if math.Abs(l.Feet()) > table.MostCoordFt {
		return 0, v.near(l)
	}
	return l, true
}
