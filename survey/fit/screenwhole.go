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

// figureFt is what the field book says of a shot, in feet: the rod reading
// where there is one, else the elevation.
func (sc *screen) figureFt(i int) float64 {
	if s := sc.a.Shots[i]; s.SetUp != 0 {
		return s.Rod.Feet()
	}
	return sc.a.Shots[i].Elev.Feet()
}

// A list is asked for feet and inches from so many figures on, which stand on
// both sides of a whole foot so many times.
const (
	leastFigures = 12
	leastAFoot   = 3
)

// tenths notes a list of which every figure could be feet and whole inches
// written as a decimal: 5.4 for 5 ft 4 in, 5.04 or 5.11. Decimal feet read to a
// hundredth pass by once in (12/100)^n or (22/100)^n.
func (sc *screen) tenths() {
	if sc.sys == unit.Metric {
		return
	}
	ones, tens, n := true, true, 0
	feet, parts := map[int]int{}, map[int]bool{}
	last := 0
	for i := range sc.at {
		if !sc.used(i) {
			continue
		}
		v := math.Abs(sc.figureFt(i))
		hundredths := math.Round(100 * (v - math.Floor(v)))
		if math.Abs(v-math.Floor(v)-hundredths/100) > 1e-6 {
			return
		}
		h := int(hundredths)
		ones = ones && (h%10 == 0 || h == 11)
		tens = tens && h <= 11
		feet[int(math.Floor(v))]++
		parts[h] = true
		last, n = i, n+1
	}
	whole := 0
	for _, count := range feet {
		if count >= leastAFoot {
			whole++
		}
	}
	// A roof within one foot may well end at .11, and one read to a tenth may
	// hold no other figures: then only 10 and 11 in tell.
	sure := ones && parts[11] || tens && whole >= 2
	if n < leastFigures || len(parts) < 4 || !(sure || ones && whole >= 1) {
		return
	}
	s := sc.a.Shots[last]
	sc.doubt(fmt.Sprintf("all %d figures of the list, the last one %.2f of shot %s, could be feet and inches "+
		"with a point between (5.4 for 5 ft 4 in) that were read as decimal feet", n, sc.figureFt(last), s.ID),
		"look in the field book: write survey.unit: ft-in and 5'-4\", or leave it if they are tenths of a foot")
}

// relief raises a fault where the highest shot left stands farther above the
// lowest than any one level of a roof is high. Objects on a roof that is a point
// cloud are not asked.
func (sc *screen) relief() {
	order := sc.usedShots()
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
	pts := sc.usedPlaces().at
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
		fault.Why = fmt.Sprintf("%d of its %s can be used, and a surface takes at least 3", len(pts),
			problem.Count(len(sc.a.Shots), "shot", "shots"))
		fault.Mend = "add shots, or write survey: none for a layout on a level deck"
	}
	sc.found.Add(fault)
}

// Drains are the wrong way up where each stands among the highest tenth, or two
// and more on average above so many of the shots. Common practice, no source.
const (
	drainsTop  = 0.9
	drainsMean = 0.7
)

// drains notes drains that come out as the highest places, as they do when
// rod readings are taken for elevations.
func (sc *screen) drains() {
	var pts []geom.Pt
	var zIn []float64
	for _, i := range sc.usedShots() {
		pts, zIn = append(pts, sc.at[i]), append(zIn, sc.a.Shots[i].Elev.Inches())
	}
	if len(pts) < 3 {
		return
	}
	n := newNear(pts)
	sorted := slices.Sorted(slices.Values(zIn))
	high, seen, sum := 0, 0, 0.0
	for _, o := range sc.site.Outlets {
		if o.Kind != survey.Drain || o.Overflow {
			continue
		}
		one := n.nearest(o.P, 1, func(int) bool { return true })[0]
		if one.ft > survey.NearOutletFt {
			continue
		}
		seen++
		rank, _ := slices.BinarySearchFunc(sorted, zIn[one.n], cmp.Compare[float64])
		share := float64(rank) / float64(len(sorted)-1)
		sum += share
		if share >= drainsTop {
			high++
		}
	}
	all := seen > 0 && high == seen || seen > 1 && sum >= drainsMean*float64(seen)
	if all && sorted[len(sorted)-1]-sorted[0] > 1 {
		sc.doubt("the drains come out among the highest shots of the roof",
			"look at survey.reading: rod readings taken for elevations turn the roof upside down "+
				"(a bigger reading is a lower roof)")
	}
}

// outlets notes the outlets with no shot near. Water there is not surveyed.
func (sc *screen) outlets() (found problem.List) {
	pts := sc.usedPlaces().at
	if len(pts) == 0 {
		return nil
	}
	n := newNear(pts)
	for _, o := range sc.site.Outlets {
		ft := n.nearest(o.P, 1, func(int) bool { return true })[0].ft
		if o.Kind == survey.GutterOutlet || o.Kind == survey.OpenOutlet {
			for _, p := range pts {
				ft = math.Min(ft, geom.SegDist(p, o.A, o.B))
			}
		}
		if ft <= survey.NearOutletFt {
			continue
		}
		found.Add(problem.Problem{Field: o.Kind.String(), Value: o.ID, Grade: problem.Note,
			Why: fmt.Sprintf("the nearest shot is %s away, and how the roof runs to it is not known",
				unit.Feet(ft).Format(sc.sys)),
			Mend: "read its " + inletWord(o.Kind) + " and the roof round it"})
	}
	return found
}

// inletWord names the part of an outlet that is read.
func inletWord(k survey.OutletKind) string {
	switch k {
	case survey.Drain:
		return "flange"
	case survey.Scupper:
		return "invert"
	}
	return "edge"
}
