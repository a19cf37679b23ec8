package read

import (
	"fmt"
	"math"

	"runnel/survey/geom"
)

// bands finds fast where places lie: the plan is cut into bands along y, and
// each band knows the stretches of outline and courts that reach into it.
type bands struct {
	near float64  // how near to a border is asked at most, feet
	box  geom.Box // of the outline, near wider
	high float64  // of a band, feet
	of   [][]stretch
}

// stretch is an edge of ring 0, the outline, or ring n, court n-1.
type stretch struct {
	a, b geom.Pt
	ring int
}

// newBands sorts the borders of an area for places that lie within near of
// them, feet.
func newBands(a *areaRead, near float64) bands {
	rings := append([]geom.Ring{a.Outline}, a.Courts...)
	var all []stretch
	for k, r := range rings {
		for i := range r {
			all = append(all, stretch{r[i], r.At(i + 1), k})
		}
	}
	wider := geom.Pt{X: near, Y: near}
	b := bands{near: near, box: a.Outline.Box()}
	b.box.Min, b.box.Max = b.box.Min.Sub(wider), b.box.Max.Add(wider)
	for count := len(all); b.of == nil; count /= 2 {
		b.fill(all, max(1, count))
	}
	return b
}

// fill sorts stretches into bands. It leaves b empty where long stretches
// would stand in more bands than memory should pay for.
func (b *bands) fill(all []stretch, count int) {
	_, h := b.box.Size()
	b.high = h / float64(count)
	of, entries := make([][]stretch, count), 0
	for _, s := range all {
		from := band(b.box, b.high, count, math.Min(s.a.Y, s.b.Y)-b.near)
		to := band(b.box, b.high, count, math.Max(s.a.Y, s.b.Y)+b.near)
		if entries += to - from + 1; count > 1 && entries > 8*len(all)+1024 {
			return
		}
		for j := from; j <= to; j++ {
			of[j] = append(of[j], s)
		}
	}
	b.of = of
}

// band is the number of the band at a height, of count.
func band(box geom.Box, high float64, count int, y float64) int {
	return min(max(0, int((y-box.Min.Y)/high)), count-1)
}

// fullest is the most stretches in one band: what one place costs at worst.
func (b bands) fullest() int {
	n := 0
	for _, l := range b.of {
		n = max(n, len(l))
	}
	return n
}

// off says how a place misses the roof, "" where it does not. A place within
// near of a border counts as on the roof.
func (b bands) off(p geom.Pt, near float64) string {
	const outside = "lies outside the outline"
	if !b.box.Has(p) {
		return outside
	}
	in, inOutline := false, false
	here := b.here(p)
	for _, s := range here {
		if near > 0 && s.near(p, near) {
			return ""
		}
		if s.under(p) {
			in = !in
			inOutline = inOutline != (s.ring == 0)
		}
	}
	switch {
	case in:
		return ""
	case !inOutline:
		return outside
	}
	return fmt.Sprintf("lies in court %d", courtOf(here, p))
}

// here is the stretches that reach into the band of p.
func (b bands) here(p geom.Pt) []stretch { return b.of[band(b.box, b.high, len(b.of), p.Y)] }

// holds says whether p, in the box, lies on the roof, else whether it lies
// within near of a border.
func (b bands) holds(p geom.Pt, near float64) (in, close bool) {
	for _, s := range b.here(p) {
		close = close || s.near(p, near)
		if s.under(p) {
			in = !in
		}
	}
	return in, close
}

// near says whether p lies within d of the stretch.
func (s stretch) near(p geom.Pt, d float64) bool {
	return p.X > math.Min(s.a.X, s.b.X)-d && p.X < math.Max(s.a.X, s.b.X)+d &&
		p.Y > math.Min(s.a.Y, s.b.Y)-d && p.Y < math.Max(s.a.Y, s.b.Y)+d &&
		geom.SegDist(p, s.a, s.b) <= d
}

// under says whether a ray from p toward +x crosses the stretch.
func (s stretch) under(p geom.Pt) bool {
	return (s.a.Y > p.Y) != (s.b.Y > p.Y) && p.X < s.a.X+(p.Y-s.a.Y)/(s.b.Y-s.a.Y)*(s.b.X-s.a.X)
}

// courtOf is the number of the court that holds p, which lies in one.
func courtOf(here []stretch, p geom.Pt) int {
	odd := map[int]bool{}
	for _, s := range here {
		if s.under(p) {
			odd[s.ring] = !odd[s.ring]
		}
	}
	for _, s := range here {
		if s.ring > 0 && odd[s.ring] {
			return s.ring - 1
		}
	}
	return 0
}
