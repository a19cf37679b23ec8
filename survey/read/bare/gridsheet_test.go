package bare

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runnel/survey/unit"
)

func gridOf(t *testing.T, text string) *File {
	t.Helper()
	if !isGridSheet([]byte(text)) {
		t.Fatalf("not known as a grid sheet:\n%s", text)
	}
	return readGridSheet("grid.csv", []byte(text))
}

// sheetOf writes a grid sheet of a function of x and y.
func sheetOf(corner, sep string, xs, ys []float64, cell func(x, y float64) string) string {
	var b strings.Builder
	b.WriteString(corner)
	for _, x := range xs {
		fmt.Fprintf(&b, "%s%g", sep, x)
	}
	for _, y := range ys {
		fmt.Fprintf(&b, "\n%g", y)
		for _, x := range xs {
			b.WriteString(sep + cell(x, y))
		}
	}
	return b.String() + "\n"
}

// The plane z = 100 + x/48 - y/96 ft (1/4 in/ft and 1/8 in/ft) comes back from
// every way a crew may write it down.
func TestGridSheet_Plane(t *testing.T) {
	z := func(x, y float64) float64 { return 100 + x/48 - y/96 }
	xs, ys := []float64{0, 12, 24, 48}, []float64{0, 24, 48}
	down := []float64{48, 24, 0}
	at := func(v func(x, y float64) float64) func(x, y float64) string {
		return func(x, y float64) string { return fmt.Sprintf("%.6f", v(x, y)) }
	}
	marked := func(x, y float64) string {
		return `"` + strings.ReplaceAll(unit.Feet(104-z(x, y)).FeetInches(), `"`, `""`) + `"`
	}
	for _, c := range []struct{ name, text string }{
		{"elevations", sheetOf("elevation ft", ",", xs, ys, at(z))},
		{"elevations, north up", sheetOf("elev (ft)", ";", xs, down, at(z))},
		{"decimal commas", strings.ReplaceAll(sheetOf("elev ft", ";", xs, down, at(z)), ".", ",")},
		{"rod, HI above", "hi: 104\nunit: ft\n" + sheetOf("rod", "\t", xs, ys, at(func(x, y float64) float64 { return 104 - z(x, y) }))},
		{"rod, HI in the corner", sheetOf("rod ft HI 104", ",", xs, ys, at(func(x, y float64) float64 { return 104 - z(x, y) }))},
		{"direct rod", "hi: 90\n" + sheetOf("direct rod ft", ",", xs, ys, at(func(x, y float64) float64 { return z(x, y) - 90 }))},
		{"rod in feet and inches", "hi: 104 ft\n" + sheetOf("rod", ",", xs, ys, marked)},
		{"rod in inches, plan in feet", "unit: in\nplan: ft\nhi: 1248\n" + sheetOf("rod", ",", xs, ys, at(func(x, y float64) float64 { return 12 * (104 - z(x, y)) }))},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := gridOf(t, c.text)
			if len(f.Places) != 12 || f.Refused != 0 {
				t.Fatalf("%d places, %d refused: %v", len(f.Places), f.Refused, f.Problems)
			}
			one := 1.0
			if f.Unit == Inches {
				one = 12
			}
			for _, p := range f.Places {
				if want := z(p.X/one, p.Y/one); p.Z/one-want > 1e-5 || want-p.Z/one > 1e-5 {
					t.Errorf("(%g, %g) stands at %.6f, want %.6f", p.X, p.Y, p.Z/one, want)
				}
			}
		})
	}
}

func TestGridSheet_Tells(t *testing.T) {
	for _, c := range []struct {
		name, text, words string
		places, refused   int
	}{
		{"blank cells", "elev ft,0,10,20\n0,1,,3\n10,,-,\n20,4\n", "", 3, 0},
		{"rod or elevation", ",0,10\n0,1,2\n10,3,4\n", "rod readings or elevations", 4, 0},
		{"no HI", "rod m,0,10\n0,1,2\n10,3,4\n", "relative to an HI of 100", 4, 0},
		{"no unit", "elev,0,10\n0,1,2\n10,3,4\n", "the unit is not stated", 4, 0},
		{"both words", "rod elevation,0,10\n0,1,2\n10,3,4\n", "speaks of the rod and of elevations", 4, 0},
		{"a word in a cell", "elev ft,0,10\n0,1,two\n10,3,4\n", "two", 3, 1},
		{"feet and inches without marks", "elev,0,10\n0,5'-0\",4.6\n10,3'-1\",4'\n", "4.6 may be 4.6 ft or 4 ft 6 in", 3, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := gridOf(t, c.text)
			if c.words != "" && !told(f, c.words) || len(f.Places) != c.places || f.Refused != c.refused {
				t.Errorf("%q: %d places, %d refused: %v", c.words, len(f.Places), f.Refused, f.Problems)
			}
		})
	}
}

func TestGridSheet_IsNot(t *testing.T) {
	for name, text := range map[string]string{
		"a table of places":   "x,y,z\n0,0,1\n0,10,2\n10,10,3\n",
		"places without head": "0,0,1\n1,10,2\n2,10,3\n",
		"named places":        "P1,0,10,20\nP2,1,11,21\nP3,2,12,22\n",
		"named, then bare":    "P1,0,10,20\n2,1,11,21\n3,2,12,22\n",
		"a level book":        "station,BS,IS,FS\n1,1.2,,\n2,,,3\n",
		"x out of order":      "elev,0,10,5\n0,1,2,3\n10,1,2,3\n",
		"binary":              "\x00\x01,1,2\n1,1,1\n2,2,2\n",
		"nothing":             "",
	} {
		if isGridSheet([]byte(text)) {
			t.Errorf("%s is taken for a grid sheet", name)
		}
	}
}

// Of the published survey files one is a level book and none a grid sheet.
func TestKeptByHand_Published(t *testing.T) {
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the published survey files are not tried")
	}
	names, err := filepath.Glob(filepath.Join(dir, "survey", "*"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no files: %v", err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if isGridSheet(data) || isLevelBook(data) != (filepath.Base(name) == "level_book_bs_is_fs.csv") {
			t.Errorf("%s: level book %v, grid sheet %v", filepath.Base(name), isLevelBook(data), isGridSheet(data))
		}
	}
}
