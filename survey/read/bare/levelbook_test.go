package bare

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runnel/survey/unit"
)

func bookOf(t *testing.T, text string) *File {
	t.Helper()
	f, err := Read("book.csv", strings.NewReader(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if f.Format != "level book" || f.Level == nil {
		t.Fatalf("read as %q: %v", f.Format, f.Problems)
	}
	if err := f.Level.Check(); err != nil {
		t.Fatal(err)
	}
	return f
}

func told(f *File, words string) bool {
	for _, p := range f.Problems {
		if strings.Contains(p.Error(), words) {
			return true
		}
	}
	return false
}

func closeTo(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("%s is %.6f, want %.6f", what, got, want)
	}
}

// The elevations of a worked example of a public levelling program
// (gameticharles/geoengine, example/levelling.dart).
func TestLevelBook_Published(t *testing.T) {
	dir := os.Getenv("RUNNEL_DATA")
	if dir == "" {
		t.Skip("RUNNEL_DATA is not set: the published level book is not tried")
	}
	text, err := os.ReadFile(filepath.Join(dir, "survey", "level_book_bs_is_fs.csv"))
	if err != nil {
		t.Fatal(err)
	}
	f := bookOf(t, string(text))
	want := map[string]float64{"B": 101.211, "C": 99.651, "D": 98.851, "E": 98.691, "F": 97.651, "G": 98.041}
	if len(f.Level.Shots) != len(want) {
		t.Errorf("%d shots, want %d", len(f.Level.Shots), len(want))
	}
	for _, s := range f.Level.Shots {
		closeTo(t, s.Reading.Shot, s.Elevation, want[s.Reading.Shot])
	}
	if len(f.Level.SetUps) != 3 || f.Level.Closing == nil {
		t.Fatalf("%d set-ups, closing %v", len(f.Level.SetUps), f.Level.Closing)
	}
	closeTo(t, "start", f.Level.Start.Elevation, 100)
	closeTo(t, "closing mark", f.Level.Closing.Elevation, 98.050)
	closeTo(t, "misclosure", f.Level.Closing.Misclosure, -0.009)
	if _, stated := f.Level.Within(); stated || f.Refused != 0 || len(f.Problems.Faults()) > 0 {
		t.Errorf("stated %v, refused %d, %v", stated, f.Refused, f.Problems)
	}
}

// The lines of one small book, however it is written: BM 820.00, BS 8.42, FS
// 1.20 give X 827.22 (lecture notes after a standard textbook).
func TestLevelBook_Writings(t *testing.T) {
	for _, c := range []struct{ name, text string }{
		{"elevation in the first row", "Station,BS,IS,FS,Elevation\nBM,8.42,,,820.00\nX,,,1.20,\n"},
		{"elevation in a row of its own", "Point;B.S.;F.S.;R.L.\nBM;;;820.00\nBM;8.42;;\nX;;1.20;\n"},
		{"decimal commas", "Point;BS;FS;RL\nBM;8,42;;820,00\nX;;1,20;\n"},
		{"known by a line above", "# unit: ft\nbenchmark: BM 820.00\nStation\tBacksight\tForesight\nBM\t8.42\nX\t\t1.20\n"},
		{"benchmark without a name", "unit,ft\nbenchmark: 820.00\nsta,+bs,fs\nBM,8.42,\nX,,1.20\n"},
		{"known in the remark", "Station,BS (ft),FS (ft),Remarks\nBM,8.42,,benchmark 820.00\nX,,1.20,corner\n"},
		{"the crew's own reduction", "Station,BS,HI,FS,Elev\nBM,8.42,828.42,,820.00\nX,,,1.20,827.22\nsum,8.42,,1.20\n"},
		{"quotes, byte-order mark, CR", "\ufeff\"Station\",\"BS\",\"FS\",\"Elevation\"\r\"BM\",\"8.42\",\"\",\"820.00\"\r\r\"X\",\"\",\"1.20\",\"\"\r"},
		{"places named as words for the book", "Station,BS,FS,Elevation\nStart,8.42,,820.00\nHI,,1.20,\n"},
		{"a first column of another name", "Where,BS,FS,RL\nBM,8.42,,820.00\nX,,1.20,\n"},
		{"columns kept by blanks", "unit: ft\n\nSta    BS      HI       FS     Elev    Remarks\nBM    8.42   828.42          820.00   brass cap in wall\nX                     1.20   827.22\n"},
		{"foresight in inches", "Station,BS,FS,Elevation\nBM,8.42 ft,,820 ft\nX,,1'-2.4\",\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := bookOf(t, c.text)
			if len(f.Level.Shots) != 1 || f.Refused != 0 {
				t.Fatalf("%d shots, %d refused: %v", len(f.Level.Shots), f.Refused, f.Problems)
			}
			closeTo(t, "HI", f.Level.SetUps[0].HI, 828.42)
			closeTo(t, "X", f.Level.Shots[0].Elevation, 827.22)
			if told(f, "in the book") {
				t.Errorf("a sound book is said to differ: %v", f.Problems)
			}
		})
	}
}

// Ghilani and Wolf, Elementary Surveying, 14th ed., problem 5.12: a loop of
// 1500 m, misclosure +0.010 m, third order 14.7 mm.
const loopBook = `unit: m
length of line: 1500 m
station,BS,FS,elevation
BM7,4.388,,852.045
TP1,6.907,4.538,
BM8,4.680,8.800,
TP2,3.730,5.978,
TP3,8.464,5.245,
BM7,,3.598,
`

func TestLevelBook_Loop(t *testing.T) {
	f := bookOf(t, loopBook)
	r := f.Level
	if r.Closing == nil || f.Unit != Metres || r.One != unit.Metre {
		t.Fatalf("closing %v, unit %q", r.Closing, f.Unit)
	}
	closeTo(t, "misclosure", r.Closing.Misclosure, 0.010)
	for i, want := range []float64{851.893, 849.998, 848.698, 847.181, 852.045} {
		closeTo(t, r.Shots[i].Reading.Shot, r.Shots[i].Adjusted, want)
	}
	if within, stated := r.Within(); !within || !stated {
		t.Errorf("within %v, stated %v", within, stated)
	}
	f = bookOf(t, strings.Replace(loopBook, "3.598", "3.590", 1)) // 18 mm
	if within, stated := f.Level.Within(); within || !stated || !told(f, "benchmark not closed") {
		t.Errorf("18 mm of 14.7: within %v, stated %v, %v", within, stated, f.Problems)
	}
	f = bookOf(t, strings.Replace(loopBook, "BM7,,3.598,", "END,,3.598,852.050", 1))
	if f.Level.Closing == nil {
		t.Fatal("the elevation of the last row closes nothing")
	}
	closeTo(t, "misclosure on another mark", f.Level.Closing.Misclosure, 0.005)
}

func TestLevelBook_Tells(t *testing.T) {
	for _, c := range []struct {
		name, text, words string
		shots, refused    int
	}{
		{"no benchmark", "sta,BS,FS\nA,5,\nB,,4\n", "relative to 100", 1, 0},
		{"no unit", "sta,BS,FS\nA,5,\nB,,4\n", "unit of the readings is not stated", 1, 0},
		{"HI wrongly added", "sta,BS,HI,FS,elev\nA,5,15.1,,10\nB,,,4,11\n", "HI 15.1 in the book, 15.000", 1, 0},
		{"elevation wrongly worked", "sta,BS,IS,FS,elev\nA,5,,,10.00\nB,,4,,10.00\nC,,,3,12.00\n", "elevation 10.00 of B in the book, 11.000", 2, 0},
		{"sum wrongly added", "sta,BS,FS\nA,5.00,\nB,,4.00\nsum,5.00,4.10\n", "sum of FS 4.10 in the book, 4.000", 1, 0},
		{"a reading that is no number", "sta,BS,FS\nA,5,\nB,,4..2\nC,,4\n", "FS", 1, 1},
		{"a sight before all backsights", "sta,BS,FS\nA,,5\nB,3,\nC,,1\n", "no backsight stands before it", 1, 1},
		{"both sights in a row", "sta,BS,IS,FS\nA,5,,\nB,,4,4\nC,,1,\n", "stand in one row", 1, 1},
		{"a backsight on nowhere", "sta,BS,FS\nA,5,\nB,,4\nX,3,\nC,,1\n", "stands on X, whose elevation nothing gives", 1, 1},
		{"a backsight that is no number", "sta,BS,FS\nA,5,\nB,five,4\nC,,1\n", "five", 1, 2},
		{"two values under one heading", "sta    BS    FS\nA      5\nB            4  1\nC            4\n", "4 1", 1, 1},
		{"feet and inches without marks", "sta,BS,FS\nA,5'-0\",\nB,,4.6\nC,,4'-6\"\n", "4.6 may be 4.6 ft or 4 ft 6 in", 1, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := bookOf(t, c.text)
			if !told(f, c.words) || len(f.Level.Shots) != c.shots || f.Refused != c.refused {
				t.Errorf("%q told %v, %d shots, %d refused:\n%v", c.words, told(f, c.words), len(f.Level.Shots), f.Refused, f.Problems)
			}
		})
	}
}

// Two set-ups see P, Q and R: the second has them +0.02, +0.02 and -0.98 ft by
// arithmetic, so R is a foot wrong; with 0.30 ft on the turning point all are
// shifted by it.
func TestLevelBook_Ties(t *testing.T) {
	const text = "unit: ft\nsta,BS,IS,FS,elev\nA,5,,,100\nP,,4,,\nQ,,3,,\nR,,2,,\nT,6,,5,\nP,,4.98,,\nQ,,3.98,,\nR,,3.98,,\n"
	f := bookOf(t, text)
	if !told(f, "R is -1.000 ft from what set-up 1 gives it: a blunder of 1 ft") || told(f, "places that both saw") {
		t.Errorf("%v", f.Problems)
	}
	f = bookOf(t, strings.Replace(text, "T,6,", "T,6.3,", 1))
	if !told(f, "set-up 2 stands +0.320 ft from set-up 1 over 3 places") {
		t.Errorf("%v", f.Problems)
	}
}

// A direct rod turns the sign, and only where it is stated.
func TestLevelBook_DirectRod(t *testing.T) {
	rows := "sta,BS,IS,FS,rod,elevation\nA,5,,,%s,100\nB,,6,,,\nC,3,,4,,\nD,,2,,,\n"
	for _, c := range []struct {
		name, text string
		want       [3]float64
	}{
		{"not stated", strings.Replace(rows, "%s", "", 1), [3]float64{99, 101, 102}},
		{"first set-up", strings.Replace(rows, "%s", "direct", 1), [3]float64{101, 99, 100}},
		{"all", "rod: direct\n" + strings.Replace(rows, "%s", "", 1), [3]float64{101, 99, 98}},
	} {
		f := bookOf(t, c.text)
		for i, want := range c.want {
			closeTo(t, c.name+" "+f.Level.Shots[i].Reading.Shot, f.Level.Shots[i].Elevation, want)
		}
	}
}

// What no hand can have written is read or refused in reasonable time.
func TestKeptByHand_Hostile(t *testing.T) {
	long := strings.Repeat("x  ", 1<<20)
	for name, text := range map[string]string{
		"a heading without end":      "Sta  BS  FS  " + long + "\n" + long,
		"commas without end":         "Sta,BS,FS" + strings.Repeat(",", 1<<21) + "\nA,1,\n",
		"rows without end":           "Sta,BS,FS\n" + strings.Repeat("A,1,2\n", 200_000),
		"a note on every row":        "Sta,BS,HI,FS,RL,rod\n" + strings.Repeat("A,1,x,2,y,z\n", 90_000),
		"x without end":              "rod,0,1\n0,1,2\n1,1,2\n" + strings.Repeat("2,", 1<<21),
		"a grid wide beyond reading": "rod" + strings.Repeat(",q", 1<<20) + "\n0,1\n1,1\n",
	} {
		f, err := Read("f", strings.NewReader(text), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Problems) > 300 {
			t.Errorf("%s: %s, %d problems", name, f.Format, len(f.Problems))
		}
	}
}

// A line whose length is not stated is held to 0.02 ft flat. By arithmetic: HI
// 104.5, TP at 99.5, HI 103.5; the line comes back to 103.5 less the last sight.
func TestLevelBook_Flat(t *testing.T) {
	const book = "unit: ft\nstation,BS,IS,FS,elevation\nBM,4.50,,,100.00\nTP,4.00,,5.00,\nBM,,,CLOSE,\n"
	for _, c := range []struct {
		close, says string
		within      bool
	}{
		{"3.50", "within it", true},
		{"3.48", "within it", true}, // 0.02 is allowed
		{"3.52", "within it", true},
		{"3.47", "more than it", false},
		{"4.80", "more than it", false},
	} {
		f := bookOf(t, strings.Replace(book, "CLOSE", c.close, 1))
		within, stated := f.Level.Within()
		if within != c.within || !stated || told(f, "benchmark not closed") == c.within ||
			!strings.Contains(f.Level.Text(), "allowed misclosure 0.0200 (common practice, 0.02 ft flat): "+c.says) {
			t.Errorf("%s: within %v, stated %v, %v\n%s", c.close, within, stated, f.Problems, f.Level.Text())
		}
	}
	f := bookOf(t, strings.Replace(strings.Replace(book, "CLOSE", "3.493", 1), "unit: ft", "unit: m", 1)) // 7 mm, 6.1 are allowed
	if !told(f, "+0.007 m is more than the 0.006 m allowed") {
		t.Errorf("7 mm: %v", f.Problems)
	}
}

// Rows that say less or more than they should are told.
func TestLevelBook_OddRows(t *testing.T) {
	const head = "unit: ft\nstation,BS,IS,FS,elevation,remarks\nBM,4.20,,,100,\n"
	for _, c := range []struct {
		name, row, why string
		refused        int
	}{
		{"no reading", "D,,,,,", "4: reading \"D\": no reading stands in the row", 1},
		{"a remark instead", "D,,,,,ladder away", "", 0},
		{"a mark without a sight", "D,,,,99.5,", "", 0},
		{"a line of words", "it began to rain", "", 0},
		{"BS and IS", "C,3.1,4.4,,,", "4: a backsight and an intermediate sight stand in one row", 0},
		{"BS and FS", "C,3.1,,4.4,,", "", 0},
		{"IS and FS", "C,,4.4,4.4,,", "an intermediate sight and a foresight stand in one row", 1},
	} {
		f := bookOf(t, head+c.row+"\nE,,4.1,,,\n")
		if f.Refused != c.refused || c.why == "" && len(f.Problems) > 0 || !told(f, c.why) && c.why != "" {
			t.Errorf("%s: %d refused, %v", c.name, f.Refused, f.Problems)
		}
	}
	f := bookOf(t, "unit: ft\nstation,BS,IS,elevation\nBM,4.20,,100\nC,3.1,4.4,\nE,,4.1,\n")
	if len(f.Problems) > 0 {
		t.Errorf("in a book without a column of foresights all sights carry on: %v", f.Problems)
	}
}

// "unit: ft-in" says that plain numbers are to be asked about, wherever a book
// or a sheet states its unit.
func TestSheets_FeetInches(t *testing.T) {
	const book = "station,BS,IS,FS,elevation\nBM,4'-6\",,,100'-0\"\nA,,5'-3\",,\nB,,5.4,,\nC,,5.4 ft,,\n"
	for _, head := range []string{"unit: ft-in\n", "units,feet and inches\n", "# unit: FT-IN\n"} {
		f := bookOf(t, head+book)
		if f.Unit != Feet || f.Refused != 1 || len(f.Problems) != 1 || !told(f, "5.4 may be 5.4 ft or 5 ft 4 in") {
			t.Errorf("%q: unit %q, %d refused, %v", head, f.Unit, f.Refused, f.Problems)
		}
		closeTo(t, "A", f.Level.Shots[0].Elevation, 99.25)
		closeTo(t, "C", f.Level.Shots[1].Elevation, 99.1)
	}
	f := bookOf(t, strings.Replace(book, "BS,IS", "BS (ft-in),IS (ft)", 1))
	if f.Refused != 1 || len(f.Problems) != 1 {
		t.Errorf("in the heading: %v", f.Problems)
	}
	plain := "BM,4.50,,,100\nA,,5.40,,\n"
	f = bookOf(t, "unit: ft-in\nstation,BS,IS,FS,elevation\nBM,4'-6\",,,100\nA,,5'-3\",,\n")
	if !told(f, "passed over: 100 may be 100 ft or 100 in") || !f.Level.Assumed {
		t.Errorf("an elevation without marks: %v", f.Problems)
	}
	f, err := Read("book.csv", strings.NewReader("unit: ft-in\nstation,BS,IS,FS,elevation\n"+plain), Options{})
	if err != nil || f.Refused == 0 || f.Level != nil {
		t.Errorf("a book of plain numbers: %v, %v", err, f)
	}
	for _, head := range []string{"unit: ft-in\nrod", "rod ft-in"} {
		f := gridOf(t, "hi: 104 ft\n"+head+",0,10,20\n0,4'-6\",4'-7\",5.4\n10,4'-3\",4'-2\",4'-1\"\n")
		if f.Unit != Feet || f.Refused != 1 || len(f.Places) != 5 || !told(f, "5.4 may be 5.4 ft or 5 ft 4 in") || told(f, "is not known") {
			t.Errorf("%q: unit %q, %d refused, %v", head, f.Unit, f.Refused, f.Problems)
			continue
		}
		closeTo(t, "first cell", f.Places[0].Z, 99.5)
	}
}
