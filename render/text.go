package render

import (
	"fmt"
	"io"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/survey/unit"
)

// textCols is the width of the report on a terminal.
const textCols = 100

// WriteText writes what a contractor reads first: every area in plain sentences
// that can be read aloud, then with their figures for each area whether it
// holds water and whether it is under the design slope, how well that is known,
// what it needs, the design, its proof and the board schedule, in the units of
// the job. Parts that were not made are left out. Lines are at most 100
// columns, but for names that are longer.
func WriteText(w io.Writer, r *Result) error {
	t := &telling{say: say{r.Job.Units}}
	t.line(0, r.Job.Name)
	for i := range r.Areas {
		t.inShort(&r.Areas[i], r)
	}
	t.blank()
	t.rules(r.Rules)
	for i := range r.Areas {
		t.area(&r.Areas[i], r)
	}
	t.notes(r)
	t.cautions()
	if _, err := io.WriteString(w, t.out.String()); err != nil {
		return fmt.Errorf("write report: %w", err)
	}
	return nil
}

// notes lists what the readers and screens say of the job.
func (t *telling) notes(r *Result) {
	if len(r.Job.Notes) == 0 {
		return
	}
	t.heading("Notes on the job")
	for _, n := range r.Job.Notes {
		t.item("-", t.noted(n))
	}
}

// noted is a note in the words of the job's units; where it was read and the names
// it quotes keep their letters.
func (s say) noted(n problem.Problem) string {
	bare := problem.Problem{Why: s.told(n.Why), Mend: s.told(n.Mend), File: n.File, Line: n.Line, Value: n.Value, Field: n.Field}
	if n.Field == "shot" {
		bare.Field = s.told(n.Field)
	}
	return bare.Error()
}

func (t *telling) cautions() {
	t.heading("Cautions")
	for i, c := range cautions(t.sys) {
		t.item(fmt.Sprintf("%d.", i+1), t.told(c))
	}
}

// telling is the report as it grows.
type telling struct {
	say
	out strings.Builder
}

// line writes text folded at the report's width; later lines hang by indent.
func (t *telling) line(indent int, text string) {
	for i, l := range fold(text, textCols-indent) {
		if i > 0 {
			t.out.WriteString(strings.Repeat(" ", indent))
		}
		t.out.WriteString(l + "\n")
	}
}

// fact writes a label and what there is to say about it.
func (t *telling) fact(label, text string) { t.name(t.told(label), t.told(text)) }

// name writes a fact whose words are to stay as they are: names and sources.
func (t *telling) name(label, text string) {
	const labelCols = 18
	t.line(labelCols, fmt.Sprintf("  %-*s", labelCols-2, label)+text)
}

func (t *telling) item(bullet, text string) { t.line(6, fmt.Sprintf("  %-4s", bullet)+text) }

// items writes sentences, one a bullet.
func (t *telling) items(texts []string) {
	for _, text := range texts {
		t.item("-", t.told(text))
	}
}

func (t *telling) heading(text string) {
	t.blank()
	t.out.WriteString(text + "\n")
}

// blank parts what follows from what stands above by one empty line.
func (t *telling) blank() {
	if !strings.HasSuffix(t.out.String(), "\n\n") {
		t.out.WriteString("\n")
	}
}

// fold breaks text at blanks into lines of at most cols; the first may be as
// long as the report is wide. A longer word keeps its length.
func fold(text string, cols int) []string {
	var lines []string
	for most := textCols; ; most = cols {
		r := []rune(text)
		if len(r) <= most {
			return append(lines, text)
		}
		cut := lastBlank(r, most)
		if cut < 0 {
			return append(lines, text)
		}
		lines = append(lines, strings.TrimRight(string(r[:cut]), " "))
		text = strings.TrimLeft(string(r[cut:]), " ")
	}
}

// lastBlank is the last blank by which a line of at most cols can end; failing
// that the first one after it, and -1 where there is none. Blanks before the
// first word do not count.
func lastBlank(r []rune, cols int) int {
	first := 0
	for first < len(r) && r[first] == ' ' {
		first++
	}
	for i := min(cols, len(r)-1); i > first; i-- {
		if r[i] == ' ' {
			return i
		}
	}
	for i := max(cols, first); i < len(r); i++ {
		if r[i] == ' ' {
			return i
		}
	}
	return -1
}

func (t *telling) rules(r drainage.Rules) {
	name := r.Name
	if r.Edition != "" {
		name += " (" + r.Edition + ")"
	}
	t.name("Rules", name)
	if r.Mode == survey.EveryPath {
		t.name("  every path", t.limit(r.Field)+", valleys too")
	} else {
		t.name("  field", t.limit(r.Field))
		t.name("  valley", t.limit(r.Valley))
	}
	t.fact("  water", "at most "+t.inches(r.Pond.Inches())+" may stand on a finished surface")
}

func (t *telling) limit(l drainage.Limit) string {
	s := "at least " + t.slope(l.Min)
	if l.Source != "" {
		s += " (" + l.Source + ")"
	}
	return s
}

// areaHead names an area and says where its deck is assumed.
func (t *telling) areaHead(a *AreaResult) {
	t.heading("AREA " + a.Area.Name + ", " + t.say.area(a.Site.RoofArea().SquareFeet()))
	if banner := a.assumed(); banner != "" {
		t.line(0, banner)
	}
}

func (t *telling) area(a *AreaResult, r *Result) {
	rules := r.Rules
	t.areaHead(a)
	t.existing(a, rules, onDeck(r))
	t.survey(a, r.Job)
	t.need(a)
	if a.Design != nil {
		t.options(a)
		t.design(a)
		t.overField(a)
		t.proof(a, rules)
		t.heights(a, rules)
		t.edges(a)
	}
	t.rain(a, r.Job)
	if a.Design != nil {
		t.boards(a)
		t.laid(a)
		t.fastening(a)
		t.foreman(a, r.Job)
		t.change(a)
		t.asBuilt(a)
	}
}

// existing tells the two findings apart, then how far they can be trusted; deck
// says that the shots stand on the bare deck.
func (t *telling) existing(a *AreaResult, rules drainage.Rules, deck bool) {
	r := a.Existing
	if r == nil {
		return
	}
	if deck {
		t.heading(t.told("The deck as it is: shots stand on the deck"))
	} else {
		t.heading("The roof as it is")
	}
	if a.Fit == nil {
		t.fact("Holds water?", "Unknown: nothing was surveyed.")
		t.fact("Design slope?", "Unknown: nothing was surveyed.")
		return
	}
	if len(r.NoShotNear) > 0 {
		t.fact("Unknown at", strings.Join(r.NoShotNear, ", ")+": no shot within "+t.long(10)+
			", so nothing is told of the water there.")
	}
	water := t.holdsWater(r)
	if r.PondsFree != drainage.FallsShort {
		water += t.unseen(a.Fit)
	}
	t.fact("Holds water?", water)
	t.fact("Design slope?", t.designSlope(r, rules))
	t.ponds(r)
	t.strainers(a.Site)
	for _, f := range a.Seen {
		t.fact("Seen", t.seen(f, a.Site))
	}
	t.drainsTo(r, nil)
	t.ways(r, rules)
	if hangs := a.hangsOn(r); len(hangs) > 0 {
		t.fact("Conditions", strings.Join(hangs, ". ")+".")
	}
	t.findings("Verdicts by rule", r.Findings)
}

// seen sets a pond that people saw against the one computed. Its place is the
// middle of its outline, in job coordinates.
func (t *telling) seen(f drainage.SeenFinding, site *survey.Site) string {
	words := t.inches(f.Seen.Depth.Inches()) + " of water"
	if len(f.Outline) > 2 {
		at := site.Frame.ToJob(middle(geom.Poly{Outer: f.Outline}))
		words += fmt.Sprintf(" at x %s, y %s", t.place(at.X), t.place(at.Y))
	}
	if f.Seen.Hours > 0 {
		words += fmt.Sprintf(" after %g h", f.Seen.Hours)
	}
	if f.Pond != "" {
		words += ", where " + f.Pond + " is computed at " + t.inches(f.DepthIn)
	}
	return words + "." + sentence(f.Words)
}

// drainsTo tells how much of the roof each outlet takes, and took before; a nil
// before tells nothing of that.
func (t *telling) drainsTo(r, before *drainage.Report) {
	var parts []string
	for _, d := range r.Areas {
		words := d.Outlet + " " + t.say.area(d.SqFt)
		if was, ok := tookSqft(before, d.Outlet); ok {
			words += " (before " + t.say.area(was) + ")"
		}
		parts = append(parts, words)
	}
	if len(parts) > 0 {
		t.fact("Outlets take", strings.Join(parts, ", "))
	}
}

// tookSqft is what an outlet took in another report.
func tookSqft(r *drainage.Report, outlet string) (float64, bool) {
	if r == nil {
		return 0, false
	}
	for _, d := range r.Areas {
		if d.Outlet == outlet {
			return d.SqFt, true
		}
	}
	return 0, false
}

// place prints a job coordinate, rounded: 31.5 ft, 9.6 m.
func (s say) place(ft float64) string {
	if s.metric() {
		return fmt.Sprintf("%.1f m", unit.Feet(ft).Metres())
	}
	return fmt.Sprintf("%.1f ft", ft)
}

func (t *telling) holdsWater(r *drainage.Report) string {
	sum := pondTotals(r.Ponds)
	figures := fmt.Sprintf("%s, %s, %s, %s at the deepest.", count(len(r.Ponds), "pond"), t.say.area(sum.SqFt),
		t.water(sum.CuFt), t.depth(sum))
	switch r.PondsFree {
	case drainage.Meets:
		return "No."
	case drainage.FallsShort:
		return "Yes: " + figures
	case drainage.TooClose:
		if len(r.Ponds) == 0 {
			return "Too close to call."
		}
		return "Too close to call: " + figures
	case drainage.Unknown:
		return "Unknown."
	}
	panic("render: unknown Verdict")
}

// unseen says what shots so far apart cannot show, to follow a sentence.
func (s say) unseen(f *fit.Result) string {
	d := f.Dishes
	if d.NarrowestFt <= 0 {
		return ""
	}
	text := " A dish narrower than " + s.long(d.NarrowestFt) + ", twice the distance between shots, would not be seen"
	if d.GapFt > 1.25*d.NarrowestFt {
		text += ", in the widest gap one of up to " + s.long(d.GapFt)
	}
	deep := unit.Inch
	if s.metric() {
		deep = unit.Millimetres(25)
	}
	return text + fmt.Sprintf("; %s deep it holds up to %s.", s.inches(deep.Inches()), s.water(d.HiddenWater(deep).CubicFeet()))
}

func (t *telling) designSlope(r *drainage.Report, rules drainage.Rules) string {
	share := fmt.Sprintf("%.0f %% of the area is under %s.", r.BelowMinimumPct, t.slope(rules.Field.Min))
	switch r.MeetsDesign {
	case drainage.Meets:
		return "Meets it."
	case drainage.FallsShort:
		if r.OnlyLowLines() {
			return "Falls short along the low line " + strings.Join(r.LowLines(), ", ") + "."
		}
		if names, only := r.ShortValleys(); only {
			return "Falls short in " + valleysNamed(names) + ", under the " + t.slope(rules.Valley.Min) + " for valleys. " + share
		}
		return "Falls short: " + share
	case drainage.TooClose:
		return "Too close to call: " + share
	case drainage.Unknown:
		return "Unknown."
	}
	panic("render: unknown Verdict")
}

func (t *telling) accuracyShort(a *AreaResult) {
	text := fmt.Sprintf("%s. %s; one standard error of the surface %s.",
		t.shotsUsed(a), t.leaveOneOut(a.Fit), t.hundredths(a.Fit.SigmaIn))
	t.fact("Shots", text+sentence(a.Fit.Method)+sentence(a.fitNote()))
	if a.Cloud != nil {
		t.fact("Cloud", strings.TrimSpace(sentence(a.Cloud.Words(t.sys)[0])))
	}
	if a.Existing == nil {
		return
	}
	if pct := a.Existing.UnknownPct; pct > 0 {
		t.fact("Not known", fmt.Sprintf("%.1f %% of the area is too far from a shot to tell.", pct))
	}
	if pct := a.Existing.ThinPct; pct >= 0.05 {
		t.fact("Thin shots", fmt.Sprintf("on %.1f %% of the area, where one standard error is %s or more: a shallow pond "+
			"cannot be told there.", pct, t.inches(survey.TooThinIn)))
	}
}

// leaveOneOut tells how far the surface misses shots it did not see.
func (s say) leaveOneOut(f *fit.Result) string {
	if !f.HasRMSE {
		return "Too few shots to leave one out"
	}
	return "Leave-one-out error " + s.hundredths(f.RMSEIn)
}

// leftOut lists the shots that were not used, the first of them where they are
// many.
func (t *telling) leftOut(shots []survey.Shot) {
	const most = 3
	all := leftOut(shots)
	for _, s := range all[:min(len(all), most)] {
		t.fact("Left out", fmt.Sprintf("shot %s%s: %s.", s.ID, where(s), s.Left))
	}
	if more := len(all) - most; more > 0 {
		t.fact("", fmt.Sprintf("and %s more: see survey.png and plan.geojson.", thousands(more)))
	}
}
