package taper

import (
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// held is a part of a board that screws hold, and the thickness under its plates from the
// deck up.
type held struct {
	board *Board
	parts []geom.Poly
	under survey.Plane
	zone  survey.Zone
}

// plate is the screws of one piece on one line of plates.
type plate struct {
	*held
	at          unit.Length
	screws      int
	thin, thick unit.Length
}

// screw counts the screws and chooses their lengths.
func (f *Fastening) screw(in FastenIn) error {
	all, err := f.holds(in.Design)
	if err != nil {
		return err
	}
	for _, h := range all {
		f.Board = max(f.Board, unit.AreaOf(h.board.Along, h.board.Depth))
	}
	for _, z := range survey.Zones() {
		*f.PerBoard.Of(z) = perBoard(f.Choice, f.Board, z)
	}
	var plates []plate
	for i := range all {
		plates = append(plates, f.plates(&all[i])...)
	}
	f.lines(plates)
	return nil
}

// holds lists what of the boards is screwed down.
func (f *Fastening) holds(d *Design) ([]held, error) {
	tops := topsOf(d, f.Choice)
	open, err := tops.open()
	if err != nil {
		return nil, err
	}
	var out []held
	for i := range d.Boards {
		b := &d.Boards[i]
		got, err := tops.held(b, open)
		if err != nil {
			return nil, err
		}
		for _, h := range got {
			var in survey.ByZone[float64]
			for _, p := range h.parts {
				share, err := f.Zones.share(p)
				if err != nil {
					return nil, err
				}
				for _, z := range survey.Zones() {
					*in.Of(z) += *share.Of(z)
				}
			}
			h.zone = zoneOf(in)
			out = append(out, h)
		}
	}
	return out, nil
}

// tops finds which boards are the top ones that screws go through.
type tops struct {
	facets map[int]Facet
	field  []Facet
	over   []Facet     // crickets and the upper of two tapered layers
	layer  map[int]int // of each facet: its top layer of level fill; 0: it has tapered boards, or none
	bare   map[int]bool
	base   survey.Plane // thickness of all base layers
	layers int          // of base
	cover  survey.Plane // of the cover, where it is screwed through
	choice survey.Fastening
}

func topsOf(d *Design, c survey.Fastening) *tops {
	t := &tops{facets: map[int]Facet{}, layer: map[int]int{}, bare: map[int]bool{}, choice: c}
	t.field, t.over = parted(d.Facets)
	for _, f := range d.Facets {
		t.facets[f.ID], t.bare[f.ID] = f, true
	}
	if d.Cover > 0 && !c.GluedCover {
		t.cover = survey.Plane{CIn: d.Cover.Inches()}
	}
	tapered := map[int]bool{}
	for _, b := range d.Boards {
		switch b.Type {
		case BaseType:
			if b.Layer > t.layers {
				t.layers, t.base.CIn = b.Layer, t.base.CIn+b.ThickIn
			}
		case TaperedType, CricketType:
			tapered[b.Facet], t.bare[b.Facet] = true, false
		case FillType:
			t.layer[b.Facet], t.bare[b.Facet] = max(t.layer[b.Facet], b.Layer), false
		case CoverType, UnsetType:
		}
	}
	for id := range tapered {
		delete(t.layer, id)
	}
	return t
}

// open is what of each facet of the field no cricket covers; nil where there are none.
func (t *tops) open() (map[int][]geom.Poly, error) {
	if len(t.over) == 0 {
		return nil, nil
	}
	return uncovered(t.field, t.over)
}

// held is what of a board is screwed down: nothing where another board lies over it.
func (t *tops) held(b *Board, open map[int][]geom.Poly) ([]held, error) {
	whole := func(under survey.Plane) []held { return []held{{board: b, parts: []geom.Poly{b.Poly}, under: under}} }
	if t.choice.Attach == survey.BaseScrews {
		if b.Type == BaseType && b.Layer == t.layers {
			return whole(t.base), nil
		}
		return nil, nil
	}
	facet := t.facets[b.Facet]
	screwedCover := t.cover.CIn > 0
	switch {
	case b.Type == CoverType && screwedCover:
		return whole(t.thickness(facet).Add(t.cover)), nil
	case b.Type == CoverType || screwedCover:
		return nil, nil
	case b.Type == BaseType && b.Layer == t.layers:
		return t.bareBase(b, open)
	case b.Type == FillType && b.Layer != t.layer[b.Facet], b.Type == BaseType:
		return nil, nil
	}
	if facet.Role == CricketRole {
		return t.underCrickets(b, facet)
	}
	parts, err := t.openPart(b.Poly, facet, open)
	if err != nil || areaOfAll(parts) < leastHeldSqft {
		return nil, err
	}
	return []held{{board: b, parts: parts, under: facet.Plane}}, nil
}

// leastHeldSqft is the smallest part of a board that has a screw of its own beside a
// cricket: common practice, no source.
const leastHeldSqft = 0.1

// thickness is from the deck up where a facet is on top, without cover.
func (t *tops) thickness(f Facet) survey.Plane {
	if f.Role == CricketRole {
		return f.Plane.Add(t.facets[f.Under].Plane)
	}
	return f.Plane
}

// openPart is what of a piece on a facet of the field no cricket covers.
func (t *tops) openPart(p geom.Poly, f Facet, open map[int][]geom.Poly) ([]geom.Poly, error) {
	box := p.Outer.Box()
	covered := slices.ContainsFunc(t.over, func(c Facet) bool { return c.Under == f.ID && c.Poly.Outer.Box().Overlaps(box) })
	if !covered {
		return []geom.Poly{p}, nil
	}
	var out []geom.Poly
	for _, q := range open[f.ID] {
		parts, err := geom.Intersect(p, q)
		if err != nil {
			return nil, err
		}
		out = append(out, parts...)
	}
	return out, nil
}

// underCrickets is what of the upper of two tapered layers no cricket covers.
func (t *tops) underCrickets(b *Board, f Facet) ([]held, error) {
	parts := []geom.Poly{b.Poly}
	if f.IsUpper() {
		for _, c := range t.over {
			if c.IsUpper() || !c.Poly.Outer.Box().Overlaps(b.Poly.Outer.Box()) {
				continue
			}
			var left []geom.Poly
			for _, p := range parts {
				rest, err := geom.Subtract(p, c.Poly)
				if err != nil {
					return nil, err
				}
				left = append(left, rest...)
			}
			parts = left
		}
	}
	if areaOfAll(parts) < leastHeldSqft {
		return nil, nil
	}
	return []held{{board: b, parts: parts, under: t.thickness(f)}}, nil
}

// bareBase is what of a base board has nothing over it.
func (t *tops) bareBase(b *Board, open map[int][]geom.Poly) ([]held, error) {
	var parts []geom.Poly
	for _, f := range t.field {
		if !t.bare[f.ID] || !f.Poly.Outer.Box().Overlaps(b.Poly.Outer.Box()) {
			continue
		}
		on, err := geom.Intersect(b.Poly, f.Poly)
		if err != nil {
			return nil, err
		}
		for _, p := range on {
			left, err := t.openPart(p, f, open)
			if err != nil {
				return nil, err
			}
			parts = append(parts, left...)
		}
	}
	if areaOfAll(parts) < leastHeldSqft {
		return nil, nil
	}
	return []held{{board: b, parts: parts, under: t.base}}, nil
}

// plates parts the screws of a piece among the lines of plates that cross it: evenly, what is
// over on the thick side. A piece that no line crosses has them along its middle; without
// lines they stand where it is thickest.
func (f *Fastening) plates(h *held) []plate {
	n := inPiece(*f.PerBoard.Of(h.zone), f.Board, areaOfAll(h.parts))
	if len(f.Choice.Plates) == 0 || f.Choice.Attach == survey.BaseScrews {
		p := plate{held: h, screws: n}
		p.thin, p.thick = h.anywhere()
		return []plate{p}
	}
	var out []plate
	for _, at := range f.Choice.Plates {
		if p, crossed := h.along(at); crossed {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		out = []plate{h.middle(f.Choice.Plates)}
	}
	for i := range out {
		out[i].screws = n / len(out)
		if i >= len(out)-n%len(out) {
			out[i].screws++
		}
	}
	return slices.DeleteFunc(out, func(p plate) bool { return n > 0 && p.screws == 0 })
}
