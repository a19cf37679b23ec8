package read

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
)

// told is how many shots off the roof are named one by one.
const told = 20

// tables reads the shot and core lists and gives each area its own.
func (r *jobReader) tables(j *survey.Job, src source) {
	if src.shots.r == nil {
		return // none, or nothing to go by
	}
	var lay *layout // nil: where a shot lies cannot be told
	if len(r.areas) > 0 && !slices.ContainsFunc(r.areas, func(a *areaRead) bool { return !a.sound }) {
		lay = newLayout(r.areas)
	}
	shots := r.listed(src.listing, lay, true)
	for _, l := range []*listing{&src.deck, &src.laid} {
		if l.alone {
			l.opt.SetUps, l.opt.SetUpNamed = j.Survey.SetUps, len(j.Survey.SetUps) > 0
		}
	}
	deck, laid := r.listed(src.deck, lay, false), r.listed(src.laid, lay, false)
	cores := r.coreTable(src.cores)
	if lay == nil {
		return
	}
	onMembrane := func(a *areaRead) *[]survey.Shot { return &a.Shots }
	faults := 0
	for _, s := range shots {
		faults += r.placeShots(s, onMembrane)
	}
	if len(shots) > 0 && faults+r.out.Faults == 0 {
		r.enough(src.shots)
	}
	r.ties(j, src.opt, onMembrane)
	r.bookTies(j, shots, onMembrane)
	r.later(j, src.deck, deck, func(a *areaRead) *[]survey.Shot { return &a.DeckShots })
	r.later(j, src.laid, laid, func(a *areaRead) *[]survey.Shot { return &a.AsBuilt })
	r.retie(j)
	r.judgeClosings(j)
	r.placeCores(j, cores)
}

// later gives each area its shots of a list that was taken after the survey.
func (r *jobReader) later(j *survey.Job, l listing, files []*shotFile, of func(a *areaRead) *[]survey.Shot) {
	for _, s := range files {
		r.placeShots(s, of)
	}
	r.ties(j, l.opt, of)
	r.bookTies(j, files, of)
}

// listed reads the files of a listing; none where there is none or it cannot
// be read.
func (r *jobReader) listed(l listing, lay *layout, clouds bool) []*shotFile {
	if l.shots.r == nil || l.shots.absent || !l.ok {
		return nil
	}
	return r.shotFiles(l, lay, clouds)
}

// placeShots gives each area its shots of a file, into the list that of names,
// and counts the faults of the file.
func (r *jobReader) placeShots(s *shotFile, of func(a *areaRead) *[]survey.Shot) int {
	if s.cloud != nil {
		s.layCloud(r.small)
	} else if p := (placer{r: r, s: s, grid: s.lay.grid, of: of}); p.quick(len(s.shots)) {
		p.shots()
	}
	r.more = append(r.more, s.out.All()...)
	return s.out.Faults
}

// placer gives each shot to its area.
type placer struct {
	r    *jobReader
	s    *shotFile
	grid []bands       // beside the areas
	off  int           // shots that lie on no area
	left []survey.Shot // the first of them
	of   func(a *areaRead) *[]survey.Shot
}

// quick refuses an outline so ragged that the shots would take minutes to
// place.
func (p *placer) quick(shots int) bool {
	for i, g := range p.grid {
		if float64(shots)*float64(g.fullest()) > 4e9 {
			p.r.areas[i].outline.fault(fmt.Sprintf("the outline is too ragged to place %d shots in it", shots),
				"draw it with fewer vertices, or thin the shots")
			return false
		}
	}
	return true
}

// shots gives each shot to the area that holds it, or to the one that its area
// column names. Shots off the roof go to the nearest area, marked as left out.
func (p *placer) shots() {
	for i, s := range p.s.shots {
		k, why := p.areaOf(s, p.s.areaOf(i))
		if k < 0 {
			continue
		}
		if s.Left = why; why != "" {
			if p.off++; p.off <= told {
				p.left = append(p.left, s)
			}
		}
		list := p.of(p.r.areas[k])
		*list = append(*list, s)
	}
	if p.off*swapOff > len(p.s.shots) && p.swapped() {
		return
	}
	for _, s := range p.left {
		p.s.out.Add(problem.Problem{File: s.File, Line: s.Line, Field: "shot", Value: s.ID, Grade: problem.Note,
			Why:  "it " + s.Left + " at " + p.r.place(s.At) + " and is left out of the surface",
			Mend: "look at its coordinates and at the outline"})
	}
	if p.off > told {
		p.s.out.Add(problem.Problem{File: p.s.file, Grade: problem.Note,
			Why: problem.Count(p.off-told, "more shot lies off the roof and is", "more shots lie off the roof and are") + " left out of the surface"})
	}
}

// Where more than one shot in swapOff lies off the roof as written, and at most
// one in swapStray with x and y exchanged, they were exchanged in the list.
const (
	swapOff   = 4
	swapStray = 20
)

// swapped raises one fault where the list has x and y exchanged.
func (p *placer) swapped() bool {
	astray := 0
	for i, s := range p.s.shots {
		if !p.holds(geom.Pt{X: s.At.Y, Y: s.At.X}, p.s.areaOf(i)) {
			astray++
		}
	}
	if astray*swapStray > len(p.s.shots) {
		return false
	}
	first := p.left[0]
	p.s.out.Add(problem.Problem{File: first.File, Line: first.Line, Field: "shot", Value: first.ID,
		Why: fmt.Sprintf("%d of %d shots lie off the roof, this one first; with x and y exchanged %d would",
			p.off, len(p.s.shots), astray),
		Mend: "exchange the names of the two columns, in the header or in survey.columns (e is x, n is y)"})
	return true
}

// holds says whether a place lies on the area named, or on any where none is.
func (p *placer) holds(at geom.Pt, named string) bool {
	for k, a := range p.r.areas {
		if (named == "" || a.Name == named) && p.grid[k].off(at, nearFt) == "" {
			return true
		}
	}
	return false
}

// areaOf gives the area of a shot and, where it is on none, why. It gives -1
// after a fault.
func (p *placer) areaOf(s survey.Shot, named string) (int, string) {
	areas := p.r.areas
	if named != "" {
		k := slices.IndexFunc(areas, func(a *areaRead) bool { return a.Name == named })
		if k < 0 {
			p.fault(s, "area", named, "the job has no such area", "write the name of an area, or leave it empty")
			return -1, ""
		}
		return k, p.grid[k].off(s.At, nearFt)
	}
	var on []int
	for k := range areas {
		if p.grid[k].off(s.At, nearFt) == "" {
			on = append(on, k)
		}
	}
	switch len(on) {
	case 1:
		return on[0], ""
	case 0:
		return p.nearest(s.At)
	}
	p.fault(s, "shot", s.ID, fmt.Sprintf("it lies at %s on the border between areas %s and %s",
		p.r.place(s.At), areas[on[0]].Name, areas[on[1]].Name), "add an area column that says which it belongs to")
	return -1, ""
}

func (p *placer) fault(s survey.Shot, field, value, why, mend string) {
	p.s.out.Add(problem.Problem{File: s.File, Line: s.Line, Field: field, Value: value, Why: why, Mend: mend})
}

// nearest is the area nearest to a place off the roof. Beyond the first of
// them areas are told by their boxes, so that a list full of strays stays
// quick.
func (p *placer) nearest(at geom.Pt) (int, string) {
	best, k := math.Inf(1), 0
	for i, a := range p.r.areas {
		d := boxDist(p.grid[i].box, at)
		if p.off < told {
			d = a.Outline.Dist(at)
		}
		if d < best {
			best, k = d, i
		}
	}
	return k, p.grid[k].off(at, 0)
}

func boxDist(b geom.Box, p geom.Pt) float64 {
	dx := math.Max(0, math.Max(b.Min.X-p.X, p.X-b.Max.X))
	dy := math.Max(0, math.Max(b.Min.Y-p.Y, p.Y-b.Max.Y))
	return math.Hypot(dx, dy)
}

// enough asks for three shots on each area that do not stand in one line.
func (r *jobReader) enough(v item) {
	for _, a := range r.areas {
		if a.Cloud != nil && len(a.Cloud.Pts) >= leastCloud {
			continue
		}
		n := 0
		for _, s := range a.Shots {
			if s.Left == "" {
				n++
			}
		}
		if a.Cloud != nil {
			n += len(a.Cloud.Pts)
		}
		switch {
		case n < 3:
			v.fault(fmt.Sprintf("area %s has %s on it; a surface needs three at least", a.Name, problem.Count(n, "shot", "shots")),
				"add shots, or check that outline and shots are in one coordinate frame")
		case a.Cloud == nil && inLine(a.Shots):
			v.fault("the shots of area "+a.Name+" stand in one line, so the slope across it cannot be told",
				"add shots to both sides of the line")
		}
	}
}

// inLine says whether all used shots lie within a tenth of a foot of one line.
// The line is the one through the shot farthest from their middle and the one
// farthest from that.
func inLine(shots []survey.Shot) bool {
	var used []geom.Pt
	for _, s := range shots {
		if s.Left == "" {
			used = append(used, s.At)
		}
	}
	far := func(from geom.Pt) geom.Pt {
		return slices.MaxFunc(used, func(p, q geom.Pt) int { return sign(p.Dist(from) - q.Dist(from)) })
	}
	a := far(geom.BoxOf(used...).Centre())
	b := far(a)
	l := a.Dist(b)
	for _, p := range used {
		if l > 0 && math.Abs(b.Sub(a).Cross(p.Sub(a)))/l > 0.1 {
			return false
		}
	}
	return true
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}
