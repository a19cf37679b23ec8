package render

import (
	"fmt"
	"strings"
	"testing"

	"runnel/render/scene"
)

// Cut sheets: every sheet is sound, no words overlap, every shape stands with its
// mark and how many pieces there are; together they are all cut pieces of the
// design, or the sheet says how many shapes more there are. What a tape reads at a
// cut is the place of that corner in its board.
func TestCutSheets(t *testing.T) {
	for _, w := range tblWays {
		r := tblResult(t, w)
		for i, a := range r.Areas {
			sheets := CutSheets(r, i)
			shapes := cutShapes(a.Design, a.Site.Frame.Mirror)
			cut := 0
			for _, b := range a.Design.Boards {
				if b.Cut {
					cut++
				}
			}
			in := 0
			for _, s := range shapes {
				in += len(s.pieces)
			}
			if in != cut || len(sheets) == 0 {
				t.Fatalf("%s: %d sheets, %d cut pieces in shapes of %d", w.story, len(sheets), in, cut)
			}
			drawn, text := 0, ""
			for _, s := range sheets {
				if err := s.Scene.Check(); err != nil {
					t.Errorf("%s, %s: %v", w.story, s.Name, err)
				}
				for _, m := range s.Scene.Marks {
					if x, ok := m.(scene.Shape); ok && strings.HasPrefix(x.Name, "shape ") {
						drawn++
					}
				}
				text += strings.ReplaceAll(s.Scene.Text(), `\"`, `"`)
			}
			if want := min(len(shapes), mostPieceSheets*cutColumns*cutRows); drawn != want {
				t.Errorf("%s: %d shapes drawn of %d", w.story, drawn, want)
			}
			if more := len(shapes) - drawn; more > 0 && !strings.Contains(text, fmt.Sprintf("%d further shapes", more)) {
				t.Errorf("%s: %d shapes are left out and nothing says so", w.story, more)
			}
			s := shapes[0]
			for _, p := range s.poly.Outer {
				inner := p.X > 0.1 && p.X < s.board.Along.Feet()-0.1 || p.Y > 0.1 && p.Y < s.board.Depth.Feet()-0.1
				if at := (say{r.Job.Units}); inner && !strings.Contains(text, at.tape(p.X)) && !strings.Contains(text, at.tape(p.Y)) {
					t.Errorf("%s: nothing reads %s or %s", w.story, at.tape(p.X), at.tape(p.Y))
				}
			}
		}
	}
}
