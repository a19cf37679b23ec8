package taper

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"runnel/survey/geom"
)

// shareOff is how far areas may be off, as a share of what they cover.
const shareOff = 1e-6

// Check holds the laws of a design that was laid out, cut and counted: every
// base layer covers the facets once, the boards of every other layer cover
// their facet once and do not overlap, their thicknesses add up to the
// facet's, no piece is larger than its stock board, the pieces of one board fit
// in it without overlap, and the sums agree. A design without boards passes
// when it has no counts. The error joins one line a broken law and place.
// Cost: O(n log n) in boards for roofs of boards, besides pairs that touch.
func (d *Design) Check() error {
	if d.Laid != nil {
		return errors.Join(d.Laid.Whole.Check(), d.checkRest())
	}
	if len(d.Boards) == 0 && len(d.Counts) == 0 {
		return nil
	}
	return errors.Join(d.checkCover(), d.checkOverlap(), d.checkThickness(),
		d.checkStock(), d.checkSums())
}

// place is the boards that cover one region together: a base layer, a layer of
// one row, or the cover of a facet.
type regionKey struct {
	layer, facet, row int
	cover             bool
}

func (d *Design) sums() (map[regionKey]float64, map[int]float64) {
	by := map[regionKey]float64{}
	field := map[int]float64{}
	for _, b := range d.Boards {
		k := regionKey{layer: b.Layer, facet: b.Facet, row: b.Row}
		switch b.Type {
		case BaseType:
			k.row = 0
		case CoverType:
			k = regionKey{facet: b.Facet, cover: true}
		case TaperedType, CricketType:
			field[b.Facet] += b.Poly.Area()
		}
		by[k] += b.Poly.Area()
	}
	return by, field
}

// checkCover compares areas: base layers with all facets, tapered boards and
// cover with their facet, fill with the tapered boards of its row.
func (d *Design) checkCover() error {
	by, tapered := d.sums()
	var errs []error
	all := 0.0
	expect := func(what string, got, want float64) {
		if math.Abs(got-want) > shareOff*math.Max(want, 1)+d.DustSqft {
			errs = append(errs, fmt.Errorf("%s: boards cover %.6f sq ft of %.6f", what, got, want))
		}
	}
	level, over := map[int]float64{}, map[int]float64{} // over: what crickets cover of a facet
	for _, f := range d.Facets {
		if f.Role == CricketRole {
			over[f.Under] += f.Poly.Area()
		}
	}
	for _, f := range d.Facets {
		area := f.Poly.Area()
		if f.Role == CricketRole {
			expect(fmt.Sprintf("cricket facet %d", f.ID), tapered[f.ID], area)
			if d.Cover > 0 {
				expect(fmt.Sprintf("cover of facet %d", f.ID), by[regionKey{facet: f.ID, cover: true}], area)
			}
			continue
		}
		all += area
		if f.Plane.Slope().InchesPerFoot() > 1e-9 {
			expect(fmt.Sprintf("facet %d", f.ID), tapered[f.ID], area)
		} else {
			level[f.ID] = area
		}
		if d.Cover > 0 {
			expect(fmt.Sprintf("cover of facet %d", f.ID), by[regionKey{facet: f.ID, cover: true}], area-over[f.ID])
		}
	}
	inRow, inLayer := d.rowAreas()
	for _, k := range sortedKeys(by) {
		if k.facet == 0 {
			expect(fmt.Sprintf("base layer %d", k.layer), by[k], all)
		} else if _, is := level[k.facet]; !is && !k.cover && !d.onCricket(k.facet) {
			expect(fmt.Sprintf("layer %d of row %d of facet %d", k.layer, k.row, k.facet),
				by[k], inRow[regionKey{facet: k.facet, row: k.row}])
		}
	}
	for _, k := range sortedKeys(inLayer) {
		if area, is := level[k.facet]; is {
			expect(fmt.Sprintf("layer %d of facet %d", k.layer, k.facet), inLayer[k], area)
		}
	}
	return errors.Join(errs...)
}

// onCricket says whether a facet is a cricket's: its layers count on from the
// field's, which change along its rows.
func (d *Design) onCricket(id int) bool {
	return id >= 1 && id <= len(d.Facets) && d.Facets[id-1].ID == id && d.Facets[id-1].Role == CricketRole
}

// rowAreas sums tapered boards by row, and fill by layer of a whole facet.
func (d *Design) rowAreas() (inRow, inLayer map[regionKey]float64) {
	inRow, inLayer = map[regionKey]float64{}, map[regionKey]float64{}
	for _, b := range d.Boards {
		switch b.Type {
		case TaperedType:
			inRow[regionKey{facet: b.Facet, row: b.Row}] += b.Poly.Area()
		case FillType:
			inLayer[regionKey{facet: b.Facet, layer: b.Layer}] += b.Poly.Area()
		}
	}
	return inRow, inLayer
}

func sortedKeys(m map[regionKey]float64) []regionKey {
	var out []regionKey
	for k := range m {
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b regionKey) int {
		return cmp.Or(cmp.Compare(a.layer, b.layer), cmp.Compare(a.facet, b.facet),
			cmp.Compare(a.row, b.row), boolInt(a.cover)-boolInt(b.cover))
	})
	return out
}

// checkOverlap looks at all pairs of one layer whose boxes share more than a
// border.
func (d *Design) checkOverlap() error {
	byLayer := map[int][]int{}
	most := 0
	for i, b := range d.Boards {
		byLayer[b.Layer] = append(byLayer[b.Layer], i)
		most = max(most, b.Layer)
	}
	var errs []error
	for layer := range most + 1 {
		ids := byLayer[layer]
		polys := make([]geom.Poly, len(ids))
		for i, id := range ids {
			polys[i] = d.Boards[id].Poly
		}
		eachOverlap(polys, func(i, j int, sqft float64) {
			errs = append(errs, fmt.Errorf("pieces %s and %s overlap by %.6f sq ft",
				d.Boards[ids[i]].Piece, d.Boards[ids[j]].Piece, sqft))
		})
	}
	return errors.Join(errs...)
}

// eachOverlap reports the pairs that share more than rounding. Cost: a sweep
// over the boxes from left to right.
func eachOverlap(polys []geom.Poly, report func(i, j int, sqft float64)) {
	boxes := make([]geom.Box, len(polys))
	order := make([]int, len(polys))
	for i, p := range polys {
		boxes[i], order[i] = p.Outer.Box(), i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(boxes[i].Min.X, boxes[j].Min.X) })
	var open []int
	for _, i := range order {
		open = slices.DeleteFunc(open, func(j int) bool { return boxes[j].Max.X <= boxes[i].Min.X+onEdgeFt })
		for _, j := range open {
			if boxes[j].Min.Y < boxes[i].Max.Y-onEdgeFt && boxes[i].Min.Y < boxes[j].Max.Y-onEdgeFt {
				if sqft := sharedSqft(polys[i], polys[j]); sqft > leastPieceSqft {
					report(j, i, sqft)
				}
			}
		}
		open = append(open, i)
	}
}

// checkThickness adds the boards up at the corners of every tapered piece, and
// over level facets.
func (d *Design) checkThickness() error {
	flatIn := map[regionKey]float64{} // by facet, row and layer; base by layer
	baseIn := 0.0
	for _, b := range d.Boards {
		switch b.Type {
		case BaseType:
			flatIn[regionKey{layer: b.Layer}] = b.ThinIn
		case FillType:
			flatIn[regionKey{layer: b.Layer, facet: b.Facet, row: b.Row}] = b.ThinIn
		}
	}
	fillIn := map[regionKey]float64{}
	for _, k := range sortedKeys(flatIn) {
		if k.facet == 0 {
			baseIn += flatIn[k]
		}
		if !d.onCricket(k.facet) {
			fillIn[regionKey{facet: k.facet, row: k.row}] += flatIn[k]
		}
	}
	d.cricketFill(fillIn)
	facets := map[int]Facet{}
	for _, f := range d.Facets {
		facets[f.ID] = f
	}
	var errs []error
	for _, b := range d.Boards {
		under := baseIn
		if b.Type != TaperedType && b.Type != CricketType {
			continue
		}
		if d.onCricket(b.Facet) {
			under = 0
		}
		for _, q := range append(slices.Clone(b.Poly.Outer), b.Poly.Centroid()) {
			sum := under + fillIn[regionKey{facet: b.Facet, row: b.Row}] + b.Plane.At(q)
			if want := facets[b.Facet].Plane.At(q); math.Abs(sum-want) > 1e-6*math.Max(1, want) {
				errs = append(errs, fmt.Errorf("piece %s: boards add up to %.6f in where the facet wants %.6f", b.Piece, sum, want))
				break
			}
		}
	}
	return errors.Join(errs...)
}

// cricketFill adds the fill of every row of a cricket: its volume over the row's
// area, since its layers change with those of the field.
func (d *Design) cricketFill(fillIn map[regionKey]float64) {
	volume, sqft := map[regionKey]float64{}, map[regionKey]float64{}
	var rows []regionKey
	for _, b := range d.Boards {
		if !d.onCricket(b.Facet) {
			continue
		}
		k := regionKey{facet: b.Facet, row: b.Row}
		switch b.Type {
		case FillType:
			volume[k] += b.ThinIn * b.Poly.Area()
		case CricketType, TaperedType:
			if sqft[k] == 0 {
				rows = append(rows, k)
			}
			sqft[k] += b.Poly.Area()
		}
	}
	for _, k := range rows {
		fillIn[k] = volume[k] / sqft[k]
	}
}

// checkStock compares pieces with their stock boards.
func (d *Design) checkStock() error {
	var errs []error
	byNo := map[int][]int{}
	for i, b := range d.Boards {
		byNo[b.Stock.No] = append(byNo[b.Stock.No], i)
		if b.Stock.No < 1 {
			errs = append(errs, fmt.Errorf("piece %s comes from no stock board", b.Piece))
		}
		for _, q := range b.Poly.Outer {
			if in := b.Plane.At(q); in < b.ThinIn-1e-5 || in > b.ThickIn+1e-5 {
				errs = append(errs, fmt.Errorf("piece %s is %.6f in thick, its board %g to %g", b.Piece, in, b.ThinIn, b.ThickIn))
				break
			}
		}
		box, s := b.InStock().Outer.Box(), b.Stock
		in := geom.Pt{X: s.U, Y: s.V}.Dist(box.Min) < onEdgeFt && geom.Pt{X: s.U + s.W, Y: s.V + s.D}.Dist(box.Max) < onEdgeFt
		if !in || s.U < 0 || s.V < 0 || s.U+s.W > b.Along.Feet()+onEdgeFt || s.V+s.D > b.Depth.Feet()+onEdgeFt {
			errs = append(errs, fmt.Errorf("piece %s does not lie in its stock board as written", b.Piece))
		}
	}
	for no := 1; no <= len(byNo); no++ {
		ids := byNo[no]
		polys := make([]geom.Poly, len(ids))
		for i, id := range ids {
			b := d.Boards[id]
			polys[i] = b.InStock()
			if keyOf(b) != keyOf(d.Boards[ids[0]]) {
				errs = append(errs, fmt.Errorf("stock board %d gives pieces of two marks: %s and %s", no, d.Boards[ids[0]].Piece, b.Piece))
			}
		}
		eachOverlap(polys, func(i, j int, sqft float64) {
			errs = append(errs, fmt.Errorf("pieces %s and %s overlap by %.6f sq ft in stock board %d",
				d.Boards[ids[i]].Piece, d.Boards[ids[j]].Piece, sqft, no))
		})
	}
	return errors.Join(errs...)
}

// checkSums compares boards, schedule and totals.
func (d *Design) checkSums() error {
	var sum Totals
	names, nos := map[string]bool{}, map[int]bool{}
	for _, b := range d.Boards {
		names[b.Piece], nos[b.Stock.No] = true, true
	}
	for _, c := range d.Counts {
		sum.Pieces += c.Pieces
		sum.ToOrder += c.ToOrder
		sum.Spares += c.Spares
		if c.Full+c.Cut != c.Pieces {
			return fmt.Errorf("layer %d %s: %d full and %d cut of %d pieces", c.Layer, c.Mark, c.Full, c.Cut, c.Pieces)
		}
	}
	t := d.Totals
	if sum.Pieces != len(d.Boards) || sum.Pieces != t.Pieces || len(names) != len(d.Boards) {
		return fmt.Errorf("%d pieces, %d names, %d in the schedule, %d in total", len(d.Boards), len(names), sum.Pieces, t.Pieces)
	}
	if sum.ToOrder != len(nos) || sum.ToOrder != t.ToOrder || sum.Spares != t.Spares {
		return fmt.Errorf("%d stock boards, %d in the schedule, %d in total", len(nos), sum.ToOrder, t.ToOrder)
	}
	if t.ToOrder < t.AreaBound || t.ToOrder < t.CutBound {
		return fmt.Errorf("%d stock boards are fewer than the bounds %d and %d allow", t.ToOrder, t.AreaBound, t.CutBound)
	}
	mostIn := d.Insulation.ThickestIn
	for _, b := range d.Boards {
		mostIn = math.Max(mostIn, b.ThickIn)
	}
	if math.Abs(t.BoardFeet-t.SolidBoardFeet) > shareOff*math.Max(1, t.SolidBoardFeet)+mostIn*d.DustSqft {
		return fmt.Errorf("%.6f board feet by schedule, %.6f by the facets", t.BoardFeet, t.SolidBoardFeet)
	}
	return nil
}
