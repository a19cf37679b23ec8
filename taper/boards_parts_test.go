package taper

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Two base layers of 2 in under a one-way roof with a court and a curb, cover
// on top: areas by layer follow from the outline alone.
func TestLayOut_BaseCoverCourtAndCurb(t *testing.T) {
	s := siteOf(rectOf(0, 0, 48, 32))
	s.Courts = []geom.Ring{rectOf(10, 10, 20, 18).Reversed()}
	s.Curbs = []geom.Ring{rectOf(30, 5, 36, 9)}
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 2, Thickness: unit.Inches(2)}
	choice.Cover = unit.Inches(0.5)
	whole := []Facet{{ID: 1, Role: FieldRole, Poly: geom.Poly{Outer: rectOf(0, 0, 48, 32)},
		Plane: survey.Plane{CIn: 4.5, GY: 0.25}}}
	d := laid(t, s, cutFacets(t, s, whole), choice, DefaultStock(unit.US))
	roof := 48*32 - 80 - 24.0
	sqft := map[BoardType]float64{}
	for _, c := range d.Counts {
		sqft[c.Type] += c.SqFt
	}
	wantNear(t, "base", sqft[BaseType], 2*roof, 1e-6)
	wantNear(t, "tapered", sqft[TaperedType], roof, 1e-6)
	wantNear(t, "cover", sqft[CoverType], roof, 1e-6)
	for _, b := range d.Boards {
		for _, q := range []geom.Pt{{X: 15, Y: 14}, {X: 33, Y: 7}} {
			if b.Poly.Has(q) {
				t.Errorf("%s lies in the court or the curb", b.Piece)
			}
		}
	}
}

// Joints of the second base layer lie half a board from those of the first,
// both ways, and no corner of what lies on the base meets one of the base. Fill
// under tapered rows is exempt: it steps with them.
func TestLayOut_JointsAreOffset(t *testing.T) {
	s, f := oneWay(48, 16, 4.5, 0.25)
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 2, Thickness: unit.Inches(2)}
	d := laid(t, s, f, choice, DefaultStock(unit.US))
	joints := map[int]map[geom.Pt]bool{}
	for _, b := range d.Boards {
		if joints[b.Layer] == nil {
			joints[b.Layer] = map[geom.Pt]bool{}
		}
		if box := b.Poly.Outer.Box(); b.Row > 2 || b.Type == BaseType {
			joints[b.Layer][box.Min] = true
		}
	}
	for layer := 2; layer <= 3; layer++ {
		for p := range joints[layer] {
			if p.X > 0 && joints[layer-1][p] {
				t.Errorf("joints of layers %d and %d meet at %v", layer-1, layer, p)
			}
		}
	}
}

func TestLayOut_NamesWhatTheStockLacks(t *testing.T) {
	s, f := oneWay(20, 20, 0.5, 0.25)
	flats := quarterStock(2, 2)
	flats.Flats = append(flats.Flats, survey.FlatBoard{Thickness: unit.Inches(2.5), Along: 8 * unit.Foot, Depth: 4 * unit.Foot},
		survey.FlatBoard{Thickness: unit.Inches(3), Along: 8 * unit.Foot, Depth: 4 * unit.Foot})
	base := choiceOf(0.5)
	base.Base = survey.BaseChoice{Layers: 1, Thickness: unit.Inches(2.6)}
	_, low := oneWay(20, 20, 0.25, 0.25)
	_, steep := oneWay(20, 20, 0.5, 0.3)
	tiny := quarterStock(2, 2)
	tiny.Tapered = []survey.TaperedBoard{{Slope: unit.InchesPerFoot(0.25), Thin: unit.Inches(0.5), Thick: unit.Inches(0.5025), Along: unit.Feet(0.01), Depth: unit.Feet(0.01)}}
	wrong := quarterStock(2, 2)
	wrong.Tapered[1].Thick = 3 * unit.Inch
	many := choiceOf(0.5)
	many.Base = survey.BaseChoice{Layers: 1 << 30, Thickness: 2 * unit.Inch}
	for _, c := range []struct {
		story  string
		facets []Facet
		choice survey.TaperChoice
		stock  *survey.Stock
		want   string
	}{
		{"a base that nobody makes", f, base, flats, "no board of the stock makes 2.6 in of base; stock has 2-1/2 and 3"},
		{"a start below the thinnest edge", low, choiceOf(0.25), quarterStock(2, 2), "no board of the stock makes 1/4 in over the base"},
		{"a slope not in stock", steep, choiceOf(0.5), quarterStock(2, 2), "no tapered board of the stock slopes 0.3 in/ft; stock has 1/4 in/ft"},
		{"boards like confetti", f, choiceOf(0.5), tiny, "tapered boards at 1/4 in/ft are 0.01 x 0.01 ft"},
		{"edges that do not follow from the slope", f, choiceOf(0.5), wrong, "board 1-1/2 to 3 rises 1-1/2 in over its depth; at 1/4 in/ft it must rise 1 in"},
		{"base layers without end", f, many, quarterStock(2, 2), "more than 2000000 pieces"},
		{"a fill that does not add up", f, choiceOf(0.5), quarterStock(2, 3), "no board of the stock makes 2-1/2 in over the base"},
	} {
		_, err := boardsOn(t.Context(), s, c.facets, c.choice, c.stock)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.story, err, c.want)
		}
	}
}

// Every thickness that a row of the built-in stock can ask for is made, by the
// fewest layers that any choice of its boards and flats gives (brute force).
func TestBuild_DefaultStockMakesEveryRow(t *testing.T) {
	for _, sys := range []unit.System{unit.US, unit.Metric} {
		stock := DefaultStock(sys)
		m := markingOf(stock)
		wantEqual(t, "metric marks", m.metric, sys == unit.Metric)
		for _, b := range stock.Tapered {
			sets, err := boardSets(stock, b.Slope)
			if err != nil {
				t.Fatal(err)
			}
			start := sets[0].boards[0].Thin.Inches()
			used := map[unit.Length]bool{}
			for k := range 8 {
				atIn := start + float64(k)*sets[0].riseIn
				got, err := sets[0].build(atIn, used, m)
				if err != nil {
					t.Fatal(err)
				}
				wantNear(t, "build-up", got.fillIn()+got.tapered.Thin.Inches(), atIn, 1e-9)
				wantEqual(t, "layers of fill", len(got.fills), fewestFills(sets[0], atIn))
				for i := 1; i < len(got.fills); i++ {
					if got.fills[i].Thickness > got.fills[i-1].Thickness {
						t.Error("fill is not thickest at the bottom")
					}
				}
			}
		}
	}
}

// fewestFills tries every stack of up to five flats.
func fewestFills(s *boardSet, atIn float64) int {
	var reach func(restIn float64, left int) bool
	reach = func(restIn float64, left int) bool {
		if math.Abs(restIn) < 1e-6 {
			return true
		}
		for _, f := range s.fills {
			if left > 0 && f.Thickness.Inches() < restIn+1e-6 && reach(restIn-f.Thickness.Inches(), left-1) {
				return true
			}
		}
		return false
	}
	for n := range 6 {
		for _, b := range s.boards {
			if rest := atIn - b.Thin.Inches(); rest > -1e-6 && reach(rest, n) {
				return n
			}
		}
	}
	return -1
}

// With every price there, the cheaper of two build-ups of as many layers is
// taken; without prices the fill that is a multiple of the set's repeat.
func TestBuild_PriceDecidesAmongEqualLayers(t *testing.T) {
	stock := quarterStock(2, 2)
	stock.Flats = append(stock.Flats, survey.FlatBoard{Thickness: unit.Inches(1), Along: 4 * unit.Foot, Depth: 4 * unit.Foot})
	build := func() buildUp {
		sets, err := boardSets(stock, unit.InchesPerFoot(0.25))
		if err != nil {
			t.Fatal(err)
		}
		b, err := sets[0].build(2.5, map[unit.Length]bool{}, marking{})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	wantNear(t, "fill without prices", build().fillIn(), 2, 1e-9)
	stock.Tapered[0].Price, stock.Tapered[1].Price = 10, 10
	stock.Flats[0].Price, stock.Flats[1].Price = 9, 5
	wantNear(t, "fill with prices", build().fillIn(), 1, 1e-9)
	stock.Flats[1].Price = 0
	wantNear(t, "fill with a price missing", build().fillIn(), 2, 1e-9)
}

func TestMarks(t *testing.T) {
	for _, c := range []struct {
		in   float64
		want string
	}{{0.5, "1/2"}, {1.5, "1-1/2"}, {2, "2"}, {2.6, "2.6"}, {0.3125, "5/16"}, {1.25, "1-1/4"}} {
		wantEqual(t, "mark", marking{}.of(unit.Inches(c.in)), c.want)
	}
	wantEqual(t, "metric", marking{metric: true}.of(unit.Millimetres(50)), "50")
	wantEqual(t, "metric of inches", marking{metric: true}.of(unit.Millimetres(12.5)), "12.5")
}

func TestLayOut_StopsWhenAsked(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	s, f := oneWay(40, 40, 0.5, 0.25)
	if _, err := boardsOn(ctx, s, f, choiceOf(0.5), quarterStock(4, 4)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want %v", err, context.Canceled)
	}
}

// A level facet is built of flats alone, thickest at the bottom.
func TestLayOut_LevelFacet(t *testing.T) {
	s, f := oneWay(24, 20, 6.5, 0)
	choice := choiceOf(0.5)
	choice.Base = survey.BaseChoice{Layers: 1, Thickness: unit.Inches(2)}
	choice.Cover = unit.Inches(0.5)
	d := laid(t, s, f, choice, DefaultStock(unit.US))
	marks := map[int]string{}
	for _, b := range d.Boards {
		marks[b.Layer] = b.Type.String() + " " + b.Mark
	}
	for layer, want := range []string{"base 2", "fill 4", "fill 1/2", "cover 1/2"} {
		wantEqual(t, "layer", marks[layer+1], want)
	}
	wantNear(t, "board feet", d.Totals.BoardFeet, 480*6.5, 1e-6)
}
