package drainage

import (
	"runnel/drainage/internal/fill"
	"runnel/survey/unit"
)

// Rainfall is what a rain leaves on a dry roof once all that can run has run.
// Nothing dries, and no outlet is too small.
type Rainfall struct {
	Rain     unit.Length
	FellCuFt float64
	// StandsCuFt is all that stands, in ponds worth reporting or not, counted by
	// whole cells; with LeftCuFt it is what fell.
	StandsCuFt float64
	LeftCuFt   []float64 // by each outlet of the site, in its order
	Ponds      []PondFill
}

// PondFill is the water of one pond after a rain.
type PondFill struct {
	ID                  string
	DepthIn, SqFt, CuFt float64
	Full                bool
}

// standing keeps what later rains need of a check.
type standing struct {
	grid     fill.Grid
	seeds    []fill.Seed
	fill     *fill.Result
	outlets  int
	cellSqft float64
}

// AfterRain says what a rain of one depth all over the roof leaves in each of
// r.Ponds, in their order. Water runs down the steepest way, fills hollows and
// runs over from each into the next. A report that Check did not make has none.
// Cost: O(n log n) in cells.
func (r *Report) AfterRain(rain unit.Length) *Rainfall {
	if r.water == nil {
		return nil
	}
	s := r.water
	b := fill.NewBasins(s.grid, r.Surface.ElevIn, s.seeds, s.fill, s.outlets)
	b.Rain(rain.Inches())
	cuft := s.cellSqft / 12 // of a cell an inch deep
	out := &Rainfall{Rain: rain, StandsCuFt: b.Held() * cuft, FellCuFt: r.RoofSqft * rain.Feet()}
	for _, left := range b.Left {
		out.LeftCuFt = append(out.LeftCuFt, left*cuft)
	}
	level := b.Levels()
	marks := noMarks(r.Surface.Len())
	for n := range r.Ponds {
		out.Ponds = append(out.Ponds, r.filled(&r.Ponds[n], level, marks))
	}
	return out
}

// filled measures the water of one pond, which may stand at several levels
// within it.
func (r *Report) filled(p *Pond, level []float64, marks []int32) PondFill {
	f := PondFill{ID: p.ID, Full: true}
	z := r.Surface.ElevIn
	for _, k := range p.cells {
		// A pond that nothing drains has no level at which it is full.
		f.Full = f.Full && !p.ClosedIn && level[k] >= p.SpillIn-sameIn
		if level[k] > z[k] {
			marks[k] = -2 // wet, and not measured yet
		}
	}
	if f.Full {
		f.DepthIn, f.SqFt, f.CuFt = p.DepthIn, p.SqFt, p.CuFt
	}
	c := &check{surf: r.Surface}
	for _, from := range p.cells {
		if f.Full || marks[from] != -2 {
			continue
		}
		body := []int{from}
		marks[from] = 0
		for m := 0; m < len(body); m++ {
			c.neighbours(body[m], func(q int) {
				if marks[q] == -2 {
					marks[q] = 0
					body = append(body, q)
				}
			})
		}
		w := &wetCells{r.walls, marks, 0, level[from]}
		body = w.toWalls(body)
		depthIn, _ := c.deepestOf(w, body)
		sqft, cuft := w.measure(body)
		f.DepthIn, f.SqFt, f.CuFt = max(f.DepthIn, depthIn), f.SqFt+sqft, f.CuFt+cuft
		for _, k := range body {
			marks[k] = -1
		}
	}
	for _, k := range p.cells {
		marks[k] = -1
	}
	return f
}
