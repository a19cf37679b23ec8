// Package lower finds the lower envelope of planes that each hold over a part
// of an area: which plane is least where, as regions that share their borders
// exactly.
//
// The area is kept as convex cells, each with the least plane so far. A new
// plane over a convex piece cuts the cells that it undercuts. In the end cells
// of one plane are united over their shared edges, so that the regions are a
// partition by construction.
//
// Places are feet in the building frame, planes inches.
package lower

import (
	"math"

	"runnel/survey"
	"runnel/survey/geom"
)

const (
	// onLineFt is the distance at which a corner of a cell lies on a cut.
	onLineFt = 1e-10
	// sameIn is the difference at which two planes are equal at a place.
	sameIn = 1e-9
	// speckFt is the width of a cell that is rounding only; places of the net
	// nearer than ten times this are one, so that gaps left by specks close.
	speckFt = 1e-9
)

// Envelope is an area under its least planes so far.
type Envelope struct {
	keep  []geom.Pt // places to be kept exactly
	cells []cell
	few   int // cells after the last tidying
}

// cell is a convex part of the area, counter-clockwise, under one plane.
type cell struct {
	ring  geom.Ring
	box   geom.Box
	plane survey.Plane
	held  bool // has a plane
	tag   Tag
}

// Tag parts regions of one plane: Kind is what the plane was laid for, Part the
// part of the area that it lies in.
type Tag struct{ Kind, Part int }

// Piece is a region with a plane to begin from.
type Piece struct {
	Poly  geom.Poly
	Plane survey.Plane
	Tag   Tag
}

// half is a half-plane: where n.p >= at, n a unit vector.
type half struct {
	n  geom.Pt
	at float64
}

// off is how far p lies within h, in feet; rounding counts as on the border.
func (h half) off(p geom.Pt) float64 {
	d := h.n.Dot(p) - h.at
	if math.Abs(d) < onLineFt {
		return 0
	}
	return d
}

// New starts with no plane anywhere on the area. Places in keep are kept to
// the last bit where a border runs through them.
func New(area geom.Poly, keep []geom.Pt) *Envelope {
	e := &Envelope{keep: keep}
	for _, r := range trapezoids(area) {
		e.cells = append(e.cells, cellOf(r))
	}
	e.few = len(e.cells)
	return e
}

// Of starts with the planes of a partition of an area. Places in keep are kept
// as in New.
func Of(pieces []Piece, keep []geom.Pt) *Envelope {
	e := &Envelope{keep: keep}
	for _, p := range pieces {
		for _, r := range trapezoids(p.Poly) {
			e.cells = append(e.cells, cell{r, r.Box(), p.Plane, true, p.Tag})
		}
	}
	e.few = len(e.cells)
	return e
}

func cellOf(r geom.Ring) cell { return cell{ring: r, box: r.Box()} }

// with is c over another ring.
func (c cell) with(r geom.Ring) cell { return cell{r, r.Box(), c.plane, c.held, c.tag} }

// Put puts the plane over a region, whatever is there. Cost: its convex parts x
// the cells.
func (e *Envelope) Put(region geom.Poly, plane survey.Plane, kind int) {
	e.PutOver(region, plane, kind, func(Tag) bool { return true })
}

// PutOver is Put where what is there is free for it.
func (e *Envelope) PutOver(region geom.Poly, plane survey.Plane, kind int, free func(Tag) bool) {
	e.each(region, func(c *cell) {
		if free(c.tag) {
			c.plane, c.held, c.tag.Kind = plane, true, kind
		}
	})
}

// Mark says of a region which part of the area it is. Cost: as Put.
func (e *Envelope) Mark(region geom.Poly, part int) {
	e.each(region, func(c *cell) { c.tag.Part = part })
}

// each cuts the cells by the border of a region and does f to those in it.
func (e *Envelope) each(region geom.Poly, f func(c *cell)) {
	for _, piece := range trapezoids(region) {
		box, sides := piece.Box(), sidesOf(piece)
		for i := range len(e.cells) {
			c := e.cells[i]
			if !box.Overlaps(c.box) {
				continue
			}
			in, rest, ok := split(c.ring, sides)
			if !ok {
				continue
			}
			e.cells[i] = c.with(in)
			f(&e.cells[i])
			for _, r := range rest {
				e.cells = append(e.cells, c.with(r))
			}
		}
	}
}

// Lower puts the plane over a convex counter-clockwise piece wherever it is
// less than what is there. On a tie what is there stays. Cost: one pass over
// the cells.
func (e *Envelope) Lower(piece geom.Ring, plane survey.Plane) { e.LowerAs(piece, plane, 0) }

// LowerAs is Lower of a plane that is laid for a purpose of its own: regions of
// different kinds stay apart.
func (e *Envelope) LowerAs(piece geom.Ring, plane survey.Plane, kind int) {
	if speck(piece) {
		return
	}
	box, sides := piece.Box(), sidesOf(piece)
	for i := range len(e.cells) {
		c := e.cells[i]
		if !box.Overlaps(c.box) {
			continue
		}
		cuts, ok := undercut(c, plane)
		if !ok {
			continue
		}
		in, rest, ok := split(c.ring, append(cuts, sides...))
		if !ok {
			continue
		}
		e.cells[i] = cell{in, in.Box(), plane, true, Tag{kind, c.tag.Part}}
		for _, r := range rest {
			e.cells = append(e.cells, c.with(r))
		}
	}
}

// undercut gives the half-plane in which plane is less than what c has; false
// where it is nowhere less.
func undercut(c cell, plane survey.Plane) ([]half, bool) {
	if !c.held {
		return nil, true
	}
	less := false
	for _, p := range c.ring {
		less = less || plane.At(p) < c.plane.At(p)-sameIn
	}
	if !less {
		return nil, false
	}
	d := geom.Pt{X: c.plane.GX - plane.GX, Y: c.plane.GY - plane.GY}
	l := d.Norm()
	if l < 1e-12 {
		return nil, true
	}
	return []half{{d.Mul(1 / l), (plane.CIn - c.plane.CIn) / l}}, true
}

// Drop takes a convex counter-clockwise piece out of the area.
func (e *Envelope) Drop(piece geom.Ring) {
	box, sides := piece.Box(), sidesOf(piece)
	var kept []cell
	for _, c := range e.cells {
		if !box.Overlaps(c.box) {
			kept = append(kept, c)
			continue
		}
		_, rest, ok := split(c.ring, sides)
		if !ok {
			kept = append(kept, c)
			continue
		}
		for _, r := range rest {
			kept = append(kept, c.with(r))
		}
	}
	e.cells = kept
	e.keep = append(e.keep, piece...)
}

// Tidy cuts the regions found so far into convex cells afresh where planes laid
// over one another have left many more cells than the regions need. It changes
// no plane at any place. The error is that of Regions. Cost: as Regions, paid
// back by the cells that Lower need not look at.
func (e *Envelope) Tidy() error {
	if len(e.cells) < 4*e.few+400 {
		return nil
	}
	u, err := e.unite(true)
	if err != nil {
		return err
	}
	regions, _, err := u.trace()
	if err != nil {
		return err
	}
	e.cells = e.cells[:0:0]
	for _, r := range regions {
		for _, ring := range trapezoids(r.Poly) {
			e.cells = append(e.cells, cell{ring, ring.Box(), r.Plane, r.held, r.Tag})
		}
	}
	e.few = len(e.cells)
	return nil
}

// Sqft is the area that is left, and Bare the part of it under no plane.
func (e *Envelope) Sqft() (all, bare float64) {
	for _, c := range e.cells {
		a := c.ring.SignedArea()
		all += a
		if !c.held {
			bare += a
		}
	}
	return all, bare
}

// sidesOf gives the half-planes whose meeting is the convex ring r.
func sidesOf(r geom.Ring) []half {
	var out []half
	for i, a := range r {
		d := r.At(i + 1).Sub(a)
		if l := d.Norm(); l > onLineFt {
			n := geom.Pt{X: -d.Y / l, Y: d.X / l}
			out = append(out, half{n, n.Dot(a)})
		}
	}
	return out
}

// split cuts convex r into its part in all of hs and the convex rest; false
// where they share no area.
func split(r geom.Ring, hs []half) (in geom.Ring, rest []geom.Ring, ok bool) {
	for _, h := range hs {
		out := clipTo(r, half{h.n.Mul(-1), -h.at})
		if speck(out) {
			continue
		}
		if r = clipTo(r, h); speck(r) {
			return nil, nil, false
		}
		rest = append(rest, out)
	}
	return r, rest, true
}

// speck says whether a convex ring is empty or a sliver of rounding.
func speck(r geom.Ring) bool {
	w, h := r.Box().Size()
	return r.SignedArea() <= speckFt*math.Max(w, h)
}

// clipTo is the part of convex r in h; nothing is left of a ring that only
// touches it. Cost: one pass.
func clipTo(r geom.Ring, h half) geom.Ring {
	var out geom.Ring
	inside := false
	for i, p := range r {
		q := r.At(i + 1)
		dp, dq := h.off(p), h.off(q)
		if dp >= 0 {
			out = append(out, p)
			inside = inside || dp > 0
		}
		if dp*dq < 0 {
			out = append(out, p.Lerp(q, dp/(dp-dq)))
		}
	}
	if !inside {
		return nil
	}
	return out
}

// Half makes the half-plane of the places p with n.(p - q) >= 0; a zero n
// holds everywhere.
func Half(n, q geom.Pt) Cut {
	l := n.Norm()
	if l < 1e-15 {
		return Cut{}
	}
	u := n.Mul(1 / l)
	return Cut{half{u, u.Dot(q)}, true}
}

// Cut is a half-plane to clip with; the zero Cut clips nothing.
type Cut struct {
	h  half
	on bool
}

// Of is the part of convex r in c.
func (c Cut) Of(r geom.Ring) geom.Ring {
	if !c.on || len(r) == 0 {
		return r
	}
	return clipTo(r, c.h)
}
