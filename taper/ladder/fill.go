package ladder

import (
	"container/heap"
	"context"
	"fmt"
	"math"

	"runnel/drainage"
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// Of fills, common practice without source: they run off at 1/8 in/ft, at half
// of that where it would take too much; boards are 4 ft square in steps of half
// an inch where the fill is thick enough all over them, and what takes more than
// a quarter of the roof is no local fill.
const (
	fillInPerFt  = 1. / 8
	flatInPerFt  = 1. / 16
	fillStepIn   = 0.5
	fillBoardFt  = 4.0
	mostFillPct  = 25
	featherEndIn = 1. / 64
)

// fill raises the ponds that the sumps leave until they run off.
func (c *climb) fill(ctx context.Context) (Step, error) {
	if s, none := c.noPond(); none {
		return s, nil
	}
	var s Step
	var top []float64
	for _, slope := range []float64{fillInPerFt, flatInPerFt} {
		var err error
		if top, err = c.filled(ctx, slope); err != nil {
			return Step{}, err
		}
		s = c.measureFill(top)
		s.Do += ", to run off at " + unit.InchesPerFoot(slope).Format(c.Units)
		if s.FillSqFt <= mostFillPct/100.*c.Existing.RoofSqft {
			break
		}
	}
	if s.FillSqFt == 0 {
		return Step{Outcome: Refused, Why: "no outlet that works can be reached, so no fill makes the water run off" + c.blockedWords()}, nil
	}
	if pct := 100 * s.FillSqFt / c.Existing.RoofSqft; pct > mostFillPct {
		s.Outcome = Refused
		s.Why = fmt.Sprintf("it would cover %.0f %% of the roof, more than the %d %% of a local fill", pct, mostFillPct)
		return s, nil
	}
	t := c.asNow()
	t.surf = t.surf.With(top)
	return c.tested(ctx, s, t)
}

// filled is the least surface over the roof from which every pond worth
// reporting runs off: F = max(z, least over the neighbours q of F(q) + s |pq|)
// where the water of a neighbour would stand over z, else z. Other wet places
// stay as they are. Dijkstra's way from the outlets up; cost O(n log n).
func (c *climb) filled(ctx context.Context, inPerFt float64) ([]float64, error) {
	// ground is the roof with the hollows not worth filling as if full.
	ground := append([]float64(nil), c.now.FilledIn...)
	for k, in := range c.inPonds() {
		if in {
			ground[k] = c.surf.ElevIn[k]
		}
	}
	level := make([]float64, len(ground))
	for k := range level {
		level[k] = math.Inf(1)
	}
	q := c.outletFronts(ground)
	for _, f := range *q {
		level[f.cell] = math.Min(level[f.cell], f.levelIn)
	}
	heap.Init(q)
	for n := 0; q.Len() > 0; n++ {
		if n%(1<<16) == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		f := heap.Pop(q).(front)
		if f.levelIn > level[f.cell] {
			continue
		}
		c.round(f.cell, func(r int, ft float64) {
			next := ground[r]
			if f.levelIn > next {
				next = f.levelIn + inPerFt*ft
			}
			if next < level[r] {
				level[r] = next
				heap.Push(q, front{r, next})
			}
		})
	}
	top := append([]float64(nil), c.surf.ElevIn...)
	for k, on := range c.surf.Roof {
		if on && level[k] > ground[k] && !math.IsInf(level[k], 1) {
			top[k] = level[k]
		}
	}
	return top, nil
}

// inPonds says which cells lie in a pond worth reporting: those that hang
// together with its deepest place at its level.
func (c *climb) inPonds() []bool {
	in := make([]bool, c.surf.Len())
	for _, p := range c.now.Ponds {
		i, j := c.surf.CellOf(p.Deepest)
		start := c.nearRoof(min(max(i, 0), c.surf.NX-1), min(max(j, 0), c.surf.NY-1))
		if start < 0 || in[start] {
			continue
		}
		in[start] = true
		for todo := []int{start}; len(todo) > 0; {
			k := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			c.round(k, func(r int, _ float64) {
				if !in[r] && c.now.FilledIn[r] > c.surf.ElevIn[r] {
					in[r] = true
					todo = append(todo, r)
				}
			})
		}
	}
	return in
}

// nearRoof is the cell, or the deepest wet one beside it where it is off the
// roof or dry; -1: none.
func (c *climb) nearRoof(i, j int) int {
	k := j*c.surf.NX + i
	wetIn := func(k int) float64 { return c.now.FilledIn[k] - c.surf.ElevIn[k] }
	if c.surf.Roof[k] && wetIn(k) > 0 {
		return k
	}
	best, bestIn := -1, 0.0
	c.round(k, func(r int, _ float64) {
		if wetIn(r) > bestIn {
			best, bestIn = r, wetIn(r)
		}
	})
	return best
}

// round calls f for the roof cells of the eight round k, with their distance.
func (c *climb) round(k int, f func(r int, ft float64)) {
	i, j := k%c.surf.NX, k/c.surf.NX
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			if r := k + dj*c.surf.NX + di; r != k && c.surf.Holds(i+di, j+dj) && c.surf.Roof[r] {
				f(r, c.surf.CellFt*math.Sqrt(float64(di*di+dj*dj)))
			}
		}
	}
}

// outletFronts are the cells of the outlets that let water go, at their inlets.
func (c *climb) outletFronts(ground []float64) *fronts {
	q := &fronts{}
	for n, cells := range drainage.OutletCells(c.Site, c.surf) {
		if c.Site.Outlets[n].State == survey.Blocked {
			continue
		}
		for _, k := range cells {
			*q = append(*q, front{k, math.Max(ground[k], c.inletIn[n])})
		}
	}
	return q
}

// front is a cell that the fill has reached.
type front struct {
	cell    int
	levelIn float64
}

type fronts []front

func (q fronts) Len() int           { return len(q) }
func (q fronts) Less(a, b int) bool { return q[a].levelIn < q[b].levelIn }
func (q fronts) Swap(a, b int)      { q[a], q[b] = q[b], q[a] }
func (q *fronts) Push(x any)        { *q = append(*q, x.(front)) }
func (q *fronts) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// measureFill says what a fill takes: volume, area, whole boards where it is
// thick enough, and the rest, which is feathered.
func (c *climb) measureFill(top []float64) Step {
	var s Step
	cellSqft := c.surf.CellFt * c.surf.CellFt
	deepest := 0.0
	for k, on := range c.surf.Roof {
		thickIn := top[k] - c.surf.ElevIn[k]
		if !on || thickIn <= featherEndIn {
			continue
		}
		s.FillSqFt += cellSqft
		s.FillCuFt += cellSqft * thickIn / 12
		deepest = math.Max(deepest, thickIn)
	}
	boards, boardCuft := c.fillBoards(top)
	s.Boards = boards
	s.Do = fmt.Sprintf("fill %s: %s over %s, %s at the thickest", listed(names(c.now.Ponds)), c.cuft(s.FillCuFt),
		c.sqft(s.FillSqFt), c.thin(deepest))
	if boards > 0 {
		s.Do += fmt.Sprintf("; %s %s square in steps of %s and %s of feathered fill", plural(boards, "board"),
			c.long(fillBoardFt), c.thin(fillStepIn), c.cuft(s.FillCuFt-boardCuft))
	} else {
		s.Do += "; all feathered fill, too thin for boards"
	}
	if len(c.sumped.Places) > 0 {
		s.Do = "with the drains set and sumped as above, " + s.Do
	}
	s.Places = c.fillPlaces(top)
	return s
}

// fillBoards counts the squares of a board, laid out from the middle of the
// area, all over which the fill is at least a step thick.
func (c *climb) fillBoards(top []float64) (boards int, cuft float64) {
	type square struct{ i, j int }
	type cover struct {
		cells  int
		thinIn float64
	}
	on := map[square]cover{}
	var order []square
	for k, roof := range c.surf.Roof {
		if !roof || top[k]-c.surf.ElevIn[k] <= featherEndIn {
			continue
		}
		p := c.surf.Centre(k%c.surf.NX, k/c.surf.NX)
		sq := square{int(math.Floor(p.X/fillBoardFt + 0.5)), int(math.Floor(p.Y/fillBoardFt + 0.5))}
		v, seen := on[sq]
		if !seen {
			v.thinIn = math.Inf(1)
			order = append(order, sq)
		}
		on[sq] = cover{v.cells + 1, math.Min(v.thinIn, top[k]-c.surf.ElevIn[k])}
	}
	full := fillBoardFt * fillBoardFt / (c.surf.CellFt * c.surf.CellFt)
	for _, sq := range order {
		steps := math.Floor(on[sq].thinIn/fillStepIn + 1e-9)
		if float64(on[sq].cells) < full-1e-9 || steps < 1 {
			continue
		}
		boards++
		cuft += fillBoardFt * fillBoardFt * steps * fillStepIn / 12
	}
	return boards, cuft
}

// fillPlaces are the fills, one a pond; ponds under one fill share it.
func (c *climb) fillPlaces(top []float64) []Place {
	label := make([]int32, c.surf.Len())
	for k := range label {
		label[k] = -1
	}
	var out []Place
	for _, p := range c.now.Ponds {
		k := c.cellAt(p.Deepest)
		if k < 0 {
			continue
		}
		if n := label[k]; n >= 0 {
			out[n].Clears = append(out[n].Clears, p.ID)
			continue
		}
		c.spread(top, k, label, int32(len(out)))
		out = append(out, Place{Rung: FillLows, At: p.Deepest, Clears: []string{p.ID},
			Words: "fill " + c.thin(top[k]-c.surf.ElevIn[k])})
	}
	for n, shape := range drainage.CellRegions(c.surf.Lattice, label, len(out)) {
		out[n].Shape = shape
	}
	return out
}

// spread labels the fill round cell k.
func (c *climb) spread(top []float64, k int, label []int32, n int32) {
	label[k] = n
	for stack := []int{k}; len(stack) > 0; {
		q := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		i, j := q%c.surf.NX, q/c.surf.NX
		for d := range 9 {
			a, b := i+d%3-1, j+d/3-1
			if !c.surf.Holds(a, b) {
				continue
			}
			r := b*c.surf.NX + a
			if label[r] < 0 && c.surf.Roof[r] && top[r]-c.surf.ElevIn[r] > featherEndIn {
				label[r] = n
				stack = append(stack, r)
			}
		}
	}
}

// cellAt is the roof cell of a place; -1 off the roof.
func (c *climb) cellAt(p geom.Pt) int {
	i, j := c.surf.CellOf(p)
	if k := j*c.surf.NX + i; c.surf.Holds(i, j) && c.surf.Roof[k] {
		return k
	}
	return -1
}
