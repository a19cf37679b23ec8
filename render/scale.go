package render

import (
	"fmt"
	"math"

	"runnel/render/scene"
	"runnel/survey/unit"
)

// scaleStep is a usual drawing scale.
type scaleStep struct {
	perFt float64 // sheet inches a foot
	words string
}

// usScales are the architect's and engineer's scales, largest first.
func usScales() []scaleStep {
	out := []scaleStep{
		{12, "full size"}, {6, `6" = 1'-0"`}, {3, `3" = 1'-0"`}, {1.5, `1-1/2" = 1'-0"`},
		{1, `1" = 1'-0"`}, {0.75, `3/4" = 1'-0"`}, {0.5, `1/2" = 1'-0"`},
		{0.375, `3/8" = 1'-0"`}, {0.25, `1/4" = 1'-0"`}, {0.1875, `3/16" = 1'-0"`},
		{0.125, `1/8" = 1'-0"`}, {0.09375, `3/32" = 1'-0"`}, {0.0625, `1/16" = 1'-0"`},
	}
	for tens := 10.0; tens <= 1e8; tens *= 10 {
		for _, n := range []float64{2, 3, 4, 5, 6, 8, 10} {
			out = append(out, scaleStep{1 / (n * tens), fmt.Sprintf(`1" = %.0f'-0"`, n*tens)})
		}
	}
	return out
}

// metricScales are 1:n, largest first.
func metricScales() []scaleStep {
	var out []scaleStep
	for tens := 1.0; tens <= 1e9; tens *= 10 {
		for _, n := range []float64{1, 1.25, 2, 2.5, 4, 5, 7.5} {
			if n*tens == math.Trunc(n*tens) {
				out = append(out, scaleStep{12 / (n * tens), fmt.Sprintf("1:%.0f", n*tens)})
			}
		}
	}
	return out
}

// scaleFor is the largest usual scale at which w x h feet fit into the given
// sheet inches; beyond all scales, whatever fits.
func scaleFor(sys unit.System, wFt, hFt, wIn, hIn float64) scaleStep {
	steps := usScales()
	if sys == unit.Metric {
		steps = metricScales()
	}
	for _, st := range steps {
		if wFt*st.perFt <= wIn && hFt*st.perFt <= hIn {
			return st
		}
	}
	return scaleStep{math.Min(wIn/math.Max(wFt, 1e-9), hIn/math.Max(hFt, 1e-9)), "not to a usual scale"}
}

// barLength is the round plan length, in feet and in words, whose bar is the
// longest up to mostIn sheet inches.
func (s *sheet) barLength(mostIn float64) (ft float64, n float64, name string) {
	one, name := 1.0, "ft"
	if s.say.sys == unit.Metric {
		one, name = unit.Metres(1).Feet(), "m"
	}
	for tens := 1e9; tens > 1e-6; tens /= 10 {
		for _, m := range []float64{4, 2, 1} {
			if m*tens*one*s.perFt <= mostIn {
				return m * tens * one, m * tens, name
			}
		}
	}
	return one, 1, name
}

// scaleBar is a bar of four fields with its figures, and the north needle.
func (s *sheet) scaleBar() item {
	ft, n, name := s.barLength(1.55)
	long := ft * s.perFt
	return item{high: 0.62, draw: func(x, top float64) []scene.Mark {
		x += 0.06
		low, high := top-0.45, top-0.37
		pen := scene.Pen{WidthPt: 0.7, Ink: scene.Black()}
		var out []scene.Mark
		for k := range 4 {
			a := scene.Pt{X: x + long*float64(k)/4, Y: low}
			q := scene.Rect(a, scene.Pt{X: x + long*float64(k+1)/4, Y: high})
			fill := scene.Black()
			if k%2 == 1 {
				fill = scene.White()
			}
			out = append(out, scene.Shape{Name: "scale bar", Rings: [][]scene.Pt{q[:]}, Fill: fill, Pen: pen})
		}
		words := []string{"0", fmt.Sprintf("%g", n/2), fmt.Sprintf("%g %s", n, name)}
		if long < 0.8 {
			words[1] = ""
		}
		for k, w := range words {
			if w == "" {
				continue
			}
			out = append(out, scene.Text{Name: "scale bar", Words: w, SizePt: 7.5, Across: 0.5 - 0.5*float64(k/2)*0.4,
				At: scene.Pt{X: x + long*float64(k)/2, Y: high + 0.045}, Ink: scene.Black()})
		}
		if s.noNorth {
			return out
		}
		return append(out, s.needle(scene.Pt{X: x + 2.1, Y: top - 0.31})...)
	}}
}

// needle points north; it is no arrow, since arrows are for water.
func (s *sheet) needle(c scene.Pt) []scene.Mark {
	turn := 0.0
	if s.res.Job != nil {
		turn = s.res.Job.NorthDeg * math.Pi / 180
	}
	sin, cos := math.Sincos(turn)
	up := scene.Pt{X: -sin, Y: cos}
	wing := up.Left().Mul(0.055)
	tip, tail := c.Add(up.Mul(0.17)), c.Sub(up.Mul(0.17))
	pen := scene.Pen{WidthPt: 0.7, Ink: scene.Black()}
	return []scene.Mark{
		scene.Shape{Name: "north", Rings: [][]scene.Pt{{tip, c.Add(wing), tail}}, Fill: scene.Black(), Pen: pen},
		scene.Shape{Name: "north", Rings: [][]scene.Pt{{tip, c.Sub(wing), tail}}, Fill: scene.White(), Pen: pen},
		scene.Text{Name: "north", Words: "N", Bold: true, SizePt: 8, Across: 0.5, Up: 0.5,
			At: c.Add(up.Mul(0.26)), Ink: scene.Black()},
	}
}
