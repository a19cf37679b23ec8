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
		out = append(out, compareOne(r, p, outline))
	}
	return out
}

func compareOne(r *Report, p survey.SeenPond, outline geom.Ring) SeenFinding {
	f := SeenFinding{Seen: p, Outline: outline}
	bestSqft := 0.0
	for _, q := range r.Ponds {
		if sqft := overlapSqft(geom.Poly{Outer: outline}, q.Outline); sqft > bestSqft {
			bestSqft, f.Pond, f.DepthIn = sqft, q.ID, q.DepthIn
		}
	}
	if f.Pond == "" {
		f.Words = "water was seen where none is computed: the survey missed the hollow, " +
			"or a drain is at fault"
		return f
	}
	seenIn := p.Depth.Inches()
	f.Agrees = math.Abs(f.DepthIn-seenIn) <= math.Max(0.5, seenIn/2)
	switch {
	case f.Agrees:
		f.Words = "seen and computed agree"
	case seenIn > f.DepthIn:
		f.Words = "deeper than computed: a drain runs slow or stands higher than stated, " +
			"or the survey is at fault"
	default:
		f.Words = "shallower than computed: the pond was not full when seen, " +
			"or the survey is at fault"
	}
	return f
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
