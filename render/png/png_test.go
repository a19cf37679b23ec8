package png

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	stdpng "image/png"
	"math"
	"strings"
	"sync"
	"testing"

	"runnel/render/scene"
	"runnel/survey/unit"
)

func square(x0, y0, x1, y1 float64) []scene.Pt {
	q := scene.Rect(scene.Pt{X: x0, Y: y0}, scene.Pt{X: x1, Y: y1})
	return q[:]
}

func sheetOf(marks ...scene.Mark) scene.Scene {
	return scene.Scene{W: unit.Inches(4), H: unit.Inches(3), Marks: marks}
}

func read(t *testing.T, s scene.Scene, dpi int) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, s, dpi); err != nil {
		t.Fatal(err)
	}
	img, err := stdpng.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// pixel is the colour at a place in sheet inches.
func pixel(img image.Image, dpi, x, y float64) color.NRGBA {
	h := float64(img.Bounds().Dy())
	return color.NRGBAModel.Convert(img.At(int(x*dpi), int(h-y*dpi))).(color.NRGBA)
}

func TestWrite_SizeAndPlaces(t *testing.T) {
	blue := color.NRGBA{0x20, 0x60, 0xa0, 255}
	s := sheetOf(
		scene.Shape{Name: "holed", Rings: [][]scene.Pt{square(1, 1, 3, 2), square(1.8, 1.3, 2.2, 1.7)}, Fill: blue},
		scene.Line{Name: "line", Pts: []scene.Pt{{X: 0.5, Y: 0.5}, {X: 3.5, Y: 0.5}}, Pen: scene.Pen{WidthPt: 4, Ink: scene.Black()}},
	)
	for _, dpi := range []int{0, 72, 150, 300} {
		img := read(t, s, dpi)
		d := float64(dpi)
		if dpi == 0 {
			d = DefaultDPI
		}
		if b := img.Bounds(); b.Dx() != int(4*d) || b.Dy() != int(3*d) {
			t.Fatalf("dpi %d: %v", dpi, b)
		}
		for _, c := range []struct {
			story string
			x, y  float64
			want  color.NRGBA
		}{
			{"in the shape", 1.2, 1.2, blue}, {"high in the shape", 2.8, 1.95, blue},
			{"in its hole", 2, 1.5, scene.White()}, {"off it", 0.2, 2.8, scene.White()},
			{"on the line", 2, 0.5, scene.Black()}, {"beside the line", 2, 0.6, scene.White()},
		} {
			if got := pixel(img, d, c.x, c.y); got != c.want {
				t.Errorf("dpi %d, %s: %v, want %v", dpi, c.story, got, c.want)
			}
		}
	}
}

// The ink of words fills the box that the layout reckons with and no more.
func TestWrite_WordsFillTheirBox(t *testing.T) {
	const dpi = 200
	for _, turn := range []float64{0, 90, 37, -60} {
		for _, bold := range []bool{false, true} {
			m := scene.Text{Name: "t", Words: "H12 g|H", At: scene.Pt{X: 2, Y: 1.5}, SizePt: 30, TurnDeg: turn,
				Across: 0.5, Up: 0.5, Bold: bold, Ink: scene.Black()}
			img := read(t, sheetOf(m), dpi)
			lo, hi := inkBounds(img, dpi)
			wantLo, wantHi := m.Box().Bounds()
			slack := 0.06 // the bearings of H, and the bar's over-height
			for _, d := range []float64{lo.X - wantLo.X, lo.Y - wantLo.Y, wantHi.X - hi.X, wantHi.Y - hi.Y} {
				if d < -0.04 || d > slack+0.1*math.Abs(math.Sin(turn*math.Pi/90)) {
					t.Errorf("turn %v bold %v: ink %v %v, box %v %v", turn, bold, lo, hi, wantLo, wantHi)
					break
				}
			}
		}
	}
}

func inkBounds(img image.Image, dpi float64) (lo, hi scene.Pt) {
	b := img.Bounds()
	lo, hi = scene.Pt{X: 1e9, Y: 1e9}, scene.Pt{X: -1e9, Y: -1e9}
	for y := range b.Dy() {
		for x := range b.Dx() {
			if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
				px, py := float64(x)/dpi, float64(b.Dy()-y)/dpi
				lo.X, lo.Y = math.Min(lo.X, px), math.Min(lo.Y, py)
				hi.X, hi.Y = math.Max(hi.X, px), math.Max(hi.Y, py)
			}
		}
	}
	return lo, hi
}

func TestWrite_Refuses(t *testing.T) {
	text := scene.Text{Name: "t", Words: "⌀ 4 in", At: scene.Pt{X: 1, Y: 1}, SizePt: 8, Ink: scene.Black()}
	nan := scene.Line{Name: "n", Pts: []scene.Pt{{X: 1, Y: 1}, {X: math.NaN(), Y: 2}}, Pen: scene.Pen{WidthPt: 1}}
	far := scene.Line{Name: "n", Pts: []scene.Pt{{X: 1, Y: 1}, {X: 1e8, Y: 2}}, Pen: scene.Pen{WidthPt: 1}}
	cases := []struct {
		story string
		s     scene.Scene
		dpi   int
		want  string
	}{
		{"a missing glyph", sheetOf(text), 0, "⌀"},
		{"no number for a place", sheetOf(nan), 0, "far off"},
		{"a place a thousand miles off", sheetOf(far), 0, "far off"},
		{"an empty sheet", scene.Scene{}, 0, "0 x 0"},
		{"too fine", sheetOf(), 5000, "5000"},
		{"negative dots", sheetOf(), -1, "-1"},
	}
	for _, c := range cases {
		var b bytes.Buffer
		if err := Write(&b, c.s, c.dpi); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.story, err)
		}
		if b.Len() > 0 {
			t.Errorf("%s: %d bytes written", c.story, b.Len())
		}
	}
}

// Two writes of one scene give the same bytes, in one goroutine and in many.
func TestWrite_SameBytes(t *testing.T) {
	var marks []scene.Mark
	for k := range 40 {
		x := 0.1 + 0.09*float64(k)
		marks = append(marks, scene.Shape{Name: "s", Rings: [][]scene.Pt{square(x, 0.2, x+0.07, 2)},
			Hatch: scene.Hatch{GapPt: 3, TurnDeg: 45, Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.4)}},
			Pen:   scene.Pen{WidthPt: 0.7, Ink: scene.Black(), DashPt: []float64{3, 2}}})
	}
	marks = append(marks, scene.Text{Name: "t", Words: "turned", At: scene.Pt{X: 2, Y: 2.3}, SizePt: 9, TurnDeg: 30, Halo: true, Ink: scene.Black()},
		scene.Text{Name: "t", Words: "upright", At: scene.Pt{X: 1, Y: 2.5}, SizePt: 9, Halo: true, Ink: scene.Black()})
	out := make([]bytes.Buffer, 4)
	errs := make([]error, len(out))
	var wg sync.WaitGroup
	for k := range out {
		wg.Go(func() { errs[k] = Write(&out[k], sheetOf(marks...), 100) })
	}
	wg.Wait()
	for k := range out {
		if errs[k] != nil || !bytes.Equal(out[k].Bytes(), out[0].Bytes()) {
			t.Errorf("write %d differs: %v", k, errs[k])
		}
	}
}

func ExampleWrite() {
	s := scene.Scene{W: unit.Inches(11), H: unit.Inches(8.5), Marks: []scene.Mark{
		scene.Text{Name: "title", Words: "D1", At: scene.Pt{X: 1, Y: 1}, SizePt: 8, Ink: scene.Black()},
	}}
	var b bytes.Buffer
	err := Write(&b, s, 150)
	img, _ := stdpng.DecodeConfig(&b)
	fmt.Println(img.Width, img.Height, err)
	// Output: 1650 1275 <nil>
}
