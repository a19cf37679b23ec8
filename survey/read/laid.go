package read

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// laidColumns are the columns that are read of rows that are down; an issued
// rows.csv has more.
var laidColumns = []table.Column{
	{Name: "area"}, {Name: "layer"}, {Name: "type"}, {Name: "mark"}, {Name: "facet"}, {Name: "row"}, {Name: "boards"},
	{Name: "stock"}, {Name: "thick_deg"}, {Name: "thin_edge"}, {Name: "outline"},
}

// laidTypes are the words under type.
var laidTypes = []string{"base", "fill", "tapered", "cricket", "cover"}

// mostLaidLayers is more layers than any roof has.
const mostLaidLayers = 100

// mostLaid is more rows than the largest roof has.
const mostLaid = 20_000

// Laid is what lies on a roof when the rest is planned again.
type Laid struct {
	Rows   []survey.LaidRow
	OnHand []survey.OnHand
	Areas  []string // of Rows, then of OnHand
}

// LaidRows reads a list of what lies on the roof, with a header: lines of an issued
// rows.csv (area, layer, type, mark, boards, thick_deg, thin_edge_in, stock_ft,
// outline, and facet and row to name them by) are rows that are down; lines without
// layer and outline are boards that lie there whole: area, type, mark, boards,
// stock_ft. Other columns are not read. Areas are those of the job; with one
// alone the column may be empty. Outlines are WKT in feet.
func LaidRows(in io.Reader, name string, areas []string) (Laid, problem.List) {
	out := &table.Tally{File: name}
	var l Laid
	t, ok := table.New(in, name, laidColumns, nil, out)
	if ok && t.Needs("mark", "boards") {
		reader := laidReader{t, name, areas}
		var onHandIn []string
		for t.Next() {
			if len(l.Rows)+len(l.OnHand) >= mostLaid {
				t.Fail(t.Line, fmt.Sprintf("the list has more than %d lines", mostLaid), "divide the job")
				break
			}
			if t.Value("layer") == "" && t.Value("outline") == "" {
				if h, area, ok := reader.onHand(); ok {
					l.OnHand, onHandIn = append(l.OnHand, h), append(onHandIn, area)
				}
			} else if r, area, ok := reader.row(); ok {
				l.Rows, l.Areas = append(l.Rows, r), append(l.Areas, area)
			}
		}
		l.Areas = append(l.Areas, onHandIn...)
		if out.Faults == 0 && len(l.Areas) == 0 {
			t.Fail(0, "the list holds no row and no boards", "copy the lines of the rows that are down from rows.csv, or take laid out of the job")
		}
	}
	return l, out.All().Faults()
}

// laidReader reads one line after another.
type laidReader struct {
	t     *table.Table
	file  string
	areas []string
}

// onHand reads boards that are not laid.
func (r laidReader) onHand() (survey.OnHand, string, bool) {
	h := survey.OnHand{Mark: r.t.Value("mark"), File: r.file, Line: r.t.Line}
	area, ok := r.area()
	ok = r.mark() && ok
	if h.Type = strings.ToLower(r.t.Value("type")); h.Type != "" {
		ok = r.typ(h.Type) && ok
	}
	n, sound := r.whole("boards", 1, 1e6, "write how many boards lie there whole, such as 24")
	h.Boards = n
	var sized bool
	h.Along, h.Depth, sized = r.size()
	return h, area, ok && sound && sized
}

// row reads a row that is down.
func (r laidReader) row() (survey.LaidRow, string, bool) {
	t := r.t
	row := survey.LaidRow{Mark: t.Value("mark"), Type: strings.ToLower(t.Value("type")), Facet: t.Value("facet"), File: r.file, Line: t.Line}
	area, ok := r.area()
	ok = r.mark() && ok
	ok = r.typ(row.Type) && ok
	var sound [6]bool
	row.Layer, sound[0] = r.whole("layer", 1, mostLaidLayers, "write the layer as issued, 1 at the bottom")
	row.Boards, sound[1] = r.whole("boards", 1, 1e6, "write how many pieces the row has")
	sound[2] = true
	if t.Value("row") != "" {
		row.Row, sound[2] = r.whole("row", 1, 1e6, "write the row as issued, or leave it empty")
	}
	row.Along, row.Depth, sound[3] = r.size()
	row.Outline, sound[4] = r.outline()
	sound[5] = r.lean(&row)
	return row, area, ok && !slices.Contains(sound[:], false)
}

// lean reads which edge of tapered boards is thick and how thick the other one is.
func (r laidReader) lean(row *survey.LaidRow) bool {
	if !row.Tapered() {
		return true
	}
	ok := true
	deg, plain := table.Number(r.t.Value("thick_deg"))
	if !plain || deg < -720 || deg > 720 {
		r.t.Blame("thick_deg", "the direction of the thick edge was expected, in degrees from +x",
			"write it as issued, such as 90")
		ok = false
	}
	row.ThickDeg = deg
	if r.t.Value("thin_edge") != "" {
		row.ThinEdge, plain = r.t.Length("thin_edge", stated)
		if plain && (row.ThinEdge < 0 || row.ThinEdge > 2*unit.Foot) {
			r.t.Blame("thin_edge", "no board is so thick", "write the thickness of the board at its thin edge, or leave it empty")
			plain = false
		}
		ok = ok && plain
	}
	return ok
}

// area finds the area of a line.
func (r laidReader) area() (string, bool) {
	name := r.t.Value("area")
	switch {
	case name == "" && len(r.areas) == 1:
		return r.areas[0], true
	case name == "":
		r.t.Blame("area", "the line does not say on which area it lies", "write "+table.Listed(r.areas))
	case !slices.Contains(r.areas, name):
		r.t.Blame("area", "the job has no such area", table.MeantOr(table.Nearest(name, r.areas), r.areas))
	default:
		return name, true
	}
	return "", false
}

func (r laidReader) mark() bool {
	if r.t.Value("mark") == "" {
		r.t.Blame("mark", "the line names no board", "write the mark as issued, such as 1/2 to 1-1/2")
		return false
	}
	return true
}

func (r laidReader) typ(word string) bool {
	if !slices.Contains(laidTypes, word) {
		r.t.Blame("type", "unknown type of board", table.MeantOr(table.Nearest(word, laidTypes), laidTypes))
		return false
	}
	return true
}

// whole reads a whole number within limits.
func (r laidReader) whole(name string, least, most float64, mend string) (int, bool) {
	v, ok := r.t.Decimal(name)
	if !ok {
		return 0, false
	}
	x, plain := table.Number(v)
	if !plain || x < least || x > most || x != float64(int(x)) {
		r.t.Blame(name, fmt.Sprintf("a whole number from %.0f to %.0f was expected", least, most), mend)
		return 0, false
	}
	return int(x), true
}

// size reads the size of the stock board, along the row and along the slope: 4x8
// is in feet. Empty is not told.
func (r laidReader) size() (along, depth unit.Length, ok bool) {
	v := r.t.Value("stock")
	if v == "" {
		return 0, 0, true
	}
	a, b, two := strings.Cut(strings.ToLower(v), "x")
	along, err1 := table.Measure(strings.TrimSpace(a), unit.Foot, "")
	depth, err2 := table.Measure(strings.TrimSpace(b), unit.Foot, "")
	if !two || err1 != nil || err2 != nil || !isSide(along) || !isSide(depth) {
		r.t.Blame("stock", "the size of a board was expected, along the row by along the slope", "write it in feet, such as 4x8, or leave it empty")
		return 0, 0, false
	}
	return along, depth, true
}

func isSide(l unit.Length) bool { return l > 0 && l.Feet() <= 40 }

// outline reads where a row lies, in job feet.
func (r laidReader) outline() ([]geom.Poly, bool) {
	const mend = "copy the outline as issued, such as POLYGON ((0 0, 40 0, 40 4, 0 4, 0 0))"
	text := r.t.Value("outline")
	f, err := bare.Read("", strings.NewReader(text), bare.Options{})
	switch {
	case text != "" && err == nil && f.Format == "WKT" && len(f.Problems.Faults()) > 0:
		r.t.Blame("outline", f.Problems.Faults()[0].Why, mend)
		return nil, false
	case text == "" || err != nil || f.Format != "WKT" || len(f.Outlines) == 0:
		r.t.Blame("outline", "the outline of the row was expected, as well-known text in feet", mend)
		return nil, false
	}
	var out []geom.Poly
	for _, o := range f.Outlines {
		p := geom.Poly{Outer: o.Outer.CCW(), Holes: o.Holes}
		for _, ring := range p.Rings() {
			if _, _, crosses := ring.SelfCrossing(); crosses || len(ring) < 3 || ring.Area() <= 0 || beyond(ring) {
				r.t.Blame("outline", "the outline crosses itself, has no area or lies beyond 1e8 ft", mend)
				return nil, false
			}
		}
		out = append(out, p)
	}
	return out, true
}

// beyond says whether a corner lies where no building stands.
func beyond(r geom.Ring) bool {
	return slices.ContainsFunc(r, func(p geom.Pt) bool { return !(max(p.X, -p.X, p.Y, -p.Y) <= table.MostCoordFt) })
}

// laidRows reads the list of what lies on the roof into the areas.
func (r *jobReader) laidRows(v, taper item) {
	name, ok := v.text()
	if !ok {
		return
	}
	if taper.absent {
		v.fault("the job has no taper of which the rest could be planned", "write taper:, or take laid out")
		return
	}
	in, ok := r.open(v, name)
	if !ok {
		return
	}
	defer in.Close()
	var names []string
	for _, a := range r.areas {
		names = append(names, a.Name)
	}
	l, found := LaidRows(in, name, names)
	r.more = append(r.more, found...)
	for n, area := range l.Areas {
		a := r.areas[slices.Index(names, area)]
		if n < len(l.Rows) {
			a.Laid = append(a.Laid, l.Rows[n])
		} else {
			a.OnHand = append(a.OnHand, l.OnHand[n-len(l.Rows)])
		}
	}
}
