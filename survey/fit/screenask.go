package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"runnel/survey/geom"
)

// How the neighbours of a shot are asked what it should read.
const (
	leastAsked    = 12   // shots, before any is asked
	askNeighbours = 12   // how many speak
	planeSpeaks   = 8    // how many of them for the plane beside the curved surface
	leastSpeaks   = 6    // fewer are not believed
	askReach      = 2.0  // spacings within which the third nearest stands
	askNugget     = 0.03 // smoothing of the curved surface, in spacings squared
	askRough      = 1.0  // see askRow.se
	bendShare     = 0.75 // how much of the curve its bottom may add, see ask
	leastFold     = 0.1  // spacings from a stated line to stand beside it
)

// asker has the neighbours of each shot say where it should stand, without its
// own word: by the thin-plate spline through the twelve nearest in sight, lightly
// smoothed (Duchon, 1977, "Splines minimizing rotation-invariant semi-norms in
// Sobolev spaces"), which is a sum of their elevations with weights of place
// alone. With one standard error s of a reading, the miss of a shot has the
// standard error s times the root of 1 + the sum of the squared weights + the
// square of the spline's power function there, which grows where the neighbours
// stand far or to one side, as at corners (Wendland, 2005, "Scattered data
// approximation", ch. 11, from memory); a roof bends by about a reading error
// within one spacing.
type asker struct {
	shot    []int // number in the area
	pts     []geom.Pt
	zIn     []float64
	near    *near
	walls   *walls
	breaks  [][]geom.Pt // stated ridges and valleys
	spacing float64
	out     []bool // not to be asked
	rows    []askRow
}

// askRow is what the neighbours of one shot say.
type askRow struct {
	told   bool
	folded bool // over a stated ridge or valley
	from   []int
	weight []float64
	se     float64 // of the miss, in standard errors of one reading
	missIn float64 // the shot less what the neighbours say
	bendIn float64 // of the miss, what the neighbours' own curve makes likely
}

// newAsker asks the neighbours of all used shots; nil where there are too few.
// Neighbours and weights are kept for the next time while the same shots are
// used.
func (sc *screen) newAsker() *asker {
	used := sc.usedShots()
	if len(used) < leastAsked {
		return nil
	}
	if sc.laid == nil || !slices.Equal(used, sc.laid.shot) {
		sc.laid = sc.layAsker(used)
	}
	q := sc.laid.copied()
	for i, n := range used {
		q.zIn[i] = sc.zIn[n]
	}
	for i := range q.pts {
		q.ask(i)
	}
	return q
}

// layAsker finds who speaks for each of the shots, and with what weight.
func (sc *screen) layAsker(shots []int) *asker {
	q := &asker{shot: shots, walls: newWalls(sc.site), breaks: sc.site.Breaks}
	for _, i := range shots {
		q.pts = append(q.pts, sc.at[i])
	}
	q.near, q.spacing = newNear(q.pts), spacingOf(q.pts)
	q.zIn, q.out, q.rows = make([]float64, len(shots)), make([]bool, len(shots)), make([]askRow, len(shots))
	for i := range q.pts {
		q.lay(i)
	}
	return q
}

// lay chooses the neighbours of shot i that speak and weighs them.
func (q *asker) lay(i int) { q.rows[i] = q.row(q.pts[i], i) }

// row has the neighbours of a place speak, but for shot i.
func (q *asker) row(p geom.Pt, i int) (r askRow) {
	found := q.inSight(p, i)
	if len(found) < leastSpeaks || found[2].ft > askReach*q.spacing {
		return askRow{}
	}
	var pts []geom.Pt
	for _, m := range found {
		r.from, pts = append(r.from, m.n), append(pts, q.pts[m.n].Sub(p).Mul(1/q.spacing))
	}
	var power2 float64
	fold := q.fold(p, r.from)
	if r.weight, power2, r.told = splineWeights(pts, fold); r.told {
		r.folded = fold != nil
	} else if r.weight, power2, r.told = splineWeights(pts, nil); !r.told {
		return askRow{}
	}
	sum := 1 + askRough*power2
	for _, w := range r.weight {
		sum += w * w
	}
	r.se = math.Sqrt(sum)
	return r
}

// fold gives how far the neighbours and, last, the place stand from the stated ridge
// or valley that runs between them, in spacings; nil where none does. A surface
// that folds along the line is a plane and a multiple of that.
func (q *asker) fold(p geom.Pt, from []int) []float64 {
	for _, l := range q.breaks {
		var fold []float64
		left, right := false, false
		for _, m := range append(from[:len(from):len(from)], -1) {
			at := p
			if m >= 0 {
				at = q.pts[m]
			}
			side := besideFt(l, at) / q.spacing
			left, right = left || side > leastFold, right || side < -leastFold
			fold = append(fold, math.Abs(side))
		}
		if left && right {
			return fold
		}
	}
	return nil
}

// besideFt is how far a place stands from a line, below 0 on its right.
func besideFt(l []geom.Pt, p geom.Pt) float64 {
	best := math.Inf(1)
	for i := 1; i < len(l); i++ {
		ft := geom.SegDist(p, l[i-1], l[i])
		if ft < math.Abs(best) {
			best = math.Copysign(ft, l[i].Sub(l[i-1]).Cross(p.Sub(l[i-1])))
		}
	}
	return best
}

// says is what the neighbours of a row say, in inches.
func (q *asker) says(r askRow) (in float64) {
	for k, m := range r.from {
		in += r.weight[k] * q.zIn[m]
	}
	return in
}

// inSight gives the askNeighbours nearest shots, but for i, that stand in sight of
// p and are not out. Walls are asked about the nearest alone, at first.
func (q *asker) inSight(p geom.Pt, i int) []neighbour {
	apart := func(m int) bool { return m != i && !q.out[m] && p.Dist(q.pts[m]) > twinFt }
	var seen []neighbour
	for _, m := range q.near.nearest(p, 2*askNeighbours, apart) {
		if !q.walls.between(p, q.pts[m.n]) {
			if seen = append(seen, m); len(seen) == askNeighbours {
				return seen
			}
		}
	}
	return q.near.nearest(p, askNeighbours, func(m int) bool { return apart(m) && !q.walls.between(p, q.pts[m]) })
}

// splineBend is the radial function of the thin-plate spline.
func splineBend(p geom.Pt) float64 {
	r2 := p.X*p.X + p.Y*p.Y
	if r2 == 0 {
		return 0
	}
	return r2 * math.Log(r2) / 2
}

// splineWeights gives the weights of the elevations at pts in the value at the
// origin of the smoothed spline through them, and the square of its power
// function there; false where they lie on a line. With a fold, a value for each
// place and the origin, the spline is a plane and a multiple of it where it does not
// bend (kriging with a drift: Wackernagel, 2003, "Multivariate Geostatistics", ch. 38,
// from memory). Elimination with the largest pivot of each column, textbook.
func splineWeights(pts []geom.Pt, fold []float64) (weight []float64, power2 float64, ok bool) {
	n := len(pts)
	if n > askNeighbours {
		return nil, 0, false
	}
	drift := 3
	if fold != nil {
		drift = 4
	}
	size := n + drift
	var a [askNeighbours + 4][askNeighbours + 5]float64 // the last column in use is the right side
	for i, p := range pts {
		for j, o := range pts[:i] {
			a[i][j] = splineBend(p.Sub(o))
			a[j][i] = a[i][j]
		}
		a[i][i] = askNugget
		for k, v := range [3]float64{1, p.X, p.Y} {
			a[i][n+k], a[n+k][i] = v, v
		}
		if fold != nil {
			a[i][n+3], a[n+3][i] = fold[i], fold[i]
		}
		a[i][size] = splineBend(p)
	}
	a[n][size] = 1
	if fold != nil {
		a[n+3][size] = fold[n]
	}
	weight, ok = solved(&a, size)
	if !ok {
		return nil, 0, false
	}
	weight = weight[:n]
	for i, p := range pts {
		power2 -= 2 * weight[i] * splineBend(p)
		for j, o := range pts[:i] {
			power2 += 2 * weight[i] * weight[j] * splineBend(p.Sub(o))
		}
	}
	return weight, math.Max(0, power2), true
}

// solved eliminates the first rows of a system, the right side in the column after
// them; false where it has no one solution.
func solved(a *[askNeighbours + 4][askNeighbours + 5]float64, size int) ([]float64, bool) {
	for c := range size {
		big := c
		for r := c + 1; r < size; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[big][c]) {
				big = r
			}
		}
		if math.Abs(a[big][c]) < 1e-9 {
			return nil, false
		}
		a[c], a[big] = a[big], a[c]
		for r := c + 1; r < size; r++ {
			f := a[r][c] / a[c][c]
			for k := c; k <= size; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	x := make([]float64, size)
	for c := size - 1; c >= 0; c-- {
		x[c] = a[c][size]
		for k := c + 1; k < size; k++ {
			x[c] -= a[c][k] * x[k]
		}
		x[c] /= a[c][c]
	}
	return x, true
}

// ask works out what shot i misses by. Where the plane through the nearest
// neighbours lies on the far side of the curved surface as seen from the shot,
// the neighbours show a hollow (or a crown) that the shot may be the bottom of:
// bendShare of what the curve makes of it is set down to that; not over a stated
// line, where it is the fold.
func (q *asker) ask(i int) {
	r := &q.rows[i]
	if !r.told {
		return
	}
	says := q.says(*r)
	var pts []geom.Pt
	var zIn []float64
	for _, m := range r.from[:min(planeSpeaks, len(r.from))] {
		pts, zIn = append(pts, q.pts[m].Sub(q.pts[i])), append(zIn, q.zIn[m])
	}
	r.missIn, r.bendIn = q.zIn[i]-says, 0
	if r.folded {
		return // the curve is the fold
	}
	if pl, _, err := leastSquares(pts, zIn); err == nil {
		if bend := says - pl.CIn; bend > 0 == (r.missIn > 0) {
			r.bendIn = bendShare * math.Abs(bend)
		}
	}
}

// strange is by how many readings' standard errors of 1 in shot i is off beyond
// what the curve explains; 0 where nobody tells.
func (q *asker) strange(i int) float64 {
	r := q.rows[i]
	if !r.told {
		return 0
	}
	return math.Max(0, math.Abs(r.missIn)-r.bendIn) / r.se
}

// chance is how often, in surveys of nothing but normal scatter, a screen that
// asks every shot raises an alarm. Real roofs are no splines and raise more.
const chance = 1.0 / 50

// limit is the least strangeness that is not chance: normal quantiles on the
// stated reading error, or Student's on the scatter that the shots themselves
// show, whichever is more. The scatter is 1.4826 times the median strangeness or,
// with ridges, the upper tenth over 1.645 where that is more, so that a roof with
// many ridges allows for them; it stands on about half as many shots as there
// are.
func limit(strange []float64, readingErrorIn float64, ridges bool) float64 {
	if len(strange) == 0 {
		return math.Inf(1)
	}
	all := slices.Sorted(slices.Values(strange))
	n := float64(len(all))
	scatter := usual(all)
	if ridges {
		scatter = math.Max(scatter, all[len(all)*9/10]/1.645)
	}
	tail := 1 - chance/2/n
	stated := math.Max(readingErrorIn, leastScatterIn) * distuv.UnitNormal.Quantile(tail)
	return math.Max(stated, scatter*distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n / 2}.Quantile(tail))
}

// mostStrange is how many shots may be strange before they are taken for the
// roof.
func (q *asker) mostStrange() int { return max(3, int(mostFarShare*float64(len(q.pts)))) }

// strangeAll gives the strangeness of the shots that are told, in order.
func (q *asker) strangeAll() (all []float64) {
	for i := range q.pts {
		if q.rows[i].told {
			all = append(all, q.strange(i))
		}
	}
	return all
}

// copied is an asker that can be changed without changing q.
func (q *asker) copied() *asker {
	c := *q
	c.zIn, c.out, c.rows = slices.Clone(q.zIn), slices.Clone(q.out), slices.Clone(q.rows)
	return &c
}

// without takes shot i out and asks those again whom it spoke for.
func (q *asker) without(i int) {
	q.out[i] = true
	for m, r := range q.rows {
		if m != i && slices.Contains(r.from, i) {
			q.lay(m)
			q.ask(m)
		}
	}
}
