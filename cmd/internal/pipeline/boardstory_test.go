package pipeline

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/unit"
	"runnel/taper"
)

// fourBoards is a stock of four boards at 1/4 in/ft, to 4-1/2 in, over flats of 4 in.
func fourBoards() *survey.Stock {
	s := &survey.Stock{Name: "four boards"}
	for k := range 4 {
		thin := unit.Inches(0.5 + float64(k))
		s.Tapered = append(s.Tapered, survey.TaperedBoard{Slope: unit.InchesPerFoot(0.25), Thin: thin, Thick: thin + unit.Inch,
			Along: 4 * unit.Foot, Depth: 4 * unit.Foot})
	}
	s.Flats = []survey.FlatBoard{{Thickness: 4 * unit.Inch, Along: 4 * unit.Foot, Depth: 4 * unit.Foot}}
	return s
}

// boardRoof is a level roof that is not surveyed, 40 ft deep, from four boards.
func boardRoof(t *testing.T, scheme string, lengthFt float64, outlet string) *survey.Job {
	t.Helper()
	job := jobOf(t, fmt.Sprintf("job: {name: Kestrel store, units: us}\nsurvey: none\nrules: us-reroof\n"+
		"taper: {scheme: %s, slope: 1/4 in/ft, start: 1/2 in, base: none}\nareas:\n  - name: A\n"+
		"    outline: [[0,0], [%g,0], [%g,40], [0,40]]\n    %s\n", scheme, lengthFt, lengthFt, outlet))
	job.Stock = fourBoards()
	return job
}

// boardsByMark sums what is to be ordered.
func boardsByMark(d *taper.Design) map[string]int {
	out := map[string]int{}
	for _, c := range d.Counts {
		out[c.Mark] += c.ToOrder
	}
	return out
}

// A roof of 40 x 40 ft to a gutter takes 30, 30, 20 and 20 boards and 80 of fill, 3,680 +
// 5,120 = 8,800 board feet. Counted by its area, 1,600 sq ft and 100 boards, it would
// miss the 5,120, 58 % of the whole: the reconciliation of the report says so.
func TestReconciliation_OfFill(t *testing.T) {
	job := boardRoof(t, "one-way", 40, "edges: [{edge: 0, kind: gutter}]")
	told := strings.Join(strings.Fields(reportOf(t, job)), " ")
	if w := lacks(told, "The pieces hold 8,800 board feet (fill 5,120 board feet, tapered 3,680 board feet), the facets' planes 8,800 board feet",
		"Counted by area alone (1,600 sq ft, 100 boards of taper) it would be 3,680 board feet: that count misses the fill, 5,120 board feet or 58 % of the whole"); w != "" {
		i := strings.Index(told, "Reconciliation")
		t.Errorf("the report lacks %q:\n%.600s", w, told[max(i, 0):])
	}
	got := boardsByMark(runJob(t, job).Areas[0].Design)
	if want := "map[1-1/2 to 2-1/2:30 1/2 to 1-1/2:30 2-1/2 to 3-1/2:20 3-1/2 to 4-1/2:20 4:80]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// A roof of 60 x 40 ft about its middle is found to be 64 ft long, the drain still 30 ft
// from the west wall: 180 tapered boards become 190, all ten more of the first mark; the
// east edge is 1/2 + 34/4 = 9.0 in thick for 8.0 (worked scenario).
func TestRoofFoundLonger(t *testing.T) {
	const drain = "outlets: [{id: D1, kind: drain, at: [30,20]}]"
	was, now := runJob(t, boardRoof(t, "four-way", 60, drain)).Areas[0].Design, runJob(t, boardRoof(t, "four-way", 64, drain)).Areas[0].Design
	marks := map[string]int{"1/2 to 1-1/2": 10, "1-1/2 to 2-1/2": 0, "2-1/2 to 3-1/2": 0, "3-1/2 to 4-1/2": 0}
	before, after := boardsByMark(was), boardsByMark(now)
	all := 0
	for mark, more := range marks {
		all += after[mark]
		if after[mark]-before[mark] != more || before[mark] == 0 {
			t.Errorf("%s: %d, was %d, want %d more", mark, after[mark], before[mark], more)
		}
	}
	if all != 190 {
		t.Errorf("%d tapered boards, want 190", all)
	}
	near(t, "thickest before", was.Insulation.ThickestIn, 8)
	near(t, "east edge", now.Insulation.ThickestIn, 9)
	near(t, "board feet", now.Insulation.CuFt*12, 12893+1./3)
}

// The two lower bounds of 60 x 40 ft about its middle, reckoned from the files by code of
// their own: widths of pieces at one depth force 176 tapered boards of four marks, 172 of
// two, for an area of 150; whole boards by row are 180 (worked scenario).
func TestBounds_OfFourWay(t *testing.T) {
	for _, c := range []struct {
		marks, cut int
		fillSqft   float64
	}{{4, 176, 1376}, {2, 172, 4000}} {
		job := boardRoof(t, "four-way", 60, "outlets: [{id: D1, kind: drain, at: [30,20]}]")
		job.Stock.Tapered = job.Stock.Tapered[:c.marks]
		job.Stock.Flats[0].Thickness = unit.Inches(float64(c.marks))
		a, err := designFor(job, true)
		if err != nil {
			t.Fatal(err)
		}
		holdFiles(t, fmt.Sprint(c.marks), job, a)
		r := fileRun{fileFaults: fileFaults{seen: map[string]bool{}}, cuts: map[string]map[string]string{}}
		r.readPlan(filesOf(t, job, a)["plan.geojson"])
		for _, l := range r.table(filesOf(t, job, a)["cuts.csv"]) {
			r.cuts[l["piece"]] = l
		}
		byMark, sqft, fill := map[string][]*filePlane{}, 0.0, 0.0
		for i := range r.boards {
			b := &r.boards[i]
			if !b.tapered() {
				fill += b.shape.sqft()
				continue
			}
			b.inStock = r.placed(b)
			byMark[b.Mark], sqft = append(byMark[b.Mark], b), sqft+b.shape.sqft()
		}
		cut := 0
		for _, pieces := range byMark {
			cut += int(math.Ceil(mostAcrossFt(pieces)/4 - 1e-6))
		}
		if cut != c.cut || len(byMark) != c.marks || math.Abs(sqft/16-150) > 1e-6 || math.Abs(fill-c.fillSqft) > 1e-4 {
			t.Errorf("%d marks: the widths force %d boards, the area %.3f; %.3f sq ft of fill", len(byMark), cut, sqft/16, fill)
		}
	}
}

// A metric roof of 18 x 12 m with base and cover keeps the laws of files, which are in feet.
func TestFileLaws_Metric(t *testing.T) {
	job := jobOf(t, "job: {name: Kestrel store, units: metric}\nsurvey: none\nrules: metric-falls\n"+
		"taper: {scheme: four-way, slope: \"1:60\", start: 20 mm, base: {layers: 2, thickness: 60 mm}, cover: 12 mm}\nareas:\n  - name: A\n"+
		"    outline: [[0,0], [18,0], [18,12], [0,12]]\n    outlets: [{id: D1, kind: drain, at: [7,5]}]\n")
	a, err := designFor(job, true)
	if err != nil {
		t.Fatal(err)
	}
	holdFiles(t, "metric", job, a)
	for _, c := range a.Design.Counts {
		if !regexp.MustCompile(`^\d+( to \d+)?$`).MatchString(c.Mark) {
			t.Errorf("mark %q is no whole millimetres", c.Mark)
		}
	}
}
