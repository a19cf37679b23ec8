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
	{Name: "roofs", Also: "old roofs|layers"},
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
// header (thickness_in) or in each value.
func readCores(in io.Reader, file string, plan unit.Length) (coreBook, problem.List) {
	b, out := coreBook{file: file}, &table.Tally{File: file}
	t, ok := table.New(in, file, coreColumns, nil, out)
	if !ok {
		return b, out.All()
	}
	sound := true
	for _, need := range []string{"x", "y", "thickness"} {
		if !t.Has(need) {
			sound = t.Fail(t.Line, "there is no column "+need, "name it in the header")
		}
	}
	for sound && t.Next() {
		b.take(t, plan)
	}
	return b, out.All()
}

func (b *coreBook) take(t *table.Table, plan unit.Length) {
	if !t.Whole("x", "y", "thickness") {
		return
	}
	flat := func(s string) (unit.Length, error) { return table.Measure(s, plan, "") }
	thick := func(s string) (unit.Length, error) {
		return table.Measure(s, 0, "write a unit beside it, such as 4-1/2 in, or call the column thickness_in")
	}
	x, okX := t.Length("x", flat)
	y, okY := t.Length("y", flat)
	d, okD := t.Length("thickness", thick)
	if okD && (d < 0 || d.Feet() > 10) {
		t.Blame("thickness", "no roof is that thick", "write the thickness from membrane to deck, such as 4-1/2 in")
	}
	c := survey.Core{ID: strings.Clone(t.Value("id")), At: geom.Pt{X: x.Feet(), Y: y.Feet()}, Thickness: d}
	if c.ID == "" {
		c.ID = strconv.Itoa(len(b.cores) + 1)
	}
	c.Wet = t.Yes("wet")
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

// placeCores gives each core to the area that holds it. A recover is refused
// where a core is wet or shows two roofs.
//
// Source: International Building Code 2018, 1511.3.1.1, roof recover not
// allowed over a soaked roof or two or more roof coverings (from memory).
func (r *jobReader) placeCores(b coreBook, scope survey.Scope) {
	for i, c := range b.cores {
		k := slices.IndexFunc(r.areas, func(a *areaRead) bool {
			if b.area[i] != "" {
				return a.Name == b.area[i]
			}
			return a.off(c.At) == ""
		})
		if k < 0 {
			r.more.Add(problem.Problem{File: b.file, Line: b.line[i], Field: "core", Value: c.ID,
				Why:  fmt.Sprintf("it lies at %s on no area of the job", r.place(c.At)),
				Mend: "mend its coordinates, or take it out"})
			continue
		}
		if scope == survey.Recover && (c.Wet || c.Roofs >= 2) {
			why := "the old roof is wet here, so it cannot be recovered"
			if !c.Wet {
				why = fmt.Sprintf("%d old roofs lie here, so no other may go on top", c.Roofs)
			}
			r.more.Add(problem.Problem{File: b.file, Line: b.line[i], Field: "core", Value: c.ID, Why: why,
				Mend: "write scope: tear-off, or look at the core again"})
		}
		r.areas[k].Cores = append(r.areas[k].Cores, c)
	}
}
