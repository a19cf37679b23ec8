package render

import (
	"fmt"

	"github.com/jedib0t/go-pretty/v6/table"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/unit"
)

// ponds lists ponds, deepest first, with their weight, then why each stands.
func (t *telling) ponds(r *drainage.Report) {
	if len(r.Ponds) == 0 {
		return
	}
	rows := []table.Row{}
	for _, p := range r.Ponds {
		rows = append(rows, table.Row{p.ID, t.say.area(p.SqFt), t.depth(p), t.water(p.CuFt), t.weight(p.WeightLb()),
			runsOverTo(p), p.Misses})
	}
	t.table(table.Row{"pond", "area", "deepest", "water", "weighs", "runs over to", "misses"}, rows, nil, 2, 3, 4, 5)
	for n := range r.Ponds {
		t.fact("Why "+r.Ponds[n].ID, t.whyPond(&r.Ponds[n]))
	}
}

// whyPond is why a pond stands, what is within it and what is left of it.
func (t *telling) whyPond(p *drainage.Pond) string {
	text := sentence(p.Why(t.sys))[1:] + " Water weighs " + unit.PoundsPerSquareFoot(p.LoadPsf()).Format(t.sys) + " there at the deepest."
	if n := len(p.Inner); n > 0 {
		text += fmt.Sprintf(" As it dries it falls into %d, the deepest %s deep.", n, t.inches(p.Inner[0].DepthIn))
	}
	switch l := p.Left; {
	case l == nil:
	case l.CuFt == 0:
		text += " It dries off in the time that the rules give."
	default:
		text += fmt.Sprintf(" Left when the time that the rules give is over, by drying alone: %s, %s, %s deep.", t.say.area(l.SqFt),
			t.water(l.CuFt), t.inches(l.DepthIn))
	}
	return text
}

// weight prints how heavy water is: 392 lb, 178 kg.
func (s say) weight(lb float64) string {
	if s.metric() {
		return fmt.Sprintf("%.0f kg", lb*0.45359237)
	}
	return fmt.Sprintf("%.0f lb", lb)
}

// strainers names strainers that are too low.
func (t *telling) strainers(site *survey.Site) {
	for _, text := range drainage.StrainerFindings(site, t.sys) {
		t.fact("Strainer", text+".")
	}
}
