package fit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// What becomes of shots off what their neighbours say. Common practice, no
// source.
const (
	farAboveIn   = 1.5  // no shot is left out for less
	farBelowIn   = 3.0  // nor below, where it may be the bottom of a dish
	farTimes     = 2.0  // nor for less than so many times what is not chance
	mostFarShare = 0.05 // more shots far off than this are the roof, not blunders
	drainNearFt  = 2.0  // half a sump of 4 x 4 ft
	drainDropIn  = 1.5  // how much lower than the roof about it a drain's sump may be
	drainRiseIn  = 1.0  // how far a drain may stand proud
	bowlNearFt   = 1.0  // shots nearer to a drain may be in its bowl
	bowlFt       = 3.0  // cells of a point cloud nearer to a drain may be
)

// bowls leaves out shots in a drain's bowl: within a foot of the drain, and
// lower than the roof about it (all but one shot) by more than a sump and the
// roof's own slope make. A drain's rim is the roof, its bowl is not.
func (sc *screen) bowls() {
	used, all := sc.usedShots(), sc.usedPlaces()
	pts, zIn := all.at, all.zIn
	if len(pts) < leastSpeaks {
		return
	}
	n, slope := newNear(pts), usualSlope(pts, zIn)
	var out []finding
	for _, o := range sc.site.Outlets {
		if o.Kind != survey.Drain {
			continue
		}
		n.within(o.P, bowlNearFt, func(k int) {
			about := n.nearest(o.P, leastSpeaks, func(m int) bool { return pts[m].Dist(o.P) > bowlNearFt })
			var heights []float64
			for _, m := range about {
				heights = append(heights, zIn[m.n])
			}
			slices.Sort(heights)
			if len(about) < 2 || heights[1]-zIn[k] <= drainDropIn+slope*about[0].ft {
				return
			}
			low := heights[1] // the lowest may be a blunder itself
			out = append(out, finding{shot: used[k], left: "in the bowl of drain " + o.ID,
				why: fmt.Sprintf("stands in the bowl of drain %s, %s below the roof about it, and is no roof; left out",
					o.ID, unit.Inches(low-zIn[k]).FormatThin(sc.sys)),
				mend: "read the rim or flange of the drain instead"})
		})
	}
	slices.SortFunc(out, func(a, b finding) int { return cmp.Compare(a.shot, b.shot) })
	sc.note(slices.CompactFunc(out, func(a, b finding) bool { return a.shot == b.shot }))
}

// usualSlope is the slope between neighbours, all but the steepest quarter,
// in/ft.
func usualSlope(pts []geom.Pt, zIn []float64) float64 {
	n := newNear(pts)
	var slopes []float64
	for i, p := range pts {
		for _, m := range n.nearest(p, 4, func(m int) bool { return m != i && p.Dist(pts[m]) > twinFt }) {
			slopes = append(slopes, math.Abs(zIn[i]-zIn[m.n])/m.ft)
		}
	}
	if len(slopes) == 0 {
		return 0
	}
	slices.Sort(slopes)
	return slopes[len(slopes)*3/4]
}

// single looks for single shots off what their neighbours say, by more than
// chance and the curve of the roof about them explain. The strangest is taken
// out and its neighbours asked again, until none is strange; then each of those
// taken out is asked once more among the others that remain. The far ones are
// left out, the others kept as suspects.
func (sc *screen) single() {
	q := sc.newAsker()
	if q == nil {
		return
	}
	errIn := sc.readingIn()
	most := q.mostStrange()
	taken := sc.takeStrange(q, limit(q.strangeAll(), errIn, false), 2*most+1)
	limit := limit(q.strangeAll(), errIn, true)
	var out []finding
	for _, i := range taken {
		if sc.isStrange(q, i, limit) {
			out = append(out, sc.offFinding(q, i, limit))
		}
	}
	if len(out) > most {
		sc.tell(fmt.Sprintf("%d shots or more stand off their neighbours; so many are taken for the roof and kept", len(out)),
			"look for a step, a set-up with a wrong height of instrument, or a second level")
		return
	}
	slices.SortFunc(out, func(a, b finding) int { return cmp.Compare(a.shot, b.shot) })
	sc.note(out)
}

// takeStrange takes out the strangest shots beyond a limit one by one, up to
// most, and asks each of them again among those that remain.
func (sc *screen) takeStrange(q *asker, limit float64, most int) (taken []int) {
	for range most {
		worst, by := -1, limit
		for i := range q.pts {
			if v := q.strange(i); v > by && !q.out[i] && sc.isStrange(q, i, limit) {
				worst, by = i, v
			}
		}
		if worst < 0 {
			break
		}
		taken = append(taken, worst)
		q.without(worst)
	}
	for _, i := range taken {
		q.lay(i)
		q.ask(i)
	}
	return taken
}

// isStrange allows drains their sumps and their rims.
func (sc *screen) isStrange(q *asker, i int, limit float64) bool {
	r := q.rows[i]
	over := (q.strange(i) - limit) * r.se
	if !r.told || over <= 0 {
		return false
	}
	return !sumpOrRim(sc.site, q.pts[i], r.missIn, over)
}

// sumpOrRim says whether a shot off its neighbours by missIn, overIn of it more
// than is chance, may be a drain's sump or its rim.
func sumpOrRim(s *survey.Site, p geom.Pt, missIn, overIn float64) bool {
	for _, o := range s.Outlets {
		if o.Kind == survey.Drain && o.P.Dist(p) <= drainNearFt {
			return !(missIn < -drainDropIn && overIn > drainDropIn || missIn > drainRiseIn && overIn > drainRiseIn)
		}
	}
	return false
}

// heightText prints how far a place stands off, in feet and inches from 2 ft on.
func (sc *screen) heightText(in float64) string {
	if h := unit.Inches(in); h >= 2*unit.Foot {
		return h.Format(sc.sys)
	}
	return unit.Inches(in).FormatThin(sc.sys)
}

// offFinding is what to say of a shot off its neighbours.
func (sc *screen) offFinding(q *asker, i int, limit float64) finding {
	r := q.rows[i]
	side, off, least := "above", r.missIn, farAboveIn
	if off < 0 {
		side, off, least = "below", -off, farBelowIn
	}
	f := finding{shot: q.shot[i], mend: "read it again and correct the line, or take the shot out"}
	cause := sc.elsewhere(q, i, limit)
	if cause == "" {
		cause = sc.cause(f.shot, r.missIn, limit*r.se/2)
	}
	f.why = fmt.Sprintf("stands %s %s what its neighbours say", sc.heightText(off), side) + cause
	words := fmt.Sprintf("far %s its neighbours", side)
	if off > least && (off-r.bendIn)/r.se > farTimes*limit {
		f.left, f.why = words, f.why+"; left out"
		return f
	}
	f.why += "; kept"
	f.mend = "read it again: if it is right, it tells of a dish or a rise narrower than the shots stand apart"
	return f
}
