package render

import (
	"fmt"
	"strings"

	"runnel/drainage"
	"runnel/survey/problem"
	"runnel/taper/ladder"
)

// inShort tells an area in plain sentences, to be read aloud: does it hold
// water, where, how deep and why, is it under the design slope, how far that is
// known, the least that would do, what was designed, what to ask first. Every
// figure of it stands below again.
func (t *telling) inShort(a *AreaResult, r *Result) {
	t.heading("AREA " + a.Area.Name + " IN SHORT")
	say := func(text string) {
		if text != "" {
			t.line(2, "  "+t.told(text))
		}
	}
	if a.Fit == nil {
		say("Nothing was surveyed. Whether the roof holds water or slopes enough is not known; a level deck is assumed.")
	} else if a.Existing != nil {
		for _, d := range a.doubted() {
			say(full(d))
		}
		say(t.waterAloud(a))
		say(t.slopeAloud(a.Existing, r.Rules))
		say(t.sureAloud(a))
	}
	say(t.leastAloud(a))
	say(t.designAloud(a))
	say(optionsAloud(a))
	if len(a.Asked) > 0 {
		say(fmt.Sprintf("Ask first: %s (%s in all.)", a.Asked[0].Ask, count(len(a.Asked), "question")))
	}
}

// waterAloud says whether the roof holds water, where, how deep and why.
func (t *telling) waterAloud(a *AreaResult) string {
	r := a.Existing
	switch r.PondsFree {
	case drainage.Meets:
		return "The roof holds no water that the shots can show." + t.unseen(a.Fit)
	case drainage.Unknown:
		return "It is not known whether the roof holds water: there are too few shots to tell."
	case drainage.FallsShort, drainage.TooClose:
	}
	head := "The roof holds water"
	if r.PondsFree == drainage.TooClose {
		head = "Whether the roof holds water is too close to call"
	}
	if len(r.Ponds) == 0 {
		return head + "."
	}
	sum, p := pondTotals(r.Ponds), r.Ponds[0]
	at := a.Site.Frame.ToJob(p.Deepest)
	text := fmt.Sprintf("%s: %s over %s, %s in all.", head, count(len(r.Ponds), "pond"), t.say.area(sum.SqFt), t.waterShort(sum.CuFt))
	text += fmt.Sprintf(" The deepest, %s, is %s deep at x %s, y %s", p.ID, t.depth(p), t.place(at.X), t.place(at.Y))
	if why := p.Why(t.sys); why != "" {
		return text + ", because " + full(why)
	}
	return text + "."
}

// valleysNamed names valleys, if any has a name.
func valleysNamed(names []string) string {
	switch len(names) {
	case 0:
		return "its valleys"
	case 1:
		return "its valley " + names[0]
	}
	return "its valleys " + problem.Firsts(names)
}

// full is words as a sentence's end.
func full(words string) string { return strings.TrimSuffix(words, ".") + "." }

func (t *telling) slopeAloud(r *drainage.Report, rules drainage.Rules) string {
	limit := t.slope(rules.Field.Min)
	switch r.MeetsDesign {
	case drainage.Meets:
		way := "every way to an outlet"
		if len(r.Ponds) > 0 {
			way += " or to standing water"
		}
		return "It slopes enough: " + way + " reaches what " + rules.Name + " asks, " + limit + " in the field."
	case drainage.FallsShort:
		low := strings.Join(r.LowLines(), ", ")
		if r.OnlyLowLines() {
			return fmt.Sprintf("It is under the design slope along the low line %s: %s asks for %s there.", low, rules.Name, t.slope(rules.Gutter.Min))
		}
		if names, only := r.ShortValleys(); only {
			return fmt.Sprintf("It is under the design slope in %s: %s asks for %s there.", valleysNamed(names), rules.Name, t.slope(rules.Valley.Min))
		}
		return fmt.Sprintf("It is under the design slope: %.0f %% of it slopes less than %s, which %s asks of the field.",
			r.BelowMinimumPct, limit, rules.Name)
	case drainage.TooClose:
		return fmt.Sprintf("Whether it slopes enough is too close to call: %.0f %% of it reads less than %s, within the doubt of the survey.",
			r.BelowMinimumPct, limit)
	case drainage.Unknown:
		return "It is not known whether it slopes enough."
	}
	panic("render: unknown Verdict")
}

// sureAloud says how far the findings can be trusted.
func (t *telling) sureAloud(a *AreaResult) string {
	text := fmt.Sprintf("We know this from %s; the surface is good to %s (one standard error).", t.shotsUsed(a), t.hundredths(a.Fit.SigmaIn))
	if pct := a.Existing.UnknownPct; pct >= 0.05 {
		text += fmt.Sprintf(" %.1f %% of the area is too far from a shot to tell.", pct)
	}
	if near := a.Existing.NoShotNear; len(near) > 0 {
		text += " No shot stands near " + strings.Join(near, ", ") + ", so nothing is told of the water there."
	}
	if hangs := conditions(a.Site.Outlets, a.Existing.Conditional); len(hangs) > 0 {
		text += " " + strings.Join(hangs, ". ") + "."
	}
	return text
}

// leastAloud says the least work that would do, what it takes, and what was
// tried in vain.
func (t *telling) leastAloud(a *AreaResult) string {
	switch a.Rung {
	case ladder.DrainsAsIs:
		return "Nothing needs to be done for drainage: " + full(a.Why)
	case ladder.Unknown:
		if a.Why == "" {
			return ""
		}
		return "What it needs is not known: " + full(a.Why)
	case ladder.Sump, ladder.FillLows, ladder.Crickets, ladder.Outlet, ladder.PartTaper, ladder.Taper:
	}
	text, known := "The least that would do is "+leastWords(a.Rung), ""
	if s := step(a, a.Rung); s != nil && s.Outcome != ladder.Kept {
		text = "Nothing less than taper would do"
		if a.Design == nil { // else the design says it
			known = tapersKnown(s)
		}
	}
	var vain, open []string
	for _, s := range a.Ladder {
		if s.Rung == a.Rung && s.Do != "" && s.Outcome == ladder.Kept {
			text += ": " + strings.TrimSuffix(s.Do, ".")
		}
		if s.Rung < a.Rung && s.Rung > ladder.DrainsAsIs && s.Outcome == ladder.Refused {
			vain = append(vain, s.Rung.Words())
		}
		if s.Rung < a.Rung && s.Outcome == ladder.Open {
			open = append(open, s.Rung.Words())
		}
	}
	if len(open) > 0 {
		text = strings.Replace(text, "would do", "is known to do", 1)
	}
	text += "." + known
	if len(vain) > 0 {
		text += " Tried, and it would not do: " + strings.Join(vain, "; ") + "."
	}
	if len(open) > 0 {
		text += " The survey cannot tell whether less would do: " + strings.Join(open, "; ") + ". More shots would tell."
	}
	return text
}

// step is what became of a rung; nil where it was not climbed.
func step(a *AreaResult, r ladder.Rung) *ladder.Step {
	for n := range a.Ladder {
		if a.Ladder[n].Rung == r {
			return &a.Ladder[n]
		}
	}
	return nil
}

// tapersKnown says what is known of a taper that was not shown to do.
func tapersKnown(s *ladder.Step) string {
	head := map[ladder.Outcome]string{ladder.NotTested: " Whether it does is not tested: ",
		ladder.Refused: " The one designed does not do: ", ladder.Open: " Whether the one designed does is not known: "}[s.Outcome]
	return head + full(s.Why)
}

func leastWords(r ladder.Rung) string {
	if r == ladder.Sump || r == ladder.FillLows {
		return "to " + r.Words()
	}
	return r.Words()
}

// designAloud says whether the design made passes, and its size.
func (t *telling) designAloud(a *AreaResult) string {
	if a.Design == nil || a.Proof == nil {
		return ""
	}
	text := fmt.Sprintf("The %s design takes %s boards, %s at the thickest", a.Design.Scheme,
		thousands(a.Design.Totals.ToOrder), t.inches(a.Design.Insulation.ThickestIn))
	if a.Proof.Passes {
		text += ", and its finished surface passes"
		if n := len(a.Proof.Findings); n > 0 {
			text += " with " + count(n, "finding")
		}
		return text + "."
	}
	return text + ", and its finished surface does not pass: " + full(a.Proof.Why)
}
