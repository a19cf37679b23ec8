// Package scene is a picture as a pure list of marks on a sheet of paper, so
// that one drawing serves every writer and a test can read it as text.
//
// Places are inches on the sheet, x to the right and y up from its lower left
// corner. Marks are painted in their order. Line widths and text sizes are
// typographic points of 1/72 in, as people who print know them.
package scene

import (
	"image/color"
	"math"

	"runnel/survey/unit"
)

// Pt is a place on the sheet, in inches from its lower left corner.
type Pt struct{ X, Y float64 }

// Add is p moved by q.
func (p Pt) Add(q Pt) Pt { return Pt{p.X + q.X, p.Y + q.Y} }

// Sub is the way from q to p.
func (p Pt) Sub(q Pt) Pt { return Pt{p.X - q.X, p.Y - q.Y} }

// Mul is p stretched by k.
func (p Pt) Mul(k float64) Pt { return Pt{p.X * k, p.Y * k} }

// Norm is the length of p as a vector, in inches.
func (p Pt) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Dot is the scalar product, in square inches.
func (p Pt) Dot(q Pt) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Lerp is the place a share t of the way from p to q.
func (p Pt) Lerp(q Pt, t float64) Pt { return p.Add(q.Sub(p).Mul(t)) }

// Left is p turned a quarter counter-clockwise.
func (p Pt) Left() Pt { return Pt{-p.Y, p.X} }

// Scene is one sheet. The zero value is an empty sheet of no size, which
// Check refuses.
type Scene struct {
	W, H  unit.Length
	Marks []Mark // painted in this order
}

// Mark is a Shape, a Line or a Text.
type Mark interface {
	// String is the mark as one line of text, numbers to 0.01 in.
	String() string
}

// Pen draws a line; a zero width draws none.
type Pen struct {
	WidthPt float64
	Ink     color.NRGBA
	DashPt  []float64 // drawn, left out, drawn...; nil: solid
}

// Hatch fills a shape with parallel lines; a zero gap has none.
type Hatch struct {
	GapPt   float64 // from line to line
	TurnDeg float64 // of the lines from +x, counter-clockwise
	Pen     Pen
}

// Shape is a filled region: what lies in an odd number of its rings.
type Shape struct {
	Name  string // what it stands for: "pond P1"
	Rings [][]Pt // closed; the last place joins the first
	Fill  color.NRGBA
	Hatch Hatch
	Pen   Pen
}

// Line is an open line.
type Line struct {
	Name string
	Pts  []Pt
	Pen  Pen
}

// Text is one line of words. Across and Up say which place of the words stands
// at At: 0 left and baseline, 0.5 middle, 1 right and top of the capitals.
type Text struct {
	Name       string // the thing it labels
	Words      string
	At         Pt
	SizePt     float64
	TurnDeg    float64 // counter-clockwise from upright
	Across, Up float64
	Bold       bool
	Ink        color.NRGBA
	Halo       bool // a white rim, for words over lines
}

// Black and White are the inks of paper.
func Black() color.NRGBA { return color.NRGBA{A: 255} }

// White is the colour of the sheet.
func White() color.NRGBA { return color.NRGBA{255, 255, 255, 255} }

// Grey is black thinned to the share white, 0 to 1.
func Grey(white float64) color.NRGBA {
	v := uint8(math.Round(255 * math.Max(0, math.Min(1, white))))
	return color.NRGBA{v, v, v, 255}
}

// Circle is a ring of n corners, counter-clockwise from the right.
func Circle(c Pt, radiusIn float64, n int) []Pt {
	out := make([]Pt, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = c.Add(Pt{radiusIn * cos, radiusIn * sin})
	}
	return out
}

// Arrow is the outline of an arrow from one place to another, its tip first
// and the middle of its tail between corners 3 and 4; two equal places give
// nil.
func Arrow(from, to Pt, shaftIn, headIn float64) []Pt {
	d := to.Sub(from)
	if d.Norm() < 1e-9 {
		return nil
	}
	u := d.Mul(1 / d.Norm())
	headIn = math.Min(headIn, d.Norm())
	n, neck := u.Left(), to.Sub(u.Mul(headIn))
	half, wing := n.Mul(shaftIn/2), n.Mul(0.38*headIn)
	return []Pt{to, neck.Add(wing), neck.Add(half), from.Add(half),
		from.Sub(half), neck.Sub(half), neck.Sub(wing)}
}
