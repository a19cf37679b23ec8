package drainage

import (
	"context"
	"math"
	"strconv"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// WhatIf is a surface with a deflection of its deck tried on it. It is no part
// of any verdict.
type WhatIf struct {
	Words  string  // what was tried
	Most   float64 // greatest deflection in the middle of a bay, inches; a camber rises
	Report *Report // of Standing on the deflected surface
}

// beamIn is how far a simple beam under a uniform load sags a share u along it
// where it sags midIn in its middle: w(u) = 16/5 d (u - 2 u^3 + u^4), whose slope
// at the ends is 16/5 d over the span, 38.4/n in/ft for d = span/n.
func beamIn(midIn, u float64) float64 { return 16.0 / 5 * midIn * (u - 2*u*u*u + u*u*u*u) }

// SpanOf is the way that the stated span of a deck runs in a frame.
func SpanOf(f geom.Frame, spanDeg float64) geom.Pt {
	rad := spanDeg * math.Pi / 180
	return f.ToLocal(f.Origin.Add(geom.Pt{X: math.Cos(rad), Y: math.Sin(rad)}))
}

// Deflected is surf with the stated sag or camber of each bay along the side
// nearest to the span: the curve of a uniformly loaded simple beam. mostIn is the
// greatest deflection, less than 0 for a camber. Cost: the cells of the bays.
func Deflected(surf *survey.Surface, bays []survey.Bay, span geom.Pt, d survey.DeckKind) (out *survey.Surface, mostIn float64) {
	zIn := append([]float64(nil), surf.ElevIn...)
	done := make([]bool, surf.Len())
	for _, b := range bays {
		along := b.Whole[1].Sub(b.Whole[0])
		if across := b.Whole[3].Sub(b.Whole[0]); math.Abs(across.Dot(span))*along.Norm() > math.Abs(along.Dot(span))*across.Norm() {
			along = across
		}
		midIn := -d.Camber.Inches()
		if d.SagOf > 0 {
			midIn = unit.Feet(along.Norm()).Inches() / d.SagOf
		}
		if math.Abs(midIn) > math.Abs(mostIn) {
			mostIn = midIn
		}
		cellsIn(surf.Lattice, b.Whole, func(k int) {
			if done[k] || !surf.Roof[k] {
				return
			}
			done[k] = true
			u := surf.Centre(k%surf.NX, k/surf.NX).Sub(b.Whole[0]).Dot(along) / along.Dot(along)
			zIn[k] -= beamIn(midIn, math.Max(0, math.Min(1, u)))
		})
	}
	return surf.With(zIn), mostIn
}

// cellsIn calls f for the cells whose middles lie in a ring or on its border.
func cellsIn(l survey.Lattice, r geom.Ring, f func(k int)) {
	const hairFt = 1e-9
	box := r.Box()
	for j := range survey.RowsBetween(l.NY, l.CellFt, box.Min.Y, box.Max.Y) {
		for i := range survey.RowsBetween(l.NX, l.CellFt, box.Min.X, box.Max.X) {
			if p := l.Centre(i, j); r.Has(p) || r.Dist(p) < hairFt {
				f(j*l.NX + i)
			}
		}
	}
}

// DeflectionTrial is a deflection to be tried on a surface.
type DeflectionTrial struct {
	Site   *survey.Site
	Was    *Report // of the surface as it is
	Opt    Options // of that check
	Deck   survey.DeckKind
	Bays   []survey.Bay
	Inlets func(surf *survey.Surface) []float64 // on the deflected surface
	Units  unit.System
}

// TryDeflection looks for standing water on a surface whose bays sag or rise as
// the job asks; nil where nothing is asked or bays or span are not stated.
func TryDeflection(ctx context.Context, t DeflectionTrial) (*WhatIf, error) {
	d := t.Deck
	if d.SagOf == 0 && d.Camber == 0 || len(t.Bays) == 0 || d.SpanDeg == nil {
		return nil, nil
	}
	surf, mostIn := Deflected(t.Was.Surface, t.Bays, SpanOf(t.Site.Frame, *d.SpanDeg), d)
	t.Opt.InletIn = t.Inlets(surf)
	r, err := Standing(ctx, t.Site, surf, t.Opt)
	if err != nil {
		return nil, err
	}
	w := &WhatIf{Most: mostIn, Report: r}
	middle := unit.Inches(math.Abs(mostIn)).FormatThin(t.Units)
	if w.Words = "each bay rises " + middle + " in its middle along the span"; d.SagOf > 0 {
		w.Words = "each bay sags L/" + strconv.FormatFloat(d.SagOf, 'f', -1, 64) + " along the span, up to " + middle
	}
	return w, nil
}
