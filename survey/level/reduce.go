package level

import (
	"fmt"
	"math"

	"runnel/survey/unit"
)

// Reduce works a book through.
//
// HI = elevation + backsight; elevation = HI - reading; with a direct rod both
// signs turn. A set-up stands on the last foresight of the one before, else on
// a known mark, else on the last place of that name; where there is none it is
// Loose. The first set-up stands on AssumedElevation where no mark is known.
// The line closes on its last foresight to a known mark (the start is one);
// the correction, of opposite sign to the misclosure, is spread equally over
// the set-ups of the line. A set-up off the line takes the correction of the
// place it stands on. Cost: linear in the readings. An empty book gives an
// empty result.
//
// Source: US Army, FM 5-233, Construction Surveying, App. B (page check, sign
// of the correction); Ghilani and Wolf, Elementary Surveying, 14th ed., ch. 5
// (corrections by number of set-ups). Check: TestReduce_WorkedBooks.
func Reduce(b Book) Result {
	w := work{book: b, known: map[string]float64{}, latest: map[string]int{}}
	for _, m := range b.Known {
		if _, twice := w.known[m.Shot]; !twice {
			w.known[m.Shot] = m.Elevation
		}
	}
	w.out = Result{One: b.One, Run: b.Run}
	w.end = -1
	for i := range b.SetUps {
		w.setUp(i)
	}
	w.close()
	w.line()
	w.adjust()
	return w.out
}

// work is a book half reduced.
type work struct {
	book   Book
	known  map[string]float64
	latest map[string]int // the last shot of a name
	end    int            // shot that ends the line; -1 for none
	out    Result
}

// sign is +1 where a bigger reading is a lower place.
func sign(direct bool) float64 {
	if direct {
		return -1
	}
	return 1
}

func (w *work) setUp(i int) {
	s := w.book.SetUps[i]
	from, parent, ok := w.stand(s.On)
	if !ok {
		w.out.Loose = append(w.out.Loose, i)
		return
	}
	at := Instrument{SetUp: i, On: s.On, Backsight: s.Backsight, From: from, Direct: s.Direct, Line: s.Line, parent: parent}
	at.HI = from + sign(s.Direct)*s.Backsight
	w.out.SetUps = append(w.out.SetUps, at)
	for _, r := range s.Readings {
		z := at.HI - sign(s.Direct)*r.Rod
		w.latest[r.Shot] = len(w.out.Shots)
		w.out.Shots = append(w.out.Shots, Shot{Reading: r, SetUp: i, Elevation: z, Adjusted: z})
		if r.Kind == Foresight {
			w.end = len(w.out.Shots) - 1
		}
	}
}

// stand finds the elevation under a backsight, and the shot that gave it.
func (w *work) stand(on string) (elevation float64, parent int, ok bool) {
	if len(w.out.SetUps) == 0 {
		z, known := w.known[on]
		if !known {
			z = AssumedElevation
			w.known[on] = z
		}
		w.out.Start, w.out.Assumed = Mark{on, z}, !known
		return z, -1, true
	}
	if w.end >= 0 && w.out.Shots[w.end].Reading.Shot == on {
		return w.out.Shots[w.end].Elevation, w.end, true
	}
	if z, known := w.known[on]; known {
		return z, -1, true
	}
	if k, seen := w.latest[on]; seen {
		return w.out.Shots[k].Elevation, k, true
	}
	return 0, 0, false
}

// close finds what the book says at known marks.
func (w *work) close() {
	for k, s := range w.out.Shots {
		z, known := w.known[s.Reading.Shot]
		if !known {
			continue
		}
		c := Closure{Mark: Mark{s.Reading.Shot, z}, Shot: k, Found: s.Elevation, Misclosure: s.Elevation - z}
		w.out.Checks = append(w.out.Checks, c)
		if s.Kind == Foresight {
			w.out.Closing, w.end = &c, k
		}
	}
}

// at gives the set-up that a shot was read from.
func (w *work) at(shot int) *Instrument {
	// Set-ups stand in the order of the book, so the search is short.
	want := w.out.Shots[shot].SetUp
	lo, hi := 0, len(w.out.SetUps)
	for lo < hi {
		if mid := (lo + hi) / 2; w.out.SetUps[mid].SetUp < want {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return &w.out.SetUps[lo]
}

// line goes back from the end of the line to the mark it starts on.
func (w *work) line() {
	if w.end < 0 {
		return
	}
	first := 0.0
	for k := w.end; k >= 0; {
		in := w.at(k)
		in.onLine = true
		rod := w.out.Shots[k].Rod
		w.out.SumBS += in.Backsight
		w.out.SumFS += rod
		w.out.Rise += sign(in.Direct) * (in.Backsight - rod)
		first, k = in.From, in.parent
	}
	w.out.PageCheck = w.out.Rise - (w.out.Shots[w.end].Elevation - first)
}

// adjust spreads the correction and says what misclosure is allowed.
func (w *work) adjust() {
	if w.book.One > 0 {
		w.out.Order = Flat()
		if w.book.Run > 0 {
			w.out.Order = ThirdOrder(w.book.One == unit.Metre || w.book.One == unit.Millimetre)
		}
		w.out.Allowed = w.out.Order.Allowed(w.book.Run)
	}
	if w.out.Closing == nil {
		return
	}
	n := 0
	for _, in := range w.out.SetUps {
		if in.onLine {
			n++
		}
	}
	done := 0
	for i := range w.out.SetUps {
		in := &w.out.SetUps[i]
		if in.onLine {
			done++
			in.Correction = -w.out.Closing.Misclosure * float64(done) / float64(n)
		} else if in.parent >= 0 {
			in.Correction = w.at(in.parent).Correction
		}
	}
	for k := range w.out.Shots {
		w.out.Shots[k].Adjusted += w.at(k).Correction
	}
}

// Check says whether r keeps its laws: every elevation is HI less reading (more
// with a direct rod), the page check is nought, and the adjusted line ends on
// its mark.
func (r Result) Check() error {
	size := 1.0
	for _, s := range r.Shots {
		size = max(size, math.Abs(s.Elevation), math.Abs(s.Rod))
	}
	for _, in := range r.SetUps {
		size = max(size, math.Abs(in.HI), math.Abs(in.From))
	}
	slack := 1e-12 * size * float64(1+len(r.SetUps))
	if math.Abs(r.PageCheck) > slack {
		return fmt.Errorf("level: sums and elevations differ by %g", r.PageCheck)
	}
	for _, in := range r.SetUps {
		if math.Abs(in.From+sign(in.Direct)*in.Backsight-in.HI) > slack {
			return fmt.Errorf("level: HI %g is not elevation and backsight", in.HI)
		}
	}
	if c := r.Closing; c != nil && math.Abs(r.Shots[c.Shot].Adjusted-c.Elevation) > slack {
		return fmt.Errorf("level: the adjusted line ends at %g, its mark is %g", r.Shots[c.Shot].Adjusted, c.Elevation)
	}
	return nil
}
