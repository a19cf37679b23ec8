package drainage

import (
	"fmt"
	"math"

	"runnel/survey/unit"
)

// Check says whether r keeps the laws of every report: water never lies below
// the roof; each pond runs over above its deepest place and its outline holds
// its area; drainage areas are no more than the roof; no path gains height;
// shares are shares.
func (r *Report) Check() error {
	if r.Surface == nil || len(r.FilledIn) != r.Surface.Len() {
		return fmt.Errorf("drainage report: not one water level a cell")
	}
	for k, roof := range r.Surface.Roof {
		if roof && !(r.FilledIn[k] >= r.Surface.ElevIn[k]) {
			return fmt.Errorf("drainage report: cell %d: water at %g in below the roof at %g in",
				k, r.FilledIn[k], r.Surface.ElevIn[k])
		}
	}
	for n := range r.Ponds {
		if err := r.Ponds[n].check(); err != nil {
			return fmt.Errorf("drainage report: pond %s: %w", r.Ponds[n].ID, err)
		}
		if n > 0 && r.Ponds[n].DepthIn > r.Ponds[n-1].DepthIn+1e-6 {
			return fmt.Errorf("drainage report: pond %s is deeper than the one before", r.Ponds[n].ID)
		}
	}
	for n := range r.Paths {
		if err := r.Paths[n].check(); err != nil {
			return fmt.Errorf("drainage report: path %s: %w", r.Paths[n].ID, err)
		}
	}
	for n := range r.Findings {
		if err := r.Findings[n].Check(); err != nil {
			return fmt.Errorf("drainage report: %w", err)
		}
	}
	return r.checkAreas()
}

// Check says whether f names what a verdict must name, and whether a verdict
// that stands on a figure follows from figure, limit and doubt.
func (f *Finding) Check() error {
	if f.Rules == "" || f.Rule == "" || f.Limit == nil || f.Figure == nil && f.Verdict == Meets {
		return fmt.Errorf("finding %s %s: rules, rule, limit or figure is not named", f.Rule, f.Where)
	}
	limit, figure, doubt := plain(f.Limit), plain(f.Figure), plain(f.Doubt)
	if f.AtMost {
		limit, figure = -limit, -figure
	}
	const hair = 1e-6
	switch {
	case f.Figure == nil || f.Why != "":
	case f.Verdict == Meets && figure-doubt < limit-hair, f.Verdict == FallsShort && f.Most == nil && figure+doubt > limit+hair:
		return fmt.Errorf("finding %s %s: %v at a limit of %g, a figure of %g and a doubt of %g", f.Rule, f.Where, f.Verdict,
			limit, figure, doubt)
	}
	return nil
}

// plain is the number of a measure in its own unit.
func plain(m Measure) float64 {
	switch v := m.(type) {
	case unit.Slope:
		return v.InchesPerFoot()
	case unit.Length:
		return v.Inches()
	case Hours:
		return float64(v)
	}
	return 0
}

func (r *Report) checkAreas() error {
	sum, cellsSqft := 0.0, r.cellsSqft()
	for _, a := range r.Areas {
		sum += a.SqFt
		regions := 0.0
		for _, p := range a.Regions {
			regions += p.Area()
		}
		regions *= r.RoofSqft / cellsSqft
		if !(math.Abs(regions-a.SqFt) <= 1e-6*(1+a.SqFt)) {
			return fmt.Errorf("drainage report: area of %s: regions hold %g of %g sq ft", a.Outlet, regions, a.SqFt)
		}
	}
	if sum > r.RoofSqft*(1+1e-9) {
		return fmt.Errorf("drainage report: drainage areas of %g sq ft on a roof of %g", sum, r.RoofSqft)
	}
	for _, pct := range []float64{r.BelowMinimumPct, r.UnknownPct, r.ThinPct} {
		if !(pct >= 0 && pct <= 100+1e-9) {
			return fmt.Errorf("drainage report: a share of %g per cent", pct)
		}
	}
	return nil
}

// cellsSqft is the area of the roof cells, counted whole.
func (r *Report) cellsSqft() float64 {
	cells := 0
	for _, roof := range r.Surface.Roof {
		if roof {
			cells++
		}
	}
	return float64(cells) * r.Surface.CellFt * r.Surface.CellFt
}

func (p *Pond) check() error {
	area := 0.0
	for _, q := range p.Outline {
		area += q.Area()
	}
	switch {
	case !(p.DepthIn > 0) || !(p.SqFt > 0) || !(p.CuFt > 0):
		return fmt.Errorf("depth %g in, area %g sq ft, volume %g cu ft", p.DepthIn, p.SqFt, p.CuFt)
	case p.CuFt > p.SqFt*p.DepthIn/12*(1+1e-9):
		return fmt.Errorf("%g cu ft in %g sq ft at most %g in deep", p.CuFt, p.SqFt, p.DepthIn)
	case p.ClosedIn && (p.SpillsTo != "" || p.Overflow):
		return fmt.Errorf("closed in, but runs over to %s", p.SpillsTo)
	case math.Abs(area-p.SqFt) > 1e-6*(1+p.SqFt):
		return fmt.Errorf("outline of %g sq ft round %g", area, p.SqFt)
	}
	return nil
}

func (p *Path) check() error {
	if len(p.Points) < 2 || len(p.Valley) != len(p.Points)-1 {
		return fmt.Errorf("%d places with %d stretches", len(p.Points), len(p.Valley))
	}
	length := 0.0
	for n := range p.Valley {
		length += p.Points[n].Dist(p.Points[n+1])
	}
	switch {
	case math.Abs(length-p.LengthFt) > 1e-6*(1+length):
		return fmt.Errorf("length %g ft, its stretches %g", p.LengthFt, length)
	case p.DropIn < -1e-9:
		return fmt.Errorf("drops %g in", p.DropIn)
	}
	return nil
}
