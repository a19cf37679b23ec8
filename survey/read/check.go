package read

import (
	"fmt"
	"math"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
)

// nearFt is how near to a line a place counts as on it: a quarter inch, two
// units in the last place of a book in hundredths of a foot.
const nearFt = 0.25 / 12

// place writes a place for people, in the job's plan unit.
func (r *jobReader) place(p geom.Pt) string {
	one := r.plan.Feet()
	return fmt.Sprintf("(%.2f, %.2f)", p.X/one, p.Y/one)
}

// simple reports a closed line that crosses itself, with the place.
func (r *jobReader) simple(v item, what string, ring geom.Ring) bool {
	i, j, found := ring.SelfCrossing()
	switch {
	case !found && ring.Area() > 0:
		return true
	case !found:
		v.fault("the "+what+" has no area", "write its corners in order round it")
	case i == j:
		v.fault(fmt.Sprintf("vertex %d of the %s stands twice in a row at %s", i, what, r.place(ring[i])),
			"take one of them out")
	default:
		v.fault(fmt.Sprintf("edges %d and %d of the %s cross or touch at %s", i, j, what,
			r.place(meeting(ring[i], ring.At(i+1), ring[j], ring.At(j+1)))),
			"write the corners in order round the roof")
	}
	return false
}

// meeting is the place where two stretches cross; for stretches in one line,
// an end that lies on the other.
func meeting(a, b, c, d geom.Pt) geom.Pt {
	u, w := b.Sub(a), d.Sub(c)
	if k := u.Cross(w); k != 0 {
		t := c.Sub(a).Cross(w) / k
		return a.Lerp(b, math.Max(0, math.Min(1, t)))
	}
	for _, p := range []geom.Pt{c, d} {
		if geom.SegDist(p, a, b) < nearFt {
			return p
		}
	}
	return a
}

// checkAreas looks at each area, then at how they lie to each other.
func (r *jobReader) checkAreas(j *survey.Job) {
	for _, a := range r.areas {
		r.checkRings(a)
		r.checkIDs(a)
		r.checkWays(a)
		if a.sound {
			r.checkDrains(a)
			r.checkTwins(a)
			r.checkCurbs(j, a)
			r.checkWallItems(j, a, a.Doors, a.doorAt, "door")
			r.checkWallItems(j, a, a.Sills, a.sillAt, "sill")
			r.checkWallItems(j, a, a.Weeps, a.weepAt, "weep")
			r.checkDucts(j, a)
		}
	}
	r.checkNeighbours()
	r.checkOnto()
}

// checkRings holds outline and courts to what the rest reckons with: simple,
// courts inside and apart, of a size that can be worked.
func (r *jobReader) checkRings(a *areaRead) {
	if !a.sound {
		return
	}
	vertices := len(a.Outline)
	a.sound = r.simple(a.outline, "outline", a.Outline)
	for i, c := range a.Courts {
		a.sound = r.simple(a.courtAt[i], "court", c) && a.sound
		vertices += len(c)
	}
	if vertices > mostVertices {
		a.outline.fault(fmt.Sprintf("outline and courts have %d vertices, more than %d", vertices, mostVertices),
			"draw them with fewer")
		a.sound = false
	}
	if size := a.Outline.Area(); size > mostAreaSqft {
		a.outline.fault(fmt.Sprintf("the area has %.3g sq ft, more than 1e6", size),
			"divide it into areas; in metric jobs check that coordinates are metres")
		a.sound = false
	}
	if a.sound {
		a.sound = r.checkCourts(a)
	}
}

// checkCourts holds courts inside the outline and apart from each other.
func (r *jobReader) checkCourts(a *areaRead) bool {
	if len(a.Courts) == 0 {
		return true
	}
	rings := append([]geom.Ring{a.Outline}, a.Courts...)
	if p, q, found := geom.Crossing(rings...); found {
		k := max(p.Ring, q.Ring)
		other := "the outline"
		if o := min(p.Ring, q.Ring); o > 0 {
			other = fmt.Sprintf("court %d", o-1)
		}
		e, f := rings[p.Ring], rings[q.Ring]
		a.courtAt[k-1].fault(fmt.Sprintf("court %d meets %s at %s", k-1, other,
			r.place(meeting(e[p.Edge], e.At(p.Edge+1), f[q.Edge], f.At(q.Edge+1)))),
			"move it off, or draw both as one")
		return false
	}
	for i, c := range a.Courts {
		if !a.Outline.Has(c[0]) {
			a.courtAt[i].fault(fmt.Sprintf("court %d lies outside the outline", i), "move it inside")
			return false
		}
		for k, d := range a.Courts {
			if k != i && d.Has(c[0]) {
				a.courtAt[i].fault(fmt.Sprintf("court %d lies in court %d", i, k), "take the inner one out")
				return false
			}
		}
	}
	return true
}

// checkIDs finds outlets, curbs, doors, sills, weeps and ducts of one name.
func (r *jobReader) checkIDs(a *areaRead) {
	twice := func(ids map[string]int, id string, at item, what string) {
		if line, ok := ids[id]; ok && id != "" {
			at.fault(fmt.Sprintf("two %s of area %s are called %s, the other at line %d", what, a.Name, id, line),
				"give one of them another id")
		}
		ids[id] = at.n.Line
	}
	outlets, curbs := map[string]int{}, map[string]int{}
	for i, o := range a.Outlets {
		twice(outlets, o.ID, a.outletAt[i], "outlets")
	}
	for i, c := range a.Curbs {
		twice(curbs, c.ID, a.curbAt[i], "curbs")
	}
	each := func(items []survey.WallItem, at []item, what string) {
		ids := map[string]int{}
		for i, d := range items {
			twice(ids, d.ID, at[i], what)
		}
	}
	each(a.Doors, a.doorAt, "doors")
	each(a.Sills, a.sillAt, "sills")
	each(a.Weeps, a.weepAt, "weeps")
	ducts := map[string]int{}
	for i, d := range a.Ducts {
		twice(ducts, d.ID, a.ductAt[i], "ducts")
	}
}

// checkWays asks for a way out for the water: an overflow alone is none.
func (r *jobReader) checkWays(a *areaRead) {
	if a.Outline == nil {
		return // its edges are not known
	}
	overflow := false
	for _, o := range a.Outlets {
		if !o.Overflow {
			return
		}
		overflow = true
	}
	why := "area " + a.Name + " has no outlet: water cannot leave"
	if overflow {
		why = "area " + a.Name + " has overflows alone: water has no outlet of its own"
	}
	a.at.fault(why, "add a drain or a scupper under outlets, or an edge of kind gutter or open")
}

// off says how a place misses the roof; "" where it does not.
func (a *areaRead) off(p geom.Pt) string {
	if !a.Outline.Has(p) && a.Outline.Dist(p) > nearFt {
		return "lies outside the outline"
	}
	for i, c := range a.Courts {
		if c.Has(p) && c.Dist(p) > nearFt {
			return fmt.Sprintf("lies in court %d", i)
		}
	}
	return ""
}

// checkDrains finds drains off the roof.
func (r *jobReader) checkDrains(a *areaRead) {
	for i, o := range a.Outlets {
		if o.Kind != survey.Drain {
			continue
		}
		if how := a.off(o.At); how != "" {
			ring := "the outline"
			if court, ok := strings.CutPrefix(how, "lies in "); ok {
				ring = court
			}
			a.outletAt[i].key("at").fault(fmt.Sprintf("drain %s at %s %s", o.ID, r.place(o.At), how),
				"move it onto the roof, or mend "+ring)
		}
	}
}

// twinFt is how near two outlets may stand: nearer they are one, written twice.
const twinFt = 0.1

// checkTwins finds drains and scuppers at one place. An overflow may stand with
// the outlet that it backs, over it or in one body.
func (r *jobReader) checkTwins(a *areaRead) {
	for i, o := range a.Outlets {
		if o.Kind != survey.Drain && o.Kind != survey.Scupper {
			continue
		}
		for _, p := range a.Outlets[:i] {
			if p.Kind == o.Kind && p.Overflow == o.Overflow && p.At.Dist(o.At) <= twinFt {
				a.outletAt[i].fault(fmt.Sprintf("%s %s stands at %s, the place of %s %s", o.Kind, o.ID,
					r.place(o.At), p.Kind, p.ID), "take one of them out, or mend its place")
				break
			}
		}
	}
}

// bareSite is the area in its building frame, without shots.
func (r *jobReader) bareSite(j *survey.Job, a *areaRead) *survey.Site {
	bare := a.Area
	bare.Shots = nil
	var axes *float64
	if j.Taper != nil {
		axes = j.Taper.AxesDeg
	}
	return survey.SiteOf(&bare, axes)
}

// checkCurbs finds curbs that reach off the roof, over a drain or over each
// other. Curbs may stand against a wall.
func (r *jobReader) checkCurbs(j *survey.Job, a *areaRead) {
	if len(a.Curbs) == 0 {
		return
	}
	site := r.bareSite(j, a)
	kept := make([]geom.Ring, len(site.Curbs)) // drawn in by nearFt
	for i, c := range a.Curbs {
		if c.W <= 0 || c.D <= 0 {
			return // told already
		}
		kept[i] = shrunk(site.Curbs[i])
	}
	for i, ring := range kept {
		id, at := a.Curbs[i].ID, a.curbAt[i]
		if cuts(site.Poly(), ring) || !site.Poly().Has(ring[0]) {
			at.fault(fmt.Sprintf("curb %s reaches off the roof, over the outline or a court", id),
				"move it inside, or mend its size and turn")
			continue
		}
		r.checkCurb(a, site, kept, i)
	}
}

// cuts says whether a border of p meets one of ring.
func cuts(p geom.Poly, ring geom.Ring) bool {
	box := ring.Box()
	for _, r := range p.Rings() {
		for i, c := range r {
			d := r.At(i + 1)
			if !geom.BoxOf(c, d).Overlaps(box) {
				continue
			}
			for k, e := range ring {
				if geom.Meet(c, d, e, ring.At(k+1)) {
					return true
				}
			}
		}
	}
	return false
}

// checkCurb finds what stands under curb i.
func (r *jobReader) checkCurb(a *areaRead, site *survey.Site, kept []geom.Ring, i int) {
	for k := range i {
		if kept[k].Box().Overlaps(kept[i].Box()) && overlap(kept[k], kept[i]) {
			a.curbAt[i].fault(fmt.Sprintf("curbs %s and %s overlap", a.Curbs[k].ID, a.Curbs[i].ID),
				"move one of them, or draw both as one")
		}
	}
	for k, o := range site.Outlets {
		if o.Kind == survey.Drain && kept[i].Has(o.P) {
			a.outletAt[k].fault(fmt.Sprintf("drain %s stands under curb %s", o.ID, a.Curbs[i].ID),
				"move one of them")
		}
	}
}

// shrunk draws a curb's corners in by nearFt, or to a third of its size where
// it is hardly larger than that.
func shrunk(r geom.Ring) geom.Ring {
	mid := r[0].Lerp(r[2], 0.5)
	ax, ay := r[1].Sub(r[0]), r[3].Sub(r[0])
	in := func(v geom.Pt) geom.Pt { return v.Mul(0.5 * math.Max(1.0/3, 1-2*nearFt/v.Norm())) }
	x, y := in(ax), in(ay)
	return geom.Ring{mid.Sub(x).Sub(y), mid.Add(x).Sub(y), mid.Add(x).Add(y), mid.Sub(x).Add(y)}
}

// overlap says whether two convex rings share more than a border.
func overlap(a, b geom.Ring) bool {
	_, _, met := geom.Crossing(a, b)
	return met || a.Has(b[0]) || b.Has(a[0])
}

// checkNeighbours finds areas of one name and areas that lie over each other
// by more than a border drawn twice can explain.
func (r *jobReader) checkNeighbours() {
	names := map[string]int{}
	for i, a := range r.areas {
		if k, twice := names[a.Name]; twice && a.Name != "" {
			a.at.key("name").fault(fmt.Sprintf("two areas are called %s, the other at line %d", a.Name,
				r.areas[k].at.n.Line), "give one of them another name")
		}
		names[a.Name] = i
		for _, b := range r.areas[:i] {
			if !a.sound || !b.sound || !a.Outline.Box().Overlaps(b.Outline.Box()) {
				continue
			}
			sqft, err := shared(a, b)
			if err != nil {
				a.outline.fault("the overlap with area "+b.Name+" cannot be reckoned: "+err.Error(),
					"draw the outlines with fewer places that nearly meet")
			}
			if sqft > 1 {
				a.outline.fault(fmt.Sprintf("areas %s and %s overlap by %.1f sq ft", b.Name, a.Name, sqft),
					"draw the border between them once")
			}
		}
	}
}

// shared is how much two areas lie over each other, in square feet.
func shared(a, b *areaRead) (sqft float64, err error) {
	parts, err := geom.Intersect(a.poly(), b.poly())
	for _, p := range parts {
		sqft += p.Area()
	}
	return sqft, err
}

func (a *areaRead) poly() geom.Poly {
	return geom.Poly{Outer: a.Outline.CCW(), Holes: a.Courts}
}
