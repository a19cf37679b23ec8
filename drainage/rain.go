package drainage

import (
	"fmt"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// RainInput is a surface that was checked, and the rain on it.
type RainInput struct {
	Site   *survey.Site
	Report *Report // of Check
	Opt    Options // of that check
	Rain   survey.Rain
	// Existing and Deck are what stated heights stand on; without a deck the
	// existing surface serves for both.
	Existing, Deck *survey.Surface
	// TopsWhy says why the heights of the parapets over the surface are not known;
	// "": they are, where they are stated.
	TopsWhy string
	Onto    []PassedOn // what other areas discharge here
	Units   unit.System
}

// PassedOn is roof of one area whose water is let onto another.
type PassedOn struct {
	At          geom.Pt // job feet
	SqFt        float64 // with its primary outlets at work, walls and areas before it with it
	BlockedSqFt float64 // with them blocked
}

// rainRun is one reckoning of rain.
type rainRun struct {
	in      RainInput
	open    *check // all outlets as they are
	blocked *blockedRoof
	walls   []wallStrip
	out     *RainReport
}

// RainOn says what rain does on a checked surface: what each outlet has to take
// and does take, and how deep water stands where the primary drains and scuppers
// are blocked. Gutters and open edges always let water go. Without rates there
// are no flows and no heads; depths are told all the same. Cost: that of three
// fillings.
func RainOn(in RainInput) (*RainReport, error) {
	r := &rainRun{in: in, out: &RainReport{RateInPerH: in.Rain.Rate.InchesPerHour(),
		OverflowRateInPerH: in.Rain.OverflowRate.InchesPerHour()}}
	var err error
	if r.open, err = filled(in.Site, in.Report.Surface, in.Opt); err == nil {
		r.blocked, err = r.open.whenBlocked()
	}
	if err != nil {
		return nil, fmt.Errorf("reckon the rain on area %s: %w", in.Site.Name, err)
	}
	r.walls = r.wallStrips()
	r.primaries()
	r.overflows()
	r.ask()
	return r.out, nil
}

func (r *rainRun) inches(in float64) string { return unit.Inches(in).FormatThin(r.in.Units) }

func (r *rainRun) flow(gpm float64) string { return unit.GallonsPerMinute(gpm).Format(r.in.Units) }

func (r *rainRun) load(psf float64) string { return unit.PoundsPerSquareFoot(psf).Format(r.in.Units) }

// primaries reckons what the outlets take with all of them as they are.
func (r *rainRun) primaries() {
	end := r.open.endOfHollows()
	outletAt := func(k int) int {
		if k < 0 || r.open.fill.Of[k] < 0 {
			return -1
		}
		return int(end[r.open.fill.Of[k]])
	}
	for n, o := range r.in.Site.Outlets {
		f := OutletFlow{Outlet: o.ID, Gpm: -1, HeadIn: -1, CapacityGpm: intakeOf(o.Outlet).capacityGpm()}
		if n < len(r.in.Report.Areas) {
			f.SqFt = r.in.Report.Areas[n].SqFt
		}
		r.out.Outlets = append(r.out.Outlets, f)
	}
	for _, w := range r.walls {
		if n := outletAt(w.cell); n >= 0 {
			r.out.Outlets[n].WallSqFt += w.sqft
		}
	}
	for _, p := range r.in.Onto {
		if n := outletAt(r.landing(p.At)); n >= 0 {
			r.out.Outlets[n].OtherSqFt += p.SqFt
		}
	}
	for n := range r.out.Outlets {
		if o := r.in.Site.Outlets[n].Outlet; !o.Overflow {
			r.judgeOutlet(&r.out.Outlets[n], o, r.in.Rain.Rate)
		}
	}
}

// landing is the roof cell that water from a place of another area falls on.
func (r *rainRun) landing(at geom.Pt) int {
	return nearestCell(r.in.Report.Surface, r.in.Site.Frame.ToLocal(at))
}

// judgeOutlet fills in flow, head and verdict of an outlet by itself.
func (r *rainRun) judgeOutlet(f *OutletFlow, o survey.Outlet, rate unit.RainRate) {
	k := intakeOf(o)
	if rate > 0 {
		f.Gpm = unit.Runoff(unit.SquareFeet(f.SqFt+f.WallSqFt+f.OtherSqFt), rate).GallonsPerMinute()
	}
	if o.State == survey.Blocked {
		f.Verdict, f.Words = FallsShort, "blocked: it takes nothing"
		return
	}
	if rate > 0 {
		if in, ok := k.headAt(f.Gpm); ok {
			f.HeadIn = in
		}
		if k.free {
			f.HeadIn = 0
		}
	}
	f.Verdict, f.Words = r.verdictOn(*f, o, k)
	if o.State == survey.Untested {
		f.Words += "; it is untested"
	}
}

// verdictOn judges whether an outlet takes its flow.
func (r *rainRun) verdictOn(f OutletFlow, o survey.Outlet, k intake) (Verdict, string) {
	head := r.inches(f.HeadIn) + " over its inlet"
	source := ""
	if k.fromMemory {
		source = " (table from memory: confirm with the drain's maker)"
	}
	switch {
	case f.Gpm < 0:
		return Unknown, "no rain rate is stated"
	case o.Kind == survey.GutterOutlet:
		return Unknown, "runs freely over the edge; gutter and leaders are not sized here"
	case k.free:
		return Meets, "runs freely over the edge"
	case !k.told && o.Size > 0:
		return Unknown, "no table of what a drain of " + o.Size.FormatThin(r.in.Units) + " takes: ask its maker"
	case !k.told:
		return Unknown, "its bore is not stated, so what it takes is not known"
	case k.openIsTaken && f.HeadIn >= 0:
		return Unknown, head + " if its opening, not stated, is as high"
	case k.openIsTaken:
		return Unknown, "the height of its opening is not stated"
	case f.Gpm > f.CapacityGpm && len(k.rows) > 0:
		return FallsShort, "takes " + r.flow(f.CapacityGpm) + " at most by its table" + source
	case f.Gpm > f.CapacityGpm:
		return FallsShort, head + ", above the top of its opening of " + o.Opening.FormatThin(r.in.Units)
	}
	return Meets, head + source
}

// ask lists what is missing.
func (r *rainRun) ask() {
	switch rain := r.in.Rain; {
	case rain.Rate == 0:
		r.out.Asked = append(r.out.Asked, "Which rain rate do the drains have to take, and which the overflows?")
	case rain.OverflowRate == 0:
		r.out.Asked = append(r.out.Asked, "Which rain rate do the overflows have to take? The IBC (2021 family, 1611.1) allows "+
			"twice the hourly rate, "+(2*rain.Rate).Format(r.in.Units)+".")
	}
	var walls, tops []string
	for n, e := range r.in.Site.Edges {
		switch {
		case e.Height.Stated():
		case e.Kind == survey.Wall:
			walls = append(walls, fmt.Sprint(n))
		case e.Kind == survey.Parapet:
			tops = append(tops, fmt.Sprint(n))
		}
	}
	if len(walls) > 0 {
		r.out.Asked = append(r.out.Asked, "How high is the wall at edge "+strings.Join(walls, ", ")+
			"? Half of it counts as roof; nothing is counted now.")
	}
	if len(tops) > 0 {
		r.out.Asked = append(r.out.Asked, "How high is the parapet at edge "+strings.Join(tops, ", ")+
			"? It is taken as higher than those stated.")
	}
}

// Passes is what an area lets onto another, by outlet and spread along edges. A
// foot or so of edge makes one place.
func (r *RainReport) Passes(s *survey.Site, area string) []PassedOn {
	var out []PassedOn
	for n, o := range s.Outlets {
		if o.Onto != area || n >= len(r.Outlets) {
			continue
		}
		f := r.Outlets[n]
		p := PassedOn{SqFt: f.SqFt + f.WallSqFt + f.OtherSqFt}
		if p.BlockedSqFt = p.SqFt; o.Overflow {
			p.SqFt = 0 // a primary's water is let go once
		}
		places := max(1, int(math.Round(o.A.Dist(o.B))))
		if o.Kind == survey.Scupper {
			places = 1
		}
		for i := range places {
			at := o.P
			if places > 1 {
				at = o.A.Lerp(o.B, (float64(i)+0.5)/float64(places))
			}
			out = append(out, PassedOn{s.Frame.ToJob(at), p.SqFt / float64(places), p.BlockedSqFt / float64(places)})
		}
	}
	return out
}
