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

// levelEdge is a stretch of a curb's edge, in front of one facet, behind which
// water does not run off.
type levelEdge struct {
	a, b     geom.Pt // as the curb's ring runs: the roof lies on the right
	slope    float64 // along it, in/ft
	acrossFt float64 // width of the curb across the flow
	endA     edgeEnd
	endB     edgeEnd
}

// edgeEnd is how a level edge ends.
type edgeEnd struct {
	corner bool         // at a corner of the curb
	high   bool         // water comes in there: it cannot go out that way
	along  geom.Pt      // of a high end: where the next facet begins, out from the curb
	roomFt float64      // of the curb's edge beyond a high end within it
	beyond survey.Plane // the finished top there
}

// levelEdges gives the stretches of a curb that water of the finished top runs
// against and along which it slopes less than limitInPerFt. Cost: the curb's
// corners x the facets' corners.
func levelEdges(curb geom.Ring, facets []Facet, limitInPerFt float64) []levelEdge {
	type against struct {
		edge   int
		facet  Facet
		lo, hi float64
	}
	var all []against
	runs := func(f Facet, i int) bool { // water runs against edge i and not off along it
		along, outward := edgeWays(curb, i)
		return rise(f.Top(), outward) >= levelInPerFt && slopeAlong(f.Top(), along).InchesPerFoot() < limitInPerFt-sameSlopeInPerFt
	}
	for i := range curb {
		for _, f := range facets {
			if lo, hi, ok := borderOf(f.Poly, curb[i], curb.At(i+1)); ok && runs(f, i) {
				all = append(all, against{i, f, lo, hi})
			}
		}
	}
	var out []levelEdge
	for _, x := range all {
		p, q := curb[x.edge], curb.At(x.edge+1)
		along, outward := edgeWays(curb, x.edge)
		e := levelEdge{a: p.Add(along.Mul(x.lo)), b: p.Add(along.Mul(x.hi)), slope: slopeAlong(x.facet.Top(), along).InchesPerFoot(),
			acrossFt: acrossFt(curb, x.facet.Top())}
		next := func(at geom.Pt, onward geom.Pt, corner bool, neighbour int) edgeEnd {
			if corner {
				end := edgeEnd{corner: true}
				for _, y := range all {
					touches := at.Dist(curb[y.edge].Add(wayOf(curb, y.edge).Mul(y.lo))) < onBorderFt ||
						at.Dist(curb[y.edge].Add(wayOf(curb, y.edge).Mul(y.hi))) < onBorderFt
					if y.edge == neighbour && touches {
						_, other := edgeWays(curb, neighbour)
						end.high, end.along = true, outward.Add(other)
					}
				}
				return end
			}
			end := creaseEnd(facets, x.facet, at, onward, outward)
			end.roomFt = at.Dist(q)
			if onward.Dot(along) < 0 {
				end.roomFt = at.Dist(p)
			}
			return end
		}
		n := len(curb)
		e.endA = next(e.a, along.Mul(-1), x.lo < onBorderFt, (x.edge+n-1)%n)
		e.endB = next(e.b, along, e.b.Dist(q) < onBorderFt, (x.edge+1)%n)
		out = append(out, e)
	}
	return out
}

func wayOf(r geom.Ring, i int) geom.Pt {
	along, _ := edgeWays(r, i)
	return along
}

// edgeWays are the unit vectors along edge i of a ring and out of it.
func edgeWays(r geom.Ring, i int) (along, outward geom.Pt) {
	along = r.At(i + 1).Sub(r[i]).Mul(1 / r[i].Dist(r.At(i+1)))
	return along, geom.Pt{X: along.Y, Y: -along.X}
}

// creaseEnd is the end of a level edge within the curb's edge, where another facet
// begins: high where that one's water comes along the curb.
func creaseEnd(facets []Facet, f Facet, at, onward, outward geom.Pt) edgeEnd {
	const besideFt = 0.02
	g, ok := facetOver(facets, at.Add(onward.Mul(besideFt)).Add(outward.Mul(besideFt/10)))
	if !ok || rise(g.Top(), onward) <= levelInPerFt {
		return edgeEnd{}
	}
	d := geom.Pt{X: f.Top().GX - g.Top().GX, Y: f.Top().GY - g.Top().GY}
	crease := geom.Pt{X: -d.Y, Y: d.X}
	if crease.Dot(outward) < 0 {
		crease = crease.Mul(-1)
	}
	return edgeEnd{high: true, along: crease, beyond: g.Top()}
}

// behindCurb sums the edges of a curb behind which water does not run off.
func behindCurb(curb geom.Ring, facets []Facet, limitInPerFt float64) behind {
	b := behind{slope: math.Inf(1)}
	for _, e := range levelEdges(curb, facets, limitInPerFt) {
		b.levelFt += e.a.Dist(e.b)
		b.slope, b.acrossFt = math.Min(b.slope, e.slope), math.Max(b.acrossFt, e.acrossFt)
	}
	return b
}

// borderOf is the stretch of p-q, from and to in feet, that a region's border lies
// on; false where there is none.
func borderOf(region geom.Poly, p, q geom.Pt) (lo, hi float64, ok bool) {
	u := q.Sub(p).Mul(1 / p.Dist(q))
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, r := range region.Rings() {
		for i := range r {
			if a, b := r[i], r.At(i+1); geom.SegDist(a, p, q) < onBorderFt && geom.SegDist(b, p, q) < onBorderFt {
				s, t := a.Sub(p).Dot(u), b.Sub(p).Dot(u)
				lo, hi = math.Min(lo, math.Min(s, t)), math.Max(hi, math.Max(s, t))
			}
		}
	}
	return lo, hi, hi-lo > onBorderFt
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
