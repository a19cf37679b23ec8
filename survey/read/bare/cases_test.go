package bare_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"runnel/survey/read/bare"
)

const casesDir = "../../../testdata/survey/"

// ownCase is a file of testdata/survey and what it holds, settled before it was
// written: see the README there.
type ownCase struct {
	file, format    string
	points, refused int
	unit            bare.Unit
	low, high       []float64 // x, y, z of all places; nil where there are none
	surfaces        string    // points, faces and invisible ones of each
	outlines        string    // vertices, holes and area of each
	problems        int
	words           string // in one of the problems
	columns         []string
}

// The five places of the lists, feet.
var listLow, listHigh = []float64{10, 5, 99.875}, []float64{30, 25.5, 100.75}

// cloudCase is one of the point clouds: six points, one withheld.
func cloudCase(file, format string) ownCase {
	return ownCase{file: file, format: format, points: 5, refused: 1,
		low: []float64{512.345, 1003.5, 10}, high: []float64{516.345, 1011.5, 10.05}, problems: 3, words: "4 in class 6"}
}

// A US survey foot is 1200/3937 m, a foot 0.3048 m.
const usFoot = 1200.0 / 3937 / 0.3048

var ownCases = []ownCase{
	{"list-bom.csv", "delimited text", 5, 0, "", listLow, listHigh, "", "", 0, "", nil},
	{"list-cr-only.csv", "delimited text", 5, 0, "", listLow, listHigh, "", "", 0, "", nil},
	{"list-decimal-comma.csv", "delimited text", 5, 0, "", listLow, listHigh, "", "", 0, "", nil},
	{"list-quotes.csv", "delimited text", 5, 0, "", listLow, listHigh, "", "", 0, "", nil},
	{"list-tabs.txt", "delimited text", 5, 0, "m", listLow, listHigh, "", "", 0, "", nil},
	{"list-blanks.txt", "delimited text", 5, 0, "", listLow, listHigh, "", "", 0, "", nil},
	{"list-no-header.csv", "delimited text, no header", 5, 0, "", nil, nil, "", "", 1, "--columns point,n,e,z,code", nil},
	{"list-no-header.csv", "delimited text, columns as told", 5, 0, "", listLow, listHigh, "", "", 0, "",
		[]string{"point", "n", "e", "z", "code"}},
	{"list-odd-header.csv", "delimited text", 5, 0, "ft", []float64{10, 5, 99.875 * usFoot},
		[]float64{30, 25.5, 100.75 * usFoot}, "", "", 1, "all are given in feet", nil},
	{"list-extra-columns.csv", "delimited text", 5, 1, "ft", listLow, listHigh, "", "", 4, "z_ft: the value is missing", nil},
	{"list-feet-inches.csv", "delimited text", 5, 0, "ft", listLow, listHigh, "", "", 1, "carry a unit or marks", nil},
	{"one-column.txt", "unknown", 0, 0, "", nil, nil, "", "", 1, "one number a line", nil},
	{"empty.txt", "unknown", 0, 0, "", nil, nil, "", "", 1, "the file is empty", nil},
	{"level-two-set-ups.csv", "level book", 0, 0, "ft", nil, nil, "", "", 1, "misclosure -0.020 ft", nil},
	{"grid-sheet-rod.csv", "grid sheet", 10, 0, "ft", []float64{0, 0, 100}, []float64{30, 20, 100.75}, "", "", 0, "", nil},
	{"gsi8-polar-and-places.gsi", "GSI-8", 3, 1, "m", []float64{12.345, 2.5, -0.004}, []float64{14, 7.25, 0.031},
		"", "", 1, "81, 82, 83", nil},
	{"gsi8-feet.gsi", "GSI-8", 3, 0, "ft", []float64{12.345, 2.5, -0.004}, []float64{14, 7.25, 0.031}, "", "", 0, "", nil},
	{"gsi16-three-steps.gsi", "GSI-16", 3, 0, "m", []float64{12.345, 2.5, -0.004}, []float64{14, 7.25, 0.031}, "", "", 0, "", nil},
	{"sdr33-feet.sdr", "SDR33", 2, 2, "ft", []float64{200.25, 500.5, 99.75}, []float64{200.25, 525, 100.125},
		"", "", 3, "1 polar observations", nil},
	{"polar.rw5", "RW5 collector log", 0, 3, "", nil, nil, "", "", 1, "3 side shots are polar only", nil},
	{"landxml-points-feet.xml", "LandXML 1.2", 5, 0, "ft", listLow, listHigh, "", "", 0, "", nil},
	{"landxml-points-us-survey-feet.xml", "LandXML 1.2", 5, 0, "us-ft", []float64{834010, 1067005, 99.875},
		[]float64{834030, 1067025.5, 100.75}, "", "", 0, "", nil},
	{"landxml-two-surfaces-metres.xml", "LandXML 1.2", 8, 0, "m", []float64{0, 0, 9.95}, []float64{53, 104, 13.2},
		"roof 5 4 1 60, penthouse 3 1 0 6", "", 0, "", nil},
	{"landxml-prefixed-odd.xml", "LandXML 1.1", 7, 1, "m", []float64{-2.5, 5.25, -0.004}, []float64{6, 24, 2},
		"deck 4 2 0 24", "", 1, "northing, easting and elevation are needed", nil},
	{"dxf-all-kinds-feet.dxf", "DXF 2000", 10, 0, "ft", []float64{0, 0, 99.875}, []float64{50, 30, 101},
		"DECK 5 2 0 1350", fmt.Sprintf("OUTLINE 4 0 %.0f", 1200+math.Pi*15*15/2), 0, "", nil},
	{"dxf-no-units-two-layers.dxf", "DXF 2000", 5, 0, "", listLow, listHigh, "", "", 1, "states no unit", nil},
	{"dxf-blocks-metres.dxf", "DXF 2000", 4, 0, "m", []float64{-103, 20, 10.5}, []float64{50, 200, 11.5}, "", "", 0, "", nil},
	{"dxf-library-r12-mesh.dxf", "DXF R12", 16, 0, "", []float64{10, 0, 100}, []float64{60, 12, 100.875},
		"MESH 12 6 0 120", "", 2, "1 CIRCLE", nil},
	// The arcs' segments by hand: 157.25 sq m out, 75.93 in, round 40 x 30 m.
	{"dxf-library-2000-arcs.dxf", "DXF 2000", 3, 0, "m", []float64{5, 5, 3}, []float64{25, 11, 3.25},
		"", "ROOF 4 0 1281", 2, "paper sheets", nil},
	{"dxf-library-2010-blocks.dxf", "DXF 2010", 15, 0, "ft", []float64{-5, 7, 99.25}, []float64{239.602959, 70.270839, 102},
		"0 4 1 0 288", "", 1, "frozen or off", nil},
	{"dxf-library-2018-polyface-mm.dxf", "DXF 2018", 9, 0, "mm", []float64{0, 0, 3}, []float64{6000, 3000, 3100},
		"DECK 4 2 0 12000000, Dach ½ Süd 4 1 0 1000000", "", 1, "1 MESH", nil},
	{"grid-no-data.asc", "ESRI ASCII grid", 10, 0, "", []float64{100.5, 200.5, 9.95}, []float64{106.5, 204.5, 10.2},
		"grid 10 0 0 0", "", 2, "2 of 12 cells are without data", nil},
	cloudCase("las12-format0.las", "LAS 1.2 point cloud, point format 0"),
	cloudCase("las12-format1.las", "LAS 1.2 point cloud, point format 1"),
	cloudCase("las12-format1-vlr-extra-bytes.las", "LAS 1.2 point cloud, point format 1"),
	cloudCase("las12-format2.las", "LAS 1.2 point cloud, point format 2"),
	cloudCase("las12-format3.las", "LAS 1.2 point cloud, point format 3"),
	cloudCase("las14-format6.las", "LAS 1.4 point cloud, point format 6"),
	cloudCase("las14-format7.las", "LAS 1.4 point cloud, point format 7"),
	cloudCase("las14-format7-extra-bytes.las", "LAS 1.4 point cloud, point format 7"),
	cloudCase("las14-format8.las", "LAS 1.4 point cloud, point format 8"),
	{"header-only.laz", "LAZ point cloud", 0, 0, "", nil, nil, "", "", 1, "decompress it to LAS", nil},
	{"outline-hole-and-parts.geojson", "GeoJSON", 0, 0, "", nil, nil, "",
		"shop 8 1 1100, 8, part 1 4 0 100, 8, part 2 3 0 6", 1, "no length unit", nil},
	{"outline-nested-collections.geojson", "GeoJSON", 2, 1, "", []float64{1, 2, 100.25}, []float64{3, 4, 100.5}, "",
		"annex, part 2, part 1 4 0 600", 4, "1 lines are passed over", nil},
	{"outline-hole-and-parts.wkt", "WKT", 0, 0, "", nil, nil, "", " 8 1 1100,  4 0 100", 1, "no length unit", nil},
	{"outline-z-collection.wkt", "WKT", 3, 0, "", []float64{1, 2, 3.125}, []float64{6, 7, 3.5}, "", " 4 0 108", 2, "heights of 5", nil},
	{"picture.png", "PNG picture", 0, 0, "", nil, nil, "", "", 1, "holds no elevations", nil},
	{"workbook.xlsx", "workbook", 0, 0, "", nil, nil, "", "", 1, "save the sheet as CSV", nil},
}

func TestOwnFiles(t *testing.T) {
	for _, c := range ownCases {
		t.Run(strings.Join(append([]string{c.file}, c.columns...), " "), func(t *testing.T) {
			data, err := os.ReadFile(casesDir + c.file)
			if err != nil {
				t.Fatal(err)
			}
			f, err := bare.Read(c.file, bytes.NewReader(data), bare.Options{Columns: c.columns})
			if err != nil {
				t.Fatal(err)
			}
			c.check(t, f)
		})
	}
}

func (c ownCase) check(t *testing.T, f *bare.File) {
	t.Helper()
	if f.Format != c.format || f.Count() != c.points || f.Refused != c.refused || f.Unit != c.unit {
		t.Errorf("%s, %d points, %d refused, unit %q", f.Format, f.Count(), f.Refused, f.Unit)
	}
	low, high, some := f.Bounds()
	if some != (c.low != nil) {
		t.Fatalf("bounds %v to %v", low, high)
	}
	for i := range c.low {
		if math.Abs(low[i]-c.low[i]) > 1e-6 || math.Abs(high[i]-c.high[i]) > 1e-6 {
			t.Errorf("%c from %.6f to %.6f, want %g to %g", 'x'+rune(i), low[i], high[i], c.low[i], c.high[i])
		}
	}
	var surfaces, outlines []string
	for _, s := range f.Surfaces {
		surfaces = append(surfaces, fmt.Sprintf("%s %d %d %d %.0f", s.Name, len(s.Places), s.FaceCount(), s.Invisible, s.PlanArea()))
	}
	for _, o := range f.Outlines {
		outlines = append(outlines, fmt.Sprintf("%s %d %d %.0f", o.Name, o.Vertices(), len(o.Holes), o.Area()))
	}
	if got := strings.Join(surfaces, ", "); got != c.surfaces {
		t.Errorf("surfaces %q, want %q", got, c.surfaces)
	}
	if got := strings.Join(outlines, ", "); got != c.outlines {
		t.Errorf("outlines %q, want %q", got, c.outlines)
	}
	told := c.words == ""
	for _, p := range f.Problems {
		told = told || strings.Contains(p.Error(), c.words)
	}
	if len(f.Problems) != c.problems || !told {
		t.Errorf("%d problems, want %d, one with %q: %v", len(f.Problems), c.problems, c.words, f.Problems)
	}
}

// The book of two set-ups, by hand: BM 100.00 and 5.00 give HI 105.00; the
// turning plate stands at 105.00 - 4.00 = 101.00, with 3.50 HI 104.50; the
// benchmark is found at 104.50 - 4.52 = 99.98. 0.01 ft a set-up mends it.
func TestOwnFiles_LevelBook(t *testing.T) {
	data, err := os.ReadFile(casesDir + "level-two-set-ups.csv")
	if err != nil {
		t.Fatal(err)
	}
	l := readBare(t, "book.csv", data).Level
	var got []string
	for _, s := range l.SetUps {
		got = append(got, fmt.Sprintf("HI %.2f", s.HI))
	}
	for _, s := range l.Shots {
		got = append(got, fmt.Sprintf("%s %.2f %.2f", s.Reading.Shot, s.Elevation, s.Adjusted))
	}
	want := "HI 105.00; HI 104.50; 1 100.50 100.51; 2 100.25 100.26; TP 101.00 101.01; 3 100.10 100.12; BM 99.98 100.00"
	if s := strings.Join(got, "; "); s != want || math.Abs(l.Closing.Misclosure+0.02) > 1e-9 {
		t.Errorf("%s, misclosure %v; want %s", s, l.Closing.Misclosure, want)
	}
}

// The labels and the layer of a drawing's points, the codes of a log.
func TestOwnFiles_Names(t *testing.T) {
	for file, want := range map[string]string{
		"dxf-all-kinds-feet.dxf":            "1 SHOTS, 2 SHOTS, 3 SHOTS, 4 SHOTS, 5 SHOTS",
		"dxf-no-units-two-layers.dxf":       " ROOF,  ROOF,  ROOF,  TREES,  TREES",
		"gsi16-three-steps.gsi":             "RF1 ROOF, RF2 ROOF, RF3 DRAIN",
		"sdr33-feet.sdr":                    "42 ROOF, 43 DRAIN 2",
		"landxml-prefixed-odd.xml":          "11 RF, A-12 , 1e1 ",
		"list-quotes.csv":                   `1 RF, of 12" pipe, 2 RF, of 12" pipe, 3 CURB, of 12" pipe, 4 RF, of 12" pipe, 5 DRAIN, of 12" pipe`,
		"dxf-library-2018-polyface-mm.dxf":  " A",
		"outline-z-collection.wkt":          " ,  ,  ",
		"landxml-points-us-survey-feet.xml": "1 RF, 2 RF, 3 CURB, 4 RF, 5 DRAIN",
	} {
		data, err := os.ReadFile(casesDir + file)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, p := range readBare(t, file, data).Places {
			got = append(got, p.ID+" "+p.Code)
		}
		if s := strings.Join(got, ", "); s != want {
			t.Errorf("%s: %q, want %q", file, s, want)
		}
	}
}

// Every file of the folder is tried.
func TestOwnFiles_AllAreTried(t *testing.T) {
	files, err := filepath.Glob(casesDir + "*")
	if err != nil || len(files) == 0 {
		t.Fatal(len(files), err)
	}
	for _, path := range files {
		name := filepath.Base(path)
		if name != "README.md" && !slices.ContainsFunc(ownCases, func(c ownCase) bool { return c.file == name }) {
			t.Errorf("%s is not tried", name)
		}
	}
}
