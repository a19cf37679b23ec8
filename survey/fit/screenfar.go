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

// farNeighbours is how many neighbours speak for a shot's elevation.
const farNeighbours = 10

// far looks for single shots far off what their neighbours say: off the robust
// plane through them, and above the highest or below the lowest of them by
// more than the roof's own slopes explain. The first look passes over the
// highest and the lowest neighbour, so that two blunders side by side do not
// speak for each other; the second asks only neighbours that are not themselves
// in doubt.
func (sc *screen) far() {
	f := sc.newFar()
	if f == nil {
		return
	}
	var doubted []int
	for i := range f.pts {
		f.ask(i, 1)
	}
	scale := f.scale()
	for i := range f.pts {
		if f.isFar(i, scale) {
			doubted = append(doubted, i)
		}
	}
	for _, i := range doubted {
		f.out[i] = true
	}
	for _, i := range doubted {
		f.ask(i, 0)
	}
	var out []finding
	for _, i := range doubted {
		if f.isFar(i, scale) {
			out = append(out, f.finding(i, sc.sys))
		}
	}
	if len(out) > max(3, int(mostFarShare*float64(len(f.pts)))) {
		sc.found.Add(problem.Problem{Field: "area", Value: sc.a.Name, Grade: problem.Note,
			Why:  fmt.Sprintf("%d shots stand far off their neighbours; so many are taken for the roof and kept", len(out)),
			Mend: "look for a step, a set-up with a wrong height of instrument, or a second level"})
		return
	}
	sc.note(out)
}

// farScreen asks the neighbours of each used shot.
type farScreen struct {
	shot   []int // number in the area
	pts    []geom.Pt
	zIn    []float64
	near   *near
	walls  *walls
	bowls  []geom.Pt // drains, in the frame
	slopes float64   // in/ft between neighbours, all but the steepest quarter
	out    []bool    // in doubt: not to be asked

	offIn, beyondIn, nearestFt []float64 // the answers
}

func (sc *screen) newFar() *farScreen {
	f := &farScreen{walls: newWalls(sc.site)}
	for i, p := range sc.at {
		if sc.used(i) {
			f.shot = append(f.shot, i)
			f.pts = append(f.pts, p)
			f.zIn = append(f.zIn, sc.a.Shots[i].Elev.Inches())
		}
	}
	n := len(f.pts)
	if n < farNeighbours {
		return nil
	}
	for _, o := range sc.site.Outlets {
		if o.Kind == survey.Drain {
			f.bowls = append(f.bowls, o.P)
		}
	}
	f.near, f.out = newNear(f.pts), make([]bool, n)
	f.offIn, f.beyondIn, f.nearestFt = make([]float64, n), make([]float64, n), make([]float64, n)
	var slopes []float64
	for i, p := range f.pts {
		for _, m := range f.near.nearest(p, 4, func(m int) bool { return m != i && p.Dist(f.pts[m]) > twinFt }) {
			slopes = append(slopes, math.Abs(f.zIn[i]-f.zIn[m.n])/m.ft)
		}
	}
	slices.Sort(slopes)
	f.slopes = slopes[len(slopes)*3/4]
	return f
}

// ask has the neighbours of shot i that are not in doubt, and in its sight,
// say where it should stand; spare of them are passed over at either end when
// its elevation is compared with theirs.
func (f *farScreen) ask(i, spare int) {
	p := f.pts[i]
	found := f.near.nearest(p, farNeighbours, func(m int) bool {
		return m != i && !f.out[m] && p.Dist(f.pts[m]) > twinFt && !f.walls.between(p, f.pts[m])
	})
	f.offIn[i], f.beyondIn[i] = 0, 0
	if len(found) < 5 {
		return
	}
	var pts []geom.Pt
	var zIn []float64
	for _, m := range found {
		pts, zIn = append(pts, f.pts[m.n]), append(zIn, f.zIn[m.n])
	}
	f.nearestFt[i] = found[0].ft
	f.offIn[i] = f.zIn[i] - robustPlane(pts, zIn).At(p)
	slices.Sort(zIn)
	f.beyondIn[i] = math.Max(f.zIn[i]-zIn[len(zIn)-1-spare], zIn[spare]-f.zIn[i])
}

// scale is how far off shots usually are, robustly: 1.4826 times the median of
// the amounts, one standard deviation of a normal scatter.
func (f *farScreen) scale() float64 {
	var v []float64
	for _, r := range f.offIn {
		v = append(v, math.Abs(r))
	}
	return 1.4826 * median(v)
}

func (f *farScreen) isFar(i int, scaleIn float64) bool {
	off, allow := math.Abs(f.offIn[i]), math.Max(farLeastIn, 2*f.slopes*f.nearestFt[i])
	for _, b := range f.bowls {
		if f.offIn[i] < 0 && b.Dist(f.pts[i]) <= bowlFt {
			allow += bowlIn
			break
		}
	}
	return off > farLeastIn && off > farScales*scaleIn && f.beyondIn[i] > allow
}

func (f *farScreen) finding(i int, sys unit.System) finding {
	side, off := "above", f.offIn[i]
	if off < 0 {
		side, off = "below", -off
	}
	why := fmt.Sprintf("stands %s %s what its neighbours say", unit.Inches(off).FormatThin(sys), side)
	step, word := unit.Foot, "foot"
	if sys == unit.Metric {
		step, word = 100*unit.Millimetre, "decimetre"
	}
	if n := math.Round(off / step.Inches()); n >= 1 && math.Abs(off/step.Inches()-n) < 1.0/12 {
		why += fmt.Sprintf(", close to a whole %s, as if a %s was misread", word, word)
	}
	return finding{f.shot[i], fmt.Sprintf("far %s its neighbours", side), why + "; left out",
		"read it again and correct the line, or take the shot out"}
}

// robustPlane is a plane through places where those far off count little:
// least squares reweighted by Tukey's biweight (Mosteller and Tukey, 1977,
// "Data analysis and regression", from memory), begun at the median height so
// that up to nearly half may be off. Places in a line give their median height.
func robustPlane(pts []geom.Pt, zIn []float64) survey.Plane {
	pl := survey.Plane{CIn: median(slices.Clone(zIn))}
	weight, miss := make([]float64, len(pts)), make([]float64, len(pts))
	for range 15 {
		for i := range pts {
			miss[i] = math.Abs(zIn[i] - pl.At(pts[i]))
		}
		s := math.Max(6*median(slices.Clone(miss)), 1e-6)
		for i, m := range miss {
			weight[i] = 0
			if m < s {
				weight[i] = (1 - m*m/(s*s)) * (1 - m*m/(s*s))
			}
		}
		next, ok := weightedPlane(pts, zIn, weight)
		if !ok {
			return pl
		}
		pl = next
	}
	return pl
}

// weightedPlane is leastSquares with weights.
func weightedPlane(pts []geom.Pt, zIn, weight []float64) (survey.Plane, bool) {
	var sum, mz float64
	var sp spread
	for i, w := range weight {
		sum += w
		sp.middle = sp.middle.Add(pts[i].Mul(w))
		mz += w * zIn[i]
	}
	if sum <= 0 {
		return survey.Plane{}, false
	}
	sp.middle, mz = sp.middle.Mul(1/sum), mz/sum
	var xz, yz float64
	for i, w := range weight {
		d, dz := pts[i].Sub(sp.middle), zIn[i]-mz
		sp.xx += w * d.X * d.X
		sp.xy += w * d.X * d.Y
		sp.yy += w * d.Y * d.Y
		xz += w * d.X * dz
		yz += w * d.Y * dz
	}
	if sp.thin() {
		return survey.Plane{}, false
	}
	det := sp.xx*sp.yy - sp.xy*sp.xy
	gx, gy := (xz*sp.yy-yz*sp.xy)/det, (yz*sp.xx-xz*sp.xy)/det
	return survey.Plane{CIn: mz - gx*sp.middle.X - gy*sp.middle.Y, GX: gx, GY: gy}, true
}

// drains notes drains that come out as the highest places, as they do when
// rod readings are taken for elevations, and drains with no shot near.
func (sc *screen) drains() {
	var pts []geom.Pt
	var zIn []float64
	for i, p := range sc.at {
		if sc.used(i) {
			pts, zIn = append(pts, p), append(zIn, sc.a.Shots[i].Elev.Inches())
		}
	}
	if len(pts) < 3 {
		return
	}
	n := newNear(pts)
	sorted := slices.Sorted(slices.Values(zIn))
	high, seen := 0, 0
	for _, o := range sc.site.Outlets {
		if o.Kind != survey.Drain || o.Overflow {
			continue
		}
		one := n.nearest(o.P, 1, func(int) bool { return true })[0]
		if one.ft > drainSightFt {
			sc.found.Add(problem.Problem{Field: "drain", Value: o.ID, Grade: problem.Note,
				Why:  fmt.Sprintf("the nearest shot is %s away", unit.Feet(one.ft).Format(sc.sys)),
				Mend: "read its flange and the roof round it"})
			continue
		}
		seen++
		if rank, _ := slices.BinarySearchFunc(sorted, zIn[one.n], cmp.Compare[float64]); rank*10 >= 9*(len(sorted)-1) {
			high++
		}
	}
	if seen > 0 && high == seen && sorted[len(sorted)-1]-sorted[0] > 1 {
		sc.found.Add(problem.Problem{Field: "area", Value: sc.a.Name, Grade: problem.Note,
			Why: "the drains come out among the highest shots of the roof",
			Mend: "look at survey.reading: rod readings taken for elevations turn the roof upside down " +
				"(a bigger reading is a lower roof)"})
	}
}
