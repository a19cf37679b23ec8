package bare_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/survey/problem"
	"runnel/survey/read/bare"
)

func TestGrid_DecimalCommaOneValueALine(t *testing.T) {
	f := readBare(t, "a.asc", dataFile(t, "survey/ascii_grid_decimal_comma_one_value_a_line.asc"))
	if len(f.Surfaces) != 1 || len(f.Problems.Faults()) > 0 || f.Unit != bare.Unstated || f.Refused != 0 {
		t.Fatalf("%d surfaces, unit %q, %v", len(f.Surfaces), f.Unit, f.Problems)
	}
	places, sum := f.Surfaces[0].Places, 0.0
	for _, p := range places {
		sum += p.Z
	}
	if n := len(places); n != 180 || math.Abs(sum/float64(n)-347.154) > 5e-4 {
		t.Errorf("%d values, mean %.4f", n, sum/float64(n))
	}
	// 15 x 12 cells of 50 from 100000, 650000; places lie in their centres.
	wantBounds(t, f, [3]float64{100025, 650025, 0}, [3]float64{100725, 650575, 3450}, 1e-9)
}

const smallGrid = "NCOLS 3\nnrows 2\nxllcorner 10\nyllcorner 20\ncellsize 2\nnodata_value -1\n1 2 3\n4 -1 6\n"

func TestGrid_Stories(t *testing.T) {
	const want = "(11,23,1) (13,23,2) (15,23,3) (11,21,4) (15,21,6)"
	cases := []struct{ name, text string }{
		{"plain", smallGrid},
		{"byte-order mark and CRLF", "\xef\xbb\xbf" + strings.ReplaceAll(smallGrid, "\n", "\r\n")},
		{"CR alone", strings.ReplaceAll(smallGrid, "\n", "\r")},
		{"centre of the lowest cell", strings.NewReplacer("corner 10", "center 11", "corner 20", "center 21").Replace(smallGrid)},
		{"dx and dy", strings.Replace(smallGrid, "cellsize 2", "dx 2\ndy 2", 1)},
		{"not a number is no data", strings.Replace(smallGrid, "4 -1 6", "4 nan 6", 1)},
		{"other order at the head", strings.Replace("nrows 2\n"+strings.Replace(smallGrid, "nrows 2\n", "", 1), "\n", " ", 2)},
		{"exponents and commas", strings.NewReplacer("1 2 3", ",1E1 0,2e+1\n\n 30e-1", "\n4 ", "\n+4,0 ").Replace(smallGrid)},
		{"one value a line", strings.NewReplacer("1 2 3", "1\n2\n3", "4 -1 6", "4\n-1\n6").Replace(smallGrid)},
		{"no end of line at the end", strings.TrimSpace(smallGrid)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := readBare(t, "a.asc", []byte(c.text))
			if len(f.Surfaces) != 1 || len(f.Problems.Faults()) > 0 {
				t.Fatalf("%s: %v", f.Format, f.Problems)
			}
			var got []string
			for _, p := range f.Surfaces[0].Places {
				got = append(got, fmt.Sprintf("(%g,%g,%g)", p.X, p.Y, p.Z))
			}
			if strings.Join(got, " ") != want {
				t.Errorf("got  %v\nwant %s", got, want)
			}
			if !hasProblem(f, problem.Note, "1 of 6 cells are without data") {
				t.Error(f.Problems)
			}
		})
	}
	if p := readBare(t, "a", []byte(smallGrid)).Surfaces[0].Places; p[0].Line != 7 || p[4].Line != 8 {
		t.Errorf("lines %d and %d, want 7 and 8", p[0].Line, p[4].Line)
	}
}

func TestGrid_BadFiles(t *testing.T) {
	edit := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(smallGrid) }
	cases := []struct{ name, text, want string }{
		{"cut short", strings.TrimSuffix(smallGrid, " 6\n"), "counts 6 values and the file holds 5"},
		{"head alone", smallGrid[:strings.Index(smallGrid, "1 2 3")], "counts 6 values and the file holds 0"},
		{"too many values", smallGrid + "7 8\n", "2 values follow the last cell"},
		{"a word among the values", edit("4 -1", "4 low"), `a.asc:8: "low": no elevation`},
		{"two commas", edit("4 -1", "4 1,2,3"), `"1,2,3": no elevation`},
		{"point and comma in one value", edit("4 -1", "4 1.234,5"), "no elevation"},
		{"points and commas", edit("1 2 3", "1,5 2.5 3"), "decimal points and decimal commas"},
		{"infinite", edit("4 -1", "4 inf"), "no elevation"},
		{"no count", edit("nrows 2\n", ""), "nrows: no whole number"},
		{"half a column", edit("NCOLS 3", "NCOLS 2.5"), "ncols: no whole number"},
		{"no columns", edit("NCOLS 3", "NCOLS 0"), "ncols: no whole number"},
		{"absurd count", edit("NCOLS 3", "NCOLS 9000000", "nrows 2", "nrows 9000000"), "more than 10,000,000"},
		{"absurd columns", edit("NCOLS 3", "NCOLS 1e300"), "ncols: no whole number"},
		{"cell of no width", edit("cellsize 2", "cellsize 0"), "not greater than 0"},
		{"cell not a number", edit("cellsize 2", "cellsize nan"), "no number"},
		{"no cellsize", edit("cellsize 2\n", ""), "cellsize: not given"},
		{"no corner", edit("yllcorner 20\n", ""), "yllcorner: not given"},
		{"corner and centre", edit("yllcorner 20", "yllcorner 20\nyllcenter 20"), "yllcorner: not given, or given twice"},
		{"key twice", edit("nrows 2", "nrows 2\nnrows 3"), "stands twice"},
		{"too far out", edit("xllcorner 10", "xllcorner 1e9"), "further out"},
		{"number left out", edit("cellsize 2", "cellsize"), "no number"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := readBare(t, "a.asc", []byte(c.text))
			if !strings.Contains(f.Format, "grid") || !hasProblem(f, problem.Fault, c.want) {
				t.Errorf("%s: %v, want %q", f.Format, f.Problems, c.want)
			}
		})
	}
}

func TestGrid_ManySlipsAreCounted(t *testing.T) {
	f := readBare(t, "a.asc", []byte("ncols 100 nrows 1 xllcorner 0 yllcorner 0 cellsize 1 "+strings.Repeat("x ", 100)))
	if f.Refused != 100 || len(f.Problems.Faults()) != 21 || !hasProblem(f, problem.Fault, "80 more values") {
		t.Errorf("%d refused, %d faults", f.Refused, len(f.Problems.Faults()))
	}
}
