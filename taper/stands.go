package taper

import (
	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// standsOn lists where crickets are wanted, low lines first.
func standsOn(s *survey.Site, field []Facet, low []LowLine, in CricketInput) []stand {
	var out []stand
	for _, l := range low {
		for i := 1; i < len(l.At); i++ {
			st := stand{kind: HalfCricket, name: stretchName(l.Outlet[i-1], l.Outlet[i]), a: l.At[i-1], b: l.At[i],
				lowA: l.Outlet[i-1] != "", lowB: l.Outlet[i] != "", left: l.Left > 0, right: l.Right > 0}
			if st.left && st.right {
				st.kind = FullCricket
			}
			if (st.lowA || st.lowB) && (st.left || st.right) && !st.fallsAlong(field, in.wantedValley()) {
				st.high = st.wallAtHigh(s)
				out = append(out, st)
			}
		}
	}
	limit := in.wantedValley().InchesPerFoot()
	for n, ring := range s.Curbs {
		for _, e := range levelEdges(ring, field, limit) {
			if e.acrossFt <= drainage.CricketFrom.Feet()+onBorderFt {
				continue
			}
			// The curb's ring runs counter-clockwise, so that the roof lies on its right.
			st := stand{kind: CurbCricket, name: "upslope of curb " + curbName(s, n), a: e.a, b: e.b, right: true}
			st.endAt(s, e)
			out = append(out, st)
		}
	}
	return out
}

// fallsAlong says whether the finished line already falls by itself, as valleys
// must, to a way out at its end: no cricket is wanted.
func (st *stand) fallsAlong(field []Facet, least unit.Slope) bool {
	along := st.b.Sub(st.a).Mul(1 / st.a.Dist(st.b))
	left := geom.Pt{X: -along.Y, Y: along.X}
	const besideFt = 0.02
	for _, out := range []geom.Pt{left, left.Mul(-1)} {
		f, ok := facetOver(field, st.a.Lerp(st.b, 0.5).Add(out.Mul(besideFt)))
		if !ok {
			continue
		}
		g := rise(f.Top(), along) // above 0: it falls to a
		return g >= least.InchesPerFoot()-sameSlopeInPerFt && st.lowA || -g >= least.InchesPerFoot()-sameSlopeInPerFt && st.lowB
	}
	return false
}

// endAt says which ends of a curb's cricket are low: those are carried past the
// curb's corners. A corner beside a wall lets no water past: the cricket runs on to
// the wall and is highest there. Where water comes in at both ends, it is highest
// in the middle.
func (st *stand) endAt(s *survey.Site, e levelEdge) {
	u := e.b.Sub(e.a).Mul(1 / e.a.Dist(e.b))
	closedA, closedB := e.endA.toWall(s, &st.a, u.Mul(-1)), e.endB.toWall(s, &st.b, u)
	st.lowA, st.lowB = !e.endA.high, !e.endB.high
	switch {
	case !st.lowA && !st.lowB:
		st.lowA, st.lowB = true, true
	case !st.lowA:
		st.high, st.roomFt, st.beyond = e.endA.along, e.endA.roomFt, e.endA.beyond
	case !st.lowB:
		st.high, st.roomFt, st.beyond = e.endB.along, e.endB.roomFt, e.endB.beyond
	}
	if st.lowA && e.endA.corner && !closedA {
		st.a = st.a.Sub(u.Mul(PastCurbFt))
	}
	if st.lowB && e.endB.corner && !closedB {
		st.b = st.b.Add(u.Mul(PastCurbFt))
	}
}

// toWall carries an end at a corner on to the wall where that is too near for the
// water to pass, and makes it high; false where there is room.
func (end *edgeEnd) toWall(s *survey.Site, at *geom.Pt, onward geom.Pt) bool {
	if end.high {
		return false
	}
	if !end.corner { // the curb's edge runs into a wall
		st := stand{a: *at, lowB: true}
		end.along = st.wallAtHigh(s)
		end.high = end.along != geom.Pt{}
		return end.high
	}
	reach := onward.Mul(2 * PastCurbFt)
	for _, r := range s.Poly().Rings() {
		for i, p := range r {
			q := r.At(i + 1)
			if t, ok := meets(*at, reach, p, q); ok {
				*at = at.Add(reach.Mul(t))
				end.high, end.along = true, q.Sub(p)
				return true
			}
		}
	}
	return false
}

// meets is the share of the way d from p at which it comes to the stretch a-b.
func meets(p, d, a, b geom.Pt) (float64, bool) {
	v := b.Sub(a)
	den := d.Cross(v)
	if den == 0 {
		return 0, false
	}
	t, u := a.Sub(p).Cross(v)/den, a.Sub(p).Cross(d)/den
	return t, t >= -0.5 && t <= 1 && u >= 0 && u <= 1
}

// wallAtHigh is the direction of the wall that the high end of a cricket lies at; 0
// where both ends are low.
func (st *stand) wallAtHigh(s *survey.Site) geom.Pt {
	end := st.b
	switch {
	case st.lowA && st.lowB:
		return geom.Pt{}
	case st.lowB:
		end = st.a
	}
	for _, r := range s.Poly().Rings() {
		for i, p := range r {
			if q := r.At(i + 1); geom.SegDist(end, p, q) < onBorderFt {
				return q.Sub(p)
			}
		}
	}
	return geom.Pt{}
}

func (in CricketInput) wantedValley() unit.Slope {
	if in.Choice.Valley > 0 {
		return in.Choice.Valley
	}
	return in.ValleyMin
}

func stretchName(a, b string) string {
	switch {
	case a == "":
		return "from " + b + " to the wall"
	case b == "":
		return "from " + a + " to the wall"
	}
	return "between " + a + " and " + b
}
