package render

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

// What a crew reads off a placement sheet is what rows.csv says: rows with plane,
// number, mark and pieces, START with the tapes of the start corner; circles 1 to 10
// stand in, or point at, the first ten boards of the layer in the order of rows.csv. On
// roofs that are turned and mirrored too.
func TestPlacementSheets_AgreeWithRows(t *testing.T) {
	for _, w := range tblWays {
		r := foremanResult(t, w)
		table := foremanTable(t, WriteRowsCSV, r)
		for n, named := range wholeLayers(r) {
			s := paperOf(r, n+1, named.Scene)
			text := strings.Join(strings.Fields(strings.ReplaceAll(wordsOf(named.Scene), "\n", " ")), " ")
			var first []taper.Board
			starts := 0
			for _, row := range table {
				if row["layer"] != strconv.Itoa(n+1) {
					continue
				}
				words := fmt.Sprintf("R%s %s of %s", row["row"], row["boards"], row["mark"])
				alone := fmt.Sprintf("%s of %s:", row["boards"], row["mark"])
				if !strings.Contains(text, words) && !strings.Contains(text, alone) {
					t.Errorf("%s, %s: nothing reads %q", w.story, named.Name, words)
				}
				if row["plane_start"] != "" {
					starts++
					told := strings.ReplaceAll(row["start_tape"], "edge ", "")
					if line := strings.TrimSpace(row["plane_start"]+" "+row["facet"]) + ": " + told; !strings.Contains(text, line) {
						t.Errorf("%s, %s: no line %q", w.story, named.Name, line)
					}
				}
				for _, b := range r.Areas[0].Design.Boards {
					if b.Layer == n+1 && facetName(b.Facet) == row["facet"] && strconv.Itoa(b.Row) == row["row"] && b.Mark == row["mark"] && b.Type.String() == row["type"] {
						first = append(first, b)
					}
				}
			}
			if got := strings.Count(text, "START "); starts == 0 || got < starts {
				t.Errorf("%s, %s: START %d times for %d planes", w.story, named.Name, got, starts)
			}
			holdCircles(t, w.story+", "+named.Name, s, named.Scene, first)
		}
	}
}

// holdCircles finds the board of each circle: under it, or where its leader ends.
func holdCircles(t *testing.T, name string, s *sheet, drawn scene.Scene, boards []taper.Board) {
	t.Helper()
	at := map[int]scene.Pt{}
	for _, m := range drawn.Marks {
		var n int
		switch m := m.(type) {
		case scene.Text:
			if k, _ := fmt.Sscanf(m.Name, "first %d", &n); k == 1 {
				if _, led := at[n]; !led {
					at[n] = m.At
				}
			}
		case scene.Line:
			if k, _ := fmt.Sscanf(m.Name, "leader first %d", &n); k == 1 {
				at[n] = m.Pts[0]
			}
		}
	}
	if want := min(len(boards), tenBoards); len(at) != want {
		t.Errorf("%s: %d circles of %d", name, len(at), want)
	}
	for n, p := range at {
		if b := boards[n-1]; !b.Poly.Has(s.site.Frame.ToLocal(s.job(p))) {
			t.Errorf("%s: circle %d is not on %s", name, n, b.Piece)
		}
	}
}

// A tapered board is the darker the thicker it is: each band of a row lies on boards
// whose thickness there has that band's tint, and the tints go from light at the thin
// edge to dark at the thick one by at least a tenth of the way from black to white.
func TestPlacementSheets_DarkIsThick(t *testing.T) {
	r := foremanResult(t, tblWays[0])
	met := 0
	for n, named := range wholeLayers(r) {
		s := paperOf(r, n+1, named.Scene)
		for _, m := range named.Scene.Marks {
			sh, ok := m.(scene.Shape)
			if !ok || !strings.HasPrefix(sh.Name, "shade ") {
				continue
			}
			facet, _ := facetOf(sh.Name)
			for _, ring := range sh.Rings {
				var c scene.Pt
				for _, p := range ring {
					c = c.Add(p.Mul(1 / float64(len(ring))))
				}
				at := s.site.Frame.ToLocal(s.job(c))
				for _, b := range r.Areas[0].Design.Boards {
					if b.Layer != n+1 || b.Facet != facet || !b.Poly.Has(at) {
						continue
					}
					met++
					share := (b.Plane.At(at) - b.ThinIn) / (b.ThickIn - b.ThinIn)
					light, dark := lightness(sh.Fill), lightness(s.shadeOfLayer(n+1).at(b.ThickIn))
					thin := lightness(s.shadeOfLayer(n + 1).at(b.ThinIn))
					if want := thin + share*(dark-thin); math.Abs(light-want) > 0.25*(thin-dark) {
						t.Errorf("%s at %.2f of its thickness: lightness %.2f, want %.2f", b.Piece, share, light, want)
					}
					if thin-dark < 0.1 {
						t.Errorf("%s: %.2f at its thin edge, %.2f at its thick one", b.Piece, thin, dark)
					}
				}
			}
		}
	}
	if met < 100 {
		t.Errorf("%d bands met", met)
	}
}

// lightness is the luma of an ink, from 0 black to 1 white (ITU-R BT.601).
func lightness(c colour) float64 {
	return (0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B)) / 255
}

func (s *sheet) shadeOfLayer(layer int) shadeScale { return shadesOf(rowsOf(s.a, layer)) }

// Parts of polygons where a plane is at least level against areas by the closed form.
func TestThicker(t *testing.T) {
	square := geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}
	for story, c := range map[string]struct {
		plane survey.Plane
		level float64
		want  float64
	}{
		"all":           {survey.Plane{CIn: 1}, 0, 16},
		"none":          {survey.Plane{GX: 1}, 5, 0},
		"a quarter":     {survey.Plane{GX: 1}, 3, 4},
		"half, slanted": {survey.Plane{GX: 1, GY: -1}, 0, 8},
		"without end":   {survey.Plane{GX: 1}, math.Inf(-1), 16},
	} {
		if got := thicker(square, c.plane, c.level).Area(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: area %v, want %v", story, got, c.want)
		}
	}
}
