package render

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/unit"
	"runnel/taper"
)

func (t *telling) design(a *AreaResult) {
	d := a.Design
	t.heading("The design")
	t.fact("Scheme", fmt.Sprintf("%s at %s", d.Scheme, t.slope(d.Slope)))
	t.part(a)
	t.fact("Laid on", t.deck(d.Deck)+sentence(a.Deck.Words))
	in := d.Insulation
	thickness := fmt.Sprintf("least %s, average %s, greatest %s", t.inches(in.ThinnestIn),
		t.inches(in.AverageIn), t.inches(in.ThickestIn))
	if d.Cover > 0 {
		thickness += ", and " + t.inches(d.Cover.Inches()) + " of cover over it"
	}
	t.fact("Insulation", thickness)
	t.thermal(d.Thermal)
	volume := t.solid(in.CuFt * 12)
	if in.LeastCuFt > 0 {
		volume += fmt.Sprintf("; the least with every path at %s would be %s, of which this is %.2f",
			t.slope(d.Slope), t.solid(in.LeastCuFt*12), in.CuFt/in.LeastCuFt)
		if in.CuFt < in.LeastCuFt && hasValley(d) {
			volume += " (under 1, since valleys slope less than their facets)"
		}
	}
	t.fact("Volume", volume)
	for _, l := range linesOf(d) {
		words := fmt.Sprintf("%d, %s in all", l.Count, t.long(l.Length))
		if l.Kind == taper.Valley.String() {
			words += ", the flattest at " + t.slope(unit.InchesPerFoot(l.Least))
		}
		t.fact(strings.ToUpper(l.Kind[:1])+l.Kind[1:]+"s", words)
	}
	t.items(d.Notes)
}

func hasValley(d *taper.Design) bool {
	return slices.ContainsFunc(d.Lines, func(l taper.Line) bool { return l.Kind == taper.Valley })
}

// sentence makes a full sentence of words, to follow another; no words give
// nothing.
func sentence(words string) string {
	words = strings.TrimSuffix(strings.TrimSpace(words), ".")
	if words == "" {
		return ""
	}
	r := []rune(words)
	return " " + string(unicode.ToUpper(r[0])) + string(r[1:]) + "."
}

// deck tells the slope of the plane that a design stands on.
func (t *telling) deck(p survey.Plane) string {
	if p.Slope() == 0 {
		return "A level deck."
	}
	return "A deck that slopes " + t.slope(p.Slope()) + "."
}

// proof tells what the drainage check says of the finished surface.
func (t *telling) proof(a *AreaResult, rules drainage.Rules) {
	p := a.Proof
	if p == nil || p.Report == nil {
		return
	}
	title := "Proof: the finished surface on the deck as surveyed"
	if a.Deck.Inferred {
		title = "Proof: the finished surface on the deck as inferred"
		if a.Deck.ShotPct > 0 {
			title = "Proof: the finished surface on the deck as shot and, beyond the shots, as inferred"
		}
	}
	if a.Fit == nil {
		title = "Check of the geometry: the finished surface on a level deck"
	}
	t.heading(title)
	t.fact("Facets", "field "+t.verdict(p.Field)+", valleys "+t.verdict(p.Valley)+" (on the fitted plane)")
	r := p.Report
	if a.Fit == nil {
		t.fact("Ponds", fmt.Sprintf("%d by its geometry. Whether the roof will hold water is unknown: nothing was surveyed.",
			len(r.Ponds)))
	} else {
		before := ""
		if a.Existing != nil {
			before = fmt.Sprintf(" Before: %s.", count(len(a.Existing.Ponds), "pond"))
		}
		water := t.holdsWater(r) + before
		if r.PondsFree != drainage.FallsShort {
			water += t.unseen(a.Fit)
		}
		t.fact("Holds water?", water)
		t.fact("Under minimum", fmt.Sprintf("%.1f %% of the finished area is under %s", r.BelowMinimumPct,
			t.slope(rules.Field.Min)))
		if p.BackFallPct >= 0.05 {
			t.fact("Back falls", fmt.Sprintf("%.1f %% of the finished area falls backward over %s on the deck as surveyed",
				p.BackFallPct, t.long(4)))
		}
	}
	var before *drainage.Report
	if a.Fit != nil {
		before = a.Existing
	}
	t.drainsTo(r, before)
	t.fact("Verdict", t.proofVerdict(a)+sentence(p.Why))
	t.items(p.Findings)
	t.ponds(r)
	t.pondChanges(a)
	t.findings("Verdicts by rule, finished", p.Judged)
}

// proofVerdict says whether a design passes its proof; findings and being
// thicker than the job allows never hide behind a plain pass.
func (t *telling) proofVerdict(a *AreaResult) string {
	p := a.Proof
	with, end := "", "."
	if len(p.Findings) > 0 {
		with, end = ", with findings", ", with findings:"
	}
	over := t.overThickest(a.Design)
	switch {
	case !p.Passes && over != "":
		return "Does not pass, and is " + over + "."
	case !p.Passes:
		return "Does not pass."
	case a.Fit == nil && over != "":
		return "Its geometry passes" + with + ", but is " + over + "; whether the roof will drain is unknown."
	case a.Fit == nil:
		return "Its geometry passes" + with + "; whether the roof will drain is unknown."
	case over != "":
		return "Passes, but is " + over + end
	}
	return "Passes" + end
}

// overThickest says by how much a design is thicker than the job allows; ""
// where it is within.
func (s say) overThickest(d *taper.Design) string {
	if d == nil || d.OverThickest <= 0 {
		return ""
	}
	return "thicker than the job allows by " + s.inches(d.OverThickest.Inches())
}

// boards tells what lies in each layer, what to order and how that was checked.
func (t *telling) boards(a *AreaResult) {
	d := a.Design
	if len(d.Boards) == 0 && d.Laid != nil {
		return // nothing is left to lay
	}
	t.heading(t.told("Boards by layer (stock is row x slope)"))
	rows := []table.Row{}
	for _, c := range d.Counts {
		rows = append(rows, table.Row{c.Layer, c.Type.String(), c.Mark, t.stock(c.Along, c.Depth), thousands(c.Pieces),
			thousands(c.Full), thousands(c.Cut), t.say.area(c.SqFt)})
	}
	t.table(table.Row{"layer", "type", "mark", "stock", "pieces", "full", "cut", "area"}, rows, nil, 1, 5, 6, 7, 8)
	t.order(d)
	n := d.Totals
	t.fact("To order", fmt.Sprintf("%s, and %s apart.", count(n.ToOrder, "board"), count(n.Spares, "spare")))
	t.fact("No fewer than", fmt.Sprintf("%s by area alone, %s by the widths that have to be cut.",
		thousands(n.AreaBound), thousands(n.CutBound)))
	t.fact("Cutting", fmt.Sprintf("%s of cuts; %.1f %% of the ordered area ends as scrap.", t.long(n.CutFt), n.WastePct))
	t.joints(a)
	t.bundles(d)
	t.reconcile(d)
}

// bundles lists what comes to the roof, spares included; where no bundle is known
// only how much room it takes.
func (t *telling) bundles(d *taper.Design) {
	rows, cuft, known := []table.Row{}, 0.0, false
	for _, o := range d.Orders {
		known = known || o.Bundle > 0
		inBundle, full := "not stated", ""
		if o.Bundle > 0 {
			inBundle, full = thousands(o.Bundle), thousands(o.Bundles)
		}
		loose := ""
		if o.Loose > 0 {
			loose = thousands(o.Loose)
		}
		needed := thousands(o.Boards)
		if o.OnHand > 0 {
			needed += ", " + thousands(o.OnHand) + " on hand"
		}
		rows = append(rows, table.Row{o.Mark, t.stock(o.Along, o.Depth), needed, inBundle, full, loose, thousands(o.Bought())})
		cuft += o.CuFt
	}
	if known {
		t.heading("Bundles to buy (spares included)")
		t.table(table.Row{"mark", "stock", "boards", "a bundle", "bundles", "loose", "to buy"}, rows, nil, 3, 4, 5, 6, 7)
	}
	if cuft > 0 {
		t.fact("On the truck", t.volume(cuft)+" of boards, spares included.")
	}
}

// order lists what to buy, a line for each mark and size.
func (t *telling) order(d *taper.Design) {
	t.heading("Order by mark (the least that would do: by area, by the widths to cut)")
	rows := []table.Row{}
	for _, m := range taper.Bounds(d.Boards) {
		spares := 0
		for _, c := range d.Counts {
			if c.Type == m.Type && c.Mark == m.Mark && c.Along == m.Along && c.Depth == m.Depth {
				spares += c.Spares
			}
		}
		rows = append(rows, table.Row{m.Mark, m.Type.String(), t.stock(m.Along, m.Depth), thousands(m.Pieces),
			thousands(m.ToOrder), thousands(spares), thousands(m.Area), thousands(m.Cut)})
	}
	n := d.Totals
	all := table.Row{"all", "", "", thousands(n.Pieces), thousands(n.ToOrder), thousands(n.Spares),
		thousands(n.AreaBound), thousands(n.CutBound)}
	t.table(table.Row{"mark", "type", "stock", "pieces", "to order", "spares", "by area", "by cut"}, rows, all,
		4, 5, 6, 7, 8)
}

// reconcile compares the volume of the pieces with that of the facets, and with
// a count by area, which takes every layer once over the roof and so misses
// the fill.
func (t *telling) reconcile(d *taper.Design) {
	n := d.Totals
	var parts []string
	for _, part := range []struct {
		name      string
		boardFeet float64
	}{{"base", n.BaseBoardFeet}, {"fill", n.FillBoardFeet}, {"tapered", n.TaperedBoardFeet}} {
		if part.boardFeet > 0 {
			parts = append(parts, part.name+" "+t.solid(part.boardFeet))
		}
	}
	where := ""
	if d.Laid != nil {
		where = " where no row is down"
	}
	t.fact("Reconciliation", fmt.Sprintf("The pieces hold %s (%s), the facets' planes %s%s; cover apart.",
		t.solid(n.BoardFeet), strings.Join(parts, ", "), t.solid(n.SolidBoardFeet), where))
	boards, sqft := byArea(d.Counts)
	if boards == 0 || n.FillBoardFeet <= 0 {
		return
	}
	t.fact("", fmt.Sprintf("Counted by area alone (%s, %s of taper) it would be %s: that count misses the "+
		"fill, %s or %.0f %% of the whole.", t.say.area(sqft), count(boards, "board"), t.solid(n.BoardFeet-n.FillBoardFeet),
		t.solid(n.FillBoardFeet), 100*n.FillBoardFeet/n.BoardFeet))
}

// byArea counts the tapered boards as if only the area they cover mattered.
func byArea(counts []taper.Count) (boards int, sqft float64) {
	exact := 0.0
	for _, c := range counts {
		if c.Type == taper.TaperedType && c.Along > 0 && c.Depth > 0 {
			sqft += c.SqFt
			exact += c.SqFt / unit.AreaOf(c.Along, c.Depth).SquareFeet()
		}
	}
	return int(math.Ceil(exact - 1e-6)), sqft
}

// long prints a length that is summed or rough: 3,029 ft, 923 m, 0.3 m.
func (s say) long(ft float64) string {
	figure, name, _ := strings.Cut(unit.Feet(ft).FormatRough(s.sys), " ")
	if !strings.Contains(figure, ".") {
		figure = grouped(figure)
	}
	return figure + " " + name
}

// solid prints a volume of insulation: 8,800 board feet, 20.8 m3.
func (t *telling) solid(boardFeet float64) string {
	if t.sys == unit.Metric {
		return t.volume(boardFeet / 12)
	}
	return thousands(int(math.Round(boardFeet))) + " board feet"
}

// stock prints the size of a stock board: 4x8, 1200x600 mm.
func (t *telling) stock(along, depth unit.Length) string {
	if t.sys == unit.Metric {
		return fmt.Sprintf("%.0fx%.0f mm", along.Millimetres(), depth.Millimetres())
	}
	return stockFt(along, depth) + " ft"
}

// table writes rows under a header; right lists the columns, from 1, whose
// figures stand to the right.
func (t *telling) table(header table.Row, rows []table.Row, footer table.Row, right ...int) {
	var configs []table.ColumnConfig
	for _, n := range right {
		configs = append(configs, table.ColumnConfig{Number: n, Align: text.AlignRight,
			AlignHeader: text.AlignRight, AlignFooter: text.AlignRight})
	}
	t.tableOf(header, rows, footer, configs)
}

// tableOf writes rows under a header, columns as configured.
func (t *telling) tableOf(header table.Row, rows []table.Row, footer table.Row, configs []table.ColumnConfig) {
	w := table.NewWriter()
	w.SetStyle(table.StyleDefault)
	style := w.Style()
	style.Format.Header, style.Format.Footer = text.FormatDefault, text.FormatDefault
	style.Options = table.Options{SeparateHeader: true, SeparateFooter: true}
	style.Box.PaddingLeft, style.Box.PaddingRight = "", "  "
	w.SetColumnConfigs(configs)
	w.AppendHeader(header)
	w.AppendRows(rows)
	if footer != nil {
		w.AppendFooter(footer)
	}
	t.blank()
	for _, l := range strings.Split(w.Render(), "\n") {
		t.out.WriteString(strings.TrimRight("  "+l, " ") + "\n")
	}
	t.blank()
}
