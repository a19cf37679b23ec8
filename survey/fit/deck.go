package fit

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// DeckInput is what tells where the deck is, beside the cores of the site.
type DeckInput struct {
	Kind    survey.SurfaceKind // what the shots stood on
	Scope   survey.Scope
	Units   unit.System // of the words
	SigmaIn float64     // one standard error of the existing surface at a place; see Surface.SigmaIn
	// Shot is the deck as shot at tear-off, on the cells of the existing surface;
	// nil: not shot. Where it is not Known the deck stays inferred.
	Shot *survey.Surface
}

// Deck says what new boards are laid on and where the deck is. existing is the
// surface that the shots describe.
//
// A survey of the deck is both base and deck. Of a membrane survey with cores,
// the deck is the membrane less the thickness of the cores (see coreThickness),
// and its SigmaIn holds the doubt of both; tear-off lays the boards on it,
// recover on the membrane. With tear-off and no core the base is a surface
// parallel to the membrane, at the membrane's elevations, and the deck is nil:
// not known. Deck shots take the place of the inferred deck as far as they
// reach, and tell thicknesses like cores for what is inferred beyond. Without a survey (no
// kind and no shots) existing is taken for both. Cost: O(cells).
func Deck(s *survey.Site, existing *survey.Surface, in DeckInput) (base, deck *survey.Surface, r DeckReport) {
	r.CoreReach = coreReach
	if in.Kind == survey.UnsetSurface && len(s.Shots) == 0 {
		r.Words = "LEVEL DECK ASSUMED, NOT SURVEYED"
		return existing, existing, r
	}
	if in.Kind == survey.Deck {
		r.Words, r.SigmaIn = "the deck as surveyed", in.SigmaIn
		if in.Shot != nil {
			r.Warnings = append(r.Warnings, "the shots stand on the deck, so those taken on the deck apart are not used")
		}
		r.tellSlope(existing, existing, coreSet{}, in)
		return existing, existing, r
	}
	cores := coresOn(s, existing)
	cores.addShot(existing, in.Shot)
	t, found := coreThickness(cores, in.Units)
	if found {
		deck, r.SigmaIn = t.below(s, existing, in.SigmaIn)
		r.Inferred, r.SlopeDoubt, r.CoreReach = true, t.slopeDoubt, t.reach
	}
	r.Words = t.deckWords(in.Scope, found)
	if in.Shot != nil && found {
		deck = r.replaced(deck, in)
	}
	r.tellSlope(existing, deck, cores, in)
	if in.Scope == survey.Recover || deck == nil {
		return existing, deck, r
	}
	return deck, deck, r
}

// deckWords says how the base was found. Every sheet prints them, and a deck
// that was not shot is called inferred there.
func (t thickness) deckWords(scope survey.Scope, found bool) string {
	switch {
	case scope == survey.Recover && found:
		return "the membrane as surveyed; deck inferred from " + t.words
	case scope == survey.Recover:
		return "the membrane as surveyed; no core tells where the deck is"
	case found:
		return "deck inferred: membrane less " + t.words
	}
	return "no core: the deck is inferred parallel to the membrane, its depth below is not known"
}

// below is the membrane less t, with the doubt of both at each cell, and that
// doubt at a middling place.
func (t thickness) below(s *survey.Site, existing *survey.Surface, sigmaIn float64) (*survey.Surface, float64) {
	elev, sigma := make([]float64, existing.Len()), make([]float64, existing.Len())
	for k, on := range existing.Roof {
		if !on {
			continue
		}
		p := existing.Centre(k%existing.NX, k/existing.NX)
		elev[k] = existing.ElevIn[k] - t.at(p, existing.ElevIn[k])
		own := sigmaIn
		if existing.SigmaIn != nil {
			own = existing.SigmaIn[k]
		}
		sigma[k] = math.Hypot(own, t.sigmaAt(p))
	}
	deck := existing.With(elev)
	deck.SigmaIn = sigma
	return deck, math.Hypot(sigmaIn, t.sigmaIn)
}

// replaced puts the deck as shot in the place of the inferred one, as far as
// the shots reach.
func (r *DeckReport) replaced(deck *survey.Surface, in DeckInput) *survey.Surface {
	out := deck.With(slices.Clone(deck.ElevIn))
	out.SigmaIn = slices.Clone(deck.SigmaIn)
	roof, told := 0, 0
	for k, on := range deck.Roof {
		if !on {
			continue
		}
		roof++
		if !in.Shot.IsKnown(k) {
			continue
		}
		told++
		out.ElevIn[k] = in.Shot.ElevIn[k]
		if in.Shot.SigmaIn != nil {
			out.SigmaIn[k] = in.Shot.SigmaIn[k]
		}
	}
	if told == 0 {
		return out
	}
	r.ShotPct = 100 * float64(told) / float64(roof)
	if told == roof {
		r.Inferred, r.SlopeDoubt = false, 0
		r.Words = "the deck as shot at tear-off"
		return out
	}
	r.Words = fmt.Sprintf("the deck as shot at tear-off over %.0f %% of the area; elsewhere %s", r.ShotPct, r.Words)
	return out
}

// thickness is that of the old roof: a plane over the frame, plus a share of
// the membrane's elevation, inches.
type thickness struct {
	plane   survey.Plane
	perInch float64
	lo, hi  float64 // it stays between these
	words   string  // how it was found

	cores      []geom.Pt
	reach      unit.Length // see coreReach
	sigmaIn    float64     // one standard error away from the cores
	slopeDoubt unit.Slope  // one standard error of its slope; 0: not told
}

// How well a core tells the old roof round it, and how well cores that nothing
// confirms tell it elsewhere: one standard error. Common practice, no source.
const (
	atCoreIn  = 0.25 // within coreNear of a core
	fewIn     = 0.5  // two cores, or three that a plane goes through
	oneCoreIn = 1.0
)

// How far a core speaks for the old roof: to coreNear without doubt of its own,
// to coreReach with a growing one; twice as far where another core confirms it.
// They are the usual spacing of shots and the widest, see mostSpacingFt. Common
// practice, no source.
const (
	coreNear  = 10 * unit.Foot
	coreReach = mostSpacingFt * unit.Foot
)

// sigmaAt is one standard error of the thickness at a place: that at a core up
// to coreNear, growing to that of the model at coreReach.
func (t thickness) sigmaAt(p geom.Pt) float64 {
	far := (nearestFt(t.cores, p) - coreNear.Feet()) / (coreReach - coreNear).Feet()
	return atCoreIn + (math.Max(atCoreIn, t.sigmaIn)-atCoreIn)*math.Max(0, math.Min(1, far))
}

// nearestFt is the distance to the nearest of some places, infinite without
// any.
func nearestFt(pts []geom.Pt, p geom.Pt) float64 {
	least := math.Inf(1)
	for _, q := range pts {
		least = math.Min(least, p.Dist(q))
	}
	return least
}

// at is the thickness at p under a membrane at zIn: within the range of the
// cores, widened by that range on either side, and never below nothing.
func (t thickness) at(p geom.Pt, zIn float64) float64 {
	return math.Max(t.lo, math.Min(t.hi, t.plane.At(p)+t.perInch*zIn))
}

// Cores agree when they do to a quarter inch, and tell a slope when the
// membrane rises at least an inch between them. Common practice, no source.
const (
	coreAgreeIn = 0.25
	coreRiseIn  = 1.0
	coreWidth   = 0.2 // cores within a strip this wide for its length tell no plane
)

// coreSet is cores that lie on a surface.
type coreSet struct {
	pts          []geom.Pt
	zIn, thickIn []float64 // of the membrane; membrane to deck
	one, many    string    // "core", "cores"
}

func coresOn(s *survey.Site, existing *survey.Surface) coreSet {
	c := coreSet{one: "core", many: "cores"}
	for _, core := range s.Cores {
		if z, ok := existing.Elevation(core.P); ok && core.ThicknessIn >= 0 {
			c.add(core.P, z, core.ThicknessIn)
		}
	}
	return c
}

func (c *coreSet) add(p geom.Pt, zIn, thickIn float64) {
	c.pts, c.zIn, c.thickIn = append(c.pts, p), append(c.zIn, zIn), append(c.thickIn, thickIn)
}

// coreThickness is the thickness of the old roof from cores, false where there
// is none:
//
//   - by the membrane's elevation, where the thickness follows it to a quarter
//     inch (or better than a plane does): cores as thick at the high end as at
//     the low one put the slope in the deck, cores that grow with the membrane
//     put it in the insulation;
//   - else the plane of least squares through three or more cores;
//   - else, of one, two or cores within a narrow strip, their mean.
//
// Its standard error is how far the cores miss it, with a core more than the
// model has unknowns; else what common practice allows.
func coreThickness(c coreSet, sys unit.System) (thickness, bool) {
	if len(c.pts) == 0 {
		return thickness{}, false
	}
	lo, hi := slices.Min(c.thickIn), slices.Max(c.thickIn)
	out := thickness{plane: survey.Plane{CIn: meanOf(c.thickIn)}, lo: math.Max(0, lo-(hi-lo)), hi: hi + (hi - lo)}
	how, miss, unknowns, spread2 := "taken alike everywhere", missOf(out, c), 1, 0.0
	plane, sp, err := leastSquares(c.pts, c.thickIn)
	planeMiss := math.Inf(1)
	if err == nil && sp.width2() >= coreWidth*coreWidth {
		out.plane = plane
		planeMiss = missOf(out, c)
		how, miss, unknowns, spread2 = "as a plane through the "+c.many, planeMiss, 3, sp.short2()
	}
	if byRise, ok := thicknessByRise(c.zIn, c.thickIn); ok {
		byRise.lo, byRise.hi = out.lo, out.hi
		if m := missOf(byRise, c); m <= coreAgreeIn || m <= planeMiss && !math.IsInf(planeMiss, 1) {
			out, how, miss, unknowns, spread2 = byRise, "following the membrane's rise", m, 2, farApart2(c.pts)
		}
	}
	out.cores, out.words = c.pts, c.words(how, miss, unknowns, sys)
	out.sigmaIn, out.reach = scatter(miss, len(c.pts), unknowns), coreReach
	if len(c.pts) > unknowns && miss <= coreAgreeIn {
		out.reach = 2 * coreReach
	}
	if spread2 > 0 {
		out.slopeDoubt = unit.InchesPerFoot(out.sigmaIn / math.Sqrt(float64(len(c.pts))*spread2))
	}
	return out, true
}

// farApart2 is the mean square of the distances of some places from their
// middle.
func farApart2(pts []geom.Pt) float64 {
	var middle geom.Pt
	for _, p := range pts {
		middle = middle.Add(p.Mul(1 / float64(len(pts))))
	}
	sum := 0.0
	for _, p := range pts {
		sum += p.Sub(middle).Dot(p.Sub(middle)) / float64(len(pts))
	}
	return sum
}

// scatter is one standard error of a thickness that n cores miss by missIn,
// root mean square.
func scatter(missIn float64, n, unknowns int) float64 {
	switch {
	case n == 1:
		return oneCoreIn
	case n <= unknowns:
		return fewIn
	}
	return math.Max(atCoreIn, missIn*math.Sqrt(float64(n)/float64(n-unknowns)))
}

func (c coreSet) words(how string, missIn float64, unknowns int, sys unit.System) string {
	lo, hi := slices.Min(c.thickIn), slices.Max(c.thickIn)
	text := func(in float64) string { return unit.Inches(in).FormatThin(sys) }
	if len(c.pts) == 1 {
		return fmt.Sprintf("the thickness of one %s, %s, taken alike everywhere (one standard error %s, common practice, no source)",
			c.one, text(lo), text(oneCoreIn))
	}
	agree := "they agree to " + text(missIn)
	switch {
	case len(c.pts) <= unknowns:
		agree = "no other " + c.one + " confirms it"
	case text(missIn) == text(0):
		agree = "they agree"
	}
	return fmt.Sprintf("the thickness of %d %s, %s to %s, %s (%s)", len(c.pts), c.many, text(lo), text(hi), how, agree)
}

// thicknessByRise is the straight line of thickness over elevation; false
// where the membrane hardly rises between the cores, or where the line would
// make the deck fall as the membrane rises.
func thicknessByRise(zIn, thickIn []float64) (thickness, bool) {
	mz, mt := meanOf(zIn), meanOf(thickIn)
	lo, hi, zz, zt := math.Inf(1), math.Inf(-1), 0.0, 0.0
	for i, z := range zIn {
		lo, hi = math.Min(lo, z), math.Max(hi, z)
		zz += (z - mz) * (z - mz)
		zt += (z - mz) * (thickIn[i] - mt)
	}
	if len(zIn) < 2 || hi-lo < coreRiseIn {
		return thickness{}, false
	}
	b := zt / zz
	if b < -0.25 || b > 1.25 {
		return thickness{}, false
	}
	return thickness{plane: survey.Plane{CIn: mt - b*mz}, perInch: b}, true
}

// missOf is the root mean square by which t misses the cores, inches.
func missOf(t thickness, c coreSet) float64 {
	sum := 0.0
	for i, p := range c.pts {
		d := t.at(p, c.zIn[i]) - c.thickIn[i]
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(c.pts)))
}

func meanOf(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x / float64(len(v))
	}
	return sum
}
