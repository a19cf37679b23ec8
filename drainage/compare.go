package drainage

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

// CompareSeen sets the ponds that people saw on this area against those
// computed: of the ponds that overlap a seen one, the one that overlaps most.
// They agree where the depths differ by no more than half an inch or half of
// the seen depth (common practice, no source: a depth in a puddle is judged by
// eye). Ponds seen on other areas are left out. Cost: one overlay for each
// pair whose boxes meet.
func CompareSeen(s *survey.Site, r *Report, seen []survey.SeenPond) []SeenFinding {
	var out []SeenFinding
	for _, p := range seen {
		if len(p.Outline) < 3 {
			continue
		}
		outline := p.Outline.Map(s.Frame.ToLocal).CCW()
		if !s.Poly().Has(geom.Poly{Outer: outline}.Centroid()) {
			continue
		}
		out = append(out, compareOne(s, r, p, outline))
	}
	return out
}

func compareOne(s *survey.Site, r *Report, p survey.SeenPond, outline geom.Ring) SeenFinding {
	f := SeenFinding{Seen: p, Outline: outline}
	bestSqft := 0.0
	for _, q := range r.Ponds {
		if sqft := overlapSqft(geom.Poly{Outer: outline}, q.Outline); sqft > bestSqft {
			bestSqft, f.Pond, f.DepthIn = sqft, q.ID, q.DepthIn
		}
	}
	outlet := takes(s, r, outline)
	if f.Pond == "" && p.Depth == 0 {
		f.Agrees, f.Words = true, "seen dry, and no pond is computed there"
		return f
	}
	if f.Pond == "" {
		f.Words = "water was seen where none is computed: the survey missed the hollow, or " +
			outlet + " is blocked, slow or higher than stated"
		return f
	}
	seenIn := p.Depth.Inches()
	f.Agrees = math.Abs(f.DepthIn-seenIn) <= math.Max(0.5, seenIn/2)
	switch {
	case f.Agrees:
		f.Words = "seen and computed agree: the best proof of a survey"
	case seenIn > f.DepthIn:
		f.Words = "deeper than computed: " + outlet + " is blocked, slow or higher than stated, " +
			"or the survey is at fault"
	default:
		f.Words = "shallower than computed: the pond was not full when seen, " +
			"or the survey is at fault"
	}
	return f
}

// takes names the outlet that takes the water of the middle of a ring, failing
// that the nearest one.
func takes(s *survey.Site, r *Report, ring geom.Ring) string {
	mid := geom.Poly{Outer: ring}.Centroid()
	for _, a := range r.Areas {
		for _, p := range a.Regions {
			if p.Has(mid) {
				return a.Outlet
			}
		}
	}
	name, far := "an outlet", math.Inf(1)
	for _, o := range s.Outlets {
		if d := geom.SegDist(mid, o.A, o.B); d < far {
			name, far = o.ID, d
		}
	}
	return name
}

// overlapSqft is the area that a shares with the regions of a pond. A region
// that the overlay refuses counts by whether its box meets a.
func overlapSqft(a geom.Poly, regions []geom.Poly) float64 {
	sum := 0.0
	for _, q := range regions {
		if !a.Outer.Box().Overlaps(q.Outer.Box()) {
			continue
		}
		parts, err := geom.Intersect(a, q)
		if err != nil {
			sum += geom.Sliver
			continue
		}
		for _, p := range parts {
			sum += p.Area()
		}
	}
	return sum
}

// SharedSqft is the area that two ponds of one site share, as reported on two
// surfaces of it.
func SharedSqft(p, q *Pond) float64 {
	sum := 0.0
	for _, r := range p.Outline {
		sum += overlapSqft(r, q.Outline)
	}
	return sum
}
