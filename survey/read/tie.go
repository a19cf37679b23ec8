package read

import (
	"cmp"
	"fmt"
	"slices"

	"runnel/survey"
	"runnel/survey/level"
	"runnel/survey/problem"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// sharedFt is how near to each other two shots of one name must lie to be one
// place read twice: half a pace.
const sharedFt = 1.0

// byName are the shots of one set-up, each under its name.
type byName map[string]*survey.Shot

// ties works through the set-ups of one shot list after its shots are placed:
// a tied set-up gets the height of instrument that its shared shots give, the
// others are compared with the first set-up before them that saw the same
// places. of gives the list's shots of an area.
func (r *jobReader) ties(j *survey.Job, opt table.ShotOptions, of func(a *areaRead) *[]survey.Shot) {
	first, n := opt.Before, len(opt.SetUps)
	if n < 2 || opt.SetUpNamed {
		return
	}
	shots := make([][]*survey.Shot, n)
	for _, a := range r.areas {
		list := *of(a)
		for i := range list {
			if k := list[i].SetUp - 1 - first; k >= 0 && k < n {
				shots[k] = append(shots[k], &list[i])
			}
		}
	}
	seen := make([]byName, n)
	for k := range n {
		slices.SortStableFunc(shots[k], func(a, b *survey.Shot) int {
			return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line))
		})
		seen[k] = byName{}
		for _, s := range shots[k] {
			if _, twice := seen[k][s.ID]; !twice {
				seen[k][s.ID] = s
			}
		}
	}
	for k := 1; k < n; k++ {
		u := &j.Survey.SetUps[first+k]
		if u.TiedTo != "" {
			r.tie(j, u, shots[k], seen, first)
			continue
		}
		for b := range k {
			if r.compare(u, j.Survey.SetUps[first+b], both(shots[k], seen[b])) {
				break
			}
		}
	}
}

// pair is one place read from two set-ups.
type pair struct{ first, second *survey.Shot }

// bookTies compares the set-ups of level books.
func (r *jobReader) bookTies(j *survey.Job, files []*shotFile, of func(a *areaRead) *[]survey.Shot) {
	for _, s := range files {
		if s.book {
			r.ties(j, s.opt, of)
		}
	}
}

// both lists what two set-ups both read, in the order of the second.
func both(second []*survey.Shot, first byName) []pair {
	var out []pair
	done := map[string]bool{}
	for _, s := range second {
		if f, ok := first[s.ID]; ok && !done[s.ID] && f.At.Dist(s.At) <= sharedFt {
			out, done[s.ID] = append(out, pair{f, s}), true
		}
	}
	return out
}

// heights gives both sides of pairs as level.Tie takes them.
func heights(pairs []pair) (first, second []level.Height) {
	for _, p := range pairs {
		first = append(first, level.Height{Shot: p.first.ID, Elevation: p.first.Elev})
		second = append(second, level.Height{Shot: p.second.ID, Elevation: p.second.Elev})
	}
	return first, second
}

// agreement is how far from the shift the farthest of the pairs stands that are
// not flagged.
func agreement(pairs []pair, flagged []level.Flag, shift unit.Length) (most unit.Length) {
	for _, p := range pairs {
		if !slices.ContainsFunc(flagged, func(f level.Flag) bool { return f.Shot == p.second.ID }) {
			off := p.second.Elev - p.first.Elev - shift
			most = max(most, off, -off)
		}
	}
	return most
}

// tie finds the height of instrument of a tied set-up.
func (r *jobReader) tie(j *survey.Job, u *survey.SetUp, shots []*survey.Shot, seen []byName, first int) {
	k := slices.IndexFunc(j.Survey.SetUps[first:], func(s survey.SetUp) bool { return s.ID == u.TiedTo })
	pairs := both(shots, seen[k])
	if len(pairs) == 0 {
		p := problem.Problem{Field: "set-up", Value: u.ID,
			Why:  fmt.Sprintf("it is tied to set-up %s but no shot of one name and place was read from both", u.TiedTo),
			Mend: "give the shots that both read the same name, or write hi or a benchmark for it"}
		if len(shots) > 0 {
			p.File, p.Line = shots[0].File, shots[0].Line
		} else {
			p.File = r.file
		}
		r.more.Add(p)
		return
	}
	a, b := heights(pairs)
	shift, flagged, n := level.Tie(a, b) // b at an HI of 0
	u.HI, u.Shared, u.Agree = -shift, n, agreement(pairs, flagged, shift)
	r.repeats(u, u.TiedTo, pairs, flagged)
	if n == 1 {
		p := r.noteOf(pairs[0].second)
		p.Why = fmt.Sprintf("set-up %s hangs on set-up %s by this shot alone", u.ID, u.TiedTo)
		p.Mend = "read two or three more places from both, so that a slip shows"
		r.more.Add(p)
	}
}

// compare sets a set-up with its own height of instrument beside one before
// it. It gives false where they share nothing.
func (r *jobReader) compare(u *survey.SetUp, before survey.SetUp, pairs []pair) bool {
	if len(pairs) == 0 {
		return false
	}
	a, b := heights(pairs)
	shift, flagged, n := level.Tie(a, b)
	u.Beside, u.Shared, u.Off, u.Agree = before.ID, n, shift, agreement(pairs, flagged, shift)
	r.repeats(u, before.ID, pairs, flagged)
	if max(shift, -shift) > level.TieDoubt {
		p := r.noteOf(pairs[0].second)
		p.Field, p.Value = "set-ups", before.ID+" and "+u.ID
		p.Why = fmt.Sprintf("set-up %s stands %s from set-up %s over %s that both read, and either may be wrong", u.ID,
			r.signed(shift), before.ID, problem.Count(n, "shot", "shots"))
		p.Mend = "check the benchmarks of both and whether an instrument was moved; tied_to: " + before.ID +
			" in place of the height of instrument of set-up " + u.ID + " takes the difference out where set-up " + before.ID + " is right"
		r.more.Add(p)
	}
	return true
}

// repeats leaves the second of two readings of one place out of the surface,
// and both where they disagree, since which of them is wrong cannot be told
// here.
func (r *jobReader) repeats(u *survey.SetUp, before string, pairs []pair, flagged []level.Flag) {
	off := map[string]level.Flag{}
	for _, f := range flagged {
		off[f.Shot] = f
	}
	for _, p := range pairs {
		f, bad := off[p.second.ID]
		if !bad {
			p.second.Again = p.second.Left == ""
			leave(p.second, fmt.Sprintf("is a second reading from set-up %s; that from set-up %s counts", u.ID, before))
			continue
		}
		why := fmt.Sprintf("set-up %s has it %s from what set-up %s gives it: %s", u.ID, r.signed(f.Off), before, f.Why)
		n := r.noteOf(p.second)
		n.Why, n.Mend = why+"; both readings are left out of the surface", "read it again from both set-ups"
		r.more.Add(n)
		for _, s := range []*survey.Shot{p.first, p.second} {
			leave(s, "is read from set-ups "+before+" and "+u.ID+", which disagree about it")
		}
	}
}

// retie gives the readings of tied set-ups their elevations.
func (r *jobReader) retie(j *survey.Job) {
	for _, a := range r.areas {
		for _, shots := range [][]survey.Shot{a.Shots, a.DeckShots, a.AsBuilt} {
			for i := range shots {
				if k := shots[i].SetUp; k > 0 && j.Survey.SetUps[k-1].TiedTo != "" {
					shots[i].Elev = j.Survey.SetUps[k-1].Elevation(shots[i].Rod)
				}
			}
		}
	}
}

// leave says why a shot is left out, where nothing says so yet.
func leave(s *survey.Shot, why string) {
	if s.Left == "" {
		s.Left = why
	}
}

// noteOf begins a note on a shot.
func (r *jobReader) noteOf(s *survey.Shot) problem.Problem {
	return problem.Problem{File: s.File, Line: s.Line, Field: "shot", Value: s.ID, Grade: problem.Note}
}
