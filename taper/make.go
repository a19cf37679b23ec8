package taper

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/fit"
	"runnel/survey/unit"
)

// MakeInput is what one design is made from.
type MakeInput struct {
	Choice    survey.TaperChoice
	Stock     *survey.Stock // nil: the built-in stock in inches
	Deck      survey.Plane  // fitted plane that the design stands on; level: zero slopes
	Doubt     unit.Slope    // one standard error of a slope of Deck along an axis; 0: exact
	Decks     []DeckPart    // of a deck of several planes, instead of Deck
	Own       Own           // the designer's lines and regions
	ValleyMin unit.Slope    // least finished slope of a valley, of crickets and on a sloped deck
	FieldMin  unit.Slope    // least finished slope of a cricket's top
	Units     unit.System   // of notes and errors; unset: US
	// Thermal is the R to reach, by a base as thick as that takes; nil: none.
	Thermal *survey.Thermal
	// Laid rows are down and OnHand boards lie on the roof: only the rest is laid.
	Laid   []LaidRow
	OnHand []HandLine
	Rate   unit.Area // of roof opened and covered a day; 0: no days are planned
	// Progress hears how many of the steps are done; nil means silent.
	Progress func(done, total int)
}

// Make designs the field of one site, lays it out in boards, cuts and counts
// them. Everything is in the building frame of s. The design is not proven to
// drain: see Prove. The error names what cannot be designed, or the board that
// the stock lacks; it is ctx's when ctx ends first.
func Make(ctx context.Context, s *survey.Site, in MakeInput) (*Design, error) {
	const steps = 4
	done := func(step int) {
		if in.Progress != nil {
			in.Progress(step, steps)
		}
	}
	if in.Stock == nil {
		in.Stock = DefaultStock(unit.US)
	}
	in, f, err := in.insulated(ctx, s)
	if err != nil {
		return nil, err
	}
	c, field := in.Choice, in.field()
	d := &Design{Scheme: c.Scheme, Slope: c.Slope, Cover: c.Cover, Sliver: sliverOf(c)}
	d.Deck, _ = field.takenDeck(s.Frame)
	d.Facets, d.Lines, d.LowLines, d.Notes = f.Facets, f.Lines, f.Low, f.Notes
	if err := d.addCrickets(ctx, s, in); err != nil {
		return nil, err
	}
	d.Notes = append(d.Notes, crossingNotes(s, d.Facets, in.Own, in.Units)...)
	if err := d.stack(s, in, field.T0In); err != nil {
		return nil, err
	}
	done(1)
	l := layOutOf(c, in.Stock)
	boards, err := l.all(ctx, s, d.Facets)
	if err != nil {
		return nil, fmt.Errorf("lay out area %s: %w", s.Name, err)
	}
	d.DustSqft = l.dustSqft
	done(2)
	if d.Boards, err = in.cut(ctx, s, d.Facets, boards); err != nil {
		return nil, err
	}
	done(3)
	d.Counts, d.Totals = CountBoards(d.Boards)
	d.Orders = OrdersOf(d.Boards, d.Counts, in.Stock, c.LooseBoards)
	d.measure(s, field.T0In, c.Thickest)
	d.Thermal = ThermalOf(d.Facets, in.Thermal)
	d.Notes = append(d.Notes, boardNotes(d, c, in.Stock)...)
	if d.OverThickest > 0 {
		b := Beside{Design: d, Slopes: SlopesIn(in.Stock), Levels: fit.Levels{Units: in.Units}}
		b.Rules.Field.Min, b.Rules.Valley.Min = in.FieldMin, in.ValleyMin
		d.Notes = append(d.Notes, d.overNote(s, c.Thickest, b))
	}
	if len(in.Laid)+len(in.OnHand) > 0 {
		if d, err = d.rest(ctx, s, in); err != nil {
			return nil, err
		}
	}
	done(4)
	return d, nil
}

// cut plans days, where a rate is stated, and cuts boards as the job wants them.
func (in MakeInput) cut(ctx context.Context, s *survey.Site, facets []Facet, boards []Board) ([]Board, error) {
	if in.Rate > 0 {
		PlanDays(s, facets, boards, in.Rate)
	}
	c := in.Choice
	return cutBoards(ctx, boards, CutOptions{TurnBoard: c.TurnBoard, Kerf: c.Kerf, Tight: c.TightCut})
}

// addCrickets lays crickets on the field, where the choice and the rules want them.
func (d *Design) addCrickets(ctx context.Context, s *survey.Site, in MakeInput) error {
	if !in.crickets() {
		return nil
	}
	ci := CricketInput{Choice: in.Choice.Cricket, ValleyMin: in.ValleyMin, FieldMin: in.FieldMin, Stock: in.Stock, Units: in.Units}
	facets, crickets, notes, err := CricketsOf(s, d.Facets, d.LowLines, ci)
	if err != nil {
		return err
	}
	dams, err := damming(ctx, s, d.Facets, facets, crickets)
	if err != nil {
		return err
	}
	for _, x := range dams {
		words := fmt.Sprintf("a cricket %s would hold %s of water: there is no room for one", x.cricket.Name, unit.Inches(x.in).FormatThin(in.Units))
		if x.cricket.Kind == CurbCricket && !s.OwnCrickets {
			ci.Without = append(ci.Without, x.cricket.Name)
		} else {
			words = fmt.Sprintf("the cricket %s holds %s of water that the field would let go", x.cricket.Name, unit.Inches(x.in).FormatThin(in.Units))
		}
		d.Notes = append(d.Notes, words)
	}
	if len(ci.Without) > 0 {
		facets, crickets, notes, err = CricketsOf(s, d.Facets, d.LowLines, ci)
	}
	if err != nil {
		return err
	}
	d.Notes = append(d.Notes, notes...)
	if len(facets) == 0 {
		d.Notes = append(d.Notes, levelNotes(d.LowLines)...)
	} else {
		d.Facets, d.Crickets = append(d.Facets, facets...), crickets
		if d.Lines, err = TopLines(s, d.Facets); err != nil {
			return err
		}
	}
	d.Notes = append(d.Notes, lineNotes(s, d.Facets, d.Lines, in.Units)...)
	return nil
}

// crickets says whether crickets are laid where the rules want them.
func (in MakeInput) crickets() bool {
	return !in.Choice.Cricket.None && (in.ValleyMin > 0 || in.Choice.Cricket.Valley > 0)
}

// field is what the field of thickness is designed from.
func (in MakeInput) field() FieldInput {
	c := in.Choice
	t0In := float64(c.Base.Layers)*c.Base.Thickness.Inches() + c.Start.Inches()
	return FieldInput{Scheme: c.Scheme, Slope: c.Slope, T0In: t0In, Deck: in.Deck, Doubt: in.Doubt, Decks: in.Decks,
		Stock: in.Stock, ValleyMin: in.ValleyMin, Units: in.Units,
		SumpFt: c.Sump.Feet(), SumpBoard: c.SumpBoard, EqualEdges: c.EqualEdges, Crickets: in.crickets()}
}

// measure measures the insulation of the facets and holds it against the least
// possible and the thickest allowed; thickest 0 sets no limit.
func (d *Design) measure(s *survey.Site, t0In float64, thickest unit.Length) {
	d.Insulation = MeasureInsulation(d.Facets)
	d.Totals.SolidBoardFeet = unit.CubicFeet(d.Insulation.CuFt).BoardFeet()
	if over := unit.Inches(d.Insulation.ThickestIn) - thickest; thickest > 0 && over.Inches() > sameIn {
		d.OverThickest = over
	}
	if d.Slope > 0 {
		l := survey.LatticeOf(s, 0)
		deck := &survey.Surface{Lattice: l, Roof: survey.RoofCells(s, l), ElevIn: deckUnder(d.Facets, l)}
		d.Insulation.LeastCuFt = LeastVolumeCuFt(s, deck, d.Slope, t0In)
	}
}

// finishedSlopes are the least and the greatest slope of the field's facets on
// the deck, in/ft; an infinite least without any.
func finishedSlopes(facets []Facet) (least, most float64) {
	least = math.Inf(1)
	for _, f := range topFacets(facets) {
		if f.Role == FieldRole {
			slope := f.Top().Slope().InchesPerFoot()
			least, most = math.Min(least, slope), math.Max(most, slope)
		}
	}
	return least, most
}

// boardNotes says what the boards bring with them: more than the thickest
// that the job allows, a lead time, and fill steps under tapered joints.
func boardNotes(d *Design, c survey.TaperChoice, stock *survey.Stock) []string {
	m := markingOf(stock)
	var notes []string
	if d.OverThickest > 0 {
		notes = append(notes, fmt.Sprintf("insulation is %s at its thickest, %s more than the job allows",
			m.rounded(c.Thickest+d.OverThickest), m.rounded(d.OverThickest)))
	}
	if late := toOrderSlopes(d, stock, m); len(late) > 0 {
		notes = append(notes, fmt.Sprintf("tapered boards at %s are made to order: ask for the lead time", listText(late)))
	}
	if at := fillSteps(d); len(at) > 0 {
		var names []string
		for _, t := range at {
			names = append(names, m.of(t))
		}
		notes = append(notes, fmt.Sprintf("fill steps up right under the joint of two tapered rows where fill and taper are %s %s thick, "+
			"and end joints of fill lie under those of its tapered row", listText(names), m.unitName()))
	}
	if c.Base.Layers > 0 {
		notes = append(notes, "base rows lie in a running bond")
	}
	return notes
}

// toOrderSlopes names the slopes of the tapered boards of a design that are not
// on the shelf, in the order of the stock; of several only the last with its
// unit.
func toOrderSlopes(d *Design, stock *survey.Stock, m marking) []string {
	laid := map[markKey]bool{}
	for _, c := range d.Counts {
		laid[c.key()] = true
	}
	var out []string
	for _, b := range stock.Tapered {
		text := m.slope(b.Slope)
		if b.ToOrder && laid[markKey{TaperedType, m.tapered(b), b.Along, b.Depth}] && !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	for i := range max(0, len(out)-1) {
		out[i] = strings.TrimSuffix(out[i], " in/ft")
	}
	return out
}

// fillSteps lists the thicknesses over the base at which a row has other fill
// than the row below it, thinnest first.
func fillSteps(d *Design) []unit.Length {
	type rowKey struct{ facet, row int }
	fillIn, thinIn, last := map[rowKey]float64{}, map[rowKey]float64{}, map[int]int{}
	seen := map[regionKey]bool{}
	for _, b := range d.Boards {
		k := rowKey{b.Facet, b.Row}
		switch layer := (regionKey{layer: b.Layer, facet: b.Facet, row: b.Row}); {
		case b.Type == FillType && !seen[layer]:
			seen[layer] = true
			fillIn[k] += b.ThinIn
		case b.Type == TaperedType:
			thinIn[k] = b.ThinIn
			last[b.Facet] = max(last[b.Facet], b.Row)
		}
	}
	var out []unit.Length
	for _, f := range d.Facets {
		for row := 2; row <= last[f.ID]; row++ {
			k := rowKey{f.ID, row}
			if math.Abs(fillIn[k]-fillIn[rowKey{f.ID, row - 1}]) > sameIn {
				out = append(out, unit.Inches(fillIn[k]+thinIn[k]))
			}
		}
	}
	slices.Sort(out)
	return slices.CompactFunc(out, func(a, b unit.Length) bool { return math.Abs((a - b).Inches()) < sameIn })
}
