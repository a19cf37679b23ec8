package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
	"runnel/survey/unit"
)

// fileOutline is an outline of a file with the courts in it, job feet.
type fileOutline struct {
	name   string
	number int // in the file, from 1
	outer  geom.Ring
	courts []geom.Ring
	arcs   []string // edges of outer that stand for one arc each, in words
}

// outlineFiles are the files of outlines that were read, by name: areas may
// share one.
type outlineFiles map[string]*bare.File

// outlineFile reads the outline that v names, as file or file#part: a layer, a
// name, or the number of an outline in the file, from 1.
func (r *jobReader) outlineFile(v item) (fileOutline, bool) {
	all, name, part, ok := r.outlinesOf(v)
	if !ok {
		return fileOutline{}, false
	}
	found := nested(chosenOutlines(all, part))
	switch {
	case len(found) == 1:
		return found[0], true
	case len(found) == 0:
		v.fault(fmt.Sprintf("the file holds no outline %q", problem.Clip(part)), "choose one of "+outlineList(all))
	case part == "":
		v.fault(fmt.Sprintf("the file holds %d outlines", len(found)), "choose one, such as "+name+"#1: "+outlineList(found))
	default:
		v.fault(fmt.Sprintf("%d outlines are named %q", len(found), problem.Clip(part)), "choose one by its number, such as "+
			fmt.Sprintf("%s#%d: ", name, found[0].number)+outlineList(found))
	}
	return fileOutline{}, false
}

// outlinesOf reads all outlines of the file that v names, in job feet.
func (r *jobReader) outlinesOf(v item) (all []fileOutline, name, part string, ok bool) {
	text, ok := v.text()
	if !ok {
		return nil, "", "", false
	}
	name, part = r.fileAndPart(text)
	f, ok := r.outlineSource(v, name)
	if !ok {
		return nil, "", "", false
	}
	one := lengthOf(f.Unit)
	if one == 0 {
		one = r.plan
		v.note("the file states no length unit: x and y are taken as "+unitWords(one)+" (the job's plan unit)",
			"write job.plan if that is wrong")
	}
	if why := degrees(f); why != "" {
		v.fault(why, "export them in plan feet or metres")
		return nil, "", "", false
	}
	for i, o := range f.Outlines {
		all = append(all, flatOutline(o, i+1, one))
	}
	return all, name, part, true
}

// outlineSource reads a file of outlines, once for the job. What is wrong with
// an outline that is not used stops nothing.
func (r *jobReader) outlineSource(v item, name string) (*bare.File, bool) {
	if f, again := r.outlineFiles[name]; again {
		return f, f != nil
	}
	if r.outlineFiles == nil {
		r.outlineFiles = outlineFiles{}
	}
	r.outlineFiles[name] = nil
	in, ok := r.open(v, name)
	if !ok {
		return nil, false
	}
	defer in.Close()
	f, err := bare.Read(name, in, bare.Options{})
	if err != nil {
		v.fault(err.Error(), "copy the file again")
		return nil, false
	}
	if len(f.Outlines) == 0 {
		why, mend := "the file holds no closed outline", "export the roof as a closed polygon"
		if faults := f.Problems.Faults(); len(faults) > 0 {
			why, mend = why+": "+faults[0].Why, faults[0].Mend
		}
		v.fault(why, mend)
		return nil, false
	}
	for _, p := range f.Problems.Faults() {
		p.File, p.Grade = name, problem.Note
		r.more.Add(p)
	}
	r.outlineFiles[name] = f
	return f, true
}

// degrees says so where the outlines look like longitudes and latitudes: no
// roof is less than half a unit long.
func degrees(f *bare.File) string {
	const least = 0.5
	if f.LikeDegrees(least) {
		box, _ := f.OutlineBox()
		w, h := box.Size()
		return fmt.Sprintf("the outlines reach over %.3g by %.3g units: these look like degrees of longitude and latitude", w, h)
	}
	return ""
}

// flatOutline brings an outline to job feet, its arcs as chords within
// [bare.ChordError]; vertices stand as the file has them, from its first.
func flatOutline(o bare.Outline, number int, one unit.Length) fileOutline {
	out := fileOutline{name: o.Name, number: number}
	u := bare.UnitOf(one)
	for i := range o.Outer {
		edge := bare.Outline{Outer: geom.Ring{o.Outer[i], o.Outer.At(i + 1)}}
		if i < len(o.Bulges) {
			edge.Bulges = []float64{o.Bulges[i]}
		}
		places := edge.Flat(u)
		places = places[:len(places)-1]
		if n := len(out.outer); len(places) > 1 {
			out.arcs = append(out.arcs, fmt.Sprintf("%d to %d", n, n+len(places)-1))
		}
		for _, p := range places {
			out.outer = append(out.outer, inFeet(p, one))
		}
	}
	for _, h := range o.Holes {
		var ring geom.Ring
		for _, p := range h {
			ring = append(ring, inFeet(p, one))
		}
		out.courts = append(out.courts, ring)
	}
	return out
}

func inFeet(p geom.Pt, one unit.Length) geom.Pt {
	return geom.Pt{X: ftOf(p.X, one), Y: ftOf(p.Y, one)}
}

// chosenOutlines gives the outlines that part names, by name, else by number;
// all of them where it is empty.
func chosenOutlines(all []fileOutline, part string) []fileOutline {
	if part == "" {
		return all
	}
	var named []fileOutline
	for _, o := range all {
		if strings.EqualFold(o.name, part) {
			named = append(named, o)
		}
	}
	if n, err := strconv.Atoi(part); named == nil && err == nil && n >= 1 && n <= len(all) {
		return all[n-1 : n]
	}
	return named
}

// nested makes courts of the outlines that lie in the largest of them. Where
// one does not, or lies in a court of it, they are left as they are.
func nested(found []fileOutline) []fileOutline {
	if len(found) < 2 {
		return found
	}
	largest := slices.MaxFunc(found, func(a, b fileOutline) int { return sign(a.outer.Area() - b.outer.Area()) })
	out := largest
	out.courts = slices.Clone(largest.courts)
	for _, o := range found {
		if o.number == largest.number {
			continue
		}
		if len(o.courts) > 0 || !largest.outer.Has(o.outer[0]) {
			return found
		}
		out.courts = append(out.courts, o.outer)
	}
	return []fileOutline{out}
}

// outlineList lists outlines to choose from.
func outlineList(all []fileOutline) string {
	var words []string
	for _, o := range all {
		name := ""
		if o.name != "" {
			name = fmt.Sprintf(" %q", problem.Clip(o.name))
		}
		words = append(words, fmt.Sprintf("%d%s (%d vertices, %.0f sq ft)", o.number, name, len(o.outer), o.outer.Area()))
	}
	return someOf(words)
}

// placed takes the outline of a file for an area. Courts go before those of
// the job file.
func (a *areaRead) placed(o fileOutline) {
	a.Outline, a.sound = o.outer, true
	for _, c := range o.courts {
		a.Courts, a.courtAt = append(a.Courts, c), append(a.courtAt, a.outline)
	}
	if len(o.arcs) > 0 {
		a.outline.note(fmt.Sprintf("%d arcs are drawn as chords within %g in of them: edges %s, counted from 0",
			len(o.arcs), bare.ChordError.Inches(), someOf(o.arcs)), "name edges by these numbers")
	}
	if len(o.courts) > 0 {
		a.outline.note(fmt.Sprintf("%d holes of the outline in the file are courts", len(o.courts)), "nothing to do")
	}
}

// courtsFile reads the courts that v names: all outlines of the file, or of
// its part.
func (r *jobReader) courtsFile(a *areaRead, v item) {
	all, _, part, ok := r.outlinesOf(v)
	if !ok {
		a.sound = false
		return
	}
	found := chosenOutlines(all, part)
	if len(found) == 0 {
		v.fault(fmt.Sprintf("the file holds no outline %q", problem.Clip(part)), "choose one of "+outlineList(all))
		a.sound = false
	}
	if len(found) > mostItems {
		v.fault(fmt.Sprintf("the file holds %d outlines, too many for courts", len(found)), "name their layer: roof.dxf#COURTS")
		a.sound = false
		return
	}
	for _, o := range found {
		a.Courts, a.courtAt = append(a.Courts, o.outer), append(a.courtAt, v)
	}
}
