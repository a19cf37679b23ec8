package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/render/scene"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// Of cut sheets: shapes a sheet, and sheets an area at most.
const (
	cutColumns, cutRows = 4, 3
	mostPieceSheets     = 4
)

// cutShape is one shape that pieces are cut to, as it lies in its stock board.
type cutShape struct {
	board  taper.Board // the first of them
	poly   geom.Poly   // u along the row, v from the thin edge, feet
	pieces []string
}

// CutSheets draws the shapes of area i's cut pieces in their stock boards, the most
// frequent first, with what a tape reads from the board's lower left corner to
// every place where a cut meets an edge: cuts, cuts-2, ..., after cuts the suffix
// of the area. Shapes that are one to 1/16 in are drawn once. An area without cut
// pieces has none. Cost: O(n log n) in pieces.
func CutSheets(r *Result, i int) []NamedScene {
	if r.Areas[i].Design == nil {
		return nil
	}
	shapes := cutShapes(r.Areas[i].Design, r.Areas[i].Site.Frame.Mirror)
	const each = cutColumns * cutRows
	sheets := min(mostPieceSheets, (len(shapes)+each-1)/each)
	var out []NamedScene
	for n := range sheets {
		name := "cuts" + Suffix(r, i)
		if n > 0 {
			name += fmt.Sprintf("-%d", n+1)
		}
		c := pieceSheet{say: say{r.Job.Units}, room: scene.NewRoom(11, 8.5)}
		c.head(r, i, fmt.Sprintf("Cut pieces in their boards, sheet %d of %d", n+1, sheets), len(shapes)-sheets*each)
		for k, x := range shapes[n*each : min(len(shapes), (n+1)*each)] {
			c.shape(x, k)
		}
		out = append(out, NamedScene{Name: name, Scene: scene.Scene{W: unit.Inches(11), H: unit.Inches(8.5), Marks: append(c.marks, c.top...)}})
	}
	return out
}

// cutShapes groups the cut pieces of a design by mark and shape, turned back where
// the frame is mirrored.
func cutShapes(d *taper.Design, mirror bool) []cutShape {
	byKey := map[string]*cutShape{}
	var keys []string
	for _, b := range d.Boards {
		if !b.Cut {
			continue
		}
		p := b.InStock()
		if w := b.Along.Feet(); mirror {
			p = p.Map(func(q geom.Pt) geom.Pt { return geom.Pt{X: w - q.X, Y: q.Y} })
		}
		k := fmt.Sprintf("%s %s %.3f %.3f", b.Type, b.Mark, b.Along.Inches(), b.Depth.Inches())
		for _, ring := range p.Rings() {
			k += shapeKey(ring)
		}
		if byKey[k] == nil {
			byKey[k] = &cutShape{board: b, poly: p}
			keys = append(keys, k)
		}
		byKey[k].pieces = append(byKey[k].pieces, b.Piece)
	}
	out := make([]cutShape, len(keys))
	for i, k := range keys {
		out[i] = *byKey[k]
	}
	slices.SortStableFunc(out, func(a, b cutShape) int { return cmp.Compare(len(b.pieces), len(a.pieces)) })
	return out
}

// shapeKey is a ring to 1/16 in, from its lowest leftmost corner on.
func shapeKey(r geom.Ring) string {
	const sixteenths = 12 * 16
	first := 0
	for i, p := range r {
		if geom.Compare(p, r[first]) < 0 {
			first = i
		}
	}
	var b strings.Builder
	for i := range r {
		p := r.At(first + i)
		fmt.Fprintf(&b, " %d,%d", int(math.Round(p.X*sixteenths)), int(math.Round(p.Y*sixteenths)))
	}
	return b.String() + ";"
}

// pieceSheet is one sheet of shapes in the making.
type pieceSheet struct {
	say        say
	room       *scene.Room
	marks, top []scene.Mark
}

func (c *pieceSheet) words(name, text string, at scene.Pt, sizePt float64, bold bool) {
	t := scene.Text{Name: name, Words: scene.Printable(text), At: at, SizePt: sizePt, Bold: bold, Ink: scene.Black()}
	c.top = append(c.top, t)
	c.room.Take(t.Box())
}

// head is the title of a sheet and how it is read.
func (c *pieceSheet) head(r *Result, i int, title string, more int) {
	c.words("title", short(r.Job.Name)+", area "+short(r.Areas[i].Area.Name)+": "+title, scene.Pt{X: 0.4, Y: 8.12}, 13, true)
	c.words("how to read", "Measure from the board's corners along its edges, thin edge below, looking uphill. The hatched part is the piece; "+
		"piece names as in cuts.csv.", scene.Pt{X: 0.4, Y: 7.88}, 8, false)
	if more > 0 {
		c.words("more", fmt.Sprintf("%d further shapes, fewer of each, are in cuts.csv.", more), scene.Pt{X: 0.4, Y: 7.7}, 8, false)
	}
}

// shape draws one board with its piece in field k of the sheet.
func (c *pieceSheet) shape(x cutShape, k int) {
	const wIn, hIn, boardIn = 2.6, 2.42, 1.3
	corner := scene.Pt{X: 0.4 + wIn*float64(k%cutColumns), Y: 7.5 - hIn*float64(k/cutColumns)}
	alongFt, depthFt := x.board.Along.Feet(), x.board.Depth.Feet()
	per := boardIn / math.Max(alongFt, depthFt)
	low := corner.Add(scene.Pt{X: 0.5, Y: -0.75 - per*depthFt - (boardIn-per*depthFt)/2})
	at := func(p geom.Pt) scene.Pt { return low.Add(scene.Pt{X: per * p.X, Y: per * p.Y}) }
	name := "shape " + x.pieces[0]
	c.words(name, fmt.Sprintf("%s  %s", x.board.Mark, x.board.Type), corner.Add(scene.Pt{Y: -0.16}), 10, true)
	c.words(name, count(len(x.pieces), "piece")+" of "+c.say.board(x.board), corner.Add(scene.Pt{Y: -0.32}), 8, false)
	c.words(name, first(strings.Join(x.pieces, ", "), 2.35), corner.Add(scene.Pt{Y: -0.46}), 7, false)
	board := geom.Box{Max: geom.Pt{X: alongFt, Y: depthFt}}.Ring()
	var rings [][]scene.Pt
	for _, r := range x.poly.Rings() {
		rings = append(rings, mapped(r, at))
	}
	c.marks = append(c.marks,
		scene.Shape{Name: "board " + name, Rings: [][]scene.Pt{mapped(board, at)}, Pen: scene.Pen{WidthPt: 0.6, Ink: scene.Grey(0.45), DashPt: []float64{3, 2}}},
		scene.Shape{Name: name, Rings: rings, Fill: scene.Grey(0.93), Pen: scene.Pen{WidthPt: 1.2, Ink: scene.Black()},
			Hatch: scene.Hatch{GapPt: 6, TurnDeg: 45, Pen: scene.Pen{WidthPt: 0.4, Ink: scene.Grey(0.6)}}})
	if x.board.ThickIn > x.board.ThinIn {
		c.marks = append(c.marks, scene.Line{Name: "thick edge " + name, Pts: []scene.Pt{at(board[3]), at(board[2])}, Pen: thickPen()})
		c.label(name, "THICK", at(board[3].Lerp(board[2], 0.5)), scene.Pt{Y: 1})
	}
	c.tape(name, x, at)
}

func mapped(r geom.Ring, at func(geom.Pt) scene.Pt) []scene.Pt {
	var out []scene.Pt
	for _, p := range r {
		out = append(out, at(p))
	}
	return out
}

// board is the size of a stock board, row by slope.
func (s say) board(b taper.Board) string {
	return fmt.Sprintf("a board of %s x %s", b.Along.Format(s.sys), b.Depth.Format(s.sys))
}

// tape says at every corner of a piece that is no corner of the board how far along
// the board's edge it lies, or how far in and up where it lies within.
func (c *pieceSheet) tape(name string, x cutShape, at func(geom.Pt) scene.Pt) {
	const onEdgeFt = 1. / 12 / 16
	w, d := x.board.Along.Feet(), x.board.Depth.Feet()
	for _, r := range x.poly.Rings() {
		for _, p := range r {
			onU := p.Y < onEdgeFt || p.Y > d-onEdgeFt // along a level edge
			onV := p.X < onEdgeFt || p.X > w-onEdgeFt
			out := scene.Pt{X: p.X - w/2, Y: p.Y - d/2}
			switch {
			case onU && onV:
			case onU:
				c.label(name, c.say.tape(p.X), at(p), scene.Pt{Y: math.Copysign(1, out.Y)})
			case onV:
				c.label(name, c.say.tape(p.Y), at(p), scene.Pt{X: math.Copysign(1, out.X)})
			default:
				c.label(name, c.say.tape(p.X)+" in, "+c.say.tape(p.Y)+" up", at(p), scene.Pt{Y: math.Copysign(1, out.Y)})
			}
		}
	}
}

// tape is a length as a tape reads it.
func (s say) tape(ft float64) string { return unit.Feet(ft).FormatThin(s.sys) }

// label puts words beside a place, outward, where there is room.
func (c *pieceSheet) label(name, text string, at, out scene.Pt) {
	for _, offIn := range []float64{0.06, 0.17, 0.28} {
		for _, aside := range []float64{0, 0.15, -0.15, 0.3, -0.3} {
			t := scene.Text{Name: name, Words: scene.Printable(text), SizePt: 7, Ink: scene.Black(), Halo: true, Across: 0.5, Up: 0.5}
			t.At = at.Add(out.Mul(offIn)).Add(scene.Pt{X: aside * math.Abs(out.Y), Y: aside * math.Abs(out.X) / 2})
			switch {
			case out.X > 0:
				t.Across = 0
			case out.X < 0:
				t.Across = 1
			case out.Y > 0:
				t.Up = 0
			default:
				t.Up = 1
			}
			if box := t.Box().Grown(labelGap); c.room.Free(box) {
				c.room.Take(box)
				c.top = append(c.top, t)
				return
			}
		}
	}
}
