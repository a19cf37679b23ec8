package render

import (
	"math"
	"slices"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// ContourLine is a line of one elevation, in the building frame.
type ContourLine struct {
	LevelIn float64
	Pts     []geom.Pt
	Closed  bool // the last place joins the first
}

// ContourLines draws the lines of the given elevations on s between the middles
// of its roof cells, by marching squares; along each line s.Elevation is the
// line's. Lines come by level as given, then by the lattice. A level surface
// has none. Cost: cells and places on the lines; beside the lines some 12 bytes
// a place and one a cell.
//
// Source: Lorensen and Cline 1987, "Marching cubes", in the plane; a saddle is
// told by the mean of its four corners, so that turning changes nothing.
func ContourLines(s *survey.Surface, levelsIn []float64) []ContourLine {
	l := s.Lattice
	at := l.Centre(0, 0)
	g := &grid{nx: l.NX, ny: l.NY, x0: at.X, y0: at.Y, stepFt: l.CellFt, v: s.ElevIn, ok: make([]bool, l.Len())}
	for k, v := range g.v {
		g.ok[k] = s.Roof[k] && s.IsKnown(k) && v == v
	}
	return g.lines(levelsIn)
}

// grid is a raster of values at the corners of squares, in the building frame.
type grid struct {
	nx, ny int
	x0, y0 float64 // of node (0, 0), feet
	stepFt float64
	v      []float64
	ok     []bool // the node has a value
}

func newGrid(l survey.Lattice, stride int) *grid {
	n := func(cells int) int { return (cells + stride - 1) / stride }
	g := &grid{nx: n(l.NX), ny: n(l.NY), stepFt: l.CellFt * float64(stride)}
	first := func(blocks, cells int) float64 {
		pad := (blocks*stride - cells) / 2
		return (float64(stride)/2 - float64(pad) - float64(cells)/2) * l.CellFt
	}
	g.x0, g.y0 = first(g.nx, l.NX), first(g.ny, l.NY)
	g.v, g.ok = make([]float64, g.nx*g.ny), make([]bool, g.nx*g.ny)
	return g
}

// gridOf takes the known roof cells of s, stride x stride of them as their
// mean.
func gridOf(s *survey.Surface, stride int) *grid {
	return gridBy(s.Lattice, stride, func(k int) (float64, bool) {
		return s.ElevIn[k], s.Roof[k] && s.IsKnown(k) && !math.IsNaN(s.ElevIn[k])
	})
}

// gridBy fills a grid with the means of what value gives for the cells of l.
func gridBy(l survey.Lattice, stride int, value func(k int) (float64, bool)) *grid {
	g := newGrid(l, stride)
	n := make([]int, len(g.v))
	padX, padY := (g.nx*stride-l.NX)/2, (g.ny*stride-l.NY)/2
	for j := range l.NY {
		for i := range l.NX {
			v, ok := value(j*l.NX + i)
			if !ok {
				continue
			}
			k := (j+padY)/stride*g.nx + (i+padX)/stride
			g.v[k] += v
			n[k]++
			g.ok[k] = true
		}
	}
	for k := range g.v {
		if n[k] > 1 {
			g.v[k] /= float64(n[k])
		}
	}
	return g
}

func (g *grid) node(i, j int) geom.Pt {
	return geom.Pt{X: g.x0 + float64(i)*g.stepFt, Y: g.y0 + float64(j)*g.stepFt}
}

// extended is g with its values carried on level into the nodes beside it,
// times over: lines then reach the outline, where the sheet's mask cuts them.
func (g *grid) extended(times int) *grid {
	out := *g
	for range times {
		v, ok := slices.Clone(out.v), slices.Clone(out.ok)
		for j := range out.ny {
			for i := range out.nx {
				if k := j*out.nx + i; !ok[k] {
					v[k], ok[k] = out.beside(i, j)
				}
			}
		}
		out.v, out.ok = v, ok
	}
	return &out
}

// padded is g with n more empty nodes on every border.
func (g *grid) padded(n int) *grid {
	p := &grid{nx: g.nx + 2*n, ny: g.ny + 2*n, stepFt: g.stepFt,
		x0: g.x0 - float64(n)*g.stepFt, y0: g.y0 - float64(n)*g.stepFt}
	p.v, p.ok = make([]float64, p.nx*p.ny), make([]bool, p.nx*p.ny)
	for j := range g.ny {
		copy(p.v[(j+n)*p.nx+n:], g.v[j*g.nx:(j+1)*g.nx])
		copy(p.ok[(j+n)*p.nx+n:], g.ok[j*g.nx:(j+1)*g.nx])
	}
	return p
}

// beside is the mean of the nodes with values round (i, j).
func (g *grid) beside(i, j int) (float64, bool) {
	sum, n := 0.0, 0
	for dj := -1; dj <= 1; dj++ {
		for di := -1; di <= 1; di++ {
			ii, jj := i+di, j+dj
			if ii < 0 || jj < 0 || ii >= g.nx || jj >= g.ny || !g.ok[jj*g.nx+ii] {
				continue
			}
			sum += g.v[jj*g.nx+ii]
			n++
		}
	}
	if n == 0 {
		return 0, false
	}
	return sum / float64(n), true
}

// span is the least and the greatest value of g; false where it has none.
func (g *grid) span() (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for k, v := range g.v {
		if g.ok[k] {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	return lo, hi, lo <= hi
}

// lines gives the contours of the levels between nodes that have values.
func (g *grid) lines(levelsIn []float64) []ContourLine {
	var out []ContourLine
	for n, ways := range g.march(levelsIn, false) {
		for _, w := range ways {
			last := len(w.pts) - 1
			if !w.ring && last > 1 && w.pts[0] == w.pts[last] {
				w = way{w.pts[:last], true}
			}
			out = append(out, ContourLine{levelsIn[n], w.pts, w.ring})
		}
	}
	return out
}

// above gives the region where g is at least level as rings, by the odd-even
// rule. Nodes without a value count as below.
func (g *grid) above(level float64) []geom.Ring {
	var out []geom.Ring
	for _, w := range g.padded(1).march([]float64{level}, true)[0] {
		if len(w.pts) > 2 {
			out = append(out, geom.Ring(w.pts))
		}
	}
	return out
}

// levelsBetween gives the whole multiples of step from base that lie in lo to
// hi.
func levelsBetween(lo, hi, base, step float64) []float64 {
	if !(step > 0) || !((hi-lo)/step < 1000) {
		return nil
	}
	var out []float64
	for k := math.Ceil((lo-base)/step - 1e-9); base+k*step <= hi+1e-9; k++ {
		out = append(out, base+k*step)
	}
	return out
}

// contourStep is the usual interval that gives at most most lines over a
// relief, in inches: from 1/8 in, or from 2 mm in a metric job.
func (s say) contourStep(reliefIn float64, most int) float64 {
	steps := []float64{0.125, 0.25, 0.5, 1, 2, 3, 6, 12, 24, 60, 120}
	if s.sys == unit.Metric {
		steps = []float64{2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000}
		for i := range steps {
			steps[i] /= 25.4
		}
	}
	for _, step := range steps {
		if reliefIn <= step*float64(most) {
			return step
		}
	}
	return math.Max(reliefIn/float64(most), steps[len(steps)-1])
}

// insideCells calls mark for each cell of l whose middle lies in the
// rings by the odd-even rule. Cost: rows x corners.
func insideCells(l survey.Lattice, rings []geom.Ring, mark func(k int)) {
	for j := range l.NY {
		y := l.Centre(0, j).Y
		var xs []float64
		for _, r := range rings {
			for i, a := range r {
				if b := r.At(i + 1); (a.Y > y) != (b.Y > y) {
					xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
				}
			}
		}
		slices.Sort(xs)
		for c := 0; c+1 < len(xs); c += 2 {
			first := int(math.Ceil(math.Max(0, xs[c]/l.CellFt+float64(l.NX)/2-0.5)))
			for i := first; i < l.NX && l.Centre(i, j).X < xs[c+1]; i++ {
				mark(j*l.NX + i)
			}
		}
	}
}
