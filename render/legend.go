package render

import (
	"strings"

	"runnel/render/scene"
)

// item is one part of the panel: it is drawn whole, in one column.
type item struct {
	high float64 // inches
	draw func(x, top float64) []scene.Mark
	// with: stands in the same column as the next item
	with bool
	// half: half a column wide; two such neighbours share a line
	half bool
}

// The sizes of the panel's words, in points.
const (
	titlePt = 11
	headPt  = 9
	bodyPt  = 8
)

// longNote is how many lines a fact or a note may take.
const longNote = 16

// lineHigh is the height of a line of words in inches.
func lineHigh(sizePt float64) float64 { return sizePt * 1.25 / 72 }

// words makes a paragraph of items, one a line, at most most lines.
func words(name, text string, sizePt float64, bold bool, most int) []item {
	var out []item
	for _, w := range wrap(text, columnIn, sizePt, bold, most) {
		out = append(out, item{high: lineHigh(sizePt), draw: func(x, top float64) []scene.Mark {
			return []scene.Mark{scene.Text{Name: name, Words: w, SizePt: sizePt, Bold: bold, Up: 1,
				At: scene.Pt{X: x, Y: top - 0.02}, Ink: scene.Black()}}
		}})
	}
	return out
}

func gap(high float64) item {
	return item{high: high, draw: func(float64, float64) []scene.Mark { return nil }}
}

// wrap breaks text into lines no wider than wIn, at most most of them; a word
// too long for a line is cut, and what is left out shows as "...".
func wrap(text string, wIn, sizePt float64, bold bool, most int) []string {
	fits := func(s string) bool { return scene.TextWidth(s, sizePt, bold) <= wIn }
	var out []string
	line := ""
	for _, w := range strings.Fields(scene.Printable(text)) {
		for !fits(w) {
			head := fitting(w, fits)
			out, w, line = appendLine(out, line), w[len(head):], head
		}
		switch {
		case line == "":
			line = w
		case fits(line + " " + w):
			line += " " + w
		default:
			out, line = append(out, line), w
		}
		if len(out) > most {
			break
		}
	}
	out = appendLine(out, line)
	if len(out) <= most {
		return out
	}
	out = out[:most]
	last := fitting(out[most-1], func(s string) bool { return fits(s + "...") })
	out[most-1] = strings.TrimRight(last, " ") + "..."
	return out
}

func appendLine(out []string, line string) []string {
	if line == "" {
		return out
	}
	return append(out, line)
}

// fitting is the longest start of w that fits, at least one letter.
func fitting(w string, fits func(string) bool) string {
	best := 0
	for i, r := range w {
		end := i + len(string(r))
		if best > 0 && !fits(w[:end]) {
			break
		}
		best = end
	}
	return w[:best]
}

// swatch adds one line of the legend: a sample and what it means. draw gets
// the lower left and upper right corners of the sample.
func (s *sheet) swatch(text string, draw func(lo, hi scene.Pt) []scene.Mark) {
	const sampleIn = 0.36
	ws := wrap(s.say.told(text), columnIn-sampleIn-0.1, bodyPt, false, 4)
	half := len(ws) == 1 && scene.TextWidth(ws[0], bodyPt, false) < columnIn/2-sampleIn-0.12
	step := lineHigh(bodyPt)
	s.legend = append(s.legend, item{half: half, high: step*float64(len(ws)) + 0.035,
		draw: func(x, top float64) []scene.Mark {
			out := draw(scene.Pt{X: x, Y: top - step + 0.01}, scene.Pt{X: x + sampleIn, Y: top - 0.015})
			for i, w := range ws {
				out = append(out, scene.Text{Name: "legend", Words: w, SizePt: bodyPt, Up: 1,
					At: scene.Pt{X: x + sampleIn + 0.1, Y: top - 0.02 - step*float64(i)}, Ink: scene.Black()})
			}
			return out
		}})
}

// paired is items with each two half-wide neighbours side by side.
func paired(items []item) []item {
	var out []item
	for k := 0; k < len(items); k++ {
		a := items[k]
		if k+1 < len(items) && a.half && items[k+1].half {
			b := items[k+1]
			k++
			out = append(out, item{high: max(a.high, b.high), draw: func(x, top float64) []scene.Mark {
				return append(a.draw(x, top), b.draw(x+columnIn/2, top)...)
			}})
			continue
		}
		out = append(out, a)
	}
	return out
}

// lineSwatch is a legend line for a line style.
func (s *sheet) lineSwatch(text string, pens ...scene.Pen) {
	s.swatch(text, func(lo, hi scene.Pt) []scene.Mark {
		y := (lo.Y + hi.Y) / 2
		var out []scene.Mark
		for _, p := range pens {
			out = append(out, scene.Line{Name: "legend", Pen: p,
				Pts: []scene.Pt{{X: lo.X, Y: y}, {X: hi.X, Y: y}}})
		}
		return out
	})
}

// fillSwatch is a legend line for a filled region.
func (s *sheet) fillSwatch(text string, m scene.Shape) {
	s.swatch(text, func(lo, hi scene.Pt) []scene.Mark {
		q := scene.Rect(lo, hi)
		m.Name, m.Rings = "legend", [][]scene.Pt{q[:]}
		return []scene.Mark{m}
	})
}

// heading puts a line over what follows in the panel.
func heading(text string) []item {
	out := words("heading", text, headPt, true, 1)
	for i := range out {
		out[i].with = true
	}
	return append([]item{gap(0.07)}, out...)
}

// cell is one column of a table in the panel.
type cell struct {
	right float64 // inches from the column's left where the words end; 0: they begin at left
	left  float64
	words string
}

// row is one line of a table.
func row(name string, bold bool, cells ...cell) item {
	return item{high: lineHigh(bodyPt), draw: func(x, top float64) []scene.Mark {
		var out []scene.Mark
		for _, c := range cells {
			if c.words == "" {
				continue
			}
			t := scene.Text{Name: name, Words: scene.Printable(c.words), SizePt: bodyPt, Bold: bold, Up: 1,
				At: scene.Pt{X: x + c.left, Y: top - 0.02}, Ink: scene.Black()}
			if c.right > 0 {
				t.Across, t.At.X = 1, x+c.right
			}
			out = append(out, t)
		}
		return out
	}}
}

// flow lays the panel's items into its columns. What finds no room is left out
// and counted on the last line.
func (s *sheet) flow() []scene.Mark {
	items := append([]item{}, s.panel...)
	last := lineHigh(bodyPt) // kept free for the count of what is left out
	var out []scene.Mark
	col, y := 0, s.paper.panelTop
	for k, it := range items {
		need := it.high
		for n := k; items[n].with && n+1 < len(items); n++ {
			need += items[n+1].high
		}
		low := s.paper.panelLow
		if col == len(s.paper.columns)-1 && k < len(items)-1 {
			low += last
		}
		if y-need < low-1e-9 && col+1 < len(s.paper.columns) {
			col, y = col+1, s.paper.panelTop
			low = s.paper.panelLow
		}
		if y-need < low-1e-9 {
			s.lacks = len(items) - k
			rest := words("left out", count(s.lacks, "more line")+": see the report and tables", bodyPt, false, 1)
			return append(out, rest[0].draw(s.paper.columns[col], y)...)
		}
		out = append(out, it.draw(s.paper.columns[col], y)...)
		y -= it.high
	}
	return out
}

// title fills the panel's head: job, area, what the sheet shows, scale, and
// the cautions that every sheet carries.
func (s *sheet) title(shows string, facts ...string) {
	job := ""
	if s.res.Job != nil {
		job = s.res.Job.Name
	}
	s.panel = append(s.panel, words("title", job, titlePt, true, 2)...)
	s.panel = append(s.panel, words("title", "Area "+s.a.Area.Name, headPt, true, 2)...)
	s.panel = append(s.panel, words("title", s.say.told(shows), headPt, false, 4)...)
	s.panel = append(s.panel, s.scaleBar())
	s.panel = append(s.panel, words("scale", "Scale on "+s.paper.name+": "+s.scale.words, bodyPt, false, 2)...)
	s.panel = append(s.panel, gap(0.05))
	if s.a.Fit == nil {
		facts = append(facts, "Not surveyed: a level deck is assumed. Every verdict is unknown.")
	}
	if s.a.Deck.Words != "" && s.a.Fit != nil {
		facts = append(facts, "Base: "+s.a.Deck.Words)
	}
	if w := s.a.inferred(); w != "" {
		s.panel = append(s.panel, words("inferred", w, bodyPt, true, 2)...)
	}
	for _, d := range s.a.doubted() {
		s.panel = append(s.panel, words("doubted", s.say.told(d), bodyPt, true, longNote)...)
	}
	for _, f := range facts {
		s.panel = append(s.panel, words("fact", s.say.told(f), bodyPt, false, longNote)...)
	}
	s.panel = append(s.panel, words("caution", "Drainage geometry, not structural design.", bodyPt, true, 2)...)
}

// finish puts the legend and then the given tables under the title.
func (s *sheet) finish(tables ...item) scene.Scene {
	if len(s.legend) > 0 {
		s.panel = append(s.panel, heading("Legend")...)
		s.panel = append(s.panel, paired(s.legend)...)
	}
	s.panel = append(s.panel, tables...)
	return s.scene()
}
