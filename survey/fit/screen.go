package fit

import (
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
	mostListed   = 20   // problems of one kind listed one by one
	mostReliefFt = 20.0 // no level of a roof is higher: half an inch a foot over 480 ft
	cloudEnds    = 100  // of a point cloud, one point in so many at either end is not asked
)

// Screen looks for blunders in the shots of an area before they are fitted; job
// gives its units, reading error and set-ups, and need hold nothing else. Shots
// that cannot be believed have Left set in the area returned. Each of them, and
// each that is used but should be read again, has a note that names the shot, its
// file and line, why, and the mend; nothing is dropped without one. Notes
// beyond the twentieth of a kind are counted in one. What puts the survey in doubt
// as a whole comes first and stands in Area.Doubts too: a plan turned over, a roof
// upside down, feet and inches read as decimals. Notes on outlets without a shot
// come next. Faults: fewer than three shots left, all of them in a line,
// or a highest one over 20 ft above the lowest.
//
//   - shots outside the outline, in a court or in a curb, beyond a tolerance;
//     lists whose plan is mirrored or has x and y exchanged;
//   - labels that stand twice; shots at one place: of two with the same
//     elevation the second is left out, and all of them where they differ by
//     more than a quarter inch;
//   - lists of feet and inches read as decimal feet; drains that come out as the
//     highest places, as rod readings taken for elevations have them;
//   - a set-up, or a run of shots one after another in the list, that stands
//     off the rest by one amount;
//   - shots in the bowl of a drain, and single shots off what their neighbours
//     say, with the misreading that explains them where one does; single shots
//     at an exchanged place;
//   - outlets with no shot near, gaps in the shots, shots on high and low
//     places alone.
//
// Point clouds are cleared of strays when they are made into shots instead (see
// CloudShots), and asked only about places off the area, drains and outlets.
//
// The argument is not changed. Cost: O(n log n) and, up to mostRuns shots, a
// quick look at each run of them.
func Screen(job *survey.Job, a survey.Area) (survey.Area, problem.List) {
	a.Shots = slices.Clone(a.Shots)
	bare := a
	bare.Shots = nil
	sc := &screen{job: job, a: &a, sys: job.Units, site: survey.SiteOf(&bare, nil)}
	for _, s := range a.Shots {
		sc.at = append(sc.at, sc.site.Frame.ToLocal(s.At))
		sc.zIn = append(sc.zIn, s.Elev.Inches())
	}
	sc.numbers()
	sc.places()
	if !sc.ofCloud() {
		sc.labels()
		sc.tenths()
		sc.bowls()
		sc.setUps()
		sc.twins()
		sc.single()
		sc.moved()
		sc.gaps()
	}
	sc.relief()
	sc.drains()
	sc.enough()
	return a, append(append(sc.whole, sc.outlets()...), sc.found...)
}

// screen holds what the screens of one area share.
type screen struct {
	job   *survey.Job
	a     *survey.Area
	sys   unit.System
	site  *survey.Site // without shots
	at    []geom.Pt    // of each shot, in the frame
	zIn   []float64    // of each shot, less the shift of its set-up
	laid  *asker       // of the shots used when it was laid; nil: not yet
	found problem.List
	whole problem.List // doubts of the survey as a whole
}

func (sc *screen) used(i int) bool { return sc.a.Shots[i].Left == "" }

// ofCloud says whether the shots hold the medians of a point cloud, which was
// cleared of strays and compared with the shots beside it when they were made.
func (sc *screen) ofCloud() bool {
	return slices.ContainsFunc(sc.a.Shots, func(s survey.Shot) bool { return s.FromCloud })
}

// usedShots gives the numbers of the shots that are not left out, in order.
func (sc *screen) usedShots() (out []int) {
	for i := range sc.at {
		if sc.used(i) {
			out = append(out, i)
		}
	}
	return out
}

// usedPlaces gives the places and elevations, less the shifts, of the shots that
// are not left out.
func (sc *screen) usedPlaces() (out places) {
	for _, i := range sc.usedShots() {
		out.at, out.zIn = append(out.at, sc.at[i]), append(out.zIn, sc.zIn[i])
	}
	return out
}

// finding is a shot to be noted: left out where left says why, else used and
// suspect.
type finding struct {
	shot      int
	left      string
	why, mend string
	again     bool // see survey.Shot
}

// note records findings of one kind and marks their shots.
func (sc *screen) note(all []finding) {
	for n, f := range all {
		s := &sc.a.Shots[f.shot]
		if s.Left == "" {
			s.Left, s.Again = f.left, f.again
		}
		if n < mostListed {
			sc.found.Add(problem.Problem{File: s.File, Line: s.Line, Field: "shot", Value: s.ID,
				Why: f.why, Mend: f.mend, Grade: problem.Note})
		}
	}
	if more := len(all) - mostListed; more > 0 {
		last := all[len(all)-1]
		sc.found.Add(problem.Problem{File: sc.a.Shots[last.shot].File, Field: "area", Value: sc.a.Name,
			Why: fmt.Sprintf("%s of the same kind; the last is shot %s: %s", problem.Count(more, "more shot", "more shots"),
				sc.a.Shots[last.shot].ID, last.why),
			Mend: last.mend, Grade: problem.Note})
	}
}

// doubt notes that the survey may be wrong as a whole: every verdict hangs on it.
func (sc *screen) doubt(why, mend string) {
	sc.a.Doubts = append(sc.a.Doubts, survey.Doubt{Why: why, Mend: mend})
	sc.whole.Add(sc.ofArea(why, mend))
}

// tell notes something about the whole area.
func (sc *screen) tell(why, mend string) { sc.found.Add(sc.ofArea(why, mend)) }

func (sc *screen) ofArea(why, mend string) problem.Problem {
	p := problem.Problem{Field: "area", Value: sc.a.Name, Why: why, Mend: mend, Grade: problem.Note}
	if len(sc.a.Shots) > 0 {
		p.File = sc.a.Shots[0].File
	}
	return p
}

// placeText writes a place of the frame as the job's lists do.
func (sc *screen) placeText(p geom.Pt) string {
	q := sc.site.Frame.ToJob(p)
	if sc.sys == unit.Metric {
		return fmt.Sprintf("%.2f, %.2f m", unit.Feet(q.X).Metres(), unit.Feet(q.Y).Metres())
	}
	return fmt.Sprintf("%.1f, %.1f ft", q.X, q.Y)
}

// numbers leaves out what is no number; readers refuse such lines themselves.
func (sc *screen) numbers() {
	var out []finding
	for i, p := range sc.at {
		if v := p.X + p.Y + sc.zIn[i]; math.IsNaN(v) || math.IsInf(v, 0) {
			out = append(out, finding{shot: i, left: "not a number",
				why: "its place or elevation is not a number; left out", mend: "correct the line"})
		}
	}
	sc.note(out)
}
