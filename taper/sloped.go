package taper

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// boardSlopes are the slopes that boards can be had in, in/ft, rising; empty:
// any slope can be made.
type boardSlopes []float64

// slopesOf gives the slopes of the tapered boards of a stock, to-order ones
// included. No stock, or one without tapered boards, sets no limit.
func slopesOf(stock *survey.Stock) boardSlopes {
	var out boardSlopes
	if stock == nil {
		return nil
	}
	for _, b := range stock.Tapered {
		out = append(out, b.Slope.InchesPerFoot())
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// SlopesIn gives the slopes of the tapered boards of a stock, rising.
func SlopesIn(stock *survey.Stock) []unit.Slope {
	var out []unit.Slope
	for _, s := range slopesOf(stock) {
		out = append(out, unit.InchesPerFoot(s))
	}
	return out
}

// sameSlopeInPerFt is rounding of a slope: 1e-9 in/ft is a millionth of an
// inch over a thousand feet.
const sameSlopeInPerFt = 1e-9

// least is the least slope to be had that reaches needInPerFt; none is needed
// where that is not above 0.
func (b boardSlopes) least(needInPerFt float64, sys unit.System) (float64, error) {
	if needInPerFt <= sameSlopeInPerFt {
		return 0, nil
	}
	if len(b) == 0 {
		return needInPerFt, nil
	}
	for _, s := range b {
		if s >= needInPerFt-sameSlopeInPerFt {
			return s, nil
		}
	}
	return 0, fmt.Errorf("the deck needs boards of %s and the steepest in stock is %s; "+
		"add a steeper board to the stock or build a smaller slope",
		slopeText(needInPerFt, sys), slopeText(b[len(b)-1], sys))
}

// next is the slope above s; false where there is none steeper.
func (b boardSlopes) next(s float64) (float64, bool) {
	for _, t := range b {
		if t > s+sameSlopeInPerFt {
			return t, true
		}
	}
	return 0, false
}

// slopeText prints a slope for people; unset units are US.
func slopeText(inPerFt float64, sys unit.System) string {
	if sys == unit.Metric {
		return unit.InchesPerFoot(inPerFt).Format(sys)
	}
	return fmt.Sprintf("%.4g in/ft", inPerFt)
}

// toward gives the planes of deck that lie ahead of a place in all of the given
// directions; all of them where none does, and where there is only one.
type toward func(ups ...geom.Pt) []survey.Plane

// deckGauge chooses the board slope of each building direction on a deck of one
// or more planes: away from the outlet the deck's own rise, the least of those
// that lie that way, is taken off what is wanted, so that the finished slope
// along the direction is at least in.Slope.
//
// Toward drains each quadrant's valley must then reach in.ValleyMin: the
// smaller of its two board slopes is raised through the stock until it does. A
// level deck is left as it is: its valley is the slope over the square root of
// 2 whatever the board. Notes say what was raised and what cannot be.
func deckGauge(in FieldInput, f geom.Frame, ahead toward) (gauge, []string, error) {
	stock, want := stackedSlopes(in.Stock), in.Slope.InchesPerFoot()
	var g gauge
	for _, d := range g.ways() {
		s, err := stock.least(want-leastRise(ahead(d.up), d.up), in.Units)
		if err != nil {
			return g, nil, err
		}
		*d.slope = s
	}
	steepest := 0.0
	for _, p := range ahead() {
		steepest = math.Max(steepest, p.Slope().InchesPerFoot())
	}
	if steepest == 0 {
		if in.Scheme == survey.EightWay {
			g.diag = g.plusX
		}
		return in.evened(g), roundedUp(g.plusX, want, in.Units), nil
	}
	if in.Scheme == survey.EightWay {
		return g, nil, fmt.Errorf("facets in eight directions are for level decks, and this one slopes %s; choose four-way",
			slopeText(steepest, in.Units))
	}
	notes := []string{fmt.Sprintf("the deck slopes %s: boards %s", slopeText(steepest, in.Units), g.text(in.Units, f))}
	if in.Scheme != survey.OneWay {
		notes = append(notes, g.raise(in, stock, f, ahead)...)
	}
	return in.evened(g), notes, nil
}

// leastRise is the least that the planes rise on one foot along up.
func leastRise(planes []survey.Plane, up geom.Pt) float64 {
	least := math.Inf(1)
	for _, p := range planes {
		least = math.Min(least, rise(p, up))
	}
	return least
}

// way is one building direction: its board slope, and the way uphill.
type way struct {
	slope *float64
	up    geom.Pt
}

// ways gives the directions counter-clockwise from the frame's +x.
func (g *gauge) ways() []way {
	return []way{{&g.plusX, geom.Pt{X: 1}}, {&g.plusY, geom.Pt{Y: 1}},
		{&g.minusX, geom.Pt{X: -1}}, {&g.minusY, geom.Pt{Y: -1}}}
}

// wayText is a direction of the frame on the sheet: "90 deg".
func wayText(d geom.Pt, f geom.Frame) string {
	d = f.DirToJob(d)
	return fmt.Sprintf("%g deg", math.Mod(math.Round(math.Atan2(d.Y, d.X)*1800/math.Pi)/10+360, 360))
}

// onTheSheet says how directions of a note are counted.
const onTheSheet = " (counter-clockwise from the sheet's right)"

// text names the four board slopes by the way uphill.
func (g gauge) text(sys unit.System, f geom.Frame) string {
	var parts []string
	for _, w := range g.ways() {
		parts = append(parts, fmt.Sprintf("%s uphill toward %s", slopeText(*w.slope, sys), wayText(w.up, f)))
	}
	return strings.Join(parts, ", ") + onTheSheet
}

// changes names the directions in which g is not what it was.
func (g gauge) changes(was gauge, sys unit.System, f geom.Frame) string {
	var parts []string
	before := was.ways()
	for i, w := range g.ways() {
		if b := before[i]; *w.slope != *b.slope {
			parts = append(parts, fmt.Sprintf("uphill toward %s from %s to %s", wayText(w.up, f),
				slopeText(*b.slope, sys), slopeText(*w.slope, sys)))
		}
	}
	return strings.Join(parts, ", ") + onTheSheet
}

func roundedUp(got, want float64, sys unit.System) []string {
	if got <= want+sameSlopeInPerFt {
		return nil
	}
	return []string{fmt.Sprintf("no board slopes %s; the next in stock, %s, is used", slopeText(want, sys), slopeText(got, sys))}
}

// quadrant is the board slopes of two neighbouring directions and what the planes
// of deck there rise along each, away from the outlet.
type quadrant struct {
	x, y *float64
	deck []geom.Pt
}

func (g *gauge) quadrants(ahead toward) []*quadrant {
	all := []*quadrant{{x: &g.plusX, y: &g.plusY}, {x: &g.minusX, y: &g.plusY}, {x: &g.plusX, y: &g.minusY}, {x: &g.minusX, y: &g.minusY}}
	for _, q := range all {
		x, y := geom.Pt{X: 1}, geom.Pt{Y: 1}
		if q.x == &g.minusX {
			x.X = -1
		}
		if q.y == &g.minusY {
			y.Y = -1
		}
		for _, p := range ahead(x, y) {
			q.deck = append(q.deck, geom.Pt{X: rise(p, x), Y: rise(p, y)})
		}
	}
	return all
}

// valleyInPerFt is the finished slope of the valley of boards sx and sy on a
// deck that rises gx and gy along the same directions, away from the outlet:
// the valley runs where sx dx = sy dy, along (sy, sx), and rises there by
// sx sy of board and gx sy + gy sx of deck. Two level directions have none.
//
// Check: TestValleyInPerFt_TwoPlanes.
func valleyInPerFt(sx, sy, gx, gy float64) (float64, bool) {
	l := math.Hypot(sx, sy)
	if l == 0 {
		return 0, false
	}
	return (sx*sy + gx*sy + gy*sx) / l, true
}

// valley is the flattest valley of the quadrant; false where it has none.
func (q *quadrant) valley() (float64, bool) {
	least, some := math.Inf(1), false
	for _, d := range q.deck {
		if v, ok := valleyInPerFt(*q.x, *q.y, d.X, d.Y); ok {
			least, some = math.Min(least, v), true
		}
	}
	return least, some
}

// raise steepens boards until each quadrant's valley reaches the minimum, as
// far as the stock goes.
func (g *gauge) raise(in FieldInput, stock boardSlopes, f geom.Frame, ahead toward) []string {
	least := in.ValleyMin.InchesPerFoot() - sameSlopeInPerFt
	before, flattest := *g, math.Inf(1)
	for again := true; again; {
		again = false
		for _, q := range g.quadrants(ahead) {
			v, some := q.valley()
			if some && v < least && q.steepen(least, stock) {
				flattest = math.Min(flattest, v)
				again = true
			}
		}
	}
	var notes []string
	if *g != before {
		notes = append(notes, fmt.Sprintf("boards raised %s: a valley sloped %s, under the %s that valleys need",
			g.changes(before, in.Units, f), slopeText(math.Max(0, flattest), in.Units),
			slopeText(in.ValleyMin.InchesPerFoot(), in.Units)))
	}
	for _, q := range g.quadrants(ahead) {
		if v, some := q.valley(); some && v < least {
			notes = append(notes, fmt.Sprintf("a valley slopes %s: no board in stock brings it to %s",
				slopeText(v, in.Units), slopeText(in.ValleyMin.InchesPerFoot(), in.Units)))
		}
	}
	return notes
}

// steepen raises the smaller board slope of q step by step until its valley
// reaches least; where the stock does not go that far, q is left unchanged.
// Each success raises a slope of a finite stock, so raising comes to an end.
func (q *quadrant) steepen(least float64, stock boardSlopes) bool {
	x, y := *q.x, *q.y
	for {
		smaller := q.x
		if *q.y < *q.x {
			smaller = q.y
		}
		s, ok := stock.next(*smaller)
		if !ok {
			*q.x, *q.y = x, y
			return false
		}
		*smaller = s
		if v, _ := q.valley(); v >= least {
			return true
		}
	}
}

// lineSlope is the board slope of the facet that rises from a line along the
// unit vector n: enough for the finished slope, and no less than the measure
// of n, so that thickness stays continuous where the line is hidden from view.
func (g gauge) lineSlope(in FieldInput, n geom.Pt, ahead toward) (float64, error) {
	need := math.Max(in.Slope.InchesPerFoot()-leastRise(ahead(n), n), g.riseIn(n))
	return stackedSlopes(in.Stock).least(need, in.Units)
}
