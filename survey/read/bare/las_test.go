package bare_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime/metrics"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"runnel/survey/problem"
	"runnel/survey/read/bare"
)

// dataFile opens a public file; the test is skipped where there are none.
func dataFile(t testing.TB, name string) []byte {
	t.Helper()
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the public survey files are not read")
	}
	data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func readBare(t testing.TB, name string, data []byte) *bare.File {
	t.Helper()
	f, err := bare.Read(name, bytes.NewReader(data), bare.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func wantBounds(t *testing.T, f *bare.File, low, high [3]float64, tol float64) {
	t.Helper()
	lo, hi, ok := f.Bounds()
	for i := range lo {
		if !ok || math.Abs(lo[i]-low[i]) > tol || math.Abs(hi[i]-high[i]) > tol {
			t.Fatalf("bounds %.4f to %.4f, want %.4f to %.4f", lo, hi, low, high)
		}
	}
}

// hasProblem says whether one problem of the grade holds the words.
func hasProblem(f *bare.File, g problem.Grade, words string) bool {
	for _, p := range f.Problems {
		if p.Grade == g && strings.Contains(p.Error(), words) {
			return true
		}
	}
	return false
}

// cloud writes point clouds for tests; the zero fields give LAS 1.2, format 0.
type cloud struct {
	minor, format  int
	extra          int // bytes after each record
	gap            int // bytes between header and points
	points         []cloudPoint
	scale          float64
	offset         [3]float64
	count          uint64 // in place of the true count
	oldCountIsZero bool
}

type cloudPoint struct {
	x, y, z  int32
	class    byte
	withheld bool
}

func (c cloud) bytes() []byte {
	le := binary.LittleEndian
	size := map[bool]int{false: 227, true: 235}[c.minor == 3]
	if c.minor == 4 {
		size = 375
	}
	stride := [...]int{20, 28, 26, 34, 57, 63, 30, 36, 38, 59, 67}[c.format] + c.extra
	b := make([]byte, size+c.gap)
	copy(b, "LASF")
	b[24], b[25] = 1, byte(c.minor)
	le.PutUint16(b[94:], uint16(size))
	le.PutUint32(b[96:], uint32(len(b)))
	b[104] = byte(c.format)
	le.PutUint16(b[105:], uint16(stride))
	count := uint64(len(c.points))
	if c.count > 0 {
		count = c.count
	}
	if !c.oldCountIsZero {
		le.PutUint32(b[107:], uint32(count))
	}
	if c.minor == 4 {
		le.PutUint64(b[247:], count)
	}
	scale := c.scale
	if scale == 0 {
		scale = 0.01
	}
	for i := range 3 {
		le.PutUint64(b[131+8*i:], math.Float64bits(scale))
		le.PutUint64(b[155+8*i:], math.Float64bits(c.offset[i]))
	}
	// Bounds a thousand times too large, as one public file has them.
	for i := range 6 {
		le.PutUint64(b[179+8*i:], math.Float64bits(1e6))
	}
	for _, p := range c.points {
		rec := make([]byte, stride)
		le.PutUint32(rec[0:], uint32(p.x))
		le.PutUint32(rec[4:], uint32(p.y))
		le.PutUint32(rec[8:], uint32(p.z))
		if c.format < 6 {
			rec[15] = p.class | 1<<5 // marked as synthetic too
			if p.withheld {
				rec[15] |= 1 << 7
			}
		} else {
			rec[16] = p.class
			if p.withheld {
				rec[15] |= 1 << 2
			}
		}
		b = append(b, rec...)
	}
	return b
}

func manyPoints(n int) []cloudPoint {
	out := make([]cloudPoint, n)
	for i := range out {
		out[i] = cloudPoint{x: int32(i), y: int32(i % 97), z: int32(i % 13), class: byte(i % 7)}
	}
	return out
}

func TestLAS_PublicRoof(t *testing.T) {
	f := readBare(t, "roof.las", dataFile(t, "roofs/las12_shallow_pitch_roof.las"))
	if len(f.Places) != 14408 || f.Refused != 0 || len(f.Problems.Faults()) > 0 {
		t.Fatalf("%d places, %d refused, %v", len(f.Places), f.Refused, f.Problems)
	}
	building := 0
	for _, p := range f.Places {
		if p.Code == "6" {
			building++
		}
	}
	if building != 12525 || !hasProblem(f, problem.Note, "12525 in class 6 (building)") {
		t.Errorf("%d in class 6; %v", building, f.Problems)
	}
	wantBounds(t, f, [3]float64{674521.92, 1206740.08, 627.53}, [3]float64{674605.32, 1206814.96, 656.23}, 5e-3) // known to two decimals
	if f.Unit != bare.Unstated || !hasProblem(f, problem.Note, "length unit") {
		t.Errorf("unit %q, %v", f.Unit, f.Problems)
	}
	if want := "LAS 1.2 point cloud, point format 3"; f.Format != want {
		t.Errorf("format %q, want %q", f.Format, want)
	}
}

func TestLAS_PackedIsRefused(t *testing.T) {
	f := readBare(t, "tile.laz", dataFile(t, "roofs/apartment_L_source_tile.laz"))
	if f.Format != "LAZ point cloud" || len(f.Places) != 0 || !hasProblem(f, problem.Fault, "compressed point cloud (LAZ); decompress it to LAS") {
		t.Errorf("%d places, %v", len(f.Places), f.Problems)
	}
	for _, bit := range []byte{0x40, 0x80} {
		data := cloud{points: manyPoints(3)}.bytes()
		data[104] |= bit
		if f := readBare(t, "a", data); len(f.Places) != 0 || !hasProblem(f, problem.Fault, "LAZ") {
			t.Errorf("bit %x: %d places, %v", bit, len(f.Places), f.Problems)
		}
	}
}

func TestLAS_EveryFormat(t *testing.T) {
	points := []cloudPoint{{x: 100, y: -200, z: 300, class: 6}, {x: math.MaxInt32, y: math.MinInt32, class: 2},
		{x: 5, class: 6, withheld: true}, {z: -1, class: 31}}
	offset := [3]float64{500000, 4000000, -10}
	want := "500001.00 3999998.00 -7.00 6\n21974836.47 -17474836.48 -10.00 2\n500000.00 4000000.00 -10.01 31\n"
	for minor := range 5 {
		for format := range 11 {
			for _, extra := range []int{0, 7} {
				c := cloud{minor: minor, format: format, extra: extra, gap: 54 * format, points: points, offset: offset,
					oldCountIsZero: minor == 4 && format > 5}
				var got strings.Builder
				err := bare.EachLAS(iotest.HalfReader(bytes.NewReader(c.bytes())), func(x, y, z float64, class uint8) error {
					fmt.Fprintf(&got, "%.2f %.2f %.2f %d\n", x, y, z, class)
					return nil
				})
				if err != nil || got.String() != want {
					t.Fatalf("LAS 1.%d format %d, %d extra bytes: %v\n%s", minor, format, extra, err, got.String())
				}
			}
		}
	}
	f := readBare(t, "a.las", cloud{minor: 4, format: 7, points: points}.bytes())
	if f.Refused != 1 || len(f.Places) != 3 || !hasProblem(f, problem.Note, "1 points are marked as withheld") {
		t.Errorf("%d places, %d refused, %v", len(f.Places), f.Refused, f.Problems)
	}
}

func TestLAS_Class255AboveFormat5(t *testing.T) {
	f := readBare(t, "a.las", cloud{minor: 4, format: 6, points: []cloudPoint{{class: 255}}}.bytes())
	if len(f.Places) != 1 || f.Places[0].Code != "255" {
		t.Errorf("%+v", f.Places)
	}
}

func TestLAS_BadFiles(t *testing.T) {
	three := cloud{points: manyPoints(3)}
	edit := func(c cloud, at int, with ...byte) []byte {
		b := c.bytes()
		copy(b[at:], with)
		return b
	}
	f64 := func(v float64) []byte { return binary.LittleEndian.AppendUint64(nil, math.Float64bits(v)) }
	whole := three.bytes()
	huge := cloud{minor: 4, format: 6, points: manyPoints(3), count: math.MaxUint64}
	cases := []struct {
		name   string
		data   []byte
		places int
		want   string
	}{
		{"only the mark", whole[:4], 0, "header is cut short"},
		{"half a header", whole[:100], 0, "header is cut short"},
		{"half a long header", huge.bytes()[:300], 0, "header is cut short"},
		{"cut in the third record", whole[:len(whole)-1], 2, "counts 3 points and the file ends after 2"},
		{"cut before the points", cloud{points: manyPoints(3), gap: 50}.bytes()[:250], 0, "ends before its first point"},
		{"absurd count", huge.bytes(), 3, "counts 18446744073709551615 points and the file ends after 3"},
		{"no points", cloud{}.bytes(), 0, "holds no points"},
		{"version 2.0", edit(three, 24, 2, 0), 0, "LAS 2.0 is not known"},
		{"version 1.5", edit(three, 25, 5), 0, "LAS 1.5 is not known"},
		{"point format 11", edit(three, 104, 11), 0, "point format 11 is not known"},
		{"record of 0 bytes", edit(three, 105, 0, 0), 0, "records of 0 bytes are too short"},
		{"record one byte too short", edit(three, 105, 19, 0), 0, "records of 19 bytes are too short"},
		{"points within the header", edit(three, 96, 100, 0, 0, 0), 0, "begin within"},
		{"points at 4 GB", edit(three, 96, 255, 255, 255, 255), 0, "ends before its first point"},
		{"scale not a number", edit(three, 131, f64(math.NaN())...), 0, "x has scale NaN"},
		{"scale 0", edit(three, 139, f64(0)...), 0, "y has scale 0"},
		{"infinite offset", edit(three, 171, f64(math.Inf(1))...), 0, "z has scale 0.01 and offset +Inf"},
		{"1.4 with a short header", edit(huge, 94, 227, 0), 0, "too short for LAS 1.4"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := readBare(t, "a.las", c.data)
			if len(f.Places) != c.places || !hasProblem(f, problem.Fault, c.want) {
				t.Errorf("%d places, want %d; %v, want %q", len(f.Places), c.places, f.Problems, c.want)
			}
		})
	}
}

func TestLAS_PointsThatTheHeaderDoesNotCount(t *testing.T) {
	for minor, want := range []bool{true, true, true, false, false} {
		f := readBare(t, "a.las", cloud{minor: minor, points: manyPoints(5), count: 3}.bytes())
		got := hasProblem(f, problem.Note, "40 bytes follow the last point that the header counts, as many as 2 points have")
		if len(f.Places) != 3 || got != want {
			t.Errorf("LAS 1.%d: %d places, %v", minor, len(f.Places), f.Problems)
		}
	}
	f := readBare(t, "a.las", append(cloud{points: manyPoints(5)}.bytes(), 0, 0))
	if hasProblem(f, problem.Note, "bytes follow") {
		t.Errorf("two bytes are no point: %v", f.Problems)
	}
}

func TestLAS_FarPointsAreRefused(t *testing.T) {
	f := readBare(t, "a.las", cloud{scale: 1, points: []cloudPoint{{x: 1}, {x: 100_000_001}}}.bytes())
	if len(f.Places) != 1 || f.Refused != 1 || !hasProblem(f, problem.Note, "1 points lie further out") {
		t.Errorf("%d places, %d refused, %v", len(f.Places), f.Refused, f.Problems)
	}
}

func TestEachLAS_ErrorsArePassedOn(t *testing.T) {
	data := cloud{points: manyPoints(5000)}.bytes()
	stop, n := errors.New("enough"), 0
	err := bare.EachLAS(bytes.NewReader(data), func(_, _, _ float64, _ uint8) error {
		if n++; n == 3 {
			return stop
		}
		return nil
	})
	if err != stop || n != 3 {
		t.Errorf("%v after %d", err, n)
	}
	none := func(_, _, _ float64, _ uint8) error { return nil }
	for _, at := range []int{10, 230, 5000} {
		r := io.MultiReader(bytes.NewReader(data[:at]), iotest.ErrReader(stop))
		if err := bare.EachLAS(r, none); !errors.Is(err, stop) {
			t.Errorf("reader stops at %d: %v", at, err)
		}
	}
	var p problem.Problem
	if err := bare.EachLAS(strings.NewReader("point,n,e,z"), none); !errors.As(err, &p) || p.Mend == "" {
		t.Errorf("text: %v", err)
	}
}

// A cloud of 1,000,001 points is thinned to every other one and the points
// furthest out; the last has an odd number, x lies furthest out there.
func TestLAS_LargeCloudsAreThinned(t *testing.T) {
	points := manyPoints(1_000_002)
	points[777_777].z = 5000
	f := readBare(t, "a.las", cloud{points: points}.bytes())
	if n := len(f.Places); n != 500_001+2 || n+f.Thinned != len(points) || f.Count() != len(points) {
		t.Fatalf("%d kept, %d thinned", n, f.Thinned)
	}
	wantBounds(t, f, [3]float64{}, [3]float64{10000.01, 0.96, 50}, 1e-9)
	for i, p := range f.Places[:500_001] {
		if math.Abs(p.X-float64(2*i)/100) > 1e-9 {
			t.Fatalf("place %d has x %g", i, p.X)
		}
	}
	if !hasProblem(f, problem.Note, "500003 of 1000002 points are kept") {
		t.Error(f.Problems)
	}
}

func FuzzLAS(f *testing.F) {
	for _, format := range []int{0, 1, 3, 6, 7} {
		f.Add(cloud{minor: 2, format: format, points: manyPoints(3)}.bytes())
		f.Add(cloud{minor: 4, format: format, points: manyPoints(3), extra: 3}.bytes())
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<15 {
			return
		}
		before, begin := allocated(), time.Now()
		file, err := bare.Read("a", bytes.NewReader(append([]byte("LASF"), data[min(4, len(data)):]...)), bare.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got, d := allocated()-before, time.Since(begin); got > uint64(16<<20+4000*len(data)) || d > 2*time.Second {
			t.Fatalf("%d bytes took %d bytes of memory and %v", len(data), got, d)
		}
		if 20*len(file.Places) > len(data)+20 {
			t.Fatalf("%d places from %d bytes", len(file.Places), len(data))
		}
		if len(file.Places) == 0 && file.Refused == 0 && len(file.Problems.Faults()) == 0 {
			t.Fatal("nothing read, and nothing said")
		}
		for _, p := range file.Places {
			if !(math.Abs(p.X) <= 1e8 && math.Abs(p.Y) <= 1e8 && math.Abs(p.Z) <= 1e8) {
				t.Fatalf("place %+v", p)
			}
		}
	})
}

// allocated is how much memory was handed out so far.
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}

func BenchmarkEachLAS(b *testing.B) {
	for _, n := range []int{1e4, 1e5, 1e6} {
		data := cloud{minor: 2, format: 3, points: manyPoints(n)}.bytes()
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				sum := 0.0
				err := bare.EachLAS(bytes.NewReader(data), func(_, _, z float64, _ uint8) error {
					sum += z
					return nil
				})
				if err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "points/s")
		})
	}
}

// The elevations of a roof are the points of class 6, building.
func ExampleEachLAS() {
	file := cloud{minor: 4, format: 6, offset: [3]float64{5000, 2000, 100}, points: []cloudPoint{
		{x: 100, y: 250, z: 12, class: 6}, {x: 1100, y: 250, z: -900, class: 2}, {x: 200, y: 250, z: 11, class: 6}}}
	err := bare.EachLAS(bytes.NewReader(file.bytes()), func(x, y, z float64, class uint8) error {
		if class == 6 {
			fmt.Printf("%.2f %.2f %.2f\n", x, y, z)
		}
		return nil
	})
	fmt.Println(err)
	// Output:
	// 5001.00 2002.50 100.12
	// 5002.00 2002.50 100.11
	// <nil>
}
