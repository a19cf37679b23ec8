package taper

import (
	"context"
	"math"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// ForemanIn is what a crew's set is made from, all in the frame of Site.
type ForemanIn struct {
	Site   *survey.Site
	Design *Design
	Choice survey.Foreman
	Base   *survey.Surface // what the boards are laid on
	// Finished is the finished top, with the inlets in it; Before is the old roof,
	// with its own: nil, nothing is told of the water of an evening.
	Finished, Before     *survey.Surface
	FinishedIn, BeforeIn []float64
	Rules                drainage.Rules
	Limits               survey.PondLimits
}

// Foreman is what a crew lays by.
type Foreman struct {
	Rows   []CrewRow
	Days   []Day // empty: the job states no rate
	Places []SetOutPlace
	Lots   []Lot
}

// CrewRow is one row of boards of one mark on one layer.
type CrewRow struct {
	Layer, Facet, Row int // Facet 0: a base layer, in the building axes
	Type              BoardType
	Mark              string
	Under             []string // the marks below its start, bottom to top
	// Start and End are the ends of its thin edge, the edge that the row is begun
	// from; they are one place where a crease cuts the row to a point.
	Start, End geom.Pt
	Uphill     geom.Pt // toward the thick edge; across the row where boards are flat
	Tapered    bool
	Toward     int     // the edge of the outline that Uphill points at from the middle of the row; -1: none
	Boards     int     // pieces
	Cuts       []CutOf // of its pieces
	// StartIn and EndIn are the insulation finished, from the deck up, at Start and
	// End; ThickEdgeIn is that at the middle of the other edge.
	StartIn, EndIn, ThickEdgeIn float64
	Day                         int       // from 1, of the first piece; 0: no day plan
	Parts                       []DayPart // of a row that takes several days, along it
	// Outline is what the row covers; ThinEdgeIn its own boards along Start to End.
	Outline      []geom.Poly
	ThinEdgeIn   float64
	Along, Depth unit.Length // of its stock board

	pieces []int // of Design.Boards
}

// DayPart is what is laid of a row in a day: up to board To, counted along it.
type DayPart struct{ Day, To int }

// CutOf is a cut piece and the piece whose board it comes from; From is empty
// where a board is opened for it.
type CutOf struct{ Piece, From string }

// ForemanOf makes the crew's set: rows in laying order, the days in which they are
// laid as PlanDays put them, places to set out and what to set down where. Cost: rows x facets, and a
// fill of the roof for each day.
func ForemanOf(ctx context.Context, in ForemanIn) (*Foreman, error) {
	rows, err := crewRows(in)
	if err != nil {
		return nil, err
	}
	f := &Foreman{Rows: rows}
	if in.Choice.Rate > 0 {
		plan := planOf(in)
		if err := plan.evenings(ctx, in); err != nil {
			return nil, err
		}
		f.Days = plan.days
	}
	f.Places = setOut(in, f.Rows)
	f.Lots = lotsOf(in.Design, f.Rows)
	return f, nil
}

// rowOf is a row of boards of one mark in one layer.
type rowOf struct {
	regionKey
	typ  BoardType
	mark string
}

func (b *Board) ofRow() rowOf {
	return rowOf{regionKey{layer: b.Layer, facet: b.Facet, row: b.Row}, b.Type, b.Mark}
}

// crewRows groups the pieces of a design, in its order.
func crewRows(in ForemanIn) ([]CrewRow, error) {
	d := in.Design
	at := map[rowOf]int{}
	var rows []CrewRow
	for n, b := range d.Boards {
		k := b.ofRow()
		i, ok := at[k]
		if !ok {
			i = len(rows)
			at[k] = i
			rows = append(rows, CrewRow{Layer: b.Layer, Facet: b.Facet, Row: b.Row, Type: b.Type, Mark: b.Mark,
				Uphill: b.Uphill, Tapered: b.Type == TaperedType || b.Type == CricketType})
		}
		rows[i].pieces = append(rows[i].pieces, n)
		rows[i].Boards++
	}
	opened := openedBy(d.Boards)
	grid := gridOf(d.Boards)
	for i := range rows {
		if err := rows[i].measure(in, grid); err != nil {
			return nil, err
		}
		rows[i].plan(d.Boards)
		for _, n := range rows[i].pieces {
			if b := d.Boards[n]; b.Cut {
				c := CutOf{Piece: b.Piece}
				if first := opened[b.Stock.No]; first != b.Piece {
					c.From = first
				}
				rows[i].Cuts = append(rows[i].Cuts, c)
			}
		}
	}
	return rows, nil
}

// plan tells the days of the row, from its first board on.
func (r *CrewRow) plan(boards []Board) {
	var parts []DayPart
	for _, n := range r.pieces {
		b := boards[n]
		if k := len(parts) - 1; k >= 0 && parts[k].Day == b.Day {
			parts[k].To = b.Seq
		} else {
			parts = append(parts, DayPart{b.Day, b.Seq})
		}
	}
	r.Day = slices.MinFunc(parts, func(a, b DayPart) int { return a.Day - b.Day }).Day
	if len(parts) > 1 {
		r.Parts = parts
	}
}

// openedBy names the piece for which each stock board is opened: the first laid.
func openedBy(boards []Board) map[int]string {
	inOrder := slices.Clone(boards)
	slices.SortStableFunc(inOrder, cuttingOrder)
	out := map[int]string{}
	for _, b := range inOrder {
		if out[b.Stock.No] == "" {
			out[b.Stock.No] = b.Piece
		}
	}
	return out
}

// measure finds the ends of the row, what lies under it and how thick it ends.
func (r *CrewRow) measure(in ForemanIn, grid boardGrid) error {
	d := in.Design
	right := geom.Pt{X: r.Uphill.Y, Y: -r.Uphill.X}
	var corners []geom.Pt
	var pieces []geom.Poly
	for _, n := range r.pieces {
		pieces, corners = append(pieces, d.Boards[n].Poly), append(corners, d.Boards[n].Poly.Outer...)
	}
	r.Start, r.End = edgeEnds(corners, r.Uphill, right, -1)
	a, b := edgeEnds(corners, r.Uphill, right, 1)
	first := d.Boards[r.pieces[0]]
	corner, _ := edgeEnds(first.Poly.Outer, r.Uphill, right, -1)
	inside := corner.Lerp(first.Poly.Centroid(), 0.1) // its middle may lie over a joint
	r.Under = d.under(grid, inside, r.Layer)
	r.Along, r.Depth, r.ThinEdgeIn = first.Along, first.Depth, first.Plane.At(r.Start)
	r.StartIn, _ = ThicknessAt(d.Facets, r.Start)
	r.EndIn, _ = ThicknessAt(d.Facets, r.End)
	r.ThickEdgeIn, _ = ThicknessAt(d.Facets, a.Lerp(b, 0.5))
	r.Toward = -1
	if r.Tapered {
		r.Toward = edgeAhead(in.Site, d.Boards[r.pieces[len(r.pieces)/2]].Poly.Centroid(), r.Uphill)
	}
	var err error
	r.Outline, err = united(pieces)
	return err
}

// under lists the marks below a layer at a place, bottom to top, rows that are down
// among them.
func (d *Design) under(grid boardGrid, p geom.Pt, layer int) []string {
	marks := map[int]string{}
	for _, n := range grid.at(d.Boards, p) {
		marks[d.Boards[n].Layer] = d.Boards[n].Mark
	}
	if d.Laid != nil {
		for i := range d.Laid.Rows {
			if r := &d.Laid.Rows[i]; r.near(p, 0) {
				marks[r.Layer] = r.Mark
			}
		}
	}
	var out []string
	for n := 1; n < layer; n++ {
		if mark, ok := marks[n]; ok {
			out = append(out, mark)
		}
	}
	return out
}

// edgeEnds are the ends, left and right, of the lowest (way -1) or highest (1)
// edge of what has these corners.
func edgeEnds(corners []geom.Pt, up, right geom.Pt, way float64) (a, b geom.Pt) {
	const sameFt = 1e-6
	most := math.Inf(-1)
	for _, p := range corners {
		most = math.Max(most, way*p.Dot(up))
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range corners {
		if way*p.Dot(up) < most-sameFt {
			continue
		}
		if u := p.Dot(right); u < lo {
			lo, a = u, p
		}
		if u := p.Dot(right); u > hi {
			hi, b = u, p
		}
	}
	return a, b
}

// edgeAhead is the edge of the outline that is met first on the way from p; -1
// where none is.
func edgeAhead(s *survey.Site, p, way geom.Pt) int {
	best, at := math.Inf(1), -1
	for n, e := range s.Edges {
		d := e.B.Sub(e.A)
		across := way.Cross(d)
		if math.Abs(across) < 1e-9*d.Norm() {
			continue
		}
		t := e.A.Sub(p).Cross(d) / across
		u := e.A.Sub(p).Cross(way) / across
		if t > -1e-9 && u > -1e-9 && u < 1+1e-9 && t < best-1e-6 {
			best, at = t, n
		}
	}
	return at
}

// UnderText lists what lies under a row from the bottom up: 2.6 + 2.6 + 1; empty
// on the deck.
func (r CrewRow) UnderText() string { return strings.Join(r.Under, " + ") }

// boardGrid finds boards by their place.
type boardGrid map[[2]int][]int

const gridFt = 8

func gridCell(p geom.Pt) [2]int {
	return [2]int{int(math.Floor(p.X / gridFt)), int(math.Floor(p.Y / gridFt))}
}

func gridOf(boards []Board) boardGrid {
	g := boardGrid{}
	for n, b := range boards {
		eachSquare(b.Poly.Outer.Box(), gridFt, func(i, j int) { g[[2]int{i, j}] = append(g[[2]int{i, j}], n) })
	}
	return g
}

// at lists the boards that hold a place, the lowest layer first.
func (g boardGrid) at(boards []Board, p geom.Pt) []int {
	var out []int
	for _, n := range g[gridCell(p)] {
		if boards[n].Poly.Has(p) {
			out = append(out, n)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return boards[a].Layer - boards[b].Layer })
	return out
}
