package drainage

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/unit"
)

// water is one sheet of standing water with the primaries blocked.
type water struct {
	sqft    float64 // of roof, walls and other areas whose water comes through it
	next    int     // the sheet that it runs over into; -1: none
	exit    int     // the outlet that its water leaves by at last; -1: none
	outlets []int   // those at its edge or in it that let water go
	levelIn float64 // before any leaves
	topIn   float64 // with the head over what it leaves by
	headed  bool    // the head is known
}

// sheets is the standing water with primaries blocked; one for each hollow.
type sheets struct {
	r      *rainRun
	c      *check
	of     []water
	direct []float64 // sq ft that come to each outlet past all standing water
	order  []int     // of sheets, those nearer the outlets first
}

// overflows reckons the roof with its primaries blocked.
func (r *rainRun) overflows() {
	s := &sheets{r: r, c: r.blocked, of: make([]water, len(r.blocked.hollow)), direct: make([]float64, len(r.in.Site.Outlets))}
	s.link()
	s.gather()
	for _, n := range s.order {
		s.top(n)
	}
	s.overflowFlows()
	parapetIn := r.parapetLevels()
	s.levels(parapetIn)
	s.bays(parapetIn)
}

// levels gives each cell the water that stands over it; where nothing lets it
// go, up to the lowest parapet if its height is stated.
func (s *sheets) levels(parapetIn []float64) {
	out := slices.Clone(s.c.filledIn)
	for k, n := range s.c.pondOf {
		if n < 0 {
			continue
		}
		out[k] = math.Max(out[k], s.of[n].topIn)
		if s.of[n].exit >= 0 {
			continue
		}
		if math.IsInf(parapetIn[k], 0) {
			s.r.out.AtLeast = true
		} else {
			out[k] = math.Max(out[k], parapetIn[k])
		}
	}
	s.r.out.BlockedIn = out
}

// to follows the fill down from one of its hollows to the next standing water
// or, past all, to an outlet; -1, -1 where it is closed in and dry.
func (s *sheets) to(b int) (sheet, outlet int) {
	for b >= 0 {
		h := s.c.fill.Hollow[b]
		if n := s.c.pondOf[h.Bottom]; n >= 0 {
			return int(n), -1
		}
		if h.Outlet >= 0 {
			return -1, h.Outlet
		}
		b = h.Into
	}
	return -1, -1
}

// link finds where each sheet of water goes.
func (s *sheets) link() {
	place := make([]int, len(s.c.fill.Hollow))
	for n, b := range s.c.fill.Order {
		place[b] = n + 1
	}
	for n := range s.of {
		w := &s.of[n]
		w.next, w.exit, w.levelIn = -1, -1, s.c.hollow[n].levelIn
		b := s.c.hollow[n].first
		for b >= 0 && s.c.fill.Hollow[b].Outlet < 0 && s.c.pondOf[s.c.fill.Hollow[b].Bottom] == int32(n) {
			b = s.c.fill.Hollow[b].Into
		}
		if b >= 0 && s.c.fill.Hollow[b].Outlet >= 0 {
			w.exit = s.c.fill.Hollow[b].Outlet
		} else {
			w.next, w.exit = s.to(b)
		}
		s.order = append(s.order, n)
	}
	slices.SortFunc(s.order, func(a, b int) int { return place[s.c.hollow[a].first] - place[s.c.hollow[b].first] })
	for _, n := range s.order {
		if next := s.of[n].next; next >= 0 {
			s.of[n].exit = s.of[next].exit
		}
	}
	for o, cells := range s.c.outlets {
		if !s.c.lets(o) {
			continue
		}
		for _, k := range cells {
			s.touch(k, o)
			s.c.neighbours(k, func(q int) { s.touch(q, o) })
		}
	}
}

// touch says that an outlet stands in or at the water of cell k.
func (s *sheets) touch(k, outlet int) {
	if n := s.c.pondOf[k]; n >= 0 && !slices.Contains(s.of[n].outlets, outlet) {
		s.of[n].outlets = append(s.of[n].outlets, outlet)
	}
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

// top finds how high the water of a sheet rises over its level. Where it runs
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
	if s.r.in.Rain.OverflowRate == 0 || len(w.outlets) == 0 {
		return
	}
	ks, inletIn := s.intakes(w)
	if level, ok := levelFor(ks, inletIn, s.gpm(s.all(w))); ok {
		w.topIn, w.headed = math.Max(level, w.levelIn), true
	}
}

func (s *sheets) intakes(w *water) (ks []intake, inletIn []float64) {
	for _, o := range w.outlets {
		ks = append(ks, intakeOf(s.r.in.Site.Outlets[o].Outlet))
		inletIn = append(inletIn, s.inletIn(o))
	}
	return ks, inletIn
}

// inletIn is the elevation from which an outlet takes water: its inlet, or the
// roof beside it where that is higher.
func (s *sheets) inletIn(o int) float64 {
	return math.Max(s.r.in.Opt.InletIn[o], lowest(s.c.surf, s.c.outlets[o]))
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
			f.Words = "takes nothing: it " + s.r.shut[n]
			continue
		}
		if !of || len(s.of[m].outlets) == 1 {
			if of {
				f.SqFt = s.all(&s.of[m])
			}
			s.r.judgeOutlet(f, o.Outlet, s.r.in.Rain.OverflowRate)
			continue
		}
		s.shared(f, n, &s.of[m])
	}
}

// shared tells what one of several outlets takes of a sheet.
func (s *sheets) shared(f *OutletFlow, n int, w *water) {
	f.SqFt = -1
	if !w.headed {
		f.Words = "shares its water with others; how, is not known"
		return
	}
	ks, inletIn := s.intakes(w)
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

// bays tells of the water over each lowest primary outlet.
func (s *sheets) bays(parapetIn []float64) {
	lowestOf := map[int]int{} // the lowest primary outlet of each sheet; from -2 down, of each overflow reached dry
	var keys []int
	for n, o := range s.r.in.Site.Outlets {
		if o.Overflow || edgeOutlet(o.Outlet) {
			continue
		}
		key, ok := s.sheetAt(n)
		if !ok {
			continue
		}
		if m, had := lowestOf[key]; !had {
			keys = append(keys, key)
			lowestOf[key] = n
		} else if s.lowIn(n) < s.lowIn(m)-1e-9 {
			lowestOf[key] = n
		}
	}
	for _, key := range keys {
		s.r.out.Bays = append(s.r.out.Bays, s.bay(key, lowestOf[key], parapetIn))
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

func (s *sheets) lowIn(outlet int) float64 {
	return placeIn(s.c.surf, s.c.outlets[outlet], s.r.in.Site.Outlets[outlet].P)
}

// sheetAt is the sheet that stands over a primary outlet, or -2 less the
// overflow that its water runs to past all standing water; false where it runs
// on elsewhere.
func (s *sheets) sheetAt(outlet int) (int, bool) {
	for _, k := range s.c.outlets[outlet] {
		if n := s.c.pondOf[k]; n >= 0 {
			return int(n), true
		}
	}
	for _, k := range s.c.outlets[outlet] {
		if sheet, o := s.to(int(s.c.fill.Of[k])); sheet < 0 && o >= 0 && s.r.in.Site.Outlets[o].Overflow {
			return -2 - o, true
		}
	}
	return 0, false
}

// bay tells of one bay.
func (s *sheets) bay(key, low int, parapetIn []float64) RainBay {
	o := s.r.in.Site.Outlets[low]
	b := RainBay{Lowest: o.ID, LowIn: s.lowIn(low), DsIn: -1, DhIn: -1, LoadPsf: -1, ParapetIn: -1, ParapetPsf: -1, Deepest: o.P}
	exit, dry := -2-key, key < 0
	levelIn, topIn, headed := 0.0, 0.0, false
	if dry {
		levelIn = s.inletIn(exit)
		topIn, b.SqFt = levelIn, s.direct[exit]
		if f := s.r.out.Outlets[exit]; f.HeadIn >= 0 {
			topIn, headed = levelIn+f.HeadIn, true
		}
	} else {
		w := &s.of[key]
		exit, levelIn, topIn, headed, b.SqFt = w.exit, w.levelIn, w.topIn, w.headed, s.all(w)
		b.Deepest = s.c.hollow[key].pond.Deepest
	}
	if exit >= 0 {
		b.Overflow = s.r.in.Site.Outlets[exit].ID
		b.DsIn = math.Max(0, levelIn-b.LowIn)
		b.AtLeast = !headed
		if headed {
			b.DhIn = topIn - levelIn
		}
		b.LoadPsf = psfPerIn * (b.DsIn + math.Max(0, b.DhIn))
	}
	for _, k := range s.c.outlets[low] {
		if in := parapetIn[k] - b.LowIn; !math.IsInf(in, 0) {
			b.ParapetIn, b.ParapetPsf = math.Max(b.ParapetIn, in), psfPerIn*math.Max(b.ParapetIn, in)
		}
	}
	ridge := !dry && (s.of[key].next >= 0 || exit >= 0 && !slices.Contains(s.of[key].outlets, exit))
	b.Protects, b.Why = s.judge(b, low, exit, ridge)
	return b
}

// judge says whether the overflow of a bay protects it.
func (s *sheets) judge(b RainBay, low, exit int, ridge bool) (Verdict, string) {
	r, rules := s.r, s.r.in.Opt.Rules
	head := "over " + b.Lowest + " with the drains blocked "
	parapet := "; how high the parapets are is not stated"
	if b.ParapetIn >= 0 {
		parapet = "; it would run over the lowest parapet " + r.inches(b.ParapetIn) + " deep, " + r.load(b.ParapetPsf)
	}
	shut := s.shutWords()
	if exit < 0 {
		if shut != "" {
			return FallsShort, head + "no overflow lets the water go: " + shut + parapet
		}
		return Unknown, head + "no overflow is stated that lets the water go" + parapet
	}
	o := r.in.Site.Outlets[exit]
	figures := s.figures(b)
	if shut != "" {
		figures += "; " + shut
	}
	if edgeOutlet(o.Outlet) {
		return Meets, head + "the water leaves over " + o.ID + figures
	}
	way := "the water leaves by " + o.ID
	if ridge {
		way = "the water runs over a ridge before it leaves by " + o.ID
	}
	beside := ""
	if in := r.in.Opt.InletIn[exit] - lowest(s.c.surf, s.c.outlets[exit]); in <= buriedIn {
		beside = ", whose inlet lies at the surface beside it"
	}
	verdict, why := s.protects(b, low, exit)
	text := o.ID + " " + why + ": " + head + way + beside + figures
	if verdict == FallsShort || rules.OverflowMost == 0 {
		text += parapet
	}
	return verdict, text
}

// shutWords name the overflows that take nothing, and why.
func (s *sheets) shutWords() string {
	var out []string
	for n, o := range s.r.in.Site.Outlets {
		if why := s.r.shut[n]; why != "" {
			out = append(out, o.ID+" "+why)
		}
	}
	return strings.Join(out, ", ")
}

// figures are the depths and the load of a bay, to follow a sentence.
func (s *sheets) figures(b RainBay) string {
	text := ", ds " + s.r.inches(b.DsIn)
	if b.AtLeast {
		return text + ", dh not known, at least " + s.r.load(b.LoadPsf)
	}
	return text + ", dh " + s.r.inches(b.DhIn) + ", " + s.r.load(b.LoadPsf)
}

// roundIn is what rounding may leave of a depth.
const roundIn = 1e-6

// protects judges an overflow by its inlet over the lowest outlet of the bay, to
// two standard errors.
func (s *sheets) protects(b RainBay, low, exit int) (Verdict, string) {
	r := s.r
	rules := r.in.Opt.Rules
	leastIn, mostIn := rules.OverflowLeast.Inches(), rules.OverflowMost.Inches()
	doubtIn := 0.0
	if r.in.Opt.SigmaIn > 0 {
		doubtIn = 2 * s.c.dropSigmaIn(r.in.Site.Outlets[low].P, r.in.Site.Outlets[exit].P)
	}
	limit := "the " + rules.OverflowMost.FormatThin(r.in.Units) + " that " + rules.Name + " allows"
	switch {
	case r.in.Opt.Unsurveyed || s.c.unshot[low] || s.c.unshot[exit]:
		return Unknown, "cannot be judged without a survey at both"
	case r.in.Opt.InletIn[exit] <= s.primaryInletIn(low)+1e-9:
		return FallsShort, "stands no higher than " + b.Lowest + ", so it runs first or never"
	case mostIn > 0 && b.DsIn > mostIn+doubtIn+roundIn:
		return FallsShort, "does not protect, " + r.inches(b.DsIn) + " over the lowest outlet for " + limit
	case b.DsIn < leastIn-doubtIn-roundIn:
		return FallsShort, "stands " + r.inches(b.DsIn) + " over the lowest outlet, under the " +
			rules.OverflowLeast.FormatThin(r.in.Units) + " that " + rules.Name + " asks for"
	case mostIn == 0:
		return Unknown, "is under no limit of " + rules.Name
	case b.DsIn > mostIn-doubtIn && doubtIn > 0, b.DsIn < leastIn+doubtIn && doubtIn > 0 && leastIn > 0:
		return TooClose, "is too close to its limits to call"
	}
	return Meets, "protects"
}

// primaryInletIn is where the lowest outlet of a bay takes water.
func (s *sheets) primaryInletIn(low int) float64 {
	if s.r.in.Site.Outlets[low].State == survey.Blocked {
		return math.Inf(-1)
	}
	return s.inletIn(low)
}
