package render

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
)

// wallTopIn is how far the ring of cells beyond closed edges stands above the
// surface beside it.
const wallTopIn = 24

// noData marks cells without elevation in a written grid.
const noData = "-9999"

// WriteASC writes surf as an ESRI ASCII grid in job coordinates and feet, north
// first, such that a general tool that fills hollows (eight neighbours; cells
// without data and the rim of the grid let water go) gets the same ponds as the
// drainage check: closed edges, courts and curbs are ringed by one row of cells
// at the wall top, drains, gutter and open edges have no data, and a scupper is
// a gap in the ring at its inlet. Blocked outlets let no water go. inletIn is
// of each of s.Outlets; nil: flush with the surface.
//
// Where the building stands square to the job axes the cells are those of surf,
// and every cell of the roof fills to the same elevation. A drain that stands
// proud needs a ring of cells at its inlet, whose water is then missing from a
// cell-by-cell volume: surf is written in finer cells there. Turned buildings
// are resampled onto the job axes. Cost: O(cells written).
//
// Source of the format: its published description, "ESRI ASCII raster format".
func WriteASC(w io.Writer, s *survey.Site, surf *survey.Surface, inletIn []float64) error {
	if inletIn == nil {
		inletIn = flushInlets(s)
	}
	square, onAxes := upright(s, surf, inletIn)
	g := newPaper(square, onAxes, inletIn)
	if err := g.write(w, s.Frame.Origin); err != nil {
		return fmt.Errorf("write grid: %w", err)
	}
	return nil
}

func flushInlets(s *survey.Site) []float64 {
	in := make([]float64, len(s.Outlets))
	for n := range in {
		in[n] = math.Inf(-1)
	}
	return in
}

// upright gives site and surface in a frame that lies along the job axes, with
// the same origin.
func upright(s *survey.Site, surf *survey.Surface, inletIn []float64) (*survey.Site, *survey.Surface) {
	square := turnedSite(s)
	cellFt, same := cellFor(s, surf, inletIn)
	l := survey.Lattice{Frame: square.Frame, CellFt: cellFt}
	toFrame := s.Frame.DirToLocal // the origin is the same: no shift, no rounding
	if same {
		l.NX, l.NY = surf.NX, surf.NY
		if x := s.Frame.DirToJob(geom.Pt{X: 1}); math.Abs(x.Y) > 0.5 {
			l.NX, l.NY = surf.NY, surf.NX
		}
	} else {
		box := square.Outline.Box()
		count := func(lo, hi float64) int { return 2 * int(math.Ceil(math.Max(-lo, hi)/cellFt-1e-9)) }
		l.NX, l.NY = count(box.Min.X, box.Max.X), count(box.Min.Y, box.Max.Y)
	}
	out := &survey.Surface{Lattice: l, Roof: make([]bool, l.Len()), ElevIn: make([]float64, l.Len())}
	for j := range l.NY {
		for i := range l.NX {
			p, k := toFrame(l.Centre(i, j)), j*l.NX+i
			ii, jj := surf.CellOf(p)
			if !surf.Holds(ii, jj) || !surf.Roof[jj*surf.NX+ii] {
				continue
			}
			out.Roof[k], out.ElevIn[k] = true, surf.ElevIn[jj*surf.NX+ii]
			if z, ok := surf.Elevation(p); ok && !same {
				out.ElevIn[k] = z
			}
		}
	}
	return square, out
}

// mostCells is how many cells a grid may have before no finer ones are taken;
// manyCells how many a turned one may have at all, since a long building that
// lies aslant fills its box with cells that it does not use: its cells grow.
const (
	mostCells = 600_000
	manyCells = 4_000_000
)

// cellFor chooses the cells to write; same says that they are those of surf,
// in the job axes.
func cellFor(s *survey.Site, surf *survey.Surface, inletIn []float64) (cellFt float64, same bool) {
	x := s.Frame.DirToJob(geom.Pt{X: 1})
	square := math.Min(math.Abs(x.X), math.Abs(x.Y)) < 1e-9
	cellFt = surf.CellFt
	w, h := s.Outline.Map(s.Frame.DirToJob).Box().Size()
	fits := func(ft float64) bool { return w*h/(ft*ft) <= mostCells }
	if !square && cellFt > 0.5 && fits(0.5) {
		cellFt = 0.5
	}
	for !square && w*h/(cellFt*cellFt) > manyCells {
		cellFt *= 2
	}
	if !proudDrain(s, surf, inletIn) {
		return cellFt, square
	}
	for cellFt > 0.125 && fits(cellFt/2) {
		cellFt /= 2
	}
	return cellFt, square && cellFt == surf.CellFt
}

// proudDrain says whether a working drain has its inlet above the surface.
func proudDrain(s *survey.Site, surf *survey.Surface, inletIn []float64) bool {
	const hairIn = 0.01 // too little water to be worth finer cells
	for n, o := range s.Outlets {
		if o.Kind != survey.Drain || o.State == survey.Blocked {
			continue
		}
		if z, ok := surf.Elevation(o.P); ok && inletIn[n] > z+hairIn {
			return true
		}
	}
	return false
}

// turnedSite is s in the frame that lies along the job axes.
func turnedSite(s *survey.Site) *survey.Site {
	turn := s.Frame.DirToJob
	out := &survey.Site{Name: s.Name, Frame: geom.Frame{Origin: s.Frame.Origin},
		Outline: s.Outline.Map(turn).CCW()}
	for _, c := range s.Courts {
		out.Courts = append(out.Courts, c.Map(turn).CCW().Reversed())
	}
	for _, c := range s.Curbs {
		out.Curbs = append(out.Curbs, c.Map(turn).CCW())
	}
	for _, o := range s.Outlets {
		o.P, o.A, o.B = turn(o.P), turn(o.A), turn(o.B)
		if s.Frame.Mirror {
			o.A, o.B = o.B, o.A
		}
		out.Outlets = append(out.Outlets, o)
	}
	return out
}

// write puts the grid on paper; origin is that of its frame.
func (g *paper) write(w io.Writer, origin geom.Pt) error {
	out := bufio.NewWriter(w)
	lo := origin.Add(geom.Pt{X: -float64(g.nx) / 2 * g.cellFt, Y: -float64(g.ny) / 2 * g.cellFt})
	fmt.Fprintf(out, "ncols %d\nnrows %d\nxllcorner %s\nyllcorner %s\ncellsize %s\nNODATA_value %s\n",
		g.nx, g.ny, decimal(lo.X), decimal(lo.Y), decimal(g.cellFt), noData)
	var row []byte
	for j := g.ny - 1; j >= 0; j-- {
		row = row[:0]
		for i := range g.nx {
			if i > 0 {
				row = append(row, ' ')
			}
			k := j*g.nx + i
			if !g.has[k] {
				row = append(row, noData...)
				continue
			}
			row = append(row, elevationFt(g.elevIn[k])...)
		}
		if _, err := out.Write(append(row, '\n')); err != nil {
			return err
		}
	}
	return out.Flush()
}

// elevationFt prints an elevation in feet to a millionth, far below what any
// survey tells.
func elevationFt(in float64) string {
	s := strings.TrimRight(strconv.FormatFloat(in/12, 'f', 6, 64), "0")
	if s = strings.TrimSuffix(s, "."); s == "-0" {
		return "0"
	}
	return s
}
