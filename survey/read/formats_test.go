package read

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/problem"
)

// formatJob is a job around one file of shots; %s is the survey's keys.
const formatJob = `job: {name: Format, units: us}
survey: {%s, surface: membrane}
scope: tear-off
rules: us-reroof
areas:
  - name: A
    outline: [[0,0], [40,0], [40,40], [0,40]]
    outlets: [{id: D1, kind: drain, at: [20,20], size: 4 in}]
`

// spot is a place of the roof that every format below holds, in feet.
type spot struct{ x, y, z float64 }

// roofSpots are nine places 15 ft apart; no two lie at one elevation.
func roofSpots() []spot {
	var out []spot
	for i, y := range []float64{35, 20, 5} {
		for k, x := range []float64{5, 20, 35} {
			out = append(out, spot{x, y, 100 + 0.01*float64(7*i+3*k)})
		}
	}
	return out
}

const (
	metresAFoot = 0.3048        // International yard and pound agreement, 1959
	surveyFoot  = 1200.0 / 3937 // m; Mendenhall order, 1893
)

// each writes one line a place, its coordinates times scale.
func each(line string, scale float64) string {
	var b strings.Builder
	for i, s := range roofSpots() {
		b.WriteString(strings.NewReplacer("#", fmt.Sprint(i+1), "X", fmt.Sprintf("%.6f", s.x*scale),
			"Y", fmt.Sprintf("%.6f", s.y*scale), "Z", fmt.Sprintf("%.6f", s.z*scale)).Replace(line))
	}
	return b.String()
}

// gsiText writes words of 16 digits in tenths of a millimetre.
func gsiText() string {
	var b strings.Builder
	for i, s := range roofSpots() {
		word := func(ft float64) string { return fmt.Sprintf("+%016.0f", ft*metresAFoot*1e4) }
		fmt.Fprintf(&b, "*11....+%016d 81...6%s 82...6%s 83...6%s\n", i+1, word(s.x), word(s.y), word(s.z))
	}
	return b.String()
}

func sdrText() string {
	var b strings.Builder
	b.WriteString("00NMSDR33 V04-04.02     00-000-00 00:00 211111\r\n10NMJOB1            121111\r\n")
	for i, s := range roofSpots() {
		fmt.Fprintf(&b, "08TP%016d%-16.8f%-16.8f%-16.8f%-16s\r\n", i+1, s.y*metresAFoot, s.x*metresAFoot, s.z*metresAFoot, "RF")
	}
	return b.String()
}

// land wraps points or surfaces in LandXML.
func land(units, body string) string {
	return `<?xml version="1.0"?><LandXML version="1.2"><Units>` + units + `</Units>` + body + `</LandXML>`
}

// facesOf joins the three by three places of a surface.
func facesOf() string {
	var b strings.Builder
	for _, f := range [][3]int{{1, 2, 5}, {1, 5, 4}, {2, 3, 6}, {2, 6, 5}, {4, 5, 8}, {4, 8, 7}, {5, 6, 9}, {5, 9, 8}} {
		fmt.Fprintf(&b, "<F>%d %d %d</F>\n", f[0], f[1], f[2])
	}
	return b.String()
}

// drawing wraps entities in a text DXF; insunits is the code of its unit.
func drawing(insunits int, entities string) string {
	return fmt.Sprintf("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n%s0\nENDSEC\n0\nEOF\n",
		insunits, entities)
}

// dxfLines draws three 3-D polylines on a layer through three places each.
func dxfLines(layer string) string {
	var b strings.Builder
	for i, s := range roofSpots() {
		if i%3 == 0 {
			fmt.Fprintf(&b, "0\nPOLYLINE\n8\n%s\n66\n1\n70\n8\n", layer)
		}
		fmt.Fprintf(&b, "0\nVERTEX\n8\n%s\n10\n%.4f\n20\n%.4f\n30\n%.4f\n70\n32\n", layer, s.x, s.y, s.z)
		if i%3 == 2 {
			b.WriteString("0\nSEQEND\n")
		}
	}
	return b.String()
}

func dxfFaces() string {
	var b strings.Builder
	p := roofSpots()
	for _, f := range [][4]int{{0, 1, 4, 3}, {1, 2, 5, 4}, {3, 4, 7, 6}, {4, 5, 8, 7}} {
		b.WriteString("0\n3DFACE\n8\nROOF\n")
		for i, k := range f {
			fmt.Fprintf(&b, "%d\n%.4f\n%d\n%.4f\n%d\n%.4f\n", 10+i, p[k].x, 20+i, p[k].y, 30+i, p[k].z)
		}
	}
	return b.String()
}

// sheet writes a grid sheet; figure gives what stands in a cell.
func sheet(corner string, figure func(z float64) float64) string {
	p := roofSpots()
	text := corner + ",5,20,35\n"
	for i := range 3 {
		text += fmt.Sprintf("%g,%.4f,%.4f,%.4f\n", p[3*i].y, figure(p[3*i].z), figure(p[3*i+1].z), figure(p[3*i+2].z))
	}
	return text
}

// esriGrid writes a raster with one cell more, which has no data.
func esriGrid() string {
	p := roofSpots()
	text := "ncols 4\nnrows 3\nxllcenter 5\nyllcenter 5\ncellsize 15\nNODATA_value -9999\n"
	for i := range 3 {
		text += fmt.Sprintf("%.4f %.4f %.4f -9999\n", p[3*i].z, p[3*i+1].z, p[3*i+2].z)
	}
	return text
}

// One roof, written in every format, gives the same shots to 1/100 in.
func TestFormats_OneRoof(t *testing.T) {
	point := "0\nPOINT\n8\nSHOT\n10\nX\n20\nY\n30\nZ\n"
	asIs := func(z float64) float64 { return z }
	const bareFt = "shots: roof, unit: ft"
	for _, c := range []struct{ name, keys, text string }{
		{"delimited text", bareFt, "id,x,y,z\n" + each("#,X,Y,Z\n", 1)},
		{"delimited text in metres, its header says so", "shots: roof", "id,x_m,y_m,z_m\n" + each("#,X,Y,Z\n", metresAFoot)},
		{"GSI", "shots: roof", gsiText()},
		{"SDR33", "shots: roof", sdrText()},
		{"LandXML points in feet", "shots: roof", land(`<Imperial linearUnit="foot"/>`,
			"<CgPoints>"+each(`<CgPoint name="#">Y X Z</CgPoint>`, 1)+"</CgPoints>")},
		{"LandXML points in US survey feet", "shots: roof", land(`<Imperial linearUnit="USSurveyFoot"/>`,
			"<CgPoints>"+each(`<CgPoint name="#">Y X Z</CgPoint>`, metresAFoot/surveyFoot)+"</CgPoints>")},
		{"LandXML surface in metres", "shots: roof", land(`<Metric linearUnit="meter"/>`, `<Surfaces><Surface name="S"><Definition surfType="TIN"><Pnts>`+
			each(`<P id="#">Y X Z</P>`, metresAFoot)+"</Pnts><Faces>"+facesOf()+"</Faces></Definition></Surface></Surfaces>")},
		{"LandXML points and their surface, each place once", "shots: roof", land(`<Imperial linearUnit="foot"/>`,
			"<CgPoints>"+each(`<CgPoint name="#">Y X Z</CgPoint>`, 1)+`</CgPoints><Surfaces><Surface name="S"><Definition surfType="TIN"><Pnts>`+
				each(`<P id="#">Y X Z</P>`, 1)+"</Pnts><Faces>"+facesOf()+"</Faces></Definition></Surface></Surfaces>")},
		{"DXF points in feet", "shots: roof", drawing(2, each(point, 1))},
		{"DXF points in inches", "shots: roof", drawing(1, each(point, 12))},
		{"DXF points without a unit", bareFt, drawing(0, each(point, 1))},
		{"DXF points of one layer", "shots: 'roof#shot'", drawing(2, each(point, 1)+"0\nPOINT\n8\nTREES\n10\n10\n20\n10\n30\n140\n")},
		{"DXF 3-D polylines", "shots: roof", drawing(2, dxfLines("BREAK"))},
		{"DXF 3-D faces", "shots: roof", drawing(2, dxfFaces())},
		{"grid sheet of elevations", bareFt, sheet("elev ft", asIs)},
		{"grid sheet of rod readings under its own HI", bareFt, "hi: 105\n" + sheet("rod ft", func(z float64) float64 { return 105 - z })},
		{"grid sheet of rod readings under the job's HI", "shots: roof, unit: ft, reading: rod, hi: 105 ft",
			sheet("rod ft", func(z float64) float64 { return 105 - z })},
		{"grid sheet that leaves to the job what it holds", "shots: roof, unit: ft, reading: rod, hi: 105 ft",
			sheet("", func(z float64) float64 { return 105 - z })},
		{"grid sheet of a direct rod", "shots: roof, unit: ft, reading: direct, zero: 95 ft",
			sheet("direct ft", func(z float64) float64 { return z - 95 })},
		{"ESRI grid", bareFt, esriGrid()},
	} {
		t.Run(c.name, func(t *testing.T) {
			fsys := folder("job.yaml", fmt.Sprintf(formatJob, c.keys), "roof", c.text)
			job, found := mustRead(t, fsys)
			got := slices.Clone(job.Areas[0].Shots)
			if len(got) != 9 {
				t.Fatalf("%d shots, want 9: %v", len(got), found)
			}
			slices.SortFunc(got, func(a, b survey.Shot) int {
				if d := sign(math.Round(b.At.Y) - math.Round(a.At.Y)); d != 0 {
					return d
				}
				return sign(a.At.X - b.At.X)
			})
			for i, want := range roofSpots() {
				g := got[i]
				off := 12 * max(math.Abs(g.At.X-want.x), math.Abs(g.At.Y-want.y), math.Abs(g.Elev.Feet()-want.z))
				if off > 0.01 || g.Left != "" {
					t.Errorf("shot %+v is %.4f in from (%g, %g, %g)", g, off, want.x, want.y, want.z)
				}
				if g.ID == "" || !strings.HasPrefix(g.File, "roof") || g.Line < 1 && !strings.Contains(c.name, "ESRI") {
					t.Errorf("shot %+v does not say where it stood", g)
				}
			}
		})
	}
}

// Two files of different formats make one survey.
func TestFormats_SeveralFiles(t *testing.T) {
	fsys := folder("job.yaml", fmt.Sprintf(formatJob, "shots: [a.csv, b.dxf], unit: ft"),
		"a.csv", "x,y,z\n1,1,100.1\n39,1,100.2\n", "b.dxf", drawing(2, "0\nPOINT\n8\nS\n10\n20\n20\n39\n30\n100.3\n"))
	job, _ := mustRead(t, fsys)
	var from []string
	for _, s := range job.Areas[0].Shots {
		from = append(from, fmt.Sprintf("%s:%d", s.File, s.Line))
	}
	if got := strings.Join(from, " "); got != "a.csv:2 a.csv:3 b.dxf:16" {
		t.Errorf("the shots come from %s", got)
	}
}

// At state-plane coordinates the two feet are 2 ft in a million apart: the
// outline must be in the frame of the shots.
func TestFormats_StatePlaneInSurveyFeet(t *testing.T) {
	const x0, y0 = 1_454_000.0, 6_538_000.0 // US survey feet
	var points strings.Builder
	for i, s := range roofSpots() {
		fmt.Fprintf(&points, `<CgPoint name="%d">%.4f %.4f %.4f</CgPoint>`, i+1, y0+s.y, x0+s.x, s.z)
	}
	text := strings.ReplaceAll(fmt.Sprintf(formatJob, "shots: roof.xml"), "[[0,0], [40,0], [40,40], [0,40]]",
		"[[1454000,6538000], [1454040,6538000], [1454040,6538040], [1454000,6538040]]")
	text = strings.ReplaceAll(text, "at: [20,20]", "at: [1454020,6538020]")
	files := []string{"roof.xml", land(`<Imperial linearUnit="USSurveyFoot"/>`, "<CgPoints>"+points.String()+"</CgPoints>")}
	job, found := mustRead(t, folder(append(files, "job.yaml", strings.Replace(text, "units: us", "units: us, plan: us-ft", 1))...))
	for i, s := range job.Areas[0].Shots {
		corner := job.Areas[0].Outline[0]
		want := roofSpots()[i]
		if s.Left != "" || math.Abs(s.At.X-corner.X-want.x*surveyFoot/metresAFoot) > 1e-4 || math.Abs(s.At.Y-corner.Y-want.y*surveyFoot/metresAFoot) > 1e-4 {
			t.Errorf("shot %+v lies at %v from the corner", s, s.At.Sub(corner))
		}
	}
	if x := job.Areas[0].Outline[0].X * metresAFoot; math.Abs(x-x0*surveyFoot) > 1e-6 {
		t.Errorf("the corner lies at %.6f m, want %.6f", x, x0*surveyFoot)
	}
	if says(found, problem.Note, "apart there") {
		t.Errorf("asks about feet though both are US survey feet: %v", found)
	}
	_, found = Job(folder(append(files, "job.yaml", text)...), "job.yaml", nil)
	if !says(found, problem.Note, "13.08 ft apart there") { // 6,538,039 x 2e-6
		t.Errorf("an outline in the other foot is not asked about: %v", found)
	}
}

// says tells whether one problem of the grade holds the words.
func says(found problem.List, g problem.Grade, words string) bool {
	return slices.ContainsFunc(found, func(p problem.Problem) bool {
		return p.Grade == g && strings.Contains(p.Error(), words)
	})
}

// lasBytes writes a LAS 1.2 cloud of format 0 in thousandths.
func lasBytes(points []spot, class func(i int) byte) []byte {
	b := make([]byte, 227, 227+20*len(points))
	copy(b, "LASF")
	le := binary.LittleEndian
	b[24], b[25] = 1, 2
	le.PutUint16(b[94:], 227)
	le.PutUint32(b[96:], 227)
	le.PutUint16(b[105:], 20)
	le.PutUint32(b[107:], uint32(len(points)))
	for i := range 3 {
		le.PutUint64(b[131+8*i:], math.Float64bits(0.001))
	}
	for i, p := range points {
		var rec [20]byte
		for k, v := range [3]float64{p.x, p.y, p.z} {
			le.PutUint32(rec[4*k:], uint32(int32(math.Round(v*1000))))
		}
		rec[15] = class(i)
		b = append(b, rec[:]...)
	}
	return b
}

func TestFormats_CloudOfLAS(t *testing.T) {
	points := append(roofSpots(), spot{60, 20, 100}, spot{40.4, 20, 100.5}, spot{20, 20, 60})
	data := lasBytes(points, func(i int) byte {
		switch i {
		case 11:
			return 7
		case 3:
			return 6 | 0x80 // withheld
		}
		return 2
	})
	fsys := folder("job.yaml", fmt.Sprintf(formatJob, "shots: roof.las, unit: ft"), "roof.las", string(data))
	job, found := mustRead(t, fsys)
	a := job.Areas[0]
	if len(a.Shots) != 0 || a.Cloud == nil {
		t.Fatalf("%d shots and cloud %v", len(a.Shots), a.Cloud)
	}
	if a.Cloud.InFile != 12 || a.Cloud.File != "roof.las" {
		t.Errorf("the cloud is of %q with %d points", a.Cloud.File, a.Cloud.InFile)
	}
	want := append(slices.Delete(roofSpots(), 3, 4), spot{40.4, 20, 100.5}) // less than 6 in off the roof
	if len(a.Cloud.Pts) != len(want) {
		t.Fatalf("%d points, want %d", len(a.Cloud.Pts), len(want))
	}
	for i, p := range a.Cloud.Pts {
		off := max(math.Abs(a.Cloud.Origin.X+float64(p.X)-want[i].x), math.Abs(a.Cloud.Origin.Y+float64(p.Y)-want[i].y),
			math.Abs(a.Cloud.ZeroFt+float64(p.Z)-want[i].z))
		if 12*off > 0.01 {
			t.Errorf("point %d is %.5f ft off", i, off)
		}
	}
	for _, words := range []string{"1 points are of class 7", "1 points are marked as withheld", "9 of its 12 points lie on the roof",
		"1 lie more than 0.500 ft off it", "states no length unit"} {
		if !says(found, problem.Note, words) {
			t.Errorf("no note says %q: %v", words, found)
		}
	}
}

// A list too dense for a person is a cloud, whatever its format; the same
// places further apart are shots.
func TestFormats_DenseListsAreClouds(t *testing.T) {
	text := func(n int) string {
		var b bytes.Buffer
		b.WriteString("x,y,z\n")
		for i := range n {
			fmt.Fprintf(&b, "%.3f,%.3f,%.3f\n", math.Mod(float64(i)*0.61803, 1)*40, math.Mod(float64(i)*0.75488, 1)*40, 100+0.001*float64(i%7))
		}
		return b.String()
	}
	wide := strings.NewReplacer("[40,0], [40,40], [0,40]", "[400,0], [400,400], [0,400]").Replace(formatJob)
	for _, c := range []struct {
		name, job string
		n         int
		cloud     bool
	}{
		{"as many as a person reads", formatJob, leastCloud - 1, false},
		{"dense", formatJob, leastCloud + 1, true},
		{"as many on a large roof", wide, leastCloud + 1, false},
		{"more than is held", wide, mostSingle + 1, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, _ := mustRead(t, folder("job.yaml", fmt.Sprintf(c.job, "shots: roof.csv, unit: ft"), "roof.csv", text(c.n)))
			a := job.Areas[0]
			if (a.Cloud != nil) != c.cloud {
				t.Fatalf("cloud %v", a.Cloud != nil)
			}
			if n := len(a.Shots); c.cloud && (n != 0 || len(a.Cloud.Pts) != c.n) || !c.cloud && n != c.n {
				t.Errorf("%d shots, want %d in all", n, c.n)
			}
		})
	}
}
