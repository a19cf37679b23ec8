package taper

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// laying is one layer of boards of one mark.
type laying struct {
	layer           int
	typ             BoardType
	mark            string
	plane           survey.Plane // its own thickness
	thinIn, thickIn float64
	along, depth    unit.Length
	shiftFt         float64  // how far the first board starts before the left end
	below           []joint  // those of the layer below, to keep off; frame of the facet
	joints          *[]joint // gathers its own; nil: nobody asks
}

func (l *layOut) flat(f survey.FlatBoard, typ BoardType, layer int) laying {
	t := f.Thickness.Inches()
	return laying{layer: layer, typ: typ, mark: l.marks.of(f.Thickness), plane: survey.Plane{CIn: t},
		thinIn: t, thickIn: t, along: f.Along, depth: f.Depth}
}

// lay covers a strip with boards of one kind. Boards of less depth than the
// strip lie in several strips above one another.
func (l *layOut) lay(at band, kind laying) error {
	depthFt := kind.depth.Feet()
	inner := []float64{at.lowFt}
	for v := at.lowFt + depthFt; v < at.highFt-snapFt; v += depthFt {
		inner = append(inner, v)
	}
	inner = append(inner, at.highFt)
	subs := strips(at.parts, inner)
	seq := at.seq
	for i, parts := range subs {
		sub := at
		sub.parts, sub.lowFt, sub.highFt = parts, inner[i], inner[i+1]
		parts, err := l.off(sub, kind)
		if err != nil {
			return err
		}
		for _, part := range parts {
			cells := l.spread(part, inner[i], kind)
			l.put(at, kind, part, cells, seq)
			seq += len(cells)
			if kind.joints != nil {
				*kind.joints = append(*kind.joints, jointsIn(cells)...)
			}
		}
	}
	return l.fewEnough()
}

// put lays the pieces of a part of a strip, numbered on from seq, and adds up what of
// the part is left as joints.
func (l *layOut) put(at band, kind laying, part geom.Poly, cells []cell, seq int) {
	left := part.Area()
	for i, c := range cells {
		left -= c.poly.Area()
		l.boards = append(l.boards, l.board(at, kind, c, seq+i+1))
	}
	if left > leastPieceSqft {
		l.dustSqft += left
	}
}

// mostPieces is how many pieces one area may have: ten layers on the
// largest roof that is read.
const mostPieces = 2_000_000

var errTooMany = fmt.Errorf("the area needs more than %d pieces; choose larger boards or fewer layers", mostPieces)

func (l *layOut) fewEnough() error {
	if len(l.boards) > mostPieces {
		return errTooMany
	}
	return nil
}

// board is the piece of one cell, back in the building frame.
func (l *layOut) board(at band, kind laying, c cell, seq int) Board {
	f := at.plan.face
	box := c.poly.Outer.Box()
	w, d := box.Size()
	alongFt, depthFt := kind.along.Feet(), kind.depth.Feet()
	b := Board{
		Layer: kind.layer, Type: kind.typ, Mark: kind.mark,
		Facet: at.plan.ID, Row: at.row, Seq: seq,
		Poly: c.poly.Map(f.place), Plane: kind.plane, Uphill: f.up,
		ThinIn: kind.thinIn, ThickIn: kind.thickIn, Along: kind.along, Depth: kind.depth,
		Cut:   !isWhole(c.poly, alongFt, depthFt),
		Stock: Placement{U: within(box.Min.X-c.uFt, alongFt-w), V: within(box.Min.Y-c.vFt, depthFt-d), W: w, D: d},
	}
	b.Piece = pieceID(b)
	return b
}

// within brings a place in a stock board back from rounding.
func within(x, most float64) float64 { return math.Max(0, math.Min(x, most)) }

// Right is the direction along b's row, to the right when looking uphill.
func (b Board) Right() geom.Pt { return geom.Pt{X: b.Uphill.Y, Y: -b.Uphill.X} }

// levelFacet lays the fill and the cover of a facet without slope.
func (l *layOut) levelFacet(ctx context.Context, p facetPlan) error {
	layer := l.choice.Base.Layers + 1
	fills := p.builds[0].fills
	for i, f := range fills {
		kind := l.flat(f, FillType, layer+i)
		if err := l.levelLayer(ctx, &p, kind, i%2 == 1); err != nil {
			return err
		}
	}
	c, ok, err := l.coverBoard()
	if err != nil || !ok {
		return err
	}
	kind := l.flat(c, CoverType, layer+len(fills))
	return l.levelLayer(ctx, &p, kind, len(fills)%2 == 1)
}

// levelLayer covers a level region with one layer, in rows along the facet's
// right; half shifts the joints by half a board both ways.
func (l *layOut) levelLayer(ctx context.Context, p *facetPlan, kind laying, half bool) error {
	depthFt, lowFt := kind.depth.Feet(), 0.0
	if half {
		lowFt, kind.shiftFt = -depthFt/2, kind.along.Feet()/2
	}
	box := p.poly.Outer.Box()
	over := []geom.Poly{p.poly}
	if kind.typ == CoverType {
		over = p.open
	}
	levels := []float64{lowFt}
	for v := lowFt + depthFt; v < box.Max.Y-snapFt; v += depthFt {
		levels = append(levels, v)
	}
	levels = append(levels, levels[len(levels)-1]+depthFt)
	rows := strips(over, levels)
	below := p.joints
	p.joints, kind.joints = nil, &p.joints
	for i, parts := range rows {
		if err := ctx.Err(); err != nil {
			return err
		}
		at := band{plan: p, row: i + 1, lowFt: levels[i], highFt: levels[i+1], parts: parts}
		kind.below = jointsBetween(below, levels[i], levels[i+1])
		if err := l.lay(at, kind); err != nil {
			return err
		}
	}
	return nil
}

// base lays the base layers over the outline less courts and curbs, from the
// lower left corner of its box. Every other row begins half a board off, every other
// layer half a board up the slope and a quarter along the row, so that no end joint
// lies over or beside another.
func (l *layOut) base(ctx context.Context, s *survey.Site) error {
	if l.choice.Base.Layers <= 0 {
		return nil
	}
	f, err := oneFlat(l.baseFlats, l.choice.Base.Thickness, "base", l.marks)
	if err != nil {
		return err
	}
	parts, err := roofParts(s)
	if err != nil {
		return err
	}
	wholeOnes := s.RoofArea().SquareFeet() / unit.AreaOf(f.Along, f.Depth).SquareFeet()
	if float64(l.choice.Base.Layers)*wholeOnes > mostPieces {
		return errTooMany
	}
	for i := range l.choice.Base.Layers {
		if err := l.baseLayer(ctx, parts, l.flat(f, BaseType, i+1)); err != nil {
			return err
		}
	}
	return nil
}

// roofParts is the outline less courts and curbs. A curb clear of every border
// is a hole; one that touches a border is taken out by overlay, whose answer
// must have the right area.
func roofParts(s *survey.Site) ([]geom.Poly, error) {
	parts := []geom.Poly{s.Poly()}
	for _, c := range s.Curbs {
		var left []geom.Poly
		for _, p := range parts {
			if clearWithin(c, p) {
				p.Holes = append(slices.Clone(p.Holes), c.CCW().Reversed())
				left = append(left, p)
				continue
			}
			curb := geom.Poly{Outer: pastBorder(c, p)}
			out, err := geom.Subtract(p, curb)
			if err != nil {
				return nil, fmt.Errorf("take curbs out of the area: %w", err)
			}
			restSqft := p.Area() - sharedSqft(p, curb)
			for _, q := range out {
				restSqft -= q.Area()
			}
			if math.Abs(restSqft) > 1e-6*p.Area() {
				return nil, fmt.Errorf("take curbs out of the area: %.6f sq ft are off; move the curb at %.2f, %.2f ft clear of the border that it touches",
					restSqft, c[0].X, c[0].Y)
			}
			left = append(left, out...)
		}
		parts = left
	}
	return parts, nil
}

// pastBorder moves the corners of a curb that stand on a border of p a hair past it,
// so that rounding leaves no sliver of roof between them.
func pastBorder(c geom.Ring, p geom.Poly) geom.Ring {
	return c.Map(func(q geom.Pt) geom.Pt {
		out := q
		for _, r := range p.LeftRings() {
			for i, a := range r {
				d := r.At(i + 1).Sub(a)
				if l := d.Norm(); l > 0 && geom.SegDist(q, a, r.At(i+1)) < snapFt {
					out = out.Add(geom.Pt{X: d.Y, Y: -d.X}.Mul(2 * snapFt / l))
				}
			}
		}
		return out
	})
}

// clearWithin says whether a convex ring lies in p and touches none of its
// borders.
func clearWithin(r geom.Ring, p geom.Poly) bool {
	for _, q := range r {
		if !p.Has(q) || p.Dist(q) < snapFt {
			return false
		}
	}
	for _, ring := range p.Rings() {
		for i, a := range ring {
			if r.Has(a) || cutsInto(a, ring.At(i+1), r) {
				return false
			}
		}
	}
	return true
}

// cutsInto says whether the stretch from a to b enters a convex ring that runs
// counter-clockwise.
func cutsInto(a, b geom.Pt, r geom.Ring) bool {
	from, to := 0.0, 1.0
	for i, c := range r {
		d := r.At(i + 1).Sub(c)
		da, db := d.Cross(a.Sub(c)), d.Cross(b.Sub(c))
		switch {
		case da < 0 && db < 0:
			return false
		case da < 0:
			from = math.Max(from, da/(da-db))
		case db < 0:
			to = math.Min(to, da/(da-db))
		}
	}
	return from < to
}

// baseLayer keeps one grid over all parts, so that rows run through behind
// courts.
func (l *layOut) baseLayer(ctx context.Context, parts []geom.Poly, kind laying) error {
	box := boxOf(parts)
	alongFt, depthFt := kind.along.Feet(), kind.depth.Feet()
	leftFt, downFt := l.baseStart(parts, box, alongFt, depthFt)
	shifts, lift := baseShifts[(kind.layer-1)%2], baseLifts[(kind.layer-1)%2][0]
	downFt += lift * depthFt
	face := facing{right: geom.Pt{X: 1}, up: geom.Pt{Y: 1}, startFt: box.Min.Y - math.Mod(downFt, depthFt)}
	local := make([]geom.Poly, len(parts))
	for i, p := range parts {
		local[i] = snapRows(p.Map(face.local), depthFt)
	}
	rows := max(1, int(math.Ceil((box.Max.Y-face.startFt)/depthFt-1e-7)))
	levels := make([]float64, rows+1)
	for i := range levels {
		levels[i] = float64(i) * depthFt
	}
	cut := strips(local, levels)
	plan := &facetPlan{face: face}
	for i, inRow := range cut {
		if err := ctx.Err(); err != nil {
			return err
		}
		at := band{plan: plan, row: i + 1, lowFt: levels[i], highFt: levels[i+1]}
		kind.shiftFt = leftFt + shifts[i%2]*alongFt
		if err := l.baseRow(at, kind, inRow, box.Min.X); err != nil {
			return fmt.Errorf("lay the base: %w", err)
		}
	}
	return nil
}

func (l *layOut) baseRow(at band, kind laying, parts []geom.Poly, leftFt float64) error {
	alongFt := kind.along.Feet()
	at.parts = parts
	parts, err := l.off(at, kind)
	if err != nil {
		return err
	}
	for _, part := range parts {
		offFt := part.Outer.Box().Min.X - leftFt + kind.shiftFt
		shiftFt := offFt - alongFt*math.Floor(offFt/alongFt+1e-9)
		cells := cellsOf(part, at.lowFt, alongFt, math.Max(0, shiftFt))
		l.put(at, kind, part, cells, at.seq)
		at.seq += len(cells)
	}
	return l.fewEnough()
}

// coverBoard finds the cover board of the choice; ok is false without one.
func (l *layOut) coverBoard() (b survey.FlatBoard, ok bool, err error) {
	if l.choice.Cover <= 0 {
		return b, false, nil
	}
	b, err = oneFlat(l.stock.Covers, l.choice.Cover, "cover", l.marks)
	return b, err == nil, err
}

// cover lays the cover over one facet. Rows with the same number of boards
// below share strips of the cover's depth; its joints lie half a tapered board off
// those below along the row, and off the lines between rows up the slope.
func (l *layOut) cover(ctx context.Context, p *facetPlan, rows [][]geom.Poly, levels []float64) error {
	c, ok, err := l.coverBoard()
	if err != nil || !ok {
		return err
	}
	for first := 0; first < len(rows); {
		end := first + 1
		for end < len(rows) && len(p.builds[end].fills) == len(p.builds[first].fills) {
			end++
		}
		kind := l.flat(c, CoverType, l.choice.Base.Layers+len(p.builds[first].fills)+2)
		kind.shiftFt = p.builds[first].tapered.Along.Feet() / 2
		if err := l.coverRun(ctx, p, kind, levels[first:end+1]); err != nil {
			return err
		}
		first = end
	}
	return nil
}

// coverRun covers the rows between the first and the last level. Strips of a facet's
// cover are rows of its own, counted on from those of the taper.
func (l *layOut) coverRun(ctx context.Context, p *facetPlan, kind laying, levels []float64) error {
	box := p.poly.Outer.Box()
	cuts := []float64{math.Min(levels[0], box.Min.Y) - 1}
	cuts = append(cuts, l.coverLines(levels, kind.depth.Feet(), box)...)
	cuts = append(cuts, math.Max(levels[len(levels)-1], box.Max.Y)+1)
	parts := strips(p.open, cuts)
	for i := 1; i < len(parts)-1; i++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		p.covers++ // rows of taper share its layer
		kind.below = jointsBetween(p.joints, cuts[i], cuts[i+1])
		if err := l.layOn(band{plan: p, row: len(p.builds) + 1 + p.covers, lowFt: cuts[i], highFt: cuts[i+1], parts: parts[i]}, kind); err != nil {
			return err
		}
	}
	return nil
}

// layingOrder is the order in which boards are laid and listed.
func layingOrder(a, b Board) int {
	return cmp.Or(cmp.Compare(a.Layer, b.Layer), cmp.Compare(a.Facet, b.Facet),
		cmp.Compare(a.Row, b.Row), cmp.Compare(a.Seq, b.Seq))
}
