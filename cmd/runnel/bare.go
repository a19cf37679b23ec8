package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"runnel/survey/level"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
)

// isBare says whether path is a survey file on its own and no job: a regular
// file that is no YAML.
func isBare(path string) bool {
	file, _ := fileAndPart(path)
	return isSurveyFile(file)
}

// fileAndPart parts a name such as roof.dxf#LAYER, as jobs do. A file that
// bears the whole name is meant by it.
func fileAndPart(path string) (file, part string) {
	i := strings.LastIndexByte(path, '#')
	if _, err := os.Stat(path); err == nil || i <= 0 || !isSurveyFile(path[:i]) {
		return path, ""
	}
	return path[:i], path[i+1:]
}

func isSurveyFile(path string) bool {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	ending := strings.ToLower(filepath.Ext(path))
	return ending != ".yaml" && ending != ".yml"
}

// errNothingRead is the answer to a file of which nothing could be used; why
// stands in the problems printed before.
var errNothingRead = errors.New("nothing was read")

// surveyFile reads a survey file on its own and prints what it holds.
func surveyFile(w io.Writer, path, columns string, asJSON bool) error {
	path, part := fileAndPart(path)
	in, err := os.Open(path)
	if err != nil {
		return err
	}
	defer in.Close()
	opt := bare.Options{Part: part}
	if columns != "" {
		for c := range strings.SplitSeq(columns, ",") {
			opt.Columns = append(opt.Columns, strings.TrimSpace(c))
		}
	}
	f, err := bare.Read(path, in, opt)
	if err != nil {
		return err
	}
	if asJSON {
		err = writeBareJSON(w, f)
	} else {
		err = writeBare(w, f)
	}
	if err == nil && !holdsAny(f) {
		err = fmt.Errorf("%s: %w", path, errNothingRead)
	}
	return err
}

func holdsAny(f *bare.File) bool { return points(f)+len(f.Surfaces)+len(f.Outlines) > 0 }

// points counts what a file holds: its places, or the readings of a level book
// that were reduced.
func points(f *bare.File) int {
	if f.Level != nil {
		return f.Count() + len(f.Level.Shots)
	}
	return f.Count()
}

// ranges gives the least and the greatest x, y and z, or only x and y where
// there is nothing but outlines; nil where nothing has a place.
func ranges(f *bare.File) (least, most []float64) {
	low, high, ok := f.Bounds()
	if box, flat := f.OutlineBox(); !ok && flat {
		return []float64{micro(box.Min.X), micro(box.Min.Y)}, []float64{micro(box.Max.X), micro(box.Max.Y)}
	}
	if !ok {
		return nil, nil
	}
	for i := range low {
		least, most = append(least, micro(low[i])), append(most, micro(high[i]))
	}
	return least, most
}

// bareJSON is a survey file as --json prints it. Lengths are in the file's
// own unit; the least and greatest are those of x, y and z (x and y of a file
// of outlines, null where there are none).
type bareJSON struct {
	Format   string        `json:"format"`
	Points   int           `json:"points"`
	Refused  int           `json:"refused"`
	Unit     bare.Unit     `json:"unit,omitempty"` // where it is stated
	Min      []float64     `json:"min"`
	Max      []float64     `json:"max"`
	Surfaces []bareSurface `json:"surfaces"`
	Outlines []bareOutline `json:"outlines"`
	Entities []bareKind    `json:"entities,omitempty"` // of a drawing
	Level    *bareLevel    `json:"level,omitempty"`
	Problems []bareProblem `json:"problems"`
}

type bareOutline struct {
	Name      string  `json:"name"`
	Vertices  int     `json:"vertices"`
	Holes     int     `json:"holes"`
	Area      float64 `json:"area"`
	Perimeter float64 `json:"perimeter"`
}

// bareLevel is a level book reduced; the misclosure is null where the line
// does not end on a known mark.
type bareLevel struct {
	SetUps     []bareSetUp `json:"set_ups"`
	Shots      []bareShot  `json:"shots"`
	Misclosure *float64    `json:"misclosure"`
}

type bareSetUp struct {
	On        string  `json:"on"`
	Elevation float64 `json:"elevation"`
	Backsight float64 `json:"backsight"`
	HI        float64 `json:"hi"`
}

type bareShot struct {
	Shot      string  `json:"shot"`
	SetUp     int     `json:"set_up"` // from 1
	Kind      string  `json:"kind"`
	Rod       float64 `json:"rod"`
	Elevation float64 `json:"elevation"`
	Adjusted  float64 `json:"adjusted"`
	Line      int     `json:"line"`
}

type bareSurface struct {
	Name       string `json:"name"`
	Points     int    `json:"points"`
	*bareFaces        // nil for a raster
}

// bareFaces are the triangles of a surface.
type bareFaces struct {
	Triangles int     `json:"faces"` // as the file counts them, the invisible ones included
	Invisible int     `json:"invisible"`
	Area      float64 `json:"area"` // in plan, of the visible ones
}

// bareKind is one kind of entity of a drawing.
type bareKind struct {
	Name  string `json:"name"`
	Count int    `json:"count"`
	Read  bool   `json:"read"`
}

type bareProblem struct {
	File  string `json:"file"`
	Line  int    `json:"line"`
	Field string `json:"field"`
	Value string `json:"value"`
	Why   string `json:"why"`
	Mend  string `json:"mend"`
	Grade string `json:"grade"`
}

func bareProblemOf(p problem.Problem) bareProblem {
	return bareProblem{p.File, p.Line, p.Field, p.Value, p.Why, p.Mend, p.Grade.String()}
}

func writeBareJSON(w io.Writer, f *bare.File) error {
	j := bareJSON{Format: f.Format, Points: points(f), Refused: f.Refused, Unit: f.Unit,
		Surfaces: []bareSurface{}, Outlines: []bareOutline{}, Level: levelOf(f.Level), Problems: []bareProblem{}}
	j.Min, j.Max = ranges(f)
	for _, k := range f.Kinds {
		j.Entities = append(j.Entities, bareKind(k))
	}
	for _, o := range f.Outlines {
		j.Outlines = append(j.Outlines, outlineOf(o))
	}
	for _, s := range f.Surfaces {
		j.Surfaces = append(j.Surfaces, surfaceOf(s))
	}
	for _, p := range f.Problems {
		j.Problems = append(j.Problems, bareProblemOf(p))
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(j)
}

// micro rounds to a millionth, which hides what turning a unit about costs.
func micro(x float64) float64 { return math.Round(x*1e6) / 1e6 }

func surfaceOf(s bare.Surface) bareSurface {
	out := bareSurface{Name: s.Name, Points: len(s.Places)}
	if n := s.FaceCount(); n > 0 {
		out.bareFaces = &bareFaces{n, s.Invisible, micro(s.PlanArea())}
	}
	return out
}

func outlineOf(o bare.Outline) bareOutline {
	return bareOutline{Name: o.Name, Vertices: o.Vertices(), Holes: len(o.Holes), Area: micro(o.Area()),
		Perimeter: micro(o.Perimeter())}
}

func levelOf(r *level.Result) *bareLevel {
	if r == nil {
		return nil
	}
	l := &bareLevel{SetUps: []bareSetUp{}, Shots: []bareShot{}}
	for _, s := range r.SetUps {
		l.SetUps = append(l.SetUps, bareSetUp{s.On, micro(s.From), s.Backsight, micro(s.HI)})
	}
	for _, s := range r.Shots {
		l.Shots = append(l.Shots, bareShot{s.Reading.Shot, s.SetUp + 1, s.Kind.String(), s.Rod, micro(s.Elevation),
			micro(s.Adjusted), s.Line})
	}
	if r.Closing != nil {
		off := micro(r.Closing.Misclosure)
		l.Misclosure = &off
	}
	return l
}

// mostOutlines is how many outlines are printed one by one.
const mostOutlines = 20

func writeBare(w io.Writer, f *bare.File) error {
	var b strings.Builder
	row := func(name, format string, args ...any) {
		fmt.Fprintf(&b, "%-10s%s\n", name, fmt.Sprintf(format, args...))
	}
	row("Format", "%s", f.Format)
	row("Points", "%d", points(f))
	row("Refused", "%d", f.Refused)
	unit := string(f.Unit)
	if f.Unit == bare.Unstated {
		unit = "not stated"
	}
	row("Unit", "%s", unit)
	least, most := ranges(f)
	for i := range least {
		row(string("xyz"[i]), "%s to %s", figure(least[i]), figure(most[i]))
	}
	if len(f.Kinds) > 0 {
		row("Entities", "%s", kindsText(f.Kinds))
	}
	for _, s := range f.Surfaces {
		j := surfaceOf(s)
		if j.bareFaces == nil {
			row("Surface", "%q: %d points", j.Name, j.Points)
			continue
		}
		row("Surface", "%q: %d points, %d faces, %d of them invisible; plan area %.1f", j.Name, j.Points,
			j.Triangles, j.Invisible, j.Area)
	}
	for i, o := range f.Outlines {
		if i == mostOutlines {
			row("Outlines", "%d more", len(f.Outlines)-i)
			break
		}
		j := outlineOf(o)
		row("Outline", "%q: %d vertices, %d holes, area %.1f, perimeter %.1f", j.Name, j.Vertices, j.Holes, j.Area, j.Perimeter)
	}
	if f.Level != nil {
		b.WriteString("\n" + f.Level.Text() + "\n")
	}
	for _, p := range f.Problems {
		grade := p.Grade.String()
		row(strings.ToUpper(grade[:1])+grade[1:], "%s", p.Error())
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// kindsText lists the first kinds of a drawing and counts the rest.
func kindsText(kinds []bare.Kind) string {
	const most = 12
	var words []string
	for i, k := range kinds {
		if i == most {
			words = append(words, fmt.Sprintf("%d more kinds", len(kinds)-i))
			break
		}
		words = append(words, fmt.Sprintf("%d %.30s", k.Count, k.Name))
	}
	return strings.Join(words, ", ")
}

func figure(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
