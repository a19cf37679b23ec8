package render

import (
	"image/color"
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// colour is an ink of the sheet.
type colour = color.NRGBA

// ramp is a pale-to-dark scale of one hue, even to the eye: its ends are
// blended in OKLab (Ottosson 2020, "A perceptual color space for image
// processing").
type ramp struct{ pale, dark colorful.Color }

// The ramps: one hue for each quantity, all readable in grey as pale to dark.
func waterRamp() ramp     { return ramp{rgb(0xd6e8f5), rgb(0x1f5f9e)} }
func thicknessRamp() ramp { return ramp{rgb(0xfaf3e3), rgb(0xb0793a)} }
func slopeRamp() ramp     { return ramp{rgb(0xf6f3f8), rgb(0x7c6c93)} }
func elevationRamp() ramp { return ramp{rgb(0xfbfcfa), rgb(0xb5c9bd)} }

func rgb(hex uint32) colorful.Color {
	part := func(shift uint) float64 { return float64(hex>>shift&0xff) / 255 }
	return colorful.Color{R: part(16), G: part(8), B: part(0)}
}

// at is the colour of a share t of the way from pale to dark; t is held to
// 0 to 1, and what is no number is pale.
func (r ramp) at(t float64) color.NRGBA {
	if !(t > 0) {
		t = 0
	}
	c := r.pale.BlendOkLab(r.dark, math.Min(t, 1)).Clamped()
	red, green, blue := c.RGB255()
	return color.NRGBA{R: red, G: green, B: blue, A: 255}
}

// The inks that are no scale. Each stands beside a line style or a word, so
// that none is needed to read a sheet.
func thickInk() color.NRGBA  { return color.NRGBA{0xb3, 0x1b, 0x1b, 255} }
func waterInk() color.NRGBA  { return color.NRGBA{0x12, 0x4a, 0x80, 255} }
func wrongInk() color.NRGBA  { return color.NRGBA{0xb3, 0x1b, 0x1b, 255} }
func unsureInk() color.NRGBA { return color.NRGBA{0x9a, 0x5b, 0x00, 255} }
func seenInk() color.NRGBA   { return color.NRGBA{0x7a, 0x2b, 0x8c, 255} }
