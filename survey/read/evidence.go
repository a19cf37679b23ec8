package read

import (
	"fmt"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"runnel/survey"
	"runnel/survey/geom"
)

// mostWords is how many characters a remark may have: it stands on a sheet.
const mostWords = 200

// words reads a remark for people.
func (v item) words() string {
	t, ok := v.text()
	if n := utf8.RuneCountInString(t); ok && n > mostWords {
		v.fault(fmt.Sprintf("a remark may have %d characters, this one has %d", mostWords, n), "write a shorter one")
	}
	return t
}

// evidence reads how the survey was made, and its photos.
func (r *jobReader) evidence(j *survey.Job, f fields) {
	e := &j.Survey.Evidence
	for _, part := range []struct {
		key string
		to  *string
	}{{"method", &e.Method}, {"instrument", &e.Instrument}, {"checked", &e.Checked}, {"date", &e.Date},
		{"by", &e.By}, {"weather", &e.Weather}} {
		*part.to = f.get(part.key).words()
	}
	photos := f.get("photos")
	if r.tooMany(photos) {
		return
	}
	for _, v := range photos.list() {
		p, ok := v.fields("photo")
		if !ok {
			continue
		}
		photo := survey.Photo{File: p.get("file").words(), Note: p.get("note").words()}
		if p.get("file").absent {
			p.get("file").fault("the photo has no name", "write file: IMG_0012.jpg")
		}
		if p.get("at").absent {
			p.get("at").fault("the photo has no place", "write at: [x, y], where it was taken")
		}
		if photo.At, ok = p.get("at").pair(); ok {
			r.marks = append(r.marks, mark{p.get("at"), "photo was taken", geom.Ring{photo.At}})
		}
		j.Survey.Photos = append(j.Survey.Photos, photo)
	}
}

// mark is a place or a ring that should lie on the roof.
type mark struct {
	at   item
	what string // and what of it lies there
	ring geom.Ring
}

// besideFt is how far off the roof a photo may be taken, or a pond be drawn, and
// still be of it: from a ladder or a lift. Common practice, no source.
const besideFt = 10

// checkMarks notes photos and ponds seen that lie off every area. The areas must
// have been read.
func (r *jobReader) checkMarks() {
	for _, m := range r.marks {
		near := false
		for _, a := range r.areas {
			for _, p := range m.ring {
				near = near || !a.sound || a.Outline.Has(p) || a.Outline.Dist(p) <= besideFt
			}
			near = near || len(m.ring) > 2 && len(a.Outline) > 0 && m.ring.Has(a.Outline[0])
		}
		if !near && len(r.areas) > 0 {
			m.at.note(fmt.Sprintf("the %s at %s, on no area of the job", m.what, r.place(m.ring[0])), "mend its coordinates, or take it out")
		}
	}
}

// deckKind reads the make of a deck.
func (r *jobReader) deckKind(v item) survey.DeckKind {
	var d survey.DeckKind
	f, ok := v.fields("deck")
	if !ok {
		return d
	}
	d.Type, d.Framing = f.get("type").words(), f.get("framing").words()
	if deg, ok := f.get("span").degrees(); ok {
		d.SpanDeg = &deg
	}
	d.Bays = bays(f.get("bays"))
	r.deflection(&d, f)
	return d
}

// scope reads what of the old roof goes. The areas must have been read.
func (r *jobReader) scope(j *survey.Job, v, taper item) {
	if !v.absent && v.n.Kind == yaml.MappingNode {
		r.partial(j, v)
		return
	}
	switch v.word("tear-off", "recover", "partial") {
	case "tear-off":
		j.Scope = survey.TearOff
	case "recover":
		j.Scope = survey.Recover
	case "partial":
		v.fault("it is not stated which part of the old roof goes",
			"write scope: {partial: [[0,0], [20,0], [20,20], [0,20]]}, the outline of the tear-off")
	default:
		j.Scope = survey.TearOff
		if v.absent && !j.Survey.None && !taper.absent {
			v.note("what goes of the old roof is not stated; tear-off is taken",
				"write scope: tear-off or scope: recover")
		}
	}
}

// partial reads the outline of a tear-off in part, which must meet an area.
func (r *jobReader) partial(j *survey.Job, v item) {
	f, _ := v.fields("scope")
	part := f.get("partial")
	if part.absent {
		part.fault("it is not stated which part of the old roof goes", "write partial: [[x, y], ...], the outline of the tear-off")
		return
	}
	ring, ok := part.ring()
	if !ok || !r.simple(part, "outline of the tear-off", ring) {
		return
	}
	j.Scope, j.Part = survey.Partial, ring
	known := false
	for _, a := range r.areas {
		if known = known || a.sound; !a.sound || !a.Outline.Box().Overlaps(ring.Box()) {
			continue
		}
		parts, err := geom.Intersect(geom.Poly{Outer: ring.CCW()}, a.poly())
		if err != nil {
			part.fault("its overlap with area "+a.Name+" cannot be reckoned: "+err.Error(), "draw it with fewer vertices")
			return
		}
		for _, p := range parts {
			if p.Area() > 0 {
				return
			}
		}
	}
	if known {
		part.fault("the tear-off lies on no area of the job", "mend its coordinates")
	}
}
