package drainage

import (
	"math"
	"slices"

	"runnel/survey/geom"
)

// alongLine is the roof along a straight way, a place a cell, and the share of it
// that is low: the roof rises to either side, or ends there. A way that leaves
// the roof has no places.
func (c *check) alongLine(a, b geom.Pt) (p profile, low float64) {
	n := max(2, int(math.Ceil(a.Dist(b)/c.surf.CellFt)))
	way := b.Sub(a).Mul(1 / a.Dist(b))
	across := geom.Pt{X: -way.Y, Y: way.X}.Mul(math.Max(1.5*c.surf.CellFt, c.opt.SpacingFt/4))
	lows := 0
	for k := range n + 1 {
		at := a.Lerp(b, float64(k)/float64(n))
		z, ok := c.surf.Elevation(at)
		if !ok {
			return profile{}, 0
		}
		p.at, p.runFt, p.zIn = append(p.at, at), append(p.runFt, at.Dist(a)), append(p.zIn, z)
		if c.opt.SigmaIn > 0 {
			p.sigmaIn = append(p.sigmaIn, c.sigmaAt(at))
		}
		left, onLeft := c.surf.Elevation(at.Add(across))
		right, onRight := c.surf.Elevation(at.Sub(across))
		if (onLeft || onRight) && (!onLeft || left > z+sameIn) && (!onRight || right > z+sameIn) {
			lows++
		}
	}
	p.valley = make([]bool, n)
	return p, float64(lows) / float64(n+1)
}

// fromSummit are the two ways down from the highest place of p, toward its end
// and toward its start; of equally high places the middle one counts.
func (p *profile) fromSummit() []*profile {
	top := slices.Max(p.zIn)
	first, last := -1, 0
	for n, z := range p.zIn {
		if z > top-sameIn {
			last = n
			if first < 0 {
				first = n
			}
		}
	}
	k := (first + last) / 2
	var out []*profile
	cut := func(order []int) {
		if len(order) < 3 {
			return
		}
		q := &profile{valley: make([]bool, len(order)-1)}
		for _, n := range order {
			q.at, q.zIn = append(q.at, p.at[n]), append(q.zIn, p.zIn[n])
			q.runFt = append(q.runFt, math.Abs(p.runFt[n]-p.runFt[k]))
			if p.sigmaIn != nil {
				q.sigmaIn = append(q.sigmaIn, p.sigmaIn[n])
			}
		}
		out = append(out, q)
	}
	var up, down []int
	for n := k; n < len(p.at); n++ {
		up = append(up, n)
	}
	for n := k; n >= 0; n-- {
		down = append(down, n)
	}
	cut(up)
	cut(down)
	return out
}
