package read

import (
	"fmt"
	"strings"

	"runnel/survey"
	"runnel/survey/read/table"
	"runnel/survey/unit"
)

// rain reads the rain to reckon with; what is not stated is asked for later and
// never guessed.
func (r *jobReader) rain(j *survey.Job, v item) {
	f, ok := v.fields("rain")
	if !ok {
		return
	}
	j.Rain.Rate, _ = f.get("rate").rainRate()
	over := f.get("overflow_rate")
	if j.Rain.OverflowRate, ok = over.rainRate(); ok && j.Rain.OverflowRate < j.Rain.Rate {
		over.fault("overflows are made for the heavier rain, and this one is lighter than rain.rate",
			"exchange the two, or mend one")
	}
}

// rainRate reads a rate of rain, which must be more than 0.
func (v item) rainRate() (unit.RainRate, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	rate, err := unit.ParseRainRate(t)
	if err == nil && rate == 0 {
		err = unit.Refusal{Why: "a rain of nothing", Mend: "write it like 3.2 in/h or 81 mm/h, or take it out"}
	}
	if err != nil {
		v.refuse(err)
	}
	return rate, err == nil
}

// capacity reads what an outlet takes: pairs of head over the inlet and flow,
// both growing.
func capacity(v item) []survey.HeadFlow {
	var out []survey.HeadFlow
	for _, row := range v.list() {
		if row.n.Kind != seqKind || len(row.n.Content) != 2 {
			row.fault("a head and a flow were expected", "write [1 in, 80 gpm], the head over the inlet and what it takes then")
			continue
		}
		l := row.list()
		head, okHead := l[0].positive(0, false)
		flow, okFlow := l[1].flow()
		if !okHead || !okFlow {
			continue
		}
		if n := len(out); n > 0 && (head <= out[n-1].Head || flow <= out[n-1].Flow) {
			row.fault("head and flow must both be more than in the row before", "write the rows by growing head")
			continue
		}
		out = append(out, survey.HeadFlow{Head: head, Flow: flow})
	}
	return out
}

// flow reads a flow of water, which must be more than 0.
func (v item) flow() (unit.Flow, bool) {
	t, ok := v.text()
	if !ok {
		return 0, false
	}
	flow, err := unit.ParseFlow(t)
	if err == nil && flow == 0 {
		err = unit.Refusal{Why: "a flow of nothing", Mend: "write it like 80 gpm or 5 L/s"}
	}
	if err != nil {
		v.refuse(err)
	}
	return flow, err == nil
}

// checkOnto holds outlets that discharge onto another area to areas that there
// are, and finds water that would come round to where it left.
func (r *jobReader) checkOnto() {
	names := map[string]*areaRead{}
	for _, a := range r.areas {
		names[a.Name] = a
	}
	for _, a := range r.areas {
		for i, o := range a.Outlets {
			at := a.outletAt[i].key("onto")
			switch b := names[o.Onto]; {
			case o.Onto == "":
			case b == nil:
				var known []string
				for _, c := range r.areas {
					known = append(known, c.Name)
				}
				at.fault("the job has no area "+o.Onto, "write the name of the area that takes the water: "+table.Listed(known))
			case b == a || reaches(names, b, a, map[*areaRead]bool{}):
				at.fault(fmt.Sprintf("the water that leaves area %s would come back to it", a.Name),
					"write onto: only where water falls onto a lower area")
				return // the rest of the ring is the same fault
			}
		}
	}
}

// reaches says whether water of one area comes to another.
func reaches(names map[string]*areaRead, from, to *areaRead, seen map[*areaRead]bool) bool {
	if from == to || seen[from] {
		return from == to
	}
	seen[from] = true
	for _, o := range from.Outlets {
		if next := names[o.Onto]; o.Onto != "" && next != nil && reaches(names, next, to, seen) {
			return true
		}
	}
	return false
}

// leastBayFt is the smallest side of a bay: nothing that carries a roof stands
// closer.
const leastBayFt = 2

// bays reads a regular grid of bays.
func bays(v item) *survey.BayGrid {
	f, ok := v.fields("bays")
	if !ok {
		return nil
	}
	size, from := f.get("size"), f.get("from")
	if size.absent {
		size.fault("the bays have no size", "write size: [30, 40], along and across the building")
	}
	wd, ok := size.pair()
	if ok && (wd.X < leastBayFt || wd.Y < leastBayFt) {
		size.fault("a bay is at least 2 ft (0.61 m) each way", "write size: [30, 40], along and across the building")
		ok = false
	}
	b := &survey.BayGrid{W: wd.X, D: wd.Y}
	if from.absent {
		from.fault("it is not stated where the bays begin", "write from: [0, 0], a corner of one of them")
	}
	var okFrom bool
	if b.From, okFrom = from.pair(); !ok || !okFrom {
		return nil
	}
	return b
}

// A sag of less than L/30 would be no roof, one of L/10000 is none.
const (
	leastSagOf = 30
	mostSagOf  = 10_000
)

// deflection reads a sag or a camber to be tried.
func (r *jobReader) deflection(d *survey.DeckKind, f fields) {
	sag, camber := f.get("sag"), f.get("camber")
	if !sag.absent && !camber.absent {
		camber.fault("a sag and a camber are tried one at a time", "keep one of them")
		return
	}
	d.Camber, _ = camber.positive(0, false)
	t, ok := sag.text()
	if !ok {
		return
	}
	n, plain := table.Number(strings.TrimSpace(strings.TrimPrefix(strings.ToUpper(t), "L/")))
	if !strings.HasPrefix(strings.ToUpper(t), "L/") || !plain || n < leastSagOf || n > mostSagOf {
		sag.fault("a share of the span was expected", "write sag: L/240, from L/30 to L/10000")
		return
	}
	d.SagOf = n
}
