package taper

import (
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
	"runnel/taper/internal/lower"
)

// LaidRow is a row of boards that is down, in the frame.
type LaidRow struct {
	survey.LaidRow // as told; Outline in job feet
	Kind           BoardType
	Polys          []geom.Poly
	Plane          survey.Plane // its own thickness
	Board          markKey      // of the stock
	Sqft           float64
	box            geom.Box // of Polys
	// Differs is where it is not what the design has there; nil: it is.
	Differs *LaidDifference
}

// Name is how a person names the row: F1 row 3 of layer 2.
func (r LaidRow) Name() string {
	name := fmt.Sprintf("line %d of %s", r.Line, r.File)
	if r.Row > 0 {
		name = fmt.Sprintf("row %d", r.Row)
		if r.Facet != "" {
			name = r.Facet + " " + name
		}
	}
	return fmt.Sprintf("%s, layer %d", name, r.Layer)
}

// LaidDifference is how a row that is down differs from the design.
type LaidDifference struct {
	Has []string // marks that the design has there; none: nothing in that layer
	// Least and most by which the boards are thicker than those of the design in
	// their layer, and by which the finished top, of all layers, lies higher.
	LeastIn, MostIn       float64
	TopLeastIn, TopMostIn float64
	StepIn                float64  // greatest step of the finished top along its border
	Ponds                 []string // of the finished top, that stand on it or beside it
}

// SameTopIn is how far a finished top lies off before it is told, and LaidStep the
// step in it that is: 1/8 in, the tolerance of a board's thickness (ASTM C1289 as
// quoted in Professional Roofing, April 2004).
const (
	SameTopIn = 0.01
	LaidStep  = unit.Inch / 8
)

// jointFt is a joint that is filled and not boarded: 1/2 in, common practice, no
// source. Outlines of rows may be off by as much along their border.
const jointFt = 0.5 / 12

// PlaceLaid puts the rows that are down into the frame of a site and finds their
// boards in the stock. The problems name each row that cannot lie there: of a mark
// that the stock lacks, off the roof, over a curb, over another row of its layer,
// with a hole below. Cost: pairs of rows of one layer, and of layers above one
// another, whose boxes meet.
func PlaceLaid(s *survey.Site, told []survey.LaidRow, stock *survey.Stock) ([]LaidRow, problem.List) {
	var bad problem.List
	var rows []LaidRow
	m := markingOf(stock)
	roof, err := roofParts(s)
	if err != nil {
		bad.Add(problem.Problem{Why: err.Error()})
		return nil, bad
	}
	for _, t := range told {
		r := LaidRow{LaidRow: t, Kind: typeNamed(t.Type)}
		for _, p := range t.Outline {
			q := p.Map(s.Frame.ToLocal)
			q.Outer = q.Outer.CCW()
			r.Polys, r.Sqft = append(r.Polys, q), r.Sqft+q.Area()
		}
		r.box = boxOf(r.Polys)
		if why, mend := r.board(stock, m, s); why != "" {
			bad.Add(r.blame("mark", t.Mark, why, mend))
			continue
		}
		if p, off := r.offRoof(s, roof); off {
			bad.Add(p)
		}
		rows = append(rows, r)
	}
	bad = append(bad, overlapping(rows)...)
	if bad = append(bad, hollow(rows)...); len(bad) > 0 {
		return nil, bad
	}
	if err := apart(rows); err != nil {
		bad.Add(problem.Problem{Why: err.Error()})
	}
	return rows, bad
}

// apart takes what an earlier row of the layer covers out of each row, so that
// nothing is counted twice where outlines are a little off.
func apart(rows []LaidRow) error {
	for i := range rows {
		for j := range i {
			a, b := &rows[j], &rows[i]
			if a.Layer != b.Layer || !a.box.Overlaps(b.box) || b.shared(a.Polys) <= leastPieceSqft {
				continue
			}
			var left []geom.Poly
			b.Sqft = 0
			for _, p := range b.Polys {
				parts, err := minus(p, a.Polys)
				if err != nil {
					return fmt.Errorf("part the rows of lines %d and %d of %s: %w", a.Line, b.Line, b.File, err)
				}
				for _, q := range parts {
					left, b.Sqft = append(left, q), b.Sqft+q.Area()
				}
			}
			b.Polys = left
		}
	}
	return nil
}

// boxOf is the box round regions.
func boxOf(ps []geom.Poly) geom.Box {
	var all []geom.Pt
	for _, p := range ps {
		all = append(all, p.Outer...)
	}
	return geom.BoxOf(all...)
}

// blame is a problem of the line that tells of the row.
func (r *LaidRow) blame(field, value, why, mend string) problem.Problem {
	return problem.Problem{File: r.File, Line: r.Line, Field: field, Value: value, Why: why, Mend: mend}
}

func typeNamed(word string) BoardType {
	for t := BaseType; t <= CoverType; t++ {
		if t.String() == word {
			return t
		}
	}
	return UnsetType
}

// stockBoard is a board of the stock as a row lays it.
type stockBoard struct {
	key         markKey
	thin, thick unit.Length
}

// boardsOf lists the boards of the stock of one type, a flat also turned.
func boardsOf(stock *survey.Stock, typ BoardType, m marking) []stockBoard {
	var out []stockBoard
	if typ == TaperedType || typ == CricketType {
		for _, b := range slices.Concat(stock.Tapered, stock.Strips) {
			out = append(out, stockBoard{markKey{TaperedType, m.tapered(b), b.Along, b.Depth}, b.Thin, b.Thick})
		}
		return out
	}
	flats, as := stock.Flats, BaseType
	if typ == CoverType {
		flats, as = stock.Covers, CoverType
	}
	for _, b := range flats {
		out = append(out, stockBoard{markKey{as, m.of(b.Thickness), b.Along, b.Depth}, b.Thickness, b.Thickness})
	}
	return out
}

// named are the boards of a type that have the mark of k and, where told, its size.
func named(stock *survey.Stock, k markKey, m marking) []stockBoard {
	return slices.DeleteFunc(boardsOf(stock, k.typ, m), func(b stockBoard) bool {
		return b.key.mark != k.mark || k.along > 0 && (otherSide(b.key.along, k.along) || otherSide(b.key.depth, k.depth))
	})
}

// otherSide says whether two sides of boards are not one; tables round them.
func otherSide(a, b unit.Length) bool { return math.Abs((a - b).Feet()) > 0.01 }

// marksOf lists the marks of boards, each once.
func marksOf(boards []stockBoard) string {
	var out []string
	for _, b := range boards {
		if !slices.Contains(out, b.key.mark) {
			out = append(out, b.key.mark)
		}
	}
	return listText(out)
}

// board finds the board of the row in the stock and the plane of its thickness.
func (r *LaidRow) board(stock *survey.Stock, m marking, s *survey.Site) (why, mend string) {
	found := named(stock, markKey{r.Kind, r.Mark, r.Along, r.Depth}, m)
	if len(found) == 0 {
		return fmt.Sprintf("the stock has no %s board of this mark%s", r.Kind, sizeText(r.Along, r.Depth)),
			"write one of " + marksOf(boardsOf(stock, r.Kind, m)) + ", or add the board to the stock"
	}
	b := found[0]
	r.Board = b.key
	slope := func(b stockBoard) float64 { return (b.thick - b.thin).Inches() / b.key.depth.Feet() }
	for _, other := range found {
		if math.Abs(slope(other)-slope(b)) > 1e-9 {
			return "the stock has boards of this mark with several slopes", "write the size of the board in a column stock_ft, such as 4x4"
		}
	}
	if !r.Tapered() {
		r.Plane = survey.Plane{CIn: b.thin.Inches()}
		return "", ""
	}
	rad := r.ThickDeg * math.Pi / 180
	up := squareUp(s.Frame.DirToLocal(geom.Pt{X: math.Cos(rad), Y: math.Sin(rad)}))
	lowFt, highFt := math.Inf(1), math.Inf(-1)
	for _, p := range r.Polys {
		for _, q := range p.Outer {
			lowFt, highFt = math.Min(lowFt, q.Dot(up)), math.Max(highFt, q.Dot(up))
		}
	}
	thin := b.thin
	if r.ThinEdge > 0 {
		thin = r.ThinEdge
	}
	r.Plane = survey.Plane{CIn: thin.Inches() - slope(b)*lowFt, GX: slope(b) * up.X, GY: slope(b) * up.Y}
	if most := thin.Inches() + slope(b)*(highFt-lowFt); thin < b.thin-unit.Inches(sameIn) || most > b.thick.Inches()+slope(b)*jointFt {
		return fmt.Sprintf("the row would be %s to %s thick over its %.2f ft from thin to thick edge, its board is not",
				m.rounded(thin), m.rounded(unit.Inches(most)), highFt-lowFt),
			"mend outline, thick_deg, thin_edge_in or mark; give each row a line of its own"
	}
	return "", ""
}

func sizeText(along, depth unit.Length) string {
	if along == 0 {
		return ""
	}
	return fmt.Sprintf(" and of %.2f x %.2f ft", along.Feet(), depth.Feet())
}

// borderFt is how long the border of a row is.
func (r *LaidRow) borderFt() float64 {
	sum := 0.0
	for _, p := range r.Polys {
		for _, ring := range p.Rings() {
			for i, a := range ring {
				sum += a.Dist(ring.At(i + 1))
			}
		}
	}
	return sum
}

// shared is what the row and regions have in common.
func (r *LaidRow) shared(with []geom.Poly) float64 {
	sum := 0.0
	for _, p := range r.Polys {
		box := p.Outer.Box()
		for _, q := range with {
			if box.Overlaps(q.Outer.Box()) {
				sum += sharedSqft(p, q)
			}
		}
	}
	return sum
}

// offRoof says where a row lies over a curb or off the roof.
func (r *LaidRow) offRoof(s *survey.Site, roof []geom.Poly) (problem.Problem, bool) {
	for n, c := range s.Curbs {
		ring := geom.Poly{Outer: c.CCW()}
		if sqft := r.shared([]geom.Poly{ring}); sqft > jointFt*(&LaidRow{Polys: []geom.Poly{ring}}).borderFt() {
			return r.blame("outline", "", fmt.Sprintf("the row lies over curb %s by %.2f sq ft", curbName(s, n), sqft),
				"mend the place of the curb in the job, or the outline of the row"), true
		}
	}
	if sqft := r.Sqft - r.shared(roof); sqft > jointFt*r.borderFt() {
		return r.blame("outline", "", fmt.Sprintf("%.2f sq ft of the row lie off the roof", sqft),
			"mend the outline of the area, or that of the row"), true
	}
	return problem.Problem{}, false
}

// overlapping blames rows that lie over one another in one layer.
func overlapping(rows []LaidRow) problem.List {
	var bad problem.List
	for i := range rows {
		for j := range i {
			a, b := &rows[j], &rows[i]
			if a.Layer != b.Layer || !a.box.Overlaps(b.box) {
				continue
			}
			if sqft := b.shared(a.Polys); sqft > jointFt*math.Min(a.borderFt(), b.borderFt()) {
				bad.Add(b.blame("outline", "", fmt.Sprintf("the row lies over that of line %d in the same layer, by %.2f sq ft", a.Line, sqft),
					"mend one of the outlines, or take one of the lines out"))
			}
		}
	}
	return bad
}

// hollow blames rows without what is under them.
func hollow(rows []LaidRow) problem.List {
	var bad problem.List
	for i := range rows {
		r := &rows[i]
		if r.Layer == 1 {
			continue
		}
		under := 0.0
		for j := range rows {
			if rows[j].Layer == r.Layer-1 && rows[j].box.Overlaps(r.box) {
				under += r.shared(rows[j].Polys)
			}
		}
		if sqft := r.Sqft - under; sqft > jointFt*r.borderFt() {
			bad.Add(r.blame("layer", fmt.Sprint(r.Layer), fmt.Sprintf("%.2f sq ft of the row have no row of layer %d under them", sqft, r.Layer-1),
				"copy the lines of the rows below too, or mend the layer"))
		}
	}
	return bad
}

// off takes the rows of the layer that are down out of what a laying covers, in
// the frame of the band; what is too narrow for a board is left as a joint. Cost:
// rows of the layer, and an overlay with those that meet the band.
func (l *layOut) off(at band, kind laying) ([]geom.Poly, error) {
	var out []geom.Poly
	for _, p := range at.parts {
		over := l.downOver(p, kind.layer, at.plan.face)
		if len(over) == 0 {
			out = append(out, p)
			continue
		}
		if kind.joints != nil { // those of the rows that are down, as designed
			*kind.joints = append(*kind.joints, jointsIn(l.spread(p, at.lowFt, kind))...)
		}
		left, err := minus(p, over)
		if err != nil {
			return nil, fmt.Errorf("take rows that are down out of layer %d: %w", kind.layer, err)
		}
		for _, q := range left {
			w, d := q.Outer.Box().Size()
			if q.Area() < jointFt*math.Max(w, d) {
				l.joints.add(kind, q.Map(at.plan.face.place))
				continue
			}
			out = append(out, snapTo(q, at.lowFt, at.highFt))
		}
	}
	return out, nil
}

// downOver are the rows of a layer that are down on a region, in the frame of a
// facet.
func (l *layOut) downOver(p geom.Poly, layer int, face facing) []geom.Poly {
	if len(l.down) == 0 {
		return nil
	}
	box := p.Map(face.place).Outer.Box()
	var over []geom.Poly
	for i := range l.down {
		r := &l.down[i]
		if r.Layer != layer || !box.Overlaps(r.box) {
			continue
		}
		for _, q := range r.Polys {
			if !box.Overlaps(q.Outer.Box()) {
				continue
			}
			if q = q.Map(face.local); sharedSqft(p, q) > leastPieceSqft {
				over = append(over, q)
			}
		}
	}
	return over
}

// jointSum is what of a layout is left as joints beside rows that are down.
type jointSum struct {
	sqft      map[int]float64 // by layer
	boardFeet float64         // cover apart
}

func (j *jointSum) add(kind laying, p geom.Poly) {
	if j.sqft == nil {
		j.sqft = map[int]float64{}
	}
	j.sqft[kind.layer] += p.Area()
	if kind.typ != CoverType {
		j.boardFeet += p.Area() * kind.plane.At(p.Centroid())
	}
}

// snapTo moves corners that stand within snapFt of the lines of a row onto them.
func snapTo(p geom.Poly, lowFt, highFt float64) geom.Poly {
	return tidy(p.Map(func(q geom.Pt) geom.Pt {
		for _, on := range []float64{lowFt, highFt} {
			if math.Abs(q.Y-on) < snapFt {
				q.Y = on
			}
		}
		return q
	}))
}

// minus is what regions leave of p.
func minus(p geom.Poly, over []geom.Poly) ([]geom.Poly, error) {
	var keep []geom.Pt
	for _, r := range p.Rings() {
		keep = append(keep, r...)
	}
	e := lower.Of([]lower.Piece{{Poly: p}}, keep)
	for _, q := range over {
		e.Put(q, survey.Plane{CIn: 1}, 1)
	}
	regions, _, err := e.Regions()
	var out []geom.Poly
	for _, r := range regions {
		if r.Tag.Kind == 0 {
			out = append(out, r.Poly)
		}
	}
	slices.SortStableFunc(out, func(a, b geom.Poly) int { return geom.Compare(a.Outer.Box().Min, b.Outer.Box().Min) })
	return out, err
}

// united is the region that pieces which share no area cover.
func united(pieces []geom.Poly) ([]geom.Poly, error) {
	var in []lower.Piece
	var keep []geom.Pt
	for _, p := range pieces {
		in = append(in, lower.Piece{Poly: p})
		for _, r := range p.Rings() {
			keep = append(keep, r...)
		}
	}
	regions, _, err := lower.Of(in, keep).Regions()
	var out []geom.Poly
	for _, r := range regions {
		out = append(out, r.Poly)
	}
	return out, err
}
