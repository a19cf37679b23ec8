package fit

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"

	"runnel/survey"
	"runnel/survey/geom"
)

// cloudCells is a point cloud sorted into the cells of a raster.
type cloudCells struct {
	r     *CloudReport
	l     survey.Lattice
	atRim []bool       // of the cells: an outline, court or curb is within a cell or so
	start []int32      // where the points of a cell begin in pts; one more than cells
	pts   []framePt    // on the area, off its rim, cell by cell
	full  []int32      // the cells with points, in order
	plane survey.Plane // that zIn is above

	levelIn []float64 // of each cell with points, about the plane
	scatter float64   // of a point, inches, from single cells
	widthIn float64   // within which points stand together
	stepIn  float64   // neighbouring cells that differ by more are parted
	least   int       // points that a cell takes
	roof    []bool    // the cell is roof
	baseIn  []float64 // the roof carried on level under what stands on it; NaN beyond reach
	kept    []int32   // how many points of the cell are on the roof; they come first
	above   []int32   // how many are above it
	found   []foundCell
	slopes  []survey.Plane // of the roof about each cell, where told
	told    []bool
	drains  []geom.Pt
}

// framePt is a point in the frame, feet, and inches above job zero, less a
// plane once that is known.
type framePt struct{ x, y, zIn float32 }

// What becomes of a point, where it is not the number of its cell.
const (
	offArea  int32 = -1
	nearRim  int32 = -2
	noNumber int32 = -3
)

// together runs f on even parts of 0 to n, at once.
func together(n int, f func(part, from, to int)) {
	parts := cloudWorkers()
	var wg sync.WaitGroup
	for p := range parts {
		wg.Go(func() { f(p, p*n/parts, (p+1)*n/parts) })
	}
	wg.Wait()
}

func cloudWorkers() int { return min(16, runtime.GOMAXPROCS(0)) }

// sortCloud puts the points on the area into cells and counts the rest in r.
func sortCloud(ctx context.Context, s *survey.Site, cloud *survey.Cloud, r *CloudReport) (*cloudCells, error) {
	m := newAreaMap(s)
	move := mover{s.Frame.ToLocal(cloud.Origin), s.Frame.DirToLocal(geom.Pt{X: 1}), s.Frame.DirToLocal(geom.Pt{Y: 1})}
	fate := make([]int32, len(cloud.Pts))
	counts := make([][4]int, cloudWorkers())
	together(len(fate), func(part, from, to int) {
		for i := from; i < to; i++ {
			if i%cloudBreath == 0 && ctx.Err() != nil {
				return
			}
			fate[i] = m.fate(move.of(cloud.Pts[i]), cloud.Pts[i].Z)
			counts[part][-fate[i]]++
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for _, n := range counts {
		r.OnArea += n[0] + n[-nearRim]
		r.NearEdge += n[-nearRim]
		r.NoNumber += n[-noNumber]
	}
	c := &cloudCells{r: r, l: survey.LatticeOf(s, cloudCellFt(s, r.OnArea))}
	c.fill(cloud, move, fate)
	for _, o := range s.Outlets {
		if o.Kind == survey.Drain {
			c.drains = append(c.drains, o.P)
		}
	}
	c.atRim = make([]bool, c.l.Len())
	for _, k := range c.full {
		c.atRim[k] = m.rimAbout(c.l.Centre(int(k)%c.l.NX, int(k)/c.l.NX))
	}
	return c, nil
}

// cloudBreath is how many points are worked on between looks at the context.
const cloudBreath = 1 << 16

// cloudCellFt is the edge of the cells for n points on the area of s.
func cloudCellFt(s *survey.Site, n int) float64 {
	sqft := math.Max(s.RoofArea().SquareFeet(), 1)
	w, h := s.Outline.Box().Size()
	want := math.Min(widestCellFt, math.Sqrt(pointsACell*sqft/float64(max(n, 1))))
	return max(leastCellFt, want, math.Sqrt(sqft/mostCells), math.Sqrt(w*h/mostLattice))
}

// fill sorts the points whose fate is 0 into cells.
func (c *cloudCells) fill(cloud *survey.Cloud, move mover, fate []int32) {
	together(len(fate), func(_, from, to int) {
		for i := from; i < to; i++ {
			if fate[i] == 0 {
				ci, cj := c.l.CellOf(move.of(cloud.Pts[i]))
				fate[i] = int32(clamp(cj, c.l.NY)*c.l.NX + clamp(ci, c.l.NX))
			} else {
				fate[i] = offArea
			}
		}
	})
	c.start = make([]int32, c.l.Len()+1)
	for _, k := range fate {
		if k >= 0 {
			c.start[k+1]++
		}
	}
	for k := range c.l.Len() {
		if c.start[k+1] > 0 {
			c.full = append(c.full, int32(k))
		}
		c.start[k+1] += c.start[k]
	}
	next := slices.Clone(c.start)
	c.pts = make([]framePt, c.start[c.l.Len()])
	zeroFt := cloud.ZeroFt
	for i, k := range fate {
		if k >= 0 {
			p := move.of(cloud.Pts[i])
			c.pts[next[k]] = framePt{float32(p.X), float32(p.Y), float32(12 * (zeroFt + float64(cloud.Pts[i].Z)))}
			next[k]++
		}
	}
}

// of gives the points of cell k.
func (c *cloudCells) of(k int32) []framePt { return c.pts[c.start[k]:c.start[k+1]] }

// each works on all cells with points, on all processors; f has a scratch of
// its own.
func (c *cloudCells) each(f func(k int32, scratch *[]float32)) {
	together(len(c.full), func(_, from, to int) {
		var scratch []float32
		for _, k := range c.full[from:to] {
			f(k, &scratch)
		}
	})
}

// mover puts points of a cloud into the frame.
type mover struct{ origin, x, y geom.Pt }

func (m mover) of(p survey.CloudPt) geom.Pt {
	x, y := float64(p.X), float64(p.Y)
	return geom.Pt{X: m.origin.X + x*m.x.X + y*m.y.X, Y: m.origin.Y + x*m.x.Y + y*m.y.Y}
}

// areaMap tells quickly where places stand by the rings of a site: only those
// in cells that a ring passes are looked up in the rings.
type areaMap struct {
	l       survey.Lattice
	on, rim []bool
	outline ringRows
	holes   []ringRows
}

func newAreaMap(s *survey.Site) *areaMap {
	w, h := s.Outline.Box().Size()
	m := &areaMap{l: survey.LatticeOf(s, math.Max(leastCellFt, math.Sqrt(w*h/40000))), outline: newRingRows(s.Outline)}
	m.on, m.rim = survey.RoofCells(s, m.l), make([]bool, m.l.Len())
	m.draw(s.Outline)
	for _, r := range append(slices.Clone(s.Courts), s.Curbs...) {
		m.holes = append(m.holes, newRingRows(r))
		m.draw(r)
	}
	return m
}

// draw marks the cells within a cell of ring r.
func (m *areaMap) draw(r geom.Ring) {
	for n := range r {
		a, b := r[n], r.At(n+1)
		steps := int(math.Ceil(2*a.Dist(b)/m.l.CellFt)) + 1
		for i := range steps + 1 {
			ci, cj := m.l.CellOf(a.Lerp(b, float64(i)/float64(steps)))
			for j := max(cj-1, 0); j <= min(cj+1, m.l.NY-1); j++ {
				for i := max(ci-1, 0); i <= min(ci+1, m.l.NX-1); i++ {
					m.rim[j*m.l.NX+i] = true
				}
			}
		}
	}
}

// fate says whether a point at p counts: 0, or why not.
func (m *areaMap) fate(p geom.Pt, z float32) int32 {
	if v := p.X + p.Y + float64(z); math.IsNaN(v) || math.IsInf(v, 0) {
		return noNumber
	}
	half := geom.Pt{X: float64(m.l.NX), Y: float64(m.l.NY)}.Mul(m.l.CellFt / 2)
	if math.Abs(p.X) >= half.X || math.Abs(p.Y) >= half.Y {
		return offArea
	}
	i, j := m.l.CellOf(p)
	k := clamp(j, m.l.NY)*m.l.NX + clamp(i, m.l.NX)
	switch {
	case m.rim[k]:
		return m.ask(p)
	case m.on[k]:
		return 0
	}
	return offArea
}

func (m *areaMap) ask(p geom.Pt) int32 {
	in, edge := m.outline.has(p)
	if !in {
		return offArea
	}
	for _, h := range m.holes {
		in, by := h.has(p)
		if in {
			return offArea
		}
		edge = edge || by
	}
	if edge {
		return nearRim
	}
	return 0
}

// rimFt is how far from a ring the top of a parapet on it may reach. Common
// practice, no source.
const rimFt = 1.5

// rimAbout says whether a ring passes within rimFt of p, to a cell.
func (m *areaMap) rimAbout(p geom.Pt) bool {
	ci, cj := m.l.CellOf(p)
	r := int(math.Ceil(rimFt / m.l.CellFt))
	for j := max(cj-r, 0); j <= min(cj+r, m.l.NY-1); j++ {
		for i := max(ci-r, 0); i <= min(ci+r, m.l.NX-1); i++ {
			if m.rim[j*m.l.NX+i] && m.l.Centre(i, j).Dist(p) <= rimFt {
				return true
			}
		}
	}
	return false
}
