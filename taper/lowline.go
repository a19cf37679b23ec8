package taper

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"runnel/survey"
	"runnel/survey/geom"
	"runnel/survey/problem"
	"runnel/taper/internal/sight"
)

// Of lines of outlets, common practice without source: outlets within the depth
// of a board of one another, across, are in line, if the line between two bends
// by no more than one in four.
const (
	inLineFt   = 4.0
	bendsOneIn = 4.0
	sameLineFt = 0.02 // closer than this they are exactly in line
)

// levelNotes says of low lines that they are level.
func levelNotes(low []LowLine) []string {
	var out []string
	for _, l := range low {
		out = append(out, fmt.Sprintf("the low line %s is level: water stands along it in thin sheets without crickets", l.Name()))
	}
	return out
}

// Name tells a low line by its outlets.
func (l LowLine) Name() string {
	var ids []string
	for _, o := range l.Outlet {
		if o != "" {
			ids = append(ids, o)
		}
	}
	if l.Wall {
		return "along the wall toward " + listText(ids)
	}
	return "through " + listText(ids)
}

// lineAlongWall is the low line of an edge with scuppers, from corner to corner.
func lineAlongWall(s *survey.Site, edge int) LowLine {
	e := s.Edges[edge]
	l := LowLine{Wall: true}
	u := e.B.Sub(e.A).Mul(1 / e.A.Dist(e.B))
	var on []survey.SiteOutlet
	for _, o := range s.Outlets {
		if !o.Overflow && o.Kind == survey.Scupper && o.Edge == edge {
			on = append(on, o)
		}
	}
	slices.SortStableFunc(on, func(a, b survey.SiteOutlet) int { return cmp.Compare(a.P.Dot(u), b.P.Dot(u)) })
	l.add(e.A, "")
	for _, o := range on {
		l.add(geom.SegNearest(o.P, e.A, e.B), o.ID)
	}
	l.add(e.B, "")
	return l
}

// add puts a place on; two in one place are one, with the outlet of either.
func (l *LowLine) add(p geom.Pt, outlet string) {
	if k := len(l.At) - 1; k >= 0 && l.At[k].Dist(p) < onBorderFt {
		if l.Outlet[k] == "" {
			l.At[k], l.Outlet[k] = p, outlet
		}
		return
	}
	l.At, l.Outlet = append(l.At, p), append(l.Outlet, outlet)
}

// linesThrough gives the low lines of a site through the outlets that are
// places: along that building axis in which fewer do, or else the one with the
// shorter ways to them.
func linesThrough(s *survey.Site, places []survey.SiteOutlet, w *sight.Walls) []LowLine {
	var best []LowLine
	bestFt := 0.0
	for _, u := range []geom.Pt{{X: 1}, {Y: 1}} {
		lines, runFt := linesAlong(s, places, w, u)
		if best == nil || len(lines) < len(best) || len(lines) == len(best) && runFt < bestFt-onBorderFt {
			best, bestFt = lines, runFt
		}
	}
	return best
}

// linesAlong gives the low lines along the axis u, and the longest way across
// to one of them, reckoned over the box of the outline.
func linesAlong(s *survey.Site, places []survey.SiteOutlet, w *sight.Walls, u geom.Pt) ([]LowLine, float64) {
	across := geom.Pt{X: -u.Y, Y: u.X}
	var lines []LowLine
	var free []survey.SiteOutlet
	walls := map[int]bool{}
	for _, o := range places {
		if o.Kind != survey.Scupper || !alongAxis(s.Edges[o.Edge], u) {
			free = append(free, o)
			continue
		}
		if !walls[o.Edge] {
			walls[o.Edge] = true
			lines = append(lines, lineAlongWall(s, o.Edge))
		}
	}
	slices.SortStableFunc(free, func(a, b survey.SiteOutlet) int {
		return cmp.Or(cmp.Compare(a.P.Dot(across), b.P.Dot(across)), cmp.Compare(a.P.Dot(u), b.P.Dot(u)))
	})
	for len(free) > 0 {
		n := 1
		for n < len(free) && free[n].P.Sub(free[0].P).Dot(across) <= inLineFt+onBorderFt {
			n++
		}
		lines = append(lines, strung(slices.Clone(free[:n]), w, u)...)
		free = free[n:]
	}
	return lines, longestWayFt(s, lines, across)
}

func alongAxis(e survey.SiteEdge, u geom.Pt) bool {
	d := e.B.Sub(e.A)
	return math.Abs(d.Cross(u)) < offAxisRad*d.Norm()
}

// strung strings outlets that are about in line onto lines from wall to wall:
// one, or more where one does not see the next or the line would bend much.
func strung(on []survey.SiteOutlet, w *sight.Walls, u geom.Pt) []LowLine {
	slices.SortStableFunc(on, func(a, b survey.SiteOutlet) int { return cmp.Compare(a.P.Dot(u), b.P.Dot(u)) })
	var out []LowLine
	across := geom.Pt{X: -u.Y, Y: u.X}
	for i := 1; i < len(on); i++ {
		if off := on[i].P.Sub(on[i-1].P).Dot(across); math.Abs(off) < sameLineFt {
			on[i].P = on[i].P.Sub(across.Mul(off))
		}
	}
	for len(on) > 0 {
		l := LowLine{}
		l.add(w.Ahead(on[0].P, u.Mul(-1)), "")
		l.add(on[0].P, on[0].ID)
		var later []survey.SiteOutlet
		last := on[0].P
		for _, o := range on[1:] {
			d := o.P.Sub(last)
			if bendsOneIn*math.Abs(d.Cross(u)) > d.Dot(u) || !w.Sees(last, o.P) {
				later = append(later, o)
				continue
			}
			l.add(o.P, o.ID)
			last = o.P
		}
		l.add(w.Ahead(last, u), "")
		out = append(out, l)
		on = later
	}
	return out
}

// longestWayFt is the longest way across the box of the outline to a line.
func longestWayFt(s *survey.Site, lines []LowLine, across geom.Pt) float64 {
	var at []float64
	for _, l := range lines {
		at = append(at, l.At[len(l.At)/2].Dot(across))
	}
	slices.Sort(at)
	most, last := 0.0, math.Inf(-1)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range s.Outline {
		lo, hi = math.Min(lo, p.Dot(across)), math.Max(hi, p.Dot(across))
	}
	for _, a := range at {
		if math.IsInf(last, -1) {
			most = a - lo
		} else {
			most = math.Max(most, (a-last)/2)
		}
		last = a
	}
	return math.Max(most, hi-last)
}

// ownValleys are the low lines that the designer draws: their own places, with
// the outlets that lie on them.
func ownValleys(s *survey.Site, in FieldInput, places []survey.SiteOutlet, w *sight.Walls) ([]LowLine, error) {
	var out []LowLine
	for _, own := range in.Valleys {
		v := own.At
		l := LowLine{}
		for i, p := range v {
			if !w.Holds(p) || i > 0 && !w.Sees(v[i-1], p) {
				return nil, own.fault("the valley leaves area "+s.Name, "end it at the walls")
			}
			if i > 0 {
				for _, o := range onStretch(v[i-1], p, places) {
					l.add(o.P, o.ID)
				}
			}
			l.add(p, outletAt(p, places))
		}
		if strings.Join(l.Outlet, "") == "" {
			return nil, own.fault("the valley runs to no outlet of area "+s.Name, "draw it through one")
		}
		out = append(out, l)
	}
	return out, nil
}

// fault is what is wrong with a line, as a fault of the job.
func (l OwnLine) fault(why, mend string) error {
	return problem.List{{Field: l.Field, Why: why, Mend: mend}}.Err()
}

// onStretch gives the outlets that lie on a stretch, in order.
func onStretch(a, b geom.Pt, places []survey.SiteOutlet) []survey.SiteOutlet {
	var on []survey.SiteOutlet
	for _, o := range places {
		if geom.SegDist(o.P, a, b) < ownLineFt {
			on = append(on, o)
		}
	}
	u := b.Sub(a)
	slices.SortStableFunc(on, func(p, q survey.SiteOutlet) int { return cmp.Compare(p.P.Dot(u), q.P.Dot(u)) })
	return on
}

func outletAt(p geom.Pt, places []survey.SiteOutlet) string {
	for _, o := range places {
		if o.P.Dist(p) < ownLineFt {
			return o.ID
		}
	}
	return ""
}

// ownLineFt is how near a line that the designer draws must pass an outlet to
// run through it: a foot, common practice, no source.
const ownLineFt = 1.0
