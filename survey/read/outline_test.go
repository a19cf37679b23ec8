package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"runnel/survey/problem"
)

// outlineJob is a job without survey around an outline from a file.
const outlineJob = `job: {name: Outline, units: %s}
survey: none
rules: us-reroof
areas:
  - name: A
    outline: %s
    edges: [{edge: 1, kind: open}]
`

// lwpoly draws a closed LWPOLYLINE; each vertex is x, y and a bulge.
func lwpoly(layer string, vertices ...[3]float64) string {
	text := fmt.Sprintf("0\nLWPOLYLINE\n8\n%s\n90\n%d\n70\n1\n", layer, len(vertices))
	for _, v := range vertices {
		text += fmt.Sprintf("10\n%g\n20\n%g\n42\n%g\n", v[0], v[1], v[2])
	}
	return text
}

func square(x, y, size float64) [][3]float64 {
	return [][3]float64{{x, y, 0}, {x + size, y, 0}, {x + size, y + size, 0}, {x, y + size, 0}}
}

// The outline of a square of 60 ft with a court of 10 ft, from every kind of
// file.
func TestOutline_FromFiles(t *testing.T) {
	const rings = "[[[0,0],[60,0],[60,60],[0,60],[0,0]],[[20,20],[20,30],[30,30],[30,20],[20,20]]]"
	for _, c := range []struct{ name, outline, file, text string }{
		{"GeoJSON", "roof", "roof", `{"type":"Polygon","coordinates":` + rings + `}`},
		{"GeoJSON, the second of two", "roof#2", "roof", `{"type":"MultiPolygon","coordinates":[[[[100,0],[110,0],[110,9],[100,0]]],` + rings + `]}`},
		{"GeoJSON by name", "roof#main", "roof", `{"type":"FeatureCollection","features":[` +
			`{"type":"Feature","properties":{"name":"shed"},"geometry":{"type":"Polygon","coordinates":[[[100,0],[110,0],[110,9],[100,0]]]}},` +
			`{"type":"Feature","properties":{"name":"Main"},"geometry":{"type":"Polygon","coordinates":` + rings + `}}]}`},
		{"WKT", "roof", "roof", "POLYGON ((0 0, 60 0, 60 60, 0 60, 0 0), (20 20, 20 30, 30 30, 30 20, 20 20))"},
		{"DXF in feet, the court drawn inside", "'roof#roof'", "roof", drawing(2, lwpoly("ROOF", square(0, 0, 60)...)+
			lwpoly("ROOF", square(20, 20, 10)...)+lwpoly("OTHER", square(200, 0, 5)...))},
		{"DXF in inches", "roof", "roof", drawing(1, lwpoly("ROOF", square(0, 0, 720)...)+lwpoly("COURT", square(240, 240, 120)...))},
		{"DXF in US survey feet", "roof", "roof", drawing(21, lwpoly("ROOF", square(0, 0, 60)...)+lwpoly("COURT", square(20, 20, 10)...))},
		{"a file whose name holds a #", "'roof #2.wkt'", "roof #2.wkt", "POLYGON ((0 0, 60 0, 60 60, 0 60), (20 20, 20 30, 30 30, 30 20))"},
		{"courts from a file", "[[0,0], [60,0], [60,60], [0,60]]\n    courts: 'roof#COURT'", "roof",
			drawing(2, lwpoly("ROOF", square(0, 0, 60)...)+lwpoly("COURT", square(20, 20, 10)...))},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, found := mustRead(t, folder("job.yaml", fmt.Sprintf(outlineJob, "us", c.outline), c.file, c.text))
			a := job.Areas[0]
			if len(a.Outline) != 4 || len(a.Courts) != 1 || len(a.Edges) != 4 {
				t.Fatalf("%d vertices, %d courts, %d edges: %v", len(a.Outline), len(a.Courts), len(a.Edges), found)
			}
			for i, want := range [][2]float64{{0, 0}, {60, 0}, {60, 60}, {0, 60}} {
				if d := a.Outline[i].Dist(pt(want[0], want[1])); d > 2e-4 {
					t.Errorf("vertex %d lies at %v", i, a.Outline[i])
				}
			}
			if area := a.Courts[0].Area(); math.Abs(area-100) > 1e-3 {
				t.Errorf("the court has %g sq ft", area)
			}
			if strings.Contains(c.name, "survey feet") {
				if x := a.Outline[1].X; math.Abs(x-60*surveyFoot/metresAFoot) > 1e-12 {
					t.Errorf("60 US survey feet are %.9f ft", x)
				}
			}
		})
	}
}

// An arc of a quarter circle becomes chords within 1/16 in: the area differs
// from the true one by less than that along the arc.
func TestOutline_Arcs(t *testing.T) {
	bulge := math.Tan(math.Pi / 8) // of a quarter circle
	text := drawing(2, lwpoly("ROOF", [3]float64{0, 0, 0}, [3]float64{50, 0, bulge}, [3]float64{0, 50, 0}))
	job, found := mustRead(t, folder("job.yaml", fmt.Sprintf(outlineJob, "us", "roof.dxf"), "roof.dxf", text))
	a := job.Areas[0]
	for i, p := range a.Outline[1:] {
		if r := math.Hypot(p.X, p.Y); math.Abs(r-50) > 1e-9 {
			t.Errorf("vertex %d lies %g ft from the centre", i+1, r)
		}
		q := a.Outline[1:].At(i + 1)
		if mid := p.Lerp(q, 0.5); i+2 < len(a.Outline) && 50-math.Hypot(mid.X, mid.Y) > 1.0/16/12+1e-9 {
			t.Errorf("chord %d leaves the arc by %.4f in", i+1, 12*(50-math.Hypot(mid.X, mid.Y)))
		}
	}
	if want := math.Pi * 2500 / 4; math.Abs(a.Outline.Area()-want) > 78.54/16/12 {
		t.Errorf("area %.3f, want %.3f", a.Outline.Area(), want)
	}
	n := len(a.Outline)
	if !says(found, problem.Note, fmt.Sprintf("edges 1 to %d, counted from 0", n-2)) {
		t.Errorf("%d vertices: %v", n, found)
	}
}

func TestOutline_BadFiles(t *testing.T) {
	two := drawing(2, lwpoly("ROOF", square(0, 0, 60)...)+lwpoly("ROOF", square(100, 0, 30)...))
	for _, c := range []struct{ name, outline, file, text, why, mend string }{
		{"no such file", "lost.dxf", "roof", "", "no such file", "check the name"},
		{"an empty file", "roof", "roof", "", "no closed outline", "export"},
		{"a wrong layer", "'roof#WALLS'", "roof", two, `no outline "WALLS"`, `1 "ROOF" (4 vertices, 3600 sq ft), 2 "ROOF"`},
		{"a number too great", "'roof#3'", "roof", two, `no outline "3"`, "choose one of"},
		{"two outlines and no choice", "roof", "roof", two, "holds 2 outlines", "roof#1"},
		{"two outlines of one layer", "'roof#ROOF'", "roof", two, `2 outlines are named "ROOF"`, "roof#1: 1 \"ROOF\""},
		{"points alone", "roof", "roof", "x,y,z\n1,2,3\n4,5,6\n7,8,9\n", "no closed outline", "closed polygon"},
		{"degrees", "roof", "roof", `{"type":"Polygon","coordinates":[[[-83.001,42.1],[-83.0005,42.1],[-83.0005,42.1004],[-83.001,42.1]]]}`,
			"degrees of longitude", "plan feet"},
		{"an outline that crosses itself", "roof", "roof", "POLYGON ((0 0, 60 60, 60 0, 0 60))", "cross or touch", "in order"},
		{"a binary file", "roof", "roof", "\x00\x01\x02", "no closed outline", ""},
		{"outside the folder", "../roof", "roof", "", "outside the job's folder", "beside the job file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, found := Job(folder("job.yaml", fmt.Sprintf(outlineJob, "us", c.outline), c.file, c.text), "job.yaml", nil)
			faults := found.Faults()
			if len(faults) != 1 {
				t.Fatalf("%d faults: %v", len(faults), faults)
			}
			if p := faults[0]; !strings.Contains(p.Why, c.why) || !strings.Contains(p.Mend, c.mend) || p.Line != 6 {
				t.Errorf("line %d says %q; %q, want %q; %q", p.Line, p.Why, p.Mend, c.why, c.mend)
			}
		})
	}
}

func TestShotFiles_Bad(t *testing.T) {
	surfaces := land(`<Imperial linearUnit="foot"/>`, `<Surfaces><Surface name="before"><Definition surfType="TIN"><Pnts>`+
		each(`<P id="#">Y X Z</P>`, 1)+`</Pnts><Faces>`+facesOf()+`</Faces></Definition></Surface><Surface name="after"><Definition surfType="TIN"><Pnts>`+
		each(`<P id="#">Y X Z</P>`, 1)+`</Pnts><Faces>`+facesOf()+`</Faces></Definition></Surface></Surfaces>`)
	point := "0\nPOINT\n8\nSHOT\n10\nX\n20\nY\n30\nZ\n"
	cloud := lasBytes(roofSpots(), func(int) byte { return 2 })
	packed := append([]byte(nil), cloud...)
	packed[104] = 0x80
	for _, c := range []struct{ name, keys, text, why, mend string }{
		{"an empty file", "shots: roof, unit: ft", "", "empty", ""},
		{"an empty list of files", "shots: [], unit: ft", "", "names no file", "shots.csv"},
		{"a wrong layer", "shots: 'roof#ROOF'", drawing(2, each(point, 1)), `named "ROOF"`, `"SHOT"`},
		{"a layer of a list", "shots: 'roof#ROOF', unit: ft", "x,y,z\n1,2,3\n", "no parts", "take #ROOF out"},
		{"a contradiction of units", "shots: roof, unit: m", drawing(2, each(point, 1)), "states feet and survey.unit says m", "survey.unit"},
		{"two kinds of feet", "shots: roof, unit: us-ft", drawing(2, each(point, 1)), "states feet and survey.unit says us-ft", "survey.unit"},
		{"no unit at all", "shots: roof", drawing(0, each(point, 1)), "no length unit", "survey.unit"},
		{"two surfaces over each other", "shots: roof", surfaces, `2 surfaces that lie over each other: "before", "after"`, "roof#NAME"},
		{"rod readings in a sheet without instrument", "shots: roof, unit: ft", sheet("rod", func(z float64) float64 { return 105 - z }),
			"height of the instrument", "hi:"},
		{"a sheet that does not say what it holds", "shots: roof, unit: ft", sheet("", func(z float64) float64 { return z }), "rod readings or elevations", "corner"},
		{"a point cloud elsewhere", "shots: roof, unit: m", string(cloud), "none of its 9 points lies on an area", "one coordinate frame"},
		{"a packed point cloud", "shots: roof, unit: ft", string(packed), "LAZ", "decompress"},
		{"a point cloud cut short", "shots: roof, unit: ft", string(cloud[:len(cloud)-30]), "ends after 7", "copy"},
		{"a point cloud of nothing", "shots: roof, unit: ft", string(lasBytes(nil, nil)), "no points", "export"},
		{"a drawing cut short", "shots: roof", strings.TrimSuffix(drawing(2, each(point, 1)), "0\nEOF\n"), "without EOF", "save"},
		{"a picture", "shots: roof, unit: ft", "\x89PNG\r\n\x1a\n\x00\x00", "picture", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.name == "a point cloud elsewhere" {
				c.text = string(lasBytes([]spot{{900, 900, 1}, {901, 900, 1}, {1, 900, 1}, {2, 900, 1}, {3, 900, 1}, {4, 900, 1}, {5, 900, 1}, {6, 900, 1}, {7, 900, 1}},
					func(int) byte { return 2 }))
			}
			_, found := Job(folder("job.yaml", fmt.Sprintf(formatJob, c.keys), "roof", c.text), "job.yaml", nil)
			faults := found.Faults()
			if len(faults) != 1 {
				t.Fatalf("%d faults: %v", len(faults), faults)
			}
			if text := faults[0].Why + "; " + faults[0].Mend; !strings.Contains(text, c.why) || !strings.Contains(faults[0].Mend, c.mend) {
				t.Errorf("says %q, want %q; %q", text, c.why, c.mend)
			}
		})
	}
}

// publicFolder puts files of the data folder beside a job file; the test is
// skipped without them.
func publicFolder(t *testing.T, job string, names ...string) fstest.MapFS {
	t.Helper()
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the public survey files are not read")
	}
	fsys := fstest.MapFS{"job.yaml": {Data: []byte(job)}}
	for _, n := range names {
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(n)))
		if err != nil {
			t.Skipf("the data folder lacks it: %v", err)
		}
		fsys[filepath.Base(n)] = &fstest.MapFile{Data: data}
	}
	return fsys
}

const publicJob = `job: {name: Public, units: metric}
survey: {shots: %s, surface: membrane, unit: m%s}
scope: tear-off
rules: metric-falls
areas:
  - name: A
    outline: %s
    edges: [{edge: 0, kind: open}]
`

// Real roofs as jobs: figures are those of the data folder's README.
func TestPublic_RoofsAsJobs(t *testing.T) {
	const sqM = 0.3048 * 0.3048
	for _, c := range []struct {
		name, shots, more, outline string
		files                      []string
		areaM2                     float64
		vertices, inFile, least    int // points on the roof at least
	}{
		{"apartment, its points", "apartment_L_roof_points.csv", "", "apartment_L_roof_outline.geojson",
			[]string{"roofs/apartment_L_roof_points.csv", "roofs/apartment_L_roof_outline.geojson"}, 795.6, 6, 20000, 19900},
		{"ridge and valley, headerless", "ridge_valley_roof_points.xyz", ", columns: [x, y, z]", "ridge_valley_roof_outline.geojson",
			[]string{"roofs/ridge_valley_roof_points.xyz", "roofs/ridge_valley_roof_outline.geojson"}, 557.8, 5, 13376, 13300},
	} {
		t.Run(c.name, func(t *testing.T) {
			fsys := publicFolder(t, fmt.Sprintf(publicJob, c.shots, c.more, c.outline), c.files...)
			job, _ := mustRead(t, fsys)
			a := job.Areas[0]
			if len(a.Outline) != c.vertices || math.Abs(a.Outline.Area()*sqM-c.areaM2) > 0.06 {
				t.Errorf("%d vertices, %.2f m2, want %d and %.1f", len(a.Outline), a.Outline.Area()*sqM, c.vertices, c.areaM2)
			}
			if a.Cloud == nil || a.Cloud.InFile != c.inFile || len(a.Cloud.Pts) < c.least {
				t.Fatalf("cloud %+v", a.Cloud != nil)
			}
		})
	}
}

func TestPublic_LASRoof(t *testing.T) {
	job := strings.NewReplacer("units: metric", "units: us", "metric-falls", "us-reroof").Replace(fmt.Sprintf(publicJob, "las12_shallow_pitch_roof.las", "",
		"[[674541, 1206750], [674600, 1206750], [674600, 1206810], [674541, 1206810]]"))
	j, found := mustRead(t, publicFolder(t, strings.Replace(job, "unit: m", "unit: ft", 1), "roofs/las12_shallow_pitch_roof.las"))
	if c := j.Areas[0].Cloud; c == nil || c.InFile != 14408 || len(c.Pts) < 10_000 {
		t.Fatalf("%v", found)
	}
}

func TestPublic_CampusOutlines(t *testing.T) {
	const ftM = 0.3048
	areas := []float64{17383.2, 11233.8, 8281.7, 7556.7, 3550.7}
	vertices := []int{865, 98, 72, 11, 187} // courts included
	text := "job: {name: Campus, units: metric}\nsurvey: none\nrules: metric-falls\nareas:\n"
	for i := range areas {
		text += fmt.Sprintf("  - {name: B%d, outline: 'campus_roof_outlines.geojson#%d', edges: [{edge: 0, kind: open}]}\n", i+1, i+1)
	}
	text += "  - {name: W, outline: campus_roof_four_courtyards.wkt, edges: [{edge: 0, kind: open}]}\n"
	fsys := publicFolder(t, text, "outlines/campus_roof_outlines.geojson", "outlines/campus_roof_four_courtyards.wkt")
	job, found := Job(fsys, "job.yaml", nil)
	for _, p := range found.Faults() { // those over 1e6 sq ft would be faults; none is
		t.Fatal(p)
	}
	areas, vertices = append(areas, 9691.6), append(vertices, 94)
	for i, a := range job.Areas {
		size, n := a.Outline.Area(), len(a.Outline)
		for _, c := range a.Courts {
			size, n = size-c.Area(), n+len(c)
		}
		if math.Abs(size*ftM*ftM-areas[i]) > 0.06 || n != vertices[i] {
			t.Errorf("area %s: %.2f m2 and %d vertices, want %.1f and %d", a.Name, size*ftM*ftM, n, areas[i], vertices[i])
		}
	}
	if n := len(job.Areas[0].Courts); n != 2 {
		t.Errorf("the first has %d courts, want 2", n)
	}
	if n := len(job.Areas[5].Courts); n != 4 {
		t.Errorf("the last has %d courts, want 4", n)
	}
}
