package taper

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper/internal/lower"
)

// CricketInput is what crickets are made from.
type CricketInput struct {
	Choice              survey.CricketChoice
	ValleyMin, FieldMin unit.Slope // of the rules
	Stock               *survey.Stock
	Units               unit.System // of notes; unset: US
	Without             []string    // names of crickets not to be laid
}

// stand is where a cricket stands: a line, the ways out at its ends, and where it
// has roof.
type stand struct {
	kind     CricketKind
	name     string
	a, b     geom.Pt
	lowA     bool // water leaves at a; else the cricket is highest there
	lowB     bool
	left     bool // looking from a to b
	right    bool
	high     geom.Pt              // along the edge on which it is highest; 0: square to the line
	roomFt   float64              // beyond a high end that water comes to along the curb; 0: it does not
	beyond   survey.Plane         // the finished top there
	own      *survey.CricketPlace // the designer's
	roof     geom.Poly
	quarters []quarter
}

// quarter is one facet of a cricket: from the way out e along the line to its
// highest place m, and the tip out from there.
type quarter struct {
	e, m, tip geom.Pt
	wedge     Wedge
	plane     survey.Plane // what it adds
	offFt     float64      // kept off the way out: a low edge that starts with a step would stand in it
	why       string       // it does not do
}

// shape is what a quarter covers.
func (q quarter) shape() geom.Poly {
	r := geom.Ring{q.e, q.m, q.tip}.CCW()
	if u := q.m.Sub(q.e).Mul(1 / q.m.Dist(q.e)); q.offFt > 0 {
		r = clipHalf(r, u, q.e.Dot(u)+q.offFt)
	}
	return geom.Poly{Outer: r}
}

// offOutletFt is how far a cricket without an edge strip is kept off an outlet: a
// foot, common practice without source.
const offOutletFt = 1.0

// CricketsOf lays crickets on a field: on its low lines between outlets and from
// the last outlet to the end of the line, and upslope of curbs too wide to do
// without; where the site has the designer's own, those instead. The field stays
// as it is: facets are a layer over it, each on one facet of the field, and none
// over another. Notes say what a cricket cannot do, and why. Cost: crickets x
// cells of the field.
func CricketsOf(s *survey.Site, field []Facet, low []LowLine, in CricketInput) ([]Facet, []Cricket, []string, error) {
	if in.Choice.None && !s.OwnCrickets {
		return nil, nil, nil, nil
	}
	stands := standsOn(s, field, low, in)
	var notes []string
	if s.OwnCrickets {
		own := ownStands(s)
		notes = ownNotes(s, own, stands, low)
		stands = own
	}
	stands = slices.DeleteFunc(stands, func(st stand) bool { return slices.Contains(in.Without, st.name) })
	for i := range stands {
		stands[i].roof = s.Poly()
		for _, n := range stands[i].shape(field, in) {
			if !slices.Contains(notes, n) { // a line has two ends
				notes = append(notes, n)
			}
		}
	}
	facets, crickets, err := layCrickets(field, stands)
	return facets, crickets, append(notes, cutNotes(stands, crickets, in.Units)...), err
}

// shape finds the quarters of a cricket on the field and says which of them do not
// do.
func (st *stand) shape(field []Facet, in CricketInput) []string {
	along := st.b.Sub(st.a)
	left := geom.Pt{X: -along.Y, Y: along.X}.Mul(1 / along.Norm())
	apex := st.a.Lerp(st.b, 0.5)
	switch {
	case !st.lowA:
		apex = st.a
	case !st.lowB:
		apex = st.b
	}
	var notes []string
	add := func(e, out geom.Pt) {
		q, ok := st.quarterOf(field, e, apex, out, in)
		if ok {
			st.quarters = append(st.quarters, q)
			if st.roomFt > 0 {
				st.quarters = append(st.quarters, q.brace(st, in))
			}
		}
		if q.why != "" {
			notes = append(notes, st.name+": "+q.why)
		}
	}
	for _, out := range []geom.Pt{left, left.Mul(-1)} {
		if out == left && !st.left || out != left && !st.right {
			continue
		}
		if st.lowA {
			add(st.a, out)
		}
		if st.lowB {
			add(st.b, out)
		}
	}
	if st.left && st.right && st.own == nil {
		st.dropSingles()
	}
	return notes
}

// dropSingles takes out quarters that have none on the other hand: water would
// stand against their high side, along the line.
func (st *stand) dropSingles() {
	hands := map[geom.Pt]int{}
	for _, q := range st.quarters {
		hands[q.e]++
	}
	st.quarters = slices.DeleteFunc(st.quarters, func(q quarter) bool { return hands[q.e] < 2 })
}

// quarterOf shapes one quarter; false where it cannot be laid.
func (st *stand) quarterOf(field []Facet, e, m, out geom.Pt, in CricketInput) (quarter, bool) {
	const besideFt = 0.02
	u := m.Sub(e).Mul(1 / m.Dist(e))
	under, ok := Facet{}, false
	for _, t := range []float64{0.5, 0.75, 0.9, 0.25, 0.1} { // a curb may stand on the line
		if under, ok = facetOver(field, e.Lerp(m, t).Add(out.Mul(besideFt))); ok {
			break
		}
	}
	if !ok {
		return quarter{why: "no field lies beside it"}, false
	}
	if _, _, two := pairOf(in.Stock, under.Plane.Slope().InchesPerFoot()); two {
		return quarter{why: "the field there is two tapered boards already: no cricket is laid on them"}, false
	}
	top := under.Top()
	lean := leanOf(st.high, u, out)
	if edge, ok := highEdge(under, m, u, out); ok && st.kind != CurbCricket && !(st.lowA && st.lowB) {
		lean = leanOf(edge, u, out)
	}
	f := WedgeFor{Lean: lean, Field: unit.InchesPerFoot(rise(top, out)), Along: unit.InchesPerFoot(rise(top, u)), ValleyMin: in.wantedValley(),
		TopMin: in.FieldMin, H: unit.Feet(e.Dist(m)), Board: in.Choice.Board,
		MostW: unit.Feet(st.room(under, m.Sub(u.Mul(besideFt)), out.Add(u.Mul(lean))))}
	q := quarter{e: e, m: m}
	q.wedge, q.why = WedgeOf(f, in.Stock.Tapered, in.Units)
	if st.own != nil {
		q.ownShape(st.own, f, in)
	}
	if q.wedge.W <= 0 || q.wedge.Board <= 0 {
		return q, false
	}
	w, h := q.wedge.W.Feet(), q.wedge.H.Feet()
	q.tip = m.Add(out.Add(u.Mul(lean)).Mul(w))
	h += lean * w
	up := u.Mul(w).Sub(out.Mul(h)).Mul(q.wedge.Board.InchesPerFoot() / math.Hypot(w, h))
	startIn := startsIn(in.Stock, q.wedge.Board)
	q.plane = planeAt(e, startIn, up.X, up.Y)
	if startIn > 0 && st.kind != CurbCricket {
		q.offFt = math.Min(offOutletFt, e.Dist(m)/4)
	}
	return q, true
}

// highEdge is the way out from m along the border of the facet that a quarter
// stands on, where it ends across the line: at a wall, a joint, a ridge of the
// designer's, or where the facet of the next wall begins.
func highEdge(under Facet, m, u, out geom.Pt) (geom.Pt, bool) {
	best, found := geom.Pt{}, false
	for _, r := range under.Poly.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			if geom.SegDist(m, a, b) > onBorderFt {
				continue
			}
			d := b.Sub(a).Mul(1 / a.Dist(b))
			if d.Dot(out) < 0 {
				d = d.Mul(-1)
			}
			if d.Dot(out) > math.Max(best.Dot(out), 1e-6) {
				best, found = d, true
			}
		}
	}
	return best, found
}

// brace is the facet beyond the high edge of a quarter, where water comes along the
// curb to it: it turns that water out round the tip. Its low edge starts so far off
// that the roof there falls along it as valleys must, as far as the curb has room.
func (q quarter) brace(st *stand, in CricketInput) quarter {
	onward := q.m.Sub(q.e).Mul(1 / q.m.Dist(q.e))
	var start geom.Pt
	for ft := widthStepFt(in.Units); ; ft += widthStepFt(in.Units) {
		at := math.Min(ft, st.roomFt+PastCurbFt)
		start = q.m.Add(onward.Mul(at))
		down := q.tip.Sub(start)
		if -rise(st.beyond, down) >= in.wantedValley().InchesPerFoot()*down.Norm() || at < ft {
			break
		}
	}
	out := q
	out.e = start
	low := q.tip.Sub(start)
	up := geom.Pt{X: -low.Y, Y: low.X}.Mul(q.wedge.Board.InchesPerFoot() / low.Norm())
	if up.Dot(q.m.Sub(start)) < 0 {
		up = up.Mul(-1)
	}
	out.plane = planeAt(start, q.plane.At(q.e), up.X, up.Y)
	return out
}

// leanOf is how far an edge on which a quarter is highest leans away from the way out, a foot out; walls
// that run nearly along the line count as square to it.
func leanOf(high, u, out geom.Pt) float64 {
	const mostLean = 3
	away := high.Dot(out)
	if math.Abs(away) < high.Norm()/(2*mostLean) || away == 0 {
		return 0
	}
	return math.Max(-mostLean, math.Min(mostLean, high.Dot(u)/away))
}

// ownShape shapes a quarter as the designer says.
func (q *quarter) ownShape(own *survey.CricketPlace, f WedgeFor, in CricketInput) {
	if own.Board > 0 {
		f.Board = own.Board
	}
	if own.Width > 0 {
		f.MostW = own.Width
		f.ValleyMin = unit.InchesPerFoot(math.Inf(1))
		q.wedge, _ = WedgeOf(f, in.Stock.Tapered, in.Units)
		q.wedge.W = own.Width
	} else {
		q.wedge, q.why = WedgeOf(f, in.Stock.Tapered, in.Units)
		return
	}
	q.wedge.Valley = unit.InchesPerFoot(math.Max(0, f.valley(own.Width.Feet())))
	q.why = q.wedge.board(f, in.Stock.Tapered, in.Units)
	if want := in.wantedValley(); q.why == "" && q.wedge.Valley.InchesPerFoot() < want.InchesPerFoot()-1e-9 {
		q.why = fmt.Sprintf("its valleys slope %s, under the %s wanted", q.wedge.Valley.Format(in.Units), want.Format(in.Units))
	}
}

// startsIn is what a cricket adds at its low edge: nothing where the stock has an
// edge strip of its slope, else the thinnest board.
func startsIn(stock *survey.Stock, board unit.Slope) float64 {
	thin := thinnest(stock, board)
	if _, ok := stripFor(stock, board, thin); ok || math.IsInf(thin.Inches(), 1) {
		return 0
	}
	return thin.Inches()
}

// thinnest is the thinnest edge of the boards of a slope; infinite without any.
func thinnest(stock *survey.Stock, slope unit.Slope) unit.Length {
	least := unit.Inches(math.Inf(1))
	for _, b := range stock.Tapered {
		if sameSlope(b.Slope, slope) {
			least = min(least, b.Thin)
		}
	}
	return least
}

// stripFor is the edge strip from nothing to a thickness, at a slope.
func stripFor(stock *survey.Stock, slope unit.Slope, thick unit.Length) (survey.TaperedBoard, bool) {
	for _, b := range stock.Strips {
		if sameSlope(b.Slope, slope) && math.Abs((b.Thick-thick).Inches()) < sameIn {
			return b, true
		}
	}
	return survey.TaperedBoard{}, false
}

// facetOver is the facet of the field at a place.
func facetOver(field []Facet, p geom.Pt) (Facet, bool) {
	for _, f := range field {
		if f.Role == FieldRole && f.Poly.Has(p) {
			return f, true
		}
	}
	return Facet{}, false
}

// room is how wide a quarter may get before it runs over another facet; 0: no limit,
// since one that runs into a wall only makes the water run along it.
func (st *stand) room(under Facet, from, v geom.Pt) float64 {
	ft := roofBeside(under, from, v)
	if st.roof.Dist(from.Add(v.Mul(ft))) < onTheWallFt {
		return 0
	}
	return ft
}

// onTheWallFt is how near a wall the end of a facet lies on it.
const onTheWallFt = 1e-4

// roofBeside is how far out a facet goes on from a place along v, which goes one
// foot out a unit, over curbs that stand in it.
func roofBeside(f Facet, from, v geom.Pt) float64 {
	var at []float64
	for _, r := range f.Poly.Rings() {
		for i, a := range r {
			e := r.At(i + 1).Sub(a)
			den := v.Cross(e)
			if den == 0 {
				continue
			}
			if t, on := a.Sub(from).Cross(e)/den, a.Sub(from).Cross(v)/den; t > onBorderFt && on >= -1e-12 && on <= 1+1e-12 {
				at = append(at, t)
			}
		}
	}
	best := 0.0
	for _, t := range at {
		if t > best && f.Poly.Has(from.Add(v.Mul(t-onBorderFt))) {
			best = t
		}
	}
	return best
}

// layCrickets puts the quarters over the field, the first one first.
func layCrickets(field []Facet, stands []stand) ([]Facet, []Cricket, error) {
	pieces, keep := fieldPieces(field)
	e := lower.Of(pieces, keep)
	var of []int // the stand of each quarter
	for n, st := range stands {
		for _, q := range st.quarters {
			kind := len(field) + len(of)
			of = append(of, n)
			e.PutOver(q.shape(), q.plane, kind, func(t lower.Tag) bool {
				return t.Kind < len(field) && field[t.Kind].Role == FieldRole
			})
		}
	}
	if len(of) == 0 {
		return nil, nil, nil
	}
	regions, _, err := e.Regions()
	if err != nil {
		return nil, nil, fmt.Errorf("lay crickets: %w", err)
	}
	regions = slices.DeleteFunc(regions, func(r lower.Region) bool { return r.Tag.Kind < len(field) })
	slices.SortStableFunc(regions, func(a, b lower.Region) int { return compareKeys(sortKeyOf(a), sortKeyOf(b)) })
	crickets, number := cricketsIn(stands)
	var facets []Facet
	for _, r := range regions {
		id := number[of[r.Tag.Kind-len(field)]]
		f := Facet{ID: len(field) + len(facets) + 1, Role: CricketRole, Poly: r.Poly, Plane: r.Plane,
			Deck: field[r.Tag.Part].Top(), Cricket: id, Under: field[r.Tag.Part].ID}
		facets = append(facets, f)
		crickets[id-1].measure(f)
	}
	return facets, crickets, nil
}

// cutNotes tells which of the designer's crickets do not lie as drawn: another, a
// curb or a wall takes of them.
func cutNotes(stands []stand, crickets []Cricket, sys unit.System) []string {
	const leastSqft = 1
	var out []string
	for _, st := range stands {
		drawn := 0.0
		for _, q := range st.quarters {
			drawn += q.shape().Area()
		}
		for _, c := range crickets {
			if st.own != nil && c.Name == st.name && c.Sqft < drawn-leastSqft {
				out = append(out, fmt.Sprintf("%s: %s of the %s drawn are laid; another cricket, a curb or a wall takes the rest",
					st.name, unit.SquareFeet(c.Sqft).Format(sys), unit.SquareFeet(drawn).Format(sys)))
			}
		}
	}
	return out
}

// fieldPieces gives the field's facets as pieces, numbered in both tags, and their
// corners.
func fieldPieces(field []Facet) ([]lower.Piece, []geom.Pt) {
	var pieces []lower.Piece
	var keep []geom.Pt
	for n, f := range field {
		for _, r := range f.Poly.Rings() {
			keep = append(keep, r...)
		}
		pieces = append(pieces, lower.Piece{Poly: f.Poly, Plane: f.Top(), Tag: lower.Tag{Kind: n, Part: n}})
	}
	return pieces, keep
}

// cricketsIn makes the crickets of the stands that have quarters, and gives the
// number of each stand.
func cricketsIn(stands []stand) ([]Cricket, map[int]int) {
	var out []Cricket
	number := map[int]int{}
	for n, st := range stands {
		if len(st.quarters) == 0 {
			continue
		}
		c := Cricket{ID: len(out) + 1, Kind: st.kind, Name: st.name, A: st.a, B: st.b, Apex: st.quarters[0].m,
			Valley: unit.InchesPerFoot(math.Inf(1)), Top: unit.InchesPerFoot(math.Inf(1))}
		for _, q := range st.quarters {
			c.W, c.Board = max(c.W, q.wedge.W), max(c.Board, q.wedge.Board)
			c.Valley, c.Top = min(c.Valley, q.wedge.Valley), min(c.Top, q.wedge.Top)
			c.Peak = max(c.Peak, unit.Inches(q.plane.At(q.m)))
		}
		out = append(out, c)
		number[n] = c.ID
	}
	return out, number
}

// measure adds a facet to its cricket.
func (c *Cricket) measure(f Facet) {
	sqft, mx, my := moments(f.Poly)
	c.Sqft += sqft
	c.CuFt += (f.Plane.CIn*sqft + f.Plane.GX*mx + f.Plane.GY*my) / 12
}
