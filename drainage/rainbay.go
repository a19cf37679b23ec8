package drainage

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/unit"
)

// sheets is the rain on the standing water with primaries blocked.
type sheets struct {
	*blockedRoof
	r      *rainRun
	direct []float64 // sq ft that come to each outlet past all standing water
}

// overflows reckons the roof with its primaries blocked.
func (r *rainRun) overflows() {
	s := &sheets{r.blocked, r, make([]float64, len(r.in.Site.Outlets))}
	s.gather()
	for _, n := range s.order {
		s.top(n)
	}
	s.overflowFlows()
	parapetIn := r.parapetLevels()
	s.levels(parapetIn)
	s.baysUnder(parapetIn)
}

// levels gives each cell the water that stands over it; where nothing lets it
// go, up to the lowest parapet if its height is stated.
func (s *sheets) levels(parapetIn []float64) {
	out := slices.Clone(s.c.filledIn)
	for k, n := range s.c.pondOf {
		if n < 0 {
			continue
		}
		closedIn := s.of[n].exit < 0
		switch {
		case closedIn && !math.IsInf(parapetIn[k], 0):
			out[k] = math.Max(s.c.surf.ElevIn[k], parapetIn[k])
			s.r.out.AtLeast = s.r.out.AtLeast || s.r.in.TopsWhy != ""
			continue
		case closedIn || !s.of[n].headed:
			s.r.out.AtLeast = true
		}
		out[k] = math.Max(out[k], s.of[n].topIn)
	}
	s.r.out.BlockedIn = out
}

// gather sums what comes to each sheet and past all of them to each outlet.
func (s *sheets) gather() {
	cellSqft := s.c.cellSqft()
	add := func(k int, sqft float64) {
		if k < 0 || s.c.fill.Of[k] < 0 {
			return
		}
		switch sheet, outlet := s.to(int(s.c.fill.Of[k])); {
		case sheet >= 0:
			s.of[sheet].sqft += sqft
		case outlet >= 0:
			s.direct[outlet] += sqft
		}
	}
	cells := make([]int, len(s.c.fill.Hollow))
	for _, b := range s.c.fill.Of {
		if b >= 0 {
			cells[b]++
		}
	}
	for b, n := range cells {
		if n > 0 {
			add(s.c.fill.Hollow[b].Bottom, float64(n)*cellSqft)
		}
	}
	for _, w := range s.r.walls {
		add(w.cell, w.sqft)
	}
	for _, p := range s.r.in.Onto {
		add(s.r.landing(p.At), p.BlockedSqFt)
	}
	for i := len(s.order) - 1; i >= 0; i-- {
		w := s.of[s.order[i]]
		switch {
		case w.next >= 0:
			s.of[w.next].sqft += w.sqft
		case w.exit >= 0 && !slices.Contains(w.outlets, w.exit):
			s.direct[w.exit] += w.sqft
		}
	}
}

// gpm is the flow off so much roof at the overflow rate.
func (s *sheets) gpm(sqft float64) float64 {
	return unit.Runoff(unit.SquareFeet(sqft), s.r.in.Rain.OverflowRate).GallonsPerMinute()
}

// all is what the outlets of a sheet have to take together.
func (s *sheets) all(w *water) float64 {
	sqft := w.sqft
	for _, o := range w.outlets {
		sqft += s.direct[o]
	}
	return sqft
}

// top finds how high the water of a sheet rises over its level, at the least
// where its outlets do not take it as far as their heads are known. Where it runs
// over a ridge the head there is not reckoned; where the water beyond stands
// higher than the ridge, they are one.
func (s *sheets) top(n int) {
	w := &s.of[n]
	w.topIn = w.levelIn
	if w.next >= 0 {
		if beyond := s.of[w.next]; beyond.topIn > w.levelIn {
			w.topIn, w.headed = beyond.topIn, beyond.headed
		}
		return
	}
	if w.exit >= 0 && s.c.opt.inletWhy(w.exit) != "" {
		return
	}
	ks, inletIn := s.intakes(w)
	free := slices.ContainsFunc(ks, func(k intake) bool { return k.free })
	if len(ks) == 0 || s.r.in.Rain.OverflowRate == 0 && !free {
		return
	}
	level, ok := levelFor(ks, inletIn, s.gpm(s.all(w)))
	if w.headed = ok; !ok {
		if level, ok = leastLevel(ks, inletIn); !ok {
			return
		}
	}
	w.topIn = math.Max(level, w.levelIn)
}

func (s *sheets) intakes(w *water) (ks []intake, inletIn []float64) {
	for _, o := range w.outlets {
		ks = append(ks, intakeOf(s.r.in.Site.Outlets[o].Outlet))
		inletIn = append(inletIn, s.inletIn(o))
	}
	return ks, inletIn
}

// overflowFlows tells what each overflow takes of the sheet that it lets go.
func (s *sheets) overflowFlows() {
	sheetOf := map[int]int{}
	for n := range s.of {
		if s.of[n].next < 0 {
			for _, o := range s.of[n].outlets {
				sheetOf[o] = n
			}
		}
	}
	for n, o := range s.r.in.Site.Outlets {
		f := &s.r.out.Outlets[n]
		if !o.Overflow {
			continue
		}
		f.SqFt, f.WallSqFt, f.OtherSqFt = s.direct[n], 0, 0
		m, of := sheetOf[n]
		if !s.c.lets(n) {
			f.SqFt = 0
			f.Verdict, f.Words = FallsShort, "takes nothing: it "+s.shutWhy(n)
			continue
		}
		if !of || len(s.of[m].outlets) == 1 {
			if of {
				f.SqFt = s.all(&s.of[m])
			}
			s.r.judgeOutlet(f, o.Outlet, s.r.in.Rain.OverflowRate)
			if why := s.c.opt.inletWhy(n); why != "" {
				f.Verdict, f.Words = Unknown, f.Words+"; it may be buried, since "+overNew+why
			}
			continue
		}
		s.shared(f, n, &s.of[m])
	}
}

// shared tells what one of several outlets takes of a sheet.
func (s *sheets) shared(f *OutletFlow, n int, w *water) {
	f.SqFt = -1
	ks, inletIn := s.intakes(w)
	if !w.headed {
		f.Words = "shares its water with others; how, is not known"
		if allGpm, gpm := capacityOfAll(ks), s.gpm(s.all(w)); allGpm >= 0 && gpm > allGpm {
			f.Verdict, f.Words = FallsShort, "with those that share its water takes "+s.r.flow(allGpm)+" of the "+s.r.flow(gpm)+" that come"
		}
		return
	}
	sum, own := 0.0, 0.0
	for i, k := range ks {
		if k.free {
			f.SqFt, f.Gpm, f.HeadIn, f.Words = 0, 0, 0, "the water leaves over a free edge first"
			return
		}
		take := k.flowAt(w.topIn - inletIn[i])
		if sum += take; w.outlets[i] == n {
			own = take
		}
	}
	if sum > 0 {
		f.SqFt = s.all(w) * own / sum
	}
	o := s.r.in.Site.Outlets[n].Outlet
	s.r.judgeOutlet(f, o, s.r.in.Rain.OverflowRate)
}

// capacityOfAll is what outlets take together; -1: not known.
func capacityOfAll(ks []intake) (sum float64) {
	for _, k := range ks {
		gpm := k.capacityGpm()
		if gpm < 0 {
			return -1
		}
		sum += gpm
	}
	return sum
}

// baysUnder tells of the water over each lowest primary outlet.
func (s *sheets) baysUnder(parapetIn []float64) {
	for _, y := range s.bays() {
		s.r.out.Bays = append(s.r.out.Bays, s.rainBay(y, parapetIn))
	}
	slices.SortStableFunc(s.r.out.Bays, func(a, b RainBay) int { return cmp.Compare(b.LoadPsf, a.LoadPsf) })
	for _, b := range s.r.out.Bays {
		if b.Protects == FallsShort {
			s.r.out.Words = append(s.r.out.Words, b.Why)
		}
	}
	for _, b := range s.r.out.Bays {
		if b.Protects != FallsShort {
			s.r.out.Words = append(s.r.out.Words, b.Why)
		}
	}
}

// rainBay tells of one bay.
func (s *sheets) rainBay(y bay, parapetIn []float64) RainBay {
	b := RainBay{Lowest: s.r.in.Site.Outlets[y.low].ID, LowIn: y.lowIn, DsIn: -1, DhIn: -1, LoadPsf: -1, ParapetIn: -1, ParapetPsf: -1}
	topIn, headed := y.levelIn, false
	if y.key < 0 {
		b.SqFt = s.direct[y.exit]
		f, k := s.r.out.Outlets[y.exit], intakeOf(s.r.in.Site.Outlets[y.exit].Outlet)
		told := s.c.opt.inletWhy(y.exit) == ""
		switch {
		case told && f.HeadIn >= 0:
			topIn, headed = y.levelIn+f.HeadIn, true
		case told && f.Gpm >= 0 && k.told:
			topIn += k.mostIn()
		}
	} else {
		w := &s.of[y.key]
		topIn, headed, b.SqFt = w.topIn, w.headed, s.all(w)
	}
	if y.exit >= 0 {
		b.Overflow = s.r.in.Site.Outlets[y.exit].ID
		b.DsIn = y.dsIn()
		b.AtLeast = !headed
		if headed {
			b.DhIn = topIn - y.levelIn
		} else {
			b.DhOverIn = math.Max(0, topIn-y.levelIn)
		}
		b.LoadPsf = psfPerIn * (b.DsIn + math.Max(b.DhOverIn, b.DhIn))
	}
	for _, k := range s.c.outlets[y.low] {
		if in := parapetIn[k] - b.LowIn; !math.IsInf(in, 0) && s.r.in.TopsWhy == "" {
			b.ParapetIn, b.ParapetPsf = math.Max(b.ParapetIn, in), psfPerIn*math.Max(b.ParapetIn, in)
		}
	}
	b.Protects, b.Why = s.told(b, y)
	return b
}

// told says whether the overflow of a bay protects it, and the figures.
func (s *sheets) told(b RainBay, y bay) (Verdict, string) {
	r, rules := s.r, s.r.in.Opt.Rules
	head := "over " + b.Lowest + " with the drains blocked "
	parapet := "; how high the parapets are is not stated"
	switch {
	case r.in.TopsWhy != "":
		parapet = "; how high the parapets stand over the finished surface is not known: " + r.in.TopsWhy
	case b.ParapetIn >= 0:
		parapet = "; it would run over the lowest parapet " + r.inches(b.ParapetIn) + " deep, " + r.load(b.ParapetPsf)
	}
	shut := s.shutWords()
	if y.exit < 0 {
		if shut != "" {
			return FallsShort, head + "no overflow lets the water go: " + shut + parapet
		}
		return Unknown, head + "no overflow is stated that lets the water go" + parapet
	}
	o := r.in.Site.Outlets[y.exit]
	figures := s.figures(b, s.c.opt.inletWhy(y.exit) != "")
	if shut != "" {
		figures += "; " + shut
	}
	if o.IsEdge() {
		return Meets, head + "the water leaves over " + o.ID + figures
	}
	way := "the water leaves by " + o.ID
	if y.ridge {
		way = "the water runs over a ridge before it leaves by " + o.ID
	}
	beside := ""
	why := s.c.opt.inletWhy(y.exit)
	if in := r.in.Opt.InletIn[y.exit] - Lowest(s.c.surf, s.c.outlets[y.exit]); in <= buriedIn && why == "" {
		beside = ", whose inlet lies at the surface beside it"
	}
	verdict, ground := s.judge(y)
	f := r.out.Outlets[y.exit]
	verdict, ground = withFlow(verdict, ground, f, r.in.Rain)
	if why != "" {
		beside = ", where " + overNew + why
	}
	text := o.ID + " " + s.groundWords(ground, b, f) + ": " + head + way + beside + figures
	if verdict == FallsShort || rules.OverflowMost == 0 {
		text += parapet
	}
	return verdict, text
}

// withFlow brings what the overflow that a bay leaves by takes into the verdict
// on its height: one too small protects no more than one too high.
func withFlow(v Verdict, ground protection, f OutletFlow, rain survey.Rain) (Verdict, protection) {
	switch {
	case rain.OverflowRate == 0 || v == FallsShort || f.Gpm == 0:
	case f.Verdict == FallsShort:
		return FallsShort, takesTooLittle
	case f.Verdict == Unknown && v == Meets:
		return Unknown, takesUnknown
	}
	return v, ground
}

// groundWords say why an overflow protects or does not, after its name.
func (s *sheets) groundWords(p protection, b RainBay, f OutletFlow) string {
	r, rules := s.r, s.r.in.Opt.Rules
	switch p {
	case protects:
		if r.in.Rain.OverflowRate == 0 {
			return "protects by its height"
		}
		return "protects"
	case takesTooLittle:
		if f.Gpm < 0 {
			return "does not protect: it stands high enough, but " + f.Words
		}
		return "does not protect: it stands high enough, but takes " + r.flow(f.CapacityGpm) + " of the " + r.flow(f.Gpm) + " that come"
	case takesUnknown:
		return "stands high enough; whether it takes the water is not known"
	case notSurveyed:
		return "cannot be judged without a survey at both"
	case notTold:
		return "cannot be judged"
	case runsFirst:
		return "stands no higher than " + b.Lowest + ", so it runs first or never"
	case tooHigh:
		return "does not protect, " + r.inches(b.DsIn) + " over the lowest outlet for the " +
			rules.OverflowMost.FormatThin(r.in.Units) + " that " + rules.Name + " allows"
	case tooLow:
		return "stands " + r.inches(b.DsIn) + " over the lowest outlet, under the " +
			rules.OverflowLeast.FormatThin(r.in.Units) + " that " + rules.Name + " asks for"
	case noLimit:
		return "is under no limit of " + rules.Name
	case closeToLimit:
		return "is too close to its limits to call"
	}
	panic("drainage: unknown protection")
}

// shutWords name the overflows that take nothing, and why.
func (s *sheets) shutWords() string {
	var out []string
	for n, o := range s.r.in.Site.Outlets {
		if _, takesNothing := s.shut[n]; takesNothing {
			out = append(out, o.ID+" "+s.shutWhy(n))
		}
	}
	return strings.Join(out, ", ")
}

// shutWhy says why an overflow takes nothing, after its name.
func (s *sheets) shutWhy(n int) string {
	if under := s.shut[n]; under > 0 {
		return "is buried: its inlet lies " + s.r.inches(under) + " under the surface beside it"
	}
	return "is blocked"
}

// figures are the depths and the load of a bay, to follow a sentence; low: what
// lets it go may stand higher.
func (s *sheets) figures(b RainBay, low bool) string {
	least := ""
	if b.AtLeast {
		least = "at least "
	}
	text := ", ds " + s.r.inches(b.DsIn)
	if low {
		text = ", ds at least " + s.r.inches(b.DsIn)
	}
	if b.DhIn < 0 {
		if text += ", dh not known"; b.DhOverIn > 0 {
			text += " but more than " + s.r.inches(b.DhOverIn)
		}
		return text + ", " + least + s.r.load(b.LoadPsf)
	}
	return text + ", dh " + s.r.inches(b.DhIn) + ", " + least + s.r.load(b.LoadPsf)
}
