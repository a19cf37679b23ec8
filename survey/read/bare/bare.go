// Package bare reads a survey file on its own, without a job: what format it
// is, how many places it holds, what was refused and why. Each format has a
// reader in a file of its own, chosen by content and not by file ending.
package bare

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"runnel/survey/level"
	"runnel/survey/problem"
)

// Unit is the length unit that a file states.
type Unit string

// The units; the zero value is Unstated.
const (
	Unstated    Unit = ""
	Feet        Unit = "ft"
	SurveyFeet  Unit = "us-ft"
	Inches      Unit = "in"
	Metres      Unit = "m"
	Millimetres Unit = "mm"
)

// UnitField is the field of notes that say that a file states no unit.
const UnitField = "unit"

// LevelField is the field of notes on how a level book closes and how its
// set-ups agree.
const LevelField = "levels"

// Place is one place as the file has it, in the file's own unit: x right or
// east, y up or north, z the elevation.
type Place struct {
	ID      string
	X, Y, Z float64
	Code    string
	Line    int // from 1; 0 in binary files
}

// Surface is a triangulated surface of a file, or a raster.
type Surface struct {
	Name      string
	Places    []Place
	Faces     [][3]int // places by number from 0; nil for a raster
	Invisible int      // faces that the file marks as no part of the surface
	Halves    int      // of Faces: second halves of faces with four corners
}

// File is what a survey file holds.
type File struct {
	Format   string // in words: "delimited text", "LandXML 1.2"
	Unit     Unit
	Places   []Place   // outside surfaces
	Surfaces []Surface // each with places of its own
	Outlines []Outline // closed rings, with what is cut out of them
	Chains   []Chain   // lines of a drawing; their places are no shots
	Kinds    []Kind    // what a drawing holds, by name
	Refused  int       // records that hold no place that can be used
	Unread   int       // of Refused: rows of a level book that name a place and hold no reading
	Thinned  int       // places left out of a large point cloud; Bounds holds them still
	Nameless int       // records of a list whose columns have no names: no places yet
	// Level is a level book reduced; nil for other formats. A level book has no
	// plan places: Places is empty, and Level.SetUps (each with HI), Level.Shots
	// (elevation, adjusted) and Level.Closing (misclosure) hold what was found;
	// Level.Text() is all of it as a page.
	Level *level.Result
	// Layers are those that Places lie on, beside them; nil but for drawings.
	Layers []string
	// Sheet is what a grid sheet says of its cells; nil for other formats.
	Sheet *Sheet

	Problems problem.List

	cloud bool // of points, which the highest and lowest stand alone in
}

// Sheet says what the cells of a grid sheet are; all false where it does not
// say. Places of rod readings are elevations under an HI of 100 where the sheet
// states none.
type Sheet struct {
	Elevations, Rod, Direct bool
	HasHI                   bool // HI is stated
	HI                      float64
}

// Format is one kind of file.
type Format struct {
	Name string
	// Is says whether data (the whole file) looks like this format.
	Is func(data []byte) bool
	// Read reads data; name is the file as the user named it, for problems. A
	// file that cannot be used at all gives a Fault in Problems.
	Read func(name string, data []byte) *File
}

// MostBytes is the size from which a file is refused, but for point clouds,
// which are read in a stream.
const MostBytes = 256 << 20

// Options are what the user says about a file.
type Options struct {
	// Columns names the columns of delimited text from the left: point, n, e
	// (or x, y), z, code, or - for one that is passed over. Empty where the
	// header says it.
	Columns []string
	// Part names the layer, surface or outline that is wanted; empty for all.
	Part string
}

// formats are tried in this order: those that a signature tells first.
func formats(opt Options) []Format {
	all := unlisted()
	if len(opt.Columns) > 0 { // as IsList has it
		all = append(signed(), refusedFormats()...)
	}
	return append(all, delimitedFormat(opt.Columns))
}

// unlisted are all formats but delimited text.
func unlisted() []Format {
	return append(append(signed(), levelBookFormat(), gridSheetFormat()), refusedFormats()...)
}

// signed are the formats that a signature or the form of every line tells.
func signed() []Format {
	return []Format{
		lasFormat(),
		gridFormat(),
		geoJSONFormat(),
		wktFormat(),
		sdrFormat(),
		gsiFormat(),
		landXMLFormat(),
		dxfFormat(),
	}
}

// StartBytes is how much of a file tells its format.
const StartBytes = looked

// IsList says whether a file that starts so, with StartBytes or all there are,
// is delimited text or of no format that is known. Where its columns are named
// from outside it is no level book and no sheet.
func IsList(start []byte, named bool) bool {
	all := unlisted()
	if named {
		all = signed()
	}
	return !slices.ContainsFunc(all, func(f Format) bool { return f.Is(start) })
}

// IsCloud says whether a file that starts so is a point cloud for ScanLAS.
func IsCloud(start []byte) bool { return isLAS(start) }

// Read reads a survey file. Errors are those of the reader; what is wrong with
// the file stands in Problems.
func Read(name string, in io.Reader, opt Options) (*File, error) {
	f, err := read(name, in, opt)
	if err != nil {
		return nil, err
	}
	if opt.Part != "" {
		f.only(name, opt.Part)
	}
	if !f.cloud {
		f.alone(name)
	}
	if len(opt.Columns) > 0 && !strings.HasPrefix(f.Format, delimited) && len(f.Problems.Faults()) == 0 {
		f.Problems.Add(problem.Problem{File: name, Field: "columns", Grade: problem.Note,
			Why: "the columns that were named are not used: the file is " + f.Format + ", which says itself what it holds", Mend: "nothing to do"})
	}
	return f, nil
}

// read reads all of a file.
func read(name string, in io.Reader, opt Options) (*File, error) {
	head := bufio.NewReader(in)
	if first, _ := head.Peek(4); isLAS(first) {
		f, err := readLAS(name, head)
		if f != nil {
			f.cloud = true
		}
		return f, err
	}
	var data bytes.Buffer
	n, err := io.Copy(&data, io.LimitReader(head, MostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, err)
	}
	if n > MostBytes {
		return refusal(name, "larger than 256 MB", "thin it, or cut it to the roof"), nil
	}
	for _, f := range formats(opt) {
		if f.Is(data.Bytes()) {
			return f.Read(name, data.Bytes()), nil
		}
	}
	return foreign(name, data.Bytes()), nil
}

// refusal is a file of which nothing can be used.
func refusal(name, why, mend string) *File {
	return &File{Format: "unknown", Problems: problem.List{{File: name, Why: why, Mend: mend}}}
}

// Bounds gives the least and the greatest x, y and z of all places, those of
// surfaces included; ok is false where there are none.
func (f *File) Bounds() (low, high [3]float64, ok bool) {
	take := func(ps []Place) {
		for _, p := range ps {
			at := [3]float64{p.X, p.Y, p.Z}
			if !ok {
				low, high, ok = at, at, true
				continue
			}
			for i, v := range at {
				low[i], high[i] = min(low[i], v), max(high[i], v)
			}
		}
	}
	take(f.Places)
	for _, s := range f.Surfaces {
		take(s.Places)
	}
	return low, high, ok
}

// Count is how many places the file holds: those of surfaces, those that were
// thinned out and those without named columns included.
func (f *File) Count() int {
	n := len(f.Places) + f.Thinned + f.Nameless
	for _, s := range f.Surfaces {
		n += len(s.Places)
	}
	return n
}
