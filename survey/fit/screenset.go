package fit

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"runnel/survey/unit"
)

// How sets of shots that stand off the rest by one amount are found. A set-up
// and a run are believed from so many standard errors on: there are few set-ups
// and thousands of runs, and the roof itself makes some. Measured: see
// TestScreen_PlantedBlunders.
const (
	setUpSigmas  = 5.0
	runSigmas    = 7.0
	leastSetUp   = 3    // shots
	leastRun     = 8    // shots
	mostRuns     = 2000 // shots; runs of longer lists are not looked for
	leastShiftIn = 0.25 // nothing is said of less
	clipSigmas   = 3.0  // a single miss counts for no more
	mostShifts   = 3    // found in one area
	setUpVotes   = 4    // shots that must feel the shift of a set-up
	runVotes     = 6    // and that of a run
	leastHinge   = 0.15 // of a shift that a shot must feel to speak of its size
	leastShare2  = 0.15 // sum of squares that a set must be felt by
	wildFew      = 2    // wild shots that are single blunders
)

// shifts weighs sets of shots. Where all of a set stand off by s, every shot's
// miss in standard errors changes by s times its share u, which place alone
// gives: the sum of its weights on the one hand, of its own elevation on the
// other, over its standard error. Shots amid their own have none.
type shifts struct {
	q      *asker
	sigma  float64    // one standard error of a reading, as the misses show it
	clip   []float64  // each shot's miss in standard errors, sigma = 1, clipped
	feels  [][]feeler // beside the shots: whose miss changes with theirs
	shares []float64
	by2    float64 // sum of the squared shares
}

// feeler is a shot whose miss changes by share for an inch at another.
type feeler struct {
	shot  int
	share float64
}

func newShifts(q *asker, readingErrorIn float64) *shifts {
	s := &shifts{q: q, feels: make([][]feeler, len(q.pts)), shares: make([]float64, len(q.pts)),
		clip: make([]float64, len(q.pts))}
	var all []float64
	for i, r := range q.rows {
		if !r.told || q.out[i] {
			continue
		}
		all = append(all, math.Abs(r.missIn)/r.se)
		s.feels[i] = append(s.feels[i], feeler{i, 1 / r.se})
		for k, m := range r.from {
			s.feels[m] = append(s.feels[m], feeler{i, -r.weight[k] / r.se})
		}
	}
	s.sigma = math.Max(usual(all), math.Max(readingErrorIn, leastScatterIn))
	for i, r := range q.rows {
		if r.told && !q.out[i] {
			s.clip[i] = math.Max(-clipSigmas, math.Min(clipSigmas, r.missIn/r.se/s.sigma))
		}
	}
	return s
}

// clear empties the set.
func (s *shifts) clear() {
	clear(s.shares)
	s.by2 = 0
}

// add puts shot i into the set and gives what it adds to the set's score.
func (s *shifts) add(i int) (score float64) {
	for _, f := range s.feels[i] {
		old := s.shares[f.shot]
		s.shares[f.shot] += f.share
		s.by2 += f.share * (2*old + f.share)
		score += f.share * s.clip[f.shot]
	}
	return score
}

// shiftIn is the size of the set's shift: the median of what each shot that
// feels it tells, by the square of its share. ok says that there are least of them, and
// that three quarters of them tell at least a quarter of it: one wild shot among
// the set or beside it is no shift.
func (s *shifts) shiftIn(least int) (in float64, ok bool) {
	type vote struct{ in, weight float64 }
	var votes []vote
	sum := 0.0
	for i, u := range s.shares {
		if math.Abs(u) >= leastHinge {
			votes = append(votes, vote{s.q.rows[i].missIn / s.q.rows[i].se / u, u * u})
			sum += u * u
		}
	}
	slices.SortFunc(votes, func(a, b vote) int { return cmp.Compare(a.in, b.in) })
	at := func(share float64) float64 {
		part := 0.0
		for _, v := range votes {
			if part += v.weight; part >= share*sum {
				return v.in
			}
		}
		return 0
	}
	in = at(0.5)
	weak := math.Min(math.Abs(at(0.25)), math.Abs(at(0.75)))
	return in, len(votes) >= least && math.Abs(in) >= leastShiftIn && at(0.25)*at(0.75) > 0 && weak >= math.Abs(in)/4
}

// setUps looks for set-ups that stand off the rest by one amount, where shots
// name theirs, else for runs of the list. What it finds is noted, taken off the
// elevations that the other screens compare, and kept: a step in the roof looks
// the same.
func (sc *screen) setUps() {
	q := sc.newAsker()
	if q == nil {
		return
	}
	groups := sc.groups(q)
	for range mostShifts {
		var f shift
		if len(groups) > 1 {
			f = newShifts(q, sc.readingIn()).worstSetUp(sc, groups)
		} else {
			f = sc.worstRun(q)
		}
		if len(f.set) == 0 {
			return
		}
		sc.shifted(q, f)
		q.lower(f)
		for _, i := range f.set {
			sc.zIn[q.shot[i]] = q.zIn[i]
		}
	}
}

// shift is a set of asked shots that stands off by in inches.
type shift struct {
	set  []int
	name string
	in   float64
}

// lower takes a shift off and asks all shots again.
func (q *asker) lower(f shift) {
	for _, i := range f.set {
		q.zIn[i] -= f.in
	}
	for i := range q.pts {
		q.ask(i)
	}
}

// worstRun looks for a shifted run among all shots but the wild ones; where many
// are wild, also among all, and takes the run if it explains wild shots.
func (sc *screen) worstRun(q *asker) shift {
	wild := func(q *asker) int {
		return len(sc.takeStrange(q, limit(q.strangeAll(), sc.readingIn(), false), 2*q.mostStrange()+1))
	}
	calm := q.copied()
	many := wild(calm)
	if many > wildFew {
		if f := newShifts(q, sc.readingIn()).worstRun(); len(f.set) > 0 {
			lower := q.copied()
			lower.lower(f)
			if wild(lower)+wildFew < many {
				return f
			}
		}
	}
	return newShifts(calm, sc.readingIn()).worstRun()
}

// groups gives the asked shots by their set-up.
func (sc *screen) groups(q *asker) map[int][]int {
	groups := map[int][]int{}
	for i, n := range q.shot {
		k := sc.a.Shots[n].SetUp
		groups[k] = append(groups[k], i)
	}
	return groups
}

// readingIn is the stated error of one reading, 0 where none is.
func (sc *screen) readingIn() float64 { return sc.job.Survey.ReadingError.Inches() }

// shifted notes a shift.
func (sc *screen) shifted(q *asker, f shift) {
	set, name, side, off := f.set, f.name, "above", f.in
	if off < 0 {
		side, off = "below", -off
	}
	for _, i := range set {
		if s := &sc.a.Shots[q.shot[i]]; s.Suspect == "" {
			s.Suspect = name + " stands off the rest"
		}
	}
	first, last := sc.a.Shots[q.shot[set[0]]], sc.a.Shots[q.shot[set[len(set)-1]]]
	sc.tell(fmt.Sprintf("%s, %d shots from %s (%s:%d) to %s (%s:%d), stands %s %s what the shots about it say, all by one amount; kept",
		name, len(set), first.ID, first.File, first.Line, last.ID, last.File, last.Line,
		unit.Inches(off).FormatThin(sc.sys), side),
		"look whether the height of instrument was carried over a move, and add shots that both set-ups share; "+
			"or the roof steps there")
}

// worstSetUp is the set-up that stands farthest off the rest, of those that stand
// off by one amount all along: beside a shifted one, others stand off in part.
func (s *shifts) worstSetUp(sc *screen, groups map[int][]int) (f shift) {
	best := setUpSigmas
	for _, k := range slices.Sorted(maps.Keys(groups)) {
		if len(groups[k]) < leastSetUp {
			continue
		}
		score := s.put(groups[k])
		in, all := s.shiftIn(setUpVotes)
		// Of two set-ups with nothing beside them either may be shifted: the
		// smaller is named.
		closer := score > best*(1-1e-9) && len(groups[k]) < len(f.set)
		if !all || score <= best*(1+1e-9) && !closer {
			continue
		}
		best, f = score, shift{groups[k], "what was given as elevations", in}
		if k > 0 && k <= len(sc.job.Survey.SetUps) {
			f.name = "set-up " + sc.job.Survey.SetUps[k-1].ID
		}
	}
	return f
}

// put makes set the set and gives its score, in standard errors.
func (s *shifts) put(set []int) float64 {
	s.clear()
	score := 0.0
	for _, i := range set {
		score += s.add(i)
	}
	if s.by2 < leastShare2 {
		return 0
	}
	return math.Abs(score) / math.Sqrt(s.by2)
}

// worstRun is the run of shots, one after another in the list and up to half of
// it, that stands farthest off the rest. Cost: the square of the shots.
func (s *shifts) worstRun() shift {
	n := len(s.q.shot)
	if n > mostRuns || n < 2*leastRun {
		return shift{}
	}
	best, from, to := runSigmas, 0, 0
	for a := range n {
		s.clear()
		score := 0.0
		for b := a; b < min(n, a+n/2); b++ {
			score += s.add(b)
			if b-a+1 < leastRun || s.by2 < leastShare2 {
				continue
			}
			if v := score * score / s.by2; v > best*best {
				best, from, to = math.Sqrt(v), a, b+1
			}
		}
	}
	f := shift{name: "a run of the list"}
	for i := from; i < to; i++ {
		f.set = append(f.set, i)
	}
	s.put(f.set)
	in, ok := s.shiftIn(runVotes)
	if !ok {
		return shift{}
	}
	f.in = in
	return f
}
