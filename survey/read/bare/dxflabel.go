package bare

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// dxfLabel is a text of the drawing.
type dxfLabel struct {
	text         string
	x, y, height float64
}

// label takes a TEXT or an MTEXT. A TEXT that is aligned stands at its second
// place.
func (r *dxfReader) label(e *dxfEntity) {
	i := 0
	mirrored := false
	if e.name == "TEXT" {
		if _, there := e.get(11); there && (e.whole(72) != 0 || e.whole(73) != 0) {
			i = 1
		}
		var ok bool
		if mirrored, ok = r.own(e); !ok {
			return
		}
	}
	p, ok := r.at(e, i, false)
	height, _, also := r.number(e, 40)
	if !ok || !also {
		return
	}
	if mirrored {
		p.X = -p.X
	}
	var b strings.Builder
	for _, g := range e.groups {
		if g.code == 1 || g.code == 3 && e.name == "MTEXT" {
			b.Write(g.value)
		}
	}
	text := dxfText([]byte(b.String()))
	if e.name == "MTEXT" {
		text = plainMText(text)
	}
	if text != "" {
		r.labels = append(r.labels, dxfLabel{text, p.X, p.Y, math.Abs(height)})
	}
}

// plainMText is the text of an MTEXT less its codes for letters and lines.
func plainMText(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == '{' || s[i] == '}':
		case s[i] != '\\' || i+1 == len(s):
			b.WriteByte(s[i])
		case strings.IndexByte(`\{}`, s[i+1]) >= 0:
			i++
			b.WriteByte(s[i])
		case s[i+1] == 'P' || s[i+1] == '~':
			i++
			b.WriteByte(' ')
		case strings.IndexByte("ACcfFHhpQTWS", s[i+1]) >= 0:
			end := strings.IndexByte(s[i:], ';')
			if end < 0 {
				return strings.TrimSpace(b.String())
			}
			if s[i+1] == 'S' {
				b.WriteString(strings.NewReplacer("^", "/", "#", "/").Replace(s[i+2 : i+end]))
			}
			i += end
		default:
			i++
		}
	}
	return strings.TrimSpace(b.String())
}

// near is a label beside a place.
type nearLabel struct {
	apart        float64
	place, label int
}

// joinLabels gives every place that has no name the nearest text within three
// heights of a letter, each text to one place, the closest pair first. No more
// than 32 texts are looked at in a square of that size.
func (r *dxfReader) joinLabels() {
	if len(r.labels) == 0 || len(r.out.Places) == 0 {
		return
	}
	var heights []float64
	for _, l := range r.labels {
		heights = append(heights, l.height)
	}
	slices.Sort(heights)
	within := max(3*heights[len(heights)/2], 1e-6)
	cells := map[[2]float64][]int{}
	for i, l := range r.labels {
		c := [2]float64{math.Floor(l.x / within), math.Floor(l.y / within)}
		if len(cells[c]) < 32 {
			cells[c] = append(cells[c], i)
		}
	}
	pairs := r.nearLabels(cells, within)
	slices.SortFunc(pairs, func(a, b nearLabel) int {
		return cmp.Or(cmp.Compare(a.apart, b.apart), cmp.Compare(a.place, b.place),
			cmp.Compare(a.label, b.label))
	})
	used := make([]bool, len(r.labels))
	for _, p := range pairs {
		if at := &r.out.Places[p.place]; at.ID == "" && !used[p.label] {
			at.ID, used[p.label] = r.labels[p.label].text, true
		}
	}
	r.askHeights()
}

// nearLabels gives the four nearest labels of every place.
func (r *dxfReader) nearLabels(cells map[[2]float64][]int, within float64) []nearLabel {
	var out, here []nearLabel
	for i, p := range r.out.Places {
		if p.ID != "" {
			continue
		}
		here = here[:0]
		cx, cy := math.Floor(p.X/within), math.Floor(p.Y/within)
		for k := range 9 {
			for _, j := range cells[[2]float64{cx + float64(k%3-1), cy + float64(k/3-1)}] {
				d := math.Hypot(p.X-r.labels[j].x, p.Y-r.labels[j].y)
				if d <= within {
					here = append(here, nearLabel{d, i, j})
				}
			}
		}
		slices.SortFunc(here, func(a, b nearLabel) int {
			return cmp.Or(cmp.Compare(a.apart, b.apart), cmp.Compare(a.label, b.label))
		})
		out = append(out, here[:min(len(here), 4)]...)
	}
	return out
}

// askHeights notes a drawing in plan whose elevations may stand in the texts.
func (r *dxfReader) askHeights() {
	numbers := 0
	for _, p := range r.out.Places {
		if p.Z != 0 {
			return
		}
		if _, ok := plainNumber(p.ID); ok && strings.Contains(p.ID, ".") {
			numbers++
		}
	}
	if numbers > 0 {
		r.note(0, fmt.Sprintf("every point lies at 0 and %d have a number beside them: elevations may stand in the texts",
			numbers), "export points with elevations, or delimited text")
	}
}
