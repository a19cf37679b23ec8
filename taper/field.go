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
	Scheme    survey.Scheme
	Slope     unit.Slope   // finished slope along the building axes
	T0In      float64      // base and start: thickness at the sources
	Deck      survey.Plane // fitted plane that the boards stand on; level: zero slopes
	Doubt     unit.Slope   // one standard error of a slope of Deck along an axis; 0: exact
	Stock     *survey.Stock
	ValleyMin unit.Slope  // least finished slope of a valley on a sloped deck
	Units     unit.System // of notes and errors; unset: US
}

// mostCorners is how many vertices of outline and courts the field is designed
// for: sight lines between all pairs are tried.
const mostCorners = 500

// mostPlaces is how many drains and scuppers of one area the field is designed
// for: each cuts the facets of all others.
const mostPlaces = 200

// FieldOf designs the field of thickness of a site: its facets, a partition of
// the outline less courts and curbs; the lines where they meet; and what the
// report must say.
//
// The thickness of a place is in.T0In plus the shortest measure of a way to it
// from a source, where a straight stretch measures the greatest, over the four
// building directions, of board slope times component. Sources are the primary
// outlets (one-way: edges with gutter, open or a primary scupper); a source
// serves what it sees in straight lines inside the area, and re-entrant
// corners pass on what reaches them. Curbs only cut facets. So thickness is
// continuous, has no low place but the sources, and its contours run along the
// building axes. It stands on in.Deck within in.Doubt, see takenDeck.
//
// Facets are numbered from 1 by their least thickness, then by area, then by
// place. Cost: sight lines, corners x (corners + sources) x walls; then pieces
// of view x cells. Measured in BenchmarkFieldOf.
func FieldOf(ctx context.Context, s *survey.Site, in FieldInput) ([]Facet, []Line, []string, error) {
	if err := in.check(s); err != nil {
		return nil, nil, nil, err
	}
	deck, notes := in.takenDeck(s.Frame)
	in.Deck = deck
	g, of, err := deckGauge(in, s.Frame)
	if err != nil {
		return nil, nil, nil, err
	}
	w := sight.New(s.Poly())
	sources, more, err := sourcesOf(s, in, g, w)
	if err != nil {
		return nil, nil, nil, err
	}
	e := lower.New(s.Poly(), keptPlaces(s, sources))
	if err := layField(ctx, e, w, sources, field{g, in.T0In}); err != nil {
		return nil, nil, nil, err
	}
	facets, creases, err := facetsOf(s, e)
	if err != nil {
		return nil, nil, nil, err
	}
	for i := range facets {
		facets[i].Deck = in.Deck
	}
	lines := linesOf(s, in, facets, creases)
	return facets, lines, slices.Concat(notes, of, more, lineNotes(s, facets, lines, in)), nil
}

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
	case in.Scheme != survey.FourWay && in.Scheme != survey.OneWay:
		return fmt.Errorf("no field of taper for scheme %s; choose four-way or one-way", in.Scheme)
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

// field is the measure of a field and its thickness at the sources.
type field struct {
	g    gauge
	t0In float64
}

// layField puts every source and corner into the envelope, the lowest first:
// on a tie the one nearer its source stays.
func layField(ctx context.Context, e *lower.Envelope, w *sight.Walls, sources []source, f field) error {
	turns, err := bends(ctx, w, sources, f.g.riseIn)
	if err != nil {
		return err
	}
	wide := false
	for _, s := range sources {
		if err := ctx.Err(); err != nil {
			return err
		}
		wide = wide || s.skew(f.g)
		if s.isLine() {
			f.layLine(e, w, s)
		} else {
			f.layFan(e, s.a, f.t0In, w.Fan(s.a))
		}
		if err := e.Tidy(); err != nil {
			return err
		}
	}
	slices.SortStableFunc(turns, func(a, b bend) int { return cmp.Compare(a.at, b.at) })
	for _, b := range turns {
		if err := ctx.Err(); err != nil {
			return err
		}
		for _, sec := range b.sectors(wide) {
			f.layFan(e, b.corner.P, f.t0In+b.at, w.FanIn(b.corner.P, sec.From, sec.WidthRad))
		}
		if err := e.Tidy(); err != nil {
			return err
		}
	}
	return nil
}

// layLine puts the facet of a line into the envelope.
func (f field) layLine(e *lower.Envelope, w *sight.Walls, s source) {
	rise := s.n.Mul(s.slopeInPer)
	for _, piece := range w.Sweep(s.a, s.b, s.n) {
		e.Lower(piece, planeAt(s.a, f.t0In, rise.X, rise.Y))
	}
}

// layFan puts the four planes round q into the envelope, over what it sees.
func (f field) layFan(e *lower.Envelope, q geom.Pt, startIn float64, fan []geom.Ring) {
	for _, wd := range f.g.wedges(q, startIn) {
		for _, piece := range fan {
			for _, c := range wd.cuts {
				piece = c.Of(piece)
			}
			e.Lower(piece, wd.plane)
		}
	}
}

// facetsOf takes the curbs out of the envelope and unites it into facets; the
// partition is checked and refused where it does not hold.
func facetsOf(s *survey.Site, e *lower.Envelope) ([]Facet, []lower.Crease, error) {
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
	return numbered(regions, creases)
}

// numbered turns regions into facets in their order and renumbers the creases.
func numbered(regions []lower.Region, creases []lower.Crease) ([]Facet, []lower.Crease, error) {
	order := make([]int, len(regions))
	keys := make([][4]float64, len(regions))
	for i, r := range regions {
		order[i] = i
		c := r.Poly.Centroid()
		keys[i] = [4]float64{leastIn(r), r.Poly.Area(), c.X, c.Y}
	}
	slices.SortStableFunc(order, func(i, j int) int { return compareKeys(keys[i], keys[j]) })
	facets := make([]Facet, len(regions))
	number := make([]int, len(regions))
	for n, i := range order {
		number[i] = n
		facets[n] = Facet{ID: n + 1, Role: FieldRole, Poly: regions[i].Poly, Plane: regions[i].Plane}
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
