package fit

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// knownReach is how far from a shot the surface can still be told, in shot
// spacings: the middle of a square of four shots lies 0.71 spacings from each,
// and one spacing beyond the outer shots in both directions makes 1.41.
const knownReach = math.Sqrt2

// mostSpacingFt is the widest spacing at which neighbouring shots still speak for
// the roof between them: shots are usually taken 10 ft apart, 20 ft on large
// fields. What is farther than knownReach of it from every shot is unknown
// however far apart the shots stand. Common practice, no source.
const mostSpacingFt = 20.0

// reachOf is how far shots of a spacing tell, in feet.
func reachOf(spacingFt float64) float64 {
	return knownReach * math.Min(spacingFt, mostSpacingFt)
}

// markKnown says for each cell of l that want marks whether a shot stands
// within reachFt with no wall in between. Cost: shots x cells in reach.
func markKnown(l survey.Lattice, want []bool, shots []geom.Pt, reachFt float64, w *walls) []bool {
	known := make([]bool, l.Len())
	r := int(math.Ceil(reachFt / l.CellFt))
	for _, p := range shots {
		ci, cj := l.CellOf(p)
		for j := max(cj-r, 0); j <= min(cj+r, l.NY-1); j++ {
			for i := max(ci-r, 0); i <= min(ci+r, l.NX-1); i++ {
				k := j*l.NX + i
				if !want[k] || known[k] {
					continue
				}
				c := l.Centre(i, j)
				known[k] = c.Dist(p) <= reachFt+1e-9 && !w.between(p, c)
			}
		}
	}
	return known
}
