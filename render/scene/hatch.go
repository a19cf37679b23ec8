package scene

import (
	"math"
	"slices"
)

// mostHatchLines keeps a hatch from running away on a hostile gap.
const mostHatchLines = 4000

// HatchLines cuts the hatch of m to its rings: pairs of places, in order
// across the hatch, then along it. Lines stand at whole gaps from the sheet's
// corner, so that neighbours match. No hatch gives none.
// Cost: hatch lines x corners.
func (m Shape) HatchLines() [][2]Pt {
	gap := m.Hatch.GapPt / 72
	if gap <= 0 || m.Hatch.Pen.WidthPt <= 0 {
		return nil
	}
	sin, cos := math.Sincos(m.Hatch.TurnDeg * math.Pi / 180)
	lo, hi := math.Inf(1), math.Inf(-1)
	turned := make([][]Pt, len(m.Rings))
	for i, r := range m.Rings {
		for _, p := range r {
			q := Pt{float64(p.X*cos) + float64(p.Y*sin), float64(p.Y*cos) - float64(p.X*sin)}
			turned[i] = append(turned[i], q)
			lo, hi = math.Min(lo, q.Y), math.Max(hi, q.Y)
		}
	}
	if !((hi-lo)/gap < mostHatchLines) {
		return nil
	}
	var out [][2]Pt
	for k := math.Ceil(lo/gap - 0.5); (k+0.5)*gap < hi; k++ {
		y := (k + 0.5) * gap
		xs := crossings(turned, y)
		for i := 0; i+1 < len(xs); i += 2 {
			out = append(out, [2]Pt{back(xs[i], y, sin, cos), back(xs[i+1], y, sin, cos)})
		}
	}
	return out
}

func back(x, y, sin, cos float64) Pt {
	return Pt{float64(x*cos) - float64(y*sin), float64(x*sin) + float64(y*cos)}
}

// crossings gives the sorted places where the rings pass the level y.
func crossings(rings [][]Pt, y float64) []float64 {
	var xs []float64
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.Y > y) != (b.Y > y) {
				xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	slices.Sort(xs)
	return xs
}
