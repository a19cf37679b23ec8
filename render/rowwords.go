package render

import (
	"fmt"
	"math"
	"strings"

	"runnel/render/scene"
	"runnel/taper"
)

// rowWords labels each row with its number, mark and pieces: in the row, else beside
// the boards with a leader; where there is no room for that with its number alone and
// a line in the panel's table, which is all that rows too fine for words have. Rows that find no room at all are counted in
// s.wordless; not so guests, which another part shows better.
func (s *sheet) rowWords(rows []boardRow) {
	off := s.offBoards(rows)
	for _, r := range rows {
		r, seen := s.shownOf(r)
		if !seen {
			continue
		}
		if s.perRow(r) < leastRowIn {
			s.fifthRow(r)
			s.bare = append(s.bare, r)
			continue
		}
		spots := s.rowSpots(r)
		full := r.words()
		number := fmt.Sprintf("R%d", r.row)
		switch {
		case s.inRow(r, spots, []string{full}), s.inRow(r, spots, []string{fmt.Sprintf("%s  %d of", number, r.pieces), r.mark}),
			s.inRow(r, spots, append([]string{fmt.Sprintf("%s  %d of", number, r.pieces)}, split(r.mark)...)),
			r.guest && s.inRow(r, spots, []string{number}), r.guest, s.rowLeader(r, full, off, 0.5):
		case s.inRow(r, spots, []string{number}):
			s.bare = append(s.bare, r)
		case s.rowLeader(r, full, nil, 1.5):
		case s.rowLeader(r, number, nil, 1.5), s.rowLeader(r, number, nil, 4), s.crossLeader(r, number):
			s.bare = append(s.bare, r)
		default:
			s.wordless++
		}
	}
}

// leastRowIn is the depth on the sheet, in inches, of a row that holds a line of text.
const leastRowIn = 0.13

// fifthRow stands the number of every fifth row, and of the first, beside its start:
// so are rows told that are too fine for words, as those of a large base.
func (s *sheet) fifthRow(r boardRow) {
	if r.row != 1 && r.row%5 > 0 {
		return
	}
	b := r.boards[0]
	along := s.dir(b.Right())
	turn := readable(along)
	across := 1.0 // the words end at the row's start
	if sin, cos := math.Sincos(turn * math.Pi / 180); along.X*cos+along.Y*sin < 0 {
		across = 0
	}
	l := s.rowLines(r, fmt.Sprintf("R%d", r.row))
	l.ok = nil
	at := s.loc(r.corner).Add(s.dir(b.Uphill).Mul(s.perRow(r) / 2))
	s.place(l, []spot{{at.Sub(along.Mul(0.05)), across, 0.5, turn}, {at.Sub(along.Mul(0.2)), across, 0.5, turn}, {at.Add(along.Mul(0.05)), 1 - across, 0.5, turn}})
}

// shownOf is r with the pieces whose middle the sheet shows; false where there is none.
func (s *sheet) shownOf(r boardRow) (boardRow, bool) {
	all := r.boards
	r.boards = nil
	for _, b := range all {
		if s.inPlan(boxAt(s.loc(middle(b.Poly)), 0.05)) {
			r.boards = append(r.boards, b)
		}
	}
	return r, len(r.boards) > 0
}

// words is the label of a row: R3  9 of 1/2 to 1-1/2.
func (r boardRow) words() string { return fmt.Sprintf("R%d  %d of %s", r.row, r.pieces, r.mark) }

// inRow stands words on a row, at the first of the spots with room; of those only
// the row's own boards may lie under them.
func (s *sheet) inRow(r boardRow, spots []spot, ws []string) bool {
	_, ok := s.place(s.rowLines(r, ws...), spots)
	return ok
}

// rowLeader stands words where off allows, with a leader to the first piece of r that
// has one.
func (s *sheet) rowLeader(r boardRow, words string, off func(scene.Quad) bool, reach float64) bool {
	if r.facet > 0 {
		words = facetName(r.facet) + " " + words
	}
	l := s.rowLines(r, words)
	l.plate, l.ok = true, off
	for _, b := range r.boards[:min(len(r.boards), 4)] {
		if s.leader(l, s.loc(middle(b.Poly)), reach) {
			return true
		}
	}
	return false
}

// crossLeader stands the name of a row where there is room, with a leader that may
// run under other words.
func (s *sheet) crossLeader(r boardRow, words string) bool {
	if r.facet > 0 {
		words = facetName(r.facet) + " " + words
	}
	l := s.rowLines(r, words)
	l.plate, l.ok = true, nil
	c := s.loc(middle(r.boards[0].Poly))
	at, ok := s.place(l, rings(c, 0.2, 4))
	if ok {
		s.line("leader "+l.name, []scene.Pt{c, at}, scene.Pen{WidthPt: 0.5, Ink: scene.Black()})
	}
	return ok
}

// offBoards says whether a rectangle keeps off the boxes of all boards.
func (s *sheet) offBoards(rows []boardRow) func(scene.Quad) bool {
	room := scene.NewRoom(s.paper.w.Inches(), s.paper.h.Inches())
	for _, r := range rows {
		for _, b := range r.boards {
			room.Take(boxOf(s.path(b.Poly.Outer, s.loc), s.loc(b.Poly.Outer.Box().Centre())))
		}
	}
	return room.Free
}

// split breaks a mark into the two lines that a square board has room for.
func split(mark string) []string {
	thin, thick, ok := strings.Cut(mark, " to ")
	if !ok {
		return []string{mark}
	}
	return []string{thin + " to", thick}
}

// rowTurn is the turn of words along the row of b.
func (s *sheet) rowTurn(b taper.Board) float64 { return readable(s.dir(b.Right())) }

// turned is a reading turn a quarter on.
func turned(deg float64) float64 {
	if deg > 0 {
		return deg - 90
	}
	return deg + 90
}

func (s *sheet) rowLines(r boardRow, ws ...string) lines {
	return lines{name: fmt.Sprintf("row %d facet %d", r.row, r.facet), words: ws, ok: s.within(r.boards),
		text: scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Black(), Halo: true}}
}

// rowSpots are places along a row, from its middle outward, at half of its depth and
// then nearer to either edge; at last across it.
func (s *sheet) rowSpots(r boardRow) []spot {
	b := r.boards[len(r.boards)/2]
	up, right := b.Uphill, b.Right()
	lo, hi := math.Inf(1), math.Inf(-1)
	vLo, vHi := math.Inf(1), math.Inf(-1)
	for _, b := range r.boards {
		for _, p := range b.Poly.Outer {
			lo, hi = math.Min(lo, p.Dot(right)), math.Max(hi, p.Dot(right))
			vLo, vHi = math.Min(vLo, p.Dot(up)), math.Max(vHi, p.Dot(up))
		}
	}
	turn := s.rowTurn(b)
	var out []spot
	const most = 30
	step := math.Max(0.09/s.perFt, (hi-lo)/most)
	add := func(turn float64, shares ...float64) {
		for _, share := range shares {
			for k := range most {
				u := (lo+hi)/2 + float64((k+1)/2)*step*float64(1-2*(k%2))
				if u > lo && u < hi {
					out = append(out, spot{s.loc(right.Mul(u).Add(up.Mul(vLo + share*(vHi-vLo)))), 0.5, 0.5, turn})
				}
			}
		}
	}
	add(turn, 0.45, 0.65, 0.25)
	add(turned(turn), 0.5)
	return out
}

// placeNumbers stands each piece's place in its row in it, where there is room, but
// for those that have a circle.
func (s *sheet) placeNumbers(rows []boardRow, circled map[string]bool) {
	for _, r := range rows {
		for _, b := range r.boards {
			if circled[b.Piece] {
				continue
			}
			c := s.loc(middle(b.Poly))
			at := s.loc(b.Poly.Outer.Box().Centre())
			low := s.dir(b.Uphill.Mul(-0.25)).Mul(0.25 * b.Depth.Feet() * s.perFt)
			left := s.dir(b.Right().Mul(-1)).Mul(0.3 * b.Along.Feet() * s.perFt)
			spots := []spot{}
			for _, p := range []scene.Pt{at.Add(low).Add(left), at.Add(low), c, at.Add(left), at.Sub(low), c.Sub(low)} {
				spots = append(spots, spot{p, 0.5, 0.5, s.rowTurn(b)})
			}
			s.place(lines{name: boardName(b), words: []string{fmt.Sprint(b.Seq)}, ok: s.within([]taper.Board{b}),
				text: scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Grey(0.3), Halo: true}}, spots)
		}
	}
}
