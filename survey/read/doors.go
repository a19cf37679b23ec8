package read

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/unit"
)

// doors reads the doors of an area.
func (r *jobReader) doors(a *areaRead, v item) {
	if r.tooMany(v) {
		return
	}
	for _, d := range v.list() {
		if f, ok := d.fields("door"); ok {
			a.Doors, a.doorAt = append(a.Doors, r.door(a, f)), append(a.doorAt, f.item)
		}
	}
}

func (r *jobReader) door(a *areaRead, f fields) survey.Door {
	d := survey.Door{Edge: -1}
	id, at, edge, sill := f.get("id"), f.get("at"), f.get("edge"), f.get("sill")
	if d.ID, _ = id.text(); id.absent {
		id.fault("the door has no id", "write id: E1")
	}
	switch {
	case !edge.absent && !at.absent:
		at.fault("the door stands in an edge and at a place", "keep edge: and along:, or at:")
	case !edge.absent:
		r.doorInEdge(&d, a, f)
	case at.absent:
		at.fault("the door has no place", "write edge: 2 and along: 12 ft, or at: [x, y] in the wall of a court or of a curb")
	default:
		d.At, _ = at.pair()
		misplaced(f, "door that stands in no edge", "along", "width")
	}
	if sill.absent {
		sill.fault("the door has no sill", "write sill: 6 in, above: membrane")
	}
	d.Sill = r.height(f, "sill")
	return d
}

func (r *jobReader) doorInEdge(d *survey.Door, a *areaRead, f fields) {
	along := f.get("along")
	if along.absent {
		along.fault("the door has no place in its edge", "write along: 12 ft, from the edge's first vertex to its middle")
	}
	l, _ := along.positive(r.plan, true)
	d.Width, _ = f.get("width").positive(0, false)
	n, ok := a.edgeNumber(f.get("edge"))
	if !ok {
		return
	}
	d.Edge, d.Along = n, l
	p, q := a.Outline[n], a.Outline.At(n+1)
	longFt, half := p.Dist(q), d.Width.Feet()/2
	if l.Feet() < half-1e-6 || l.Feet() > longFt-half+1e-6 {
		along.fault(fmt.Sprintf("door %s reaches past the end of edge %d, which is %.2f ft long", d.ID, n, longFt),
			"write a smaller along or width, or another edge")
	}
	if longFt > 0 {
		d.At = p.Lerp(q, l.Feet()/longFt)
	}
}

// checkDoors finds doors that the roof does not come to.
func (r *jobReader) checkDoors(j *survey.Job, a *areaRead) {
	if len(a.Doors) == 0 {
		return
	}
	site := r.bareSite(j, a)
	for i, d := range a.Doors {
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
			a.doorAt[i].key("at").fault(fmt.Sprintf("door %s at %s %s, more than %s from its border", d.ID, r.place(d.At), how,
				survey.DoorReach.Format(unit.US)), "write the place in its wall, where the roof meets it")
		}
	}
}
