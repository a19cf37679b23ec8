package read

import (
	"math"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// source is what the job says of its shot lists and cores.
type source struct {
	listing // of the survey
	cores   item
	deck    listing // shots on the bare deck
	laid    listing // shots on the surface as laid
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
	r.src, r.book = &j.Survey, bookOf(f.get("unit"))
	r.allowedAt, r.placesAt = f.get("allowed"), f.get("places")
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
	s := source{listing: r.listing(j, f, "1"), cores: f.get("cores")}
	if s.shots.absent {
		s.shots.fault("the survey names no shot list", "write shots: shots.csv, or survey: none")
		s.ok = false
	}
	r.closings(j, f.get("closings"))
	r.deckList(j, &s, f.get("deck_shots"))
	r.evidence(j, f)
	return s
}

// deckList reads which list holds the shots on the bare deck.
func (r *jobReader) deckList(j *survey.Job, s *source, v item) {
	if v.absent {
		return
	}
	if j.Survey.Surface == survey.Deck {
		v.fault("the survey stands on the deck already", "take deck_shots out, or write surface: membrane")
	}
	s.deck = r.laterList(j, v, laterKind{"deck_shots", "deck", "deck.csv"}, func(fields) {})
}

// bookOf reads the unit of plain numbers in the survey.
func bookOf(v item) table.BookUnit {
	return table.BookNamed(v.word("ft", "in", "ft-in", "m", "mm", "us-ft"))
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
