package scene

import (
	"math"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// metrics holds what layout needs of one font, in ems.
type metrics struct {
	advance         map[rune]float64 // of the glyphs that the font has
	capHigh, deepEm float64
}

var (
	regular = sync.OnceValue(func() *metrics { return load(goregular.TTF) })
	bold    = sync.OnceValue(func() *metrics { return load(gobold.TTF) })
)

func metricsOf(isBold bool) *metrics {
	if isBold {
		return bold()
	}
	return regular()
}

// load reads the advances of the glyphs that plans use: Latin, Greek,
// Cyrillic, punctuation, arrows and signs.
func load(ttf []byte) *metrics {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("scene: the built-in font does not parse: " + err.Error())
	}
	var buf sfnt.Buffer
	upem := fixed.I(int(f.UnitsPerEm()))
	em := func(v fixed.Int26_6) float64 { return float64(v) / float64(upem) }
	m := &metrics{advance: map[rune]float64{}}
	if fm, err := f.Metrics(&buf, upem, font.HintingNone); err == nil {
		m.capHigh, m.deepEm = em(fm.CapHeight), em(fm.Descent)
	}
	for r := rune(0x20); r < 0x2600; r++ {
		if r == 0x0530 {
			r = 0x2000 // nothing that the fonts hold lies between
		}
		g, err := f.GlyphIndex(&buf, r)
		if err != nil || g == 0 {
			continue
		}
		if a, err := f.GlyphAdvance(&buf, g, upem, font.HintingNone); err == nil {
			m.advance[r] = em(a)
		}
	}
	return m
}

// TextWidth is how wide words stand, in sheet inches; a missing glyph counts
// an em. Cost: the length of words.
func TextWidth(words string, sizePt float64, isBold bool) float64 {
	m, sum := metricsOf(isBold), 0.0
	for _, r := range words {
		if a, ok := m.advance[r]; ok {
			sum += a
		} else {
			sum++
		}
	}
	return sum * sizePt / 72
}

// CapHeight is how high capitals and figures stand, in sheet inches.
func CapHeight(sizePt float64, isBold bool) float64 {
	return metricsOf(isBold).capHigh * sizePt / 72
}

// Missing gives the letters of words that the font cannot draw: they would
// leave a gap without an error.
func Missing(words string, isBold bool) []rune {
	m := metricsOf(isBold)
	var out []rune
	for _, r := range words {
		if _, ok := m.advance[r]; !ok {
			out = append(out, r)
		}
	}
	return out
}

// Printable is words with a question mark for each letter that either font
// lacks, and a blank for line ends.
func Printable(words string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\r' || r == '\t' {
			return ' '
		}
		_, a := regular().advance[r]
		if _, b := bold().advance[r]; a && b {
			return r
		}
		return '?'
	}, words)
}

// Box is the rectangle that the words cover, from their lower left corner
// counter-clockwise as they are read.
func (m Text) Box() Quad {
	f := metricsOf(m.Bold)
	w := TextWidth(m.Words, m.SizePt, m.Bold)
	capIn, deep := f.capHigh*m.SizePt/72, f.deepEm*m.SizePt/72
	left, base := -m.Across*w, -m.Up*capIn
	sin, cos := math.Sincos(m.TurnDeg * math.Pi / 180)
	place := func(x, y float64) Pt {
		return m.At.Add(Pt{float64(x*cos) - float64(y*sin), float64(x*sin) + float64(y*cos)})
	}
	return Quad{place(left, base-deep), place(left+w, base-deep),
		place(left+w, base+capIn), place(left, base+capIn)}
}

// Baseline is where the words begin on their baseline.
func (m Text) Baseline() Pt {
	sin, cos := math.Sincos(m.TurnDeg * math.Pi / 180)
	x := -m.Across * TextWidth(m.Words, m.SizePt, m.Bold)
	y := -m.Up * CapHeight(m.SizePt, m.Bold)
	return m.At.Add(Pt{float64(x*cos) - float64(y*sin), float64(x*sin) + float64(y*cos)})
}
