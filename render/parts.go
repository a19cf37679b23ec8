package render

import (
	"fmt"
	"math"
	"slices"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// mostParts is how many sheets a layer is parted into at most.
const mostParts = 24

// parting is how the plan of a large roof is cut into windows, each drawn on a
// sheet of its own at a readable scale.
type parting struct {
	paper   sheetPaper
	scale   scaleStep
	windows []geom.Box // in job feet, by rows from the top
	layer   int        // that is parted, of layers
	layers  int
}

// partScales are the scales of parts, largest first; rows of 4 ft are deep enough for
// words on the first good of them.
func partScales(sys unit.System) (steps []scaleStep, good int) {
	if sys == unit.Metric {
		return []scaleStep{{12.0 / 100, "1:100"}, {12.0 / 125, "1:125"}, {12.0 / 200, "1:200"}, {12.0 / 250, "1:250"},
			{12.0 / 400, "1:400"}, {12.0 / 500, "1:500"}}, 2
	}
	return []scaleStep{{1.0 / 8, `1/8" = 1'-0"`}, {1.0 / 10, `1" = 10'-0"`}, {3.0 / 32, `3/32" = 1'-0"`}, {1.0 / 20, `1" = 20'-0"`},
		{1.0 / 30, `1" = 30'-0"`}, {1.0 / 40, `1" = 40'-0"`}, {1.0 / 50, `1" = 50'-0"`}}, 3
}

// partingOf cuts the area of s into windows on 11 x 17 paper: of the scales that give
// rows room for words at that which needs the fewest sheets, else at the largest that
// needs no more than mostParts. No windows: no such scale shows more than s does, or
// all boards are of the base, one grid that the whole layer shows well enough.
func (s *sheet) partingOf(rows []boardRow) parting {
	var best parting
	if !slices.ContainsFunc(rows, func(r boardRow) bool { return r.typ != taper.BaseType }) {
		return best
	}
	boxes := s.jobBoxes(rows)
	steps, good := partScales(s.say.sys)
	for k, step := range steps {
		if step.perFt <= s.perFt*(1+1e-9) || best.windows != nil && k >= good {
			break
		}
		for _, paper := range tabloids(1) {
			if s.a.Fit == nil {
				paper.hi.Y -= bannerIn
			}
			p := parting{paper: paper, scale: step}
			for _, w := range windowsOf(s.a.Area.Outline.Box(), paper, step.perFt) {
				if meetsAny(boxes, w) {
					p.windows = append(p.windows, w)
				}
			}
			if n := len(p.windows); n > 0 && n <= mostParts && (best.windows == nil || n < len(best.windows)) {
				best = p
			}
		}
	}
	return best
}

// overlapFt is how far neighbouring windows lap, so that a board on the border
// of one is whole on the other.
const overlapFt = 8

// windowsOf covers box with windows that fill the plan of a paper, in rows from
// the top, each row from the left. More than four times mostParts are not listed.
func windowsOf(box geom.Box, paper sheetPaper, perFt float64) []geom.Box {
	rimFt := 0.3 / perFt // kept free beside the roof
	size := paper.hi.Sub(paper.lo).Mul(1 / perFt)
	w, h := box.Size()
	xs, ys := starts(box.Min.X-rimFt, w+2*rimFt, size.X), starts(box.Min.Y-rimFt, h+2*rimFt, size.Y)
	if len(xs)*len(ys) > 4*mostParts {
		return nil
	}
	var out []geom.Box
	for j := len(ys) - 1; j >= 0; j-- {
		for _, x := range xs {
			out = append(out, geom.Box{Min: geom.Pt{X: x, Y: ys[j]}, Max: geom.Pt{X: x + size.X, Y: ys[j] + size.Y}})
		}
	}
	return out
}

// starts gives where windows of a length begin so that they cover a stretch,
// evenly spaced and lapping; one window stands centred.
func starts(from, long, window float64) []float64 {
	if long <= window || window <= overlapFt {
		return []float64{from + (long-window)/2}
	}
	n := int(math.Ceil((long-overlapFt)/(window-overlapFt) - 1e-9))
	n = min(n, 4*mostParts+1)
	var out []float64
	for k := range n {
		out = append(out, from+(long-window)*float64(k)/float64(n-1))
	}
	return out
}

// rowsIn is rows with only the boards that meet window n of p; guests where another
// window shows more of the row.
func (s *sheet) rowsIn(rows []boardRow, p parting, n int) []boardRow {
	var out []boardRow
	boxes := s.jobBoxes(rows)
	for k, r := range rows {
		in := r
		in.boards = nil
		for m, b := range r.boards {
			if meets(boxes[k][m], p.windows[n]) {
				in.boards = append(in.boards, b)
			}
		}
		if len(in.boards) > 0 {
			in.guest = p.host(boxes[k]) != n
			out = append(out, in)
		}
	}
	return out
}

// host is the window that shows the most of boxes, the first among equals.
func (p parting) host(boxes []geom.Box) int {
	best, host := 0.0, 0
	for k, w := range p.windows {
		sqft := 0.0
		for _, b := range boxes {
			if meets(b, w) {
				sqft += (math.Min(b.Max.X, w.Max.X) - math.Max(b.Min.X, w.Min.X)) * (math.Min(b.Max.Y, w.Max.Y) - math.Max(b.Min.Y, w.Min.Y))
			}
		}
		if sqft > best+1e-6 {
			best, host = sqft, k
		}
	}
	return host
}

// jobBoxes are the boxes of the boards of rows, in job feet.
func (s *sheet) jobBoxes(rows []boardRow) [][]geom.Box {
	out := make([][]geom.Box, len(rows))
	for k, r := range rows {
		for _, b := range r.boards {
			out[k] = append(out[k], b.Poly.Outer.Map(s.site.Frame.ToJob).Box())
		}
	}
	return out
}

// meets says whether two boxes share more than a border.
func meets(a, b geom.Box) bool {
	return a.Min.X < b.Max.X && a.Max.X > b.Min.X && a.Min.Y < b.Max.Y && a.Max.Y > b.Min.Y
}

func meetsAny(boxes [][]geom.Box, window geom.Box) bool {
	return slices.ContainsFunc(boxes, func(row []geom.Box) bool {
		return slices.ContainsFunc(row, func(b geom.Box) bool { return meets(b, window) })
	})
}

// sheet draws window n of p, for area i.
func (p parting) sheet(r *Result, i, n int) NamedScene {
	s := newSheet(r, i)
	all := rowsOf(s.a, p.layer)
	s.paper, s.scale, s.perFt = p.paper, p.scale, p.scale.perFt
	s.mid, s.ctr = p.windows[n].Centre(), p.paper.lo.Lerp(p.paper.hi, 0.5)
	s.clear()
	rows := s.rowsIn(all, p, n)
	s.layerPlan(rows, all, false)
	s.matchLines(p, n)
	s.clip()
	title := fmt.Sprintf("Placement, layer %d of %d from the bottom: %s. Part %d of %d",
		p.layer, p.layers, typesOf(all), n+1, len(p.windows))
	s.title(title, append(s.layingFacts(rows), fmt.Sprintf("Parts lap by at least %s; the counts stand on "+
		"the sheet of the whole layer.", s.say.run(overlapFt)))...)
	s.panel = append(s.panel, s.keyPlan(p, n))
	tables := append(s.partMarks(rows), s.listedRows()...)
	return NamedScene{Scene: s.finish(append(tables, s.planeTable(rows)...)...), Wordless: s.wordless}
}

// matchLines draws where part n ends and a part beside it goes on, in the middle of
// their lap.
func (s *sheet) matchLines(p parting, n int) {
	w := p.windows[n]
	pen := scene.Pen{WidthPt: 0.8, Ink: scene.Grey(0.3), DashPt: []float64{9, 3, 2, 3}}
	some := false
	for k, o := range p.windows {
		lo, hi := s.at(geom.Pt{X: math.Max(w.Min.X, o.Min.X), Y: math.Max(w.Min.Y, o.Min.Y)}), s.at(geom.Pt{X: math.Min(w.Max.X, o.Max.X), Y: math.Min(w.Max.Y, o.Max.Y)})
		if k == n || lo.X >= hi.X || lo.Y >= hi.Y || (o.Min.X != w.Min.X) == (o.Min.Y != w.Min.Y) {
			continue
		}
		mid := lo.Lerp(hi, 0.5)
		a, b := scene.Pt{X: mid.X, Y: lo.Y}, scene.Pt{X: mid.X, Y: hi.Y}
		if o.Min.X == w.Min.X {
			a, b = scene.Pt{X: lo.X, Y: mid.Y}, scene.Pt{X: hi.X, Y: mid.Y}
		}
		some = true
		s.line(fmt.Sprintf("match line %d", k+1), []scene.Pt{a, b}, pen)
		var spots []spot
		for _, t := range []float64{0.02, 0.98, 0.04, 0.96, 0.1, 0.9, 0.5} {
			spots = append(spots, spot{a.Lerp(b, t), 0.5, 0.5, 0}, spot{a.Lerp(b, t), 0.5, 0.5, readable(b.Sub(a))})
		}
		s.place(lines{name: fmt.Sprintf("match line %d", k+1), words: []string{fmt.Sprintf("part %d", k+1)},
			text: scene.Text{SizePt: 8, Bold: true, Ink: scene.Black(), Halo: true}}, spots)
	}
	if some {
		s.lineSwatch("match line: the part named goes on", pen)
	}
}

// partMarks lists the marks on a part with their tints.
func (s *sheet) partMarks(rows []boardRow) []item {
	out := heading("Marks on this part")
	met := map[string]bool{}
	for _, r := range rows {
		met[r.typ.String()+" "+r.mark] = true
	}
	listed := map[string]bool{}
	for _, c := range s.a.Design.Counts {
		k := c.Type.String() + " " + c.Mark
		if c.Layer == rows[0].boards[0].Layer && met[k] && !listed[k] {
			listed[k] = true
			out = append(out, s.tinted(c, cell{words: first(c.Mark, 0.95), left: 0.17}, cell{left: 1.2, words: c.Type.String()}))
		}
	}
	return out
}

// keyPlan is the outline of the area, small, with the windows of its parts and
// part n dark; n < 0: none.
func (s *sheet) keyPlan(p parting, n int) item {
	box := s.a.Area.Outline.Box()
	for _, w := range p.windows {
		box.Min = geom.Pt{X: math.Min(box.Min.X, w.Min.X), Y: math.Min(box.Min.Y, w.Min.Y)}
		box.Max = geom.Pt{X: math.Max(box.Max.X, w.Max.X), Y: math.Max(box.Max.Y, w.Max.Y)}
	}
	wFt, hFt := box.Size()
	perFt := math.Min((columnIn-0.3)/wFt, 1.3/hFt)
	return item{high: hFt*perFt + 0.12, draw: func(x, top float64) []scene.Mark {
		at := func(q geom.Pt) scene.Pt {
			return scene.Pt{X: x + 0.05 + (q.X-box.Min.X)*perFt, Y: top - 0.06 - (box.Max.Y-q.Y)*perFt}
		}
		var out []scene.Mark
		if n >= 0 {
			q := scene.Rect(at(p.windows[n].Min), at(p.windows[n].Max))
			out = append(out, scene.Shape{Name: "key plan", Rings: [][]scene.Pt{q[:]}, Fill: scene.Grey(0.8)})
		}
		if ring := s.path(s.a.Area.Outline, at); len(ring) > 2 {
			out = append(out, scene.Shape{Name: "key plan", Rings: [][]scene.Pt{ring}, Pen: scene.Pen{WidthPt: 1, Ink: scene.Black()}})
		}
		for k, w := range p.windows {
			q := scene.Rect(at(w.Min), at(w.Max))
			out = append(out, scene.Shape{Name: "key plan", Rings: [][]scene.Pt{q[:]}, Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.4)}},
				scene.Text{Name: "key plan", Words: fmt.Sprint(k + 1), SizePt: scene.LeastTextPt, Bold: k == n, Across: 0.5, Up: 0.5,
					At: q[0].Lerp(q[2], 0.5), Ink: scene.Black()})
		}
		return out
	}}
}

// clip cuts what stands on the plan to its frame.
func (s *sheet) clip() {
	lo, hi := s.paper.lo, s.paper.hi
	var out []scene.Mark
	for _, m := range s.marks {
		switch m := m.(type) {
		case scene.Shape:
			var rings [][]scene.Pt
			for _, r := range m.Rings {
				if c := clipRing(r, lo, hi); len(c) > 2 {
					rings = append(rings, c)
				}
			}
			if m.Rings = rings; len(rings) > 0 {
				out = append(out, m)
			}
		case scene.Line:
			for _, pts := range clipLine(m.Pts, lo, hi) {
				out = append(out, scene.Line{Name: m.Name, Pts: pts, Pen: m.Pen})
			}
		default:
			out = append(out, m)
		}
	}
	s.marks = out
}

// clipRing cuts a ring to the rectangle lo to hi.
//
// Source: Sutherland and Hodgman 1974, "Reentrant polygon clipping".
func clipRing(r []scene.Pt, lo, hi scene.Pt) []scene.Pt {
	for _, in := range [4]func(scene.Pt) float64{
		func(p scene.Pt) float64 { return p.X - lo.X }, func(p scene.Pt) float64 { return hi.X - p.X },
		func(p scene.Pt) float64 { return p.Y - lo.Y }, func(p scene.Pt) float64 { return hi.Y - p.Y },
	} {
		var out []scene.Pt
		for i, a := range r {
			b := r[(i+1)%len(r)]
			da, db := in(a), in(b)
			if da >= 0 {
				out = append(out, a)
			}
			if (da >= 0) != (db >= 0) {
				out = append(out, a.Lerp(b, da/(da-db)))
			}
		}
		r = out
	}
	return r
}

// clipLine gives the stretches of a line within the rectangle lo to hi.
//
// Source: Liang and Barsky 1984, "A new concept and method for line clipping".
func clipLine(pts []scene.Pt, lo, hi scene.Pt) [][]scene.Pt {
	var out [][]scene.Pt
	open := false
	for i := 1; i < len(pts); i++ {
		a, d := pts[i-1], pts[i].Sub(pts[i-1])
		t0, t1 := 0.0, 1.0
		for _, side := range [4][2]float64{{-d.X, a.X - lo.X}, {d.X, hi.X - a.X}, {-d.Y, a.Y - lo.Y}, {d.Y, hi.Y - a.Y}} {
			switch p, q := side[0], side[1]; {
			case p == 0 && q < 0:
				t1 = -1
			case p < 0:
				t0 = math.Max(t0, q/p)
			case p > 0:
				t1 = math.Min(t1, q/p)
			}
		}
		if t0 >= t1 {
			open = false
			continue
		}
		if !open || t0 > 0 {
			out = append(out, []scene.Pt{a.Add(d.Mul(t0))})
		}
		last := &out[len(out)-1]
		*last = append(*last, a.Add(d.Mul(t1)))
		open = t1 == 1
	}
	return out
}
