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
)

// moved looks for single shots at exchanged places.
func (sc *screen) moved() {
	var on []geom.Pt
	var shot []int
	off := newOffRoof(sc.site, sc.a)
	for i, p := range sc.at {
		if where, _ := off.where(p); where == "" && !math.IsNaN(p.X+p.Y) {
			on, shot = append(on, p), append(shot, i)
		}
	}
	if len(on) < leastAsked {
		return
	}
	near, spacing := newNear(on), spacingOf(on)
	next := func(i int, p geom.Pt) neighbour {
		return near.nearest(p, 1, func(m int) bool { return shot[m] != i })[0]
	}
	var out []finding
	for i, s := range sc.a.Shots {
		where, _ := off.where(sc.at[i])
		beside := next(i, sc.at[i])
		if where == "" && beside.ft > crowded*spacing || math.IsNaN(s.At.X+s.At.Y) {
			continue
		}
		room, why, places := vacant*spacing, "stands "+where, placesLike(s.At)
		if where == "" {
			places = places[:1]
			if beside.ft < pressed*spacing && !sc.byDrain(sc.at[i], spacing) {
				room = pressedRoom * spacing
			}
			why = fmt.Sprintf("stands %s from shot %s", unit.Feet(beside.ft).Format(sc.sys), sc.a.Shots[shot[beside.n]].ID)
		}
		for _, c := range places {
			p := sc.site.Frame.ToLocal(c.at)
			w, _ := off.where(p)
			if w == "" && p.Dist(sc.at[i]) >= spacing && next(i, p).ft >= room {
				out = append(out, finding{shot: i, suspect: "at a place that may be exchanged",
					why:  why + ", and with " + c.words + ", at " + sc.placeText(p) + ", it would be in a gap",
					mend: "look at its coordinates in the field book"})
				break
			}
		}
	}
	if len(out) <= max(3, int(mostFarShare*float64(len(sc.at)))) {
		sc.note(out)
	}
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
