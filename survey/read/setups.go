package read

import (
	"fmt"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/level"
	"runnel/survey/problem"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

const byJob = "the job"

// listing is what the job says of one shot list.
type listing struct {
	shots item
	opt   table.ShotOptions
	ok    bool // the list can be read
	alone bool // its set-ups are those of the survey, by name
}

// listing reads how a shot list is written, and adds its set-ups to the job; lone
// is the id of one that stands beside the list's name.
func (r *jobReader) listing(j *survey.Job, f fields, lone string) listing {
	l := listing{shots: f.get("shots"), ok: true}
	l.opt = table.ShotOptions{Plan: r.plan, Book: r.book, Before: len(j.Survey.SetUps)}
	l.ok = r.columns(&l.opt, f.get("columns"))
	reading := f.get("reading")
	word := reading.word("rod", "direct", "elevation")
	switch word {
	case "rod", "direct":
		l.opt.Reading = table.RodReadings
	case "elevation":
		l.opt.Reading = table.Elevations
	}
	before := r.out.Faults
	r.stands(j, f, word, lone)
	if !f.get("set_ups").absent && r.out.Faults > before {
		l.ok = false // which set-up a shot means cannot be told
	}
	l.opt.SetUps = j.Survey.SetUps[l.opt.Before:]
	switch n := len(l.opt.SetUps); {
	case l.opt.Reading == table.RodReadings && n == 0 && word == "rod" && !r.placesAt.absent:
		// a level book has its own set-ups
	case l.opt.Reading == table.RodReadings && n == 0:
		reading.fault("rod readings need the height of the instrument",
			"write hi: 104.50 ft, or benchmark: {elevation: 100 ft, rod: 4.50 ft}")
		l.ok = false
	case l.opt.Reading == table.Elevations && n > 0:
		reading.fault("elevations need no height of instrument",
			"write reading: rod or reading: direct, or take hi, zero, benchmark and set_ups out")
	case l.opt.Reading == table.UnsetReading && n > 0 && !f.get("set_ups").absent:
		l.opt.Reading = table.RodReadings // each set-up says which
	}
	return l
}

// columns reads the columns of a list without header.
func (r *jobReader) columns(opt *table.ShotOptions, v item) bool {
	sound := true
	for _, c := range v.list() {
		name, _ := c.text()
		if name != "" && table.NameOf(table.ShotColumns, name) == "" {
			known := table.Names(table.ShotColumns)
			c.fault("unknown column", table.MeantOr(table.Nearest(name, known), table.ColumnWords()))
			sound = false
		}
		opt.Columns = append(opt.Columns, name)
	}
	return sound
}

// stands reads the set-ups of a list: those of set_ups, or the one that stands
// beside the list's name.
func (r *jobReader) stands(j *survey.Job, f fields, word, lone string) {
	list := f.get("set_ups")
	if list.absent {
		if len(how(f)) > 0 {
			r.stand(j, f, lone, word, len(j.Survey.SetUps))
		}
		return
	}
	if r.tooMany(list) {
		return
	}
	for _, key := range []string{"hi", "zero", "benchmark"} {
		if v := f.get(key); !v.absent {
			v.fault("the survey has set_ups and a "+key+" of its own", "write it under the set-up that it belongs to")
		}
	}
	first := len(j.Survey.SetUps)
	for _, v := range list.list() {
		s, ok := v.fields("set_up")
		if !ok {
			continue
		}
		id := s.get("id")
		name, _ := id.text()
		if id.absent {
			id.fault("the set-up has no id", "write id: 1, as the column set_up of the shots has it")
		}
		r.stand(j, s, name, r.rodOf(s, word), first)
	}
	if list.n.Kind == seqKind && len(list.n.Content) == 0 {
		list.fault("there are no set-ups in the list", "write - {id: 1, reading: rod, hi: 104.50 ft}, or take it out")
	}
}

// rodOf reads which way the rod of a set-up reads; for those that do not say
// it, general is what the survey says of all.
func (r *jobReader) rodOf(s fields, general string) string {
	v := s.get("reading")
	word := v.word("rod", "direct")
	switch {
	case word != "":
		return word
	case general == "rod" || general == "direct":
		return general
	case v.absent && s.get("zero").absent:
		v.fault("it is not stated which way the rod of this set-up reads",
			"write reading: rod where a bigger reading is a lower place, reading: direct where it is a higher one")
	}
	return "asked"
}

// how lists the keys by which a set-up says its height of instrument.
func how(f fields) (keys []string) {
	for _, key := range []string{"hi", "zero", "benchmark", "tied_to"} {
		if !f.get(key).absent {
			keys = append(keys, key)
		}
	}
	return keys
}

// stand reads one set-up; first is the number of the first of its list, from 0.
func (r *jobReader) stand(j *survey.Job, f fields, id, word string, first int) {
	u := survey.SetUp{ID: id, Direct: word == "direct"}
	hi, zero, bench, tied := f.get("hi"), f.get("zero"), f.get("benchmark"), f.get("tied_to")
	for i, old := range j.Survey.SetUps {
		if old.ID == id && id != "" {
			f.fault(fmt.Sprintf("set-up %s stands twice, number %d of the job has the same id", id, i+1), "give it another id")
		}
	}
	switch ways := how(f); len(ways) {
	case 1:
	case 0:
		f.fault("the set-up has no height of instrument", "write hi: 104.50 ft, benchmark: {elevation: 100 ft, rod: 4.50 ft}, "+
			"or tied_to: with the id of a set-up that read shots of the same names")
	default:
		f.get(ways[len(ways)-1]).fault("the height of the instrument is given twice, by "+strings.Join(ways, " and "), "keep one of them")
	}
	switch {
	case !hi.absent:
		u.HI, _ = r.elevation(hi)
		if u.Direct {
			hi.fault("a direct rod has no height of instrument", "write zero: the elevation at the rod's zero, 0 ft where it shows elevations")
		}
	case !zero.absent:
		u.HI, _ = r.elevation(zero)
		if word == "rod" {
			zero.fault("only a direct rod has a zero", "write hi: 104.50 ft, or reading: direct")
		}
		u.Direct = true
	case !bench.absent:
		if word == "" {
			bench.fault("it is not stated which way the rod reads",
				"write reading: rod where a bigger reading is a lower place, reading: direct where it is a higher one")
		}
		r.benchmark(j, &u, bench)
	case !tied.absent:
		r.tiedTo(j, &u, tied, first)
	}
	u.Shift, _ = r.elevation(f.get("shift"))
	j.Survey.SetUps = append(j.Survey.SetUps, u)
}

// tiedTo reads which set-up, before it in its list, another is tied to.
func (r *jobReader) tiedTo(j *survey.Job, u *survey.SetUp, v item, first int) {
	name, ok := v.text()
	if !ok {
		return
	}
	for _, old := range j.Survey.SetUps[first:] {
		if old.ID == name {
			u.TiedTo = name
			return
		}
	}
	v.fault("no set-up of this id stands before it in the list", "write the id of one that does, and put it first")
}

// benchmark gives the height of instrument: the benchmark's elevation and the
// rod held on it. Where the crew read it again at the end, that closes the
// set-up; the misclosure is told and not spread, since the readings of one
// set-up share no drift that is known (see the decisions).
func (r *jobReader) benchmark(j *survey.Job, u *survey.SetUp, v item) {
	f, ok := v.fields("benchmark")
	if !ok {
		return
	}
	elev, rod, last := f.get("elevation"), f.get("rod"), f.get("close")
	for _, part := range []item{elev, rod} {
		if part.absent {
			part.fault("a benchmark has an elevation and a rod reading on it",
				"write benchmark: {elevation: 100 ft, rod: 4.50 ft}")
		}
	}
	u.On = "benchmark"
	if on, ok := f.get("on").text(); ok {
		u.On = on
	}
	u.From, _ = r.elevation(elev)
	u.Backsight, _ = r.rod(rod, u.Direct)
	if u.HI = u.From + u.Backsight; u.Direct {
		u.HI = u.From - u.Backsight
	}
	c := survey.Closing{SetUp: u.ID, On: u.On, Known: u.From, File: r.file, Line: last.n.Line}
	c.Allowed, c.By = r.allowed(f.get("allowed"))
	again, ok := r.rod(last, u.Direct)
	if !ok {
		if last.absent && !f.get("allowed").absent {
			f.get("allowed").fault("an allowed misclosure without a closing", "write close: the reading on the benchmark at the end")
		}
		return
	}
	c.Found = u.Elevation(again)
	j.Survey.Closings = append(j.Survey.Closings, c)
}

// rod reads one reading of a rod.
func (r *jobReader) rod(v item, direct bool) (unit.Length, bool) {
	l, ok := r.elevation(v)
	if ok && l < 0 && !direct {
		v.fault("a rod reading cannot be less than 0", "write it as read, or reading: direct")
	}
	return l, ok
}

// allowed reads the misclosure that is allowed: the closing's own, else the
// survey's, else common practice.
func (r *jobReader) allowed(v item) (unit.Length, string) {
	for _, a := range []item{v, r.allowedAt} {
		if a.r == nil || a.absent {
			continue
		}
		l, ok := r.elevation(a)
		if ok && l <= 0 {
			a.fault("an allowed misclosure must be more than 0", "write allowed: 0.02 ft")
		}
		return l, byJob
	}
	flat := level.Flat()
	return flat.At, flat.Name
}

// closings reads closings that the crew reduced by itself.
func (r *jobReader) closings(j *survey.Job, v item) {
	if r.tooMany(v) {
		return
	}
	for _, c := range v.list() {
		f, ok := c.fields("closing")
		if !ok {
			continue
		}
		out := survey.Closing{File: r.file, Line: c.n.Line}
		if out.On, _ = f.get("on").text(); f.get("on").absent {
			f.get("on").fault("it is not stated what the line closes on", "write on: BM1")
		}
		out.SetUp, _ = f.get("set_up").text()
		for _, part := range []struct {
			key string
			to  *unit.Length
		}{{"found", &out.Found}, {"known", &out.Known}} {
			v := f.get(part.key)
			if v.absent {
				v.fault("a closing has an elevation found and one known", "write found: 100.01 ft, known: 100.00 ft")
			}
			*part.to, _ = r.elevation(v)
		}
		out.Allowed, out.By = r.allowed(f.get("allowed"))
		if by := f.get("by"); !by.absent {
			out.By = by.words()
		}
		j.Survey.Closings = append(j.Survey.Closings, out)
	}
}

// judgeClosings notes what does not close. It is told here, so that it stands
// in every report.
func (r *jobReader) judgeClosings(j *survey.Job) {
	for _, c := range j.Survey.Closings {
		if within, stated := c.Within(); within || !stated {
			continue
		}
		p := problem.Problem{File: c.File, Line: c.Line, Field: "closing", Value: c.On, Grade: problem.Note}
		from := ""
		if c.SetUp != "" {
			from = " from set-up " + c.SetUp
		}
		p.Why = fmt.Sprintf("benchmark not closed: read again%s it lies %s off, more than the %s allowed (%s)", from,
			r.signed(c.Misclosure()), r.small(c.Allowed), c.By)
		p.Mend = "every elevation read there may be off by as much: run the line again"
		r.more.Add(p)
	}
}

// small writes a small length as field books have it.
func (r *jobReader) small(l unit.Length) string {
	if r.plan == unit.Metre {
		return fmt.Sprintf("%.1f mm", l.Millimetres())
	}
	return fmt.Sprintf("%.3f ft", l.Feet())
}

func (r *jobReader) signed(l unit.Length) string {
	if math.Signbit(l.Inches()) {
		return r.small(l)
	}
	return "+" + r.small(l)
}
