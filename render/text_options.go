package render

import (
	"fmt"
	"math"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"

	"runnel/survey/unit"
)

// options tells what was designed side by side, and what one change does against
// the option that the files show. One option alone is told as the design.
func (t *telling) options(a *AreaResult) {
	if len(a.Options) < 2 {
		return
	}
	t.heading("Options, those that pass first, then by volume")
	priced := a.Options[a.Chosen].Measure.Priced
	t.optionTable(a, priced)
	t.optionMeasures(a)
	shown := fmt.Sprintf("option %d, %s", a.Chosen+1, a.Options[a.Chosen].Name)
	if !a.Options[a.Chosen].Does() {
		shown += ": none passes of those that may be"
	}
	t.fact("Shown here", shown+".")
	switch {
	case a.Recommended >= 0:
		t.fact("Recommended", fmt.Sprintf("option %d, the cheapest that passes; cost is of the boards to order, without spares.",
			a.Recommended+1))
	case priced:
		t.fact("Recommended", "None: none passes of those that may be, or a board of one that does has no price.")
	default:
		t.fact("Recommended", "None: boards have no prices. The table is only sorted.")
	}
	t.whatIf(a, priced)
	for n, o := range a.Options {
		if o.Why != "" {
			t.item(fmt.Sprintf("%d.", n+1), t.told(o.Why+"."))
		}
		if o.ForComparison && o.Design != nil {
			t.item(fmt.Sprintf("%d.", n+1), t.told("For comparison: few crews would lay boards in eight directions."))
		}
		for _, d := range o.Added {
			t.item(fmt.Sprintf("%d.", n+1), t.told(fmt.Sprintf("The new drain stands at x %s, y %s. It is told and not chosen: pipe and storm sewer are not checked.",
				t.place(d.At.X), t.place(d.At.Y))))
		}
	}
}

// optionsAloud tells how many of the ways that were designed pass; "" for one.
func optionsAloud(a *AreaResult) string {
	if len(a.Options) < 2 {
		return ""
	}
	do := 0
	for _, o := range a.Options {
		if o.Does() {
			do++
		}
	}
	by := ""
	if a.Fit == nil {
		by = " by geometry"
	}
	return fmt.Sprintf("Of %d ways to taper it that were tried %s%s; shown is %s.", len(a.Options),
		map[bool]string{true: "one passes", false: fmt.Sprintf("%d pass", do)}[do == 1], by, a.Options[a.Chosen].Name)
}

// mostNameCols is how wide the name of an option may be, so that the table fits
// the report.
const mostNameCols = 34

// optionTable is what every option takes and whether it passes.
func (t *telling) optionTable(a *AreaResult, priced bool) {
	header := table.Row{"", "option", "boards", t.solidName(), "cut", "ponds", "passes"}
	if priced {
		header = append(header, "cost")
	}
	var rows []table.Row
	for n, o := range a.Options {
		row := table.Row{n + 1, o.Name}
		if o.Design == nil {
			rows = append(rows, append(row, "", "", "", "", "not made"))
			continue
		}
		d := o.Design
		passes := "no"
		switch {
		case o.Does():
			passes = "yes"
		case o.Passes():
			passes = "too thick"
		}
		row = append(row, thousands(d.Totals.ToOrder), t.solidFigure(d.Insulation.CuFt), t.long(d.Totals.CutFt),
			len(o.Proof.Report.Ponds), passes)
		if priced && o.Measure.Priced {
			row = append(row, grouped(fmt.Sprintf("%.0f", o.Measure.Cost)))
		}
		rows = append(rows, row)
	}
	configs := []table.ColumnConfig{{Number: 2, WidthMax: mostNameCols, WidthMaxEnforcer: text.WrapSoft}}
	for _, n := range []int{1, 3, 4, 5, 6, 8} {
		configs = append(configs, table.ColumnConfig{Number: n, Align: text.AlignRight, AlignHeader: text.AlignRight})
	}
	t.tableOf(header, rows, nil, configs)
	if a.Fit == nil {
		t.fact("", "Passes is by geometry alone: nothing was surveyed, so whether the roof will drain is unknown.")
	}
}

// optionMeasures are the finer measures of the options that could be made.
func (t *telling) optionMeasures(a *AreaResult) {
	header := table.Row{"", "marks", "angled", "thickest", "at edge", "short", "below", "field", "valley", "ratio", "added", "at most"}
	var rows []table.Row
	for n, o := range a.Options {
		if o.Design == nil {
			continue
		}
		s := optionOf(a, n, t.sys)
		valley, ratio := "none", ""
		if o.Measure.HasValley {
			valley = t.slopeFigure(o.Measure.FlattestValley)
		}
		if s.Ratio != nil {
			ratio = fmt.Sprintf("%.2f", *s.Ratio)
		}
		rows = append(rows, table.Row{n + 1, o.Measure.Marks, o.Measure.AngledRows, t.inches(*s.Thickest), t.inches(*s.ThickestEdge),
			*s.HeightsShort, fmt.Sprintf("%.1f %%", *s.Below), t.slopeFigure(o.Measure.FlattestField), valley, ratio,
			unit.PoundsPerSquareFoot(*s.AddedPsf).Format(t.sys), unit.PoundsPerSquareFoot(*s.MostPsf).Format(t.sys)})
	}
	t.table(header, rows, nil, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)
	t.fact("", "Field and valley are the flattest by geometry, "+t.slopeUnit()+"; angled are rows off the building axes; short are stated heights "+
		"of which too little is left; below is the share of "+
		"the finish under the least slope of the rules; ratio is the volume over the least by which every path could have the slope asked for; added is the weight of the boards, on average and at the thickest.")
}

// slopeFigure prints an exact slope without its unit: 0.177, or 1:68 in metric
// jobs.
func (s say) slopeFigure(v unit.Slope) string {
	if word, level := s.slopeShort(v.InchesPerFoot()); level || s.metric() {
		return word
	}
	return decimal(math.Round(v.InchesPerFoot()*1e3) / 1e3)
}

// whatIf lists what one change does against the option that the files show.
func (t *telling) whatIf(a *AreaResult, priced bool) {
	header := table.Row{"", "what one change does", "boards", t.solidName(), "cut", "thickest"}
	if priced {
		header = append(header, "cost")
	}
	var rows []table.Row
	for n := range a.Options {
		c := changesOf(a, n, t.sys)
		if c == nil {
			continue
		}
		row := table.Row{n + 1, c.What, fmt.Sprintf("%+d", c.Boards), t.moreOrLess(c.BoardFeet, t.solidFigure(math.Abs(c.BoardFeet)/12)),
			t.moreOrLess(c.CutFt, t.long(math.Abs(c.CutFt))), t.moreOrLess(c.Thickest, t.inches(math.Abs(c.Thickest)))}
		if c.Cost != nil {
			row = append(row, fmt.Sprintf("%+.0f", *c.Cost))
		}
		rows = append(rows, row)
	}
	if len(rows) > 0 {
		t.table(header, rows, nil, 1, 3, 4, 5, 6, 7)
	}
}

// moreOrLess puts the sign of a difference before its words.
func (t *telling) moreOrLess(x float64, words string) string {
	switch {
	case math.Abs(x) < 1e-6:
		return "0"
	case x < 0:
		return "-" + words
	}
	return "+" + words
}

// solidName heads a column of volumes.
func (s say) solidName() string {
	if s.metric() {
		return "m3"
	}
	return "board feet"
}

func (s say) solidFigure(cuFt float64) string {
	if s.metric() {
		return fmt.Sprintf("%.1f", unit.CubicFeet(cuFt).CubicMetres())
	}
	return thousands(int(math.Round(unit.CubicFeet(cuFt).BoardFeet())))
}
