package render

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/unit"
)

// mostBayWords is how many bays the report tells of; structure.txt has all.
const mostBayWords = 4

// rain tells what each outlet has to take, before and after, and whether the
// overflows protect; in short, since outlets.csv and structure.txt have it all.
func (t *telling) rain(a *AreaResult, job *survey.Job) {
	last := lastRain(a)
	if last == nil {
		return
	}
	t.heading("Rain")
	if job.Rain.Rate == 0 {
		t.fact("Rates", "Not stated, so nothing is said of flows. Depths below are without the head over an overflow.")
	} else {
		words := job.Rain.Rate.Format(t.sys) + "; overflows "
		if job.Rain.OverflowRate == 0 {
			words += "not stated"
		} else {
			words += job.Rain.OverflowRate.Format(t.sys)
		}
		t.fact("Rates", words+".")
		for n := range last.Outlets {
			t.outletFlow(a, n)
		}
	}
	for n, b := range last.Bays {
		if n == mostBayWords {
			t.fact("", fmt.Sprintf("and %s more: see structure.txt.", count(len(last.Bays)-n, "bay")))
			break
		}
		label := ""
		if n == 0 {
			label = "If blocked"
		}
		t.fact(label, strings.TrimSpace(sentence(b.Why)))
	}
	for n, w := range a.WhatIf {
		if w != nil {
			t.fact("What if", "On the "+surfaceNames[n]+" surface "+w.Finding(t.sys)+". No verdict stands on this.")
		}
	}
}

// lastRain is the rain on the finished surface, or else on the existing one.
func lastRain(a *AreaResult) *drainage.RainReport {
	if a.Rain[1] != nil {
		return a.Rain[1]
	}
	return a.Rain[0]
}

// outletFlow tells of one outlet: before, after, verdict.
func (t *telling) outletFlow(a *AreaResult, n int) {
	var flows []string
	told := false
	for _, r := range a.Rain {
		if r == nil {
			continue
		}
		flow := "not known"
		if f := r.Outlets[n]; f.Gpm >= 0 {
			flow, told = unit.GallonsPerMinute(f.Gpm).Format(t.sys), true
		}
		flows = append(flows, flow)
	}
	f := lastRain(a).Outlets[n]
	words := strings.Join(flows, " before, ")
	if len(flows) == 2 {
		words += " after"
	}
	if !told {
		words = "flow not known"
	}
	if f.WallSqFt > 0 {
		words += ", walls with " + t.say.area(f.WallSqFt)
	}
	if f.OtherSqFt > 0 {
		words += ", other areas with " + t.say.area(f.OtherSqFt)
	}
	t.fact("  "+f.Outlet, words+"; "+f.Words+": "+t.verdict(f.Verdict)+".")
}

// structureRows is how many lines of bays stand on the engineer's page.
const structureRows = 14

// WriteStructure writes the page for the engineer of area i, 60 lines of 100
// columns at most: what to look at and why, with the cautions that concern it.
func WriteStructure(w io.Writer, r *Result, i int) error {
	a := &r.Areas[i]
	p := a.Structure
	t := &telling{say: say{r.Job.Units}}
	t.line(0, "FOR THE STRUCTURAL ENGINEER: "+r.Job.Name+", area "+a.Area.Name)
	surface := surfaceNames[0]
	if a.Rain[1] != nil {
		surface = surfaceNames[1]
	}
	water := unit.PoundsPerSquareFoot(5.2).Format(t.sys) + " an inch"
	if t.metric() {
		water = unit.PoundsPerSquareFoot(5.2*100/25.4).Format(t.sys) + " for 100 mm"
	}
	t.line(0, "Of the "+surface+" surface. Water weighs "+water+".")
	if banner := a.assumed(); banner != "" {
		t.line(0, banner)
	}
	t.heading("What to look at")
	for _, f := range p.Findings[:min(len(p.Findings), structureFindings)] {
		t.item("-", t.told(f))
	}
	name := "Bays"
	if !p.Stated {
		name = "Stretches of roof"
	}
	t.heading(name + ", those that hold most water first")
	rows := worstBays(p.Bays)
	for n, b := range rows {
		if n == structureRows {
			t.item("", fmt.Sprintf("and %s more: see summary.json.", thousands(len(rows)-n)))
			break
		}
		why := b.Why
		if why == "" {
			why = "slopes " + t.slope(b.Slope) + " or more as read off the survey"
		}
		t.item("-", t.told(b.ID+": "+why+"."))
	}
	end := &telling{say: t.say}
	end.heading("Cautions")
	for _, n := range []int{0, 1, 2, 6} {
		end.item("-", t.told(cautions(t.sys)[n]))
	}
	last := end.out.String()
	body := firstLines(t.out.String(), structureLines-strings.Count(last, "\n"))
	if _, err := io.WriteString(w, body+last); err != nil {
		return fmt.Errorf("write the page for the engineer: %w", err)
	}
	return nil
}

// structureLines is what a page holds.
const (
	structureLines    = 60
	structureFindings = 9
)

// firstLines is text of at most n lines; where more would stand, the last says
// so.
func firstLines(text string, n int) string {
	lines := strings.SplitAfter(text, "\n")
	if len(lines) <= n+1 {
		return text
	}
	return strings.Join(lines[:n-1], "") + "  (the page is full: the rest stands in summary.json)\n"
}

// worstBays orders bays by what they hold, then by their slope.
func worstBays(bays []drainage.StructureBay) []drainage.StructureBay {
	out := append([]drainage.StructureBay(nil), bays...)
	slices.SortStableFunc(out, func(a, b drainage.StructureBay) int {
		return cmp.Or(cmp.Compare(math.Round(b.HoldsIn*1e6), math.Round(a.HoldsIn*1e6)), cmp.Compare(a.Slope, b.Slope))
	})
	return out
}
