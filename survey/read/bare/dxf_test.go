package bare

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"runnel/survey/geom"
)

// Counts and ranges come from a reader written apart from this one.
func TestDXF_PublicFiles(t *testing.T) {
	for _, c := range []struct {
		file      string
		kinds     string
		places    int
		faces     int
		low, high []float64
	}{
		{"dxf_r12_points_laser_distance_meter.dxf", "LINE 10 POINT 11 TEXT 11", 11, 0,
			[]float64{-0.1164, -0.8276, -1.0780}, []float64{1.0802, 0.0669, 0.2862}},
		{"dxf_two_3d_faces.dxf", "3DFACE 2", 0, 2, []float64{10, 20, 30}, []float64{13, 23, 33}},
		{"dxf_two_points_no_header.dxf", "POINT 2", 2, 0,
			[]float64{672500, 242000, 539.986}, []float64{672750, 242000, 558.974}},
	} {
		t.Run(c.file, func(t *testing.T) {
			data := publicFile(t, "survey/"+c.file)
			if !isDXF(data) {
				t.Fatal("not known as DXF")
			}
			f := readDXF(c.file, data)
			var kinds []string
			for _, k := range f.Kinds {
				kinds = append(kinds, fmt.Sprint(k.Name, " ", k.Count))
			}
			if got := strings.Join(kinds, " "); got != c.kinds {
				t.Errorf("kinds %q, want %q", got, c.kinds)
			}
			faces := 0
			for _, s := range f.Surfaces {
				faces += s.FaceCount()
				if s.PlanArea() != 0 {
					t.Error("area", s.PlanArea(), "of faces that lie in one line")
				}
			}
			if len(f.Places) != c.places || faces != c.faces || f.Refused != 0 || f.Unit != Unstated {
				t.Errorf("%d places, %d faces, %d refused, unit %q", len(f.Places), faces, f.Refused, f.Unit)
			}
			if got := f.Problems; len(got) != 1 || !strings.Contains(got[0].Why, "states no unit") {
				t.Errorf("problems %v, want the question for the unit", got)
			}
			low, high, _ := f.Bounds()
			near(t, "low", low, c.low...)
			near(t, "high", high, c.high...)
		})
	}
}

func TestDXF_LabelsOfThePublicFile(t *testing.T) {
	f := readDXF("x.dxf", publicFile(t, "survey/dxf_r12_points_laser_distance_meter.dxf"))
	if f.Format != "DXF R12" || len(f.Chains) != 10 {
		t.Errorf("%s, %d lines", f.Format, len(f.Chains))
	}
	for i, p := range f.Places {
		if !strings.HasPrefix(p.ID, fmt.Sprint(i+1, " (IMG_")) || !strings.HasSuffix(p.Code, "_POINT_ENTITY") {
			t.Errorf("point %d has the label %q, code %q", i+1, p.ID, p.Code)
		}
	}
}

// The figures with true arcs come from a reader written apart from this one.
func TestDXF_OutlineWithArcsAtHugeCoordinates(t *testing.T) {
	const file = "outlines/dxf_outline_with_arcs_huge_coordinates.dxf"
	data := publicFile(t, file)
	f := readDXF(file, data)
	if !isDXF(data) || len(f.Outlines) != 1 || f.Refused != 0 {
		t.Fatalf("%d outlines: %v", len(f.Outlines), f.Problems)
	}
	o := f.Outlines[0]
	if o.Vertices() != 8 || o.Name != "test" || math.Abs(o.Area()-10210.13) > 0.005 ||
		math.Abs(o.Perimeter()-403.72) > 0.005 {
		t.Errorf("%d vertices on %q, area %.3f, perimeter %.3f", o.Vertices(), o.Name, o.Area(), o.Perimeter())
	}
	box, _ := f.OutlineBox()
	// The right end is that of an arc, 0.0007 beyond the chords of the other
	// reader. The lower is too: 0.018 below the least vertex, 3433885.916, at
	// which the other reader stopped.
	near(t, "low", [3]float64{box.Min.X, box.Min.Y}, 40585252.170, 3433885.898)
	near(t, "high", [3]float64{box.Max.X - 0.0007, box.Max.Y}, 40585367.663, 3434017.687)
	flat := o.Flat(Metres)
	if fb := flat.Box(); fb.Min.Dist(box.Min) > 0.002 || fb.Max.Dist(box.Max) > 0.002 {
		t.Errorf("box of the chords %v, of the arcs %v", fb, box)
	}
	short := o.Perimeter() - Outline{Outer: flat}.Perimeter()
	if got := flat.Area(); math.Abs(got-10210.13) > 0.25 || short < 0 || short > 0.05 {
		t.Errorf("flat: %d vertices, area %.3f, perimeter shorter by %g", len(flat), got, short)
	}
}

// A bulge of 1 is half a circle: two make one, area pi r^2.
func TestOutline_CircleOfTwoArcs(t *testing.T) {
	for _, turn := range []float64{1, -1} {
		o := Outline{Outer: geom.Ring{{X: 1e7, Y: 5}, {X: 1e7 + 20, Y: 5}}, Bulges: []float64{turn, turn}}
		if math.Abs(o.Area()-100*math.Pi) > 1e-9 || math.Abs(o.Perimeter()-20*math.Pi) > 1e-9 {
			t.Errorf("area %v, perimeter %v", o.Area(), o.Perimeter())
		}
		centre := geom.Pt{X: 1e7 + 10, Y: 5}
		flat := o.Flat(Feet)
		worst := 0.0
		for i, p := range flat {
			if math.Abs(p.Dist(centre)-10) > 1e-8 {
				t.Fatalf("vertex %d lies %v from the centre", i, p.Dist(centre))
			}
			worst = max(worst, 10-p.Lerp(flat.At(i+1), 0.5).Dist(centre))
		}
		if allowed := 1.0 / 16 / 12; worst > allowed+1e-9 || worst < allowed/2 {
			t.Errorf("chords miss the arc by %v ft, %d of them", worst, len(flat))
		}
		if turn*flat.SignedArea() < 0 {
			t.Error("a positive bulge runs clockwise")
		}
	}
}

// A quarter circle over a chord: the segment is r^2 (pi/4 - 1/2), beside the
// chord for a positive bulge on a ring run counter-clockwise.
func TestOutline_BulgeOutAndIn(t *testing.T) {
	square := geom.Ring{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 0, Y: 10}}
	segment := 50 * (math.Pi/4 - 0.5)
	for _, side := range []float64{1, -1} {
		o := Outline{Outer: square, Bulges: []float64{0, side * math.Tan(math.Pi/8), 0, 0}}
		if want := 100 + side*segment; math.Abs(o.Area()-want) > 1e-9 ||
			math.Abs(o.Flat(Inches).Area()-want) > 0.5 {
			t.Errorf("area %v, flat %v, want %v", o.Area(), o.Flat(Inches).Area(), want)
		}
	}
}

// pairs writes groups apart by spaces and commas: "0 POINT, 8 DECK".
func pairs(groups string) string {
	var b strings.Builder
	for g := range strings.SplitSeq(groups, ",") {
		code, value, _ := strings.Cut(strings.TrimSpace(g), " ")
		b.WriteString(code + "\n" + value + "\n")
	}
	return b.String()
}

// drawing wraps entities.
func drawing(units, entities string) string {
	return pairs("0 SECTION, 2 HEADER, 9 $ACADVER, 1 AC1015, 9 $INSUNITS, 70 "+units+
		", 0 ENDSEC, 0 SECTION, 2 ENTITIES") + pairs(entities) + pairs("0 ENDSEC, 0 EOF")
}

func TestDXF_HandMade(t *testing.T) {
	for _, c := range []struct {
		name, entities                  string
		places, chains, outlines, faces int
		refused                         int
		area                            float64 // of the outline, or of the faces
		note, fault                     string
	}{
		{"a point with no elevation", "0 POINT,10 1,20 2,0 POINT,10 1,20 2,30 3", 1, 0, 0, 0, 1, 0, "missing", ""},
		{"a word for a number", "0 POINT,10 1,20 up,30 3,0 POINT,10 1,20 2,30 3", 1, 0, 0, 0, 1, 0, "not a number", ""},
		{"a closed light polyline", "0 LWPOLYLINE,90 4,70 1,10 0,20 0,10 30,20 0,10 30,20 20,10 0,20 20",
			0, 1, 1, 0, 0, 600, "", ""},
		{"the first vertex again at the end", "0 LWPOLYLINE,70 0,10 0,20 0,10 30,20 0,10 30,20 20,10 0,20 20,10 0,20 0",
			0, 1, 1, 0, 0, 600, "", ""},
		{"vertices missing", "0 LWPOLYLINE,90 5,70 1,10 0,20 0,10 30,20 0,10 30,20 20", 0, 1, 1, 0, 0, 300, "vertices are 3", ""},
		{"drawn from below", "0 LWPOLYLINE,70 1,210 0,220 0,230 -1,10 0,20 0,42 1,10 20,20 0,42 1",
			0, 1, 1, 0, 0, 100 * math.Pi, "", ""},
		{"drawn on a slant", "0 LWPOLYLINE,70 1,210 1,220 0,230 1,10 0,20 0,10 20,20 0,10 20,20 5,0 POINT,10 1,20 2,30 3",
			1, 0, 0, 0, 1, 0, "not level", ""},
		{"an old polyline in plan", "0 POLYLINE,66 1,70 1,10 0,20 0,30 7,0 VERTEX,10 0,20 0,30 0,0 VERTEX,10 9,20 0,30 0," +
			"0 VERTEX,10 9,20 4,30 0,0 SEQEND", 0, 1, 1, 0, 0, 18, "", ""},
		{"a breakline", "0 POLYLINE,66 1,70 8,0 VERTEX,10 0,20 0,30 1,70 32,0 VERTEX,10 9,20 0,30 2,70 32,0 SEQEND",
			0, 1, 0, 0, 0, 0, "1 of its lines have elevations", ""},
		{"a line at no elevation", "0 LINE,10 0,20 0,11 9,21 0", 0, 1, 0, 0, 0, 0, "", "ends of lines are not taken for shots"},
		{"a mesh of two triangles", "0 POLYLINE,66 1,70 64,0 VERTEX,70 192,10 0,20 0,30 1,0 VERTEX,70 192,10 8,20 0,30 1," +
			"0 VERTEX,70 192,10 8,20 8,30 1,0 VERTEX,70 192,10 0,20 8,30 1,0 VERTEX,70 128,71 1,72 2,73 -3," +
			"0 VERTEX,70 128,71 1,72 3,73 4,0 SEQEND", 0, 0, 0, 2, 0, 64, "", ""},
		{"a mesh with a corner too far", "0 POLYLINE,66 1,70 64,0 VERTEX,70 192,10 0,20 0,30 1," +
			"0 VERTEX,70 128,71 1,72 2,73 9,0 SEQEND,0 POINT,10 1,20 2,30 3", 1, 0, 0, 0, 1, 0, "no three corners", ""},
		{"a face with four corners", "0 3DFACE,10 0,20 0,30 1,11 8,21 0,31 1,12 8,22 8,32 1,13 0,23 8,33 1",
			0, 0, 0, 1, 0, 64, "", ""},
		{"a symbol and a shot as blocks", "0 INSERT,2 TREE,10 1,20 2,30 0,0 INSERT,66 1,2 SHOT,10 1,20 2,30 0," +
			"0 ATTRIB,2 ELEV,1 99.5,0 ATTRIB,2 POINT,1 17,0 SEQEND", 1, 0, 0, 0, 0, 0, "taken for symbols", ""},
		{"kinds that are not read", "0 CIRCLE,10 1,20 1,40 2,0 HATCH,10 3,0 POINT,10 1,20 2,30 3",
			1, 0, 0, 0, 0, 0, "not read: 1 CIRCLE, 1 HATCH", ""},
		{"a point on the paper sheet", "0 POINT,67 1,10 1,20 2,30 3,0 POINT,10 1,20 2,30 3",
			1, 0, 0, 0, 0, 0, "paper sheets", ""},
		{"elevations in the texts", "0 POINT,10 1,20 2,30 0,0 TEXT,10 1.1,20 2,40 0.2,1 101.35",
			1, 0, 0, 0, 0, 0, "elevations may stand in the texts", ""},
		{"nothing", "0 CIRCLE,10 1,20 1,40 2", 0, 0, 0, 0, 0, 0, "1 CIRCLE", "no point, no line"},
		{"a code that is none", "0 POINT,10 1,20 2,30 3,x 3", 1, 0, 0, 0, 0, 0, "", "group code is due"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := drawing("2", c.entities)
			if !isDXF([]byte(text)) {
				t.Fatal("not known as DXF")
			}
			f := readDXF("x.dxf", []byte(text))
			faces, area := 0, 0.0
			for _, s := range f.Surfaces {
				faces, area = faces+s.FaceCount(), area+s.PlanArea()
			}
			for _, o := range f.Outlines {
				area += o.Area()
			}
			got := []int{len(f.Places), len(f.Chains), len(f.Outlines), faces, f.Refused}
			if want := []int{c.places, c.chains, c.outlines, c.faces, c.refused}; !slices.Equal(got, want) ||
				math.Abs(area-c.area) > 1e-9 || f.Unit != Feet || f.Format != "DXF 2000" {
				t.Errorf("%v area %v %q %q, want %v %v: %v", got, area, f.Unit, f.Format, want, c.area, f.Problems)
			}
			notes, faults := fmt.Sprint(f.Problems.Notes()), fmt.Sprint(f.Problems.Faults())
			if !strings.Contains(notes, c.note) || c.note == "" && notes != "[]" {
				t.Errorf("notes %s, want %q", notes, c.note)
			}
			if !strings.Contains(faults, c.fault) || c.fault == "" && faults != "[]" {
				t.Errorf("faults %s, want %q", faults, c.fault)
			}
		})
	}
}

func TestDXF_PlacesLinesAndLabels(t *testing.T) {
	f := readDXF("x.dxf", []byte(strings.ReplaceAll(drawing("21",
		`0 POINT,8 DECK,10 5,20 6,30 7,0 MTEXT,10 5.1,20 6.1,40 0.2,1 {\fArial|b0;A\U+00BD}\P7,`+
			"0 INSERT,66 1,2 SHOT,10 1,20 2,30 3,0 ATTRIB,2 PT,1 17,0 SEQEND,0 TEXT,10 900,20 2,40 5,1 TITLE"),
		"\n", "\r\n")))
	want := []Place{{ID: "A½ 7", X: 5, Y: 6, Z: 7, Code: "DECK", Line: 20}, {ID: "17", X: 1, Y: 2, Z: 3, Code: "SHOT", Line: 40}}
	if !slices.Equal(f.Places, want) || f.Unit != SurveyFeet {
		t.Errorf("%+v %q\nwant %+v", f.Places, f.Unit, want)
	}
}

func TestDXF_BinaryAndUnitsRefusedOrAsked(t *testing.T) {
	binary := []byte("AutoCAD Binary DXF\r\n\x1a\x00")
	if f := readDXF("x", binary); !isDXF(binary) || len(f.Problems) != 1 ||
		!strings.Contains(f.Problems[0].Error(), "save it as text DXF") {
		t.Error(f.Problems)
	}
	for code, want := range map[string]Unit{"0": Unstated, "1": Inches, "2": Feet, "4": Millimetres, "6": Metres,
		"21": SurveyFeet, "5": Unstated} {
		f := readDXF("x", []byte(drawing(code, "0 POINT,10 1,20 2,30 3")))
		if f.Unit != want || (want == Unstated) != (len(f.Problems.Notes()) == 1) {
			t.Errorf("code %s: %q, %v", code, f.Unit, f.Problems)
		}
	}
	if f := readDXF("x", []byte(drawing("2", "0 POINT,10 1,20 2,30 3")[:110])); len(f.Problems.Faults()) != 1 {
		t.Errorf("a drawing cut off gives %v", f.Problems)
	}
}

// A square field of shots, labels and lines beside them.
func BenchmarkDXF(b *testing.B) {
	for _, n := range []int{1000, 10_000, 100_000} {
		var text strings.Builder
		for i := range n {
			x, y := i%300*10, i/300*10
			fmt.Fprintf(&text, "0\nPOINT\n8\nDECK\n10\n%d\n20\n%d\n30\n101.25\n0\nTEXT\n8\nID\n10\n%d.2\n20\n%d\n40\n0.5\n1\n%d\n",
				x, y, x, y, i)
		}
		data := []byte("0\nSECTION\n2\nENTITIES\n" + text.String() + "0\nENDSEC\n0\nEOF\n")
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				if f := readDXF("x", data); len(f.Places) != n || f.Places[n-1].ID != fmt.Sprint(n-1) {
					b.Fatal(len(f.Places))
				}
			}
		})
	}
}

func TestDXF_TextCodes(t *testing.T) {
	for in, want := range map[string]string{
		`A\U+00BD`: "A½", `\U+00B`: `\U+00B`, `\U+zzzz1`: `\U+zzzz1`, "90%%d": "90°", "caf\xe9": "café", " 7 ": "7",
	} {
		if got := dxfText([]byte(in)); got != want {
			t.Errorf("%q gives %q, want %q", in, got, want)
		}
	}
	if got := dxfText([]byte(strings.Repeat(`\U+0041`, 1<<20))); got != strings.Repeat("A", 1<<20) {
		t.Errorf("a long text gives %d letters", len(got))
	}
}
