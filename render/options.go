package render

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"runnel/drainage"
	"runnel/survey/unit"
	"runnel/taper"
)

// WriteOptionsCSV writes one line for each option of each area, as sorted: those
// that pass first, then by board feet. boards are those to order, without spares,
// and cost is theirs; board_feet is insulation without cover. passes is unknown
// where the deck was assumed. What is not known is empty.
func WriteOptionsCSV(w io.Writer, r *Result) error {
	rows := [][]string{{"area", "option", "scheme", "slope_in_per_ft", "boards", "board_feet", "cut_feet", "cost",
		"thickest_in", "ponds_left", "below_minimum_pct", "passes", "why", "chosen", "recommended", "for_comparison",
		"new_outlets", "marks", "angled_rows", "thickest_edge_in", "over_thickest_in", "flattest_field_in_per_ft",
		"flattest_valley_in_per_ft", "field", "valley", "volume_over_least", "added_psf", "most_added_psf", "average_r", "heat_flow_r", "meets_r", "heights_short", "note"}}
	for i := range r.Areas {
		for n := range r.Areas[i].Options {
			rows = append(rows, optionRow(&r.Areas[i], n, r.Job.Units))
		}
	}
	return writeRows(w, rows)
}

func optionRow(a *AreaResult, n int, sys unit.System) []string {
	o := optionOf(a, n, sys)
	num := func(x *float64) string {
		if x == nil {
			return ""
		}
		return decimal(*x)
	}
	whole := func(x *int) string {
		if x == nil {
			return ""
		}
		return strconv.Itoa(*x)
	}
	word := func(x *bool) string {
		if x == nil {
			return ""
		}
		return strconv.FormatBool(*x)
	}
	passes := word(o.Passes)
	switch {
	case a.Options[n].Design == nil:
		passes = word(new(bool))
	case o.Passes == nil:
		passes = drainage.Unknown.String()
	}
	return []string{
		a.Area.Name, o.Option, o.Scheme, decimal(o.Slope), whole(o.Boards), num(o.BoardFeet), num(o.CutFt), num(o.Cost),
		num(o.Thickest), whole(o.Ponds), num(o.Below), passes, o.Why, strconv.FormatBool(o.Chosen), strconv.FormatBool(o.Recommended),
		strconv.FormatBool(o.ForComparison), strconv.Itoa(len(o.NewOutlets)), whole(o.Marks), whole(o.AngledRows),
		num(o.ThickestEdge), num(o.Over), num(o.FlattestField), num(o.FlattestValley), o.Field, o.Valley, num(o.Ratio),
		num(o.AddedPsf), num(o.MostPsf), num(o.AverageR), num(o.HeatFlowR), word(o.MeetsR), whole(o.HeightsShort), a.assumed(),
	}
}

// summaryOption is an option as summary.json has it; one that could not be made
// has its reason and no figures.
type summaryOption struct {
	Option         string             `json:"option"`
	Scheme         string             `json:"scheme"`
	Slope          float64            `json:"slope_in_per_ft"`
	Chosen         bool               `json:"chosen,omitempty"`
	Recommended    bool               `json:"recommended,omitempty"`
	ForComparison  bool               `json:"for_comparison,omitempty"`
	NewOutlets     []summaryNewOutlet `json:"new_outlets,omitempty"`
	Passes         *bool              `json:"passes,omitempty"` // absent on an assumed deck
	Why            string             `json:"why,omitempty"`
	Boards         *int               `json:"boards,omitempty"` // to order, without spares
	BoardFeet      *float64           `json:"board_feet,omitempty"`
	CutFt          *float64           `json:"cut_ft,omitempty"`
	Cost           *float64           `json:"cost,omitempty"` // absent where a board has no price
	Marks          *int               `json:"marks,omitempty"`
	AngledRows     *int               `json:"angled_rows,omitempty"`
	Thickest       *float64           `json:"thickest_in,omitempty"`
	ThickestEdge   *float64           `json:"thickest_edge_in,omitempty"`
	Over           *float64           `json:"over_thickest_in,omitempty"`
	Ponds          *int               `json:"ponds_left,omitempty"`
	Below          *float64           `json:"below_minimum_pct,omitempty"`
	FlattestField  *float64           `json:"flattest_field_in_per_ft,omitempty"`
	FlattestValley *float64           `json:"flattest_valley_in_per_ft,omitempty"`
	Field          string             `json:"field,omitempty"`
	Valley         string             `json:"valley,omitempty"`
	Ratio          *float64           `json:"volume_over_least,omitempty"`
	AddedPsf       *float64           `json:"added_psf,omitempty"`
	MostPsf        *float64           `json:"most_added_psf,omitempty"`
	AverageR       *float64           `json:"average_r,omitempty"` // where the job asks for an R
	HeatFlowR      *float64           `json:"heat_flow_r,omitempty"`
	MeetsR         *bool              `json:"meets_r,omitempty"`
	HeightsShort   *int               `json:"heights_short,omitempty"`  // stated heights of which too little is left
	Changes        *summaryChanges    `json:"against_chosen,omitempty"` // only where one thing is changed
}

type summaryNewOutlet struct {
	X float64 `json:"x_ft"`
	Y float64 `json:"y_ft"`
}

// summaryChanges is what one change does against the chosen option: figures of
// the option less those of the chosen.
type summaryChanges struct {
	What      string   `json:"what"`
	Boards    int      `json:"boards"`
	BoardFeet float64  `json:"board_feet"`
	CutFt     float64  `json:"cut_ft"`
	Thickest  float64  `json:"thickest_in"`
	Cost      *float64 `json:"cost,omitempty"`
}

// joined puts the words that there are together.
func joined(by string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return p == "" }), by)
}

func optionsOf(a *AreaResult, sys unit.System) []summaryOption {
	var out []summaryOption
	for n := range a.Options {
		out = append(out, optionOf(a, n, sys))
	}
	return out
}

func optionOf(a *AreaResult, n int, sys unit.System) summaryOption {
	o := &a.Options[n]
	s := summaryOption{
		Option: o.Name, Scheme: o.Taper.Scheme.String(), Slope: figure(o.Taper.Slope.InchesPerFoot()),
		Chosen: n == a.Chosen, Recommended: n == a.Recommended, ForComparison: o.ForComparison, Why: o.Why,
	}
	for _, added := range o.Added {
		s.NewOutlets = append(s.NewOutlets, summaryNewOutlet{figure(added.At.X), figure(added.At.Y)})
	}
	if o.Design == nil {
		return s
	}
	d, m, r := o.Design, &o.Measure, o.Proof.Report
	if a.Fit != nil {
		does := o.Does()
		s.Passes = &does
	}
	if d.OverThickest > 0 {
		s.Why = joined("; ", s.Why, "thicker than the job allows by "+d.OverThickest.FormatThin(sys))
	}
	ponds := len(r.Ponds)
	s.Boards, s.Marks, s.AngledRows, s.Ponds = &d.Totals.ToOrder, &m.Marks, &m.AngledRows, &ponds
	s.BoardFeet, s.CutFt = some(d.Insulation.CuFt*12), some(d.Totals.CutFt)
	s.Thickest, s.ThickestEdge = some(m.Thickest.Inches()), some(m.ThickestEdge.Inches())
	s.Below, s.FlattestField = some(r.BelowMinimumPct), some(m.FlattestField.InchesPerFoot())
	s.AddedPsf, s.MostPsf = some(drainage.BoardPsf(d.Insulation.AverageIn)), some(drainage.BoardPsf(m.Thickest.Inches()))
	s.Field, s.Valley = o.Proof.Field.String(), o.Proof.Valley.String()
	if d.OverThickest > 0 {
		s.Over = some(d.OverThickest.Inches())
	}
	if m.HasValley {
		s.FlattestValley = some(m.FlattestValley.InchesPerFoot())
	}
	if m.Ratio > 0 {
		s.Ratio = some(m.Ratio)
	}
	short := heightsShort(o)
	s.HeightsShort = &short
	if th := d.Thermal; th != nil {
		meets := th.Meets()
		s.AverageR, s.HeatFlowR, s.MeetsR = some(th.AverageR), some(th.HeatFlowR), &meets
	}
	if m.Priced {
		s.Cost = some(m.Cost)
	}
	s.Changes = changesOf(a, n, sys)
	return s
}

// heightsShort counts the stated heights of which an option leaves too little.
func heightsShort(o *taper.Option) (n int) {
	for _, f := range o.Proof.Judged {
		if (f.Rule == "flashing" || f.Rule == "duct") && f.Verdict == drainage.FallsShort {
			n++
		}
	}
	return n
}

// changesOf compares an option with the chosen one, where it changes one thing.
func changesOf(a *AreaResult, n int, sys unit.System) *summaryChanges {
	o, c := &a.Options[n], &a.Options[a.Chosen]
	what := o.Differs(*c, sys)
	if n == a.Chosen || o.Design == nil || len(what) != 1 {
		return nil
	}
	s := &summaryChanges{What: what[0], Boards: o.Design.Totals.ToOrder - c.Design.Totals.ToOrder,
		BoardFeet: figure((o.Design.Insulation.CuFt - c.Design.Insulation.CuFt) * 12),
		CutFt:     figure(o.Design.Totals.CutFt - c.Design.Totals.CutFt),
		Thickest:  figure((o.Measure.Thickest - c.Measure.Thickest).Inches())}
	if o.Measure.Priced && c.Measure.Priced {
		s.Cost = some(o.Measure.Cost - c.Measure.Cost)
	}
	return s
}

// recommendedName is the option that is recommended; nil: none.
func recommendedName(a *AreaResult) *string {
	if a.Recommended < 0 || len(a.Options) == 0 {
		return nil
	}
	return &a.Options[a.Recommended].Name
}

// chosenOption is the option that the files show; nil: there is no design.
func chosenOption(a *AreaResult) *taper.Option {
	if len(a.Options) == 0 {
		return nil
	}
	return &a.Options[a.Chosen]
}
