package taper

import (
	"cmp"
	"context"
	"math"

	"runnel/survey/geom"
	"runnel/taper/internal/sight"
)

// measure is the length of the straight stretch v away from q, of any kind that
// obeys the triangle inequality.
type measure func(q, v geom.Pt) float64

// plainFt measures by plan length, from everywhere alike.
func plainFt(_, v geom.Pt) float64 { return v.Norm() }

// bend is a re-entrant corner that shortest ways go round.
type bend struct {
	corner sight.Corner
	at     float64   // of the shortest way from a source
	planFt float64   // its plan length, to break ties: the tightest way is kept
	from   []geom.Pt // directions in which the shortest ways arrive
	done   bool
}

// sameWay is the difference under which two ways measure the same.
const sameWay = 1e-9

// reach offers the corner a way to it that arrives along d.
func (b *bend) reach(at, planFt float64, d geom.Pt) {
	switch {
	case at < b.at-sameWay || at < b.at+sameWay && planFt < b.planFt-sameWay:
		b.at, b.planFt, b.from = at, planFt, []geom.Pt{d}
	case at < b.at+sameWay && planFt < b.planFt+sameWay:
		b.from = append(b.from, d)
	}
}

// bends gives the re-entrant corners that can be reached from the sources,
// with the measure of their shortest ways (Dijkstra, 1959, A note on two
// problems in connexion with graphs, over sources and corners that see each
// other). Corners that are sources themselves are left out.
//
// Cost: corners x (corners + sources) x walls.
func bends(ctx context.Context, w *sight.Walls, sources []source, m measure) ([]bend, error) {
	var all []bend
	for _, c := range w.Corners() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		b := bend{corner: c, at: math.Inf(1), planFt: math.Inf(1)}
		own := false
		for _, s := range sources {
			own = own || !s.isLine() && s.a.Dist(c.P) < 1e-9
			s.offer(w, &b, m)
		}
		if !own {
			all = append(all, b)
		}
	}
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		k := nearestBend(all)
		if k < 0 {
			break
		}
		all[k].done = true
		for i := range all {
			all[k].offer(w, &all[i], m)
		}
	}
	var out []bend
	for _, b := range all {
		if b.done {
			out = append(out, b)
		}
	}
	return out, nil
}

// nearestBend is the corner with the shortest way of those not yet done, -1
// where no other can be reached.
func nearestBend(all []bend) int {
	best := -1
	for i, b := range all {
		if b.done || math.IsInf(b.at, 1) {
			continue
		}
		if best < 0 || cmp.Or(cmp.Compare(b.at, all[best].at), cmp.Compare(b.planFt, all[best].planFt)) < 0 {
			best = i
		}
	}
	return best
}

// offer gives b the straight way from s, where there is one.
func (s source) offer(w *sight.Walls, b *bend, m measure) {
	if !s.isLine() {
		if v := b.corner.P.Sub(s.a); v.Norm() > 1e-9 && w.Sees(s.a, b.corner.P) {
			b.reach(s.liftIn+m(s.a, v), v.Norm(), v)
		}
		return
	}
	runFt, foot, ok := s.foot(b.corner.P)
	if ok && runFt > 1e-9 && w.Sees(foot, b.corner.P) {
		b.reach(s.liftIn+s.riseIn(foot, runFt, m), runFt, s.n)
	}
}

// foot is the place of line s square below p and how far p stands off it;
// false where p is beyond its ends or behind it.
func (s source) foot(p geom.Pt) (runFt float64, foot geom.Pt, ok bool) {
	length := s.a.Dist(s.b)
	u := s.b.Sub(s.a).Mul(1 / length)
	v := p.Sub(s.a)
	at := v.Dot(u)
	runFt = v.Dot(s.n)
	return runFt, s.a.Add(u.Mul(at)), at > -1e-9 && at < length+1e-9 && runFt > -1e-9
}

// riseIn is the measure of a run square from line s: its facet's own slope
// where it has one, else the measure of the run.
func (s source) riseIn(foot geom.Pt, runFt float64, m measure) float64 {
	if s.slopeInPer > 0 {
		return s.slopeInPer * runFt
	}
	return m(foot, s.n.Mul(runFt))
}

// offer gives c the straight way from b, where there is one.
func (b bend) offer(w *sight.Walls, c *bend, m measure) {
	v := c.corner.P.Sub(b.corner.P)
	at := b.at + m(b.corner.P, v)
	if !c.done && v.Norm() > 1e-9 && at < c.at+sameWay && w.Sees(b.corner.P, c.corner.P) {
		c.reach(at, b.planFt+v.Norm(), v)
	}
}

// sectors are the parts of its view that a corner serves: what the places
// before it on its shortest ways cannot see. A place that sees both the corner
// and where the way goes on has a way as short past the corner or round
// others, by the triangle inequality. With wide, it serves all that it sees.
func (b bend) sectors(wide bool) []sight.Sector {
	if wide {
		return []sight.Sector{{From: geom.Pt{X: 1}, WidthRad: 2 * math.Pi}}
	}
	var out []sight.Sector
	for _, d := range b.from {
		if s, ok := b.corner.Shadow(d); ok {
			out = append(out, s)
		}
	}
	return out
}
