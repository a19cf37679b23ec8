package render

import (
	"fmt"
	"strings"

	"runnel/drainage"
	"runnel/survey/unit"
)

// ways tells where the water gathers, where it runs toward walls and what
// stands in its way.
func (t *telling) ways(r *drainage.Report, rules drainage.Rules) {
	if len(r.Valleys) > 0 {
		t.fact("Valleys", t.valleys(r.Valleys, rules))
	}
	for k, text := range t.backfalls(r.Backfalls) {
		t.fact(labelOnce("At walls", k), text)
	}
	for k, o := range r.RunsInto {
		t.fact(labelOnce("Into curbs", k), t.obstacle(o))
	}
}

// labelOnce is label for the first of several facts.
func labelOnce(label string, k int) string {
	if k > 0 {
		return ""
	}
	return label
}

// valleys tells how many there are and which is the flattest.
func (s say) valleys(vs []drainage.Valley, rules drainage.Rules) string {
	total, worst := 0.0, 0
	verdicts := map[drainage.Verdict]int{}
	for k, v := range vs {
		total += v.LengthFt
		verdicts[v.Verdict]++
		if v.Least < vs[worst].Least {
			worst = k
		}
	}
	v := vs[worst]
	text := fmt.Sprintf("%s, %s in all; the flattest, %s, slopes %s at the least along %s", count(len(vs), "valley"),
		s.run(total), v.ID, s.slope(v.Least), s.run(v.LengthFt))
	if v.AtWall {
		text += " of a wall"
	}
	if v.EndsAt != "" {
		text += " to " + v.EndsAt
	}
	text += "."
	var told []string
	for _, k := range []drainage.Verdict{drainage.FallsShort, drainage.TooClose, drainage.Unknown, drainage.Meets} {
		if verdicts[k] > 0 {
			told = append(told, fmt.Sprintf("%d %s", verdicts[k], s.verdict(k)))
		}
	}
	return text + " Of " + s.slope(rules.Valley.Min) + " for valleys: " + strings.Join(told, ", ") + "."
}

// backfalls tells each stretch of wall that water runs toward or stands at.
func (s say) backfalls(bs []drainage.Backfall) []string {
	var out []string
	for _, b := range bs {
		where := fmt.Sprintf("edge %d", b.Edge)
		if b.Edge < 0 {
			where = fmt.Sprintf("court %d", b.Court)
		}
		text := ""
		if b.Toward > 0 {
			text = fmt.Sprintf("Water runs toward %s along %s, at %s over the last %s", where, s.run(b.LengthFt),
				s.slope(b.Toward), s.run(4))
			if b.Pond != "" {
				text += "; " + b.Pond + " stands there"
			}
		} else {
			text = fmt.Sprintf("%s stands at %s along %s", b.Pond, where, s.run(b.LengthFt))
		}
		out = append(out, text+".")
	}
	return out
}

// obstacle tells what a curb in the way of the water does to it.
func (s say) obstacle(o drainage.Obstacle) string {
	text := fmt.Sprintf("%s is %s wide across a slope of %s", o.Curb, s.wide(o.Width), s.slope(o.Slope))
	if n := len(o.Paths); n > 0 {
		text += fmt.Sprintf(": %s into it and round it", runs(n))
	}
	if o.Pond != "" {
		text += "; " + o.Pond + " stands at its uphill side"
	}
	text += "."
	if o.Cricket {
		limit := drainage.CricketFrom
		if s.metric() {
			limit = unit.Millimetres(760)
		}
		text += fmt.Sprintf(" Over %s wide a cricket is wanted upslope of it (IBC 1503.6 (2015), 1503.5 (2021 family)).", s.inches(limit.Inches()))
	}
	return text
}

// runs is "1 path runs", "2 paths run".
func runs(n int) string {
	if n == 1 {
		return "1 path runs"
	}
	return count(n, "path") + " run"
}
