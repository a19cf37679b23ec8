package taper

import (
	"math"
	"strconv"

	"runnel/survey"
	"runnel/survey/unit"
)

// DefaultStock is the stock that a job uses when it brings none: inches in US
// jobs, whole millimetres in metric ones. An unset system gives the US stock.
//
// Sizes, slopes and sets are common practice, no source. US sets start at 1/2
// in and repeat over 2 in of fill where the rise of a board allows it (1/16,
// 1/8, 1/4, 1/2), else over 3 in (3/16, 3/8). Metric sets start at 20 mm and
// repeat over 60 mm. Edge strips come from nothing up to where a set starts.
// Bundles are about 48 in high; strips come loose. Boards over 4 ft a side are
// screwed: adhesive and hot asphalt take 4 x 4 ft at most (trade notes).
func DefaultStock(sys unit.System) *survey.Stock {
	s := plainStock(sys)
	for i, b := range s.Tapered {
		s.Tapered[i].Bundle = bundle((b.Thin + b.Thick) / 2)
	}
	for _, flats := range [][]survey.FlatBoard{s.Flats, s.Covers} {
		for i, b := range flats {
			flats[i].Bundle = bundle(b.Thickness)
			if b.Along > 4*unit.Foot {
				flats[i].Attach = survey.Screws
			}
		}
	}
	return s
}

func plainStock(sys unit.System) *survey.Stock {
	if sys == unit.Metric {
		return metricStock()
	}
	s := &survey.Stock{Name: "built-in stock, inches"}
	add := func(slope float64, boards int, toOrder bool) {
		s.Tapered = append(s.Tapered, boardSetOf(unit.InchesPerFoot(slope), boards,
			unit.Inches(0.5), 4*unit.Foot, toOrder)...)
	}
	add(1./8, 4, false)
	add(1./4, 2, false)
	add(1./2, 1, false)
	add(1./16, 8, true)
	add(3./16, 4, true)
	add(3./8, 2, true)
	for half := 1; half <= 8; half++ {
		t := unit.Inches(float64(half) / 2)
		s.Flats = append(s.Flats,
			survey.FlatBoard{Thickness: t, Along: 4 * unit.Foot, Depth: 4 * unit.Foot},
			survey.FlatBoard{Thickness: t, Along: 8 * unit.Foot, Depth: 4 * unit.Foot})
	}
	for _, slope := range []float64{1. / 8, 1. / 4, 1. / 2} {
		s.Strips = append(s.Strips, stripOf(unit.InchesPerFoot(slope), unit.Inches(0.5), 4*unit.Foot))
	}
	s.Covers = []survey.FlatBoard{
		{Thickness: unit.Inches(0.5), Along: 4 * unit.Foot, Depth: 4 * unit.Foot},
		{Thickness: unit.Inches(0.5), Along: 8 * unit.Foot, Depth: 4 * unit.Foot}}
	return s
}

func metricStock() *survey.Stock {
	s := &survey.Stock{Name: "built-in stock, millimetres"}
	side := unit.Millimetres(1200)
	add := func(ratio float64, boards int) {
		s.Tapered = append(s.Tapered, boardSetOf(unit.SlopeOfRatio(ratio), boards,
			unit.Millimetres(20), side, false)...)
	}
	add(1./80, 4)
	add(1./60, 3)
	add(1./40, 2)
	for mm := 20.0; mm <= 160; mm += 20 {
		t := unit.Millimetres(mm)
		s.Flats = append(s.Flats,
			survey.FlatBoard{Thickness: t, Along: side, Depth: side},
			survey.FlatBoard{Thickness: t, Along: 2 * side, Depth: side})
	}
	for _, ratio := range []float64{1. / 80, 1. / 60, 1. / 40} {
		s.Strips = append(s.Strips, stripOf(unit.SlopeOfRatio(ratio), unit.Millimetres(20), side))
	}
	s.Covers = []survey.FlatBoard{
		{Thickness: unit.Millimetres(12), Along: side, Depth: side},
		{Thickness: unit.Millimetres(12), Along: 2 * side, Depth: side}}
	return s
}

// stripOf is the edge strip from nothing to a thickness.
func stripOf(slope unit.Slope, thick, along unit.Length) survey.TaperedBoard {
	return survey.TaperedBoard{Slope: slope, Thick: thick, Along: along,
		Depth: unit.Feet(thick.Inches() / slope.InchesPerFoot())}
}

// boardSetOf gives square boards of one slope, each starting where the one
// before ends.
func boardSetOf(slope unit.Slope, n int, start, side unit.Length, toOrder bool) []survey.TaperedBoard {
	rise := unit.Fall(slope, side)
	var out []survey.TaperedBoard
	for i := range n {
		thin := start + unit.Inches(float64(i)*rise.Inches())
		out = append(out, survey.TaperedBoard{Slope: slope, Thin: thin, Thick: thin + rise,
			Along: side, Depth: side, ToOrder: toOrder})
	}
	return out
}

// marking writes thicknesses the way the stock counts them.
type marking struct{ metric bool }

// markingOf is metric when every thickness of the stock is a whole millimetre
// and not every one is a sixteenth of an inch.
func markingOf(s *survey.Stock) marking {
	sixteenths, wholeMM := true, true
	look := func(t unit.Length) {
		sixteenths = sixteenths && nearWhole(t.Inches()*16)
		wholeMM = wholeMM && nearWhole(t.Millimetres())
	}
	for _, b := range s.Tapered {
		look(b.Thin)
		look(b.Thick)
	}
	for _, b := range append(append([]survey.FlatBoard{}, s.Flats...), s.Covers...) {
		look(b.Thickness)
	}
	return marking{metric: wholeMM && !sixteenths}
}

func nearWhole(x float64) bool { return math.Abs(x-math.Round(x)) < 1e-6 }

// of writes one thickness without its unit: "1-1/2", "2.6", in metric stock
// "50".
func (m marking) of(t unit.Length) string {
	if m.metric {
		return decimal(t.Millimetres(), 10)
	}
	n := t.Inches() * 16
	if !nearWhole(n) {
		return decimal(t.Inches(), 10000)
	}
	sixteenths := int(math.Round(n))
	whole, num, den := sixteenths/16, sixteenths%16, 16
	for num != 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	frac := strconv.Itoa(num) + "/" + strconv.Itoa(den)
	switch {
	case num == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return frac
	}
	return strconv.Itoa(whole) + "-" + frac
}

// decimal writes x in steps of 1/per without trailing noughts.
func decimal(x, per float64) string {
	return strconv.FormatFloat(math.Round(x*per)/per, 'f', -1, 64)
}

// withUnit writes a thickness for a sentence.
func (m marking) withUnit(t unit.Length) string { return m.of(t) + " " + m.unitName() }

func (m marking) unitName() string {
	if m.metric {
		return "mm"
	}
	return "in"
}

// rounded writes a thickness that no board has: to 1/16 in or 1 mm.
func (m marking) rounded(t unit.Length) string {
	if m.metric {
		return m.withUnit(unit.Millimetres(math.Round(t.Millimetres())))
	}
	return m.withUnit(unit.Inches(math.Round(t.Inches()*16) / 16))
}

// tapered is the mark of a tapered board.
func (m marking) tapered(b survey.TaperedBoard) string { return m.of(b.Thin) + " to " + m.of(b.Thick) }
