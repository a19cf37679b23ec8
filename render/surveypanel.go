package render

import (
	"fmt"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/ask"
)

// The most entries of a list on the survey sheet, and the most lines of one; the
// report has the rest.
const (
	mostEntries = 40
	mostLines   = 7
	// mostStatement is how many lines a statement may take: a cloud's is long.
	mostStatement = 26
)

// say1 is a statement as a paragraph: its label, then its words.
func (s *sheet) say1(f statement, most int) []item {
	return words("fact", f.label+": "+f.words, bodyPt, false, most)
}

// surveyTables are the lists of the survey sheet, what matters most first.
func (s *sheet) surveyTables(drawn, noRoom int) []item {
	var out []item
	out = append(out, s.questionRows()...)
	out = append(out, s.deckRows()...)
	out = append(out, s.leftOutRows()...)
	out = append(out, s.suspectRows()...)
	out = append(out, s.setUpRows()...)
	out = append(out, s.outletRows()...)
	out = append(out, s.coreRows()...)
	out = append(out, s.seenRows()...)
	out = append(out, s.photoRows()...)
	return append(out, s.shotCounts(drawn, noRoom)...)
}

// listed is up to mostEntries paragraphs under a heading, and how many more there
// are.
func (s *sheet) listed(title string, paragraphs []string) []item {
	const most = mostEntries
	if len(paragraphs) == 0 {
		return nil
	}
	out := heading(s.say.told(title))
	for _, p := range paragraphs[:min(most, len(paragraphs))] {
		out = append(out, words("list", p, bodyPt, false, mostLines)...)
	}
	if n := len(paragraphs) - most; n > 0 {
		out = append(out, words("list", "and "+thousands(n)+" more: see the report", bodyPt, false, 1)...)
	}
	return out
}

func (s *sheet) questionRows() []item {
	var ps []string
	for n, q := range s.a.Asked {
		ps = append(ps, fmt.Sprintf("%d. %s", n+1, s.say.told(urgentFirst(q))))
	}
	return s.listed(fmt.Sprintf("Not known, to ask the owner: %d", len(ps)), ps)
}

// urgentFirst is a question, marked where a verdict hangs on it.
func urgentFirst(q ask.Question) string {
	if q.Urgent {
		return "URGENT: " + q.Ask
	}
	return q.Ask
}

func (s *sheet) leftOutRows() []item {
	var ps []string
	for _, sh := range leftOut(s.a.Area.Shots) {
		ps = append(ps, short(sh.ID)+where(sh)+": "+s.say.told(sh.Left))
	}
	return s.listed("Shots left out, by name", ps)
}

// where says in which line of which file a shot was read.
func where(sh survey.Shot) string {
	if sh.File == "" {
		return ""
	}
	return fmt.Sprintf(" (%s:%d)", sh.File, sh.Line)
}

func (s *sheet) setUpRows() []item {
	if s.res.Job == nil {
		return nil
	}
	var ps []string
	for _, u := range s.res.Job.SetUpRows() {
		p := fmt.Sprintf("Set-up %s: HI %s", short(u.ID), s.say.level(u.HI))
		if u.On != "" {
			p += " from " + short(u.On)
		}
		if u.TiedTo != "" {
			p += fmt.Sprintf(", tied to %s by %s", short(u.TiedTo), s.say.told(count(u.Shared, "shot"))) + s.say.agreement(u.SetUp)
		}
		if u.Beside != "" {
			p += fmt.Sprintf(", %s from %s over %s", s.say.signed(u.Off), short(u.Beside), s.say.told(count(u.Shared, "shot"))) +
				s.say.agreement(u.SetUp)
		}
		p += ", " + s.say.told(count(u.Shots, "shot"))
		rod := ", ordinary rod"
		if u.Direct {
			rod = ", direct rod"
		}
		p += s.say.told(rod)
		for _, c := range u.Closings {
			p += "; " + s.say.closing(c).words
		}
		ps = append(ps, p)
	}
	for _, c := range s.res.Job.Survey.LooseClosings() {
		f := s.say.closing(c)
		ps = append(ps, f.label+": "+f.words)
	}
	return s.listed("Set-ups and closings", ps)
}

func (s *sheet) outletRows() []item {
	var ps []string
	for _, o := range s.a.Area.Outlets {
		kind, state, size, inlet := s.say.outletFacts(o)
		p := short(o.ID) + ": " + kind
		if state != "" {
			p += orNot(", ", "state", state) + orNot(", ", "size", size) + ", inlet " + inlet
		}
		ps = append(ps, p)
	}
	out := s.listed("Outlets", ps)
	if len(ps) == 0 {
		return nil
	}
	return append(out, words("outlets", "An outlet without a stated state counts as working.", bodyPt, false, 2)...)
}

// orNot is a fact, after its name where it is not stated.
func orNot(before, name, words string) string {
	if words == notStated && name != "" {
		return before + name + " " + notStated
	}
	return before + words
}

func (s *sheet) coreRows() []item {
	var ps []string
	for _, c := range s.a.Area.Cores {
		thickness, wet, roofs, layers := s.say.coreFacts(c)
		ps = append(ps, short(c.ID)+": "+thickness+orNot(", ", "wet or dry", wet)+orNot(", ", "roofs", roofs)+
			orNot("; ", "layers", layers))
	}
	return s.listed("Cores", ps)
}

func (s *sheet) deckRows() []item {
	ps := []string{s.say.deckFacts(s.a.Area.Deck)}
	if d := s.a.Deck; d.SigmaIn > 0 && d.Inferred {
		ps = append(ps, "One standard error of the deck at a place: "+s.say.hundredths(d.SigmaIn))
	}
	for _, w := range append([]string{s.a.Deck.Why}, s.a.Deck.Warnings...) {
		if w == "" {
			continue
		}
		ps = append(ps, strings.TrimSpace(s.say.told(sentence(w))))
	}
	return s.listed("Deck", ps)
}

func (s *sheet) seenRows() []item {
	var ps []string
	for n, f := range s.a.Seen {
		p := fmt.Sprintf("%d: %s deep", n+1, s.say.inches(f.Seen.Depth.Inches()))
		if f.Seen.Hours > 0 {
			p += fmt.Sprintf(" after %s h", figure2(f.Seen.Hours))
		}
		ps = append(ps, p+"."+s.say.told(sentence(f.Words)))
	}
	return s.listed("Ponds that people saw", ps)
}

func (s *sheet) photoRows() []item {
	var ps []string
	for _, p := range s.photosHere() {
		line := p.File
		if p.Note != "" {
			line += ": " + p.Note
		}
		ps = append(ps, line)
	}
	return s.listed("Photos", ps)
}

// surveyHead puts what the survey says of itself under the title.
func (s *sheet) surveyHead(zeroWords string) {
	add := func(title string, fs []statement) {
		if len(fs) == 0 {
			return
		}
		s.panel = append(s.panel, heading(title)...)
		for _, f := range fs {
			s.panel = append(s.panel, s.say1(f, mostStatement)...)
		}
	}
	if s.res.Job != nil && !s.res.Job.Survey.None {
		add("How it was measured", s.say.fieldBook(s.res.Job.Survey))
	}
	trust := slices.Concat(s.say.accuracy(s.a), s.say.cloudFacts(s.a))
	if zeroWords != "" && s.a.Fit != nil {
		trust = append(trust, statement{"Datum", s.say.told(zeroWords)})
	}
	add("How far it can be trusted", trust)
}
