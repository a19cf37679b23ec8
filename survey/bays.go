package survey

import (
	"fmt"
	"math"

	"runnel/survey/geom"
	"runnel/survey/problem"
)

// Bay is one bay of a deck, in the frame of its site.
type Bay struct {
	ID    string      // column and row of the grid, 2-1, counted from the least
	Whole geom.Ring   // four corners, its first edge along the building axes
	Polys []geom.Poly // what of it lies on the area
}

// mostBays is how many bays an area may have; more are a slip of the size.
const mostBays = 2000

// BaysOf lays the grid of bays that the job states over the area of s. None is
// stated: none. The error is a problem: too many bays.
func BaysOf(a *Area, s *Site, axesDeg *float64) ([]Bay, error) {
	g := a.Deck.Bays
	if g == nil {
		return nil, nil
	}
	grid := geom.Frame{Origin: g.From, Turn: axesTurn(a.Outline, axesDeg)}
	box := a.Outline.Map(grid.ToLocal).Box()
	first := func(low, size float64) int { return int(math.Floor(low/size + 1e-6)) }
	last := func(high, size float64) int { return int(math.Ceil(high/size - 1e-6)) }
	i0, j0 := first(box.Min.X, g.W), first(box.Min.Y, g.D)
	i1, j1 := last(box.Max.X, g.W), last(box.Max.Y, g.D)
	if n := float64(i1-i0) * float64(j1-j0); n > mostBays {
		return nil, problem.Problem{Field: "areas.deck.bays", Value: "area " + a.Name,
			Why: fmt.Sprintf("%.0f bays are more than the %d of an area", n, mostBays), Mend: "write their size in the unit of the plan"}
	}
	var out []Bay
	for i := i0; i < i1; i++ {
		for j := j0; j < j1; j++ {
			low := geom.Pt{X: float64(i) * g.W, Y: float64(j) * g.D}
			corners := geom.Box{Min: low, Max: low.Add(geom.Pt{X: g.W, Y: g.D})}.Ring()
			b := Bay{ID: fmt.Sprintf("%d-%d", i-i0+1, j-j0+1),
				Whole: corners.Map(grid.ToJob).Map(s.Frame.ToLocal)}
			var err error
			if b.Polys, err = geom.Intersect(geom.Poly{Outer: b.Whole.CCW()}, s.Poly()); err != nil {
				return nil, fmt.Errorf("lay the bays of area %s: %w", a.Name, err)
			}
			if len(b.Polys) > 0 {
				out = append(out, b)
			}
		}
	}
	return out, nil
}
