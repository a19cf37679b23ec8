package taper

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/sight"
)

// Of a new drain, common practice without source: places are tried on a raster of
// so many steps along the longer side, in whole feet, and none within 2 ft of a
// wall or a curb.
const (
	drainSteps   = 24
	drainClearFt = 2.0
)

// WithDrain is an option toward one drain more, at the place that most lowers the
// thickest of some places, or shortens the longest way to an outlet where none are
// given; ways are reckoned by the boards of the option. It gives false where no
// place does. Cost: places tried x places x walls.
func WithDrain(o Option, s *survey.Site, lower []geom.Pt, sys unit.System) (OptionChoice, bool) {
	c := o.OptionChoice
	places := drainPlaces(s)
	if lower == nil {
		lower = places
	}
	risesIn := make([]float64, len(lower))
	for n, p := range lower {
		t, _ := ThicknessAt(o.Design.Facets, p)
		risesIn[n] = t - o.Design.Insulation.ThinnestIn
	}
	g, w := evenGauge(c.Taper.Slope.InchesPerFoot()), sight.New(s.Poly())
	at, bestIn, bestSum := -1, slices.Max(append(risesIn, 0))-sameIn, math.Inf(1)
	for n, p := range places {
		if clearFt(s, p) < drainClearFt {
			continue
		}
		topIn, sum := 0.0, 0.0
		for k, q := range lower {
			in := risesIn[k]
			if by := g.riseIn(q.Sub(p)); by < in && w.Sees(p, q) {
				in = by
			}
			topIn, sum = math.Max(topIn, in), sum+in
		}
		if topIn < bestIn-sameIn || topIn <= bestIn+sameIn && sum < bestSum-sameIn {
			at, bestIn, bestSum = n, math.Min(topIn, bestIn), sum
		}
	}
	if at < 0 {
		return c, false
	}
	p := places[at]
	d := survey.SiteOutlet{P: p, A: p, B: p}
	d.Outlet = survey.Outlet{ID: "new drain", Kind: survey.Drain, Edge: -1, At: s.Frame.ToJob(p)}
	c.Added = []survey.SiteOutlet{d}
	c.Name = c.name(sys)
	return c, true
}

// drainPlaces are places on the roof, on a raster centred in the box of the
// outline.
func drainPlaces(s *survey.Site) []geom.Pt {
	box := s.Outline.Box()
	w, h := box.Size()
	step := math.Max(1, math.Ceil(math.Max(w, h)/drainSteps))
	mid := box.Centre()
	var out []geom.Pt
	for j := -math.Floor(h / 2 / step); j*step <= h/2; j++ {
		for i := -math.Floor(w / 2 / step); i*step <= w/2; i++ {
			if p := mid.Add(geom.Pt{X: i * step, Y: j * step}); s.OnRoof(p) {
				out = append(out, p)
			}
		}
	}
	return out
}

// clearFt is how far a place is off walls and curbs.
func clearFt(s *survey.Site, p geom.Pt) float64 {
	least := math.Inf(1)
	for _, rings := range [][]geom.Ring{{s.Outline}, s.Courts, s.Curbs} {
		for _, r := range rings {
			for i, a := range r {
				least = math.Min(least, geom.SegDist(p, a, r.At(i+1)))
			}
		}
	}
	return least
}
