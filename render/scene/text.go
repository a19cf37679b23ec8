package scene

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"
)

// Text is the scene as sorted text, one line a mark, numbers to 0.01 in: what
// golden files hold and people review.
func (s Scene) Text() string {
	lines := make([]string, len(s.Marks))
	for i, m := range s.Marks {
		lines[i] = m.String()
	}
	slices.Sort(lines)
	return fmt.Sprintf("sheet %s x %s in\n%s\n", num(s.W.Inches()), num(s.H.Inches()),
		strings.Join(lines, "\n"))
}

// String is the mark as one line of text.
func (m Shape) String() string {
	var b strings.Builder
	b.WriteString(m.Name + " | shape")
	if m.Fill.A > 0 {
		b.WriteString(" fill " + ink(m.Fill))
	}
	if m.Hatch.GapPt > 0 {
		b.WriteString(fmt.Sprintf(" hatch %s at %s", num(m.Hatch.GapPt), num(m.Hatch.TurnDeg)))
	}
	b.WriteString(m.Pen.text())
	for _, r := range m.Rings {
		b.WriteString(" :" + places(r))
	}
	return b.String()
}

// String is the mark as one line of text.
func (m Line) String() string { return m.Name + " | line" + m.Pen.text() + " :" + places(m.Pts) }

// String is the mark as one line of text.
func (m Text) String() string {
	out := fmt.Sprintf("%s | text %q %s pt", m.Name, m.Words, num(m.SizePt))
	if m.Bold {
		out += " bold"
	}
	if m.TurnDeg != 0 {
		out += " turned " + num(m.TurnDeg)
	}
	return out + fmt.Sprintf(" anchor %s,%s :%s", num(m.Across), num(m.Up), places([]Pt{m.At}))
}

func (p Pen) text() string {
	if p.WidthPt <= 0 {
		return ""
	}
	out := " pen " + num(p.WidthPt) + " " + ink(p.Ink)
	for i, d := range p.DashPt {
		sep := "-"
		if i == 0 {
			sep = " dash "
		}
		out += sep + num(d)
	}
	return out
}

func places(pts []Pt) string {
	var b strings.Builder
	for _, p := range pts {
		b.WriteString(" " + num(p.X) + "," + num(p.Y))
	}
	return b.String()
}

// num prints v to 0.01 without a minus before nothing.
func num(v float64) string {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0
	}
	return strings.TrimSuffix(strings.TrimSuffix(fmt.Sprintf("%.2f", v), "0"), ".0")
}

func ink(c color.NRGBA) string {
	out := fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	if c.A != 255 {
		out += fmt.Sprintf("%02x", c.A)
	}
	return out
}
