package taper

import (
	"fmt"
	"math"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// eaveJob is a roof of 60 x 40 ft that drains over its eave, edge 0, with boards of
// one slope on a deck that rises from the eave, and the old roof oldIn thick on it.
func eaveJob(t *testing.T, slope, deckInPerFt, oldIn float64, rate unit.Area) ForemanIn {
	t.Helper()
	a := roofArea(rect(60, 40))
	a.Edges[0].Kind = survey.GutterEdge
	a.Outlets = []survey.Outlet{{ID: "A-0", Kind: survey.GutterOutlet, Edge: 0}}
	s := survey.SiteOf(a, nil)
	up := s.Frame.DirToLocal(geom.Pt{Y: 1})
	eave := s.Frame.ToLocal(geom.Pt{})
	deck := survey.Plane{CIn: -deckInPerFt * up.Dot(eave), GX: deckInPerFt * up.X, GY: deckInPerFt * up.Y}
	stock := &survey.Stock{Tapered: boardSetOf(unit.InchesPerFoot(slope), 12, unit.Inches(0.5), 4*unit.Foot, false),
		Flats: []survey.FlatBoard{{Thickness: unit.Inch, Along: 8 * unit.Foot, Depth: 4 * unit.Foot}}}
	board := unit.InchesPerFoot(slope)
	facet := Facet{ID: 1, Role: FieldRole, Poly: s.Poly(), Deck: deck,
		Plane: survey.Plane{CIn: 0.5 - slope*up.Dot(eave), GX: slope * up.X, GY: slope * up.Y}}
	d := laid(t, s, []Facet{facet}, survey.TaperChoice{Scheme: survey.OneWay, Slope: board, Start: unit.Inches(0.5)}, stock)
	if rate > 0 {
		PlanDays(s, d.Facets, d.Boards, rate)
	}
	l := survey.LatticeOf(s, 0)
	base := deckOf(s, l.CellFt, deck.At)
	finished := Finish(base, d.Facets, 0)
	before := base.With(append([]float64(nil), base.ElevIn...))
	for k := range before.ElevIn {
		before.ElevIn[k] += oldIn
	}
	return ForemanIn{Site: s, Design: d, Choice: survey.Foreman{Rate: rate}, Base: base, Finished: finished, Before: before,
		FinishedIn: []float64{0.5}, BeforeIn: []float64{oldIn},
		Limits: survey.PondLimits{Depth: unit.Inches(0.125), Area: unit.SquareFeet(4)}}
}

// A level deck of 60 x 40 ft, eave drained, other edges closed, rows 1 to 5 laid: 5-1/2
// in at 20 ft against an old roof of 2 in: 3.5 in on 20 x 60 ft, by hand 350 cu ft,
// 2,618 gal, 21,840 lb, 18.2 psf. With the deck sloping 1/8 to the eave and boards of
// 1/8, 3 in at 20 ft: 1 in deep and 8 ft long, 1/2 x 8 x 1/12 x 60 = 20 cu ft, 1,248 lb.
func TestForeman_NightDam(t *testing.T) {
	for _, c := range []struct {
		slope, deck                float64
		depthIn, cuFt, lb, psf, by float64
	}{
		{0.25, 0, 3.5, 350, 21840, 18.2, 1e-3},
		{0.125, 0.125, 1, 20, 1248, 5.2, 0.01},
	} {
		f, err := ForemanOf(t.Context(), eaveJob(t, c.slope, c.deck, 2, unit.SquareFeet(1200)))
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Days) != 2 {
			t.Fatalf("%d days, want 2", len(f.Days))
		}
		d := f.Days[0]
		if fmt.Sprint(d.Night) != "[{1 5 0}]" || d.Pond == nil {
			t.Fatalf("night edge at %v with %v, want row 5", d.Night, d.Pond)
		}
		nearly(t, "sq ft of the day", d.Sqft, 1200, 1e-6)
		nearly(t, "depth", d.Pond.DepthIn, c.depthIn, c.by*c.depthIn)
		nearly(t, "cu ft", d.Pond.CuFt, c.cuFt, c.by*c.cuFt)
		nearly(t, "gal", unit.CubicFeet(d.Pond.CuFt).Gallons(), c.cuFt*7.48052, c.by*c.cuFt*7.48)
		nearly(t, "lb", d.Pond.Lb(), c.lb, c.by*c.lb)
		nearly(t, "psf", d.Pond.Psf(), c.psf, c.by*c.psf)
		if last := f.Days[1]; len(last.Night) > 0 || last.Pond.DepthIn != 0 {
			t.Errorf("the finished roof has a night edge %v, %v", last.Night, last.Pond)
		}
	}
}

// At 600 sq ft a day rows 1 and 2 are 480; of row 3, 240 and so over a quarter of a day,
// seven boards of 16 sq ft are laid of the 120 that are left. The night edge stands at
// 8 ft, 2-1/2 in high, beside the 32 ft of row 3 that are not laid, against an old roof
// of 2 in: 1/2 in on 32 x 32 and 28 x 28 ft, 1,808 sq ft, 75-1/3 cu ft. Day 2 lays the
// eight boards that are left, 128 sq ft, row 4, and 14 of row 5.
func TestForeman_SplitRow(t *testing.T) {
	f, err := ForemanOf(t.Context(), eaveJob(t, 0.25, 0, 2, unit.SquareFeet(600)))
	if err != nil {
		t.Fatal(err)
	}
	d := f.Days[0]
	if fmt.Sprint(d.Rows) != "[{1 1 0 0} {1 2 0 0} {1 3 1 7}]" || fmt.Sprint(d.Night) != "[{1 2 0} {1 3 7}]" {
		t.Fatalf("day 1 lays %v, night edge at %v", d.Rows, d.Night)
	}
	nearly(t, "sq ft", d.Sqft, 592, 1e-6)
	nearly(t, "depth", d.Pond.DepthIn, 0.5, 1e-4)
	nearly(t, "sq ft of water", d.Pond.SqFt, 1808, 18)
	nearly(t, "cu ft", d.Pond.CuFt, 1808*0.5/12, 0.75)
	if d := f.Days[1]; fmt.Sprint(d.Rows) != "[{1 3 8 15} {1 4 0 0} {1 5 1 14}]" || fmt.Sprint(d.Night) != "[{1 4 0} {1 5 14}]" {
		t.Errorf("day 2 lays %v, night edge at %v", d.Rows, d.Night)
	}
	sqft := 0.0
	for _, r := range f.Rows {
		if !r.Tapered {
			continue
		}
		if split := r.Row == 3 || r.Row == 5 || r.Row == 8 || r.Row == 10; split != (len(r.Parts) == 2) {
			t.Errorf("row %d in parts %v", r.Row, r.Parts)
		}
	}
	for _, d := range f.Days {
		sqft += d.Sqft
		if d.Sqft > 600 || d.Over {
			t.Errorf("day %d takes %g sq ft", d.No, d.Sqft)
		}
	}
	nearly(t, "sq ft of all days", sqft, 2400, 1e-6)
}

// Work begins where water ends: with boards of 1/8 that thicken toward the eave of a
// deck that falls 1/2 in/ft to it, the lowest row is the thickest.
func TestPlanDays_LowPointFirst(t *testing.T) {
	in := eaveJob(t, 0.125, 0.5, 2, 0)
	d := *in.Design
	eave := in.Site.Frame.ToLocal(geom.Pt{})
	up := in.Site.Frame.DirToLocal(geom.Pt{Y: 1})
	d.Facets = []Facet{d.Facets[0]}
	f := &d.Facets[0]
	f.Plane = survey.Plane{CIn: 5.5 + 0.125*up.Dot(eave), GX: -0.125 * up.X, GY: -0.125 * up.Y}
	d = *laid(t, in.Site, d.Facets, survey.TaperChoice{Start: unit.Inches(0.5)}, &survey.Stock{
		Tapered: boardSetOf(unit.InchesPerFoot(0.125), 12, unit.Inches(0.5), 4*unit.Foot, false),
		Flats:   []survey.FlatBoard{{Thickness: unit.Inch, Along: 8 * unit.Foot, Depth: 4 * unit.Foot}}})
	PlanDays(in.Site, d.Facets, d.Boards, unit.SquareFeet(480))
	for _, b := range d.Boards {
		far := in.Site.Frame.ToJob(b.Poly.Centroid()).Y
		if want := 1 + int(far/8); b.Day != want {
			t.Errorf("%s at %g ft from the eave on day %d, want %d", b.Piece, far, b.Day, want)
		}
	}
}

// Two halves of a board in rows 20 ft apart: one board where they are cut on one day
// or no days are planned, two where a night lies between; tight cutting goes over the
// whole roof and all days.
func TestCut_NoOffcutOverNight(t *testing.T) {
	facets := []Facet{oneRow(1, rectOf(0, 0, 2, 4)), oneRow(2, rectOf(20, 0, 22, 4))}
	s := siteOf(rectOf(0, 0, 60, 4))
	for _, c := range []struct {
		sqft         float64
		tight        bool
		days, boards int
	}{{0, false, 0, 1}, {16, false, 1, 1}, {8, false, 2, 2}, {8, true, 2, 1}} {
		boards, err := boardsOn(t.Context(), s, facets, choiceOf(0.5), quarterStock(1, 2))
		if err != nil {
			t.Fatal(err)
		}
		if c.sqft > 0 {
			PlanDays(s, facets, boards, unit.SquareFeet(c.sqft))
		}
		cut := Cut(boards, CutOptions{Tight: c.tight})
		_, total := CountBoards(cut)
		wantEqual(t, fmt.Sprintf("days at %g sq ft", c.sqft), cut[len(cut)-1].Day, c.days)
		wantEqual(t, fmt.Sprintf("boards at %g sq ft, tight %v", c.sqft, c.tight), total.ToOrder, c.boards)
	}
}

// Rows of the same roof by hand: ten of 15 boards of 4 x 4 ft, none of them cut; row 3
// begins 8 ft from the eave at 2-1/2 in and ends at 3-1/2; its thick edge looks at edge 2.
func TestForeman_Rows(t *testing.T) {
	in := eaveJob(t, 0.25, 0, 2, unit.SquareFeet(1000))
	f, err := ForemanOf(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, r := range f.Rows {
		if !r.Tapered {
			continue
		}
		n++
		low := 0.5 + float64(r.Row-1)
		nearly(t, "start", r.StartIn, low, 1e-9)
		nearly(t, "end", r.EndIn, low, 1e-9)
		nearly(t, "thick edge", r.ThickEdgeIn, low+1, 1e-9)
		nearly(t, "row length", r.Start.Dist(r.End), 60, 1e-9)
		nearly(t, "from the eave", in.Site.Frame.ToJob(r.Start).Y, 4*float64(r.Row-1), 1e-9)
		if r.Boards != 15 || len(r.Cuts) != 0 || r.Toward != 2 {
			t.Errorf("row %d: %d boards, %d cuts, toward edge %d", r.Row, r.Boards, len(r.Cuts), r.Toward)
		}
		if want := (r.Row + 3) / 4; r.Day != want { // 960 of 1,000 sq ft: four rows a day
			t.Errorf("row %d on day %d, want %d", r.Row, r.Day, want)
		}
		tape := TapeFrom(in.Site, in.Site.Frame.ToLocal(geom.Pt{X: 5, Y: 4*float64(r.Row-1) + 1}))
		if len(tape) != 2 {
			t.Fatalf("tape %v", tape)
		}
		at := map[int]float64{tape[0].Edge: tape[0].Ft, tape[1].Edge: tape[1].Ft}
		nearly(t, "from edge 3", at[3], 5, 1e-9)
		nearly(t, "from edge 0 or 2", math.Min(at[0]+at[2], 40-at[0]-at[2]), math.Min(4*float64(r.Row-1)+1, 39-4*float64(r.Row-1)), 1e-9)
	}
	if n != 10 {
		t.Errorf("%d rows, want 10", n)
	}
}

// What is set down is what is ordered, on whichever day; it weighs 2 lb/cu ft: fill
// of 1 in 4 x 8 ft 5.33 lb, a board of 1/2 to 1-1/2 16/12 cu ft, 2.67 lb.
func TestForeman_Lots(t *testing.T) {
	for _, rate := range []float64{0, 700} {
		in := eaveJob(t, 0.25, 0, 2, unit.SquareFeet(rate))
		f, err := ForemanOf(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		boards, ordered := 0, 0
		for _, l := range f.Lots {
			boards += l.Boards
			if (l.Day == 0) != (rate == 0) {
				t.Errorf("%s on day %d at %g sq ft a day", l.Mark, l.Day, rate)
			}
			if l.Mark == "1/2 to 1-1/2" {
				nearly(t, "lb", l.Lb, float64(l.Boards)*16.0/12*2, 1e-9)
			}
			if !in.Site.OnRoof(l.At) {
				t.Errorf("%s is set down off the roof at %v", l.Mark, l.At)
			}
		}
		for _, c := range in.Design.Counts {
			ordered += c.ToOrder
		}
		if boards != ordered || boards == 0 {
			t.Errorf("%d boards set down, %d ordered", boards, ordered)
		}
	}
}

// Four-way about a drain: work starts at the drain and goes up in rings; offcuts name
// pieces that are laid before, and every piece has its day.
func TestForeman_FourWay(t *testing.T) {
	s := roof(rect(60, 40), geom.Pt{X: 30, Y: 20})
	facets, lines, _ := mustField(t, s, quarterIn(survey.FourWay))
	d := laid(t, s, facets, choiceOf(0.5), quarterStock(4, 2))
	d.Lines = lines
	PlanDays(s, d.Facets, d.Boards, unit.SquareFeet(500))
	d.Boards = Cut(d.Boards, CutOptions{})
	d.Counts, d.Totals = CountBoards(d.Boards)
	base := deckOf(s, 0.5, func(geom.Pt) float64 { return 0 })
	f, err := ForemanOf(t.Context(), ForemanIn{Site: s, Design: d, Choice: survey.Foreman{Rate: unit.SquareFeet(500)}, Base: base,
		Finished: Finish(base, facets, 0)})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Days) < 5 {
		t.Fatalf("%d days for 2,400 sq ft at 500", len(f.Days))
	}
	sqft, most := 0.0, make([]float64, len(f.Days)+1)
	for _, day := range f.Days {
		sqft += day.Sqft
		if day.Sqft > 500 || day.Pond != nil {
			t.Errorf("day %d takes %g sq ft, pond %v though the old roof is not known", day.No, day.Sqft, day.Pond)
		}
	}
	nearly(t, "sq ft of all days", sqft, 2400, 1e-6)
	cuts := 0
	byPiece := map[string]int{}
	for _, r := range f.Rows {
		if r.Day == 0 {
			t.Errorf("facet %d row %d has no day", r.Facet, r.Row)
		}
		most[r.Day] = math.Max(most[r.Day], r.StartIn)
		for k := range r.pieces {
			byPiece[d.Boards[r.pieces[k]].Piece] = r.Day
		}
	}
	for day := 2; day < len(most); day++ {
		if most[day] < most[day-1] {
			t.Errorf("day %d ends lower than day %d", day, day-1)
		}
	}
	for _, r := range f.Rows {
		for _, c := range r.Cuts {
			cuts++
			if _, ok := byPiece[c.From]; c.From != "" && !ok {
				t.Errorf("%s comes from %s, which is no piece", c.Piece, c.From)
			}
		}
	}
	want := 0
	for _, c := range d.Counts {
		want += c.Cut
	}
	if cuts != want || cuts == 0 {
		t.Errorf("%d cuts in rows, %d in the schedule", cuts, want)
	}
	for _, p := range f.Places {
		if p.What == "drain A" {
			nearly(t, "thickness at the drain", p.ThickIn, 0.5, 1e-9)
			if len(p.Tape) != 2 || p.Tape[0].Ft != 20 || math.Abs(p.Tape[1].Ft-30) > 1e-9 {
				t.Errorf("drain in the middle: %v, want 20 and 30 ft", p.Tape)
			}
			return
		}
	}
	t.Error("no place for the drain")
}
