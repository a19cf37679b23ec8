package drainage

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Bowled is surf with the bowls of drains pressed into it: within its square
// each lies level, by its depth under the lowest roof at the square's border.
// surf is given back where there is none.
func Bowled(s *survey.Site, surf *survey.Surface) *survey.Surface {
	out := surf
	for n, cells := range OutletCells(s, surf) {
		b := s.Outlets[n].Bowl
		if b.Depth <= 0 {
			continue
		}
		if out == surf {
			out = surf.With(slices.Clone(surf.ElevIn))
		}
		bottomIn := rimOf(surf, s.Outlets[n].P, b, cells) - b.Depth.Inches()
		half := b.Size.Feet()/2 + 1e-9
		for k, roof := range surf.Roof {
			d := surf.Centre(k%surf.NX, k/surf.NX).Sub(s.Outlets[n].P)
			if roof && math.Max(math.Abs(d.X), math.Abs(d.Y)) <= half || slices.Contains(cells, k) {
				out.ElevIn[k] = math.Min(out.ElevIn[k], bottomIn)
			}
		}
	}
	return out
}

// rimOf is the lowest roof at the border of a bowl, by its corners and the
// middles of its sides; where no roof is near, the lowest of cells.
func rimOf(surf *survey.Surface, p geom.Pt, b survey.Bowl, cells []int) float64 {
	rimIn, half := math.Inf(1), b.Size.Feet()/2
	for _, d := range around8 {
		at := p.Add(geom.Pt{X: float64(d[0]) * half, Y: float64(d[1]) * half})
		if z, ok := surf.Elevation(at); ok {
			rimIn = math.Min(rimIn, z)
		}
	}
	if math.IsInf(rimIn, 1) {
		return Lowest(surf, cells)
	}
	return rimIn
}

// leastStrainer is how high the dome of a strainer stands over the roof at
// least. Source: Louisiana Sanitary Code XIV-1109.
const leastStrainer = 4 * unit.Inch

// StrainerFindings names the drains whose strainer, as stated, is lower than a
// dome has to be. Strainers that are not stated are not judged.
func StrainerFindings(s *survey.Site, sys unit.System) []string {
	var out []string
	for _, o := range s.Outlets {
		if o.Strainer > 0 && o.Strainer < leastStrainer {
			out = append(out, o.ID+": its strainer stands "+o.Strainer.FormatThin(sys)+" high, a dome has to stand "+
				leastStrainer.FormatThin(sys)+" over the roof (Louisiana Sanitary Code XIV-1109); a flat one needs twice the leader's area")
		}
	}
	return out
}
