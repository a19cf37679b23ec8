package taper

import (
	"context"
	"fmt"
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

func layOutOf(choice survey.TaperChoice, stock *survey.Stock) *layOut {
	base, above, left := allowed(stock)
	return &layOut{stock: above, baseFlats: base.Flats, notHeld: left, marks: markingOf(stock), choice: choice,
		sliverFt: sliverOf(choice).Feet(), baseIn: float64(choice.Base.Layers) * choice.Base.Thickness.Inches()}
}

// all lays every board of the build-up: base layers over the whole area in
// building axes, then fill, tapered boards and cover facet by facet in rows
// along the contours, from the low line up, crickets on top of them in rows along
// their low edges. Facets are in the building frame, the field's planes count from
// the deck up, and all of them start at base + start.
//
// Boards come in the order layer, facet, row, from left to right when looking
// uphill; Stock holds where a piece lies in its own board, without a number.
// No facet gives base layers only. The error names what the stock
// cannot make, or where more boards lie on one another than the choice allows.
// Cost: O(pieces), and O(log rows) overlays for each facet that is not convex.
func (l *layOut) all(ctx context.Context, s *survey.Site, facets []Facet) ([]Board, error) {
	if err := l.layAll(ctx, s, facets); err != nil {
		if l.notHeld > 0 && ctx.Err() == nil {
			err = fmt.Errorf("%w; %d boards of the stock are left out, since the job holds boards by %s", err, l.notHeld, l.stock.Attach)
		}
		return nil, err
	}
	if err := l.tooMany(s); err != nil {
		return nil, err
	}
	slices.SortStableFunc(l.boards, layingOrder)
	return l.boards, nil
}

// layAll lays the base, then facet by facet what lies over it.
func (l *layOut) layAll(ctx context.Context, s *survey.Site, facets []Facet) error {
	if err := l.base(ctx, s); err != nil {
		return err
	}
	field, crickets := parted(facets)
	plans, err := l.plans(field)
	if err != nil {
		return err
	}
	if err := open(plans, field, crickets); err != nil {
		return err
	}
	for _, p := range plans {
		if err := l.facet(ctx, p); err != nil {
			return fmt.Errorf("facet %d: %w", p.ID, err)
		}
	}
	for _, f := range crickets {
		n := slices.IndexFunc(plans, func(p facetPlan) bool { return p.ID == f.Under })
		if n < 0 {
			return fmt.Errorf("facet %d of a cricket lies on no facet of the field", f.ID)
		}
		if err := l.cricket(ctx, f, &plans[n]); err != nil {
			return fmt.Errorf("facet %d: %w", f.ID, err)
		}
	}
	return nil
}

// parted gives the facets of the field and those of crickets.
func parted(facets []Facet) (field, crickets []Facet) {
	for _, f := range facets {
		if f.Role == CricketRole {
			crickets = append(crickets, f)
		} else {
			field = append(field, f)
		}
	}
	return field, crickets
}

// open finds what of every plan no cricket covers, for its cover boards.
func open(plans []facetPlan, field, crickets []Facet) error {
	if len(crickets) == 0 {
		for i := range plans {
			plans[i].open = []geom.Poly{plans[i].poly}
		}
		return nil
	}
	left, err := uncovered(field, crickets)
	for i := range plans {
		p := &plans[i]
		for _, q := range left[p.ID] {
			q = q.Map(p.face.local)
			if p.set != nil {
				q = snapRows(q, p.set.runFt)
			}
			p.open = append(p.open, q)
		}
	}
	return err
}

// layOut gathers the boards of one site.
type layOut struct {
	stock     *survey.Stock // what may lie over the base
	baseFlats []survey.FlatBoard
	notHeld   int // boards of the whole stock that may not lie there, for how the job holds them
	marks     marking
	choice    survey.TaperChoice
	baseIn    float64
	sliverFt  float64 // a narrower piece is one
	boards    []Board
	laid      map[regionKey]int // pieces on crickets, by layer, facet and row
	down      []LaidRow         // that stay: boards are laid off them
	joints    jointSum          // beside them
	dustSqft  float64           // left as joints, in all layers
}

// facetPlan is a facet with its frame and its build-up by row.
type facetPlan struct {
	Facet
	face   facing
	poly   geom.Poly // in the frame of the facet
	set    *boardSet // nil: level
	first  int       // row 1 is this many rows above the start
	builds []buildUp
	open   []geom.Poly // of poly, what no cricket covers
	joints []joint     // of the boards right under the layer that is laid
	covers int         // rows of cover laid
}

// plan finds the frame of a facet and how many rows it has. Its own boxes
// follow from set's depth; a level facet has one row.
func (l *layOut) plan(f Facet, set *boardSet) facetPlan {
	p := facetPlan{Facet: f, set: set, face: facing{right: geom.Pt{X: 1}, up: geom.Pt{Y: 1}}}
	if set == nil {
		p.face.startFt = f.Poly.Outer.Box().Min.Y
		p.poly = tidy(f.Poly.Map(p.face.local))
		return p
	}
	up, _ := f.Plane.Uphill()
	up = squareUp(up)
	p.face = facing{right: geom.Pt{X: up.Y, Y: -up.X}, up: up}
	startIn := l.baseIn + l.choice.Start.Inches()
	p.face.startFt = (startIn - f.Plane.CIn) / f.Plane.Slope().InchesPerFoot()
	p.poly = snapRows(f.Poly.Map(p.face.local), set.runFt)
	box := p.poly.Outer.Box()
	p.first = int(math.Floor(box.Min.Y/set.runFt + 1e-7))
	p.builds = make([]buildUp, max(1, int(math.Ceil(box.Max.Y/set.runFt-1e-7))-p.first))
	return p
}

// squareUp clears rounding from a direction along an axis.
func squareUp(d geom.Pt) geom.Pt {
	if math.Abs(d.X) < 1e-12 {
		return geom.Pt{Y: math.Copysign(1, d.Y)}
	}
	if math.Abs(d.Y) < 1e-12 {
		return geom.Pt{X: math.Copysign(1, d.X)}
	}
	return d
}

// plans chooses the boards of every facet: slope by slope, flattest first, in
// each the rows from the thinnest up, so that the same thickness is built the
// same way everywhere.
func (l *layOut) plans(facets []Facet) ([]facetPlan, error) {
	plans := make([]facetPlan, len(facets))
	var slopes []unit.Slope
	for i, f := range facets {
		if len(f.Poly.Outer) < 3 {
			return nil, fmt.Errorf("facet %d has no outline", f.ID)
		}
		slope := f.Plane.Slope()
		if slope.InchesPerFoot() > 1e-9 {
			slopes = append(slopes, slope)
			continue
		}
		fills, err := levelFill(l.stock, f.Plane.At(f.Poly.Outer[0])-l.baseIn)
		if err != nil {
			return nil, fmt.Errorf("facet %d: %w", f.ID, err)
		}
		plans[i] = l.plan(f, nil)
		plans[i].builds = []buildUp{{fills: fills}}
	}
	slices.Sort(slopes)
	slopes = slices.CompactFunc(slopes, sameSlope)
	for _, slope := range slopes {
		if err := l.plansOfSlope(facets, plans, slope); err != nil {
			return nil, err
		}
	}
	return plans, nil
}

func sameSlope(a, b unit.Slope) bool {
	return math.Abs(a.InchesPerFoot()-b.InchesPerFoot()) < 1e-9
}

// plansOfSlope takes the first set of the slope that makes every row. When
// none does, the error is that of the first.
func (l *layOut) plansOfSlope(facets []Facet, plans []facetPlan, slope unit.Slope) error {
	sets, err := boardSets(l.stock, slope)
	if err != nil {
		return err
	}
	var why error
	for _, set := range sets {
		rows := map[int]buildUp{}
		var own []int
		for i, f := range facets {
			if sameSlope(f.Plane.Slope(), slope) {
				plans[i] = l.plan(f, set)
				own = append(own, i)
			}
		}
		if err := l.buildRows(set, plans, own, rows); err != nil {
			if why == nil {
				why = err
			}
			continue
		}
		for _, i := range own {
			for r := range plans[i].builds {
				plans[i].builds[r] = rows[plans[i].first+r]
			}
		}
		return nil
	}
	return why
}

func (l *layOut) buildRows(set *boardSet, plans []facetPlan, own []int, rows map[int]buildUp) error {
	var need []int
	for _, i := range own {
		for r := range plans[i].builds {
			need = append(need, plans[i].first+r)
		}
	}
	slices.Sort(need)
	used := map[unit.Length]bool{}
	for _, k := range slices.Compact(need) {
		atIn := l.choice.Start.Inches() + float64(k)*set.riseIn
		b, err := set.build(atIn, used, l.marks)
		if err != nil {
			return err
		}
		rows[k] = b
	}
	return nil
}

// facet lays fill, tapered boards and cover over one facet.
func (l *layOut) facet(ctx context.Context, p facetPlan) error {
	if p.set == nil {
		return l.levelFacet(ctx, p)
	}
	levels := make([]float64, len(p.builds)+1)
	for i := range levels {
		levels[i] = float64(p.first+i) * p.set.runFt
	}
	rows := strips([]geom.Poly{p.poly}, levels)
	for i, parts := range rows {
		if err := ctx.Err(); err != nil {
			return err
		}
		at := band{plan: &p, row: i + 1, lowFt: levels[i], highFt: levels[i+1], parts: parts}
		if err := l.row(at, p.builds[i]); err != nil {
			return err
		}
	}
	return l.cover(ctx, &p, rows, levels)
}

// band is one strip of one facet that is covered with boards; row numbers
// it. Strips of less depth may share a row.
type band struct {
	plan          *facetPlan
	row, seq      int
	lowFt, highFt float64
	parts         []geom.Poly
}

// row lays one row: fill from the bottom, then the tapered boards, each with a
// whole board at the left end. Fill steps with its row, so its joints lie under
// tapered joints by nature; halves at both ends of every fill row would only
// add cuts.
func (l *layOut) row(at band, b buildUp) error {
	layer := l.choice.Base.Layers + 1
	for i, f := range b.fills {
		if err := l.lay(at, l.flat(f, FillType, layer+i)); err != nil {
			return err
		}
	}
	t := b.tapered
	return l.lay(at, laying{layer: layer + len(b.fills), typ: TaperedType, mark: l.marks.tapered(t),
		plane:  at.plan.Plane.Add(survey.Plane{CIn: -l.baseIn - b.fillIn()}),
		thinIn: t.Thin.Inches(), thickIn: t.Thick.Inches(), along: t.Along, depth: t.Depth, joints: &at.plan.joints})
}
