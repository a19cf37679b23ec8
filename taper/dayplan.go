package taper

import (
	"cmp"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// wholeRowShare is the share of a day up to which a row that does not fit into what
// is left of it waits for the next; a longer one is split at a joint. Common
// practice, no source.
const wholeRowShare = 0.25

// PlanDays gives every board the day on which it is laid, from 1, by what a crew
// opens and covers a day: outlet by outlet as the job names them, each from its
// lowest row up, crickets over them last. Boards under a row are laid with the first
// board over them, cover with the last under it. Cutting moves no joint, so that days
// are known before. Cost: boards x strips.
func PlanDays(s *survey.Site, facets []Facet, boards []Board, rate unit.Area) {
	var parts []strip
	day, usedSqft, rateSqft := 1, 0.0, rate.SquareFeet()
	for _, whole := range stripsOf(s, facets, boards) {
		for rest := whole; len(rest.pieces) > 0; {
			part := rest
			switch roomSqft := rateSqft*(1+1e-9) - usedSqft; {
			case rest.sqft <= roomSqft:
			case usedSqft > 0 && rest.sqft <= wholeRowShare*rateSqft:
				part.pieces = nil
			default:
				part = rest.upTo(boards, roomSqft, usedSqft == 0)
			}
			if len(part.pieces) > 0 {
				part.measure(boards)
				part.day = day
				parts = append(parts, part)
				usedSqft += part.sqft
			}
			if rest.pieces = rest.pieces[len(part.pieces):]; len(rest.pieces) > 0 {
				rest.measure(boards)
				day, usedSqft = day+1, 0
			}
		}
	}
	giveDays(boards, parts)
}

// strip is the part of the roof that boards of one row of a facet cover, with all that
// lies under and over them: a row, or what is laid of it in a day.
type strip struct {
	facet, row int
	cricket    bool
	pieces     []int // of its highest tapered layer, else of its fill; from left to right
	polys      []geom.Poly
	box        geom.Box // of polys
	sqft       float64  // of roof; a cricket lies over some that is counted
	day        int      // 0: not planned yet

	group int // by the outlet that its facet falls to
	lowIn float64
}

// stripsOf finds the strips of boards in laying order: a row each, or a row and day
// where days are planned.
func stripsOf(s *survey.Site, facets []Facet, boards []Board) []strip {
	at := map[[3]int]int{}
	var out []strip
	for n, b := range boards {
		if b.Facet == 0 || b.Type == CoverType {
			continue
		}
		k := [3]int{b.Facet, b.Row, b.Day}
		i, ok := at[k]
		if !ok {
			i = len(out)
			at[k] = i
			out = append(out, strip{facet: b.Facet, row: b.Row, day: b.Day})
		}
		st := &out[i]
		if len(st.pieces) > 0 {
			over := cmp.Or(cmp.Compare(b.Type, boards[st.pieces[0]].Type), cmp.Compare(b.Layer, boards[st.pieces[0]].Layer))
			if over < 0 {
				continue
			}
			if over > 0 {
				st.pieces = nil
			}
		}
		st.pieces = append(st.pieces, n)
	}
	groups := map[int]int{}
	for i := range out {
		st := &out[i]
		f := facetByID(facets, st.facet)
		if _, ok := groups[f.ID]; !ok {
			groups[f.ID] = outletOf(s, facets, f)
		}
		st.group, st.cricket = groups[f.ID], f.Role == CricketRole
		slices.SortStableFunc(st.pieces, func(a, b int) int { return boards[a].Seq - boards[b].Seq })
		st.measure(boards)
		st.lowIn = lowestIn(facets, f, st.polys)
	}
	slices.SortStableFunc(out, func(a, b strip) int {
		return cmp.Or(cmp.Compare(a.group, b.group), boolInt(a.cricket)-boolInt(b.cricket), coarseIn(a.lowIn, b.lowIn),
			cmp.Compare(a.facet, b.facet), cmp.Compare(a.row, b.row), cmp.Compare(a.day, b.day))
	})
	return out
}

// measure makes the plan of a strip's pieces its own.
func (st *strip) measure(boards []Board) {
	st.polys, st.sqft = nil, 0
	for _, n := range st.pieces {
		st.polys = append(st.polys, boards[n].Poly)
		if !st.cricket {
			st.sqft += boards[n].Poly.Area()
		}
	}
	st.box = boxOf(st.polys)
}

// upTo takes as many pieces of a strip as have room, one at least where they must.
func (st strip) upTo(boards []Board, roomSqft float64, must bool) strip {
	n := 0
	for n < len(st.pieces) {
		if roomSqft -= boards[st.pieces[n]].Poly.Area(); roomSqft < 0 && !(must && n == 0) {
			break
		}
		n++
	}
	st.pieces = st.pieces[:n]
	return st
}

// lowestIn is the lowest finished place of a facet's boards, on the plane of its deck.
func lowestIn(facets []Facet, f Facet, polys []geom.Poly) float64 {
	var under survey.Plane
	if f.Role == CricketRole {
		under = facetByID(facets, f.Under).Plane
	}
	lowIn := math.Inf(1)
	for _, p := range polys {
		for _, q := range p.Outer {
			lowIn = math.Min(lowIn, f.Deck.At(q)+under.At(q)+f.Plane.At(q))
		}
	}
	return lowIn
}

func facetByID(facets []Facet, id int) Facet {
	for _, f := range facets {
		if f.ID == id {
			return f
		}
	}
	return Facet{}
}

// outletOf is the primary outlet nearest to the lowest place of a facet; a
// cricket's is that of the facet it lies on.
func outletOf(s *survey.Site, facets []Facet, f Facet) int {
	if f.Role == CricketRole {
		f = facetByID(facets, f.Under)
	}
	low, lowIn := geom.Pt{}, math.Inf(1)
	for _, q := range f.Poly.Outer {
		if t := f.Plane.At(q); t < lowIn-sameIn {
			low, lowIn = q, t
		}
	}
	best, at := math.Inf(1), 0
	for n, o := range s.Outlets {
		if d := geom.SegDist(low, o.A, o.B); !o.Overflow && d < best-1e-6 {
			best, at = d, n
		}
	}
	return at
}

// giveDays tells the boards of strips their day, and then those under and over them.
func giveDays(boards []Board, parts []strip) {
	ofRow := map[NightRow][]strip{}
	var field []strip
	for _, p := range parts {
		for _, n := range p.pieces {
			boards[n].Day = p.day
		}
		ofRow[NightRow{Facet: p.facet, Row: p.row}] = append(ofRow[NightRow{Facet: p.facet, Row: p.row}], p)
		if !p.cricket {
			field = append(field, p)
		}
	}
	for i := range boards {
		b := &boards[i]
		if b.Day > 0 {
			continue
		}
		among, ok := ofRow[NightRow{Facet: b.Facet, Row: b.Row}]
		switch {
		case b.Type == CoverType:
			b.Day = lastDay(b.Poly, parts)
		case !ok:
			b.Day = firstDay(b.Poly, field)
		case len(among) == 1:
			b.Day = among[0].day
		default:
			b.Day = cmp.Or(firstDay(b.Poly, among), among[0].day)
		}
	}
}

// firstDay is the day of the first strip over a board; strips stand in laying order.
func firstDay(b geom.Poly, strips []strip) int {
	for _, st := range strips {
		if touches(b, st) {
			return st.day
		}
	}
	return 0
}

// lastDay is the day of the last strip under a board.
func lastDay(b geom.Poly, strips []strip) int {
	for _, st := range slices.Backward(strips) {
		if touches(b, st) {
			return st.day
		}
	}
	return 0
}

// touches says whether a board shares roof with a strip.
func touches(b geom.Poly, st strip) bool {
	box := b.Outer.Box()
	if !box.Overlaps(st.box) {
		return false
	}
	for _, q := range st.polys {
		if box.Overlaps(q.Outer.Box()) && sharedSqft(b, q) > 1e-6 {
			return true
		}
	}
	return false
}
