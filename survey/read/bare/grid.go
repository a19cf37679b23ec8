package bare

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"runnel/survey/problem"
)

// mostCells is how many cells of a grid are read; what a file counts beyond it
// is refused before any memory is taken.
const mostCells = 10_000_000

// mostSlips is how many faulty values of one file are named; the rest are
// counted.
const mostSlips = 20

// gridKeys are the words at the head of an ESRI ASCII grid, the newer dx and
// dy included.
var gridKeys = [...]string{"ncols", "nrows", "xllcorner", "xllcenter", "yllcorner", "yllcenter",
	"cellsize", "dx", "dy", "nodata_value"}

func isGridKey(word string) bool {
	for _, k := range gridKeys {
		if strings.EqualFold(word, k) {
			return true
		}
	}
	return false
}

func gridFormat() Format {
	return Format{Name: "ESRI ASCII grid", Is: isGrid, Read: readGrid}
}

// isGrid says whether data begin with a key of a grid's head and its number.
func isGrid(data []byte) bool {
	w := words{data: withoutMark(data[:min(len(data), 1024)])}
	key, number := string(w.next()), string(w.next())
	_, ok := gridNumber(number)
	return isGridKey(key) && ok
}

// withoutMark is data less a byte-order mark.
func withoutMark(data []byte) []byte { return bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")) }

// words walks over the words of a text and knows the line of each.
type words struct {
	data []byte
	at   int
	line int // of the last word, from 0
}

// next is the next word, empty at the end. CR, LF and CR LF end a line.
func (w *words) next() []byte {
	for w.at < len(w.data) && isBlank(w.data[w.at]) {
		if c := w.data[w.at]; c == '\n' && (w.at == 0 || w.data[w.at-1] != '\r') || c == '\r' {
			w.line++
		}
		w.at++
	}
	from := w.at
	for w.at < len(w.data) && !isBlank(w.data[w.at]) {
		w.at++
	}
	return w.data[from:w.at]
}

func isBlank(c byte) bool { return c == ' ' || c >= '\t' && c <= '\r' }

// gridNumber reads a number with a decimal point or comma; ok is false where s is
// no number. Not a number (nan) is one here.
func gridNumber(s string) (v float64, ok bool) {
	if strings.ContainsAny(s, "xX_pP") { // numbers to the base 16
		return 0, false
	}
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// gridReader reads one grid.
type gridReader struct {
	name  string
	words words
	file  *File
	head  map[string]float64 // by key, in lower case
	first []byte             // the first word after the head
}

// readGrid reads an ESRI ASCII grid as a raster with a place at the centre of
// each cell that has a value, row by row from the top. The file states no
// length unit.
func readGrid(name string, data []byte) *File {
	r := &gridReader{name: name, words: words{data: withoutMark(data)}, head: map[string]float64{},
		file: &File{Format: "ESRI ASCII grid"}}
	g, ok := r.readHead()
	if !ok {
		return r.file
	}
	r.readCells(g)
	r.file.Problems.Add(problem.Problem{File: name, Field: UnitField, Grade: problem.Note,
		Why: "the grid states no length unit", Mend: "state it"})
	return r.file
}

func (r *gridReader) fault(line int, field, value, why, mend string) {
	r.file.Problems.Add(problem.Problem{File: r.name, Line: line, Field: field, Value: value, Why: why, Mend: mend})
}

func (r *gridReader) note(why, mend string) {
	r.file.Problems.Add(problem.Problem{File: r.name, Why: why, Mend: mend, Grade: problem.Note})
}

// grid is the head of a grid: x and y are those of the centre of the lowest
// cell on the left.
type grid struct {
	cols, rows int
	x, y       float64
	dx, dy     float64
	empty      float64 // the value of cells without data
}

// readHead reads keys and numbers up to the first word that is no key.
func (r *gridReader) readHead() (g grid, ok bool) {
	for {
		word := r.words.next()
		if !isGridKey(string(word)) {
			r.first = word
			break
		}
		key := strings.ToLower(string(word))
		value := string(r.words.next())
		v, isNumber := gridNumber(value)
		if _, twice := r.head[key]; twice {
			r.fault(r.words.line+1, key, value, "stands twice at the head of the grid", "keep one of them")
			return g, false
		}
		if !isNumber || math.IsInf(v, 0) || math.IsNaN(v) && key != "nodata_value" {
			r.fault(r.words.line+1, key, value, "no number", "write a number after it")
			return g, false
		}
		r.head[key] = v
	}
	for _, step := range []func(*grid) bool{r.counts, r.steps, r.corner} {
		if !step(&g) {
			return g, false
		}
	}
	return g, true
}

func (r *gridReader) counts(g *grid) bool {
	for _, key := range []string{"ncols", "nrows"} {
		v, has := r.head[key]
		if !has || v < 1 || v > mostCells || v != math.Trunc(v) {
			r.fault(0, key, "", "no whole number from 1 to 10,000,000 at the head of the grid", "write it")
			return false
		}
	}
	g.cols, g.rows = int(r.head["ncols"]), int(r.head["nrows"])
	if g.cols > mostCells/g.rows {
		r.fault(0, "", "", fmt.Sprintf("%d x %d cells are more than 10,000,000", g.cols, g.rows), "cut the grid to the roof")
		return false
	}
	return true
}

func (r *gridReader) steps(g *grid) bool {
	size, has := r.head["cellsize"]
	dx, hasX := r.head["dx"]
	dy, hasY := r.head["dy"]
	switch {
	case has && !hasX && !hasY:
		g.dx, g.dy = size, size
	case !has && hasX && hasY:
		g.dx, g.dy = dx, dy
	default:
		r.fault(0, "cellsize", "", "not given, or given twice", "write one cellsize, or dx and dy")
		return false
	}
	if !(g.dx > 0 && g.dy > 0) {
		r.fault(0, "cellsize", "", "not greater than 0", "write the width of a cell")
		return false
	}
	return true
}

func (r *gridReader) corner(g *grid) bool {
	g.empty = -9999 // where the head names none
	if v, has := r.head["nodata_value"]; has {
		g.empty = v
	}
	get := func(axis string, step float64) (float64, bool) {
		corner, has := r.head[axis+"llcorner"]
		centre, hasCentre := r.head[axis+"llcenter"]
		if has == hasCentre {
			r.fault(0, axis+"llcorner", "", "not given, or given twice", "write the corner or the centre of the lowest cell on the left")
			return 0, false
		}
		if has {
			return corner + step/2, true
		}
		return centre, true
	}
	var okX, okY bool
	g.x, okX = get("x", g.dx)
	g.y, okY = get("y", g.dy)
	if !okX || !okY {
		return false
	}
	far := math.Max(math.Max(math.Abs(g.x), math.Abs(g.x+float64(g.cols)*g.dx)),
		math.Max(math.Abs(g.y), math.Abs(g.y+float64(g.rows)*g.dy)))
	if !(far <= mostCoord) {
		r.fault(0, "", "", "the grid lies further out than 100,000,000", "shift it to a local origin")
		return false
	}
	return true
}

// readCells reads the values, from the left of the top row on.
func (r *gridReader) readCells(g grid) {
	total := g.cols * g.rows
	places := make([]Place, 0, min(total, len(r.words.data)/2)) // a value and a blank each
	var points, commas, n, without, bad, more int
	for word := r.first; len(word) > 0; word = r.words.next() {
		if n == total {
			more++
			continue
		}
		n++
		points += bytes.Count(word, []byte{'.'})
		commas += bytes.Count(word, []byte{','})
		v, ok := gridNumber(string(word))
		switch {
		case ok && (v == g.empty || math.IsNaN(v)):
			without++
		case !ok || math.Abs(v) > mostCoord:
			if bad++; bad <= mostSlips {
				r.fault(r.words.line+1, "", string(word), "no elevation", "write a number, or the value of cells without data")
			}
		default:
			col, row := (n-1)%g.cols, (n-1)/g.cols
			places = append(places, Place{X: g.x + float64(float64(col)*g.dx),
				Y: g.y + float64(float64(g.rows-1-row)*g.dy), Z: v, Line: r.words.line + 1})
		}
	}
	r.file.Refused = bad
	r.file.Surfaces = []Surface{{Name: "grid", Places: places}}
	r.sayCounts(total, n, more, bad)
	if points > 0 && commas > 0 {
		r.fault(0, "", "", "decimal points and decimal commas in one grid", "use one of them")
	}
	if without > 0 {
		r.note(fmt.Sprintf("%d of %d cells are without data", without, total), "")
	}
}

func (r *gridReader) sayCounts(total, n, more, bad int) {
	if bad > mostSlips {
		r.fault(0, "", "", fmt.Sprintf("%d more values are no elevations", bad-mostSlips), "mend them")
	}
	if n < total {
		r.fault(0, "", "", fmt.Sprintf("the head counts %d values and the file holds %d", total, n),
			"copy the file again; it is cut short")
	}
	if more > 0 {
		r.fault(0, "", "", fmt.Sprintf("%d values follow the last cell", more), "correct ncols and nrows")
	}
}
