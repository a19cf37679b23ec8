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

// places leaves out shots off the area, and says so where the whole list fits
// better turned over.
func (sc *screen) places() {
	off := newOffRoof(sc.site, sc.a)
	var out []finding
	for i, p := range sc.at {
		where, outside := off.where(p)
		switch {
		case where == "" || !sc.used(i) || sc.a.Shots[i].FromCloud:
		case outside:
			out = append(out, finding{shot: i, left: where, why: fmt.Sprintf("stands outside the outline of area %s; "+
				"left out", sc.a.Name), mend: "correct its place" + sc.exchangedWords(off, i) + ", or give it to its area"})
		default:
			out = append(out, finding{shot: i, left: where, why: fmt.Sprintf("stands %s, off the roof; left out", where),
				mend: "correct its place" + sc.exchangedWords(off, i) + " or that of the " + where[len("in "):]})
		}
	}
	sc.note(out)
	sc.turned(off)
}

// exchangedWords says so where a shot off the roof would stand on it with x and y
// exchanged.
func (sc *screen) exchangedWords(off offRoof, i int) string {
	at := sc.a.Shots[i].At
	p := sc.site.Frame.ToLocal(geom.Pt{X: at.Y, Y: at.X})
	if where, _ := off.where(p); where != "" {
		return ""
	}
	return " (with x and y exchanged it would stand on the roof, at " + sc.placeText(p) + ")"
}

// offRoof tells which places lie off an area's roof.
type offRoof struct {
	outline ringRows
	holes   []ringRows
	names   []string
}

func newOffRoof(s *survey.Site, a *survey.Area) offRoof {
	o := offRoof{outline: newRingRows(s.Outline)}
	for i, c := range s.Courts {
		o.holes, o.names = append(o.holes, newRingRows(c)), append(o.names, fmt.Sprintf("court %d", i+1))
	}
	for i, c := range s.Curbs {
		o.holes, o.names = append(o.holes, newRingRows(c)), append(o.names, "curb "+a.Curbs[i].ID)
	}
	return o
}

// where says what a place off the roof lies in, "" for one on it, beyond
// looseFt.
func (o offRoof) where(p geom.Pt) (where string, outside bool) {
	if in, edge := o.outline.has(p); !in && !edge {
		return "outside the outline", true
	}
	for n := range o.holes {
		if in, edge := o.holes[n].has(p); in && !edge {
			return "in " + o.names[n], false
		}
	}
	return "", false
}

// A plan is taken to be turned over where more than one shot in turnedOff lies
// off the roof as written, and as the mirror has it at most a fourth of them.
const (
	turnedOff  = 20
	turnedLeft = 4
	mostTurned = 2000 // shots looked at
)

// turned looks whether a list fits the outline, and where most of the roof looks
// alike both ways the drains, when its plan is mirrored. Of long lists it looks
// at every so many shots.
func (sc *screen) turned(off offRoof) {
	if len(sc.at) < leastAsked {
		return
	}
	stays := func(p geom.Pt) geom.Pt { return p }
	astrayBy := func(plan func(geom.Pt) geom.Pt) (n, of int) {
		for i := 0; i < len(sc.at); i += 1 + len(sc.at)/mostTurned {
			if where, _ := off.where(plan(sc.at[i])); where != "" {
				n++
			}
			of++
		}
		return n, of
	}
	written, of := astrayBy(stays)
	many, sunk := written*turnedOff > of, sc.drainRank(stays)
	best, low, words := written, sunk, ""
	for _, m := range sc.mirrors() {
		n, _ := astrayBy(m.to)
		r := sc.drainRank(m.to)
		fits := many && n*turnedLeft <= written || !many && n <= written && sunk > drainsHigh && r < drainsLow
		if fits && (words == "" || n < best || n == best && r < low) {
			best, low, words = n, r, m.words
		}
	}
	if words == "" {
		return
	}
	why := fmt.Sprintf("%d of %d shots lie off the roof as written, %d with %s", written, of, best, words)
	if !many {
		why = "the drains stand among its higher shots as written, and among its lowest with " + words
	}
	sc.doubt(why+": the plan of the shots seems to be turned over",
		"look which way the crew's x and y run, and exchange the columns or turn their sign")
}

// mirror is one way in which a plan is written the wrong way round.
type mirror struct {
	to    func(geom.Pt) geom.Pt // over the frame
	words string
}

// mirrors are the ways in which a list of places can be turned over: about the
// middle of the outline, by a sign, and by exchanging x and y.
func (sc *screen) mirrors() []mirror {
	f, mid := sc.site.Frame, sc.a.Outline.Box().Centre()
	over := func(words string, to func(geom.Pt) geom.Pt) mirror {
		return mirror{func(p geom.Pt) geom.Pt { return f.ToLocal(to(f.ToJob(p))) }, words}
	}
	return []mirror{
		over("x mirrored", func(p geom.Pt) geom.Pt { return geom.Pt{X: 2*mid.X - p.X, Y: p.Y} }),
		over("y mirrored", func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X, Y: 2*mid.Y - p.Y} }),
		over("x and y mirrored", func(p geom.Pt) geom.Pt { return mid.Mul(2).Sub(p) }),
		over("x and y exchanged", func(p geom.Pt) geom.Pt { return geom.Pt{X: p.Y, Y: p.X} }),
		over("the sign of x turned", func(p geom.Pt) geom.Pt { return geom.Pt{X: -p.X, Y: p.Y} }),
		over("the sign of y turned", func(p geom.Pt) geom.Pt { return geom.Pt{X: p.X, Y: -p.Y} }),
	}
}

// Drains of a plan the right way round stand among the lowest shots. Shares of
// the shots lower than the shot by a drain; common practice, no source.
const (
	drainsHigh = 0.45
	drainsLow  = 0.2
)

// drainRank is the share of the shots that are lower than the one nearest to a
// drain as a plan has it, the mean over the drains; 0.5 where fewer than two
// drains have a shot near.
func (sc *screen) drainRank(plan func(geom.Pt) geom.Pt) float64 {
	var pts []geom.Pt
	var zIn []float64
	for i, p := range sc.at {
		if v := p.X + p.Y + sc.zIn[i]; !math.IsNaN(v) && !math.IsInf(v, 0) {
			pts, zIn = append(pts, plan(p)), append(zIn, sc.zIn[i])
		}
	}
	if len(pts) == 0 {
		return 0.5
	}
	near, sorted := newNear(pts), slices.Sorted(slices.Values(zIn))
	sum, n := 0.0, 0.0
	for _, o := range sc.site.Outlets {
		if o.Kind != survey.Drain || o.Overflow {
			continue
		}
		if one := near.nearest(o.P, 1, func(int) bool { return true })[0]; one.ft <= survey.NearOutletFt {
			rank, _ := slices.BinarySearch(sorted, zIn[one.n])
			sum, n = sum+float64(rank)/float64(len(sorted)), n+1
		}
	}
	if n < 2 {
		return 0.5
	}
	return sum / n
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

// labels notes labels that stand for more than one place. Shots that tie one
// set-up to another have one label and one place.
func (sc *screen) labels() {
	first := map[string]int{}
	var out []finding
	for i, s := range sc.a.Shots {
		k, twice := first[s.ID]
		if !twice {
			first[s.ID] = i
			continue
		}
		if one := sc.a.Shots[k]; sc.at[k].Dist(sc.at[i]) > twinFt {
			out = append(out, finding{shot: i,
				why: fmt.Sprintf("its label stands twice: another shot %s is in %s:%d, %s away; both kept", s.ID, one.File,
					one.Line, unit.Feet(sc.at[k].Dist(sc.at[i])).Format(sc.sys)),
				mend: "look which is which in the field book, and give one of them a label of its own"})
		}
	}
	sc.note(out)
}

// twins looks for shots at one place.
func (sc *screen) twins() {
	order := sc.usedShots()
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
		lo, hi = math.Min(lo, sc.zIn[i]), math.Max(hi, sc.zIn[i])
	}
	for n, i := range group {
		if hi-lo > twinAgreeIn {
			other := sc.a.Shots[group[(n+1)%len(group)]]
			out = append(out, finding{shot: i, left: "disputed by another shot of the same place",
				why: fmt.Sprintf("stands at the place of shot %s (%s:%d) and differs by %s; both left out", other.ID,
					other.File, other.Line, sc.heightText(hi-lo)),
				mend: "take out the wrong one, or read the place again"})
			continue
		}
		if n > 0 {
			out = append(out, sc.again(i, group[:n])...)
		}
	}
	return out
}

// again notes a shot at the place of earlier ones that it agrees with.
func (sc *screen) again(i int, earlier []int) []finding {
	s := sc.a.Shots[i]
	for _, m := range earlier {
		if one := sc.a.Shots[m]; one.Elev == s.Elev && one.SetUp == s.SetUp {
			return []finding{{shot: i, left: "the same as shot " + one.ID,
				why:  fmt.Sprintf("is the same as shot %s (%s:%d); counted once", one.ID, one.File, one.Line),
				mend: "take one of them out", again: true}}
		}
	}
	one := sc.a.Shots[earlier[0]]
	if one.SetUp != s.SetUp || one.ID == s.ID { // a tie, or a place read twice as it should be
		return nil
	}
	return []finding{{shot: i,
		why: fmt.Sprintf("stands at the place of shot %s (%s:%d), %s off it in height; both kept", one.ID, one.File,
			one.Line, sc.heightText(math.Abs(sc.zIn[i]-sc.zIn[earlier[0]]))),
		mend: "correct its place if it stood elsewhere"}}
}
