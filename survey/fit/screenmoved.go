package fit

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// A shot is taken to stand at a wrong place where it crowds another, or stands off
// the roof, and the place with its coordinates exchanged lies in a gap. In
// spacings; common practice, no source.
const (
	crowded     = 0.75
	vacant      = 0.75
	pressed     = 0.5 // nearer than this, and not by a drain, pressedRoom will do
	pressedRoom = 0.65
	nearby      = 0.9 // nearer than this, and its elevation says so too
)

// fitErrors is how many standard errors of a miss part an elevation that fits a
// place from one that does not: one shot in 20 is off by more.
const fitErrors = 2.0

// moved looks for single shots at exchanged places.
func (sc *screen) moved() {
	m := sc.newAstray()
	if m == nil {
		return
	}
	var out []finding
	for i, s := range sc.a.Shots {
		if math.IsNaN(s.At.X + s.At.Y) {
			continue
		}
		where, _ := m.off.where(sc.at[i])
		beside := m.next(i, sc.at[i])
		why, places := "stands "+where, placesLike(s.At)
		if where == "" {
			why = fmt.Sprintf("stands %s from shot %s", unit.Feet(beside.ft).Format(sc.sys), sc.a.Shots[m.shot[beside.n]].ID)
			places = places[:1]
		}
		for _, c := range places {
			p := sc.site.Frame.ToLocal(c.at)
			if w, _ := m.off.where(p); w != "" || p.Dist(sc.at[i]) < m.spacing {
				continue
			}
			said := ""
			switch {
			case where != "" && m.next(i, p).ft >= vacant*m.spacing || where == "" && m.inGap(i, p):
				said = "it would be in a gap"
			case where == "" && m.fits(i, p):
				said = "it would fit the shots about it, which it does not where it stands"
			default:
				continue
			}
			out = append(out, finding{shot: i,
				why:  why + ", and with " + c.words + ", at " + sc.placeText(p) + ", " + said,
				mend: "look at its coordinates in the field book"})
			break
		}
	}
	if len(out) <= max(3, int(mostFarShare*float64(len(sc.at)))) {
		sc.note(out)
	}
}

// astray compares where shots stand with where they would.
type astray struct {
	sc      *screen
	off     offRoof
	shot    []int // on the roof
	near    *near // of those
	spacing float64
	q       *asker  // of the used shots; nil: not yet asked
	sigma   float64 // one standard error of a reading, as their misses show it
}

// newAstray is nil where the roof has too few shots.
func (sc *screen) newAstray() *astray {
	m := &astray{sc: sc, off: newOffRoof(sc.site, sc.a)}
	var on []geom.Pt
	for i, p := range sc.at {
		if where, _ := m.off.where(p); where == "" && !math.IsNaN(p.X+p.Y) {
			on, m.shot = append(on, p), append(m.shot, i)
		}
	}
	if len(on) < leastAsked {
		return nil
	}
	m.near, m.spacing = newNear(on), spacingOf(on)
	return m
}

// next is the shot nearest to p but for shot i.
func (m *astray) next(i int, p geom.Pt) neighbour {
	return m.near.nearest(p, 1, func(k int) bool { return m.shot[k] != i })[0]
}

// inGap says whether shot i crowds another and p is a place where a shot is
// missing. Shots close about a drain fill no place of the crew's grid.
func (m *astray) inGap(i int, p geom.Pt) bool {
	here, room := m.next(i, m.sc.at[i]).ft, m.next(i, p).ft
	if here > crowded*m.spacing {
		return false
	}
	if room >= vacant*m.spacing {
		return true
	}
	if here >= pressed*m.spacing || m.sc.byDrain(m.sc.at[i], m.spacing) {
		return false
	}
	grid := m.near.nearest(p, 1, func(k int) bool {
		return m.shot[k] != i && !m.sc.byDrain(m.near.pts[k], pressed*m.spacing)
	})
	return room >= pressedRoom*m.spacing || len(grid) > 0 && grid[0].ft >= vacant*m.spacing
}

// fits says whether shot i stands near another, p is a place where a shot may
// stand, in a gap or by a drain, where shots stand close, and the elevation of
// the shot is that of p and not that of its place.
func (m *astray) fits(i int, p geom.Pt) bool {
	here := m.next(i, m.sc.at[i]).ft
	drain := here <= crowded*m.spacing && m.sc.byDrain(p, m.spacing) && !m.sc.byDrain(m.sc.at[i], m.spacing)
	if here > nearby*m.spacing || !drain && m.next(i, p).ft < vacant*m.spacing {
		return false
	}
	if m.q == nil {
		if m.q = m.sc.newAsker(); m.q == nil {
			return false
		}
		m.sigma = newShifts(m.q, m.sc.readingIn()).sigma
	}
	k, used := slices.BinarySearch(m.q.shot, i)
	if !used {
		return false
	}
	now, then := m.q.rows[k], m.q.row(p, k)
	miss := math.Abs(m.q.zIn[k]-m.q.says(then)) / then.se
	return now.told && then.told && math.Abs(now.missIn)/now.se > fitErrors*m.sigma && miss <= fitErrors*m.sigma
}

// byDrain says whether a place lies within ft of a drain, where shots stand
// close.
func (sc *screen) byDrain(p geom.Pt, ft float64) bool {
	return slices.ContainsFunc(sc.site.Outlets, func(o survey.SiteOutlet) bool {
		return o.Kind == survey.Drain && o.P.Dist(p) <= ft
	})
}

// elsewhere says of a shot off its neighbours, and near one of them, that it
// would not be with its coordinates exchanged; "" where it would.
func (sc *screen) elsewhere(q *asker, i int, limit float64) string {
	p := q.pts[i]
	if beside := q.near.nearest(p, 1, func(m int) bool { return m != i }); beside[0].ft > crowded*q.spacing {
		return ""
	}
	job := sc.a.Shots[q.shot[i]].At
	to := sc.site.Frame.ToLocal(geom.Pt{X: job.Y, Y: job.X})
	r := q.row(to, i)
	if !sc.site.OnRoof(to) || to.Dist(p) < q.spacing || !r.told || math.Abs(q.zIn[i]-q.says(r)) > limit*r.se {
		return ""
	}
	return ", and with x and y exchanged, at " + sc.placeText(to) + ", it would not"
}

// likePlace is a place that another may have been written for.
type likePlace struct {
	at    geom.Pt // job feet
	words string
}

// placesLike are the places that p is taken for when its coordinates, the first,
// or two digits of the whole feet of one are exchanged.
func placesLike(p geom.Pt) []likePlace {
	out := []likePlace{{geom.Pt{X: p.Y, Y: p.X}, "x and y exchanged"}}
	for _, x := range digitsExchanged(p.X) {
		out = append(out, likePlace{geom.Pt{X: x, Y: p.Y}, "two digits of x exchanged"})
	}
	for _, y := range digitsExchanged(p.Y) {
		out = append(out, likePlace{geom.Pt{X: p.X, Y: y}, "two digits of y exchanged"})
	}
	return out
}

// digitsExchanged gives v with each pair of neighbouring digits before the point
// exchanged.
func digitsExchanged(v float64) (out []float64) {
	whole := math.Trunc(v)
	for _, other := range digitsSwapped(strconv.FormatFloat(whole, 'f', 0, 64)) {
		out = append(out, other+(v-whole))
	}
	return out
}
