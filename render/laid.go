package render

import (
	"fmt"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/taper"
)

// laidLook is how rows that are down are drawn.
func laidLook() scene.Shape {
	return scene.Shape{Fill: scene.Grey(0.9), Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.5)},
		Hatch: scene.Hatch{GapPt: 7, TurnDeg: 45, Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.65)}}}
}

// laidOn are the rows that are down on a layer.
func laidOn(a *AreaResult, layer int) []taper.LaidRow {
	if a.Design == nil || a.Design.Laid == nil {
		return nil
	}
	var out []taper.LaidRow
	for _, r := range a.Design.Laid.Rows {
		if r.Layer == layer {
			out = append(out, r)
		}
	}
	return out
}

// downRows greys the rows that are down on the layer of rows.
func (s *sheet) downRows(rows []boardRow) {
	down := s.down(rows)
	for _, r := range down {
		for _, p := range r.Polys {
			m := laidLook()
			m.Name, m.Rings = "laid "+r.Name(), s.poly(p)
			s.shape(m)
		}
	}
	if len(down) > 0 {
		s.fillSwatch("LAID: row that is down", laidLook())
	}
}

// down are the rows that are down on the layer of rows.
func (s *sheet) down(rows []boardRow) []taper.LaidRow {
	if len(rows) == 0 {
		return nil
	}
	return laidOn(s.a, rows[0].boards[0].Layer)
}

// downWords letters them where there is room.
func (s *sheet) downWords(rows []boardRow) {
	for _, r := range s.down(rows) {
		for _, p := range r.Polys {
			var spots []spot
			for _, at := range alongRow(p) {
				spots = append(spots, spot{s.loc(at), 0.5, 0.5, 0}, spot{s.loc(at), 0.5, 0.5, 90})
			}
			l := lines{name: fmt.Sprintf("LAID on line %d", r.Line), words: []string{"LAID"},
				text: scene.Text{SizePt: 8, Bold: true, Ink: scene.Grey(0.25), Halo: true}}
			in := s.within([]taper.Board{{Poly: p}})
			l.ok = func(q scene.Quad) bool { return in(q) }
			s.place(l, spots)
		}
	}
}

// alongRow are places in a region: its middle, then those nearer to its ends.
func alongRow(p geom.Poly) []geom.Pt {
	box := p.Outer.Box()
	w, h := box.Size()
	way := geom.Pt{X: w / 2}
	if h > w {
		way = geom.Pt{Y: h / 2}
	}
	var out []geom.Pt
	for _, share := range []float64{0, 0.3, -0.3, 0.6, -0.6} {
		if q := box.Centre().Add(way.Mul(share)); p.Has(q) {
			out = append(out, q)
		}
	}
	return out
}
