package scene

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"

	"runnel/survey/geom"
	"runnel/survey/unit"
)

func sheetOf(marks ...Mark) Scene {
	return Scene{W: unit.Inches(11), H: unit.Inches(8.5), Marks: marks}
}

func label(words string, x, y float64) Text {
	return Text{Name: "label", Words: words, At: Pt{x, y}, SizePt: 8, Ink: Black()}
}

func TestCheck(t *testing.T) {
	small := label("too small", 2, 2)
	small.SizePt = 6.9
	nan := Line{Name: "nan", Pts: []Pt{{1, 1}, {math.NaN(), 2}}, Pen: Pen{WidthPt: 1}}
	steep := label("across", 5, 5)
	steep.TurnDeg = 90
	cases := []struct {
		story string
		scene Scene
		want  string // in the error; "": sound
	}{
		{"two labels apart", sheetOf(label("12", 1, 1), label("13", 2, 1)), ""},
		{"two labels on one place", sheetOf(label("12", 1, 1), label("13", 1.02, 1)), "over"},
		{"a turned label crosses another", sheetOf(steep, label("under it", 4.8, 5.1)), "over"},
		{"a turned label beside another", sheetOf(steep, label("beside", 5.1, 5.1)), ""},
		{"over the right border", sheetOf(label("long words", 10.8, 1)), "off the sheet"},
		{"under the lower border by its descent", sheetOf(label("gy", 1, 0.005)), "off the sheet"},
		{"under the least height", sheetOf(small), "6.9 pt"},
		{"a letter that the font lacks", sheetOf(label("⅓ in", 1, 1)), "no"},
		{"no number for a place", sheetOf(nan), "far off"},
		{"a dash of nothing", sheetOf(Line{Name: "d", Pts: []Pt{{1, 1}, {2, 2}}, Pen: Pen{WidthPt: 1, DashPt: []float64{0}}}), "dash"},
		{"a line of one place", sheetOf(Line{Name: "d", Pts: []Pt{{1, 1}}}), "two places"},
		{"no sheet", Scene{}, "sheet of"},
	}
	for _, c := range cases {
		err := c.scene.Check()
		if c.want == "" && err != nil {
			t.Errorf("%s: %v", c.story, err)
		}
		if c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: got %v, want %q", c.story, err, c.want)
		}
	}
}

// The widths that layout reckons with are those that a drawing library
// measures.
func TestTextWidth_MeasuredByOpentype(t *testing.T) {
	for _, f := range []struct {
		ttf  []byte
		bold bool
	}{{goregular.TTF, false}, {gobold.TTF, true}} {
		parsed, err := opentype.Parse(f.ttf)
		if err != nil {
			t.Fatal(err)
		}
		face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: 720, DPI: 72})
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range []string{"1/2 to 1-1/2", `12'-3 1/2"`, "AVAToyWa", "START row 12: 2", "¼ in/ft, 38 m²"} {
			want := float64(font.MeasureString(face, w)) / 64 / 72
			if got := TextWidth(w, 720, f.bold); math.Abs(got-want) > 0.001*want {
				t.Errorf("%q bold %v: %v in, opentype %v", w, f.bold, got, want)
			}
		}
	}
}

// Which glyphs the Go fonts hold was read from the fonts themselves with
// another program.
func TestMissing(t *testing.T) {
	for _, isBold := range []bool{false, true} {
		if got := Missing("¼½¾⅛⅜⅝⅞′″°±×≤≥∆←↑→↓⁷⁄₁₆m²", isBold); len(got) > 0 {
			t.Errorf("bold %v: %q counted as missing", isBold, string(got))
		}
		if got := string(Missing("a⅓⅔⅙↗↘△▽⌀∅z", isBold)); got != "⅓⅔⅙↗↘△▽⌀∅" {
			t.Errorf("bold %v: missing %q", isBold, got)
		}
	}
	if got := Printable("屋 roof\tA\n"); got != "? roof A " {
		t.Errorf("Printable: %q", got)
	}
}

func TestTextBox(t *testing.T) {
	m := Text{Words: "HIGH", SizePt: 72, At: Pt{3, 3}}
	w, c := TextWidth("HIGH", 72, false), CapHeight(72, false)
	if c < 0.65 || c > 0.8 {
		t.Fatalf("capitals of %v em", c)
	}
	cases := []struct {
		story      string
		across, up float64
		x0, y1, x1 float64 // left, cap line, right
	}{
		{"from its left end", 0, 0, 3, 3 + c, 3 + w},
		{"by its middle", 0.5, 0.5, 3 - w/2, 3 + c/2, 3 + w/2},
		{"by its right top", 1, 1, 3 - w, 3, 3},
	}
	for _, k := range cases {
		m.Across, m.Up = k.across, k.up
		lo, hi := m.Box().Bounds()
		if math.Abs(lo.X-k.x0) > 1e-9 || math.Abs(hi.X-k.x1) > 1e-9 || math.Abs(hi.Y-k.y1) > 1e-9 || !(lo.Y < hi.Y-c) {
			t.Errorf("%s: %v %v", k.story, lo, hi)
		}
	}
	m.Across, m.Up, m.TurnDeg = 0, 0, 90
	if lo, hi := m.Box().Bounds(); math.Abs(hi.Y-3-w) > 1e-9 || math.Abs(lo.X-(3-c)) > 1e-9 {
		t.Errorf("turned: %v %v", lo, hi)
	}
}

func randomQuad(r *rand.Rand) Quad {
	a := Pt{r.Float64() * 4, r.Float64() * 4}
	sin, cos := math.Sincos(r.Float64() * 7)
	return Strip(a, a.Add(Pt{cos, sin}.Mul(0.1+2*r.Float64())), 0.05+0.5*r.Float64())
}

func poly(q Quad) geom.Poly {
	var out geom.Ring
	for _, p := range q {
		out = append(out, geom.Pt(p))
	}
	return geom.Poly{Outer: out.CCW()}
}

// Overlap by separating axes agrees with the area that an overlay library
// finds.
func TestQuadOverlaps_AgreesWithOverlay(t *testing.T) {
	const seed = 7
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	met := 0
	for range 2000 {
		a, b := randomQuad(r), randomQuad(r)
		parts, err := geom.Intersect(poly(a), poly(b))
		if err != nil {
			t.Fatal(err)
		}
		area := 0.0
		for _, p := range parts {
			area += p.Area()
		}
		if area > 1e-9 && area < 1e-5 {
			continue // a touch
		}
		if got := a.Overlaps(b); got != (area > 0) {
			t.Fatalf("%v %v: overlaps %v, common area %v", a, b, got, area)
		}
		if a.Overlaps(b) {
			met++
		}
	}
	if met < 200 || met > 1800 {
		t.Fatalf("%d of 2000 pairs overlap: no test", met)
	}
}

// A Room answers as a look at every rectangle does.
func TestRoom_AgreesWithAll(t *testing.T) {
	const seed = 8
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	room := NewRoom(6, 6)
	var taken []Quad
	for range 600 {
		q := randomQuad(r)
		want := -1
		for k, o := range taken {
			if o.Overlaps(q) {
				want = k
				break
			}
		}
		if got := room.Meets(q); got != want {
			t.Fatalf("%v meets %d, want %d", q, got, want)
		}
		if want < 0 || len(taken) < 30 {
			room.Take(q)
			taken = append(taken, q)
		}
	}
}

// The hatch covers a region as evenly as its gap says, and keeps to it.
func TestHatchLines(t *testing.T) {
	rings := [][]Pt{{{1, 1}, {7, 1.5}, {6, 6}, {2, 5}}, {{3, 2}, {5, 2}, {5, 4}, {3, 4}}}
	p := geom.Poly{}
	for _, q := range rings[0] {
		p.Outer = append(p.Outer, geom.Pt(q))
	}
	var hole geom.Ring
	for _, q := range rings[1] {
		hole = append(hole, geom.Pt(q))
	}
	p.Holes = []geom.Ring{hole}
	for _, turn := range []float64{0, 30, 45, 90, 135} {
		m := Shape{Rings: rings, Hatch: Hatch{GapPt: 2, TurnDeg: turn, Pen: Pen{WidthPt: 0.5}}}
		sum := 0.0
		for _, l := range m.HatchLines() {
			sum += l[1].Sub(l[0]).Norm()
			if !p.Has(geom.Pt(l[0].Lerp(l[1], 0.5))) {
				t.Fatalf("turn %v: %v off the region", turn, l)
			}
		}
		if got := sum * 2 / 72; math.Abs(got-p.Area()) > 0.01*p.Area() {
			t.Errorf("turn %v: hatch stands for %v sq in, region %v", turn, got, p.Area())
		}
	}
	if (Shape{Rings: rings}).HatchLines() != nil {
		t.Error("a hatch without a gap")
	}
	hostile := Shape{Rings: rings, Hatch: Hatch{GapPt: 1e-9, Pen: Pen{WidthPt: 1}}}
	if n := len(hostile.HatchLines()); n > 2*mostHatchLines {
		t.Errorf("%d lines", n)
	}
}

func TestText_IsSortedAndRounded(t *testing.T) {
	s := sheetOf(
		Line{Name: "valley 2", Pts: []Pt{{1.004, 2}, {3.333, -0.001}}, Pen: Pen{WidthPt: 1.5, Ink: Black(), DashPt: []float64{12, 3}}},
		label("D1", 10, 8),
		Shape{Name: "board 2", Rings: [][]Pt{{{0, 0}, {1, 0}, {1, 1}}}, Fill: White(), Hatch: Hatch{GapPt: 4, TurnDeg: 45}},
	)
	want := `sheet 11 x 8.5 in
board 2 | shape fill #ffffff hatch 4 at 45 : 0,0 1,0 1,1
label | text "D1" 8 pt anchor 0,0 : 10,8
valley 2 | line pen 1.5 #000000 dash 12-3 : 1,2 3.33,0
`
	if got := s.Text(); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestArrow_TipFirst(t *testing.T) {
	a := Arrow(Pt{1, 1}, Pt{3, 1}, 0.02, 0.1)
	if a[0] != (Pt{3, 1}) || a[3].Lerp(a[4], 0.5).Sub(Pt{1, 1}).Norm() > 1e-12 {
		t.Errorf("%v", a)
	}
	if Arrow(Pt{1, 1}, Pt{1, 1}, 0.02, 0.1) != nil {
		t.Error("an arrow of no length")
	}
}

func TestZeroValues(t *testing.T) {
	if s := (Scene{}); s.Check() == nil || s.Text() == "" {
		t.Error("an empty scene passes or has no text")
	}
	for _, m := range []Mark{Shape{}, Line{}, Text{}} {
		if sheetOf(m).Check() == nil {
			t.Errorf("%T: the zero mark passes", m)
		}
	}
}
