package render

import (
	"fmt"
	"math"
	"strings"

	"runnel/taper"
)

// mostDiffering is how many rows that differ are told one by one.
const mostDiffering = 12

// laid tells what lies on the roof already, where it is not what the design has
// there, and what of the boards on hand is left over.
func (t *telling) laid(a *AreaResult) {
	if a.Design == nil || a.Design.Laid == nil {
		return
	}
	l := a.Design.Laid
	t.heading("Rows that are down")
	if len(l.Rows) > 0 {
		t.fact("Down", fmt.Sprintf("%s, %s, %s in all layers, %s; the boards, files and days told here are those still to be laid.",
			count(len(l.Rows), "row"), count(l.Pieces(), "piece"), t.say.area(laidSqft(l)), t.solid(l.BoardFeet)))
		t.fact("Whole roof", fmt.Sprintf("%s and %s by this design; %s left to lay.", count(l.Whole.Totals.Pieces, "piece"),
			t.solid(l.Whole.Totals.BoardFeet), count(a.Design.Totals.Pieces, "piece")))
	}
	if l.JointSqft > 0.01 {
		t.fact("Joints", fmt.Sprintf("%s beside them are too narrow for a board: fill them.", t.say.area(l.JointSqft)))
	}
	for _, h := range l.OnHand {
		t.fact("On hand", t.onHand(h))
	}
	t.differing(l)
}

func laidSqft(l *taper.Laid) float64 {
	sum := 0.0
	for _, r := range l.Rows {
		sum += r.Sqft
	}
	return sum
}

// onHand says what becomes of boards that lie on the roof.
func (t *telling) onHand(h taper.HandLine) string {
	text := fmt.Sprintf("%s of %s: ", count(h.Boards, "board"), h.Mark)
	switch {
	case h.Used == 0:
		return text + "the rest takes none of them; they are left over."
	case h.Over == 0:
		return text + "all are used, and not ordered again."
	}
	return text + fmt.Sprintf("%s are used and not ordered again, %s are left over.", thousands(h.Used), thousands(h.Over))
}

// differing tells row by row what is not as the design has it, with the two mends.
func (t *telling) differing(l *taper.Laid) {
	n := l.Differs()
	if n == 0 && len(l.Rows) > 0 {
		t.fact("As designed", "every one of them is what the design has in its place.")
		return
	}
	told := 0
	for i := range l.Rows {
		r := &l.Rows[i]
		if r.Differs == nil {
			continue
		}
		if told++; told > mostDiffering {
			t.fact("More", fmt.Sprintf("%s more differ; laid in summary.json lists them.", count(n-mostDiffering, "row")))
			return
		}
		t.fact("Differs", t.difference(r))
	}
}

// difference tells one row that is not what the design has.
func (t *telling) difference(r *taper.LaidRow) string {
	d := r.Differs
	has := "nothing in that layer"
	if len(d.Has) > 0 {
		has = strings.Join(d.Has, " and ")
	}
	text := fmt.Sprintf("%s (line %d of %s), is %s where the design has %s: ", r.Name(), r.Line, r.File, r.Mark, has)
	if has == r.Mark {
		text = fmt.Sprintf("%s (line %d of %s), is of the mark designed, %s, but turned or off its place: ", r.Name(), r.Line, r.File, r.Mark)
	}
	text += t.between(d.LeastIn, d.MostIn, "thicker", "thinner") + "."
	if math.Max(-d.TopLeastIn, d.TopMostIn) > taper.SameTopIn {
		text += fmt.Sprintf(" The finished top there lies %s than designed.", t.between(d.TopLeastIn, d.TopMostIn, "higher", "lower"))
	} else {
		text += " The finished top lies there as designed, by what is over or under it."
	}
	if d.StepIn > taper.LaidStep.Inches() {
		text += fmt.Sprintf(" It ends in a step of up to %s.", t.inches(d.StepIn))
	}
	if len(d.Ponds) > 0 {
		text += fmt.Sprintf(" Water stands on it or beside it: %s.", strings.Join(d.Ponds, ", "))
	}
	mend := "lay " + has + " as designed"
	if len(d.Has) == 0 {
		mend = "lay the layer as designed"
	}
	return text + " Take it up and " + mend + ", or keep it: all that is told of the finished roof has it as it lies."
}

// between says how far something is off: 1 in thinner to 1/2 in thicker.
func (t *telling) between(least, most float64, more, less string) string {
	one := func(in float64) string {
		switch {
		case math.Abs(in) <= taper.SameTopIn:
			return "as designed"
		case in > 0:
			return t.inches(in) + " " + more
		}
		return t.inches(-in) + " " + less
	}
	if most-least <= taper.SameTopIn {
		return one(most)
	}
	return one(least) + " to " + one(most)
}
