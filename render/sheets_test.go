package render

import (
	"bytes"
	"flag"
	"fmt"
	"image/color"
	stdpng "image/png"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"runnel/render/png"
	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

var update = flag.Bool("update", false, "write the golden files anew")

// namedSheet is a sheet and what it shows.
type namedSheet struct {
	name  string
	scene scene.Scene
}

// allSheets draws every sheet of area 0.
func allSheets(r *Result) []namedSheet {
	out := []namedSheet{
		{"existing", ExistingSheet(r, 0)}, {"survey", SurveySheet(r, 0)}, {"ponding", PondingSheet(r, 0)}, {"taper", TaperSheet(r, 0)},
		{"slopes", SlopesSheet(r, 0)}, {"structure", StructureSheet(r, 0)},
	}
	for _, s := range append(SectionSheets(r, 0), PlacementSheets(r, 0)...) {
		out = append(out, namedSheet{s.Name, s.Scene})
	}
	return out
}

// roofs are the results that every law is held to.
func roofs() map[string]*Result {
	metric := roofOf(lJob(), 6)
	metric.Job.Units = unit.Metric
	plan := roofOf(rectangleJob(), 5)
	plan.Areas[0].Fit = nil
	bare := roofOf(rectangleJob(), 5)
	bare.Areas[0].Design, bare.Areas[0].Proof, bare.Areas[0].Existing = nil, nil, nil
	turned := roofOf(lJob(), 6)
	moveResult(turned, func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X*0.8 - p.Y*0.6, Y: p.X*0.6 + p.Y*0.8} })
	return map[string]*Result{
		"bare rectangle": roofOf(rectangleJob(), 5), "L": roofOf(lJob(), 6), "L in metres": metric,
		"L off the sheet's axes": turned, "plan only": plan, "nothing computed": bare,
	}
}

// tinyJob is a roof small enough for its golden text to be read.
func tinyJob() *Result {
	j := rectangleJob()
	a := &j.Areas[0]
	a.Outline = geom.Ring{{X: 0, Y: 0}, {X: 12, Y: 0}, {X: 12, Y: 16}, {X: 0, Y: 16}}
	a.Outlets[0].At = geom.Pt{X: 6, Y: 8}
	j.Name = "Golden shed"
	return roofOf(j, 5)
}

func TestSheets_Golden(t *testing.T) {
	for _, s := range allSheets(tinyJob()) {
		path := filepath.Join("testdata", "golden", s.name+".txt")
		got := s.scene.Text()
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if d := firstDifference(got, string(want)); d != "" {
			t.Errorf("%s: %s\nrun with -update if the change is meant", s.name, d)
		}
	}
}

// firstDifference is the first line of got that is not in want, or the other
// way round; "" where they are equal.
func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for k := range max(len(g), len(w)) {
		switch {
		case k >= len(g):
			return "missing: " + w[k]
		case k >= len(w):
			return "new: " + g[k]
		case g[k] != w[k]:
			return "got " + g[k] + "\nwant " + w[k]
		}
	}
	return ""
}

// The golden test can fail: one mark altered, moved or left out is seen.
func TestSheets_GoldenCanFail(t *testing.T) {
	s := TaperSheet(tinyJob(), 0)
	want, err := os.ReadFile(filepath.Join("testdata", "golden", "taper.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for k, m := range s.Marks {
		altered := s
		altered.Marks = slices.Clone(s.Marks)
		switch m := m.(type) {
		case scene.Text:
			m.Words += "!"
			altered.Marks[k] = m
		case scene.Line:
			m.Pts = slices.Clone(m.Pts)
			m.Pts[0].X += 0.02
			altered.Marks[k] = m
		case scene.Shape:
			altered.Marks = slices.Delete(altered.Marks, k, k+1)
		}
		if firstDifference(altered.Text(), string(want)) == "" {
			t.Fatalf("mark %s altered, and the golden test passes", m)
		}
	}
}

// Every label lies on the sheet, off every other, large enough, with glyphs.
func TestSheets_Check(t *testing.T) {
	for name, r := range roofs() {
		for _, s := range allSheets(r) {
			if err := s.scene.Check(); err != nil {
				t.Errorf("%s, %s: %v", name, s.name, err)
			}
		}
	}
}

func textsOf(s scene.Scene) []scene.Text {
	var out []scene.Text
	for _, m := range s.Marks {
		if t, ok := m.(scene.Text); ok {
			out = append(out, t)
		}
	}
	return out
}

func wordsOf(s scene.Scene) string {
	var b strings.Builder
	for _, t := range textsOf(s) {
		b.WriteString(t.Words + " ")
	}
	return b.String()
}

// What must stand on every sheet.
func TestSheets_Cautions(t *testing.T) {
	for name, r := range roofs() {
		for _, s := range allSheets(r) {
			all := wordsOf(s.scene)
			want := []string{r.Job.Name[:10], "Drainage geometry, not structural design.", "N", "Legend", "Scale on "}
			if r.Areas[0].Fit == nil {
				want = append(want, "NOT SURVEYED - LEVEL DECK ASSUMED", "unknown")
			} else {
				want = append(want, "deck inferred")
			}
			for _, w := range want {
				if w == "N" && strings.HasPrefix(s.name, "section") {
					continue // a cut has no north
				}
				if !strings.Contains(all, w) {
					t.Errorf("%s, %s: no %q", name, s.name, w)
				}
			}
			if r.Areas[0].Fit != nil && strings.Contains(all, "NOT SURVEYED") {
				t.Errorf("%s, %s: surveyed, and says it is not", name, s.name)
			}
		}
	}
}

// Every board is drawn once and only once, on the sheet of its layer, and the
// schedule there counts what is drawn.
func TestPlacementSheets_DrawnIsCounted(t *testing.T) {
	for name, r := range roofs() {
		d := r.Areas[0].Design
		if d == nil {
			if len(PlacementSheets(r, 0)) > 0 {
				t.Errorf("%s: sheets without a design", name)
			}
			continue
		}
		drawn := map[string]int{}
		for n, named := range wholeLayers(r) {
			s := named.Scene
			byMark := map[string]int{}
			all := 0
			for _, m := range s.Marks {
				if sh, ok := m.(scene.Shape); ok && strings.HasPrefix(sh.Name, "board ") {
					drawn[fmt.Sprintf("%d %s", n+1, sh.Name)]++
					mark, _, _ := strings.Cut(strings.TrimPrefix(sh.Name, "board "), " facet")
					byMark[mark]++
					all++
				}
			}
			byMark["all"] = all
			for mark, got := range schedule(t, s) {
				if byMark[mark] != got {
					t.Errorf("%s, layer %d: schedule %d of %q, drawn %d", name, n+1, got, mark, byMark[mark])
				}
				delete(byMark, mark)
			}
			if len(byMark) > 0 {
				t.Errorf("%s, layer %d: %v drawn and not in the schedule", name, n+1, byMark)
			}
		}
		for _, b := range d.Boards {
			if k := fmt.Sprintf("%d %s", b.Layer, boardName(b)); drawn[k] != 1 {
				t.Errorf("%s: %s drawn %d times", name, k, drawn[k])
			}
		}
		if len(drawn) != len(d.Boards) {
			t.Errorf("%s: %d boards, %d drawn", name, len(d.Boards), len(drawn))
		}
	}
}

// wholeLayers are the placement sheets of area 0 without those of parts, the lowest
// layer first.
func wholeLayers(r *Result) []NamedScene {
	return slices.DeleteFunc(PlacementSheets(r, 0), func(s NamedScene) bool { return strings.Contains(s.Name, "-part-") })
}

// schedule reads pieces by mark off the sheet, as a person would: words that
// stand on one line.
func schedule(t *testing.T, s scene.Scene) map[string]int {
	t.Helper()
	rows := map[float64][]scene.Text{}
	for _, w := range textsOf(s) {
		if w.Name == "counts" {
			rows[w.At.Y] = append(rows[w.At.Y], w)
		}
	}
	out := map[string]int{}
	for _, r := range rows {
		slices.SortFunc(r, func(a, b scene.Text) int { return int(1000 * (a.At.X - b.At.X)) })
		if len(r) < 3 || r[0].Words == "mark" {
			continue
		}
		n, err := strconv.Atoi(strings.ReplaceAll(r[len(r)-2].Words, ",", ""))
		if err != nil {
			t.Fatalf("schedule line %v: %v", r, err)
		}
		out[r[0].Words] = n
	}
	return out
}

// The pixels of the PNG say what the sheet shows.
func TestSheets_Pixels(t *testing.T) {
	r := roofOf(lJob(), 6)
	sheet := newSheet(r, 0)
	s := PondingSheet(r, 0)
	const dpi = 150
	var first, second bytes.Buffer
	if err := png.Write(&first, s, dpi); err != nil {
		t.Fatal(err)
	}
	if err := png.Write(&second, s, dpi); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Errorf("two writes differ, %v", err)
	}
	img, err := stdpng.Decode(&first)
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 1650 || b.Dy() != 1275 {
		t.Fatalf("sheet of %v", b)
	}
	near := func(p geom.Pt, is func(c color.NRGBA) bool) bool {
		q := sheet.loc(p)
		n := 0
		for dy := -3; dy <= 3; dy++ {
			for dx := -3; dx <= 3; dx++ {
				c := color.NRGBAModel.Convert(img.At(int(q.X*dpi)+dx, int((8.5-q.Y)*dpi)+dy)).(color.NRGBA)
				if is(c) {
					n++
				}
			}
		}
		return n > 0
	}
	blue := func(c color.NRGBA) bool { return int(c.B) > int(c.R)+20 }
	for _, p := range r.Areas[0].Existing.Ponds {
		if !near(p.Deepest, blue) {
			t.Errorf("pond %s is not pond-coloured at its deepest place", p.ID)
		}
	}
	black := func(c color.NRGBA) bool { return c.R < 60 && c.G < 60 && c.B < 60 }
	for _, o := range r.Areas[0].Site.Outlets {
		if o.Edge < 0 && !near(o.P, black) {
			t.Errorf("no cross at drain %s", o.ID)
		}
	}
	if near(geom.Pt{X: 0.37 * 60, Y: 0}, blue) && near(geom.Pt{X: 1, Y: 1}, blue) {
		t.Error("dry places are pond-coloured")
	}
}

// Ponds are told apart in grey: each band is darker than the one above it, and
// so are the thickness bands.
func TestRamps_DarkenInGrey(t *testing.T) {
	for name, r := range map[string]ramp{"water": waterRamp(), "thickness": thicknessRamp(), "elevation": elevationRamp(), "slope": slopeRamp()} {
		last := 256.0
		for k := range 11 {
			c := r.at(float64(k) / 10)
			grey := 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B) // ITU-R BT.601
			if grey > last-3 {
				t.Errorf("%s ramp at %d tenths: grey %.0f after %.0f", name, k, grey, last)
			}
			last = grey
		}
		if r.at(-1) != r.at(0) || r.at(2) != r.at(1) {
			t.Errorf("%s ramp runs past its ends", name)
		}
	}
}

func TestWrap(t *testing.T) {
	cases := []struct {
		story, text string
		most        int
		want        string
	}{
		{"short", "one two", 3, "one two"},
		{"nothing", "", 3, ""},
		{"a long name", strings.Repeat("abc ", 40), 2, "..."},
		{"a word without end", strings.Repeat("x", 500), 3, "..."},
		{"no Latin", strings.Repeat("屋", 300), 2, "..."},
	}
	for _, c := range cases {
		got := wrap(c.text, columnIn, bodyPt, false, c.most)
		if len(got) > c.most || !strings.HasSuffix(strings.Join(got, "|"), c.want) {
			t.Errorf("%s: %q", c.story, got)
		}
		for _, w := range got {
			if scene.TextWidth(w, bodyPt, false) > columnIn+1e-9 {
				t.Errorf("%s: %q is wider than the column", c.story, w)
			}
		}
	}
}

// Degenerate input draws a sheet and never panics.
func TestSheets_Degenerate(t *testing.T) {
	cases := map[string]func(*Result){
		"no site":            func(r *Result) { r.Areas[0].Site = nil },
		"no job":             func(r *Result) { r.Job = nil },
		"no boards":          func(r *Result) { r.Areas[0].Design.Boards = nil },
		"an empty design":    func(r *Result) { r.Areas[0].Design = &taper.Design{} },
		"no ponds, no paths": func(r *Result) { r.Areas[0].Existing.Ponds, r.Areas[0].Existing.Paths = nil, nil },
		"no outlets":         func(r *Result) { r.Areas[0].Site.Outlets = nil },
		"no shots":           func(r *Result) { r.Areas[0].Site.Shots, r.Areas[0].Area.Shots = nil, nil },
		"a name of 5,000 letters": func(r *Result) {
			r.Job.Name = strings.Repeat("Long ", 1000)
			r.Areas[0].Area.Name = strings.Repeat("屋", 500)
		},
		"an outlet name of 500 letters": func(r *Result) { r.Areas[0].Site.Outlets[0].ID = strings.Repeat("D", 500) },
		"a level surface": func(r *Result) {
			for k := range r.Areas[0].Fit.Surface.ElevIn {
				r.Areas[0].Fit.Surface.ElevIn[k] = 7
			}
		},
		"60 marks in a layer": func(r *Result) {
			for k := range 60 {
				r.Areas[0].Design.Counts = append(r.Areas[0].Design.Counts, taper.Count{Layer: 1, Mark: fmt.Sprint("m", k)})
			}
		},
	}
	for story, spoil := range cases {
		r := roofOf(rectangleJob(), 8)
		spoil(r)
		for _, s := range allSheets(r) {
			if err := s.scene.Check(); err != nil {
				t.Errorf("%s, %s: %v", story, s.name, err)
			}
		}
	}
}
