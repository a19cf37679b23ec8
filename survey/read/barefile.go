package read

import (
	"fmt"
	"strconv"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// bareFile takes the places of a file that is no delimited text: all of them,
// or those of the layer or surface that part names.
func (r *jobReader) bareFile(s *shotFile, f *bare.File, part string) {
	for _, p := range f.Problems {
		if p.Field != bare.UnitField && p.Field != bare.LevelField { // the job says these itself
			p.File = s.file
			s.out.Add(p)
		}
	}
	if s.out.Faults > 0 {
		return
	}
	if f.Level != nil {
		r.levelBook(s, f)
		return
	}
	lists, ok := s.chosen(f, part)
	if !ok {
		return
	}
	plan, up, ok := s.unitsOf(r.plan, f.Unit)
	if !ok {
		return
	}
	reduce, ok := s.cells(f, up)
	if !ok {
		return
	}
	if f.Unit == bare.SurveyFeet && r.plan == unit.Foot {
		s.askPlan(lists)
	}
	s.places(lists, plan, reduce)
	if f.Refused > 0 {
		s.note(fmt.Sprintf("%d records hold no place that can be used and are left out", f.Refused), "see the notes on the file")
	}
}

// places takes the places of lists, each x, y and z once.
func (s *shotFile) places(lists [][]bare.Place, plan unit.Length, reduce func(z float64) survey.Shot) {
	far, again := 0, 0
	seen := map[[3]float64]bool{}
	for _, list := range lists {
		for _, p := range list {
			shot := reduce(p.Z)
			shot.ID, shot.Code, shot.File, shot.Line = p.ID, p.Code, s.file, p.Line
			shot.At = geom.Pt{X: ftOf(p.X, plan), Y: ftOf(p.Y, plan)}
			if !within(shot.At, shot.Elev.Feet()) {
				far++
				continue
			}
			if at := [3]float64{p.X, p.Y, p.Z}; len(lists) > 1 {
				if seen[at] {
					again++
					continue
				}
				seen[at] = true
			}
			if !s.take(shot, "") {
				return
			}
		}
	}
	if far > 0 {
		s.note(fmt.Sprintf("%d places lie beyond 1e8 ft and are left out", far), "check the units")
	}
	if again > 0 {
		s.note(fmt.Sprintf("%d places stand in the file more than once and are taken once", again), "nothing to do")
	}
	if s.seen == 0 {
		s.fault("the file holds no shots", "name a file with points, or a layer that has them: roof.dxf#LAYER")
	}
}

// chosen gives the places of the part that is named, or of the whole file.
func (s *shotFile) chosen(f *bare.File, part string) (lists [][]bare.Place, ok bool) {
	if part != "" {
		return s.part(f, part)
	}
	if len(f.Surfaces) > 1 && overlapping(f.Surfaces) {
		var names []string
		for _, one := range f.Surfaces {
			names = append(names, strconv.Quote(problem.Clip(one.Name)))
		}
		s.at.fault(fmt.Sprintf("the file holds %d surfaces that lie over each other: %s", len(names), someOf(names)),
			"name the one that was surveyed: "+s.file+"#NAME")
		return nil, false
	}
	if len(f.Places) > 0 {
		lists = append(lists, f.Places)
	}
	for _, one := range f.Surfaces {
		lists = append(lists, one.Places)
	}
	level := 0
	for _, c := range f.Chains {
		if c.Sloped() {
			lists = append(lists, c.Places)
		} else if c.Places[0].Z != 0 {
			level++
		}
	}
	if level > 0 {
		s.note(problem.Count(level, "line that lies level all along is", "lines that lie level all along are")+" not taken for shots",
			"name their layer if they were surveyed: "+s.file+"#LAYER")
	}
	return lists, true
}

// part gives the places of one layer of a drawing, or of one surface.
func (s *shotFile) part(f *bare.File, part string) (lists [][]bare.Place, ok bool) {
	lists, names := f.Part(part)
	if lists == nil {
		s.at.fault(fmt.Sprintf("no shots stand on a layer or surface named %q", problem.Clip(part)), "the names are "+someOf(distinct(names)))
		return nil, false
	}
	return lists, true
}

// distinct gives each name once, quoted, in the order of their coming.
func distinct(names []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, n := range names {
		if !seen[n] {
			seen[n] = true
			out = append(out, strconv.Quote(problem.Clip(n)))
		}
	}
	return out
}

// someOf lists words, the first of many.
func someOf(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return problem.Firsts(words)
}

// overlapping says whether the boxes of any two surfaces share an area.
func overlapping(surfaces []bare.Surface) bool {
	if len(surfaces) > 1000 {
		return true
	}
	var boxes []geom.Box
	for _, s := range surfaces {
		var at []geom.Pt
		for _, p := range s.Places {
			at = append(at, geom.Pt{X: p.X, Y: p.Y})
		}
		b := geom.BoxOf(at...)
		for _, o := range boxes {
			if min(o.Max.X, b.Max.X) > max(o.Min.X, b.Min.X) && min(o.Max.Y, b.Max.Y) > max(o.Min.Y, b.Min.Y) {
				return true
			}
		}
		boxes = append(boxes, b)
	}
	return false
}

// cells gives how the figures of a file become elevations: as they stand, or,
// in a grid sheet of rod readings, by the job's set-up.
func (s *shotFile) cells(f *bare.File, up unit.Length) (reduce func(z float64) survey.Shot, ok bool) {
	as := func(z float64) survey.Shot { return survey.Shot{Elev: table.Times(z, up)} }
	c := f.Sheet
	if c == nil {
		return as, true
	}
	rods := c.Rod || c.Direct
	switch {
	case rods && c.HasHI, c.Elevations, !rods && s.opt.Reading == table.Elevations:
		return as, true
	case !rods && s.opt.Reading == table.UnsetReading:
		s.fault("the sheet does not say whether its cells are rod readings or elevations",
			"write rod or elevation into its corner cell, or survey.reading: rod or elevation")
		return nil, false
	case len(s.opt.SetUps) != 1:
		s.fault("rod readings need the height of the instrument",
			"write a line above the sheet: hi: 104.32, or survey.hi or survey.benchmark")
		return nil, false
	}
	u := s.opt.SetUps[0]
	if rods && c.Direct != u.Direct {
		s.fault("the sheet and the job do not agree which way the rod reads", "mend survey.reading (rod or direct), or the corner of the sheet")
		return nil, false
	}
	return func(z float64) survey.Shot {
		switch {
		case c.Rod:
			z = bare.AssumedHI - z
		case c.Direct:
			z -= bare.AssumedHI
		}
		rod := table.Times(z, up)
		return survey.Shot{Elev: u.Elevation(rod), Rod: rod, SetUp: s.opt.Before + 1}
	}, true
}

// askPlan notes where a file in US survey feet and a job in feet are apart by
// more than a shot is good for.
func (s *shotFile) askPlan(lists [][]bare.Place) {
	far := 0.0
	for _, list := range lists {
		for _, p := range list {
			far = max(far, p.X, -p.X, p.Y, -p.Y)
		}
	}
	off := unit.Inches(far * (unit.SurveyFoot - unit.Foot).Inches())
	if off < unit.Foot/50 {
		return
	}
	s.out.Add(problem.Problem{File: s.file, Field: bare.UnitField, Grade: problem.Note,
		Why:  fmt.Sprintf("the file states US survey feet; plain plan numbers of this job are feet, which lie %.2f ft apart there", off.Feet()),
		Mend: "write job.plan: us-ft if the outline is in US survey feet too"})
}
