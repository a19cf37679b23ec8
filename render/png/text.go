package png

import (
	"fmt"
	"image"
	"image/color"
	stddraw "image/draw"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"runnel/render/scene"
)

type faceKey struct {
	sizePt float64
	bold   bool
}

// face is one font at one size; it keeps glyphs and serves one goroutine.
type face struct {
	font *sfnt.Font
	face font.Face
	buf  sfnt.Buffer
	ppem fixed.Int26_6
}

func (p *painter) face(m scene.Text) (*face, error) {
	key := faceKey{m.SizePt, m.Bold}
	if f := p.faces[key]; f != nil {
		return f, nil
	}
	ttf := goregular.TTF
	if m.Bold {
		ttf = gobold.TTF
	}
	parsed, err := opentype.Parse(ttf)
	if err != nil {
		return nil, fmt.Errorf("read the built-in font: %w", err)
	}
	px := p.px(m.SizePt)
	// At 72 dots an inch the size is in pixels.
	ff, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: px, DPI: 72})
	if err != nil {
		return nil, fmt.Errorf("size the built-in font: %w", err)
	}
	f := &face{font: parsed, face: ff, ppem: fixed.Int26_6(math.Round(px * 64))}
	p.faces[key] = f
	return f, nil
}

// text draws upright words by the font drawer, turned words by their outlines.
func (p *painter) text(m scene.Text) error {
	f, err := p.face(m)
	if err != nil {
		return err
	}
	if m.TurnDeg != 0 {
		return p.turned(m, f)
	}
	img, ok := p.dc.Image().(stddraw.Image)
	if !ok {
		return fmt.Errorf("the canvas cannot take text")
	}
	x, y := p.xy(m.Baseline())
	if m.Halo {
		r := p.px(1.1)
		for _, d := range [][2]float64{{r, 0}, {-r, 0}, {0, r}, {0, -r},
			{r * 0.7, r * 0.7}, {-r * 0.7, r * 0.7}, {r * 0.7, -r * 0.7}, {-r * 0.7, -r * 0.7}} {
			f.words(img, m.Words, color.White, [2]float64{x + d[0], y + d[1]})
		}
	}
	f.words(img, m.Words, m.Ink, [2]float64{x, y})
	return nil
}

// words draws s from a place on its baseline, in pixels.
func (f *face) words(img stddraw.Image, s string, ink color.Color, at [2]float64) {
	d := font.Drawer{Dst: img, Src: image.NewUniform(ink), Face: f.face,
		Dot: fixed.Point26_6{X: fixed.Int26_6(math.Round(at[0] * 64)), Y: fixed.Int26_6(math.Round(at[1] * 64))}}
	d.DrawString(s)
}

// turned draws the outlines of the letters as one path.
func (p *painter) turned(m scene.Text, f *face) error {
	if m.Halo {
		if err := p.outline(m, f); err != nil {
			return err
		}
		p.dc.SetDash()
		p.dc.SetColor(color.White)
		p.dc.SetLineWidth(p.px(2.2))
		p.dc.Stroke()
	}
	if err := p.outline(m, f); err != nil {
		return err
	}
	p.dc.SetFillRuleWinding()
	p.dc.SetColor(m.Ink)
	p.dc.Fill()
	p.dc.SetFillRuleEvenOdd()
	return nil
}

func (p *painter) outline(m scene.Text, f *face) error {
	x0, y0 := p.xy(m.Baseline())
	sin, cos := math.Sincos(m.TurnDeg * math.Pi / 180)
	penX := 0.0
	for _, r := range m.Words {
		g, err := f.font.GlyphIndex(&f.buf, r)
		if err != nil {
			return fmt.Errorf("letter %q: %w", r, err)
		}
		segs, err := f.font.LoadGlyph(&f.buf, g, f.ppem, nil)
		if err != nil {
			return fmt.Errorf("letter %q: %w", r, err)
		}
		at := func(q fixed.Point26_6) (x, y float64) {
			gx, gy := penX+float64(q.X)/64, float64(q.Y)/64 // y down
			return x0 + float64(gx*cos) + float64(gy*sin), y0 - float64(gx*sin) + float64(gy*cos)
		}
		p.glyph(segs, at)
		adv, err := f.font.GlyphAdvance(&f.buf, g, f.ppem, font.HintingNone)
		if err != nil {
			return fmt.Errorf("letter %q: %w", r, err)
		}
		penX += float64(adv) / 64
	}
	return nil
}

func (p *painter) glyph(segs sfnt.Segments, at func(fixed.Point26_6) (x, y float64)) {
	for _, s := range segs {
		x, y := at(s.Args[0])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			p.dc.ClosePath()
			p.dc.MoveTo(x, y)
		case sfnt.SegmentOpLineTo:
			p.dc.LineTo(x, y)
		case sfnt.SegmentOpQuadTo:
			x2, y2 := at(s.Args[1])
			p.dc.QuadraticTo(x, y, x2, y2)
		case sfnt.SegmentOpCubeTo:
			x2, y2 := at(s.Args[1])
			x3, y3 := at(s.Args[2])
			p.dc.CubicTo(x, y, x2, y2, x3, y3)
		}
	}
	p.dc.ClosePath()
}
