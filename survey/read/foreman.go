package read

import "runnel/survey"

// foreman reads how the crew works.
func (r *jobReader) foreman(j *survey.Job, v item) {
	f, ok := v.fields("foreman")
	if !ok {
		return
	}
	j.Foreman.HI, _ = f.get("hi").positive(0, false)
	rate := f.get("rate")
	if a, ok := rate.area(); ok {
		j.Foreman.Rate = a
		if a.SquareFeet() < leastRateSqft {
			rate.fault("a crew that covers less than 10 sq ft (1 m2) a day does no roof", "write an area a day such as "+r.say("1500 sq ft", "140 m2"))
		}
	}
}

// leastRateSqft keeps the plan of days finite.
const leastRateSqft = 10

// foreman writes how the crew works.
func (w *jobWriter) foreman(root group) {
	c := w.job.Foreman
	if c == (survey.Foreman{}) {
		return
	}
	g := flow()
	g.put("hi", w.orNone(c.HI))
	if c.Rate != 0 {
		g.put("rate", areaText(c.Rate))
	}
	root.node("foreman", g.n)
}
