package render

import (
	"fmt"
	"math"

	"runnel/render/scene"
	"runnel/survey"
	"runnel/taper"
)

// shadeBands is how many tints a tapered board has from its thin to its thick edge.
const shadeBands = 5

// shadeScale is the scale of thickness of a layer's tints, in inches: from its
// thinnest edge of tapered boards to its thickest, or, where all boards are flat,
// from nothing to twice the thickest.
type shadeScale struct{ loIn, hiIn float64 }

func shadesOf(rows []boardRow) shadeScale {
	k := shadeScale{math.Inf(1), 0}
	flatIn := 0.0
	for _, r := range rows {
		for _, b := range r.boards {
			flatIn = math.Max(flatIn, b.ThickIn)
			if b.ThickIn > b.ThinIn {
				k = shadeScale{math.Min(k.loIn, b.ThinIn), math.Max(k.hiIn, b.ThickIn)}
			}
		}
	}
	if k.hiIn == 0 {
		return shadeScale{0, 2 * flatIn}
	}
	return k
}

// at is the tint of a thickness; what is thicker than the scale has its darkest.
func (k shadeScale) at(in float64) colour {
	return thicknessRamp().at(0.05 + 0.75*math.Min(1, (in-k.loIn)/math.Max(k.hiIn-k.loIn, 1e-9)))
}

// band is the tint of band n of a tapered board, of its middle thickness.
func (k shadeScale) band(b taper.Board, n int) colour {
	return k.at(b.ThinIn + (b.ThickIn-b.ThinIn)*(float64(n)+0.5)/shadeBands)
}

// pieces draws every piece once: tapered ones in bands from thin (light) to thick
// (dark), flats in one tint, fill with dots; a cut piece with a slanting line.
func (s *sheet) pieces(rows []boardRow) {
	k := s.shade
	for _, r := range rows {
		if r.tapered() {
			s.bands(r, k)
		}
	}
	for _, r := range rows {
		for _, b := range r.boards {
			m := pieceLook(b, k)
			m.Name, m.Rings = boardName(b), s.poly(b.Poly)
			if len(m.Rings) == 0 { // smaller than a dot: drawn as one
				c := s.loc(b.Poly.Outer.Box().Centre())
				m.Rings = [][]scene.Pt{scene.Circle(c, finestIn, 4)}
			}
			s.shape(m)
			if b.Cut {
				s.cutSign(b)
			}
		}
	}
}

// pieceLook is how a piece is drawn, but for the bands of tapered ones.
func pieceLook(b taper.Board, k shadeScale) scene.Shape {
	m := scene.Shape{Pen: scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.2)}}
	if b.ThickIn <= b.ThinIn {
		m.Fill = k.at(b.ThickIn)
	}
	if b.Type == taper.FillType {
		m.Hatch = scene.Hatch{GapPt: 6, Pen: scene.Pen{WidthPt: 1, Ink: scene.Grey(0.45), DashPt: []float64{1, 5}}}
	}
	return m
}

// bands tints the pieces of a tapered row, a shape each band.
func (s *sheet) bands(r boardRow, k shadeScale) {
	for n := range shadeBands {
		m := scene.Shape{Name: fmt.Sprintf("shade facet %d row %d", r.facet, r.row), Fill: k.band(r.boards[0], n)}
		for _, b := range r.boards {
			below := survey.Plane{CIn: -b.Plane.CIn, GX: -b.Plane.GX, GY: -b.Plane.GY}
			lo := b.ThinIn + (b.ThickIn-b.ThinIn)*float64(n)/shadeBands
			hi := b.ThinIn + (b.ThickIn-b.ThinIn)*float64(n+1)/shadeBands
			if n == 0 {
				lo = math.Inf(-1)
			}
			if n == shadeBands-1 {
				hi = math.Inf(1)
			}
			for _, ring := range b.Poly.Rings() {
				c := thicker(thicker(ring, b.Plane, lo), below, -hi)
				if q := s.path(c, s.loc); len(q) > 2 {
					m.Rings = append(m.Rings, q)
				}
			}
		}
		s.shape(m)
	}
}

func cutPen() scene.Pen { return scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.3)} }

// cutSign is a slanting line across a piece that is cut.
func (s *sheet) cutSign(b taper.Board) {
	c := s.loc(middle(b.Poly))
	slant := scene.Pt{X: math.Sqrt2 / 2, Y: math.Sqrt2 / 2}
	if from, to := s.chord(b, c, slant); to-from > 0.02 {
		s.line("cut "+boardName(b), []scene.Pt{c.Add(slant.Mul(from)), c.Add(slant.Mul(to))}, cutPen())
	}
}

// chord is how far a line through c in b reaches within b, back and forth along way,
// which has length 1; nothing where it leaves b nowhere.
func (s *sheet) chord(b taper.Board, c, way scene.Pt) (from, to float64) {
	from, to = math.Inf(-1), math.Inf(1)
	for _, r := range b.Poly.Rings() {
		for i, p := range r {
			a, e := s.loc(p).Sub(c), s.loc(r.At(i+1)).Sub(c)
			da, de := a.Dot(way.Left()), e.Dot(way.Left())
			if (da > 0) == (de > 0) {
				continue
			}
			if t := a.Lerp(e, da/(da-de)).Dot(way); t <= 0 {
				from = math.Max(from, t)
			} else {
				to = math.Min(to, t)
			}
		}
	}
	if math.IsInf(from, 0) || math.IsInf(to, 0) {
		return 0, 0
	}
	return from, to
}

// layerLegend says what tints, dots and lines of the boards mean.
func (s *sheet) layerLegend(rows []boardRow) {
	k := s.shade
	var cut, fill, flat bool
	var tapered *taper.Board
	for _, r := range rows {
		for _, b := range r.boards {
			cut, fill = cut || b.Cut, fill || b.Type == taper.FillType
			flat = flat || b.ThickIn <= b.ThinIn && b.Type != taper.FillType
			if b.ThickIn > b.ThinIn && tapered == nil {
				tapered = &b
			}
		}
	}
	pen := scene.Pen{WidthPt: 0.5, Ink: scene.Grey(0.2)}
	if tapered != nil {
		s.swatch(fmt.Sprintf("tapered board, %s (light) to %s (dark) thick", s.say.inches(k.loIn), s.say.inches(k.hiIn)), func(lo, hi scene.Pt) []scene.Mark {
			var out []scene.Mark
			for n := range shadeBands {
				q := scene.Rect(scene.Pt{X: lo.X + (hi.X-lo.X)*float64(n)/shadeBands, Y: lo.Y}, scene.Pt{X: lo.X + (hi.X-lo.X)*float64(n+1)/shadeBands, Y: hi.Y})
				out = append(out, scene.Shape{Name: "legend", Rings: [][]scene.Pt{q[:]}, Fill: k.at(k.loIn + (k.hiIn-k.loIn)*(float64(n)+0.5)/shadeBands)})
			}
			q := scene.Rect(lo, hi)
			return append(out, scene.Shape{Name: "legend", Rings: [][]scene.Pt{q[:]}, Pen: pen})
		})
	}
	if flat {
		s.fillSwatch("flat board", scene.Shape{Fill: k.at((k.loIn + k.hiIn) / 2), Pen: pen})
	}
	if fill {
		s.fillSwatch("fill, flat", pieceLook(taper.Board{Type: taper.FillType, ThinIn: k.hiIn, ThickIn: k.hiIn}, k))
	}
	if cut {
		s.swatch("cut piece", func(lo, hi scene.Pt) []scene.Mark {
			q := scene.Rect(lo, hi)
			return []scene.Mark{scene.Shape{Name: "legend", Rings: [][]scene.Pt{q[:]}, Pen: pen}, scene.Line{Name: "legend", Pen: cutPen(), Pts: []scene.Pt{
				lo.Lerp(hi, 0.5).Sub(scene.Pt{X: (hi.Y - lo.Y) / 2, Y: (hi.Y - lo.Y) / 2}), lo.Lerp(hi, 0.5).Add(scene.Pt{X: (hi.Y - lo.Y) / 2, Y: (hi.Y - lo.Y) / 2})}}}
		})
	}
}

// tinted is a row of the schedule with the look of its boards in front.
func (s *sheet) tinted(c taper.Count, cells ...cell) item {
	var board taper.Board
	for _, b := range s.a.Design.Boards {
		if b.Layer == c.Layer && b.Mark == c.Mark && b.Type == c.Type {
			board = b
			break
		}
	}
	k, it := s.shade, row("counts", false, cells...)
	words := it.draw
	it.draw = func(x, top float64) []scene.Mark {
		lo, hi := scene.Pt{X: x, Y: top - 0.12}, scene.Pt{X: x + 0.12, Y: top - 0.015}
		q := scene.Rect(lo, hi)
		m := pieceLook(board, k)
		m.Name, m.Rings = "counts", [][]scene.Pt{q[:]}
		var out []scene.Mark
		for n := range shadeBands {
			if board.ThickIn > board.ThinIn {
				q := scene.Rect(scene.Pt{X: lo.X, Y: lo.Y + (hi.Y-lo.Y)*float64(n)/shadeBands}, scene.Pt{X: hi.X, Y: lo.Y + (hi.Y-lo.Y)*float64(n+1)/shadeBands})
				out = append(out, scene.Shape{Name: "counts", Rings: [][]scene.Pt{q[:]}, Fill: k.band(board, n)})
			}
		}
		return append(append(out, m), words(x, top)...)
	}
	return it
}

// perRow is how deep a row of r is drawn, in sheet inches.
func (s *sheet) perRow(r boardRow) float64 { return r.boards[0].Depth.Feet() * s.perFt }
