package render

import (
	"fmt"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

// slopeFrom tells where the slope of the old roof comes from.
func (t *telling) slopeFrom(a *AreaResult) {
	if a.Deck.Why != "" {
		t.fact("The slope", strings.TrimSpace(sentence(a.Deck.Why)))
	}
}

// part tells what a partial scope takes of the area.
func (t *telling) part(a *AreaResult) {
	if a.Part == nil {
		return
	}
	t.fact("Scope", fmt.Sprintf("partial: %s of %s are torn off and built up anew; the boards are those of that part, "+
		"the proof is of the whole area.", t.say.area(a.Part.Area()), t.say.area(geom.Poly{Outer: a.Site.Outline, Holes: a.Site.Courts}.Area())))
}

// change tells what deck shots changed of the design.
func (t *telling) change(a *AreaResult) {
	c := a.Change
	if c == nil {
		return
	}
	t.heading("What the deck shots changed")
	t.fact("Deck shots", fmt.Sprintf("%s, telling %.0f %% of the area.", count(c.Shots, "deck shot"), c.ShotPct)+t.apart(a))
	if c.Compared && c.Most != 0 {
		t.fact("", "They are not looked through for blunders: read again what stands far off.")
	}
	if c.NoBefore != "" {
		t.fact("Boards", "No design could be made on the inferred deck:"+sentence(c.NoBefore))
		return
	}
	rows := []table.Row{}
	for _, m := range c.Marks {
		rows = append(rows, table.Row{m.Mark, m.Type.String(), t.stock(m.Along, m.Depth), thousands(m.Before), thousands(m.After),
			signed(m.After - m.Before)})
	}
	t.table(table.Row{"mark", "type", "stock", "before", "after", "change"}, rows, table.Row{"all", "", "",
		thousands(c.Before.ToOrder), thousands(c.After.ToOrder), signed(c.After.ToOrder - c.Before.ToOrder)}, 4, 5, 6)
	t.fact("Insulation", fmt.Sprintf("%s before, %s after; cover apart.", t.solid(c.Before.SolidBoardFeet), t.solid(c.After.SolidBoardFeet)))
}

// apart tells the greatest by which the deck as shot and as inferred differ.
func (t *telling) apart(a *AreaResult) string {
	c := a.Change
	if !c.Compared {
		return " There was no inferred deck to compare with."
	}
	at := a.Site.Frame.ToJob(c.At)
	word, most := "above", c.Most.Inches()
	if most < 0 {
		word, most = "below", -most
	}
	return fmt.Sprintf(" At most the deck stands %s %s the inferred one, at x %s, y %s.", t.hundredths(most), word,
		t.place(at.X), t.place(at.Y))
}

func signed(n int) string {
	if n > 0 {
		return "+" + thousands(n)
	}
	if n < 0 {
		return "-" + thousands(-n)
	}
	return "0"
}

// heights tells what the design leaves of the heights that the job states.
func (t *telling) heights(a *AreaResult, rules drainage.Rules) {
	if len(a.Heights) == 0 {
		return
	}
	source := rules.FlashingSource
	if rules.Flashing == 0 {
		source = "common practice, no source" // what taper wants by habit
	}
	t.heading("Heights (new membrane not counted)")
	if h := a.Heights[0]; h.Source == "" { // ducts come last
		t.fact("Wanted", t.inches(h.Wanted.Inches())+" of base flashing ("+source+").")
	}
	for _, h := range a.Heights {
		t.fact(t.short(h.Item), t.heightWords(a, h))
	}
}

// short is a label that leaves room for what follows.
func (t *telling) short(item string) string {
	if name, ok := strings.CutSuffix(item, ")"); ok {
		item, _, _ = strings.Cut(name, " (")
	}
	return strings.ToUpper(item[:1]) + item[1:]
}

func (t *telling) heightWords(a *AreaResult, h taper.HeightLeft) string {
	stated := t.inches(h.Stated.Value.Inches()) + " above the " + h.Stated.Above.String()
	if h.Stated.Above == survey.AboveElevation {
		stated = "top at " + t.run(h.Stated.Value.Feet())
	}
	if h.Source != "" {
		stated += ", " + t.inches(h.Wanted.Inches()) + " wanted (" + h.Source + ")"
	}
	if h.ToldPct == 0 {
		return stated + ". Unknown what is left: " + h.Why + "."
	}
	at := a.Site.Frame.ToJob(h.At)
	laid := "insulation"
	if a.Design != nil && a.Design.Cover > 0 {
		laid = "insulation and cover"
	}
	words := fmt.Sprintf("%s; %s of new %s leave %s at x %s, y %s", stated, t.inches(h.New.Inches()), laid,
		t.leftWords(h.Left), t.place(at.X), t.place(at.Y))
	short := ""
	if over := h.Left - h.Wanted; over < 0 {
		short = ", short by " + t.inches(-over.Inches())
	}
	words += short + ". " + map[drainage.Verdict]string{drainage.Meets: "Enough.", drainage.FallsShort: "Falls short.",
		drainage.TooClose: "Too close to call.", drainage.Unknown: "Unknown."}[h.Verdict]
	if h.Mend != "" {
		words += " Would help: " + h.Mend + "."
	}
	if h.ToldPct < 100 {
		words += fmt.Sprintf(" Not known along %.0f %% of it: %s.", 100-h.ToldPct, h.Why)
	}
	return words
}

// leftWords tells a height that may be none.
func (t *telling) leftWords(left unit.Length) string {
	if left.Inches() < 0 {
		return "nothing, the surface ends " + t.inches(-left.Inches()) + " over it,"
	}
	return t.inches(left.Inches())
}
