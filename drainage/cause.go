package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// besideFt is how far from a wall or a curb the deepest place of a pond may lie
// for the pond to stand against it: the 2 ft within which a valley is told to
// run along a wall. Common practice, no source.
const besideFt = 2.0

// sameIn is by how much two heights may differ and still be one.
const sameIn = 1e-6

// findCause says which outlet the water of h misses, and why. What stands in
// the water comes first (a blocked outlet, a rim left proud), then an outlet
// near but uphill, then what the water leans on, and last the roof itself.
func (c *check) findCause(h *hollow) {
	p := &h.pond
	p.RiseIn = p.DepthIn
	if n := c.blockedIn(h); n >= 0 {
		// Cleared, it would let go what stands over it. Where that is next to
		// nothing, or a little of a deep pond, the water stands for another reason.
		if heldIn := p.SpillIn - math.Max(c.opt.InletIn[n], c.standsAt(n)); heldIn >= math.Min(c.opt.Ponds.Depth.Inches(), p.DepthIn/2) {
			c.blame(p, OutletBlocked, n)
			p.HeldIn = heldIn
			return
		}
	}
	missed := c.missed(h)
	if p.ClosedIn {
		c.blame(p, NoOutlet, missed)
		return
	}
	if n := c.fill.Hollow[h.first].Outlet; n >= 0 && c.atOutlet(h, n, missed) {
		return
	}
	if n := c.uphill(h); n >= 0 {
		c.blame(p, OutletUphill, n)
		p.RiseIn = c.opt.InletIn[n] - (p.SpillIn - p.DepthIn)
		return
	}
	c.blame(p, Sag, missed)
	if id := c.curbBehind(h); id != "" {
		p.Cause, p.Behind = BehindCurb, id
	} else if c.wallBehind(p.Deepest) {
		p.Cause = BehindWall
	}
}

// blame names the cause and the outlet missed; n is -1 where there is none.
func (c *check) blame(p *Pond, cause Cause, n int) {
	p.Cause, p.HeldIn = cause, p.RiseIn
	if n >= 0 {
		o := c.site.Outlets[n]
		p.Misses, p.AwayFt = o.ID, geom.SegDist(p.Deepest, o.A, o.B)
	}
}

// atOutlet blames the outlet that a hollow runs over into at once: its rim,
// where that stands over the roof beside it by more than that roof stands over
// the low place; else the outlet's place, where the low place is near. Where
// only an overflow lets the water go, it is that rim all the same, and the
// primary outlet is the one missed.
func (c *check) atOutlet(h *hollow, n, missed int) bool {
	p := &h.pond
	o := c.site.Outlets[n]
	proudIn := p.SpillIn - c.standsAt(n)
	if o.P.Dist(p.Deepest) < c.surf.CellFt {
		proudIn = p.DepthIn // it stands in the lowest place itself
	}
	if proudIn > sameIn && proudIn >= p.DepthIn-proudIn {
		c.blame(p, ProudRim, n)
		p.HeldIn = proudIn
		if o.Overflow && missed >= 0 {
			p.Misses = c.site.Outlets[missed].ID
			p.AwayFt = geom.SegDist(p.Deepest, c.site.Outlets[missed].A, c.site.Outlets[missed].B)
		}
		return true
	}
	if o.IsEdge() || o.Overflow || geom.SegDist(p.Deepest, o.A, o.B) > survey.NearOutletFt {
		return false
	}
	c.blame(p, OutletUphill, n)
	return true
}

// standsAt is the lowest roof that outlet n stands on.
func (c *check) standsAt(n int) float64 { return Lowest(c.surf, c.outlets[n]) }

// blockedIn is a blocked outlet that stands in the water with its inlet under
// it, the lowest of them; -1: none.
func (c *check) blockedIn(h *hollow) int {
	best, bestIn := -1, h.pond.SpillIn-sameIn
	for n := range c.site.Outlets {
		if c.lets(n) || c.site.Outlets[n].Overflow {
			continue
		}
		for _, k := range c.outlets[n] {
			if in := math.Max(c.opt.InletIn[n], c.surf.ElevIn[k]); c.isIn(k, h) && in < bestIn {
				best, bestIn = n, in
			}
		}
	}
	return best
}

// isIn says whether cell k is wet of hollow h.
func (c *check) isIn(k int, h *hollow) bool {
	n := c.pondOf[k]
	return n >= 0 && &c.hollow[n] == h
}

// missed is the primary outlet that would have the water if the low place were
// full: the one it comes to over the lip. Where that is an overflow, or the
// water is closed in, it is the nearest primary outlet that lets water go,
// failing that any primary; -1 where there is none.
func (c *check) missed(h *hollow) int {
	b := h.first
	for c.fill.Hollow[b].Into >= 0 {
		b = c.fill.Hollow[b].Into
	}
	if n := c.fill.Hollow[b].Outlet; n >= 0 && !c.site.Outlets[n].Overflow {
		return n
	}
	best, bestFt := -1, math.Inf(1)
	for n, o := range c.site.Outlets {
		ft := geom.SegDist(h.pond.Deepest, o.A, o.B)
		if !c.lets(n) {
			ft += 1e9 // behind all that do
		}
		if !o.Overflow && ft < bestFt {
			best, bestFt = n, ft
		}
	}
	return best
}

// uphill is the nearest drain or scupper within reach of the deepest place that
// lies no lower than the water can rise: beside the low line, not in it; -1:
// none.
func (c *check) uphill(h *hollow) int {
	best, bestFt := -1, survey.NearOutletFt+1e-9
	for n, o := range c.site.Outlets {
		if o.IsEdge() || o.Overflow || !c.lets(n) ||
			math.Max(c.opt.InletIn[n], c.standsAt(n)) < h.pond.SpillIn-sameIn {
			continue
		}
		if d := geom.SegDist(h.pond.Deepest, o.A, o.B); d < bestFt {
			best, bestFt = n, d
		}
	}
	return best
}

// curbBehind is the curb that the water of h leans on: the nearest one beside
// the deepest place that has roof round it, out of the pond, lower than the
// water's level; "": none.
func (c *check) curbBehind(h *hollow) string {
	id, bestFt := "", besideFt+1e-9
	for n, ring := range c.site.Curbs {
		d := ringDist(ring, h.pond.Deepest)
		if d >= bestFt || !c.fallsBeyond(ring, h) {
			continue
		}
		id, bestFt = c.site.CurbIDs[n], d
	}
	return id
}

// fallsBeyond says whether roof beside a ring lies under the deepest place of h
// and out of it: where the water would run but for the ring.
func (c *check) fallsBeyond(ring geom.Ring, h *hollow) bool {
	bottomIn, found := h.pond.SpillIn-h.pond.DepthIn, false
	for n := range ring {
		besideLine(c.surf.Lattice, ring[n], ring.At(n+1), func(i, j int) {
			k := j*c.surf.NX + i
			found = found || c.surf.Holds(i, j) && c.surf.Roof[k] && !c.isIn(k, h) && c.surf.ElevIn[k] < bottomIn
		})
	}
	return found
}

// wallBehind says whether a place lies beside an edge that holds water, or a
// court.
func (c *check) wallBehind(p geom.Pt) bool {
	for _, e := range c.site.Edges {
		if !e.Kind.LetsWaterGo() && geom.SegDist(p, e.A, e.B) <= besideFt {
			return true
		}
	}
	for _, ring := range c.site.Courts {
		if ringDist(ring, p) <= besideFt {
			return true
		}
	}
	return false
}

func ringDist(ring geom.Ring, p geom.Pt) float64 {
	ft := math.Inf(1)
	for n := range ring {
		ft = math.Min(ft, geom.SegDist(p, ring[n], ring.At(n+1)))
	}
	return ft
}
