package read

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// coreColumns are the columns of a core list.
var coreColumns = []table.Column{
	{Name: "id", Also: "core|core id|point|no|name|nr"},
	{Name: "x", Also: "e|east|easting"},
	{Name: "y", Also: "n|north|northing"},
	{Name: "thickness", Also: "thick|total"},
	{Name: "wet", Also: "moist|moisture"},
	{Name: "roofs", Also: "old roofs"},
	{Name: "layers", Also: "layer|build up|build-up"},
	{Name: "area", Also: "roof|roof area"},
}

// coreBook is a core list as read.
type coreBook struct {
	file  string
	cores []survey.Core
	line  []int
	area  []string
}

func (r *jobReader) coreTable(v item) coreBook {
	name, ok := v.text()
	if !ok {
		return coreBook{}
	}
	in, ok := r.open(v, name)
	if !ok {
		return coreBook{}
	}
	defer in.Close()
	b, found := readCores(in, name, r.plan)
	r.more = append(r.more, found...)
	return b
}

// readCores reads a core list with a header; thicknesses need a unit, in the
// header (thickness_in) or in each value. A core has a thickness, or layers
// that make it up, or both where they agree.
func readCores(in io.Reader, file string, plan unit.Length) (coreBook, problem.List) {
	b, out := coreBook{file: file}, &table.Tally{File: file}
	t, ok := table.New(in, file, coreColumns, nil, out)
	if !ok {
		return b, out.All()
	}
	sound := t.Needs("x", "y")
	if !t.Has("thickness") && !t.Has("layers") {
		sound = t.Fail(t.Line, "there is no column thickness", "name it in the header, or a column layers")
	}
	for sound && t.Next() {
		b.take(t, plan)
	}
	return b, out.All()
}

func (b *coreBook) take(t *table.Table, plan unit.Length) {
	if !t.Whole("x", "y") {
		return
	}
	flat := func(s string) (unit.Length, error) { return table.Measure(s, plan, "") }
	x, okX := t.Length("x", flat)
	y, okY := t.Length("y", flat)
	c := survey.Core{ID: strings.Clone(t.Value("id")), At: geom.Pt{X: x.Feet(), Y: y.Feet()}}
	if c.ID == "" {
		c.ID = strconv.Itoa(len(b.cores) + 1)
	}
	okD := coreThickness(t, &c)
	wetness(t, &c)
	if v := t.Value("roofs"); v != "" {
		n, err := strconv.Atoi(v)
		if err != nil || n < 0 || n > 10 {
			t.Blame("roofs", "a count of old roofs was expected", "write 1 or 2, or leave it empty")
		}
		c.Roofs = n
	}
	if okX && okY && okD {
		b.cores, b.line = append(b.cores, c), append(b.line, t.Line)
		b.area = append(b.area, strings.Clone(t.Value("area")))
	}
}

// coreThickness reads the thickness of a core and its layers, which must add up.
func coreThickness(t *table.Table, c *survey.Core) bool {
	thick := func(s string) (unit.Length, error) {
		return table.Measure(s, 0, "write a unit beside it, such as 4-1/2 in, or call the column thickness_in")
	}
	layers := t.Value("layers")
	stated := t.Value("thickness") != "" || layers == ""
	if stated {
		var ok bool
		if c.Thickness, ok = t.Length("thickness", thick); !ok {
			return false
		}
	}
	if layers != "" {
		var why, mend string
		if c.Layers, c.WetKnown, why, mend = layersOf(layers); why != "" {
			t.Blame("layers", why, mend)
			return false
		}
		var sum unit.Length
		for _, l := range c.Layers {
			sum += l.Thickness
		}
		if off := sum - c.Thickness; stated && max(off, -off) > layersOff {
			t.Blame("thickness", fmt.Sprintf("the layers add up to %s", sum.InchText()), "mend the layers or the thickness")
		} else if !stated {
			c.Thickness = sum
		}
	}
	if c.Thickness < 0 || c.Thickness.Feet() > 10 {
		t.Blame("thickness", "no roof is that thick", "write the thickness from membrane to deck, such as 4-1/2 in")
	}
	return true
}

// wetness reads whether a core is wet: by its own column, else by its layers.
func wetness(t *table.Table, c *survey.Core) {
	stated := t.Value("wet") != ""
	layerWet := slices.ContainsFunc(c.Layers, func(l survey.Layer) bool { return l.Wet })
	c.Wet, c.WetKnown = t.Yes("wet"), stated || c.WetKnown
	switch {
	case !stated && layerWet:
		c.Wet, c.WetKnown = true, true
	case stated && !c.Wet && layerWet:
		t.Blame("wet", "a layer of the core is wet", "write yes, or mend the layers")
	}
}

// placeCores gives each core to the area that holds it, and looks at whether
// the old roof may stay there.
func (r *jobReader) placeCores(j *survey.Job, b coreBook) {
	for i, c := range b.cores {
		k := slices.IndexFunc(r.areas, func(a *areaRead) bool {
			if b.area[i] != "" {
				return a.Name == b.area[i]
			}
			return a.off(c.At) == ""
		})
		p := problem.Problem{File: b.file, Line: b.line[i], Field: "core", Value: c.ID}
		if k < 0 {
			p.Why, p.Mend = fmt.Sprintf("it lies at %s on no area of the job", r.place(c.At)), "mend its coordinates, or take it out"
			r.more.Add(p)
			continue
		}
		if j.Scope == survey.Recover || j.Scope == survey.Partial && !j.Part.Has(c.At) {
			r.mayStay(j.Scope, c, p)
		}
		r.areas[k].Cores = append(r.areas[k].Cores, c)
	}
}

// mayStay says whether the old roof may stay at a core: a recover is refused
// where it is wet or two roofs lie there, asked about where that is not stated.
//
// Source: International Building Code 2018, 1511.3.1.1, roof recover not
// allowed over a soaked roof or two or more roof coverings (from memory).
func (r *jobReader) mayStay(scope survey.Scope, c survey.Core, p problem.Problem) {
	switch {
	case c.Wet:
		p.Why = "the old roof is wet here, so it cannot be recovered"
	case c.Roofs >= 2:
		p.Why = fmt.Sprintf("%d old roofs lie here, so no other may go on top", c.Roofs)
	case c.WetKnown && c.Roofs == 1:
		return
	default:
		p.Grade, p.Mend = problem.Note, "write wet: yes or no, and roofs: how many, in the core list"
		switch {
		case c.WetKnown:
			p.Why = "it is not stated how many old roofs lie here; over two no other may go"
		case c.Roofs == 1:
			p.Why = "it is not stated whether the old roof is wet here; over a wet one no other may go"
		default:
			p.Why = "neither wetness nor the count of old roofs is stated here; over a wet roof or two no other may go"
		}
		r.more.Add(p)
		return
	}
	p.Mend = "write scope: tear-off, or look at the core again"
	if scope == survey.Partial {
		p.Mend = "draw the tear-off round it, or look at the core again"
	}
	r.more.Add(p)
}
