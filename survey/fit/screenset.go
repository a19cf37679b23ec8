package fit

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
)

// How sets of shots that stand off the rest by one amount are found. A set-up
// and a run are believed from so many standard errors on: there are few set-ups
// and thousands of runs, and the roof itself makes some. Measured: see
// TestScreen_PlantedBlunders.
const (
	setUpSigmas  = 4.5
	runSigmas    = 6.5
	runSigmas2   = 8.0  // after a first: what is left of that looks like one
	runShare     = 0.8  // of the best score; runs of less are not weighed
	mostWeighed  = 300  // runs weighed
	leastSetUp   = 3    // shots
	leastRun     = 8    // shots
	mostRuns     = 2000 // shots; runs of longer lists are not looked for
	leastShiftIn = 0.25 // nothing is said of less
	clipSigmas   = 3.0  // a single miss counts for no more
	mostShifts   = 3    // found in one area
	leastVotes   = 4    // shots that must feel the shift of a set-up
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
// feels it tells, by the square of its share. ok says that there are leastVotes of
// them, and that three quarters of them tell at least a quarter of it: one wild
// shot among the set or beside it is no shift.
func (s *shifts) shiftIn() (in float64, ok bool) {
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
	return in, len(votes) >= leastVotes && math.Abs(in) >= leastShiftIn && at(0.25)*at(0.75) > 0 && weak >= math.Abs(in)/4
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
	for n := range mostShifts {
		var f shift
		if len(groups) > 1 {
			f = newShifts(q, sc.readingIn()).worstSetUp(sc, groups)
		} else {
			least := runSigmas
			if n > 0 {
				least = runSigmas2
			}
			f = sc.worstRun(q, least)
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
// are wild, also among all, and takes the run if it, as one blunder more, leaves
// fewer.
func (sc *screen) worstRun(q *asker, least float64) shift {
	wild := func(q *asker) int {
		return len(sc.takeStrange(q, limit(q.strangeAll(), sc.readingIn(), false), 2*q.mostStrange()+1))
	}
	calm := q.copied()
	many := wild(calm)
	if many > wildFew {
		if f := newShifts(q, sc.readingIn()).worstRun(least); len(f.set) > 0 {
			lower := q.copied()
			lower.lower(f)
			if wild(lower)+1 < many {
				return f
			}
		}
	}
	return newShifts(calm, sc.readingIn()).worstRun(least)
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
	first, last := sc.a.Shots[q.shot[set[0]]], sc.a.Shots[q.shot[set[len(set)-1]]]
	sc.tell(fmt.Sprintf("%s, %d shots from %s (%s:%d) to %s (%s:%d), stands %s %s what the shots about it say, all by one amount; kept",
		name, len(set), first.ID, first.File, first.Line, last.ID, last.File, last.Line,
		sc.heightText(off), side),
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
		in, all := s.shiftIn()
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
// it, that stands farthest off the rest, by least standard errors or more. Of the
// runs that score well, the farthest for each first and for each last shot, it is
// the one that leaves least when its shift is taken off, its ends moved for as long
// as that leaves less still: beside a shift of many errors every miss counts alike,
// and the score cannot tell a run from its neighbours. Cost: the square of the
// shots.
func (s *shifts) worstRun(least float64) (f shift) {
	n := len(s.q.shot)
	if n > mostRuns || n < 2*leastRun {
		return shift{}
	}
	var best run
	all := s.runs()
	if all[0].score < least {
		return shift{}
	}
	for i, r := range all[:min(len(all), mostWeighed)] {
		if r.score < runShare*all[0].score {
			break
		}
		if s.weigh(&r); i == 0 || r.left < best.left {
			best = r
		}
	}
	best = s.climb(best)
	if best.score < least || math.Abs(best.in) < leastShiftIn {
		return shift{}
	}
	f = shift{name: "a run of the list", in: best.in}
	for i := best.from; i < best.to; i++ {
		f.set = append(f.set, i)
	}
	return f
}

// run is a run of the list that may be shifted.
type run struct {
	from, to int     // one after the last
	score    float64 // see put
	in       float64 // see shiftIn
	left     float64 // sum of the squared misses, clipped, when the shift is taken off
}

// runs gives the runs that score best for each first and for each last shot, best
// first.
func (s *shifts) runs() (all []run) {
	n := len(s.q.shot)
	first, last := make([]run, n), make([]run, n+1)
	for a := range n {
		s.clear()
		score := 0.0
		for b := a; b < min(n, a+n/2); b++ {
			score += s.add(b)
			if b-a+1 < leastRun || s.by2 < leastShare2 {
				continue
			}
			r := run{from: a, to: b + 1, score: score * score / s.by2} // squared for now
			if r.score > first[a].score {
				first[a] = r
			}
			if r.score > last[b+1].score {
				last[b+1] = r
			}
		}
	}
	all = append(first, last...)
	for i := range all {
		all[i].score = math.Sqrt(all[i].score)
	}
	slices.SortFunc(all, func(a, b run) int {
		return cmp.Or(-cmp.Compare(a.score, b.score), cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	return slices.Compact(all)
}

// weigh works out a run's score, its shift and what is left without it.
func (s *shifts) weigh(r *run) {
	s.clear()
	score := 0.0
	for i := r.from; i < r.to; i++ {
		score += s.add(i)
	}
	r.score, r.left = math.Abs(score)/math.Sqrt(math.Max(s.by2, leastShare2)), 0
	r.in, _ = s.shiftIn()
	for i, row := range s.q.rows {
		if row.told && !s.q.out[i] {
			miss := math.Min(clipSigmas, math.Abs(row.missIn/row.se-r.in*s.shares[i])/s.sigma)
			r.left += miss * miss
		}
	}
}

// climb moves the ends of a run while that leaves less.
func (s *shifts) climb(best run) run {
	n := len(s.q.shot)
	for better := true; better; {
		better = false
		start := best
		for step := 1; step <= leastRun; step *= 2 {
			for _, m := range [][2]int{{step, 0}, {-step, 0}, {0, step}, {0, -step}} {
				r := run{from: start.from + m[0], to: start.to + m[1]}
				if r.from < 0 || r.to > n || r.to-r.from < leastRun || r.to-r.from > n/2 {
					continue
				}
				if s.weigh(&r); r.left < best.left {
					best, better = r, true
				}
			}
		}
	}
	return best
}
