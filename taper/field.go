package taper

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/lower"
	"runnel/taper/internal/sight"
)

// FieldInput is what the field of thickness is designed from.
type FieldInput struct {
	Scheme survey.Scheme
	Slope  unit.Slope   // finished slope along the building axes
	T0In   float64      // base and start: thickness at the sources
	Deck   survey.Plane // fitted plane that the boards stand on; level: zero slopes
	Doubt  unit.Slope   // one standard error of a slope of Deck along an axis; 0: exact
	// Decks are the planes of a deck that has several, a partition of the area;
	// with two or more they stand for Deck.
	Decks     []DeckPart
	Stock     *survey.Stock
	ValleyMin unit.Slope  // least finished slope of a valley on a sloped deck
	Units     unit.System // of notes and errors; unset: US
	// SumpFt is the side of the square sump round every drain, 0: none; its boards
	// slope SumpBoard. The field is lifted by what they fall below it.
	SumpFt    float64
	SumpBoard unit.Slope
	// EqualEdges raises the boards of the shorter ways, so that edges come out of
	// one height as far as the stock allows.
	EqualEdges bool
	Crickets   bool      // crickets will stand on level low lines
	Valleys    []OwnLine // low lines of the designer's, in the frame

	edges  gauge // what EqualEdges raises boards to
	narrow bool  // of several planes of deck those count that lie within 45 degrees of a direction
}

// mostCorners is how many vertices of outline and courts the field is designed
// for: sight lines between all pairs are tried.
const mostCorners = 1000

// mostPlaces is how many drains and scuppers of one area the field is designed
// for: each cuts the facets of all others.
const mostPlaces = 200

// Field is a field of thickness: its facets, a partition of the outline less
// courts and curbs; the lines where they meet; the level lines that it falls to;
// and what the report must say.
type Field struct {
	Facets []Facet
	Lines  []Line
	Low    []LowLine
	Notes  []string
}

// FieldOf designs the field of thickness of a site.
//
// The thickness of a place is in.T0In plus the shortest measure of a way to it
// from a source, where a straight stretch measures the greatest, over the four
// building directions, of board slope times component. Sources are the primary
// outlets, gutter and open edges, and low lines: of one-way the edges with
// primary scuppers, of two-way-crickets the lines through outlets. A source
// serves what it sees in straight lines inside the area, and re-entrant
// corners pass on what reaches them. Curbs only cut facets. So thickness is
// continuous, has no low place but the sources, and its contours run along the
// building axes. It stands on in.Deck within in.Doubt, see takenDeck; on a deck
// of several planes each source and corner has the measure that the planes ahead
// of it ask for, and facets end where the planes meet.
//
// Facets are numbered from 1 by their least thickness, then by area, then by
// place. Cost: sight lines, corners x (corners + sources) x walls; then pieces
// of view x cells. Measured in BenchmarkFieldOf.
func FieldOf(ctx context.Context, s *survey.Site, in FieldInput) (Field, error) {
	in.narrow = len(in.Decks) > 1
	f, err := fieldOf(ctx, s, in)
	if in.narrow && (err != nil || f.short(in)) { // boards run on over planes that they were not chosen for
		in.narrow = false
		f, err = fieldOf(ctx, s, in)
	}
	if err != nil || !in.EqualEdges {
		return f, err
	}
	in.edges = edgeGauge(f.Facets, in)
	f, err = fieldOf(ctx, s, in)
	f.Notes = append(f.Notes, edgeNote(s, f.Facets, in.Units))
	return f, err
}

// short says whether a facet finishes flatter than asked for, or a valley of a
// field toward places flatter than it must.
func (f Field) short(in FieldInput) bool {
	least, _ := finishedSlopes(f.Facets)
	for _, l := range f.Lines {
		if l.Kind == Valley && len(f.Low) == 0 && l.Slope.InchesPerFoot() < in.ValleyMin.InchesPerFoot()-sameSlopeInPerFt {
			return true
		}
	}
	return least < in.Slope.InchesPerFoot()-sameSlopeInPerFt
}

func fieldOf(ctx context.Context, s *survey.Site, in FieldInput) (Field, error) {
	if err := in.check(s); err != nil {
		return Field{}, err
	}
	in, notes := in.taken(s.Frame)
	m, w := newMeter(in, s.Frame), sight.New(s.Poly())
	if m.at(geom.Pt{}); m.err != nil {
		return Field{}, m.err
	}
	if in.Scheme == survey.CricketsOnly {
		return levelField(s, in, w)
	}
	g, err := groundOf(s, in, m, w)
	if err != nil {
		return Field{}, err
	}
	notes = append(notes, g.sumps(in, m)...)
	if !in.Crickets {
		g.notes = append(g.notes, levelNotes(g.low)...)
	}
	e := lower.New(s.Poly(), keptPlaces(s, g.sources))
	if err := layField(ctx, e, w, g.sources, m); err != nil {
		return Field{}, err
	}
	if m.err != nil {
		return Field{}, m.err
	}
	return fieldFrom(s, e, in, g.low, slices.Concat(notes, m.notes, g.notes))
}

// fieldFrom makes the field of an envelope.
func fieldFrom(s *survey.Site, e *lower.Envelope, in FieldInput, low []LowLine, notes []string) (Field, error) {
	for n, d := range in.Decks {
		e.Mark(d.Poly, n)
	}
	facets, creases, err := facetsOf(s, e, in)
	if err != nil {
		return Field{}, err
	}
	lines := linesOf(s, facets, creases)
	if !in.Crickets { // lines are looked at once they stand
		notes = append(notes, lineNotes(s, facets, lines, in.Units)...)
	}
	return Field{facets, lines, sloped(low, facets), notes}, nil
}

// levelField is a layer of one thickness over a deck that slopes by itself, and the
// low lines of that deck for crickets to stand on: those that it falls to from
// either hand, along the axis in which it falls more.
func levelField(s *survey.Site, in FieldInput, w *sight.Walls) (Field, error) {
	e := lower.New(s.Poly(), keptPlaces(s, nil))
	e.Put(s.Poly(), survey.Plane{CIn: in.T0In}, fieldKind)
	f, err := fieldFrom(s, e, in, nil, nil)
	if err != nil {
		return f, err
	}
	var places []survey.SiteOutlet
	for _, o := range s.Outlets {
		if isPlace(o, in.Scheme) {
			places = append(places, o)
		}
	}
	most := 0.0
	for _, u := range axisWays[1:3] {
		lines, _ := linesAlong(s, places, w, u.Mul(u.X+u.Y))
		var low []LowLine
		sum := 0.0
		for _, l := range sloped(lines, f.Facets) {
			if l.Left > 0 || l.Right > 0 {
				low = append(low, l)
				sum += (l.Left + l.Right).InchesPerFoot()
			}
		}
		if sum > most+sameSlopeInPerFt {
			most, f.Low = sum, low
		}
	}
	if f.Low == nil {
		f.Notes = append(f.Notes, "the deck falls toward no line of outlets: crickets have nowhere to stand")
	}
	return f, nil
}

// Of level fields: the kinds that regions of the envelope are laid for.
const (
	fieldKind = iota
	sumpKind
)

// check refuses what no field can be designed for.
func (in FieldInput) check(s *survey.Site) error {
	n, places := len(s.Outline), 0
	for _, c := range s.Courts {
		n += len(c)
	}
	for _, o := range s.Outlets {
		if isPlace(o, in.Scheme) {
			places++
		}
	}
	switch {
	case !slices.Contains([]survey.Scheme{survey.FourWay, survey.OneWay, survey.TwoWayCrickets, survey.CricketsOnly, survey.EightWay},
		in.Scheme):
		return fmt.Errorf("no field of taper for scheme %s; choose four-way, two-way-crickets or one-way", in.Scheme)
	case !(in.Slope.InchesPerFoot() > 0) || math.IsInf(in.Slope.InchesPerFoot(), 0):
		return fmt.Errorf("the finished slope of taper is %s; choose one above 0", slopeText(in.Slope.InchesPerFoot(), in.Units))
	case !(in.T0In >= 0) || math.IsInf(in.T0In, 0):
		return fmt.Errorf("the thickness at the outlets is %g in; it cannot be below 0", in.T0In)
	case n > mostCorners:
		return fmt.Errorf("area %s has %d corners in its outline and courts, more than the %d that "+
			"taper is designed for; leave out small steps and round corners off with fewer", s.Name, n, mostCorners)
	case places > mostPlaces:
		return fmt.Errorf("area %s has %d primary drains and scuppers, more than the %d that taper is "+
			"designed for; leave out those that will not serve or divide the area", s.Name, places, mostPlaces)
	}
	return nil
}

// keptPlaces are the places that facets keep to the last bit.
func keptPlaces(s *survey.Site, sources []source) []geom.Pt {
	var out []geom.Pt
	for _, r := range s.Poly().Rings() {
		out = append(out, r...)
	}
	for _, c := range s.Curbs {
		out = append(out, c...)
	}
	for _, src := range sources {
		out = append(out, src.a, src.b)
	}
	return out
}

// sumps lifts the sources that begin at a sump's rim, and says where the sump's
// boards are no steeper than the field.
func (g *ground) sumps(in FieldInput, m *meter) []string {
	some := slices.ContainsFunc(g.sources, func(s source) bool { return s.sump })
	if !some {
		return nil
	}
	board, half, flat := in.sumpInPerFt(), in.SumpFt/2, false
	lift := 0.0
	for _, s := range g.sources {
		if s.sump {
			most := m.at(s.a).most()
			lift = math.Max(lift, (board-most)*half)
			flat = flat || board <= most
		}
	}
	for i := range g.sources {
		g.sources[i].liftIn = lift
		g.sources[i].sump = g.sources[i].sump && lift > 0
	}
	if flat {
		return []string{fmt.Sprintf("sump boards of %s are no steeper than the field of some drains: no sump there",
			slopeText(board, in.Units))}
	}
	return nil
}

// sumpInPerFt is the slope of sump boards: 1/2 in/ft where none is stated, common
// practice without source.
func (in FieldInput) sumpInPerFt() float64 {
	if in.SumpBoard > 0 {
		return in.SumpBoard.InchesPerFoot()
	}
	return 0.5
}

// layField puts every source and corner into the envelope, the lowest first:
// on a tie the one nearer its source stays.
func layField(ctx context.Context, e *lower.Envelope, w *sight.Walls, sources []source, m *meter) error {
	turns, err := bends(ctx, w, sources, m.riseIn)
	if err != nil {
		return err
	}
	wide, t0In := len(m.in.Decks) > 1, m.in.T0In
	for _, s := range sources {
		if err := ctx.Err(); err != nil {
			return err
		}
		wide = wide || s.skew(m.at(s.a))
		if s.isLine() {
			layLine(e, w, s, t0In)
		} else {
			layFan(e, m.at(s.a).wedges(s.a, t0In+s.liftIn), w.Fan(s.a), fieldKind)
		}
		if err := e.Tidy(); err != nil {
			return err
		}
	}
	if err := laySumps(ctx, e, w, sources, m); err != nil {
		return err
	}
	slices.SortStableFunc(turns, func(a, b bend) int { return cmp.Compare(a.at, b.at) })
	for _, b := range turns {
		if err := ctx.Err(); err != nil {
			return err
		}
		q := b.corner.P
		for _, sec := range b.sectors(wide) {
			layFan(e, m.at(q).wedges(q, t0In+b.at), w.FanIn(q, sec.From, sec.WidthRad), fieldKind)
		}
		if err := e.Tidy(); err != nil {
			return err
		}
	}
	return nil
}

// laySumps puts the sumps into the envelope, round corners that stand in them
// too: where their boards come up to the field they end by themselves.
func laySumps(ctx context.Context, e *lower.Envelope, w *sight.Walls, sources []source, m *meter) error {
	g := evenGauge(m.in.sumpInPerFt())
	var drains []source
	liftIn := 0.0
	for _, s := range sources {
		if s.sump {
			liftIn, s.liftIn = s.liftIn, 0
			drains = append(drains, s)
			layFan(e, g.wedges(s.a, m.in.T0In), w.Fan(s.a), sumpKind)
		}
	}
	if len(drains) == 0 {
		return nil
	}
	turns, err := bends(ctx, w, drains, func(_, v geom.Pt) float64 { return g.riseIn(v) })
	for _, b := range turns {
		// A sump's boards lie under the field no farther than the side of its square.
		if b.at > g.most()*m.in.SumpFt+liftIn {
			continue
		}
		for _, sec := range b.sectors(false) {
			layFan(e, g.wedges(b.corner.P, m.in.T0In+b.at), w.FanIn(b.corner.P, sec.From, sec.WidthRad), sumpKind)
		}
	}
	return err
}

// layLine puts the facet of a line into the envelope.
func layLine(e *lower.Envelope, w *sight.Walls, s source, t0In float64) {
	rise := s.n.Mul(s.slopeInPer)
	for _, piece := range w.Sweep(s.a, s.b, s.n) {
		e.Lower(piece, planeAt(s.a, t0In+s.liftIn, rise.X, rise.Y))
	}
}

// layFan puts planes round a place into the envelope, over what it sees.
func layFan(e *lower.Envelope, around []wedge, fan []geom.Ring, kind int) {
	for _, wd := range around {
		for _, piece := range fan {
			for _, c := range wd.cuts {
				piece = c.Of(piece)
			}
			e.LowerAs(piece, wd.plane, kind)
		}
	}
}

// facetsOf takes the curbs out of the envelope and unites it into facets; the
// partition is checked and refused where it does not hold.
func facetsOf(s *survey.Site, e *lower.Envelope, in FieldInput) ([]Facet, []lower.Crease, error) {
	all, bare := e.Sqft()
	if want := s.Poly().Area(); math.Abs(all-want) > 1e-6*want || bare > 1e-6*want {
		return nil, nil, fmt.Errorf("design facets of area %s: %.6g of %.6g sq ft cannot be reached from any outlet; "+
			"mend the outline where it pinches or touches itself", s.Name, bare+math.Abs(all-want), want)
	}
	for _, c := range s.Curbs {
		e.Drop(c.CCW())
	}
	roof, _ := e.Sqft()
	regions, creases, err := e.Regions()
	if err != nil {
		return nil, nil, fmt.Errorf("design facets of area %s: %w", s.Name, err)
	}
	sum := 0.0
	for _, r := range regions {
		sum += r.Poly.Area()
	}
	if math.Abs(sum-roof) > 1e-6*roof {
		return nil, nil, fmt.Errorf("design facets of area %s: facets cover %.9g of %.9g sq ft", s.Name, sum, roof)
	}
	return numbered(regions, creases, in)
}

// numbered turns regions into facets in their order and renumbers the creases.
func numbered(regions []lower.Region, creases []lower.Crease, in FieldInput) ([]Facet, []lower.Crease, error) {
	order := make([]int, len(regions))
	keys := make([][4]float64, len(regions))
	for i, r := range regions {
		order[i] = i
		keys[i] = sortKeyOf(r)
	}
	slices.SortStableFunc(order, func(i, j int) int { return compareKeys(keys[i], keys[j]) })
	facets := make([]Facet, len(regions))
	number := make([]int, len(regions))
	for n, i := range order {
		number[i] = n
		f := Facet{ID: n + 1, Role: FieldRole, Poly: regions[i].Poly, Plane: regions[i].Plane, Deck: in.Deck}
		if regions[i].Tag.Kind == sumpKind {
			f.Role = SumpRole
		}
		if len(in.Decks) > 1 {
			f.Deck = in.Decks[regions[i].Tag.Part].Plane
		}
		facets[n] = f
	}
	out := make([]lower.Crease, len(creases))
	for i, c := range creases {
		out[i] = lower.Crease{A: c.A, B: c.B, Left: number[c.Left], Right: -1}
		if c.Right >= 0 {
			out[i].Right = number[c.Right]
		}
	}
	return facets, out, nil
}

// sortKeyOf is what regions are numbered by, however they came about.
func sortKeyOf(r lower.Region) [4]float64 {
	c := r.Poly.Centroid()
	return [4]float64{leastIn(r), r.Poly.Area(), c.X, c.Y}
}

// compareKeys compares figure by figure; what differs by rounding is equal.
func compareKeys(a, b [4]float64) int {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-6*math.Max(1, math.Abs(a[i])) {
			return cmp.Compare(a[i], b[i])
		}
	}
	return 0
}

// leastIn is the least thickness over a region.
func leastIn(r lower.Region) float64 {
	least := math.Inf(1)
	for _, p := range r.Poly.Outer {
		least = math.Min(least, r.Plane.At(p))
	}
	return least
}
