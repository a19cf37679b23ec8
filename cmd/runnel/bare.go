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

	"runnel/survey/problem"
	"runnel/survey/read/bare"
)

// isBare says whether path is a survey file on its own and no job: a regular
// file that is no YAML.
func isBare(path string) bool {
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
	in, err := os.Open(path)
	if err != nil {
		return err
	}
	defer in.Close()
	var opt bare.Options
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

func holdsAny(f *bare.File) bool { return f.Count()+len(f.Surfaces)+len(f.Outlines) > 0 }

// bareJSON is a survey file as --json prints it. Lengths are in the file's
// own unit; the least and greatest are those of x, y and z.
type bareJSON struct {
	Format   string        `json:"format"`
	Points   int           `json:"points"`
	Refused  int           `json:"refused"`
	Unit     bare.Unit     `json:"unit"`
	Min      []float64     `json:"min"`
	Max      []float64     `json:"max"`
	Surfaces []bareSurface `json:"surfaces"`
	Outlines int           `json:"outlines"`
	Problems []bareProblem `json:"problems"`
}

type bareSurface struct {
	Name      string `json:"name"`
	Points    int    `json:"points"`
	Triangles int    `json:"faces"`
	Invisible int    `json:"invisible"`
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
	j := bareJSON{Format: f.Format, Points: f.Count(), Refused: f.Refused, Unit: f.Unit,
		Surfaces: []bareSurface{}, Outlines: len(f.Outlines), Problems: []bareProblem{}}
	if low, high, ok := f.Bounds(); ok {
		for i := range low {
			j.Min, j.Max = append(j.Min, micro(low[i])), append(j.Max, micro(high[i]))
		}
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
	return bareSurface{Name: s.Name, Points: len(s.Places), Triangles: len(s.Faces), Invisible: s.Invisible}
}

func writeBare(w io.Writer, f *bare.File) error {
	var b strings.Builder
	row := func(name, format string, args ...any) {
		fmt.Fprintf(&b, "%-10s%s\n", name, fmt.Sprintf(format, args...))
	}
	row("Format", "%s", f.Format)
	row("Points", "%d", f.Count())
	row("Refused", "%d", f.Refused)
	unit := string(f.Unit)
	if f.Unit == bare.Unstated {
		unit = "not stated"
	}
	row("Unit", "%s", unit)
	if low, high, ok := f.Bounds(); ok {
		for i, axis := range []string{"x", "y", "z"} {
			row(axis, "%s to %s", figure(low[i]), figure(high[i]))
		}
	}
	for _, s := range f.Surfaces {
		j := surfaceOf(s)
		row("Surface", "%q: %d points, %d faces, %d of them invisible", j.Name, j.Points, j.Triangles, j.Invisible)
	}
	if n := len(f.Outlines); n > 0 {
		row("Outlines", "%d", n)
	}
	for _, p := range f.Problems {
		row(strings.ToUpper(p.Grade.String()[:1])+p.Grade.String()[1:], "%s", p.Error())
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func figure(x float64) string { return strconv.FormatFloat(micro(x), 'f', -1, 64) }
