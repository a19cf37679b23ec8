package bare

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"runnel/survey/problem"
)

// Rules of the header and of the point records: American Society for
// Photogrammetry and Remote Sensing, LAS Specification 1.4 - R15 (from
// memory); all numbers are little-endian.
const (
	lasPlainHead = 227 // bytes of the header up to LAS 1.2
	lasLongHead  = 375 // bytes of the header of LAS 1.4
	lasPacked    = 0xC0
)

// lasLeast is how many bytes a record of each point format has at least.
var lasLeast = [...]int{20, 28, 26, 34, 57, 63, 30, 36, 38, 59, 67}

// lasHead is what the header of a point cloud says.
type lasHead struct {
	minor  int // of version 1
	format int // of the point records
	stride int // bytes from one record to the next
	skip   int64
	count  uint64
	scale  [3]float64
	offset [3]float64
}

// isLAS says whether data begin a point cloud.
func isLAS(data []byte) bool { return bytes.HasPrefix(data, []byte("LASF")) }

func lasFormat() Format {
	return Format{Name: "LAS point cloud", Is: isLAS, Read: func(name string, data []byte) *File {
		f, err := readLAS(name, bytes.NewReader(data))
		if err != nil { // a reader over bytes has no errors of its own
			return refusal(name, err.Error(), "copy the file again")
		}
		return f
	}}
}

// lazWhy is why a compressed cloud is refused.
const lazWhy = "a compressed point cloud (LAZ)"

// fault is a fault of the whole file.
func fault(why, mend string) problem.Problem { return problem.Problem{Why: why, Mend: mend} }

// EachLAS calls take for each point of a LAS 1.0 to 1.4 point cloud, in the
// order of the file: x east, y north, z up, in the file's own unit, and the
// point's class. Points that are marked as withheld and those without usable
// coordinates are passed over. It reads in a stream and holds no points.
//
// A file that is not as it should be gives a problem.Problem as the error,
// after the points before that place; an error of take ends the reading and is
// given back as it is. An empty cloud calls nothing and is no error.
func EachLAS(r io.Reader, take func(x, y, z float64, class uint8) error) error {
	_, err := ScanLAS(r, take)
	return err
}

// Scanned counts the points of a cloud that was gone through.
type Scanned struct {
	Read     int // all
	Withheld int // marked as such, not given
	Far      int // without usable coordinates, not given
}

// ScanLAS is EachLAS and counts the points, those passed over included.
func ScanLAS(r io.Reader, take func(x, y, z float64, class uint8) error) (Scanned, error) {
	var tally lasTally
	_, err := eachLAS(r, &tally, take)
	return Scanned{Read: int(tally.read), Withheld: int(tally.withheld), Far: int(tally.far)}, err
}

// lasTally counts the points that are passed over.
type lasTally struct {
	withheld, far, read uint64

	wantsRest bool  // whether rest is counted
	rest      int64 // bytes after the last point, where nothing belongs there
}

func eachLAS(r io.Reader, tally *lasTally, take func(x, y, z float64, class uint8) error) (*lasHead, error) {
	in := bufio.NewReaderSize(r, 1<<16)
	head, err := readLASHead(in)
	if err != nil {
		return nil, err
	}
	const most = 1 << 12
	block := make([]byte, head.stride*max(1, most/head.stride))
	for left := head.count; left > 0; {
		want := int(min(left, uint64(len(block)/head.stride)))
		n, err := io.ReadFull(in, block[:want*head.stride])
		got := n / head.stride
		for i := range got {
			if err := head.give(block[i*head.stride:], tally, take); err != nil {
				return head, err
			}
		}
		left -= uint64(got)
		if ended(err) {
			return head, fault(fmt.Sprintf("the header counts %d points and the file ends after %d", head.count, head.count-left),
				"copy the file again; it is cut short")
		}
		if err != nil {
			return head, fmt.Errorf("read point cloud: %w", err)
		}
	}
	if tally.wantsRest && head.minor <= 2 { // later versions have more to say there
		if tally.rest, err = io.Copy(io.Discard, in); err != nil {
			return head, fmt.Errorf("read point cloud: %w", err)
		}
	}
	return head, nil
}

func ended(err error) bool { return errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) }

// give hands one record over.
func (h *lasHead) give(rec []byte, tally *lasTally, take func(x, y, z float64, class uint8) error) error {
	tally.read++
	class, withheld := rec[15]&31, rec[15]&128 != 0
	if h.format >= 6 {
		class, withheld = rec[16], rec[15]&4 != 0
	}
	if withheld {
		tally.withheld++
		return nil
	}
	var at [3]float64
	for i := range at {
		n := int32(binary.LittleEndian.Uint32(rec[4*i:]))
		at[i] = float64(float64(n)*h.scale[i]) + h.offset[i]
		if !(math.Abs(at[i]) <= mostCoord) {
			tally.far++
			return nil
		}
	}
	return take(at[0], at[1], at[2], class)
}

// readLASHead reads the header and goes on to the first point.
func readLASHead(in io.Reader) (*lasHead, error) {
	b := make([]byte, lasLongHead)
	short := fault("the header is cut short", "copy the file again")
	n, err := io.ReadFull(in, b[:lasPlainHead])
	if err != nil && !ended(err) {
		return nil, fmt.Errorf("read point cloud: %w", err)
	}
	if !isLAS(b[:n]) {
		return nil, fault("no LAS point cloud", "export the cloud as LAS 1.2 or 1.4")
	}
	if n < lasPlainHead {
		return nil, short
	}
	if b[24] != 1 || b[25] > 4 {
		return nil, fault(fmt.Sprintf("LAS %d.%d is not known", b[24], b[25]), "export it as LAS 1.2 or 1.4")
	}
	read := int64(n)
	if b[25] == 4 {
		m, err := io.ReadFull(in, b[n:])
		if ended(err) {
			return nil, short
		}
		if err != nil {
			return nil, fmt.Errorf("read point cloud: %w", err)
		}
		read += int64(m)
	}
	head, err := parseLASHead(b)
	if err != nil {
		return nil, err
	}
	if head.skip < read {
		return nil, fault("the header says that the points begin within it", "export the cloud anew")
	}
	_, err = io.CopyN(io.Discard, in, head.skip-read)
	switch {
	case ended(err) && head.count == 0, err == nil:
		return head, nil
	case ended(err):
		return nil, fault("the file ends before its first point", "copy the file again")
	}
	return nil, fmt.Errorf("read point cloud: %w", err)
}

// parseLASHead reads the fields of a header that has all of its bytes.
func parseLASHead(b []byte) (*lasHead, error) {
	le := binary.LittleEndian
	h := &lasHead{minor: int(b[25]), format: int(b[104] &^ lasPacked), stride: int(le.Uint16(b[105:])),
		skip: int64(le.Uint32(b[96:])), count: uint64(le.Uint32(b[107:]))}
	if b[104]&lasPacked != 0 {
		return nil, fault(lazWhy, "decompress it to LAS with any point-cloud tool and give the LAS file")
	}
	if h.format >= len(lasLeast) {
		return nil, fault(fmt.Sprintf("point format %d is not known", h.format), "export it in point format 0 to 10")
	}
	if h.stride < lasLeast[h.format] {
		return nil, fault(fmt.Sprintf("records of %d bytes are too short for point format %d, which has %d",
			h.stride, h.format, lasLeast[h.format]), "export the cloud anew")
	}
	if h.minor == 4 {
		if size := le.Uint16(b[94:]); size < lasLongHead {
			return nil, fault(fmt.Sprintf("a header of %d bytes is too short for LAS 1.4", size), "export the cloud anew")
		}
		if n := le.Uint64(b[247:]); n > 0 {
			h.count = n // the old count may be 0, or that of a part
		}
	}
	for i := range h.scale {
		h.scale[i] = math.Float64frombits(le.Uint64(b[131+8*i:]))
		h.offset[i] = math.Float64frombits(le.Uint64(b[155+8*i:]))
		if s := h.scale[i]; s == 0 || math.IsNaN(s-s) || math.IsNaN(h.offset[i]-h.offset[i]) {
			return nil, fault(fmt.Sprintf("%c has scale %g and offset %g", 'x'+rune(i), s, h.offset[i]),
				"export the cloud anew with a scale such as 0.001")
		}
	}
	return h, nil
}

// mostPlaces is how many places of a point cloud a File holds at most.
const mostPlaces = 1_000_000

// thinner keeps every step-th point; where there are too many, it leaves every
// other one out and doubles the step. The points furthest out are kept apart.
type thinner struct {
	most, step, seen int
	kept             []Place
	out              [6]Place // least and greatest x, y and z, the first of equals
	outAt            [6]int   // the number of each
}

func (t *thinner) add(p Place) {
	n := t.seen
	t.seen++
	for i, better := range [6]bool{p.X < t.out[0].X, p.X > t.out[1].X, p.Y < t.out[2].Y, p.Y > t.out[3].Y,
		p.Z < t.out[4].Z, p.Z > t.out[5].Z} {
		if n == 0 || better {
			t.out[i], t.outAt[i] = p, n
		}
	}
	if n%t.step != 0 {
		return
	}
	if len(t.kept) == t.most {
		half := t.kept[:0]
		for i := 0; i < len(t.kept); i += 2 {
			half = append(half, t.kept[i])
		}
		t.kept = half
		t.step *= 2
		if n%t.step != 0 {
			return
		}
	}
	t.kept = append(t.kept, p)
}

// places gives what is kept, in the order of the file, then those of the
// points furthest out that are not among them.
func (t *thinner) places() []Place {
	if t.seen == 0 {
		return nil
	}
	done := map[int]bool{}
	for i, n := range t.outAt {
		if n%t.step != 0 && !done[n] {
			done[n] = true
			t.kept = append(t.kept, t.out[i])
		}
	}
	return t.kept
}

// readLAS reads a point cloud in a stream.
func readLAS(name string, in io.Reader) (*File, error) {
	tally := lasTally{wantsRest: true}
	var classes [256]int
	codes := classCodes()
	thin := thinner{most: mostPlaces, step: 1}
	head, err := eachLAS(in, &tally, func(x, y, z float64, class uint8) error {
		classes[class]++
		thin.add(Place{X: x, Y: y, Z: z, Code: codes[class]})
		return nil
	})
	f := &File{Format: "LAS point cloud", Refused: int(tally.withheld + tally.far)}
	if head != nil {
		f.Format = fmt.Sprintf("LAS 1.%d point cloud, point format %d", head.minor, head.format)
	}
	f.Places = thin.places()
	f.Thinned = thin.seen - len(f.Places)
	var p problem.Problem
	if errors.As(err, &p) {
		p.File = name
		f.Problems.Add(p)
		if p.Why == lazWhy {
			f.Format = "LAZ point cloud"
		}
	} else if err != nil {
		return nil, err
	}
	if head == nil {
		return f, nil
	}
	f.Problems = append(f.Problems, lasNotes(name, f, &tally, classes, int64(head.stride))...)
	return f, nil
}

// lasNotes says what a reader of the numbers should know.
func lasNotes(name string, f *File, tally *lasTally, classes [256]int, stride int64) problem.List {
	var out problem.List
	note := func(why, mend string) {
		out.Add(problem.Problem{File: name, Why: why, Mend: mend, Grade: problem.Note})
	}
	if tally.rest >= stride {
		note(fmt.Sprintf("%d bytes follow the last point that the header counts, as many as %d points have",
			tally.rest, tally.rest/stride), "export the cloud anew where points are missing")
	}
	if tally.read == 0 {
		out.Add(problem.Problem{File: name, Why: "the point cloud holds no points", Mend: "export it anew"})
		return out
	}
	var parts []string
	for class, n := range classes {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d in class %s", n, className(class)))
		}
	}
	if len(parts) > 0 {
		note(strings.Join(parts, ", "), "")
	}
	if f.Thinned > 0 {
		note(fmt.Sprintf("%d of %d points are kept, evenly through the file", len(f.Places), len(f.Places)+f.Thinned),
			"cut the cloud to the roof to keep more of them")
	}
	if tally.withheld > 0 {
		note(fmt.Sprintf("%d points are marked as withheld and are left out", tally.withheld), "")
	}
	if tally.far > 0 {
		note(fmt.Sprintf("%d points lie further out than 100,000,000 and are left out", tally.far), "")
	}
	out.Add(problem.Problem{File: name, Field: UnitField, Grade: problem.Note,
		Why: "the length unit is not read from a point cloud", Mend: "state it"})
	return out
}

// classCodes gives the number of each class as text, so that a million places
// share a few texts.
func classCodes() (out [256]string) {
	for i := range out {
		out[i] = strconv.Itoa(i)
	}
	return out
}

// className is the number of a class with its common name.
func className(class int) string {
	names := [...]string{"never classified", "unassigned", "ground", "low vegetation", "medium vegetation",
		"high vegetation", "building", "low point (noise)"}
	if class < len(names) {
		return fmt.Sprintf("%d (%s)", class, names[class])
	}
	return strconv.Itoa(class)
}
