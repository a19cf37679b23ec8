package read

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// wallItems reads the doors, the sills or the weeps of an area; what is the name
// of one, key that of its height.
func (r *jobReader) wallItems(a *areaRead, v item, what, key string) (out []survey.WallItem, at []item) {
	if r.tooMany(v) {
		return nil, nil
	}
	for _, d := range v.list() {
		if f, ok := d.fields(what); ok {
			out, at = append(out, r.wallItem(a, f, what, key)), append(at, f.item)
		}
	}
	return out, at
}

func (r *jobReader) wallItem(a *areaRead, f fields, what, key string) survey.WallItem {
	d := survey.WallItem{Edge: -1}
	id, at, edge, height := f.get("id"), f.get("at"), f.get("edge"), f.get(key)
	if d.ID, _ = id.text(); id.absent {
		id.fault("the "+what+" has no id", "write id: E1")
	}
	switch {
	case !edge.absent && !at.absent:
		at.fault("the "+what+" stands in an edge and at a place", "keep edge: and along:, or at:")
	case !edge.absent:
		r.inEdge(&d, a, f, what)
	case at.absent:
		at.fault("the "+what+" has no place", "write edge: 2 and along: 12 ft, or at: [x, y] in the wall of a court or of a curb")
	default:
		d.At, _ = at.pair()
		misplaced(f, what+" that stands in no edge", "along", "width")
	}
	if height.absent {
		height.fault("the "+what+" has no "+key, "write "+key+": 6 in, above: membrane")
	}
	d.Height = r.height(f, key)
	return d
}

func (r *jobReader) inEdge(d *survey.WallItem, a *areaRead, f fields, what string) {
	along := f.get("along")
	if along.absent {
		along.fault("the "+what+" has no place in its edge", "write along: 12 ft, from the edge's first vertex to its middle")
	}
	l, _ := along.positive(r.plan, true)
	d.Width, _ = f.get("width").positive(0, false)
	if n, at, ok := a.onEdge(f, what+" "+d.ID, l, d.Width); ok {
		d.Edge, d.Along, d.At = n, l, at
	}
}

// onEdge is the edge that f names and the place on it, so far along, of what is so wide;
// false where there is no such edge. What reaches past the edge's end is a fault.
func (a *areaRead) onEdge(f fields, name string, along, width unit.Length) (n int, at geom.Pt, ok bool) {
	if n, ok = a.edgeNumber(f.get("edge")); !ok {
		return n, at, false
	}
	p, q := a.Outline[n], a.Outline.At(n+1)
	longFt, half := p.Dist(q), width.Feet()/2
	if along.Feet() < half-1e-6 || along.Feet() > longFt-half+1e-6 {
		f.get("along").fault(fmt.Sprintf("%s reaches past the end of edge %d, which is %.2f ft long", name, n, longFt),
			"write a smaller along or width, or another edge")
	}
	if longFt > 0 {
		at = p.Lerp(q, along.Feet()/longFt)
	}
	return n, at, true
}

// checkWallItems finds doors, sills or weeps that the roof does not come to.
func (r *jobReader) checkWallItems(j *survey.Job, a *areaRead, items []survey.WallItem, at []item, what string) {
	if len(items) == 0 {
		return
	}
	site := r.bareSite(j, a)
	for i, d := range items {
		if d.Edge >= 0 {
			continue
		}
		p, how := site.Frame.ToLocal(d.At), ""
		if !site.Poly().Has(p) && site.Poly().Dist(p) > survey.DoorReach.Feet() {
			how = "lies off the roof"
		}
		for n, c := range site.Curbs {
			if c.Has(p) && c.Dist(p) > survey.DoorReach.Feet() {
				how = "lies inside curb " + site.CurbIDs[n]
			}
		}
		if how != "" {
			at[i].key("at").fault(fmt.Sprintf("%s %s at %s %s, more than %s from its border", what, d.ID, r.place(d.At), how,
				survey.DoorReach.Format(unit.US)), "write the place in its wall, where the roof meets it")
		}
	}
}
