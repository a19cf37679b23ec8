package taper

import (
	"fmt"
	"math"
	"slices"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/unit"
)

// Of crickets, common practice without source: widths in steps of 6 in (150 mm),
// no wider than half the way between the outlets.
const widestK = 1.0

func widthStepFt(sys unit.System) float64 {
	if sys == unit.Metric {
		return unit.Millimetres(150).Feet()
	}
	return 0.5
}

// WedgeFor is what a quarter of a cricket is shaped for: the slope of the roof
// toward its line, the way from the outlet to its highest place there, the least
// slopes of its valley and of its top.
type WedgeFor struct {
	Field, ValleyMin, TopMin unit.Slope
	Along                    unit.Slope  // what the roof rises along the line, away from the outlet; may be negative
	H                        unit.Length // along the line
	MostW                    unit.Length // the roof that there is beside it; 0: no limit
	// Lean is how far the edge on which it is highest leans away from the way out, a
	// foot out from the line: along a slant wall, or on the bisector of a corner. 0:
	// square to the line.
	Lean  float64
	Board unit.Slope // to be used; 0: the flattest that does
}

// Wedge is a quarter of a cricket on a roof that slopes toward its line: H from
// a way out to its highest place, W out from the line there, the board slope, and
// the slopes of the valley and of the top that result.
type Wedge struct {
	H, W            unit.Length
	Board           unit.Slope
	Valley, Top     unit.Slope
	Along, AwayFrom unit.Slope // of the top: along the line, and away from it
}

// WedgeOf shapes the quarter of the flattest boards that do. The low edge runs from
// the way out to W out from the highest place, k = W/H: on a roof of slope s the
// valley slopes (s k + g) / sqrt(1+k^2), g being what the roof rises along the line;
// with g = 0, k is at least v / sqrt(s^2 - v^2). Boards of slope c, thin along the
// low edge, give a top of c k / sqrt(1+k^2) + g along the line and s - c / sqrt(1+k^2)
// across it, which must turn the water away. Why says why there is none; the wedge
// then is the nearest to be had, if it has a width. Derivation: planes through the
// low edge; the figures of the tests are published.
func WedgeOf(f WedgeFor, boards []survey.TaperedBoard, sys unit.System) (w Wedge, why string) {
	w = Wedge{H: f.H}
	stepFt, most := widthStepFt(sys), f.H.Feet()*widestK
	if f.Lean > 0 { // k stays under widestK
		most = f.H.Feet() * widestK / math.Max(1-widestK*f.Lean, 0.05)
	}
	if f.MostW > 0 {
		most = math.Min(most, f.MostW.Feet())
	}
	widthFt := stepFt
	for ; widthFt < most-1e-9 && f.valley(widthFt) < f.ValleyMin.InchesPerFoot()-1e-9; widthFt += stepFt {
	}
	if widthFt > most+1e-9 {
		widthFt = stepFt * math.Floor(most/stepFt+1e-9)
	}
	if widthFt <= 0 {
		return w, fmt.Sprintf("only %s of roof lies beside it", f.MostW.Format(sys))
	}
	w.W, w.Valley = unit.Feet(widthFt), unit.InchesPerFoot(math.Max(0, f.valley(widthFt)))
	if w.Valley.InchesPerFoot() < f.ValleyMin.InchesPerFoot()-1e-9 {
		why = fmt.Sprintf("the roof falls %s toward it; valleys of %s take a roof of %s at least", f.Field.Format(sys),
			f.ValleyMin.Format(sys), drainage.FieldSlopeThatPasses(f.ValleyMin).Format(sys))
		if f.MostW > 0 && widestK*f.H > f.MostW {
			why = fmt.Sprintf("its valleys slope %s, under the %s wanted: only %s of roof lies beside it", w.Valley.Format(sys),
				f.ValleyMin.Format(sys), f.MostW.Format(sys))
		}
	}
	if boardWhy := w.board(f, boards, sys); why == "" {
		why = boardWhy
	}
	return w, why
}

// k is the width of a quarter over the length of its low edge along the line.
func (f WedgeFor) k(widthFt float64) float64 {
	return widthFt / math.Max(f.H.Feet()+f.Lean*widthFt, 1e-9)
}

// valley is the slope of the low edge of a quarter that is so wide, in/ft.
func (f WedgeFor) valley(widthFt float64) float64 {
	k := f.k(widthFt)
	return (f.Field.InchesPerFoot()*k + f.Along.InchesPerFoot()) / math.Sqrt(1+k*k)
}

// board chooses the board, or says why none does; the steepest then stands in.
func (w *Wedge) board(f WedgeFor, boards []survey.TaperedBoard, sys unit.System) string {
	s, k := f.Field.InchesPerFoot(), f.k(w.W.Feet())
	root := math.Sqrt(1 + k*k)
	var slopes []float64
	for _, b := range boards {
		slopes = append(slopes, b.Slope.InchesPerFoot())
	}
	if f.Board > 0 {
		slopes = []float64{f.Board.InchesPerFoot()}
	}
	slices.Sort(slopes)
	for n, c := range slopes {
		along, away := c*k/root+f.Along.InchesPerFoot(), c/root-s
		top := math.Hypot(along, away)
		turns := away > 1e-9 && along > 1e-9 && top >= f.TopMin.InchesPerFoot()-1e-9
		if !turns && n < len(slopes)-1 {
			continue
		}
		w.Board, w.Top = unit.InchesPerFoot(c), unit.InchesPerFoot(top)
		w.Along, w.AwayFrom = unit.InchesPerFoot(along), unit.InchesPerFoot(away)
		switch {
		case turns:
			return ""
		case away <= 1e-9:
			return turnsWhy(f, unit.InchesPerFoot(c), unit.InchesPerFoot(s*root), sys)
		}
		return fmt.Sprintf("its top slopes %s, under the %s of the field", w.Top.Format(sys), f.TopMin.Format(sys))
	}
	return "no board of the stock is steep enough: it takes more than " + unit.InchesPerFoot(s*root).Format(sys)
}

func turnsWhy(f WedgeFor, has, needs unit.Slope, sys unit.System) string {
	if f.Board > 0 {
		return fmt.Sprintf("boards of %s do not turn the water from the line: it takes more than %s", has.Format(sys), needs.Format(sys))
	}
	return "no board of the stock is steep enough: it takes more than " + needs.Format(sys)
}

// PastCurbFt is how far a cricket upslope of a curb runs past its corners. Common
// practice, no source.
const PastCurbFt = 1.0
