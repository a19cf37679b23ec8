package render

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
)

// facetOf reads the facet out of the name of a mark.
func facetOf(name string) (facet int, ok bool) {
	_, rest, found := strings.Cut(name, "facet ")
	n, _ := fmt.Sscanf(rest, "%d", &facet)
	return facet, found && n == 1
}

// Where to start is said for every plane of every layer, on its sheet or one of its
// parts, and every row has words on the plan or a line in the table.
func TestPlacementSheets_StartOnEveryPlane(t *testing.T) {
	all := roofs()
	all["a large L"] = scaledRoof(2)
	for name, r := range all {
		planes, started := map[string]bool{}, map[string]bool{}
		for _, s := range PlacementSheets(r, 0) {
			layer, _, _ := strings.Cut(s.Name, "-part-")
			if s.Wordless > 0 {
				t.Errorf("%s, %s: %d rows without words", name, s.Name, s.Wordless)
			}
			for _, m := range s.Scene.Marks {
				switch m := m.(type) {
				case scene.Shape:
					if f, ok := facetOf(m.Name); ok && strings.HasPrefix(m.Name, "board ") {
						planes[fmt.Sprint(layer, " plane ", f)] = true
					}
				case scene.Text:
					if f, ok := facetOf(m.Name); ok && strings.HasPrefix(m.Words, "START") {
						started[fmt.Sprint(layer, " plane ", f)] = true
					}
				}
			}
		}
		for f := range planes {
			if !started[f] {
				t.Errorf("%s, %s does not say where to start", name, f)
			}
		}
	}
}

// A roof whose rows are too fine for words comes in parts that show every board
// at a scale that has room for words, and nothing off the frame.
func TestPlacementSheets_Parts(t *testing.T) {
	r := scaledRoof(4)
	sheets := PlacementSheets(r, 0)
	drawn, parts := map[string]bool{}, map[string]int{}
	words := 0
	for _, s := range sheets {
		if err := s.Scene.Check(); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		layer, _, ok := strings.Cut(s.Name, "-part-")
		if !ok {
			continue
		}
		parts[layer]++
		if want := fmt.Sprintf("%s-part-%d", layer, parts[layer]); s.Name != want {
			t.Errorf("part named %s, want %s", s.Name, want)
		}
		for _, m := range s.Scene.Marks {
			switch m := m.(type) {
			case scene.Shape:
				if strings.HasPrefix(m.Name, "board ") {
					drawn[layer+m.Name] = true
				}
			case scene.Text:
				if strings.HasPrefix(m.Name, "row ") || strings.HasPrefix(m.Name, "board ") {
					words++
				}
			}
		}
		if text := wordsOf(s.Scene); !strings.Contains(text, fmt.Sprintf("Part %d of", parts[layer])) {
			t.Errorf("%s does not say which part it is", s.Name)
		}
	}
	if len(parts) == 0 || words == 0 {
		t.Fatalf("parts %v, %d words", parts, words)
	}
	for layer, n := range parts {
		if n < 2 || n > mostParts {
			t.Errorf("%s: %d parts", layer, n)
		}
	}
	for _, b := range r.Areas[0].Design.Boards {
		layer := fmt.Sprintf("placement-%d", b.Layer)
		if parts[layer] > 0 && !drawn[layer+boardName(b)] {
			t.Fatalf("%s of layer %d is on no part", boardName(b), b.Layer)
		}
	}
}

// Windows cover the roof, lap, and never become many.
func TestWindowsOf(t *testing.T) {
	paper := letters()[0]
	for _, side := range []float64{1, 100, 151, 1000, 1e8} {
		box := geom.Box{Min: geom.Pt{X: -3, Y: 7}, Max: geom.Pt{X: -3 + side, Y: 7 + side/2}}
		ws := windowsOf(box, paper, 0.05)
		if side > 1e6 {
			if len(ws) != 0 {
				t.Errorf("%v ft: %d windows", side, len(ws))
			}
			continue
		}
		for _, p := range box.Ring() {
			in := 0
			for _, w := range ws {
				if w.Has(p) {
					in++
				}
			}
			if in == 0 {
				t.Errorf("%v ft: corner %v in no window", side, p)
			}
		}
		for k := 1; k < len(ws); k++ {
			if a, b := ws[k-1], ws[k]; a.Min.Y == b.Min.Y && a.Max.X-b.Min.X < overlapFt-1e-6 {
				t.Errorf("%v ft: windows lap by %v ft", side, a.Max.X-b.Min.X)
			}
		}
	}
}

// Clipping against areas by the closed form, and lines by their ends.
func TestClip(t *testing.T) {
	lo, hi := scene.Pt{}, scene.Pt{X: 2, Y: 1}
	area := func(r []scene.Pt) float64 {
		sum := 0.0
		for i, a := range r {
			b := r[(i+1)%len(r)]
			sum += a.X*b.Y - b.X*a.Y
		}
		return math.Abs(sum / 2)
	}
	for story, c := range map[string]struct {
		ring []scene.Pt
		want float64
	}{
		"inside":  {[]scene.Pt{{X: 0.5, Y: 0.5}, {X: 1, Y: 0.5}, {X: 1, Y: 1}}, 0.125},
		"outside": {[]scene.Pt{{X: 5, Y: 5}, {X: 6, Y: 5}, {X: 6, Y: 6}}, 0},
		"around":  {[]scene.Pt{{X: -9, Y: -9}, {X: 9, Y: -9}, {X: 9, Y: 9}, {X: -9, Y: 9}}, 2},
		"a half":  {[]scene.Pt{{X: 0, Y: -1}, {X: 2, Y: 1}, {X: 0, Y: 1}}, 1.5},
	} {
		if got := area(clipRing(c.ring, lo, hi)); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: area %v, want %v", story, got, c.want)
		}
	}
	line := []scene.Pt{{X: -1, Y: 0.5}, {X: 1, Y: 0.5}, {X: 1, Y: 3}, {X: 0.5, Y: 3}, {X: 0.5, Y: 0.25}}
	got := fmt.Sprint(clipLine(line, lo, hi))
	if want := "[[{0 0.5} {1 0.5} {1 1}] [{0.5 1} {0.5 0.25}]]"; got != want {
		t.Errorf("line clipped to %s, want %s", got, want)
	}
	if got := clipLine([]scene.Pt{{X: 3, Y: -1}, {X: 3, Y: 4}}, lo, hi); got != nil {
		t.Errorf("a line beside the frame: %v", got)
	}
}

// Thousands of shots leave contours, their labels and the names of outlets to
// be seen, and the sheet says how many are not drawn.
func TestExistingSheet_DenseShots(t *testing.T) {
	r := roofOf(lJob(), 6)
	a := &r.Areas[0]
	box := a.Site.Outline.Box()
	w, h := box.Size()
	var shots []survey.SiteShot
	for k := range 100 * 100 {
		p := box.Min.Add(geom.Pt{X: w * (float64(k%100) + 0.5) / 100, Y: h * (float64(k/100) + 0.5) / 100})
		if a.Site.OnRoof(p) {
			shots = append(shots, survey.SiteShot{P: p, ID: fmt.Sprint("c", k)})
		}
	}
	a.Site.Shots = shots
	s := ExistingSheet(r, 0)
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	dots := 0
	for _, m := range s.Marks {
		if sh, ok := m.(scene.Shape); ok && strings.HasPrefix(sh.Name, "shot ") {
			dots++
		}
	}
	text := wordsOf(s)
	if want := thousands(len(shots)-dots) + " not drawn"; !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
		t.Errorf("the sheet does not say %q", want)
	}
	if dots < 50 || dots > 900 {
		t.Errorf("%d dots drawn", dots)
	}
	for _, o := range a.Site.Outlets {
		if !strings.Contains(text, o.ID) {
			t.Errorf("no name at outlet %s", o.ID)
		}
	}
	labels := 0
	for _, m := range textsOf(s) {
		if strings.HasPrefix(m.Name, "contour ") {
			labels++
		}
	}
	if labels == 0 {
		t.Error("no contour label")
	}
}
