package read

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

const (
	// mostSingle is how many places of a list are held as shots, with names and
	// lines; a longer one is a point cloud.
	mostSingle = 20_000
	mostFiles  = 100 // that one key may name
)

// shotFile is what one file of the survey gave.
type shotFile struct {
	file  string // as the job names it
	at    item   // in the job file
	shots []survey.Shot
	area  []string // beside shots; nil where no area is named
	out   table.Tally
	cloud *cloudFile // nil: single shots
	lay   *layout    // nil: where a shot lies cannot be told
	seen  int        // places
	opt   table.ShotOptions

	single bool // a point cloud cannot be used
	book   bool // a level book, with set-ups of its own in opt
}

// shotFiles reads the files that a listing names, one or a list of them; where
// clouds is false, places by the thousand are refused.
func (r *jobReader) shotFiles(l listing, lay *layout, clouds bool) []*shotFile {
	var out []*shotFile
	for _, one := range l.shots.each() {
		name, ok := one.text()
		if !ok {
			continue
		}
		if len(out) == mostFiles {
			one.fault(fmt.Sprintf("more than %d files", mostFiles), "put their shots into fewer")
			break
		}
		s := &shotFile{file: name, at: one, out: table.Tally{File: name}, lay: lay, single: !clouds, opt: l.opt}
		r.shotFile(s)
		s.settle()
		out = append(out, s)
	}
	return out
}

// each gives the values of a list, or the single value that stands there.
func (v item) each() []item {
	if v.absent || v.n.Kind != seqKind {
		return []item{v}
	}
	l := v.list()
	if len(l) == 0 {
		v.fault("the list names no file", "write shots: shots.csv")
	}
	return l
}

// shotFile reads one file by what it holds.
func (r *jobReader) shotFile(s *shotFile) {
	name, part := r.fileAndPart(s.file)
	in, ok := r.open(s.at, name)
	if !ok {
		return
	}
	defer in.Close()
	start := make([]byte, bare.StartBytes)
	n, err := io.ReadFull(in, start)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		why, mend := table.FileTrouble(err)
		s.at.fault(why, mend)
		return
	}
	start = start[:n]
	whole := io.MultiReader(bytes.NewReader(start), in)
	cloud, list := bare.IsCloud(start), bare.IsList(start, s.opt.Columns != nil)
	if part != "" && (cloud || list) {
		s.at.fault("the file has no parts that can be named", "take #"+part+" out")
		return
	}
	switch {
	case cloud && s.single:
		s.at.fault("a point cloud of the deck is not used", "name shots on the deck, as a list")
	case cloud:
		r.lasFile(s, whole)
	case list:
		s.list(whole)
	default:
		f, err := bare.Read(name, whole, bare.Options{})
		if err != nil {
			s.at.fault(err.Error(), "copy the file again")
			return
		}
		r.bareFile(s, f, part)
	}
}

// fileAndPart parts a name such as roof.dxf#LAYER. A file that bears the whole
// name is meant by it.
func (r *jobReader) fileAndPart(name string) (file, part string) {
	i := strings.LastIndexByte(name, '#')
	if i <= 0 {
		return name, ""
	}
	full := path.Join(path.Dir(r.file), strings.ReplaceAll(name, `\`, "/"))
	if _, err := fs.Stat(r.fsys, full); fs.ValidPath(full) && err == nil {
		return name, ""
	}
	return name[:i], name[i+1:]
}

// list reads delimited text. Elevations by the thousand are no single shots
// and go on to a cloud, line by line; rod readings are kept, since their
// set-ups may be tied by them.
func (s *shotFile) list(in io.Reader) {
	opt := s.opt
	opt.File = s.file
	if len(opt.SetUps) == 0 {
		opt.Take = s.take
	}
	b := table.ReadShots(in, opt)
	for _, p := range b.Problems() {
		s.out.Add(p)
	}
	if opt.Take == nil {
		s.shots, s.area, s.seen = b.Shots, b.Area, len(b.Shots)
	}
}

// take takes one place, whose texts may be used again by the caller; false
// ends the reading.
func (s *shotFile) take(shot survey.Shot, area string) bool {
	if s.seen++; s.seen == mostSingle+1 {
		if s.single {
			s.fault(fmt.Sprintf("more than %d shots on the deck are a point cloud, which is not used", mostSingle), "thin it")
			return false
		}
		s.toCloud()
	}
	if s.cloud != nil {
		return s.cloud.take(shot.At, shot.Elev.Feet(), area)
	}
	if shot.ID = clean(shot.ID); shot.ID == "" {
		shot.ID = strconv.Itoa(s.seen)
	}
	shot.Code = clean(shot.Code)
	if area != "" && s.area == nil {
		s.area = make([]string, len(s.shots), mostSingle)
	}
	if s.area != nil {
		s.area = append(s.area, clean(area))
	}
	s.shots = append(s.shots, shot)
	return true
}

func clean(s string) string { return strings.Clone(strings.ToValidUTF8(s, "?")) }

// areaOf is what the area column says of shot i.
func (s *shotFile) areaOf(i int) string {
	if s.area == nil {
		return ""
	}
	return s.area[i]
}

// toCloud turns the single shots so far into points of clouds.
func (s *shotFile) toCloud() {
	s.cloud = &cloudFile{of: s, lay: s.lay}
	if s.lay != nil {
		s.cloud.parts = make([]*survey.Cloud, len(s.lay.areas))
	}
	for i, shot := range s.shots {
		if !s.cloud.take(shot.At, shot.Elev.Feet(), s.areaOf(i)) {
			break
		}
	}
	s.shots, s.area = nil, nil
}

// settle makes a cloud of a list that is too dense for a person with a rod on
// any of the areas.
func (s *shotFile) settle() {
	if s.cloud != nil || s.single || s.lay == nil || len(s.shots) < leastCloud {
		return
	}
	on := make([]int, len(s.lay.areas))
	for i, shot := range s.shots {
		if shot.SetUp > 0 {
			return
		}
		if k := s.lay.cloudArea(shot.At, s.areaOf(i)); k >= 0 {
			on[k]++
		}
	}
	for k, n := range on {
		if n >= leastCloud && float64(n) > survey.DensestShots*s.lay.areas[k].poly().Area() {
			s.toCloud()
			return
		}
	}
}

// fault and note add problems of the file as a whole.
func (s *shotFile) fault(why, mend string) {
	s.out.Add(problem.Problem{File: s.file, Why: why, Mend: mend})
}

func (s *shotFile) note(why, mend string) {
	s.out.Add(problem.Problem{File: s.file, Why: why, Mend: mend, Grade: problem.Note})
}

// ftOf gives the feet of a number of units, as a list's plain number has them.
func ftOf(x float64, one unit.Length) float64 { return table.Times(x, one).Feet() }

// within says whether a place lies where coordinates may lie.
func within(p geom.Pt, zFt float64) bool {
	const most = table.MostCoordFt
	return p.X >= -most && p.X <= most && p.Y >= -most && p.Y <= most && zFt >= -most && zFt <= most
}
