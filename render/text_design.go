package render

import (
	"fmt"
	"math"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
	"runnel/taper"
)

func (t *telling) design(a *AreaResult) {
	d := a.Design
	t.heading("The design")
	t.fact("Scheme", fmt.Sprintf("%s at %s", d.Scheme, t.slope(d.Slope)))
	t.fact("Laid on", t.deck(d.Deck)+". "+strings.TrimSuffix(a.BaseNote, "."))
	in := d.Insulation
	thickness := fmt.Sprintf("least %s, average %s, greatest %s", t.inches(in.ThinnestIn),
		t.inches(in.AverageIn), t.inches(in.ThickestIn))
	if d.Cover > 0 {
		thickness += ", and " + t.inches(d.Cover.Inches()) + " of cover over it"
	}
	t.fact("Insulation", thickness)
	volume := t.solid(in.CuFt * 12)
	if in.LeastCuFt > 0 {
		volume += fmt.Sprintf("; the least possible with every path at this slope is %s (%.2f times that)",
			t.solid(in.LeastCuFt*12), in.CuFt/in.LeastCuFt)
	}
	t.fact("Volume", volume)
	for _, l := range linesOf(d) {
		plural := strings.Replace(l.Kind, "valley", "valle", 1) + "s"
		plural = strings.Replace(plural, "valles", "valleys", 1)
		t.fact(plural, fmt.Sprintf("%d, %s in all, the flattest at %s", l.Count, t.run(l.Length),
			t.slope(unit.InchesPerFoot(l.Least))))
	}
	for _, n := range d.Notes {
		t.item("-", n)
	}
}

// deck tells the slope of the plane that a design stands on.
func (t *telling) deck(p survey.Plane) string {
	if p.Slope() == 0 {
		return "a level deck"
	}
	return "a deck that slopes " + t.slope(p.Slope())
}

// proof tells what the drainage check says of the finished surface.
func (t *telling) proof(a *AreaResult, rules drainage.Rules) {
	p := a.Proof
	if p == nil || p.Report == nil {
		return
	}
	title := "Proof: the finished surface on the deck as surveyed"
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
		t.fact("Holds water?", t.holdsWater(r))
		t.fact("Under minimum", fmt.Sprintf("%.1f %% of the finished area is under %s", r.BelowMinimumPct,
			t.slope(rules.Field.Min)))
	}
	verdict := "Passes."
	if !p.Passes {
		verdict = "Does not pass: " + strings.TrimSuffix(p.Why, ".") + "."
	} else if p.Why != "" {
		verdict = "Passes: " + strings.TrimSuffix(p.Why, ".") + "."
	}
	t.fact("Verdict", verdict)
	t.ponds(r.Ponds)
}

// ponds lists ponds, deepest first.
func (t *telling) ponds(ponds []drainage.Pond) {
	if len(ponds) == 0 {
		return
	}
	rows := []table.Row{}
	for _, p := range ponds {
		to := p.SpillsTo
		switch {
		case to == "":
			to = "nowhere"
		case p.Overflow:
			to += " (by an overflow only)"
		}
		rows = append(rows, table.Row{p.ID, t.say.area(p.SqFt), t.inches(p.DepthIn), t.water(p.CuFt), to, p.Misses})
	}
	t.table(table.Row{"pond", "area", "deepest", "water", "runs over to", "misses"}, rows, nil, 2, 3, 4)
}

// boards tells the schedule, the order and how it was checked.
func (t *telling) boards(a *AreaResult) {
	d := a.Design
	t.heading("Boards (stock is row x slope)")
	rows := []table.Row{}
	for _, c := range d.Counts {
		rows = append(rows, table.Row{c.Layer, c.Type.String(), c.Mark, t.stock(c.Along, c.Depth), c.Pieces, c.Full,
			c.Cut, c.ToOrder, c.Spares, t.say.area(c.SqFt)})
	}
	all := table.Row{"", "all", "", "", d.Totals.Pieces, "", "", d.Totals.ToOrder, d.Totals.Spares, ""}
	t.table(table.Row{"layer", "type", "mark", "stock", "pieces", "full", "cut", "to order", "spares", "area"},
		rows, all, 1, 5, 6, 7, 8, 9, 10)
	n := d.Totals
	t.fact("To order", fmt.Sprintf("%s, and %s apart.", count(n.ToOrder, "board"), count(n.Spares, "spare")))
	t.fact("No fewer than", fmt.Sprintf("%d by area alone; %d by the widths that have to be cut.",
		n.AreaBound, n.CutBound))
	t.fact("Cutting", fmt.Sprintf("%s of cuts; %.1f %% of the ordered area ends as scrap.", t.run(n.CutFt), n.WastePct))
	t.reconcile(d)
}

// reconcile compares the volume of the pieces with that of the facets, and with
// a count by area, which takes every layer once over the roof and so misses
// the fill.
func (t *telling) reconcile(d *taper.Design) {
	byType, taperedSqft := solidByType(d.Boards)
	all := 0.0
	var parts []string
	for _, k := range []taper.BoardType{taper.BaseType, taper.FillType, taper.TaperedType, taper.CricketType} {
		if byType[k] > 0 {
			all += byType[k]
			parts = append(parts, k.String()+" "+t.solid(byType[k]))
		}
	}
	t.fact("Reconciliation", fmt.Sprintf("the pieces hold %s (%s); the facets' planes %s.",
		t.solid(all), strings.Join(parts, ", "), t.solid(d.Totals.SolidBoardFeet)))
	if fill := byType[taper.FillType]; fill > 0 && taperedSqft > 0 {
		t.fact("", fmt.Sprintf("Counted by area alone (each layer once over %s) it would be %s: the count "+
			"misses the fill, %s or %.0f %% of the whole.", t.say.area(taperedSqft), t.solid(all-fill),
			t.solid(fill), 100*fill/all))
	}
}

// solidByType sums the pieces of each type in board feet; taperedSqft is the
// plan area of tapered pieces.
func solidByType(boards []taper.Board) (boardFeet map[taper.BoardType]float64, taperedSqft float64) {
	boardFeet = map[taper.BoardType]float64{}
	for i := range boards {
		b := &boards[i]
		boardFeet[b.Type] += solidOf(b.Poly, b.Plane)
		if b.Type == taper.TaperedType {
			taperedSqft += b.Poly.Area()
		}
	}
	return boardFeet, taperedSqft
}

// solidOf is the volume under a plane over a region in board feet: square feet
// times inches.
func solidOf(p geom.Poly, plane survey.Plane) float64 {
	sum := ringSolid(p.Outer.CCW(), plane)
	for _, h := range p.Holes {
		sum -= ringSolid(h.CCW(), plane)
	}
	return sum
}

// ringSolid sums the fan of triangles from the first corner; a plane's mean
// over a triangle is that of its corners.
func ringSolid(r geom.Ring, plane survey.Plane) float64 {
	sum := 0.0
	for i := 1; i+1 < len(r); i++ {
		a, b, c := r[0], r[i], r[i+1]
		sum += b.Sub(a).Cross(c.Sub(a)) / 2 * (plane.At(a) + plane.At(b) + plane.At(c)) / 3
	}
	return sum
}

// solid prints a volume of insulation: 8,800 board feet, 20.8 m3.
func (t *telling) solid(boardFeet float64) string {
	if t.sys == unit.Metric {
		return unit.CubicFeet(boardFeet / 12).Format(t.sys)
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
	w := table.NewWriter()
	w.SetStyle(table.StyleDefault)
	style := w.Style()
	style.Format.Header, style.Format.Footer = text.FormatDefault, text.FormatDefault
	style.Options = table.Options{SeparateHeader: true, SeparateFooter: true}
	style.Box.PaddingLeft, style.Box.PaddingRight = "", "  "
	var configs []table.ColumnConfig
	for _, n := range right {
		configs = append(configs, table.ColumnConfig{Number: n, Align: text.AlignRight,
			AlignHeader: text.AlignRight, AlignFooter: text.AlignRight})
	}
	w.SetColumnConfigs(configs)
	w.AppendHeader(header)
	w.AppendRows(rows)
	if footer != nil {
		w.AppendFooter(footer)
	}
	t.out.WriteString("\n")
	for _, l := range strings.Split(w.Render(), "\n") {
		t.out.WriteString(strings.TrimRight("  "+l, " ") + "\n")
	}
	t.out.WriteString("\n")
}
