package render

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// mostListed is how many lines of one kind the check of the surface as laid
// lists; the tables have them all.
const mostListed = 20

// WriteAsBuilt writes how the surface as laid lies against the design: by area
// what is out of tolerance, what water will stand and what to fill and take off,
// in the units of the job.
func WriteAsBuilt(w io.Writer, r *Result) error {
	t := &telling{say: say{r.Job.Units}}
	t.line(0, r.Job.Name)
	for i := range r.Areas {
		t.asBuilt(&r.Areas[i])
	}
	t.notes(r)
	t.cautions()
	if _, err := io.WriteString(w, t.out.String()); err != nil {
		return fmt.Errorf("write the check of the surface as laid: %w", err)
	}
	return nil
}

// asBuilt tells how the surface as laid lies against the design.
func (t *telling) asBuilt(a *AreaResult) {
	b := a.AsBuilt
	if b == nil {
		return
	}
	t.heading(fmt.Sprintf("Area %s as laid, against the design", a.Area.Name))
	t.fact("Shots", t.laidShots(a))
	t.fact("Judged", t.laidJudged(a))
	t.laidPlaces(a)
	t.laidRuns(a)
	t.laidWater(a)
	t.laidMends(a)
}

// laidShots tells what was shot and what all shots share.
func (t *telling) laidShots(a *AreaResult) string {
	b := a.AsBuilt
	words := count(len(b.Shots), "shot") + " on the surface as laid."
	if n := len(a.Area.AsBuilt) - len(b.Shots) - len(b.NoDesign); n > 0 {
		words += " " + count(n, "shot") + " left out: see the notes."
	}
	if len(b.NoDesign) > 0 {
		words += " Where no board is designed: " + shotNames(b.NoDesign) + "."
	}
	if math.Abs(b.ShiftIn) > 1e-6 {
		words += fmt.Sprintf(" All together they lie %s the design, by the median, as a whole membrane, another benchmark or a "+
			"deck that lies elsewhere than surveyed would; that turns no water and is taken off below.", t.laidOff(b.ShiftIn, "above", "below"))
	}
	return words
}

// laidOff prints how far and to which side; sixteenths are too coarse here.
func (s say) laidOff(in float64, above, below string) string {
	word := above
	if in < 0 {
		word = below
	}
	return s.hundredths(math.Abs(in)) + " " + word
}

// shotNames lists shots, the first ones by name.
func shotNames(ids []string) string {
	const most = 8
	word := "shot "
	if len(ids) > 1 {
		word = "shots "
	}
	if len(ids) <= most {
		return word + strings.Join(ids, ", ")
	}
	return word + strings.Join(ids[:most], ", ") + fmt.Sprintf(" and %d more", len(ids)-most)
}

// tolerances prints how far a place and a run may be off.
func (s say) tolerances(b *taper.AsBuilt) string {
	return fmt.Sprintf("%s at a place, %s between two places within %s", s.inches(b.Place.Inches()), s.inches(b.Run.Inches()),
		s.wide(taper.RunWithin))
}

// laidJudged tells the tolerances and how well they can be told.
func (t *telling) laidJudged(a *AreaResult) string {
	b := a.AsBuilt
	words := t.tolerances(b) + "."
	if b.DoubtIn > 0 {
		words += fmt.Sprintf(" Readings are good to %s (two standard errors); nearer to the limit than that it is too close to call.",
			t.hundredths(b.DoubtIn))
		if b.DoubtIn >= b.Place.Inches() {
			words += " Readings so rough clear hardly any place: read finer, or state asbuilt.reading_error."
		}
	}
	if a.Fit != nil && a.Fit.SigmaIn > 0 {
		words += fmt.Sprintf(" The base was surveyed to %s (two standard errors): what is off by less may be the deck's and not the crew's.",
			t.hundredths(2*a.Fit.SigmaIn))
	}
	return words
}

// laidPlaces lists the shots that are out of tolerance, the worst first.
func (t *telling) laidPlaces(a *AreaResult) {
	b := a.AsBuilt
	short, close := 0, 0
	var out []taper.LaidShot
	for _, sh := range b.Shots {
		switch sh.Verdict {
		case drainage.FallsShort:
			short++
		case drainage.TooClose:
			close++
		case drainage.Meets, drainage.Unknown:
		}
		if sh.Out {
			out = append(out, sh)
		}
	}
	words := fmt.Sprintf("%s of %s out of tolerance", thousands(short), count(len(b.Shots), "shot"))
	if close > 0 {
		words += fmt.Sprintf(", %s too close to call", thousands(close))
	}
	t.fact("At places", words+".")
	slices.SortStableFunc(out, func(p, q taper.LaidShot) int {
		return compareCoarse(math.Abs(q.OffIn), math.Abs(p.OffIn))
	})
	for n, sh := range out {
		if n == mostListed {
			t.item("-", fmt.Sprintf("and %s more: see asbuilt.csv", thousands(len(out)-n)))
			break
		}
		words := fmt.Sprintf("%s at %s, %s", t.laidOff(sh.OffIn, "high", "low"), t.jobPlace(a, sh.P), t.laidOn(sh.On))
		if sh.Verdict == drainage.TooClose {
			words += " (too close to call)"
		}
		t.item("-", t.told("shot ")+sh.ID+": "+t.told(words))
	}
}

// compareCoarse compares figures; what differs by rounding is equal.
func compareCoarse(a, b float64) int { return cmp.Compare(math.Round(a*1e6), math.Round(b*1e6)) }

// jobPlace prints a place of the frame in job coordinates.
func (t *telling) jobPlace(a *AreaResult, p geom.Pt) string {
	at := a.Site.Frame.ToJob(p)
	return fmt.Sprintf("x %s, y %s", t.place(at.X), t.place(at.Y))
}

// laidOn prints where in the layout a place lies.
func (s say) laidOn(on taper.LaidOn) string {
	if on.Row == 0 {
		return "off the tapered rows"
	}
	return fmt.Sprintf("row %d of facet %d (%s)", on.Row, on.Facet, on.Mark)
}

// laidRuns lists the runs that are out of tolerance, those of which neither place
// is out by itself.
func (t *telling) laidRuns(a *AreaResult) {
	b := a.AsBuilt
	apart := 0
	for _, r := range b.Runs {
		if !b.Shots[r.A].Out && !b.Shots[r.B].Out {
			apart++
		}
	}
	words := count(len(b.Runs), "run") + " out of tolerance"
	switch n := len(b.Runs); {
	case n == 0:
		words = "none out of tolerance"
	case apart < n:
		words += fmt.Sprintf(", %s of them at places that are out by themselves", thousands(n-apart))
	}
	words += "."
	if b.LoneShots > 0 {
		words += fmt.Sprintf(" Unknown at %s that no other is within %s of.", count(b.LoneShots, "shot"), t.say.wide(taper.RunWithin))
	}
	t.fact("Over runs", words)
	listed := 0
	for _, r := range b.Runs {
		if b.Shots[r.A].Out || b.Shots[r.B].Out {
			continue
		}
		if listed++; listed > mostListed {
			continue
		}
		low, high := b.Shots[r.A], b.Shots[r.B]
		words := fmt.Sprintf(", %s off; it lies at %s, %s", t.run(low.P.Dist(high.P)), t.jobPlace(a, low.P), t.laidOn(low.On))
		if r.Verdict == drainage.TooClose {
			words += " (too close to call)"
		}
		t.item("-", t.told("shot ")+low.ID+": "+t.told(t.hundredths(r.ApartIn)+" lower, against the design, than shot ")+high.ID+t.told(words))
	}
	if listed > mostListed {
		t.item("-", fmt.Sprintf("and %s more", thousands(listed-mostListed)))
	}
}

// laidWater tells what water will stand.
func (t *telling) laidWater(a *AreaResult) {
	b := a.AsBuilt
	if b.Report == nil {
		t.fact("Ponds", "Unknown: "+b.Untold+".")
		return
	}
	words := sentenceCase(strings.ToUpper(t.holds(b.Free))) + "."
	if n := len(b.Ponds); n > 0 {
		words = strings.TrimSuffix(words, ".") + ": " + count(n, "pond") + "."
	}
	t.fact("Holds water", words)
	for _, p := range b.Ponds {
		words := fmt.Sprintf("%s at %s, %s", t.pondSize(p.Pond), t.jobPlace(a, p.Deepest), t.laidOn(p.On))
		if p.ByDesign > 0 {
			words += fmt.Sprintf("; the design itself leaves %s there", t.inches(p.ByDesign))
		}
		t.fact("Pond "+p.ID, words)
	}
	if r := b.Report; r.UnknownPct+r.ThinPct >= 0.05 {
		t.fact("Few shots", fmt.Sprintf("%.1f %% of the area is too far from a shot to tell, %.1f %% has too few to tell a shallow pond: "+
			"shoot there too.", r.UnknownPct, r.ThinPct))
	}
	if r := b.Report; r.NarrowestFt > 0 {
		t.fact("Not seen", fmt.Sprintf("Hollows narrower than %s, between shots.", t.say.wide(unit.Feet(r.NarrowestFt))))
	}
}

// laidMends lists what to fill and what to take off.
func (t *telling) laidMends(a *AreaResult) {
	b := a.AsBuilt
	for n, m := range b.Mends {
		if n == mostListed {
			t.fact("", fmt.Sprintf("and %s more", thousands(len(b.Mends)-n)))
			break
		}
		t.fact(fmt.Sprintf("To mend %d", n+1), t.laidMend(a, m))
	}
	if !b.Mended {
		return
	}
	words := "No pond stays."
	if n := len(b.Stay); n > 0 {
		words = fmt.Sprintf("%s, the deepest %s.", stays(n), t.depth(*b.Stay[0].Pond))
	}
	t.fact("All of it done", words)
}

func stays(ponds int) string {
	if ponds == 1 {
		return "1 pond stays"
	}
	return thousands(ponds) + " ponds stay"
}

// laidMend tells one mend.
func (t *telling) laidMend(a *AreaResult, m taper.Mend) string {
	verb := "Fill up to "
	if m.High {
		verb = "Take off up to "
	}
	words := fmt.Sprintf("%s%s at %s, %s", verb, t.inches(m.MostIn), t.jobPlace(a, m.At), t.laidOn(m.On))
	switch {
	case m.Lone:
		words += "; the shots about it do not show it: read it again first"
	case m.ToLip:
		words += fmt.Sprintf(", level to where it runs over, over %s, %s", t.say.area(m.Sqft), t.volume(m.CuFt))
	default:
		words += fmt.Sprintf(", to nothing at the border of %s, %s", t.say.area(m.Sqft), t.volume(m.CuFt))
	}
	if len(m.Ponds) > 0 {
		words += "; for pond " + strings.Join(m.Ponds, ", ")
	} else if !m.Lone {
		words += "; no pond was found there"
	}
	if len(m.Shots) > 0 {
		words += "; " + shotNames(m.Shots)
	}
	if m.Slip() && !m.Lone {
		words += ", which alone shows so much: read it again first"
	}
	return words
}
