package taper

import (
	"fmt"
	"math"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// edgeGauge is what the boards of each building direction have to slope so that
// the field is as thick at the end of the longest way in every direction: as
// steep as the stock allows without passing the thickest.
func edgeGauge(facets []Facet, in FieldInput) gauge {
	runFt, mostIn := [4]float64{}, 0.0
	for _, f := range facets {
		up, ok := f.Plane.Uphill()
		if f.Role != FieldRole || !ok {
			continue
		}
		for n, d := range axisWays {
			if up.Dot(d) < 1-1e-9 {
				continue
			}
			rise := thickestIn(f) - in.T0In
			runFt[n] = math.Max(runFt[n], rise/f.Plane.Slope().InchesPerFoot())
			mostIn = math.Max(mostIn, rise)
		}
	}
	stock := slopesOf(in.Stock)
	at := func(n int) float64 {
		if runFt[n] == 0 {
			return 0
		}
		return stock.steepest(mostIn / runFt[n])
	}
	return gauge{at(0), at(1), at(2), at(3), 0}
}

func thickestIn(f Facet) float64 {
	most := 0.0
	for _, p := range f.Poly.Outer {
		most = math.Max(most, f.Plane.At(p))
	}
	return most
}

// steepest is the steepest slope to be had that is no more than most; 0: none.
func (b boardSlopes) steepest(most float64) float64 {
	if len(b) == 0 {
		return most
	}
	best := 0.0
	for _, s := range b {
		if s <= most+sameSlopeInPerFt {
			best = math.Max(best, s)
		}
	}
	return best
}

// evened is g raised to what equal edges ask for.
func (in FieldInput) evened(g gauge) gauge {
	return gauge{math.Max(g.plusX, in.edges.plusX), math.Max(g.minusX, in.edges.minusX),
		math.Max(g.plusY, in.edges.plusY), math.Max(g.minusY, in.edges.minusY), g.diag}
}

// edgeNote says how high the edges of the outline come out.
func edgeNote(s *survey.Site, facets []Facet, sys unit.System) string {
	least, most := math.Inf(1), 0.0
	for i, p := range s.Outline {
		for _, q := range []geom.Pt{p, p.Lerp(s.Outline.At(i+1), 0.5)} {
			if t, ok := ThicknessAt(facets, q); ok {
				least, most = math.Min(least, t), math.Max(most, t)
			}
		}
	}
	if most-least < sameIn {
		return fmt.Sprintf("edges of one height all round: %s of insulation", unit.Inches(most).FormatThin(sys))
	}
	return fmt.Sprintf("edges of one height were asked for: with the boards to be had insulation is %s to %s thick at corners and "+
		"midway between", unit.Inches(least).FormatThin(sys), unit.Inches(most).FormatThin(sys))
}

// sloped gives low lines with what the field falls to them from either hand.
func sloped(low []LowLine, facets []Facet) []LowLine {
	const besideFt = 0.01
	for i := range low {
		l := &low[i]
		for k := 1; k < len(l.At); k++ {
			mid, d := l.At[k-1].Lerp(l.At[k], 0.5), l.At[k].Sub(l.At[k-1])
			left := geom.Pt{X: -d.Y, Y: d.X}.Mul(1 / d.Norm())
			l.Left = max(l.Left, fallTo(facets, mid, left, besideFt))
			if !l.Wall {
				l.Right = max(l.Right, fallTo(facets, mid, left.Mul(-1), besideFt))
			}
		}
	}
	return low
}

// fallTo is the finished slope toward a line beside it; 0 without roof there.
func fallTo(facets []Facet, p, away geom.Pt, besideFt float64) unit.Slope {
	q := p.Add(away.Mul(besideFt))
	for _, f := range facets {
		if f.Poly.Has(q) {
			return unit.InchesPerFoot(math.Max(0, rise(f.Top(), away)))
		}
	}
	return 0
}
