package read

import (
	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/read/table"
)

// laterKind is a kind of list that is taken after the survey: its key, the id of a
// set-up that stands beside its name, a file name to suggest.
type laterKind struct{ key, lone, file string }

// laterList reads which list of shots was taken after the survey: its name, or a
// group of keys where it was written or read in another way, or has keys of its
// own, which own reads. A list named alone, or in a
// group that says nothing of rods, holds elevations, or says with a column set_up
// which of the survey's set-ups read each shot.
func (r *jobReader) laterList(j *survey.Job, v item, kind laterKind, own func(f fields)) listing {
	l := listing{shots: v, ok: true, alone: true, opt: table.ShotOptions{Plan: r.plan, Book: r.book}}
	if v.n.Kind == yaml.ScalarNode {
		return l
	}
	f, ok := v.fields(kind.key)
	if !ok {
		return listing{}
	}
	general := r.book
	if u := f.get("unit"); !u.absent {
		r.book = bookOf(u)
	}
	if len(how(f)) == 0 && f.get("set_ups").absent && f.get("reading").absent {
		l.shots, l.opt.Book = f.get("shots"), r.book
		l.ok = r.columns(&l.opt, f.get("columns"))
	} else {
		l = r.listing(j, f, kind.lone)
	}
	own(f)
	r.book = general
	if l.shots.absent {
		l.shots.fault("the list of shots has no name", "write shots: "+kind.file)
		l.ok = false
	}
	return l
}

// asBuilt reads which list holds the shots on the surface as laid, and how far
// that may lie from the design.
func (r *jobReader) asBuilt(j *survey.Job, s *source, v item) {
	switch {
	case v.absent:
		return
	case j.Survey.None:
		v.fault("the surface as laid is held against a design on the deck as surveyed, and there is no survey",
			"write survey: {shots: shots.csv, surface: membrane, unit: ft}, or take asbuilt out")
		return
	}
	s.laid = r.laterList(j, v, laterKind{"asbuilt", "as built", "asbuilt.csv"}, func(f fields) {
		j.AsBuilt.ReadingError, _ = f.get("reading_error").positive(0, true)
		j.AsBuilt.Place, _ = f.get("place").positive(0, false)
		j.AsBuilt.Run, _ = f.get("run").positive(0, false)
	})
}
