package drainage

import (
	"math"

	"runnel/drainage/internal/fill"
	"runnel/survey"
	"runnel/survey/geom"
)

// wallStrip is a foot or so of wall that sheds rain onto the roof.
type wallStrip struct {
	cell int     // that it sheds onto
	sqft float64 // half of it
}

// wallShare of a wall's area counts as roof: IPC 1106.4; local rules differ.
const wallShare = 0.5

// wallStrips are the walls with a stated height, a strip a foot.
func (r *rainRun) wallStrips() []wallStrip {
	var out []wallStrip
	surf := r.in.Report.Surface
	for _, e := range r.in.Site.Edges {
		if e.Kind != survey.Wall || !e.Height.Stated() {
			continue
		}
		runFt := e.A.Dist(e.B)
		strips := max(1, int(math.Round(runFt)))
		for i := range strips {
			at := e.A.Lerp(e.B, (float64(i)+0.5)/float64(strips))
			k := nearestCell(surf, at)
			if k < 0 {
				continue
			}
			highFt := (r.topIn(e.Height, surf.Centre(k%surf.NX, k/surf.NX)) - surf.ElevIn[k]) / 12
			out = append(out, wallStrip{k, wallShare * math.Max(0, highFt) * runFt / float64(strips)})
		}
	}
	return out
}

// topIn is the elevation of a stated height at a place of the frame.
func (r *rainRun) topIn(h survey.Height, at geom.Pt) float64 {
	on := r.in.Existing
	switch {
	case h.Above == survey.AboveElevation:
		return h.Value.Inches()
	case h.Above == survey.AboveDeck && r.in.Deck != nil:
		on = r.in.Deck
	}
	z, _ := on.Elevation(at)
	return z + h.Value.Inches()
}

// parapetLevels fills the roof with every drain, scupper and overflow shut: the
// level at which each cell's water runs over a parapet; +Inf where no parapet
// with a stated height, and -Inf where a gutter or an open edge, lets it go.
func (r *rainRun) parapetLevels() []float64 {
	surf := r.in.Report.Surface
	var seeds []fill.Seed
	const free, parapet = 0, 1
	for n, o := range r.in.Site.Outlets {
		for _, k := range r.open.outlets[n] {
			if o.IsEdge() {
				seeds = append(seeds, fill.Seed{Cell: k, Level: math.Max(surf.ElevIn[k], r.in.Opt.InletIn[n]), Outlet: free})
			}
		}
	}
	for _, e := range r.in.Site.Edges {
		if e.Kind != survey.Parapet || !e.Height.Stated() {
			continue
		}
		for _, k := range cellsAlong(surf, e.A, e.B) {
			topIn := r.topIn(e.Height, surf.Centre(k%surf.NX, k/surf.NX))
			if r.in.TopsWhy != "" {
				topIn = surf.ElevIn[k] // it lets no water go lower
			}
			seeds = append(seeds, fill.Seed{Cell: k, Level: math.Max(surf.ElevIn[k], topIn), Outlet: parapet})
		}
	}
	c := *r.open
	c.fill = fill.Run(fill.Grid{NX: surf.NX, NY: surf.NY, Open: surf.Roof}, surf.ElevIn, seeds)
	end := c.endOfHollows()
	level := c.fill.Level
	for k, h := range c.fill.Of {
		if h >= 0 && end[h] == free {
			level[k] = math.Inf(-1)
		}
	}
	return level
}

// placeIn is the elevation of the surface at a drain, in inches. Round a drain
// the raster knows the roof at the middles of cells alone: each of the nearest cells is carried on to the place as the roof
// comes from the cell behind it.
func placeIn(surf *survey.Surface, cells []int, at geom.Pt) float64 {
	sum, n := 0.0, 0
	for _, k := range cells {
		c := surf.Centre(k%surf.NX, k/surf.NX)
		d := c.Sub(at)
		i, j := surf.CellOf(c.Add(geom.Pt{X: step(d.X) * surf.CellFt, Y: step(d.Y) * surf.CellFt}))
		behind := j*surf.NX + i
		zIn := surf.ElevIn[k]
		if behind != k && surf.Holds(i, j) && surf.Roof[behind] {
			wayFt := surf.Centre(i, j).Dist(c)
			zIn += (zIn - surf.ElevIn[behind]) * math.Min(1, d.Norm()/wayFt)
		}
		sum += zIn
		n++
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// step is the sign of a part of a way, 0 where it is next to nothing.
func step(x float64) float64 {
	switch {
	case x > 1e-6:
		return 1
	case x < -1e-6:
		return -1
	}
	return 0
}
