package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/taper"
)

// rowWords labels the pieces and rows but for the words that say where to
// start, which startWords placed before; a row without room for words gets them
// beside it with a leader. Where rows are drawn less deep than a line of text,
// words would cover the rows beside them: then the tints alone speak. It gives
// the rows left without any label.
func (s *sheet) rowWords(rows []boardRow, labelled []bool) (left int) {
	if s.tooFine(rows) {
		return len(rows)
	}
	var bare []boardRow
	for k, r := range rows {
		switch {
		case labelled[k]: // the other pieces, where they have room
			for _, b := range r.boards {
				_ = s.pieceWords(b, false, true) || s.pieceWords(b, false, false)
			}
		case !s.oneRowWords(r):
			bare = append(bare, r)
		}
	}
	off := s.offBoards(rows)
	for _, r := range bare {
		if !s.rowLeader(r, r.words(), off) {
			left++
		}
	}
	return left
}

// tooFine says whether some rows are drawn less deep than a line of text.
func (s *sheet) tooFine(rows []boardRow) bool {
	return slices.ContainsFunc(rows, func(r boardRow) bool {
		return r.boards[0].Depth.Feet()*s.perFt < leastRowIn*(1-1e-9)
	})
}

// startWords says in the lowest row of each plane where to start, before other
// words take the room: in a piece with its mark and place, along the row, else
// beside it with a short leader. It gives which rows have their mark by that.
func (s *sheet) startWords(rows []boardRow) (labelled []bool) {
	labelled = make([]bool, len(rows))
	fine := s.tooFine(rows)
	for k, r := range rows {
		switch {
		case !r.start:
		case !fine && s.startInRow(r), !fine && s.startLeader(r, []string{"START", r.marks()}, 0.4):
			labelled[k] = true
		default:
			if _, ok := s.place(s.rowLines(r, "START"), s.rowSpots(r)); !ok {
				_ = s.startLeader(r, []string{"START"}, 0.6) || s.startLeader(r, []string{"START"}, 1.5)
			}
		}
	}
	return labelled
}

// startInRow stands START with the row's mark on the row.
func (s *sheet) startInRow(r boardRow) bool {
	for _, placed := range []bool{true, false} {
		for _, b := range r.boards {
			if s.pieceWords(b, true, placed) {
				return true
			}
		}
		if placed && s.rowLabel(r) {
			return true
		}
	}
	return false
}

// startLeader stands words within reach of the row with a leader from any of
// its pieces.
func (s *sheet) startLeader(r boardRow, words []string, reach float64) bool {
	l := s.rowLines(r, "")
	l.words, l.plate, l.ok = words, true, nil
	for _, b := range r.boards {
		if s.leader(l, s.loc(middle(b.Poly)), reach) {
			return true
		}
	}
	return false
}

// oneRowWords labels the pieces of r with mark, row and place; where no piece
// has room for all three the row as a whole, and else the pieces with their
// marks alone.
func (s *sheet) oneRowWords(r boardRow) (any bool) {
	r.start = false // said before
	bare := make([]bool, len(r.boards))
	for k, b := range r.boards {
		if s.pieceWords(b, false, true) {
			any = true
		} else {
			bare[k] = true
		}
	}
	if !any && s.rowLabel(r) {
		return true
	}
	for k, b := range r.boards {
		if bare[k] && s.pieceWords(b, false, false) {
			any = true
		}
	}
	return any
}

// leastRowIn is the depth on the sheet, in inches, of a row that holds a line
// of the least text.
const leastRowIn = 0.1

// rowLeader stands words off the boards, or else over some, with a leader to
// the first piece of r.
func (s *sheet) rowLeader(r boardRow, words string, off func(scene.Quad) bool) bool {
	l := s.rowLines(r, words)
	l.plate = true
	c := s.loc(middle(r.boards[0].Poly))
	for _, ok := range []func(scene.Quad) bool{off, nil} {
		if l.ok = ok; s.leader(l, c, 0.9) {
			return true
		}
	}
	return false
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

// words is the label of a row: START row 3: 1/2 to 1-1/2.
func (r boardRow) words() string {
	out := fmt.Sprintf("row %d: %s", r.row, r.marks())
	if r.start {
		out = "START " + out
	}
	return out
}

// marks lists the marks of a row, in the order of its pieces.
func (r boardRow) marks() string {
	var out []string
	for _, b := range r.boards {
		if !slices.Contains(out, b.Mark) {
			out = append(out, b.Mark)
		}
	}
	return strings.Join(out, ", ")
}

// split breaks a mark into the two lines that a square board has room for.
func split(mark string) []string {
	thin, thick, ok := strings.Cut(mark, " to ")
	if !ok {
		return []string{mark}
	}
	return []string{thin + " to", thick}
}

func wordStyle() scene.Text {
	return scene.Text{SizePt: scene.LeastTextPt, Ink: scene.Black()}
}

// pieceWays are the ways to label a piece, best first: with START or not, with
// row and place or the mark alone.
func pieceWays(b taper.Board, start, placed bool) [][]string {
	place := fmt.Sprintf("%d-%d", b.Row, b.Seq)
	ways := [][]string{{b.Mark, place}, append(split(b.Mark), place), {b.Mark + "  (" + place + ")"}}
	if !placed {
		ways = [][]string{{b.Mark}, split(b.Mark)}
	}
	if !start {
		return ways
	}
	for k := range ways {
		ways[k] = append([]string{"START"}, ways[k]...)
	}
	return ways
}

// pieceWords stands the words of pieceWays in a piece where they fit.
func (s *sheet) pieceWords(b taper.Board, start, placed bool) bool {
	box := boxOf(s.path(b.Poly.Outer, s.loc), s.loc(b.Poly.Outer.Box().Centre()))
	w, h := box[2].X-box[0].X, box[2].Y-box[0].Y
	high := scene.CapHeight(scene.LeastTextPt, false)
	if math.Min(w, h) < high || math.Max(w, h) < 2*high {
		return false
	}
	mid, c := s.loc(b.Poly.Outer.Box().Centre()), s.loc(middle(b.Poly))
	low := mid.Add(s.dir(b.Uphill.Mul(-1)).Mul(0.055)) // off the bar and its word
	turn := s.rowTurn(b)
	reach := math.Hypot(w, h)
	ok := s.within([]taper.Board{b})
	for _, deg := range []float64{turn, turned(turn)} {
		for _, ws := range pieceWays(b, start, placed) {
			if widest(ws) > reach || float64(len(ws))*high > reach {
				continue
			}
			l := lines{name: boardName(b), words: ws, text: wordStyle(), ok: ok}
			spots := []spot{{mid, 0.5, 0.5, deg}, {low, 0.5, 0.5, deg}, {c, 0.5, 0.5, deg}}
			if _, ok := s.place(l, spots); ok {
				return true
			}
		}
	}
	return false
}

func widest(ws []string) float64 {
	wide := 0.0
	for _, w := range ws {
		wide = math.Max(wide, scene.TextWidth(w, scene.LeastTextPt, false))
	}
	return wide
}

// rowTurn is the turn of words along the row of b.
func (s *sheet) rowTurn(b taper.Board) float64 {
	return readable(s.dir(geom.Pt{X: -b.Uphill.Y, Y: b.Uphill.X}))
}

// turned is a reading turn a quarter on.
func turned(deg float64) float64 {
	if deg > 0 {
		return deg - 90
	}
	return deg + 90
}

func (s *sheet) rowLines(r boardRow, words string) lines {
	style := wordStyle()
	style.Halo = true // it stands across the joints of the row
	return lines{name: fmt.Sprintf("row %d facet %d", r.row, r.facet), words: []string{words},
		text: style, ok: s.within(r.boards)}
}

// rowLabel stands row and marks along a row, on its lowest row with START.
func (s *sheet) rowLabel(r boardRow) bool {
	spots := s.rowSpots(r)
	word := fmt.Sprintf("%d: %s", r.row, r.marks())
	ways := []string{"row " + word, word, r.marks()}
	if r.start {
		ways = []string{"START row " + word, "START " + word}
	}
	for _, w := range ways {
		if _, ok := s.place(s.rowLines(r, w), spots); ok {
			return true
		}
	}
	return false
}

// rowSpots are places along the middle of a row, from its own middle outward.
func (s *sheet) rowSpots(r boardRow) []spot {
	b := r.boards[len(r.boards)/2]
	up := b.Uphill
	right := geom.Pt{X: up.Y, Y: -up.X}
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
	const most = 40
	step := math.Max(0.09/s.perFt, (hi-lo)/most)
	for k := range most {
		u := (lo+hi)/2 + float64((k+1)/2)*step*float64(1-2*(k%2))
		if u > lo && u < hi {
			p := right.Mul(u).Add(up.Mul((vLo + vHi) / 2))
			out = append(out, spot{s.loc(p), 0.5, 0.5, turn})
		}
	}
	return out
}
