// Package ask lists what a survey leaves open: the questions to send to the
// owner before the job is priced, by area, drain and edge.
package ask

import (
	"fmt"
	"slices"

	"runnel/survey"
)

// Question is one thing to ask for.
type Question struct {
	Area   string // empty: the whole job
	About  string // "drain D2", "edge 3", "cores"
	Ask    string // in full words
	Why    string // what cannot be told without it
	Urgent bool   // a verdict hangs on it
}

// Known is what the surface fitted to an area's shots tells of them. The zero
// value is of an area without a surface: nothing is asked about its gaps.
type Known struct {
	SpacingFt  float64 // typical distance between neighbouring shots; 0: not told
	UnknownPct float64 // share of the area that is too far from a shot to tell
	Ponds      int     // that are computed
}

// Questions lists what the job leaves open of area a and of the whole job, the
// urgent ones first: doubts of the survey as a whole, then drains without a shot
// beside them. Within that they
// come as a person walks the job: outlets, shots, cores, edges, curbs, deck,
// then what stands in the field book. A job that states everything has none.
// Cost: O(shots + outlets + edges).
//
// What a survey should bring along is common practice, no source.
func Questions(job *survey.Job, a *survey.Area, k Known) []Question {
	l := &list{job: job, a: a, area: a.Name}
	for _, d := range a.Doubts {
		l.urgent("survey", fmt.Sprintf("Is the survey right as a whole? %s. %s.", capital(d.Why), capital(d.Mend)),
			"every verdict hangs on it")
	}
	l.outlets()
	l.shots(k)
	l.cores()
	l.edges()
	l.curbs()
	l.deck()
	l.area = "" // of the whole job from here on
	l.book()
	l.water(k)
	slices.SortStableFunc(l.out, func(p, q Question) int { return rank(p) - rank(q) })
	return l.out
}

func rank(q Question) int {
	if q.Urgent {
		return 0
	}
	return 1
}

// list is the questions as they grow.
type list struct {
	job  *survey.Job
	a    *survey.Area
	area string // that what is added is asked of
	out  []Question
}

func (l *list) add(about, ask, why string) {
	l.out = append(l.out, Question{Area: l.area, About: about, Ask: ask, Why: why})
}

func (l *list) urgent(about, ask, why string) {
	l.out = append(l.out, Question{Area: l.area, About: about, Ask: ask, Why: why, Urgent: true})
}
