package taper

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/taper/internal/lower"
)

// Laid is what lies on a roof whose rest is planned.
type Laid struct {
	Rows  []LaidRow
	Whole *Design // of the whole roof, as if nothing were down
	// BoardFeet are those of the rows as they lie, DesignBoardFeet what the design
	// has in their places, cover apart.
	BoardFeet, DesignBoardFeet float64
	JointSqft                  float64 // of all layers, left as joints beside the rows
	OnHand                     []HandLine

	sqft   map[int]float64 // of the design under the rows, by layer
	joints jointSum
}

// Pieces sums those of the rows.
func (l *Laid) Pieces() int {
	sum := 0
	for _, r := range l.Rows {
		sum += r.Boards
	}
	return sum
}

// Differs counts the rows that are not what the design has there.
func (l *Laid) Differs() int {
	n := 0
	for _, r := range l.Rows {
		n += boolInt(r.Differs != nil)
	}
	return n
}

// HandLine is boards that lie on the roof.
type HandLine struct {
	survey.OnHand
	Board      markKey // of the stock
	Used, Over int     // of Boards: those that the rest takes, and those left over
}

// PlaceOnHand finds boards that lie on the roof in the stock. The problems name
// those that it lacks, and those that may be several of it.
func PlaceOnHand(told []survey.OnHand, stock *survey.Stock) ([]HandLine, problem.List) {
	m := markingOf(stock)
	var bad problem.List
	var out []HandLine
	for _, t := range told {
		types := []BoardType{typeNamed(t.Type)}
		if t.Type == "" {
			types = []BoardType{BaseType, TaperedType, CoverType}
		}
		var found, all []stockBoard
		for _, typ := range types {
			found = append(found, named(stock, markKey{typ, t.Mark, t.Along, t.Depth}, m)...)
			all = append(all, boardsOf(stock, typ, m)...)
		}
		blame := func(why, mend string) {
			bad.Add(problem.Problem{File: t.File, Line: t.Line, Field: "mark", Value: t.Mark, Why: why, Mend: mend})
		}
		switch {
		case len(found) == 0:
			blame("the stock has no board of this mark"+sizeText(t.Along, t.Depth), "write one of "+marksOf(all)+", or add the board to the stock")
		case slices.ContainsFunc(found, func(b stockBoard) bool { return b.key != found[0].key }):
			blame("the stock has several boards of this mark", "write type (base, tapered or cover) and stock_ft, such as 4x8, too")
		default:
			out = append(out, HandLine{OnHand: t, Board: found[0].key})
		}
	}
	return out, bad
}

// rest is the design with the boards that are still to be laid.
func (d *Design) rest(ctx context.Context, s *survey.Site, in MakeInput) (*Design, error) {
	c := in.Choice
	out := *d
	l := layOutOf(c, in.Stock)
	l.down = in.Laid
	boards, err := l.all(ctx, s, d.Facets)
	if err != nil {
		return nil, fmt.Errorf("lay out the rest of area %s: %w", s.Name, err)
	}
	if out.Boards, err = in.cut(ctx, s, d.Facets, boards); err != nil {
		return nil, err
	}
	out.Laid = &Laid{Rows: slices.Clone(in.Laid), Whole: d, OnHand: slices.Clone(in.OnHand), joints: l.joints}
	for _, sqft := range l.joints.sqft {
		out.Laid.JointSqft += sqft
	}
	out.Laid.compare(s)
	out.Counts, out.Totals = CountBoards(out.Boards)
	out.Totals.SolidBoardFeet = d.Totals.SolidBoardFeet - out.Laid.DesignBoardFeet - l.joints.boardFeet
	out.Orders = ordersBeside(out.Boards, out.Counts, in.Stock, c.LooseBoards, out.Laid.onHand())
	out.Laid.use(out.Orders)
	return &out, nil
}

// onHand sums the boards on the roof by board of the stock.
func (l *Laid) onHand() map[markKey]int {
	out := map[markKey]int{}
	for _, h := range l.OnHand {
		out[h.Board] += h.Boards
	}
	return out
}

// use says of the boards on the roof how many the orders take.
func (l *Laid) use(orders []Order) {
	left := map[markKey]int{}
	for _, o := range orders {
		left[boardKey(markKey{o.Type, o.Mark, o.Along, o.Depth})] += o.OnHand
	}
	for i := range l.OnHand {
		h := &l.OnHand[i]
		h.Used = min(h.Boards, left[h.Board])
		h.Over = h.Boards - h.Used
		left[h.Board] -= h.Used
	}
}

// compare holds every row against the boards that the whole design has in its layer.
func (l *Laid) compare(s *survey.Site) {
	l.sqft = map[int]float64{}
	grid := gridOf(l.Whole.Boards)
	for i := range l.Rows {
		r := &l.Rows[i]
		meet := r.against(l.Whole.Boards, grid)
		l.sqft[r.Layer] += meet.sqft
		l.DesignBoardFeet += meet.boardFeet
		if r.Kind != CoverType {
			for _, p := range r.Polys {
				l.BoardFeet += p.Area() * r.Plane.At(p.Centroid())
			}
		}
		r.Differs = meet.differs
	}
	raised := l.raised(grid)
	for i := range l.Rows {
		if r := &l.Rows[i]; r.Differs != nil {
			r.top(s, raised)
		}
	}
}

// meeting is what a row and the boards of the design in its layer have in common.
type meeting struct {
	sqft, boardFeet float64
	differs         *LaidDifference
}

// against compares a row with the boards in its layer. What shares less than a
// joint with it is a neighbour.
func (r *LaidRow) against(boards []Board, grid boardGrid) meeting {
	var m meeting
	d := LaidDifference{LeastIn: math.Inf(1), MostIn: math.Inf(-1)}
	other := false
	look := func(ring geom.Ring, plane survey.Plane) {
		for _, q := range ring {
			in := r.Plane.At(q) - plane.At(q)
			d.LeastIn, d.MostIn = math.Min(d.LeastIn, in), math.Max(d.MostIn, in)
		}
	}
	for _, p := range r.Polys {
		for _, part := range lower.Convex(p) {
			for _, n := range grid.over(part.Box()) {
				b := boards[n]
				if b.Layer != r.Layer {
					continue
				}
				for _, ring := range convexShares(part, b.Poly) {
					a := ring.Area()
					m.sqft += a
					if b.Type != CoverType {
						m.boardFeet += a * b.Plane.At(geom.Poly{Outer: ring}.Centroid())
					}
					if w, h := ring.Box().Size(); a < jointFt*math.Max(w, h) {
						continue
					}
					look(ring, b.Plane)
					other = other || b.Mark != r.Mark || boardKey(keyOf(b)).typ != r.Board.typ
					if !slices.Contains(d.Has, b.Mark) {
						d.Has = append(d.Has, b.Mark)
					}
				}
			}
		}
	}
	if r.Sqft-m.sqft > jointFt*r.borderFt() {
		other = true
		for _, p := range r.Polys {
			look(p.Outer, survey.Plane{})
		}
	}
	if other || math.Max(-d.LeastIn, d.MostIn) > SameTopIn {
		m.differs = &d
	}
	return m
}

// over lists the boards whose squares a box meets, each once.
func (g boardGrid) over(box geom.Box) []int {
	var out []int
	eachSquare(box, gridFt, func(i, j int) { out = append(out, g[[2]int{i, j}]...) })
	slices.Sort(out)
	return slices.Compact(out)
}

// convexShares is what a convex ring and a region have in common, in convex parts.
func convexShares(r geom.Ring, p geom.Poly) []geom.Ring {
	if !r.Box().Overlaps(p.Outer.Box()) {
		return nil
	}
	parts := []geom.Ring{p.Outer.CCW()}
	if !isConvex(p) {
		parts = lower.Convex(p)
	}
	var out []geom.Ring
	for _, s := range parts {
		if in := convexShare(r, s); in.Area() > leastPieceSqft/1000 {
			out = append(out, in)
		}
	}
	return out
}

// raised is by how much rows that differ raise the finished top at a place, inches.
func (l *Laid) raised(grid boardGrid) func(p geom.Pt) float64 {
	return func(p geom.Pt) float64 {
		sum := 0.0
		for i := range l.Rows {
			r := &l.Rows[i]
			if r.Differs == nil || !r.box.Has(p) || !slices.ContainsFunc(r.Polys, func(q geom.Poly) bool { return q.Has(p) }) {
				continue
			}
			sum += r.Plane.At(p)
			for _, n := range grid.at(l.Whole.Boards, p) {
				if b := l.Whole.Boards[n]; b.Layer == r.Layer {
					sum -= b.Plane.At(p)
					break
				}
			}
		}
		return sum
	}
}

// top finds what the row does to the finished top, at every foot of its border.
func (r *LaidRow) top(s *survey.Site, raised func(p geom.Pt) float64) {
	const asideFt = 1e-4
	d := r.Differs
	d.TopLeastIn, d.TopMostIn = math.Inf(1), math.Inf(-1)
	for _, p := range r.Polys {
		for _, ring := range p.LeftRings() {
			for i, a := range ring {
				b := ring.At(i + 1)
				n := geom.Pt{X: a.Y - b.Y, Y: b.X - a.X}.Mul(asideFt / a.Dist(b))
				steps := max(1, int(math.Ceil(a.Dist(b))))
				for j := range steps {
					q := a.Lerp(b, (float64(j)+0.5)/float64(steps))
					in, out := q.Add(n), q.Sub(n)
					if !p.Has(in) {
						continue
					}
					z := raised(in)
					d.TopLeastIn, d.TopMostIn = math.Min(d.TopLeastIn, z), math.Max(d.TopMostIn, z)
					if s.OnRoof(out) {
						d.StepIn = math.Max(d.StepIn, math.Abs(z-raised(out)))
					}
				}
			}
		}
	}
}

// AsLaid is a finished top of the design with the rows that are down as they lie.
// Cost: the cells of rows that differ x rows.
func (d *Design) AsLaid(top *survey.Surface) *survey.Surface {
	if d.Laid == nil || d.Laid.Differs() == 0 {
		return top
	}
	l := d.Laid
	raised := l.raised(gridOf(l.Whole.Boards))
	out := top.With(slices.Clone(top.ElevIn))
	for _, r := range l.Rows {
		if r.Differs == nil {
			continue
		}
		for _, p := range r.Polys {
			overCells(p, top.Lattice, func(k int, at geom.Pt) {
				if top.Roof[k] {
					out.ElevIn[k] = top.ElevIn[k] + raised(at)
				}
			})
		}
	}
	return out
}

// HoldWater says of a row that differs which ponds of the finished top lie on it or
// within reachFt of it.
func (l *Laid) HoldWater(ponds []drainage.Pond) {
	const reachFt = 2
	if l == nil {
		return
	}
	for i := range l.Rows {
		d := l.Rows[i].Differs
		if d == nil {
			continue
		}
		d.Ponds = nil
		for _, pond := range ponds {
			places := []geom.Pt{pond.Deepest, pond.Spill}
			for _, p := range pond.Outline {
				places = append(places, p.Outer...)
			}
			if slices.ContainsFunc(places, func(q geom.Pt) bool { return l.Rows[i].near(q, reachFt) }) {
				d.Ponds = append(d.Ponds, pond.ID)
			}
		}
	}
}

// near says whether a place lies on the row or within reach of it.
func (r *LaidRow) near(q geom.Pt, reachFt float64) bool {
	return slices.ContainsFunc(r.Polys, func(p geom.Poly) bool { return p.Has(q) || p.Dist(q) <= reachFt })
}

// moved is l shifted.
func (l *Laid) moved(by geom.Pt) *Laid {
	if l == nil {
		return nil
	}
	out := *l
	out.Whole, out.Rows = l.Whole.Moved(by), nil
	for _, r := range l.Rows {
		var polys []geom.Poly
		for _, p := range r.Polys {
			polys = append(polys, p.Map(by.Add))
		}
		r.Polys, r.box, r.Plane = polys, boxOf(polys), r.Plane.Add(survey.Plane{CIn: -r.Plane.GX*by.X - r.Plane.GY*by.Y})
		out.Rows = append(out.Rows, r)
	}
	return &out
}

// checkRest holds the laws of the rest: rows that are down, the boards still to lay
// and the joints between them cover each layer of the whole design once, every
// board has its mark and thickness in its place, and fits its board.
func (d *Design) checkRest() error {
	l := d.Laid
	all := map[int]float64{} // by layer
	for _, b := range l.Whole.Boards {
		all[b.Layer] += b.Poly.Area()
	}
	left := maps.Clone(all)
	grid := gridOf(l.Whole.Boards)
	var errs []error
	for _, b := range d.Boards {
		left[b.Layer] -= b.Poly.Area()
		p := somewhereIn(b.Poly)
		at := grid.at(l.Whole.Boards, p)
		n := slices.IndexFunc(at, func(n int) bool { return l.Whole.Boards[n].Layer == b.Layer })
		if n < 0 {
			errs = append(errs, fmt.Errorf("piece %s lies where the design has none", b.Piece))
		} else if w := l.Whole.Boards[at[n]]; w.Mark != b.Mark || math.Abs(w.Plane.At(p)-b.Plane.At(p)) > 1e-6 {
			errs = append(errs, fmt.Errorf("piece %s is %s where the design has %s", b.Piece, b.Mark, w.Mark))
		}
	}
	for _, layer := range slices.Sorted(maps.Keys(all)) {
		off := left[layer] - l.sqft[layer] - l.joints.sqft[layer]
		if math.Abs(off) > shareOff*math.Max(all[layer], 1) {
			errs = append(errs, fmt.Errorf("layer %d: rows that are down and the rest miss %.6f of %.6f sq ft", layer, off, all[layer]))
		}
	}
	return errors.Join(errors.Join(errs...), d.checkOverlap(), d.checkClear(), d.checkStock(), d.checkSums())
}

// checkClear holds the boards of the rest off the rows that are down.
func (d *Design) checkClear() error {
	var errs []error
	for layer := 1; ; layer++ {
		var polys []geom.Poly
		var names []string
		for _, b := range d.Boards {
			if b.Layer == layer {
				polys, names = append(polys, b.Poly), append(names, "piece "+b.Piece)
			}
		}
		boards := len(polys)
		if boards == 0 && layer > d.Laid.Whole.layers() {
			return errors.Join(errs...)
		}
		for i := range d.Laid.Rows {
			if r := &d.Laid.Rows[i]; r.Layer == layer {
				for _, p := range r.Polys {
					polys, names = append(polys, p), append(names, r.Name())
				}
			}
		}
		eachOverlap(polys, func(i, j int, sqft float64) {
			if min(i, j) < boards && max(i, j) >= boards {
				errs = append(errs, fmt.Errorf("%s and %s overlap by %.6f sq ft", names[i], names[j], sqft))
			}
		})
	}
}

func (d *Design) layers() int {
	most := 0
	for _, b := range d.Boards {
		most = max(most, b.Layer)
	}
	return most
}
