package read

import (
	"fmt"

	"runnel/survey"
	"runnel/survey/geom"
)

// ducts reads the ducts of an area.
func (r *jobReader) ducts(a *areaRead, v item) {
	if r.tooMany(v) {
		return
	}
	for _, d := range v.list() {
		if f, ok := d.fields("duct"); ok {
			a.Ducts, a.ductAt = append(a.Ducts, r.duct(f)), append(a.ductAt, f.item)
		}
	}
}

func (r *jobReader) duct(f fields) survey.Duct {
	var d survey.Duct
	id, from, to, height := f.get("id"), f.get("from"), f.get("to"), f.get("height")
	if d.ID, _ = id.text(); id.absent {
		id.fault("the duct has no id", "write id: M1")
	}
	for _, end := range []struct {
		at   item
		into *geom.Pt
	}{{from, &d.From}, {to, &d.To}} {
		if end.at.absent {
			end.at.fault("the duct has no such end", "write from: [x, y] and to: [x, y]")
		}
		*end.into, _ = end.at.pair()
	}
	if height.absent {
		height.fault("the duct has no height", "write height: 24 in, above: membrane, of its underside")
	}
	d.Height = r.height(f, "height")
	return d
}

// checkDucts finds ducts that run nowhere over the roof.
func (r *jobReader) checkDucts(j *survey.Job, a *areaRead) {
	if len(a.Ducts) == 0 {
		return
	}
	site := r.bareSite(j, a)
	for i, d := range a.Ducts {
		const looks = 64
		over := false
		for k := range looks + 1 {
			over = over || site.Poly().Has(site.Frame.ToLocal(d.From.Lerp(d.To, float64(k)/looks)))
		}
		if !over {
			a.ductAt[i].key("from").fault(fmt.Sprintf("duct %s from %s to %s runs nowhere over the roof", d.ID, r.place(d.From), r.place(d.To)),
				"write the places of its ends over the roof")
		}
	}
}
