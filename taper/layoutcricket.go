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
	"runnel/taper/internal/lower"
)

// cricket lays the boards of one cricket facet over the facet of the field under
// it: an edge strip from nothing along the low edge where the stock has one, then
// rows up from there, over fill where the boards are too thin. Its layers count on
// from the field's, so that it is cut where their number changes.
func (l *layOut) cricket(ctx context.Context, f Facet, under *facetPlan) error {
	slope := f.Plane.Slope()
	sets, err := boardSets(l.stock, slope)
	if err != nil {
		return err
	}
	var why error
	for _, set := range sets {
		p := l.cricketPlan(f, set)
		if p.builds, err = l.cricketBuilds(set, len(p.builds)); err != nil {
			why = cmp.Or(why, err)
			continue
		}
		for _, b := range under.bands(f.Poly) {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := l.cricketBand(ctx, &p, b); err != nil {
				return err
			}
		}
		return nil
	}
	return why
}

// cricketPlan is the frame of a cricket's facet: its rows begin at y = 0, a strip
// lies below.
func (l *layOut) cricketPlan(f Facet, set *boardSet) facetPlan {
	up, _ := f.Plane.Uphill()
	up = squareUp(up)
	p := facetPlan{Facet: f, set: set, face: facing{right: geom.Pt{X: up.Y, Y: -up.X}, up: up}}
	p.face.startFt = (thinnest(l.stock, f.Plane.Slope()).Inches() - f.Plane.CIn) / f.Plane.Slope().InchesPerFoot()
	p.poly = snapRows(f.Poly.Map(p.face.local), set.runFt)
	p.builds = make([]buildUp, max(0, int(math.Ceil(p.poly.Outer.Box().Max.Y/set.runFt-1e-7))))
	return p
}

func (l *layOut) cricketBuilds(set *boardSet, rows int) ([]buildUp, error) {
	used := map[unit.Length]bool{}
	startIn := thinnest(l.stock, set.slope).Inches()
	var out []buildUp
	for r := range rows {
		b, err := set.build(startIn+float64(r)*set.riseIn, used, l.marks)
		if err != nil {
			return nil, err
		}
		out = append(out, b)
	}
	return out, nil
}

// layerBand is a region with one number of layers under it.
type layerBand struct {
	parts  []geom.Poly // building frame
	layers int
}

// bands cuts a region by how many layers the field has there.
func (p *facetPlan) bands(region geom.Poly) []layerBand {
	byLayers := map[int][]geom.Poly{}
	if p.set == nil {
		byLayers[len(p.builds[0].fills)] = []geom.Poly{region}
	} else {
		levels := make([]float64, len(p.builds)+1)
		for i := range levels {
			levels[i] = float64(p.first+i) * p.set.runFt
		}
		local := snapRows(region.Map(p.face.local), p.set.runFt)
		for first := 0; first < len(p.builds); {
			end := first + 1
			for end < len(p.builds) && len(p.builds[end].fills) == len(p.builds[first].fills) {
				end++
			}
			lo, hi := levels[first], levels[end]
			if first == 0 {
				lo = math.Inf(-1)
			}
			if end == len(p.builds) {
				hi = math.Inf(1)
			}
			n := len(p.builds[first].fills) + 1
			for _, q := range between(local, lo, hi) {
				byLayers[n] = append(byLayers[n], q.Map(p.face.place))
			}
			first = end
		}
	}
	var out []layerBand
	for n, parts := range byLayers {
		out = append(out, layerBand{parts, n})
	}
	slices.SortFunc(out, func(a, b layerBand) int { return a.layers - b.layers })
	return out
}

// between is what of a region lies between two level lines; infinite ones cut
// nothing.
func between(p geom.Poly, loFt, hiFt float64) []geom.Poly {
	parts := []geom.Poly{p}
	if !math.IsInf(loFt, -1) {
		parts = clipSide(parts, 0, loFt)
	}
	if !math.IsInf(hiFt, 1) {
		parts = clipSide(parts, 2, -hiFt)
	}
	return parts
}

// cricketBand lays one band of a cricket's facet, and the cover over it.
func (l *layOut) cricketBand(ctx context.Context, p *facetPlan, b layerBand) error {
	layer := l.choice.Base.Layers + b.layers + 1
	var local []geom.Poly
	for _, q := range b.parts {
		local = append(local, snapRows(q.Map(p.face.local), p.set.runFt))
	}
	levels := []float64{math.Min(0, p.poly.Outer.Box().Min.Y)}
	for r := range len(p.builds) + 1 {
		levels = append(levels, float64(r)*p.set.runFt)
	}
	rows := strips(local, levels)
	for i, parts := range rows {
		at := band{plan: p, row: i + 1, lowFt: levels[i], highFt: levels[i+1], parts: parts}
		if err := l.cricketRow(at, i, layer); err != nil {
			return fmt.Errorf("cricket %d: %w", p.Cricket, err)
		}
	}
	return l.cricketCover(ctx, p, local, levels, layer+1)
}

// cricketRow lays the strip, or a row with its fill.
func (l *layOut) cricketRow(at band, row, layer int) error {
	p := at.plan
	t, fillIn := survey.TaperedBoard{}, 0.0
	if row == 0 {
		if len(at.parts) == 0 {
			return nil
		}
		strip, ok := stripFor(l.stock, p.set.slope, thinnest(l.stock, p.set.slope))
		if !ok {
			return fmt.Errorf("no edge strip of the stock slopes %s", l.marks.slope(p.set.slope))
		}
		t, at.lowFt = strip, -strip.Depth.Feet()
	} else {
		build := p.builds[row-1]
		for i, f := range build.fills {
			if err := l.layOn(at, l.flat(f, FillType, layer+i)); err != nil {
				return err
			}
		}
		t, fillIn = build.tapered, build.fillIn()
		layer += len(build.fills)
	}
	typ := CricketType
	if p.IsUpper() {
		typ = TaperedType
	}
	return l.layOn(at, laying{layer: layer, typ: typ, mark: l.marks.tapered(t),
		plane: p.Plane.Add(survey.Plane{CIn: -fillIn}), thinIn: t.Thin.Inches(), thickIn: t.Thick.Inches(), along: t.Along, depth: t.Depth, joints: &p.joints})
}

// cricketCover lays the cover over one band of a cricket in its own depth, from
// the low edge up over rows of as many layers; layer is the first over no fill.
func (l *layOut) cricketCover(ctx context.Context, p *facetPlan, parts []geom.Poly, levels []float64, layer int) error {
	c, ok, err := l.coverBoard()
	if err != nil || !ok {
		return err
	}
	fills := func(row int) int { // row 0 is the strip
		if row == 0 {
			return 0
		}
		return len(p.builds[row-1].fills)
	}
	q := *p
	q.open = parts
	for first := 0; first < len(levels)-1; {
		end := first + 1
		for end < len(levels)-1 && fills(end) == fills(first) {
			end++
		}
		kind := l.flat(c, CoverType, layer+fills(first))
		kind.shiftFt = p.set.along.Feet() / 2
		if err := l.coverRun(ctx, &q, kind, levels[first:end+1]); err != nil {
			return err
		}
		first = end
	}
	return nil
}

// layOn is lay with pieces numbered on, where strips of one row share a layer: of
// cover, or of the bands of a cricket.
func (l *layOut) layOn(at band, kind laying) error {
	k := regionKey{layer: kind.layer, facet: at.plan.ID, row: at.row}
	if l.laid == nil {
		l.laid = map[regionKey]int{}
	}
	before := len(l.boards)
	at.seq = l.laid[k]
	err := l.lay(at, kind)
	l.laid[k] += len(l.boards) - before
	return err
}

// uncovered gives what of each facet of the field lies under no cricket, by its
// ID, in the building frame.
func uncovered(field, crickets []Facet) (map[int][]geom.Poly, error) {
	pieces, keep := fieldPieces(field)
	e := lower.Of(pieces, keep)
	for n, f := range crickets {
		e.Put(f.Poly, f.Top(), len(field)+n)
	}
	regions, _, err := e.Regions()
	out := map[int][]geom.Poly{}
	for _, r := range regions {
		if r.Tag.Kind < len(field) {
			id := field[r.Tag.Kind].ID
			out[id] = append(out[id], r.Poly)
		}
	}
	return out, err
}
