package taper

import (
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// behind is what stands uphill of one curb.
type behind struct {
	levelFt  float64 // length of its edges along which water does not run off
	acrossFt float64 // its width across the flow there
	slope    float64 // of the flattest of them, in/ft
}

// curbFindings names the curbs against which water stands, or runs along them
// under the limit on valleys, on the fitted plane; curbs narrow enough to do
// without a cricket come in one finding.
func curbFindings(s *survey.Site, d *Design, t Trial) []string {
	limit := t.Rules.Valley
	tops := topFacets(d.Facets)
	var out, narrow []string
	for n, ring := range s.Curbs {
		b := behindCurb(ring, tops, limit.Min.InchesPerFoot())
		name := curbName(s, n)
		switch {
		case b.levelFt == 0:
		case b.acrossFt <= drainage.CricketFrom.Feet()+onBorderFt:
			narrow = append(narrow, name)
		case b.slope == 0:
			out = append(out, fmt.Sprintf("water stands level for %s behind curb %s: it wants a cricket",
				unit.Feet(b.levelFt).Format(t.Units), name))
		default:
			out = append(out, fmt.Sprintf("the water line behind curb %s slopes %s over %s, under the %s of %s: it wants a cricket",
				name, slopeText(b.slope, t.Units), unit.Feet(b.levelFt).Format(t.Units),
				slopeText(limit.Min.InchesPerFoot(), t.Units), t.Rules.Name))
		}
	}
	if len(narrow) > 0 {
		out = append(out, fmt.Sprintf("level water lines behind curbs no wider than %s across the flow: %d (%s)",
			drainage.CricketFrom.FormatThin(t.Units), len(narrow), listText(narrow)))
	}
	return out
}

func curbName(s *survey.Site, n int) string {
	if n < len(s.CurbIDs) && s.CurbIDs[n] != "" {
		return s.CurbIDs[n]
	}
	return fmt.Sprintf("%d", n+1)
}

// levelEdge is an edge of a curb behind which water does not run off.
type levelEdge struct {
	a, b     geom.Pt // of the curb's edge, as its ring runs
	ft       float64 // of it with water against it
	slope    float64 // along it, in/ft
	acrossFt float64 // width of the curb across the flow
	// The edges before and after it have water against them too.
	meetsA, meetsB bool
}

// levelEdges gives the edges of a curb that water of the finished top runs against
// and along which it slopes less than limitInPerFt. Cost: the curb's corners x the
// facets' corners.
func levelEdges(curb geom.Ring, facets []Facet, limitInPerFt float64) []levelEdge {
	var out []levelEdge
	last, first := -2, -1
	for i := range curb {
		p, q := curb[i], curb.At(i+1)
		along := q.Sub(p).Mul(1 / p.Dist(q))
		outward := geom.Pt{X: along.Y, Y: -along.X}
		e := levelEdge{a: p, b: q, slope: math.Inf(1)}
		for _, f := range facets {
			top := f.Top()
			slope := slopeAlong(top, along).InchesPerFoot()
			if rise(top, outward) < levelInPerFt || slope >= limitInPerFt-sameSlopeInPerFt {
				continue
			}
			if ft := borderFt(f.Poly, p, q); ft > 0 {
				e.ft += ft
				e.slope = math.Min(e.slope, slope)
				e.acrossFt = math.Max(e.acrossFt, acrossFt(curb, top))
			}
		}
		if e.ft == 0 {
			continue
		}
		if first < 0 {
			first = i
		}
		if e.meetsA = last == i-1; e.meetsA {
			out[len(out)-1].meetsB = true
		}
		out = append(out, e)
		last = i
	}
	if n := len(out); n > 1 && first == 0 && last == len(curb)-1 {
		out[0].meetsA, out[n-1].meetsB = true, true
	}
	return out
}

// behindCurb sums the edges of a curb behind which water does not run off.
func behindCurb(curb geom.Ring, facets []Facet, limitInPerFt float64) behind {
	b := behind{slope: math.Inf(1)}
	for _, e := range levelEdges(curb, facets, limitInPerFt) {
		b.levelFt += e.ft
		b.slope, b.acrossFt = math.Min(b.slope, e.slope), math.Max(b.acrossFt, e.acrossFt)
	}
	return b
}

// borderFt is how much of a region's border lies on the stretch from p to q.
func borderFt(region geom.Poly, p, q geom.Pt) float64 {
	sum := 0.0
	for _, r := range region.Rings() {
		for i := range r {
			if a, b := r[i], r.At(i+1); geom.SegDist(a, p, q) < onBorderFt && geom.SegDist(b, p, q) < onBorderFt {
				sum += a.Dist(b)
			}
		}
	}
	return sum
}

// acrossFt is the width of a ring square to the fall of a plane.
func acrossFt(r geom.Ring, top survey.Plane) float64 {
	fall := geom.Pt{X: top.GX, Y: top.GY}
	across := geom.Pt{X: -fall.Y, Y: fall.X}.Mul(1 / fall.Norm())
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range r {
		least, most = math.Min(least, p.Dot(across)), math.Max(most, p.Dot(across))
	}
	return most - least
}
