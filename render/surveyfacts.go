package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// statement is one thing that a survey says of itself, in the words of the
// job's units; what the crew wrote keeps its letters.
type statement struct{ label, words string }

const notStated = "not stated"

// fieldBook is what the crew wrote down of how it measured.
func (s say) fieldBook(src survey.Source) []statement {
	e := src.Evidence
	var out []statement
	for _, f := range []struct {
		label, words string
		always       bool
	}{
		{"Method", e.Method, true}, {"Instrument", e.Instrument, true}, {"Last check", e.Checked, true},
		{"Date", e.Date, true}, {"Surveyed by", e.By, true}, {"Weather", e.Weather, false},
	} {
		switch {
		case f.words != "":
			out = append(out, statement{f.label, f.words})
		case f.always:
			out = append(out, statement{f.label, notStated})
		}
	}
	reading := notStated
	if src.ReadingError > 0 {
		reading = "one standard error of a reading " + s.readingError(src.ReadingError.Inches())
	}
	return append(out, statement{"Reading error", reading})
}

// readingError prints an error as crews state it: in sixteenths where it is some,
// else to a hundredth of an inch or a tenth of a millimetre.
func (s say) readingError(in float64) string {
	if !s.metric() && math.Abs(in*16-math.Round(in*16)) < 1e-6 {
		return s.inches(in)
	}
	return s.hundredths(in)
}

// accuracy is what the fit says of the survey; none without one.
func (s say) accuracy(a *AreaResult) []statement {
	f := a.Fit
	if f == nil {
		return nil
	}
	out := []statement{{s.told("Shots"), s.told(s.shotsUsed(a))}, {"Surface", s.told(strings.TrimSpace(sentence(f.Method) + sentence(a.fitNote())))},
		{"Error", s.told(s.leaveOneOut(f)) + "; one standard error of the surface " + s.hundredths(f.SigmaIn)}}
	if lo, mid, hi, ok := sigmaSpan(f.Surface); ok {
		out = append(out, statement{"At a place", fmt.Sprintf("one standard error %s at the least, %s in the middle, %s at the most",
			s.hundredths(lo), s.hundredths(mid), s.hundredths(hi))})
	}
	near := 10.0
	if s.metric() {
		near = unit.Metres(3).Feet()
	}
	out = append(out, statement{s.told("Slope error"), s.told(fmt.Sprintf("one standard error of a slope %s over %s, %s over %s",
		s.slopeError(a, near), s.either("10 ft", "3 m"), s.slopeError(a, 2*near), s.either("20 ft", "6 m")))})
	if w := strings.TrimSpace(s.unseen(f)); w != "" {
		out = append(out, statement{"Not seen", s.told(w)})
	}
	if a.Existing != nil && a.Existing.ThinPct >= 0.05 {
		out = append(out, statement{s.told("Thin shots"), fmt.Sprintf("on %.1f %% of the area, where one standard error is %s or more",
			a.Existing.ThinPct, s.inches(survey.TooThinIn))})
	}
	if a.Existing != nil && a.Existing.UnknownPct >= 0.05 {
		out = append(out, statement{"Not known", s.told(fmt.Sprintf("%.1f %% of the area is too far from a shot to tell", a.Existing.UnknownPct))})
	}
	return out
}

// shotsUsed counts the shots of an area.
func (s say) shotsUsed(a *AreaResult) string {
	used, medians, left := a.shotCounts()
	text := count(used, "shot") + " used"
	if medians > 0 {
		text = count(medians, "median") + " of a point cloud used"
		if used > 0 {
			text += ", and " + count(used, "shot")
		}
	}
	if left > 0 {
		text += fmt.Sprintf(", %s left out", thousands(left))
	}
	if n := len(a.Area.DeckShots); n > 0 {
		text += ", " + count(n, "shot") + " on the bare deck"
	}
	return text + ", about " + s.long(a.Fit.SpacingFt) + " apart"
}

// leftOut gives the shots that the surface leaves out.
func leftOut(shots []survey.Shot) []survey.Shot {
	var out []survey.Shot
	for _, sh := range shots {
		if sh.Left != "" {
			out = append(out, sh)
		}
	}
	return out
}

// shotCounts counts the shots that people read and the medians of a cloud that
// are used, and those left out.
func (a *AreaResult) shotCounts() (used, medians, left int) {
	for _, sh := range a.Area.Shots {
		switch {
		case sh.Left != "":
			left++
		case sh.FromCloud:
			medians++
		default:
			used++
		}
	}
	return used, medians, left
}

// sigmaSpan is the least, the middle and the greatest standard error of an
// elevation over the roof; false where it is not told.
func sigmaSpan(surf *survey.Surface) (lo, mid, hi float64, ok bool) {
	if surf == nil || len(surf.SigmaIn) != surf.Len() {
		return 0, 0, 0, false
	}
	var all []float64
	for k, v := range surf.SigmaIn {
		if surf.Roof[k] && surf.IsKnown(k) && !math.IsNaN(v) {
			all = append(all, v)
		}
	}
	if len(all) == 0 {
		return 0, 0, 0, false
	}
	slices.Sort(all)
	return all[0], all[len(all)/2], all[len(all)-1], true
}

// slopeErrorInPerFt is one standard error of a slope read over a run: the median
// over stretches along both axes about the middles of the roof, and that of
// two places off on their own where no stretch so long lies on it. Cost: six
// factorings of a part of the surface.
func (a *AreaResult) slopeErrorInPerFt(runFt float64) float64 {
	alone := math.Sqrt2 * a.Fit.SigmaIn / runFt
	if a.Site == nil || a.Fit.Surface == nil {
		return alone
	}
	const stretches = 3
	var all []float64
	for _, c := range middles(a.Site.Poly()) {
		if len(all) >= 2*stretches {
			break
		}
		for _, d := range []geom.Pt{{X: runFt / 2}, {Y: runFt / 2}} {
			if v, ok := a.Fit.SlopeSigma(c.Sub(d), c.Add(d)); ok {
				all = append(all, v.InchesPerFoot())
			}
		}
	}
	if len(all) == 0 {
		return alone
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// slopeError prints an error of a slope: 0.018 in/ft, 0.15 %.
func (s say) slopeError(a *AreaResult, runFt float64) string {
	return s.slopeFine(unit.InchesPerFoot(a.slopeErrorInPerFt(runFt)))
}

// slopeFine prints how far a slope may be off, in millimetres a metre in metric
// jobs, since 1:n of a small slope says little.
func (s say) slopeFine(v unit.Slope) string {
	if s.metric() {
		return fmt.Sprintf("%.1f mm/m", 1000*v.Ratio())
	}
	return fmt.Sprintf("%.3f in/ft", v.InchesPerFoot())
}

func (s say) either(us, metric string) string {
	if s.metric() {
		return metric
	}
	return us
}

// closing tells how a known mark was met again.
func (s say) closing(c survey.Closing) statement {
	who := "Closing"
	if c.SetUp != "" {
		who = "Set-up " + c.SetUp
	}
	words := fmt.Sprintf("on %s: %s found, %s known, off by %s", orWord(c.On, "its mark"), s.level(c.Found), s.level(c.Known),
		s.signed(c.Misclosure()))
	switch within, stated := c.Within(); {
	case !stated:
		words += "; no allowed misclosure is stated"
	case within:
		words += ", within the " + c.Allowed.FormatClosing(s.sys) + " allowed"
	default:
		words += ", OVER the " + c.Allowed.FormatClosing(s.sys) + " allowed"
	}
	if c.By != "" {
		words += " (" + c.By + ")"
	}
	return statement{who, words}
}

func orWord(text, instead string) string {
	if text == "" {
		return instead
	}
	return text
}

// level prints an elevation: 104.500 ft, 31.852 m.
func (s say) level(l unit.Length) string {
	if s.metric() {
		return fmt.Sprintf("%.3f m", l.Metres())
	}
	return fmt.Sprintf("%.3f ft", l.Feet())
}

// signed prints a misclosure with its sign: +0.010 ft, -3.0 mm.
func (s say) signed(l unit.Length) string {
	words := l.FormatClosing(s.sys)
	if l > 0 {
		return "+" + words
	}
	return words
}

// coreFacts tell what a core shows: thickness, wet or dry, roofs, layers.
func (s say) coreFacts(c survey.Core) (thickness, wet, roofs, layers string) {
	wet, roofs, layers = notStated, notStated, notStated
	switch {
	case c.Wet:
		wet = "WET"
	case c.WetKnown:
		wet = "dry"
	}
	if c.Roofs > 0 {
		roofs = count(c.Roofs, "roof")
	}
	var parts []string
	for _, l := range c.Layers {
		p := strings.TrimSpace(s.inches(l.Thickness.Inches()) + " " + l.Name)
		if l.Wet {
			p += " (WET)"
		}
		parts = append(parts, p)
	}
	if len(parts) > 0 {
		layers = strings.Join(parts, ", ")
	}
	return s.inches(c.Thickness.Inches()), wet, roofs, layers
}

// outletFacts tell what an outlet is, whether it works, and its size and inlet;
// of an edge there is nothing to tell but its kind.
func (s say) outletFacts(o survey.Outlet) (kind, state, size, inlet string) {
	kind, size, inlet = o.Kind.String(), notStated, notStated
	if o.Overflow {
		kind = "overflow " + kind
	}
	switch {
	case o.Kind == survey.Drain && o.Size > 0:
		size = s.inches(o.Size.Inches())
	case o.Kind == survey.Scupper && o.Width > 0 && o.Opening > 0:
		size = s.inches(o.Width.Inches()) + " x " + s.inches(o.Opening.Inches())
	case o.IsEdge():
		return kind, "", "", ""
	}
	if o.Inlet.Stated() {
		inlet = s.inches(o.Inlet.Value.Inches()) + " above " + o.Inlet.Above.String()
		if o.Inlet.Above == survey.AboveElevation {
			inlet = "at " + s.level(o.Inlet.Value)
		}
	}
	return kind, o.StateWords(), size, inlet
}

// deckFacts is what the job states of the deck.
func (s say) deckFacts(d survey.DeckKind) string {
	span, framing := "span "+notStated, "framing "+notStated
	if d.SpanDeg != nil {
		span = fmt.Sprintf("spans %g degrees from +x", *d.SpanDeg)
	}
	if d.Framing != "" {
		framing = "framing: " + d.Framing
	}
	return orWord(d.Type, "type "+notStated) + "; " + span + "; " + framing
}

// cloudFacts tell how a point cloud became shots.
func (s say) cloudFacts(a *AreaResult) []statement {
	if a.Cloud == nil {
		return nil
	}
	var words string
	for _, w := range a.Cloud.Words(s.sys) {
		words += sentence(w)
	}
	return []statement{{"Cloud", strings.TrimSpace(s.told(words))}}
}

// fitNote is the note of the fit; of a cloud, cloudFacts has it.
func (a *AreaResult) fitNote() string {
	if a.Cloud != nil {
		return ""
	}
	return a.Fit.Note
}

// inferred is what every sheet says of a deck that nobody has seen.
func (a *AreaResult) inferred() string {
	if !a.Deck.Inferred {
		return ""
	}
	if a.Deck.ShotPct > 0 {
		return "INFERRED DECK where it was not shot."
	}
	return "INFERRED DECK: found through cores, not seen."
}
