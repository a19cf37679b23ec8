package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// sigmaAt is one standard error of the surface at a place, in inches: what the
// surface says there, or Options.SigmaIn where it says nothing; 0 on an exact
// surface whatever it says.
func (c *check) sigmaAt(p geom.Pt) float64 {
	if c.opt.SigmaIn == 0 || c.surf.SigmaIn == nil {
		return c.opt.SigmaIn
	}
	i, j := c.surf.CellOf(p)
	i, j = max(0, min(i, c.surf.NX-1)), max(0, min(j, c.surf.NY-1))
	if k := j*c.surf.NX + i; c.surf.Roof[k] {
		return c.surf.SigmaIn[k]
	}
	return c.opt.SigmaIn // beside a wall
}

// dropSigmaIn is one standard error of the height between two places, each
// off on its own.
func (c *check) dropSigmaIn(a, b geom.Pt) float64 { return math.Hypot(c.sigmaAt(a), c.sigmaAt(b)) }

// SlopeDoubt is how far a slope read over a run may be off: two standard
// errors of the drop between two places, each known to one standard error
// sigmaIn. The run must not be 0.
func SlopeDoubt(sigmaIn float64, run unit.Length) unit.Slope {
	return SlopeDoubtBetween(sigmaIn, sigmaIn, run)
}

// SlopeDoubtBetween is SlopeDoubt for places known unequally well.
func SlopeDoubtBetween(aSigmaIn, bSigmaIn float64, run unit.Length) unit.Slope {
	return unit.SlopeOf(unit.Inches(2*math.Hypot(aSigmaIn, bSigmaIn)), run)
}

// unshotOutlets says of each outlet whether it is a drain or a scupper of a
// surveyed roof without a shot within survey.NearOutletFt.
func (c *check) unshotOutlets() []bool {
	out := make([]bool, len(c.site.Outlets))
	if c.opt.SpacingFt == 0 || c.opt.Unsurveyed || len(c.site.Shots) == 0 {
		return out
	}
	for n, o := range c.site.Outlets {
		if o.Kind != survey.Drain && o.Kind != survey.Scupper {
			continue
		}
		out[n] = true
		for _, sh := range c.site.Shots {
			if geom.SegDist(sh.P, o.A, o.B) <= survey.NearOutletFt+1e-9 {
				out[n] = false
				break
			}
		}
	}
	return out
}

// endsUnshot says whether a path ends where no shot tells how the water gets
// away: at an outlet without a shot near it, or in a pond that runs over there.
func (c *check) endsUnshot(endsAt string) bool {
	for n, o := range c.site.Outlets {
		if o.ID == endsAt && c.unshot[n] {
			return true
		}
	}
	for n := range c.hollow {
		if c.named[n] >= 0 && pondName(c.named[n]) == endsAt {
			return c.overUnshot(&c.hollow[n])
		}
	}
	return false
}

// overUnshot says whether a hollow runs over right into an outlet that no shot
// stands near.
func (c *check) overUnshot(h *hollow) bool {
	o := c.fill.Hollow[h.first].Outlet
	return o >= 0 && c.unshot[o]
}

// doubtOf is one standard error of the depth of a hollow: of its deepest place
// against the place that it runs over at.
func (c *check) doubtOf(h *hollow) float64 {
	if c.opt.SigmaIn == 0 {
		return 0
	}
	return c.dropSigmaIn(h.pond.Deepest, c.spillOf(h))
}
