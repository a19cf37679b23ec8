package bare

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// publicFile is a public survey file that stands outside the repository.
func publicFile(t *testing.T, path string) []byte {
	t.Helper()
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the public survey files are not read")
	}
	data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(path)))
	if err != nil {
		t.Skip("the public file is absent: ", err)
	}
	return data
}

// near holds two triples to the last digit that the table prints.
func near(t *testing.T, what string, got [3]float64, want ...float64) {
	t.Helper()
	for i, w := range want {
		if math.Abs(got[i]-w) > 0.00051 {
			t.Errorf("%s %v, want %v", what, got, want)
			return
		}
	}
}

// Counts, ranges and plan areas come from a reader written apart from this one;
// the three areas in metres are also stated in the file.
func TestLandXML_PublicFiles(t *testing.T) {
	for _, c := range []struct {
		file                     string
		unit                     Unit
		places, surfaces         int
		inSurfaces, faces, shown int
		low, high, areas         []float64 // x, y, z
		areaWithin               float64
	}{
		{"landxml_tin_metres.xml", Metres, 0, 3, 264, 426, 362,
			[]float64{148066.238, 6399017.829, 0.782}, []float64{148226.899, 6399165.348, 2.750},
			[]float64{782.535, 276.289, 106.923}, 0.0006},
		{"landxml_tin_us_survey_feet.xml", SurveyFeet, 0, 1, 17, 24, 24,
			[]float64{834494.113, 1067474.113, 447.391}, []float64{836625.887, 1069605.887, 526.014},
			[]float64{3031369}, 0.6},
		{"landxml_cgpoints_only.xml", Metres, 2, 0, 0, 0, 0,
			[]float64{445.069, 519.659, -0.588}, []float64{465.244, 524.441, 0.388}, nil, 0},
	} {
		t.Run(c.file, func(t *testing.T) {
			data := publicFile(t, "survey/"+c.file)
			if !isLandXML(data) {
				t.Fatal("not known as LandXML")
			}
			f := readLandXML(c.file, data)
			if f.Format != "LandXML 1.2" {
				t.Error("format", f.Format)
			}
			var n, faces, shown int
			var areas []float64
			for _, s := range f.Surfaces {
				n, faces, shown = n+len(s.Places), faces+s.FaceCount(), shown+s.FaceCount()-s.Invisible
				areas = append(areas, s.PlanArea())
			}
			got := []int{len(f.Places), len(f.Surfaces), n, faces, shown, f.Refused, len(f.Problems)}
			want := []int{c.places, c.surfaces, c.inSurfaces, c.faces, c.shown, 0, 0}
			if !slices.Equal(got, want) || f.Unit != c.unit {
				t.Errorf("counts %v %q, want %v %q; %v", got, f.Unit, want, c.unit, f.Problems)
			}
			low, high, _ := f.Bounds()
			near(t, "low", low, c.low...)
			near(t, "high", high, c.high...)
			if len(areas) != len(c.areas) {
				t.Fatalf("areas %v", areas)
			}
			for i := range areas {
				if math.Abs(areas[i]-c.areas[i]) > c.areaWithin {
					t.Errorf("areas %v, want %v", areas, c.areas)
				}
			}
		})
	}
}

// land wraps the body of a document.
func land(units, body string) string {
	return `<?xml version="1.0"?><LandXML version="1.1"><Units>` + units + `</Units>` + body + `</LandXML>`
}

const (
	inFeet = `<Imperial linearUnit="foot"/>`
	square = `<Surfaces><Surface name="A"><Definition surfType="TIN"><Pnts>
<P id="7">0 0 1</P><P id="3">0 10 1</P><P id="9">20 10 2</P><P id="1">20 0 2</P></Pnts>
<Faces><F>7 3 9</F><F>9 1 7</F></Faces></Definition></Surface></Surfaces>`
)

func TestLandXML_HandMade(t *testing.T) {
	prefixed := strings.NewReplacer("</", "</l:", "<?", "<?", "<", "<l:").Replace(land(inFeet, square))
	two := square + strings.ReplaceAll(strings.ReplaceAll(square, `"A"`, `"B"`), "20 ", "40 ")
	for _, c := range []struct {
		name, text                       string
		places, surfaces, faces, refused int
		areas                            []float64
		fault, note                      string
	}{
		{"a rectangle 10 by 20", land(inFeet, square), 0, 1, 2, 0, []float64{200}, "", ""},
		{"every name prefixed", prefixed, 0, 1, 2, 0, []float64{200}, "", ""},
		{"ids repeat between surfaces", land(inFeet, two), 0, 2, 4, 0, []float64{200, 400}, "", ""},
		{"one face with four corners", land(inFeet, strings.Replace(square,
			"<F>7 3 9</F><F>9 1 7</F>", "<F>7 3 9 1</F>", 1)), 0, 1, 1, 0, []float64{200}, "", ""},
		{"an invisible face is no surface", land(inFeet, strings.Replace(square, "<F>9", `<F i="1">9`, 1)),
			0, 1, 2, 0, []float64{100}, "", ""},
		{"an id twice in one surface", land(inFeet, strings.Replace(square, `"3"`, `"7"`, 1)),
			0, 1, 1, 2, []float64{100}, "", "the id stands twice"},
		{"a face to a point of no surface", land(inFeet, strings.Replace(square, "<F>9 1", "<F>9 2", 1)),
			0, 1, 1, 1, []float64{100}, "", "a corner is no point"},
		{"a point with no elevation", land(inFeet, `<CgPoints><CgPoint name="1">5 6</CgPoint>
<CgPoint name="2">5 6 7</CgPoint></CgPoints>`), 1, 0, 0, 1, nil, "", "elevation"},
		{"a reference to a point is none", land(inFeet, `<CgPoints><CgPoint name="2">5 6 7</CgPoint>
<CgPoint pntRef="2"/></CgPoints>`), 1, 0, 0, 0, nil, "", ""},
		{"a word for a number", land(inFeet, `<CgPoints><CgPoint name="1">5 NaN 7</CgPoint>
<CgPoint name="2">5 6 7</CgPoint></CgPoints>`), 1, 0, 0, 1, nil, "", "not a number"},
		{"no unit", land("", square), 0, 1, 2, 0, []float64{200}, "", "unit is not stated"},
		{"a unit unheard of", land(`<Metric linearUnit="cubit"/>`, square), 0, 0, 0, 0, nil, "not known", ""},
		{"elevations in metres over feet", land(`<Imperial linearUnit="foot" elevationUnit="meter"/>`, square),
			0, 0, 0, 0, nil, "elevations are in", ""},
		{"polar only", land(inFeet, `<RawObservation horizAngle="3"/>`), 0, 0, 0, 0, nil, "angle and distance", ""},
		{"a surface of source points alone", land(inFeet, `<Surface name="S"><SourceData><DataPoints><PntList3D>1 2 3
4 5 6</PntList3D></DataPoints></SourceData></Surface>`), 0, 1, 0, 0, []float64{0}, "", ""},
		{"a point as long as a book", land(inFeet, "<CgPoint>"+strings.Repeat("1 ", 1e6)+"</CgPoint><CgPoint>1 2 3</CgPoint>"),
			1, 0, 0, 1, nil, "", "northing, easting and elevation"},
		{"cut off", land(inFeet, square)[:200], 0, 0, 0, 0, nil, "ends within", ""},
		{"an entity bomb", `<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>` + land(inFeet, square),
			0, 0, 0, 0, nil, "declares entities", ""},
		{"an entity undeclared", land(inFeet, `<CgPoint>&b;</CgPoint>`), 0, 0, 0, 0, nil, "not well-formed", ""},
		{"nested a thousand deep", land(inFeet, strings.Repeat("<a>", 1000)), 0, 0, 0, 0, nil, "nested deeper", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := readLandXML("x.xml", []byte(c.text))
			faces := 0
			for i, s := range f.Surfaces {
				faces += s.FaceCount()
				if math.Abs(s.PlanArea()-c.areas[i]) > 1e-9 {
					t.Errorf("area %v, want %v", s.PlanArea(), c.areas[i])
				}
			}
			got := []int{len(f.Places), len(f.Surfaces), faces, f.Refused}
			if !slices.Equal(got, []int{c.places, c.surfaces, c.faces, c.refused}) {
				t.Errorf("counts %v: %v", got, f.Problems)
			}
			if got := f.Problems.Faults(); (c.fault == "") != (len(got) == 0) ||
				c.fault != "" && !strings.Contains(got[0].Why, c.fault) {
				t.Errorf("faults %v, want %q", got, c.fault)
			}
			if got := f.Problems.Notes(); c.note != "" && (len(got) == 0 || !strings.Contains(got[0].Why, c.note)) {
				t.Errorf("notes %v, want %q", got, c.note)
			}
		})
	}
}

func TestLandXML_LinesAndLetters(t *testing.T) {
	f := readLandXML("x.xml", []byte("\xef\xbb\xbf<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>\n<LandXML>\n"+
		"<Units>"+inFeet+"</Units>\n<CgPoint name=\"caf\xe9\">1 2 3</CgPoint>\n<CgPoint name=\"b\">1 2</CgPoint></LandXML>"))
	if len(f.Places) != 1 || f.Places[0].ID != "café" || f.Places[0].Line != 4 ||
		f.Places[0].X != 2 || f.Places[0].Y != 1 || f.Places[0].Z != 3 {
		t.Errorf("places %+v", f.Places)
	}
	if len(f.Problems) != 1 || f.Problems[0].Line != 5 {
		t.Errorf("problems %v", f.Problems)
	}
}

// A square field of points under twice as many faces.
func BenchmarkLandXML(b *testing.B) {
	for _, side := range []int{32, 100, 316} {
		var pnts, faces strings.Builder
		for i := range side * side {
			fmt.Fprintf(&pnts, "<P id=\"%d\">%d.125 %d.375 101.25</P>\n", i+1, i/side, i%side)
			if i%side > 0 && i >= side {
				fmt.Fprintf(&faces, "<F>%d %d %d</F>\n<F>%d %d %d</F>\n", i+1, i, i-side, i+1, i-side, i-side+1)
			}
		}
		data := []byte(land(inFeet, `<Surface name="A"><Pnts>`+pnts.String()+`</Pnts><Faces>`+faces.String()+`</Faces></Surface>`))
		b.Run(fmt.Sprint(side*side), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				f := readLandXML("x", data)
				if want := float64((side - 1) * (side - 1)); f.Surfaces[0].PlanArea() != want {
					b.Fatal(f.Surfaces[0].PlanArea(), want)
				}
			}
		})
	}
}
