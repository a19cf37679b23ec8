package taper

import (
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// SetOutTolerance is how far a rod may read from what is expected: 1/4 in at a
// place, common practice without source.
const SetOutTolerance = 0.25 * unit.Inch

// SetOutPlace is a place to chalk or to read a rod at.
type SetOutPlace struct {
	What string
	At   geom.Pt
	Tape []Tape // from the walls nearest to it
	// ThickIn is the insulation from the deck up, without cover; ElevIn the
	// finished top above job elevation zero, with it.
	ThickIn, ElevIn float64
}

// Tape is a distance from a wall, square to it.
type Tape struct {
	Edge int // of the outline
	Ft   float64
}

// parallelSin is the sine under which two walls count as parallel: 30 degrees.
const parallelSin = 0.5

// TapeFrom gives the distances of a place from the two walls of the outline that
// are nearest to it, square to them, and not parallel to each other. Only walls
// that a tape at right angles meets count; fewer than two where there are none.
func TapeFrom(s *survey.Site, p geom.Pt) []Tape {
	var out []Tape
	for range 2 {
		best := Tape{Edge: -1, Ft: math.Inf(1)}
		for n, e := range s.Edges {
			d := e.B.Sub(e.A)
			t := p.Sub(e.A).Dot(d) / d.Dot(d)
			if e.Kind == survey.LimitEdge || t < -1e-9 || t > 1+1e-9 {
				continue
			}
			if len(out) > 0 {
				f := s.Edges[out[0].Edge]
				g := f.B.Sub(f.A)
				if math.Abs(g.Cross(d)) < parallelSin*g.Norm()*d.Norm() {
					continue
				}
			}
			if ft := geom.SegDist(p, e.A, e.B); ft < best.Ft-1e-6 {
				best = Tape{n, ft}
			}
		}
		if best.Edge >= 0 {
			out = append(out, best)
		}
	}
	return out
}

// stationFt is how far apart the stations of an edge stand.
const stationFt = 10

// setOut lists the places of a crew: outlets, corners, stations along the edges,
// ends of ridges and hips, crickets, ends of rows; each place once, by its first
// name.
func setOut(in ForemanIn, rows []CrewRow) []SetOutPlace {
	var out []SetOutPlace
	seen := map[[2]int64]bool{}
	add := func(what string, p geom.Pt) {
		k := [2]int64{int64(math.Round(p.X * 1e4)), int64(math.Round(p.Y * 1e4))}
		thickIn, ok := ThicknessAt(in.Design.Facets, p)
		if seen[k] || !ok {
			return
		}
		seen[k] = true
		baseIn, _ := in.Base.Elevation(p)
		out = append(out, SetOutPlace{what, p, TapeFrom(in.Site, p), thickIn, baseIn + thickIn + in.Design.Cover.Inches()})
	}
	for _, o := range in.Site.Outlets {
		if o.Kind == survey.Drain || o.Kind == survey.Scupper {
			add(fmt.Sprintf("%s %s", o.Kind, o.ID), o.P)
		}
	}
	for n := range in.Site.Edges {
		add(fmt.Sprintf("vertex %d", n), vertex(in.Site.Edges, n))
	}
	for n, e := range in.Site.Edges {
		long, from, to := e.A.Dist(e.B), vertex(in.Site.Edges, n), vertex(in.Site.Edges, n+1)
		for k := 1; float64(k)*stationFt < long-1; k++ {
			add(fmt.Sprintf("edge %d, %d ft from vertex %d", n, k*stationFt, n), from.Lerp(to, float64(k)*stationFt/long))
		}
	}
	for _, l := range in.Design.Lines {
		if l.Kind != Valley {
			add("end of a "+l.Kind.String(), l.A)
			add("end of a "+l.Kind.String(), l.B)
		}
	}
	for _, c := range in.Design.Crickets {
		add("apex of the cricket "+c.Name, c.Apex)
		add("tip of the cricket "+c.Name, c.A)
		add("tip of the cricket "+c.Name, c.B)
	}
	for _, r := range rows {
		if r.Tapered {
			add(fmt.Sprintf("F%d row %d, start", r.Facet, r.Row), r.Start)
			add(fmt.Sprintf("F%d row %d, end", r.Facet, r.Row), r.End)
		}
	}
	return out
}

// MarkCount is how many boards of a mark are opened.
type MarkCount struct {
	Type         BoardType
	Mark         string
	Along, Depth unit.Length
	Boards       int
}

// vertex is where edge n starts as the job counts: the end that it shares with the
// edge before it. Sites have edges counter-clockwise, whichever way the job runs.
func vertex(edges []survey.SiteEdge, n int) geom.Pt {
	e, before := edges[n%len(edges)], edges[(n+len(edges)-1)%len(edges)]
	if e.A == before.A || e.A == before.B {
		return e.A
	}
	return e.B
}

// Lot is boards of one mark for one day, set down at one place.
type Lot struct {
	MarkCount
	Day int     // 0: no day plan
	At  geom.Pt // in the middle of their rows, on one of their boards
	Lb  float64
}

// lotsOf parts the order into lots, by day and in the order of the schedule. A
// board belongs to the day of the first piece laid of it.
func lotsOf(d *Design, rows []CrewRow) []Lot {
	type lotKey struct {
		day  int
		mark markKey
	}
	type laidPiece struct{ n, day int }
	var inDays []laidPiece
	for _, r := range rows {
		for _, n := range r.pieces {
			inDays = append(inDays, laidPiece{n, d.Boards[n].Day})
		}
	}
	slices.SortStableFunc(inDays, func(a, b laidPiece) int { return a.day - b.day })
	pieces, boards := map[lotKey][]int{}, map[lotKey]int{}
	opened := map[int]bool{}
	var keys []lotKey
	for _, p := range inDays {
		b := d.Boards[p.n]
		k := lotKey{p.day, keyOf(b)}
		if pieces[k] == nil {
			keys = append(keys, k)
		}
		pieces[k] = append(pieces[k], p.n)
		if !opened[b.Stock.No] {
			opened[b.Stock.No] = true
			boards[k]++
		}
	}
	slices.SortFunc(keys, func(a, b lotKey) int {
		if a.day != b.day {
			return a.day - b.day
		}
		return compareMarks(a.mark, b.mark)
	})
	var out []Lot
	for _, k := range keys {
		if boards[k] == 0 {
			continue // all from offcuts
		}
		m := k.mark
		first := d.Boards[pieces[k][0]]
		lb := float64(boards[k]) * unit.AreaOf(m.along, m.depth).SquareFeet() * drainage.BoardPsf((first.ThinIn+first.ThickIn)/2)
		out = append(out, Lot{MarkCount{m.typ, m.mark, m.along, m.depth, boards[k]}, k.day, middleOf(d.Boards, pieces[k]), lb})
	}
	return out
}

// middleOf is the middle of the piece that lies nearest to the middle of several.
func middleOf(boards []Board, pieces []int) geom.Pt {
	var sum geom.Pt
	sqft := 0.0
	for _, n := range pieces {
		a := boards[n].Poly.Area()
		sum, sqft = sum.Add(boards[n].Poly.Centroid().Mul(a)), sqft+a
	}
	mid := sum.Mul(1 / sqft)
	best, at := math.Inf(1), mid
	for _, n := range pieces {
		if c := boards[n].Poly.Centroid(); c.Dist(mid) < best-1e-6 {
			best, at = c.Dist(mid), c
		}
	}
	return at
}
