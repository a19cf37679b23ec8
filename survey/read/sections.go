package read

import (
	"fmt"
	"regexp"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
)

// sectionName is what a section may be called: it names a file.
var sectionName = regexp.MustCompile(`^[A-Za-z0-9_-]{1,12}$`)

// leastSectionFt is the shortest line to cut a roof along.
const leastSectionFt = 1

// sections reads the lines along which the roof is to be drawn cut.
func (r *jobReader) sections(j *survey.Job, v item) {
	if r.tooMany(v) {
		return
	}
	taken := map[string]bool{}
	for _, s := range v.list() {
		f, ok := s.fields("section")
		if !ok {
			continue
		}
		var c survey.Section
		name := f.get("name")
		c.Name, ok = name.text()
		switch key := strings.ToLower(c.Name); {
		case name.absent:
			name.fault("the section has no name", "write name: A")
		case ok && !sectionName.MatchString(c.Name):
			name.fault("a section is named by up to 12 letters, figures, - and _", "write name: A; it names the picture")
		case ok && taken[key]:
			name.fault("two sections have this name", "give each a name of its own")
		default:
			taken[key] = true
		}
		from, to := f.get("from"), f.get("to")
		for _, end := range []item{from, to} {
			if end.absent {
				end.fault("the section has but one end", "write from: [x, y] and to: [x, y]")
			}
		}
		var okFrom, okTo bool
		c.From, okFrom = from.pair()
		c.To, okTo = to.pair()
		if okFrom && okTo {
			r.cuts(s, c)
		}
		j.Sections = append(j.Sections, c)
	}
}

// cuts refuses a section that is too short or that meets no area.
func (r *jobReader) cuts(v item, c survey.Section) {
	if c.From.Dist(c.To) < leastSectionFt {
		v.fault(fmt.Sprintf("the two ends of the section lie %.2g ft apart", c.From.Dist(c.To)),
			"draw it from one edge of the roof to another")
		return
	}
	areas := 0
	for _, a := range r.areas {
		if !a.sound {
			return // its own fault is told
		}
		areas++
		if crosses(a.Outline, c.From, c.To) {
			return
		}
	}
	if areas > 0 {
		v.fault("the section crosses no area", "let it run over the roof")
	}
}

// crosses says whether part of a stretch lies in a ring.
func crosses(ring geom.Ring, from, to geom.Pt) bool {
	if ring.Has(from) || ring.Has(to) {
		return true
	}
	for n := range ring {
		if geom.Meet(from, to, ring[n], ring.At(n+1)) {
			return true
		}
	}
	return false
}
