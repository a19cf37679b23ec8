package render

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"runnel/survey"
)

// File is one file of a run, by its name in the output folder.
type File struct {
	Name  string
	Write func(io.Writer) error
}

// Outputs lists the files of r that are no pictures: tables, plan, summary and
// the two surfaces of each area. Board tables and finished surfaces are there
// only where there is a design.
func Outputs(r *Result) []File {
	files := []File{
		{"plan.geojson", func(w io.Writer) error { return WriteGeoJSON(w, r) }},
		{"summary.json", func(w io.Writer) error { return WriteSummary(w, r) }},
	}
	if hasDesign(r) {
		files = append(files,
			File{"boards.csv", func(w io.Writer) error { return WriteBoardsCSV(w, r) }},
			File{"cuts.csv", func(w io.Writer) error { return WriteCutsCSV(w, r) }},
			File{"edges.csv", func(w io.Writer) error { return WriteEdgesCSV(w, r) }},
			File{"options.csv", func(w io.Writer) error { return WriteOptionsCSV(w, r) }})
		files = append(files, foremanFiles(r)...)
		if r.Job.Fastening != nil {
			files = append(files, File{"fasteners.csv", func(w io.Writer) error { return WriteFastenersCSV(w, r) }})
		}
	}
	if slices.ContainsFunc(r.Areas, func(a AreaResult) bool { return lastRain(&a) != nil }) {
		files = append(files, File{"outlets.csv", func(w io.Writer) error { return WriteOutletsCSV(w, r) }})
	}
	if hasAsBuilt(r) {
		files = append(files, File{"asbuilt.csv", func(w io.Writer) error { return WriteAsBuiltCSV(w, r) }})
	}
	for i := range r.Areas {
		a, suffix := &r.Areas[i], Suffix(r, i)
		if a.Structure != nil {
			files = append(files, File{"structure" + suffix + ".txt", func(w io.Writer) error { return WriteStructure(w, r, i) }})
		}
		if a.Existing != nil {
			files = append(files, gridFile("existing"+suffix, a.Site, a.Existing.Surface, a.InletIn))
		}
		if a.Proof != nil {
			files = append(files, gridFile("finished"+suffix, a.Site, a.Proof.Surface, a.FinishedInletIn))
		}
	}
	return files
}

func hasDesign(r *Result) bool {
	for _, a := range r.Areas {
		if a.Design != nil {
			return true
		}
	}
	return false
}

func hasAsBuilt(r *Result) bool {
	return slices.ContainsFunc(r.Areas, func(a AreaResult) bool { return a.AsBuilt != nil })
}

func gridFile(name string, s *survey.Site, surf *survey.Surface, inletIn []float64) File {
	return File{name + ".asc", func(w io.Writer) error { return WriteASC(w, s, surf, inletIn) }}
}

// Suffix is what the file names of area i end in: nothing where r has one
// area, else a hyphen and the area's name. What may not stand in a file name
// becomes a hyphen; areas whose names then read alike get their number too.
func Suffix(r *Result, i int) string {
	if len(r.Areas) <= 1 {
		return ""
	}
	name := fileWord(r.Areas[i].Area.Name)
	for n := range r.Areas {
		if n != i && strings.EqualFold(fileWord(r.Areas[n].Area.Name), name) {
			return "-" + name + "-" + strconv.Itoa(i+1)
		}
	}
	return "-" + name
}

func fileWord(name string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '_', c == '.':
			return c
		}
		return '-'
	}, name)
}
