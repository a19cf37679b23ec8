// Package png puts scenes on paper as PNG pictures. It is the only place that
// knows the drawing library.
package png

import (
	"fmt"
	"image"
	"image/color"
	stdpng "image/png"
	"io"
	"math"

	"github.com/fogleman/gg"

	"runnel/render/scene"
)

// DefaultDPI is the resolution that dpi 0 asks for, in dots an inch.
const DefaultDPI = 150

// Write draws s on white and encodes it. dpi is dots an inch, 0 for
// DefaultDPI, at most 600. Two writes of one scene give the same bytes. A
// scene that is not sound (see scene.Scene.Sound) or has a letter that the
// fonts lack is refused.
func Write(w io.Writer, s scene.Scene, dpi int) error {
	img, err := draw(s, dpi)
	if err != nil {
		return fmt.Errorf("draw the sheet: %w", err)
	}
	enc := stdpng.Encoder{CompressionLevel: stdpng.BestSpeed}
	if err := enc.Encode(w, img); err != nil {
		return fmt.Errorf("encode the picture: %w", err)
	}
	return nil
}

func draw(s scene.Scene, dpi int) (image.Image, error) {
	if dpi == 0 {
		dpi = DefaultDPI
	}
	w, h := s.W.Inches(), s.H.Inches()
	if dpi < 10 || dpi > 600 || !(w > 0 && h > 0 && w <= 60 && h <= 60) {
		return nil, fmt.Errorf("%v x %v in at %d dots an inch", w, h, dpi)
	}
	if err := s.Sound(); err != nil {
		return nil, err
	}
	p := painter{
		dc:  gg.NewContext(int(math.Round(w*float64(dpi))), int(math.Round(h*float64(dpi)))),
		dpi: float64(dpi), hIn: h, faces: map[faceKey]*face{},
	}
	p.dc.SetColor(color.White)
	p.dc.Clear()
	p.dc.SetFillRule(gg.FillRuleEvenOdd)
	for _, m := range s.Marks {
		if err := p.mark(m); err != nil {
			return nil, err
		}
	}
	return p.dc.Image(), nil
}

// painter draws marks on one canvas.
type painter struct {
	dc    *gg.Context
	dpi   float64
	hIn   float64
	faces map[faceKey]*face
}

func (p *painter) mark(m scene.Mark) error {
	switch m := m.(type) {
	case scene.Shape:
		p.shape(m)
	case scene.Line:
		p.line(m.Pts, false)
		p.stroke(m.Pen)
	case scene.Text:
		return p.text(m)
	}
	return nil
}

// xy turns sheet inches into pixels, y down.
func (p *painter) xy(q scene.Pt) (x, y float64) { return q.X * p.dpi, (p.hIn - q.Y) * p.dpi }

func (p *painter) px(pt float64) float64 { return pt * p.dpi / 72 }

func (p *painter) shape(m scene.Shape) {
	if m.Fill.A > 0 {
		for _, r := range m.Rings {
			p.line(r, true)
		}
		p.dc.SetColor(m.Fill)
		p.dc.Fill()
	}
	if lines := m.HatchLines(); len(lines) > 0 {
		for _, l := range lines {
			p.line(l[:], false)
		}
		p.stroke(m.Hatch.Pen)
	}
	if m.Pen.WidthPt > 0 {
		for _, r := range m.Rings {
			p.line(r, true)
		}
		p.stroke(m.Pen)
	}
}

func (p *painter) line(pts []scene.Pt, closed bool) {
	p.dc.NewSubPath()
	for _, q := range pts {
		x, y := p.xy(q)
		p.dc.LineTo(x, y)
	}
	if closed {
		p.dc.ClosePath()
	}
}

// stroke draws the path in hand and forgets it.
func (p *painter) stroke(pen scene.Pen) {
	if pen.WidthPt <= 0 {
		p.dc.ClearPath()
		return
	}
	dash := make([]float64, len(pen.DashPt))
	for i, d := range pen.DashPt {
		dash[i] = p.px(d)
	}
	p.dc.SetDash(dash...)
	p.dc.SetLineCapButt()
	if len(dash) == 0 {
		p.dc.SetLineCapSquare() // so that edges close at the corners
	}
	p.dc.SetLineWidth(p.px(pen.WidthPt))
	p.dc.SetColor(pen.Ink)
	p.dc.Stroke()
}
