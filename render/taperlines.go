package render

import (
	"fmt"
	"slices"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/taper"
)

func linePen(k taper.LineKind) scene.Pen {
	switch k {
	case taper.Valley:
		return scene.Pen{WidthPt: 1.5, Ink: waterInk(), DashPt: []float64{12, 3}}
	case taper.Ridge:
		return scene.Pen{WidthPt: 1.3, Ink: scene.Black(), DashPt: []float64{4, 3}}
	case taper.Hip:
		return scene.Pen{WidthPt: 1.2, Ink: scene.Black(), DashPt: []float64{8, 2.5, 1.5, 2.5}}
	case taper.UnsetLine:
		return scene.Pen{WidthPt: 0.6, Ink: scene.Grey(0.4)}
	}
	panic("render: unknown LineKind")
}

// creases draws the valleys, ridges and hips.
func (s *sheet) creases(d *taper.Design) {
	met := map[taper.LineKind]bool{}
	for n, l := range d.Lines {
		s.line(fmt.Sprintf("%s %d", l.Kind, n+1), s.path([]geom.Pt{l.A, l.B}, s.loc), linePen(l.Kind))
		met[l.Kind] = true
	}
	for _, k := range []taper.LineKind{taper.Valley, taper.Ridge, taper.Hip} {
		if met[k] {
			s.lineSwatch(k.String(), linePen(k))
		}
	}
}

// creaseWords stands the slope beside each valley where it fits.
func (s *sheet) creaseWords(d *taper.Design) {
	for n, l := range d.Lines {
		a, b := s.loc(l.A), s.loc(l.B)
		if l.Kind != taper.Valley || b.Sub(a).Norm() < 0.75 {
			continue
		}
		var spots []spot
		for _, sp := range along([]scene.Pt{a, b}) {
			n := b.Sub(a).Left().Mul(0.085 / b.Sub(a).Norm())
			spots = append(spots, spot{sp.at.Add(n), 0.5, 0.5, sp.turnDeg}, spot{sp.at.Sub(n), 0.5, 0.5, sp.turnDeg})
		}
		s.place(lines{name: fmt.Sprintf("valley %d", n+1), words: []string{s.say.slope(l.Slope)}, ok: s.onRoof,
			text: scene.Text{SizePt: 7.5, Ink: waterInk(), Halo: true}}, spots)
	}
}

// drawnLines draws what was there before the design: the lines of the designer and
// the borders of regions, ridges, valleys and joints of the deck, and low lines
// where no cricket stands on them.
func (s *sheet) drawnLines(d *taper.Design) {
	toJob := func(l []geom.Pt) []geom.Pt { return geom.Ring(l).Map(s.site.Frame.ToJob) }
	var own, borders, breaks, joints, low [][]geom.Pt
	if s.res.Job != nil {
		for _, l := range s.res.Job.Lines {
			own = append(own, l.At)
		}
		for _, r := range s.res.Job.Regions {
			borders = append(borders, append(slices.Clone(r.Outline), r.Outline.At(0)))
		}
	}
	for _, l := range s.site.Breaks {
		breaks = append(breaks, toJob(l))
	}
	for _, l := range s.site.Joints {
		joints = append(joints, toJob(l))
	}
	for _, l := range d.LowLines {
		for i := 1; i < len(l.At); i++ {
			if !cricketAt(d, l.At[i-1].Lerp(l.At[i], 0.5)) {
				low = append(low, toJob(l.At[i-1:i+1]))
			}
		}
	}
	for _, k := range []struct {
		name  string
		lines [][]geom.Pt
		pens  []scene.Pen
	}{
		{"ridge or valley that the designer draws", own, []scene.Pen{{WidthPt: 5, Ink: scene.Grey(0.72)}}},
		{"border of a region", borders, []scene.Pen{{WidthPt: 2.6, Ink: scene.White()}, {WidthPt: 1, Ink: scene.Grey(0.3), DashPt: []float64{9, 2, 1, 2, 1, 2}}}},
		{"ridge or valley of the deck", breaks, []scene.Pen{{WidthPt: 0.9, Ink: scene.Black(), DashPt: []float64{1, 2}}}},
		{"expansion joint in the roof", joints, edgeLook(survey.Joint)},
		{"low line: level", low, []scene.Pen{{WidthPt: 0.7, Ink: waterInk()}}},
	} {
		some := false
		for _, l := range k.lines {
			for i := 1; i < len(l); i++ {
				for _, part := range s.overRoof(l[i-1], l[i]) {
					some = true
					for _, pen := range k.pens {
						s.line(k.name, s.path(part[:], s.at), pen)
					}
				}
			}
		}
		if some {
			s.lineSwatch(k.name, k.pens...)
		}
	}
}

// cricketAt says whether a place lies on a cricket or its border.
func cricketAt(d *taper.Design, p geom.Pt) bool {
	return slices.ContainsFunc(d.Facets, func(f taper.Facet) bool {
		return f.Cricket != 0 && (f.Poly.Has(p) || f.Poly.Dist(p) < sameSpotFt)
	})
}

// overRoof is what of the stretch a-b lies over the outline, in job feet.
func (s *sheet) overRoof(a, b geom.Pt) [][2]geom.Pt {
	at := []float64{0, 1}
	o, v := s.a.Area.Outline, b.Sub(a)
	for i, p := range o {
		e := o.At(i + 1).Sub(p)
		if den := v.Cross(e); den != 0 {
			if t, u := p.Sub(a).Cross(e)/den, p.Sub(a).Cross(v)/den; t > 0 && t < 1 && u >= 0 && u <= 1 {
				at = append(at, t)
			}
		}
	}
	slices.Sort(at)
	var out [][2]geom.Pt
	for i := 1; i < len(at); i++ {
		p, q := a.Lerp(b, at[i-1]), a.Lerp(b, at[i])
		if p.Dist(q) > sameSpotFt && o.Has(p.Lerp(q, 0.5)) {
			out = append(out, [2]geom.Pt{p, q})
		}
	}
	return out
}
