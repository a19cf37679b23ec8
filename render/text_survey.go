package render

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"

	"runnel/survey"
	"runnel/survey/ask"
)

// WriteSurvey writes the survey of r as evidence: for each area how it was
// measured and how far that can be trusted, set-ups and closings, every shot
// left out with its reason, outlets, cores, deck, ponds that people saw, and
// all that is still to be asked, in the units of the job. Lines are at most 100
// columns, but for names that are longer.
func WriteSurvey(w io.Writer, r *Result) error {
	t := &telling{say: say{r.Job.Units}}
	t.line(0, r.Job.Name)
	t.line(0, t.told(t.full("Scope: "+t.scope(r.Job))))
	if !r.Job.Survey.None {
		t.heading("How it was measured")
		t.statements(t.fieldBook(r.Job.Survey))
		t.setUps(r.Job)
	}
	for i := range r.Areas {
		t.surveyOf(&r.Areas[i], onDeck(r))
	}
	t.notes(r)
	t.asked("To ask of the whole job", r, func(q ask.Question) bool { return q.Area == "" })
	t.cautions()
	if _, err := io.WriteString(w, t.out.String()); err != nil {
		return fmt.Errorf("write survey: %w", err)
	}
	return nil
}

// statements writes facts whose words are ready.
func (t *telling) statements(fs []statement) {
	for _, f := range fs {
		t.name(f.label, t.full(f.words))
	}
}

// full ends words with a full stop.
func (t *telling) full(words string) string { return strings.TrimSuffix(words, ".") + "." }

// setUps lists the stands of the instrument and how they closed.
func (t *telling) setUps(j *survey.Job) {
	rows := []table.Row{}
	all := j.SetUpRows()
	var closings []survey.Closing
	for _, u := range all {
		from, tied := "HI as stated", ""
		if u.On != "" {
			from = fmt.Sprintf("%s at %s, read %s", u.On, t.level(u.From), t.level(u.Backsight))
		}
		if u.TiedTo != "" {
			from = fmt.Sprintf("tied to %s by %s", u.TiedTo, t.told(count(u.Shared, "shot"))) + t.agreement(u.SetUp)
		}
		if u.Beside != "" {
			tied = fmt.Sprintf("%s from %s over %s", t.signed(u.Off), u.Beside, t.told(count(u.Shared, "shot"))) + t.agreement(u.SetUp)
		}
		rod := "ordinary"
		if u.Direct {
			rod = "direct"
		}
		rows = append(rows, table.Row{u.ID, from, t.level(u.HI), rod, thousands(u.Shots), t.signed(u.Shift), tied})
		closings = append(closings, u.Closings...)
	}
	if len(rows) > 0 {
		t.wide(table.Row{"set-up", "from", "HI", t.told("rod"), t.told("shots"), "adjusted", "compared"}, rows,
			[]int{10, 24, 11, 8, 6, 9, 14}, 3, 5, 6)
	}
	for _, c := range append(closings, j.Survey.LooseClosings()...) {
		t.statements([]statement{t.closing(c)})
	}
}

// agreement tells how well the shots agree that two set-ups share.
func (s say) agreement(u survey.SetUp) string {
	if u.Shared < 2 {
		return ""
	}
	return ", which agree within " + u.Agree.FormatClosing(s.sys)
}

// wide writes a table whose columns fold at the given widths.
func (t *telling) wide(header table.Row, rows []table.Row, cols []int, right ...int) {
	var configs []table.ColumnConfig
	for n, most := range cols {
		c := table.ColumnConfig{Number: n + 1, WidthMax: most, WidthMaxEnforcer: text.WrapSoft}
		if slices.Contains(right, n+1) {
			c.Align, c.AlignHeader = text.AlignRight, text.AlignRight
		}
		configs = append(configs, c)
	}
	t.tableOf(header, rows, nil, configs)
}

// surveyOf tells one area's survey in full.
func (t *telling) surveyOf(a *AreaResult, deck bool) {
	t.areaHead(a)
	if a.Fit != nil {
		t.heading("How far it can be trusted")
		t.statements(t.accuracyOf(a))
		t.statements(t.cloudFacts(a))
		if deck {
			t.fact("Surface of", "the bare deck: shots stand on it.")
		}
	}
	t.leftOutTable(a.Area.Shots)
	t.outletTable(a.Area.Outlets)
	t.coreTable(a.Area.Cores)
	t.heading("The deck")
	t.name("Stated", t.full(t.deckFacts(a.Area.Deck)))
	t.deckReport(a)
	for n, f := range a.Seen {
		if n == 0 {
			t.heading("Ponds that people saw")
		}
		t.fact("Seen", t.seen(f, a.Site))
	}
	t.askedOf(fmt.Sprintf("To ask of area %s", a.Area.Name), a, func(q ask.Question) bool { return q.Area != "" })
}

// accuracyOf is accuracy with the methods that were compared.
func (t *telling) accuracyOf(a *AreaResult) []statement {
	out := t.accuracy(a)
	var scores []string
	for _, s := range a.Fit.Scores {
		scores = append(scores, fmt.Sprintf("%s %s", s.Method, t.hundredths(s.RMSEIn)))
	}
	if a.Fit.HasRMSE && len(scores) > 1 {
		out = append(out, statement{"Compared", t.told("leave-one-out error of " + strings.Join(scores, ", "))})
	}
	return out
}

// deckReport tells how the deck was found.
func (t *telling) deckReport(a *AreaResult) {
	if w := a.inferred(); w != "" {
		t.name("", w)
	}
	if a.Deck.Words != "" {
		t.fact("Base", strings.TrimSpace(sentence(a.Deck.Words)))
	}
	if a.Deck.SigmaIn > 0 && a.Deck.Inferred {
		t.fact("Error", "one standard error of the deck at a place "+t.hundredths(a.Deck.SigmaIn)+".")
	}
	t.slopeFrom(a)
	for _, w := range a.Deck.Warnings {
		t.fact("Warning", strings.TrimSpace(sentence(w)))
	}
}

// leftOutTable lists every shot left out with its reason; all are in
// plan.geojson too.
func (t *telling) leftOutTable(shots []survey.Shot) {
	const most = 200
	rows := []table.Row{}
	all := leftOut(shots)
	n := len(all)
	if n == 0 {
		return
	}
	for _, s := range all[:min(n, most)] {
		rows = append(rows, table.Row{s.ID, strings.Trim(where(s), " ()"), t.told(s.Left)})
	}
	t.heading(t.told("Shots left out"))
	t.wide(table.Row{t.told("shot"), "read at", "why"}, rows, []int{12, 24, 56})
	if n > most {
		t.line(2, fmt.Sprintf("  and %s more, all in plan.geojson", thousands(n-most)))
	}
}

func (t *telling) outletTable(outlets []survey.Outlet) {
	rows := []table.Row{}
	for _, o := range outlets {
		kind, state, size, inlet := t.outletFacts(o)
		rows = append(rows, table.Row{o.ID, kind, state, size, inlet})
	}
	if len(rows) == 0 {
		return
	}
	t.heading("Outlets (without a stated state they count as working)")
	t.wide(table.Row{"outlet", "kind", "state", "size", "inlet"}, rows, []int{14, 18, 10, 14, 28})
}

func (t *telling) coreTable(cores []survey.Core) {
	rows := []table.Row{}
	for _, c := range cores {
		thickness, wet, roofs, layers := t.coreFacts(c)
		rows = append(rows, table.Row{c.ID, t.place(c.At.X), t.place(c.At.Y), thickness, wet, roofs, layers})
	}
	if len(rows) == 0 {
		return
	}
	t.heading("Cores")
	t.wide(table.Row{"core", "x", "y", "thickness", "wet or dry", "roofs", "layers from the top"}, rows,
		[]int{8, 12, 12, 9, 10, 7, 26}, 2, 3, 4)
}

// asked lists the questions of all areas that pick says, each once.
func (t *telling) asked(title string, r *Result, pick func(ask.Question) bool) {
	for i := range r.Areas {
		if slices.ContainsFunc(r.Areas[i].Asked, pick) {
			t.askedOf(title, &r.Areas[i], pick)
			return // what is asked of the whole job is the same for every area
		}
	}
}

func (t *telling) askedOf(title string, a *AreaResult, pick func(ask.Question) bool) {
	n := 0
	for _, q := range a.Asked {
		if !pick(q) {
			continue
		}
		if n++; n == 1 {
			t.heading(title)
		}
		t.item(fmt.Sprintf("%d.", n), t.told(urgentFirst(q)+" Why: "+q.Why+"."))
	}
}

// survey tells the survey in a few lines, for a report that tells more; the
// sheet survey.png and the command runnel survey have the whole.
func (t *telling) survey(a *AreaResult, j *survey.Job) {
	if a.Fit == nil && len(a.Asked) == 0 {
		return
	}
	t.heading("The survey")
	if a.Fit != nil {
		t.name("Measured", t.measured(j.Survey))
		t.accuracyShort(a)
		t.closingsShort(j.Survey)
		t.leftOut(a.Area.Shots)
		t.slopeFrom(a)
		for _, w := range a.Deck.Warnings {
			t.fact("Deck", strings.TrimSpace(sentence(w)))
		}
	}
	if len(a.Asked) == 0 {
		return
	}
	urgent := 0
	for _, q := range a.Asked {
		if q.Urgent {
			urgent++
		}
	}
	t.fact("To ask", fmt.Sprintf("%s, %d urgent; all in survey.png and by `runnel survey JOB`. First: %s",
		count(len(a.Asked), "question"), urgent, a.Asked[0].Ask))
}

// measured is the field book in a sentence.
func (t *telling) measured(src survey.Source) string {
	var known, open []string
	for _, f := range t.fieldBook(src) {
		switch {
		case f.words == notStated:
			open = append(open, strings.ToLower(f.label))
		case f.label == "Last check":
			known = append(known, "checked "+f.words)
		case f.label == "Surveyed by":
			known = append(known, "by "+f.words)
		default:
			known = append(known, f.words)
		}
	}
	out := strings.TrimSpace(sentence(strings.Join(known, "; ")))
	if len(open) > 0 {
		out += " Not stated: " + strings.Join(open, ", ") + "."
	}
	return strings.TrimSpace(out)
}

// closingsShort tells whether known marks were met again: how many, and the
// one that is farthest off.
func (t *telling) closingsShort(src survey.Source) {
	if len(src.Closings) == 0 {
		return
	}
	worst := slices.MaxFunc(src.Closings, func(a, b survey.Closing) int {
		p, q := a.Misclosure(), b.Misclosure()
		return int(max(-1, min(1, (max(p, -p)-max(q, -q)).Inches()*1e9)))
	})
	f := t.closing(worst)
	text := f.label + " " + f.words
	if n := len(src.Closings); n > 1 {
		text = fmt.Sprintf("%d; the farthest off: %s", n, text)
	}
	t.name("Closings", t.full(text))
}
