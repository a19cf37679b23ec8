package bare_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"

	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/read/bare"
)

func wantOutlineBox(t *testing.T, f *bare.File, want geom.Box, tol float64) {
	t.Helper()
	box, ok := f.OutlineBox()
	if !ok || box.Min.Dist(want.Min) > tol || box.Max.Dist(want.Max) > tol {
		t.Errorf("box %v, want %v", box, want)
	}
}

func TestGeoJSON_CampusRoofs(t *testing.T) {
	f := readBare(t, "a.geojson", dataFile(t, "outlines/campus_roof_outlines.geojson"))
	want := []struct {
		area, perimeter float64
		vertices, holes int
	}{{17383.2, 1631.3, 865, 2}, {11233.8, 830.4, 98, 0}, {8281.7, 771.2, 72, 0}, {7556.7, 398.6, 11, 0}, {3550.7, 445.6, 187, 0}}
	if len(f.Outlines) != len(want) || len(f.Problems.Faults()) > 0 || f.Refused != 0 {
		t.Fatalf("%d outlines, %v", len(f.Outlines), f.Problems)
	}
	for i, o := range f.Outlines {
		w := want[i]
		if math.Abs(o.Area()-w.area) > 0.06 || math.Abs(o.Perimeter()-w.perimeter) > 0.06 ||
			o.Vertices() != w.vertices || len(o.Holes) != w.holes {
			t.Errorf("%s: area %.2f, perimeter %.2f, %d vertices, %d holes, want %+v",
				o.Name, o.Area(), o.Perimeter(), o.Vertices(), len(o.Holes), w)
		}
	}
	if name := f.Outlines[0].Name; name != "two courtyards, 865 vertices" {
		t.Errorf("name %q", name)
	}
	wantOutlineBox(t, f, geom.Box{Min: geom.Pt{X: 85104.63, Y: 445525.50}, Max: geom.Pt{X: 85941.84, Y: 446441.28}}, 0.01)
	if !hasProblem(f, problem.Note, "urn:ogc:def:crs:EPSG::28992") || !hasProblem(f, problem.Note, "states no length unit") {
		t.Error(f.Problems)
	}
}

func TestGeoJSON_ValleyRoof(t *testing.T) {
	f := readBare(t, "a.geojson", dataFile(t, "roofs/ridge_valley_roof_outline.geojson"))
	if len(f.Outlines) != 1 || f.Outlines[0].Vertices() != 5 || f.Outlines[0].Name != "valley roof" ||
		math.Abs(f.Outlines[0].Area()-557.8) > 0.06 || math.Abs(f.Outlines[0].Perimeter()-96.3) > 0.06 {
		t.Errorf("%+v, %v", f.Outlines, f.Problems)
	}
}

func TestWKT_FourCourtyards(t *testing.T) {
	data := dataFile(t, "outlines/campus_roof_four_courtyards.wkt")
	f := readBare(t, "a.wkt", data)
	if len(f.Outlines) != 1 || len(f.Problems.Faults()) > 0 {
		t.Fatalf("%d outlines, %v", len(f.Outlines), f.Problems)
	}
	o := f.Outlines[0]
	if len(o.Holes) != 4 || o.Vertices() != 94 || math.Abs(o.Area()-9691.6) > 0.06 || math.Abs(o.Perimeter()-949.9) > 0.06 {
		t.Errorf("%d holes, %d vertices, area %.2f, perimeter %.2f", len(o.Holes), o.Vertices(), o.Area(), o.Perimeter())
	}
	wantOutlineBox(t, f, geom.Box{Min: geom.Pt{X: 85392.95, Y: 446237.11}, Max: geom.Pt{X: 85554.71, Y: 446447.95}}, 0.01)
	g, err := sf.UnmarshalWKT(string(data))
	if err != nil || math.Abs(g.Area()-o.Area()) > 1e-4 {
		t.Errorf("area %.6f, the library's %.6f, %v", o.Area(), g.Area(), err)
	}
}

// shown is what a file holds on one line.
func shown(f *bare.File) string {
	var b strings.Builder
	for _, p := range f.Places {
		fmt.Fprintf(&b, "%s(%g,%g,%g) ", p.ID, p.X, p.Y, p.Z)
	}
	for _, o := range f.Outlines {
		fmt.Fprintf(&b, "%s[%d %d %g] ", o.Name, len(o.Outer), len(o.Holes), o.Area())
	}
	return strings.TrimSpace(b.String())
}

func TestShapes_Stories(t *testing.T) {
	const square = `[[0,0],[4,0],[4,4],[0,4],[0,0]]`
	cases := []struct{ name, text, want, problem string }{
		{"geometry alone", `{"type":"Polygon","coordinates":[` + square + `]}`, "[4 0 16]", ""},
		{"byte-order mark", "\xef\xbb\xbf" + `{"type":"Polygon","coordinates":[` + square + `]}`, "[4 0 16]", ""},
		{"ring not closed", `{"type":"Polygon","coordinates":[[[0,0],[4,0],[4,4]]]}`, "[3 0 8]", "1 rings are not closed"},
		{"vertex twice in a row", `{"type":"Polygon","coordinates":[[[0,0],[4,0],[4,0],[4,4],[0,0]]]}`, "[3 0 8]", "1 vertices stand twice"},
		{"hole", `{"type":"Polygon","coordinates":[` + square + `,[[1,1],[1,2],[2,2],[2,1],[1,1]]]}`, "[4 1 15]", ""},
		{"parts of a named feature", `{"type":"Feature","properties":{"name":"North"},"geometry":{"type":"MultiPolygon",` +
			`"coordinates":[[` + square + `],[` + square + `]]}}`, "North, part 1[4 0 16] North, part 2[4 0 16]", ""},
		{"id for a name", `{"type":"Feature","id":7,"properties":null,"geometry":{"type":"Point","coordinates":[1,2,3]}}`, "7(1,2,3)", ""},
		{"points with and without z", `{"type":"MultiPoint","coordinates":[[1,2,3],[4,5]]}`, "part 1(1,2,3)", "1 points without an elevation"},
		{"collection", `{"type":"GeometryCollection","geometries":[{"type":"LineString","coordinates":[[0,0],[1,1]]},` +
			`{"type":"Point","coordinates":[1,2,3]}]}`, "part 2(1,2,3)", "1 lines are passed over"},
		{"no geometry", `{"type":"Feature","properties":{},"geometry":null}`, "", "no closed outline"},
		{"heights of an outline", `{"type":"Polygon","coordinates":[[[0,0,9],[4,0,9],[4,4,9],[0,0,9]]]}`, "[3 0 8]", "heights of 4"},
		{"bow-tie", `{"type":"Polygon","coordinates":[[[0,0],[4,4],[4,0],[0,3],[0,0]]]}`, "[4 0 2]", "crosses or touches itself"},
		{"two vertices", `{"type":"Polygon","coordinates":[[[0,0],[4,4],[0,0]]]}`, "", "a ring of 2 vertices"},
		{"null coordinate", `{"type":"Polygon","coordinates":[[[0,null],[4,4],[4,0],[0,0]]]}`, "", "coordinates of a Polygon"},
		{"word for a coordinate", `{"type":"Point","coordinates":["a",1,2]}`, "", "coordinates of a Point"},
		{"too far out", `{"type":"Point","coordinates":[1e9,1,2]}`, "", "without usable coordinates"},
		{"empty ring", `{"type":"Polygon","coordinates":[[]]}`, "", "a ring of 0 vertices"},
		{"unknown kind", `{"type":"Circle","coordinates":[1,2]}`, "", `"Circle" is no geometry`},
		{"cut short", `{"type":"FeatureCollection",` + "\n" + `"features":[{"type":"Feature"`, "", "a:2: not as GeoJSON should be"},
		{"hole before its outline", `{"type":"Polygon","coordinates":[[[1,1],[1,2],[2,2],[1,1]],` + square + `]}`, "[3 1 -15.5]", "a hole is larger"},

		{"wkt polygon", "POLYGON((0 0,4 0,4 4,0 4,0 0))", "[4 0 16]", ""},
		{"wkt in small letters, apart", "  polygon z ( ( 0 0 1 , 4 0 1 ,\n4 4 1 , 0 0 1 ) )", "[3 0 8]", "heights of 4"},
		{"wkt with z in the word", "POINTZ(1 2 3)", "(1,2,3)", ""},
		{"wkt with a third number", "POINT(1 2 3)", "(1,2,3)", ""},
		{"wkt with a measure", "MULTIPOINT ZM((1 2 3 4),(5 6 7 8))", "(1,2,3) (5,6,7)", ""},
		{"wkt measure is no height", "POINT M(1 2 3)", "", "1 points without an elevation"},
		{"wkt points without brackets", "MULTIPOINT(1 2 3,5 6 7)", "(1,2,3) (5,6,7)", ""},
		{"wkt several, with system", "SRID=28992;POLYGON((0 0,4 0,4 4,0 0));\nPOINT(1 2 -.5e1)", "(1,2,-5) [3 0 8]", ""},
		{"wkt multipolygon and hole", "MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0),(1 1,1 2,2 2,2 1,1 1)),((9 9,10 9,10 10,9 9)))", "[4 1 15] [3 0 0.5]", ""},
		{"wkt collection", "GEOMETRYCOLLECTION(POINT(1 2 3),LINESTRING(0 0,1 1),POLYGON EMPTY)", "(1,2,3)", "1 lines are passed over"},
		{"wkt empty", "POLYGON EMPTY", "", "no closed outline"},
		{"wkt cut short", "POLYGON((0 0,4 0,4 4", "", "the text ends within a geometry"},
		{"wkt word among numbers", "POLYGON((0 0,4 x,4 4))", "", `a:1: "x" where`},
		{"wkt comma left out", "POLYGON((0 0,4 0 1 2 3,4 4))", "", `"3" where ")" should stand`},
		{"wkt unknown kind", "POINT(1 2 3)\nCIRCULARSTRING(0 0,1 1,2 0)", "(1,2,3)", `a:2: "CIRCULARSTRING" is no geometry`},
		{"wkt deep", strings.Repeat("GEOMETRYCOLLECTION(", 1000), "", "50 deep"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := readBare(t, "a", []byte(c.text))
			if f.Format != "GeoJSON" && f.Format != "WKT" {
				t.Fatalf("read as %s: %v", f.Format, f.Problems)
			}
			if got := shown(f); got != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
			if c.problem == "" && len(f.Problems.Faults()) > 0 ||
				!hasProblem(f, problem.Fault, c.problem) && !hasProblem(f, problem.Note, c.problem) {
				t.Errorf("%v, want %q", f.Problems, c.problem)
			}
		})
	}
}

func TestShapes_TooManyVertices(t *testing.T) {
	var b strings.Builder
	for i := range 100_001 {
		fmt.Fprintf(&b, "%d %d,", i, i*i%1000)
	}
	f := readBare(t, "a", []byte("POLYGON(("+b.String()+"0 0))"))
	if len(f.Outlines) != 0 || f.Refused != 1 || !hasProblem(f, problem.Fault, "100002 vertices") {
		t.Errorf("%d outlines, %v", len(f.Outlines), f.Problems)
	}
}

func TestShapes_TooLarge(t *testing.T) {
	text := strings.Repeat("POLYGON((0 0,1 0,1 1,0 0)) ", 1<<24/27+1)
	for _, kind := range []string{text, `{"type":"Feature","id":"` + text + `"}`} {
		if f := readBare(t, "a", []byte(kind)); len(f.Outlines) != 0 || !hasProblem(f, problem.Fault, "larger than 16 MB") {
			t.Errorf("%s: %d outlines, %d problems", f.Format, len(f.Outlines), len(f.Problems))
		}
	}
}

func TestShapes_NotTheirs(t *testing.T) {
	for _, text := range []string{"point,n,e,z\n1,2,3,4\n", "point z\n1 2\n", `{"a":1}`, "polygon", "POINT (ft)\n1\n"} {
		if f := readBare(t, "a", []byte(text)); f.Format == "GeoJSON" || f.Format == "WKT" {
			t.Errorf("%q is read as %s", text, f.Format)
		}
	}
}
