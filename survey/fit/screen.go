package fit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// What the screens take for a blunder. Common practice, no source, but for the
// first: simple construction levelling is held to a quarter inch.
const (
	twinAgreeIn  = 0.25 // two readings of one place that differ by more are in dispute
	twinFt       = 0.05 // shots nearer than this stand at one place
	farLeastIn   = 1.5  // no shot is far off by less
	farScales    = 6    // times the usual miss of a shot by its neighbours
	bowlIn       = 6.0  // how much lower still a shot in a drain's bowl may be
	bowlFt       = 3.0
	drainSightFt = 10.0 // a drain with no shot nearer than this is not surveyed
	mostFarShare = 0.05 // more shots far off than this are the roof, not blunders
	mostListed   = 20   // problems of one kind listed one by one
	mostReliefFt = 20.0 // no level of a roof is higher: half an inch a foot over 480 ft
	cloudEnds    = 100  // of a point cloud, one point in so many at either end is not asked
)

// Screen looks for blunders in the shots of an area before they are fitted.
// Shots that cannot be believed have Left set in the area returned, with a
// note each that names the shot, its file and line, why, and the mend; nothing
// is dropped without one. Notes beyond the twentieth of a kind are counted in
// one. Measures are written in sys. Faults: fewer than three shots left, all of
// them in a line, or a highest one over 20 ft above the lowest.
//
//   - shots outside the outline, in a court or in a curb, beyond a tolerance;
//   - shots at one place: of two with the same elevation the second is left
//     out, and all of them where they differ by more than a quarter inch;
//   - a shot far off what its neighbours say (not in a point cloud,
//     see CloudShots);
//   - drains that come out as the highest places; drains with no shot near.
//
// The argument is not changed. Cost: O(n log n).
func Screen(a survey.Area, sys unit.System) (survey.Area, problem.List) {
	a.Shots = slices.Clone(a.Shots)
	bare := a
	bare.Shots = nil
	sc := &screen{a: &a, sys: sys, site: survey.SiteOf(&bare, nil)}
	for _, s := range a.Shots {
		sc.at = append(sc.at, sc.site.Frame.ToLocal(s.At))
	}
	sc.numbers()
	sc.places()
	if !sc.ofCloud() {
		sc.twins()
		sc.far()
	}
	sc.relief()
	sc.drains()
	sc.enough()
	return a, sc.found
}

// screen holds what the screens of one area share.
type screen struct {
	a     *survey.Area
	sys   unit.System
	site  *survey.Site // without shots
	at    []geom.Pt    // of each shot, in the frame
	found problem.List
}

func (sc *screen) used(i int) bool { return sc.a.Shots[i].Left == "" }

// ofCloud says whether the shots hold the medians of a point cloud, which was
// cleared of strays and compared with the shots beside it when they were made.
func (sc *screen) ofCloud() bool {
	return slices.ContainsFunc(sc.a.Shots, func(s survey.Shot) bool { return s.FromCloud })
}

// finding is a shot to be noted, and left out unless the reason is empty.
type finding struct {
	shot      int
	left      string
	why, mend string
}

// note records findings of one kind and leaves their shots out.
func (sc *screen) note(all []finding) {
	for n, f := range all {
		s := &sc.a.Shots[f.shot]
		if s.Left == "" {
			s.Left = f.left
		}
		if n < mostListed {
			sc.found.Add(problem.Problem{File: s.File, Line: s.Line, Field: "shot", Value: s.ID,
				Why: f.why, Mend: f.mend, Grade: problem.Note})
		}
	}
	if more := len(all) - mostListed; more > 0 {
		last := all[len(all)-1]
		sc.found.Add(problem.Problem{File: sc.a.Shots[last.shot].File, Field: "area", Value: sc.a.Name,
			Why: fmt.Sprintf("%d more shots of the same kind; the last is shot %s: %s", more,
				sc.a.Shots[last.shot].ID, last.why),
			Mend: last.mend, Grade: problem.Note})
	}
}

// numbers leaves out what is no number; readers refuse such lines themselves.
func (sc *screen) numbers() {
	var out []finding
	for i, p := range sc.at {
		if v := p.X + p.Y + sc.a.Shots[i].Elev.Inches(); math.IsNaN(v) || math.IsInf(v, 0) {
			out = append(out, finding{i, "not a number", "its place or elevation is not a number; left out",
				"correct the line"})
		}
	}
	sc.note(out)
}

// places leaves out shots off the area.
func (sc *screen) places() {
	outline := newRingRows(sc.site.Outline)
	var holes []ringRows
	var names []string
	for i, c := range sc.site.Courts {
		holes, names = append(holes, newRingRows(c)), append(names, fmt.Sprintf("court %d", i+1))
	}
	for i, c := range sc.site.Curbs {
		holes, names = append(holes, newRingRows(c)), append(names, "curb "+sc.a.Curbs[i].ID)
	}
	var out []finding
	for i, p := range sc.at {
		if !sc.used(i) || sc.a.Shots[i].FromCloud {
			continue
		}
		if in, edge := outline.has(p); !in && !edge {
			out = append(out, finding{i, "outside the outline", fmt.Sprintf("stands outside the outline of area %s; "+
				"left out", sc.a.Name), "correct its place (x and y may be exchanged), or give it to its area"})
			continue
		}
		for n := range holes {
			if in, edge := holes[n].has(p); in && !edge {
				out = append(out, finding{i, "in " + names[n], fmt.Sprintf("stands in %s, off the roof; left out",
					names[n]), "correct its place or that of the " + names[n]})
				break
			}
		}
	}
	sc.note(out)
}

// ringRows is a ring with its stretches sorted by height on the sheet, so that
// many places can be looked up in it.
type ringRows struct {
	ring   geom.Ring
	box    geom.Box
	cellFt float64
	rows   [][]int32
}

func newRingRows(r geom.Ring) ringRows {
	q := ringRows{ring: r, box: r.Box()}
	_, high := q.box.Size()
	n := min(len(r)+1, 2000)
	q.cellFt = math.Max(high/float64(n), 1e-6)
	q.rows = make([][]int32, n)
	for i := range r {
		lo, hi := math.Min(r[i].Y, r.At(i+1).Y)-looseFt, math.Max(r[i].Y, r.At(i+1).Y)+looseFt
		for j := q.row(lo); j <= q.row(hi); j++ {
			q.rows[j] = append(q.rows[j], int32(i))
		}
	}
	return q
}

func (q ringRows) row(y float64) int { return clamp(int((y-q.box.Min.Y)/q.cellFt), len(q.rows)) }

// has says whether p lies within the ring, and whether it lies within looseFt
// of its border.
func (q ringRows) has(p geom.Pt) (in, edge bool) {
	for _, i := range q.rows[q.row(p.Y)] {
		a, b := q.ring[i], q.ring.At(int(i)+1)
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
		edge = edge || geom.SegDist(p, a, b) <= looseFt
	}
	return in, edge
}

// twins looks for shots at one place.
func (sc *screen) twins() {
	var order []int
	for i := range sc.at {
		if sc.used(i) {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(geom.Compare(sc.at[a], sc.at[b]), cmp.Compare(a, b))
	})
	taken := make([]bool, len(sc.at))
	var out []finding
	for n, i := range order {
		if taken[i] {
			continue
		}
		group := []int{i}
		for _, m := range order[n+1:] {
			if sc.at[m].X-sc.at[i].X > twinFt {
				break
			}
			if !taken[m] && sc.at[m].Dist(sc.at[i]) <= twinFt {
				group, taken[m] = append(group, m), true
			}
		}
		slices.Sort(group)
		out = append(out, sc.judgeTwins(group)...)
	}
	slices.SortFunc(out, func(a, b finding) int { return cmp.Compare(a.shot, b.shot) })
	sc.note(out)
}

// judgeTwins decides about the shots of one place, in the order of the file.
func (sc *screen) judgeTwins(group []int) (out []finding) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, i := range group {
		z := sc.a.Shots[i].Elev.Inches()
		lo, hi = math.Min(lo, z), math.Max(hi, z)
	}
	for n, i := range group {
		s := sc.a.Shots[i]
		if hi-lo > twinAgreeIn {
			other := sc.a.Shots[group[(n+1)%len(group)]]
			out = append(out, finding{i, "disputed by another shot of the same place",
				fmt.Sprintf("stands at the place of shot %s (%s:%d) and differs by %s; both left out", other.ID,
					other.File, other.Line, unit.Inches(hi-lo).FormatThin(sc.sys)),
				"take out the wrong one, or read the place again"})
			continue
		}
		for _, m := range group[:n] {
			first := sc.a.Shots[m]
			if first.Elev == s.Elev {
				out = append(out, finding{i, "the same as shot " + first.ID,
					fmt.Sprintf("is the same as shot %s (%s:%d); counted once", first.ID, first.File, first.Line),
					"take one of them out"})
				break
			}
		}
	}
	return out
}

// relief raises a fault where the highest shot left stands farther above the
// lowest than any one level of a roof is high. Objects on a roof that is a point
// cloud are not asked.
func (sc *screen) relief() {
	var order []int
	for i := range sc.at {
		if sc.used(i) {
			order = append(order, i)
		}
	}
	shot := func(i int) survey.Shot { return sc.a.Shots[i] }
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(shot(a).Elev, shot(b).Elev), cmp.Compare(a, b))
	})
	spare := 0
	if sc.ofCloud() {
		spare = len(order) / cloudEnds
	}
	if len(order) <= 2*spare {
		return
	}
	low, high := shot(order[spare]), shot(order[len(order)-1-spare])
	rise := high.Elev - low.Elev
	if rise <= unit.Feet(mostReliefFt) {
		return
	}
	sc.found.Add(problem.Problem{File: high.File, Line: high.Line, Field: "shot", Value: high.ID,
		Why: fmt.Sprintf("stands %s above shot %s (%s:%d) of the same area %s, and a roof level is not %s high",
			rise.Format(sc.sys), low.ID, low.File, low.Line, sc.a.Name, unit.Feet(mostReliefFt).Format(sc.sys)),
		Mend: "check the unit and both lines, or divide the roof into areas"})
}

// enough raises faults where no surface can be laid.
func (sc *screen) enough() {
	var pts []geom.Pt
	for i, p := range sc.at {
		if sc.used(i) {
			pts = append(pts, p)
		}
	}
	fault := problem.Problem{Field: "area", Value: sc.a.Name}
	if len(sc.a.Shots) > 0 {
		fault.File = sc.a.Shots[0].File
	}
	if _, _, err := leastSquares(pts, make([]float64, len(pts))); err == nil {
		return
	}
	fault.Why = fmt.Sprintf("all its %d shots lie on one line, and no surface can be laid through a line", len(pts))
	fault.Mend = "add shots off that line"
	if len(pts) < 3 {
		fault.Why = fmt.Sprintf("%d of its %d shots can be used, and a surface takes at least 3", len(pts),
			len(sc.a.Shots))
		fault.Mend = "add shots, or write survey: none for a layout on a level deck"
	}
	sc.found.Add(fault)
}
