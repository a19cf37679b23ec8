package table

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

func pt(x, y float64) geom.Pt { return geom.Pt{X: x, Y: y} }

// readText reads a shot list that must have no faults.
func readText(t *testing.T, text string, opt ShotOptions) []survey.Shot {
	t.Helper()
	opt.File = "shots.csv"
	shots, found := Shots(strings.NewReader(text), opt)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return shots
}

// The three shots that every writing below stands for.
var threeShots = []survey.Shot{
	{ID: "P1", At: pt(10, 2.5), Elev: unit.Feet(100.25), Code: "RF"},
	{ID: "P2", At: pt(20.5, 2), Elev: unit.Feet(100.5), Code: "DR"},
	{ID: "P3", At: pt(-4, 12), Elev: unit.Feet(99.75), Code: "RF"},
}

func TestShots_EveryWriting(t *testing.T) {
	feet := ShotOptions{Book: BookFeet}
	listed := func(cols ...string) ShotOptions { return ShotOptions{Book: BookFeet, Columns: cols} }
	for _, c := range []struct {
		name string
		text string
		opt  ShotOptions
	}{
		{"commas and a header", "id,x,y,z,code\nP1,10,2.5,100.25,RF\nP2,20.5,2,100.5,DR\nP3,-4,12,99.75,RF\n", feet},
		{"no newline at the end", "id,x,y,z,code\nP1,10,2.5,100.25,RF\nP2,20.5,2,100.5,DR\nP3,-4,12,99.75,RF", feet},
		{"northing before easting", "point,N,E,Z,D\nP1,2.5,10,100.25,RF\nP2,2,20.5,100.5,DR\nP3,12,-4,99.75,RF\n", feet},
		{"columns told, no header", "P1,2.5,10,100.25,RF\nP2,2,20.5,100.5,DR\nP3,12,-4,99.75,RF\n",
			listed("point", "n", "e", "z", "code")},
		{"columns told and a header", "P,N,E,Z,D\nP1,2.5,10,100.25,RF\nP2,2,20.5,100.5,DR\nP3,12,-4,99.75,RF\n",
			listed("point", "n", "e", "z", "code")},
		{"a column to skip", "P1,2.5,10,7,100.25,RF\nP2,2,20.5,7,100.5,DR\nP3,12,-4,7,99.75,RF\n",
			listed("point", "n", "e", "skip", "z", "code")},
		{"byte-order mark and CRLF", "\ufeffid,x,y,z,code\r\nP1,10,2.5,100.25,RF\r\nP2,20.5,2,100.5,DR\r\nP3,-4,12,99.75,RF\r\n", feet},
		{"old line ends", "id,x,y,z,code\rP1,10,2.5,100.25,RF\rP2,20.5,2,100.5,DR\rP3,-4,12,99.75,RF\r", feet},
		{"doubled returns", "id,x,y,z,code\r\r\nP1,10,2.5,100.25,RF\r\r\nP2,20.5,2,100.5,DR\r\r\nP3,-4,12,99.75,RF\r\r\n", feet},
		{"semicolons and decimal commas", "id;x;y;z;code\nP1;10;2,5;100,25;RF\nP2;20,5;2;100,5;DR\nP3;-4;12;99,75;RF\n", feet},
		{"tabs and decimal commas", "id\tx\ty\tz\tcode\nP1\t10\t2,5\t100,25\tRF\nP2\t20,5\t2\t100,5\tDR\nP3\t-4\t12\t99,75\tRF\n", feet},
		{"blanks", "id  x   y    z      code\nP1  10  2.5  100.25 RF\n P2 20.5 2    100.5  DR\nP3  -4  12   99.75  RF\n", feet},
		{"blanks and decimal commas, no header", "P1 10,0 2,5 100,25 RF\nP2 20,5 2 100,5 DR\nP3 -4 12 99,75 RF\n",
			listed("id", "x", "y", "z", "code")},
		{"quotes", "\"id\",\"x\",\"y\",\"z\",\"code\"\n\"P1\",\"10\",\"2.5\",\"100.25\",\"RF\"\n\"P2\",20.5,2,100.5,DR\nP3, \"-4\" ,12,99.75,\"RF\"\n", feet},
		{"blank lines, comments, empty records", "# from the collector\n\nid,x,y,z,code\n\nP1,10,2.5,100.25,RF\n,,,,\n# noon\nP2,20.5,2,100.5,DR\n  \nP3,-4,12,99.75,RF\n\x1a", feet},
		{"more columns than needed", "id,quality,x,y,sats,z,code\nP1,4,10,2.5,9,100.25,RF\nP2,4,20.5,2,9,100.5,DR\nP3,4,-4,12,9,99.75,RF\n", feet},
		{"units in the header", "id,x (m),y_ft,z [in],code\nP1,3.048,2.5,1203,RF\nP2,6.2484,2,1206,DR\nP3,-1.2192,12,1197,RF\n", ShotOptions{}},
		{"a unit beside each value", "id,x,y,z,code\nP1,10 ft,2'-6\",100'-3\",RF\nP2,20.5 ft,24 in,1206 in,DR\nP3,-4 ft,12 ft,99.75 ft,RF\n", ShotOptions{}},
		{"metric plan and book", "id,x,y,z,code\nP1,3.048,0.762,30556.2,RF\nP2,6.2484,0.6096,30632.4,DR\nP3,-1.2192,3.6576,30403.8,RF\n",
			ShotOptions{Plan: unit.Metre, Book: BookMillimetres}},
		{"rods below HI 105", "id,x,y,rod,code\nP1,10,2.5,4.75,RF\nP2,20.5,2,4.5,DR\nP3,-4,12,5.25,RF\n",
			ShotOptions{Book: BookFeet, SetUps: []survey.SetUp{{ID: "1", HI: unit.Feet(105)}}}},
		{"rods under the name z", "id,x,y,z,code\nP1,10,2.5,4.75,RF\nP2,20.5,2,4.5,DR\nP3,-4,12,5.25,RF\n",
			ShotOptions{Book: BookFeet, SetUps: []survey.SetUp{{ID: "1", HI: unit.Feet(105)}}, Reading: RodReadings}},
		{"elevations read off the rod", "id,x,y,rod,code\nP1,10,2.5,100.25,RF\nP2,20.5,2,100.5,DR\nP3,-4,12,99.75,RF\n",
			ShotOptions{Book: BookFeet, Reading: Elevations}},
		{"feet and inches", "id,x,y,rod,code\nP1,10,2.5,4'-9\",RF\nP2,20.5,2,4'-6\",DR\nP3,-4,12,5'-3\",RF\n",
			ShotOptions{Book: BookFeetInches, SetUps: []survey.SetUp{{ID: "1", HI: unit.Feet(105)}}}},
		{"feet and inches, tabs", "id\tx\ty\trod\tcode\nP1\t10\t2.5\t4' 9\"\tRF\nP2\t20.5\t2\t54\"\tDR\nP3\t-4\t12\t5 ft 3 in\tRF\n",
			ShotOptions{Book: BookFeetInches, SetUps: []survey.SetUp{{ID: "1", HI: unit.Feet(105)}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := readText(t, c.text, c.opt)
			if len(got) != len(threeShots) {
				t.Fatalf("%d shots, want %d", len(got), len(threeShots))
			}
			for i, want := range threeShots {
				g := got[i]
				if g.ID != want.ID || g.Code != want.Code || g.At.Dist(want.At) > 1e-9 ||
					math.Abs((g.Elev-want.Elev).Inches()) > 1e-9 {
					t.Errorf("shot %+v, want %+v", g, want)
				}
				if g.File != "shots.csv" || g.Line < 1 {
					t.Errorf("shot %s says it stood at %s:%d", g.ID, g.File, g.Line)
				}
			}
		})
	}
}

func TestShots_Descriptions(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"holds the separator", "n,e,z,desc\n1,2,3,WALL, NORTH\n", "WALL, NORTH"},
		{"holds an inch mark", "n,e,z,desc\n1,2,3,TREE 6\"\n", `TREE 6"`},
		{"begins with a quote that never ends", "n,e,z,desc\n1,2,3,\"OLD WALL\n", `"OLD WALL`},
		{"quoted with a quote inside", "n,e,z,desc\n1,2,3,\"PIPE 4\"\" CI, OLD\"\n", `PIPE 4" CI, OLD`},
		{"words apart by blanks", "n e z desc\n1 2 3 OLD WALL\n", "OLD WALL"},
		{"bytes that are no UTF-8", "n,e,z,desc\n1,2,3,caf\xe9\n", "caf?"},
		{"empty", "n,e,z,desc\n1,2,3,\n", ""},
		{"left out", "n,e,z,desc\n1,2,3\n", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := readText(t, c.text, ShotOptions{Book: BookFeet}); got[0].Code != c.want {
				t.Errorf("code %q, want %q", got[0].Code, c.want)
			}
		})
	}
}

// A benchmark at 100.00 with the rod at 4.50: a drain read 5.12 lies at 99.38,
// a ridge read 4.20 at 100.30, 0.92 ft higher. Elevation = benchmark + its rod
// - reading, as in differential levelling.
func TestShots_DrainAndRidgeFromABenchmark(t *testing.T) {
	for _, c := range []struct {
		name, rows string
		book       BookUnit
		withinFt   float64
	}{
		{"decimal feet", "drain,0,0,5.12\nridge,10,0,4.20\n", BookFeet, 1e-9},
		{"feet and inches", "drain,0,0,5 ft 1-7/16 in\nridge,10,0,4 ft 2-3/8 in\n", BookFeetInches, 0.005},
		{"feet and inches, marks", "drain,0,0,5'-1 7/16\"\nridge,10,0,4' 2 3/8\"\n", BookFeetInches, 0.005},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := readText(t, "id,x,y,rod\n"+c.rows, ShotOptions{Book: c.book, SetUps: []survey.SetUp{{ID: "1", HI: unit.Feet(100 + 4.50)}}})
			drain, ridge := got[0].Elev.Feet(), got[1].Elev.Feet()
			if math.Abs(drain-99.38) > c.withinFt || math.Abs(ridge-100.30) > c.withinFt {
				t.Errorf("drain %.4f, ridge %.4f ft, want 99.38 and 100.30", drain, ridge)
			}
			if math.Abs(ridge-drain-0.92) > 2*c.withinFt {
				t.Errorf("the ridge is %.4f ft higher, want 0.92", ridge-drain)
			}
		})
	}
}

func TestShots_AsksAboutPlainNumbers(t *testing.T) {
	_, found := Shots(strings.NewReader("x,y,rod\n0,0,5.4\n10,0,5'-3\"\n"),
		ShotOptions{File: "book.csv", Book: BookFeetInches, SetUps: []survey.SetUp{{ID: "1", HI: unit.Feet(105)}}})
	if len(found) != 1 || !strings.Contains(found[0].Why, "5.4 ft or 5 ft 4 in") || found[0].Line != 2 {
		t.Errorf("5.4 gave %v", found)
	}
	_, found = Shots(strings.NewReader("x,y,z\n0,0,99.5\n"), ShotOptions{File: "book.csv"})
	if len(found) != 1 || !strings.Contains(found[0].Mend, "survey.unit") {
		t.Errorf("99.5 without unit gave %v", found)
	}
}

func TestShots_SurveyFeet(t *testing.T) {
	// The US survey foot is 1200/3937 m (Mendenhall Order, 1893): 3937 of them
	// are 1200 m.
	got := readText(t, "x,y,z\n0,0,3937\n", ShotOptions{Book: BookSurveyFeet})
	if m := got[0].Elev.Metres(); math.Abs(m-1200) > 1e-9 {
		t.Errorf("3937 survey feet are %.9f m, want 1200", m)
	}
}

func TestShots_ManyFaultsAreHeldAndCounted(t *testing.T) {
	var b strings.Builder
	b.WriteString("x,y,z\n")
	for i := range 5000 {
		fmt.Fprintf(&b, "1,2,%d.5\n", i)
	}
	text := b.String()
	shots, found := Shots(strings.NewReader(text), ShotOptions{File: "shots.csv", Book: BookFeetInches})
	if len(shots) != 0 || len(found) != held+1 {
		t.Fatalf("%d shots and %d problems, want 0 and %d", len(shots), len(found), held+1)
	}
	if last := found[held]; !strings.Contains(last.Why, "4000 more") {
		t.Errorf("the last problem is %v", last)
	}
}

// One fault on line after line is told five times, and once more with the lines
// that follow; every one counts. Other faults between them are told.
func TestShots_FaultsOfTheSameWords(t *testing.T) {
	text := "x,y,z\n" + strings.Repeat("1,2,high\n1,2,low\n", 10)
	_, found := Shots(strings.NewReader(text), ShotOptions{File: "shots.csv", Book: BookFeet})
	if len(found) != 12 {
		t.Fatalf("%d problems, want 12: %v", len(found), found)
	}
	for i, want := range []string{"(so on 5 lines: 12, 14, 16, 18, 20)", "(so on 5 lines: 13, 15, 17, 19, 21)"} {
		if p := found[10+i]; p.Line != 12+i || !strings.HasSuffix(p.Why, want) {
			t.Errorf("%v, want %s", p, want)
		}
	}
	for i, n := range []int{5, 6, 7, 100} {
		tally := Tally{}
		for l := range n {
			tally.Add(problem.Problem{Line: l + 1, Value: fmt.Sprint(l), Why: "is wrong"})
		}
		if got, want := tally.All(), min(n, 6); len(got) != want || tally.Faults != n || strings.Contains(got[want-1].Why, "so on") != (i > 1) {
			t.Errorf("%d of one kind: %v, %d faults", n, got, tally.Faults)
		}
	}
}

func TestShots_AllFaultsOfAFileAtOnce(t *testing.T) {
	_, found := Shots(strings.NewReader("x,y,z\n1,2,high\n1,2,3\n1,two,3\n1e9,2,3\n"),
		ShotOptions{File: "shots.csv", Book: BookFeet})
	var lines []int
	for _, p := range found {
		lines = append(lines, p.Line)
	}
	if len(lines) != 3 || lines[0] != 2 || lines[1] != 4 || lines[2] != 5 {
		t.Errorf("faults at lines %v, want 2, 4, 5", lines)
	}
}

// Counts and ranges were made with other readers and stand in the README of
// the data folder.
func TestShots_PublicFiles(t *testing.T) {
	data := os.Getenv("RUNNEL_DATA")
	if data == "" {
		t.Skip("RUNNEL_DATA is not set: the public survey files are not read")
	}
	metres := ShotOptions{Plan: unit.Metre, Book: BookMetres}
	for _, c := range []struct {
		file           string
		opt            ShotOptions
		shots          int
		x, y, z        [2]float64 // least and greatest, in the file's unit
		codes          int        // different ones; 0: none
		empty, inchish int        // codes empty, with a double quote
	}{
		{"pnezd_topo_1311_crlf.asc", ShotOptions{Book: BookFeet, Columns: []string{"point", "n", "e", "z", "code"}}, 1311,
			[2]float64{1454146.847, 1455709.870}, [2]float64{538402.685, 539259.644}, [2]float64{583.021, 701.098}, 156, 4, 2},
		{"xyz_header_crlf_extra_column.txt", metres, 10,
			[2]float64{289814.15, 289818.50}, [2]float64{4320978.61, 4320980.59}, [2]float64{170.58, 170.76}, 0, 0, 0},
		{"xyz_double_space_delimited.txt", metres, 10,
			[2]float64{289814.15, 289818.50}, [2]float64{4320978.61, 4320980.59}, [2]float64{170.58, 170.76}, 0, 0, 0},
		{"xyz_quoted_header.txt", metres, 9, [2]float64{0, 29}, [2]float64{1, 25}, [2]float64{2, 2}, 0, 0, 0},
	} {
		t.Run(c.file, func(t *testing.T) {
			in, err := os.Open(filepath.Join(data, "survey", c.file))
			if err != nil {
				t.Skipf("the data folder lacks it: %v", err)
			}
			defer in.Close()
			shots, found := Shots(in, c.opt)
			if err := found.Err(); err != nil {
				t.Fatal(err)
			}
			if len(shots) != c.shots {
				t.Fatalf("%d shots, want %d", len(shots), c.shots)
			}
			one := unit.Foot
			if c.opt.Plan != 0 {
				one = c.opt.Plan
			}
			spread(t, "x", shots, c.x, func(s survey.Shot) float64 { return s.At.X / one.Feet() })
			spread(t, "y", shots, c.y, func(s survey.Shot) float64 { return s.At.Y / one.Feet() })
			spread(t, "z", shots, c.z, func(s survey.Shot) float64 { return unit.RatioOf(s.Elev, one) })
			codes, empty, inchish := map[string]bool{}, 0, 0
			for _, s := range shots {
				if s.Code == "" {
					empty++
				} else if strings.Contains(s.Code, `"`) {
					inchish++
				}
				codes[s.Code] = true
			}
			if c.codes > 0 && (len(codes) != c.codes || empty != c.empty || inchish != c.inchish) {
				t.Errorf("%d codes, %d empty, %d with a quote; want %d, %d, %d", len(codes), empty, inchish,
					c.codes, c.empty, c.inchish)
			}
		})
	}
}

// spread compares the least and greatest of a figure to the three decimals of
// the README.
func spread(t *testing.T, name string, shots []survey.Shot, want [2]float64, of func(survey.Shot) float64) {
	t.Helper()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range shots {
		lo, hi = math.Min(lo, of(s)), math.Max(hi, of(s))
	}
	if math.Abs(lo-want[0]) > 0.0006 || math.Abs(hi-want[1]) > 0.0006 {
		t.Errorf("%s %.4f..%.4f, want %.3f..%.3f", name, lo, hi, want[0], want[1])
	}
}

// A reading with one decimal among forty with two is asked about where the book
// writes zeros out; where it does not, where such readings are a habit and in
// metres it is not.
func TestShots_OneDecimal(t *testing.T) {
	list := func(n int, last string, odd ...string) string {
		var b strings.Builder
		b.WriteString("id,x,y,rod\n")
		for i := range n {
			fmt.Fprintf(&b, "%d,%d,0,5.%02d\n", i+1, i, 1+i%8)
		}
		for i, rod := range append(odd, last) {
			fmt.Fprintf(&b, "Q%d,%d,9,%s\n", i, i, rod)
		}
		return b.String()
	}
	for _, c := range []struct {
		story, text string
		book        BookUnit
		want        int
	}{
		{"one", list(40, "5.40", "5.4"), BookFeet, 1},
		{"two", list(40, "5.40", "5.4", "5.3"), BookFeet, 2},
		{"the sheet drops zeros", list(40, "5.41", "5.4"), BookFeet, 0},
		{"a habit", list(40, "5.40", "5.4", "5.3", "5.2"), BookFeet, 0},
		{"a short list", list(18, "5.40", "5.4"), BookFeet, 0},
		{"metres", list(40, "5.40", "5.4"), BookMetres, 0},
		{"feet in the header", strings.Replace(list(40, "5.40", "5.4"), "rod", "rod_ft", 1), UnsetBook, 1},
	} {
		_, found := Shots(strings.NewReader(c.text), ShotOptions{File: "book.csv", Book: c.book,
			SetUps: []survey.SetUp{{ID: "1", HI: unit.Feet(105)}}})
		if len(found) != c.want {
			t.Errorf("%s: %v", c.story, found)
		}
		if c.want > 0 && (found[0].Line != 42 || found[0].Value != "Q0" || !strings.Contains(found[0].Why, "may be 5 ft 4 in") ||
			!strings.Contains(found[0].Mend, `5.40, or 5'-4"`)) {
			t.Errorf("%s: %v", c.story, found[0])
		}
	}
}
