package taper

import (
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Moved is d with every place shifted by a stretch of the frame.
func (d *Design) Moved(by geom.Pt) *Design {
	out := *d
	place := func(p geom.Pt) geom.Pt { return p.Add(by) }
	plane := func(p survey.Plane) survey.Plane {
		p.CIn -= p.GX*by.X + p.GY*by.Y
		return p
	}
	out.Deck = plane(d.Deck)
	out.Facets, out.Lines, out.Boards, out.LowLines, out.Crickets = nil, nil, nil, nil, nil
	for _, l := range d.LowLines {
		l.At = geom.Ring(l.At).Map(place)
		out.LowLines = append(out.LowLines, l)
	}
	for _, c := range d.Crickets {
		c.A, c.B, c.Apex = place(c.A), place(c.B), place(c.Apex)
		out.Crickets = append(out.Crickets, c)
	}
	for _, f := range d.Facets {
		f.Poly, f.Plane, f.Deck = f.Poly.Map(place), plane(f.Plane), plane(f.Deck)
		out.Facets = append(out.Facets, f)
	}
	for _, l := range d.Lines {
		l.A, l.B = place(l.A), place(l.B)
		out.Lines = append(out.Lines, l)
	}
	for _, b := range d.Boards {
		b.Poly, b.Plane = b.Poly.Map(place), plane(b.Plane)
		out.Boards = append(out.Boards, b)
	}
	out.Laid = d.Laid.moved(by)
	return &out
}

// FinishWithin is the finished top of an area of which only a part is done:
// base and thickness and cover within the part, the roof as it stands outside.
func FinishWithin(part geom.Poly, base, stays *survey.Surface, d *Design) *survey.Surface {
	in := make([]bool, base.Len())
	for k, on := range base.Roof {
		in[k] = on && part.Has(base.Centre(k%base.NX, k/base.NX))
	}
	top := ThicknessIn(d.Facets, base.Lattice, in)
	for k, on := range base.Roof {
		switch {
		case in[k]:
			top[k] += base.ElevIn[k] + d.Cover.Inches()
		case on:
			top[k] = stays.ElevIn[k]
		}
	}
	return base.With(top)
}

// within says whether a place lies where the design is laid.
func (t Trial) within(p geom.Pt) bool {
	return t.Part == nil || t.Part.Has(p) || t.Part.Dist(p) < onBorderFt
}

// sameDepthIn is by how much a pond may deepen and still be the old one: the
// step in which shots are read in common practice, no source.
const sameDepthIn = 1.0 / 8

// stays says whether a pond lies where the roof stays and was there before.
func (t Trial) stays(r *drainage.Report, p drainage.Pond) bool {
	if t.Before == nil || t.within(p.Deepest) {
		return false
	}
	i, j := r.Surface.CellOf(p.Deepest)
	return r.Surface.Holds(i, j) && p.DepthIn <= waterIn(t.Before, j*r.Surface.NX+i)+sameDepthIn
}

// waterIn is the depth of the water on a cell.
func waterIn(r *drainage.Report, k int) float64 {
	return math.Max(0, r.FilledIn[k]-r.Surface.ElevIn[k])
}

// oldPonds names the ponds that stay where the roof stays.
func oldPonds(t Trial, r *drainage.Report) []string {
	var out []string
	for _, p := range r.Ponds {
		if t.stays(r, p) {
			out = append(out, fmt.Sprintf("%s lies where the old roof stays, and stays: %s deep", p.ID,
				unit.Inches(p.DepthIn).FormatThin(t.Units)))
		}
	}
	return out
}

// Tie is how a new surface ends against the roof that stays.
type Tie struct {
	Step  string  // how far it steps up and down from it, and where
	Dam   string  // whether water is dammed there that did not stand before
	DamIn float64 // how deep; 0: none is
}

// TieLine compares new and old along the edges at which the work ends, edges of
// part in the frame of r. It is nil where the work ends at no such edge.
func TieLine(part []survey.SiteEdge, f geom.Frame, t Trial, r *drainage.Report) *Tie {
	var up, down, dam most
	stations := 0
	for _, e := range part {
		if e.Kind != survey.LimitEdge {
			continue
		}
		along := e.B.Sub(e.A)
		n := max(1, int(math.Ceil(along.Norm()/r.Surface.CellFt-1e-6)))
		inward := geom.Pt{X: -along.Y, Y: along.X}.Mul(r.Surface.CellFt / along.Norm())
		for i := range n {
			at := e.A.Lerp(e.B, (float64(i)+0.5)/float64(n))
			if k, ok := roofCell(r.Surface, at.Add(inward.Mul(0.5))); ok {
				stations++
				step := r.Surface.ElevIn[k] - t.Before.Surface.ElevIn[k]
				up.take(step, at)
				down.take(-step, at)
			}
			for _, side := range []float64{-1.5, -0.5, 0.5, 1.5} {
				if k, ok := roofCell(r.Surface, at.Add(inward.Mul(side))); ok {
					if deep := waterIn(r, k); deep > waterIn(t.Before, k)+sameDepthIn {
						dam.take(deep, at)
					}
				}
			}
		}
	}
	if stations == 0 {
		return nil
	}
	return &Tie{stepWords(up, down, f, t.Units), damWords(dam, f, t.Units), dam.in}
}

// most is a greatest height and its place; 0: none.
type most struct {
	in float64
	at geom.Pt
}

func (m *most) take(in float64, at geom.Pt) {
	if in > m.in {
		m.in, m.at = in, at
	}
}

func roofCell(s *survey.Surface, p geom.Pt) (int, bool) {
	i, j := s.CellOf(p)
	if !s.Holds(i, j) || !s.Roof[j*s.NX+i] {
		return 0, false
	}
	return j*s.NX + i, true
}

// flushIn is a step that counts as none.
const flushIn = 1.0 / 16

func stepWords(up, down most, f geom.Frame, sys unit.System) string {
	var parts []string
	for _, m := range []struct {
		most
		word string
	}{{up, "above"}, {down, "below"}} {
		if m.in >= flushIn {
			parts = append(parts, fmt.Sprintf("up to %s %s it at %s", unit.Inches(m.in).FormatThin(sys), m.word, placeText(m.at, f, sys)))
		}
	}
	if len(parts) == 0 {
		return "along the tie line the new surface is flush with the old roof"
	}
	return "along the tie line the new surface ends against the old roof " + listText(parts)
}

func damWords(dam most, f geom.Frame, sys unit.System) string {
	if dam.in == 0 {
		return "no water is dammed along the tie line that did not stand there before"
	}
	return fmt.Sprintf("water is dammed along the tie line, %s deep at %s: it did not stand there before",
		unit.Inches(dam.in).FormatThin(sys), placeText(dam.at, f, sys))
}

// placeText prints a place of the frame in job coordinates.
func placeText(p geom.Pt, f geom.Frame, sys unit.System) string {
	at := f.ToJob(p)
	if sys == unit.Metric {
		return fmt.Sprintf("x %.1f m, y %.1f m", unit.Feet(at.X).Metres(), unit.Feet(at.Y).Metres())
	}
	return fmt.Sprintf("x %.1f ft, y %.1f ft", at.X, at.Y)
}
