package read

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/geom"
)

// drawn is a line of the designer's that parts the field, where it stands in the
// job file, and the area it belongs to; nil: any that it runs over.
type drawn struct {
	item
	what string
	at   []geom.Pt
	area *areaRead
}

// besideDrainFt is how near a line may pass a drain without cutting what is laid
// round it: half a sump of 4 ft, common practice, no source.
const besideDrainFt = 2.0

// checkDrawn notes the lines that run through a drain or a curb. Regions over one
// another's border are told each.
func (r *jobReader) checkDrawn(j *survey.Job) {
	for _, a := range r.areas {
		if !a.sound {
			continue
		}
		site := r.bareSite(j, a)
		for _, d := range r.drawn {
			if d.area != nil && d.area != a {
				continue
			}
			line := geom.Ring(d.at).Map(site.Frame.ToLocal)
			for n, c := range site.Curbs {
				if a.Curbs[n].W > 0 && a.Curbs[n].D > 0 && enters(shrunk(c), line) {
					d.note(fmt.Sprintf("the %s runs through curb %s of area %s: boards break on it at two walls of the curb", d.what, a.Curbs[n].ID, a.Name),
						"draw it along a side of the curb, if it need not be there")
				}
			}
			for _, o := range site.Outlets {
				if o.Kind == survey.Drain && fromLineFt(line, o.P) < besideDrainFt {
					d.note(fmt.Sprintf("the %s runs through drain %s of area %s: each side is designed to it by itself, and what is laid round it is cut", d.what, o.ID, a.Name),
						"draw it 2 ft or more beside the drain, if one side should have it")
				}
			}
		}
	}
}

// enters says whether a line has a stretch in a ring.
func enters(ring geom.Ring, line []geom.Pt) bool {
	for i := 1; i < len(line); i++ {
		if crosses(ring, line[i-1], line[i]) {
			return true
		}
	}
	return false
}

func fromLineFt(line []geom.Pt, p geom.Pt) float64 {
	best := line[0].Dist(p)
	for i := 1; i < len(line); i++ {
		best = min(best, geom.SegDist(p, line[i-1], line[i]))
	}
	return best
}

// holdsOnRoof refuses places of a line of the job off the box of all areas.
func (r *jobReader) holdsOnRoof(at item, line []geom.Pt) {
	var all []geom.Pt
	for _, a := range r.areas {
		if !a.sound {
			return // its own fault is told
		}
		all = append(all, a.Outline...)
	}
	box := geom.BoxOf(all...)
	for i, p := range line {
		if len(all) > 0 && boxDist(box, p) > nearFt {
			at.list()[i].fault("the line leaves the roof at "+r.place(p), "end it at the outline")
		}
	}
}
