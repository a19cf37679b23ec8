package render

import (
	"strings"
	"unicode"

	"runnel/drainage"
	"runnel/survey"
)

// told is text as people of the job's units read it: figures of areas and
// volumes with commas, and in metric jobs the words of the UK trade. It is for
// sentences: names, file names and the keys of job.yaml keep their letters.
func (s say) told(text string) string {
	text = withCommas(text)
	if !s.metric() {
		return text
	}
	return ukWords(text)
}

// ukWords puts the words of UK usage for those of the US trade; a word that is
// part of a file name or a key, as in shots.csv, stays, and so does "low slope",
// a kind of roof.
func ukWords(text string) string {
	letter := func(r rune) bool { return unicode.IsLetter(r) || r == '_' }
	runes := []rune(text)
	var out strings.Builder
	for i := 0; i < len(runes); {
		end := i
		for end < len(runes) && letter(runes[end]) {
			end++
		}
		if end == i {
			out.WriteRune(runes[i])
			i++
			continue
		}
		word := string(runes[i:end])
		inName := i > 0 && strings.ContainsRune("./-", runes[i-1]) ||
			end+1 < len(runes) && strings.ContainsRune("./", runes[end]) && letter(runes[end+1])
		if uk := ukWord(strings.ToLower(word)); uk != "" && !inName && !strings.HasSuffix(strings.ToLower(string(runes[:i])), "low ") {
			if unicode.IsUpper(runes[i]) {
				uk = strings.ToUpper(uk[:1]) + uk[1:]
			}
			word = uk
		}
		out.WriteString(word)
		i = end
	}
	return out.String()
}

// ukWord is the UK word for a US one; "" where both say the same.
func ukWord(us string) string {
	switch us {
	case "shot":
		return "level"
	case "shots":
		return "levels"
	case "rod":
		return "staff"
	case "rods":
		return "staffs"
	case "slope":
		return "fall"
	case "slopes":
		return "falls"
	case "curb":
		return "kerb"
	case "curbs":
		return "kerbs"
	}
	return ""
}

// withCommas puts commas into whole figures of four digits and more that stand
// before a unit of area or volume: 1743 sq ft becomes 1,743 sq ft.
func withCommas(text string) string {
	var out strings.Builder
	for i := 0; i < len(text); {
		end := i
		for end < len(text) && text[end] >= '0' && text[end] <= '9' {
			end++
		}
		if end == i {
			out.WriteByte(text[i])
			i++
			continue
		}
		digits := text[i:end]
		if end-i >= 4 && bulky(text[end:]) && (i == 0 || !strings.ContainsRune(".,:/", rune(text[i-1]))) {
			digits = grouped(digits)
		}
		out.WriteString(digits)
		i = end
	}
	return out.String()
}

// bulky says whether text begins with a unit of area or volume or with a noun of
// the survey, after a blank.
func bulky(text string) bool {
	for _, unit := range []string{"sq ft", "cu ft", "gal", "board feet", "m2", "m3", "L", "points", "shots", "cells"} {
		if rest, ok := strings.CutPrefix(text, " "+unit); ok &&
			(rest == "" || !unicode.IsLetter(rune(rest[0])) && !unicode.IsDigit(rune(rest[0]))) {
			return true
		}
	}
	return false
}

// grouped puts commas into a run of digits.
func grouped(digits string) string {
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits
}

// conditions tell what is known of the outlets that a verdict hangs on. A
// blocked outlet is computed as closed, an untested one as if it let water go.
func conditions(outlets []survey.SiteOutlet, ids []string) []string {
	var out []string
	for _, id := range ids {
		state := survey.Untested
		for _, o := range outlets {
			if o.ID == id {
				state = o.State
			}
		}
		switch state {
		case survey.Blocked:
			out = append(out, id+" is blocked: counted as closed")
		case survey.Untested:
			out = append(out, "Only true if "+id+" lets water go (untested)")
		case survey.Works:
		}
	}
	return out
}

// hangsOn tells all that the verdicts of a report hang on.
func (a *AreaResult) hangsOn(r *drainage.Report) []string {
	return append(a.doubted(), conditions(a.Site.Outlets, r.Conditional)...)
}

// doubted tells why the survey may be wrong as a whole.
func (a *AreaResult) doubted() (out []string) {
	for _, d := range a.Area.Doubts {
		out = append(out, "Only true if the survey is right as a whole, which is in doubt: "+d.Why)
	}
	return out
}

// depth prints how deep a pond is; one that is closed in has no spill that
// bounds it.
func (s say) depth(p drainage.Pond) string {
	if p.ClosedIn {
		return "at least " + s.inches(p.DepthIn)
	}
	return s.inches(p.DepthIn)
}

// runsOverTo says where the water of a pond goes once it is full.
func runsOverTo(p drainage.Pond) string {
	switch {
	case p.ClosedIn:
		return "nothing lets it go"
	case p.SpillsTo == "":
		return "nowhere"
	case p.Overflow:
		return p.SpillsTo + " (by an overflow only)"
	}
	return p.SpillsTo
}
