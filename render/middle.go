package render

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey/geom"
)

// middle is a place within a region, far from its border. An empty region
// gives the zero place.
func middle(p geom.Poly) geom.Pt { return middles(p)[0] }

// middles are places within a region, the farthest from its border first: the
// middles of the stretches on levels across it. There is always one.
func middles(p geom.Poly) []geom.Pt {
	box := p.Outer.Box()
	type place struct {
		at    geom.Pt
		roomy float64
	}
	var found []place
	const levels = 15
	for k := range levels {
		y := box.Min.Y + (box.Max.Y-box.Min.Y)*(float64(k)+0.5)/levels
		var xs []float64
		for _, r := range p.Rings() {
			for i, a := range r {
				if b := r.At(i + 1); (a.Y > y) != (b.Y > y) {
					xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
				}
			}
		}
		for _, x := range widestMiddles(xs) {
			q := geom.Pt{X: x, Y: y}
			found = append(found, place{q, p.Dist(q)})
		}
	}
	if len(found) == 0 {
		return []geom.Pt{box.Centre()}
	}
	slices.SortStableFunc(found, func(a, b place) int {
		return cmp.Compare(math.Round(b.roomy*1e6), math.Round(a.roomy*1e6))
	})
	out := make([]geom.Pt, len(found))
	for k, f := range found {
		out[k] = f.at
	}
	return out
}

// widestMiddles gives the middles of the widest stretches between crossings of
// one level, six at most.
func widestMiddles(xs []float64) []float64 {
	slices.Sort(xs)
	var in [][2]float64
	for i := 0; i+1 < len(xs); i += 2 {
		in = append(in, [2]float64{xs[i], xs[i+1]})
	}
	slices.SortStableFunc(in, func(a, b [2]float64) int {
		return cmp.Compare(math.Round(1e6*(b[1]-b[0])), math.Round(1e6*(a[1]-a[0])))
	})
	var out []float64
	for _, s := range in[:min(6, len(in))] {
		out = append(out, (s[0]+s[1])/2)
	}
	return out
}
