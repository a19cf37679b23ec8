package render

import (
	"math"
	"strconv"
	"strings"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

func sumpPen() scene.Pen { return scene.Pen{WidthPt: 1.6, Ink: scene.Black()} }

// sumps outlines the sumps.
func (s *sheet) sumps(d *taper.Design) {
	all := sumpsOf(s.site, d)
	for _, one := range all {
		var polys []geom.Poly
		for _, f := range one.facets {
			polys = append(polys, f.Poly)
		}
		if whole, err := geom.Union(polys); err == nil {
			polys = whole
		}
		s.shape(scene.Shape{Name: "sump " + one.outlet, Rings: s.polys(polys), Pen: sumpPen()})
	}
	if len(all) > 0 {
		s.fillSwatch("sump", scene.Shape{Fill: thicknessRamp().at(0), Pen: sumpPen()})
	}
}

// sumpWords stands the slope of a sump's boards beside it.
func (s *sheet) sumpWords(d *taper.Design) {
	for _, one := range sumpsOf(s.site, d) {
		c := s.loc(one.facets[0].Poly.Outer.Box().Centre())
		for _, o := range s.site.Outlets {
			if o.ID == one.outlet {
				c = s.loc(o.P)
			}
		}
		r := math.Sqrt(one.sqft) / 2 * s.perFt
		s.place(lines{name: "sump " + one.outlet, words: []string{"sump", "boards " + s.say.slope(one.board)},
			text: slopeStyle(), ok: s.onRoof}, append(around(c, r+0.05), rings(c, r+0.15, r+0.5)...))
	}
}

// cricketSizes names the crickets and draws H and W at the first of each kind that
// has room for both, those between two ways out before those at walls.
func (s *sheet) cricketSizes(d *taper.Design) {
	sized := map[taper.CricketKind]bool{}
	for _, atWall := range []bool{false, true} {
		for _, c := range d.Crickets {
			if (c.Apex.Dist(c.A) < sameSpotFt || c.Apex.Dist(c.B) < sameSpotFt) == atWall && !sized[c.Kind] {
				sized[c.Kind] = s.sizes(d, c)
			}
		}
	}
	for _, c := range d.Crickets {
		var spots []spot
		for _, f := range d.Facets {
			if f.Cricket == c.ID {
				spots = append(spots, around(s.loc(middle(f.Poly)).Lerp(s.loc(c.Apex), 0.45), 0)...)
			}
		}
		s.place(lines{name: "cricket " + c.Name, words: []string{cricketTag(c.ID)}, ok: s.onRoof,
			text: scene.Text{SizePt: 8, Bold: true, Ink: scene.Black(), Halo: true}}, spots)
	}
	if len(d.Crickets) > 0 {
		s.swatch("H along the line to the highest place, W out from it", func(a, b scene.Pt) []scene.Mark {
			y := (a.Y + b.Y) / 2
			return measureMarks("legend", scene.Pt{X: a.X + 0.01, Y: y}, scene.Pt{X: b.X - 0.01, Y: y})
		})
	}
}

// tipsOf are the corners of a cricket farthest out from its line, one on each side
// where it has roof, and the places on the line that they stand square to.
func tipsOf(d *taper.Design, c taper.Cricket) (tips, feet []geom.Pt) {
	u := c.B.Sub(c.A)
	if u.Norm() < sameSpotFt {
		return nil, nil
	}
	u = u.Mul(1 / u.Norm())
	left := geom.Pt{X: -u.Y, Y: u.X}
	for _, out := range []geom.Pt{left, left.Mul(-1)} {
		tip, farFt := geom.Pt{}, sameSpotFt
		for _, f := range d.Facets {
			if f.Cricket != c.ID {
				continue
			}
			for _, p := range f.Poly.Outer {
				if far := p.Sub(c.A).Dot(out); far > farFt+1e-6 {
					tip, farFt = p, far
				}
			}
		}
		if farFt > sameSpotFt {
			tips, feet = append(tips, tip), append(feet, tip.Sub(out.Mul(farFt)))
		}
	}
	return tips, feet
}

// sizes draws H and W of a cricket; false where one has no room.
func (s *sheet) sizes(d *taper.Design, c taper.Cricket) bool {
	end := c.A
	if c.B.Dist(c.Apex) > end.Dist(c.Apex) {
		end = c.B
	}
	if !s.measure("H "+s.say.wide(unit.Feet(reachFt(c))), end, c.Apex) {
		return false
	}
	tips, feet := tipsOf(d, c)
	for k, tip := range tips {
		if math.Abs(tip.Dist(feet[k])-c.W.Feet()) < 0.05 && // it is not cut off
			s.measure("W "+s.say.wide(c.W), feet[k], tip) {
			return true
		}
	}
	return false
}

// measure draws the distance from a to b beside the stretch, on the side that has
// room.
func (s *sheet) measure(words string, a, b geom.Pt) bool {
	p, q := s.loc(a), s.loc(b)
	long := q.Sub(p).Norm()
	l := lines{name: "size", words: []string{words}, text: scene.Text{SizePt: 7.5, Ink: scene.Black(), Halo: true}}
	gapIn := scene.TextWidth(scene.Printable(words), l.text.SizePt, false)/2 + 0.03
	if long < 2*gapIn+0.1 {
		return false
	}
	side := q.Sub(p).Left().Mul(1 / long)
	for _, off := range []float64{0.13, -0.13, 0.2, -0.2, 0.3, -0.3} {
		from, to := p.Add(side.Mul(off)), q.Add(side.Mul(off))
		strip := scene.Strip(from.Lerp(to, 0.06), from.Lerp(to, 0.94), 0.02)
		if !s.inPlan(strip) || !s.room.Free(strip) {
			continue
		}
		var spots []spot
		for _, t := range []float64{0.5, 0.65, 0.35} {
			spots = append(spots, spot{from.Lerp(to, t), 0.5, 0.5, readable(to.Sub(from))})
		}
		at, ok := s.place(l, spots)
		if !ok {
			continue
		}
		s.room.Take(strip)
		half := to.Sub(from).Mul(gapIn / long)
		s.marks = append(s.marks, measureMarks("size", from, at.Sub(half), at.Add(half), to)...)
		return true
	}
	return false
}

func cricketTag(id int) string { return "K" + strconv.Itoa(id) }

// measureMarks is a dimension: a line between two ticks, broken where words stand.
func measureMarks(name string, pts ...scene.Pt) []scene.Mark {
	pen := scene.Pen{WidthPt: 0.7, Ink: scene.Black()}
	a, b := pts[0], pts[len(pts)-1]
	tick := b.Sub(a).Left().Mul(0.035 / b.Sub(a).Norm())
	var out []scene.Mark
	for k := 0; k+1 < len(pts); k += 2 {
		out = append(out, scene.Line{Name: name, Pts: pts[k : k+2], Pen: pen})
	}
	for _, p := range []scene.Pt{a, b} {
		out = append(out, scene.Line{Name: name, Pts: []scene.Pt{p.Sub(tick), p.Add(tick)}, Pen: pen})
	}
	return out
}

// cricketTable lists the crickets, as many as a sheet has room for.
func (s *sheet) cricketTable(d *taper.Design) []item {
	if len(d.Crickets) == 0 {
		return nil
	}
	const most = 12
	line := func(bold bool, ws ...string) item {
		return item{high: 0.118, draw: func(x, top float64) []scene.Mark {
			var out []scene.Mark
			for i, right := range []float64{0, 0.88, 1.22, 1.54, 1.94, columnIn - 0.02} {
				t := scene.Text{Name: "crickets", Words: scene.Printable(ws[i]), SizePt: scene.LeastTextPt, Bold: bold, Up: 1,
					At: scene.Pt{X: x, Y: top - 0.015}, Ink: scene.Black()}
				if right > 0 {
					t.Across, t.At.X = 1, x+right
				}
				out = append(out, t)
			}
			return out
		}}
	}
	slope := func(v unit.Slope) string { return strings.TrimSuffix(s.say.slope(v), " in/ft") }
	out := heading("Crickets")
	head := line(true, "kind", "H", "W", "board", "valley", "peak")
	head.with = true
	out = append(out, head)
	for _, c := range d.Crickets[:min(len(d.Crickets), most)] {
		out = append(out, line(false, cricketTag(c.ID)+" "+c.Kind.String(), s.say.wide(unit.Feet(reachFt(c))), s.say.wide(c.W), slope(c.Board),
			slope(c.Valley), s.say.inches(c.Peak.Inches())))
	}
	note := "names in the report"
	if more := len(d.Crickets) - most; more > 0 {
		note = count(more, "more cricket") + " and names in the report"
	}
	if !s.say.metric() {
		note += "; slopes in in/ft"
	}
	return append(out, words("crickets", note, bodyPt, false, 2)...)
}
