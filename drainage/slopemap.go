package drainage

import (
	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/unit"
)

// SlopeClasses are the limits that part slopes into four classes: the valley's
// limit, the field's, and twice the field's. Where valleys have no limit of
// their own below the field's, the first is half of the field's.
func (r Rules) SlopeClasses() [3]unit.Slope {
	low := r.Valley.Min
	if low <= 0 || low >= r.Field.Min {
		low = r.Field.Min / 2
	}
	return [3]unit.Slope{low, r.Field.Min, 2 * r.Field.Min}
}

// Slopes reads the slope of a surface place by place, as the check does.
type Slopes struct {
	c *check
	g *windows
}

// SlopesOf reads slopes over a run, see Report.Window. One goroutine uses one.
func SlopesOf(surf *survey.Surface, window unit.Length) Slopes {
	c := &check{surf: surf, opt: Options{Window: window}}
	return Slopes{c, c.newWindows()}
}

// At is how the surface rises round roof cell k, in inches per foot along the
// frame's axes: water runs against it. It is false where the cells round k give
// no plane. Cost: the cells of five windows.
func (s Slopes) At(k int) (uphill geom.Pt, ok bool) {
	f := s.c.planeAt(s.g, k)
	return geom.Pt{X: f.gx, Y: f.gy}, f.ok
}
